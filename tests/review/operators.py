"""Invented operators with known truth: an aeroplane changed within what a fit is told before, and its landings."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from groundroll.constants import KNOT
from groundroll.errors import DataError
from groundroll.planning.landing_roll import Reverse, conditions_of
from groundroll.review.fit_recordings import RecordingsFit, Witness, fit_witnesses, one_witness
from groundroll.review.invent import ORIGIN, Faults, Invented, invent
from groundroll.review.mapping import Mapping
from groundroll.review.reading import recording_of
from groundroll.review.setting import Setting, setting_of_case
from groundroll.scenario.model import Aircraft
from tests.review.landings import case


@dataclass(frozen=True)
class Operator:
    """An invented aeroplane and the truth of each parameter, by the key of the aircraft file."""

    aircraft: Aircraft
    truth: dict[str, float]
    slope: float
    """Of the runway, less that of its file."""


def operator(seed: int) -> Operator:
    """Return an aeroplane drawn from the spreads that the fit assumes before it sees a recording."""
    generator = np.random.default_rng([77, seed])
    start = case().aircraft
    automatic = start.automatic_brakes
    assert automatic is not None
    drag, idle, reverse_idle, reverse_full = 1.0 + 0.15 * np.clip(generator.normal(size=4), -2.5, 2.5)
    targets = {name: value * (1.0 + 0.10 * float(np.clip(generator.normal(), -1.5, 1.5)))
               for name, value in automatic.settings.items()}  # fmt: skip
    delay = max(automatic.delay + 0.3 * float(generator.normal()), 0.05)
    flap = start.flaps["full"]
    changed = flap.model_copy(update={"drag_coefficient_deployed": flap.drag_coefficient_deployed * drag})
    thrust = start.engines.thrust
    assert thrust.reverse_idle is not None
    assert thrust.reverse_full is not None
    table = thrust.model_copy(
        update={
            "idle": [idle * one for one in thrust.idle],
            "reverse_idle": [reverse_idle * one for one in thrust.reverse_idle],
            "reverse_full": [reverse_full * one for one in thrust.reverse_full],
        }
    )
    rolling = start.brakes.rolling_resistance * (1.0 + 0.20 * float(np.clip(generator.normal(), -2.5, 2.5)))
    aircraft = start.model_copy(
        update={
            "flaps": {**start.flaps, "full": changed},
            "engines": start.engines.model_copy(update={"thrust": table}),
            "automatic_brakes": automatic.model_copy(update={"settings": targets, "delay": delay}),
            "brakes": start.brakes.model_copy(update={"rolling_resistance": rolling}),
        }
    )
    truth = {
        "flaps.full.drag_coefficient_deployed": changed.drag_coefficient_deployed,
        "engines.thrust.idle": float(idle),
        "engines.thrust.reverse_idle": float(reverse_idle),
        "engines.thrust.reverse_full": float(reverse_full),
        "automatic_brakes.delay": delay,
        **{f"automatic_brakes.settings.{name}": value for name, value in targets.items()},
    }
    return Operator(aircraft, truth, 0.001 * float(generator.normal()))


def landing_of(operator: Operator, seed: int, number: int) -> tuple[Invented, Setting]:
    """Return one landing of an operator as its sensors saw it, and what a reviewer knows of its circumstances.

    Runways are long here: pedals come late, brakes are released early and the aeroplane rolls on.
    """
    generator = np.random.default_rng([78, seed, number])
    base = conditions_of(case())
    conditions = replace(
        base,
        headwind=float(generator.normal(2.0, 3.0)),
        mass=float(generator.uniform(52e3, 65e3)),
        slope=base.slope + operator.slope,
        touchdown_distance=float(generator.uniform(350.0, 800.0)),
        touchdown_speed_loss=float(generator.uniform(0.01, 0.07)),
        approach_speed=base.approach_speed + float(generator.normal(0.0, 2.0)),
    )
    brakes = operator.aircraft.brakes.model_copy(update={"pedal_delay": float(generator.uniform(2.0, 14.0))})
    uses: tuple[Reverse, ...] = ("none", "idle", "full")
    made = invent(
        operator.aircraft.model_copy(update={"brakes": brakes}),
        conditions,
        brake=str(generator.choice(["gentle", "steady", "firm", "manual"])),
        reverse=uses[int(generator.integers(3))],
        bearing=case().direction_data.true_bearing,
        generator=generator,
        faults=Faults(
            accelerometer_datum=float(generator.normal(0.0, 0.4)),
            inverted_discretes=bool(generator.random() < 0.1),
            flag_delay=float(generator.uniform(0.5, 14.0)),
            time_shifts=0.3,
        ),
        friction=(1.3, 1.3, 1.5),
        release_speed=float(generator.uniform(25.0, 70.0)) * KNOT,
    )
    known = setting_of_case(case(), ORIGIN)
    wind = conditions.headwind + float(generator.normal(0.0, 1.5))
    return made, replace(known, conditions=replace(known.conditions, headwind=wind, mass=conditions.mass))


def witnesses(one: Operator, seed: int, count: int) -> tuple[list[Witness], list[tuple[str, str]]]:
    """Return what the landings of an operator say."""
    found: list[Witness] = []
    left: list[tuple[str, str]] = []
    for number in range(count):
        name = f"invented-{number}"
        try:
            made, setting = landing_of(one, seed, number)
            found.append(one_witness(recording_of(made.frame, name, Mapping()), setting))
        except (DataError, ValueError) as error:
            left.append((name, str(error)))
    return found, left


def fitted(seed: int, count: int) -> tuple[Operator, RecordingsFit]:
    """Return an operator and the fit to its landings."""
    one = operator(seed)
    found, left = witnesses(one, seed, count)
    return one, fit_witnesses("invented", "0" * 64, case().aircraft, found, left)
