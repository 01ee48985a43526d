"""`groundroll review` and `land --against`: what they write where, names of the JSON, messages."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from groundroll.commands import run
from groundroll.outputs.caution import CAUTION, INVENTED

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
CASE = str(EXAMPLES / "wet-gusty-arrival" / "case.toml")
OTHER = str(EXAMPLES / "failures-and-dispatch" / "case.toml")
RECORDER = str(EXAMPLES / "recordings" / "recorder.csv")
TRACK = str(EXAMPLES / "recordings" / "surveillance.csv")
AIRCRAFT = str(EXAMPLES / "aircraft" / "demo-narrowbody.toml")
RUNWAY = str(EXAMPLES / "runways" / "QDEM-07-25.toml")
PLACE = "0.5,-30.5"

Captured = pytest.CaptureFixture[str]


def _result(arguments: list[str], capsys: Captured) -> tuple[int, str, str]:
    code = run(arguments)
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_review__text_gives_finding_events_and_ledger(capsys: Captured) -> None:
    code, out, _ = _result(["review", RECORDER, "--case", CASE, "--threshold", PLACE], capsys)
    assert code == 0
    for words in ("braking action POOR", "Where the runway went", "touchdown", "not explained", "lower bound"):
        assert words in out
    for sentence in (CAUTION, INVENTED, "For learning, not for blame"):
        assert sentence in out


def test_review__json_has_the_names_and_nothing_else_on_stdout(capsys: Captured) -> None:
    code, out, _ = _result(["review", RECORDER, "--case", CASE, "--threshold", PLACE, "--json"], capsys)
    content = json.loads(out)
    assert code == 0
    assert content["format"] == 1
    assert content["origin"] == "threshold"
    assert content["finding"]["word"] == "POOR"
    ledger = content["ledger"]
    shares = sum(one["share_m"] for one in ledger["until_release"]["entries"])
    assert shares + ledger["hand_over_m"] + ledger["not_explained_m"] == pytest.approx(ledger["difference_m"], abs=0.1)
    assert all({"document", "paragraph", "status"} <= set(one) for one in content["sources"])
    assert content["cautions"][:2] == [CAUTION, INVENTED]


def test_review__surveillance_without_a_plan(capsys: Captured) -> None:
    arguments = ["review", TRACK, "--aircraft", AIRCRAFT, "--runway", RUNWAY, "--mass", "62.5 t", "--codes", "5/5/3"]
    code, out, _ = _result([*arguments, "--json"], capsys)
    content = json.loads(out)
    assert code == 0
    assert content["origin"] == "touchdown"
    assert content["ledger"] is None
    assert 1.0 < content["mean_deceleration"]["value_mps2"] < 2.5
    assert any("reverse is not recorded" in one for one in content["remarks"])


def test_review__anonymous_names_no_file_title_or_place(capsys: Captured) -> None:
    code, out, _ = _result(["review", RECORDER, "--case", CASE, "--anonymous", "--json"], capsys)
    assert code == 0
    for word in ("recorder.csv", "Demonstration", "QDEM", "-30.5"):
        assert word not in out


@pytest.mark.parametrize("suffix", [".pdf", ".png", ".svg"])
def test_review__page_is_written(suffix: str, tmp_path: Path, capsys: Captured) -> None:
    page = tmp_path / f"page{suffix}"
    code, _, err = _result(["review", RECORDER, "--case", CASE, "--threshold", PLACE, "--page", str(page)], capsys)
    assert code == 0, err
    start = {".pdf": b"%PDF", ".png": b"\x89PNG", ".svg": b"<?xml"}[suffix]
    assert page.read_bytes().startswith(start)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ([TRACK, "--aircraft", AIRCRAFT], "Name the aeroplane and the runway"),
        (["none.csv", "--case", CASE], "there is no such file"),
        ([TRACK, "--case", CASE, "--page", "page.doc"], "a page is written as"),
        ([TRACK, "--case", CASE, "--threshold", "nowhere"], "is not a position"),
        ([TRACK, "--case", CASE, "--threshold", "0.6,-30.5"], "beside the runway whose threshold"),
        ([TRACK, "--aircraft", AIRCRAFT, "--runway", RUNWAY, "--mass", "62"], "--mass: 62 has no unit|has no unit"),
        ([TRACK, "--aircraft", AIRCRAFT, "--runway", RUNWAY, "--codes", "5"], "write three codes"),
        ([TRACK, "--aircraft", AIRCRAFT, "--runway", RUNWAY, "--direction", "09"], "is not a direction of the runway"),
        ([TRACK, "--aircraft", AIRCRAFT, "--runway", RUNWAY, "--flap", "x"], "is not in the aircraft file"),
    ],
)
def test_review__refuses_with_one_message(arguments: list[str], message: str, capsys: Captured) -> None:
    import re

    code, out, err = _result(["review", *arguments], capsys)
    assert code == 2
    assert out == ""
    assert re.search(message, err), err
    assert "Traceback" not in err


def test_land_against__explains_the_difference_to_a_tenth_of_a_metre(capsys: Captured) -> None:
    code, out, _ = _result(["land", CASE, "--against", OTHER, "--json"], capsys)
    content = json.loads(out)
    assert code in (0, 1)
    against = content["against"]
    assert sum(one["share_m"] for one in against["entries"]) == pytest.approx(against["difference_m"], abs=0.1)
    code, out, _ = _result(["land", CASE, "--against", OTHER], capsys)
    assert "From this case to the other" in out
    assert "together" in out


def test_fleet__invents_reviews_and_answers(tmp_path: Path, capsys: Captured) -> None:
    folder, page = tmp_path / "fleet", tmp_path / "fleet.html"
    arguments = ["fleet", str(folder), "--invent", "12", "--case", CASE, "--report", str(page), "--json"]
    code, out, err = _result(arguments, capsys)
    assert code == 0, err
    content = json.loads(out)
    assert content["reviewed"] == 12
    assert content["format"] == 1
    assert CAUTION in content["cautions"]
    text = page.read_text(encoding="utf-8")
    assert text.count("<svg") == 2
    assert "http://" not in text.replace("http://www.w3.org", "").replace("http://purl.org", "").replace(
        "http://creativecommons.org", ""
    )
    code, out, _ = _result(["fleet", str(folder)], capsys)
    assert code == 0
    assert "12 landings reviewed, 0 recordings set aside" in out
    assert "INVENTED" in (folder / "fleet.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["none"], "is not a folder"),
        ([".", "--invent", "3"], "--invent N needs --case FILE"),
        ([".", "--invent", "3", "--case", CASE], "is not empty"),
        ([".", "--report", "page.pdf"], "must end with .html"),
    ],
)
def test_fleet__refuses_with_one_message(arguments: list[str], message: str, capsys: Captured) -> None:
    code, out, err = _result(["fleet", *arguments], capsys)
    assert code == 2
    assert out == ""
    assert message in err
