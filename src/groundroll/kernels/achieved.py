"""Compiled forces of a recorded roll: what is left for the wheel brakes once all other forces are taken off."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from groundroll.kernels.contaminant import contaminant_drag
from groundroll.kernels.forces import aerodynamic_drag, automatic_demand, dynamic_pressure, load_on_wheels, nose_load
from groundroll.kernels.hydroplaning import drag_fall_off
from groundroll.kernels.jit import compiled

Array = NDArray[np.float64]


@compiled
def achieved_forces(
    ground_speed: Array,
    deceleration: Array,
    lift_coefficient: Array,
    drag_coefficient: Array,
    nose_down_share: Array,
    thrust: Array,
    drag_factor_main: Array,
    drag_factor_nose: Array,
    hydroplaning_speed: Array,
    mass: float,
    weight_normal: float,
    weight_along: float,
    density: float,
    headwind: float,
    wing_area: float,
    nose_share: float,
    height_ratio: float,
    braked_share: float,
    rolling_coefficient: float,
    exponent: int,
    result: Array,
) -> None:
    """Fill ``result``, shape (6, n): drag, rolling, contaminant, brakes, load on all wheels, load on braked wheels."""
    bits = (exponent % 2, exponent // 2 % 2, exponent // 4 % 2)
    for index in range(ground_speed.size):
        speed = ground_speed[index]
        airspeed = speed + headwind
        pressure = dynamic_pressure(density, airspeed)
        drag = aerodynamic_drag(pressure, airspeed, wing_area, drag_coefficient[index])
        load = load_on_wheels(weight_normal, pressure, wing_area, lift_coefficient[index])
        rolling = rolling_coefficient * load
        nose = nose_down_share[index]
        contaminant = contaminant_drag(speed, drag_factor_main[index] + nose * drag_factor_nose[index])
        contaminant *= drag_fall_off(speed, hydroplaning_speed[index], bits[0], bits[1], bits[2])
        others = drag - thrust[index] + rolling + contaminant + weight_along
        brakes = automatic_demand(mass, deceleration[index], others)
        on_nose = nose_load(load, max(brakes, 0.0) + rolling + contaminant, nose, nose_share, height_ratio)
        result[0, index] = drag
        result[1, index] = rolling
        result[2, index] = contaminant
        result[3, index] = brakes
        result[4, index] = load
        result[5, index] = braked_share * (load - on_nose)
