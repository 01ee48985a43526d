"""Gates: a few places seen from the flight deck, with the speeds up to which the plan, and the runway, still work."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from groundroll.constants import KNOT
from groundroll.physics.markings import distance_sign_places, touchdown_zone_length
from groundroll.physics.rollout import (
    MAXIMUM_GROUND_SPEED,
    BrakeStage,
    Control,
    Roll,
    RollResult,
    ThrustStage,
    Trigger,
    continue_from,
    simulate,
)
from groundroll.planning.landing import LandingOption, LandingPlan
from groundroll.planning.landing_roll import landing_roll, working_reversers
from groundroll.planning.search import Greatest, greatest

REACTION_TIME: Final = 2.0
"""From the gate to the first action of the crew: assumption of this project. [s]"""

SPEED_WITHIN: Final = 0.01
"""Speeds at gates are found to this. [m/s]"""

LOWEST_SPEED: Final = 1.0
"""Search begins here. [m/s]"""


@dataclass(frozen=True)
class Gate:
    """One place on the runway and the speeds that matter there."""

    name: str
    distance: float
    """From the landing threshold. [m]"""
    planned_speed: float
    """As planned. [m/s]"""
    same_means: Greatest
    """Up to this speed the plan still works with the same means: the exit is made, or the stop lies within the runway.
    [m/s]"""
    everything: Greatest
    """Up to this speed full pedal and full reverse, begun `REACTION_TIME` later, still stop within the runway. [m/s]"""
    if_faster: str
    """What to do, in words."""


def gate_places(plan: LandingPlan, exit_distance: float | None) -> list[tuple[str, float]]:
    """Return the places of a plan, in order: end of the touchdown zone, exits abeam, signs of distance remaining."""
    available = plan.conditions.landing_distance_available
    places = [("end of the touchdown zone", touchdown_zone_length(available))]
    places += [(f"abeam {one.name}", one.distance) for one in plan.case.direction_data.exits]
    if plan.case.direction_data.distance_signs:
        places += [(f"sign {number}", place) for number, place in distance_sign_places(available)]
    end = available if exit_distance is None else exit_distance
    kept = [(name, place) for name, place in sorted(places, key=lambda one: one[1]) if place < end - 1.0]
    return kept


def _full_effort(plan: LandingPlan, roll: Roll) -> Roll:
    """Return the rest of a roll with full pedal and full reverse after the reaction time."""
    aircraft = plan.case.aircraft
    ramp = aircraft.brakes.pedal_ramp
    pedal = BrakeStage(Trigger.TIME, REACTION_TIME, Control.PEDAL, 1.0, 1.0 / ramp if ramp > 0.0 else math.inf)
    brakes = [stage for stage in roll.brake_program if stage.trigger == Trigger.TIME and stage.value < REACTION_TIME]
    thrust = [stage for stage in roll.thrust_program if stage.trigger == Trigger.TIME and stage.value < REACTION_TIME]
    working = working_reversers(aircraft, plan.conditions)
    times = aircraft.reverse
    if times is not None and working > 0:
        rest = aircraft.engines.count - working
        reversing = bool(thrust) and thrust[-1].reverse_idle + thrust[-1].reverse_full > 0.0
        full = ThrustStage(Trigger.TIME, REACTION_TIME, times.spool, idle=rest, reverse_full=working)
        if reversing:
            thrust.append(full)
        else:
            deployed = ThrustStage(Trigger.TIME, REACTION_TIME, times.deploy, idle=rest, reverse_idle=working)
            thrust += [deployed, replace(full, trigger=Trigger.TIME_AFTER, value=times.deploy)]
    return replace(roll, brake_program=(*brakes, pedal), thrust_program=tuple(thrust))


def gates(plan: LandingPlan, option: LandingOption, exit_distance: float | None, allowed: float | None) -> list[Gate]:
    """Return the gates of a plan between brakes-on and its exit (or its stop).

    Parameters
    ----------
    plan, option
        The plan and the option chosen.
    exit_distance, allowed
        Place and allowed speed of the exit chosen; None where the plan is to stop. [m], [m/s]

    Returns
    -------
    list of Gate
        In order along the runway. Speeds are searched between 1 m/s and the range of the physics.
    """
    aircraft, conditions = plan.case.aircraft, plan.conditions
    roll = landing_roll(aircraft, conditions, option.brake, option.reverse)
    places = gate_places(plan, exit_distance)
    result = simulate(roll, stations=[place for _, place in places])
    available = conditions.landing_distance_available
    fastest = min(MAXIMUM_GROUND_SPEED, roll.thrust_tables.true_airspeed[-1] - max(conditions.headwind, 0.0)) - 1e-6
    found = []
    for (name, place), passage in zip(places, result.passages, strict=True):
        if math.isnan(passage.ground_speed) or not passage.time > result.brakes_on_time:
            continue
        same = greatest(
            lambda speed, moment=passage.time, place=place: _spare_same_means(  # type: ignore[misc]
                roll, result, moment, place, speed, exit_distance, allowed, available
            ),
            LOWEST_SPEED,
            fastest,
            within=SPEED_WITHIN,
        )
        everything = greatest(
            lambda speed, moment=passage.time, place=place: _spare_everything(  # type: ignore[misc]
                plan, roll, result, moment, place, speed, available
            ),
            LOWEST_SPEED,
            fastest,
            within=SPEED_WITHIN,
        )
        found.append(
            Gate(name, place, passage.ground_speed, same, everything, _if_faster(same, everything, exit_distance))
        )
    return found


def _spare_same_means(
    roll: Roll,
    result: RollResult,
    time: float,
    place: float,
    speed: float,
    exit_distance: float | None,
    allowed: float | None,
    available: float,
) -> float:
    """Return what is left with the same means from a gate on: speed at the exit, or runway behind the stop."""
    rest = continue_from(roll, result, time, place, speed)
    if exit_distance is not None and allowed is not None:
        at_exit = simulate(replace(rest, limit_distance=exit_distance))
        return allowed - (0.0 if at_exit.stopped else at_exit.ground_speed)
    end = simulate(replace(rest, limit_distance=available))
    return available - end.distance if end.stopped else -end.ground_speed


def _spare_everything(
    plan: LandingPlan, roll: Roll, result: RollResult, time: float, place: float, speed: float, available: float
) -> float:
    """Return the runway behind the stop with full effort from a gate on; minus the speed over its end without one."""
    rest = _full_effort(plan, continue_from(roll, result, time, place, speed))
    end = simulate(replace(rest, limit_distance=available))
    return available - end.distance if end.stopped else -end.ground_speed


def _knots(limit: Greatest) -> str:
    return f"{math.floor((limit.value or 0.0) / KNOT)} kt"


def _if_faster(same: Greatest, everything: Greatest, exit_distance: float | None) -> str:
    goal = "the exit" if exit_distance is not None else "the stop"
    if everything.holds == "none of these":
        return "the runway does not suffice from here, whatever is done"
    enough = "at any speed" if everything.holds == "any in the range" else f"up to {_knots(everything)}"
    if same.holds == "any in the range":
        return f"{goal} still works at any speed"
    if same.holds == "none of these":
        return f"{goal} cannot be made from here; full pedal, full reverse: the runway suffices {enough}"
    return f"above {_knots(same)} give up {goal}: full pedal, full reverse; the runway suffices {enough}"
