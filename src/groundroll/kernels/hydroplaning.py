"""Compiled fall-off of contaminant drag above the hydroplaning speed."""

from __future__ import annotations

from groundroll.kernels.jit import compiled


@compiled
def drag_fall_off(ground_speed: float, hydroplaning_speed: float, exponent: float) -> float:
    """Return the share of contaminant drag that is left: 1 up to the hydroplaning speed, (V_P / V)^exponent above."""
    return (hydroplaning_speed / max(ground_speed, hydroplaning_speed)) ** exponent
