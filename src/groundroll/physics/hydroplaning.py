"""Speeds at which a tyre is carried by the water under it."""

from __future__ import annotations

import math
from typing import Final

from groundroll.physics.arguments import check_range
from groundroll.units import metres_per_second_from_knots, pascals_from_psi, psi_from_pascals

ROTATING_TYRE: Final = 9.0
"""Spin-down, a tyre that rolls. [kt/psi^0.5] Source: NASA TM-85652 (second-hand)."""

NON_ROTATING_TYRE: Final = 7.7
"""Spin-up, a tyre that touches down. [kt/psi^0.5] Source: NASA TM-85652 (second-hand)."""

_LEAST_PRESSURE = pascals_from_psi(50.0)
_GREATEST_PRESSURE = pascals_from_psi(300.0)


def _check_tyre_pressure(tyre_pressure: float) -> None:
    check_range("tyre_pressure", tyre_pressure, _LEAST_PRESSURE, _GREATEST_PRESSURE, "Pa", hint="50 to 300 psi")


def hydroplaning_speed(tyre_pressure: float, specific_gravity: float = 1.0) -> float:
    """Return the ground speed above which a rolling tyre hydroplanes (spin-down).

    Parameters
    ----------
    tyre_pressure : scalar
        Inflation pressure, 50 to 300 psi. [Pa]
    specific_gravity : scalar
        Of the contaminant, 0.1 to 1; water is 1. [-]

    Returns
    -------
    float
        V_P = 9 √(p / specific gravity), p in psi and V_P in knots before conversion. [m/s]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    Total dynamic hydroplaning of an unbraked tyre in fluid deeper than its tread grooves. Modern radial tyres are
    reported to hydroplane at lower speeds. The pressure rather than the speed is divided by the specific gravity [2]_.

    References
    ----------
    .. [1] NASA TM-85652 (second-hand).
    .. [2] CS-25, AMC 25.1591 (from memory).

    Examples
    --------
    100 psi give 90 kt:

    >>> round(hydroplaning_speed(100 * 6894.757) * 3600 / 1852, 1)
    90.0
    """
    _check_tyre_pressure(tyre_pressure)
    check_range("specific_gravity", specific_gravity, 0.1, 1.0, "")
    return metres_per_second_from_knots(ROTATING_TYRE * math.sqrt(psi_from_pascals(tyre_pressure) / specific_gravity))


def spin_up_hydroplaning_speed(tyre_pressure: float) -> float:
    """Return the ground speed above which a tyre that does not rotate yet fails to spin up on a flooded runway.

    Parameters
    ----------
    tyre_pressure : scalar
        Inflation pressure, 50 to 300 psi. [Pa]

    Returns
    -------
    float
        7.7 √p, p in psi and the speed in knots before conversion; water. [m/s]

    Raises
    ------
    ValueError
        If the pressure lies outside its range.

    References
    ----------
    .. [1] NASA TM-85652 (second-hand).
    """
    _check_tyre_pressure(tyre_pressure)
    return metres_per_second_from_knots(NON_ROTATING_TYRE * math.sqrt(psi_from_pascals(tyre_pressure)))
