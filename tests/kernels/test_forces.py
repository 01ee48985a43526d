"""Forces along the runway, one by one, against arithmetic by hand and against each other."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.kernels.forces import (
    aerodynamic_drag,
    automatic_demand,
    dynamic_pressure,
    friction_limited_force,
    load_on_wheels,
)

pytestmark = pytest.mark.plain
SHARES = st.floats(0.0, 1.0)


def nose_load(load: float, wheel_force: float, nose_down_share: float, nose_share: float, height_ratio: float) -> float:
    """Return the load on the nose wheels by moments about the main wheels: static share and transfer by the lever."""
    return nose_down_share * (nose_share * load + height_ratio * wheel_force)


@given(st.floats(0.02, 0.8), SHARES, st.floats(1e4, 3e6), st.floats(0.0, 2e5), SHARES, SHARES, st.floats(0.0, 0.5))
def test_friction_limited_force__is_friction_on_the_load_that_it_leaves_on_the_main_wheels(
    coefficient: float, braked: float, load: float, ground_drag: float, down: float, nose: float, height: float
) -> None:
    """The closed form against its own definition: F = mu k (N - N_nose(F + R)), or nothing where no load is left.

    By hand: 500 kN on the wheels, a tenth of it on the nose, 100 kN at the wheels with a lever of a fifth: 50 + 20 kN.
    """
    assert nose_load(500_000.0, 100_000.0, 1.0, 0.1, 0.2) == pytest.approx(70_000.0)
    force = friction_limited_force(coefficient, braked, load, ground_drag, down, nose, height)
    left = load - nose_load(load, force + ground_drag, down, nose, height)
    assert force == pytest.approx(max(coefficient * braked * left, 0.0), rel=1e-9, abs=1e-6)


def test_aerodynamic_drag__of_air_from_behind_pushes() -> None:
    """Half of 1.2 kg/m3 times 10 m/s squared is 60 Pa; on 100 m2 with 0.1 it is 600 N, forward from behind."""
    assert dynamic_pressure(1.2, -10.0) == pytest.approx(60.0)
    assert aerodynamic_drag(60.0, 10.0, 100.0, 0.1) == pytest.approx(600.0)
    assert aerodynamic_drag(60.0, -10.0, 100.0, 0.1) == pytest.approx(-600.0)


def test_load_on_wheels__is_never_below_zero() -> None:
    """Lift of 60 Pa x 100 m2 x 0.5 = 3 kN comes off 10 kN, and cannot take more than there is."""
    assert load_on_wheels(10_000.0, 60.0, 100.0, 0.5) == pytest.approx(7_000.0)
    assert load_on_wheels(1_000.0, 60.0, 100.0, 0.5) == 0.0


def test_automatic_demand__is_what_the_other_forces_leave() -> None:
    """60 t at 2 m/s2 are 120 kN; 50 kN of them come from elsewhere."""
    assert automatic_demand(60_000.0, 2.0, 50_000.0) == pytest.approx(70_000.0)
    assert automatic_demand(60_000.0, 2.0, 150_000.0) == pytest.approx(-30_000.0)
