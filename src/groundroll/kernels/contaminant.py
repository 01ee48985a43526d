"""Compiled drag of a loose contaminant on the tyres and the airframe."""

from __future__ import annotations

from groundroll.kernels.jit import compiled


@compiled
def contaminant_drag(ground_speed: float, drag_factor: float) -> float:
    """Return drag_factor * v^2 in newtons, with v in m/s and drag_factor, the sum of 0.5 rho C_D S, in kg/m."""
    return drag_factor * ground_speed * ground_speed
