"""Fitting an aircraft file: recovery of hidden numbers, refusals, tables, validity."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from groundroll.commands import run
from groundroll.errors import DataError, ScenarioError
from groundroll.planning.fit.distances import computed_distances
from groundroll.planning.fit.parameters import Parameter, parameters_of, with_values
from groundroll.planning.fit.quality import contradictions
from groundroll.planning.fit.solve import Fit, fit_table
from groundroll.planning.fit.table import PublishedRow, Table, read_table
from groundroll.planning.landing import plan_landing
from groundroll.scenario.model import Fitted
from groundroll.scenario.read import read_aircraft
from tests.planning.cases import aircraft, changed, standard_case
from tests.planning.fit.tables import empty_rows, hidden, published

ROOT = Path(__file__).parents[3]
TABLE = ROOT / "examples" / "fit" / "table.csv"
START = ROOT / "examples" / "aircraft" / "demo-narrowbody.toml"
HEADING = "mass [t],flap,code,distance [m]\n"


def _read(tmp_path: Path, text: str) -> Table:
    path = tmp_path / "table.csv"
    path.write_text(text, encoding="utf-8")
    return read_table(path, aircraft("demo-narrowbody"))


@pytest.fixture(scope="module")
def one() -> tuple[tuple[Parameter, ...], np.ndarray, Fit]:
    parameters, values, table = hidden(aircraft("demo-narrowbody"), 1)
    return parameters, values, fit_table(table, aircraft("demo-narrowbody"), starts=1, folds=0)


# ------------------------------------------------------------------------------------------------------- the table


def test_read_table__units_bands_and_factors(tmp_path: Path) -> None:
    """1 lb is 0.45359237 kg and 1 ft 0.3048 m by definition; 1670 m over 1.67 is 1000 m."""
    table = _read(
        tmp_path,
        "mass,flap,code,distance,factor,rounded_to [m],rounding\n"
        "110000 lb,full,6,5000 ft,,1,\n50 t,full,6,1670 m,1.67,0,\n50 t,full,5,1200 m,,10,up\n"
        "50 t,full,5,1200 m to 1210 m,,,\n50 t,full,5,< 1500 m,,,\n50 t,full,5,> 1500 m,,,\n",
    )
    first, second, third, fourth, fifth, sixth = table.rows
    assert first.mass == pytest.approx(49895.1607)
    assert first.middle == pytest.approx(1524.0)
    assert second.middle == pytest.approx(1000.0)
    assert (third.lower, third.upper) == (1190.0, 1200.0)
    assert (fourth.lower, fourth.upper) == (1200.0, 1210.0)
    assert (fifth.miss(1400.0), fifth.miss(1600.0)) == (0.0, 100.0)
    assert (sixth.miss(1400.0), sixth.miss(1600.0)) == (-100.0, 0.0)


def test_read_table__parquet_equals_csv(tmp_path: Path) -> None:
    arrow = pytest.importorskip("pyarrow")
    parquet = pytest.importorskip("pyarrow.parquet")
    path = tmp_path / "table.parquet"
    content = {"mass [t]": [50.0, 60.0], "flap": ["full"] * 2, "code": [6, 5], "distance [m]": [1000.0, 1500.0]}
    parquet.write_table(arrow.table(content), path)
    from_csv = _read(tmp_path, HEADING + "50.0,full,6,1000.0\n60.0,full,5,1500.0\n")
    assert read_table(path, aircraft("demo-narrowbody")).rows == from_csv.rows


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (HEADING + "50,full,7,1000\n", 'row 1: code "7" is not one of: 6, 5'),
        (HEADING + "50,fill,6,1000\n", 'flap "fill" is not one of: full, approach'),
        (HEADING + "50000,full,6,1000\n", "row 1: mass"),
        (HEADING + "50,full,6,10\n", "outside 50 to 15000 m"),
        (HEADING + "50,full,6\n", "has 3 cells, the heading has 4"),
        ("mass [t],flap,distance [m]\n50,full,1000\n", "column code is missing"),
        (HEADING.replace("flap", "flaps") + "50,full,6,1000\n", 'Was "flap" meant?'),
        ("", "holds no rows"),
    ],
)
def test_read_table__refuses_with_the_row_and_what_is_allowed(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(DataError) as refused:
        _read(tmp_path, text)
    assert message in str(refused.value)


# --------------------------------------------------------------------------------------------------------- the fit


def test_fit__recovers_most_hidden_values(one: tuple[tuple[Parameter, ...], np.ndarray, Fit]) -> None:
    """Values were drawn from what the fit is told beforehand; a single table, so twice the 95 % interval is asked.

    How often the interval itself holds the value is asked of many tables in test_coverage.py.
    """
    _, values, fit = one
    assert fit.refusals == ()
    fitted = [(item, value) for item, value in zip(fit.parameters, values, strict=True) if item.fitted]
    assert len(fitted) >= 5
    for item, value in fitted:
        assert abs(item.value - value) <= 2.0 * item.half_width, item.parameter.key


def test_fit__holds_what_the_table_does_not_determine(one: tuple[tuple[Parameter, ...], np.ndarray, Fit]) -> None:
    for item in one[2].parameters:
        if not item.fitted:
            assert item.value == item.parameter.start


def test_fit__exact_table_of_the_start_moves_nothing_far() -> None:
    start = aircraft("demo-narrowbody")
    rows = empty_rows(("manual",))
    fit = fit_table(published(rows, computed_distances(start, rows), 1.0), start, starts=1, folds=0)
    assert fit.refusals == ()
    for item in fit.parameters:
        assert abs(item.value - item.parameter.start) <= max(item.half_width, 1e-9), item.parameter.key


def test_fit__far_off_row_is_named_and_refused() -> None:
    start = aircraft("demo-narrowbody")
    rows = empty_rows(("manual",))
    distances = computed_distances(start, rows)
    distances[4] *= 1.3
    fit = fit_table(published(rows, distances), start, starts=1, folds=0)
    assert any(text.startswith("Row 5: ") for text in fit.refusals)


def test_fit__too_few_rows_are_refused() -> None:
    with pytest.raises(DataError, match="has 2 rows; a fit needs at least 4"):
        fit_table(Table("t.csv", "", empty_rows()[:2]), aircraft("demo-narrowbody"))


def _row(**changes: float) -> PublishedRow:
    return replace(empty_rows()[0], **changes)  # type: ignore[arg-type]


def test_contradictions__same_conditions_other_distances() -> None:
    found = contradictions((_row(number=1, lower=990.0, upper=1000.0), _row(number=2, lower=1090.0, upper=1100.0)))
    assert found == ("Rows 1 and 2 have the same conditions and other distances.",)


def test_contradictions__heavier_is_shorter() -> None:
    light = _row(number=1, mass=50_000.0, lower=1090.0, upper=1100.0)
    heavy = _row(number=2, mass=60_000.0, lower=990.0, upper=1000.0)
    (found,) = contradictions((heavy, light))
    assert found.startswith("Rows 1 and 2 contradict each other: with greater mass")
    assert contradictions((heavy, replace(light, lower=980.0, upper=991.0))) == ()


# ------------------------------------------------------------------------------------------------- validity, command


def _fitted(**changes: object) -> Fitted:
    content = {
        "table": "t.csv", "digest": "", "start": "demo-narrowbody", "rows": 9, "within": "12 m", "fitted": [],
        "left": [], "masses": ["50 t", "66 t"], "pressure_altitudes": ["0 m", "1000 m"],
        "temperatures": ["0 degC", "30 degC"], "headwinds": ["-5 m/s", "10 m/s"], "codes": [6, 5], "flaps": ["full"],
    }  # fmt: skip
    return Fitted.model_validate(content | changes)


def test_land__says_how_good_the_fit_is_and_warns_outside() -> None:
    case = standard_case(plane=changed(aircraft("demo-narrowbody"), fit=_fitted()))
    cautions = plan_landing(case).cautions
    assert "Aeroplane fitted to 9 rows of t.csv: 95 % within 12 m, unfactored." in cautions
    assert not any("OUTSIDE" in text for text in cautions)
    hot = standard_case(plane=case.aircraft, weather={"temperature": 308.15})
    assert any("OUTSIDE" in text and "temperature 35 degC" in text for text in plan_landing(hot).cautions)


def test_land__refuses_outside_where_asked() -> None:
    plane = changed(aircraft("demo-narrowbody"), fit=_fitted(outside="refuse", codes=[6]))
    with pytest.raises(ScenarioError, match=r"code 5 \(table: 6\)"):
        plan_landing(standard_case(plane=plane))


def test_fit_command__writes_a_file_that_can_be_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    new = tmp_path / "new.toml"
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    part = tmp_path / "part.csv"
    part.write_text("\n".join(lines[:2] + lines[2::3]), encoding="utf-8")
    assert run(["fit", str(part), "--start", str(START), "--json", "-o", str(new)]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["accepted"] is True
    written = read_aircraft(new)
    assert written.fit is not None
    assert written.fit.rows == 32
    assert written.fit.codes == [6, 5]
    value = next(item["value"] for item in answer["parameters"] if item["key"] == "brakes.certified_dry_coefficient")
    assert written.brakes.certified_dry_coefficient == pytest.approx(value, abs=1e-6)


def test_fit_command__contradictory_table_is_refused_and_writes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    bad, new = tmp_path / "bad.csv", tmp_path / "new.toml"
    again = lines[2].replace(lines[2].split(",")[9], "1900")
    bad.write_text("\n".join([*lines[:12], again]), encoding="utf-8")
    assert run(["fit", str(bad), "--start", str(START), "-o", str(new)]) == 1
    out = capsys.readouterr().out
    assert "Rows 1 and 11 have the same conditions and other distances." in out
    assert not new.exists()


def test_parameters__values_reach_the_aeroplane() -> None:
    start = aircraft("demo-narrowbody")
    parameters = parameters_of(start, empty_rows())
    doubled = with_values(start, parameters, [2.0 * item.start for item in parameters])
    assert doubled.brakes.maximum_torque == 2.0 * start.brakes.maximum_torque
    assert doubled.engines.thrust.reverse_full == [2.0 * force for force in start.engines.thrust.reverse_full or []]
    assert doubled.automatic_brakes is not None
    assert start.automatic_brakes is not None
    assert doubled.automatic_brakes.settings["firm"] == 2.0 * start.automatic_brakes.settings["firm"]
    assert doubled.automatic_brakes.settings["strong"] == start.automatic_brakes.settings["strong"]


def test_check_against__start_does_not_meet_the_table_and_says_which_rows(capsys: pytest.CaptureFixture[str]) -> None:
    """The hidden aeroplane of the table has a steady setting of 1.70 m/s2, the start 1.80: it stops too soon."""
    assert run(["check", str(START), "--against", str(TABLE)]) == 1
    out = capsys.readouterr().out
    assert out.startswith("demo-narrowbody does NOT meet the 96 rows of table.csv.")
    assert "brakes steady: -" in out
