"""The roll: one integrator for landing and rejected take-off, for a single roll with its history and for many at once.

`groundroll.kernels.lanes` holds the equations, the step and the judgement of it. Here are the two drivers around them
and what happens seldom: loading a case, starting a stage, passing a station, the end.
"""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from groundroll.constants import GRAVITY
from groundroll.kernels import lane_layout as f
from groundroll.kernels import layout as at
from groundroll.kernels.jit import compiled, compiled_inline
from groundroll.kernels.lanes import (
    FAR,
    RESOLUTION,
    begin_step,
    brake_force,
    judge,
    limits,
    refresh,
    try_step,
)

Array = NDArray[Any]

L: Final = f.LANES
MAXIMUM_TRIALS: Final = 20_000
FIRST_REACH: Final = 0.5  # first step [s]


@compiled_inline
def set_trigger(
    w: Array,
    i: int,
    cases: Array,
    row: int,
    program: int,
    stages: int,
    size: int,
    number: int,
    last_start: float,
    first: int,
) -> None:
    """Set the five fields from ``first`` on: number, time, speed below, speed above, distance of the next stage."""
    w[first + i] = number
    w[first + L + i] = FAR
    w[first + 2 * L + i] = -FAR
    w[first + 3 * L + i] = FAR
    w[first + 4 * L + i] = FAR
    if number >= stages:
        return
    place = program + number * size
    trigger = int(cases[row, place])
    value = cases[row, place + 1]
    if trigger == at.TRIGGER_TIME:
        w[first + L + i] = value
    elif trigger == at.TRIGGER_TIME_AFTER:
        w[first + L + i] = last_start + value
    elif trigger == at.TRIGGER_SPEED_BELOW:
        w[first + 2 * L + i] = value
    elif trigger == at.TRIGGER_SPEED_ABOVE:
        w[first + 3 * L + i] = value
    elif trigger == at.TRIGGER_DISTANCE:
        w[first + 4 * L + i] = value


@compiled_inline
def is_due(w: Array, i: int, first: int) -> bool:
    """Return whether the stage whose trigger stands from ``first`` on starts now."""
    return bool(
        w[first + L + i] <= w[f.TIME + i] + RESOLUTION
        or w[f.SPEED + i] <= w[first + 2 * L + i]
        or w[f.SPEED + i] >= w[first + 3 * L + i]
        or w[f.DISTANCE + i] >= w[first + 4 * L + i]
    )


@compiled_inline
def set_node(w: Array, i: int, cases: Array, row: int, node: int) -> None:
    """Make the thrust tables linear between two nodes: constant outside the first and the last."""
    w[f.NODE + i] = node
    low = cases[row, at.NODE_SPEED + node] if node >= 0 else -FAR
    high = cases[row, at.NODE_SPEED + node + 1] if node + 1 < at.NODES else FAR
    w[f.NODE_BELOW + i] = low - w[f.HEADWIND + i] if node >= 0 else -FAR
    w[f.NODE_ABOVE + i] = high - w[f.HEADWIND + i] if node + 1 < at.NODES else FAR
    for rating in range(at.RATINGS):
        table = at.NODE_THRUST + rating * at.NODES
        if node < 0:
            start, slope = cases[row, table], 0.0
        elif node + 1 >= at.NODES:
            start, slope = cases[row, table + at.NODES - 1], 0.0
        else:
            slope = (cases[row, table + node + 1] - cases[row, table + node]) / (high - low)
            start = cases[row, table + node] - slope * low
        w[f.THRUST_0 + rating * L + i] = start * cases[row, at.DENSITY_RATIO]
        w[f.THRUST_1 + rating * L + i] = slope * cases[row, at.DENSITY_RATIO]


@compiled_inline
def feel_surface(w: Array, i: int, cases: Array, row: int) -> None:
    """Set the surface felt from the third and the hydroplaning branch, and where the third ends."""
    third = int(w[f.THIRD + i])
    block = at.THIRDS + third * at.THIRD_SIZE
    above = cases[row, block + at.THIRD_ABOVE_SWITCH]
    on = w[f.HYDROPLANING + i] > 0.0
    for power in range(6):
        w[f.FELT + power * L + i] = 0.0 if on else cases[row, block + at.THIRD_POLYNOMIAL + power]
    w[f.FELT_CAP + i] = cases[row, block + at.THIRD_CAP]
    if on:
        w[f.FELT + i] = above
        w[f.FELT_CAP + i] = above
    w[f.SWITCH_SPEED + i] = min(cases[row, block + at.THIRD_SWITCH_SPEED], FAR)
    w[f.CONTAMINANT_MAIN + i] = cases[row, block + at.THIRD_DRAG_MAIN]
    w[f.CONTAMINANT_NOSE + i] = cases[row, block + at.THIRD_DRAG_NOSE]
    w[f.HYDROPLANING_SPEED + i] = min(cases[row, block + at.THIRD_HYDROPLANING], FAR)
    w[f.THIRD_END + i] = cases[row, at.FIRST_THIRD_END + third] if third < 2 else FAR


@compiled_inline
def enter_third(w: Array, i: int, cases: Array, row: int, third: int) -> None:
    """Go over to a third, on the branches that its surface has at this speed."""
    block = at.THIRDS + third * at.THIRD_SIZE
    w[f.THIRD + i] = third
    w[f.HYDROPLANING + i] = 1.0 if w[f.SPEED + i] >= cases[row, block + at.THIRD_SWITCH_SPEED] else 0.0
    w[f.PAST_PEAK + i] = 1.0 if w[f.SPEED + i] > cases[row, block + at.THIRD_HYDROPLANING] else 0.0
    feel_surface(w, i, cases, row)


@compiled_inline
def start_thrust_stage(w: Array, i: int, cases: Array, row: int) -> None:
    """Begin the next stage of the thrust program from what the engines do now."""
    number = int(w[f.THRUST_STAGE + i])
    place = at.THRUST_PROGRAM + number * at.THRUST_STAGE_SIZE
    time = w[f.TIME + i]
    ramp = cases[row, place + 2]
    for rating in range(at.RATINGS):
        field = rating * L + i
        arrived = time + RESOLUTION >= w[f.ENGINES_END + i]
        now = w[f.ENGINES_TO + field] if arrived else w[f.ENGINES_0 + field] + w[f.ENGINES_1 + field] * time
        to = cases[row, place + 3 + rating]
        rate = (to - now) / ramp if ramp > 0.0 else 0.0
        w[f.ENGINES_TO + field] = to
        w[f.ENGINES_1 + field] = rate
        w[f.ENGINES_0 + field] = now - rate * time if ramp > 0.0 else to
    w[f.ENGINES_START + i] = time
    w[f.ENGINES_END + i] = time + ramp
    set_trigger(
        w, i, cases, row, at.THRUST_PROGRAM, at.THRUST_STAGES, at.THRUST_STAGE_SIZE, number + 1, time, f.THRUST_STAGE
    )


@compiled
def start_brake_stage(w: Array, i: int, cases: Array, row: int) -> None:
    """Begin the next stage of the brake program from what the brakes do now.

    Automatic brakes ramp their command from the deceleration that is there at that moment, at their limited rate.
    Pedals ramp from the share of full brake force that is applied.
    """
    number = int(w[f.BRAKE_STAGE + i])
    place = at.BRAKE_PROGRAM + number * at.BRAKE_STAGE_SIZE
    time = w[f.TIME + i]
    refresh(w, i)
    _drag, _thrust, _rolling, _contaminant, others, friction, demand, _command = limits(w, i, time, w[f.SPEED + i])
    brake = brake_force(w, i, friction, demand)
    control = int(cases[row, place + 2])
    target = cases[row, place + 3] if control != at.CONTROL_OFF else 0.0
    rate = cases[row, place + 4]
    if control == at.CONTROL_AUTOMATIC:
        begin = min(max((others + brake) * w[f.INVERSE_MASS + i], 0.0), target)
    elif w[f.TORQUE + i] > 0.0:
        begin = max(brake, 0.0) / w[f.TORQUE + i]
    else:
        begin = 0.0
    ramp = abs(target - begin) / rate if rate > 0.0 and not math.isinf(rate) else 0.0
    change = (target - begin) / ramp if ramp > 0.0 else 0.0
    w[f.COMMAND_TO + i] = target
    w[f.COMMAND_1 + i] = change
    w[f.COMMAND_0 + i] = begin - change * time if ramp > 0.0 else target
    w[f.COMMAND_START + i] = time
    w[f.COMMAND_END + i] = time + ramp
    automatic = control == at.CONTROL_AUTOMATIC
    w[f.PEDALS + i] = 0.0 if automatic else 1.0
    w[f.DEMAND_MASS + i] = w[f.MASS + i] if automatic else w[f.TORQUE + i]
    w[f.DEMAND_OTHERS + i] = 1.0 if automatic else 0.0
    w[f.BRAKING + i] = 1.0
    w[f.CHANGED + i] = 1.0
    if math.isnan(w[f.BRAKES_ON_TIME + i]):
        w[f.BRAKES_ON_TIME + i] = time
        w[f.BRAKES_ON_DISTANCE + i] = w[f.DISTANCE + i]
        w[f.BRAKES_ON_SPEED + i] = w[f.SPEED + i]
    set_trigger(
        w, i, cases, row, at.BRAKE_PROGRAM, at.BRAKE_STAGES, at.BRAKE_STAGE_SIZE, number + 1, time, f.BRAKE_STAGE
    )


@compiled
def start_what_is_due(w: Array, i: int, cases: Array, row: int) -> None:
    """Begin every stage that is due, thrust before brakes."""
    while is_due(w, i, f.THRUST_STAGE):
        start_thrust_stage(w, i, cases, row)
        w[f.CHANGED + i] = 1.0
    while is_due(w, i, f.BRAKE_STAGE):
        start_brake_stage(w, i, cases, row)


@compiled
def load(w: Array, i: int, cases: Array, row: int, stations: Array, tolerance: float, landing: float) -> None:
    """Put a case into a lane, at its start."""
    for field in range(f.FIRST_ZEROED, f.LAST_ZEROED + L, L):
        w[field + i] = 0.0
    w[f.ROW + i] = row
    weight = cases[row, at.MASS] * GRAVITY
    w[f.SPEED + i] = cases[row, at.START_SPEED]
    w[f.DISTANCE + i] = cases[row, at.START_DISTANCE]
    w[f.MASS + i] = cases[row, at.MASS]
    w[f.INVERSE_MASS + i] = 1.0 / cases[row, at.MASS]
    w[f.DENSITY + i] = cases[row, at.DENSITY]
    w[f.WING_AREA + i] = cases[row, at.WING_AREA]
    w[f.HEADWIND + i] = cases[row, at.HEADWIND]
    w[f.WEIGHT_NORMAL + i] = weight * cases[row, at.SLOPE_COSINE]
    w[f.WEIGHT_ALONG + i] = weight * cases[row, at.SLOPE_SINE]
    w[f.LIFT_STOWED + i] = cases[row, at.LIFT_STOWED]
    w[f.LIFT_CHANGE + i] = cases[row, at.LIFT_DEPLOYED] - cases[row, at.LIFT_STOWED]
    w[f.LIFT_NOSE_UP + i] = cases[row, at.LIFT_NOSE_UP]
    w[f.DRAG_STOWED + i] = cases[row, at.DRAG_STOWED]
    w[f.DRAG_CHANGE + i] = cases[row, at.DRAG_DEPLOYED] - cases[row, at.DRAG_STOWED]
    w[f.DRAG_NOSE_UP + i] = cases[row, at.DRAG_NOSE_UP]
    w[f.NOSE_SHARE + i] = cases[row, at.NOSE_SHARE]
    w[f.HEIGHT_RATIO + i] = cases[row, at.HEIGHT_RATIO]
    w[f.BRAKED_SHARE + i] = cases[row, at.BRAKED_SHARE]
    w[f.ROLLING + i] = cases[row, at.ROLLING_COEFFICIENT]
    w[f.TORQUE + i] = cases[row, at.TORQUE_FORCE]
    w[f.SPOILER_START + i] = cases[row, at.SPOILER_START]
    w[f.SPOILER_RAMP + i] = cases[row, at.SPOILER_RAMP]
    w[f.NOSE_START + i] = cases[row, at.NOSE_START]
    w[f.NOSE_RAMP + i] = cases[row, at.NOSE_RAMP]
    w[f.FUEL_REVERSE_IDLE + i] = cases[row, at.FUEL_REVERSE_IDLE]
    w[f.FUEL_REVERSE_FULL + i] = cases[row, at.FUEL_REVERSE_FULL]
    w[f.END_SPEED + i] = cases[row, at.END_SPEED]
    w[f.END_SPEED_ABOVE + i] = min(cases[row, at.END_SPEED_ABOVE], FAR)
    w[f.LIMIT_DISTANCE + i] = cases[row, at.LIMIT_DISTANCE]
    w[f.LIMIT_TIME + i] = cases[row, at.LIMIT_TIME]
    w[f.LANDING + i] = landing if landing > 0.0 else cases[row, at.LANDING]
    wanted = tolerance if tolerance > 0.0 else cases[row, at.TOLERANCE]
    w[f.MAXIMUM_STEP + i] = cases[row, at.MAXIMUM_STEP]
    scale = max(cases[row, at.START_SPEED], 10.0)
    w[f.SPEED_WEIGHT + i] = 1.0 / (scale * wanted)
    w[f.DISTANCE_WEIGHT + i] = 1.0 / (1_000.0 * wanted)
    w[f.ENERGY_WEIGHT + i] = 1.0 / (0.5 * cases[row, at.MASS] * scale * scale * wanted)
    exponent = int(cases[row, at.FALL_OFF_EXPONENT])
    w[f.FALL_OFF_1 + i] = exponent % 2
    w[f.FALL_OFF_2 + i] = exponent // 2 % 2
    w[f.FALL_OFF_4 + i] = exponent // 4 % 2
    third = 0
    while third < 2 and cases[row, at.START_DISTANCE] >= cases[row, at.FIRST_THIRD_END + third]:
        third += 1
    enter_third(w, i, cases, row, third)
    airspeed = cases[row, at.START_SPEED] + cases[row, at.HEADWIND]
    node = -1
    while node + 1 < at.NODES and airspeed > cases[row, at.NODE_SPEED + node + 1]:
        node += 1
    if node < 0 and airspeed == cases[row, at.NODE_SPEED]:
        node = 0
    set_node(w, i, cases, row, node)
    w[f.ENGINES_END + i] = -FAR
    w[f.COMMAND_END + i] = -FAR
    w[f.BRAKES_ON_TIME + i] = math.nan
    w[f.BRAKES_ON_DISTANCE + i] = math.nan
    w[f.BRAKES_ON_SPEED + i] = math.nan
    w[f.PROPOSED + i] = FIRST_REACH
    w[f.REACH + i] = FIRST_REACH
    w[f.CHANGED + i] = 1.0
    w[f.ACCEPTED + i] = 1.0
    station = 0
    while station < stations.shape[1] and stations[row, station] < cases[row, at.START_DISTANCE]:
        station += 1
    w[f.STATION + i] = station
    w[f.STATION_DISTANCE + i] = stations[row, station] if station < stations.shape[1] else FAR
    set_trigger(w, i, cases, row, at.THRUST_PROGRAM, at.THRUST_STAGES, at.THRUST_STAGE_SIZE, 0, 0.0, f.THRUST_STAGE)
    set_trigger(w, i, cases, row, at.BRAKE_PROGRAM, at.BRAKE_STAGES, at.BRAKE_STAGE_SIZE, 0, 0.0, f.BRAKE_STAGE)
    start_what_is_due(w, i, cases, row)


@compiled_inline
def handle(w: Array, i: int, cases: Array, row: int, stations: Array, passed: Array) -> int:
    """Do what the vector code does not: nodes, stations, stages, the end; return the status, -1 while it goes on."""
    if w[f.AT_SPEED + i] == 1.0 and w[f.SPEED + i] <= w[f.END_SPEED + i]:
        return at.STATUS_DONE
    if w[f.AT_SPEED + i] == 2.0 and w[f.SPEED + i] >= w[f.END_SPEED_ABOVE + i]:
        return at.STATUS_DONE
    while w[f.STATION_DISTANCE + i] <= w[f.DISTANCE + i]:
        station = int(w[f.STATION + i])
        passed[row, station, 0] = w[f.TIME + i]
        passed[row, station, 1] = w[f.SPEED + i]
        station += 1
        w[f.STATION + i] = station
        w[f.STATION_DISTANCE + i] = stations[row, station] if station < stations.shape[1] else FAR
    if w[f.DISTANCE + i] >= w[f.LIMIT_DISTANCE + i]:
        return at.STATUS_DISTANCE
    if w[f.TIME + i] >= w[f.LIMIT_TIME + i]:
        return at.STATUS_TIME
    if w[f.AT_SPEED + i] > 0.0:
        if w[f.SPEED + i] == w[f.SWITCH_SPEED + i]:
            w[f.HYDROPLANING + i] = w[f.AT_SPEED + i] - 1.0
            feel_surface(w, i, cases, row)
        if w[f.SPEED + i] == w[f.HYDROPLANING_SPEED + i]:
            w[f.PAST_PEAK + i] = w[f.AT_SPEED + i] - 1.0
    if w[f.AT_DISTANCE + i] > 0.0 and w[f.DISTANCE + i] >= w[f.THIRD_END + i]:
        enter_third(w, i, cases, row, int(w[f.THIRD + i]) + 1)
    if w[f.AT_SPEED + i] == 1.0 and w[f.SPEED + i] == w[f.NODE_BELOW + i]:
        set_node(w, i, cases, row, int(w[f.NODE + i]) - 1)
    elif w[f.AT_SPEED + i] == 2.0 and w[f.SPEED + i] == w[f.NODE_ABOVE + i]:
        set_node(w, i, cases, row, int(w[f.NODE + i]) + 1)
    start_what_is_due(w, i, cases, row)
    return -1


@compiled
def write_result(w: Array, i: int, status: int, results: Array, row: int) -> None:
    """Write the summary of the roll in a lane."""
    _drag, _thrust, _rolling, _contaminant, others, friction, demand, _command = limits(
        w, i, w[f.TIME + i], w[f.SPEED + i]
    )
    at_the_end = (others + brake_force(w, i, friction, demand)) * w[f.INVERSE_MASS + i]
    results[row, at.STATUS] = status
    results[row, at.END_TIME] = w[f.TIME + i]
    results[row, at.END_DISTANCE] = w[f.DISTANCE + i]
    results[row, at.FINAL_SPEED] = w[f.SPEED + i]
    results[row, at.BRAKE_WORK] = w[f.BRAKE_WORK + i]
    results[row, at.AERODYNAMIC_WORK] = w[f.DRAG_WORK + i]
    results[row, at.THRUST_WORK] = w[f.THRUST_WORK + i]
    results[row, at.ROLLING_WORK] = w[f.ROLLING_WORK + i]
    results[row, at.CONTAMINANT_WORK] = w[f.CONTAMINANT_WORK + i]
    results[row, at.REVERSE_FUEL] = w[f.FUEL + i]
    results[row, at.PEAK_DECELERATION] = max(w[f.PEAK + i], at_the_end)
    results[row, at.BRAKES_ON_TIME] = w[f.BRAKES_ON_TIME + i]
    results[row, at.BRAKES_ON_DISTANCE] = w[f.BRAKES_ON_DISTANCE + i]
    results[row, at.BRAKES_ON_SPEED] = w[f.BRAKES_ON_SPEED + i]
    for rule in range(4):
        results[row, at.RULED_DISTANCE + rule] = w[f.RULED + rule * L + i]
    results[row, at.SHORTFALL] = w[f.SHORTFALL + i]
    results[row, at.STEPS] = w[f.TRIALS + i]


@compiled
def ends_at_once(w: Array, i: int) -> bool:
    """Return whether a roll just loaded is over: at its end speed and slowing down."""
    if w[f.SPEED + i] > w[f.END_SPEED + i]:
        return False
    refresh(w, i)
    begin_step(w, i)
    return bool(w[f.ACCELERATION + i] < 0.0)


@compiled
def rolls(cases: Array, stations: Array, passed: Array, results: Array, tolerance: float, landing: float) -> None:
    """Integrate many rolls side by side.

    Parameters
    ----------
    cases : shape (n, CASE_SIZE)
        As `groundroll.kernels.layout` lays them out.
    stations : shape (n, s)
        Distances at which the passage is wanted, ascending in each row; s may be 0. [m]
    passed : shape (n, s, 2)
        Receives time and ground speed at each station, NaN where the roll ends before.
    results : shape (n, RESULT_SIZE)
        Receives the summaries.
    tolerance, landing
        Instead of those of the rows, where positive.
    """
    w = np.zeros(f.SIZE)
    count = cases.shape[0]
    passed[:] = math.nan
    waiting = 0
    active = 0
    for i in range(L):
        w[f.ROW + i] = -1.0
        if count > 0:
            load(w, i, cases, 0, stations, tolerance, landing)  # an idle lane computes along on harmless numbers
            w[f.ROW + i] = -1.0
    for i in range(L):
        waiting = fill(w, i, cases, stations, results, waiting, tolerance, landing)
        active += 1 if w[f.ROW + i] >= 0.0 else 0
    while active > 0:
        for i in range(L):
            refresh(w, i)
        for i in range(L):
            begin_step(w, i)
        for i in range(L):
            try_step(w, i)
        for i in range(L):
            judge(w, i)
        for i in range(L):
            if w[f.HANDLE + i] > 0.0 or w[f.TRIALS + i] > MAXIMUM_TRIALS:
                row = int(w[f.ROW + i])
                if row < 0:
                    continue
                status = handle(w, i, cases, row, stations, passed)
                if status < 0 and w[f.TRIALS + i] > MAXIMUM_TRIALS:
                    status = at.STATUS_STEPS
                if status >= 0:
                    write_result(w, i, status, results, row)
                    w[f.ROW + i] = -1.0
                    waiting = fill(w, i, cases, stations, results, waiting, tolerance, landing)
                    active -= 1 if w[f.ROW + i] < 0.0 else 0


@compiled
def fill(
    w: Array,
    i: int,
    cases: Array,
    stations: Array,
    results: Array,
    waiting: int,
    tolerance: float,
    landing: float,
) -> int:
    """Load the next waiting case into a lane; return the number of the one after it."""
    while waiting < cases.shape[0]:
        load(w, i, cases, waiting, stations, tolerance, landing)
        waiting += 1
        if not ends_at_once(w, i):
            return waiting
        write_result(w, i, at.STATUS_DONE, results, waiting - 1)
        w[f.ROW + i] = -1.0
    return waiting


@compiled
def log_point(log: Array, results: Array, code: int, w: Array) -> None:
    """Add a located point of lane 0 to the log, as far as the log reaches."""
    row = int(results[0, at.EVENTS])
    if row < log.shape[0]:
        log[row, 0] = code
        log[row, 1] = w[f.TIME]
        log[row, 2] = w[f.DISTANCE]
        log[row, 3] = w[f.SPEED]
    results[0, at.EVENTS] += 1.0


@compiled
def log_times(w: Array, log: Array, results: Array, since: float) -> None:
    """Log what began and ended by time after ``since``, up to now."""
    due = w[f.TIME] + RESOLUTION
    for code, moment in (
        (at.LOG_SPOILERS_START, w[f.SPOILER_START]),
        (at.LOG_SPOILERS_OUT, w[f.SPOILER_START] + w[f.SPOILER_RAMP]),
        (at.LOG_NOSE_START, w[f.NOSE_START]),
        (at.LOG_NOSE_DOWN, w[f.NOSE_START] + w[f.NOSE_RAMP]),
    ):
        if since < moment <= due:
            log_point(log, results, code, w)


@compiled
def log_stages(w: Array, log: Array, results: Array, thrust_from: int, brakes_from: int) -> None:
    """Log the stages begun since their numbers were as given."""
    for number in range(thrust_from, int(w[f.THRUST_STAGE])):
        log_point(log, results, at.LOG_THRUST + number, w)
    for number in range(brakes_from, int(w[f.BRAKE_STAGE])):
        log_point(log, results, at.LOG_BRAKES + number, w)


@compiled
def ruling(w: Array) -> int:
    """Return what rules the brakes in lane 0."""
    if w[f.RULED_BY_DEMAND] > 0.0:
        return at.RULE_DEMAND
    if w[f.RULED_BY_FRICTION] > 0.0:
        return at.RULE_FRICTION
    return at.RULE_TORQUE if w[f.RULED_BY_TORQUE] > 0.0 else at.RULE_NONE


@compiled
def record(history: Array, row: int, w: Array) -> int:
    """Write the moment that lane 0 is at, when there is room, and return the number of the next row."""
    if row < history.shape[0]:
        drag, thrust, rolling, contaminant, others, friction, demand, _command = limits(w, 0, w[f.TIME], w[f.SPEED])
        brake = brake_force(w, 0, friction, demand)
        history[row, at.HISTORY_TIME] = w[f.TIME]
        history[row, at.HISTORY_DISTANCE] = w[f.DISTANCE]
        history[row, at.HISTORY_SPEED] = w[f.SPEED]
        history[row, at.HISTORY_DECELERATION] = (others + brake) * w[f.INVERSE_MASS]
        history[row, at.HISTORY_BRAKE] = brake
        history[row, at.HISTORY_DRAG] = drag
        history[row, at.HISTORY_THRUST] = thrust
        history[row, at.HISTORY_ROLLING] = rolling
        history[row, at.HISTORY_CONTAMINANT] = contaminant
        history[row, at.HISTORY_SLOPE] = w[f.WEIGHT_ALONG]
        history[row, at.HISTORY_RULE] = ruling(w)
        history[row, at.HISTORY_BRAKE_WORK] = w[f.BRAKE_WORK]
        row += 1
    return row


@compiled
def roll(cases: Array, stations: Array, passed: Array, log: Array, history: Array, results: Array) -> int:
    """Integrate one roll in one lane, with its located points and its history; return the rows of history written.

    Parameters
    ----------
    cases : shape (1, CASE_SIZE)
    stations : shape (1, s)
    passed : shape (1, s, 2)
    results : shape (1, RESULT_SIZE)
        As for `rolls`.
    log : shape (e, LOG_SIZE)
        Receives the located points, as many as fit.
    history : shape (h, HISTORY_SIZE)
        Receives a row a step, as many as fit; h may be 0.
    """
    w = np.zeros(f.SIZE)
    passed[:] = math.nan
    results[:] = 0.0
    load(w, 0, cases, 0, stations, 0.0, 0.0)
    log_times(w, log, results, -FAR)
    log_stages(w, log, results, 0, 0)
    rule = at.RULE_NONE
    rows = 0
    status = at.STATUS_DONE if ends_at_once(w, 0) else -1
    fresh = True
    while status < 0:
        refresh(w, 0)
        begin_step(w, 0)
        if ruling(w) != rule:
            rule = ruling(w)
            log_point(log, results, at.LOG_RULE + rule, w)
        if fresh:
            rows = record(history, rows, w)
        time, third = w[f.TIME], w[f.THIRD]
        planing, past = w[f.HYDROPLANING], w[f.PAST_PEAK]
        thrust, brakes = int(w[f.THRUST_STAGE]), int(w[f.BRAKE_STAGE])
        try_step(w, 0)
        judge(w, 0)
        fresh = w[f.ACCEPTED] > 0.0
        if fresh:
            rows = record(history, rows, w)
            log_times(w, log, results, time + RESOLUTION)
        if w[f.HANDLE] > 0.0:
            status = handle(w, 0, cases, 0, stations, passed)
            if w[f.THIRD] != third:
                log_point(log, results, at.LOG_THIRD + int(w[f.THIRD]), w)
            elif w[f.HYDROPLANING] != planing:
                log_point(log, results, at.LOG_HYDROPLANING + int(w[f.HYDROPLANING]), w)
            elif w[f.PAST_PEAK] < past:
                log_point(log, results, at.LOG_DRAG_PEAK, w)
            log_stages(w, log, results, thrust, brakes)
        if status < 0 and w[f.TRIALS] > MAXIMUM_TRIALS:
            status = at.STATUS_STEPS
    if status == at.STATUS_DONE:
        log_point(log, results, at.LOG_STOP, w)
    events = results[0, at.EVENTS]
    write_result(w, 0, status, results, 0)
    results[0, at.EVENTS] = events
    return rows
