"""`groundroll land CASE --samples N --seed S`."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from groundroll.commands import BAD_INPUT, DONE, STOPPED, run
from groundroll.outputs.progress import RollProgress

CASE = str(Path(__file__).parents[2] / "examples" / "dry-short" / "case.toml")


def without_time(answer: Any) -> Any:
    """Return the JSON without the seconds that the rare events took."""
    if isinstance(answer, dict):
        return {key: without_time(one) for key, one in answer.items() if key != "time_s"}
    return [without_time(one) for one in answer] if isinstance(answer, list) else answer


def test_json__has_the_key_uncertainty_only_when_asked_and_repeats(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["land", CASE, "--json"]) == DONE
    assert "uncertainty" not in json.loads(capsys.readouterr().out)
    answers = []
    for _ in range(2):
        assert run(["land", CASE, "--json", "--samples", "64", "--seed", "12"]) == DONE
        out, err = capsys.readouterr()
        answers.append(json.loads(out)["uncertainty"])
        assert "rolls/s" not in err  # no bar where stderr is no terminal
    assert answers[0]["seed"] == 12
    assert without_time(answers[0]) == without_time(answers[1])


def test_text__how_sure_comes_before_the_plan(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["land", CASE, "--samples", "64"]) == DONE
    text = capsys.readouterr().out
    assert text.startswith("How sure: 64 landings for each choice, seed 1")
    assert "Dry and short" in text
    assert "the commander prevail" in " ".join(text.split())


def test_samples__out_of_range_is_bad_input(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["land", CASE, "--samples", "3"]) == BAD_INPUT
    assert "--samples 3 is outside 64 to 100000000" in capsys.readouterr().err


def test_interrupt__prints_the_partial_answer(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    calls = 0

    def stop(self: RollProgress, text: str, done: int, total: int) -> None:
        nonlocal calls
        calls += 1
        if text == "What matters":
            raise KeyboardInterrupt

    monkeypatch.setattr(RollProgress, "__call__", stop)
    assert run(["land", CASE, "--samples", "64"]) == STOPPED
    text = " ".join(capsys.readouterr().out.split())
    assert text.startswith("STOPPED before the end")
    assert "95 of 100 within" in text


def test_progress__shows_rate_and_time_left_on_a_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("TTY_COMPATIBLE", "1")
    with RollProgress() as progress:
        for _ in range(3):
            progress("Landings", 1_000, 4_000)
        bar = progress._bar
        assert not bar.disable
        assert [task.description for task in bar.tasks] == ["Landings"]
        assert bar.tasks[0].completed == 3_000
        bar.refresh()
    assert "Landings" in capsys.readouterr().err
