"""A folder of recordings to a data set of landings: resumable, each recording exactly once, nothing silently dropped.

The unit of work is a batch of recordings. Its rows become one Parquet part by one atomic rename, so that a run killed
at any moment leaves whole parts only; a new run does what no part holds.
"""

from __future__ import annotations

import atexit
import contextlib
import csv
import hashlib
import math
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from groundroll.errors import DataError, GroundrollError, ScenarioError
from groundroll.review.columns import LANDING_COLUMNS
from groundroll.review.reading import SUFFIXES
from groundroll.scenario.files import load
from groundroll.scenario.messages import nearest

if TYPE_CHECKING:
    import polars

    from groundroll.planning.ledger import LandingSide
    from groundroll.review.events import Event
    from groundroll.review.landing import Review
    from groundroll.review.mapping import Mapping
    from groundroll.review.setting import Setting

BATCH: Final = 16
"""Recordings in one part. [-]"""

CLUSTER_PATIENCE = "10s"
"""How long a scheduler may take to answer."""

INDEX: Final = "landings.csv"
DESCRIPTION: Final = "fleet.toml"
_KEYS: Final = ("format", "case", "threshold", "mapping")
_INDEX_COLUMNS: Final = ("file", "mass_kg", "headwind_mps", "codes", "period")

Row = dict[str, Any]


@dataclass(frozen=True)
class Entry:
    """One recording to be reviewed, and what the index says of it."""

    file: str
    size: int
    mass: float | None = None
    headwind: float | None = None
    codes: tuple[int, int, int] | None = None
    period: str = ""


@dataclass(frozen=True)
class Fleet:
    """A folder of recordings."""

    folder: Path
    case: Path
    threshold: tuple[float, float] | None
    mapping: Path | None
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Batch:
    """Some recordings, ready to be sent to a worker."""

    folder: Path
    case: Path
    threshold: tuple[float, float] | None
    mapping: Path | None
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class FleetProgress:
    """How far a run has come."""

    done: int
    total: int
    set_aside: int


def read_fleet(folder: Path) -> Fleet:
    """Return what a folder holds.

    Raises
    ------
    DataError
        If the folder, its description or its index cannot be used.
    """
    from groundroll.review.mapping import read_position

    if not folder.is_dir():
        raise DataError(f"{folder} is not a folder.")
    description = folder / DESCRIPTION
    try:
        data = load(description)
    except ScenarioError as error:
        raise DataError(
            f'{error} A folder of recordings has a file {DESCRIPTION} with format = 1 and case = "CASE.toml": the plan '
            "that names aeroplane, runway and surface."
        ) from error
    unknown = sorted(set(data) - set(_KEYS))
    if unknown:
        raise DataError(f"{DESCRIPTION}, {unknown[0]}: is not a key known here. {nearest(unknown[0], _KEYS)}")
    if data.get("format") != 1 or not isinstance(data.get("case"), str):
        raise DataError(f'{DESCRIPTION}: write format = 1 and case = "CASE.toml".')
    threshold = data.get("threshold")
    mapping = data.get("mapping")
    index = _read_index(folder / INDEX)
    files = sorted(one for one in folder.iterdir() if one.suffix.lower() in SUFFIXES and one.name != INDEX)
    entries = tuple(
        replace(index.get(one.name, Entry(one.name, 0)), size=one.stat().st_size) for one in files if one.is_file()
    )
    missing = sorted(set(index) - {one.file for one in entries})
    if missing:
        raise DataError(f"{INDEX}: names {missing[0]}, which is not in {folder}.")
    if not entries:
        raise DataError(f"{folder} holds no recording ({', '.join(SUFFIXES)}).")
    return Fleet(
        folder,
        folder / data["case"],
        None if threshold is None else read_position(str(threshold)),
        None if mapping is None else folder / str(mapping),
        entries,
    )


def _read_index(path: Path) -> dict[str, Entry]:
    if not path.exists():
        return {}
    found: dict[str, Entry] = {}
    with path.open(encoding="utf-8-sig", newline="") as file:
        lines = (line for line in file if not line.startswith("#"))
        reader = csv.DictReader(lines)
        unknown = sorted(set(reader.fieldnames or ()) - set(_INDEX_COLUMNS))
        if unknown or "file" not in (reader.fieldnames or ()):
            raise DataError(f"{INDEX}: its columns are {', '.join(_INDEX_COLUMNS)}; only file is needed.")
        for number, row in enumerate(reader, start=2):
            try:
                codes = None
                if row.get("codes"):
                    first, second, third = (int(one) for one in row["codes"].split("/"))
                    codes = (first, second, third)
                    if not all(1 <= one <= 6 for one in codes):
                        raise ValueError("codes are 1 to 6")
                entry = Entry(
                    row["file"],
                    0,
                    float(row["mass_kg"]) if row.get("mass_kg") else None,
                    float(row["headwind_mps"]) if row.get("headwind_mps") else None,
                    codes,
                    row.get("period") or "",
                )
            except (ValueError, TypeError, KeyError) as error:
                raise DataError(f"{INDEX}, line {number}: {error}.") from error
            if entry.file in found:
                raise DataError(f"{INDEX}, line {number}: {entry.file} stands there twice.")
            found[entry.file] = entry
    return found


# ---- one batch ------------------------------------------------------------------------------------------------------


_PLANS: Final[dict[tuple[object, ...], tuple[Setting, LandingSide, Mapping, str | None]]] = {}
"""What recordings share, by the files it was made from; processes on this machine are given it when they start."""


def _plan(
    case: Path, threshold: tuple[float, float] | None, mapping: Path | None
) -> tuple[Setting, LandingSide, Mapping, str | None]:
    """Return what all recordings of a fleet share; worked out once in each process."""
    key = (case, threshold, mapping)
    if key not in _PLANS:
        if len(_PLANS) >= 8:
            _PLANS.clear()
        _PLANS[key] = _worked_out(case, threshold, mapping)
    return _PLANS[key]


def _worked_out(
    case: Path, threshold: tuple[float, float] | None, mapping: Path | None
) -> tuple[Setting, LandingSide, Mapping, str | None]:
    from groundroll.planning.comparison import compared_option
    from groundroll.planning.decision import decide
    from groundroll.planning.landing import plan_landing
    from groundroll.planning.ledger import side_of
    from groundroll.review.mapping import Mapping, read_mapping
    from groundroll.review.setting import setting_of_case
    from groundroll.scenario.read import read_case

    resolved = read_case(case)
    decision = decide(plan_landing(resolved))
    option = compared_option(decision)
    side = side_of(resolved.aircraft, decision.plan.conditions, option.brake, option.reverse)
    chosen = decision.chosen_approach
    columns = Mapping() if mapping is None else read_mapping(mapping)
    return setting_of_case(resolved, threshold), side, columns, None if chosen is None else chosen.exit


def review_batch(batch: Batch) -> list[Row]:
    """Return one row for each recording of a batch, in any process, on any machine that sees the folder."""
    return [_row(batch, entry) for entry in batch.entries]


def setting_of_entry(setting: Setting, entry: Entry) -> Setting:
    """Return the setting of the case with what the index of the folder says of one recording."""
    from groundroll.scenario.resolved import SurfaceThird

    conditions = setting.conditions
    if entry.mass is not None:
        conditions = replace(conditions, mass=entry.mass)
    if entry.headwind is not None:
        conditions = replace(conditions, headwind=entry.headwind)
    if entry.codes is not None:
        # Where the code is that of the plan, so is what lies on the runway; of another code only the code is known.
        first, second, third = (
            planned if planned.code == code else SurfaceThird(code, None, None, None)
            for code, planned in zip(entry.codes, conditions.thirds, strict=True)
        )
        conditions = replace(conditions, thirds=(first, second, third))
    return replace(setting, conditions=conditions)


def _row(batch: Batch, entry: Entry) -> Row:
    from groundroll.review.landing import review_recording
    from groundroll.review.reading import read_recording

    row: Row = {one.name: None for one in LANDING_COLUMNS}
    row |= {"file": entry.file, "size": entry.size, "period": entry.period, "bins": [], "ledger": []}
    path = batch.folder / entry.file
    try:
        row["digest"] = hashlib.sha256(path.read_bytes()).hexdigest()
        setting, planned, mapping, planned_exit = _plan(batch.case, batch.threshold, batch.mapping)
        recording = read_recording(path, mapping)
        review = review_recording(recording, setting_of_entry(setting, entry), planned)
    except GroundrollError as error:
        return row | {"status": "set aside", "reason": " ".join(str(error).split())}
    except Exception as error:  # one bad file must not stop thousands; its reason is kept and counted
        return row | {"status": "set aside", "reason": f"unexpected {type(error).__name__}: {error}"[:300]}
    return (
        row | {"status": "reviewed", "remarks": len(review.remarks), "planned_exit": planned_exit} | landing_row(review)
    )


def _wear(review: Review, landed: Event) -> float | None:
    """Return the wear of one brake over that of the reference stop; None where the aircraft file does not tell."""
    from groundroll.planning.brake_costs import wear_of_landing
    from groundroll.planning.landing import brake_heat

    setting, motion = review.setting, review.motion
    if setting.case is None or setting.aircraft.brake_wear is None:
        return None
    energy = review.forces.brake_energy / (setting.aircraft.brakes.count - setting.conditions.brakes_released)
    roll_time = float(motion.time[review.forces.span[1] - 1]) - landed.time
    peak, _ = brake_heat(setting.case, energy, max(roll_time, 1.0), landed.ground_speed)
    wear = wear_of_landing(setting.aircraft, energy, peak)
    return None if wear is None else wear.relative


def landing_row(review: Review) -> Row:
    """Return the columns of a review."""
    setting, forces, mean, ledger = review.setting, review.forces, review.mean_deceleration, review.ledger
    case = setting.case
    landed, effective = review.event("touchdown"), review.event("reverse effective")
    assert landed is not None  # every review has one
    off = review.event("exit")
    held = next((one for one in review.events if one.name == "automatic braking holding"), None)
    share = float(review.controls.reverse_share.max()) if review.controls.reverse_share.size else 0.0
    reverse = "unknown" if not review.controls.reverse_known else "full" if share > 0.5 else "idle"
    if review.controls.reverse_known and effective is None:
        reverse = "none"
    name = None
    if off is not None and review.located and setting.exits:
        name = min(setting.exits, key=lambda one: abs(one.distance - off.distance)).name
    codes = [third.code for third in setting.conditions.thirds]
    row: Row = {
        "aircraft": setting.aircraft.name,
        "aerodrome": None if case is None else case.runway.aerodrome,
        "direction": None if case is None else case.direction,
        "codes": "/".join(str(one) for one in codes),
        "located": review.located,
        "touchdown_distance_m": landed.distance if review.located else None,
        "touchdown_distance_deviation_m": landed.distance_deviation,
        "touchdown_ground_speed_mps": landed.ground_speed,
        "mean_deceleration_mps2": mean.value,
        "mean_deceleration_from_mps": mean.fast,
        "mean_deceleration_deviation_mps2": mean.deviation,
        "brake_energy_j": forces.brake_energy,
        "brake_energy_deviation_j": forces.brake_energy_deviation,
        "brake_energy_low_j": forces.brake_energy_interval[0],
        "brake_energy_high_j": forces.brake_energy_interval[1],
        "brake_wear_share": _wear(review, landed),
        "finding_measured": forces.finding.measured,
        "finding_code": forces.finding.code,
        "finding_level": forces.finding.level,
        "brake": "unknown" if held is None else held.found_by.rsplit(" ", 1)[-1],
        "reverse": reverse,
        "reverse_time_s": None if effective is None else effective.time - landed.time,
        "exit": name,
        "runway_used_share": None
        if ledger is None
        else ledger.recorded_distance / setting.conditions.landing_distance_available,
        "planned_distance_m": None if ledger is None else ledger.planned_distance,
        "recorded_distance_m": None if ledger is None else ledger.recorded_distance,
        "not_explained_m": None if ledger is None else ledger.not_explained,
        "accelerometer_datum_mps2": review.motion.datum,
        "bins": [
            {
                "start_m": one.start,
                "ground_speed_mps": one.ground_speed,
                "coefficient": one.coefficient,
                "deviation": one.deviation,
                "measured": one.ruled == "friction",
                "code": one.reported_code,
                "expected": one.expected,
                "third": one.third,
                "own_deviation": one.own_deviation,
                "asked": one.asked,
                "asked_deviation": one.asked_deviation,
                "held": one.held,
            }
            for one in forces.bins
            if review.located
        ],
        "ledger": []
        if ledger is None
        else [{"cause": str(one.cause), "metres": one.metres} for one in ledger.ledger.entries],
    }
    return {key: None if isinstance(one, float) and not math.isfinite(one) else one for key, one in row.items()}


# ---- the data set ---------------------------------------------------------------------------------------------------


def schema() -> dict[str, Any]:
    """Return the Polars schema of the data set."""
    import polars as pl

    kinds: dict[str, Any] = {
        "text": pl.String,
        "number": pl.Float64,
        "whole": pl.Int64,
        "flag": pl.Boolean,
        "bins": pl.List(
            pl.Struct(
                {
                    "start_m": pl.Float64,
                    "ground_speed_mps": pl.Float64,
                    "coefficient": pl.Float64,
                    "deviation": pl.Float64,
                    "measured": pl.Boolean,
                    "code": pl.Int64,
                    "expected": pl.Float64,
                    "third": pl.Int64,
                    "own_deviation": pl.Float64,
                    "asked": pl.Float64,
                    "asked_deviation": pl.Float64,
                    "held": pl.Boolean,
                }
            )
        ),
        "ledger": pl.List(pl.Struct({"cause": pl.String, "metres": pl.Float64})),
    }
    return {one.name: kinds[one.kind] for one in LANDING_COLUMNS}


def write_part(rows: Sequence[Row], parts: Path) -> Path:
    """Write the rows of a batch as one part: wholly there or not at all."""
    import polars as pl

    name = hashlib.sha256("|".join(f"{one['file']}:{one['size']}" for one in rows).encode()).hexdigest()[:24]
    path = parts / f"part-{name}.parquet"
    part = parts / f".{path.name}.{os.getpid()}.tmp"
    pl.DataFrame(list(rows), schema=schema()).write_parquet(part)
    with part.open("rb+") as file:
        os.fsync(file.fileno())
    part.replace(path)
    return path


def _parts(output: Path) -> list[Path]:
    """Return the parts of a data set; what an older version wrote about pieces of runway otherwise is done again."""
    import polars as pl

    today = schema()["bins"]
    return [
        one for one in (output / "parts").glob("part-*.parquet") if pl.read_parquet_schema(one).get("bins") == today
    ]


def read_parts(output: Path) -> polars.DataFrame:
    """Return all rows of a data set, the newest of each file; the same recording under two names counts once.

    A second name of a recording is kept as a row set aside, with the reason.
    """
    import polars as pl

    parts = sorted(_parts(output), key=lambda one: (one.stat().st_mtime_ns, one.name))
    if not parts:
        return pl.DataFrame(schema=schema())
    # Parts of an older version may lack a column.
    every = pl.concat([pl.DataFrame(schema=schema()), *(pl.read_parquet(one) for one in parts)], how="diagonal")
    whole = every.unique("file", keep="last", maintain_order=True)
    whole = whole.sort("file")
    again = pl.col("digest").is_duplicated() & ~pl.col("digest").is_first_distinct() & pl.col("digest").is_not_null()
    repeated = (pl.col("status") == "reviewed") & again
    return whole.with_columns(
        status=pl.when(repeated).then(pl.lit("set aside")).otherwise(pl.col("status")),
        reason=pl.when(repeated).then(pl.lit("the same recording as another file")).otherwise(pl.col("reason")),
    )


def finished(output: Path) -> set[tuple[str, int]]:
    """Return name and size of every recording that some part holds."""
    import polars as pl

    done: set[tuple[str, int]] = set()
    for part in _parts(output):
        frame = pl.read_parquet(part, columns=["file", "size"])
        done.update((str(file), int(size)) for file, size in frame.iter_rows())
    return done


@contextlib.contextmanager
def _alone(output: Path) -> Iterator[None]:
    """Hold the data set for one run; another one is refused. The lock ends with the process, however it ends."""
    import fcntl

    with (output / ".lock").open("w", encoding="utf-8") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            raise DataError(f"{output}: another run is writing this data set.") from error
        yield


def run_fleet(
    fleet: Fleet,
    output: Path,
    *,
    workers: int = 1,
    cluster: str | None = None,
    progress: Callable[[FleetProgress], None] | None = None,
) -> FleetProgress:
    """Review what has not been reviewed yet.

    Parameters
    ----------
    fleet
        The folder.
    output
        Folder of the data set; parts go to its folder ``parts``.
    workers
        Processes on this machine, where there is no cluster; 1 works in this one.
    cluster
        Address of a Dask scheduler, such as tcp://host:8786; its workers must see the folder under the same path.
    progress
        Called after each part.

    Raises
    ------
    DataError
        If another run holds the data set, or the plan cannot be used.
    """
    parts = output / "parts"
    parts.mkdir(parents=True, exist_ok=True)
    with _alone(output):
        for left in parts.glob(".*.tmp"):
            left.unlink(missing_ok=True)
        _plan(fleet.case, fleet.threshold, fleet.mapping)  # a plan that cannot be used must not set all aside
        done = finished(output)
        open_ = [one for one in fleet.entries if (one.file, one.size) not in done]
        batches = [
            Batch(fleet.folder, fleet.case, fleet.threshold, fleet.mapping, tuple(open_[first : first + BATCH]))
            for first in range(0, len(open_), BATCH)
        ]
        count, aside = len(fleet.entries) - len(open_), 0
        for rows in _results(batches, workers, cluster):
            write_part(rows, parts)
            count += len(rows)
            aside += sum(one["status"] != "reviewed" for one in rows)
            if progress is not None:
                progress(FleetProgress(count, len(fleet.entries), aside))
    return FleetProgress(count, len(fleet.entries), aside)


def _results(batches: Sequence[Batch], workers: int, cluster: str | None) -> Iterator[list[Row]]:
    if cluster is not None:
        yield from _on_cluster(batches, cluster)
    elif workers <= 1 or len(batches) < 2:
        yield from map(review_batch, batches)
    else:
        yield from _by_processes(batches, workers)


def _start_worker(plans: dict[tuple[object, ...], Any]) -> None:
    """Take over the plan, and keep the libraries to one thread: the processes share the cores already."""
    atexit.register(os._exit, 0)  # runs last: all is handed over, and taking compiled code apart takes half a second
    _PLANS.update(plans)
    for name in ("POLARS_MAX_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")


def _by_processes(batches: Sequence[Batch], workers: int) -> Iterator[list[Row]]:
    """Yield results as they come; only a few batches are under way at a time, so memory stays bounded."""
    import multiprocessing

    waiting = iter(batches)
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(workers, mp_context=context, initializer=_start_worker, initargs=(_PLANS,)) as pool:
        under_way: set[Future[list[Row]]] = set()
        while True:
            for batch in waiting:
                under_way.add(pool.submit(review_batch, batch))
                if len(under_way) >= 2 * workers:
                    break
            if not under_way:
                return
            ready, under_way = wait(under_way, return_when=FIRST_COMPLETED)
            for one in ready:
                yield one.result()


def _on_cluster(batches: Sequence[Batch], address: str) -> Iterator[list[Row]]:
    """Yield results of a Dask cluster; a batch whose worker is lost is done again by another one."""
    import importlib

    distributed: Any = importlib.import_module("distributed")  # it has no types
    try:
        client = distributed.Client(address, timeout=CLUSTER_PATIENCE, set_as_default=False)
    except (OSError, TimeoutError, ValueError) as error:
        raise DataError(f"--cluster {address}: no scheduler answers there ({error}).") from error
    with client:
        waiting = iter(batches)
        most = max(2 * len(client.scheduler_info()["workers"]), 4)
        running = distributed.as_completed(loop=client.loop)
        for batch in waiting:
            running.add(client.submit(review_batch, batch, pure=False, retries=3))
            if running.count() >= most:
                break
        for one in running:
            yield one.result()
            one.release()
            following = next(waiting, None)
            if following is not None:
                running.add(client.submit(review_batch, following, pure=False, retries=3))
