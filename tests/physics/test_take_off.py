"""Take-off thrust of the day, the airborne path, and the increments of the rule."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.physics.take_off import (
    DRY_SCREEN_HEIGHT,
    WET_SCREEN_HEIGHT,
    airborne_drag_share,
    airborne_path,
    rule_time,
    take_off_thrust_share,
)

FT = 0.3048
FLAT = {"flat_rating_temperature": 303.15, "fall_per_kelvin": 0.01, "pressure_exponent": 1.0}


def test_take_off_thrust_share__is_one_at_sea_level_up_to_the_flat_rating() -> None:
    for temperature in (250.0, 288.15, 303.15):
        assert take_off_thrust_share(101_325.0, temperature, **FLAT) == pytest.approx(1.0, abs=1e-12)


def test_take_off_thrust_share__constant_thrust_can_be_written() -> None:
    constant = {"flat_rating_temperature": 303.15, "fall_per_kelvin": 0.0, "pressure_exponent": 0.0}
    for pressure, temperature in ((101_325.0, 288.15), (70_000.0, 320.0), (105_000.0, 230.0)):
        assert take_off_thrust_share(pressure, temperature, **constant) == 1.0


def test_take_off_thrust_share__flat_rating_falls_with_altitude_as_the_standard_atmosphere() -> None:
    """At 2000 ft the standard pressure is 94 212.9 Pa and 3.962 K are lost: ISA, computed in the reference notes."""
    pressure = 94_212.9
    flat = 303.15 - 0.0065 * 2_000.0 * FT
    level = take_off_thrust_share(pressure, flat - 0.01, **FLAT)
    assert level == pytest.approx(pressure / 101_325.0, rel=1e-9)
    assert take_off_thrust_share(pressure, flat + 10.0, **FLAT) == pytest.approx(0.9 * level, rel=1e-4)


@given(st.floats(60_000.0, 105_000.0), st.floats(230.0, 330.0), st.floats(0.0, 20.0))
def test_take_off_thrust_share__warmer_never_gives_more(pressure: float, temperature: float, more: float) -> None:
    cool = take_off_thrust_share(pressure, temperature, **FLAT)
    assert take_off_thrust_share(pressure, temperature + more, **FLAT) <= cool


def test_take_off_thrust_share__refuses_to_extrapolate() -> None:
    with pytest.raises(ValueError, match=r"temperature 400 K is outside 193\.15 to 363\.15 K"):
        take_off_thrust_share(101_325.0, 400.0, **FLAT)
    steep = FLAT | {"fall_per_kelvin": 0.05}
    with pytest.raises(ValueError, match="leaves no thrust"):
        take_off_thrust_share(101_325.0, 330.0, **steep)


@pytest.mark.parametrize(
    ("actions", "commands", "seconds"), [(0, 0, 2.0), (1, 0, 3.0), (0, 1, 4.0), (2, 1, 6.0), (0, 2, 6.0)]
)
def test_rule_time__amc_25_101_h_3(actions: int, commands: int, seconds: float) -> None:
    """CS-25 AMC 25.101(h)(3): 2 s to three actions, 1 s for each further one, 2 s where it is a command."""
    assert rule_time(actions, commands) == seconds


def test_rule_time__refuses_what_is_no_count() -> None:
    with pytest.raises(ValueError, match="further_actions -1"):
        rule_time(-1, 0)


def test_screen_heights__of_cfr_25_113() -> None:
    """14 CFR 25.113: 35 ft, and 15 ft on a wet runway."""
    assert pytest.approx(10.668) == DRY_SCREEN_HEIGHT
    assert pytest.approx(4.572) == WET_SCREEN_HEIGHT


def test_airborne_path__energy_closed_form() -> None:
    """No gain of speed, n = 2: the height comes from excess thrust alone, 10.668 m / 0.03 = 355.6 m."""
    path = airborne_path(75.0, 75.0, 0.03, DRY_SCREEN_HEIGHT, load_factor=2.0)
    assert path.limited_by == "thrust"
    assert path.distance == pytest.approx(355.6, abs=1e-9)
    assert path.time == pytest.approx(355.6 / 75.0)


def test_airborne_path__headwind_takes_its_share() -> None:
    """10 m/s for the 4.7413 s in the air."""
    still = airborne_path(75.0, 75.0, 0.03, DRY_SCREEN_HEIGHT, load_factor=2.0)
    windy = airborne_path(75.0, 75.0, 0.03, DRY_SCREEN_HEIGHT, load_factor=2.0, headwind=10.0)
    assert windy.distance == pytest.approx(still.distance - 10.0 * still.time)


@given(st.floats(40.0, 100.0), st.floats(0.0, 10.0), st.floats(0.01, 0.4), st.floats(0.001, 0.1))
def test_airborne_path__more_thrust_never_lengthens_and_15_ft_come_first(
    lift_off: float, gain: float, excess: float, more: float
) -> None:
    def length(thrust: float, height: float) -> float:
        return airborne_path(lift_off, lift_off + gain, thrust, height, load_factor=1.19).distance

    assert length(excess + more, DRY_SCREEN_HEIGHT) <= length(excess, DRY_SCREEN_HEIGHT) + 1e-9
    assert length(excess, WET_SCREEN_HEIGHT) < length(excess, DRY_SCREEN_HEIGHT)


def test_airborne_path__no_climb_is_refused() -> None:
    with pytest.raises(ValueError, match=r"excess_thrust_share -0\.0100 must be above 0"):
        airborne_path(75.0, 75.0, -0.01, DRY_SCREEN_HEIGHT, load_factor=1.2)


def test_airborne_drag_share__at_the_speed_of_least_drag() -> None:
    """Where C_D0 = k C_L^2, drag over weight is 2 sqrt(k C_D0): here 2 sqrt(0.04 * 0.03) = 0.069282."""
    lift = math.sqrt(0.03 / 0.04)
    speed = math.sqrt(2.0 * 50_000.0 * 9.80665 / (1.225 * 100.0 * lift))
    assert airborne_drag_share(50_000.0, 1.225, speed, 100.0, 0.03, 0.04) == pytest.approx(0.0692820, abs=1e-7)
