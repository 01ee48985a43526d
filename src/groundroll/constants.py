"""Physical constants and exact conversion factors, each with its source."""

from __future__ import annotations

from typing import Final

GRAVITY: Final = 9.80665
"""Standard acceleration of free fall. [m/s2] Source: CGPM 1901, resolution 2 (exact by definition)."""

GAS_CONSTANT_AIR: Final = 287.05287
"""Specific gas constant of dry air. [J/(kg K)] Source: ICAO Doc 7488 / ISO 2533 (from memory)."""

SEA_LEVEL_TEMPERATURE: Final = 288.15
"""ISA sea-level temperature. [K] Source: ICAO Doc 7488 / ISO 2533 (from memory)."""

SEA_LEVEL_PRESSURE: Final = 101_325.0
"""ISA sea-level pressure. [Pa] Source: ICAO Doc 7488 / ISO 2533 (from memory)."""

SEA_LEVEL_DENSITY: Final = 1.225
"""ISA sea-level density. [kg/m3] Source: ICAO Doc 7488 / ISO 2533 (from memory)."""

TEMPERATURE_LAPSE: Final = 0.0065
"""ISA lapse rate below 11 km. [K/m] Source: ICAO Doc 7488 / ISO 2533 (from memory)."""

HEAT_CAPACITY_RATIO: Final = 1.4
"""Ratio of specific heats of air. [-] Source: ICAO Doc 7488 (from memory)."""

KNOT: Final = 1852.0 / 3600.0
"""One knot. [m/s] Exact: one international nautical mile an hour."""

FOOT: Final = 0.3048
"""One foot. [m] Exact: international yard and pound agreement of 1959."""

POUND: Final = 0.45359237
"""One pound mass. [kg] Exact: international yard and pound agreement of 1959."""

PSI: Final = POUND * GRAVITY / (0.0254 * 0.0254)
"""One pound-force a square inch. [Pa] Exact, from the pound, the inch and standard gravity."""

INCH_OF_MERCURY: Final = 3386.389
"""One inch of mercury at 0 degC. [Pa] Conventional value."""

ZERO_CELSIUS: Final = 273.15
"""Ice point. [K] Exact by definition of the Celsius scale."""
