"""What would break the plan: how far each input may go, what each loss costs, and what happens together."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from groundroll.constants import KNOT
from groundroll.physics.rollout import case_of, simulate
from groundroll.physics.wind import factored_headwind
from groundroll.planning.landing import GOOD_CODES, LandingOption, LandingPlan
from groundroll.planning.landing_roll import (
    MANUAL,
    LandingConditions,
    Reverse,
    brakes_of,
    landing_roll,
    reverses_of,
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
    file_limit: float | None = None
    """What the aircraft file allows, whatever the runway gives."""


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
    """The lowest code, all over the runway, on which and above which the planned means fit; None where none does."""
    alone: tuple[Alone, ...]
    costs: tuple[Cost, ...]
    """Ranked: what costs most first."""


class _Question:
    """The plan, asked again with something changed."""

    def __init__(self, plan: LandingPlan, option: LandingOption) -> None:
        self.plan = plan
        self.option = option
        self.aircraft = plan.case.aircraft
        self.conditions = plan.conditions
        self.available = plan.conditions.landing_distance_available
        self.margin = plan.case.landing.margin
        self.headwind = plan.wind.least_headwind - plan.case.failures.additional_tailwind
        """As reported at worst, before any factor. [m/s]"""

    def means(
        self, conditions: LandingConditions, brake: str | None = None, reverse: Reverse | None = None
    ) -> tuple[str, Reverse]:
        """Return brakes and reverse, those of the option unless given, as far as the aeroplane still has them."""
        used_brake = self.option.brake if brake is None else brake
        used_reverse = self.option.reverse if reverse is None else reverse
        return (
            used_brake if used_brake in brakes_of(self.aircraft, conditions) else MANUAL,
            used_reverse if used_reverse in reverses_of(self.aircraft, conditions) else "none",
        )

    def stop(
        self, conditions: LandingConditions, brake: str | None = None, reverse: Reverse | None = None
    ) -> float | None:
        """Return the stop distance from the threshold; None where the aeroplane does not stop."""
        roll = landing_roll(self.aircraft, conditions, *self.means(conditions, brake, reverse))
        result = simulate(replace(roll, limit_distance=FAR))
        return result.distance if result.stopped else None

    def _left(self, stop: float | None, margin: float) -> float:
        return -FAR if stop is None else self.available - stop * (1.0 + margin)

    def spare(
        self,
        conditions: LandingConditions,
        brake: str | None = None,
        reverse: Reverse | None = None,
        *,
        with_margin: bool = True,
    ) -> float:
        """Return what is left of the distance available behind the factored stop. [m]

        Where the plan itself rests on manual braking to carry the margin of its setting, so does the answer, on codes 6
        and 5 and with the same reverse; a setting that has its own margin is asked for its own.
        """
        used_brake, used_reverse = self.means(conditions, brake, reverse)
        stop = self.stop(conditions, used_brake, used_reverse)
        if not with_margin:
            return self._left(stop, 0.0)
        spare = self._left(stop, self.margin)
        good = all(third.code in GOOD_CODES for third in conditions.thirds)
        if spare >= 0.0 or used_brake == MANUAL or not good or not self.option.margin_carried_by_manual:
            return spare
        by_manual = self._left(self.stop(conditions, MANUAL, used_reverse), self.margin)
        return max(spare, min(self._left(stop, 0.0), by_manual))

    def in_wind(self, tailwind: float) -> LandingConditions:
        """Return the landing in a tailwind as reported, with the factor that the case asks for."""
        factored = self.plan.case.weather.wind_factors == "regulatory"
        return replace(self.conditions, headwind=factored_headwind(-tailwind) if factored else -tailwind)

    def greatest(
        self, change: Callable[[float], LandingConditions], lower: float, upper: float, within: float
    ) -> Greatest:
        """Return the greatest value of an input that still fits, between ends that the physics covers."""
        reach = upper
        if not self._covered(change(upper)):
            good, bad = lower, upper
            while bad - good > within:
                middle = 0.5 * (good + bad)
                good, bad = (middle, bad) if self._covered(change(middle)) else (good, middle)
            reach = good
        return greatest(lambda value: self.spare(change(value)), lower, reach, within=within)

    def _covered(self, conditions: LandingConditions) -> bool:
        """Return whether a landing lies within the ranges of the physics."""
        try:
            case_of(landing_roll(self.aircraft, conditions, *self.means(conditions)))
        except ValueError:
            return False
        return True


def _latest_touchdowns(question: _Question) -> list[LatestTouchdown]:
    best = reverses_of(question.aircraft, question.conditions)[-1]
    conditions = question.conditions
    found = []
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
                return question.spare(landed, brake, reverse, with_margin=with_margin)

            upper = min(question.available, 2_900.0)
            found.append(LatestTouchdown(means, with_margin, greatest(spare, 1.0, upper, within=0.05)))
    return found


def _worst_code(question: _Question) -> int | None:
    worst = None
    for code in range(6, 0, -1):
        thirds = tuple(replace(third, code=code, descriptor=None, depth=None) for third in question.conditions.thirds)
        changed = replace(question.conditions, thirds=(thirds[0], thirds[1], thirds[2]))
        if question.spare(changed) < 0.0:
            break
        worst = code
    return worst


def _faster(conditions: LandingConditions, more: float) -> LandingConditions:
    return replace(conditions, approach_speed=conditions.approach_speed + more)


def _heavier(conditions: LandingConditions, mass: float) -> LandingConditions:
    """Return the landing at another mass; the approach speed goes with the square root of mass."""
    ratio = math.sqrt(mass / conditions.mass)
    return replace(conditions, mass=mass, approach_speed=conditions.approach_speed * ratio)


def _alone(question: _Question) -> list[Alone]:
    conditions, limits = question.conditions, question.aircraft.mass
    planned = -question.headwind
    tailwind = question.greatest(question.in_wind, min(planned, 0.0), max(TAILWIND_RANGE, planned), 0.01)
    speed = question.greatest(lambda more: _faster(conditions, more), 0.0, SPEED_RANGE, 0.01)
    mass = question.greatest(lambda mass: _heavier(conditions, mass), limits.minimum, limits.maximum_take_off, 1.0)
    allowed = question.aircraft.limits.maximum_tailwind
    return [
        Alone("tailwind along the runway", planned, tailwind, "mps", allowed),
        Alone("speed above the planned one at the threshold", 0.0, speed, "mps"),
        Alone("landing mass, its approach speed with it", conditions.mass, mass, "kg", limits.maximum_landing),
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
    windy = question.in_wind(STEP_TAILWIND - question.headwind)
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
            stop, fits = question.stop(changed), question.spare(changed) >= 0.0
        except ValueError:
            continue  # beyond the range of the physics: nothing is said rather than guessed
        costs.append(
            Cost(
                name=name,
                stop_distance=stop,
                costs=None if stop is None or planned is None else stop - planned,
                fits=fits,
                stops_within=stop is not None and stop <= question.available,
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
