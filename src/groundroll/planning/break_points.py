"""What would break the plan: how far each input may go, what each loss costs, and what happens together."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from groundroll.constants import KNOT
from groundroll.physics.rollout import simulate
from groundroll.planning.landing import LandingOption, LandingPlan
from groundroll.planning.landing_roll import (
    MANUAL,
    LandingConditions,
    Reverse,
    brakes_of,
    landing_roll,
    reverses_of,
    threshold_ground_speed,
)
from groundroll.planning.search import Greatest, greatest

TAILWIND_RANGE: Final = 30.0 * KNOT
SPEED_RANGE: Final = 40.0 * KNOT
STEP_TAILWIND: Final = 10.0 * KNOT
STEP_SPEED: Final = 10.0 * KNOT
STEP_TOUCHDOWN: Final = 300.0
"""Steps of the list of what costs how much: assumption of this project. [m/s], [m]"""

FAR: Final = 30_000.0
"""A roll that goes this far does not stop in any sense that helps. [m]"""


@dataclass(frozen=True)
class LatestTouchdown:
    """The latest touchdown that still stops within the distance available."""

    means: str
    with_margin: bool
    touchdown: Greatest


@dataclass(frozen=True)
class Alone:
    """How far one input may go, all others as planned, with the planned means and the margin."""

    name: str
    planned: float
    limit: Greatest
    unit_suffix: str


@dataclass(frozen=True)
class Cost:
    """What one change, or two together, costs in distance with the planned means."""

    name: str
    stop_distance: float | None
    """None where the aeroplane does not stop. [m]"""
    costs: float | None
    """Against the plan. [m]"""
    fits: bool
    """With the margin."""
    stops_within: bool
    """Without the margin."""


@dataclass(frozen=True)
class BreakPoints:
    """All of it for one option."""

    latest_touchdowns: tuple[LatestTouchdown, ...]
    worst_code: int | None
    """The lowest code, all over the runway, on which the planned means still fit; None where none does."""
    alone: tuple[Alone, ...]
    costs: tuple[Cost, ...]
    """Ranked: what costs most first."""


class _Question:
    def __init__(self, plan: LandingPlan, option: LandingOption) -> None:
        self.plan = plan
        self.option = option
        self.aircraft = plan.case.aircraft
        self.conditions = plan.conditions
        self.available = plan.conditions.landing_distance_available
        self.margin = 0.0 if option.margin_carried_by_manual else plan.case.landing.margin

    def stop(
        self, conditions: LandingConditions, brake: str | None = None, reverse: Reverse | None = None
    ) -> float | None:
        """Return the stop distance from the threshold; None where the aeroplane does not stop."""
        used_brake = self.option.brake if brake is None else brake
        used_reverse = self.option.reverse if reverse is None else reverse
        if used_brake not in brakes_of(self.aircraft, conditions):
            used_brake = MANUAL
        if used_reverse not in reverses_of(self.aircraft, conditions):
            used_reverse = "none"
        result = simulate(
            replace(landing_roll(self.aircraft, conditions, used_brake, used_reverse), limit_distance=FAR)
        )
        return result.distance if result.stopped else None

    def spare(self, stop: float | None, margin: float | None = None) -> float:
        """Return what is left of the distance available behind the factored stop. [m]"""
        factor = 1.0 + (self.margin if margin is None else margin)
        return -FAR if stop is None else self.available - stop * factor


def _latest_touchdowns(question: _Question) -> list[LatestTouchdown]:
    best = reverses_of(question.aircraft, question.conditions)[-1]
    conditions = question.conditions
    found = []
    margin = question.plan.case.landing.margin
    for means, brake, reverse in (
        ("planned means", question.option.brake, question.option.reverse),
        (f"full pedal, {'no' if best == 'none' else best} reverse", MANUAL, best),
    ):
        pedal = conditions.pedal if means == "planned means" else 1.0
        for with_margin in (True, False):

            def spare(
                place: float,
                brake: str = brake,
                reverse: Reverse = reverse,
                with_margin: bool = with_margin,
                pedal: float = pedal,
            ) -> float:
                landed = replace(conditions, touchdown_distance=place, pedal=pedal)
                return question.spare(question.stop(landed, brake, reverse), margin if with_margin else 0.0)

            upper = min(question.available, 2_900.0)
            found.append(LatestTouchdown(means, with_margin, greatest(spare, 1.0, upper, within=0.05)))
    return found


def _worst_code(question: _Question) -> int | None:
    for code in range(1, 7):
        thirds = tuple(replace(third, code=code, descriptor=None, depth=None) for third in question.conditions.thirds)
        changed = replace(question.conditions, thirds=(thirds[0], thirds[1], thirds[2]))
        if question.spare(question.stop(changed)) >= 0.0:
            return code
    return None


def _faster(conditions: LandingConditions, more: float) -> LandingConditions:
    return replace(conditions, approach_speed=conditions.approach_speed + more)


def _heavier(conditions: LandingConditions, mass: float) -> LandingConditions:
    """Return the landing at another mass; the approach speed goes with the square root of mass."""
    ratio = math.sqrt(mass / conditions.mass)
    return replace(conditions, mass=mass, approach_speed=conditions.approach_speed * ratio)


def _fastest(question: _Question) -> float:
    """Return the most by which the approach speed may rise within the range of the physics. [m/s]"""
    table = question.aircraft.engines.thrust.airspeed[-1]
    spare = 0.98 * table - threshold_ground_speed(question.conditions) - max(question.conditions.headwind, 0.0)
    return max(min(SPEED_RANGE, 0.9 * spare), 0.1)


def _alone(question: _Question) -> list[Alone]:
    conditions, limits = question.conditions, question.aircraft.mass
    tailwind_top = min(TAILWIND_RANGE, max(0.9 * (question.aircraft.engines.thrust.airspeed[-1] - 85.0), 5.0))
    tailwind = greatest(
        lambda wind: question.spare(question.stop(replace(conditions, headwind=-wind))),
        -max(conditions.headwind, 0.0),
        max(tailwind_top, -conditions.headwind + 0.1),
        within=0.01,
    )
    speed = greatest(
        lambda more: question.spare(question.stop(_faster(conditions, more))), 0.0, _fastest(question), within=0.01
    )
    mass = greatest(
        lambda mass: question.spare(question.stop(_heavier(conditions, mass))),
        limits.minimum,
        limits.maximum_take_off,
        within=1.0,
    )
    return [
        Alone("tailwind along the runway", -conditions.headwind, tailwind, "mps"),
        Alone("speed above the planned one at the threshold", 0.0, speed, "mps"),
        Alone("landing mass, its approach speed with it", conditions.mass, mass, "kg"),
    ]


def _one_code_worse(conditions: LandingConditions) -> LandingConditions | None:
    thirds = conditions.thirds
    if min(third.code for third in thirds) <= 1:
        return None  # code 0 is no plan
    worse = tuple(replace(third, code=third.code - 1, descriptor=None, depth=None) for third in thirds)
    return replace(conditions, thirds=(worse[0], worse[1], worse[2]))


def _costs(question: _Question) -> list[Cost]:
    conditions, aircraft, option = question.conditions, question.aircraft, question.option
    worse = _one_code_worse(conditions)
    windy = replace(conditions, headwind=conditions.headwind - STEP_TAILWIND)
    late = replace(conditions, touchdown_distance=question.plan.air_segment.distance + STEP_TOUCHDOWN)
    fast = _faster(conditions, STEP_SPEED)
    changes: list[tuple[str, LandingConditions | None]] = [
        ("one code worse", worse),
        ("10 kt more tailwind", windy),
        ("10 kt fast at the threshold", fast),
        ("touchdown 300 m later", late),
        ("one code worse with 10 kt more tailwind", None if worse is None else replace(worse, headwind=windy.headwind)),
        ("10 kt fast with touchdown 300 m later", _faster(late, STEP_SPEED)),
    ]
    working = aircraft.engines.count - conditions.reversers_inoperative
    if option.reverse != "none" and aircraft.reverse is not None:
        lost = conditions.reversers_inoperative
        if working > 1:
            changes.append(("one reverser lost", replace(conditions, reversers_inoperative=lost + 1)))
        changes.append(("all reverse lost", replace(conditions, reversers_inoperative=aircraft.engines.count)))
    if conditions.spoilers_share > 0.0:
        changes.append(("spoilers lost", replace(conditions, spoilers_share=0.0)))
    if option.brake != MANUAL:
        lost_automatic = replace(conditions, automatic_brakes_operative=False)
        changes.append(("automatic brakes lost, pedals instead", lost_automatic))
    if aircraft.brakes.count - conditions.brakes_released > 1:
        changes.append(("one brake lost", replace(conditions, brakes_released=conditions.brakes_released + 1)))
    planned = question.stop(conditions)
    costs = []
    for name, changed in changes:
        if changed is None:
            continue
        try:
            stop = question.stop(changed)
        except ValueError:
            continue  # beyond the range of the physics: nothing is said rather than guessed
        costs.append(
            Cost(
                name=name,
                stop_distance=stop,
                costs=None if stop is None or planned is None else stop - planned,
                fits=question.spare(stop) >= 0.0,
                stops_within=question.spare(stop, 0.0) >= 0.0,
            )
        )
    return sorted(costs, key=lambda one: -math.inf if one.costs is None else -one.costs)


def break_points(plan: LandingPlan, option: LandingOption) -> BreakPoints:
    """Return what would break the plan with ``option``.

    Every limit is found by bracketing on the roll itself: latest touchdown with the planned means and with everything,
    each with and without the margin; lowest code, greatest tailwind, threshold speed and mass, each alone; and the cost
    of each loss.

    Parameters
    ----------
    plan, option
        The plan and the option chosen.
    """
    question = _Question(plan, option)
    return BreakPoints(
        latest_touchdowns=tuple(_latest_touchdowns(question)),
        worst_code=_worst_code(question),
        alone=tuple(_alone(question)),
        costs=tuple(_costs(question)),
    )
