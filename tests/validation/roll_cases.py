"""Published worked examples, run through the product's own forces and integration.

The books work with their own acceleration of free fall (32.2 ft/s2, 9.81 m/s2), the product with 9.80665 m/s2. Masses,
friction and lift are set so that every *force over mass* is the book's to the last digit; each case says how.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Final

from groundroll.physics.air_segment import air_distance_by_time
from groundroll.physics.rollout import (
    BrakeStage,
    Control,
    RollResult,
    ThrustStage,
    ThrustTables,
    Trigger,
    simulate,
)
from groundroll.physics.sources import Status
from tests.rolls import plain_roll, take_off_stage
from tests.validation.case import ValidationCase

FT: Final = 0.3048
LBF: Final = 4.4482216152605  # N
SLUG: Final = 14.593902937206  # kg
G: Final = 9.80665

ANDERSON_6 = "J. D. Anderson, Aircraft Performance and Design, Example 6.6"
ANDERSON_7 = "J. D. Anderson, Aircraft Performance and Design, Example 6.7"
KUNDU = "A. K. Kundu, Aircraft Design (title from memory), Landing Field Length (Bizjet)"
COURSEWORK = "landing2.ipynb, foe-exercises, commit d98d534b (university coursework)"

# ---- take-off ground roll of a business jet ------------------------------------------------------------------------
WEIGHT: Final = 73_000.0  # lb
LOADING: Final = 76.84  # lb/ft2
SLUGS_PER_FT3: Final = 0.002377
K_T: Final = 0.301
K_A: Final = -4.525e-7  # 1/(ft/s)2
MASS: Final = WEIGHT / 32.2 * SLUG
AREA: Final = WEIGHT / LOADING * FT**2
DENSITY: Final = SLUGS_PER_FT3 * SLUG / FT**3


@cache
def _take_off_roll() -> float:
    """From rest to 205.1 ft/s; K_A = -rho (CD - mu CL) / (2 W/S) is all drag, K_T = T/W - mu is all thrust."""
    drag = -K_A * 2.0 * LOADING / SLUGS_PER_FT3
    tables = ThrustTables([0.0, 200.0], [0.0] * 2, [0.0] * 2, [0.0] * 2, [K_T * WEIGHT * LBF] * 2)
    roll = plain_roll(
        mass=MASS,
        wing_area=AREA,
        density=DENSITY,
        drag_coefficient_stowed=drag,
        drag_coefficient_deployed=drag,
        thrust_tables=tables,
        thrust_program=take_off_stage(1.0),
        brake_program=(),
        start_speed=0.0,
        end_speed_above=205.1 * FT,
    )
    return simulate(roll).distance / FT


@cache
def _rotation() -> float:
    """Three seconds at 205.1 ft/s: no force acts, the roll is given up after 3 s."""
    return simulate(plain_roll(start_speed=205.1 * FT, brake_program=(), limit_time=3.0)).distance / FT


# ---- landing of the same aeroplane ----------------------------------------------------------------------------------
@cache
def _braked_landing() -> float:
    """From 189.2 ft/s with mu 0.4, CL 0.1; CD from J_A = -1.859e-7 = rho (CD - mu CL) / (2 W/S).

    mu and CL are scaled by 32.2 ft/s2 over standard gravity and back, so that mu (W - L) over mass is the book's.
    """
    ratio = 32.2 * FT / G
    drag = 0.4 * 0.1 - 1.859e-7 * 2.0 * LOADING / SLUGS_PER_FT3
    roll = plain_roll(
        0.4 * ratio,
        mass=MASS,
        wing_area=AREA,
        density=DENSITY,
        lift_coefficient_stowed=0.1 / ratio,
        lift_coefficient_deployed=0.1 / ratio,
        drag_coefficient_stowed=drag,
        drag_coefficient_deployed=drag,
        start_speed=189.2 * FT,
    )
    return simulate(roll).distance / FT


@cache
def _free_roll() -> float:
    """Three seconds at 189.2 ft/s, no force acting."""
    return simulate(plain_roll(start_speed=189.2 * FT, brake_program=(), limit_time=3.0)).distance / FT


# ---- business jet landing field length -------------------------------------------------------------------------------
@cache
def _bizjet_deceleration() -> float:
    """Deceleration at 0.7 of the touchdown speed: mu 0.4, CL 0.5, CD 0.05, W/S 48.92 lb/ft2, q 14.54 lb/ft2 there."""
    ratio = 32.2 * FT / G
    area = 1.0
    mass = 48.92 / 32.2 * SLUG * area  # one square foot of wing
    speed = 0.7 * 158.0 * FT
    pressure = 14.54 * LBF / FT**2
    roll = plain_roll(
        0.4 * ratio,
        mass=mass,
        wing_area=area * FT**2,
        density=2.0 * pressure / speed**2,
        lift_coefficient_stowed=0.5 / ratio,
        lift_coefficient_deployed=0.5 / ratio,
        drag_coefficient_stowed=0.05,
        drag_coefficient_deployed=0.05,
        start_speed=speed,
    )
    history = simulate(roll, history_step=10.0).history
    assert history is not None
    return float(history.deceleration[0]) / FT


@cache
def _bizjet_braking() -> float:
    """From 158 ft/s at that deceleration throughout, as the book takes it, held as a target."""
    target = _bizjet_deceleration() * FT
    brakes = (BrakeStage(Trigger.TIME, 0.0, Control.AUTOMATIC, target),)
    return simulate(plain_roll(2.0, start_speed=158.0 * FT, brake_program=brakes)).distance / FT


@cache
def _bizjet_before_braking() -> float:
    """Six seconds at a mean of 168 ft/s, ending at 158: from 178 ft/s the loss is 20/178 of the speed."""
    return air_distance_by_time(178.0 * FT, 6.0, 20.0 / 178.0).distance / FT


# ---- heavy twin, step by step ----------------------------------------------------------------------------------------
TWIN_GRAVITY: Final = 9.81
TWIN_IDLE_LB: Final = {
    0.0: 9875.0,
    20.0: 8991.0,
    40.0: 8157.0,
    60.0: 7235.0,
    80.0: 6580.0,
    100.0: 5949.0,
    110.0: 5517.0,
    120.0: 5266.0,
    130.0: 4896.0,
}
KT: Final = 1852.0 / 3600.0


@cache
def _twin_braking() -> RollResult:
    """From 82.21 m/s on the printed idle thrust (total, lb), mu 0.54, CL 0.126, CD 0.213, rho 1.2252.

    The printed 6800 lb at 82.21 m/s does not lie on the rest of the curve, but it is what the notebook takes. mu and CL
    are scaled by 9.81 m/s2 over standard gravity and back.
    """
    ratio = TWIN_GRAVITY / G
    speeds = [knots * KT for knots in TWIN_IDLE_LB] + [82.21]
    thrust = [pounds * LBF for pounds in TWIN_IDLE_LB.values()] + [6800.0 * LBF]
    tables = ThrustTables(speeds, thrust, [0.0] * len(speeds), [0.0] * len(speeds), [0.0] * len(speeds))
    return simulate(
        plain_roll(
            0.54 * ratio,
            mass=250_000.0,
            wing_area=436.8,
            density=1.2252,
            lift_coefficient_stowed=0.126 / ratio,
            lift_coefficient_deployed=0.126 / ratio,
            drag_coefficient_stowed=0.213,
            drag_coefficient_deployed=0.213,
            thrust_tables=tables,
            thrust_program=(ThrustStage(Trigger.TIME, 0.0, idle=1.0),),
            start_speed=82.21,
        )
    )


@cache
def _twin_flare() -> float:
    """5.2 s from 88.88 m/s to 0.978 of it."""
    return air_distance_by_time(88.88, 5.2, 1.0 - 0.978).distance


@cache
def _twin_transition() -> float:
    """From 86.93 to 85.36 m/s in 1.8 s, at an even deceleration."""
    brakes = (BrakeStage(Trigger.TIME, 0.0, Control.AUTOMATIC, (86.93 - 85.36) / 1.8),)
    return simulate(plain_roll(2.0, start_speed=86.93, brake_program=brakes, end_speed=85.36)).distance


@cache
def _twin_brake_delay() -> float:
    """One second from 85.36 to 82.21 m/s while the deceleration ramps up evenly from none.

    A ramp of 6.30 m/s3 takes 3.15 m/s in one second. The notebook takes the mean of both speeds, 83.785 m; along the
    ramp itself it is 85.36 - 6.30/6 = 84.31 m, because little speed is lost at first.
    """
    brakes = (BrakeStage(Trigger.TIME, 0.0, Control.AUTOMATIC, 6.30, 6.30),)
    roll = plain_roll(2.0, start_speed=85.36, brake_program=brakes, end_speed=82.21)
    return simulate(roll).distance


@cache
def _twin_total() -> float:
    return _twin_flare() + _twin_transition() + _twin_brake_delay() + _twin_braking().distance


def _example(
    key: str,
    source: str,
    case: str,
    published: float,
    tolerance: float,
    status: Status,
    compute: Callable[[], float],
    unit: str = "ft",
    decimals: int = 0,
) -> ValidationCase:
    return ValidationCase(f"Worked examples/{key}", source, case, published, unit, tolerance, status, compute, decimals)


ROLL_CASES: Final[list[ValidationCase]] = [
    _example("8.1 roll", ANDERSON_6, "take-off, rest to 205.1 ft/s", 2242.0, 0.5, "confirmed", _take_off_roll),
    _example("8.1 rotation", ANDERSON_6, "3 s at 205.1 ft/s", 615.0, 0.5, "confirmed", _rotation),
    _example(
        "8.1 total",
        ANDERSON_6,
        "take-off ground roll",
        2857.0,
        1.0,
        "confirmed",
        lambda: _take_off_roll() + _rotation(),
    ),
    _example(
        "8.2 braking",
        ANDERSON_7,
        "landing, braking from 189.2 ft/s (answer as recomputed from the printed inputs)",
        1401.0,
        1.0,
        "derived",
        _braked_landing,
    ),
    _example(
        "8.2 ground roll",
        ANDERSON_7,
        "the same with 3 s of free roll (as recomputed)",
        1969.0,
        1.0,
        "derived",
        lambda: _braked_landing() + _free_roll(),
    ),
    _example(
        "8.3 deceleration",
        KUNDU,
        "deceleration at 0.7 of touchdown speed; the printed figures give 11.44",
        11.45,
        0.02,
        "confirmed",
        _bizjet_deceleration,
        "ft/s²",
        2,
    ),
    _example("8.3 before braking", KUNDU, "6 s before braking", 1008.0, 0.5, "confirmed", _bizjet_before_braking),
    _example("8.3 braking", KUNDU, "braking from 158 ft/s", 1090.0, 2.0, "confirmed", _bizjet_braking),
    _example(
        "8.3 landing",
        KUNDU,
        "landing distance, unfactored",
        2098.0,
        2.0,
        "confirmed",
        lambda: _bizjet_before_braking() + _bizjet_braking(),
    ),
    _example("8.5 flare", COURSEWORK, "flare, 5.2 s", 457.10, 0.05, "confirmed", _twin_flare, "m", 2),
    _example("8.5 transition", COURSEWORK, "transition, 1.8 s", 155.06, 0.05, "confirmed", _twin_transition, "m", 2),
    _example(
        "8.5 brake delay",
        COURSEWORK,
        "brake delay, 1 s; the notebook takes the mean of both speeds, we integrate the ramp: +0.53 m",
        83.78,
        0.6,
        "confirmed",
        _twin_brake_delay,
        "m",
        2,
    ),
    _example(
        "8.5 braking, two-point rule",
        COURSEWORK,
        "braking from 82.21 m/s, by the mean of end decelerations",
        593.45,
        0.1,
        "confirmed",
        lambda: _twin_braking().distance,
        "m",
        2,
    ),
    _example(
        "8.5 braking, integrated",
        COURSEWORK,
        "the same, finely integrated (as recomputed)",
        593.50,
        0.1,
        "derived",
        lambda: _twin_braking().distance,
        "m",
        2,
    ),
    _example("8.5 landing", COURSEWORK, "whole landing from 50 ft", 1289.39, 0.7, "confirmed", _twin_total, "m", 2),
]
