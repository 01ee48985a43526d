"""`groundroll reject`: what it writes where, names of the JSON, exit codes and messages."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from groundroll.commands import run
from groundroll.outputs.caution import CAUTION, INVENTED

ROOT = Path(__file__).parents[2]
CASE = str(ROOT / "examples" / "departure-wet" / "case.toml")
NOTHING = str(ROOT / "examples" / "departure-nothing-works" / "case.toml")
SLUSH = str(ROOT / "examples" / "departure-contaminated" / "case.toml")
LANDING = str(ROOT / "examples" / "wet-gusty-arrival" / "case.toml")

Captured = pytest.CaptureFixture[str]


def _result(arguments: list[str], capsys: Captured) -> tuple[int, str, str]:
    code = run(["reject", *arguments])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_reject__text_says_the_window_first(capsys: Captured) -> None:
    code, out, _ = _result([CASE], capsys)
    assert code == 0
    assert "Decision speed" in out
    assert out.index("the window is") < out.index("What it costs")
    for words in ("by the rule", "as flown", "decision 2 s late", "half pedal", "over the end", "Afterwards"):
        assert words in out
    assert "58 % were begun above the decision speed" in out
    assert CAUTION.split(".")[0] in " ".join(out.split())
    assert INVENTED in " ".join(out.split())


def test_reject__json_has_the_agreed_names_and_nothing_else_on_stdout(capsys: Captured) -> None:
    code, out, _ = _result([CASE, "--json"], capsys)
    content = json.loads(out)
    assert code == 0
    assert content["format"] == 1
    assert set(content["window"]) >= {
        "go_from_mps",
        "stop_up_to_mps",
        "brake_energy_limit_mps",
        "balanced_mps",
        "empty",
    }
    assert content["window"]["empty"] is False
    assert content["accelerate_stop_distance_m"] > 1_000.0
    assert content["accelerate_go_distance_m"] > 1_000.0
    assert {"stop_distance_m", "margin_m", "runway_end_speed_mps"} <= set(content["cases"][0])
    assert content["cautions"][:2] == [CAUTION, INVENTED]
    assert all({"document", "paragraph", "status"} <= set(one) for one in content["sources"])
    assert content["inputs"]["take_off"]["mass_kg"] == 77_500.0
    assert content["inputs"]["direction"]["take_off_distance_available_m"] == 2_800.0


@pytest.mark.parametrize("path", [NOTHING, SLUSH])
def test_reject__json_of_other_examples_is_finite(path: str, capsys: Captured) -> None:
    code, out, _ = _result([path, "--json"], capsys)
    content = json.loads(out)
    assert code == (1 if path == NOTHING else 0)
    assert content["window"]["empty"] is (path == NOTHING)


def test_reject__empty_window_is_a_result_with_exit_code_one(capsys: Captured) -> None:
    code, out, err = _result([NOTHING], capsys)
    assert code == 1
    assert "NO decision speed works" in out
    assert "would open the window" in out
    assert "Traceback" not in err


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ([LANDING], "is a landing case"),
        ([CASE, "--set", "take_off.mass=90 t"], '"90 t" is above the maximum take-off mass 78 t'),
        ([CASE, "--set", "take_off.flap=lwo"], 'Was "low" meant?'),
        ([CASE, "--set", "take_off.rating=ful"], 'Was "full" meant?'),
        ([CASE, "--set", "take_off.decision_speed=160 kt"], "above the rotation speed"),
        ([CASE, "--set", "take_off.speed=160 kt"], "is not a key known here"),
        ([CASE, "--set", "take_off.assumed_temperature=-10 degC"], "below the temperature of the air"),
        ([CASE, "--set", "take_off.begins_at=2 700 m"], "leaves no runway"),
        ([CASE, "--set", "take_off.start_speed=10 kt"], 'goes with start = "rolling"'),
        ([CASE, "--set", "runway.take_off_run_available=2 800 m"], "is more than the paved length, 2650 m"),
        ([CASE, "--set", "runway.take_off_distance_available=2 000 m"], "is less than the take-off run available"),
        ([CASE, "--set", "failures.threshold_speed_excess=5 kt"], "belongs to a landing"),
        ([CASE, "--chart", "window.bmp"], "the name must end with .svg, .png, .pdf"),
    ],
)
def test_reject__bad_input_gives_one_message_and_exit_code_two(
    arguments: list[str], message: str, capsys: Captured
) -> None:
    code, out, err = _result(arguments, capsys)
    assert code == 2
    assert out == ""
    assert message in err
    assert "Traceback" not in err


def test_reject__aircraft_without_take_off_data_says_what_to_add(tmp_path: Path, capsys: Captured) -> None:
    text = (ROOT / "examples" / "aircraft" / "demo-regional.toml").read_text(encoding="utf-8")
    start, end = text.index("[take_off]"), text.index("[limits]")
    (tmp_path / "a.toml").write_text(text[:start] + text[end:], encoding="utf-8")
    case = Path(NOTHING).read_text(encoding="utf-8").replace("../aircraft/demo-regional.toml", "a.toml")
    runway = ROOT / "examples" / "runways" / "QSHT-16-34.toml"
    (tmp_path / "r.toml").write_text(runway.read_text(encoding="utf-8"), encoding="utf-8")
    (tmp_path / "case.toml").write_text(case.replace("../runways/QSHT-16-34.toml", "r.toml"), encoding="utf-8")
    code, _, err = _result([str(tmp_path / "case.toml")], capsys)
    assert code == 2
    assert "a.toml, take_off: the section is missing" in err


@pytest.mark.parametrize("suffix", ["svg", "png"])
def test_reject__chart_is_written(suffix: str, tmp_path: Path, capsys: Captured) -> None:
    target = tmp_path / f"window.{suffix}"
    code, _, _ = _result([CASE, "--chart", str(target), "-o", str(tmp_path / "out.txt")], capsys)
    assert code == 0
    assert target.stat().st_size > 5_000
    if suffix == "svg":
        assert "<svg" in target.read_text(encoding="utf-8")


def test_check__knows_a_take_off_case(capsys: Captured) -> None:
    code = run(["check", CASE])
    captured = capsys.readouterr()
    assert code == 0
    assert "in order (case: Departure from a wet runway at Demonstration Coast)" in captured.out
