"""Forces along the runway, one function each, as scalars: the one text of these equations.

Forces that slow the aeroplane are positive, except thrust, which is positive forward. A ``share`` lies in 0 to 1.
"""

from __future__ import annotations

from groundroll.kernels.jit import compiled_inline


@compiled_inline
def dynamic_pressure(density: float, true_airspeed: float) -> float:
    """Return one half rho V^2. [Pa]"""
    return 0.5 * density * true_airspeed * true_airspeed


@compiled_inline
def aerodynamic_drag(pressure: float, true_airspeed: float, wing_area: float, coefficient: float) -> float:
    """Return q S CD; air that comes from behind pushes. [N]"""
    return pressure * wing_area * coefficient if true_airspeed >= 0.0 else -pressure * wing_area * coefficient


@compiled_inline
def load_on_wheels(weight_normal: float, pressure: float, wing_area: float, lift_coefficient: float) -> float:
    """Return the load on all wheels: weight across the runway less lift, never below zero. [N]"""
    return max(weight_normal - pressure * wing_area * lift_coefficient, 0.0)


@compiled_inline
def friction_limited_force(
    braking_coefficient: float,
    braked_share: float,
    load: float,
    ground_drag: float,
    nose_down_share: float,
    nose_share: float,
    height_ratio: float,
) -> float:
    """Return the most that friction gives at the braked wheels, load transfer included. [N]

    Moments about the main wheels' contact give the nose load N_n = n (a N + (h/b) (F + R)), with a the static nose
    share, h/b height of the centre of gravity over wheelbase, F the braking force, R the other drag at the wheels and
    n the share of the nose that is down. The friction limit F = mu k (N - N_n), k the braked share of the main-gear
    load, is linear in F and is solved in closed form. Thrust and aerodynamic drag are taken to act at the height of
    the centre of gravity.
    """
    grip = braking_coefficient * braked_share
    lever = nose_down_share * height_ratio
    available = load * (1.0 - nose_down_share * nose_share) - lever * ground_drag
    return max(grip * available / (1.0 + grip * lever), 0.0)


@compiled_inline
def nose_load(load: float, wheel_force: float, nose_down_share: float, nose_share: float, height_ratio: float) -> float:
    """Return the load on the nose wheels for a total drag at the wheels (see `friction_limited_force`). [N]"""
    return nose_down_share * (nose_share * load + height_ratio * wheel_force)


@compiled_inline
def automatic_demand(mass: float, commanded_deceleration: float, other_retarding_force: float) -> float:
    """Return the wheel-brake force that completes a commanded total deceleration; negative when none is needed. [N]"""
    return mass * commanded_deceleration - other_retarding_force
