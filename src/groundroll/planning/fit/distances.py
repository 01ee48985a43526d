"""Distances of the rows of a table by the model, one aeroplane at a time or many sets of parameters at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

import numpy as np
import numpy.typing as npt

from groundroll.kernels import layout as at
from groundroll.physics.arguments import FloatArray
from groundroll.physics.atmosphere import standard_pressure
from groundroll.physics.braking import BrakingTable
from groundroll.physics.rollout import case_of, run_cases
from groundroll.planning.fit.lines import straight_lines
from groundroll.planning.fit.parameters import Parameter, with_values
from groundroll.planning.fit.stops import LONG_RUNWAY, stop_distance, stops_over
from groundroll.planning.fit.table import PublishedRow
from groundroll.planning.landing_roll import AIR_TIME, LandingConditions, landing_roll
from groundroll.scenario.model import Aircraft
from groundroll.scenario.resolved import SurfaceThird

FAR: Final = 10_000.0
"""Miss that stands for an aeroplane that does not stop. [m]"""

Distances = Callable[[FloatArray], FloatArray]
"""From sets of parameter values, shape (k, p), to distances, shape (k, n). [m]"""


def computed_distances(
    aircraft: Aircraft, rows: Sequence[PublishedRow], braking: BrakingTable | None = None
) -> FloatArray:
    """Return the distance of each row by the model, unfactored.

    Parameters
    ----------
    aircraft
        The aeroplane.
    rows : shape (n,)
        Rows of a table.
    braking
        Braking coefficients that replace those of this project, where the aircraft file names some.

    Returns
    -------
    shape (n,)
        What the row's distance contains; infinite where the aeroplane does not stop. [m]

    Raises
    ------
    ValueError
        If a row lies outside the range of the physics.
    """
    landings = [row for row in rows if row.kind == "landing"]
    found = np.empty(len(rows))
    found[_are_landings(rows)] = _landing_distances(_landing_cases(aircraft, landings, braking), _with_air(landings))
    found[~_are_landings(rows)] = [
        stop_distance(aircraft, row, braking) for row in rows if row.kind == "accelerate-stop"
    ]
    return found


def misses_of(aircraft: Aircraft, rows: Sequence[PublishedRow], braking: BrakingTable | None = None) -> FloatArray:
    """Return computed less published distance of each row; 10 km where the aeroplane does not stop. [m]"""
    return misses_from(computed_distances(aircraft, rows, braking), rows)


def misses_from(distances: FloatArray, rows: Sequence[PublishedRow]) -> FloatArray:
    """Return computed less published distance; zero where a one-sided bound is kept.

    Parameters
    ----------
    distances : shape (..., n)
        By the model. [m]
    rows : shape (n,)
        Of the table.
    """
    lower = np.array([row.lower for row in rows])
    upper = np.array([row.upper for row in rows])
    middle = np.array([row.middle for row in rows])
    near = np.minimum(distances, middle + FAR)
    bounded = np.isfinite(lower) & np.isfinite(upper)
    one_sided = np.where(np.isfinite(lower), np.minimum(near - lower, 0.0), np.maximum(near - upper, 0.0))
    result: FloatArray = np.where(bounded, near - middle, one_sided)
    return result


def distances_over(
    aircraft: Aircraft,
    rows: Sequence[PublishedRow],
    parameters: Sequence[Parameter],
    braking: BrakingTable | None = None,
) -> Distances:
    """Return the distances of the rows as a function of the parameters, quick for many sets at once.

    Raises
    ------
    ValueError
        If a row lies outside the range of the physics.
    """
    landing = _are_landings(rows)
    of_landings = _landings_over(aircraft, [row for row in rows if row.kind == "landing"], parameters, braking)
    of_stops = stops_over(aircraft, [row for row in rows if row.kind == "accelerate-stop"], parameters, braking)

    def distances(values: FloatArray) -> FloatArray:
        found = np.empty((len(values), len(rows)))
        if landing.any():
            found[:, landing] = of_landings(values)
        if not landing.all():
            found[:, ~landing] = of_stops(values)
        return found

    return distances


def _landings_over(
    aircraft: Aircraft,
    rows: Sequence[PublishedRow],
    parameters: Sequence[Parameter],
    braking: BrakingTable | None,
) -> Distances:
    """Return the same for landings."""
    with_air = _with_air(rows)

    def built(values: FloatArray) -> FloatArray:
        return _landing_cases(with_values(aircraft, parameters, list(values)), rows, braking)

    cases_of = straight_lines(built, parameters)

    def distances(values: FloatArray) -> FloatArray:
        return _landing_distances(cases_of(values), np.tile(with_air, len(values))).reshape(len(values), len(rows))

    return distances


def _are_landings(rows: Sequence[PublishedRow]) -> npt.NDArray[np.bool_]:
    return np.array([row.kind == "landing" for row in rows], dtype=np.bool_)


def _with_air(rows: Sequence[PublishedRow]) -> npt.NDArray[np.bool_]:
    return np.array([row.contains == "whole" for row in rows], dtype=np.bool_)


def _landing_cases(aircraft: Aircraft, rows: Sequence[PublishedRow], braking: BrakingTable | None) -> FloatArray:
    cases = np.empty((len(rows), at.CASE_SIZE))
    for number, row in enumerate(rows):
        try:
            cases[number] = case_of(landing_roll(aircraft, _conditions(aircraft, row, braking), row.brake, row.reverse))
        except ValueError as error:
            raise ValueError(f"row {row.number}: {error}") from error
    return cases


def _landing_distances(cases: FloatArray, with_air: npt.NDArray[np.bool_]) -> FloatArray:
    results = run_cases(cases)
    distances = results[:, at.END_DISTANCE] - np.where(with_air, 0.0, cases[:, at.START_DISTANCE])
    return np.where(results[:, at.STATUS] == at.STATUS_DONE, distances, np.inf)


def _third(row: PublishedRow) -> SurfaceThird:
    return SurfaceThird(row.code, row.contaminant, row.depth, None)


def _conditions(aircraft: Aircraft, row: PublishedRow, braking: BrakingTable | None) -> LandingConditions:
    third = _third(row)
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
        air_time=aircraft.air_time or AIR_TIME,
        dry_share=row.dry_share,
        table=braking,
    )
