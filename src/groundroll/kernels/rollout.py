"""The roll: one integrator for landing and rejected take-off.

Distance, ground speed and the work of each force are advanced by the explicit Runge-Kutta pair of order 5(4) of
Dormand and Prince (J. Comp. Appl. Math. 6 (1980) 19). Whatever breaks the smoothness of the forces is located and
landed on, never stepped over: times are met by cutting the step; speeds, distances and changes of what rules the brakes
by solving for the length of the step itself, so that a located point is as accurate as any other. Between two such
points every branch is frozen, and the right-hand side is smooth (thrust tables are piecewise linear; their kinks are
left to the error control).
"""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from groundroll.constants import GRAVITY
from groundroll.kernels import layout as at
from groundroll.kernels.braking import braking_polynomial
from groundroll.kernels.contaminant import contaminant_drag
from groundroll.kernels.forces import (
    aerodynamic_drag,
    automatic_demand,
    blended,
    dynamic_pressure,
    friction_limited_force,
    load_on_wheels,
)
from groundroll.kernels.hydroplaning import drag_fall_off
from groundroll.kernels.jit import compiled

Array = NDArray[Any]  # of floats, or of integers for ``mode``

# Frozen branches between two located points (integers).
SPOILER_PHASE: Final = 0  # 0 before, 1 on the way, 2 there
NOSE_PHASE: Final = 1
THIRD: Final = 2
HYDROPLANING: Final = 3  # 1: braking on the branch above the switch speed
PAST_PEAK: Final = 4  # 1: contaminant drag beyond its peak, above the hydroplaning speed
RULE: Final = 5
THRUST_STAGE: Final = 6  # number of the next stage of the program
BRAKE_STAGE: Final = 7
CONTROL: Final = 8
STATION: Final = 9  # number of the next station
RULE_WAITING: Final = 10  # the rule that takes over at a located change
MODES: Final = 11

# What the stages now under way are doing (floats).
THRUST_START: Final = 0
THRUST_RAMP: Final = 1
ENGINES_FROM: Final = 2  # four ratings
ENGINES_TO: Final = 6
BRAKE_START: Final = 10
BRAKE_RAMP: Final = 11
COMMAND_FROM: Final = 12
COMMAND_TO: Final = 13
STAGE_SIZE: Final = 14

# Forces and rates at one point.
RATE_SPEED: Final = 0  # acceleration
RATE_DISTANCE: Final = 1
RATE_BRAKE: Final = 2  # power of each force
RATE_DRAG: Final = 3
RATE_THRUST: Final = 4
RATE_ROLLING: Final = 5
RATE_CONTAMINANT: Final = 6
RATE_FUEL: Final = 7
STATES: Final = 8
FORCE_BRAKE: Final = 8  # the forces themselves
FORCE_DRAG: Final = 9
FORCE_THRUST: Final = 10
FORCE_ROLLING: Final = 11
FORCE_CONTAMINANT: Final = 12
BRAKE_DEMAND: Final = 13
BRAKE_FRICTION: Final = 14
COMMAND: Final = 15
RATES: Final = 16

# Kinds of located points.
POINT_NONE: Final = 0
POINT_STOP: Final = 1
POINT_HYDROPLANING: Final = 2
POINT_PEAK: Final = 3
POINT_THIRD: Final = 4
POINT_THRUST: Final = 5
POINT_BRAKE: Final = 6
POINT_STATION: Final = 7
POINT_RULE: Final = 8
POINT_REACHED: Final = 9
POINT_LIMIT: Final = 10
POINTS: Final = 11

MAXIMUM_STEPS: Final = 20_000
TIME_RESOLUTION: Final = 1e-11  # [s]


@compiled
def ramp_share(phase: int, time: float, start: float, ramp: float) -> float:
    """Return how far a movement has come: 0 before it starts, 1 when it is done."""
    if phase == 0:
        return 0.0
    if phase == 2 or ramp <= 0.0:
        return 1.0
    return min(max((time - start) / ramp, 0.0), 1.0)


@compiled
def stage_share(time: float, start: float, ramp: float) -> float:
    """Return how far a stage has come on its ramp."""
    return 1.0 if ramp <= 0.0 else min(max((time - start) / ramp, 0.0), 1.0)


@compiled
def thrust_of_engines(
    true_airspeed: float, case: Array, idle: float, reverse_idle: float, reverse_full: float, take_off: float
) -> float:
    """Return the thrust of engines at each rating, linear between the nodes of the tables, times density ratio. [N]"""
    node = 0
    while node < at.NODES - 2 and true_airspeed > case[at.NODE_SPEED + node + 1]:
        node += 1
    width = case[at.NODE_SPEED + node + 1] - case[at.NODE_SPEED + node]
    share = min(max((true_airspeed - case[at.NODE_SPEED + node]) / width, 0.0), 1.0)
    total = 0.0
    for rating in range(4):
        if rating == at.THRUST_IDLE:
            engines = idle
        elif rating == at.THRUST_REVERSE_IDLE:
            engines = reverse_idle
        elif rating == at.THRUST_REVERSE_FULL:
            engines = reverse_full
        else:
            engines = take_off
        if engines != 0.0:
            first = at.NODE_THRUST + rating * at.NODES + node
            total += engines * blended(share, case[first], case[first + 1])
    return total * case[at.DENSITY_RATIO]


@compiled
def evaluate(time: float, speed: float, case: Array, mode: Array, stage: Array, rates: Array) -> None:
    """Fill ``rates`` with the derivatives of the state and the forces, every branch frozen by ``mode``."""
    spoilers = ramp_share(mode[SPOILER_PHASE], time, case[at.SPOILER_START], case[at.SPOILER_RAMP])
    nose = ramp_share(mode[NOSE_PHASE], time, case[at.NOSE_START], case[at.NOSE_RAMP])
    true_airspeed = speed + case[at.HEADWIND]
    pressure = dynamic_pressure(case[at.DENSITY], true_airspeed)
    lift_coefficient = (
        blended(spoilers, case[at.LIFT_STOWED], case[at.LIFT_DEPLOYED]) + (1.0 - nose) * case[at.LIFT_NOSE_UP]
    )
    drag_coefficient = (
        blended(spoilers, case[at.DRAG_STOWED], case[at.DRAG_DEPLOYED]) + (1.0 - nose) * case[at.DRAG_NOSE_UP]
    )
    weight = case[at.MASS] * GRAVITY
    load = load_on_wheels(weight * case[at.SLOPE_COSINE], pressure, case[at.WING_AREA], lift_coefficient)
    drag = aerodynamic_drag(pressure, true_airspeed, case[at.WING_AREA], drag_coefficient)
    share = stage_share(time, stage[THRUST_START], stage[THRUST_RAMP])
    idle = blended(share, stage[ENGINES_FROM], stage[ENGINES_TO])
    reverse_idle = blended(share, stage[ENGINES_FROM + 1], stage[ENGINES_TO + 1])
    reverse_full = blended(share, stage[ENGINES_FROM + 2], stage[ENGINES_TO + 2])
    take_off = blended(share, stage[ENGINES_FROM + 3], stage[ENGINES_TO + 3])
    thrust = thrust_of_engines(true_airspeed, case, idle, reverse_idle, reverse_full, take_off)
    rolling = case[at.ROLLING_COEFFICIENT] * load
    third = at.THIRDS + mode[THIRD] * at.THIRD_SIZE
    contaminant = contaminant_drag(speed, case[third + at.THIRD_DRAG_MAIN] + nose * case[third + at.THIRD_DRAG_NOSE])
    if mode[PAST_PEAK] == 1:
        contaminant *= drag_fall_off(speed, case[third + at.THIRD_HYDROPLANING], case[at.FALL_OFF_EXPONENT])
    if mode[HYDROPLANING] == 1:
        braking_coefficient = case[third + at.THIRD_ABOVE_SWITCH]
    else:
        first = third + at.THIRD_POLYNOMIAL
        braking_coefficient = braking_polynomial(
            speed,
            case[first],
            case[first + 1],
            case[first + 2],
            case[first + 3],
            case[first + 4],
            case[first + 5],
            case[third + at.THIRD_CAP],
        )
    slope = weight * case[at.SLOPE_SINE]
    others = drag - thrust + rolling + contaminant + slope
    friction = friction_limited_force(
        braking_coefficient,
        case[at.BRAKED_SHARE],
        load,
        rolling + contaminant,
        nose,
        case[at.NOSE_SHARE],
        case[at.HEIGHT_RATIO],
    )
    command = blended(stage_share(time, stage[BRAKE_START], stage[BRAKE_RAMP]), stage[COMMAND_FROM], stage[COMMAND_TO])
    if mode[CONTROL] == at.CONTROL_AUTOMATIC:
        demand = automatic_demand(case[at.MASS], command, others)
    elif mode[CONTROL] == at.CONTROL_PEDAL:
        demand = command * case[at.TORQUE_FORCE]
    else:
        demand = 0.0
    if mode[RULE] == at.RULE_DEMAND:
        brake = demand
    elif mode[RULE] == at.RULE_FRICTION:
        brake = friction
    elif mode[RULE] == at.RULE_TORQUE:
        brake = case[at.TORQUE_FORCE]
    else:
        brake = 0.0
    rates[RATE_SPEED] = -(others + brake) / case[at.MASS]
    rates[RATE_DISTANCE] = speed
    rates[RATE_BRAKE] = brake * speed
    rates[RATE_DRAG] = drag * speed
    rates[RATE_THRUST] = thrust * speed
    rates[RATE_ROLLING] = rolling * speed
    rates[RATE_CONTAMINANT] = contaminant * speed
    rates[RATE_FUEL] = reverse_idle * case[at.FUEL_REVERSE_IDLE] + reverse_full * case[at.FUEL_REVERSE_FULL]
    rates[FORCE_BRAKE] = brake
    rates[FORCE_DRAG] = drag
    rates[FORCE_THRUST] = thrust
    rates[FORCE_ROLLING] = rolling
    rates[FORCE_CONTAMINANT] = contaminant
    rates[BRAKE_DEMAND] = demand
    rates[BRAKE_FRICTION] = friction
    rates[COMMAND] = command


@compiled
def rule_at(rates: Array, case: Array, mode: Array) -> int:
    """Return what rules the wheel brakes: the least of demand, friction and torque."""
    demand = rates[BRAKE_DEMAND]
    if mode[CONTROL] == at.CONTROL_OFF or demand < 0.0:
        return at.RULE_NONE
    friction = rates[BRAKE_FRICTION]
    torque = case[at.TORQUE_FORCE]
    if mode[CONTROL] == at.CONTROL_PEDAL and rates[COMMAND] >= 1.0:
        demand = math.inf  # the pedals ask for all there is: the brakes themselves are then the limit
    if demand <= friction and demand <= torque:
        return at.RULE_DEMAND
    return at.RULE_FRICTION if friction <= torque else at.RULE_TORQUE


@compiled
def rule_excess(rule: int, rates: Array, case: Array, mode: Array) -> float:
    """Return by how much the frozen brake force exceeds what ``rule`` gives; positive: ``rule`` takes over. [N]"""
    demand = rates[BRAKE_DEMAND]
    if mode[RULE] == at.RULE_NONE:
        return demand  # brakes are needed again
    if rule == at.RULE_NONE:
        return -demand
    brake = rates[FORCE_BRAKE]
    if rule == at.RULE_DEMAND:
        return brake - demand
    if rule == at.RULE_FRICTION:
        return brake - rates[BRAKE_FRICTION]
    return brake - case[at.TORQUE_FORCE]


@compiled
def attempt(
    time: float, step: float, state: Array, case: Array, mode: Array, stage: Array, k: Array, new: Array
) -> float:
    """Advance ``state`` by one Runge-Kutta step into ``new`` and return its error over the tolerance.

    ``k[0]`` holds the rates at the start; ``k[6]`` receives those at the end.
    """
    speed = state[0]
    evaluate(time + step / 5.0, speed + step * (k[0, 0] / 5.0), case, mode, stage, k[1])
    evaluate(time + 3.0 * step / 10.0, speed + step * (3.0 * k[0, 0] + 9.0 * k[1, 0]) / 40.0, case, mode, stage, k[2])
    evaluate(
        time + 4.0 * step / 5.0,
        speed + step * (44.0 / 45.0 * k[0, 0] - 56.0 / 15.0 * k[1, 0] + 32.0 / 9.0 * k[2, 0]),
        case,
        mode,
        stage,
        k[3],
    )
    evaluate(
        time + 8.0 * step / 9.0,
        speed
        + step
        * (
            19372.0 / 6561.0 * k[0, 0]
            - 25360.0 / 2187.0 * k[1, 0]
            + 64448.0 / 6561.0 * k[2, 0]
            - 212.0 / 729.0 * k[3, 0]
        ),
        case,
        mode,
        stage,
        k[4],
    )
    evaluate(
        time + step,
        speed
        + step
        * (
            9017.0 / 3168.0 * k[0, 0]
            - 355.0 / 33.0 * k[1, 0]
            + 46732.0 / 5247.0 * k[2, 0]
            + 49.0 / 176.0 * k[3, 0]
            - 5103.0 / 18656.0 * k[4, 0]
        ),
        case,
        mode,
        stage,
        k[5],
    )
    for i in range(STATES):
        new[i] = state[i] + step * (
            35.0 / 384.0 * k[0, i]
            + 500.0 / 1113.0 * k[2, i]
            + 125.0 / 192.0 * k[3, i]
            - 2187.0 / 6784.0 * k[4, i]
            + 11.0 / 84.0 * k[5, i]
        )
    evaluate(time + step, new[0], case, mode, stage, k[6])
    worst = 0.0
    energy_scale = 0.5 * case[at.MASS] * max(case[at.START_SPEED], 10.0) ** 2
    for i in range(STATES - 1):
        error = abs(
            step
            * (
                71.0 / 57600.0 * k[0, i]
                - 71.0 / 16695.0 * k[2, i]
                + 71.0 / 1920.0 * k[3, i]
                - 17253.0 / 339200.0 * k[4, i]
                + 22.0 / 525.0 * k[5, i]
                - 1.0 / 40.0 * k[6, i]
            )
        )
        scale = max(case[at.START_SPEED], 10.0) if i == 0 else (1000.0 if i == 1 else energy_scale)
        worst = max(worst, error / scale)
    return worst / case[at.TOLERANCE]


@compiled
def point_value(point: int, state: Array, rates: Array, case: Array, mode: Array, stations: Array) -> float:
    """Return a value that is positive once ``point`` lies behind, and smooth through zero."""
    speed = state[0]
    third = at.THIRDS + mode[THIRD] * at.THIRD_SIZE
    if point == POINT_STOP:
        return case[at.END_SPEED] - speed if rates[RATE_SPEED] < 0.0 else -1.0
    if point == POINT_REACHED:
        return speed - case[at.END_SPEED_ABOVE]
    if point == POINT_LIMIT:
        return state[1] - case[at.LIMIT_DISTANCE]
    if point == POINT_HYDROPLANING:
        beyond = speed - case[third + at.THIRD_SWITCH_SPEED]
        return -beyond if mode[HYDROPLANING] == 1 else beyond
    if point == POINT_PEAK:
        beyond = speed - case[third + at.THIRD_HYDROPLANING]
        return -beyond if mode[PAST_PEAK] == 1 else beyond
    if point == POINT_THIRD:
        if mode[THIRD] == 2:
            return -1.0
        return state[1] - case[at.FIRST_THIRD_END if mode[THIRD] == 0 else at.SECOND_THIRD_END]
    if point == POINT_THRUST:
        return trigger_value(at.THRUST_PROGRAM, at.THRUST_STAGES, at.THRUST_STAGE_SIZE, mode[THRUST_STAGE], state, case)
    if point == POINT_BRAKE:
        return trigger_value(at.BRAKE_PROGRAM, at.BRAKE_STAGES, at.BRAKE_STAGE_SIZE, mode[BRAKE_STAGE], state, case)
    if point == POINT_STATION:
        if mode[STATION] >= len(stations):
            return -1.0
        return state[1] - stations[mode[STATION]]
    return rule_excess(mode[RULE_WAITING], rates, case, mode)


@compiled
def trigger_value(program: int, stages: int, size: int, number: int, state: Array, case: Array) -> float:
    """Return a value that is positive once the speed or distance that starts a stage is met."""
    if number >= stages:
        return -1.0
    first = program + number * size
    trigger = int(case[first])
    if trigger == at.TRIGGER_SPEED_BELOW:
        return case[first + 1] - state[0]
    if trigger == at.TRIGGER_SPEED_ABOVE:
        return state[0] - case[first + 1]
    if trigger == at.TRIGGER_DISTANCE:
        return state[1] - case[first + 1]
    return -1.0


@compiled
def trigger_time(program: int, stages: int, size: int, number: int, case: Array, stage_start: float) -> float:
    """Return the time at which a stage starts, infinite when no time starts it."""
    if number >= stages:
        return math.inf
    first = program + number * size
    trigger = int(case[first])
    if trigger == at.TRIGGER_TIME:
        return case[first + 1]
    if trigger == at.TRIGGER_TIME_AFTER:
        return stage_start + case[first + 1]
    return math.inf


@compiled
def thrust_due(case: Array, mode: Array, stage: Array) -> float:
    """Return the time at which the next stage of the thrust program starts, if time starts it."""
    start = stage[THRUST_START]
    return trigger_time(at.THRUST_PROGRAM, at.THRUST_STAGES, at.THRUST_STAGE_SIZE, mode[THRUST_STAGE], case, start)


@compiled
def brakes_due(case: Array, mode: Array, stage: Array) -> float:
    """Return the time at which the next stage of the brake program starts, if time starts it."""
    start = stage[BRAKE_START]
    return trigger_time(at.BRAKE_PROGRAM, at.BRAKE_STAGES, at.BRAKE_STAGE_SIZE, mode[BRAKE_STAGE], case, start)


@compiled
def next_time(time: float, case: Array, mode: Array, stage: Array) -> float:
    """Return the next moment at which something starts or ends by time."""
    soonest = case[at.LIMIT_TIME]
    if mode[SPOILER_PHASE] < 2:
        soonest = min(soonest, case[at.SPOILER_START] + (case[at.SPOILER_RAMP] if mode[SPOILER_PHASE] == 1 else 0.0))
    if mode[NOSE_PHASE] < 2:
        soonest = min(soonest, case[at.NOSE_START] + (case[at.NOSE_RAMP] if mode[NOSE_PHASE] == 1 else 0.0))
    for end in (stage[THRUST_START] + stage[THRUST_RAMP], stage[BRAKE_START] + stage[BRAKE_RAMP]):
        if end > time + TIME_RESOLUTION:
            soonest = min(soonest, end)
    soonest = min(
        soonest,
        thrust_due(case, mode, stage),
    )
    return min(
        soonest,
        brakes_due(case, mode, stage),
    )


@compiled
def note(log: Array, result: Array, code: int, time: float, state: Array) -> None:
    """Add a located point to the log, as far as the log reaches."""
    row = int(result[at.EVENTS])
    if row < log.shape[0]:
        log[row, 0] = code
        log[row, 1] = time
        log[row, 2] = state[1]
        log[row, 3] = state[0]
    result[at.EVENTS] += 1.0


@compiled
def start_thrust_stage(time: float, case: Array, mode: Array, stage: Array) -> None:
    """Begin the next stage of the thrust program from what the engines do now."""
    share = stage_share(time, stage[THRUST_START], stage[THRUST_RAMP])
    first = at.THRUST_PROGRAM + mode[THRUST_STAGE] * at.THRUST_STAGE_SIZE
    for rating in range(4):
        stage[ENGINES_FROM + rating] = blended(share, stage[ENGINES_FROM + rating], stage[ENGINES_TO + rating])
        stage[ENGINES_TO + rating] = case[first + 3 + rating]
    stage[THRUST_START] = time
    stage[THRUST_RAMP] = case[first + 2]
    mode[THRUST_STAGE] += 1


@compiled
def start_brake_stage(time: float, case: Array, mode: Array, stage: Array, rates: Array) -> None:
    """Begin the next stage of the brake program from what the brakes do now.

    Automatic brakes ramp their command from the deceleration that is there at that moment, at their limited rate.
    Pedals ramp from the share of full brake force that is applied.
    """
    first = at.BRAKE_PROGRAM + mode[BRAKE_STAGE] * at.BRAKE_STAGE_SIZE
    control = int(case[first + 2])
    target = case[first + 3]
    rate = case[first + 4]
    if control == at.CONTROL_AUTOMATIC:
        begin = min(max(-rates[RATE_SPEED], 0.0), target)
    elif case[at.TORQUE_FORCE] > 0.0:
        begin = max(rates[FORCE_BRAKE], 0.0) / case[at.TORQUE_FORCE]
    else:
        begin = 0.0
    mode[CONTROL] = at.CONTROL_PEDAL if control == at.CONTROL_OFF else control
    stage[BRAKE_START] = time
    stage[COMMAND_FROM] = begin
    stage[COMMAND_TO] = 0.0 if control == at.CONTROL_OFF else target
    stage[BRAKE_RAMP] = abs(stage[COMMAND_TO] - begin) / rate if rate > 0.0 and not math.isinf(rate) else 0.0
    mode[BRAKE_STAGE] += 1


@compiled
def start_by_time(
    time: float, state: Array, case: Array, mode: Array, stage: Array, k: Array, log: Array, result: Array
) -> bool:
    """Begin and end everything that is due by time; return whether anything changed."""
    due = time + TIME_RESOLUTION
    changed = False
    if mode[SPOILER_PHASE] == 0 and case[at.SPOILER_START] <= due:
        mode[SPOILER_PHASE] = 1
        note(log, result, at.LOG_SPOILERS_START, time, state)
        changed = True
    if mode[SPOILER_PHASE] == 1 and case[at.SPOILER_START] + case[at.SPOILER_RAMP] <= due:
        mode[SPOILER_PHASE] = 2
        note(log, result, at.LOG_SPOILERS_OUT, time, state)
        changed = True
    if mode[NOSE_PHASE] == 0 and case[at.NOSE_START] <= due:
        mode[NOSE_PHASE] = 1
        note(log, result, at.LOG_NOSE_START, time, state)
        changed = True
    if mode[NOSE_PHASE] == 1 and case[at.NOSE_START] + case[at.NOSE_RAMP] <= due:
        mode[NOSE_PHASE] = 2
        note(log, result, at.LOG_NOSE_DOWN, time, state)
        changed = True
    while thrust_due(case, mode, stage) <= due:
        note(log, result, at.LOG_THRUST + mode[THRUST_STAGE], time, state)
        start_thrust_stage(time, case, mode, stage)
        changed = True
    while brakes_due(case, mode, stage) <= due:
        begin_braking(time, state, case, mode, stage, k, log, result)
        changed = True
    return changed


@compiled
def begin_braking(
    time: float, state: Array, case: Array, mode: Array, stage: Array, k: Array, log: Array, result: Array
) -> None:
    """Start the next brake stage at ``time`` and note where the first one began."""
    evaluate(time, state[0], case, mode, stage, k[0])
    note(log, result, at.LOG_BRAKES + mode[BRAKE_STAGE], time, state)
    start_brake_stage(time, case, mode, stage, k[0])
    if math.isnan(result[at.BRAKES_ON_TIME]):
        result[at.BRAKES_ON_TIME] = time
        result[at.BRAKES_ON_DISTANCE] = state[1]
        result[at.BRAKES_ON_SPEED] = state[0]


@compiled
def settle(
    time: float, state: Array, case: Array, mode: Array, stage: Array, k: Array, log: Array, result: Array
) -> None:
    """Choose what rules the brakes from here on and evaluate the rates that start the next step."""
    evaluate(time, state[0], case, mode, stage, k[0])
    rule = rule_at(k[0], case, mode)
    if rule != mode[RULE]:
        mode[RULE] = rule
        note(log, result, at.LOG_RULE + rule, time, state)
        evaluate(time, state[0], case, mode, stage, k[0])
    result[at.PEAK_DECELERATION] = max(result[at.PEAK_DECELERATION], -k[0, RATE_SPEED])


@compiled
def record(history: Array, row: int, time: float, state: Array, rates: Array, case: Array, mode: Array) -> int:
    """Write one row of history, when there is room, and return the number of the next."""
    if row < history.shape[0]:
        history[row, at.HISTORY_TIME] = time
        history[row, at.HISTORY_DISTANCE] = state[1]
        history[row, at.HISTORY_SPEED] = state[0]
        history[row, at.HISTORY_DECELERATION] = -rates[RATE_SPEED]
        history[row, at.HISTORY_BRAKE] = rates[FORCE_BRAKE]
        history[row, at.HISTORY_DRAG] = rates[FORCE_DRAG]
        history[row, at.HISTORY_THRUST] = rates[FORCE_THRUST]
        history[row, at.HISTORY_ROLLING] = rates[FORCE_ROLLING]
        history[row, at.HISTORY_CONTAMINANT] = rates[FORCE_CONTAMINANT]
        history[row, at.HISTORY_SLOPE] = case[at.MASS] * GRAVITY * case[at.SLOPE_SINE]
        history[row, at.HISTORY_RULE] = mode[RULE]
        history[row, at.HISTORY_BRAKE_WORK] = state[RATE_BRAKE]
        row += 1
    return row


@compiled
def locate(
    point: int,
    time: float,
    step: float,
    value: float,
    state: Array,
    case: Array,
    mode: Array,
    stage: Array,
    stations: Array,
    k: Array,
    new: Array,
) -> float:
    """Return the length of the step that ends just at ``point``, by the Illinois form of false position.

    ``value`` is that of the point at the end of ``step``, positive. ``new`` and ``k[6]`` are left at the located point.
    """
    low, high = 0.0, step
    low_value = min(point_value(point, state, k[0], case, mode, stations), 0.0)
    high_value = value
    scale = max(abs(low_value), high_value)
    side = 0
    for _ in range(60):
        if high - low <= 1e-12 * max(1.0, time) or high_value <= 1e-13 * scale:
            break
        share = low_value / (low_value - high_value)
        trial = low + (high - low) * min(max(share, 1e-3), 1.0 - 1e-3)
        attempt(time, trial, state, case, mode, stage, k, new)
        trial_value = point_value(point, new, k[6], case, mode, stations)
        if trial_value > 0.0:
            high, high_value = trial, trial_value
            if side == 1:
                low_value *= 0.5
            side = 1
        else:
            low, low_value = trial, trial_value
            if side == -1:
                high_value *= 0.5
            side = -1
    attempt(time, high, state, case, mode, stage, k, new)
    return high


@compiled
def roll(case: Array, stations: Array, passed: Array, log: Array, history: Array, result: Array) -> int:
    """Integrate one roll; return how many rows of ``history`` were written.

    Parameters
    ----------
    case : shape (at.CASE_SIZE,)
        The roll, as `groundroll.kernels.layout` lays it out.
    stations : shape (s,)
        Distances from the threshold, ascending, at which the passage is wanted. [m]
    passed : shape (s, 2)
        Receives time and ground speed at each station, NaN where the roll ends before. [s], [m/s]
    log : shape (e, at.LOG_SIZE)
        Receives the located points, as many as fit.
    history : shape (h, at.HISTORY_SIZE)
        Receives a row a step, as many as fit; h may be 0.
    result : shape (at.RESULT_SIZE,)
        Receives the summary; ``result[at.STATUS]`` says how the roll ended.
    """
    state = np.zeros(STATES)
    new = np.zeros(STATES)
    k = np.zeros((7, RATES))
    mode = np.zeros(MODES, dtype=np.int64)
    stage = np.zeros(STAGE_SIZE)
    passed[:] = math.nan
    result[:] = 0.0
    result[at.BRAKES_ON_TIME] = math.nan
    result[at.BRAKES_ON_DISTANCE] = math.nan
    result[at.BRAKES_ON_SPEED] = math.nan
    result[at.STATUS] = at.STATUS_STEPS

    time = 0.0
    state[0] = case[at.START_SPEED]
    state[1] = case[at.START_DISTANCE]
    stage[THRUST_START] = -1.0
    stage[BRAKE_START] = -1.0
    while mode[THIRD] < 2 and state[1] >= case[at.FIRST_THIRD_END if mode[THIRD] == 0 else at.SECOND_THIRD_END]:
        mode[THIRD] += 1
    third = at.THIRDS + mode[THIRD] * at.THIRD_SIZE
    mode[HYDROPLANING] = 1 if state[0] >= case[third + at.THIRD_SWITCH_SPEED] else 0
    mode[PAST_PEAK] = 1 if state[0] > case[third + at.THIRD_HYDROPLANING] else 0
    while mode[STATION] < len(stations) and stations[mode[STATION]] < state[1]:
        mode[STATION] += 1
    start_by_time(time, state, case, mode, stage, k, log, result)
    settle(time, state, case, mode, stage, k, log, result)
    rows = record(history, 0, time, state, k[0], case, mode)
    proposed = min(0.2, case[at.MAXIMUM_STEP])

    for number in range(MAXIMUM_STEPS):
        result[at.STEPS] = number
        if state[0] <= case[at.END_SPEED] and k[0, RATE_SPEED] < 0.0:
            result[at.STATUS] = at.STATUS_DONE
            break
        if state[1] >= case[at.LIMIT_DISTANCE]:
            result[at.STATUS] = at.STATUS_DISTANCE
            break
        if time >= case[at.LIMIT_TIME]:
            result[at.STATUS] = at.STATUS_TIME
            break
        moment = next_time(time, case, mode, stage)
        step = min(proposed, case[at.MAXIMUM_STEP])
        by_time = False
        if time + step >= moment - TIME_RESOLUTION:
            step = moment - time
            by_time = True

        error = attempt(time, step, state, case, mode, stage, k, new)
        if error > 1.0:
            proposed = step * max(0.2, 0.9 * error**-0.2)
            continue
        proposed = step * min(4.0, 0.9 * max(error, 1e-6) ** -0.2)

        # Find the first located point inside the step, if any: each one found shortens the step for the next.
        found = POINT_NONE
        for point in range(1, POINTS):
            for _ in range(3):  # a change of rule may hide an earlier one to another rule
                if point == POINT_RULE:
                    waiting = rule_at(k[6], case, mode)
                    if waiting == mode[RULE]:
                        break
                    mode[RULE_WAITING] = at.RULE_DEMAND if mode[RULE] == at.RULE_NONE else waiting
                value = point_value(point, new, k[6], case, mode, stations)
                if value <= 0.0:
                    break
                step = locate(point, time, step, value, state, case, mode, stage, stations, k, new)
                found = point
                by_time = False
                if point != POINT_RULE or rule_at(k[6], case, mode) in (mode[RULE], mode[RULE_WAITING]):
                    break

        if mode[CONTROL] != at.CONTROL_OFF and stage[COMMAND_TO] > 0.0:
            result[at.RULED_DISTANCE + mode[RULE]] += new[1] - state[1]
            if mode[CONTROL] == at.CONTROL_AUTOMATIC:
                result[at.SHORTFALL] = max(
                    result[at.SHORTFALL],
                    k[0, COMMAND] + k[0, RATE_SPEED],
                    k[6, COMMAND] + k[6, RATE_SPEED],
                )
        result[at.PEAK_DECELERATION] = max(result[at.PEAK_DECELERATION], -k[6, RATE_SPEED])
        time = moment if by_time else time + step
        for i in range(STATES):
            state[i] = new[i]
        for i in range(RATES):
            k[0, i] = k[6, i]
        rows = record(history, rows, time, state, k[0], case, mode)

        changed = by_time
        if found == POINT_LIMIT:
            result[at.STATUS] = at.STATUS_DISTANCE
            break
        if found in (POINT_STOP, POINT_REACHED):
            state[0] = case[at.END_SPEED if found == POINT_STOP else at.END_SPEED_ABOVE]
            note(log, result, at.LOG_STOP, time, state)
            result[at.STATUS] = at.STATUS_DONE
            break
        if found == POINT_HYDROPLANING:
            note(log, result, at.LOG_HYDROPLANING + 1 - mode[HYDROPLANING], time, state)
            mode[HYDROPLANING] = 1 - mode[HYDROPLANING]
            changed = True
        elif found == POINT_PEAK:
            note(log, result, at.LOG_DRAG_PEAK, time, state)
            mode[PAST_PEAK] = 1 - mode[PAST_PEAK]
            changed = True
        elif found == POINT_THIRD:
            mode[THIRD] += 1
            third = at.THIRDS + mode[THIRD] * at.THIRD_SIZE
            mode[HYDROPLANING] = 1 if state[0] >= case[third + at.THIRD_SWITCH_SPEED] else 0
            mode[PAST_PEAK] = 1 if state[0] > case[third + at.THIRD_HYDROPLANING] else 0
            note(log, result, at.LOG_THIRD + mode[THIRD], time, state)
            changed = True
        elif found == POINT_THRUST:
            note(log, result, at.LOG_THRUST + mode[THRUST_STAGE], time, state)
            start_thrust_stage(time, case, mode, stage)
            changed = True
        elif found == POINT_BRAKE:
            begin_braking(time, state, case, mode, stage, k, log, result)
            changed = True
        elif found == POINT_STATION:
            while mode[STATION] < len(stations) and stations[mode[STATION]] <= state[1]:
                passed[mode[STATION], 0] = time
                passed[mode[STATION], 1] = state[0]
                mode[STATION] += 1
        elif found == POINT_RULE:
            mode[RULE] = mode[RULE_WAITING]
            note(log, result, at.LOG_RULE + mode[RULE], time, state)
            evaluate(time, state[0], case, mode, stage, k[0])
        if changed:
            start_by_time(time, state, case, mode, stage, k, log, result)
            settle(time, state, case, mode, stage, k, log, result)
            rows = record(history, rows, time, state, k[0], case, mode)
            proposed = max(proposed, 0.05)

    result[at.END_TIME] = time
    result[at.END_DISTANCE] = state[1]
    result[at.FINAL_SPEED] = state[0]
    result[at.BRAKE_WORK] = state[RATE_BRAKE]
    result[at.AERODYNAMIC_WORK] = state[RATE_DRAG]
    result[at.THRUST_WORK] = state[RATE_THRUST]
    result[at.ROLLING_WORK] = state[RATE_ROLLING]
    result[at.CONTAMINANT_WORK] = state[RATE_CONTAMINANT]
    result[at.REVERSE_FUEL] = state[RATE_FUEL]
    return rows


@compiled
def roll_many(cases: Array, results: Array) -> None:
    """Integrate many rolls, a row each, without history, stations or log."""
    stations = np.zeros(0)
    passed = np.zeros((0, 2))
    log = np.zeros((0, at.LOG_SIZE))
    history = np.zeros((0, at.HISTORY_SIZE))
    for row in range(cases.shape[0]):
        roll(cases[row], stations, passed, log, history, results[row])
