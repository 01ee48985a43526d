"""The command `fit`, its chart and page, and what a fitted file does to later plans."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from groundroll.commands import run
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.outputs.fit_chart import write_fit_chart
from groundroll.outputs.fit_form import fit_json, fit_text
from groundroll.outputs.fit_report import fit_report_pdf
from groundroll.planning.fit.solve import Fit, fit_table
from groundroll.planning.fit.table import read_table
from groundroll.scenario.read import read_aircraft
from tests.planning.cases import aircraft

ROOT = Path(__file__).parents[2]
TABLE = ROOT / "examples" / "fit" / "table.csv"
START = ROOT / "examples" / "aircraft" / "demo-narrowbody.toml"


def part_of_the_table(folder: Path, step: int = 3) -> Path:
    """Return every third row of the example, which is quick to fit."""
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    path = folder / "part.csv"
    path.write_text("\n".join(lines[:2] + lines[2::step]), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def fitted(tmp_path_factory: pytest.TempPathFactory) -> Fit:
    table = read_table(part_of_the_table(tmp_path_factory.mktemp("fit")), aircraft("demo-narrowbody"))
    return fit_table(table, aircraft("demo-narrowbody"), starts=1)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder laid out like the examples, with a fitted aircraft file in place of the start."""
    place = tmp_path_factory.mktemp("fitted")
    for name in ("aircraft", "runways", "rapid-exit"):
        shutil.copytree(ROOT / "examples" / name, place / name)
    table = part_of_the_table(place)
    new = place / "aircraft" / "demo-narrowbody.toml"
    assert run(["fit", str(table), "--start", str(START), "-o", str(new)]) == 0
    return place


# -------------------------------------------------------------------------------------------- text, JSON, pictures


def test_fit_text__says_worst_row_intervals_bias_and_what_the_table_says_alone(fitted: Fit) -> None:
    text = fit_text(fitted)
    assert text.startswith("Fitted to 32 rows of part.csv: 95 % of further rows within ")
    for words in (
        "Worst row: ",
        "Limits: 5.0 % for a row",
        "NOT determined by this table",
        "limited on both sides",
        "Singular values",
        "code 5: ",
        "mass, lowest third: ",
        "tailwind: ",
        "Holds for",
        CAUTION,
        INVENTED,
    ):
        assert words in text, words


def test_fit_text__worst_row_is_the_one_with_the_greatest_share(fitted: Fit) -> None:
    shares = {row.number: abs(miss) / row.middle for row, miss in zip(fitted.table.rows, fitted.misses, strict=True)}
    number = max(shares, key=lambda one: shares[one])
    assert f"Worst row: {number}, " in fit_text(fitted)


def test_fit_json__profiles_rise_to_both_ends_of_the_interval(fitted: Fit) -> None:
    """The 95 % point of chi-squared with one degree of freedom is 3.841 (any table of it)."""
    answer = fit_json(fitted)
    json.dumps(answer, allow_nan=False)
    for one in answer["parameters"]:
        points = {point["value"]: point["rise"] for point in one["profile"]["points"]}
        near = [value for value in points if one["low"] - 1e-9 <= value <= one["high"] + 1e-9]
        assert all(points[value] <= 3.841 + 0.15 for value in near), one["key"]
        assert len(points) >= 4


@pytest.mark.parametrize("name", ["fit.svg", "fit.png"])
def test_fit_chart__is_the_same_each_time_and_carries_the_caution(fitted: Fit, tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    write_fit_chart(fitted, path)
    first = path.read_bytes()
    write_fit_chart(fitted, path)
    assert path.read_bytes() == first
    if name.endswith("svg"):
        text = first.decode("utf-8")
        assert "setting steady" in text
        assert INVENTED in text


def test_fit_report__is_one_page_and_the_same_each_time(fitted: Fit) -> None:
    when = datetime(2026, 2, 17, 6, 40, tzinfo=UTC)
    page = fit_report_pdf(fitted, when)
    assert page.startswith(b"%PDF-")
    assert page.count(b"/Type /Page\n") + page.count(b"/Type/Page\n") <= 1
    assert page == fit_report_pdf(fitted, when)


def test_fit_command__writes_chart_and_report_even_when_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = part_of_the_table(tmp_path).read_text(encoding="utf-8").splitlines()
    cells = lines[4].split(",")
    cells[9] = str(2 * int(cells[9]))
    bad = tmp_path / "bad.csv"
    bad.write_text("\n".join([*lines[:4], ",".join(cells), *lines[5:]]), encoding="utf-8")
    chart, report = tmp_path / "fit.png", tmp_path / "fit.pdf"
    command = ["fit", str(bad), "--start", str(START), "--chart", str(chart), "--report", str(report)]
    assert run(command) == 1
    out = capsys.readouterr().out
    assert out.startswith("Refused: no file may be written from bad.csv.")
    assert "Row 3: computed " in out
    assert chart.read_bytes().startswith(b"\x89PNG")
    assert report.read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(("option", "name"), [("--chart", "fit.gif"), ("--report", "fit.html")])
def test_fit_command__refuses_other_kinds_of_files_before_it_computes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], option: str, name: str
) -> None:
    assert run(["fit", str(TABLE), "--start", str(START), option, str(tmp_path / name)]) == 2
    assert "end the name with one of them" in capsys.readouterr().err


# -------------------------------------------------------------------------------------------------- the fitted file


def test_fitted_file__every_plan_carries_its_source(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    written = read_aircraft(folder / "aircraft" / "demo-narrowbody.toml")
    assert written.fit is not None
    within = f"{written.fit.within:.0f} m"
    case = str(folder / "rapid-exit" / "case.toml")
    run(["land", case])
    out = " ".join(capsys.readouterr().out.split())
    assert f"Aeroplane fitted to 32 rows of part.csv: 95 % within {within}, unfactored." in out
    run(["land", case, "--json"])
    answer = json.loads(capsys.readouterr().out)
    source = next(one for one in answer["sources"] if one["key"] == "aircraft")
    assert f"Fitted to 32 rows of part.csv, 95 % within {within}" in source["paragraph"]
    assert any("95 % within" in one for one in answer["cautions"])


def test_fitted_file__brief_shows_validity(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(["brief", str(folder / "rapid-exit" / "case.toml"), "--set", "weather.temperature=32 degC"])
    out = " ".join(capsys.readouterr().out.split())
    assert "Aeroplane fitted to 32 rows of part.csv" in out
    assert "OUTSIDE the table it was fitted to" in out
    assert "temperature 32 degC (table: 15 degC to 15 degC)" in out


def test_fitted_file__names_choices_that_the_table_did_not_hold(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run(["land", str(folder / "rapid-exit" / "case.toml")])
    out = " ".join(capsys.readouterr().out.split())
    assert "brakes gentle, firm, strong; reverse idle" in out


def test_fitted_file__refuses_outside_where_the_user_chose_so(
    folder: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    place = tmp_path / "own"
    shutil.copytree(folder, place)
    file = place / "aircraft" / "demo-narrowbody.toml"
    text = file.read_text(encoding="utf-8")
    assert 'outside = "warn"' in text
    file.write_text(text.replace('outside = "warn"', 'outside = "refuse"'), encoding="utf-8")
    case = str(place / "rapid-exit" / "case.toml")
    assert run(["land", case, "--set", "weather.temperature=32 degC"]) == 2
    assert "No plan is computed beyond it" in capsys.readouterr().err


def test_fitted_file__check_against_says_whether_it_is_the_same_table(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    new = folder / "aircraft" / "demo-narrowbody.toml"
    assert run(["check", str(new), "--against", str(folder / "part.csv")]) == 0
    assert "The file was fitted to 32 rows of part.csv, this very table." in capsys.readouterr().out
    assert run(["check", str(new), "--against", str(TABLE), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["meets"] is True
    assert answer["fitted_to_this_table"] is False


def test_fitted_file__air_time_reaches_the_plan(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    written = read_aircraft(folder / "aircraft" / "demo-narrowbody.toml")
    assert written.air_time is not None
    run(["land", str(folder / "rapid-exit" / "case.toml"), "--json"])
    answer = json.loads(capsys.readouterr().out)
    assert answer["inputs"] is not None
    assert any(f"Touchdown by the {written.air_time:.1f} s of the aircraft file" in one for one in answer["cautions"])


def test_fitted_file__reject_says_that_the_table_held_no_accelerate_stop_rows(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(ROOT / "examples" / "departure-wet", folder / "departure-wet", dirs_exist_ok=True)
    run(["reject", str(folder / "departure-wet" / "case.toml")])
    assert "part.csv holds no accelerate-stop rows" in " ".join(capsys.readouterr().out.split())
