"""Compiled fall-off of contaminant drag above the hydroplaning speed."""

from __future__ import annotations

from groundroll.kernels.jit import compiled_inline


@compiled_inline
def drag_fall_off(
    ground_speed: float, hydroplaning_speed: float, exponent_1: float, exponent_2: float, exponent_4: float
) -> float:
    """Return the share of contaminant drag that is left: 1 up to the hydroplaning speed, (V_P / V)^n above.

    The whole exponent n, 0 to 7, is given in binary: n = exponent_1 + 2 exponent_2 + 4 exponent_4, each 0 or 1. A power
    by multiplication is a vector instruction, a general power is not.
    """
    ratio = hydroplaning_speed / max(ground_speed, hydroplaning_speed)
    squared = ratio * ratio
    left = ratio if exponent_1 > 0.0 else 1.0
    left *= squared if exponent_2 > 0.0 else 1.0
    return left * (squared * squared if exponent_4 > 0.0 else 1.0)
