"""Charts: what they show is named on them, they are the same each time, and no answer is told by colour alone."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from groundroll.commands import run
from groundroll.errors import GroundrollError
from groundroll.outputs.caution import INVENTED
from groundroll.outputs.charts import landing, style
from groundroll.planning.decision import Decision, decide
from groundroll.planning.landing import plan_landing
from groundroll.planning.landing_history import cooling_history, roll_history
from tests.planning.cases import example

WET = "wet-gusty-arrival"
CASE = str(Path(__file__).parents[2] / "examples" / WET / "case.toml")

Captured = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def decision() -> Decision:
    return decide(plan_landing(example(WET)))


def test_landing_chart__names_what_it_shows_and_is_the_same_each_time(decision: Decision, tmp_path: Path) -> None:
    one, two = tmp_path / "one.svg", tmp_path / "two.svg"
    for target in (one, two):
        landing.write_landing_chart(decision, target)
    text = one.read_text(encoding="utf-8")
    option = decision.chosen_option
    assert option is not None
    words = [
        option.brake,
        "held",
        "too fast at a gate",
        "wheel brakes",
        "reverse",
        "heat sink",
        "take-off limit",
        INVENTED,
    ]
    for word in words:
        assert word in text, word
    for exit_ in option.exits:
        assert f">{exit_.name}<" in text
    assert text == two.read_text(encoding="utf-8")


def test_landing_chart__where_nothing_fits_shows_the_shortest(tmp_path: Path) -> None:
    target = tmp_path / "chart.png"
    landing.write_landing_chart(decide(plan_landing(example("nothing-fits"))), target)
    assert target.read_bytes().startswith(b"\x89PNG")


def test_styles__every_line_and_surface_differs_without_colour() -> None:
    assert len(set(style.DASHES)) == len(style.DASHES)
    assert len(set(style.HATCHES)) == len(style.HATCHES) >= len(landing.FORCES)
    assert len({dashes for _, _, _, dashes in landing.NODES}) == len(landing.NODES)


@pytest.mark.parametrize("to_exit", [True, False])
def test_roll_history__ends_where_the_plan_says(decision: Decision, to_exit: bool) -> None:
    """The curve that is drawn is the roll that was planned: same stop, same arrival at the exit."""
    option, approach = decision.chosen_option, decision.chosen_approach
    assert option is not None
    assert approach is not None
    result = roll_history(decision.plan, option, approach if to_exit else None)
    assert result.history is not None
    assert result.history.distance[-1] == result.distance
    assert np.all(np.diff(result.history.distance) >= 0.0)
    if to_exit:
        assert result.distance == pytest.approx(approach.exit_distance, abs=1e-6)
        assert result.ground_speed == pytest.approx(approach.arrival_speed, abs=1e-6)
    else:
        assert result.distance == pytest.approx(option.stop_distance, abs=1e-3)


def test_cooling_history__has_the_peaks_that_the_plan_prints(decision: Decision) -> None:
    option = decision.chosen_option
    assert option is not None
    assert option.brake_outcome is not None
    history = cooling_history(decision.plan, option)
    assert history is not None
    assert history.peak("wheel").temperature == option.brake_outcome.peak_wheel_temperature
    assert history.peak("heat_sink").temperature == option.brake_outcome.peak_heat_sink_temperature


@pytest.mark.parametrize("name", ["chart.svg", "chart.png"])
def test_land__chart(name: str, tmp_path: Path, capsys: Captured) -> None:
    target = tmp_path / name
    assert run(["land", CASE, "--chart", str(target), "-o", str(tmp_path / "plan.txt")]) == 0
    assert capsys.readouterr().out == ""
    assert target.stat().st_size > 10_000


def test_land__chart_of_another_kind_is_refused_before_any_work(tmp_path: Path, capsys: Captured) -> None:
    assert run(["land", CASE, "--chart", str(tmp_path / "chart.bmp")]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert "a chart is written as .svg or .png" in captured.err


def test_chart__that_cannot_be_written_says_so(decision: Decision, tmp_path: Path) -> None:
    with pytest.raises(GroundrollError, match="cannot be written"):
        landing.write_landing_chart(decision, tmp_path / "none" / "chart.svg")
