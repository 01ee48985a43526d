"""One text of the roll, for one lane at a time: forces, step, judgement.

`w` is the flat array of `groundroll.kernels.lane_layout`, ``i`` the lane. The functions hold no branch that differs
from lane to lane, so that a loop over lanes around them turns into vector instructions; the same functions called for
a single lane are the scalar form. Both give the same digits.

The method is the explicit Runge-Kutta pair of order 5(4) of Dormand and Prince (J. Comp. Appl. Math. 6 (1980) 19).
Whatever breaks the smoothness of the forces is landed on, never stepped over: times by cutting the step; speeds and
distances by the continuous extension of order 4 of the step that ran past them; changes of what rules the brakes by
the secant, trying again until the change is met. Between two such points every branch is frozen and the forces are
smooth but for the cap of the braking coefficient, which is left to the error control.
"""

from __future__ import annotations

import math
from typing import Any, Final

from numpy.typing import NDArray

from groundroll.kernels import lane_layout as f
from groundroll.kernels.braking import braking_polynomial
from groundroll.kernels.contaminant import contaminant_drag
from groundroll.kernels.forces import (
    aerodynamic_drag,
    automatic_demand,
    dynamic_pressure,
    friction_limited_force,
    load_on_wheels,
)
from groundroll.kernels.hydroplaning import drag_fall_off
from groundroll.kernels.jit import compiled_inline

Array = NDArray[Any]

L: Final = f.LANES
RESOLUTION: Final = 1e-11  # of time [s]
FAR: Final = 1e100
LEAST_RAMP: Final = 1e-30  # keeps the rate of a movement at once finite; it is not used [s]
NO_FORCE: Final = 1e-8  # of the weight: a demand this little below zero is none yet
LEAST_NEAR: Final = 1e-7  # of the weight: a change of rule is met within this at the finest
NEAR_SPEED: Final = 1e-6  # a speed is met within this [m/s]
NEAR_DISTANCE: Final = 1e-5  # a distance is met within this [m]
OVERREACH: Final = 1.25  # a step goes this much further than the next speed or distance seems to be


@compiled_inline
def limits(
    w: Array, i: int, time: float, speed: float
) -> tuple[float, float, float, float, float, float, float, float]:
    """Return drag, thrust, rolling, contaminant, all retarding force but the brakes, friction, demand and command."""
    spoilers = w[f.SPOILERS_0 + i] + w[f.SPOILERS_1 + i] * time
    nose = w[f.NOSE_0 + i] + w[f.NOSE_1 + i] * time
    airspeed = speed + w[f.HEADWIND + i]
    pressure = dynamic_pressure(w[f.DENSITY + i], airspeed)
    lift_coefficient = w[f.LIFT_STOWED + i] + spoilers * w[f.LIFT_CHANGE + i] + (1.0 - nose) * w[f.LIFT_NOSE_UP + i]
    drag_coefficient = w[f.DRAG_STOWED + i] + spoilers * w[f.DRAG_CHANGE + i] + (1.0 - nose) * w[f.DRAG_NOSE_UP + i]
    load = load_on_wheels(w[f.WEIGHT_NORMAL + i], pressure, w[f.WING_AREA + i], lift_coefficient)
    drag = aerodynamic_drag(pressure, airspeed, w[f.WING_AREA + i], drag_coefficient)
    thrust = (
        (w[f.ENGINES_0 + i] + w[f.ENGINES_1 + i] * time) * (w[f.THRUST_0 + i] + w[f.THRUST_1 + i] * airspeed)
        + (w[f.ENGINES_0 + L + i] + w[f.ENGINES_1 + L + i] * time)
        * (w[f.THRUST_0 + L + i] + w[f.THRUST_1 + L + i] * airspeed)
        + (w[f.ENGINES_0 + 2 * L + i] + w[f.ENGINES_1 + 2 * L + i] * time)
        * (w[f.THRUST_0 + 2 * L + i] + w[f.THRUST_1 + 2 * L + i] * airspeed)
        + (w[f.ENGINES_0 + 3 * L + i] + w[f.ENGINES_1 + 3 * L + i] * time)
        * (w[f.THRUST_0 + 3 * L + i] + w[f.THRUST_1 + 3 * L + i] * airspeed)
    )
    rolling = w[f.ROLLING + i] * load
    left = drag_fall_off(
        speed, w[f.HYDROPLANING_SPEED + i], w[f.FALL_OFF_1 + i], w[f.FALL_OFF_2 + i], w[f.FALL_OFF_4 + i]
    )
    contaminant = contaminant_drag(speed, w[f.CONTAMINANT_MAIN + i] + nose * w[f.CONTAMINANT_NOSE + i])
    contaminant *= left if w[f.PAST_PEAK + i] > 0.0 else 1.0
    coefficient = braking_polynomial(
        speed,
        w[f.FELT + i],
        w[f.FELT + L + i],
        w[f.FELT + 2 * L + i],
        w[f.FELT + 3 * L + i],
        w[f.FELT + 4 * L + i],
        w[f.FELT + 5 * L + i],
        w[f.FELT_CAP + i],
    )
    others = drag - thrust + rolling + contaminant + w[f.WEIGHT_ALONG + i]
    friction = friction_limited_force(
        coefficient,
        w[f.BRAKED_SHARE + i],
        load,
        rolling + contaminant,
        nose,
        w[f.NOSE_SHARE + i],
        w[f.HEIGHT_RATIO + i],
    )
    command = w[f.COMMAND_0 + i] + w[f.COMMAND_1 + i] * time
    # Automatic: mass times command less the other forces. Pedals: torque times command, the other forces counted zero.
    demand = automatic_demand(w[f.DEMAND_MASS + i], command, w[f.DEMAND_OTHERS + i] * others)
    return drag, thrust, rolling, contaminant, others, friction, demand, command


@compiled_inline
def brake_force(w: Array, i: int, friction: float, demand: float) -> float:
    """Return the wheel-brake force of what rules it, frozen."""
    return (
        w[f.RULED_BY_DEMAND + i] * demand
        + w[f.RULED_BY_FRICTION + i] * friction
        + w[f.RULED_BY_TORQUE + i] * w[f.TORQUE + i]
    )


@compiled_inline
def rates_at(w: Array, i: int, time: float, speed: float) -> tuple[float, float, float, float, float, float, float]:
    """Return the acceleration, brakes, drag, thrust, rolling, contaminant, and by how much the rule is broken."""
    drag, thrust, rolling, contaminant, others, friction, demand, command = limits(w, i, time, speed)
    brake = brake_force(w, i, friction, demand)
    over = rule_excess(w, i, friction, demand, command, brake)
    return -(others + brake) * w[f.INVERSE_MASS + i], brake, drag, thrust, rolling, contaminant, over


@compiled_inline
def rule_excess(w: Array, i: int, friction: float, demand: float, command: float, brake: float) -> float:
    """Return by how much the frozen rule of the brakes no longer holds; not positive while it does. [N]

    A force above the least of demand, friction and torque; with no brake force, a demand; a demand below zero.
    """
    torque = w[f.TORQUE + i]
    full = (w[f.PEDALS + i] > 0.0) & (command >= 1.0)  # full pedal asks for all there is
    asked = FAR if full else demand
    ruled = (w[f.RULED_BY_DEMAND + i] + w[f.RULED_BY_FRICTION + i] + w[f.RULED_BY_TORQUE + i]) > 0.0
    over = brake - min(asked, min(friction, torque))
    over = over if ruled else demand  # no brake force yet: it is needed again once the demand is positive
    to_none = (w[f.RULED_BY_DEMAND + i] > 0.0) & (demand < -NO_FORCE * w[f.WEIGHT_NORMAL + i])
    over = -demand if to_none else over
    return over if w[f.BRAKING + i] > 0.0 else -FAR


@compiled_inline
def fuel_flow_at(w: Array, i: int, time: float) -> float:
    """Return the fuel flow of the engines in reverse above forward idle."""
    idle = w[f.ENGINES_0 + L + i] + w[f.ENGINES_1 + L + i] * time
    full = w[f.ENGINES_0 + 2 * L + i] + w[f.ENGINES_1 + 2 * L + i] * time
    return idle * w[f.FUEL_REVERSE_IDLE + i] + full * w[f.FUEL_REVERSE_FULL + i]


@compiled_inline
def refresh(w: Array, i: int) -> None:
    """Set what is linear in time to the piece that holds from now on, and the surface to the one felt now."""
    due = w[f.TIME + i] + RESOLUTION
    start = w[f.SPOILER_START + i]
    end = start + w[f.SPOILER_RAMP + i]
    under_way = (due >= start) & (due < end)
    rate = 1.0 / max(w[f.SPOILER_RAMP + i], LEAST_RAMP)
    w[f.SPOILERS_1 + i] = rate if under_way else 0.0
    w[f.SPOILERS_0 + i] = -start * rate if under_way else (1.0 if due >= end else 0.0)
    start = w[f.NOSE_START + i]
    end = start + w[f.NOSE_RAMP + i]
    under_way = (due >= start) & (due < end)
    rate = 1.0 / max(w[f.NOSE_RAMP + i], LEAST_RAMP)
    w[f.NOSE_1 + i] = rate if under_way else 0.0
    w[f.NOSE_0 + i] = -start * rate if under_way else (1.0 if due >= end else 0.0)
    arrived = due >= w[f.ENGINES_END + i]
    w[f.ENGINES_0 + i] = w[f.ENGINES_TO + i] if arrived else w[f.ENGINES_0 + i]
    w[f.ENGINES_1 + i] = 0.0 if arrived else w[f.ENGINES_1 + i]
    w[f.ENGINES_0 + L + i] = w[f.ENGINES_TO + L + i] if arrived else w[f.ENGINES_0 + L + i]
    w[f.ENGINES_1 + L + i] = 0.0 if arrived else w[f.ENGINES_1 + L + i]
    w[f.ENGINES_0 + 2 * L + i] = w[f.ENGINES_TO + 2 * L + i] if arrived else w[f.ENGINES_0 + 2 * L + i]
    w[f.ENGINES_1 + 2 * L + i] = 0.0 if arrived else w[f.ENGINES_1 + 2 * L + i]
    w[f.ENGINES_0 + 3 * L + i] = w[f.ENGINES_TO + 3 * L + i] if arrived else w[f.ENGINES_0 + 3 * L + i]
    w[f.ENGINES_1 + 3 * L + i] = 0.0 if arrived else w[f.ENGINES_1 + 3 * L + i]
    arrived = due >= w[f.COMMAND_END + i]
    w[f.COMMAND_0 + i] = w[f.COMMAND_TO + i] if arrived else w[f.COMMAND_0 + i]
    w[f.COMMAND_1 + i] = 0.0 if arrived else w[f.COMMAND_1 + i]


@compiled_inline
def later_of(start: float, end: float, due: float) -> float:
    """Return the next of a start and an end that is still to come, far away when both are past."""
    after = end if end > due else FAR
    return start if start > due else after


@compiled_inline
def begin_step(w: Array, i: int) -> None:
    """Choose what rules the brakes where something changed, evaluate the rates, look ahead and size the step."""
    time = w[f.TIME + i]
    speed = w[f.SPEED + i]
    distance = w[f.DISTANCE + i]
    drag, thrust, rolling, contaminant, others, friction, demand, command = limits(w, i, time, speed)
    torque = w[f.TORQUE + i]
    pedals, braking, change = w[f.PEDALS + i], w[f.BRAKING + i], w[f.CHANGED + i]
    old_demand, old_friction = w[f.RULED_BY_DEMAND + i], w[f.RULED_BY_FRICTION + i]
    old_torque = w[f.RULED_BY_TORQUE + i]
    full = (pedals > 0.0) & (command >= 1.0)  # full pedal asks for all there is
    asked = FAR if full else demand
    least = -NO_FORCE * w[f.WEIGHT_NORMAL + i]
    needed = (braking > 0.0) & (demand >= least)
    by_demand = needed & (asked <= friction) & (asked <= torque)
    by_friction = needed & (not by_demand) & (friction <= torque)
    by_torque = needed & (not by_demand) & (friction > torque)
    new_demand = 1.0 if by_demand else 0.0
    new_friction = 1.0 if by_friction else 0.0
    new_torque = 1.0 if by_torque else 0.0
    ruled_demand = new_demand if change > 0.0 else old_demand
    ruled_friction = new_friction if change > 0.0 else old_friction
    ruled_torque = new_torque if change > 0.0 else old_torque
    brake = ruled_demand * demand + ruled_friction * friction + ruled_torque * torque
    acceleration = -(others + brake) * w[f.INVERSE_MASS + i]
    peak_deceleration = w[f.PEAK + i]
    w[f.RULED_BY_DEMAND + i] = ruled_demand
    w[f.RULED_BY_FRICTION + i] = ruled_friction
    w[f.RULED_BY_TORQUE + i] = ruled_torque
    w[f.ACCELERATION + i] = acceleration
    w[f.BRAKE + i] = brake
    w[f.DRAG + i] = drag
    w[f.THRUST + i] = thrust
    w[f.ROLLING_FORCE + i] = rolling
    w[f.CONTAMINANT + i] = contaminant
    w[f.DEMAND + i] = demand
    w[f.FRICTION + i] = friction
    w[f.COMMAND + i] = command
    w[f.PEAK + i] = max(peak_deceleration, -acceleration)

    # The next moment at which something starts or ends by time.
    due = time + RESOLUTION
    spoilers, nose = w[f.SPOILER_START + i], w[f.NOSE_START + i]
    spoilers_end, nose_end = spoilers + w[f.SPOILER_RAMP + i], nose + w[f.NOSE_RAMP + i]
    engines_end, command_end = w[f.ENGINES_END + i], w[f.COMMAND_END + i]
    moment = min(w[f.LIMIT_TIME + i], min(w[f.THRUST_TIME + i], w[f.BRAKE_TIME + i]))
    moment = min(moment, later_of(spoilers, spoilers_end, due))
    moment = min(moment, later_of(nose, nose_end, due))
    moment = min(moment, later_of(engines_end, FAR, due))
    moment = min(moment, later_of(command_end, FAR, due))
    # Speeds on both sides and the distance at which something changes.
    switch, peak = w[f.SWITCH_SPEED + i], w[f.HYDROPLANING_SPEED + i]
    planing, past = w[f.HYDROPLANING + i], w[f.PAST_PEAK + i]
    below = max(w[f.END_SPEED + i], w[f.NODE_BELOW + i])
    below = max(below, max(w[f.THRUST_SPEED_BELOW + i], w[f.BRAKE_SPEED_BELOW + i]))
    below = max(below, max(switch if planing > 0.0 else -FAR, peak if past > 0.0 else -FAR))
    above = min(w[f.END_SPEED_ABOVE + i], w[f.NODE_ABOVE + i])
    above = min(above, min(w[f.THRUST_SPEED_ABOVE + i], w[f.BRAKE_SPEED_ABOVE + i]))
    above = min(above, min(FAR if planing > 0.0 else switch, FAR if past > 0.0 else peak))
    ahead = min(w[f.THIRD_END + i], min(w[f.THRUST_DISTANCE + i], w[f.BRAKE_DISTANCE + i]))
    ahead = min(ahead, min(w[f.STATION_DISTANCE + i], w[f.LIMIT_DISTANCE + i]))
    # A step that runs far past the next point, or through zero speed and back, tells little about that point.
    step = min(w[f.PROPOSED + i], w[f.MAXIMUM_STEP + i])
    slowing = max(-acceleration, 1e-3)
    step = min(step, OVERREACH * max(speed - below, 0.0) / slowing + 0.05)
    step = min(step, OVERREACH * max(ahead - distance, 0.0) / max(speed, 1.0) + 0.05)
    by_time = time + step >= moment - RESOLUTION
    w[f.BELOW + i] = below
    w[f.ABOVE + i] = above
    w[f.AHEAD + i] = ahead
    w[f.MOMENT + i] = moment
    w[f.BY_TIME + i] = 1.0 if by_time else 0.0
    w[f.STEP + i] = moment - time if by_time else step


@compiled_inline
def advanced(h: float, q1: float, q3: float, q4: float, q5: float, q6: float) -> float:
    """Return the increase over a step, of order 5, from the rates of a quantity at the stages."""
    return h * (35.0 / 384.0 * q1 + 500.0 / 1113.0 * q3 + 125.0 / 192.0 * q4 - 2187.0 / 6784.0 * q5 + 11.0 / 84.0 * q6)


@compiled_inline
def bow(h: float, q1: float, q3: float, q4: float, q5: float, q6: float, q7: float) -> float:
    """Return the highest term of the continuous extension of order 4 (Hairer, Norsett, Wanner, II.6)."""
    return h * (
        -12715105075.0 / 11282082432.0 * q1
        + 87487479700.0 / 32700410799.0 * q3
        - 10690763975.0 / 1880347072.0 * q4
        + 701980252875.0 / 199316789632.0 * q5
        - 1453857185.0 / 822651844.0 * q6
        + 69997945.0 / 29380423.0 * q7
    )


@compiled_inline
def error_of(h: float, q1: float, q3: float, q4: float, q5: float, q6: float, q7: float) -> float:
    """Return the difference of the formulas of order 5 and 4."""
    return abs(
        h
        * (
            71.0 / 57600.0 * q1
            - 71.0 / 16695.0 * q3
            + 71.0 / 1920.0 * q4
            - 17253.0 / 339200.0 * q5
            + 22.0 / 525.0 * q6
            - 1.0 / 40.0 * q7
        )
    )


@compiled_inline
def inside_step(start: float, end: float, first: float, last: float, bow_term: float, share: float) -> float:
    """Return the continuous extension inside the step; ``first`` and ``last`` are the step times the end rates."""
    change = end - start
    lean = first - change
    left = 1.0 - share
    return start + share * (change + left * (lean + share * (change - last - lean + left * bow_term)))


@compiled_inline
def try_step(w: Array, i: int) -> None:
    """Advance the lane by its step; the state itself stays until `judge` accepts."""
    time = w[f.TIME + i]
    speed = w[f.SPEED + i]
    h = w[f.STEP + i]
    a1 = w[f.ACCELERATION + i]
    a2, _b2, _d2, _t2, _r2, _c2, o2 = rates_at(w, i, time + h / 5.0, speed + h * (a1 / 5.0))
    v3 = speed + h * (3.0 / 40.0 * a1 + 9.0 / 40.0 * a2)
    a3, b3, d3, t3, r3, c3, o3 = rates_at(w, i, time + 3.0 / 10.0 * h, v3)
    v4 = speed + h * (44.0 / 45.0 * a1 - 56.0 / 15.0 * a2 + 32.0 / 9.0 * a3)
    a4, b4, d4, t4, r4, c4, o4 = rates_at(w, i, time + 4.0 / 5.0 * h, v4)
    v5 = speed + h * (19372.0 / 6561.0 * a1 - 25360.0 / 2187.0 * a2 + 64448.0 / 6561.0 * a3 - 212.0 / 729.0 * a4)
    a5, b5, d5, t5, r5, c5, o5 = rates_at(w, i, time + 8.0 / 9.0 * h, v5)
    v6 = speed + h * (
        9017.0 / 3168.0 * a1 - 355.0 / 33.0 * a2 + 46732.0 / 5247.0 * a3 + 49.0 / 176.0 * a4 - 5103.0 / 18656.0 * a5
    )
    a6, b6, d6, t6, r6, c6, _o6 = rates_at(w, i, time + h, v6)
    v7 = speed + advanced(h, a1, a3, a4, a5, a6)
    drag, thrust, rolling, contaminant, others, friction, demand, command = limits(w, i, time + h, v7)
    brake = brake_force(w, i, friction, demand)
    a7 = -(others + brake) * w[f.INVERSE_MASS + i]
    # Each quantity: its end, the step times its last rate, the highest term inside, the error.
    w[f.NEW_SPEED + i] = v7
    w[f.NEW_ACCELERATION + i] = a7
    w[f.BOW_SPEED + i] = bow(h, a1, a3, a4, a5, a6, a7)
    error = error_of(h, a1, a3, a4, a5, a6, a7) * w[f.SPEED_WEIGHT + i]
    w[f.NEW_DISTANCE + i] = w[f.DISTANCE + i] + advanced(h, speed, v3, v4, v5, v6)
    w[f.BOW_DISTANCE + i] = bow(h, speed, v3, v4, v5, v6, v7)
    error = max(error, error_of(h, speed, v3, v4, v5, v6, v7) * w[f.DISTANCE_WEIGHT + i])
    p1, p3, p4, p5, p6, p7 = w[f.BRAKE + i] * speed, b3 * v3, b4 * v4, b5 * v5, b6 * v6, brake * v7
    w[f.NEW_BRAKE_WORK + i] = w[f.BRAKE_WORK + i] + advanced(h, p1, p3, p4, p5, p6)
    w[f.BOW_BRAKE + i] = bow(h, p1, p3, p4, p5, p6, p7)
    error = max(error, error_of(h, p1, p3, p4, p5, p6, p7) * w[f.ENERGY_WEIGHT + i])
    p1, p3, p4, p5, p6, p7 = w[f.DRAG + i] * speed, d3 * v3, d4 * v4, d5 * v5, d6 * v6, drag * v7
    w[f.NEW_DRAG_WORK + i] = w[f.DRAG_WORK + i] + advanced(h, p1, p3, p4, p5, p6)
    w[f.BOW_DRAG + i] = bow(h, p1, p3, p4, p5, p6, p7)
    p1, p3, p4, p5, p6, p7 = w[f.THRUST + i] * speed, t3 * v3, t4 * v4, t5 * v5, t6 * v6, thrust * v7
    w[f.NEW_THRUST_WORK + i] = w[f.THRUST_WORK + i] + advanced(h, p1, p3, p4, p5, p6)
    w[f.BOW_THRUST + i] = bow(h, p1, p3, p4, p5, p6, p7)
    p1, p3, p4, p5, p6, p7 = w[f.ROLLING_FORCE + i] * speed, r3 * v3, r4 * v4, r5 * v5, r6 * v6, rolling * v7
    w[f.NEW_ROLLING_WORK + i] = w[f.ROLLING_WORK + i] + advanced(h, p1, p3, p4, p5, p6)
    w[f.BOW_ROLLING + i] = bow(h, p1, p3, p4, p5, p6, p7)
    p1, p3, p4, p5, p6, p7 = w[f.CONTAMINANT + i] * speed, c3 * v3, c4 * v4, c5 * v5, c6 * v6, contaminant * v7
    w[f.NEW_CONTAMINANT_WORK + i] = w[f.CONTAMINANT_WORK + i] + advanced(h, p1, p3, p4, p5, p6)
    w[f.BOW_CONTAMINANT + i] = bow(h, p1, p3, p4, p5, p6, p7)
    # A rule broken on the way and kept again at the end: the step must end where it is broken to be seen.
    near_force = max(w[f.LANDING + i], LEAST_NEAR) * w[f.WEIGHT_NORMAL + i]
    early = 8.0 / 9.0 if o5 > near_force else 1.0
    early = 0.8 if o4 > near_force else early
    early = 0.3 if o3 > near_force else early
    w[f.EARLY + i] = 0.2 if o2 > near_force else early
    w[f.ERROR + i] = error
    w[f.NEW_BRAKE + i] = brake
    w[f.NEW_DRAG + i] = drag
    w[f.NEW_THRUST + i] = thrust
    w[f.NEW_ROLLING + i] = rolling
    w[f.NEW_CONTAMINANT + i] = contaminant
    w[f.NEW_DEMAND + i] = demand
    w[f.NEW_FRICTION + i] = friction
    w[f.NEW_COMMAND + i] = command
    w[f.FUEL_FLOW + i] = fuel_flow_at(w, i, time)
    w[f.NEW_FUEL_FLOW + i] = fuel_flow_at(w, i, time + h)


@compiled_inline
def place_inside(
    start: float, end: float, first_rate: float, last_rate: float, bow_term: float, wanted: float, h: float
) -> float:
    """Return the share of the step at which the continuous extension of a quantity is ``wanted``.

    Three of Newton's steps from the secant's root, with the slope linear between both ends, kept inside the step. The
    caller looks at what is missed.
    """
    change = end - start
    share = min(max((wanted - start) / (change if abs(change) > 1e-30 else 1e-30), 0.0), 1.0)
    for _ in range(3):
        value = inside_step(start, end, h * first_rate, h * last_rate, bow_term, share) - wanted
        slope = h * (first_rate + share * (last_rate - first_rate))
        share = min(max(share - value / (slope if abs(slope) > 1e-9 else 1e-9), 0.0), 1.0)
    return share


@compiled_inline
def judge(w: Array, i: int) -> None:
    """Accept the step, cut it to the first located point inside it, or shorten it for its error."""
    h, error, time = w[f.STEP + i], w[f.ERROR + i], w[f.TIME + i]
    speed, new_speed = w[f.SPEED + i], w[f.NEW_SPEED + i]
    distance, new_distance = w[f.DISTANCE + i], w[f.NEW_DISTANCE + i]
    a0, a1 = w[f.ACCELERATION + i], w[f.NEW_ACCELERATION + i]
    landing = w[f.LANDING + i]
    near_force = max(landing, LEAST_NEAR) * w[f.WEIGHT_NORMAL + i]
    below, above, ahead = w[f.BELOW + i], w[f.ABOVE + i], w[f.AHEAD + i]
    over_below = below - new_speed
    over_above = new_speed - above
    over_ahead = new_distance - ahead

    # What would rule at the end, and by how much the frozen force exceeds what that would give, at both ends.
    demand, friction, torque = w[f.NEW_DEMAND + i], w[f.NEW_FRICTION + i], w[f.TORQUE + i]
    start_demand, start_friction = w[f.DEMAND + i], w[f.FRICTION + i]
    brake, new_brake = w[f.BRAKE + i], w[f.NEW_BRAKE + i]
    command, new_command, command_to = w[f.COMMAND + i], w[f.NEW_COMMAND + i], w[f.COMMAND_TO + i]
    pedals = w[f.PEDALS + i] > 0.0
    braking = w[f.BRAKING + i] > 0.0
    by_demand, by_friction, by_torque = w[f.RULED_BY_DEMAND + i], w[f.RULED_BY_FRICTION + i], w[f.RULED_BY_TORQUE + i]
    full = pedals & (new_command >= 1.0)
    asked = FAR if full else demand
    ruled = (by_demand + by_friction + by_torque) > 0.0
    to_none = (by_demand > 0.0) & (demand < -NO_FORCE * w[f.WEIGHT_NORMAL + i])
    to_demand = asked <= min(friction, torque)
    start_hard = start_friction if friction <= torque else torque
    before_rule = brake - (start_demand if to_demand else start_hard)
    before_rule = before_rule if ruled else start_demand
    before_rule = -start_demand if to_none else before_rule
    over_rule = rule_excess(w, i, friction, demand, new_command, new_brake)

    # Where in the step the first located point lies: speeds and distances by the continuous extension of the step.
    past_below, past_above = over_below > 0.0, over_above > 0.0
    past_ahead, past_rule = over_ahead > 0.0, over_rule > 0.0
    bow_speed, bow_distance = w[f.BOW_SPEED + i], w[f.BOW_DISTANCE + i]
    past_speed = past_below | past_above
    met_speed = below if past_below else above
    at_speed = place_inside(speed, new_speed, a0, a1, bow_speed, met_speed, h)
    miss = abs(inside_step(speed, new_speed, h * a0, h * a1, bow_speed, at_speed) - met_speed)
    slope = a0 + at_speed * (a1 - a0)
    against = slope if past_below else -slope  # leaving the point the way it came from: another root lies further on
    lost = past_speed & ((miss > NEAR_SPEED) | (against >= 0.0))
    at_ahead = place_inside(distance, new_distance, speed, new_speed, bow_distance, ahead, h)
    miss = abs(inside_step(distance, new_distance, h * speed, h * new_speed, bow_distance, at_ahead) - ahead)
    lost = lost | (past_ahead & (miss > NEAR_DISTANCE))
    # The aim is the middle of a narrow zone behind the change, so that it is met, not just missed.
    before = min(before_rule, 0.0) - 0.5 * near_force
    at_rule = -before / max(over_rule - 0.5 * near_force - before, 1e-30)
    at_speed = at_speed if past_speed else 1.0
    at_ahead = at_ahead if past_ahead else 1.0
    at_rule = at_rule if past_rule else 1.0
    share = min(at_speed, at_ahead)
    # A change of what rules is continuous in force: its place is found by the secant, tried again until it is near.
    early = w[f.EARLY + i]
    broken = (over_rule > near_force) | (early < 1.0)
    first_sign = min(at_rule if past_rule else 1.0, early)
    far_rule = broken & ((first_sign < share) | (share < 1.0) | (over_rule > near_force))
    # Seen behind another point, it may still lie before it: the step is tried again just to that point.
    cut = max((0.5 if lost else min(first_sign, share)) * h, 1e-9)

    too_rough = error > 1.0
    growth = 0.9 / math.sqrt(math.sqrt(max(error, 1e-12)))
    accepted = (not too_rough) & (not far_rule) & (not lost)
    met_below = accepted & past_below & (at_speed <= share)
    met_above = accepted & past_above & (at_speed <= share)
    met_ahead = accepted & past_ahead & (at_ahead <= share)
    whole = (not met_below) & (not met_above) & (not met_ahead)
    met_rule = accepted & past_rule & whole
    by_time = accepted & (w[f.BY_TIME + i] > 0.0) & whole
    # The reach of the error control outlives steps that were cut short for other reasons.
    shorter = h * max(growth, 0.2)
    longer = max(w[f.REACH + i], min(h * min(growth, 4.0), 30.0))
    reach = shorter if too_rough else longer
    retry = min(shorter if too_rough else cut, h)
    w[f.REACH + i] = reach
    w[f.PROPOSED + i] = reach if accepted else retry

    # The step, or its part up to the point, is taken over into the state where it is accepted.
    moment = w[f.MOMENT + i]
    ended = moment if by_time else time + share * h
    now = ended if accepted else time
    settled = inside_step(speed, new_speed, h * a0, h * a1, bow_speed, share)
    settled = met_speed if met_below | met_above else settled
    reached = inside_step(distance, new_distance, h * speed, h * new_speed, bow_distance, share)
    reached = ahead if met_ahead else reached
    a_end = a0 + share * (a1 - a0)
    wanted = braking & (command_to > 0.0) & accepted
    taken = reached - distance if wanted else 0.0
    short = max(command + a0, command + share * (new_command - command) + a_end)
    short = short if wanted & (not pedals) else 0.0
    hs, hn = h * speed, h * new_speed
    work = w[f.BRAKE_WORK + i]
    done = inside_step(work, w[f.NEW_BRAKE_WORK + i], hs * brake, hn * new_brake, w[f.BOW_BRAKE + i], share)
    w[f.BRAKE_WORK + i] = done if accepted else work
    work = w[f.DRAG_WORK + i]
    first, last = hs * w[f.DRAG + i], hn * w[f.NEW_DRAG + i]
    done = inside_step(work, w[f.NEW_DRAG_WORK + i], first, last, w[f.BOW_DRAG + i], share)
    w[f.DRAG_WORK + i] = done if accepted else work
    work = w[f.THRUST_WORK + i]
    first, last = hs * w[f.THRUST + i], hn * w[f.NEW_THRUST + i]
    done = inside_step(work, w[f.NEW_THRUST_WORK + i], first, last, w[f.BOW_THRUST + i], share)
    w[f.THRUST_WORK + i] = done if accepted else work
    work = w[f.ROLLING_WORK + i]
    first, last = hs * w[f.ROLLING_FORCE + i], hn * w[f.NEW_ROLLING + i]
    done = inside_step(work, w[f.NEW_ROLLING_WORK + i], first, last, w[f.BOW_ROLLING + i], share)
    w[f.ROLLING_WORK + i] = done if accepted else work
    work = w[f.CONTAMINANT_WORK + i]
    first, last = hs * w[f.CONTAMINANT + i], hn * w[f.NEW_CONTAMINANT + i]
    done = inside_step(work, w[f.NEW_CONTAMINANT_WORK + i], first, last, w[f.BOW_CONTAMINANT + i], share)
    w[f.CONTAMINANT_WORK + i] = done if accepted else work
    # Fuel flow is linear in time between two located points.
    flow, new_flow, fuel = w[f.FUEL_FLOW + i], w[f.NEW_FUEL_FLOW + i], w[f.FUEL + i]
    burnt = share * h * (flow + 0.5 * share * (new_flow - flow))
    peak_deceleration, shortfall = w[f.PEAK + i], w[f.SHORTFALL + i]
    ruled_none, ruled_demand = w[f.RULED + i], w[f.RULED + L + i]
    ruled_friction, ruled_torque = w[f.RULED + 2 * L + i], w[f.RULED + 3 * L + i]
    w[f.FUEL + i] = fuel + burnt if accepted else fuel
    w[f.RULED + i] = ruled_none + taken * (1.0 - by_demand - by_friction - by_torque)
    w[f.RULED + L + i] = ruled_demand + taken * by_demand
    w[f.RULED + 2 * L + i] = ruled_friction + taken * by_friction
    w[f.RULED + 3 * L + i] = ruled_torque + taken * by_torque
    w[f.SHORTFALL + i] = max(shortfall, short)
    w[f.PEAK + i] = max(peak_deceleration, -a_end if accepted else 0.0)
    w[f.TIME + i] = now
    w[f.SPEED + i] = settled if accepted else speed
    w[f.DISTANCE + i] = reached if accepted else distance
    w[f.TRIALS + i] = w[f.TRIALS + i] + 1.0
    w[f.ACCEPTED + i] = 1.0 if accepted else 0.0
    above_code = 2.0 if met_above else 0.0
    w[f.AT_SPEED + i] = 1.0 if met_below else above_code
    w[f.AT_DISTANCE + i] = 1.0 if met_ahead else 0.0
    w[f.CHANGED + i] = 1.0 if met_below | met_above | met_ahead | by_time else 0.0
    # What takes over is known here: chosen anew, a force that is nothing yet would be chosen again and again.
    next_demand = 1.0 if (not to_none) & (to_demand | (not ruled)) else 0.0
    next_friction = 1.0 if ruled & (not to_none) & (not to_demand) & (friction <= torque) else 0.0
    next_torque = 1.0 if ruled & (not to_none) & (not to_demand) & (friction > torque) else 0.0
    w[f.RULED_BY_DEMAND + i] = next_demand if met_rule else by_demand
    w[f.RULED_BY_FRICTION + i] = next_friction if met_rule else by_friction
    w[f.RULED_BY_TORQUE + i] = next_torque if met_rule else by_torque

    # What the vector code does not do: whatever begins or changes at a point met.
    due = now + RESOLUTION
    stages = (w[f.THRUST_TIME + i] <= due) | (w[f.BRAKE_TIME + i] <= due) | (w[f.LIMIT_TIME + i] <= due)
    w[f.HANDLE + i] = 1.0 if (accepted & stages) | met_below | met_above | met_ahead else 0.0
