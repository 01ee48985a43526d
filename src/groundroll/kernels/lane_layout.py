"""Where each number of a roll under way stands in the flat array that `groundroll.kernels.rollout` works on.

Rolls are advanced side by side in lanes. Field f of lane i stands at ``f + i``, fields being `LANES` apart: neighbours
in memory are the same quantity of neighbouring rolls, which is what the compiler needs to fill its vector registers.
"""

from __future__ import annotations

import os
from typing import Final

LANES: Final = int(os.environ.get("GROUNDROLL_LANES", "32"))
"""Rolls that are advanced side by side; a graphics processor wants 1."""

_next = iter(range(0, 400 * LANES, LANES)).__next__

# --- constants of the roll -----------------------------------------------------------------------------------------
MASS: Final = _next()
INVERSE_MASS: Final = _next()
DENSITY: Final = _next()
WING_AREA: Final = _next()
HEADWIND: Final = _next()
WEIGHT_NORMAL: Final = _next()
WEIGHT_ALONG: Final = _next()
LIFT_STOWED: Final = _next()
LIFT_CHANGE: Final = _next()
LIFT_NOSE_UP: Final = _next()
DRAG_STOWED: Final = _next()
DRAG_CHANGE: Final = _next()
DRAG_NOSE_UP: Final = _next()
NOSE_SHARE: Final = _next()
HEIGHT_RATIO: Final = _next()
BRAKED_SHARE: Final = _next()
ROLLING: Final = _next()
TORQUE: Final = _next()
SPOILER_START: Final = _next()
SPOILER_RAMP: Final = _next()
NOSE_START: Final = _next()
NOSE_RAMP: Final = _next()
FUEL_REVERSE_IDLE: Final = _next()
FUEL_REVERSE_FULL: Final = _next()
END_SPEED: Final = _next()
END_SPEED_ABOVE: Final = _next()
LIMIT_DISTANCE: Final = _next()
LIMIT_TIME: Final = _next()
LANDING: Final = _next()
MAXIMUM_STEP: Final = _next()
SPEED_WEIGHT: Final = _next()  # one over scale and tolerance, for the error of a step
DISTANCE_WEIGHT: Final = _next()
ENERGY_WEIGHT: Final = _next()
FALL_OFF_1: Final = _next()  # the exponent of the fall-off in binary: 1, 2, 4
FALL_OFF_2: Final = _next()
FALL_OFF_4: Final = _next()
THIRD_END: Final = _next()  # of the third the aeroplane is in; far away in the last


# --- branches, frozen between two located points -------------------------------------------------------------------
THIRD: Final = _next()
HYDROPLANING: Final = _next()
PAST_PEAK: Final = _next()
CHANGED: Final = _next()  # 1: what rules the brakes is chosen anew

# --- thrust between two nodes of the tables, as value at zero and slope, by rating ---------------------------------
NODE: Final = _next()
THRUST_0: Final = _next()
for _ in range(3):
    _next()
THRUST_1: Final = _next()
for _ in range(3):
    _next()
NODE_BELOW: Final = _next()  # ground speeds of the nodes on both sides
NODE_ABOVE: Final = _next()

# --- the surface felt now -------------------------------------------------
FELT: Final = _next()  # six coefficients
for _ in range(5):
    _next()
FELT_CAP: Final = _next()
SWITCH_SPEED: Final = _next()
CONTAMINANT_MAIN: Final = _next()
CONTAMINANT_NOSE: Final = _next()
HYDROPLANING_SPEED: Final = _next()

# --- triggers of the next stages; infinite where another kind starts them ------------------------------------------
THRUST_STAGE: Final = _next()
THRUST_TIME: Final = _next()
THRUST_SPEED_BELOW: Final = _next()
THRUST_SPEED_ABOVE: Final = _next()
THRUST_DISTANCE: Final = _next()
BRAKE_STAGE: Final = _next()
BRAKE_TIME: Final = _next()
BRAKE_SPEED_BELOW: Final = _next()
BRAKE_SPEED_ABOVE: Final = _next()
BRAKE_DISTANCE: Final = _next()
STATION: Final = _next()
STATION_DISTANCE: Final = _next()

# --- what lies ahead, and the step ---------------------------------------------------------------------------------
MOMENT: Final = _next()
BELOW: Final = _next()
ABOVE: Final = _next()
AHEAD: Final = _next()
PROPOSED: Final = _next()
REACH: Final = _next()
STEP: Final = _next()
BY_TIME: Final = _next()

# --- rates at the start of the step --------------------------------------------------------------------------------
ACCELERATION: Final = _next()
BRAKE: Final = _next()
DRAG: Final = _next()
THRUST: Final = _next()
ROLLING_FORCE: Final = _next()
CONTAMINANT: Final = _next()
DEMAND: Final = _next()
FRICTION: Final = _next()
COMMAND: Final = _next()
FUEL_FLOW: Final = _next()

# --- the end of the step -------------------------------------------------------------------------------------------
NEW_SPEED: Final = _next()
NEW_DISTANCE: Final = _next()
NEW_BRAKE_WORK: Final = _next()
NEW_DRAG_WORK: Final = _next()
NEW_THRUST_WORK: Final = _next()
NEW_ROLLING_WORK: Final = _next()
NEW_CONTAMINANT_WORK: Final = _next()
NEW_DRAG: Final = _next()
NEW_THRUST: Final = _next()
NEW_ROLLING: Final = _next()
NEW_CONTAMINANT: Final = _next()
NEW_FUEL_FLOW: Final = _next()
BOW_SPEED: Final = _next()  # highest terms of the continuous extension
BOW_DISTANCE: Final = _next()
BOW_BRAKE: Final = _next()
BOW_DRAG: Final = _next()
BOW_THRUST: Final = _next()
BOW_ROLLING: Final = _next()
BOW_CONTAMINANT: Final = _next()
NEW_ACCELERATION: Final = _next()
NEW_BRAKE: Final = _next()
NEW_DEMAND: Final = _next()
NEW_FRICTION: Final = _next()
NEW_COMMAND: Final = _next()
ERROR: Final = _next()
EARLY: Final = _next()  # share of the step at which the rule of the brakes was found broken on the way

# --- what the judge of the step found ------------------------------------------------------------------------------
ACCEPTED: Final = _next()
AT_SPEED: Final = _next()  # 1: ended on BELOW, 2: on ABOVE
AT_DISTANCE: Final = _next()  # 1: ended on AHEAD
HANDLE: Final = _next()  # 1: the lane needs more than the vector code does

# --- where the brakes began, and which case this is ----------------------------------------------------------------
BRAKES_ON_TIME: Final = _next()
BRAKES_ON_DISTANCE: Final = _next()
BRAKES_ON_SPEED: Final = _next()
ROW: Final = _next()  # the case in this lane; negative when the lane is idle

# Everything below is zero at the start of a roll.

# --- the state -----------------------------------------------------------------------------------------------------
TIME: Final = _next()
SPEED: Final = _next()
DISTANCE: Final = _next()
BRAKE_WORK: Final = _next()
DRAG_WORK: Final = _next()
THRUST_WORK: Final = _next()
ROLLING_WORK: Final = _next()
CONTAMINANT_WORK: Final = _next()
FUEL: Final = _next()

# --- what rules the brakes -----------------------------------------------------------------------------------------
RULED_BY_DEMAND: Final = _next()  # one of the three is 1, or none
RULED_BY_FRICTION: Final = _next()
RULED_BY_TORQUE: Final = _next()

# --- what is linear in time, as value at zero and rate -------------------------------------------------------------
SPOILERS_0: Final = _next()
SPOILERS_1: Final = _next()
NOSE_0: Final = _next()
NOSE_1: Final = _next()
ENGINES_0: Final = _next()  # four ratings
for _ in range(3):
    _next()
ENGINES_1: Final = _next()
for _ in range(3):
    _next()
ENGINES_TO: Final = _next()
for _ in range(3):
    _next()
ENGINES_START: Final = _next()
ENGINES_END: Final = _next()
COMMAND_0: Final = _next()
COMMAND_1: Final = _next()
COMMAND_TO: Final = _next()
COMMAND_START: Final = _next()
COMMAND_END: Final = _next()

# --- the brakes ----------------------------------------------------------------------------------------------------
DEMAND_MASS: Final = _next()  # demand = command (DEMAND_MASS) - DEMAND_OTHERS others
DEMAND_OTHERS: Final = _next()
PEDALS: Final = _next()  # 1: the command is a share of full pedal
BRAKING: Final = _next()  # 1: brakes are commanded

# --- sums for the result -------------------------------------------------------------------------------------------
PEAK: Final = _next()
SHORTFALL: Final = _next()
RULED: Final = _next()  # none, demand, friction, torque
for _ in range(3):
    _next()
TRIALS: Final = _next()

FIRST_ZEROED: Final = TIME
LAST_ZEROED: Final = TRIALS

SIZE: Final = _next()
"""Length of the flat array."""
