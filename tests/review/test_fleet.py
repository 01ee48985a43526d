"""A fleet: each recording exactly once whatever happens, and answers that hold the truth."""

from __future__ import annotations

import math
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import polars as pl
import pytest

from groundroll.errors import DataError
from groundroll.review import fleet_answers
from groundroll.review.columns import LANDING_COLUMNS
from groundroll.review.fleet import (
    BATCH,
    Entry,
    Fleet,
    FleetProgress,
    read_fleet,
    read_parts,
    run_fleet,
    schema,
    setting_of_entry,
)
from groundroll.review.fleet_answers import answers, friction_map, mean_of, wilson
from groundroll.review.fleet_invent import invent_fleet, with_truth
from groundroll.review.forces import NORMAL_90
from groundroll.review.friction_map import Level, Pieces, fit_map
from groundroll.review.invent import Sensors

ROOT = Path(__file__).parents[2]
CASE = ROOT / "examples" / "wet-gusty-arrival" / "case.toml"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder of 60 invented recordings, one of them broken and one there twice."""
    place = tmp_path_factory.mktemp("fleet")
    assert invent_fleet(place, CASE, 60, seed=5) == 60
    (place / "broken.csv").write_text("t_s,ground_speed_kt\n1,2\n", encoding="utf-8")
    first = sorted(place.glob("invented-*.parquet"))[0]
    shutil.copyfile(first, place / "zz-copy.parquet")
    return place


def _told(fleet: Fleet, output: Path) -> None:
    """Check that every recording is there exactly once."""
    rows = read_parts(output)
    assert sorted(rows["file"].to_list()) == sorted(one.file for one in fleet.entries)
    raw = pl.concat([pl.read_parquet(one) for one in (output / "parts").glob("part-*.parquet")])
    assert raw.height == len(fleet.entries)
    assert raw["file"].n_unique() == raw.height
    aside = rows.filter(pl.col("status") == "set aside")
    reasons = dict(zip(aside["file"].to_list(), aside["reason"].to_list(), strict=True))
    assert "only 1 rows have a time" in reasons["broken.csv"]
    assert reasons["zz-copy.parquet"] == "the same recording as another file"
    assert not list((output / "parts").glob(".*.tmp"))


def test_fleet__every_recording_once_and_reasons_counted(folder: Path, tmp_path: Path) -> None:
    fleet = read_fleet(folder)
    seen: list[FleetProgress] = []
    run_fleet(fleet, tmp_path, progress=seen.append)
    _told(fleet, tmp_path)
    assert seen[-1].done == seen[-1].total == len(fleet.entries)
    before = {one.name: one.stat().st_mtime_ns for one in (tmp_path / "parts").iterdir()}
    again = run_fleet(fleet, tmp_path)
    assert again.done == len(fleet.entries)
    assert {one.name: one.stat().st_mtime_ns for one in (tmp_path / "parts").iterdir()} == before
    rows = read_parts(tmp_path)
    said = answers(rows)
    assert said.reviewed + sum(count for _, count in said.set_aside) == len(fleet.entries)


def test_fleet__schema_is_that_of_the_columns(folder: Path, tmp_path: Path) -> None:
    run_fleet(read_fleet(folder), tmp_path)
    assert list(read_parts(tmp_path).schema.items()) == list(schema().items())
    assert [one.name for one in LANDING_COLUMNS] == list(schema())


def test_fleet__killed_at_random_moments_loses_and_doubles_nothing(folder: Path, tmp_path: Path) -> None:
    """SIGKILL again and again, at moments drawn anew, then a run to the end."""
    fleet = read_fleet(folder)
    draw = random.Random(11)
    script = (
        "import sys\nfrom pathlib import Path\nfrom groundroll.review.fleet import read_fleet, run_fleet\n"
        "fleet = read_fleet(Path(sys.argv[1]))\nprint('ready', flush=True)\nrun_fleet(fleet, Path(sys.argv[2]))\n"
    )
    kills = 0
    for _ in range(5):
        with subprocess.Popen(
            [sys.executable, "-c", script, str(folder), str(tmp_path)], stdout=subprocess.PIPE
        ) as run:
            assert run.stdout is not None
            run.stdout.readline()
            time.sleep(draw.uniform(0.2, 1.6))
            if run.poll() is None:
                os.kill(run.pid, signal.SIGKILL)
                kills += 1
            run.wait()
        parts = list((tmp_path / "parts").glob("part-*.parquet"))
        for one in parts:  # whatever lies there is whole
            assert pl.read_parquet(one).height <= BATCH
    assert kills >= 2
    run_fleet(fleet, tmp_path)
    _told(fleet, tmp_path)


def test_fleet__processes_give_what_one_gives(folder: Path, tmp_path: Path) -> None:
    fleet = read_fleet(folder)
    run_fleet(fleet, tmp_path / "one")
    run_fleet(fleet, tmp_path / "two", workers=2)
    _told(fleet, tmp_path / "two")
    assert read_parts(tmp_path / "one").equals(read_parts(tmp_path / "two"))


def test_fleet__second_run_at_the_same_time_is_refused(folder: Path, tmp_path: Path) -> None:
    import fcntl

    with (tmp_path / ".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        with pytest.raises(DataError, match="another run is writing"):
            run_fleet(read_fleet(folder), tmp_path)


def test_fleet__description_and_index_say_what_is_wrong(tmp_path: Path) -> None:
    with pytest.raises(DataError, match="is not a folder"):
        read_fleet(tmp_path / "none")
    with pytest.raises(DataError, match=r"has a file fleet\.toml"):
        read_fleet(tmp_path)
    (tmp_path / "fleet.toml").write_text('format = 1\ncase = "case.toml"\ncas = 1\n', encoding="utf-8")
    with pytest.raises(DataError, match="cas: is not a key known here"):
        read_fleet(tmp_path)
    (tmp_path / "fleet.toml").write_text('format = 1\ncase = "case.toml"\n', encoding="utf-8")
    with pytest.raises(DataError, match="holds no recording"):
        read_fleet(tmp_path)
    (tmp_path / "landings.csv").write_text("file,codes\na.csv,5/5/9\n", encoding="utf-8")
    with pytest.raises(DataError, match=r"landings\.csv, line 2: codes are 1 to 6"):
        read_fleet(tmp_path)
    (tmp_path / "landings.csv").write_text("file,codes\na.csv,5/5/5\n", encoding="utf-8")
    with pytest.raises(DataError, match=r"names a\.csv, which is not in"):
        read_fleet(tmp_path)


# ---- answers --------------------------------------------------------------------------------------------------------


def _invented_pieces(seed: int) -> tuple[Pieces, np.ndarray]:  # type: ignore[type-arg]
    """Return eight pieces of 60 landings, and which of them friction ruled.

    True level 1, spread 0.15, common errors. Half of the landings are braked by foot, with a pressure of chance and
    brakes that follow it as they will; half by automatic brakes that hold a deceleration of chance, and press twice as
    hard as the surface gives where it does not let them. Landings on a good day stop early, so that who is seen far
    down the runway is no random choice.
    """
    generator = np.random.default_rng(seed)
    rows = []
    for landing in range(60):
        day, error, gain = generator.normal(0.0, 0.15), generator.normal(), np.exp(generator.normal(0.0, 0.07))
        thirds = np.exp(day + generator.normal(0.0, 0.05, 3))
        demand, automatic = generator.uniform(0.5, 1.6), landing % 2 == 0
        for cell in range(8 if day < 0.0 else 5):
            true, deviation = thirds[cell // 3] * np.exp(generator.normal(0.0, 0.02)), 0.12 - 0.01 * cell
            ruled = true < demand
            pressure = 2.0 * true if automatic and ruled else demand / gain
            noise = 0.02 + 0.002 * cell
            seen = min(true, demand) + deviation * error + generator.normal(0.0, noise)
            held = int(automatic and not ruled)
            rows.append((landing, cell, cell // 3, seen, pressure, held, deviation, noise, ruled))
    whole = (np.int64, np.int64, np.int64, np.float64, np.float64, np.int64, np.float64, np.float64, np.bool_)
    *columns, ruled = (np.array(one, dtype=kind) for one, kind in zip(zip(*rows, strict=True), whole, strict=True))
    return Pieces(*columns), ruled


def test_fit_map__intervals_hold_the_truth_where_means_do_not() -> None:
    """Twenty fleets of 60 landings, 160 pieces whose true median is 1.

    Pieces of one fleet are not independent: with some two independent answers a fleet, 40 in all, three binomial
    deviations below 0.90 are 0.76. A mean of what friction ruled at the far end is too low by more than 5 %. The mean
    of all twenty lies within three of its deviations, and those are some 0.02 / sqrt 20.
    """
    held, means, middle = [], [], []
    for seed in range(20):
        pieces, ruled = _invented_pieces(seed)
        level = fit_map(pieces, 8, [(one, one + 1) for one in range(7)])
        held += list(np.abs(level.logarithm) < NORMAL_90 * level.deviation)
        means.append(float(np.mean(pieces.value[ruled & (pieces.cell == 7)])))
        middle.append(float(np.mean(level.logarithm)))
    assert np.mean(held) >= 0.76
    assert np.mean(means) < 0.95
    assert abs(np.mean(middle)) < 0.02


def test_fit_map__brakes_that_follow_their_pressure_badly() -> None:
    """All brakes of an operator give 15 % less than the aircraft file says: the map finds that, not a slippery runway.

    Within three deviations of the map: 0.03 each.
    """
    pieces, _ = _invented_pieces(3)
    usual = fit_map(pieces, 8, [(one, one + 1) for one in range(7)])
    weak = fit_map(replace(pieces, asked=pieces.asked / 0.85), 8, [(one, one + 1) for one in range(7)])
    assert weak.gain - usual.gain == pytest.approx(math.log(0.85), abs=0.03)
    assert weak.logarithm == pytest.approx(usual.logarithm, abs=0.09)


def test_friction_map__of_one_invented_fleet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """60 recorder landings whose true median is 1 everywhere, from a seed tried once.

    Pieces of a fleet share its days of friction. With some three independent answers, one for each third of the runway,
    two of three intervals or more hold the truth in 97 of 100 fleets; the seed is fixed, and half of them is asked for.
    No median may lie further from 1 than 20 %: 0.15 of spread over the fewest landings asked for, three, is 9 %.
    """
    invent_fleet(tmp_path / "fleet", CASE, 60, seed=9010, sensors="recorder")
    run_fleet(read_fleet(tmp_path / "fleet"), tmp_path / "set")
    found = friction_map(read_parts(tmp_path / "set").filter(pl.col("status") == "reviewed"))
    known = [one for one in found if one.median is not None]
    assert len(known) >= 10
    held = [one for one in known if (one.low or math.inf) <= 1.0 <= (one.high or 0.0)]
    assert len(held) >= 0.5 * len(known)
    assert max(abs((one.median or 0.0) - 1.0) for one in known) < 0.20
    assert all(one.bounded + one.measured > 0 and one.at_least < 1.5 for one in found)

    fits = []

    def counted(pieces: Pieces, cells: int, linked: list[tuple[int, int]]) -> Level:
        fits.append(pieces)
        return fit_map(pieces, cells, linked)

    monkeypatch.setattr(fleet_answers, "fit_map", counted)
    rows = read_parts(tmp_path / "set").filter(pl.col("status") == "reviewed")
    assert friction_map(rows) == found
    assert not fits  # the same landings are not fitted twice
    friction_map(rows.head(30))
    assert len(fits) == 1  # others are


def test_brake_wear__of_the_model_at_the_recorded_energy(tmp_path: Path) -> None:
    """Wear by hand from the example's figures: 0.85 + 0.15 E / 20 MJ while the heat sink stays below 500 degC.

    Energy of one of its brakes is the recorded energy over their number; a landing that hot is left out.
    """
    from groundroll.scenario.read import read_case

    invent_fleet(tmp_path / "fleet", CASE, 12, seed=9, sensors="recorder")
    run_fleet(read_fleet(tmp_path / "fleet"), tmp_path / "set")
    rows = read_parts(tmp_path / "set").filter(pl.col("status") == "reviewed")
    energy = rows["brake_energy_j"].to_numpy() / read_case(CASE).aircraft.brakes.count
    cold = energy < 25e6  # heats its 240 K or so: well below 500 degC
    assert cold.sum() >= 6
    wear = rows["brake_wear_share"].to_numpy()
    assert wear[cold] == pytest.approx(0.85 + 0.15 * energy[cold] / 20e6, rel=1e-9)


def test_invent_fleet__all_at_sixteen_a_second(tmp_path: Path) -> None:
    invent_fleet(tmp_path, CASE, 2, seed=2, sensors="recorder", rate=16.0)
    frame = pl.read_parquet(sorted(tmp_path.glob("*.parquet"))[0])
    for name in ("ground_speed_kt", "longitudinal_acceleration_g", "brake_pressure_psi", "main_gear_on_ground"):
        times = frame.filter(pl.col(name).is_not_null())["time_s"].to_numpy()
        assert np.median(np.diff(times)) == pytest.approx(1.0 / 16.0, abs=1.1e-3)


def test_friction_map__leaves_out_what_lies_beside_a_change_of_code(monkeypatch: pytest.MonkeyPatch) -> None:
    """Codes 5 and 3 change at 200 m: of seven pieces those that begin at 150, 200 and 250 m are left out."""
    pieces = [
        {
            "start_m": 50.0 * number,
            "coefficient": 0.15,
            "deviation": 0.02,
            "measured": True,
            "code": 5 if number < 4 else 3,
            "expected": 0.16,
            "third": 0 if number < 4 else 1,
            "own_deviation": 0.01,
            "asked": 0.30,
            "asked_deviation": 0.9 if number == 0 else 0.0,  # pressure of another moment: brakes coming on
            "held": False,
        }
        for number in range(7)
    ]
    rows = pl.DataFrame({"aerodrome": ["QDEM"] * 4, "direction": ["25"] * 4, "bins": [pieces] * 4})
    seen: list[Pieces] = []

    def fitted(told: Pieces, cells: int, linked: list[tuple[int, int]]) -> Level:
        seen.append(told)
        return Level(np.zeros(cells), np.array([0.1, 0.1, 0.5, *[0.1] * (cells - 3)]), 0.15, 0.0)

    monkeypatch.setattr(fleet_answers, "_fitted", fitted)
    found = {one.start: one for one in friction_map(rows)}
    assert list(found) == [300.0, 0.0, 50.0, 100.0]  # by code, then by place
    assert {list(found)[cell] for cell in seen[0].cell} == {50.0, 100.0, 300.0}
    assert all(one.measured == 4 for one in found.values())
    assert found[50.0].median is None  # an interval of exp(+-0.82) is wider than a factor of four
    assert found[300.0].median == pytest.approx(1.0)
    assert found[50.0].at_least == pytest.approx((0.15 - NORMAL_90 * 0.02) / 0.16)


def test_fit_map__refuses_bounds_alone() -> None:
    pieces, _ = _invented_pieces(1)
    with pytest.raises(ValueError, match="nothing was measured"):
        fit_map(replace(pieces, held=np.ones_like(pieces.held)), 8, [])


def test_read_parts__does_again_what_an_older_version_wrote(tmp_path: Path) -> None:
    """A part whose pieces of runway lack a field is no part: its recordings are reviewed anew, each once."""
    invent_fleet(tmp_path / "fleet", CASE, 3, seed=4, sensors="recorder")
    fleet = read_fleet(tmp_path / "fleet")
    run_fleet(fleet, tmp_path / "set")
    (part,) = (tmp_path / "set" / "parts").glob("part-*.parquet")
    whole = pl.read_parquet(part)
    older = pl.col("bins").list.eval(pl.struct(pl.element().struct.field("start_m", "coefficient", "deviation")))
    whole.with_columns(older).write_parquet(part)
    assert read_parts(tmp_path / "set").is_empty()
    run_fleet(fleet, tmp_path / "set")
    assert read_parts(tmp_path / "set")["file"].to_list() == whole["file"].to_list()


def test_fleet__what_lies_on_the_runway_is_kept_where_the_code_is_that_of_the_plan() -> None:
    """Code 3 of the plan is wet snow of a depth, with its drag; another code says nothing of depth."""
    from groundroll.review.setting import setting_of_case
    from groundroll.scenario.read import read_case

    setting = setting_of_case(read_case(CASE.parents[1] / "contaminated-arrival" / "case.toml"))
    planned = setting.conditions.thirds
    assert all(third.depth is not None for third in planned)
    other = 6 - planned[2].code
    codes = (planned[0].code, planned[1].code, other)
    found = setting_of_entry(setting, Entry("a.parquet", 1, codes=codes)).conditions.thirds
    assert found[:2] == planned[:2]
    assert (found[2].code, found[2].depth) == (other, None)


def test_wilson__textbook_case() -> None:
    """x = 5 of 10 at z = 1.6449: (0.5 + 0.13528) / 1.27055 -+ ..., by hand 0.2693 to 0.7307."""
    low, high = wilson(5, 10)
    assert low == pytest.approx(0.2693, abs=5e-4)
    assert high == pytest.approx(0.7307, abs=5e-4)
    assert wilson(0, 0) == (0.0, 1.0)


def test_mean_of__student_by_hand() -> None:
    """1, 2, 3, 4, 5: mean 3, s = 1.5811, t(0.95, 4) = 2.1318; half width 2.1318 x 1.5811 / sqrt 5 = 1.5074."""
    found = mean_of("x", "", np.array([1.0, 2.0, 3.0, 4.0, 5.0]))
    assert (found.low, found.high) == (pytest.approx(1.4926, abs=1e-3), pytest.approx(4.5074, abs=1e-3))


@pytest.mark.parametrize("sensors", ["surveillance", "recorder"])
def test_fleet__intervals_cover_the_truth(sensors: Sensors, tmp_path: Path) -> None:
    """Between 85 and 95 of 100 intervals meant to hold 90 % hold the truth, over 500 landings of each kind."""
    folder = tmp_path / "fleet"
    invent_fleet(folder, CASE, 500, seed=3, sensors=sensors)
    run_fleet(read_fleet(folder), tmp_path / "set", workers=2)
    rows = read_parts(tmp_path / "set").filter(pl.col("status") == "reviewed")
    assert rows.height >= 490
    both = with_truth(rows, folder)
    for name, deviation in (
        ("mean_deceleration_mps2", "mean_deceleration_deviation_mps2"),
        ("touchdown_distance_m", "touchdown_distance_deviation_m"),
    ):
        error = (both[name] - both[f"{name}_true"]).abs()
        covered = float((error < NORMAL_90 * both[deviation]).mean())  # type: ignore[arg-type]
        assert 0.85 <= covered <= 0.95, (name, covered)
    true = both["brake_energy_j_true"]
    inside = (true >= both["brake_energy_low_j"]) & (true <= both["brake_energy_high_j"])
    assert 0.85 <= float(inside.mean()) <= 0.95, float(inside.mean())  # type: ignore[arg-type]


def test_fleet_folder_json__gives_answers_and_charts(folder: Path, tmp_path: Path) -> None:
    from groundroll.errors import GroundrollError
    from groundroll.outputs.fleet_report import fleet_folder_json

    run_fleet(read_fleet(folder), tmp_path / "reviewed")
    for place in (tmp_path, tmp_path / "reviewed"):
        content = fleet_folder_json(place)
        assert content["reviewed"] == 60
        assert content["charts"]["causes"].startswith("<svg")
        assert {one["name"] for one in content["planned_exits"]} <= {"planned exit used", "planned exit missed"}
        names = [one[0] for one in content["trends"]]
        assert names[:2] == ["brake energy [J]", "brake wear over the reference stop [-]"]
        content["trends"].clear()  # what is kept for the next asker must not change with it
    before = fleet_folder_json(tmp_path)
    parts = sorted((tmp_path / "reviewed" / "parts").glob("part-*.parquet"))
    parts[0].unlink()
    assert fleet_folder_json(tmp_path)["reviewed"] < before["reviewed"]  # a changed data set is read anew
    with pytest.raises(GroundrollError, match="holds no reviewed landings"):
        fleet_folder_json(folder)
