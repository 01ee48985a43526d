"""Exits from lines in the plane: drawn by hand or at random, with circles of known radius."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundroll.scenario.runway_data.exits import FoundExit, Track, find_exits

from .drawing import Plane, curve

ENDS = (0.0, 3_000.0)
HALF_WIDTH = 22.5


def found(*lines: Plane, names: str = "") -> list[FoundExit]:
    tracks = [
        Track(names[number] if names else "", np.array(one, dtype=np.float64), False)
        for number, one in enumerate(lines)
    ]
    return find_exits(tracks, ENDS, HALF_WIDTH, np.zeros((0, 2)))


@given(
    st.floats(500.0, 2_400.0),
    st.floats(25.0, 90.0),
    st.floats(40.0, 600.0),
    st.sampled_from(["left", "right"]),
    st.booleans(),
    st.booleans(),
)
@settings(max_examples=150, deadline=None)
def test_painted_curve__is_one_exit_with_its_geometry(
    station: float, angle: float, radius: float, side: str, back: bool, reverse: bool
) -> None:
    """A circle of known radius that touches the centre line, drawn in either order, with 80 m straight after it."""
    points = curve(station, angle, radius, side, back=back)
    if max(abs(one[1]) for one in points) < HALF_WIDTH + 15.0:
        return  # too short to leave the runway
    (one,) = found(points[::-1] if reverse else points)
    assert one.forward is not back
    assert one.left is ((side == "left") is not back)
    assert one.curved
    assert one.station == pytest.approx(station, abs=6.0)
    # On a long curve the angle is looked for before its end, 70 m beyond the edge, and read over a chord of 20 m.
    turned = math.degrees(math.acos(max(-1.0, 1.0 - 92.5 / radius)))
    assert min(angle, turned) - 3.0 <= math.degrees(one.angle) <= angle + 1.0
    assert one.radius is not None
    assert one.radius == pytest.approx(radius, rel=0.12)


@given(st.floats(200.0, 2_800.0), st.floats(50.0, 130.0), st.booleans())
@settings(max_examples=100, deadline=None)
def test_straight_line__is_an_exit_for_both_directions_with_supplementary_angles(
    station: float, angle: float, left: bool
) -> None:
    away = (200.0 / math.tan(math.radians(angle)), 200.0 if left else -200.0)
    both = found([(station, 0.0), (station + away[0], away[1])])
    assert [one.forward for one in both] == [True, False]
    assert math.degrees(both[0].angle) == pytest.approx(angle, abs=0.01)
    assert math.degrees(both[1].angle) == pytest.approx(180.0 - angle, abs=0.01)
    assert both[0].station == both[1].station == pytest.approx(station)
    assert both[0].left is left
    assert both[1].left is not left
    assert both[0].radius is None


@pytest.mark.parametrize(
    "line",
    [
        [(0.0, 0.0), (3_000.0, 0.0)],  # the runway centre line itself
        [(0.0, 180.0), (3_000.0, 180.0)],  # a parallel taxiway
        [(1_000.0, 0.0), (1_000.0, 25.0)],  # ends at the edge
        [(1_000.0, 40.0), (1_000.0, 180.0)],  # does not reach the runway
        [(-200.0, 0.0), (-200.0, 180.0)],  # before the runway
        [(100.0, 0.0), (100.0, 0.0)],  # no length
    ],
)
def test_other_lines__are_no_exits(line: Plane) -> None:
    assert found(line) == []


def test_sharp_angle__is_an_exit_in_one_direction_only() -> None:
    """30 degrees one way would be 150 degrees the other way."""
    (one,) = found([(1_000.0, 0.0), (1_000.0 + 200.0 * math.sqrt(3.0), 200.0)])
    assert one.forward
    assert math.degrees(one.angle) == pytest.approx(30.0, abs=0.01)


def test_line_short_of_the_centre_line__is_carried_on() -> None:
    """A taxiway at 45 degrees drawn from the edge: 20 m aside means 20 m further back along the runway."""
    (one, *_) = found([(1_020.0, 20.0), (1_200.0, 200.0)])
    assert one.short == pytest.approx(20.0)
    assert one.station == pytest.approx(1_000.0)


def test_curves_and_cross_line_of_one_taxiway__are_one_exit_for_each_direction() -> None:
    straight = [(1_100.0, 0.0), (1_100.0, 200.0)]
    lines = (curve(1_000.0, 90.0, 100.0, "left"), curve(1_200.0, 90.0, 100.0, "left", back=True), straight)
    first, second = found(*lines, names="BBB")
    assert (first.forward, second.forward) == (True, False)
    assert first.station == pytest.approx(1_000.0, abs=4.0)
    assert second.station == pytest.approx(1_200.0, abs=4.0)
    assert len(found(*lines, names="BBC")) == 4  # the line across has a name of its own: an exit for both directions


def test_two_curves_that_meet_in_one_line__are_two_exits() -> None:
    """A line from the runway to the holding position and back, as one way: each half is an exit."""
    there = curve(1_000.0, 90.0, 100.0, "left")
    back = curve(1_200.0, 90.0, 100.0, "left", back=True)
    both = found(there + back[::-1])
    assert [(one.forward, round(one.station, -1)) for one in both] == [(True, 1_000.0), (False, 1_200.0)]
