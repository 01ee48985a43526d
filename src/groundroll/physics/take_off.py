"""Take-off thrust of the day, the airborne part of the take-off, and the increments of the accelerate-stop rule."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from groundroll.constants import FOOT, GRAVITY, SEA_LEVEL_PRESSURE, TEMPERATURE_LAPSE
from groundroll.physics.arguments import check_range
from groundroll.physics.atmosphere import pressure_altitude

DRY_SCREEN_HEIGHT: Final = 35.0 * FOOT
"""Height at the end of the take-off distance, dry runway. [m] 14 CFR 25.113(a), (b) (confirmed)."""

WET_SCREEN_HEIGHT: Final = 15.0 * FOOT
"""The same on a wet runway with an engine failed. [m] 14 CFR 25.113(b) (confirmed)."""

ALL_ENGINE_FACTOR: Final = 1.15
"""Factor on the distance with all engines. [-] 14 CFR 25.113(a)(2) (confirmed)."""

PLAIN_RULE_TIME: Final = 2.0
"""Time at V1 that the rule adds as a distance, for up to three actions. [s] 14 CFR 25.109(a) (confirmed)."""

FURTHER_ACTION_TIME: Final = 1.0
"""Added to it for each action beyond the third. [s] CS-25, AMC 25.101(h)(3) (confirmed)."""

FURTHER_COMMAND_TIME: Final = 2.0
"""The same where the action needs a command to another person. [s] CS-25, AMC 25.101(h)(3) (confirmed)."""

LEAST_RECOGNITION_TIME: Final = 1.0
"""Least time from engine failure to the first action. [s] AC 25-7D and AMC 25.101(h)(3) (from memory)."""

GREATEST_REDUCTION: Final = 0.25
"""Greatest reduction of thrust by an assumed temperature. [-] AC 25-13 (from memory)."""


def take_off_thrust_share(
    pressure: float,
    temperature: float,
    *,
    flat_rating_temperature: float,
    fall_per_kelvin: float,
    pressure_exponent: float,
) -> float:
    """Return take-off thrust over that of the table, which holds at sea level up to the flat rating temperature.

    Parameters
    ----------
    pressure : scalar
        Static pressure, 200 to 1200 hPa. [Pa]
    temperature : scalar
        Of the air, or the higher one assumed to reduce thrust; -80 to 90 degC. [K]
    flat_rating_temperature : scalar
        At sea level, the temperature up to which thrust does not depend on temperature. [K]
    fall_per_kelvin : scalar
        Share lost for each kelvin above it, 0 to 0.05. [1/K]
    pressure_exponent : scalar
        Of the pressure ratio, 0 to 1.5; 0 for a thrust that does not depend on pressure. [-]

    Returns
    -------
    float
        (p / p0)^n (1 - k max(T - T_flat, 0)), T_flat falling with altitude as the standard atmosphere does. [-]

    Raises
    ------
    ValueError
        If an argument lies outside its range, or no thrust would be left.

    Notes
    -----
    A straight line above a flat rating is the usual shape of engine data; the figures are those of the aircraft file.

    Examples
    --------
    >>> warm = {"flat_rating_temperature": 303.15, "fall_per_kelvin": 0.01, "pressure_exponent": 1.0}
    >>> round(take_off_thrust_share(101325.0, 313.15, **warm), 6)
    0.9
    """
    check_range("pressure", pressure, 20_000.0, 120_000.0, "Pa")
    check_range("temperature", temperature, 193.15, 363.15, "K", hint="-80 to 90 degC")
    check_range("flat_rating_temperature", flat_rating_temperature, 193.15, 363.15, "K", hint="-80 to 90 degC")
    check_range("fall_per_kelvin", fall_per_kelvin, 0.0, 0.05, "1/K")
    check_range("pressure_exponent", pressure_exponent, 0.0, 1.5, "")
    flat = flat_rating_temperature - TEMPERATURE_LAPSE * pressure_altitude(pressure)
    share = 1.0 - fall_per_kelvin * max(temperature - flat, 0.0)
    if share <= 0.0:
        raise ValueError(f"temperature {temperature:.1f} K leaves no thrust: flat rating to {flat:.1f} K")
    return float((pressure / SEA_LEVEL_PRESSURE) ** pressure_exponent * share)


def rule_time(further_actions: int, further_commands: int) -> float:
    """Return the time at V1 whose distance the rule adds to the accelerate-stop distance.

    Parameters
    ----------
    further_actions
        Actions beyond the third, 0 to 10.
    further_commands
        Of another kind: actions beyond the third that need a command to another person, 0 to 10.

    Returns
    -------
    float
        2 s, 1 s for each further action, 2 s for each further command. [s]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    References
    ----------
    .. [1] 14 CFR 25.109(a); CS-25, AMC 25.101(h)(3).

    Examples
    --------
    >>> rule_time(0, 0), rule_time(1, 1)
    (2.0, 5.0)
    """
    check_range("further_actions", further_actions, 0, 10, "")
    check_range("further_commands", further_commands, 0, 10, "")
    return PLAIN_RULE_TIME + FURTHER_ACTION_TIME * further_actions + FURTHER_COMMAND_TIME * further_commands


@dataclass(frozen=True)
class AirbornePath:
    """From lift-off to the screen height."""

    distance: float
    """Over the ground. [m]"""
    time: float
    """[s]"""
    limited_by: str
    """"pull-up" or "thrust": which of the two needs the longer way."""


def airborne_path(
    lift_off_airspeed: float,
    safety_airspeed: float,
    excess_thrust_share: float,
    screen_height: float,
    *,
    load_factor: float,
    headwind: float = 0.0,
) -> AirbornePath:
    """Return the way from lift-off to a height, by the simplest model that knows rotation and thrust.

    Two ways are worked out and the longer one counts. The pull-up: an arc at constant load factor and speed from the
    runway to the screen height [1]_. The energy: height and the gain of speed up to the safety speed must come from the
    thrust in excess of drag.

    Parameters
    ----------
    lift_off_airspeed : scalar
        True airspeed at lift-off, 20 to 140 m/s. [m/s]
    safety_airspeed : scalar
        True airspeed of the safety speed, to be reached at 35 ft. [m/s]
    excess_thrust_share : scalar
        Thrust less drag, over weight. [-]
    screen_height : scalar
        1 to 30 m. [m]
    load_factor : scalar
        Of the pull-up, 1.01 to 2. [-]
    headwind : scalar
        Positive from ahead. [m/s]

    Returns
    -------
    AirbornePath
        Distance over the ground and time.

    Raises
    ------
    ValueError
        If an argument lies outside its range, or the aeroplane cannot climb: ``excess_thrust_share`` not positive.

    Notes
    -----
    R = V^2 / (g (n - 1)) and s = sqrt(2 R h - h^2) with V the mean of both speeds; s = (h + (V2^2 - V_LOF^2) / 2 g) / x
    with x the excess thrust over weight. Below 35 ft the gain of speed is taken in proportion to height: the rule asks
    for 15 ft "in a manner consistent with" the safety speed at 35 ft. An assumption of this project.

    References
    ----------
    .. [1] J. D. Anderson, Aircraft Performance and Design, section 6.7 and Example 6.6.

    Examples
    --------
    >>> airborne_path(75.0, 77.0, 0.03, 10.668, load_factor=1.19).limited_by
    'thrust'
    """
    check_range("lift_off_airspeed", lift_off_airspeed, 20.0, 140.0, "m/s")
    check_range("safety_airspeed", safety_airspeed, 20.0, 140.0, "m/s")
    check_range("screen_height", screen_height, 1.0, 30.0, "m")
    check_range("load_factor", load_factor, 1.01, 2.0, "")
    check_range("headwind", headwind, -60.0, 60.0, "m/s")
    if not excess_thrust_share > 0.0:
        raise ValueError(f"excess_thrust_share {excess_thrust_share:.4f} must be above 0: the aeroplane cannot climb")
    reached = max(safety_airspeed, lift_off_airspeed)
    mean = 0.5 * (lift_off_airspeed + reached)
    radius = mean**2 / (GRAVITY * (load_factor - 1.0))
    pull_up = math.sqrt(max(2.0 * radius * screen_height - screen_height**2, 0.0))
    gain = (reached**2 - lift_off_airspeed**2) / (2.0 * GRAVITY) * min(screen_height / DRY_SCREEN_HEIGHT, 1.0)
    energy = (screen_height + gain) / excess_thrust_share
    air_distance = max(pull_up, energy)
    time = air_distance / mean
    return AirbornePath(
        distance=max(air_distance - headwind * time, 0.0),
        time=time,
        limited_by="pull-up" if pull_up >= energy else "thrust",
    )


def airborne_drag_share(
    mass: float,
    density: float,
    true_airspeed: float,
    wing_area: float,
    airborne_drag_coefficient: float,
    induced_drag_factor: float,
) -> float:
    """Return drag over weight in level flight at this speed.

    Parameters
    ----------
    mass : scalar
        Of the aeroplane. [kg]
    density : scalar
        Of the air, above 0. [kg/m3]
    true_airspeed : scalar
        Above 0. [m/s]
    wing_area : scalar
        Reference area of the coefficients. [m2]
    airborne_drag_coefficient : scalar
        Without lift. [-]
    induced_drag_factor : scalar
        Added for each square of the lift coefficient. [-]

    Returns
    -------
    float
        q S (C_D0 + k C_L^2) / (m g) with C_L = m g / (q S). [-]

    Raises
    ------
    ValueError
        If mass, density, true airspeed or wing area is not positive.
    """
    least = math.nextafter(0.0, 1.0)
    check_range("mass", mass, least, math.inf, "kg")
    check_range("density", density, least, 2.0, "kg/m3")
    check_range("true_airspeed", true_airspeed, least, 200.0, "m/s")
    check_range("wing_area", wing_area, least, math.inf, "m2")
    lift_coefficient = mass * GRAVITY / (0.5 * density * true_airspeed**2 * wing_area)
    return airborne_drag_coefficient / lift_coefficient + induced_drag_factor * lift_coefficient
