"""Each conversion on a case that a child knows; definitions of the units, exact unless said otherwise."""

from __future__ import annotations

import pytest

from groundroll import units


def test_speed__1852_metres_are_a_nautical_mile() -> None:
    assert units.metres_per_second_from_knots(3_600.0) == pytest.approx(1_852.0)
    assert units.knots_from_metres_per_second(1_852.0) == pytest.approx(3_600.0)


def test_length__a_thousand_feet_are_304_8_metres() -> None:
    assert units.metres_from_feet(1_000.0) == pytest.approx(304.8)


def test_pressure__100_psi_are_689_476_pascals() -> None:
    """Pound-force a square inch, to the pascal."""
    assert units.pascals_from_psi(100.0) == pytest.approx(689_476.0, abs=0.5)
    assert units.psi_from_pascals(689_476.0) == pytest.approx(100.0, abs=1e-4)


def test_temperature__water_freezes_at_273_15_kelvin() -> None:
    assert units.kelvin_from_celsius(0.0) == pytest.approx(273.15)
    assert units.celsius_from_kelvin(273.15) == pytest.approx(0.0, abs=1e-12)
