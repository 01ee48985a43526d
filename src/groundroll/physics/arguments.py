"""The array type of the physics, and the one check that refuses an argument outside its range."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray: TypeAlias = NDArray[np.float64]

_ROUNDING = 1e-9
"""Relative slack at both ends, so that a limit written in another unit is not refused for its last binary digit. [-]"""


def check_range(name: str, value: ArrayLike, lower: float, upper: float, unit: str, *, hint: str = "") -> None:
    """Raise where ``value`` (or one of its elements) lies outside ``lower`` to ``upper``, or is not a number.

    Parameters
    ----------
    name
        Word of the argument, as in the signature.
    value : scalar or array
        What was given. [``unit``]
    lower, upper : scalar
        Both ends belong to the range. [``unit``]
    unit
        Unit to print; an empty text for a pure number.
    hint
        Ends of the range in another unit, or the reason for it; printed after the range.

    Raises
    ------
    ValueError
        With the first offending value, the range and the unit.
    """
    if type(value) is float and lower <= value <= upper:
        return  # what nearly every call is; the arrays below cost a hundred times as much
    values = np.asarray(value, dtype=np.float64)
    slack_below = _ROUNDING * abs(lower) if np.isfinite(lower) else 0.0
    slack_above = _ROUNDING * abs(upper) if np.isfinite(upper) else 0.0
    inside = (values >= lower - slack_below) & (values <= upper + slack_above)
    if bool(np.all(inside)):
        return
    offending = float(values[~inside].flat[0]) if values.ndim else float(values)
    shown_unit = f" {unit}" if unit else ""
    shown_hint = f" ({hint})" if hint else ""
    if np.isinf(upper):
        allowed = f"must be at least {lower:.6g}{shown_unit}{shown_hint}"
    else:
        allowed = f"is outside {lower:.6g} to {upper:.6g}{shown_unit}{shown_hint}"
    raise ValueError(f"{name} {offending:.6g}{shown_unit} {allowed}")


def check_whole_exponent(exponent: float) -> None:
    """Raise where the exponent of the drag's fall-off is not a whole number from 0 to 7.

    Raises
    ------
    ValueError
        With the value and what is allowed.
    """
    if exponent not in range(8):
        raise ValueError(f"fall_off_exponent {exponent} is not a whole number from 0 to 7")
