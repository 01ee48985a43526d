"""The roll run backwards gives back what the roll forwards put in."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from groundroll.physics.achieved_braking import achieved_braking
from groundroll.physics.rollout import simulate
from groundroll.planning.landing_roll import conditions_of, landing_roll
from groundroll.scenario.read import read_case

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize("name", ["wet-gusty-arrival", "contaminated-arrival", "dry-short"])
def test_achieved_braking__undoes_the_roll(name: str) -> None:
    """Forwards by the integrator, backwards from its deceleration: the same force of the brakes to a newton."""
    case = read_case(EXAMPLES / name / "case.toml")
    roll = replace(landing_roll(case.aircraft, conditions_of(case), "manual", "none"), slope=0.012)
    history = simulate(roll, history_step=0.1).history
    assert history is not None
    spoilers = np.clip((history.time - roll.spoilers_start) / roll.spoilers_ramp, 0.0, 1.0)
    nose = np.clip((history.time - roll.nose_start) / roll.nose_ramp, 0.0, 1.0)
    engines = np.zeros((history.time.size, 4))
    engines[:, 0] = case.aircraft.engines.count
    # A located point stands twice, before and after; the shares of that moment are those of one side.
    found = achieved_braking(
        roll, history.distance, history.ground_speed, history.deceleration, spoilers, nose, engines
    )
    same = np.abs(found.contaminant_drag - history.contaminant_drag) < 1.0
    assert np.mean(same) > 0.97
    assert found.brake_force[same] == pytest.approx(history.brake_force[same], abs=1.0)
    assert found.thrust == pytest.approx(history.thrust, abs=1.0)


def test_achieved_braking__by_hand() -> None:
    """No air, no slope, no nose load: F = m a - rolling; 60 t at 2 m/s2 with 0.015 rolling is 120 000 - 8826 N.

    60 000 x 9.80665 = 588 399 N of weight; 0.015 of it is 8826.0 N; 111 174 N over 588 399 N is 0.18894.
    """
    case = read_case(EXAMPLES / "wet-gusty-arrival" / "case.toml")
    roll = landing_roll(case.aircraft, conditions_of(case), "manual", "none")
    bare = replace(
        roll,
        mass=60_000.0,
        density=0.0,
        density_ratio=0.0,
        slope=0.0,
        nose_share=0.0,
        height_ratio=0.0,
        rolling_resistance=0.015,
        braked_share=1.0,
    )
    one = np.ones(1)
    found = achieved_braking(bare, 100.0 * one, 40.0 * one, 2.0 * one, one, one, np.zeros((1, 4)))
    assert found.brake_force[0] == pytest.approx(111_174.0, abs=0.5)
    assert found.braking_coefficient[0] == pytest.approx(0.18894, abs=5e-6)


def test_achieved_braking__refuses_what_is_out_of_range() -> None:
    case = read_case(EXAMPLES / "wet-gusty-arrival" / "case.toml")
    roll = landing_roll(case.aircraft, conditions_of(case), "manual", "none")
    one = np.ones(1)
    with pytest.raises(ValueError, match=r"ground_speed 150 m/s is outside 0 to 102\.889 m/s"):
        achieved_braking(roll, one, 150.0 * one, one, one, one, np.zeros((1, 4)))
    with pytest.raises(ValueError, match="spoilers 2 is outside 0 to 1"):
        achieved_braking(roll, one, one, one, 2.0 * one, one, np.zeros((1, 4)))
