"""Wind components, and their extremes against dense sampling of the arc."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.constants import KNOT
from groundroll.physics.wind import crosswind, factored_headwind, headwind, true_direction, wind_extremes

ANGLES = st.floats(0.0, 2.0 * math.pi)


def radians(degrees: float) -> float:
    return math.radians(degrees)


@pytest.mark.parametrize(
    ("direction", "along", "across"),
    [(90.0, 10.0, 0.0), (120.0, 8.660254, 5.0), (180.0, 0.0, 10.0), (270.0, -10.0, 0.0), (0.0, 0.0, -10.0)],
)
def test_headwind_and_crosswind__runway_east(direction: float, along: float, across: float) -> None:
    """By hand on runway bearing 090: wind from 120 is 30 degrees right of ahead, cos 30 = 0.8660, sin 30 = 0.5."""
    assert headwind(radians(direction), 10.0, radians(90.0)) == pytest.approx(along, abs=1e-6)
    assert crosswind(radians(direction), 10.0, radians(90.0)) == pytest.approx(across, abs=1e-6)


@given(ANGLES, st.floats(0.0, 60.0), ANGLES)
def test_headwind_and_crosswind__are_the_sides_of_a_right_triangle(
    direction: float, speed: float, bearing: float
) -> None:
    sides = math.hypot(headwind(direction, speed, bearing), crosswind(direction, speed, bearing))
    assert sides == pytest.approx(speed, abs=1e-9)


@pytest.mark.parametrize(
    ("magnetic", "variation", "true"), [(264.0, 2.0, 266.0), (355.0, 10.0, 5.0), (5.0, -10.0, 355.0)]
)
def test_true_direction__east_variation_is_added(magnetic: float, variation: float, true: float) -> None:
    """By hand: true = magnetic + variation, east positive."""
    assert true_direction(radians(magnetic), radians(variation)) == pytest.approx(radians(true), abs=1e-12)


@given(st.floats(-70.0, 70.0))
def test_factored_headwind__never_better_than_the_wind(component: float) -> None:
    assert factored_headwind(component) <= component or component == 0.0


def test_wind_extremes__gusting_wind_over_an_arc() -> None:
    """By hand for 24015G27KT 200V280 on runway 27: 280 is 10 degrees off the bow, 200 is 70 degrees; no tailwind in the
    arc, so the least headwind is 15 cos 70 = 5.130 kt; the greatest crosswind 27 sin 70 = 25.372 kt.
    """
    wind = wind_extremes(radians(240), 15 * KNOT, 27 * KNOT, radians(200), radians(280), radians(270))
    assert wind.headwind / KNOT == pytest.approx(15.0 * 0.8660254, abs=1e-5)
    assert wind.least_headwind / KNOT == pytest.approx(5.1303, abs=1e-4)
    assert wind.greatest_crosswind / KNOT == pytest.approx(25.3717, abs=1e-4)


def test_wind_extremes__arc_through_the_tail_counts_the_gust_as_tailwind() -> None:
    """By hand: an arc from 060 to 140 holds 090, straight behind runway 27, so the gust of 20 is all tailwind."""
    wind = wind_extremes(radians(100), 10.0, 20.0, radians(60), radians(140), radians(270))
    assert wind.least_headwind == pytest.approx(-20.0)
    assert wind.greatest_crosswind == pytest.approx(20.0 * math.cos(radians(40)))


def test_wind_extremes__variable_direction_is_full_tailwind_and_full_crosswind() -> None:
    wind = wind_extremes(None, 2.0, 6.0, None, None, 1.0)
    assert (wind.headwind, wind.least_headwind, wind.greatest_crosswind) == (0.0, -6.0, 6.0)


def test_wind_extremes__arc_across_north() -> None:
    """By hand: clockwise from 330 to 030 holds 360, a right angle to runway 09 and to runway 27."""
    wind = wind_extremes(radians(350), 10.0, None, radians(330), radians(30), radians(90))
    assert wind.greatest_crosswind == pytest.approx(10.0)
    assert wind.least_headwind == pytest.approx(-5.0)


@given(ANGLES, st.floats(0.0, 30.0), st.floats(0.0, 20.0), st.floats(0.0, math.pi), st.floats(0.0, math.pi), ANGLES)
def test_wind_extremes__closed_form_meets_dense_sampling(
    direction: float, speed: float, excess: float, before: float, after: float, bearing: float
) -> None:
    """The slow, obvious form: every 0.05 degrees of the arc, at mean and at gust. A step misses at most 1e-6 of it."""
    gust = speed + excess
    before, after = 0.999 * before, 0.999 * after
    wind = (
        wind_extremes(direction, speed, gust, direction - before, direction + after, bearing)
        if (direction - before >= -2.0 * math.pi and direction + after <= 2.0 * math.pi)
        else wind_extremes(
            direction,
            speed,
            gust,
            (direction - before) % (2.0 * math.pi),
            (direction + after) % (2.0 * math.pi),
            bearing,
        )
    )
    angles = np.linspace(direction - before, direction + after, 7201)
    along = np.concatenate([speed * np.cos(angles - bearing), gust * np.cos(angles - bearing)])
    across = np.abs(gust * np.sin(angles - bearing))
    assert wind.least_headwind == pytest.approx(float(along.min()), abs=1e-5)
    assert wind.greatest_crosswind == pytest.approx(float(across.max()), abs=1e-5)
    assert wind.least_headwind <= wind.headwind + 1e-12


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((1.0, 10.0, 9.0, None, None, 0.0), r"gust_speed 9 m/s is below the mean wind_speed 10 m/s"),
        ((1.0, 10.0, None, 1.0, None, 0.0), r"arc_from and arc_to belong together"),
        ((None, 2.0, None, 1.0, 2.0, 0.0), r"needs a mean wind_direction"),
        ((240.0, 10.0, None, None, None, 0.0), r"wind_direction 240 rad is outside"),
        ((1.0, 80.0, None, None, None, 0.0), r"wind_speed 80 m/s is outside 0 to 75 m/s"),
        ((1.0, 10.0, None, None, None, 270.0), r"runway_bearing 270 rad is outside"),
    ],
)
def test_wind_extremes__what_cannot_be_is_refused(arguments, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        wind_extremes(*arguments)
