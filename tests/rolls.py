"""Plain rolls for tests: no wind, no slope, no aerodynamics unless asked for."""

from __future__ import annotations

import math
from typing import Any

from groundroll.physics.braking import BrakingCurve
from groundroll.physics.rollout import (
    BrakeStage,
    Control,
    Roll,
    RunwayThird,
    ThrustStage,
    ThrustTables,
    Trigger,
)

NO_THRUST = ThrustTables([0.0, 200.0], [0.0, 0.0], [0.0, 0.0], [0.0, 0.0], [0.0, 0.0])
FULL_PEDAL = (BrakeStage(Trigger.TIME, 0.0, Control.PEDAL, 1.0),)


def constant_curve(coefficient: float) -> BrakingCurve:
    """Return a braking coefficient that does not change with speed."""
    return BrakingCurve((coefficient, 0.0, 0.0, 0.0, 0.0, 0.0), coefficient, math.inf, 0.0, ())


def plain_roll(friction: float = 0.4, **changes: Any) -> Roll:
    """Return a roll on one surface with full pedal from the start, changed as asked."""
    third = RunwayThird(constant_curve(friction))
    values: dict[str, Any] = {
        "mass": 60_000.0,
        "wing_area": 120.0,
        "lift_coefficient_stowed": 0.0,
        "lift_coefficient_deployed": 0.0,
        "drag_coefficient_stowed": 0.0,
        "drag_coefficient_deployed": 0.0,
        "thrust_tables": NO_THRUST,
        "thrust_program": (),
        "brake_program": FULL_PEDAL,
        "thirds": (third, third, third),
        "third_ends": (1_000.0, 2_000.0),
        "start_distance": 0.0,
        "start_speed": 70.0,
        "density": 1.225,
        "density_ratio": 1.0,
    }
    return Roll(**(values | changes))


def take_off_stage(engines: float) -> tuple[ThrustStage, ...]:
    """Return a program that sets take-off thrust at once and keeps it."""
    return (ThrustStage(Trigger.TIME, 0.0, take_off=engines),)
