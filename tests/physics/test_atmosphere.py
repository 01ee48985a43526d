"""Standard atmosphere, altimeter setting, airspeeds. The whole printed table is in `tests.validation`."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.constants import FOOT, KNOT
from groundroll.physics.atmosphere import (
    calibrated_airspeed,
    density,
    density_ratio,
    pressure_altitude,
    pressure_at_elevation,
    standard_pressure,
    standard_temperature,
    true_airspeed,
)


@given(st.floats(-5_000.0, 11_000.0))
def test_pressure_altitude__is_the_inverse_of_standard_pressure(altitude: float) -> None:
    assert pressure_altitude(standard_pressure(altitude)) == pytest.approx(altitude, abs=1e-6)


@given(st.floats(-5_000.0, 10_900.0))
def test_standard_pressure__weight_of_the_air_between_two_altitudes(altitude: float) -> None:
    """Hydrostatics: over 10 m the pressure falls by mean density times g times 10 m (within 1e-5)."""
    lower, upper = standard_pressure(altitude), standard_pressure(altitude + 10.0)
    middle = density(standard_pressure(altitude + 5.0), standard_temperature(altitude + 5.0))
    assert lower - upper == pytest.approx(middle * 9.80665 * 10.0, rel=1e-5)


@given(st.floats(-600.0, 5_000.0))
def test_pressure_at_elevation__standard_setting_gives_the_standard_pressure(elevation: float) -> None:
    assert pressure_at_elevation(elevation, 101_325.0) == pytest.approx(standard_pressure(elevation), rel=1e-12)


@given(st.floats(90_000.0, 105_000.0))
def test_pressure_at_elevation__setting_is_the_pressure_at_sea_level(pressure_setting: float) -> None:
    assert pressure_at_elevation(0.0, pressure_setting) == pytest.approx(pressure_setting, rel=1e-12)


def test_pressure_at_elevation__low_setting_is_not_thirty_feet_a_hectopascal() -> None:
    """By hand for 2000 ft and 980 hPa: h(980 hPa) = (1 - (980/1013.25)^0.190263) 288.15/0.0065 = 280.9 m;
    609.6 + 280.9 = 890.5 m; (1 - 0.0065 * 890.5 / 288.15)^5.25588 = 0.898812 of 1013.25 hPa, 910.7 hPa.
    """
    assert pressure_at_elevation(2_000.0 * FOOT, 98_000.0) == pytest.approx(91_072.0, abs=20.0)


def test_true_airspeed__at_sea_level_in_the_standard_atmosphere_equals_the_calibrated() -> None:
    assert true_airspeed(70.0, 101_325.0, 288.15) == pytest.approx(70.0, rel=1e-12)


@pytest.mark.parametrize(
    ("feet", "printed"), [(1_000, 1.0148), (2_000, 1.0299), (4_000, 1.0611), (6_000, 1.0938), (8_000, 1.1279)]
)
def test_true_airspeed__near_equivalent_airspeed_over_root_density_ratio(feet: int, printed: float) -> None:
    """Last column of the standard-atmosphere table (from memory, derived). Compressibility lowers it by up to 0.2 %."""
    altitude = feet * FOOT
    speed = true_airspeed(130.0 * KNOT, standard_pressure(altitude), standard_temperature(altitude))
    ratio = speed / (130.0 * KNOT)
    assert printed * 0.998 < ratio <= printed + 0.00005


@given(st.floats(1.0, 160.0), st.floats(50_000.0, 108_000.0), st.floats(220.0, 325.0))
def test_calibrated_airspeed__is_the_inverse_of_true_airspeed(airspeed: float, pressure: float, kelvin: float) -> None:
    calibrated = calibrated_airspeed(airspeed, pressure, kelvin)
    assert true_airspeed(calibrated, pressure, kelvin) == pytest.approx(airspeed, rel=1e-9)


@given(st.floats(1.0, 110.0), st.floats(70_000.0, 105_000.0), st.floats(230.0, 320.0))
def test_true_airspeed__thinner_air_never_makes_it_slower(calibrated: float, pressure: float, kelvin: float) -> None:
    assert true_airspeed(calibrated, 0.99 * pressure, kelvin) > true_airspeed(calibrated, pressure, kelvin)
    assert true_airspeed(calibrated, pressure, kelvin + 1.0) > true_airspeed(calibrated, pressure, kelvin)


def test_true_airspeed__supersonic_is_refused() -> None:
    with pytest.raises(ValueError, match=r"calibrated_airspeed 200 m/s is supersonic"):
        true_airspeed(200.0, 22_700.0, 216.65)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: standard_temperature(11_001.0), r"pressure_altitude 11001 m is outside -5000 to 11000 m"),
        (lambda: pressure_altitude(20_000.0), r"pressure 20000 Pa is outside 22632"),
        (lambda: pressure_at_elevation(7_000.0, 101_325.0), r"elevation 7000 m is outside -610 to 6100 m"),
        (lambda: pressure_at_elevation(0.0, 2_992.0), r"pressure_setting 2992 Pa is outside 85000 to 110000 Pa"),
        (lambda: density(101_325.0, 15.0), r"temperature 15 K is outside 193.15 to 333.15 K \(-80 to 60 degC\)"),
        (lambda: density_ratio(1_013.25, 288.15), r"pressure 1013.25 Pa is outside 20000 to 180000 Pa"),
        (lambda: true_airspeed(-1.0, 101_325.0, 288.15), r"calibrated_airspeed -1 m/s is outside 0 to 200 m/s"),
        (lambda: calibrated_airspeed(math.nan, 101_325.0, 288.15), r"true_airspeed nan m/s is outside 0 to 200 m/s"),
    ],
)
def test_atmosphere__out_of_range_shows_value_range_and_unit(call, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        call()
