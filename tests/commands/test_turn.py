"""`groundroll turn`: table, JSON, chart and exit codes."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from groundroll.commands import run
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.outputs.turn_table import minutes

DAY = str(Path(__file__).parents[2] / "examples" / "day" / "day.toml")
MENDED = ["--set", "sectors.2.ground.time=45 min"]

Captured = pytest.CaptureFixture[str]


def _result(arguments: list[str], capsys: Captured) -> tuple[int, str, str]:
    code = run(arguments)
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_turn__text_answers_first(capsys: Captured) -> None:
    code, out, err = _result(["turn", DAY], capsys)
    assert code == 1
    assert err == ""
    lines = out.splitlines()
    assert lines[0] == "Four short sectors on a hot day"
    assert lines[3].startswith("Breaks a limit first: coast to plain again: indicated brake temperature at take-off")
    assert re.match(r"Mended by waiting \d+ min longer before it\.", lines[4])
    assert "brake fans on as soon as parked" in out
    assert INVENTED in out
    assert " ".join(CAUTION.split()) in " ".join(out.split())


def test_turn__mended_day_is_done(capsys: Captured) -> None:
    code, out, _ = _result(["turn", DAY, *MENDED], capsys)
    assert code == 0
    assert "Every departure and every landing keeps the limits of the brakes." in out


def test_turn__json_is_complete_and_alone_on_stdout(capsys: Captured) -> None:
    code, out, err = _result(["turn", DAY, "--json"], capsys)
    assert (code, err) == (1, "")
    answer = json.loads(out)
    assert (answer["format"], answer["kind"], answer["fits"]) == (1, "turn", False)
    assert answer["breaches"][0]["kind"] == "take_off_temperature"
    assert answer["breaches"][0]["value_c"] > answer["breaches"][0]["limit_c"] == pytest.approx(160.0)
    assert answer["mend"]["delay_s"] > 0.0
    assert CAUTION in answer["cautions"]
    assert INVENTED in answer["cautions"]
    keys = [entry["key"] for entry in answer["sources"]]
    assert len(keys) == len(set(keys))
    assert {"brake-heat-balance", "butland-maddison-1973", "brake-wear-shape", "aircraft"} <= set(keys)
    for brake in answer["brakes"]:
        assert len(brake["time_s"]) == len(brake["heat_sink_c"]) == len(brake["wheel_c"]) == len(brake["indicated_c"])
    landing = answer["sectors"][0]["landing"]
    assert landing["wheel"]["time_after_stop_s"] > landing["indicated"]["time_after_stop_s"]
    assert landing["cost"]["currency"] == "credits"
    assert len(landing["options"]) == 15
    assert answer["inputs"]["sectors"][0]["taxi_out"]["applications"] == 5


def test_turn__output_file(tmp_path: Path, capsys: Captured) -> None:
    target = tmp_path / "day.json"
    code, out, _ = _result(["turn", DAY, *MENDED, "--json", "-o", str(target)], capsys)
    assert (code, out) == (0, "")
    assert json.loads(target.read_text(encoding="utf-8"))["fits"] is True


@pytest.mark.parametrize(("name", "begins"), [("day.svg", b"<?xml"), ("day.png", b"\x89PNG")])
def test_turn__chart(tmp_path: Path, capsys: Captured, name: str, begins: bytes) -> None:
    target = tmp_path / name
    code, _, err = _result(["turn", DAY, *MENDED, "--chart", str(target)], capsys)
    assert (code, err) == (0, "")
    assert target.read_bytes().startswith(begins)


def test_turn__chart_says_what_it_shows_and_is_the_same_each_time(tmp_path: Path, capsys: Captured) -> None:
    one, two = tmp_path / "one.svg", tmp_path / "two.svg"
    for target in (one, two):
        assert (
            _result(["turn", DAY, *MENDED, "--set", "display.temperature=degF", "--chart", str(target)], capsys)[0] == 0
        )
    text = one.read_text(encoding="utf-8")
    for word in ("heat sink", "indicated", "wheel", "take-off limit", "fuse plugs open", "invented", "°F"):
        assert word in text
    assert text == two.read_text(encoding="utf-8")


def test_turn__chart_of_another_kind_is_refused_before_any_work(tmp_path: Path, capsys: Captured) -> None:
    code, out, err = _result(["turn", DAY, "--chart", str(tmp_path / "day.pdf")], capsys)
    assert (code, out) == (2, "")
    assert "a chart is written as .svg or .png" in err


def test_turn__chart_that_cannot_be_written(tmp_path: Path, capsys: Captured) -> None:
    code, _, err = _result(["turn", DAY, "--chart", str(tmp_path / "none" / "day.svg")], capsys)
    assert code == 2
    assert "cannot be written" in err


def test_turn__bad_input_is_one_message(capsys: Captured) -> None:
    code, out, err = _result(["turn", DAY, "--set", "sectors.1.ground.time=fast"], capsys)
    assert (code, out) == (2, "")
    assert "sectors entry 1, ground.time" in err
    assert "Traceback" not in err


def test_check__knows_a_day(capsys: Captured) -> None:
    code, out, _ = _result(["check", DAY], capsys)
    assert code == 0
    assert "(day: Four short sectors on a hot day)" in out


def test_turn__high_energy_brings_the_cautions(capsys: Captured) -> None:
    arguments = ["turn", DAY, "--set", "aircraft.brakes.energy_limit=30 MJ", "--set", "released_brakes=[1]"]
    code, out, _ = _result(arguments, capsys)
    assert code == 1
    flat = " ".join(out.split())
    assert "holds for 3 min" in flat
    assert "for 5 min after it is set (14 CFR 25.735(g))" in flat
    assert "from ahead or from behind" in flat
    assert "brakes released: 1" in flat


def test_minutes__are_rounded_up() -> None:
    assert [minutes(one) for one in (None, 0.0, 1.0, 60.0, 61.0)] == ["-", "0 min", "1 min", "1 min", "2 min"]
