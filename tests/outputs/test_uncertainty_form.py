"""How sure: text and JSON say the same, with seed, intervals, status and warnings."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest

from groundroll.outputs.uncertainty_form import chance, uncertainty_json, uncertainty_text
from groundroll.planning.decision import decide
from groundroll.planning.landing import plan_landing
from groundroll.planning.uncertainty.answers import Uncertainty, uncertainty_of
from groundroll.planning.uncertainty.samples import Estimate
from tests.planning.cases import example


@pytest.fixture(scope="module")
def found() -> Uncertainty:
    answer = uncertainty_of(decide(plan_landing(example("dry-short"))), samples=128, seed=4, workers=2)
    assert answer is not None
    return answer


@pytest.mark.parametrize(
    ("estimate", "text"),
    [
        (Estimate(0.5, 0.48, 0.52), "50.0 % (48.0 to 52.0)"),
        (Estimate(0.005, 0.004, 0.006), "0.50 % (0.40 to 0.60)"),
        (Estimate(2e-5, 1e-5, 3e-5), "2.0e-05 (1.0e-05 to 3.0e-05)"),
        (Estimate(1.0, 0.996, 1.0), "always (but for at most 0.40 %)"),
        (Estimate(0.0, 0.0, 4e-6), "not met (at most 4.0e-06)"),
        (Estimate(0.99995, 0.9999, 0.99998), "all but 5.0e-05 (2.0e-05 to 1.0e-04)"),
    ],
)
def test_chance__in_percent_or_with_an_exponent(estimate: Estimate, text: str) -> None:
    assert chance(estimate) == text


def test_json__holds_no_number_that_json_lacks_and_all_that_repeats_it(found: Uncertainty) -> None:
    answer = uncertainty_json(found)
    assert answer is not None
    json.dumps(answer, allow_nan=False)
    assert (answer["seed"], answer["samples"], answer["complete"]) == (4, found.samples, True)
    assert {one["name"] for one in answer["inputs"]} >= {"touchdown_point", "mass", "friction third 2"}
    assert all(one["status"] for one in answer["inputs"])
    rare = answer["overrun"]["importance_sampling"]
    assert rare["low"] < rare["probability"] < rare["high"]
    assert len(answer["options"]) == len(found.plan.options)


def test_json__nothing_asked_is_null() -> None:
    assert uncertainty_json(None) is None
    assert "no choice to ask about" in uncertainty_text(None)


def test_text__answers_intervals_agreement_warning_and_status(found: Uncertainty) -> None:
    text = " ".join(uncertainty_text(found).split())
    for words in (
        "seed 4",
        "in brackets the interval that holds the truth with 95 %",
        "95 of 100 within",
        "More than planned needed for",
        "importance sampling: ",
        "subset simulation: ",
        "They agree",
        "This number rests on the tails of the distributions",
        "When it happens it passes the end at",
        "What the spread of the margin comes from",
        "touchdown point: lognormal planned times 1.25 between 50 m and 2500 m [assumption of this project]",
    ):
        assert words in text, words
    assert max(len(line) for line in uncertainty_text(found).splitlines()) <= 130


def test_text__stopped_says_so_first(found: Uncertainty) -> None:
    assert uncertainty_text(replace(found, complete=False)).startswith("STOPPED before the end")


def test_text__methods_that_differ_are_not_hidden(found: Uncertainty) -> None:
    assert found.overrun is not None
    other = replace(found, overrun=replace(found.overrun, agreed=False))
    assert "They DO NOT AGREE" in uncertainty_text(other)


def test_json__infinite_percentiles_become_null(found: Uncertainty) -> None:
    endless = Estimate(math.inf, 9_000.0, math.inf)
    one = replace(found.options[0], stop_distance=dict.fromkeys(found.options[0].stop_distance, endless))
    answer = uncertainty_json(replace(found, options=(one, *found.options[1:])))
    assert answer is not None
    assert answer["options"][0]["stop_distance_m"]["p50"] == {"value": None, "low": 9_000.0, "high": None}
    uncertainty_text(replace(found, options=(one, *found.options[1:])))
