"""From the files as written to a `Case`: reports read, values looked up, everything checked against everything."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any, Final

from groundroll.errors import ReportError
from groundroll.physics.wind import true_direction
from groundroll.reports.condition import read_condition
from groundroll.reports.model import ConditionReport, RunwayCondition
from groundroll.reports.times import MAXIMUM_AGE, age, time_in_words
from groundroll.reports.wording import CONDITION_WORDS, SMALL_COVERAGE, matrix_codes
from groundroll.scenario.check_runway import SLOPE_TOLERANCE, slope_from_elevations
from groundroll.scenario.messages import Problems, nearest
from groundroll.scenario.model import Aircraft, AirTemperature, CaseFile, Runway, Weather
from groundroll.scenario.quantity import (
    MASS,
    PRESSURE,
    SPEED,
    TEMPERATURE,
    Dimension,
    Quantity,
    declared_quantity,
    show,
    split_quantity,
)
from groundroll.scenario.resolved import ResolvedCondition, ResolvedLanding, ResolvedWeather, SurfaceThird
from groundroll.scenario.wind_text import Wind

if TYPE_CHECKING:
    from groundroll.reports.weather import WeatherReport

OLD_WEATHER: Final = timedelta(hours=2)
"""Age from which a METAR is remarked on. Common practice, no source: they come hourly or half-hourly."""

THIRD_NAMES: Final = ("touchdown", "middle", "roll-out")


@dataclass(frozen=True)
class Written:
    """The case as written, and where its problems go."""

    case: CaseFile
    data: dict[str, Any]
    """The content before reading, to quote values as the user wrote them."""
    file: str
    problems: Problems

    def quoted(self, section: str, key: str) -> str:
        """Return a value as written, in quotes."""
        return f'"{self.data[section][key]}"'

    def unit(self, section: str, key: str, dimension: Dimension) -> str:
        """Return the unit in which the user wrote a value."""
        return split_quantity(self.data[section][key], dimension)[1]


# ------------------------------------------------------------------------------------------------------------ weather


def resolve_weather(written: Written, runway: Runway) -> tuple[ResolvedWeather | None, WeatherReport | None]:
    """Return the weather of the case, explicit values before those of the report; None where something is missing."""
    given, remarks = written.case.weather, list[str]()
    report: WeatherReport | None = None
    if given.report is not None:
        from groundroll.reports.weather import read_weather

        try:
            report = read_weather(given.report)
        except ReportError as error:
            written.problems.add(written.file, "weather.report", str(error))
            return None, None
        remarks += [f"Weather report: {one}" for one in report.warnings]
        if report.not_understood:
            remarks.append(f"Weather report: not understood and not used: {' '.join(report.not_understood)}")
        if report.station and report.station != runway.aerodrome:
            remarks.append(f"The weather report is of {report.station}, the runway is at {runway.aerodrome}.")
    wind = _wind(written, given, runway, report, remarks)
    temperature = _value(written, "temperature", given.temperature, report, remarks)
    pressure_setting = _value(written, "qnh", given.qnh, report, remarks)
    if wind is None or temperature is None or pressure_setting is None:
        return None, report
    resolved = ResolvedWeather(
        wind_direction=wind.direction,
        wind_variable=wind.variable,
        wind_speed=wind.speed,
        gust_speed=wind.gust,
        arc_from=wind.arc_from,
        arc_to=wind.arc_to,
        temperature=temperature,
        pressure_setting=pressure_setting,
        wind_factors=given.wind_factors,
        raw=report.raw if report else None,
        remarks=tuple(remarks),
    )
    return resolved, report


def _wind(
    written: Written, given: Weather, runway: Runway, report: WeatherReport | None, remarks: list[str]
) -> Wind | None:
    if given.wind is not None:
        if report is not None and report.wind_speed is not None:
            remarks.append(f"Wind {written.quoted('weather', 'wind')} of the case replaces that of the weather report.")
        turn = runway.magnetic_variation if given.wind_reference == "magnetic" else 0.0
        return Wind(
            direction=_turned(given.wind.direction, turn),
            speed=given.wind.speed,
            gust=given.wind.gust,
            variable=given.wind.variable,
            arc_from=_turned(given.wind.arc_from, turn),
            arc_to=_turned(given.wind.arc_to, turn),
        )
    if given.wind_reference == "magnetic":
        text = "goes with wind = ...; the wind of a weather report is against true north."
        written.problems.add(written.file, "weather.wind_reference", text)
    if report is None or report.wind_speed is None:
        text = 'is missing. Add for instance: wind = "240/14 kt" (or "calm").'
        if report is not None:
            text = f"is missing: the weather report gives none{_unread(report)}. {text.removeprefix('is missing. ')}"
        written.problems.add(written.file, "weather.wind", text)
        return None
    if report.calm:
        return Wind(direction=None, speed=0.0)
    if report.wind_direction is None and not report.wind_variable:
        remarks.append("The weather report gives a wind without a direction; it is taken as coming from anywhere.")
    return Wind(
        direction=None if report.wind_variable else report.wind_direction,
        speed=report.wind_speed,
        gust=report.gust_speed,
        variable=report.wind_variable or report.wind_direction is None,
        arc_from=report.arc_from,
        arc_to=report.arc_to,
    )


def _unread(report: WeatherReport) -> str:
    """Return the groups of a report that were not understood, for a message: the missing one may be among them."""
    return f" (not understood in it: {' '.join(report.not_understood)[:100]})" if report.not_understood else ""


def _turned(angle: float | None, turn: float) -> float | None:
    return None if angle is None else true_direction(angle, turn)


def _value(
    written: Written, key: str, given: float | None, report: WeatherReport | None, remarks: list[str]
) -> float | None:
    """Return temperature or QNH: the explicit value, or that of the report."""
    name, example = ("temperature", "8 degC") if key == "temperature" else ("QNH", "1013 hPa")
    reported = None if report is None else report.temperature if key == "temperature" else report.pressure_setting
    if given is not None:
        if reported is not None:
            value = written.quoted("weather", key)
            remarks.append(f"{name[0].upper()}{name[1:]} {value} of the case replaces that of the weather report.")
        return given
    if reported is None:
        reason = f"the weather report gives none{_unread(report)}. " if report is not None else ""
        written.problems.add(
            written.file, f"weather.{key}", f'is missing: {reason}Add for instance: {key} = "{example}".'
        )
        return None
    declared = declared_quantity(AirTemperature if key == "temperature" else Weather.model_fields["qnh"].annotation)
    dimension, unit = (TEMPERATURE, "degC") if key == "temperature" else (PRESSURE, "hPa")
    if isinstance(declared, Quantity) and not declared.minimum <= reported <= declared.maximum:
        low, high = show(declared.minimum, dimension, unit), show(declared.maximum, dimension, unit)
        text = f"the {name} of {show(reported, dimension, unit)} is outside {low} to {high}."
        written.problems.add(written.file, "weather.report", text)
        return None
    return reported


# ---------------------------------------------------------------------------------------------------------- condition


def resolve_condition(
    written: Written, runway: Runway, temperature: float | None
) -> tuple[ResolvedCondition | None, RunwayCondition | None]:
    """Return the runway condition in landing direction, and the line of the report it came from."""
    given = written.case.condition
    if given.report is None:
        return _explicit_condition(written, temperature), None
    try:
        report = read_condition(given.report)
        line = report.for_landing(written.case.direction)
    except ReportError as error:
        written.problems.add(written.file, "condition.report", str(error))
        return None, None
    aerodrome = line.aerodrome or report.aerodrome
    remarks = [f"Runway condition report: {one}" for one in report.warnings]
    if report.not_understood:
        remarks.append(f"Runway condition report: not understood and not used: {' | '.join(report.not_understood)}")
    if aerodrome and len(aerodrome) == 4 and aerodrome != runway.aerodrome:
        text = f"the report is of {aerodrome}, but the runway file is of {runway.aerodrome}. Check which one is meant."
        written.problems.add(written.file, "condition.report", text)
        return None, None
    if aerodrome and len(aerodrome) != 4 and not runway.aerodrome.endswith(aerodrome):
        remarks.append(f"The runway condition report is of {aerodrome}, the runway is at {runway.aerodrome}.")
    thirds = []
    for name, third in zip(THIRD_NAMES, line.thirds, strict=True):
        if third.code is None:
            text = f"the report gives no condition code for the {name} third. Give the codes: codes = [5, 5, 5]."
            written.problems.add(written.file, "condition.report", text)
            return None, None
        coverage = None if third.coverage_percent is None else third.coverage_percent / 100.0
        thirds.append(SurfaceThird(third.code, third.descriptor, third.depth, coverage, third.depth_at_most))
        # The reader of the report has compared code, word and depth already; it does not know the temperature.
        if _matrix_remark(name, thirds[-1], None) is None:
            remarks += filter(None, [_matrix_remark(name, thirds[-1], temperature)])
    if line.width is not None:
        remarks.append(f"The condition codes apply to a width of {line.width:.0f} m only.")
    reduced_length = report.reduced_length(written.case.direction)
    if reduced_length is not None:
        remarks.append(
            f"The runway condition report reduces runway {written.case.direction} to {reduced_length:.0f} m."
        )
    seconds = _check_age(written, report, line, remarks)
    first, second, third_one = thirds
    resolved = ResolvedCondition((first, second, third_one), report.raw, reduced_length, seconds, tuple(remarks))
    return resolved, line


def _check_age(written: Written, report: ConditionReport, line: RunwayCondition, remarks: list[str]) -> float | None:
    """Return the age of the assessment at the time of landing in seconds, and remark on one that is too old."""
    if written.case.time is None or line.moment is None:
        return None
    old = line.age(written.case.time)
    if old is None:
        return None
    assessed = time_in_words(line.month, line.day, line.hour, line.minute, line.year)
    if old > MAXIMUM_AGE:
        limit = f"{MAXIMUM_AGE.total_seconds() / 3600.0:.0f} h"
        remarks.append(
            f"The runway condition of {assessed} is {_hours(old)} old at the time of landing; such a report is valid "
            f"for {limit} at most. Get the latest one."
        )
    elif old < timedelta(0):
        remarks.append(f"The runway condition of {assessed} is {_hours(-old)} later than the time of landing.")
    return old.total_seconds()


def _hours(span: timedelta) -> str:
    minutes = round(span.total_seconds() / 60.0)
    if minutes >= 48 * 60:
        return f"{minutes // (24 * 60)} days"
    return f"{minutes // 60} h {minutes % 60:02d} min"


def _explicit_condition(written: Written, temperature: float | None) -> ResolvedCondition | None:
    given, remarks, thirds = written.case.condition, list[str](), list[SurfaceThird]()
    descriptors = [_descriptor(written, one) for one in given.descriptors] if given.descriptors else [None] * 3
    for index, code in enumerate(given.codes or ()):
        depth = given.depths[index] if given.depths else None
        coverage = given.coverage[index] if given.coverage else None
        thirds.append(SurfaceThird(code, descriptors[index], depth, coverage))
        remarks += filter(None, [_matrix_remark(THIRD_NAMES[index], thirds[-1], temperature)])
    first, second, third = thirds
    return ResolvedCondition((first, second, third), None, None, None, tuple(remarks))


def _matrix_remark(name: str, third: SurfaceThird, temperature: float | None) -> str | None:
    """Return a remark where a code is better than the assessment matrix gives for the condition word."""
    if third.descriptor is None:
        return None
    allowed = matrix_codes(third.descriptor, third.depth, temperature)
    little = third.coverage is not None and third.coverage <= SMALL_COVERAGE / 100.0
    if third.code <= max(allowed) or (third.code == 6 and little):
        return None
    codes = " or ".join(str(one) for one in allowed)
    at = f" at {show(temperature, TEMPERATURE, 'degC')}" if temperature is not None else ""
    return (
        f"Code {third.code} of the {name} third is better than the assessment matrix gives for {third.descriptor}{at}: "
        f"{codes}."
    )


def _descriptor(written: Written, text: str) -> str | None:
    word = " ".join(text.upper().split())
    if word in CONDITION_WORDS:
        return word
    shown_text = text if len(text) <= 60 else text[:57] + "..."
    hint = nearest(word, CONDITION_WORDS)
    written.problems.add(
        written.file, "condition.descriptors", f'"{shown_text}" is not one of the 17 condition words. {hint}'
    )
    return None


# ------------------------------------------------------------------------------------------------------------ landing


def resolve_landing(written: Written, aircraft: Aircraft, aircraft_file: str) -> ResolvedLanding | None:
    """Return the landing with its speeds, checked against the aircraft."""
    given, add = written.case.landing, written.problems.add
    limits = aircraft.mass
    for beyond, word, key in (
        (given.mass > limits.maximum_landing * (1.0 + 1e-9), "above the maximum landing mass", "maximum_landing"),
        (given.mass < limits.minimum * (1.0 - 1e-9), "below the minimum mass", "minimum"),
    ):
        if beyond:
            limit = show(getattr(limits, key), MASS, written.unit("landing", "mass", MASS))
            text = (
                f"{written.quoted('landing', 'mass')} is {word} {limit} of {aircraft.name}. "
                f"Correct it, or check mass.{key} in {aircraft_file}."
            )
            add(written.file, "landing.mass", text)
    flap = aircraft.flaps.get(given.flap)
    if flap is None:
        text = f'"{given.flap}" is not a flap setting of {aircraft.name}. {nearest(given.flap, aircraft.flaps)}'
        add(written.file, "landing.flap", text.strip())
        return None
    reference_speed = flap.reference_speed_at(given.mass)
    approach_speed = reference_speed + given.speed_additive
    if given.approach_speed is not None:
        approach_speed = given.approach_speed
        if "speed_additive" in given.model_fields_set:
            text = "give either approach_speed or speed_additive, not both."
            add(written.file, "landing", text)
        if approach_speed < reference_speed - 0.25:  # half a knot: reference speeds are flown in whole knots
            unit = written.unit("landing", "approach_speed", SPEED)
            text = (
                f"{written.quoted('landing', 'approach_speed')} is below the reference speed "
                f"{show(reference_speed, SPEED, unit)} of flap {given.flap} at this mass. Check mass, flap and speed."
            )
            add(written.file, "landing.approach_speed", text)
    return ResolvedLanding(
        mass=given.mass,
        flap=given.flap,
        flap_data=flap,
        reference_speed=reference_speed,
        approach_speed=approach_speed,
        touchdown_distance=given.touchdown_distance,
        touchdown_speed_loss=given.touchdown_speed_loss,
        pedal=given.pedal,
        margin=given.margin,
        dry_share=given.dry_share,
        initial_brake_temperature=given.initial_brake_temperature,
    )


def check_failures(written: Written, aircraft: Aircraft) -> None:
    """Add failures that this aeroplane cannot have."""
    failures, add = written.case.failures, written.problems.add
    reversers = aircraft.engines.count if aircraft.reverse is not None else 0
    if failures.reversers_inoperative > reversers:
        text = f"{failures.reversers_inoperative} is more than the {reversers} reversers of {aircraft.name}."
        if reversers == 0:
            text = f"{aircraft.name} has no reversers."
        add(written.file, "failures.reversers_inoperative", text)
    if failures.brakes_released >= aircraft.brakes.count:
        text = (
            f"{failures.brakes_released} of the {aircraft.brakes.count} brakes of {aircraft.name} leaves none; "
            f"at most {aircraft.brakes.count - 1}."
        )
        add(written.file, "failures.brakes_released", text)


def check_choice(written: Written, runway: Runway) -> None:
    """Add an exit wanted that this direction does not have."""
    direction = runway.directions.get(written.case.direction)
    wanted = written.case.choice.exit
    if direction is None or wanted == "any":
        return
    names = [one.name for one in direction.exits]
    if wanted not in names:
        known = f"exits of this direction: {', '.join(names)}" if names else "this direction has no exits in its file"
        text = f'"{wanted}" is not an exit of direction {written.case.direction}; {known}. Write one of them, or "any".'
        written.problems.add(written.file, "choice.exit", text)


def check_touchdown(written: Written, runway: Runway) -> None:
    """Add a touchdown point beyond the runway."""
    distance = written.case.landing.touchdown_distance
    available = runway.directions[written.case.direction].landing_distance_available
    if distance is not None and distance >= available:
        text = f"{written.quoted('landing', 'touchdown_distance')} lies beyond the landing distance, {available:.0f} m."
        written.problems.add(written.file, "landing.touchdown_distance", text)


# ------------------------------------------------------------------------------------------------------------ remarks


def remarks_on_times(
    time: datetime | None, weather: WeatherReport | None, condition: RunwayCondition | None
) -> list[str]:
    """Return remarks on a weather report that is old at the time of landing, or far from the condition report."""
    if weather is None or weather.day is None or weather.hour is None or weather.minute is None:
        return []
    stated = time_in_words(None, weather.day, weather.hour, weather.minute)
    try:
        if time is not None:
            old = age(None, weather.day, weather.hour, weather.minute, time)
            if old > OLD_WEATHER:
                return [f"The weather report ({stated}) is {_hours(old)} old at the time of landing."]
            if old < timedelta(0):
                return [f"The weather report ({stated}) is {_hours(-old)} later than the time of landing."]
            return []
        if condition is None or condition.moment is None:
            return []
        # No year is sent; any leap year serves to compare two times a few days apart.
        reference = datetime(condition.year or 2024, *condition.moment, tzinfo=UTC)
        apart = abs(age(None, weather.day, weather.hour, weather.minute, reference))
    except (ReportError, ValueError):
        return [f"The time of the weather report ({stated}) is in no month near the landing."]
    if apart > OLD_WEATHER:
        return [
            f"The weather report ({stated}) and the runway condition are {_hours(apart)} apart; the case gives no time "
            "of landing, so their age is not known."
        ]
    return []


def remarks_on_slope(runway: Runway, name: str, slope: float) -> list[str]:
    """Return a remark where a given slope does not match the elevations of both thresholds."""
    derived = slope_from_elevations(runway, name)
    if abs(derived - slope) <= SLOPE_TOLERANCE:
        return []
    return [
        f"The slope {100.0 * slope:.2g} % of runway {name} differs from {100.0 * derived:.2g} % between both threshold "
        "elevations; the given slope is used."
    ]
