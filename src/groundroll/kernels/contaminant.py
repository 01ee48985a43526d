"""Compiled drag of a loose contaminant on the tyres and the airframe."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from groundroll.kernels.hydroplaning import drag_fall_off
from groundroll.kernels.jit import compiled, compiled_inline


@compiled_inline
def contaminant_drag(ground_speed: float, drag_factor: float) -> float:
    """Return drag_factor * v^2 in newtons, with v in m/s and drag_factor, the sum of 0.5 rho C_D S, in kg/m."""
    return drag_factor * ground_speed * ground_speed


@compiled
def contaminant_drags(
    ground_speed: NDArray[np.float64],
    drag_factor: float,
    hydroplaning_speed: float,
    exponent: int,
    result: NDArray[np.float64],
) -> None:
    """Fill ``result``: the drag times the share that is left above the hydroplaning speed. [N]"""
    bits = (exponent % 2, exponent // 2 % 2, exponent // 4 % 2)
    for index in range(ground_speed.size):
        speed = ground_speed[index]
        result[index] = contaminant_drag(speed, drag_factor) * drag_fall_off(
            speed, hydroplaning_speed, bits[0], bits[1], bits[2]
        )
