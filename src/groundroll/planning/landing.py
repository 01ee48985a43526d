"""The landing plan: every brake setting with every use of reverse, what fits, and which is recommended."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from groundroll.errors import ScenarioError
from groundroll.physics.air_segment import AirSegment
from groundroll.physics.atmosphere import pressure_altitude
from groundroll.physics.brake_heat import temperature_after
from groundroll.physics.brake_wear import Wear
from groundroll.physics.exits import ExitSpeed, allowed_exit_speed
from groundroll.physics.hydroplaning import spin_up_hydroplaning_speed
from groundroll.physics.rollout import History, Roll, RollEvent, RollResult, simulate
from groundroll.physics.wind import WindComponents
from groundroll.planning.brake_costs import LandingCost, cost_of_landing, wear_of_landing
from groundroll.planning.brake_outcome import COOLING_SOURCES, BrakeOutcome, landing_brake_outcome
from groundroll.planning.dispatch import DispatchCheck, dispatch_checks
from groundroll.planning.fit.validity import fit_cautions, refuse_outside_fit
from groundroll.planning.landing_roll import (
    MANUAL,
    LandingConditions,
    Reverse,
    air_segment_of,
    brakes_of,
    conditions_of,
    landing_roll,
    reverses_of,
    threshold_ground_speed,
    wind_on_runway,
    working_reversers,
)
from groundroll.planning.wording import Wording, percent
from groundroll.scenario.model import Exit
from groundroll.scenario.resolved import Case

HELD_WITHIN = 0.02
"""A target counts as held when the deceleration never stays further than this under the command. [m/s2]"""

GOOD_CODES = (5, 6)
"""On these codes manual braking may carry the margin of an automatic setting: GM2 CAT.OP.MPA.303."""


@dataclass(frozen=True)
class ExitPassage:
    """One exit as one option reaches it."""

    name: str
    distance: float
    arrival_speed: float | None
    """Ground speed abeam; None before touchdown or where the option stops short of it. [m/s]"""
    allowed_speed: float
    allowed_from: str
    """What sets the allowed speed, in words."""
    usable: bool
    """Slow enough there, or stopped short of it; a decision narrows this to what a hand-over really brings there."""
    time: float | None
    """From the threshold. [s]"""


@dataclass(frozen=True)
class LandingOption:
    """One brake setting with one use of reverse."""

    brake: str
    reverse: Reverse
    stopped: bool
    reason: str
    """Why the roll was given up, where it was."""
    air_distance: float
    transition_distance: float
    """Touchdown to the first wheel braking. [m]"""
    braked_distance: float | None
    stop_distance: float | None
    """Threshold to full stop, unfactored; None where the aeroplane does not stop. [m]"""
    factored_distance: float | None
    margin: float | None
    """Landing distance available less factored distance. [m]"""
    reserve: float | None
    """Landing distance available less unfactored distance. [m]"""
    fits: bool
    margin_carried_by_manual: bool
    """Fits only because manual braking with the same reverse carries the margin (codes 6 and 5)."""
    stop_time: float | None
    """From the threshold. [s]"""
    mean_deceleration: float
    peak_deceleration: float
    target_deceleration: float | None
    target_held: bool
    limited_by: dict[str, float]
    brake_energy_per_wheel: float
    peak_brake_temperature: float | None
    """Peak of the heat sink; without [brake_cooling] with all the energy of the stop in it and none lost; None beyond
    the range of the heat formula. [K]"""
    reverse_fuel: float
    """Above forward idle, all engines. [kg]"""
    runway_end_speed: float | None
    """Ground speed at the end of the landing distance available, where the stop lies beyond it. [m/s]"""
    exits: tuple[ExitPassage, ...]
    events: tuple[RollEvent, ...]
    history: History | None
    energy_residual: float
    brake_outcome: BrakeOutcome | None = None
    """Peaks, fuse plugs and cooling of the hottest brake; None without [brake_cooling]."""
    wear: Wear | None = None
    """Of one brake over the reference stop; None without [brake_wear]."""
    cost: LandingCost | None = None
    """None without [prices]."""

    @property
    def cooling_time(self) -> float | None:
        """Return the time from the stop until the next take-off, parked, fans off; None where not known. [s]"""
        return None if self.brake_outcome is None else self.brake_outcome.cooling_time


@dataclass(frozen=True)
class Limit:
    """One limit of the aircraft file against the day."""

    name: str
    value: float
    limit: float
    unit_suffix: str
    within: bool


@dataclass(frozen=True)
class LandingPlan:
    """The answer to one landing case."""

    case: Case
    conditions: LandingConditions
    wind: WindComponents
    threshold_ground_speed: float
    air_segment: AirSegment
    options: tuple[LandingOption, ...]
    recommended: int | None
    reasons: tuple[str, ...]
    limits: tuple[Limit, ...]
    cautions: tuple[str, ...]
    dispatch: tuple[DispatchCheck, ...]
    source_keys: tuple[str, ...]

    @property
    def fits(self) -> bool:
        """Return whether a plan can be recommended."""
        return self.recommended is not None


def third_at(conditions: LandingConditions, distance: float) -> int:
    """Return the number of the third, 0 to 2, in which a distance from the landing threshold lies."""
    along = distance + conditions.displaced_threshold
    return min(max(int(3.0 * along / conditions.runway_length), 0), 2)


def exit_speed(case: Case, conditions: LandingConditions, one: Exit) -> ExitSpeed:
    """Return the speed allowed at an exit on the surface of the third in which it leaves."""
    code = conditions.thirds[third_at(conditions, one.distance)].code
    return allowed_exit_speed(
        one.angle, code, radius=one.radius, given=one.allowed_speed, ceiling=case.choice.maximum_exit_speed
    )


def _exits(
    case: Case, conditions: LandingConditions, result: RollResult, segment: AirSegment
) -> tuple[ExitPassage, ...]:
    passages = []
    for one, passage in zip(case.direction_data.exits, result.passages[:-1], strict=True):
        allowed = exit_speed(case, conditions, one)
        reached = not math.isnan(passage.ground_speed)
        usable = passage.ground_speed <= allowed.speed if reached else one.distance >= segment.distance
        passages.append(
            ExitPassage(
                name=one.name,
                distance=one.distance,
                arrival_speed=passage.ground_speed if reached else None,
                allowed_speed=allowed.speed,
                allowed_from=allowed.set_by,
                usable=usable and (reached or result.stopped),
                time=segment.time + passage.time if reached else None,
            )
        )
    return tuple(passages)


def _brake_outcome(case: Case, energy: float, roll_time: float, touchdown_speed: float) -> BrakeOutcome | None:
    """Return peaks and cooling of the hottest brake, parked after the stop; None without data or beyond their range."""
    if case.aircraft.brake_cooling is None or roll_time <= 0.0:
        return None
    try:
        return landing_brake_outcome(
            case.aircraft,
            energy,
            initial_temperature=case.landing.initial_brake_temperature or case.weather.temperature,
            air_temperature=case.weather.temperature,
            wind_speed=case.weather.wind_speed,
            roll_time=roll_time,
            touchdown_speed=touchdown_speed,
        )
    except ValueError:
        return None


def _brake_temperature(case: Case, energy: float) -> float | None:
    """Return the temperature of a heat sink that loses nothing: the answer for a file without [brake_cooling]."""
    brakes = case.aircraft.brakes
    initial = case.landing.initial_brake_temperature or case.weather.temperature
    try:
        return float(temperature_after(energy, initial, brakes.heat_sink_mass, brakes.heat_sink))
    except ValueError:
        return None


def brake_heat(
    case: Case, energy: float, roll_time: float, touchdown_speed: float
) -> tuple[float | None, BrakeOutcome | None]:
    """Return the peak of the heat sink after a roll, and all of the outcome where the file has [brake_cooling].

    Parameters
    ----------
    case
        The case.
    energy
        Mean work of a working brake in the roll. [J]
    roll_time
        Touchdown to the end of the roll. [s]
    touchdown_speed
        Ground speed at touchdown. [m/s]

    Returns
    -------
    tuple
        The temperature is None beyond the range of the heat formula. [K]
    """
    if case.aircraft.brake_cooling is None:
        return _brake_temperature(case, energy), None
    outcome = _brake_outcome(case, energy, roll_time, touchdown_speed)
    return (None if outcome is None else outcome.peak_heat_sink_temperature), outcome


def _option(
    case: Case, conditions: LandingConditions, brake: str, reverse: Reverse, history_step: float | None
) -> LandingOption:
    roll: Roll = landing_roll(case.aircraft, conditions, brake, reverse)
    segment = air_segment_of(conditions)
    available = conditions.landing_distance_available
    stations = [*(one.distance for one in case.direction_data.exits), available]
    result = simulate(roll, stations=stations, history_step=history_step)
    at_end = result.passages[-1]
    exits = _exits(case, conditions, result, segment)
    working = case.aircraft.brakes.count - conditions.brakes_released
    energy = result.brake_work / working
    peak, outcome = brake_heat(case, energy, result.time, segment.touchdown_ground_speed)
    wear = wear_of_landing(case.aircraft, energy, peak)
    automatic = case.aircraft.automatic_brakes
    target = automatic.settings[brake] if automatic is not None and brake != MANUAL else None
    stop = result.distance if result.stopped else None
    factored = None if stop is None else stop * (1.0 + case.landing.margin)
    never_braked = math.isnan(result.brakes_on_distance)
    return LandingOption(
        brake=brake,
        reverse=reverse,
        stopped=result.stopped,
        reason=result.reason,
        air_distance=segment.distance,
        transition_distance=(result.distance if never_braked else result.brakes_on_distance) - segment.distance,
        braked_distance=None if stop is None or never_braked else stop - result.brakes_on_distance,
        stop_distance=stop,
        factored_distance=factored,
        margin=None if factored is None else available - factored,
        reserve=None if stop is None else available - stop,
        fits=factored is not None and factored <= available,
        margin_carried_by_manual=False,
        stop_time=segment.time + result.time if result.stopped else None,
        mean_deceleration=result.mean_deceleration,
        peak_deceleration=result.peak_deceleration,
        target_deceleration=target,
        target_held=target is not None and result.stopped and result.shortfall <= HELD_WITHIN,
        limited_by=result.limited_by,
        brake_energy_per_wheel=energy,
        peak_brake_temperature=peak,
        brake_outcome=outcome,
        wear=wear,
        cost=cost_of_landing(
            case.aircraft,
            wear,
            energy_per_brake=energy,
            reverse_fuel=result.reverse_fuel,
            runway_time=segment.time + result.time if result.stopped else None,
            working_brakes=working,
        ),
        reverse_fuel=result.reverse_fuel,
        runway_end_speed=None if math.isnan(at_end.ground_speed) else at_end.ground_speed,
        exits=exits,
        events=result.events,
        history=result.history,
        energy_residual=result.energy_residual,
    )


def _carried_by_manual(options: Iterable[LandingOption], conditions: LandingConditions) -> tuple[LandingOption, ...]:
    """Return the options, those marked as fitting whose margin manual braking carries on codes 6 and 5."""
    listed = tuple(options)
    good = all(third.code in GOOD_CODES for third in conditions.thirds)
    manual_fits = {one.reverse for one in listed if one.brake == MANUAL and one.fits}
    return tuple(
        replace(one, fits=True, margin_carried_by_manual=True)
        if good
        and not one.fits
        and one.brake != MANUAL
        and one.reverse in manual_fits
        and one.reserve is not None
        and one.reserve >= 0.0
        else one
        for one in listed
    )


def _limits(case: Case, wind: WindComponents, conditions: LandingConditions, touchdown_speed: float) -> list[Limit]:
    limits = case.aircraft.limits
    tailwind = max(-(wind.least_headwind - case.failures.additional_tailwind), 0.0)
    found = [
        Limit("tailwind", tailwind, limits.maximum_tailwind, "mps", tailwind <= limits.maximum_tailwind),
        Limit(
            "crosswind",
            wind.greatest_crosswind,
            limits.maximum_crosswind,
            "mps",
            wind.greatest_crosswind <= limits.maximum_crosswind,
        ),
    ]
    if limits.maximum_touchdown_speed is not None:
        greatest = limits.maximum_touchdown_speed
        found.append(Limit("touchdown_speed", touchdown_speed, greatest, "mps", touchdown_speed <= greatest))
    return found


def _refuse_outside_data(case: Case, conditions: LandingConditions) -> None:
    """Refuse a day for which the aircraft file says that its data do not hold."""
    limits, wording = case.aircraft.limits, Wording(case.display)
    name = case.aircraft.name
    if not limits.minimum_temperature <= conditions.temperature <= limits.maximum_temperature:
        raise ScenarioError(
            f"temperature {wording.temperature(conditions.temperature)} is outside "
            f"{wording.temperature(limits.minimum_temperature)} to {wording.temperature(limits.maximum_temperature)}, "
            f"the range of the data of {name} (limits in the aircraft file). No plan is computed beyond it."
        )
    altitude = pressure_altitude(conditions.pressure)
    if altitude > limits.maximum_pressure_altitude:
        raise ScenarioError(
            f"pressure altitude {wording.altitude(altitude)} is above "
            f"{wording.altitude(limits.maximum_pressure_altitude)}, the most for which the data of {name} hold "
            f"(limits in the aircraft file). No plan is computed beyond it."
        )
    refuse_outside_fit(case.aircraft, conditions, wording)


def _recommend(case: Case, options: tuple[LandingOption, ...], limits: Iterable[Limit]) -> tuple[int | None, list[str]]:
    """Return the recommended option and the reasons in words.

    Of the options that fit, those with a margin of their own come before those whose margin only manual braking
    carries, in each group those that hold their target before those that do not (manual braking holds none), and among
    these the one with the least energy in the brakes.
    """
    wording = Wording(case.display)
    exceeded = [one for one in limits if not one.within]
    fitting = [number for number, one in enumerate(options) if one.fits]
    reasons: list[str] = []
    for limit in exceeded:
        name = limit.name.replace("_", " ")
        reasons.append(
            f"No plan: {name} {wording.speed(limit.value)} is above the limit of {wording.speed(limit.limit)} "
            f"in the aircraft file."
        )
    if not fitting:
        best = min(
            (one for one in options if one.factored_distance is not None),
            key=lambda one: one.factored_distance or math.inf,
            default=None,
        )
        if best is None:
            reasons.append("No plan: no choice of brakes and reverse brings the aeroplane to a stop.")
        else:
            reasons.append(
                f"No plan: nothing fits. The shortest, {wording.choice(best.brake, best.reverse)}, needs "
                f"{wording.length(best.factored_distance)} with the margin, "
                f"{wording.length(-(best.margin or 0.0))} more than is available"
                + (
                    f"; without the margin it stops {wording.length(best.reserve)} before the end."
                    if best.reserve is not None and best.reserve >= 0.0
                    else f"; even without the margin it leaves the runway at {wording.speed(best.runway_end_speed)}."
                    if best.runway_end_speed is not None
                    else "."
                )
            )
        return None, reasons
    if exceeded:
        return None, reasons

    def order(number: int) -> tuple[bool, bool, float]:
        one = options[number]
        return one.margin_carried_by_manual, not one.target_held, one.brake_energy_per_wheel

    chosen = min(fitting, key=order)
    one = options[chosen]
    reasons.append(
        f"{wording.choice(one.brake, one.reverse).capitalize()}: stops in {wording.length(one.stop_distance)}; "
        f"{wording.length(one.factored_distance)} with {percent(case.landing.margin)} margin leaves "
        f"{wording.length(one.margin)} of {wording.length(one.factored_distance, one.margin)} available."
        if not one.margin_carried_by_manual
        else f"{wording.choice(one.brake, one.reverse).capitalize()}: stops in {wording.length(one.stop_distance)}, "
        f"{wording.length(one.reserve)} before the end; the {percent(case.landing.margin)} margin is carried by manual "
        f"braking, which must be used if the stop is in doubt (codes 6 and 5 only)."
    )
    energy = f"{one.brake_energy_per_wheel / 1e6:.1f} MJ a wheel"
    rivals = [options[number] for number in fitting if not options[number].margin_carried_by_manual] or [one]
    aside = ", of those with a margin of their own" if 1 < len(rivals) < len(fitting) else ""
    reasons.append(
        f"It is the only choice that fits: {energy}."
        if len(fitting) == 1
        else f"Of {len(fitting)} choices that fit{aside}, it puts the least energy into the brakes"
        + (" while holding its target" if one.target_held else "")
        + f": {energy}."
    )
    if one.reverse != "none":
        reasons += _what_reverse_does(one, options, wording)
    if one.target_deceleration is not None and not one.target_held:
        share = one.limited_by["friction"] + one.limited_by["torque"]
        reasons.append(f"The target is not held: friction or brake torque rules {percent(share)} of the braked roll.")
    return chosen, reasons


def _what_reverse_does(one: LandingOption, options: Iterable[LandingOption], wording: Wording) -> list[str]:
    """Return what reverse changes against the same brakes without it: distance, or only the energy."""
    without = next((other for other in options if other.brake == one.brake and other.reverse == "none"), None)
    if without is None or without.stop_distance is None or one.stop_distance is None:
        return []
    shorter = without.stop_distance - one.stop_distance
    saved = f"{(without.brake_energy_per_wheel - one.brake_energy_per_wheel) / 1e6:.1f} MJ off each brake"
    if one.target_held and without.target_held and shorter < 20.0:
        return [f"Reverse hardly shortens it, the target is held either way; it takes {saved}."]
    if one.target_held and without.target_held:
        return [
            f"Reverse shortens it by {wording.length(shorter)}, where drag and reverse alone exceed the target, "
            f"and takes {saved}."
        ]
    return [f"Reverse shortens it by {wording.length(shorter)} and takes {saved}."]


def _may_not_spin_up(conditions: LandingConditions, case: Case) -> bool:
    """Return whether touchdown lies above the speed at which a wheel spins up in the water or slush that is there."""
    touchdown = air_segment_of(conditions).touchdown_ground_speed
    wet = conditions.thirds[0].descriptor in ("STANDING WATER", "SLUSH")
    return wet and touchdown > spin_up_hydroplaning_speed(case.aircraft.tyres.main.pressure)


def _cautions(case: Case, conditions: LandingConditions, options: tuple[LandingOption, ...]) -> list[str]:
    wording = Wording(case.display)
    cautions = fit_cautions(case.aircraft, conditions, wording)
    if _may_not_spin_up(conditions, case):
        touchdown = air_segment_of(conditions).touchdown_ground_speed
        spin_up = spin_up_hydroplaning_speed(case.aircraft.tyres.main.pressure)
        cautions.append(
            f"Touchdown at {wording.speed(touchdown)} over the ground is above {wording.speed(spin_up)}, at which a "
            f"wheel may not spin up in {(conditions.thirds[0].descriptor or '').lower()}: braking may start later than "
            f"computed."
        )
    if conditions.friction_share < 1.0:
        cautions.append(f"Braking is taken at {100.0 * conditions.friction_share:.0f} % of that of the reported codes.")
    if len({third.code for third in conditions.thirds}) > 1:
        codes = "/".join(str(third.code) for third in conditions.thirds)
        cautions.append(f"Braking changes along the runway: {codes} in landing direction.")
    if not conditions.anti_skid_operative:
        cautions.append("Anti-skid inoperative: braking as this project assumes it; apply brakes with care.")
    if conditions.touchdown_distance is None:
        more = f"{1.0 + case.landing.margin:.2f}"
        own = case.aircraft.air_time
        rule = "the published 7 s rule" if own is None else f"the {own:.1f} s of the aircraft file"
        cautions.append(f"Touchdown by {rule}; a later one takes {more} times as much off the margin.")
    limit = case.aircraft.brakes.temperature_limit
    if limit is not None:
        hot = [
            wording.choice(one.brake, one.reverse)
            for one in options
            if one.peak_brake_temperature is None or one.peak_brake_temperature > limit
        ]
        if hot:
            cautions.append(f"Brakes above {wording.temperature(limit)} with: {', '.join(hot)}.")
    energy_limit = case.aircraft.brakes.energy_limit
    if energy_limit is not None and any(one.brake_energy_per_wheel > energy_limit for one in options):
        cautions.append(f"Energy above {energy_limit / 1e6:.0f} MJ a brake, the limit of the aircraft file.")
    return cautions


def _source_keys(
    conditions: LandingConditions, roll: Roll, case: Case, options: tuple[LandingOption, ...]
) -> tuple[str, ...]:
    keys = ["icao-doc-7488", "altimeter-setting", "compressible-airspeed"]
    if case.weather.wind_speed > 0.0:
        keys.append("wind-geometry")
    for third in roll.thirds:
        keys += third.braking.sources
    loose = any(third.drag_factor_main > 0.0 for third in roll.thirds)
    if loose:
        keys += ["amc-25-1591-displacement", "amc-25-1591-spray", "amc-25-1591-specific-gravity", "drag-fall-off"]
    if _may_not_spin_up(conditions, case):
        keys.append("nasa-tm-85652")
    keys.append("ac-25-32-air" if conditions.touchdown_distance is None else "air-segment-given-point")
    if case.weather.wind_factors == "regulatory":
        keys += ["cfr-25-105-d", "cat-pol-a-330"]
    keys.append("cat-op-mpa-303")
    if any(one.margin_carried_by_manual for one in options):
        keys.append("gm2-cat-op-mpa-303")
    keys += ["adiabatic-heat-sink"] if case.aircraft.brake_cooling is None else COOLING_SOURCES
    if case.aircraft.brake_wear is not None:
        keys.append("brake-wear-shape")
    keys.append("butland-maddison-1973" if case.aircraft.brakes.heat_sink == "carbon" else "en-1993-1-2-specific-heat")
    return tuple(dict.fromkeys(keys))


def plan_landing(case: Case, *, history_step: float | None = None) -> LandingPlan:
    """Return the landing plan of ``case``: every choice of brakes and reverse, and the recommended one.

    Parameters
    ----------
    case
        The resolved case.
    history_step
        Longest step of each option's recorded history; None for no history. [s]

    Raises
    ------
    ScenarioError
        If the day lies outside the data of the aeroplane or the range of the physics.
    """
    try:
        return _plan(case, history_step)
    except ValueError as error:
        raise ScenarioError(f"{case.title}: {error}. No plan is computed beyond that range.") from error


def _plan(case: Case, history_step: float | None) -> LandingPlan:
    conditions = conditions_of(case)
    _refuse_outside_data(case, conditions)
    wind = wind_on_runway(case)
    segment = air_segment_of(conditions)
    limits = _limits(case, wind, conditions, segment.touchdown_ground_speed)
    dispatch, dispatch_keys = dispatch_checks(case, conditions.landing_distance_available)
    places = ("touchdown", "middle", "roll-out")
    nil = [place for place, third in zip(places, conditions.thirds, strict=True) if third.code == 0]
    if nil:
        return LandingPlan(
            case=case,
            conditions=conditions,
            wind=wind,
            threshold_ground_speed=threshold_ground_speed(conditions),
            air_segment=segment,
            options=(),
            recommended=None,
            reasons=(
                f"No plan: runway condition code 0 in the {' and '.join(nil)} third. Braking is minimal to "
                f"non-existent and has no published coefficient; wait until the runway is treated and reported again.",
            ),
            limits=tuple(limits),
            cautions=(),
            dispatch=dispatch,
            source_keys=dispatch_keys,
        )
    aircraft = case.aircraft
    options = _carried_by_manual(
        (
            _option(case, conditions, brake, reverse, history_step)
            for brake in brakes_of(aircraft, conditions)
            for reverse in reverses_of(aircraft, conditions)
        ),
        conditions,
    )
    recommended, reasons = _recommend(case, options, limits)
    if working_reversers(aircraft, conditions) == 0:
        reasons.append("No reverse: the aeroplane has no working reverser.")
    if brakes_of(aircraft, conditions) == (MANUAL,):
        reasons.append("Manual braking only: automatic brakes are not fitted or not available.")
    first_roll = landing_roll(aircraft, conditions, MANUAL, "none")
    return LandingPlan(
        case=case,
        conditions=conditions,
        wind=wind,
        threshold_ground_speed=threshold_ground_speed(conditions),
        air_segment=segment,
        options=options,
        recommended=recommended,
        reasons=tuple(reasons),
        limits=tuple(limits),
        cautions=tuple(_cautions(case, conditions, options)),
        dispatch=dispatch,
        source_keys=tuple(dict.fromkeys((*_source_keys(conditions, first_roll, case, options), *dispatch_keys))),
    )
