"""The take-off case file: read, looked up and checked. It shares aircraft and runway files with the landing case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Annotated, Any, Literal, cast

from pydantic import Field, model_validator

from groundroll.constants import KNOT
from groundroll.scenario import read, resolve
from groundroll.scenario.check_runway import LENGTH_TOLERANCE, landing_direction
from groundroll.scenario.messages import Problems, nearest
from groundroll.scenario.model import (
    Aircraft,
    AnyMass,
    CaseFile,
    Condition,
    Designator,
    Display,
    Failures,
    Name,
    Runway,
    Section,
    ShortTime,
    TakeOff,
    TakeOffFlap,
    Time,
    Weather,
)
from groundroll.scenario.quantity import LENGTH, MASS, SHARE, SPEED, TEMPERATURE, Quantity, show
from groundroll.scenario.resolved import (
    LandingDirection,
    ResolvedCondition,
    ResolvedWeather,
    section_inputs,
)

LANDING_ONLY = ("threshold_speed_excess", "friction_share")
"""Keys of [failures] that mean nothing in a take-off."""

AnySpeed = Annotated[float, Quantity(SPEED, 40.0 * KNOT, 230.0 * KNOT)]


class TakeOffIntent(Section):
    """How the crew intends to take off, and how it would stop."""

    mass: AnyMass = Field(description="Take-off mass.")
    flap: Name = Field(description="Take-off flap, as named in the aircraft file.")
    decision_speed: AnySpeed | None = Field(
        default=None, description="Calibrated decision speed (V_1); by default the balanced one within the window."
    )
    rotation_speed: AnySpeed | None = Field(
        default=None, description="Calibrated rotation speed (V_R); by default that of the flap at this mass."
    )
    safety_speed: AnySpeed | None = Field(
        default=None, description="Calibrated take-off safety speed (V_2); by default that of the flap at this mass."
    )
    rating: Name | None = Field(
        default=None, description="Take-off rating, as named in the aircraft file; by default the first one."
    )
    assumed_temperature: Annotated[float, Quantity(TEMPERATURE, 233.15, 358.15)] | None = Field(
        default=None, description="Temperature above that of the air for which thrust is set, to reduce it."
    )
    start: Literal["standing", "rolling"] = Field(
        default="standing", description="standing: take-off thrust is set before the brakes are released."
    )
    start_speed: Annotated[float, Quantity(SPEED, 0.0, 40.0 * KNOT)] = Field(
        default=0.0, description="Ground speed at which thrust is advanced from idle in a rolling start."
    )
    begins_at: Annotated[float, Quantity(LENGTH, 0.0, 5_000.0)] = Field(
        default=0.0, description="Distance of an intersection from the start of the take-off run."
    )
    line_up_allowance: Annotated[float, Quantity(LENGTH, 0.0, 200.0)] = Field(
        default=0.0, description="Runway used up by lining up, counted off the distance to go."
    )
    line_up_allowance_stop: Annotated[float, Quantity(LENGTH, 0.0, 250.0)] | None = Field(
        default=None,
        description="The same counted off the distance to stop, to the nose wheels; by default line_up_allowance.",
    )
    event: Literal["all engines", "engine failure"] = Field(
        default="all engines", description="What the reject as flown is for: all engines run, or one has failed."
    )
    braking: Literal["automatic", "manual"] = Field(
        default="automatic", description="Braking of the reject as flown: reject mode armed, or pedals."
    )
    pedal: Annotated[float, Quantity(SHARE, 0.05, 1.0)] = Field(
        default=1.0, description="Share of full pedal used where the crew brakes."
    )
    pedals_after: ShortTime | None = Field(
        default=None,
        description="First action to the first pressure on the pedals with the reject mode armed: the pedals take over "
        "from it, or come before it. Left out, the crew leaves the brakes to the mode.",
    )

    @model_validator(mode="after")
    def _pedals_with_the_mode(self) -> TakeOffIntent:
        if self.pedals_after is not None and self.braking == "manual":
            raise ValueError(
                'pedals_after counts with braking = "automatic" only; manual braking begins at '
                "take_off.reject of the aircraft file (brakes)."
            )
        return self

    reverse: Literal["none", "idle", "full"] = Field(default="full", description="Reverse of the reject as flown.")
    wet_reverse_credit: bool = Field(
        default=True, description="Whether the distances by the rule count reverse on a runway that is not dry."
    )
    initial_brake_temperature: Annotated[float, Quantity(TEMPERATURE, 200.0, 1_200.0)] | None = Field(
        default=None, description="Brake temperature before the take-off; by default the outside air temperature."
    )


class TakeOffCaseFile(Section):
    """One take-off to be planned, as written; `TakeOffCase` has everything looked up."""

    format: Literal[1] = Field(description="Format of this file.")
    title: Annotated[str, Field(min_length=1, max_length=200)] = Field(description="Title shown on every output.")
    aircraft: Annotated[str, Field(min_length=1, max_length=1_000)] = Field(
        description="Aircraft file, relative to this file."
    )
    runway: Annotated[str, Field(min_length=1, max_length=1_000)] = Field(
        description="Runway file, relative to this file."
    )
    direction: Designator = Field(description="Take-off direction, as painted.")
    time: Time | None = Field(default=None, description="Time of take-off, UTC.")
    weather: Weather = Field(description="Weather.")
    condition: Condition = Field(description="Runway condition.")
    take_off: TakeOffIntent = Field(description="The take-off.")
    failures: Failures = Field(default_factory=Failures, description="Failures and what-ifs.")
    display: Display = Field(default_factory=Display, description="Units of outputs.")


@dataclass(frozen=True)
class DeclaredDistances:
    """What the runway offers a take-off, from the start of the take-off run."""

    take_off_run: float
    """TORA. [m]"""
    take_off: float
    """TODA. [m]"""
    accelerate_stop: float
    """ASDA. [m]"""


@dataclass(frozen=True)
class ResolvedTakeOff:
    """The take-off with speeds worked out."""

    intent: TakeOffIntent
    flap_data: TakeOffFlap
    rotation_speed: float
    """Calibrated. [m/s]"""
    safety_speed: float
    """Calibrated. [m/s]"""
    rating: str
    rating_share: float


@dataclass(frozen=True)
class TakeOffCase:
    """One take-off to be planned."""

    title: str
    aircraft: Aircraft
    data: TakeOff
    """The take-off data of the aircraft."""
    runway: Runway
    direction: str
    direction_data: LandingDirection
    declared: DeclaredDistances
    time: datetime | None
    weather: ResolvedWeather
    condition: ResolvedCondition
    take_off: ResolvedTakeOff
    failures: Failures
    display: Display
    remarks: tuple[str, ...]
    """Everything odd but usable, to be shown with the result."""
    braking_table: Path | None
    sources: dict[str, Path]


def _refuse_landing_case(data: dict[str, Any], file: str, problems: Problems) -> None:
    if "take_off" not in data and "landing" in data:
        problems.add(file, "", "is a landing case. For a take-off it needs [take_off] instead of [landing].")
        problems.raise_if_any()


def read_take_off_case(path: Path | str, overrides: Sequence[str] = ()) -> TakeOffCase:
    """Return the take-off case in a file with everything it names read, looked up and checked.

    Parameters
    ----------
    path
        Case file; it names aircraft and runway files relative to itself.
    overrides
        Changes as `key=value`, such as "take_off.mass=70 t"; keys beginning with `aircraft.` or `runway.` reach into
        those files.

    Raises
    ------
    ScenarioError
        With all problems of all three files, one line each, at most ten.
    """
    opened = read.opened_case(path, overrides, TakeOffCaseFile, _refuse_landing_case)
    case, problems = opened.case, opened.problems
    resolved = None
    if case is not None:
        # The landing and the take-off case share the sections that these functions read.
        written = resolve.Written(cast(CaseFile, case), opened.data, opened.files["case"].name, problems)
        resolved = _resolved(written, case, opened.aircraft, opened.runway, opened.files)
    problems.raise_if_any()
    assert resolved is not None  # without a problem there is a result
    return resolved


def _resolved(
    written: resolve.Written,
    case: TakeOffCaseFile,
    aircraft: Aircraft | None,
    runway: Runway | None,
    files: dict[str, Path],
) -> TakeOffCase | None:
    take_off = _take_off(written, case, aircraft, files["aircraft"].name) if aircraft is not None else None
    if aircraft is not None:
        resolve.check_failures(written, aircraft)
    for key in LANDING_ONLY:
        if key in case.failures.model_fields_set:
            written.problems.add(written.file, f"failures.{key}", "belongs to a landing; it has no effect here.")
    if runway is None:
        return None
    weather, weather_report = resolve.resolve_weather(written, runway)
    if case.direction not in runway.directions:
        hint = nearest(case.direction, runway.directions)
        text = f'"{case.direction}" is not a direction of {files["runway"].name}. {hint}'
        written.problems.add(written.file, "direction", text)
        return None
    condition, line = resolve.resolve_condition(written, runway, weather.temperature if weather else None)
    declared, remarks_on_declared = _declared(runway, case.direction, files["runway"].name, written.problems)
    if aircraft is None or take_off is None or weather is None or condition is None or declared is None:
        return None
    if aircraft.take_off is None:
        return None
    direction = landing_direction(runway, case.direction)
    found = (
        *weather.remarks,
        *condition.remarks,
        *resolve.remarks_on_times(case.time, weather_report, line),
        *resolve.remarks_on_slope(runway, case.direction, direction.slope),
        *remarks_on_declared,
    )
    # The functions shared with the landing case speak of the landing.
    remarks = tuple(one.replace("time of landing", "time of take-off") for one in found)
    assumed = case.take_off.assumed_temperature
    if assumed is not None and assumed < weather.temperature:
        text = (
            f"{written.quoted('take_off', 'assumed_temperature')} is below the temperature of the air, "
            f"{show(weather.temperature, TEMPERATURE, 'degC')}. Leave it out, or assume a higher one."
        )
        written.problems.add(written.file, "take_off.assumed_temperature", text)
        return None
    shortest = min(declared.take_off_run, declared.accelerate_stop)
    if case.take_off.begins_at >= shortest:
        text = f"{written.quoted('take_off', 'begins_at')} leaves no runway: it has {shortest:.0f} m."
        written.problems.add(written.file, "take_off.begins_at", text)
        return None
    table = files["aircraft"].parent / aircraft.braking_table if aircraft.braking_table is not None else None
    return TakeOffCase(
        title=case.title,
        aircraft=aircraft,
        data=aircraft.take_off,
        runway=runway,
        direction=case.direction,
        direction_data=direction,
        declared=declared,
        time=case.time,
        weather=weather,
        condition=condition,
        take_off=take_off,
        failures=case.failures,
        display=case.display,
        remarks=remarks,
        braking_table=table,
        sources=files if table is None else {**files, "braking_table": table},
    )


def _declared(
    runway: Runway, name: str, file: str, problems: Problems
) -> tuple[DeclaredDistances | None, tuple[str, ...]]:
    """Return the declared distances; those not in the file follow from the paved length, stopway and clearway."""
    direction = runway.directions[name]
    key = f"directions.{name}"
    given = direction.take_off_run_available
    run = runway.length if given is None else given
    stop = direction.accelerate_stop_distance_available
    far = direction.take_off_distance_available
    found = DeclaredDistances(
        take_off_run=run,
        take_off=run + direction.clearway if far is None else far,
        accelerate_stop=run + direction.stopway if stop is None else stop,
    )
    before = len(problems.lines)
    if run > runway.length + LENGTH_TOLERANCE:
        text = f"{run:.0f} m is more than the paved length, {runway.length:.0f} m."
        problems.add(file, f"{key}.take_off_run_available", text, prefix="runway.")
    for word, value in (
        ("accelerate_stop_distance_available", found.accelerate_stop),
        ("take_off_distance_available", found.take_off),
    ):
        if value < run - LENGTH_TOLERANCE:
            text = f"{value:.0f} m is less than the take-off run available, {run:.0f} m."
            problems.add(file, f"{key}.{word}", text, prefix="runway.")
    if len(problems.lines) > before:
        return None, ()
    remarks = []
    if given is None:
        displaced = (
            f", the {direction.displaced_threshold:.0f} m before the displaced threshold included"
            if direction.displaced_threshold > 0.0
            else ""
        )
        remarks.append(
            f"The runway file declares no take-off run for {name}: the paved length of {run:.0f} m is used{displaced}."
        )
    if found.take_off > 1.5 * run + LENGTH_TOLERANCE:
        remarks.append(
            f"The clearway of {name} is longer than half the take-off run; half of it counts "
            "(14 CFR 121.189(c), from memory)."
        )
        found = DeclaredDistances(found.take_off_run, 1.5 * run, found.accelerate_stop)
    return found, tuple(remarks)


def _take_off(
    written: resolve.Written, case: TakeOffCaseFile, aircraft: Aircraft, aircraft_file: str
) -> ResolvedTakeOff | None:
    given, add = case.take_off, written.problems.add
    data = aircraft.take_off
    if data is None:
        text = "the section is missing: add the take-off data, as in the demonstration files."
        add(aircraft_file, "take_off", text, prefix="aircraft.")
        return None
    limits = aircraft.mass
    for beyond, word, key in (
        (given.mass > limits.maximum_take_off * (1.0 + 1e-9), "above the maximum take-off mass", "maximum_take_off"),
        (given.mass < limits.minimum * (1.0 - 1e-9), "below the minimum mass", "minimum"),
    ):
        if beyond:
            limit = show(getattr(limits, key), MASS, written.unit("take_off", "mass", MASS))
            text = (
                f"{written.quoted('take_off', 'mass')} is {word} {limit} of {aircraft.name}. "
                f"Correct it, or check mass.{key} in {aircraft_file}."
            )
            add(written.file, "take_off.mass", text)
    flap = data.flaps.get(given.flap)
    if flap is None:
        text = f'"{given.flap}" is not a take-off flap of {aircraft.name}. {nearest(given.flap, data.flaps)}'
        add(written.file, "take_off.flap", text.strip())
    rating = next(iter(data.ratings)) if given.rating is None else given.rating
    share = data.ratings.get(rating)
    if share is None:
        text = f'"{rating}" is not a take-off rating of {aircraft.name}. {nearest(rating, data.ratings)}'
        add(written.file, "take_off.rating", text.strip())
    if flap is None or share is None:
        return None
    scale = (given.mass / flap.reference_mass) ** 0.5
    rotation = flap.rotation_speed * scale if given.rotation_speed is None else given.rotation_speed
    safety = flap.safety_speed * scale if given.safety_speed is None else given.safety_speed
    if safety < rotation * (1.0 - 1e-9):
        text = f"{show(safety, SPEED, 'kt')} is below the rotation speed, {show(rotation, SPEED, 'kt')}."
        add(written.file, "take_off.safety_speed", text)
    if given.decision_speed is not None and given.decision_speed > rotation * (1.0 + 1e-9):
        text = (
            f"{written.quoted('take_off', 'decision_speed')} is above the rotation speed, "
            f"{show(rotation, SPEED, 'kt')}; it must not be."
        )
        add(written.file, "take_off.decision_speed", text)
    if given.start == "standing" and given.start_speed > 0.0:
        add(written.file, "take_off.start_speed", 'goes with start = "rolling".')
    if given.reverse != "none" and aircraft.reverse is None and "reverse" in given.model_fields_set:
        add(written.file, "take_off.reverse", f'{aircraft.name} has no reversers. Write reverse = "none".')
    return ResolvedTakeOff(given, flap, float(rotation), float(safety), rating, share)


def take_off_inputs(case: TakeOffCase) -> dict[str, Any]:
    """Return everything a take-off case was computed from, JSON-ready: SI values, names with units."""
    direction, declared = case.direction_data, case.declared
    weather, condition = case.weather, case.condition
    return {
        "title": case.title,
        "time": case.time.isoformat().replace("+00:00", "Z") if case.time else None,
        "aircraft": section_inputs(case.aircraft),
        "runway": {
            "aerodrome": case.runway.aerodrome,
            "name": case.runway.name,
            "length_m": case.runway.length,
            "width_m": case.runway.width,
            "surface": case.runway.surface,
        },
        "direction": {
            "designator": direction.designator,
            "true_bearing_rad": direction.true_bearing,
            "threshold_elevation_m": direction.threshold_elevation,
            "slope": direction.slope,
            "take_off_run_available_m": declared.take_off_run,
            "take_off_distance_available_m": declared.take_off,
            "accelerate_stop_distance_available_m": declared.accelerate_stop,
        },
        "weather": {
            "wind_direction_rad": weather.wind_direction,
            "wind_variable": weather.wind_variable,
            "wind_speed_mps": weather.wind_speed,
            "gust_speed_mps": weather.gust_speed,
            "temperature_k": weather.temperature,
            "pressure_setting_pa": weather.pressure_setting,
            "wind_factors": weather.wind_factors,
            "report": weather.raw,
        },
        "condition": {
            "thirds": [
                {"code": one.code, "descriptor": one.descriptor, "depth_m": one.depth, "coverage": one.coverage}
                for one in condition.thirds
            ],
            "reduced_length_m": condition.reduced_length,
            "age_s": condition.age,
            "report": condition.raw,
        },
        "take_off": {
            **section_inputs(case.take_off.intent),
            "rotation_speed_mps": case.take_off.rotation_speed,
            "safety_speed_mps": case.take_off.safety_speed,
            "rating": case.take_off.rating,
            "rating_share": case.take_off.rating_share,
        },
        "failures": section_inputs(case.failures),
        "display": section_inputs(case.display),
        "files": {name: path.name for name, path in case.sources.items()},
        "remarks": list(case.remarks),
    }
