"""Speed at which a runway exit can be taken, from its geometry."""

from __future__ import annotations

import math
from typing import Final

from groundroll.constants import KNOT
from groundroll.physics.arguments import check_range

LATERAL_SHARE: Final = 0.133
"""Lateral acceleration over that of free fall behind the table of radius and taxiing speed. [-] Source:
``taxiway-radius-speed``; the figure as text is from memory, the table reproduces it to 1 %."""

RIGHT_ANGLE_SPEED: Final = 10.0 * KNOT
"""Where a file gives neither speed nor radius: common practice, no source. [m/s]"""

RAPID_EXIT_SPEED: Final = 40.0 * KNOT
"""The same for an exit of at most 45 degrees; practice names 40 to 50 kt. [m/s]"""

RAPID_EXIT_ANGLE: Final = math.radians(45.0)
"""Rapid exits leave at 25 to 45 degrees. [rad] Source: ``rapid-exit-geometry``."""


def turn_speed(radius: float, lateral_share: float = LATERAL_SHARE) -> float:
    """Return the speed at which a turn of ``radius`` asks for a given lateral acceleration.

    Parameters
    ----------
    radius : scalar
        Of the centre line, 5 to 2000 m. [m]
    lateral_share : scalar
        Lateral acceleration over that of free fall, 0.01 to 0.5. [-]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    The published form is R = V^2 / (127.133 f) with V in km/h: 127.133 is 3.6^2 times 9.81.

    References
    ----------
    .. [1] Horonjeff and others, Planning and Design of Airports, 5th ed., table 6-22, credited to ICAO.
    """
    check_range("radius", radius, 5.0, 2_000.0, "m")
    check_range("lateral_share", lateral_share, 0.01, 0.5, "")
    return math.sqrt(127.133 * lateral_share * radius) / 3.6


def usual_exit_speed(angle: float) -> float:
    """Return the speed that crews commonly use where nothing else is known: common practice, no source.

    Parameters
    ----------
    angle : scalar
        Change of direction, 5 to 170 degrees. [rad]

    Raises
    ------
    ValueError
        If the angle lies outside its range.
    """
    check_range("angle", angle, math.radians(5.0), math.radians(170.0), "rad", hint="5 to 170 deg")
    return RAPID_EXIT_SPEED if angle <= RAPID_EXIT_ANGLE + 1e-9 else RIGHT_ANGLE_SPEED
