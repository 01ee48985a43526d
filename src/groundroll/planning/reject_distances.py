"""Stop and go distances over decision speed: by the rule, and as flown."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal, TypeAlias

from groundroll.physics.take_off import (
    ALL_ENGINE_FACTOR,
    DRY_SCREEN_HEIGHT,
    WET_SCREEN_HEIGHT,
    rule_time,
)
from groundroll.planning.landing_roll import Reverse
from groundroll.planning.reject_roll import DRY, Airborne, Point, StopChoice, TakeOffRun
from groundroll.scenario.take_off import TakeOffCase

Event: TypeAlias = Literal["all engines", "engine failure"]

LOWEST_SHARE = 0.35
"""Decision speeds are looked at from this share of the rotation speed on. Assumption of this project."""

LARGEST_ACCELERATION = 4.0
"""No transport aeroplane gains more on the runway: it keeps the engine failure after brake release. [m/s2] Assumption
of this project."""

FAR = 1e6
"""Stands for a distance without end, so that a change of sign can be looked for. [m]"""


@dataclass(frozen=True)
class StopDistances:
    """Accelerate-stop distances for one decision speed, from brake release; infinite where it never stops."""

    engine_failure: float
    all_engines: float
    dry: float
    """Greater of both on a dry runway, without reverse; equal to ``distance`` where the runway is dry. [m]"""
    distance: float
    """What the rule asks for. [m]"""
    increment: float
    """The distance at V1 that is part of each. [m]"""
    brake_energy: float
    """Greatest energy of one brake of these stops. [J]"""


@dataclass(frozen=True)
class GoDistances:
    """Take-off distances for one decision speed, from brake release; infinite where it never gets there."""

    engine_failure: float
    """To the screen height of the surface, an engine failed. [m]"""
    all_engines: float
    """To 35 ft, unfactored. [m]"""
    distance: float
    """What the rule asks for. [m]"""
    run: float
    """Take-off run that the rule asks for. [m]"""


@dataclass
class RuleDistances:
    """Distances by 14 CFR 25.109 and 25.113, worked out once for each decision speed."""

    run: TakeOffRun
    reverse: Reverse
    """Reverse that is counted on a runway that is not dry."""
    _stops: dict[float, StopDistances] = field(default_factory=dict, repr=False)
    _goes: dict[float, GoDistances] = field(default_factory=dict, repr=False)

    @cached_property
    def dry_run(self) -> TakeOffRun:
        """Return the same take-off on a dry runway."""
        if self.run.conditions.dry:
            return self.run
        return replace(self.run, conditions=replace(self.run.conditions, thirds=DRY), _reached={}, _failures={})

    def _stop(self, run: TakeOffRun, ground_speed: float, reverse: Reverse, *, failed: bool) -> tuple[float, float]:
        """Return distance and energy of one brake, the increment at V1 included."""
        point = run.at_first_action(ground_speed, failed=failed)
        end = run.stop(point, StopChoice(run.data.reject.demonstrated, reverse=reverse))
        if end is None:
            return math.inf, math.inf
        return end.rolled + self.increment(ground_speed), end.work.brakes / run.working_brakes

    def increment(self, ground_speed: float) -> float:
        """Return the distance covered at this speed in the time that the rule adds. [m]"""
        reject = self.run.data.reject
        return ground_speed * rule_time(reject.further_actions, reject.further_commands)

    def stop(self, decision_speed: float) -> StopDistances:
        """Return the accelerate-stop distances for a calibrated decision speed [1]_.

        The greater of the stop after an engine failure and the stop with all engines running, reverse not counted on a
        dry runway; on any other runway the greater of that and the same with its surface, reverse counted where the
        case allows it.

        References
        ----------
        .. [1] 14 CFR 25.109(a), (b), (f).
        """
        if decision_speed not in self._stops:
            ground_speed = self.run.conditions.ground_speed(decision_speed)
            dry_failed = self._stop(self.dry_run, ground_speed, "none", failed=True)
            dry_all = self._stop(self.dry_run, ground_speed, "none", failed=False)
            failed, every = dry_failed, dry_all
            if not self.run.conditions.dry:
                failed = self._stop(self.run, ground_speed, self.reverse, failed=True)
                every = self._stop(self.run, ground_speed, self.reverse, failed=False)
            dry = max(dry_failed[0], dry_all[0])
            self._stops[decision_speed] = StopDistances(
                engine_failure=failed[0],
                all_engines=every[0],
                dry=dry,
                distance=max(dry, failed[0], every[0]),
                increment=self.increment(ground_speed),
                brake_energy=max(dry_failed[1], dry_all[1], failed[1], every[1]),
            )
        return self._stops[decision_speed]

    @cached_property
    def _all_engines(self) -> Airborne | None:
        return self.run.go(self.run.begin, DRY_SCREEN_HEIGHT)

    @cached_property
    def _all_engines_dry(self) -> Airborne | None:
        return self._all_engines if self.run.conditions.dry else self.dry_run.go(self.dry_run.begin, DRY_SCREEN_HEIGHT)

    @cached_property
    def dry_decision_speed(self) -> float:
        """Return the balanced decision speed of the same take-off on a dry runway, not above rotation. [m/s]"""
        dry = RuleDistances(self.dry_run, "none")
        rotation = self.run.conditions.rotation_speed

        def difference(speed: float) -> float:
            return min(dry.stop(speed).distance, FAR) - min(dry.go(speed).engine_failure, FAR)

        lowest = lowest_decision_speed(self.dry_run)
        if difference(rotation) <= 0.0:
            return rotation
        return root(difference, lowest, rotation) if difference(lowest) < 0.0 else lowest

    def go(self, decision_speed: float) -> GoDistances:
        """Return the take-off distances for a calibrated decision speed [1]_.

        Dry: the greater of the distance to 35 ft with an engine failed and 115 % of that with all engines. On any other
        runway the greater of the dry one and the distance to 15 ft with an engine failed; 115 % of the distance with
        all engines is taken on the surface as it is, which is not shorter. The take-off run ends midway between
        lift-off and 35 ft; on a runway that is not dry, with an engine failed, at 15 ft (from memory).

        Notes
        -----
        The dry distance belongs to the decision speed of a dry runway, which is usually higher: it is taken at the
        balanced one, or at ``decision_speed`` where this is higher still. An assumption of this project.

        References
        ----------
        .. [1] 14 CFR 25.113.
        """
        if decision_speed not in self._goes:
            run, conditions = self.run, self.run.conditions
            dry_speed = decision_speed if conditions.dry else max(decision_speed, self.dry_decision_speed)
            dry_point = self.dry_run.after_engine_failure(conditions.ground_speed(dry_speed))
            dry = self.dry_run.go(dry_point, DRY_SCREEN_HEIGHT)
            every, every_dry = self._all_engines, self._all_engines_dry
            distances = [_length(dry), ALL_ENGINE_FACTOR * _length(every), ALL_ENGINE_FACTOR * _length(every_dry)]
            runs = [_run(dry), ALL_ENGINE_FACTOR * _run(every), ALL_ENGINE_FACTOR * _run(every_dry)]
            failed = _length(dry)
            if not conditions.dry:
                point = run.after_engine_failure(conditions.ground_speed(decision_speed))
                failed = _length(run.go(point, WET_SCREEN_HEIGHT))
                distances.append(failed)
                runs.append(failed)
            self._goes[decision_speed] = GoDistances(
                engine_failure=failed, all_engines=_length(every), distance=max(distances), run=max(runs)
            )
        return self._goes[decision_speed]


def _length(path: Airborne | None) -> float:
    return math.inf if path is None else path.distance


def _run(path: Airborne | None) -> float:
    return math.inf if path is None else path.run


@dataclass
class FlownDistances:
    """The same take-off as flown: wind as it is, times of a crew in service, reverse as used, nothing added."""

    run: TakeOffRun
    choice: StopChoice

    def stop_end(self, decision_speed: float, *, failed: bool, late: float = 0.0) -> tuple[Point, Point | None]:
        """Return the point of the first action and that of the stop."""
        ground_speed = self.run.conditions.ground_speed(decision_speed)
        point = self.run.at_first_action(ground_speed, failed=failed, late=late)
        return point, self.run.stop(point, self.choice)

    def stop(self, decision_speed: float, *, failed: bool) -> float:
        """Return the distance to a stop, infinite where there is none. [m]"""
        end = self.stop_end(decision_speed, failed=failed)[1]
        return math.inf if end is None else end.rolled

    def go(self, decision_speed: float, *, failed: bool) -> float:
        """Return the distance to 35 ft (15 ft where the runway is not dry), infinite where it never gets there. [m]"""
        run = self.run
        height = DRY_SCREEN_HEIGHT if run.conditions.dry else WET_SCREEN_HEIGHT
        if not failed:
            return _length(run.go(run.begin, DRY_SCREEN_HEIGHT))
        return _length(run.go(run.after_engine_failure(run.conditions.ground_speed(decision_speed)), height))


def lowest_decision_speed(run: TakeOffRun) -> float:
    """Return the calibrated speed from which decision speeds are looked at, not above rotation. [m/s]"""
    conditions = run.conditions
    moving = conditions.start_speed + LARGEST_ACCELERATION * (run.data.reject.recognition + 1.0)
    lowest = max(LOWEST_SHARE * conditions.rotation_speed, conditions.calibrated(moving))
    return min(lowest, conditions.rotation_speed)


def root(function: Callable[[float], float], low: float, high: float, *, tolerance: float = 1e-6) -> float:
    """Return where ``function`` changes sign between two places, by the Illinois form of false position.

    Raises
    ------
    ValueError
        If it has the same sign at both.
    """
    low_value, high_value = function(low), function(high)
    if low_value == 0.0:
        return low
    if high_value == 0.0:
        return high
    if (low_value > 0.0) == (high_value > 0.0):
        raise ValueError(f"no change of sign between {low:.6g} and {high:.6g}")
    side = 0
    for number in range(200):
        if high - low <= tolerance:
            break
        share = low_value / (low_value - high_value)
        # A value that is not finite, or slow progress, is met by halving.
        if not (0.0 < share < 1.0) or number % 8 == 7:
            share = 0.5
        middle = low + (high - low) * share
        value = function(middle)
        if value == 0.0:
            return middle
        if (value > 0.0) == (high_value > 0.0):
            high, high_value = middle, value
            low_value *= 0.5 if side == 1 else 1.0
            side = 1
        else:
            low, low_value = middle, value
            high_value *= 0.5 if side == -1 else 1.0
            side = -1
    return 0.5 * (low + high)


def stop_choice(case: TakeOffCase) -> StopChoice:
    """Return how the reject of the case is flown."""
    intent, reject = case.take_off.intent, case.data.reject
    fitted = case.aircraft.automatic_brakes is not None and case.aircraft.automatic_brakes.reject is not None
    return StopChoice(
        actions=reject.as_flown or reject.demonstrated,
        braking=intent.braking if fitted else "manual",
        pedal=intent.pedal,
        reverse=intent.reverse if case.aircraft.reverse is not None else "none",
        unexpected_delay=reject.unexpected_delay,
        pedals_after=intent.pedals_after,
    )


def rule_reverse(case: TakeOffCase) -> Reverse:
    """Return the reverse that the rule may count on a runway that is not dry: what the crew would use."""
    intent = case.take_off.intent
    return intent.reverse if intent.wet_reverse_credit and case.aircraft.reverse is not None else "none"
