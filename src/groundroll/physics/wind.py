"""Wind along and across the runway, and what a gusting or shifting wind can make of it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from groundroll.physics.arguments import check_range

HEADWIND_CREDIT: Final = 0.5
"""Share of a headwind that may be counted. [-] Source: 14 CFR 25.105(d), CAT.POL.A.330(c)(2) (confirmed)."""

TAILWIND_CHARGE: Final = 1.5
"""Share of a tailwind that must be counted. [-] Source: 14 CFR 25.105(d), CAT.POL.A.330(c)(2) (confirmed)."""

GREATEST_WIND_SPEED: Final = 75.0
"""About 146 kt. [m/s] Assumption of this project: no landing is planned in more."""

_FULL_CIRCLE = 2.0 * math.pi


@dataclass(frozen=True)
class WindComponents:
    """Wind relative to a runway: the mean, and the worst of what was reported."""

    headwind: float
    """Of the mean wind from its mean direction, positive from ahead; 0 where the direction is variable. [m/s]"""
    least_headwind: float
    """Least over the arc and between mean and gust; negative is a tailwind. [m/s]"""
    greatest_crosswind: float
    """Greatest over the arc, gust included; a magnitude. [m/s]"""


def _check_angle(name: str, value: float) -> None:
    check_range(name, value, -_FULL_CIRCLE, _FULL_CIRCLE, "rad", hint="one turn to either side")


def headwind(wind_direction: float, wind_speed: float, runway_bearing: float) -> float:
    """Return the wind component along the runway.

    Parameters
    ----------
    wind_direction : scalar
        Where the wind comes from. [rad]
    wind_speed : scalar
        0 to 75 m/s. [m/s]
    runway_bearing : scalar
        Direction of the landing or take-off, from the same north as ``wind_direction``. [rad]

    Returns
    -------
    float
        Positive from ahead, negative a tailwind. [m/s]

    Raises
    ------
    ValueError
        If an argument lies outside its range.
    """
    _check_angle("wind_direction", wind_direction)
    _check_angle("runway_bearing", runway_bearing)
    check_range("wind_speed", wind_speed, 0.0, GREATEST_WIND_SPEED, "m/s")
    return wind_speed * math.cos(wind_direction - runway_bearing)


def crosswind(wind_direction: float, wind_speed: float, runway_bearing: float) -> float:
    """Return the wind component across the runway.

    Parameters
    ----------
    wind_direction : scalar
        Where the wind comes from. [rad]
    wind_speed : scalar
        0 to 75 m/s. [m/s]
    runway_bearing : scalar
        Direction of the landing or take-off, from the same north as ``wind_direction``. [rad]

    Returns
    -------
    float
        Positive from the right. [m/s]

    Raises
    ------
    ValueError
        If an argument lies outside its range.
    """
    _check_angle("wind_direction", wind_direction)
    _check_angle("runway_bearing", runway_bearing)
    check_range("wind_speed", wind_speed, 0.0, GREATEST_WIND_SPEED, "m/s")
    return wind_speed * math.sin(wind_direction - runway_bearing)


def true_direction(magnetic_direction: float, variation: float) -> float:
    """Return a direction from true north.

    Parameters
    ----------
    magnetic_direction : scalar
        From magnetic north. [rad]
    variation : scalar
        East positive. [rad]

    Returns
    -------
    float
        magnetic + variation, from 0 to less than one turn. [rad]

    Raises
    ------
    ValueError
        If an argument lies outside one turn.

    Notes
    -----
    Wind in written weather reports is from true north; wind by radio is from magnetic north (FAA Aeronautical
    Information Manual 7-1-11, second-hand).
    """
    _check_angle("magnetic_direction", magnetic_direction)
    _check_angle("variation", variation)
    return (magnetic_direction + variation) % _FULL_CIRCLE


def factored_headwind(headwind: float) -> float:
    """Return the headwind to plan with: at most half of a headwind, at least one and a half of a tailwind.

    Parameters
    ----------
    headwind : scalar
        Positive from ahead, magnitude up to 75 m/s. [m/s]

    Returns
    -------
    float
        0.5 headwind, or 1.5 headwind where it is negative. [m/s]

    Raises
    ------
    ValueError
        If the wind is stronger than the range.

    References
    ----------
    .. [1] 14 CFR 25.105(d); CAT.POL.A.330(c)(2).
    """
    check_range("headwind", headwind, -GREATEST_WIND_SPEED, GREATEST_WIND_SPEED, "m/s")
    return min(HEADWIND_CREDIT * headwind, TAILWIND_CHARGE * headwind)


def _within_arc(direction: float, arc_from: float, arc_to: float) -> bool:
    return (direction - arc_from) % _FULL_CIRCLE <= (arc_to - arc_from) % _FULL_CIRCLE


def wind_extremes(
    wind_direction: float | None,
    wind_speed: float,
    gust_speed: float | None,
    arc_from: float | None,
    arc_to: float | None,
    runway_bearing: float,
) -> WindComponents:
    """Return the mean and the worst wind components of a reported wind.

    Parameters
    ----------
    wind_direction : scalar or None
        Mean direction the wind comes from; None if it is variable in all directions. [rad]
    wind_speed : scalar
        Mean, 0 to 75 m/s. [m/s]
    gust_speed : scalar or None
        Peak, not below the mean. [m/s]
    arc_from, arc_to : scalar or None
        Ends of the arc within which the direction varies, clockwise from the first to the second. [rad]
    runway_bearing : scalar
        Direction of the landing or take-off, from the same north. [rad]

    Returns
    -------
    WindComponents

    Raises
    ------
    ValueError
        If an argument lies outside its range, a gust is below the mean, or only part of an arc is given.

    Notes
    -----
    Closed form: the cosine is least at the direction opposite to the runway if the arc holds it, else at an end of the
    arc; the sine is greatest in magnitude at a right angle, else at an end. The mean direction counts as part of the
    arc. A gust counts where it makes things worse: as a tailwind and as a crosswind, never as a headwind. At a variable
    direction the whole wind is taken as a tailwind and as a crosswind.
    """
    _check_angle("runway_bearing", runway_bearing)
    check_range("wind_speed", wind_speed, 0.0, GREATEST_WIND_SPEED, "m/s")
    if gust_speed is not None:
        check_range("gust_speed", gust_speed, 0.0, GREATEST_WIND_SPEED, "m/s")
        if gust_speed < wind_speed:
            raise ValueError(f"gust_speed {gust_speed:.6g} m/s is below the mean wind_speed {wind_speed:.6g} m/s")
    peak = wind_speed if gust_speed is None else gust_speed
    if (arc_from is None) != (arc_to is None):
        raise ValueError("arc_from and arc_to belong together; only one was given")
    if wind_direction is None:
        if arc_from is not None:
            raise ValueError("an arc from arc_from to arc_to needs a mean wind_direction; the direction is variable")
        return WindComponents(0.0, -peak, peak)

    _check_angle("wind_direction", wind_direction)
    directions = [wind_direction]
    if arc_from is not None and arc_to is not None:
        _check_angle("arc_from", arc_from)
        _check_angle("arc_to", arc_to)
        quarter = math.pi / 2.0
        turning_points = [runway_bearing + 2.0 * quarter, runway_bearing + quarter, runway_bearing - quarter]
        directions += [arc_from, arc_to]
        directions += [direction for direction in turning_points if _within_arc(direction, arc_from, arc_to)]
    least_cosine = min(math.cos(direction - runway_bearing) for direction in directions)
    greatest_sine = max(abs(math.sin(direction - runway_bearing)) for direction in directions)
    return WindComponents(
        headwind=headwind(wind_direction, wind_speed, runway_bearing),
        least_headwind=min(wind_speed * least_cosine, peak * least_cosine),
        greatest_crosswind=peak * greatest_sine,
    )
