"""Invented landings with known truth, shared by the tests of the review."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np

from groundroll.constants import KNOT
from groundroll.planning.landing_roll import Reverse, conditions_of
from groundroll.planning.ledger import LandingSide, side_of
from groundroll.review.invent import ORIGIN, Faults, Invented, Sensors, invent
from groundroll.review.landing import Review, review_recording
from groundroll.review.mapping import Mapping
from groundroll.review.reading import recording_of
from groundroll.review.setting import Setting, setting_of_case
from groundroll.scenario.read import read_case
from groundroll.scenario.resolved import Case

ROOT = Path(__file__).parents[2]
CASE = ROOT / "examples" / "wet-gusty-arrival" / "case.toml"


@cache
def case() -> Case:
    """Return the planned case."""
    return read_case(CASE)


@cache
def planned() -> LandingSide:
    """Return its recommended landing."""
    return side_of(case().aircraft, conditions_of(case()), "steady", "full")


@dataclass(frozen=True)
class Tried:
    """An invented landing and its review."""

    invented: Invented
    setting: Setting
    review: Review

    @property
    def mean_deceleration(self) -> float:
        """Return the true mean deceleration between the speeds of the review. [m/s2]"""
        return self.invented.truth.mean_decelerations[round(self.review.mean_deceleration.fast / KNOT)]


def landing(
    number: int,
    *,
    sensors: Sensors = "recorder",
    brake: str | None = None,
    reverse: Reverse | None = None,
    friction: tuple[float, float, float] | None = None,
    faults: Faults | None = None,
    release_speed: float | None = None,
) -> tuple[Invented, Setting]:
    """Return the invented landing of a number, and what a reviewer knows of its circumstances."""
    generator = np.random.default_rng(number)
    base = conditions_of(case())
    conditions = replace(
        base,
        headwind=float(generator.normal(2.0, 3.0)),
        mass=float(generator.uniform(52e3, 65e3)),
        touchdown_distance=float(generator.uniform(350.0, 800.0)),
        touchdown_speed_loss=float(generator.uniform(0.01, 0.07)),
        approach_speed=base.approach_speed + float(generator.normal(0.0, 2.0)),
    )
    level = float(np.exp(generator.normal(0.0, 0.25)))
    thirds = level * np.exp(generator.normal(0.0, 0.1, 3))
    likely = friction or (float(thirds[0]), float(thirds[1]), float(thirds[2]))
    known = setting_of_case(case(), ORIGIN)
    wind = conditions.headwind + float(generator.normal(0.0, 1.5))
    setting = replace(known, conditions=replace(known.conditions, headwind=wind, mass=conditions.mass))
    uses: tuple[Reverse, ...] = ("none", "idle", "full")
    drawn = Faults(
        accelerometer_datum=float(generator.normal(0.0, 0.5)),
        flag_delay=float(generator.uniform(1.0, 14.0)),
        time_shifts=0.15,
    )
    made = invent(
        case().aircraft,
        conditions,
        brake=brake or str(generator.choice(["gentle", "steady", "firm", "manual"])),
        reverse=reverse or uses[int(generator.integers(3))],
        bearing=case().direction_data.true_bearing,
        generator=generator,
        sensors=sensors,
        faults=faults or drawn,
        friction=likely,
        release_speed=release_speed or float(generator.uniform(18.0, 28.0)) * KNOT,
    )
    return made, setting


def tried(number: int, *, with_plan: bool = True, **given: object) -> Tried:
    """Return the review of an invented landing."""
    made, setting = landing(number, **given)  # type: ignore[arg-type]
    recording = recording_of(made.frame, f"invented-{number}.csv", Mapping())
    return Tried(made, setting, review_recording(recording, setting, planned() if with_plan else None))
