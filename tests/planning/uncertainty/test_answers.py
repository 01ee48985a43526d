"""The answers about a whole case: repeatable, bounded, honest when stopped, and in line with the plan."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from groundroll.errors import ScenarioError
from groundroll.planning.decision import Decision, decide
from groundroll.planning.landing import plan_landing
from groundroll.planning.uncertainty import rows
from groundroll.planning.uncertainty.answers import Uncertainty, uncertainty_of
from groundroll.scenario.model import Uncertainty as Spread
from groundroll.scenario.uncertainty import DECLARED
from tests.planning.cases import NIL, WET, example, standard_case


@cache
def decision(name: str) -> Decision:
    return decide(plan_landing(example(name)))


def ask(found: Decision, **changes: Any) -> Uncertainty:
    arguments: dict[str, Any] = {"samples": 256, "seed": 7, "workers": 1, "rare_events": False, "sensitivity": False}
    answer = uncertainty_of(found, **(arguments | changes))
    assert answer is not None
    return answer


@pytest.fixture(scope="module")
def dry() -> Uncertainty:
    return ask(decision("dry-short"), rare_events=True, sensitivity=True)


def without_time(answer: Uncertainty) -> Any:
    """Return everything but the time that the rare events took."""
    if answer.overrun is None:
        return answer
    arrays = [
        (one.probability, one.coefficient_of_variation, one.evaluations, one.points.tobytes())
        for one in (answer.overrun.importance, answer.overrun.subset)
    ]
    rest = (answer.overrun.causes, answer.overrun.speeds, answer.overrun.stops, answer.overrun.within)
    return replace(answer, overrun=None), arrays, rest


@pytest.mark.parametrize("changes", [{"workers": 2}, {"rows_at_once": 64}, {"workers": 3, "rows_at_once": 100_000}])
def test_same_seed__same_digits_whatever_the_threads_and_chunks(dry: Uncertainty, changes: dict[str, int]) -> None:
    again = ask(decision("dry-short"), rare_events=True, sensitivity=True, **changes)
    assert without_time(again) == without_time(dry)


def test_other_seed__other_digits(dry: Uncertainty) -> None:
    assert ask(decision("dry-short"), seed=8).chosen.stop_distance != dry.chosen.stop_distance


def test_answers__are_probabilities_with_intervals_around_them(dry: Uncertainty) -> None:
    assert dry.samples >= dry.asked
    for one in dry.options:
        chances = [one.overrun, one.beyond_factored, *(exit_.below_allowed for exit_ in one.exits)]
        chances += [limit.exceeded for limit in one.limits]
        for chance in chances:
            assert 0.0 <= chance.low <= chance.value <= chance.high <= 1.0
        stops = [estimate.value for estimate in one.stop_distance.values()]
        assert stops == sorted(stops)
        assert one.overrun.value <= one.beyond_factored.value
        margins = [estimate.value for estimate in one.margin.values()]
        assert margins == sorted(margins)


def test_answers__no_spread_gives_the_plan() -> None:
    """All inputs at their planned values, no wind: each option stops where the plan says."""
    case = standard_case(thirds=(WET, WET, WET))
    names = [name for name in DECLARED if name != "wind_direction"]
    nothing: dict[str, Any] = dict.fromkeys(names, "none")
    spread = Spread.model_validate(nothing | {"friction": {"5": "none"}, "friction_ageing": 1.0})
    found = decide(plan_landing(replace(case, uncertainty=spread)))
    answer = ask(found, samples=64)
    assert [one.name for one in answer.inputs] == ["wind_direction"]  # of no wind
    for odds, option in zip(answer.options, found.plan.options, strict=True):
        assert option.stop_distance is not None
        assert odds.stop_distance[0.5].value == pytest.approx(option.stop_distance, abs=0.3)


def test_answers__a_shorter_runway_is_never_safer() -> None:
    chances = []
    for length in (1_600.0, 1_800.0, 2_200.0):
        answer = ask(decide(plan_landing(standard_case(length=length))))
        chances.append([one.overrun.value for one in answer.options])
    assert np.all(np.diff(np.array(chances), axis=0) <= 0.0)


def test_more_than_planned__counts_the_planned_exit() -> None:
    answer = ask(decision("wet-gusty-arrival"))
    at_exit = next(one for one in answer.chosen.exits if one.name == answer.planned_exit)
    assert answer.more_than_planned.value >= 1.0 - at_exit.below_allowed.value - 1e-12
    assert answer.everything_not_enough.value <= answer.more_than_planned.value


def test_rare__both_methods_agree_within_ten_per_cent_and_say_what_they_rest_on(dry: Uncertainty) -> None:
    found = dry.overrun
    assert found is not None
    assert found.agreed is True
    for one in (found.importance, found.subset):
        assert one.resolved
        assert one.coefficient_of_variation < 0.10
    # Plain sampling must not contradict: its interval for the same option holds both.
    assert dry.chosen.overrun.low <= found.best.probability <= dry.chosen.overrun.high
    assert found.best.probability < 1e-3
    assert "rests on the tails" in found.warning
    assert "as this project assumes" in found.warning
    assert 0.0 < found.speeds[0.05] <= found.speeds[0.5] <= found.speeds[0.95]
    assert 0.0 < found.stops[0.05] <= found.stops[0.95]
    assert list(found.within.values()) == sorted(found.within.values())


def test_sensitivity__ranks_and_adds_up(dry: Uncertainty) -> None:
    total = [one.total.value for one in dry.margin_indices]
    assert total == sorted(total, reverse=True)
    assert sum(one.first_order.value for one in dry.margin_indices) == pytest.approx(1.0, abs=0.15)


def test_rare__same_rolls_give_both_methods_the_same_consequences(dry: Uncertainty) -> None:
    """Where overruns stop, by the weighted samples of one method and by the chains of the other."""
    found = dry.overrun
    assert found is not None
    middle = []
    for one in (found.importance, found.subset):
        order = np.argsort(one.values)
        middle.append(-one.values[order][np.searchsorted(np.cumsum(one.weights[order]), 0.5)])
    assert middle[0] == pytest.approx(middle[1], rel=0.3)


def test_interrupt__gives_the_landings_done_until_then_with_their_interval() -> None:
    whole = ask(decision("dry-short"), samples=1_024)
    calls = 0

    def stop(text: str, done: int, total: int) -> None:
        nonlocal calls
        calls += 1
        assert (text, total) == ("Landings", whole.samples * len(whole.options))
        if calls == 2 * len(whole.options) + 3:  # in the middle of the third block
            raise KeyboardInterrupt

    part = ask(decision("dry-short"), samples=1_024, rows_at_once=256, rare_events=True, progress=stop)
    assert not part.complete
    assert part.samples == 2 * 256
    assert part.overrun is None
    middle, same = part.chosen.stop_distance[0.5], whole.chosen.stop_distance[0.5]
    assert middle.low <= same.value <= middle.high
    assert middle.high - middle.low > same.high - same.low


def test_interrupt__before_anything_is_done_is_passed_on() -> None:
    def stop(text: str, done: int, total: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        ask(decision("dry-short"), progress=stop)


def test_interrupt__in_the_rare_events_keeps_what_was_answered() -> None:
    def stop(text: str, done: int, total: int) -> None:
        if text.startswith("Overrun"):
            raise KeyboardInterrupt

    part = ask(decision("dry-short"), rare_events=True, progress=stop)
    assert not part.complete
    assert part.overrun is not None
    assert not part.overrun.importance.complete
    assert part.overrun.subset.evaluations == 0
    assert part.chosen.stop_distance == ask(decision("dry-short")).chosen.stop_distance


def test_memory__rows_at_once_bound_what_is_rolled_together(monkeypatch: pytest.MonkeyPatch) -> None:
    sizes: list[int] = []
    run_cases_past = rows.run_cases_past

    def watched(cases: Any, stations: Any, **options: Any) -> Any:
        sizes.append(len(cases))
        return run_cases_past(cases, stations, **options)

    monkeypatch.setattr(rows, "run_cases_past", watched)
    ask(decision("nothing-fits"), samples=1_024, rows_at_once=128)
    assert max(sizes) <= 128


def test_nothing_fits__is_asked_about_the_best_choice() -> None:
    found = decision("nothing-fits")
    answer = ask(found)
    assert found.plan.recommended is None
    margins = [one.margin or -np.inf for one in found.plan.options]
    assert answer.focus == int(np.argmax(margins))


def test_code_0__nothing_is_known() -> None:
    found = decide(plan_landing(standard_case(thirds=(WET, NIL, WET))))
    assert uncertainty_of(found, samples=100, seed=1) is None


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"samples": 10}, "--samples 10 is outside 64 to 100000000"),
        ({"seed": -1}, "--seed -1 is outside 0 to"),
    ],
)
def test_arguments__out_of_range_are_refused(changes: dict[str, int], message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        ask(decision("dry-short"), **changes)


def test_distribution__that_leaves_the_physics_is_refused_with_advice() -> None:
    case = replace(standard_case(), uncertainty=Spread.model_validate({"touchdown_speed": "uniform 60 m/s to 100 m/s"}))
    case = replace(case, failures=case.failures.model_copy(update={"additional_tailwind": 12.0}))
    with pytest.raises(ScenarioError, match=r"touchdown ground speed of a sample 1\d\d.* between A and B"):
        ask(decide(plan_landing(case)))
