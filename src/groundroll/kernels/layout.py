"""Where each number of a roll stands in the arrays that kernels take and return.

A case is one row of `CASE_SIZE` floats, SI throughout. A program (of thrust, of brakes) is a list of stages; a stage
starts when its trigger is met, never before the stage ahead of it has started, and leads from what is there to what the
stage wants within its ramp.
"""

from __future__ import annotations

from typing import Final

# --- the aeroplane and the air -------------------------------------------------------------------------------------
MASS: Final = 0  # [kg]
SLOPE_SINE: Final = 1  # sine of the slope angle, upslope positive
SLOPE_COSINE: Final = 2
DENSITY: Final = 3  # [kg/m3]
DENSITY_RATIO: Final = 4  # scales thrust
HEADWIND: Final = 5  # [m/s]
WING_AREA: Final = 6  # [m2]
LIFT_STOWED: Final = 7  # lift coefficient on the ground, spoilers stowed
LIFT_DEPLOYED: Final = 8  # the same with the spoilers that work deployed
LIFT_NOSE_UP: Final = 9  # increment before the nose wheel is down
DRAG_STOWED: Final = 10
DRAG_DEPLOYED: Final = 11
DRAG_NOSE_UP: Final = 12
NOSE_SHARE: Final = 13  # static share of the weight on the nose wheel
HEIGHT_RATIO: Final = 14  # height of the centre of gravity over wheelbase
BRAKED_SHARE: Final = 15  # share of the main-gear load that stands on working brakes
ROLLING_COEFFICIENT: Final = 16
TORQUE_FORCE: Final = 17  # most that the working brakes deliver together, at the tyre [N]
# --- times after touchdown -----------------------------------------------------------------------------------------
SPOILER_START: Final = 18  # [s]
SPOILER_RAMP: Final = 19  # [s]
NOSE_START: Final = 20  # [s]
NOSE_RAMP: Final = 21  # [s]
# --- fuel of engines in reverse, above forward idle, each ----------------------------------------------------------
FUEL_REVERSE_IDLE: Final = 22  # [kg/s]
FUEL_REVERSE_FULL: Final = 23  # [kg/s]
# --- start and end -------------------------------------------------------------------------------------------------
START_DISTANCE: Final = 24  # [m] from the threshold
START_SPEED: Final = 25  # ground speed [m/s]
END_SPEED: Final = 26  # the roll ends when ground speed falls to this [m/s]
LIMIT_DISTANCE: Final = 27  # gives up beyond this distance [m]
LIMIT_TIME: Final = 28  # gives up after this time [s]
TOLERANCE: Final = 29  # local error, relative to the scales of the roll
MAXIMUM_STEP: Final = 30  # [s]
FALL_OFF_EXPONENT: Final = 31  # of contaminant drag above the hydroplaning speed, whole, 0 to 7
# --- thirds of the runway ------------------------------------------------------------------------------------------
END_SPEED_ABOVE: Final = 32  # the roll also ends when ground speed rises to this [m/s]
LANDING: Final = 33  # how near a located point is met, relative to the scales of the roll
FIRST_THIRD_END: Final = 34  # [m] from the threshold
SECOND_THIRD_END: Final = 35  # [m]
THIRDS: Final = 36  # three blocks of THIRD_SIZE
THIRD_SIZE: Final = 12
THIRD_POLYNOMIAL: Final = 0  # six coefficients of powers of ground speed
THIRD_CAP: Final = 6  # the braking coefficient is never above this
THIRD_SWITCH_SPEED: Final = 7  # above it the next value holds [m/s]
THIRD_ABOVE_SWITCH: Final = 8
THIRD_DRAG_MAIN: Final = 9  # contaminant drag over speed squared, main wheels [kg/m]
THIRD_DRAG_NOSE: Final = 10  # the same of nose wheels and spray [kg/m]
THIRD_HYDROPLANING: Final = 11  # hydroplaning speed in this contaminant [m/s]
# --- thrust tables -------------------------------------------------------------------------------------------------
NODES: Final = 16
NODE_SPEED: Final = THIRDS + 3 * THIRD_SIZE  # true airspeeds, ascending [m/s]
NODE_THRUST: Final = NODE_SPEED + NODES  # four tables of NODES, forward positive, one engine, sea level [N]
THRUST_IDLE: Final = 0
THRUST_REVERSE_IDLE: Final = 1
THRUST_REVERSE_FULL: Final = 2
THRUST_TAKE_OFF: Final = 3
RATINGS: Final = 4
# --- programs ------------------------------------------------------------------------------------------------------
THRUST_PROGRAM: Final = NODE_THRUST + RATINGS * NODES
THRUST_STAGES: Final = 8
THRUST_STAGE_SIZE: Final = 7  # trigger, value, ramp [s], engines at each of the four ratings
BRAKE_PROGRAM: Final = THRUST_PROGRAM + THRUST_STAGES * THRUST_STAGE_SIZE
BRAKE_STAGES: Final = 6
BRAKE_STAGE_SIZE: Final = 5  # trigger, value, control, target, rate
CASE_SIZE: Final = BRAKE_PROGRAM + BRAKE_STAGES * BRAKE_STAGE_SIZE

# What starts a stage.
TRIGGER_NONE: Final = 0  # no further stage
TRIGGER_TIME: Final = 1  # seconds after touchdown (or brake release)
TRIGGER_TIME_AFTER: Final = 2  # seconds after the stage before
TRIGGER_SPEED_BELOW: Final = 3  # ground speed at or below [m/s]
TRIGGER_DISTANCE: Final = 4  # metres from the threshold
TRIGGER_SPEED_ABOVE: Final = 5  # ground speed at or above [m/s]

# What a stage of the brake program controls.
CONTROL_OFF: Final = 0  # brakes not applied
CONTROL_AUTOMATIC: Final = 1  # target: total deceleration [m/s2]; rate: ramp of it [m/s3]
CONTROL_PEDAL: Final = 2  # target: share of the most the brakes deliver; rate: change of that share a second [1/s]

# Which of the three ruled the wheel brakes.
RULE_NONE: Final = 0  # brakes commanded, but the other forces alone give the target; or not commanded
RULE_DEMAND: Final = 1
RULE_FRICTION: Final = 2
RULE_TORQUE: Final = 3

# --- the result of one roll ----------------------------------------------------------------------------------------
STATUS: Final = 0
END_TIME: Final = 1  # [s]
END_DISTANCE: Final = 2  # [m] from the threshold
FINAL_SPEED: Final = 3  # [m/s]
BRAKE_WORK: Final = 4  # energy into the brakes [J]
AERODYNAMIC_WORK: Final = 5  # taken out by drag [J]
THRUST_WORK: Final = 6  # put in by thrust, negative in reverse [J]
ROLLING_WORK: Final = 7  # [J]
CONTAMINANT_WORK: Final = 8  # [J]
REVERSE_FUEL: Final = 9  # above forward idle [kg]
PEAK_DECELERATION: Final = 10  # [m/s2]
BRAKES_ON_TIME: Final = 11  # [s]; NaN when never
BRAKES_ON_DISTANCE: Final = 12  # [m]
BRAKES_ON_SPEED: Final = 13  # [m/s]
RULED_DISTANCE: Final = 14  # four values: metres ruled by none, demand, friction, torque while brakes are commanded
SHORTFALL: Final = 18  # most by which deceleration stayed under the command of the automatic brakes [m/s2]
STEPS: Final = 19
EVENTS: Final = 20  # how many were located
RESULT_SIZE: Final = 21

STATUS_DONE: Final = 0
STATUS_DISTANCE: Final = 1  # gave up: LIMIT_DISTANCE
STATUS_TIME: Final = 2  # gave up: LIMIT_TIME
STATUS_STEPS: Final = 3  # gave up: too many steps

# --- the history of one roll, a row a step -------------------------------------------------------------------------
HISTORY_TIME: Final = 0
HISTORY_DISTANCE: Final = 1
HISTORY_SPEED: Final = 2
HISTORY_DECELERATION: Final = 3
HISTORY_BRAKE: Final = 4  # forces [N]
HISTORY_DRAG: Final = 5
HISTORY_THRUST: Final = 6
HISTORY_ROLLING: Final = 7
HISTORY_CONTAMINANT: Final = 8
HISTORY_SLOPE: Final = 9
HISTORY_RULE: Final = 10
HISTORY_BRAKE_WORK: Final = 11
HISTORY_SIZE: Final = 12

# --- the log of located events: code, time, distance, ground speed -------------------------------------------------
LOG_SIZE: Final = 4
LOG_SPOILERS_START: Final = 1
LOG_SPOILERS_OUT: Final = 2
LOG_NOSE_START: Final = 3
LOG_NOSE_DOWN: Final = 4
LOG_BRAKES: Final = 10  # + number of the stage
LOG_THRUST: Final = 20  # + number of the stage
LOG_THIRD: Final = 30  # + number of the third entered
LOG_HYDROPLANING: Final = 35  # braking leaves (36: enters) the hydroplaning branch
LOG_DRAG_PEAK: Final = 37  # contaminant drag passes its peak
LOG_RULE: Final = 40  # + what rules the brakes from here
LOG_STOP: Final = 50
