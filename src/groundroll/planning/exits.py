"""Arriving at an exit at the right speed: by the setting alone, by a hand-over, or with more brake."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

import numpy as np

from groundroll.physics.exits import path_to_holding_position, planned_occupancy_time
from groundroll.physics.rollout import BrakeStage, Control, Roll, RollResult, Trigger, simulate
from groundroll.planning.landing import LandingOption, LandingPlan, exit_speed
from groundroll.planning.landing_roll import MANUAL, Reverse, landing_roll
from groundroll.planning.search import root
from groundroll.scenario.model import Exit

Means: TypeAlias = Literal[
    "held", "hand-over", "exit speed kept", "no wheel braking", "more brake needed", "not possible"
]
"""How an option brings the aeroplane to an exit. "exit speed kept": slowed to the allowed speed before the exit, where
idle thrust alone would drive it faster again, and kept at it by light braking."""

WITHIN = 0.02
"""Places on the runway are found to this. [m]"""

NEARLY = 0.25
"""An arrival this little below the allowed speed needs no hand-over. [m/s]"""


@dataclass(frozen=True)
class Approach:
    """One option brought to one exit."""

    brake: str
    reverse: Reverse
    exit: str
    exit_distance: float
    allowed_speed: float
    held_arrival_speed: float | None
    """Arrival with the brakes held; None where that stops short of the exit. [m/s]"""
    means: Means
    usable: bool
    """Whether the exit can be made with this option (a hand-over included)."""
    arrival_speed: float | None
    """Arrival as planned. [m/s]"""
    release_distance: float | None
    """Hand-over: where the brakes are released; exit speed kept: where it is reached; from the threshold. [m]"""
    release_speed: float | None
    """Ground speed there. [m/s]"""
    pedal_start_distance: float | None
    """More brake needed: the last place from which full pedal still arrives at the allowed speed. [m]"""
    pedal_start_speed: float | None
    pedal_share: float | None
    """More brake needed: share of full pedal that does it when taken over as soon as brakes act. [-]"""
    brake_energy_per_wheel: float
    """Until the exit. [J]"""
    roll_time: float
    """Touchdown until abeam the exit, or until the stop. [s]"""
    runway_time: float | None
    """Threshold until the nose is at the holding position, the turn at the arrival speed. [s]"""
    planned_runway_time: float | None
    """The same by the published planning formula. [s]"""
    peak_deceleration: float
    greatest_jerk: float
    """Greatest change of the deceleration over one second. [m/s3]"""
    reverse_fuel: float
    taxi_distance: float | None
    brake_program: Sequence[BrakeStage]
    """What the brakes are asked to do until the exit, as planned."""


@dataclass(frozen=True)
class NeededDeceleration:
    """The inverse question for one exit: what deceleration from brakes-on brings the speed down to the allowed one."""

    exit: str
    deceleration: float | None
    """Constant, from where automatic brakes act to the exit; None where the exit lies before it. [m/s2]"""
    closest_setting: str | None
    latest_start: dict[str, float | None]
    """For each setting the latest place to begin braking with it; None where it is too weak or not needed. [m]"""


class ExitSearch:
    """Rolls of one plan towards its exits."""

    def __init__(self, plan: LandingPlan) -> None:
        self.plan = plan
        self.case = plan.case
        self.conditions = plan.conditions
        self.aircraft = plan.case.aircraft

    def roll(self, option: LandingOption, one: Exit) -> Roll:
        """Return the roll of an option as far as an exit."""
        roll = landing_roll(self.aircraft, self.conditions, option.brake, option.reverse)
        return replace(roll, limit_distance=one.distance)

    def _arrive(self, roll: Roll) -> float:
        """Return the ground speed at the limit distance, zero where the roll stops before."""
        result = simulate(roll)
        return 0.0 if result.stopped else result.ground_speed

    def _released(self, roll: Roll, distance: float) -> Roll:
        automatic = self.aircraft.automatic_brakes
        release = automatic.release_time if automatic is not None else 0.0
        rate = 1.0 / release if release > 0.0 else math.inf
        stage = BrakeStage(Trigger.DISTANCE, distance, Control.OFF, 0.0, rate)
        return replace(roll, brake_program=(*roll.brake_program[:1], stage))

    def _kept(self, roll: Roll, speed: float) -> Roll:
        """Return the roll with the brakes eased at ``speed`` to a total deceleration of nothing at all."""
        stage = BrakeStage(Trigger.SPEED_BELOW, speed, Control.AUTOMATIC, 0.0)
        return replace(roll, brake_program=(*roll.brake_program[:1], stage))

    def _pedalled(self, roll: Roll, distance: float, share: float) -> Roll:
        ramp = self.aircraft.brakes.pedal_ramp
        rate = share / ramp if ramp > 0.0 else math.inf
        stage = BrakeStage(Trigger.DISTANCE, distance, Control.PEDAL, share, rate)
        return replace(roll, brake_program=(*roll.brake_program[:1], stage))

    def approach(self, option: LandingOption, one: Exit) -> Approach:
        """Return how an option brings the aeroplane to an exit; the exit lies beyond touchdown."""
        allowed = exit_speed(self.case, self.conditions, one).speed
        roll = self.roll(option, one)
        held = simulate(roll)
        arrival = None if held.stopped else held.ground_speed
        begin = held.brakes_on_distance
        if math.isnan(begin):  # the exit comes before the brakes do
            means: Means = "held" if arrival is not None and arrival <= allowed else "not possible"
            return self._described(option, one, roll, held, arrival, allowed, means)
        if arrival is not None and arrival > allowed:
            return self._more_brake(option, one, roll, held, begin, allowed)
        if arrival is not None and arrival >= allowed - NEARLY:
            return self._described(option, one, roll, held, arrival, allowed, "held")
        return self._hand_over(option, one, roll, held, begin, allowed)

    def _hand_over(
        self, option: LandingOption, one: Exit, roll: Roll, held: RollResult, begin: float, allowed: float
    ) -> Approach:
        arrival = None if held.stopped else held.ground_speed
        first = math.nextafter(begin, math.inf) + 1e-6
        last = min(held.distance, one.distance) - 1e-3
        never = self._released(roll, first)
        if self._arrive(never) <= allowed:
            result = simulate(never)
            means: Means = "not possible" if result.stopped else "no wheel braking"
            return self._described(option, one, never, result, arrival, allowed, means)
        place = root(lambda x: self._arrive(self._released(roll, x)) - allowed, first, last, within=WITHIN)
        if place is not None:
            chosen = self._released(roll, place)
            result = simulate(chosen, stations=[place])
            if not result.stopped and abs(result.ground_speed - allowed) <= NEARLY:
                described = self._described(option, one, chosen, result, arrival, allowed, "hand-over")
                return replace(described, release_distance=place, release_speed=result.passages[0].ground_speed)
        # Idle thrust drives the aeroplane on at low speed: there is no place that gives just the allowed speed.
        if not held.stopped:
            return self._described(option, one, roll, held, arrival, allowed, "held")
        kept = self._kept(roll, allowed)
        result = simulate(kept)
        if result.stopped or result.ground_speed > allowed + NEARLY:
            return self._described(option, one, roll, held, arrival, allowed, "not possible")
        described = self._described(option, one, kept, result, arrival, allowed, "exit speed kept")
        reached = next(event for event in result.events if event.name == "brake stage 2")
        return replace(described, release_distance=reached.distance, release_speed=reached.ground_speed)

    def _more_brake(
        self, option: LandingOption, one: Exit, roll: Roll, held: RollResult, begin: float, allowed: float
    ) -> Approach:
        arrival = held.ground_speed
        first = begin + 1e-6
        described = self._described(option, one, roll, held, arrival, allowed, "more brake needed")
        described = replace(described, usable=False)
        if option.brake == MANUAL and self.conditions.pedal >= 1.0:
            return replace(described, means="not possible")
        if self._arrive(self._pedalled(roll, first, 1.0)) > allowed:
            return replace(described, means="not possible")
        latest = root(
            lambda x: self._arrive(self._pedalled(roll, x, 1.0)) - allowed, first, one.distance - 1e-3, within=WITHIN
        )
        share = root(lambda p: self._arrive(self._pedalled(roll, first, p)) - allowed, 0.02, 1.0, within=1e-4)
        if latest is None:
            return described
        passed = simulate(roll, stations=[latest]).passages[0]
        return replace(described, pedal_start_distance=latest, pedal_start_speed=passed.ground_speed, pedal_share=share)

    def _described(
        self,
        option: LandingOption,
        one: Exit,
        roll: Roll,
        result: RollResult,
        held_arrival: float | None,
        allowed: float,
        means: Means,
    ) -> Approach:
        usable = means in ("held", "hand-over", "exit speed kept", "no wheel braking")
        arrival = None if result.stopped else result.ground_speed
        working = self.aircraft.brakes.count - self.conditions.brakes_released
        segment = self.plan.air_segment
        time = planned = None
        if arrival is not None and arrival > 0.5 and means != "not possible":
            path = path_to_holding_position(one.angle, one.radius, one.holding_distance)
            time = segment.time + result.time + path / arrival
            planned = planned_occupancy_time(
                max(self.plan.threshold_ground_speed, segment.touchdown_ground_speed),
                segment.touchdown_ground_speed,
                min(arrival, segment.touchdown_ground_speed),
            )
        return Approach(
            brake=option.brake,
            reverse=option.reverse,
            exit=one.name,
            exit_distance=one.distance,
            allowed_speed=allowed,
            held_arrival_speed=held_arrival,
            means=means,
            usable=usable,
            arrival_speed=arrival,
            release_distance=None,
            release_speed=None,
            pedal_start_distance=None,
            pedal_start_speed=None,
            pedal_share=None,
            brake_energy_per_wheel=result.brake_work / working,
            roll_time=result.time,
            runway_time=time,
            planned_runway_time=planned,
            peak_deceleration=result.peak_deceleration,
            greatest_jerk=_greatest_jerk(roll) if usable else math.nan,
            reverse_fuel=result.reverse_fuel,
            taxi_distance=one.taxi_distance,
            brake_program=roll.brake_program,
        )

    def needed(self, one: Exit) -> NeededDeceleration:
        """Answer the inverse question for an exit: constant deceleration, closest setting, latest places to begin."""
        automatic = self.aircraft.automatic_brakes
        allowed = exit_speed(self.case, self.conditions, one).speed
        options = [option for option in self.plan.options if option.reverse == "none"]
        brakes_on = options[0].air_distance + options[0].transition_distance
        if one.distance <= brakes_on + 1.0:
            return NeededDeceleration(one.name, None, None, {})
        unbraked = replace(self.roll(options[0], one), brake_program=())
        begin = simulate(replace(unbraked, limit_distance=brakes_on)).ground_speed
        deceleration = max((begin**2 - allowed**2) / (2.0 * (one.distance - brakes_on)), 0.0)
        settings = automatic.settings if automatic is not None else {}
        usable = {option.brake for option in options}
        closest = min(
            (name for name in settings if name in usable),
            key=lambda name: abs(settings[name] - deceleration),
            default=None,
        )
        latest: dict[str, float | None] = {}
        for option in options:
            if option.brake == MANUAL or automatic is None:
                continue
            target, rate = settings[option.brake], automatic.ramp_rate

            def late(place: float, target: float = target, rate: float = rate) -> float:
                stage = BrakeStage(Trigger.DISTANCE, place, Control.AUTOMATIC, target, rate)
                return self._arrive(replace(unbraked, brake_program=(stage,))) - allowed

            first, last = brakes_on, one.distance - 1e-3
            latest[option.brake] = None if late(first) > 0.0 else root(late, first, last, within=WITHIN)
        return NeededDeceleration(one.name, deceleration, closest, latest)


def _greatest_jerk(roll: Roll) -> float:
    """Return the greatest change of the deceleration over one second after touchdown."""
    history = simulate(roll, history_step=0.25).history
    assert history is not None
    times, unique = np.unique(history.time, return_index=True)
    decelerations = history.deceleration[unique]
    later = np.interp(times + 1.0, times, decelerations)
    return float(np.max(np.abs(later - decelerations)))
