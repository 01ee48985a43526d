"""The fit of an aircraft file to a table of landing distances, how good it is, and when it is refused."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final

import numpy as np

from groundroll.errors import DataError
from groundroll.kernels import layout as at
from groundroll.physics.arguments import FloatArray
from groundroll.physics.atmosphere import standard_pressure
from groundroll.physics.rollout import case_of, run_cases
from groundroll.planning.fit.least_squares import covariance, determined, jacobian, solve
from groundroll.planning.fit.parameters import Parameter, parameters_of, with_values
from groundroll.planning.fit.table import PublishedRow, Table
from groundroll.planning.landing_roll import LandingConditions, landing_roll
from groundroll.scenario.model import Aircraft
from groundroll.scenario.resolved import SurfaceThird

LEAST_ROWS: Final = 6
NARROWING: Final = 0.5
"""A parameter is fitted where the table at least halves its spread. Assumption of this project."""
WORST: Final = 0.05
"""Greatest miss of a row, share of its distance, with which a file is still written. Assumption of this project."""
TYPICAL: Final = 0.02
"""The same for the root mean square of all rows. Assumption of this project."""
FOLDS: Final = 5
LONG_RUNWAY: Final = 6_000.0
"""Length used for tables, which know no thirds: the condition is the same all along. [m]"""


@dataclass(frozen=True)
class FittedParameter:
    """One parameter after the fit."""

    parameter: Parameter
    fitted: bool
    """False where the table does not determine it and it stays at the start."""
    value: float
    half_width: float
    """Half the 95 % interval; of one not fitted, that before the table was seen. [SI]"""


@dataclass(frozen=True)
class Group:
    """Bias of the rows that share a code or a brake setting."""

    name: str
    rows: int
    bias: float
    """Mean of computed less published. [m]"""


@dataclass(frozen=True)
class Fit:
    """A table fitted."""

    table: Table
    start: Aircraft
    aircraft: Aircraft
    parameters: tuple[FittedParameter, ...]
    singular_values: tuple[float, ...]
    """Of the derivatives of all parameters, in units of their spreads; well above 1: the table speaks."""
    misses: tuple[float, ...]
    """Computed less published, row by row. [m]"""
    groups: tuple[Group, ...]
    cross_validation: float
    """Root mean square miss of rows left out of the fit. [m]"""
    within: float
    """Half the 95 % prediction interval. [m]"""
    refusals: tuple[str, ...]
    """Why no file may be written; empty where one may."""


def computed_distances(aircraft: Aircraft, rows: Sequence[PublishedRow]) -> FloatArray:
    """Return the distance of each row by the model, unfactored.

    Parameters
    ----------
    aircraft
        The aeroplane.
    rows : shape (n,)
        Rows of a table.

    Returns
    -------
    shape (n,)
        What the row's distance contains; infinite where the aeroplane does not stop. [m]

    Raises
    ------
    ValueError
        If a row lies outside the range of the physics.
    """
    cases = np.empty((len(rows), at.CASE_SIZE))
    begins = np.empty(len(rows))
    for number, row in enumerate(rows):
        conditions = _conditions(aircraft, row)
        cases[number] = case_of(landing_roll(aircraft, conditions, row.brake, row.reverse))
        begins[number] = cases[number, at.START_DISTANCE] if row.contains == "ground roll" else 0.0
    results = run_cases(cases)
    distances = results[:, at.END_DISTANCE] - begins
    return np.where(results[:, at.STATUS] == at.STATUS_DONE, distances, np.inf)


def _conditions(aircraft: Aircraft, row: PublishedRow) -> LandingConditions:
    third = SurfaceThird(row.code, None, None, None)
    return LandingConditions(
        mass=row.mass,
        flap=row.flap,
        approach_speed=aircraft.flaps[row.flap].reference_speed_at(row.mass) + row.speed_additive,
        pressure=standard_pressure(row.pressure_altitude),
        temperature=row.temperature,
        headwind=row.headwind,
        slope=row.slope,
        runway_length=LONG_RUNWAY,
        displaced_threshold=0.0,
        landing_distance_available=LONG_RUNWAY,
        surface=row.surface,
        thirds=(third, third, third),
        touchdown_distance=row.air_distance,
        dry_share=row.dry_share,
    )


def misses_of(aircraft: Aircraft, rows: Sequence[PublishedRow]) -> FloatArray:
    """Return computed less published distance of each row; 10 km where the aeroplane does not stop. [m]"""
    computed = computed_distances(aircraft, rows)
    return np.array([row.miss(min(one, row.middle + 10_000.0)) for row, one in zip(rows, computed, strict=True)])


def fit_table(
    table: Table,
    start: Aircraft,
    *,
    worst: float = WORST,
    typical: float = TYPICAL,
    starts: int = 3,
    folds: int = FOLDS,
) -> Fit:
    """Return ``start`` fitted to a table.

    Parameters
    ----------
    table, start
        The table and the aeroplane to begin with, whose numbers are the prior.
    worst, typical
        Greatest and root mean square miss, shares of the distance, beyond which no file may be written.
    starts
        Points from which the search begins.
    folds
        Parts left out in turn for the cross-validation; 0 for none.

    Raises
    ------
    DataError
        With too few rows, or a row outside the range of the physics.
    """
    rows = table.rows
    if len(rows) < LEAST_ROWS:
        raise DataError(f"{table.name} has {len(rows)} rows; a fit needs at least {LEAST_ROWS}.")
    parameters = parameters_of(start, rows)
    try:
        return _fit(table, start, parameters, worst, typical, starts, folds)
    except ValueError as error:
        raise DataError(f"{table.name}: {error}.") from error


def _fit(
    table: Table,
    start: Aircraft,
    parameters: tuple[Parameter, ...],
    worst: float,
    typical: float,
    starts: int,
    folds: int,
) -> Fit:
    rows = table.rows
    origin = np.array([one.start for one in parameters])
    spread = np.array([one.spread for one in parameters])
    lower = (np.array([one.lower for one in parameters]) - origin) / spread
    upper = (np.array([one.upper for one in parameters]) - origin) / spread

    def weighted(point: FloatArray, used: Sequence[PublishedRow]) -> FloatArray:
        deviations = np.array([row.deviation for row in used])
        aircraft = with_values(start, parameters, list(origin + spread * point))
        result: FloatArray = misses_of(aircraft, used) / deviations
        return result

    def fitted_to(used: Sequence[PublishedRow], fitted: list[int], tries: int) -> FloatArray:
        def full(point: FloatArray) -> FloatArray:
            whole = np.zeros(len(parameters))
            whole[fitted] = point
            return whole

        found, _ = solve(lambda point: weighted(full(point), used), lower[fitted], upper[fitted], starts=tries)
        return full(found)

    # What the table determines is judged near the answer: a torque limit that the start never feels may rule there.
    everything = fitted_to(rows, list(range(len(parameters))), starts)
    near = jacobian(lambda where: weighted(where, rows), everything, lower, upper)
    fitted = determined(near, NARROWING)
    point = fitted_to(rows, fitted, starts) if fitted else np.zeros(len(parameters))
    derivatives = jacobian(lambda where: weighted(where, rows), point, lower, upper)
    residuals = weighted(point, rows)
    freedom = max(len(rows) - len(fitted), 1)
    noise = max(float(residuals @ residuals) / freedom, 1.0)
    deviations = np.full(len(parameters), 1.0)
    if fitted:
        deviations[fitted] = np.sqrt(np.diag(covariance(near, fitted, noise)))
    aircraft = with_values(start, parameters, list(origin + spread * point))
    misses = misses_of(aircraft, rows)
    left_out = np.zeros(len(rows))
    if folds > 1 and fitted:
        for fold in range(folds):
            kept = [row for number, row in enumerate(rows) if number % folds != fold]
            other = with_values(start, parameters, list(origin + spread * fitted_to(kept, fitted, 1)))
            left_out[fold::folds] = misses_of(other, rows[fold::folds])
    else:
        left_out = misses
    from scipy.stats import t as student

    root_mean_square = float(np.sqrt(np.mean(left_out**2)))
    within = float(student.ppf(0.975, freedom)) * root_mean_square
    fit = Fit(
        table=table,
        start=start,
        aircraft=aircraft,
        parameters=tuple(
            FittedParameter(one, number in fitted, float(origin[number] + spread[number] * point[number]),
                            1.96 * float(spread[number] * deviations[number]))
            for number, one in enumerate(parameters)
        ),
        singular_values=tuple(float(one) for one in np.linalg.svd(derivatives, compute_uv=False)),
        misses=tuple(float(one) for one in misses),
        groups=_groups(rows, misses),
        cross_validation=root_mean_square,
        within=within,
        refusals=(),
    )  # fmt: skip
    return replace(fit, refusals=(*contradictions(rows), *_too_far(fit, worst, typical)))


def _groups(rows: Sequence[PublishedRow], misses: FloatArray) -> tuple[Group, ...]:
    names = [f"code {one.code}" for one in rows], [f"brakes {one.brake}" for one in rows]
    found = []
    for labels in names:
        for name in sorted(set(labels)):
            chosen = misses[[label == name for label in labels]]
            found.append(Group(name, len(chosen), float(np.mean(chosen))))
    return tuple(found)


def contradictions(rows: Sequence[PublishedRow]) -> tuple[str, ...]:
    """Return the pairs of rows of which both cannot be true, whatever the aeroplane.

    The same conditions must give the same distance; and with all else equal more mass, a higher pressure altitude,
    warmer air or less headwind never shortens the landing.
    """
    found = []
    longer = ("mass", "pressure_altitude", "temperature", "headwind")
    groups: dict[tuple[object, ...], list[PublishedRow]] = {}
    for row in rows:
        groups.setdefault(
            (row.flap, row.slope, row.surface, row.code, row.brake, row.reverse, row.speed_additive, row.contains,
             row.air_distance, row.dry_share), []
        ).append(row)  # fmt: skip
    for group in groups.values():
        for first, second in combinations(group, 2):
            differs = [name for name in longer if getattr(first, name) != getattr(second, name)]
            if not differs and (first.lower > second.upper or second.lower > first.upper):
                found.append(f"Rows {first.number} and {second.number} have the same conditions and other distances.")
            if len(differs) == 1:
                name = differs[0]
                sign = -1.0 if name == "headwind" else 1.0
                low, high = sorted((first, second), key=lambda row: sign * float(getattr(row, name)))
                if low.lower > high.upper:
                    word = "less" if name == "headwind" else "greater"
                    found.append(
                        f"Rows {low.number} and {high.number} contradict each other: with {word} "
                        f"{name.replace('_', ' ')} and all else equal the distance is shorter."
                    )
    return tuple(found)


def _too_far(fit: Fit, worst: float, typical: float) -> tuple[str, ...]:
    found = too_far(fit.table.rows, fit.misses, worst, typical)
    if not any(one.fitted for one in fit.parameters):
        return (*found, "The table determines no parameter.")
    return found


def too_far(rows: Sequence[PublishedRow], misses: Sequence[float], worst: float, typical: float) -> tuple[str, ...]:
    """Return every row that is missed by more than ``worst``, and whether all are by more than ``typical``. [shares]"""
    shares = [abs(miss) / row.middle for miss, row in zip(misses, rows, strict=True)]
    found = [
        f"Row {row.number}: computed {row.middle + miss:.0f} m, published {row.middle:.0f} m, "
        f"{100.0 * share:.1f} % off; at most {100.0 * worst:.1f} % is allowed."
        for row, miss, share in zip(rows, misses, shares, strict=True)
        if share > worst
    ]
    mean = math.sqrt(sum(share**2 for share in shares) / len(shares))
    if mean > typical:
        found.append(
            f"All rows: {100.0 * mean:.1f} % off (root mean square); at most {100.0 * typical:.1f} % is allowed."
        )
    return tuple(found)


@dataclass(frozen=True)
class Comparison:
    """An aircraft file against a table, nothing fitted."""

    table: Table
    aircraft: Aircraft
    misses: tuple[float, ...]
    """Computed less published, row by row. [m]"""
    groups: tuple[Group, ...]
    problems: tuple[str, ...]
    """Contradictions of the table, and rows missed by more than a fit may; empty where all is well."""


def compare_with(table: Table, aircraft: Aircraft, *, worst: float = WORST, typical: float = TYPICAL) -> Comparison:
    """Return how well an aeroplane as it is meets a table.

    Raises
    ------
    DataError
        If a row lies outside the range of the physics.
    """
    try:
        misses = misses_of(aircraft, table.rows)
    except ValueError as error:
        raise DataError(f"{table.name}: {error}.") from error
    listed = tuple(float(one) for one in misses)
    problems = (*contradictions(table.rows), *too_far(table.rows, listed, worst, typical))
    return Comparison(table, aircraft, listed, _groups(table.rows, misses), problems)
