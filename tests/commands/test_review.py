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
ELSEWHERE = str(EXAMPLES / "runways" / "QSHT-16-34.toml")
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


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    """Return a surveillance recording whose name, columns and times tell which flight it was."""
    import polars as pl

    frame = pl.read_csv(TRACK, comment_prefix="#")
    known = frame["ground_speed_kt"].is_not_null() & (frame["time_s"] > 60.0)
    wild = int(known.arg_true()[0])  # type: ignore[arg-type]
    frame = frame.with_columns(
        (pl.lit("2026-03-17T21:04:05").str.to_datetime() + pl.duration(milliseconds=pl.col("time_s") * 1000.0))
        .dt.strftime("%Y-%m-%dT%H:%M:%S%.3fZ")
        .alias("timestamp_utc"),
        pl.when(pl.int_range(pl.len()) == wild).then(1e12).otherwise(pl.col("ground_speed_kt")).alias("XQZ12 GS"),
        pl.lit("XQZ12").alias("callsign"),
    ).drop("time_s", "ground_speed_kt")
    path = tmp_path / "XQZ12-20260317.csv"
    frame.write_csv(path)
    (tmp_path / "XQZ12.toml").write_text('format = 1\n[columns.ground_speed]\ncolumn = "XQZ12 GS"\nunit = "kt"\n')
    return path


@pytest.mark.parametrize(
    "given",
    [[], ["--case", CASE, "--threshold", PLACE], ["--aircraft", AIRCRAFT, "--runway", ELSEWHERE]],
    ids=["alone", "case", "elsewhere"],
)
def test_review__strip_leaves_no_identity_in_any_form(given: list[str], flight: Path, capsys: Captured) -> None:
    """Text, JSON, PDF with its metadata, and SVG; 251 deg is the direction of the track, QDEM the aerodrome."""
    import re
    import zlib

    every = ["review", str(flight), "--mapping", str(flight.with_name("XQZ12.toml")), *given, "--strip"]
    said = ""
    for form in ([], ["--json"]):
        for suffix in (".svg", ".pdf"):
            page = flight.with_name(f"page{suffix}")
            code, out, err = _result([*every, *form, "--page", str(page)], capsys)
            assert code == 0, err
            said += out + err + page.read_bytes().decode("latin-1")
    for stream in re.findall(rb"stream\r?\n(.*?)endstream", flight.with_name("page.pdf").read_bytes(), re.DOTALL):
        said += zlib.decompressobj().decompress(stream).decode("latin-1")
    assert "One landing" in said
    assert "impossible values were left out" in said
    for word in ("XQZ12", "2026-03", "20260317", "21:04", "callsign", "QDEM", "deg true", "-30.5,", "CreationDate"):
        assert word not in said, word


def test_review__strip_keeps_names_and_directions_out_of_refusals(flight: Path, capsys: Captured) -> None:
    mapped = ["--mapping", str(flight.with_name("XQZ12.toml")), "--strip"]
    other = str(EXAMPLES / "dry-short" / "case.toml")
    code, out, err = _result(["review", str(flight), "--case", other, *mapped], capsys)
    assert (code, out) == (2, "")
    assert err.startswith("the recording: the track runs at ... deg, the runway at ... deg")
    code, _, err = _result(["review", str(flight.with_name("XQZ12-none.csv")), *mapped], capsys)
    assert code == 2
    assert "XQZ12-none" not in err


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
    for label in ("INVENTED recordings", INVENTED):
        assert label in out
        assert label in text
    assert CAUTION in text.replace("&#x27;", "'")
    assert "prefers-color-scheme:dark" in text
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
