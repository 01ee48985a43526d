"""A folder of invented recordings with known truth, for tests, demonstrations and measurements of speed."""

from __future__ import annotations

import csv
import math
import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np

from groundroll.constants import KNOT
from groundroll.planning.landing_roll import MANUAL, Reverse, conditions_of, reverses_of, wind_on_runway
from groundroll.review.fleet import DESCRIPTION, INDEX, FleetProgress
from groundroll.review.invent import INVENTED, MEAN_FROM, ORIGIN, Faults, Invented, Sensors, invent
from groundroll.scenario.model import Aircraft
from groundroll.scenario.read import read_case
from groundroll.scenario.resolved import Case

if TYPE_CHECKING:
    import polars

TRUTH: Final = "truth.tsv"

FRICTION_SPREAD: Final = 0.15
"""Standard deviation of the logarithm of friction over that of the code, from landing to landing. Assumption."""


GAIN_SPREAD: Final = 0.07
"""Standard deviation of the logarithm of the force that brakes give at a pressure. [-] Assumption of this project:
some 15 % at two deviations, by temperature and wear."""

PEDAL: Final = (0.3, 1.0)
"""Between which shares of full pedal crews brake by foot. [-] Assumption of this project."""


LIFT_SPREAD: Final = 0.05
"""Standard deviation of the lift coefficient on the ground from that of the aircraft file. [-] Assumption."""

SLOPE_SPREAD: Final = 0.001
"""Standard deviation of the slope from that of the runway file. [-] Assumption of this project."""

MASS_SPREAD: Final = 0.01
"""Standard deviation of the mass on paper, over the mass. [-] Assumption of this project."""


def disturbed_aircraft(aircraft: Aircraft, generator: np.random.Generator, lift: float) -> Aircraft:
    """Return an aeroplane whose drag, lift and reverse are not quite those of its file, as no real one's are."""
    drag, reverse = float(generator.normal(1.0, 0.10)), float(generator.normal(1.0, 0.15))
    flaps = {
        name: one.model_copy(
            update={
                "drag_coefficient_stowed": drag * one.drag_coefficient_stowed,
                "drag_coefficient_deployed": drag * one.drag_coefficient_deployed,
                "lift_coefficient_stowed": one.lift_coefficient_stowed + lift,
                "lift_coefficient_deployed": one.lift_coefficient_deployed + lift,
            }
        )
        for name, one in aircraft.flaps.items()
    }
    table = aircraft.engines.thrust
    changed = {
        key: None if values is None else [reverse * one for one in values]
        for key, values in (("reverse_idle", table.reverse_idle), ("reverse_full", table.reverse_full))
    }
    engines = aircraft.engines.model_copy(update={"thrust": table.model_copy(update=changed)})
    return aircraft.model_copy(update={"flaps": flaps, "engines": engines})


def invent_landing(
    case: Case, number: int, seed: int, sensors: Sensors, rate: float | None = None
) -> tuple[Invented, float, float]:
    """Return the invented landing of a number around a plan, with headwind [m/s] and mass [kg] as on paper."""
    generator = np.random.default_rng([seed, number])
    more = np.random.default_rng([seed, number, 1])
    base = conditions_of(case)
    wind = wind_on_runway(case).headwind + float(generator.normal(0.0, 2.0))
    heavy = float(np.clip(generator.normal(base.mass, 0.04 * base.mass), case.aircraft.mass.minimum, 1.05 * base.mass))
    conditions = replace(
        base,
        headwind=wind,
        mass=heavy,
        touchdown_distance=float(np.clip(generator.normal(520.0, 110.0), 250.0, 950.0)),
        touchdown_speed_loss=float(np.clip(generator.normal(0.04, 0.015), 0.0, 0.09)),
        approach_speed=base.approach_speed + float(generator.normal(0.0, 2.0)),
        pedal=float(more.uniform(*PEDAL)),
        slope=base.slope + float(more.normal(0.0, SLOPE_SPREAD)),
    )
    automatic = case.aircraft.automatic_brakes
    settings = [MANUAL] if automatic is None else [*list(automatic.settings)[:3], MANUAL]
    uses = reverses_of(case.aircraft, base)
    reverse: Reverse = uses[int(generator.integers(len(uses)))]
    thirds = np.exp(generator.normal(0.0, FRICTION_SPREAD) + generator.normal(0.0, 0.05, 3))
    return (
        invent(
            disturbed_aircraft(case.aircraft, generator, float(more.normal(0.0, LIFT_SPREAD))),
            conditions,
            brake=settings[int(generator.integers(len(settings)))],
            reverse=reverse,
            bearing=case.direction_data.true_bearing,
            generator=generator,
            sensors=sensors,
            faults=Faults(
                accelerometer_datum=float(np.clip(generator.normal(0.0, 0.4), -0.98, 0.98)),
                inverted_discretes=bool(generator.random() < 0.1),
                flag_delay=float(generator.uniform(0.5, 14.0)),
                time_shifts=0.3,
                brake_gain=math.exp(float(more.normal(0.0, GAIN_SPREAD))),
            ),
            friction=(float(thirds[0]), float(thirds[1]), float(thirds[2])),
            release_speed=float(generator.uniform(16.0, 26.0)) * KNOT,
            rate=rate,
        ),
        wind + float(generator.normal(0.0, 1.5)),
        heavy * (1.0 + float(more.normal(0.0, MASS_SPREAD))),
    )


def invent_fleet(
    folder: Path,
    case_file: Path,
    count: int,
    *,
    seed: int = 1,
    sensors: Sensors = "surveillance",
    rate: float | None = None,
    progress: Callable[[FleetProgress], None] | None = None,
) -> int:
    """Write invented recordings, their description, index and truth; return how many were written.

    With a ``rate`` in Hz a recorder samples every parameter but the positions so often.
    Landings that the model cannot fly (no stop on what is left of friction) are passed over.
    """
    folder.mkdir(parents=True, exist_ok=True)
    case = read_case(case_file)
    codes = "/".join(str(third.code) for third in case.condition.thirds)
    index: list[list[object]] = []
    truth: list[list[object]] = []
    number = 0
    while len(index) < count and number < 3 * count + 20:
        number += 1
        try:
            made, wind, mass = invent_landing(case, number, seed, sensors, rate)
        except ValueError:
            continue
        name = f"invented-{number:06d}.parquet"
        made.frame.write_parquet(folder / name, metadata={"groundroll": INVENTED})
        one = made.truth
        if progress is not None:
            progress(FleetProgress(len(index) + 1, count, 0))
        period = "first" if len(index) < count // 2 else "second"
        index.append([name, round(mass), round(wind, 2), codes, period])
        truth.append(
            [
                name,
                one.touchdown_distance,
                one.touchdown_ground_speed,
                *(one.mean_decelerations.get(fast, "") for fast in MEAN_FROM),
                one.result.brake_work,
                one.brake,
                one.reverse,
                one.friction_share,
                *one.friction,
                one.conditions.pedal,
                made.faults.brake_gain,
            ]
        )
    position = ", ".join(f"{math.degrees(value):g}" for value in ORIGIN)
    (folder / DESCRIPTION).write_text(
        f'# {INVENTED}\nformat = 1\ncase = "{Path(os.path.relpath(case_file, folder)).as_posix()}"\n'
        f'threshold = "{position}"\n',
        encoding="utf-8",
    )
    _write(folder / INDEX, ["file", "mass_kg", "headwind_mps", "codes", "period"], index, ",")
    names = "file touchdown_distance_m touchdown_ground_speed_mps"
    means = [f"mean_deceleration_{fast}_kt_mps2" for fast in MEAN_FROM]
    friction = ["friction_share", "friction_first", "friction_second", "friction_third"]
    brakes = ["pedal", "brake_gain"]
    every = [*names.split(), *means, "brake_energy_j", "brake", "reverse", *friction, *brakes]
    _write(folder / TRUTH, every, truth, "\t")
    return len(index)


def with_truth(landings: polars.DataFrame, folder: Path) -> polars.DataFrame:
    """Return the landings of an invented fleet with the truth beside them, in columns that end with ``_true``."""
    import polars as pl

    truth = pl.read_csv(folder / TRUTH, separator="\t", comment_prefix="#")
    both = landings.join(truth.rename({one: f"{one}_true" for one in truth.columns if one != "file"}), on="file")
    speed = (pl.col("mean_deceleration_from_mps") / KNOT).round().cast(pl.Int64)
    mean = pl.lit(None, dtype=pl.Float64)
    for fast in MEAN_FROM:
        mean = pl.when(speed == fast).then(pl.col(f"mean_deceleration_{fast}_kt_mps2_true")).otherwise(mean)
    return both.with_columns(mean_deceleration_mps2_true=mean)


def _write(path: Path, names: list[str], rows: list[list[object]], separator: str) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(f"# {INVENTED}\n")
        writer = csv.writer(file, delimiter=separator)
        writer.writerow(names)
        writer.writerows(rows)
