"""Conversions at the border; inside, everything is SI and radians.

Text with units is read by `groundroll.scenario.quantity`; these tiny functions serve formulas whose published form
works in other units, and outputs.
"""

from __future__ import annotations

from groundroll.constants import FOOT, KNOT, PSI, ZERO_CELSIUS


def metres_per_second_from_knots(speed: float) -> float:
    """Return m/s for knots: 3600 kt are 1852 m/s."""
    return speed * KNOT


def knots_from_metres_per_second(speed: float) -> float:
    """Return knots for m/s: 1852 m/s are 3600 kt."""
    return speed / KNOT


def metres_from_feet(length: float) -> float:
    """Return metres for feet: 1000 ft are 304.8 m."""
    return length * FOOT


def pascals_from_psi(pressure: float) -> float:
    """Return pascals for pounds-force a square inch: 100 psi are about 689.5 kPa."""
    return pressure * PSI


def psi_from_pascals(pressure: float) -> float:
    """Return pounds-force a square inch for pascals: 689 476 Pa are about 100 psi."""
    return pressure / PSI


def kelvin_from_celsius(temperature: float) -> float:
    """Return kelvin for degrees Celsius: 0 degC are 273.15 K."""
    return temperature + ZERO_CELSIUS


def celsius_from_kelvin(temperature: float) -> float:
    """Return degrees Celsius for kelvin: 273.15 K are 0 degC."""
    return temperature - ZERO_CELSIUS
