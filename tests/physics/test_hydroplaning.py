"""Hydroplaning speeds. The published list is in `tests.validation`."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.constants import KNOT, PSI
from groundroll.physics.hydroplaning import hydroplaning_speed, spin_up_hydroplaning_speed

PRESSURES = st.floats(50.0 * PSI, 300.0 * PSI)


@pytest.mark.parametrize(
    ("psi", "spin_down", "spin_up"),
    [
        (50, 63.6, 54.4),
        (100, 90.0, 77.0),
        (150, 110.2, 94.3),
        (180, 120.7, 103.3),
        (200, 127.3, 108.9),
        (220, 133.5, 114.2),
    ],
)
def test_hydroplaning_speeds__nine_and_seven_point_seven_root_p(psi: int, spin_down: float, spin_up: float) -> None:
    """Worked by hand from 9 √p and 7.7 √p (NASA TM-85652, second-hand), one decimal."""
    assert hydroplaning_speed(psi * PSI) / KNOT == pytest.approx(spin_down, abs=0.05)
    assert spin_up_hydroplaning_speed(psi * PSI) / KNOT == pytest.approx(spin_up, abs=0.05)


@given(PRESSURES)
def test_hydroplaning_speed__touchdown_on_water_planes_first(tyre_pressure: float) -> None:
    assert spin_up_hydroplaning_speed(tyre_pressure) < hydroplaning_speed(tyre_pressure)


@given(PRESSURES, st.floats(0.1, 0.99))
def test_hydroplaning_speed__lighter_contaminant_planes_later(tyre_pressure: float, specific_gravity: float) -> None:
    light = hydroplaning_speed(tyre_pressure, specific_gravity)
    assert light == pytest.approx(hydroplaning_speed(tyre_pressure) / specific_gravity**0.5)


def test_hydroplaning_speed__pressure_outside_the_curves_is_refused() -> None:
    with pytest.raises(
        ValueError, match=r"tyre_pressure 15000 Pa is outside 344738 to 2.06843e\+06 Pa \(50 to 300 psi"
    ):
        hydroplaning_speed(15_000.0)
    with pytest.raises(ValueError, match=r"tyre_pressure 13.8 Pa is outside"):
        spin_up_hydroplaning_speed(13.8)
    with pytest.raises(ValueError, match=r"specific_gravity 1.2 is outside 0.1 to 1"):
        hydroplaning_speed(1.0e6, 1.2)
