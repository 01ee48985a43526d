"""Cases of exits, occupancy and markings."""

from __future__ import annotations

import math
from functools import partial
from typing import Final

from groundroll.constants import FOOT, KNOT
from groundroll.physics.exits import (
    allowed_exit_speed,
    exit_use_share,
    lateral_share_for_code,
    planned_occupancy_time,
    turn_speed,
)
from groundroll.physics.markings import aiming_point_distance, distance_sign_places, touchdown_zone_length
from tests.validation.case import ValidationCase

KMH: Final = 1.0 / 3.6
MPH: Final = 5_280.0 * FOOT / 3_600.0
HORONJEFF: Final = "Horonjeff, McKelvey, Sproule, Young, Planning and Design of Airports, 5th ed."


def _turn(radius: float) -> float:
    return turn_speed(radius, lateral_share_for_code(6)) / KMH


def _rapid(radius: float) -> float:
    return allowed_exit_speed(math.radians(30.0), 5, radius=radius).speed / KMH


def _occupancy(touchdown: float, exit_speed: float) -> float:
    return planned_occupancy_time((touchdown + 6.5) * KNOT, touchdown * KNOT, exit_speed * MPH)


def _use(feet: float, aeroplane_class: str, surface: str) -> float:
    return 100.0 * exit_use_share(feet * FOOT, aeroplane_class, surface)


def _last_sign(available: float) -> float:
    return (available - distance_sign_places(available)[-1][1]) / FOOT


_TURNS: Final = [
    ValidationCase(
        f"Exits/turn of {radius} m",
        f"{HORONJEFF}, table 6-22, credited to ICAO",
        f"taxiway centre line of {radius} m",
        speed,
        "km/h",
        0.5,
        "confirmed",
        partial(_turn, radius),
    )
    for speed, radius in ((16, 15), (32, 60), (48, 135), (64, 240), (80, 375), (96, 540))
]

_RAPID: Final = [
    ValidationCase(
        f"Exits/rapid exit of {radius} m",
        "ICAO Annex 14, Vol. I, 3.8.15 to 3.8.18, as national standards repeat it",
        f"wet, {radius} m{note}",
        speed,
        "km/h",
        tolerance,
        "second-hand",
        partial(_rapid, radius),
    )
    for speed, radius, tolerance, note in (
        (65, 275, 0.5, ""),
        (93, 550, 1.1, "; the lower of both published lateral accelerations is used, so ours is below"),
    )
]

_OCCUPANCY: Final = [
    ValidationCase(
        f"Exits/occupancy {touchdown} kt, {exit_speed} mph",
        f"{HORONJEFF}, equation 6-8",
        f"touchdown at {touchdown} kt, 6.5 kt lost in the flare, exit at {exit_speed} mph",
        printed,
        "s",
        0.05,
        "derived",
        partial(_occupancy, touchdown, exit_speed),
        1,
    )
    for touchdown, exit_speed, printed in ((130, 60, 43.7), (130, 15, 56.9), (140, 60, 47.0), (140, 15, 60.2))
]

_RANGES: Final = [
    ValidationCase(
        f"Exits/occupancy range at {exit_speed} mph",
        f"{HORONJEFF}, pp. 240-244: {least} to {most} s",
        f"touchdown at 130 kt, exit at {exit_speed} mph, against the middle of the range",
        0.5 * (least + most),
        "s",
        0.5 * (most - least),
        "confirmed",
        partial(_occupancy, 130, exit_speed),
        1,
    )
    for exit_speed, least, most in ((60, 35, 45), (15, 45, 60))
]

_USE: Final = [
    ValidationCase(
        f"Exits/use of an exit at {feet} ft, {aeroplane_class}, {surface}",
        f"{HORONJEFF}, table 6-25, credited to the FAA (the tests hold the whole table)",
        f"class {aeroplane_class}, {surface.replace('-', ', ')} exit, {feet} ft",
        printed,
        "%",
        0.5,
        "confirmed",
        partial(_use, feet, aeroplane_class, surface),
    )
    for feet, aeroplane_class, surface, printed in (
        (5_000, "C", "dry-rapid", 76),
        (5_000, "C", "dry-regular", 49),
        (6_000, "C", "wet", 48),
        (6_000, "D", "dry-rapid", 95),
    )
]

_MARKINGS: Final = [
    *(
        ValidationCase(
            f"Markings/aiming point, {available} m",
            "EASA CS ADR-DSN.L.540, table L-1",
            f"landing distance available {available} m",
            printed,
            "m",
            0.5,
            "confirmed",
            partial(aiming_point_distance, available),
        )
        for available, printed in ((799, 150), (800, 250), (1_200, 300), (2_399, 300), (2_400, 400))
    ),
    *(
        ValidationCase(
            f"Markings/touchdown zone, {available} m",
            "study text for pilots: first 3000 ft or first third",
            f"landing distance available {available} m",
            printed,
            "m",
            0.5,
            "second-hand",
            partial(touchdown_zone_length, available),
        )
        for available, printed in ((2_400, 800), (3_600, 914))
    ),
    ValidationCase(
        "Markings/last sign of the distance remaining",
        "FAA AIM 2-3-13: at least 950 ft from the end",
        "landing distance available 2500 m; ours stands at its thousand feet",
        950.0,
        "ft",
        50.1,
        "confirmed",
        partial(_last_sign, 2_500.0),
    ),
]

EXIT_CASES: Final[list[ValidationCase]] = [*_TURNS, *_RAPID, *_OCCUPANCY, *_RANGES, *_USE, *_MARKINGS]
