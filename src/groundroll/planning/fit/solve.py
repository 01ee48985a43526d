"""The fit of an aircraft file to a table of published distances, how sure it is, and when it is refused."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from groundroll.errors import DataError
from groundroll.physics.arguments import FloatArray
from groundroll.physics.braking import BrakingTable
from groundroll.planning.fit.distances import Distances, distances_over, misses_from, misses_of
from groundroll.planning.fit.least_squares import (
    LEVEL,
    BetterFound,
    Profile,
    Residuals,
    Solution,
    held_at_zero,
    profile,
    solve,
    spread_begins,
)
from groundroll.planning.fit.parameters import Parameter, parameters_of, with_values
from groundroll.planning.fit.quality import TYPICAL, WORST, Group, contradictions, groups_of, too_far
from groundroll.planning.fit.table import PublishedRow, Table
from groundroll.scenario.model import Aircraft

LEAST_ROWS: Final = 4
"""Fewest rows that are fitted. Assumption of this project."""
NARROWING: Final = 0.5
"""A parameter is fitted where the table at least halves its interval. Assumption of this project."""
FOLDS: Final = 5
Progress = Callable[[str, int, int], None]
SHARED: Final = 0.2113
"""Share of a rounding step by which two distances may differ and still be rounded alike rather than not. Derived: the
correlation of the rounding of both, 1 - 6 f + 6 f^2, is zero there."""


@dataclass(frozen=True)
class FittedParameter:
    """One parameter after the fit."""

    parameter: Parameter
    fitted: bool
    """False where the table does not determine it and it stays at the start."""
    value: float
    low: float
    """Ends of the 95 % interval; of one not fitted, where it may lie. [SI]"""
    high: float
    profile: Profile
    """In spreads from the start."""

    @property
    def half_width(self) -> float:
        """Return half the interval. [SI]"""
        return 0.5 * (self.high - self.low)


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
    excess: float
    """Standard deviation of the misses over that of rounding alone, at least 1. [-]"""
    worst: float
    """Limits on the misses, shares of the distance."""
    typical: float
    refusals: tuple[str, ...]
    """Why no file may be written; empty where one may."""


def fit_table(
    table: Table,
    start: Aircraft,
    *,
    braking: BrakingTable | None = None,
    worst: float = WORST,
    typical: float = TYPICAL,
    starts: int = 3,
    folds: int = FOLDS,
    full_profiles: bool = True,
    progress: Progress | None = None,
) -> Fit:
    """Return ``start`` fitted to a table.

    Parameters
    ----------
    table, start
        The table and the aeroplane to begin with, whose numbers are the prior.
    braking
        Braking coefficients that replace those of this project, where the aircraft file names some.
    worst, typical
        Greatest and root mean square miss, shares of the distance, beyond which no file may be written.
    starts
        Points from which the search begins.
    folds
        Parts left out in turn for the cross-validation; 0 for none.
    full_profiles
        Follow the profiles to the bounds, to learn what the table says without the prior.
    progress
        Called with what is done, how much of it, and how much there is.

    Raises
    ------
    DataError
        With too few rows, or a row outside the range of the physics.
    """
    rows = table.rows
    if len(rows) < LEAST_ROWS:
        raise DataError(f"{table.name} has {len(rows)} rows; a fit needs at least {LEAST_ROWS}.")
    problem = _Problem(table, start, parameters_of(start, rows), braking)
    try:
        return _fit(problem, worst, typical, starts, folds, full_profiles, progress or _silent)
    except ValueError as error:
        raise DataError(f"{table.name}, {error}.") from error


def _silent(text: str, done: int, total: int) -> None:
    """Say nothing."""


class _Problem:
    """A table and the parameters, in spreads from the start."""

    def __init__(
        self, table: Table, start: Aircraft, parameters: tuple[Parameter, ...], braking: BrakingTable | None
    ) -> None:
        self.table, self.start, self.parameters, self.braking = table, start, parameters, braking
        self.rows = table.rows
        self.origin = np.array([one.start for one in parameters])
        self.spread = np.array([one.spread for one in parameters])
        self.lower = (np.array([one.lower for one in parameters]) - self.origin) / self.spread
        self.upper = (np.array([one.upper for one in parameters]) - self.origin) / self.spread

    def distances(self, rows: Sequence[PublishedRow]) -> Distances:
        """Return the distances of ``rows`` at points in spreads."""
        of_values = distances_over(self.start, rows, self.parameters, self.braking)
        return lambda points: of_values(self.origin + self.spread * points)

    def exchanges(self) -> list[FloatArray]:
        """Return starts with much friction and little torque, and the reverse: either may rule dry braking."""
        keys = [one.key for one in self.parameters]
        if "brakes.certified_dry_coefficient" not in keys:
            return []
        place = np.zeros(len(keys))
        place[keys.index("brakes.certified_dry_coefficient")] = 1.5
        place[keys.index("brakes.maximum_torque")] = -1.5
        return [place, -place]

    def aircraft_at(self, point: FloatArray) -> Aircraft:
        """Return the aeroplane at a point."""
        return with_values(self.start, self.parameters, list(self.origin + self.spread * point))


def _residuals(distances: Distances, rows: Sequence[PublishedRow], deviations: FloatArray) -> Residuals:
    return lambda points: misses_from(distances(points), rows) / deviations


def rounded_alike(distances: FloatArray, rows: Sequence[PublishedRow]) -> FloatArray:
    """Return as how many rows each one counts in the scatter, because others were rounded together with it.

    Two rows whose unrounded distances differ by the share f of the rounding step are rounded by nearly the same amount:
    the errors have the correlation 1 - 6 f + 6 f^2 (derived, for a phase that may be anything). A table lists many such
    rows, as with automatic brakes, where reverse does not change the distance.

    Parameters
    ----------
    distances : shape (n,)
        By the model. [m]
    rows : shape (n,)
        Of the table.

    Returns
    -------
    shape (n,)
        1 and the sum of the correlations with all others.
    """
    width = np.array([row.upper - row.lower if row.bounded else 0.0 for row in rows])
    order = np.argsort(distances, kind="stable")
    found = np.ones(len(rows))
    for place, first in enumerate(order):
        for second in order[place + 1 :]:
            apart = distances[second] - distances[first]
            if not apart < SHARED * width.max():
                break
            if apart < SHARED * width[first] and abs(width[first] - width[second]) <= 0.01 * width[first]:
                share = apart / width[first]
                found[[first, second]] += 1.0 - 6.0 * share + 6.0 * share**2
    return found


def _fit(
    problem: _Problem,
    worst: float,
    typical: float,
    starts: int,
    folds: int,
    full_profiles: bool,
    progress: Progress,
) -> Fit:
    rows, lower, upper = problem.rows, problem.lower, problem.upper
    distances = problem.distances(rows)
    rounding = np.array([row.deviation for row in rows])
    begins = [*spread_begins(len(lower), starts), *problem.exchanges()]
    first = solve(_residuals(distances, rows, rounding), lower, upper, begins)
    counted = rounded_alike(distances(first.point[np.newaxis])[0], rows)
    deviations = rounding * np.sqrt(counted)
    solution, profiles, excess, residuals = _solved(
        problem, distances, deviations, counted, first, full_profiles, progress
    )
    fitted = _determined(problem, residuals, solution, profiles)
    final = held_at_zero(residuals, lower, upper, fitted, solution.point)
    point = final.point
    aircraft = problem.aircraft_at(point)
    misses = misses_of(aircraft, rows, problem.braking)
    left_out = _left_out(problem, deviations * excess, fitted, point, folds) if folds > 1 and fitted else misses
    from scipy.stats import t as student

    freedom = max(len(rows) - len(fitted), 1)
    root_mean_square = float(np.sqrt(np.mean(left_out**2)))
    values = problem.origin + problem.spread * point
    fit = Fit(
        table=problem.table,
        start=problem.start,
        aircraft=aircraft,
        parameters=tuple(
            FittedParameter(
                parameter=one,
                fitted=number in fitted,
                value=float(values[number]),
                low=min(one.start + one.spread * profiles[number].low, float(values[number])),
                high=max(one.start + one.spread * profiles[number].high, float(values[number])),
                profile=profiles[number],
            )
            for number, one in enumerate(problem.parameters)
        ),
        singular_values=tuple(float(one) for one in np.linalg.svd(solution.derivatives, compute_uv=False)),
        misses=tuple(float(one) for one in misses),
        groups=groups_of(rows, misses),
        cross_validation=root_mean_square,
        within=float(student.ppf(0.975, freedom)) * root_mean_square,
        excess=excess,
        worst=worst,
        typical=typical,
        refusals=(),
    )
    return replace(fit, refusals=(*contradictions(rows), *_too_far(fit)))


def _solved(
    problem: _Problem,
    distances: Distances,
    deviations: FloatArray,
    counted: FloatArray,
    first: Solution,
    full_profiles: bool,
    progress: Progress,
) -> tuple[Solution, list[Profile], float, Residuals]:
    """Return the solution with all parameters free, the profile of each, the excess scatter, and the residuals."""
    rows, lower, upper = problem.rows, problem.lower, problem.upper
    begin, excess = first.point, 1.0
    for _ in range(4):
        residuals = _residuals(distances, rows, deviations * excess)
        solution = solve(residuals, lower, upper, [begin])
        determined = len(lower) - float(np.trace(solution.covariance))
        freedom = max(float(np.sum(1.0 / counted)) - determined, 1.0)
        scatter = excess * float(np.sqrt(solution.residuals @ solution.residuals / freedom))
        begin = solution.point
        if scatter > 1.02 * excess or (excess > 1.0 and scatter < 0.98 * excess):
            excess = max(scatter, 1.0)
            continue
        break
    for _ in range(4):
        found: list[Profile] = []
        try:
            for number in range(len(lower)):
                found.append(profile(residuals, lower, upper, solution, number, to_bounds=full_profiles))
                progress("Profiles of the parameters", 1, len(lower))
        except BetterFound as better:
            solution = solve(residuals, lower, upper, [better.point])
            continue
        return solution, found, excess, residuals
    raise ValueError("the search finds no steady best point; the rows determine too little")


def _determined(problem: _Problem, residuals: Residuals, solution: Solution, profiles: Sequence[Profile]) -> list[int]:
    """Return the numbers of the parameters that the table determines, or that cannot stay at the start.

    One that the table does not determine is left only where the rows are met as well with it at the start.
    """
    whole = 2.0 * float(np.sqrt(LEVEL))
    fitted = [
        number
        for number, one in enumerate(profiles)
        if one.high - one.low <= NARROWING * whole or not one.low <= 0.0 <= one.high
    ]
    while len(fitted) < len(profiles):
        held = held_at_zero(residuals, problem.lower, problem.upper, fitted, solution.point)
        if held.cost - solution.cost <= LEVEL:
            break
        moved = np.abs(solution.point) / np.array([one.high - one.low for one in profiles])
        moved[fitted] = -1.0
        fitted.append(int(np.argmax(moved)))
    return sorted(fitted)


def _left_out(
    problem: _Problem, deviations: FloatArray, fitted: list[int], point: FloatArray, folds: int
) -> FloatArray:
    """Return the misses of rows left out of the fit, all rows of the same day and mass together."""
    rows = problem.rows
    days = list(dict.fromkeys((row.mass, row.pressure_altitude, row.temperature, row.headwind) for row in rows))
    numbers = {day: number for number, day in enumerate(days)}
    if len(days) >= folds:
        part = np.array(
            [numbers[row.mass, row.pressure_altitude, row.temperature, row.headwind] % folds for row in rows]
        )
    else:
        part = np.arange(len(rows)) % folds
    misses = np.zeros(len(rows))
    for fold in range(folds):
        kept, out = part != fold, part == fold
        some = [row for row, keep in zip(rows, kept, strict=True) if keep]
        residuals = _residuals(problem.distances(some), some, deviations[kept])
        other = held_at_zero(residuals, problem.lower, problem.upper, fitted, point)
        rest = [row for row, one in zip(rows, out, strict=True) if one]
        misses[out] = misses_of(problem.aircraft_at(other.point), rest, problem.braking)
    return misses


def _too_far(fit: Fit) -> tuple[str, ...]:
    found = too_far(fit.table.rows, fit.misses, fit.worst, fit.typical)
    if not any(one.fitted for one in fit.parameters):
        return (*found, "The table determines no parameter.")
    return found


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


def compare_with(
    table: Table,
    aircraft: Aircraft,
    *,
    braking: BrakingTable | None = None,
    worst: float = WORST,
    typical: float = TYPICAL,
) -> Comparison:
    """Return how well an aeroplane as it is meets a table.

    Raises
    ------
    DataError
        If a row lies outside the range of the physics.
    """
    try:
        misses = misses_of(aircraft, table.rows, braking)
    except ValueError as error:
        raise DataError(f"{table.name}, {error}.") from error
    listed = tuple(float(one) for one in misses)
    problems = (*contradictions(table.rows), *too_far(table.rows, listed, worst, typical))
    return Comparison(table, aircraft, listed, groups_of(table.rows, misses), problems)
