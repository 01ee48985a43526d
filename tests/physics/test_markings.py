"""Aiming point, touchdown zone and signs of the distance remaining against their documents."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.constants import FOOT
from groundroll.physics.markings import aiming_point_distance, distance_sign_places, touchdown_zone_length


@pytest.mark.parametrize(
    ("available", "printed"),
    [
        (300.0, 150),
        (799.9, 150),
        (800.0, 250),
        (1_199.9, 250),
        (1_200.0, 300),
        (2_399.9, 300),
        (2_400.0, 400),
        (4_000.0, 400),
    ],
)
def test_aiming_point_distance__table_l_1_of_cs_adr_dsn_l_540(available: float, printed: float) -> None:
    """EASA CS ADR-DSN.L.540, table L-1: below 800 m, 800 to below 1200, 1200 to below 2400, 2400 and above."""
    assert aiming_point_distance(available) == printed


@pytest.mark.parametrize(
    ("available", "length"), [(2_700.0, 900.0), (2_743.2, 914.4), (3_600.0, 914.4), (900.0, 300.0)]
)
def test_touchdown_zone_length__3000_ft_or_a_third(available: float, length: float) -> None:
    """Study text for pilots: the first 3000 ft (914.4 m) or the first third, whichever is less."""
    assert touchdown_zone_length(available) == pytest.approx(length)


def test_distance_sign_places__by_hand() -> None:
    """FAA AIM 2-3-13: thousands of feet left. 2500 m are 8202 ft: eight signs, the first 202 ft from the threshold."""
    places = distance_sign_places(2_500.0)
    assert [number for number, _ in places] == [8, 7, 6, 5, 4, 3, 2, 1]
    assert places[0][1] == pytest.approx(2_500.0 - 8_000.0 * FOOT)
    assert places[-1][1] == pytest.approx(2_500.0 - 304.8)
    number, place = distance_sign_places(3_000.0 * FOOT)[0]
    assert number == 3
    assert place == pytest.approx(0.0, abs=1e-9)
    assert distance_sign_places(300.0) == []


@given(available=st.floats(305.0, 7_000.0))
def test_distance_sign_places__each_shows_what_is_left_and_the_last_stands_950_ft_or_more_before_the_end(
    available: float,
) -> None:
    """FAA AIM 2-3-13: the last sign at least 950 ft from the end."""
    places = distance_sign_places(available)
    for number, place in places:
        assert (available - place) / FOOT == pytest.approx(1_000.0 * number)
        assert place >= -1e-6
    assert places[0][1] < 1_000.0 * FOOT
    assert (available - places[-1][1]) / FOOT >= 950.0
    assert [place for _, place in places] == sorted(place for _, place in places)


@pytest.mark.parametrize("function", [aiming_point_distance, touchdown_zone_length, distance_sign_places])
@pytest.mark.parametrize("available", [299.0, 7_001.0])
def test_markings__refuse_a_runway_outside_the_range(function, available: float) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=rf"landing_distance_available {available:.0f} m is outside 300 to 7000 m"):
        function(available)
