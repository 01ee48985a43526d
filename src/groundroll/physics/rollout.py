"""The roll of an aeroplane along the runway: typed description in, named result out, over the kernel.

A roll is described by what the aeroplane is, what the runway and the air are, and two programs: what the engines do
and what the brakes are asked to do, each a list of stages with a trigger. A landing and a rejected take-off differ in
nothing but their programs and their starting speed.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TypeVar

import numpy as np

from groundroll.constants import GRAVITY
from groundroll.kernels import layout as at
from groundroll.kernels import rollout as kernel
from groundroll.physics.arguments import FloatArray, check_range, check_whole_exponent
from groundroll.physics.braking import BrakingCurve
from groundroll.units import metres_per_second_from_knots

MAXIMUM_GROUND_SPEED = metres_per_second_from_knots(200.0)
"""The braking curves are used up to here and not extrapolated: assumption of this project. [m/s]"""

DEFAULT_TOLERANCE = 1e-8
"""Local error over the scales of the roll (speed at the start, 1000 m, kinetic energy at the start). [-]"""


DEFAULT_LANDING = 1e-6
"""How near a change of what rules the brakes is met: difference of force over weight. [-]"""

MANY_TOLERANCE = 3e-7
MANY_LANDING = 3e-5
"""The same for many rolls at once, where the promised accuracy is enough. [-]"""


class Trigger(enum.IntEnum):
    """What starts a stage of a program."""

    TIME = at.TRIGGER_TIME
    TIME_AFTER = at.TRIGGER_TIME_AFTER
    SPEED_BELOW = at.TRIGGER_SPEED_BELOW
    SPEED_ABOVE = at.TRIGGER_SPEED_ABOVE
    DISTANCE = at.TRIGGER_DISTANCE


class Control(enum.IntEnum):
    """What a stage of the brake program controls."""

    OFF = at.CONTROL_OFF
    AUTOMATIC = at.CONTROL_AUTOMATIC
    PEDAL = at.CONTROL_PEDAL


class Rule(enum.IntEnum):
    """What ruled the wheel brakes."""

    NONE = at.RULE_NONE
    DEMAND = at.RULE_DEMAND
    FRICTION = at.RULE_FRICTION
    TORQUE = at.RULE_TORQUE


@dataclass(frozen=True)
class ThrustStage:
    """One stage of the thrust program: how many engines run at each rating once its ramp is done."""

    trigger: Trigger
    value: float
    """Time [s], ground speed [m/s] or distance [m], as the trigger says."""
    ramp: float = 0.0
    """Time from what the engines do now to what this stage wants, linear. [s]"""
    idle: float = 0.0
    reverse_idle: float = 0.0
    reverse_full: float = 0.0
    take_off: float = 0.0


@dataclass(frozen=True)
class BrakeStage:
    """One stage of the brake program."""

    trigger: Trigger
    value: float
    """Time [s], ground speed [m/s] or distance [m], as the trigger says."""
    control: Control
    target: float = 0.0
    """Automatic: total deceleration [m/s2]. Pedal: share of the most that the brakes deliver."""
    rate: float = math.inf
    """Automatic: ramp of the deceleration [m/s3]. Pedal and off: change of the share a second [1/s]."""


Stage = TypeVar("Stage", ThrustStage, BrakeStage)


@dataclass(frozen=True)
class ThrustTables:
    """Thrust of one engine at ISA sea level by true airspeed; reverse thrust is given positive."""

    true_airspeed: Sequence[float]
    idle: Sequence[float]
    reverse_idle: Sequence[float]
    reverse_full: Sequence[float]
    take_off: Sequence[float]


@dataclass(frozen=True)
class RunwayThird:
    """The surface of one third of the runway, as the wheels feel it."""

    braking: BrakingCurve
    drag_factor_main: float = 0.0
    """Contaminant drag over speed squared, main wheels. [kg/m]"""
    drag_factor_nose: float = 0.0
    """The same of nose wheels and spray, felt once the nose wheel is down. [kg/m]"""
    hydroplaning_speed: float = math.inf
    """Above it contaminant drag falls off. [m/s]"""


@dataclass(frozen=True)
class Roll:
    """Everything that one roll needs, SI throughout."""

    mass: float
    wing_area: float
    lift_coefficient_stowed: float
    lift_coefficient_deployed: float
    drag_coefficient_stowed: float
    drag_coefficient_deployed: float
    thrust_tables: ThrustTables
    thrust_program: Sequence[ThrustStage]
    brake_program: Sequence[BrakeStage]
    thirds: tuple[RunwayThird, RunwayThird, RunwayThird]
    third_ends: tuple[float, float]
    """Distances from the landing threshold at which the first and the second third end. [m]"""
    start_distance: float
    start_speed: float
    """Ground speed at the start. [m/s]"""
    density: float
    density_ratio: float
    nose_up_lift_increment: float = 0.0
    nose_up_drag_increment: float = 0.0
    spoilers_share: float = 1.0
    """Share of the spoilers that work."""
    nose_share: float = 0.0
    """Static share of the weight on the nose wheel."""
    height_ratio: float = 0.0
    """Height of the centre of gravity over wheelbase."""
    braked_share: float = 1.0
    """Share of the main-gear load on wheels with a working brake."""
    rolling_resistance: float = 0.0
    maximum_brake_force: float = math.inf
    """Most that the working brakes deliver together at the tyres. [N]"""
    headwind: float = 0.0
    slope: float = 0.0
    """Gradient, upslope positive in the direction of the roll."""
    spoilers_start: float = 0.0
    spoilers_ramp: float = 0.0
    nose_start: float = 0.0
    nose_ramp: float = 0.0
    fuel_reverse_idle: float = 0.0
    """Fuel flow of one engine in reverse idle above forward idle. [kg/s]"""
    fuel_reverse_full: float = 0.0
    end_speed: float = 0.0
    """The roll ends when ground speed falls to this. [m/s]"""
    end_speed_above: float = math.inf
    """The roll also ends when ground speed rises to this. [m/s]"""
    limit_distance: float = 20_000.0
    limit_time: float = 900.0
    fall_off_exponent: int = 0
    """Whole, 0 to 7. [-]"""
    tolerance: float = DEFAULT_TOLERANCE
    landing: float = DEFAULT_LANDING


@dataclass(frozen=True)
class History:
    """The roll moment by moment; located points appear twice, before and after."""

    time: FloatArray
    distance: FloatArray
    ground_speed: FloatArray
    deceleration: FloatArray
    brake_force: FloatArray
    aerodynamic_drag: FloatArray
    thrust: FloatArray
    rolling_resistance: FloatArray
    contaminant_drag: FloatArray
    slope_force: FloatArray
    rule: FloatArray
    brake_energy: FloatArray


@dataclass(frozen=True)
class RollEvent:
    """Something that was located on the roll."""

    name: str
    time: float
    distance: float
    ground_speed: float


@dataclass(frozen=True)
class Passage:
    """A station passed on the roll; NaN where the roll ended before it."""

    distance: float
    time: float
    ground_speed: float


@dataclass(frozen=True)
class RollResult:
    """What came of one roll."""

    stopped: bool
    """Whether the end speed was reached; otherwise ``reason`` says why the roll was given up."""
    reason: str
    time: float
    distance: float
    """Distance from the threshold at the end. [m]"""
    ground_speed: float
    brake_work: float
    aerodynamic_work: float
    thrust_work: float
    """Put in by thrust, negative in reverse. [J]"""
    rolling_work: float
    contaminant_work: float
    slope_work: float
    """Taken out by the slope, upslope positive. [J]"""
    kinetic_energy_lost: float
    reverse_fuel: float
    peak_deceleration: float
    mean_deceleration: float
    """Loss of speed squared over twice the distance rolled. [m/s2]"""
    brakes_on_time: float
    """NaN when the brakes were never applied. [s]"""
    brakes_on_distance: float
    brakes_on_speed: float
    ruled_distance: tuple[float, float, float, float]
    """Metres ruled by none, demand, friction and torque, in the order of `Rule`. [m]"""
    shortfall: float
    """Most by which the deceleration stayed under the command of the automatic brakes. [m/s2]"""
    steps: int
    events: tuple[RollEvent, ...]
    passages: tuple[Passage, ...]
    history: History | None = None

    @property
    def limited_by(self) -> dict[str, float]:
        """Return the share of the braked distance that demand, friction and torque ruled.

        Where the other forces alone give what is demanded, demand rules.
        """
        none, demand, friction, torque = self.ruled_distance
        total = none + demand + friction + torque
        if total <= 0.0:
            return {"demand": 0.0, "friction": 0.0, "torque": 0.0}
        return {"demand": (none + demand) / total, "friction": friction / total, "torque": torque / total}

    @property
    def energy_residual(self) -> float:
        """Return the work of all forces over the kinetic energy lost, less one. [-]"""
        work = (
            self.brake_work
            + self.aerodynamic_work
            - self.thrust_work
            + self.rolling_work
            + self.contaminant_work
            + self.slope_work
        )
        return work / self.kinetic_energy_lost - 1.0 if self.kinetic_energy_lost != 0.0 else 0.0


_EVENT_NAMES = {
    at.LOG_SPOILERS_START: "spoilers start",
    at.LOG_SPOILERS_OUT: "spoilers out",
    at.LOG_NOSE_START: "nose lowered",
    at.LOG_NOSE_DOWN: "nose wheel down",
    at.LOG_THIRD + 1: "second third entered",
    at.LOG_THIRD + 2: "last third entered",
    at.LOG_HYDROPLANING: "below the hydroplaning branch of braking",
    at.LOG_HYDROPLANING + 1: "on the hydroplaning branch of braking",
    at.LOG_DRAG_PEAK: "contaminant drag at its peak",
    at.LOG_RULE + at.RULE_NONE: "no wheel braking needed",
    at.LOG_RULE + at.RULE_DEMAND: "demand rules",
    at.LOG_RULE + at.RULE_FRICTION: "friction rules",
    at.LOG_RULE + at.RULE_TORQUE: "brake torque rules",
    at.LOG_STOP: "end of the roll",
}
_LOG_ROWS = 64
_HISTORY_ROWS = 20_000


def _event_name(code: int) -> str:
    if at.LOG_BRAKES <= code < at.LOG_BRAKES + at.BRAKE_STAGES:
        return f"brake stage {code - at.LOG_BRAKES + 1}"
    if at.LOG_THRUST <= code < at.LOG_THRUST + at.THRUST_STAGES:
        return f"thrust stage {code - at.LOG_THRUST + 1}"
    return _EVENT_NAMES[code]


def _check(roll: Roll) -> None:
    positive = math.nextafter(0.0, 1.0)
    check_range("mass", roll.mass, positive, math.inf, "kg")
    check_range("wing_area", roll.wing_area, 0.0, math.inf, "m2")
    check_range("density", roll.density, 0.0, 2.0, "kg/m3")
    check_range("start_speed", roll.start_speed, 0.0, MAXIMUM_GROUND_SPEED, "m/s", hint="200 kt of ground speed")
    check_range("headwind", roll.headwind, -60.0, 60.0, "m/s")
    check_range("slope", roll.slope, -0.1, 0.1, "")
    check_range("spoilers_share", roll.spoilers_share, 0.0, 1.0, "")
    check_range("nose_share", roll.nose_share, 0.0, 1.0, "")
    check_range("braked_share", roll.braked_share, 0.0, 1.0, "")
    check_range("height_ratio", roll.height_ratio, 0.0, 2.0, "")
    check_range("tolerance", roll.tolerance, 1e-14, 1e-3, "")
    check_range("landing", roll.landing, 1e-9, 1e-2, "")
    check_whole_exponent(roll.fall_off_exponent)
    if math.isnan(roll.maximum_brake_force) or roll.maximum_brake_force < 0.0:
        raise ValueError(f"maximum_brake_force {roll.maximum_brake_force} N must be at least 0 N")
    for name in (
        "lift_coefficient_stowed",
        "lift_coefficient_deployed",
        "drag_coefficient_stowed",
        "drag_coefficient_deployed",
        "nose_up_lift_increment",
        "nose_up_drag_increment",
        "start_distance",
    ):
        if not math.isfinite(getattr(roll, name)):
            raise ValueError(f"{name} {getattr(roll, name)} is not a finite number")
    tables = roll.thrust_tables
    nodes = len(tables.true_airspeed)
    if not 2 <= nodes <= at.NODES:
        raise ValueError(f"thrust tables hold {nodes} airspeeds; allowed are 2 to {at.NODES}")
    if any(b <= a for a, b in pairwise(tables.true_airspeed)):
        raise ValueError(f"airspeeds of the thrust tables must ascend: {list(tables.true_airspeed)}")
    highest = roll.start_speed + max(roll.headwind, 0.0)
    if highest > tables.true_airspeed[-1] + 1e-9:
        raise ValueError(
            f"true airspeed {highest:.1f} m/s at the start is above the last one of the thrust tables, "
            f"{tables.true_airspeed[-1]:.1f} m/s; they are not extrapolated"
        )
    if len(roll.thrust_program) > at.THRUST_STAGES or len(roll.brake_program) > at.BRAKE_STAGES:
        raise ValueError(
            f"a program holds {len(roll.thrust_program)} thrust and {len(roll.brake_program)} brake stages; "
            f"allowed are {at.THRUST_STAGES} and {at.BRAKE_STAGES}"
        )


def case_of(roll: Roll) -> FloatArray:
    """Return the row of numbers that the kernel takes for ``roll``.

    Parameters
    ----------
    roll
        The roll, within the ranges that `simulate` states.

    Returns
    -------
    shape (CASE_SIZE,)
        See `groundroll.kernels.layout`. [SI]

    Raises
    ------
    ValueError
        As `simulate`.
    """
    _check(roll)
    case = np.zeros(at.CASE_SIZE)
    slope_angle = math.atan(roll.slope)
    tables = roll.thrust_tables
    case[at.MASS] = roll.mass
    case[at.SLOPE_SINE] = math.sin(slope_angle)
    case[at.SLOPE_COSINE] = math.cos(slope_angle)
    case[at.DENSITY] = roll.density
    case[at.DENSITY_RATIO] = roll.density_ratio
    case[at.HEADWIND] = roll.headwind
    case[at.WING_AREA] = roll.wing_area
    case[at.LIFT_STOWED] = roll.lift_coefficient_stowed
    case[at.LIFT_DEPLOYED] = roll.lift_coefficient_stowed + roll.spoilers_share * (
        roll.lift_coefficient_deployed - roll.lift_coefficient_stowed
    )
    case[at.LIFT_NOSE_UP] = roll.nose_up_lift_increment
    case[at.DRAG_STOWED] = roll.drag_coefficient_stowed
    case[at.DRAG_DEPLOYED] = roll.drag_coefficient_stowed + roll.spoilers_share * (
        roll.drag_coefficient_deployed - roll.drag_coefficient_stowed
    )
    case[at.DRAG_NOSE_UP] = roll.nose_up_drag_increment
    case[at.NOSE_SHARE] = roll.nose_share
    case[at.HEIGHT_RATIO] = roll.height_ratio
    case[at.BRAKED_SHARE] = roll.braked_share
    case[at.ROLLING_COEFFICIENT] = roll.rolling_resistance
    # A force that is never reached stands for "no limit": a share of infinity would be no number.
    case[at.TORQUE_FORCE] = min(roll.maximum_brake_force, 100.0 * roll.mass)
    case[at.SPOILER_START] = roll.spoilers_start
    case[at.SPOILER_RAMP] = roll.spoilers_ramp
    case[at.NOSE_START] = roll.nose_start
    case[at.NOSE_RAMP] = roll.nose_ramp
    case[at.FUEL_REVERSE_IDLE] = roll.fuel_reverse_idle
    case[at.FUEL_REVERSE_FULL] = roll.fuel_reverse_full
    case[at.START_DISTANCE] = roll.start_distance
    case[at.START_SPEED] = roll.start_speed
    case[at.END_SPEED] = roll.end_speed
    case[at.END_SPEED_ABOVE] = roll.end_speed_above
    case[at.LIMIT_DISTANCE] = roll.limit_distance
    case[at.LIMIT_TIME] = roll.limit_time
    case[at.TOLERANCE] = roll.tolerance
    case[at.LANDING] = roll.landing
    case[at.MAXIMUM_STEP] = math.inf
    case[at.FALL_OFF_EXPONENT] = roll.fall_off_exponent
    case[at.FIRST_THIRD_END], case[at.SECOND_THIRD_END] = roll.third_ends
    for number, third in enumerate(roll.thirds):
        first = at.THIRDS + number * at.THIRD_SIZE
        case[first + at.THIRD_POLYNOMIAL : first + at.THIRD_POLYNOMIAL + 6] = third.braking.coefficients
        case[first + at.THIRD_CAP] = third.braking.cap
        case[first + at.THIRD_SWITCH_SPEED] = third.braking.switch_speed
        case[first + at.THIRD_ABOVE_SWITCH] = third.braking.above_switch
        case[first + at.THIRD_DRAG_MAIN] = third.drag_factor_main
        case[first + at.THIRD_DRAG_NOSE] = third.drag_factor_nose
        case[first + at.THIRD_HYDROPLANING] = third.hydroplaning_speed
    nodes = len(tables.true_airspeed)
    beyond = tables.true_airspeed[-1] + np.arange(1, at.NODES - nodes + 1)
    case[at.NODE_SPEED : at.NODE_SPEED + at.NODES] = np.concatenate([tables.true_airspeed, beyond])
    for rating, (values, sign) in enumerate(
        ((tables.idle, 1.0), (tables.reverse_idle, -1.0), (tables.reverse_full, -1.0), (tables.take_off, 1.0))
    ):
        if len(values) != nodes:
            raise ValueError(f"a thrust table holds {len(values)} values for {nodes} airspeeds")
        padded = np.concatenate([values, np.full(at.NODES - nodes, values[-1])])
        first = at.NODE_THRUST + rating * at.NODES
        case[first : first + at.NODES] = sign * padded
    for number, thrust in enumerate(roll.thrust_program):
        first = at.THRUST_PROGRAM + number * at.THRUST_STAGE_SIZE
        case[first : first + at.THRUST_STAGE_SIZE] = (
            thrust.trigger,
            thrust.value,
            thrust.ramp,
            thrust.idle,
            thrust.reverse_idle,
            thrust.reverse_full,
            thrust.take_off,
        )
    for number, brake in enumerate(roll.brake_program):
        first = at.BRAKE_PROGRAM + number * at.BRAKE_STAGE_SIZE
        case[first : first + at.BRAKE_STAGE_SIZE] = (
            brake.trigger,
            brake.value,
            brake.control,
            brake.target,
            brake.rate,
        )
    return case


def simulate(roll: Roll, *, stations: Sequence[float] = (), history_step: float | None = None) -> RollResult:
    """Return the roll from its start to its end speed.

    Parameters
    ----------
    roll
        The roll. Ground speed at the start 0 to 102.9 m/s (200 kt), headwind within 60 m/s, slope within 10 %, airspeed
        within the thrust tables. Forces, loads and programs are described in `groundroll.kernels.forces` and
        `groundroll.kernels.rollout`.
    stations : shape (s,)
        Distances from the threshold whose passage is wanted, in any order. [m]
    history_step
        Longest step of the recorded history; None for no history. [s]

    Returns
    -------
    RollResult
        ``stopped`` is False where the roll was given up at ``limit_distance`` or ``limit_time``; the values are then
        those at that point, never a guess of the stop.

    Raises
    ------
    ValueError
        If an argument lies outside its range.
    RuntimeError
        If the integrator runs out of steps; the message says how far it came.

    Notes
    -----
    Stop distance is within 0.1 m and brake energy within 0.05 % of a reference integration at a relative tolerance of
    1e-10; see the accuracy page.
    """
    case = case_of(roll)
    order = np.argsort(np.asarray(stations, dtype=np.float64), kind="stable")
    sorted_stations = np.asarray(stations, dtype=np.float64)[order]
    passed = np.zeros((1, len(order), 2))
    log = np.zeros((_LOG_ROWS, at.LOG_SIZE))
    history = np.zeros((0 if history_step is None else _HISTORY_ROWS, at.HISTORY_SIZE))
    if history_step is not None:
        case[at.MAXIMUM_STEP] = history_step
    results = np.zeros((1, at.RESULT_SIZE))
    rows = kernel.roll(case[np.newaxis], sorted_stations[np.newaxis], passed, log, history, results)
    result = results[0]
    status = int(result[at.STATUS])
    distance = float(result[at.END_DISTANCE])
    ground_speed = float(result[at.FINAL_SPEED])
    if status == at.STATUS_STEPS:
        raise RuntimeError(
            f"the roll did not end within {int(result[at.STEPS])} steps: after {result[at.END_TIME]:.2f} s it is "
            f"{distance:.1f} m from the threshold at {ground_speed:.2f} m/s"
        )
    reasons = {
        at.STATUS_DONE: "",
        at.STATUS_DISTANCE: f"still at {ground_speed:.1f} m/s after {distance:.0f} m",
        at.STATUS_TIME: f"still at {ground_speed:.1f} m/s after {roll.limit_time:.0f} s",
    }
    rolled = distance - roll.start_distance
    passages: list[Passage] = [Passage(math.nan, math.nan, math.nan)] * len(order)
    for place, number in enumerate(order):
        passages[number] = Passage(
            float(sorted_stations[place]), float(passed[0, place, 0]), float(passed[0, place, 1])
        )
    first = at.RULED_DISTANCE
    return RollResult(
        stopped=status == at.STATUS_DONE,
        reason=reasons[status],
        time=float(result[at.END_TIME]),
        distance=distance,
        ground_speed=ground_speed,
        brake_work=float(result[at.BRAKE_WORK]),
        aerodynamic_work=float(result[at.AERODYNAMIC_WORK]),
        thrust_work=float(result[at.THRUST_WORK]),
        rolling_work=float(result[at.ROLLING_WORK]),
        contaminant_work=float(result[at.CONTAMINANT_WORK]),
        slope_work=float(roll.mass * GRAVITY * case[at.SLOPE_SINE] * rolled),
        kinetic_energy_lost=0.5 * roll.mass * (roll.start_speed**2 - ground_speed**2),
        reverse_fuel=float(result[at.REVERSE_FUEL]),
        peak_deceleration=float(result[at.PEAK_DECELERATION]),
        mean_deceleration=(roll.start_speed**2 - ground_speed**2) / (2.0 * rolled) if rolled > 0.0 else 0.0,
        brakes_on_time=float(result[at.BRAKES_ON_TIME]),
        brakes_on_distance=float(result[at.BRAKES_ON_DISTANCE]),
        brakes_on_speed=float(result[at.BRAKES_ON_SPEED]),
        ruled_distance=(
            float(result[first]),
            float(result[first + 1]),
            float(result[first + 2]),
            float(result[first + 3]),
        ),
        shortfall=float(result[at.SHORTFALL]),
        steps=int(result[at.STEPS]),
        events=tuple(
            RollEvent(_event_name(int(row[0])), float(row[1]), float(row[2]), float(row[3]))
            for row in log[: min(int(result[at.EVENTS]), _LOG_ROWS)]
        ),
        passages=tuple(passages),
        history=None if history_step is None else _history(history[:rows]),
    )


def _history(rows: FloatArray) -> History:
    return History(
        time=rows[:, at.HISTORY_TIME],
        distance=rows[:, at.HISTORY_DISTANCE],
        ground_speed=rows[:, at.HISTORY_SPEED],
        deceleration=rows[:, at.HISTORY_DECELERATION],
        brake_force=rows[:, at.HISTORY_BRAKE],
        aerodynamic_drag=rows[:, at.HISTORY_DRAG],
        thrust=rows[:, at.HISTORY_THRUST],
        rolling_resistance=rows[:, at.HISTORY_ROLLING],
        contaminant_drag=rows[:, at.HISTORY_CONTAMINANT],
        slope_force=rows[:, at.HISTORY_SLOPE],
        rule=rows[:, at.HISTORY_RULE],
        brake_energy=rows[:, at.HISTORY_BRAKE_WORK],
    )


def continue_from(roll: Roll, result: RollResult, time: float, distance: float, ground_speed: float) -> Roll:
    """Return the rest of a roll from one of its moments, as a roll of its own, at any ground speed.

    Spoilers, nose, engines and brakes go on from where they are at ``time``; stages not yet started keep their
    triggers.

    Parameters
    ----------
    roll, result
        The roll and what came of it.
    time : scalar
        Since the start of ``roll``, not negative. [s]
    distance : scalar
        From the threshold. [m]
    ground_speed : scalar
        With which the rest begins, 0 to 200 kt; it may differ from that of ``roll``. [m/s]

    Raises
    ------
    ValueError
        If an argument lies outside its range.
    """
    check_range("time", time, 0.0, math.inf, "s")
    starts = {event.name: event.time for event in result.events if event.time <= time + 1e-9}
    thrust = [starts[name] for number in range(at.THRUST_STAGES) if (name := f"thrust stage {number + 1}") in starts]
    brakes = [starts[name] for number in range(at.BRAKE_STAGES) if (name := f"brake stage {number + 1}") in starts]
    return replace(
        roll,
        start_distance=distance,
        start_speed=ground_speed,
        spoilers_start=roll.spoilers_start - time,
        nose_start=roll.nose_start - time,
        thrust_program=_rest_of_thrust(roll.thrust_program, thrust, time),
        brake_program=_rest_of_brakes(roll.brake_program, brakes, time),
    )


def _shifted(stage: Stage, number: int, starts: Sequence[float], time: float) -> Stage:
    """Return a stage not yet started, its time counted from ``time``."""
    if stage.trigger == Trigger.TIME:
        return replace(stage, value=max(stage.value - time, 0.0))
    if stage.trigger == Trigger.TIME_AFTER and number == len(starts) and starts:
        return replace(stage, trigger=Trigger.TIME, value=max(starts[-1] + stage.value - time, 0.0))
    return stage


def _rest_of_thrust(program: Sequence[ThrustStage], starts: Sequence[float], time: float) -> tuple[ThrustStage, ...]:
    engines = np.zeros(4)
    rest: list[ThrustStage] = []
    for number, (stage, start) in enumerate(zip(program, starts, strict=False)):
        wanted = np.array([stage.idle, stage.reverse_idle, stage.reverse_full, stage.take_off])
        until = starts[number + 1] if number + 1 < len(starts) else time
        share = 1.0 if stage.ramp <= 0.0 else min((until - start) / stage.ramp, 1.0)
        engines = engines + share * (wanted - engines)
        if number + 1 == len(starts):
            rest.append(ThrustStage(Trigger.TIME, 0.0, 0.0, *engines))
            if share < 1.0:
                rest.append(replace(stage, trigger=Trigger.TIME, value=0.0, ramp=(1.0 - share) * stage.ramp))
    rest += [_shifted(stage, number, starts, time) for number, stage in enumerate(program) if number >= len(starts)]
    return tuple(rest)


def _rest_of_brakes(program: Sequence[BrakeStage], starts: Sequence[float], time: float) -> tuple[BrakeStage, ...]:
    rest: list[BrakeStage] = []
    if starts:
        # A ramp still under way is cut short: what the stage wants holds from here on.
        rest.append(replace(program[len(starts) - 1], trigger=Trigger.TIME, value=0.0, rate=math.inf))
    rest += [_shifted(stage, number, starts, time) for number, stage in enumerate(program) if number >= len(starts)]
    return tuple(rest)


def simulate_many(rolls: Sequence[Roll], *, workers: int = 1) -> FloatArray:
    """Return the kernel's result row for each roll, for many rolls at once.

    Parameters
    ----------
    rolls : shape (n,)
        The rolls.
    workers
        Threads; the kernel holds no lock. Results do not depend on their number.

    Returns
    -------
    shape (n, RESULT_SIZE)
        See `groundroll.kernels.layout`.

    Raises
    ------
    ValueError
        If an argument of a roll lies outside its range.
    """
    return run_cases(np.array([case_of(roll) for roll in rolls]), workers=workers)


def run_cases(cases: FloatArray, *, workers: int = 1, as_given: bool = False) -> FloatArray:
    """Return the kernel's result row for each row of ``cases`` (see `case_of`).

    Parameters
    ----------
    cases : shape (n, CASE_SIZE)
        Rows of `case_of`.
    workers
        Threads. Results do not depend on their number.
    as_given
        Keep the tolerances of the rows; by default `MANY_TOLERANCE` and `MANY_LANDING` are used, quicker and within the
        promised accuracy.

    Returns
    -------
    shape (n, RESULT_SIZE)
        See `groundroll.kernels.layout`.
    """
    results, _ = run_cases_past(cases, np.zeros((len(cases), 0)), workers=workers, as_given=as_given)
    return results


def run_cases_past(
    cases: FloatArray, stations: FloatArray, *, workers: int = 1, as_given: bool = False
) -> tuple[FloatArray, FloatArray]:
    """Return results as `run_cases`, and time and ground speed at stations on the way.

    Parameters
    ----------
    cases : shape (n, CASE_SIZE)
        Rows of `case_of`.
    stations : shape (n, s)
        Distances from the threshold, ascending in each row; s may be 0. [m]
    workers, as_given
        As for `run_cases`.

    Returns
    -------
    shape (n, RESULT_SIZE) and shape (n, s, 2)
        Result rows; time [s] and ground speed [m/s] at each station, NaN where the roll ends before.
    """
    results = np.zeros((len(cases), at.RESULT_SIZE))
    passed = np.zeros((len(cases), stations.shape[1], 2))

    rows, places = np.ascontiguousarray(cases), np.ascontiguousarray(stations)
    tolerance, landing = (0.0, 0.0) if as_given else (MANY_TOLERANCE, MANY_LANDING)

    def part(first: int, last: int) -> None:
        kernel.rolls(rows[first:last], places[first:last], passed[first:last], results[first:last], tolerance, landing)

    if workers <= 1 or len(cases) < 2:
        part(0, len(cases))
        return results, passed
    from concurrent.futures import ThreadPoolExecutor

    bounds = np.linspace(0, len(cases), workers + 1).astype(int)
    with ThreadPoolExecutor(workers) as pool:
        for one in [pool.submit(part, int(a), int(b)) for a, b in pairwise(bounds)]:
            one.result()
    return results, passed
