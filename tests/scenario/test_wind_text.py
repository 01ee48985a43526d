"""Wind as written in a case file."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.scenario.wind_text import read_wind

KNOT = 1852.0 / 3600.0


def test_read_wind__direction_speed_gust_and_sector() -> None:
    wind = read_wind("240/14G25 kt 200V280")
    assert wind.direction == pytest.approx(math.radians(240.0))
    assert wind.speed == pytest.approx(14.0 * KNOT)
    assert wind.gust == pytest.approx(25.0 * KNOT)
    assert (wind.arc_from, wind.arc_to) == (pytest.approx(math.radians(200.0)), pytest.approx(math.radians(280.0)))


@pytest.mark.parametrize("text", ["calm", "CALM", "000/00 kt", "0/0 m/s"])
def test_read_wind__calm_has_no_direction(text: str) -> None:
    wind = read_wind(text)
    assert wind.calm
    assert wind.direction is None


def test_read_wind__variable() -> None:
    wind = read_wind("vrb/03 kt")
    assert wind.variable
    assert wind.direction is None
    assert wind.speed == pytest.approx(3.0 * KNOT)


def test_read_wind__metres_a_second_and_north() -> None:
    wind = read_wind("360/10 m/s")
    assert wind.direction == 0.0
    assert wind.speed == 10.0


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("240/14", '"240/14" is not a wind. .*kt, m/s'),
        ("370/10 kt", '"370/10 kt": wind direction 370 is outside 0 to 360 deg'),
        ("240/14G12 kt", '"240/14G12 kt": the gust is not above the mean wind'),
        ("240/140 kt", '"240/140 kt": the wind is above 100 kt'),
        ("VRB/05 kt 100V200", '"VRB/05 kt 100V200": give either VRB or a sector'),
        ("240 at 14", '"240 at 14" is not a wind'),
        (14, "14 is not a wind"),
        ("9" * 1000, "is not a wind"),
    ],
)
def test_read_wind__says_what_is_wrong(text: object, message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        read_wind(text)


@given(st.text(max_size=120) | st.from_regex(r"\A(VRB|[0-9]{3})/[0-9]{2}(G[0-9]{2})? kt\Z"))
def test_read_wind__any_text_gives_a_wind_or_a_message(text: str) -> None:
    try:
        wind = read_wind(text)
    except ScenarioError:
        return
    assert 0.0 <= wind.speed <= 100.0 * KNOT
    assert wind.direction is None or 0.0 <= wind.direction < 2.0 * math.pi
