"""The ledger: what defines the Shapley value, and landings whose difference is known."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from groundroll.constants import KNOT
from groundroll.physics.rollout import simulate
from groundroll.planning.landing_roll import LandingConditions, conditions_of
from groundroll.planning.ledger import ledger_between, shapley_values, side_of
from groundroll.scenario.model import Aircraft
from groundroll.scenario.read import read_case

CASE = Path(__file__).parents[2] / "examples" / "wet-gusty-arrival" / "case.toml"
GAMES = arrays(np.float64, 16, elements=st.floats(-1e3, 1e3))


@pytest.fixture(scope="module")
def landing() -> tuple[Aircraft, LandingConditions]:
    case = read_case(CASE)
    return case.aircraft, conditions_of(case)


@given(GAMES)
@settings(max_examples=60)
def test_shapley__efficiency(worth: np.ndarray) -> None:  # type: ignore[type-arg]
    """Shares add up to the worth of all less the worth of none (Shapley 1953, axiom)."""
    assert float(np.sum(shapley_values(worth))) == pytest.approx(worth[-1] - worth[0], abs=1e-6)


@given(GAMES)
@settings(max_examples=60)
def test_shapley__equals_the_mean_over_all_orders(worth: np.ndarray) -> None:  # type: ignore[type-arg]
    """The definition: what each player adds when he comes, averaged over all 24 orders of four."""
    shares = np.zeros(4)
    for order in itertools.permutations(range(4)):
        present = 0
        for player in order:
            shares[player] += worth[present | 1 << player] - worth[present]
            present |= 1 << player
    assert shapley_values(worth) == pytest.approx(shares / 24.0, abs=1e-6)


def test_shapley__symmetry_and_null_player() -> None:
    """Players 0 and 1 count alike, player 2 adds nothing anywhere."""
    worth = [3.0 * min((one & 1) + (one >> 1 & 1), 2) ** 2 for one in range(8)]
    first, second, none = shapley_values(worth)
    assert first == pytest.approx(second)
    assert none == pytest.approx(0.0)


def test_shapley__glove_game() -> None:
    """Two own a left glove, one a right one, a pair is worth 1: shares 1/6, 1/6, 2/3 (textbook game)."""
    worth = [1.0 if one & 4 and one & 3 else 0.0 for one in range(8)]
    assert shapley_values(worth) == pytest.approx([1.0 / 6.0, 1.0 / 6.0, 2.0 / 3.0])


def test_shapley__refuses_a_number_that_is_no_power_of_two() -> None:
    with pytest.raises(ValueError, match=r"3 values; a game of n players has 2\*\*n"):
        shapley_values([0.0, 1.0, 2.0])


def test_ledger__adds_up_and_ends_meet_single_simulations(landing: tuple[Aircraft, LandingConditions]) -> None:
    """To 0.1 m; both ends are the rolls that `simulate` gives, within the promised 0.1 m."""
    aircraft, conditions = landing
    other = replace(
        conditions,
        mass=58e3,
        headwind=-2.0,
        touchdown_distance=900.0,
        touchdown_speed_loss=0.02,
        approach_speed=conditions.approach_speed + 4.0,
        temperature=conditions.temperature + 15.0,
    )
    one, two = side_of(aircraft, conditions, "firm", "full"), side_of(aircraft, other, "gentle", "idle")
    ledger = ledger_between(one, two)
    assert sum(entry.metres for entry in ledger.entries) == pytest.approx(ledger.difference, abs=0.1)
    assert ledger.first_distance == pytest.approx(simulate(one.roll).distance, abs=0.1)
    assert ledger.other_distance == pytest.approx(simulate(two.roll).distance, abs=0.1)
    causes = {entry.cause for entry in ledger.entries}
    assert causes == {"mass", "wind", "flare", "threshold speed", "air density", "brake demand", "reverse"}
    assert ledger.rolls == 2 ** len(causes)


def test_ledger__back_is_the_negative_of_forth(landing: tuple[Aircraft, LandingConditions]) -> None:
    aircraft, conditions = landing
    other = replace(conditions, mass=56e3, headwind=-1.0, slope=0.01)
    one, two = side_of(aircraft, conditions, "firm", "idle"), side_of(aircraft, other, "steady", "idle")
    forth = {entry.cause: entry.metres for entry in ledger_between(one, two).entries}
    back = {entry.cause: entry.metres for entry in ledger_between(two, one).entries}
    assert forth.keys() == back.keys()
    assert "runway slope and length" in forth
    for cause, metres in forth.items():
        assert metres == pytest.approx(-back[cause], abs=1e-3)


def test_ledger__one_cause_takes_the_whole_difference(landing: tuple[Aircraft, LandingConditions]) -> None:
    """A touchdown 200 m later at the same speed costs 200 m where demand rules everywhere on one surface."""
    aircraft, conditions = landing
    dry = tuple(replace(third, code=6, descriptor=None) for third in conditions.thirds)
    first = replace(conditions, thirds=(dry[0], dry[1], dry[2]), touchdown_distance=400.0)
    later = replace(first, touchdown_distance=600.0)
    ledger = ledger_between(side_of(aircraft, first, "steady", "idle"), side_of(aircraft, later, "steady", "idle"))
    assert [entry.cause for entry in ledger.entries] == ["flare"]
    assert ledger.entries[0].metres == pytest.approx(200.0, abs=0.01)


def test_ledger__height_over_the_threshold_moves_the_touchdown(landing: tuple[Aircraft, LandingConditions]) -> None:
    """10 m higher on a path of 3 degrees: 10 / tan 3 deg = 190.8 m, on one dry surface."""
    aircraft, conditions = landing
    dry = tuple(replace(third, code=6, descriptor=None) for third in conditions.thirds)
    side = side_of(aircraft, replace(conditions, thirds=(dry[0], dry[1], dry[2])), "steady", "idle")
    ledger = ledger_between(side, replace(side, threshold_height=side.threshold_height + 10.0))
    assert [entry.cause for entry in ledger.entries] == ["threshold height"]
    assert ledger.entries[0].metres == pytest.approx(10.0 / math.tan(math.radians(3.0)), abs=0.01)


def test_ledger__same_landing_has_no_entries(landing: tuple[Aircraft, LandingConditions]) -> None:
    side = side_of(*landing, "firm", "full")
    ledger = ledger_between(side, side, end_speed=30.0 * KNOT)
    assert ledger.entries == ()
    assert ledger.difference == 0.0


def test_ledger__refuses_what_never_stops(landing: tuple[Aircraft, LandingConditions]) -> None:
    aircraft, conditions = landing
    side = side_of(aircraft, conditions, "firm", "none")
    with pytest.raises(ValueError, match="end_speed 80 m/s is outside 0 to 60 m/s"):
        ledger_between(side, side, end_speed=80.0)
    hopeless = replace(side, roll=replace(side.roll, maximum_brake_force=0.0, limit_distance=4000.0))
    with pytest.raises(ValueError, match="of the other landing the aeroplane is still at"):
        ledger_between(side, hopeless)
