"""The rejected take-off: the window of decision speeds, stop and go side by side, and what it costs."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from groundroll.constants import KNOT
from groundroll.errors import ScenarioError
from groundroll.physics.atmosphere import pressure_altitude
from groundroll.physics.brake_heat import temperature_after
from groundroll.physics.brake_limits import NO_HAZARD_TIME, PARKING_BRAKE_TIME
from groundroll.physics.take_off import DRY_SCREEN_HEIGHT, LEAST_RECOGNITION_TIME
from groundroll.physics.wind import WindComponents
from groundroll.planning.brake_outcome import COOLING_SOURCES, BrakeOutcome, landing_brake_outcome
from groundroll.planning.fit.validity import stop_fit_cautions
from groundroll.planning.landing import Limit
from groundroll.planning.reject_distances import (
    FlownDistances,
    GoDistances,
    RuleDistances,
    StopDistances,
    rule_reverse,
    stop_choice,
)
from groundroll.planning.reject_roll import StopChoice, TakeOffRun, take_off_conditions, take_off_wind
from groundroll.planning.reject_window import Window, energy_budget, openers, window_of
from groundroll.planning.wording import Wording
from groundroll.scenario.resolved import SurfaceThird
from groundroll.scenario.take_off import TakeOffCase

LATE = (1.0, 2.0, 3.0)
"""Delays of the decision that are priced. [s]"""

ABOVE = (5.0 * KNOT, 10.0 * KNOT, 20.0 * KNOT)
"""Speeds above the decision speed at which a reject is priced. [m/s]"""

BELOW_ARMING = 10.0 * KNOT
"""A low-speed reject is shown this much below the speed at which the automatic mode acts. [m/s]"""
TAKE_OVER = 4.0
"""First action to the pedals of a crew that takes over from the automatic mode: assumption of this project. [s]"""

CURVE_POINTS = 25
"""Decision speeds at which both distances are given for a chart."""

CODE_WORDS = {6: "dry", 5: "wet", 4: "compacted snow", 3: "slippery wet", 2: "standing water or slush", 1: "ice"}
"""The surface that each code usually stands for, without depth."""


@dataclass(frozen=True)
class CostCase:
    """One way in which the reject could go, as flown."""

    key: str
    words: str
    first_action_speed: float
    """Calibrated. [m/s]"""
    stop_distance: float | None
    """From brake release; None where it does not stop. [m]"""
    added: float | None
    """Against the planned stop. [m]"""
    margin: float | None
    """Left of the accelerate-stop distance available. [m]"""
    runway_end_speed: float | None
    """Ground speed over its end, where the stop lies beyond. [m/s]"""
    brake_energy_per_wheel: float | None
    peak_brake_temperature: float | None
    """[K]"""
    limited_by: dict[str, float] | None
    time: float | None
    """From brake release to the stop. [s]"""

    @property
    def fits(self) -> bool:
        """Return whether it stops on the runway."""
        return self.margin is not None and self.margin >= 0.0


@dataclass(frozen=True)
class CurvePoint:
    """Both distances for one decision speed, from brake release; None where there is none. [m]"""

    decision_speed: float
    stop_distance: float | None
    go_distance: float | None
    flown_stop_distance: float | None
    flown_go_distance: float | None


@dataclass(frozen=True)
class Aftermath:
    """The brakes after the stop from the decision speed, as flown."""

    brake_energy_per_wheel: float
    energy_limit: float | None
    """What one brake may take today. [J]"""
    peak_brake_temperature: float | None
    """Of the heat sink. [K]"""
    outcome: BrakeOutcome | None
    """Wheel, fuse plugs and cooling of the hottest brake; None without [brake_cooling]."""
    rule_brake_energy_per_wheel: float
    """Of the stop by the rule. [J]"""
    parking_brake_time: float = PARKING_BRAKE_TIME
    """For which the brakes must hold after a stop of highest energy. [s]"""
    evacuation_time: float = NO_HAZARD_TIME
    """For which nothing may hinder an evacuation, from the setting of the parking brake. [s]"""


@dataclass(frozen=True)
class Flown:
    """Distances as flown at the decision speed, nothing added; None where there is none. [m]"""

    stop_all_engines: float | None
    stop_engine_failure: float | None
    go_all_engines: float | None
    go_engine_failure: float | None


@dataclass(frozen=True)
class RejectPlan:
    """The answer to one take-off case."""

    case: TakeOffCase
    rule_run: TakeOffRun
    flown_run: TakeOffRun
    wind: WindComponents
    window: Window
    decision_speed: float
    """Calibrated. [m/s]"""
    decision_from: str
    """Where it comes from, in words."""
    engine_failure_speed: float
    """Calibrated speed at which the engine fails for it. [m/s]"""
    stop: StopDistances
    go: GoDistances
    flown: Flown
    cases: tuple[CostCase, ...]
    curve: tuple[CurvePoint, ...]
    aftermath: Aftermath | None
    openers: tuple[str, ...]
    limits: tuple[Limit, ...]
    reasons: tuple[str, ...]
    cautions: tuple[str, ...]
    source_keys: tuple[str, ...]

    @property
    def fits(self) -> bool:
        """Return whether the decision speed lies in an open window and no limit is exceeded."""
        low, high = self.window.low, self.window.high
        inside = low is not None and high is not None and low - 1e-4 <= self.decision_speed <= high + 1e-4
        return not self.window.empty and inside and all(one.within for one in self.limits)


def plan_reject(case: TakeOffCase) -> RejectPlan:
    """Return window, distances and costs of a rejected take-off.

    Raises
    ------
    ScenarioError
        If the day lies outside the data of the aircraft file, or the aeroplane cannot take off at all.
    """
    _refuse_outside_data(case)
    try:
        return _plan(case)
    except ValueError as error:
        raise ScenarioError(f"{case.title}: {error}.") from error


def _plan(case: TakeOffCase) -> RejectPlan:
    rule_run = TakeOffRun(case.aircraft, case.data, take_off_conditions(case, factored=True))
    flown_run = replace(rule_run, conditions=take_off_conditions(case, factored=False), _reached={}, _failures={})
    if min(rule_run.stop_available, rule_run.go_available) <= 0.0:
        raise ScenarioError("take_off.line_up_allowance leaves no runway.")
    rule = RuleDistances(rule_run, rule_reverse(case))
    choice = stop_choice(case)
    flown = FlownDistances(flown_run, choice)
    budget = energy_budget(case)
    window = window_of(rule, budget)
    speed, origin = _decision_speed(case, window)
    wind = take_off_wind(case)
    limits = _limits(case, flown_run, wind)
    cases = _cases(case, flown, speed)
    stop, go = rule.stop(speed), rule.go(speed)
    opened = openers(case, rule, budget) if window.empty else ()
    failure = rule_run.after_engine_failure(rule_run.conditions.ground_speed(speed))
    failure_speed = rule_run.conditions.calibrated(failure.failure_speed or failure.ground_speed)
    plan = RejectPlan(
        case=case,
        rule_run=rule_run,
        flown_run=flown_run,
        wind=wind,
        window=window,
        decision_speed=speed,
        decision_from=origin,
        engine_failure_speed=failure_speed,
        stop=stop,
        go=go,
        flown=Flown(
            stop_all_engines=_flown(lambda at: flown.stop(at, failed=False), speed),
            stop_engine_failure=_flown(lambda at: flown.stop(at, failed=True), speed),
            go_all_engines=_flown(lambda at: flown.go(at, failed=False), speed),
            go_engine_failure=_flown(lambda at: flown.go(at, failed=True), speed),
        ),
        cases=cases,
        curve=_curve(rule, flown, window),
        aftermath=_aftermath(case, flown, speed, stop, budget),
        openers=opened,
        limits=limits,
        reasons=(),
        cautions=_cautions(case, rule_run, window),
        source_keys=_source_keys(case, rule_run),
    )
    return replace(plan, reasons=_reasons(plan))


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _decision_speed(case: TakeOffCase, window: Window) -> tuple[float, str]:
    given = case.take_off.intent.decision_speed
    if given is not None:
        return given, "the case"
    low, high = window.low, window.high
    balanced = window.balanced
    if window.empty or low is None or high is None:
        wanted = balanced or window.stop_up_to or window.rotation
        return min(max(wanted, window.searched_from), window.rotation), "the window is empty: for comparison only"
    if balanced is None:
        return high, "the upper end of the window: stop and go are equal at no speed"
    if balanced < low:
        return low, "the lower end of the window, above the balanced speed"
    return (
        (balanced, "balanced") if balanced <= high else (high, "the upper end of the window, below the balanced speed")
    )


# --------------------------------------------------------------------------------------------------- what it costs


def _cost(
    case: TakeOffCase,
    flown: FlownDistances,
    key: str,
    words: str,
    speed: float,
    planned: float | None,
    late: float = 0.0,
) -> CostCase | None:
    """Return one case; None where it lies beyond the data."""
    failed = case.take_off.intent.event == "engine failure"
    run = flown.run
    try:
        point, end = flown.stop_end(speed, failed=failed, late=late)
    except (ScenarioError, ValueError):
        return None
    distance = None if end is None else end.rolled
    energy = peak = None
    if end is not None:
        energy = end.work.brakes / run.working_brakes
        peak, _ = _brake_heat(case, energy, end.time - point.time, point.ground_speed)
    return CostCase(
        key=key,
        words=words,
        first_action_speed=run.conditions.calibrated(point.ground_speed),
        stop_distance=distance,
        added=None if distance is None or planned is None else distance - planned,
        margin=None if distance is None else run.stop_available - distance,
        runway_end_speed=None if end is None else end.runway_end_speed,
        brake_energy_per_wheel=energy,
        peak_brake_temperature=peak,
        limited_by=None if end is None else end.limited_by,
        time=None if end is None else end.time,
    )


def _brake_heat(
    case: TakeOffCase, energy: float, time: float, ground_speed: float
) -> tuple[float | None, BrakeOutcome | None]:
    """Return the peak of the heat sink and the outcome of the hottest brake after a stop.

    Without [brake_cooling] the peak of a heat sink that loses nothing, and no outcome; None beyond the formula. [K]
    """
    brakes, initial = case.aircraft.brakes, case.take_off.intent.initial_brake_temperature
    start = case.weather.temperature if initial is None else initial
    try:
        if case.aircraft.brake_cooling is None or time <= 0.0:
            return float(temperature_after(energy, start, brakes.heat_sink_mass, brakes.heat_sink)), None
        outcome = landing_brake_outcome(
            case.aircraft,
            energy,
            initial_temperature=start,
            air_temperature=case.weather.temperature,
            wind_speed=case.weather.wind_speed,
            roll_time=time,
            touchdown_speed=ground_speed,
        )
    except ValueError:
        return None, None
    return outcome.peak_heat_sink_temperature, outcome


def _with(flown: FlownDistances, *, choice: StopChoice | None = None, **changes: object) -> FlownDistances:
    """Return the same take-off with another way of stopping or other conditions."""
    run = flown.run
    if changes:
        conditions = replace(run.conditions, **changes)  # type: ignore[arg-type]
        run = replace(run, conditions=conditions, _reached={}, _failures={})
    return FlownDistances(run, flown.choice if choice is None else choice)


def _cases(case: TakeOffCase, flown: FlownDistances, speed: float) -> tuple[CostCase, ...]:
    wording = Wording(case.display)
    choice, run = flown.choice, flown.run
    found: list[CostCase | None] = [_cost(case, flown, "planned", "as planned", speed, None)]
    planned = found[0].stop_distance if found[0] is not None else None

    def add(key: str, words: str, other: FlownDistances, at: float = speed, late: float = 0.0) -> None:
        found.append(_cost(case, other, key, words, at, planned, late))

    for seconds in LATE:
        add(f"late-{seconds:.0f}-s", f"decision {seconds:.0f} s late", flown, late=seconds)
    half = replace(choice, braking="manual", pedal=0.5 * choice.pedal)
    add("half-pedal", "half pedal, no automatic braking", _with(flown, choice=half))
    add("no-spoilers", "no spoilers", _with(flown, choice=replace(choice, spoilers_share=0.0)))
    if choice.reverse != "none":
        add("no-reverse", "no reverse", _with(flown, choice=replace(choice, reverse="none")))
    if run.automatic_braking(choice):
        add("not-armed", "automatic mode not armed", _with(flown, choice=replace(choice, armed=False)))
        before = replace(choice, pedal=1.0, pedals_after=0.0)
        add("pedals-first", "full pedal with the first action, ahead of the mode", _with(flown, choice=before))
        soft = replace(choice, pedal=0.5 * choice.pedal, pedals_after=TAKE_OVER)
        words = f"half pedal after {TAKE_OVER:.0f} s: it takes over from the mode"
        add("half-pedal-takes-over", words, _with(flown, choice=soft))
    if run.working_brakes > 1:
        released = run.conditions.brakes_released + 1
        add("one-brake-out", "one more brake out", _with(flown, brakes_released=released))
    for code, surface in CODE_WORDS.items():
        if all(third.code == code for third in run.conditions.thirds):
            continue
        thirds = (SurfaceThird(code, None, None, None),) * 3
        add(f"code-{code}", f"code {code} all along ({surface})", _with(flown, thirds=thirds))
    for more in ABOVE:
        add(f"above-{more / KNOT:.0f}-kt", f"begun {wording.speed(more)} above", flown, at=speed + more)
    automatic = case.aircraft.automatic_brakes
    if run.automatic_braking(choice) and automatic is not None and automatic.reject is not None:
        low = automatic.reject.minimum_ground_speed - BELOW_ARMING
        if low > run.conditions.start_speed:
            calibrated = run.conditions.calibrated(low)
            words = f"begun at {wording.speed(low)} over the ground: no automatic braking"
            add("below-arming", words, flown, at=calibrated)
    return tuple(one for one in found if one is not None)


def _curve(rule: RuleDistances, flown: FlownDistances, window: Window) -> tuple[CurvePoint, ...]:
    low, high = window.searched_from, window.rotation
    points = []
    for number in range(CURVE_POINTS):
        speed = low + (high - low) * number / (CURVE_POINTS - 1)
        points.append(
            CurvePoint(
                decision_speed=speed,
                stop_distance=_finite(rule.stop(speed).distance),
                go_distance=_finite(rule.go(speed).distance),
                flown_stop_distance=_flown(
                    lambda at: max(flown.stop(at, failed=False), flown.stop(at, failed=True)), speed
                ),
                flown_go_distance=_flown(lambda at: flown.go(at, failed=True), speed),
            )
        )
    return tuple(points)


def _flown(distance: Callable[[float], float], speed: float) -> float | None:
    """Return a distance as flown; None where the wind of the day leaves no such take-off."""
    try:
        return _finite(distance(speed))
    except ScenarioError:
        return None


def _aftermath(
    case: TakeOffCase, flown: FlownDistances, speed: float, stop: StopDistances, budget: float | None
) -> Aftermath | None:
    failed = case.take_off.intent.event == "engine failure"
    try:
        point, end = flown.stop_end(speed, failed=failed)
    except ScenarioError:  # the wind of the day leaves no such take-off
        return None
    if end is None:
        return None
    energy = end.work.brakes / flown.run.working_brakes
    peak, outcome = _brake_heat(case, energy, end.time - point.time, point.ground_speed)
    return Aftermath(
        brake_energy_per_wheel=energy,
        energy_limit=budget,
        peak_brake_temperature=peak,
        outcome=outcome,
        rule_brake_energy_per_wheel=stop.brake_energy,
    )


# ------------------------------------------------------------------------------------------- limits, words, sources


def _refuse_outside_data(case: TakeOffCase) -> None:
    limits, wording, name = case.aircraft.limits, Wording(case.display), case.aircraft.name
    temperature = case.weather.temperature
    if not limits.minimum_temperature <= temperature <= limits.maximum_temperature:
        raise ScenarioError(
            f"temperature {wording.temperature(temperature)} is outside "
            f"{wording.temperature(limits.minimum_temperature)} to {wording.temperature(limits.maximum_temperature)}, "
            f"the range of the data of {name} (limits in the aircraft file). No plan is computed beyond it."
        )
    if any(third.code == 0 for third in case.condition.thirds):
        raise ScenarioError("a third of the runway is reported with code 0: no take-off is planned on it.")
    altitude = pressure_altitude(take_off_conditions(case, factored=True).pressure)
    if altitude > limits.maximum_pressure_altitude:
        raise ScenarioError(
            f"pressure altitude {wording.altitude(altitude)} is above "
            f"{wording.altitude(limits.maximum_pressure_altitude)}, the most for which the data of {name} hold "
            "(limits in the aircraft file). No plan is computed beyond it."
        )


def _limits(case: TakeOffCase, run: TakeOffRun, wind: WindComponents) -> tuple[Limit, ...]:
    limits = case.aircraft.limits
    tailwind = max(-(wind.least_headwind - case.failures.additional_tailwind), 0.0)
    crosswind = wind.greatest_crosswind
    found = [
        Limit("tailwind", tailwind, limits.maximum_tailwind, "mps", tailwind <= limits.maximum_tailwind),
        Limit("crosswind", crosswind, limits.maximum_crosswind, "mps", crosswind <= limits.maximum_crosswind),
    ]
    if limits.maximum_touchdown_speed is not None:
        path = run.go(run.begin, DRY_SCREEN_HEIGHT)
        if path is not None:
            speed, greatest = path.lift_off_ground_speed, limits.maximum_touchdown_speed
            found.append(Limit("lift_off_speed", speed, greatest, "mps", speed <= greatest))
    return tuple(found)


def _reasons(plan: RejectPlan) -> tuple[str, ...]:
    """Return the answer in sentences, the first one above all."""
    wording, window = Wording(plan.case.display), plan.window
    speed = wording.speed
    reasons = []
    if window.empty:
        reasons.append(f"NO decision speed works: {_why_empty(plan, wording)}")
        if plan.openers:
            reasons.append(f"Any one of these would open the window: {'; '.join(plan.openers)}.")
        else:
            reasons.append("No single change of mass, temperature, flap, runway or thrust opens the window.")
    else:
        low, high = window.low, window.high
        assert low is not None and high is not None  # noqa: PT018 - one condition, for the types
        reasons.append(
            f"Decision speed {speed(plan.decision_speed)} ({plan.decision_from}); the window is {speed(low)} to "
            f"{speed(high)}."
        )
        if not low - 1e-4 <= plan.decision_speed <= high + 1e-4:
            side = "below" if plan.decision_speed < low else "above"
            reasons.append(f"The decision speed lies {side} the window: choose one within it.")
    for limit in plan.limits:
        if not limit.within:
            name = limit.name.replace("_", " ")
            reasons.append(f"No take-off: {name} {speed(limit.value)} is above the limit of {speed(limit.limit)}.")
    return tuple(reasons)


def _why_empty(plan: RejectPlan, wording: Wording) -> str:
    window, run = plan.window, plan.rule_run
    speed = wording.speed
    if window.go_from is None:
        return f"going needs more than the {wording.length(run.go_available)} there are, at any speed."
    if window.stop_up_to is None:
        return f"stopping needs more than the {wording.length(run.stop_available)} there are, at any speed."
    low, high = window.low, window.high
    assert low is not None and high is not None  # noqa: PT018 - one condition, for the types
    need = "going" if window.go_from >= window.minimum_control else "control with an engine failed"
    limit = window.brake_energy_limit
    able = "the brakes" if limit is not None and limit <= window.stop_up_to else "stopping"
    return f"{need} needs at least {speed(low)}, {able} at most {speed(high)}."


def _cautions(case: TakeOffCase, run: TakeOffRun, window: Window) -> tuple[str, ...]:
    reject, conditions = case.data.reject, run.conditions
    found = stop_fit_cautions(case.aircraft, conditions, case.take_off.intent.flap, Wording(case.display))
    loose = any(third.code <= 4 for third in conditions.thirds)
    if reject.recognition < LEAST_RECOGNITION_TIME:
        found.append(
            f"recognition {reject.recognition:.1f} s in the aircraft file is below 1 s, the least by the rule (from "
            "memory)."
        )
    if conditions.assumed_temperature is not None and loose:
        found.append("Thrust reduced by an assumed temperature is not used on a contaminated runway (from memory).")
    if case.aircraft.brake_cooling is None and case.aircraft.brakes.energy_limit is None:
        found.append("The aircraft file gives no energy limit of a brake: no brake-energy limit speed.")
    if window.go_from is not None and window.go_from <= window.searched_from + 1e-9:
        found.append("Going works from the lowest decision speed looked at.")
    if case.data.reject.as_flown is None:
        found.append("The aircraft file gives no times as flown: the demonstrated ones are used.")
    if not conditions.dry and not loose:
        found.append(
            "By the rule, stop and go on a wet runway are never below those on a dry one, whatever they are in fact."
        )
    if loose:
        found.append(
            "A contaminated runway is computed like a wet one, with its own braking and drag: an assumption of this "
            "project until the advisory texts have been read."
        )
    return tuple(found)


def _source_keys(case: TakeOffCase, run: TakeOffRun) -> tuple[str, ...]:
    keys = ["icao-doc-7488", "altimeter-setting", "compressible-airspeed"]
    if case.weather.wind_speed > 0.0:
        keys.append("wind-geometry")
    keys += ["cfr-25-109-a", "cfr-25-107-a", "amc-25-101-h-3", "recognition-time", "cfr-25-109-f", "cfr-25-113"]
    if not run.conditions.dry:
        keys += ["cfr-25-109-b", "cfr-25-113-wet-run"]
    if any(third.code <= 4 for third in run.conditions.thirds):
        keys.append("contaminated-as-wet")
    keys += ["take-off-thrust-shape", "engine-failure-model", "airborne-model"]
    if case.take_off.intent.assumed_temperature is not None:
        keys.append("ac-25-13")
    if case.weather.wind_factors == "regulatory":
        keys.append("cfr-25-105-d")
    if case.aircraft.automatic_brakes is not None and case.aircraft.automatic_brakes.reject is not None:
        keys.append("reject-mode")
    for third in run.base.thirds:
        keys += third.braking.sources
    keys += COOLING_SOURCES if case.aircraft.brake_cooling is not None else ("adiabatic-heat-sink",)
    keys.append("butland-maddison-1973" if case.aircraft.brakes.heat_sink == "carbon" else "en-1993-1-2-specific-heat")
    keys += ["cfr-25-735-g", "reject-above-120-knots", "ac-120-62"]
    return tuple(dict.fromkeys(keys))
