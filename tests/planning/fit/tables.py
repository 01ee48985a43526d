"""Invented tables: computed from a hidden aeroplane, rounded as real tables are."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np

from groundroll.planning.fit.distances import computed_distances
from groundroll.planning.fit.parameters import Parameter, parameters_of, with_values
from groundroll.planning.fit.table import PublishedRow, Table
from groundroll.scenario.model import Aircraft

ROUNDED_TO = 10.0


def empty_rows(brakes: tuple[str, ...] = ("manual", "gentle", "firm")) -> tuple[PublishedRow, ...]:
    """Return rows of the flap "full" without distances yet."""
    grid = product((50_000.0, 64_000.0), (0.0, 1_500.0), (-5.0, 5.0), (6, 5), brakes, ("none", "full"))
    return tuple(
        PublishedRow(
            number=number,
            mass=mass,
            flap="full",
            pressure_altitude=altitude,
            temperature=288.15,
            headwind=headwind,
            slope=0.0,
            surface="smooth",
            code=code,
            brake=brake,
            reverse="full" if reverse == "full" else "none",
            speed_additive=0.0,
            contains="whole",
            air_distance=None,
            dry_share=1.0,
            lower=0.0,
            upper=0.0,
        )
        for number, (mass, altitude, headwind, code, brake, reverse) in enumerate(grid, start=1)
    )


def published(rows: tuple[PublishedRow, ...], distances: np.ndarray, rounded_to: float = ROUNDED_TO) -> Table:
    """Return the table with distances rounded up, which makes each the end of a band."""
    upper = np.ceil(distances / rounded_to) * rounded_to
    return Table(
        "invented.csv",
        "",
        tuple(replace(row, lower=end - rounded_to, upper=end) for row, end in zip(rows, upper, strict=True)),
    )


def stop_rows() -> tuple[PublishedRow, ...]:
    """Return accelerate-stop rows of the take-off flap "low" without distances yet, dry and wet."""
    one = replace(empty_rows()[0], kind="accelerate-stop", flap="low", rating="full", decision_speed=60.0)
    grid = product((58_000.0, 74_000.0), (58.0, 72.0), (6, 5))
    return tuple(
        replace(one, number=number, mass=mass, decision_speed=speed, code=code, reverse="none" if code == 6 else "full")
        for number, (mass, speed, code) in enumerate(grid, start=101)
    )


def hidden(
    start: Aircraft, seed: int, rows: tuple[PublishedRow, ...] | None = None
) -> tuple[tuple[Parameter, ...], np.ndarray, Table]:
    """Return the parameters, their hidden values, drawn from what is said to be known before, and the table."""
    rows = empty_rows() if rows is None else rows
    parameters = parameters_of(start, rows)
    drawn = np.random.default_rng(seed).normal(size=len(parameters))
    values = np.array(
        [np.clip(one.start + one.spread * z, one.lower, one.upper) for one, z in zip(parameters, drawn, strict=True)]
    )
    return parameters, values, published(rows, computed_distances(with_values(start, parameters, list(values)), rows))
