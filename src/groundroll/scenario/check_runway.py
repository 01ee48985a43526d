"""Checks of a runway file that need more than one value: do both directions belong to one strip?"""

from __future__ import annotations

import math
from typing import Final

from groundroll.reports.model import opposite_designator
from groundroll.scenario.messages import Problems
from groundroll.scenario.model import Runway, RunwayDirection
from groundroll.scenario.resolved import LandingDirection

DESIGNATOR_TOLERANCE: Final = math.radians(20.0)
"""Greatest difference of magnetic bearing and painted number. [rad] Assumption of this project: numbers are repainted
late."""

RECIPROCAL_TOLERANCE: Final = math.radians(2.0)
"""Greatest difference of one bearing and the reverse of the other. [rad] Assumption of this project."""

LENGTH_TOLERANCE: Final = 1.0
"""Declared distances are rounded to whole metres or feet. [m] Assumption of this project."""

SLOPE_TOLERANCE: Final = 0.002
"""Greatest difference of both given slopes with sign changed. [-] Assumption of this project."""


def difference(first: float, second: float) -> float:
    """Return how far two directions are apart, 0 to pi. [rad]"""
    return abs((first - second + math.pi) % (2.0 * math.pi) - math.pi)


def check_runway(runway: Runway, file: str, problems: Problems) -> None:
    """Add to ``problems`` whatever in a runway file does not fit together."""
    names = list(runway.directions)
    if len(names) != 2:
        problems.add(file, "directions", f"has {len(names)} directions; a strip has exactly two.", prefix="runway.")
        return
    first, second = names
    if opposite_designator(first) != second:
        text = f"{first} and {second} are not the two ends of one strip; the other end of {first} is {_other(first)}."
        problems.add(file, "directions", text, prefix="runway.")
        return
    for name in names:
        _check_direction(runway, name, file, problems)
    one, other = runway.directions[first], runway.directions[second]
    apart = difference(one.true_bearing, other.true_bearing + math.pi)
    if apart > RECIPROCAL_TOLERANCE:
        text = (
            f"true_bearing {_degrees(one.true_bearing)} of {first} and {_degrees(other.true_bearing)} of {second} are "
            f"not opposite: {_degrees(apart)} away, at most {_degrees(RECIPROCAL_TOLERANCE)} is allowed."
        )
        problems.add(file, "directions", text, prefix="runway.")
    if one.slope is not None and other.slope is not None and abs(one.slope + other.slope) > SLOPE_TOLERANCE:
        text = (
            f"slope {_percent(one.slope)} of {first} and {_percent(other.slope)} of {second} must be opposite in sign "
            "and equal: uphill one way is downhill the other."
        )
        problems.add(file, "directions", text, prefix="runway.")
    rise = slope_from_elevations(runway, first)
    if one.slope is None and other.slope is None and abs(rise) > 0.05:
        text = f"the elevations of both thresholds give a slope of {_percent(rise)}, outside -5 to 5 %."
        problems.add(file, "directions", text, prefix="runway.")


def _other(name: str) -> str:
    return opposite_designator(name)


def _degrees(angle: float) -> str:
    return f"{math.degrees(angle):.4g} deg"


def _percent(share: float) -> str:
    return f"{100.0 * share:.3g} %"


def _check_direction(runway: Runway, name: str, file: str, problems: Problems) -> None:
    direction = runway.directions[name]
    key = f"directions.{name}"
    magnetic = direction.true_bearing - runway.magnetic_variation
    painted = math.radians(10.0 * int(name[:2]))
    apart = difference(magnetic, painted)
    if apart > DESIGNATOR_TOLERANCE:
        text = (
            f"{_degrees(direction.true_bearing)} (magnetic {_degrees(magnetic % (2.0 * math.pi))}) is "
            f"{_degrees(apart)} away from runway {name}; at most {_degrees(DESIGNATOR_TOLERANCE)} is allowed."
        )
        if difference(magnetic, painted + math.pi) <= DESIGNATOR_TOLERANCE:
            text += f" It fits {_other(name)}: are both ends confused?"
        problems.add(file, f"{key}.true_bearing", text, prefix="runway.")
    usable = runway.length - direction.displaced_threshold
    if direction.landing_distance_available > usable + LENGTH_TOLERANCE:
        text = (
            f"{direction.landing_distance_available:.0f} m is more than the runway behind the threshold, "
            f"{usable:.0f} m ({runway.length:.0f} m paved, displaced by {direction.displaced_threshold:.0f} m)."
        )
        problems.add(file, f"{key}.landing_distance_available", text, prefix="runway.")
    for number, way_out in enumerate(direction.exits, start=1):
        if way_out.distance > usable + LENGTH_TOLERANCE:
            text = (
                f"exit {way_out.name} at {way_out.distance:.0f} m lies beyond the end of the runway, {usable:.0f} m "
                "from the landing threshold."
            )
            problems.add(file, f"{key}.exits entry {number}, distance", text, prefix="runway.")


def slope_from_elevations(runway: Runway, name: str) -> float:
    """Return the mean gradient between both landing thresholds, upslope in landing direction positive. [-]"""
    here = runway.directions[name]
    there = runway.directions[opposite_designator(name)]
    distance = runway.length - here.displaced_threshold - there.displaced_threshold
    # Two thresholds displaced towards each other until they meet leave no length to take a gradient over.
    return (there.threshold_elevation - here.threshold_elevation) / max(distance, 1.0)


def _slope(runway: Runway, name: str) -> float:
    given = runway.directions[name].slope
    if given is not None:
        return given
    opposite: RunwayDirection = runway.directions[opposite_designator(name)]
    return -opposite.slope if opposite.slope is not None else slope_from_elevations(runway, name)


def landing_direction(runway: Runway, name: str) -> LandingDirection:
    """Return the landing direction with its slope: given, that of the other direction, or from the elevations."""
    direction = runway.directions[name]
    return LandingDirection(
        designator=name,
        true_bearing=direction.true_bearing,
        threshold_elevation=direction.threshold_elevation,
        slope=_slope(runway, name),
        displaced_threshold=direction.displaced_threshold,
        landing_distance_available=direction.landing_distance_available,
        exits=direction.exits,
        distance_signs=direction.distance_signs,
    )
