"""One case of a lesson, rolled: a landing with one choice of brakes, or a rejected take-off, and every number of it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final, Generic, TypeVar, get_type_hints

from groundroll.errors import ScenarioError
from groundroll.physics.air_segment import AirSegment
from groundroll.physics.hydroplaning import hydroplaning_speed, spin_up_hydroplaning_speed
from groundroll.physics.rollout import Roll, RollResult, simulate
from groundroll.planning.brake_outcome import BrakeOutcome, landing_brake_outcome
from groundroll.planning.exits import Approach, ExitSearch
from groundroll.planning.landing import HELD_WITHIN, LandingPlan, brake_heat, plan_landing, third_at
from groundroll.planning.landing_history import HISTORY_STEP
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
)
from groundroll.planning.reject import RejectPlan, plan_reject
from groundroll.planning.reject_distances import FlownDistances, stop_choice
from groundroll.planning.reject_roll import Point
from groundroll.scenario.model import Aircraft, Exit
from groundroll.scenario.quantity import declared_quantity
from groundroll.scenario.resolved import Case
from groundroll.scenario.take_off import TakeOffCase
from groundroll.teaching.numbers import (
    ACCELERATION,
    ENERGY,
    FORCE,
    LENGTH,
    MASS,
    PLAIN,
    PRESSURE,
    SPEED,
    TEMPERATURE,
    TIME,
    Measured,
    Powers,
    Value,
    unknown_name,
)
from groundroll.units import celsius_from_kelvin

AnyRun = TypeVar("AnyRun", "LandingRun", "RejectRun")


class LandingRun:
    """A landing with one use of brakes and reverse, held to a stop; where an exit is named, brought to it too.

    Everything is worked out when it is first asked for: a sweep that wants one number pays for one.
    """

    kind: Final = "landing"

    def __init__(self, case: Case, brake: str | None = None, reverse: str | None = None, exit_: str | None = None):
        self.case = case
        self.exit_name = exit_
        self.conditions: LandingConditions = conditions_of(case)
        self._check_codes()
        self.brake, self.reverse = self._choice(brake, reverse)

    def _check_codes(self) -> None:
        if any(third.code == 0 for third in self.conditions.thirds):
            raise ScenarioError("runway condition code 0 has no published braking; no roll is computed on it.")

    def _choice(self, brake: str | None, reverse: str | None) -> tuple[str, Reverse]:
        brakes = brakes_of(self.case.aircraft, self.conditions)
        reverses = reverses_of(self.case.aircraft, self.conditions)
        if brake is None or reverse is None:
            from groundroll.planning.comparison import compared_option
            from groundroll.planning.decision import decide

            option = compared_option(decide(self.plan))
            brake = option.brake if brake is None else brake
            reverse = option.reverse if reverse is None else reverse
        if brake not in brakes:
            raise unknown_name(brake, list(brakes), "a brake setting that this aeroplane has today")
        found = next((one for one in reverses if one == reverse), None)
        if found is None:
            raise unknown_name(reverse, list(reverses), "a use of reverse that this aeroplane has today")
        return brake, found

    @cached_property
    def plan(self) -> LandingPlan:
        """Return the whole plan of the case."""
        return plan_landing(self.case)

    @cached_property
    def segment(self) -> AirSegment:
        """Return the part from threshold to touchdown."""
        return air_segment_of(self.conditions)

    @cached_property
    def roll(self) -> Roll:
        """Return the roll, brakes held to a stop."""
        return landing_roll(self.case.aircraft, self.conditions, self.brake, self.reverse)

    @cached_property
    def result(self) -> RollResult:
        """Return what comes of it."""
        return simulate(self.roll)

    @cached_property
    def recorded(self) -> RollResult:
        """Return the roll with its history: to the exit where one is named, to the stop otherwise."""
        if self.exit_name is None:
            return simulate(self.roll, history_step=HISTORY_STEP)
        approach = self.approach
        roll = replace(self.roll, limit_distance=approach.exit_distance, brake_program=tuple(approach.brake_program))
        return simulate(roll, history_step=HISTORY_STEP)

    @cached_property
    def exit(self) -> Exit:
        """Return the exit that the lesson names."""
        exits = {one.name: one for one in self.case.direction_data.exits}
        if self.exit_name is None:
            raise ScenarioError("the case names no exit. Add a line such as: exit = " + ", ".join(exits))
        if self.exit_name not in exits:
            raise unknown_name(self.exit_name, list(exits), f"an exit of runway {self.case.direction}")
        if exits[self.exit_name].distance <= self.segment.distance:
            raise ScenarioError(f'exit "{self.exit_name}" lies before the touchdown.')
        return exits[self.exit_name]

    @cached_property
    def approach(self) -> Approach:
        """Return how this choice is brought to the exit."""
        option = next(one for one in self.plan.options if (one.brake, one.reverse) == (self.brake, self.reverse))
        return ExitSearch(self.plan).approach(option, self.exit)

    @property
    def working_brakes(self) -> int:
        """Return how many brakes work."""
        return self.case.aircraft.brakes.count - self.conditions.brakes_released

    @property
    def brake_energy(self) -> float:
        """Return the work of one brake until the stop. [J]"""
        return self.result.brake_work / self.working_brakes

    @cached_property
    def heat(self) -> tuple[float | None, BrakeOutcome | None]:
        """Return the peak of the heat sink and what comes after, parked right behind the stop. [K]"""
        return brake_heat(self.case, self.brake_energy, self.result.time, self.segment.touchdown_ground_speed)

    @property
    def outcome(self) -> BrakeOutcome | None:
        """Return peaks and cooling; None where the aircraft file has no data."""
        return self.heat[1]

    @property
    def stop_distance(self) -> float | None:
        """Return threshold to stop; None where it does not stop. [m]"""
        return self.result.distance if self.result.stopped else None

    @property
    def target(self) -> float | None:
        """Return the total deceleration that the setting asks for; None for pedals. [m/s2]"""
        automatic = self.case.aircraft.automatic_brakes
        return None if automatic is None or self.brake == MANUAL else automatic.settings[self.brake]

    @property
    def target_held(self) -> bool:
        """Return whether the setting is never missed."""
        return self.target is not None and self.result.stopped and self.result.shortfall <= HELD_WITHIN

    def number(self, name: str) -> Value:
        """Return a number of the run by its name."""
        return _number(self, name, LANDING, self.case.aircraft)


class RejectRun:
    """A rejected take-off as flown, begun at one speed."""

    kind: Final = "reject"

    def __init__(
        self,
        case: TakeOffCase,
        speed: float | None = None,
        ground_speed: float | None = None,
        late: float = 0.0,
        plan: RejectPlan | None = None,
    ) -> None:
        self.case = case
        self.plan = plan_reject(case) if plan is None else plan
        conditions = self.plan.flown_run.conditions
        if speed is None:
            speed = self.plan.decision_speed if ground_speed is None else conditions.calibrated(ground_speed)
        self.speed = speed
        self.late = late
        self.failed = case.take_off.intent.event == "engine failure"

    def at_speed(self, speed: float, late: float) -> RejectRun:
        """Return the same take-off rejected at another speed."""
        return RejectRun(self.case, speed, late=late, plan=self.plan)

    @cached_property
    def _ends(self) -> tuple[Point, Point | None]:
        flown = FlownDistances(self.plan.flown_run, stop_choice(self.case))
        return flown.stop_end(self.speed, failed=self.failed, late=self.late)

    @property
    def begin(self) -> Point:
        """Return the first action."""
        return self._ends[0]

    @property
    def end(self) -> Point | None:
        """Return the stop; None where there is none."""
        return self._ends[1]

    @property
    def stop_distance(self) -> float | None:
        """Return brake release to stop; None where it does not stop. [m]"""
        return None if self.end is None else self.end.rolled

    @property
    def brake_energy(self) -> float | None:
        """Return the work of one brake. [J]"""
        return None if self.end is None else self.end.work.brakes / self.plan.flown_run.working_brakes

    @cached_property
    def go_distance(self) -> float | None:
        """Return brake release to the screen height with an engine failed at this decision speed. [m]"""
        flown = FlownDistances(self.plan.flown_run, stop_choice(self.case))
        distance = flown.go(self.speed, failed=True)
        return distance if math.isfinite(distance) else None

    @cached_property
    def outcome(self) -> BrakeOutcome | None:
        """Return peaks and cooling; None without data or beyond their range."""
        energy, end = self.brake_energy, self.end
        if energy is None or end is None or self.case.aircraft.brake_cooling is None:
            return None
        given = self.case.take_off.intent.initial_brake_temperature
        try:
            return landing_brake_outcome(
                self.case.aircraft,
                energy,
                initial_temperature=self.case.weather.temperature if given is None else given,
                air_temperature=self.case.weather.temperature,
                wind_speed=self.case.weather.wind_speed,
                roll_time=end.time - self.begin.time,
                touchdown_speed=self.begin.ground_speed,
            )
        except ValueError:
            return None

    @property
    def arming_speed(self) -> float | None:
        """Return the ground speed above which the automatic mode acts; None without one. [m/s]"""
        automatic = self.case.aircraft.automatic_brakes
        return None if automatic is None or automatic.reject is None else automatic.reject.minimum_ground_speed

    def number(self, name: str) -> Value:
        """Return a number of the run by its name."""
        return _number(self, name, REJECT, self.case.aircraft)


@dataclass(frozen=True)
class Quantity(Generic[AnyRun]):
    """One number that a lesson can ask of a case."""

    unit: str
    """SI, as in JSON names: "m", "mps", "j", "k", "" for a share, "words" for a word."""
    words: str
    get: Callable[[AnyRun], float | str | bool | None]


_POWERS: Final[dict[str, Powers]] = {
    "m": LENGTH,
    "mps": SPEED,
    "mps2": ACCELERATION,
    "s": TIME,
    "kg": MASS,
    "j": ENERGY,
    "k": TEMPERATURE,
    "n": FORCE,
    "pa": PRESSURE,
    "": PLAIN,
}


def _lost(run: LandingRun, work: float) -> float:
    return work / run.result.kinetic_energy_lost


def _peak(run: LandingRun | RejectRun, name: str) -> float | None:
    return None if run.outcome is None else getattr(run.outcome, name)


LANDING: Final[dict[str, Quantity[LandingRun]]] = {
    "brake": Quantity("words", "brake setting", lambda run: run.brake),
    "reverse": Quantity("words", "use of reverse", lambda run: run.reverse),
    "target_held": Quantity("words", "whether the deceleration asked for is held", lambda run: run.target_held),
    "direction": Quantity("words", "landing direction", lambda run: run.case.direction),
    "runway_length": Quantity("m", "length that the thirds divide", lambda run: run.conditions.runway_length),
    "stop_third": Quantity("words", "third in which it stops", lambda run: _third_words(run)),
    "mass": Quantity("kg", "landing mass", lambda run: run.conditions.mass),
    "approach_speed": Quantity("mps", "calibrated airspeed over the threshold", lambda r: r.conditions.approach_speed),
    "threshold_speed": Quantity(
        "mps", "ground speed over the threshold", lambda r: threshold_ground_speed(r.conditions)
    ),
    "touchdown_speed": Quantity("mps", "ground speed at touchdown", lambda run: run.segment.touchdown_ground_speed),
    "headwind": Quantity("mps", "headwind used for the roll, tailwind negative", lambda run: run.conditions.headwind),
    "available": Quantity("m", "landing distance available", lambda r: r.conditions.landing_distance_available),
    "air_distance": Quantity("m", "threshold to touchdown", lambda run: run.segment.distance),
    "transition_distance": Quantity(
        "m", "touchdown to the first wheel braking", lambda run: run.result.brakes_on_distance - run.segment.distance
    ),
    "brakes_on_speed": Quantity("mps", "ground speed when the wheel brakes begin", lambda r: r.result.brakes_on_speed),
    "stop_distance": Quantity("m", "stop distance from the threshold", lambda run: run.stop_distance),
    "ground_roll": Quantity(
        "m",
        "touchdown to a full stop",
        lambda run: None if run.stop_distance is None else run.stop_distance - run.segment.distance,
    ),
    "factored_distance": Quantity(
        "m",
        "stop distance with the margin",
        lambda run: None if run.stop_distance is None else run.stop_distance * (1.0 + run.case.landing.margin),
    ),
    "margin": Quantity(
        "m",
        "left behind the margin",
        lambda run: (
            None
            if run.stop_distance is None
            else run.conditions.landing_distance_available - run.stop_distance * (1.0 + run.case.landing.margin)
        ),
    ),
    "margin_share": Quantity("", "margin that the case asks for", lambda run: run.case.landing.margin),
    "reserve": Quantity(
        "m",
        "left behind the stop",
        lambda run: (
            None if run.stop_distance is None else run.conditions.landing_distance_available - run.stop_distance
        ),
    ),
    "stop_time": Quantity(
        "s", "threshold to a full stop", lambda run: run.segment.time + run.result.time if run.result.stopped else None
    ),
    "mean_deceleration": Quantity("mps2", "mean deceleration", lambda run: run.result.mean_deceleration),
    "peak_deceleration": Quantity("mps2", "greatest deceleration", lambda run: run.result.peak_deceleration),
    "target_deceleration": Quantity("mps2", "total deceleration that the setting asks for", lambda run: run.target),
    "kinetic_energy": Quantity(
        "j", "energy of motion at touchdown", lambda r: 0.5 * r.conditions.mass * r.segment.touchdown_ground_speed**2
    ),
    "brake_energy": Quantity("j", "energy in each brake", lambda run: run.brake_energy),
    "share_of_brakes": Quantity("", "share of the energy that brakes take", lambda r: _lost(r, r.result.brake_work)),
    "share_of_drag": Quantity("", "share that the air takes", lambda run: _lost(run, run.result.aerodynamic_work)),
    "share_of_reverse": Quantity("", "share that reverse takes", lambda run: _lost(run, -run.result.thrust_work)),
    "share_of_contaminant": Quantity(
        "", "share that what lies on the runway takes", lambda run: _lost(run, run.result.contaminant_work)
    ),
    "ruled_by_demand": Quantity(
        "", "share of the braked roll ruled by demand", lambda r: r.result.limited_by["demand"]
    ),
    "ruled_by_friction": Quantity(
        "", "share of the braked roll ruled by friction", lambda run: run.result.limited_by["friction"]
    ),
    "ruled_by_torque": Quantity(
        "", "share of the braked roll ruled by brake torque", lambda run: run.result.limited_by["torque"]
    ),
    "reverse_fuel": Quantity("kg", "fuel for reverse above idle", lambda run: run.result.reverse_fuel),
    "runway_end_speed": Quantity("mps", "speed over the end, where it goes there", lambda r: _over(r)),
    "initial_brake_temperature": Quantity(
        "k", "brakes before landing", lambda r: r.case.landing.initial_brake_temperature or r.case.weather.temperature
    ),
    "peak_brake_temperature": Quantity("k", "hottest heat sink", lambda run: run.heat[0]),
    "peak_wheel_temperature": Quantity("k", "hottest wheel", lambda run: _peak(run, "peak_wheel_temperature")),
    "peak_wheel_time": Quantity("s", "stop to the hottest wheel", lambda run: _peak(run, "peak_wheel_time")),
    "peak_indicated_temperature": Quantity(
        "k", "highest indication", lambda run: _peak(run, "peak_indicated_temperature")
    ),
    "peak_indicated_time": Quantity(
        "s", "stop to the highest indication", lambda run: _peak(run, "peak_indicated_time")
    ),
    "cooling_time": Quantity("s", "wait until a take-off is allowed", lambda run: _peak(run, "cooling_time")),
    "fuse_plugs": Quantity(
        "words", "state of the fuse plugs", lambda r: None if r.outcome is None else r.outcome.fuse_plugs
    ),
    "hydroplaning_speed": Quantity(
        "mps",
        "speed above which a rolling tyre hydroplanes on water",
        lambda run: hydroplaning_speed(run.case.aircraft.tyres.main.pressure),
    ),
    "spin_up_hydroplaning_speed": Quantity(
        "mps",
        "speed above which a tyre may not spin up on water",
        lambda run: spin_up_hydroplaning_speed(run.case.aircraft.tyres.main.pressure),
    ),
    "exit_distance": Quantity("m", "threshold to the exit", lambda run: run.exit.distance),
    "exit_allowed_speed": Quantity("mps", "speed allowed at the exit", lambda run: run.approach.allowed_speed),
    "exit_held_speed": Quantity("mps", "speed at the exit, brakes held", lambda run: run.approach.held_arrival_speed),
    "exit_speed": Quantity("mps", "speed at the exit as planned", lambda run: run.approach.arrival_speed),
    "exit_means": Quantity("words", "how the exit is made", lambda run: run.approach.means),
    "release_distance": Quantity("m", "threshold to the hand-over", lambda run: run.approach.release_distance),
    "release_speed": Quantity("mps", "ground speed at the hand-over", lambda run: run.approach.release_speed),
    "exit_brake_energy": Quantity(
        "j", "energy in each brake until the exit", lambda run: run.approach.brake_energy_per_wheel
    ),
    "runway_time": Quantity("s", "threshold to clear of the runway", lambda run: run.approach.runway_time),
    "first_code": Quantity("", "code of the touchdown third", lambda run: float(run.conditions.thirds[0].code)),
    "second_code": Quantity("", "code of the middle third", lambda run: float(run.conditions.thirds[1].code)),
    "third_code": Quantity("", "code of the roll-out third", lambda run: float(run.conditions.thirds[2].code)),
}


def _third_words(run: LandingRun) -> str | None:
    if run.stop_distance is None:
        return None
    return ("touchdown", "middle", "roll-out")[third_at(run.conditions, run.stop_distance)]


def _over(run: LandingRun) -> float:
    passage = simulate(run.roll, stations=[run.conditions.landing_distance_available]).passages[0]
    return 0.0 if math.isnan(passage.ground_speed) else passage.ground_speed


REJECT: Final[dict[str, Quantity[RejectRun]]] = {
    "mass": Quantity("kg", "take-off mass", lambda run: run.case.take_off.intent.mass),
    "braking": Quantity("words", "automatic or manual", lambda run: run.case.take_off.intent.braking),
    "reverse": Quantity("words", "use of reverse", lambda run: run.case.take_off.intent.reverse),
    "decision_speed": Quantity("mps", "decision speed, calibrated", lambda run: run.plan.decision_speed),
    "rotation_speed": Quantity("mps", "rotation speed, calibrated", lambda run: run.plan.window.rotation),
    "window_low": Quantity("mps", "lowest decision speed, calibrated", lambda run: run.plan.window.low),
    "window_high": Quantity("mps", "highest decision speed, calibrated", lambda run: run.plan.window.high),
    "reject_speed": Quantity("mps", "speed of the call, calibrated", lambda run: run.speed),
    "late": Quantity("s", "delay of the first action", lambda run: run.late),
    "first_action_speed": Quantity("mps", "ground speed at the first action", lambda run: run.begin.ground_speed),
    "first_action_distance": Quantity("m", "brake release to the first action", lambda run: run.begin.rolled),
    "stop_distance": Quantity("m", "stop distance from brake release", lambda run: run.stop_distance),
    "braking_distance": Quantity(
        "m",
        "first action to a full stop",
        lambda run: None if run.stop_distance is None else run.stop_distance - run.begin.rolled,
    ),
    "go_distance": Quantity("m", "go distance, one engine failed", lambda run: run.go_distance),
    "available": Quantity("m", "accelerate-stop distance available", lambda run: run.plan.flown_run.stop_available),
    "go_available": Quantity("m", "take-off distance available", lambda run: run.plan.flown_run.go_available),
    "margin": Quantity(
        "m",
        "left behind the stop",
        lambda run: None if run.stop_distance is None else run.plan.flown_run.stop_available - run.stop_distance,
    ),
    "rule_stop_distance": Quantity(
        "m", "stop distance of the rule at the decision speed", lambda run: run.plan.stop.distance
    ),
    "rule_go_distance": Quantity("m", "go distance of the rule at the decision speed", lambda r: r.plan.go.distance),
    "rule_increment": Quantity(
        "m", "distance at the decision speed that the rule adds", lambda r: r.plan.stop.increment
    ),
    "runway_end_speed": Quantity(
        "mps",
        "speed over the end, where it goes there",
        lambda run: None if run.end is None else run.end.runway_end_speed or 0.0,
    ),
    "stop_time": Quantity(
        "s", "first action to the stop", lambda r: None if r.end is None else r.end.time - r.begin.time
    ),
    "mean_deceleration": Quantity(
        "mps2",
        "mean deceleration from the first action to the stop",
        lambda run: (
            None
            if run.stop_distance is None
            else run.begin.ground_speed**2 / 2.0 / (run.stop_distance - run.begin.rolled)
        ),
    ),
    "brake_energy": Quantity("j", "energy in each brake", lambda run: run.brake_energy),
    "kinetic_energy": Quantity(
        "j",
        "energy of motion at the first action",
        lambda r: 0.5 * r.case.take_off.intent.mass * r.begin.ground_speed**2,
    ),
    "peak_brake_temperature": Quantity("k", "hottest heat sink", lambda run: _peak(run, "peak_heat_sink_temperature")),
    "peak_wheel_temperature": Quantity("k", "hottest wheel", lambda run: _peak(run, "peak_wheel_temperature")),
    "peak_wheel_time": Quantity("s", "stop to the hottest wheel", lambda run: _peak(run, "peak_wheel_time")),
    "cooling_time": Quantity("s", "wait until a take-off is allowed", lambda run: _peak(run, "cooling_time")),
    "fuse_plugs": Quantity(
        "words", "state of the fuse plugs", lambda r: None if r.outcome is None else r.outcome.fuse_plugs
    ),
    "arming_speed": Quantity("mps", "ground speed above which the automatic mode acts", lambda run: run.arming_speed),
    "ruled_by_demand": Quantity("", "share of the braked roll ruled by demand", lambda run: _ruled(run, "demand")),
    "ruled_by_friction": Quantity(
        "", "share of the braked roll ruled by friction", lambda run: _ruled(run, "friction")
    ),
    "ruled_by_torque": Quantity(
        "", "share of the braked roll ruled by brake torque", lambda run: _ruled(run, "torque")
    ),
}


def _ruled(run: RejectRun, by: str) -> float | None:
    return None if run.end is None or run.end.limited_by is None else run.end.limited_by[by]


def _number(run: AnyRun, name: str, known: dict[str, Quantity[AnyRun]], aircraft: Aircraft) -> Value:
    if name.startswith("aircraft."):
        return _aircraft_number(aircraft, name.split(".")[1:])
    if name not in known:
        raise unknown_name(name, list(known), f"a number of a {run.kind}")
    quantity = known[name]
    try:
        value = quantity.get(run)
    except ValueError as error:
        raise ScenarioError(f"{quantity.words}: {error}.") from error
    if value is None or (isinstance(value, float) and not math.isfinite(value)):
        raise ScenarioError(f"{quantity.words}: there is none in this case.")
    if isinstance(value, bool | str):
        return value
    return Measured(float(value), _POWERS[quantity.unit], on_scale=quantity.unit == "k")


def _aircraft_number(aircraft: Aircraft, parts: list[str]) -> Value:
    """Return a value of the aircraft file by its path, such as brakes.maximum_torque."""
    found: Any = aircraft
    annotation: Any = Aircraft
    for part in parts:
        names = list(found) if isinstance(found, dict) else list(getattr(type(found), "model_fields", {}))
        if part not in names:
            raise unknown_name(part, names, "a key of the aircraft file there")
        if not isinstance(found, dict):
            annotation = get_type_hints(type(found), include_extras=True)[part]
        found = found[part] if isinstance(found, dict) else getattr(found, part)
    if isinstance(found, str):
        return found
    quantity = declared_quantity(annotation)
    if isinstance(found, bool) or not isinstance(found, int | float):
        raise ScenarioError(f'"aircraft.{".".join(parts)}" is no single number of the aircraft file.')
    if quantity is None:
        return Measured(float(found))
    suffix = quantity.dimension.suffix.removeprefix("_")
    if suffix not in _POWERS:
        raise ScenarioError(f'"aircraft.{".".join(parts)}": a {quantity.dimension.name} cannot be shown in a lesson.')
    return Measured(float(found), _POWERS[suffix], on_scale=suffix == "k")


def numbers_of(run: LandingRun | RejectRun) -> dict[str, float | str | bool]:
    """Return every number that the run has, with its unit in its name; temperatures in degrees Celsius."""
    known: dict[str, Any] = dict(LANDING) if isinstance(run, LandingRun) else dict(REJECT)
    found: dict[str, float | str | bool] = {}
    for name, quantity in known.items():
        if (
            isinstance(run, LandingRun)
            and run.exit_name is None
            and name.startswith(("exit_", "release_", "runway_time"))
        ):
            continue
        try:
            value = run.number(name)
        except ScenarioError:
            continue
        if isinstance(value, Measured):
            number = celsius_from_kelvin(value.value) if quantity.unit == "k" else value.value
            suffix = "c" if quantity.unit == "k" else quantity.unit
            found[f"{name}_{suffix}" if suffix else name] = number
        else:
            found[name] = value
    return found
