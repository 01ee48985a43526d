"""`groundroll fit --recordings`: the file it writes, what later plans say of it, and refusals."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from groundroll.commands import run
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.scenario.read import read_aircraft
from tests.review.operators import landing_of, operator

ROOT = Path(__file__).parents[2]
START = ROOT / "examples" / "aircraft" / "demo-narrowbody.toml"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder like the examples with recordings of one invented operator and the file fitted to them."""
    place = tmp_path_factory.mktemp("operator")
    for name in ("aircraft", "runways", "wet-gusty-arrival"):
        shutil.copytree(ROOT / "examples" / name, place / name)
    recordings = place / "recordings"
    recordings.mkdir()
    one = operator(4)
    for number in range(20):
        landing_of(one, 4, number)[0].frame.write_parquet(recordings / f"invented-{number:02d}.parquet")
    (recordings / "surveyed.csv").write_text(
        "t_s,ground_speed_kt\n" + "\n".join(f"{one},{one}" for one in range(20)), encoding="utf-8"
    )
    (recordings / "fleet.toml").write_text(
        'format = 1\ncase = "../wet-gusty-arrival/case.toml"\nthreshold = "0.5, -30.5"\n', encoding="utf-8"
    )
    new = place / "new.toml"
    assert run(["fit", "--recordings", str(recordings), "--start", str(START), "-o", str(new)]) == 0
    return place


def test_fit_recordings__writes_what_was_found_and_for_what_it_holds(folder: Path) -> None:
    start, new = read_aircraft(START), read_aircraft(folder / "new.toml")
    seen = new.fit_recordings
    assert seen is not None
    assert seen.folder == "recordings"
    assert len(seen.digest) == 64
    assert "flaps.full.drag_coefficient_deployed" in seen.fitted
    assert new.flaps["full"].drag_coefficient_deployed != start.flaps["full"].drag_coefficient_deployed
    assert "automatic_brakes.settings.strong" in seen.left
    assert new.automatic_brakes is not None
    assert new.automatic_brakes.settings["strong"] == 3.6
    assert "95 % interval" in new.sources["flaps.full.drag_coefficient_deployed"]
    assert 41_000.0 < seen.masses[0] < seen.masses[1] < 70_000.0
    assert seen.codes == [5, 3]


def test_fit_recordings__text_and_json_say_the_same(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    order = ["fit", "--recordings", str(folder / "recordings"), "--start", str(START)]
    assert run(order) == 0
    text = capsys.readouterr().out
    assert run([*order, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert text.startswith(f"Fitted to {answer['landings']} landings of recordings: ")
    for one in answer["parameters"]:
        assert one["key"] in text
        assert one["low"] <= one["value"] <= one["high"]
    assert "surveyed.csv" in {one["file"] for one in answer["not_counted"]}
    assert {one["status"] for one in answer["sources"]} == {"from memory", "assumption of this project"}
    for words in ("surveyed.csv: ", "landings, ", "Holds for", "left at ", CAUTION, INVENTED):
        assert words in text, words


def test_land__says_where_the_recordings_end(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shutil.copy(folder / "new.toml", folder / "aircraft" / "demo-narrowbody.toml")
    plan = str(folder / "wet-gusty-arrival" / "case.toml")
    assert run(["land", plan, "--set", "landing.mass=60 t"]) in (0, 1)
    inside = " ".join(capsys.readouterr().out.split())
    assert "recorded landings of recordings" in inside
    assert "OUTSIDE the recordings it was fitted to: mass" not in inside
    assert run(["land", plan, "--set", "landing.mass=45 t"]) in (0, 1)
    assert "OUTSIDE the recordings it was fitted to: mass 45.0 t" in " ".join(capsys.readouterr().out.split())


def test_land__refuses_outside_where_asked(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (folder / "new.toml").read_text(encoding="utf-8")
    place = folder / "aircraft" / "demo-narrowbody.toml"
    place.write_text(text.replace('outside = "warn"', 'outside = "refuse"'), encoding="utf-8")
    plan = str(folder / "wet-gusty-arrival" / "case.toml")
    assert run(["land", plan, "--set", "landing.mass=45 t"]) == 2
    assert "outside the recordings that demo-narrowbody was fitted to: mass" in capsys.readouterr().err


def test_fit_recordings__refused_with_too_few_and_writes_nothing(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    few = folder / "few"
    few.mkdir()
    for number in range(3):
        shutil.copy(folder / "recordings" / f"invented-{number:02d}.parquet", few)
    shutil.copy(folder / "recordings" / "invented-01.parquet", few / "again.parquet")
    shutil.copy(folder / "recordings" / "fleet.toml", few)
    new = tmp_path / "new.toml"
    assert run(["fit", "--recordings", str(few), "--start", str(START), "-o", str(new)]) == 1
    said = capsys.readouterr().out
    assert said.startswith("Refused: no file may be written")
    assert "at least 10 are needed" in said
    assert "the same recording as" in said
    assert not new.exists()


@pytest.mark.parametrize("words", [[], ["table.csv", "--recordings", "somewhere"]])
def test_fit__wants_one_of_table_and_recordings(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["fit", *words, "--start", str(START)]) == 2
    assert capsys.readouterr().err.startswith("Give one of the two: TABLE")


def test_fit_recordings__a_section_fit_of_the_start_is_left_out(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its 95 % belonged to other numbers."""
    fitted = tmp_path / "fitted.toml"
    section = """
[fit]
table = "table.csv"
digest = "0"
start = "demo-narrowbody"
rows = 4
within = "10 m"
fitted = []
left = []
masses = ["50 t", "60 t"]
pressure_altitudes = ["0 m", "0 m"]
temperatures = ["15 degC", "15 degC"]
headwinds = ["0 m/s", "0 m/s"]
codes = [6]
flaps = ["full"]
"""
    fitted.write_text(START.read_text(encoding="utf-8") + section, encoding="utf-8")
    new = tmp_path / "new.toml"
    assert run(["fit", "--recordings", str(folder / "recordings"), "--start", str(fitted), "-o", str(new)]) == 0
    assert "The section [fit] of demo-narrowbody is left out" in capsys.readouterr().out
    assert read_aircraft(new).fit is None
    assert read_aircraft(new).fit_recordings is not None
