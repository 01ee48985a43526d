"""Accelerate-stop distances of the rows of a table, through the rejected take-off."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from groundroll.errors import ScenarioError
from groundroll.kernels import layout as at
from groundroll.physics.arguments import FloatArray
from groundroll.physics.atmosphere import standard_pressure
from groundroll.physics.braking import BrakingTable
from groundroll.physics.rollout import case_of, run_cases
from groundroll.planning.fit.lines import straight_lines
from groundroll.planning.fit.parameters import Parameter, with_values
from groundroll.planning.fit.table import PublishedRow
from groundroll.planning.landing_roll import Reverse
from groundroll.planning.reject_distances import RuleDistances
from groundroll.planning.reject_roll import StopChoice, TakeOffConditions, TakeOffRun
from groundroll.scenario.model import Aircraft
from groundroll.scenario.resolved import SurfaceThird

LONG_RUNWAY: Final = 6_000.0
"""Length used for tables, which know no thirds: the condition is the same all along. [m]"""

THRUST: Final = "engines.thrust.take_off"
"""The only parameter on which the distance up to the first action depends."""

NODES: Final = 7
"""Values of thrust at which that distance is computed; in between it is a polynomial through them."""

ALIKE: Final = 0.1
"""Miss up to which the quick way counts as the same as the full one. [m] The accuracy promised of a stop."""


@dataclass(frozen=True)
class _Stop:
    """One stop of those that make up a row."""

    row: int
    failed: bool
    reverse: Reverse
    dry: bool
    """On a dry runway whatever the row says: the rule asks for it."""


def stop_distance(aircraft: Aircraft, row: PublishedRow, braking: BrakingTable | None = None) -> float:
    """Return the accelerate-stop distance of a row, infinite where the aeroplane does not stop. [m]

    Raises
    ------
    ValueError
        If the row lies outside the range of the physics, or the decision speed is not reached.
    """
    rule = _rule(aircraft, row, braking)
    try:
        stop = rule.stop(row.decision_speed)
    except (ScenarioError, ValueError) as error:
        raise ValueError(f"row {row.number}: {str(error).rstrip('.')}") from error
    distance = {"rule": stop.distance, "all engines": stop.all_engines, "engine failure": stop.engine_failure}
    return distance[row.event] - (stop.increment if row.contains == "without rule time" else 0.0)


def stops_over(
    aircraft: Aircraft,
    rows: Sequence[PublishedRow],
    parameters: Sequence[Parameter],
    braking: BrakingTable | None,
) -> Callable[[FloatArray], FloatArray]:
    """Return the distances of the rows as a function of the parameters, quick for many sets at once.

    Up to the first action a stop depends on thrust alone and is a polynomial in it; from there on it is a roll like
    any other. Both are compared with `stop_distance` at the start and where all parameters are moved, and where they
    differ the full way is taken.

    Raises
    ------
    ValueError
        If a row lies outside the range of the physics, or a decision speed is not reached.
    """
    if not rows:
        return lambda values: np.zeros((len(values), 0))
    stops = [one for number, row in enumerate(rows) for one in _stops_of(number, row)]
    added = np.array([_added(_rule(aircraft, row, braking), row) for row in rows])
    before = _before_first_action(aircraft, rows, parameters, braking, stops)

    def built(values: FloatArray) -> FloatArray:
        rules = [_rule(with_values(aircraft, parameters, list(values)), row, braking) for row in rows]
        return np.array([_first_action(rules[one.row], rows[one.row], one)[0] for one in stops])

    cases_of = straight_lines(built, parameters)
    of_row = [[place for place, one in enumerate(stops) if one.row == number] for number in range(len(rows))]

    def quick(values: FloatArray) -> FloatArray:
        results = run_cases(cases_of(values))
        rolled = np.where(results[:, at.STATUS] == at.STATUS_DONE, results[:, at.END_DISTANCE], np.inf)
        each = rolled.reshape(len(values), len(stops)) + before(values)
        longest: FloatArray = np.stack([each[:, places].max(axis=1) for places in of_row], axis=1)
        with_added: FloatArray = longest + added
        return with_added

    def full(values: FloatArray) -> FloatArray:
        planes = [with_values(aircraft, parameters, list(one)) for one in values]
        return np.array([[stop_distance(plane, row, braking) for row in rows] for plane in planes])

    moved = np.array([min(one.start + 0.3 * one.spread, one.upper) for one in parameters])
    places = np.array([[one.start for one in parameters], moved])
    return quick if np.allclose(quick(places), full(places), rtol=0.0, atol=ALIKE) else full


def _added(rule: RuleDistances, row: PublishedRow) -> float:
    """Return the distance at V1 that the rule adds, where the row contains it. [m]"""
    if row.contains == "without rule time":
        return 0.0
    return rule.increment(rule.run.conditions.ground_speed(row.decision_speed))


def _stops_of(number: int, row: PublishedRow) -> list[_Stop]:
    """Return the stops of which a row is the longest (14 CFR 25.109; as `RuleDistances.stop`)."""
    dry = row.code == 6
    events = {"rule": (True, False), "engine failure": (True,), "all engines": (False,)}[row.event]
    found = [_Stop(number, failed, "none" if dry else row.reverse, dry) for failed in events]
    if not dry and row.event == "rule":
        found += [_Stop(number, failed, "none", True) for failed in events]
    return found


def _before_first_action(
    aircraft: Aircraft,
    rows: Sequence[PublishedRow],
    parameters: Sequence[Parameter],
    braking: BrakingTable | None,
    stops: Sequence[_Stop],
) -> Callable[[FloatArray], FloatArray]:
    """Return the distance up to the first action of each stop, for many sets of parameters. [m]"""
    number = [one.key for one in parameters].index(THRUST)
    thrust = parameters[number]
    angles = (2.0 * np.arange(NODES) + 1.0) * np.pi / (2.0 * NODES)
    middle, half = 0.5 * (thrust.upper + thrust.lower), 0.5 * (thrust.upper - thrust.lower)
    rolled = np.empty((NODES, len(stops)))
    for place, node in enumerate(np.cos(angles)):
        changed = with_values(aircraft, [thrust], [middle + half * float(node)])
        rules = [_rule(changed, row, braking) for row in rows]
        rolled[place] = [_first_action(rules[one.row], rows[one.row], one)[1] for one in stops]
    terms = np.polynomial.chebyshev.chebfit(np.cos(angles), rolled, NODES - 1)

    def before(values: FloatArray) -> FloatArray:
        found = np.polynomial.chebyshev.chebval((values[:, number] - middle) / half, terms)
        return np.asarray(found, dtype=np.float64).T

    return before


def _first_action(rule: RuleDistances, row: PublishedRow, stop: _Stop) -> tuple[FloatArray, float]:
    """Return the case of the roll from the first action on, and the distance up to it."""
    run: TakeOffRun = rule.dry_run if stop.dry else rule.run
    ground_speed = run.conditions.ground_speed(row.decision_speed)
    try:
        point = run.at_first_action(ground_speed, failed=stop.failed)
    except (ScenarioError, ValueError) as error:
        raise ValueError(f"row {row.number}: {str(error).rstrip('.')}") from error
    case = case_of(run.stop_roll(point, StopChoice(run.data.reject.demonstrated, reverse=stop.reverse)))
    # The surface is the same all along, so it does not matter where the roll begins; the speed is met to a millionth.
    case[at.START_DISTANCE] = 0.0
    case[at.START_SPEED] = ground_speed
    return case, point.rolled


def _rule(aircraft: Aircraft, row: PublishedRow, braking: BrakingTable | None) -> RuleDistances:
    data = aircraft.take_off
    assert data is not None  # rows of this kind are read only for an aeroplane that has it
    flap = data.flaps[row.flap]
    share = math.sqrt(row.mass / flap.reference_mass)
    third = SurfaceThird(row.code, row.contaminant, row.depth, None)
    conditions = TakeOffConditions(
        mass=row.mass,
        flap=flap,
        rotation_speed=flap.rotation_speed * share,
        safety_speed=flap.safety_speed * share,
        rating_share=data.ratings[row.rating],
        assumed_temperature=None,
        pressure=standard_pressure(row.pressure_altitude),
        temperature=row.temperature,
        headwind=row.headwind,
        slope=row.slope,
        runway_length=LONG_RUNWAY,
        surface=row.surface,
        thirds=(third, third, third),
        take_off_run_available=LONG_RUNWAY,
        take_off_distance_available=LONG_RUNWAY,
        accelerate_stop_available=LONG_RUNWAY,
        table=braking,
    )
    return RuleDistances(TakeOffRun(aircraft, data, conditions), row.reverse)
