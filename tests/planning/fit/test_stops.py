"""Accelerate-stop rows: read, computed through the rejected take-off, fitted."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from groundroll.errors import DataError
from groundroll.planning.fit.distances import computed_distances, distances_over
from groundroll.planning.fit.parameters import parameters_of, with_values
from groundroll.planning.fit.quality import contradictions
from groundroll.planning.fit.solve import fit_table
from groundroll.planning.fit.stops import stop_distance
from groundroll.planning.fit.table import Table, read_table
from groundroll.planning.fit.validity import stop_fit_cautions
from groundroll.planning.reject_roll import take_off_conditions
from groundroll.planning.wording import Wording
from groundroll.scenario.model import Fitted, FittedStops
from groundroll.scenario.take_off import read_take_off_case
from tests.planning.cases import aircraft, changed
from tests.planning.fit.tables import empty_rows, hidden, published, stop_rows

HEADING = "kind,mass [t],flap,code,decision_speed [kt],distance [m]"


def _read(tmp_path: Path, text: str) -> Table:
    path = tmp_path / "table.csv"
    path.write_text(text, encoding="utf-8")
    return read_table(path, aircraft("demo-narrowbody"))


def test_read_table__accelerate_stop_row(tmp_path: Path) -> None:
    """120 kt are 120 * 1852 / 3600 m/s; 15 % of margin on 2300 m leave 2000 m; 3 mm are 0.003 m."""
    table = _read(
        tmp_path,
        HEADING.replace("code", "code,contaminant,depth [mm]") + ",margin [%],rounded_to [m],event,contains\n"
        "accelerate-stop,70,low,2,slush,3,120,2300,15,0,engine failure,without rule time\n",
    )
    (row,) = table.rows
    assert row.kind == "accelerate-stop"
    assert row.decision_speed == pytest.approx(120.0 * 1852.0 / 3600.0)
    assert row.middle == pytest.approx(2000.0)
    assert (row.contaminant, row.depth) == ("SLUSH", pytest.approx(0.003))
    assert (row.event, row.contains, row.rating) == ("engine failure", "without rule time", "full")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (HEADING + "\naccelerate-stop,70,low,6,,2000\n", "decision_speed is empty"),
        (HEADING + "\naccelerate-stop,70,full,6,120,2000\n", 'flap "full" is not one of: low, high'),
        (HEADING + "\nlanding,60,full,6,120,2000\n", "decision_speed belongs to accelerate-stop rows"),
        (
            HEADING + ",air_distance [m]\naccelerate-stop,70,low,6,120,2000,400\n",
            "air_distance belongs to landing rows",
        ),
        (HEADING + ",depth [mm]\naccelerate-stop,70,low,2,120,2000,4\n", "depth is given without contaminant"),
        (HEADING + ",contaminant\naccelerate-stop,70,low,2,120,2000,SLUSCH\n", 'the nearest is "SLUSH"'),
    ],
)
def test_read_table__refuses_what_does_not_belong_to_the_kind(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(DataError) as refused:
        _read(tmp_path, text)
    assert message in str(refused.value)


def test_read_table__accelerate_stop_needs_take_off_data(tmp_path: Path) -> None:
    path = tmp_path / "table.csv"
    path.write_text(HEADING + "\naccelerate-stop,70,low,6,120,2000\n", encoding="utf-8")
    plane = changed(aircraft("demo-narrowbody"), take_off=None)
    with pytest.raises(DataError, match=r"has no \[take_off\] section"):
        read_table(path, plane)


def test_stop_distance__rule_time_is_two_seconds_at_decision_speed() -> None:
    """14 CFR 25.109(a): 2 s at V1; calm at sea level, so 60 m/s are 120 m, compressibility aside (about 0.1 %)."""
    row = stop_rows()[0]
    plane = aircraft("demo-narrowbody")
    at_speed = replace(row, decision_speed=60.0, headwind=0.0)
    without = stop_distance(plane, replace(at_speed, contains="without rule time"))
    assert stop_distance(plane, at_speed) - without == pytest.approx(120.0, abs=0.5)


def test_stop_distance__rule_is_the_greater_of_both_events_and_of_dry_and_wet() -> None:
    """14 CFR 25.109(a), (b)."""
    plane = aircraft("demo-narrowbody")
    wet = stop_rows()[1]
    assert wet.code == 5
    both = [stop_distance(plane, replace(wet, event=event)) for event in ("engine failure", "all engines")]  # type: ignore[arg-type]
    dry = stop_distance(plane, replace(wet, code=6, reverse="none"))
    assert stop_distance(plane, wet) == pytest.approx(max(*both, dry))


def test_distances_over__many_sets_at_once_are_those_one_by_one() -> None:
    """The quick way with polynomials and straight lines against the full one, 0.1 m as promised of a stop."""
    plane = aircraft("demo-narrowbody")
    rows = (*empty_rows()[:6], *stop_rows())
    parameters = parameters_of(plane, rows)
    generator = np.random.default_rng(4)
    values = np.array([[one.start + one.spread * generator.uniform(-1.5, 1.5) for one in parameters] for _ in range(3)])
    values = np.clip(values, [one.lower for one in parameters], [one.upper for one in parameters])
    quick = distances_over(plane, rows, parameters)(values)
    for found, one in zip(quick, values, strict=True):
        assert found == pytest.approx(computed_distances(with_values(plane, parameters, list(one)), rows), abs=0.1)


def test_fit__landing_and_accelerate_stop_rows_together_recover_the_thrust() -> None:
    """Take-off thrust acts on accelerate-stop rows alone; the hidden value lies within twice the 95 % interval."""
    start = aircraft("demo-narrowbody")
    rows = tuple(row for row in empty_rows(("manual",)) if row.pressure_altitude == 0.0) + stop_rows()
    _, values, table = hidden(start, 7, rows)
    fit = fit_table(table, start, starts=1, folds=0, full_profiles=False)
    assert fit.refusals == ()
    keys = [one.parameter.key for one in fit.parameters]
    number = keys.index("engines.thrust.take_off")
    thrust = fit.parameters[number]
    assert thrust.fitted
    assert abs(thrust.value - values[number]) <= 2.0 * thrust.half_width
    assert [group.rows for group in fit.groups if group.name == "accelerate-stop"] == [len(stop_rows())]


def test_contradictions__higher_decision_speed_is_shorter() -> None:
    slow, fast = stop_rows()[0], stop_rows()[2]
    assert fast.decision_speed > slow.decision_speed
    rows = (replace(slow, lower=1500.0, upper=1510.0), replace(fast, lower=1300.0, upper=1310.0))
    (found,) = contradictions(rows)
    assert "with greater decision speed and all else equal the distance is shorter" in found


def test_contaminant__depth_lengthens_the_stop_of_an_automatic_setting_not_at_all_or_shortens_a_manual_one() -> None:
    """Slush holds the aeroplane back: at equal braking more depth never lengthens a landing."""
    plane = aircraft("demo-narrowbody")
    row = replace(empty_rows()[0], code=2, contaminant="SLUSH", brake="manual")
    found = [computed_distances(plane, (replace(row, depth=depth),))[0] for depth in (0.004, 0.008, 0.012)]
    assert found[0] >= found[1] >= found[2]
    assert found[0] > found[2]


def test_fit__unreachable_decision_speed_names_the_row() -> None:
    rows = tuple(replace(row, decision_speed=100.0) for row in stop_rows())
    with pytest.raises(DataError, match="row 101: "):
        fit_table(published(rows, np.full(len(rows), 3_000.0)), aircraft("demo-narrowbody"), folds=0)


def test_stop_fit_cautions__within_and_outside_the_table() -> None:
    """Written out and read back by the command; here the words for a take-off within and one outside."""
    stops = FittedStops.model_validate({
        "rows": 8, "masses": ["58 t", "74 t"], "pressure_altitudes": ["0 m", "1000 m"],
        "temperatures": ["0 degC", "30 degC"], "headwinds": ["-5 m/s", "10 m/s"], "slopes": ["-1 %", "1 %"],
        "decision_speeds": ["58 m/s", "72 m/s"], "codes": [6, 5], "flaps": ["low"],
    })  # fmt: skip
    fitted = Fitted.model_validate({
        "table": "t.csv", "digest": "", "start": "demo-narrowbody", "rows": 20, "within": "9 m", "fitted": [],
        "left": [], "masses": ["50 t", "60 t"], "pressure_altitudes": ["0 m", "0 m"],
        "temperatures": ["15 degC", "15 degC"], "headwinds": ["0 m/s", "0 m/s"], "codes": [6], "flaps": ["full"],
    })  # fmt: skip
    plane = changed(aircraft("demo-narrowbody"), fit=changed(fitted, stops=stops))
    case = read_take_off_case(Path(__file__).parents[3] / "examples" / "departure-wet" / "case.toml")
    conditions = replace(
        take_off_conditions(case, factored=True), mass=70_000.0, slope=0.0, headwind=0.0, pressure=101_325.0,
        temperature=288.15,
    )  # fmt: skip
    wording = Wording(case.display)
    (within,) = stop_fit_cautions(plane, conditions, "low", wording)
    assert within == "Aeroplane fitted to 20 rows of t.csv, 8 of them accelerate-stop: 95 % within 9 m, unfactored."
    outside = stop_fit_cautions(plane, replace(conditions, mass=76_000.0), "high", wording)[1]
    assert outside.startswith("OUTSIDE the table it was fitted to: mass 76.0 t (table: 58.0 t to 74.0 t)")
    assert outside.endswith("flap high (table: low).")
