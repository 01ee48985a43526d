"""Compiled braking coefficient: a capped polynomial of ground speed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from groundroll.kernels.jit import compiled, compiled_inline


@compiled_inline
def braking_polynomial(
    ground_speed: float, c0: float, c1: float, c2: float, c3: float, c4: float, c5: float, cap: float
) -> float:
    """Return min(cap, c0 + c1 v + c2 v^2 + c3 v^3 + c4 v^4 + c5 v^5), with v the ground speed in m/s.

    The fifth power is the highest one in 14 CFR 25.109(d)(2); the smooth wet runway of 25.109(c)(1) needs the third.
    """
    polynomial = c0 + ground_speed * (
        c1 + ground_speed * (c2 + ground_speed * (c3 + ground_speed * (c4 + ground_speed * c5)))
    )
    return min(polynomial, cap)


@compiled
def braking_coefficients(
    ground_speed: NDArray[np.float64],
    c0: float,
    c1: float,
    c2: float,
    c3: float,
    c4: float,
    c5: float,
    cap: float,
    switch_speed: float,
    above_switch: float,
    result: NDArray[np.float64],
) -> None:
    """Fill ``result``: the capped polynomial below ``switch_speed``, the constant ``above_switch`` from there on."""
    for index in range(ground_speed.size):
        speed = ground_speed[index]
        if speed >= switch_speed:
            result[index] = above_switch
        else:
            result[index] = braking_polynomial(speed, c0, c1, c2, c3, c4, c5, cap)
