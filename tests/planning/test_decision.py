"""Choosing: limits kept, aims in order, what beats what, and the words in which it is said."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.physics.rollout import simulate
from groundroll.planning.aims import AIMS, Candidate, accepted, choose, efficient
from groundroll.planning.decision import decide
from groundroll.planning.landing import plan_landing
from groundroll.planning.landing_roll import MANUAL, landing_roll
from groundroll.scenario.model import Choice
from tests.planning.cases import DRY, NAMES, NIL, WET, aircraft, changed, example, option, standard_case
from tests.planning.decisions import an_exit, approach, decided, plain_case, with_choice

RAPID = an_exit("R", 1_500.0, 22.0, 30.0)
LATER = an_exit("L", 2_000.0, 8.0)
SLOW = an_exit("S", 2_900.0, 4.0)


def _candidate(**values: Any) -> Candidate:
    plain: dict[str, Any] = {
        "option": 0,
        "margin": 500.0,
        "brake_energy_per_wheel": 10e6,
        "brake_temperature": 500.0,
        "brake_wear": 1.0,
        "runway_time": 50.0,
        "reverse_fuel": 5.0,
        "peak_deceleration": 2.0,
        "taxi_distance": 0.0,
        "approach": None,
    }
    return Candidate(**(plain | values))


candidates_of_any_kind = st.lists(
    st.builds(
        _candidate,
        margin=st.floats(-500.0, 2_000.0),
        brake_energy_per_wheel=st.floats(0.0, 40e6),
        brake_temperature=st.floats(280.0, 1_500.0) | st.just(math.inf),
        brake_wear=st.floats(0.0, 3.0),
        runway_time=st.floats(30.0, 200.0) | st.just(math.inf),
        reverse_fuel=st.floats(0.0, 40.0),
        peak_deceleration=st.floats(1.0, 5.0),
        taxi_distance=st.floats(0.0, 4_000.0),
    ),
    min_size=1,
    max_size=12,
)


def _values(one: Candidate) -> list[float]:
    return [aim.value(one) for aim in AIMS.values()]


def _beats(one: Candidate, other: Candidate) -> bool:
    mine, its = _values(one), _values(other)
    return mine != its and all(a <= b for a, b in zip(mine, its, strict=True))


# ---------------------------------------------------------------------------------------------------- efficient, choose


@given(found=candidates_of_any_kind)
def test_efficient__nobody_in_it_is_beaten_and_everybody_outside_is(found: list[Candidate]) -> None:
    """Pareto's definition."""
    best = efficient(found)
    assert best
    for number, one in enumerate(found):
        assert any(_beats(other, one) for other in found) is (number not in best)


def test_efficient__equals_do_not_beat_each_other() -> None:
    assert efficient([_candidate(), _candidate(), _candidate(margin=400.0)]) == [0, 1]
    assert efficient([_candidate(margin=600.0, runway_time=51.0), _candidate()]) == [0, 1]
    assert efficient([]) == []


@pytest.mark.parametrize(
    ("aim", "better"),
    [
        ("brake energy", {"brake_energy_per_wheel": 5e6}),
        ("brake temperature", {"brake_temperature": 400.0}),
        ("brake wear", {"brake_wear": 0.5}),
        ("runway time", {"runway_time": 40.0}),
        ("margin", {"margin": 900.0}),
        ("taxi distance", {"taxi_distance": -200.0}),
        ("reverse fuel", {"reverse_fuel": 1.0}),
        ("smoothness", {"peak_deceleration": 1.5}),
    ],
)
def test_choose__the_first_aim_decides(aim: str, better: dict[str, float]) -> None:
    """Whatever the second one says."""
    found = [_candidate(), _candidate(**better), _candidate()]
    assert choose(found, [aim]) == 1
    for other in AIMS:
        if other != aim:
            assert choose(found, [aim, other]) == 1


def test_choose__nearly_equal_goes_to_the_next_aim() -> None:
    """Brake energy counts as nearly equal within 1 MJ a wheel, runway time within 3 s."""
    found = [
        _candidate(brake_energy_per_wheel=10.0e6, runway_time=60.0),
        _candidate(brake_energy_per_wheel=10.9e6, runway_time=45.0),
        _candidate(brake_energy_per_wheel=11.1e6, runway_time=40.0),
        _candidate(brake_energy_per_wheel=10.5e6, runway_time=47.0),
    ]
    assert choose(found, ["brake energy"]) == 0
    assert choose(found, ["brake energy", "runway time"]) == 3  # of 1 and 3, nearly equal in both, the first aim's
    assert choose(found, ["runway time", "brake energy"]) == 2
    assert choose([], ["margin"]) is None


@given(found=candidates_of_any_kind, order=st.permutations(sorted(AIMS)))
def test_choose__is_nearly_the_best_in_the_first_aim(found: list[Candidate], order: list[str]) -> None:
    chosen = choose(found, order)
    assert chosen is not None
    aim = AIMS[order[0]]
    best = min(aim.value(one) for one in found)
    assert aim.value(found[chosen]) <= best + aim.nearly


@pytest.mark.parametrize(
    ("choice", "candidate", "keeps"),
    [
        ({}, {}, True),
        ({"minimum_margin": 500.0}, {}, True),
        ({"minimum_margin": 501.0}, {}, False),
        ({"maximum_brake_temperature": 500.0}, {}, True),
        ({"maximum_brake_temperature": 499.0}, {}, False),
        ({"maximum_brake_temperature": 499.0}, {"brake_temperature": math.inf}, False),
        ({"maximum_deceleration": 2.0}, {}, True),
        ({"maximum_deceleration": 1.9}, {}, False),
        ({"reverse": ("none", "idle")}, {}, False),
        ({"reverse": ("full",)}, {}, True),
    ],
)
def test_accepted__hard_limits(choice: dict[str, Any], candidate: dict[str, float], keeps: bool) -> None:
    full = option(plan_landing(standard_case()), "firm", "full")
    assert accepted(_candidate(**candidate), full, Choice().model_copy(update=choice)) is keeps
    assert not accepted(_candidate(**candidate), replace(full, fits=False), Choice().model_copy(update=choice))


def test_accepted__a_margin_carried_by_manual_needs_none_of_its_own() -> None:
    carried = replace(option(plan_landing(standard_case()), "firm"), margin_carried_by_manual=True)
    choice = Choice().model_copy(update={"minimum_margin": 100.0})
    assert accepted(_candidate(margin=-50.0), carried, choice)


# ----------------------------------------------------------------------------------------------------------- decide


@pytest.mark.parametrize("name", NAMES)
def test_examples__the_choice_keeps_the_rules(name: str) -> None:
    """The chosen one is a candidate of a fitting option, and that option is the one recommended."""
    found = decided(example(name))
    assert (found.chosen is None) is (name == "nothing-fits")
    assert found.exit_made
    if found.chosen is None:
        assert found.plan.recommended is None
        assert (found.candidates, found.efficient, found.gates, found.break_points) == ((), (), (), None)
        assert (found.chosen_approach, found.chosen_option, found.high_setting) == (None, None, None)
        assert found.plan.reasons[0].startswith("No plan: nothing fits.")
        return
    candidate = found.candidates[found.chosen]
    assert found.plan.recommended == candidate.option
    assert found.chosen_option is found.plan.options[candidate.option]
    assert found.chosen_approach is candidate.approach
    assert found.chosen_option.fits
    assert found.efficient == tuple(efficient(found.candidates))
    assert found.chosen in found.efficient
    exits = [
        one
        for one in found.plan.case.direction_data.exits
        if found.plan.air_segment.distance < one.distance <= found.plan.conditions.landing_distance_available
    ]
    assert len(found.approaches) == len(exits) * len(found.plan.options)
    assert [one.exit for one in found.needed] == [one.name for one in exits]


def test_decide__the_exit_asked_for_is_the_exit_chosen() -> None:
    case = standard_case(direction={"exits": (RAPID, LATER, SLOW)})
    for name in ("R", "L", "S"):
        found = decided(with_choice(case, exit=name))
        assert found.exit_made
        assert found.chosen_approach is not None
        assert found.chosen_approach.exit == name
        assert {one.approach.exit for one in found.candidates if one.approach} == {name}
        assert f"exit {name} at" in found.plan.reasons[0]


def test_decide__an_exit_that_cannot_be_made_is_said_first_and_the_next_best_given() -> None:
    """800 m at 5 m/s is beyond full braking on a wet runway."""
    case = standard_case(direction={"exits": (an_exit("N", 800.0, 5.0), RAPID)})
    found = decided(with_choice(case, exit="N"))
    assert not found.exit_made
    assert found.chosen_approach is not None
    assert found.chosen_approach.exit == "R"
    assert found.plan.reasons[0] == "Exit N cannot be made within the limits set: this is the best without it."


def test_decide__rolling_on_at_exit_speed_is_for_those_who_ask_for_that_exit() -> None:
    """Among any exits it is taken only where no other one can be made."""
    both = standard_case(direction={"exits": (RAPID, SLOW)})
    any_exit = decided(both)
    assert all(one.approach and one.approach.means != "exit speed kept" for one in any_exit.candidates)
    alone = decided(standard_case(direction={"exits": (SLOW,)}))
    assert alone.chosen_approach is not None
    assert alone.chosen_approach.means == "exit speed kept"
    assert "and roll on at that with light braking; 8 kt there, 8 kt allowed." in alone.plan.reasons[0]


def test_decide__where_no_wheel_braking_is_needed_one_setting_stands_for_all() -> None:
    """Released as soon as it acts, every setting gives the same roll: the gentlest is named, once for each reverse."""
    found = decided(plain_case(an_exit("Q", 1_900.0, 59.0), landing={"approach_speed": 60.0}))
    assert [found.plan.options[one.option].brake for one in found.candidates] == ["gentle"]
    assert len(found.approaches) == 5


def test_decide__a_margin_carried_by_manual_is_not_preferred_to_one_of_its_own() -> None:
    """One reverser and one brake lost: gentle has the least energy, but only manual braking has its margin."""
    found = decided(example("failures-and-dispatch"))
    assert found.chosen is not None
    assert found.chosen_option is not None
    assert not found.chosen_option.margin_carried_by_manual
    carried = [one for one in found.candidates if found.plan.options[one.option].margin_carried_by_manual]
    energy = found.candidates[found.chosen].brake_energy_per_wheel
    assert any(one.brake_energy_per_wheel < energy - 1e6 for one in carried)
    assert any("set aside: only manual braking carries their margin" in one for one in found.plan.reasons)


def test_decide__a_margin_carried_by_manual_is_taken_where_there_is_no_other() -> None:
    """1800 m dry, every choice with a margin of its own left out: what remains is taken, and the words say it."""
    exits = (an_exit("L", 1_700.0, 12.0),)
    plan = plan_landing(standard_case(thirds=(DRY, DRY, DRY), available=1_800.0, direction={"exits": exits}))
    plan = replace(plan, options=tuple(one for one in plan.options if one.margin_carried_by_manual))
    assert plan.options
    alone = decide(plan)
    assert alone.chosen_option is not None
    assert alone.chosen_option.margin_carried_by_manual
    assert any("margin is carried by manual braking (codes 6 and 5 only)" in one for one in alone.plan.reasons)


def test_decide__no_exit_at_all_is_a_plan_to_stop() -> None:
    found = decided(standard_case(direction={"exits": ()}))
    assert found.approaches == ()
    assert found.needed == ()
    assert found.chosen is not None
    assert found.chosen_approach is None
    assert found.high_setting is None
    assert found.plan.reasons[0].startswith("Setting ")
    assert " to a stop in " in found.plan.reasons[0]
    assert found.gates


def test_decide__exits_before_touchdown_or_beyond_the_runway_are_left_out() -> None:
    """Touchdown is at 480.2 m; 2200 m of 3000 m are available."""
    exits = (
        an_exit("A", 480.0, 10.0),
        an_exit("B", 700.0, 10.0),
        an_exit("C", 2_200.0, 10.0),
        an_exit("D", 2_201.0, 9.0),
    )
    found = decided(standard_case(available=2_200.0, direction={"exits": exits}))
    assert [one.exit for one in found.needed] == ["B", "C"]


@pytest.mark.parametrize(
    ("choice", "message"),
    [
        (
            {"maximum_deceleration": 0.5},
            "No plan within the limits of [choice] in the case file; without them: Setting ",
        ),
        ({"maximum_brake_temperature": 289.0, "reverse": ("none",)}, "No plan within the limits of [choice]"),
        ({"minimum_margin": 2_900.0}, "No plan within the limits of [choice]"),
    ],
)
def test_decide__limits_that_nothing_keeps(choice: dict[str, Any], message: str) -> None:
    found = decided(with_choice(standard_case(direction={"exits": (RAPID,)}), **choice))
    assert found.chosen is None
    assert not found.plan.fits
    assert found.plan.reasons[0].startswith(message)


def test_decide__a_limit_of_the_aircraft_file_that_is_exceeded_leaves_no_plan() -> None:
    """40 kt across."""
    weather = {"wind_direction": math.pi / 2.0, "wind_speed": 20.6}
    found = decided(standard_case(direction={"exits": (RAPID,)}, weather=weather))
    assert found.chosen is None
    assert found.plan.reasons[0].startswith("No plan: crosswind 40 kt")


def test_decide__code_0_has_no_options_and_no_decision() -> None:
    found = decided(standard_case(thirds=(WET, WET, NIL), direction={"exits": (RAPID,)}))
    assert (found.chosen, found.approaches, found.needed) == (None, (), ())


def test_decide__limits_are_kept_by_every_candidate() -> None:
    case = standard_case(direction={"exits": (RAPID, LATER)})
    choice = {"reverse": ("none", "idle"), "maximum_deceleration": 2.7, "minimum_margin": 700.0}
    found = decided(with_choice(case, **choice))
    assert found.candidates
    assert found.chosen is not None
    for one in found.candidates:
        assert found.plan.options[one.option].reverse != "full"
        assert one.peak_deceleration <= 2.7
        assert one.margin >= 700.0


def test_decide__the_order_of_aims_changes_the_choice() -> None:
    """Quickest off the runway against least brake energy: the first takes the first exit, the second the later one."""
    case = standard_case(direction={"exits": (RAPID, LATER)})
    quick = decided(with_choice(case, aims=("runway time",)))
    cool = decided(with_choice(case, aims=("brake energy",)))
    assert quick.chosen is not None
    assert cool.chosen is not None
    fast, slow = quick.candidates[quick.chosen], cool.candidates[cool.chosen]
    assert fast.runway_time == min(one.runway_time for one in quick.candidates)
    assert slow.brake_energy_per_wheel == min(one.brake_energy_per_wheel for one in cool.candidates)
    assert fast.runway_time < slow.runway_time
    assert slow.brake_energy_per_wheel < fast.brake_energy_per_wheel


def test_decide__taxi_distance_counts_where_the_file_gives_it() -> None:
    near, far = (
        an_exit("R", 1_500.0, 22.0, 30.0, taxi_distance=2_500.0),
        an_exit("L", 2_000.0, 8.0, taxi_distance=600.0),
    )
    case = standard_case(direction={"exits": (near, far)})
    found = decided(with_choice(case, aims=("taxi distance", "brake energy")))
    assert found.chosen_approach is not None
    assert found.chosen_approach.exit == "L"


def test_candidates__energy_and_temperature_are_those_until_the_exit() -> None:
    """Plain aeroplane, 67.2 to 20 m/s: 30000 (67.2^2 - 400) J over the brakes; the margin is that of the stop.

    1734.6 m at 1.8 m/s2 with 15 %: 1994.79 m of 3000 m.
    """
    found = decided(plain_case(an_exit("R", 1_700.0, 20.0)))
    brakes = found.plan.case.aircraft.brakes.count
    steady = next(one for one in found.candidates if found.plan.options[one.option].brake == "steady")
    assert steady.brake_energy_per_wheel == pytest.approx(0.5 * 60_000.0 * (67.2**2 - 400.0) / brakes, rel=1e-3)
    assert steady.margin == pytest.approx(3_000.0 - 1_994.79, abs=0.01)
    assert steady.runway_time == pytest.approx(41.548, abs=0.02)
    stop = option(found.plan, "steady")
    assert stop.peak_brake_temperature is not None
    assert 288.15 < steady.brake_temperature < stop.peak_brake_temperature + 1.0


def test_against_high_setting__the_same_speed_by_brakes_alone_is_the_same_energy() -> None:
    """Energy conservation: where nothing but the brakes slows it, every setting puts the same energy into them."""
    found = decided(plain_case(an_exit("R", 1_700.0, 20.0)))
    assert found.high_setting is not None
    assert found.high_setting.setting == "strong"
    assert found.high_setting.brake_energy_change == pytest.approx(0.0, abs=1e-3)


def test_against_high_setting__is_the_highest_setting_with_the_same_reverse() -> None:
    """The roll with setting strong and full reverse down to the allowed speed, simulated here."""
    case = standard_case(direction={"exits": (RAPID,)})
    found = decided(with_choice(case, reverse=("full",)))
    assert found.chosen_approach is not None
    assert found.high_setting is not None
    roll = landing_roll(case.aircraft, found.plan.conditions, "strong", "full")
    high = (
        simulate(replace(roll, end_speed=found.chosen_approach.allowed_speed)).brake_work / case.aircraft.brakes.count
    )
    change = found.chosen_approach.brake_energy_per_wheel / high - 1.0
    assert found.high_setting.brake_energy_change == pytest.approx(change, rel=1e-6)
    assert change < -0.05


@pytest.mark.parametrize("name", NAMES)
def test_examples__against_the_highest_setting_less_energy(name: str) -> None:
    """Drag and reverse have longer to work: never more energy than by the highest setting with the same reverse."""
    found = decided(example(name))
    automatic = example(name).aircraft.automatic_brakes
    if automatic is None or found.chosen is None:
        assert found.high_setting is None
        return
    assert found.high_setting is not None
    assert -1.0 <= found.high_setting.brake_energy_change <= 0.0
    assert found.high_setting.brake_wear_change is None or -1.0 <= found.high_setting.brake_wear_change <= 0.0


def test_against_high_setting__nothing_to_compare() -> None:
    """No automatic brakes; or a setting already slow enough before the brakes act."""
    manual = decided(standard_case(direction={"exits": (RAPID,)}, failures={"automatic_brakes_inoperative": True}))
    assert manual.high_setting is None
    free = plain_case(an_exit("Q", 1_900.0, 59.0), landing={"approach_speed": 60.0})
    assert decided(free).high_setting is None


def test_reasons__held_and_no_braking_in_words() -> None:
    """The words a captain reads first, one case of each means."""
    held = decided(with_choice(plain_case(an_exit("R", 1_700.0, 20.0)), exit="R", aims=("runway time",)))
    assert held.plan.reasons[0].startswith("Setting ") or held.plan.reasons[0].startswith("Manual braking")
    assert "20 m" not in held.plan.reasons[0]
    free = decided(plain_case(an_exit("Q", 1_900.0, 59.0), landing={"approach_speed": 60.0}))
    assert (
        "release the brakes as soon as they act, no wheel braking is needed; 112 kt there, 115 kt allowed."
        in free.plan.reasons[0]
    )


def test_reasons__count_of_choices_and_aims() -> None:
    found = decided(with_choice(standard_case(direction={"exits": (RAPID,)}), aims=("runway time", "brake energy")))
    last = next(one for one in found.plan.reasons if one.startswith("Picked by"))
    only = decided(with_choice(plain_case(an_exit("Q", 1_900.0, 59.0), landing={"approach_speed": 60.0}), exit="Q"))
    assert len(only.candidates) == 1
    assert any(one.startswith("The only choice that can be made: 0.0 MJ a wheel") for one in only.plan.reasons)
    assert last.startswith(
        f"Picked by runway time, then brake energy, from {len(found.candidates)} choices that can be made, "
    )
    assert f"{len(found.efficient)} of them beaten by no other: " in last
    assert last.endswith(" s on the runway.")


def test_decide__beyond_the_physics_is_refused_in_words() -> None:
    """A curve wider than the range of turn speeds."""
    plan = plan_landing(standard_case(direction={"exits": (RAPID,)}))
    broken = replace(plan, case=standard_case(direction={"exits": (an_exit("R", 1_500.0, radius=3_000.0),)}))
    with pytest.raises(ScenarioError, match=r"radius 3000 m is outside 5 to 2000 m.*No plan is computed"):
        decide(broken)


def test_wear__only_where_the_aircraft_file_says_how_brakes_wear() -> None:
    plane = changed(aircraft("demo-narrowbody"), brake_wear=None)
    found = decided(standard_case(plane=plane, direction={"exits": (RAPID,)}))
    assert {one.brake_wear for one in found.candidates} == {0.0}
    assert found.high_setting is not None
    assert found.high_setting.brake_wear_change is None
    with_wear = decided(standard_case(direction={"exits": (RAPID,)}))
    assert all(one.brake_wear > 0.0 for one in with_wear.candidates)


@pytest.mark.parametrize("third", [DRY, WET], ids=lambda one: one.descriptor)
def test_decide__a_held_approach_needs_no_hand_over(third: Any) -> None:
    """Manual braking arriving just at the allowed speed: nothing is released."""
    exits = (an_exit("R", 1_150.0, 22.0, 30.0),)
    plan = plan_landing(standard_case(thirds=(third, third, third), direction={"exits": exits}))
    arrival = approach(plan, MANUAL, "R").held_arrival_speed
    assert arrival is not None
    exits = (an_exit("R", 1_150.0, arrival + 0.1, 30.0),)
    exact = standard_case(thirds=(third, third, third), direction={"exits": exits})
    one = approach(plan_landing(exact), MANUAL, "R")
    assert (one.means, one.usable, one.release_distance) == ("held", True, None)
