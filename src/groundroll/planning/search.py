"""Roots and limits by bracketing, for questions put to the roll."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Greatest:
    """The greatest value of one input for which something still holds."""

    value: float | None
    """None where it holds nowhere in the range, or everywhere."""
    holds: str
    """ "up to value", "none of these" or "any in the range"."""
    lower: float
    upper: float
    """The range that was searched."""


def root(function: Callable[[float], float], low: float, high: float, *, within: float) -> float | None:
    """Return where ``function`` crosses zero between two ends, None where it has the same sign at both.

    Brent's method; ``within`` is the greatest error of the place.
    """
    at_low, at_high = function(low), function(high)
    if at_low == 0.0:
        return low
    if at_high == 0.0:
        return high
    if (at_low > 0.0) == (at_high > 0.0):
        return None
    from scipy.optimize import brentq

    found: float = brentq(function, low, high, xtol=within, rtol=1e-12)
    return found


def greatest(spare: Callable[[float], float], lower: float, upper: float, *, within: float) -> Greatest:
    """Return the greatest input for which ``spare``, which falls with the input, is not negative."""
    if spare(lower) < 0.0:
        return Greatest(None, "none of these", lower, upper)
    if spare(upper) >= 0.0:
        return Greatest(None, "any in the range", lower, upper)
    found = root(spare, lower, upper, within=within)
    value = lower if found is None else found
    # The root lies within its tolerance of the limit: step to the side where it surely holds.
    while spare(value) < 0.0 and value > lower:
        value = max(value - within, lower)
    return Greatest(value, "up to value", lower, upper)
