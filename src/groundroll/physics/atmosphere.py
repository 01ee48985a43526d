"""Pressure, temperature and density of the air, and the airspeeds that follow from them."""

from __future__ import annotations

import math
from typing import Final

from groundroll.constants import (
    GAS_CONSTANT_AIR,
    GRAVITY,
    HEAT_CAPACITY_RATIO,
    SEA_LEVEL_DENSITY,
    SEA_LEVEL_PRESSURE,
    SEA_LEVEL_TEMPERATURE,
    TEMPERATURE_LAPSE,
)
from groundroll.physics.arguments import check_range

LEAST_ALTITUDE: Final = -5_000.0
"""Lower end of the layer of constant lapse rate. [m] Source: ICAO Doc 7488 (from memory)."""

GREATEST_ALTITUDE: Final = 11_000.0
"""Upper end of the layer of constant lapse rate. [m] Source: ICAO Doc 7488 (from memory)."""

LEAST_ELEVATION: Final = -610.0
"""About -2000 ft, below every aerodrome. [m] Assumption of this project."""

GREATEST_ELEVATION: Final = 6_100.0
"""About 20 000 ft, above every aerodrome. [m] Assumption of this project."""

_EXPONENT: Final = GRAVITY / (GAS_CONSTANT_AIR * TEMPERATURE_LAPSE)
_SEA_LEVEL_SPEED_OF_SOUND: Final = math.sqrt(HEAT_CAPACITY_RATIO * GAS_CONSTANT_AIR * SEA_LEVEL_TEMPERATURE)
_GREATEST_AIRSPEED: Final = 200.0


def standard_temperature(pressure_altitude: float) -> float:
    """Return the temperature of the standard atmosphere.

    Parameters
    ----------
    pressure_altitude : scalar
        Geopotential, -5000 to 11 000 m. [m]

    Returns
    -------
    float
        T0 - L h. [K]

    Raises
    ------
    ValueError
        Outside the layer of constant lapse rate.

    References
    ----------
    .. [1] ICAO Doc 7488 (from memory).
    """
    check_range("pressure_altitude", pressure_altitude, LEAST_ALTITUDE, GREATEST_ALTITUDE, "m")
    return SEA_LEVEL_TEMPERATURE - TEMPERATURE_LAPSE * pressure_altitude


def standard_pressure(pressure_altitude: float) -> float:
    """Return the pressure of the standard atmosphere.

    Parameters
    ----------
    pressure_altitude : scalar
        Geopotential, -5000 to 11 000 m. [m]

    Returns
    -------
    float
        p0 (T / T0)^(g / (R L)). [Pa]

    Raises
    ------
    ValueError
        Outside the layer of constant lapse rate.

    References
    ----------
    .. [1] ICAO Doc 7488 (from memory).
    """
    temperature = standard_temperature(pressure_altitude)
    return float(SEA_LEVEL_PRESSURE * (temperature / SEA_LEVEL_TEMPERATURE) ** _EXPONENT)


def pressure_altitude(pressure: float) -> float:
    """Return the altitude at which the standard atmosphere has this pressure.

    Parameters
    ----------
    pressure : scalar
        Static pressure, about 226 to 1777 hPa. [Pa]

    Returns
    -------
    float
        Inverse of `standard_pressure`. [m]

    Raises
    ------
    ValueError
        Outside the layer of constant lapse rate.

    References
    ----------
    .. [1] ICAO Doc 7488 (from memory).
    """
    check_range("pressure", pressure, standard_pressure(GREATEST_ALTITUDE), standard_pressure(LEAST_ALTITUDE), "Pa")
    ratio = (pressure / SEA_LEVEL_PRESSURE) ** (1.0 / _EXPONENT)
    return float((1.0 - ratio) * SEA_LEVEL_TEMPERATURE / TEMPERATURE_LAPSE)


def pressure_at_elevation(elevation: float, pressure_setting: float) -> float:
    """Return the static pressure at an aerodrome from its altimeter setting.

    Parameters
    ----------
    elevation : scalar
        Of the runway above mean sea level, -610 to 6100 m. [m]
    pressure_setting : scalar
        The reported setting with which an altimeter on the ground shows the elevation, 850 to 1100 hPa. [Pa]

    Returns
    -------
    float
        Static pressure. [Pa]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    An altimeter shows standard altitude of the pressure minus standard altitude of its setting; on the ground this is
    the elevation. So pressure altitude = elevation + standard altitude of the setting; no rule of thumb (30 ft per
    hectopascal) is used. The ranges are an assumption of this project: wider than any aerodrome and any weather.
    """
    check_range("elevation", elevation, LEAST_ELEVATION, GREATEST_ELEVATION, "m", hint="about -2000 to 20000 ft")
    check_range("pressure_setting", pressure_setting, 85_000.0, 110_000.0, "Pa", hint="850 to 1100 hPa")
    return standard_pressure(elevation + pressure_altitude(pressure_setting))


def density(pressure: float, temperature: float) -> float:
    """Return the density of dry air.

    Parameters
    ----------
    pressure : scalar
        Static pressure, 200 to 1800 hPa. [Pa]
    temperature : scalar
        Static temperature, -80 to 60 degC. [K]

    Returns
    -------
    float
        p / (R T). [kg/m3]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    Humidity is neglected: saturated air of 30 degC is about 1.6 % lighter.
    """
    check_range("pressure", pressure, 20_000.0, 180_000.0, "Pa")
    check_range("temperature", temperature, 193.15, 333.15, "K", hint="-80 to 60 degC")
    return pressure / (GAS_CONSTANT_AIR * temperature)


def density_ratio(pressure: float, temperature: float) -> float:
    """Return the density over that of the standard atmosphere at sea level.

    Parameters
    ----------
    pressure : scalar
        Static pressure, 200 to 1800 hPa. [Pa]
    temperature : scalar
        Static temperature, -80 to 60 degC. [K]

    Returns
    -------
    float
        [-]

    Raises
    ------
    ValueError
        If an argument lies outside its range.
    """
    return density(pressure, temperature) / SEA_LEVEL_DENSITY


def true_airspeed(calibrated_airspeed: float, pressure: float, temperature: float) -> float:
    """Return the true airspeed from the calibrated one.

    Parameters
    ----------
    calibrated_airspeed : scalar
        What the indicator shows, its error neglected; 0 to 200 m/s. [m/s]
    pressure : scalar
        Static pressure, 200 to 1800 hPa. [Pa]
    temperature : scalar
        Static temperature, -80 to 60 degC. [K]

    Returns
    -------
    float
        [m/s]

    Raises
    ------
    ValueError
        If an argument lies outside its range, or the flow is supersonic.

    Notes
    -----
    The impact pressure that gives ``calibrated_airspeed`` at sea level in the standard atmosphere,
    q = p0 ((1 + 0.2 (V_C / a0)²)^3.5 - 1), is put into the same relation at the pressure and temperature of the day:
    M² = 5 ((q / p + 1)^(2/7) - 1), V = M √(γ R T). At 70 m/s this is V_C / √σ at sea level and 0.2 % less at 8000 ft.
    """
    density(pressure, temperature)  # refuses what lies outside the ranges
    check_range("calibrated_airspeed", calibrated_airspeed, 0.0, _GREATEST_AIRSPEED, "m/s")
    impact_pressure = SEA_LEVEL_PRESSURE * math.expm1(
        3.5 * math.log1p(0.2 * (calibrated_airspeed / _SEA_LEVEL_SPEED_OF_SOUND) ** 2)
    )
    mach_squared = 5.0 * math.expm1(math.log1p(impact_pressure / pressure) / 3.5)
    if mach_squared > 1.0:
        raise ValueError(
            f"calibrated_airspeed {calibrated_airspeed:.6g} m/s is supersonic at {pressure:.6g} Pa; "
            f"the relation is subsonic"
        )
    return math.sqrt(mach_squared * HEAT_CAPACITY_RATIO * GAS_CONSTANT_AIR * temperature)


def calibrated_airspeed(true_airspeed: float, pressure: float, temperature: float) -> float:
    """Return the calibrated airspeed from the true one, the inverse of the function `true_airspeed`.

    Parameters
    ----------
    true_airspeed : scalar
        0 to 200 m/s. [m/s]
    pressure : scalar
        Static pressure, 200 to 1800 hPa. [Pa]
    temperature : scalar
        Static temperature, -80 to 60 degC. [K]

    Returns
    -------
    float
        [m/s]

    Raises
    ------
    ValueError
        If an argument lies outside its range.
    """
    density(pressure, temperature)  # refuses what lies outside the ranges
    check_range("true_airspeed", true_airspeed, 0.0, _GREATEST_AIRSPEED, "m/s")
    mach_squared = true_airspeed**2 / (HEAT_CAPACITY_RATIO * GAS_CONSTANT_AIR * temperature)
    impact_pressure = pressure * math.expm1(3.5 * math.log1p(0.2 * mach_squared))
    sea_level_mach_squared = 5.0 * math.expm1(math.log1p(impact_pressure / SEA_LEVEL_PRESSURE) / 3.5)
    return _SEA_LEVEL_SPEED_OF_SOUND * math.sqrt(sea_level_mach_squared)
