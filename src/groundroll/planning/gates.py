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
    ThrustStage,
    Trigger,
    continue_from,
    simulate,
)
from groundroll.planning.exits import Approach
from groundroll.planning.landing import LandingOption, LandingPlan
from groundroll.planning.landing_roll import MANUAL, landing_roll, working_reversers
from groundroll.planning.search import Greatest, greatest
from groundroll.planning.wording import Wording

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


def _speed_step(wording: Wording) -> float:
    """Return the last digit to which speeds are shown. [m/s]"""
    return {"kt": KNOT, "m/s": 0.1, "km/h": 1.0 / 3.6}[wording.display.speed]


def speed_at_most(speed: float, wording: Wording) -> str:
    """Return a greatest speed in words, rounded down: never more than holds."""
    step = _speed_step(wording)
    return wording.speed(math.floor(speed / step + 1e-9) * step)


def speed_at_least(speed: float, wording: Wording) -> str:
    """Return a least speed in words, rounded up."""
    step = _speed_step(wording)
    return wording.speed(math.ceil(speed / step - 1e-9) * step)


def gate_places(plan: LandingPlan, exit_distance: float | None) -> list[tuple[str, float]]:
    """Return the places of a plan, in order: end of the touchdown zone, exits abeam, signs of distance remaining.

    The zone is that of the distance available today; the signs stand where they stand when all of it is declared.
    """
    available = plan.conditions.landing_distance_available
    direction = plan.case.direction_data
    places = [("end of touchdown zone", touchdown_zone_length(available))]
    places += [(f"abeam {one.name}", one.distance) for one in direction.exits]
    if direction.distance_signs:
        declared = direction.landing_distance_available
        places += [(f"sign {number}", place) for number, place in distance_sign_places(declared)]
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
        if thrust and thrust[-1].reverse_idle + thrust[-1].reverse_full > 0.0:
            ready = max(REACTION_TIME, thrust[-1].value + thrust[-1].ramp)  # reversers still on their way out first
        else:
            thrust.append(ThrustStage(Trigger.TIME, REACTION_TIME, times.deploy, idle=rest, reverse_idle=working))
            ready = REACTION_TIME + times.deploy
        thrust.append(ThrustStage(Trigger.TIME, ready, times.spool, idle=rest, reverse_full=working))
    return replace(roll, brake_program=(*brakes, pedal), thrust_program=tuple(thrust))


def gates(plan: LandingPlan, option: LandingOption, approach: Approach | None) -> list[Gate]:
    """Return the gates of a plan between brakes-on and its exit (or its stop).

    Parameters
    ----------
    plan, option
        The plan and the option chosen.
    approach
        How the option is brought to the exit chosen; None where the plan is to stop.

    Returns
    -------
    list of Gate
        In order along the runway. Speeds are searched between 1 m/s and the range of the physics.

    Notes
    -----
    The same means: the brake setting and reverse of the plan. Before the hand-over the setting is then held for
    longer; after it the brakes are taken again `REACTION_TIME` after the gate, no harder than the setting.
    """
    aircraft, conditions = plan.case.aircraft, plan.conditions
    held = landing_roll(aircraft, conditions, option.brake, option.reverse)
    planned = held if approach is None else replace(held, brake_program=approach.brake_program)
    places = gate_places(plan, None if approach is None else approach.exit_distance)
    result = simulate(planned, stations=[place for _, place in places])
    released = next((event.time for event in result.events if event.name == "brake stage 2"), math.inf)
    available = conditions.landing_distance_available
    fastest = min(MAXIMUM_GROUND_SPEED, held.thrust_tables.true_airspeed[-1] - max(conditions.headwind, 0.0)) - 1e-6
    wording = Wording(plan.case.display)
    found = []
    for (name, place), passage in zip(places, result.passages, strict=True):
        if math.isnan(passage.ground_speed) or not passage.time > result.brakes_on_time:
            continue
        rest = continue_from(planned, result, passage.time, place, passage.ground_speed)
        again = released <= passage.time
        braked = [rest.brake_program[0]]
        if again:
            braked.append(replace(held.brake_program[0], trigger=Trigger.TIME, value=REACTION_TIME))
        same = _greatest_speed(replace(rest, brake_program=tuple(braked)), approach, available, fastest)
        everything = _greatest_speed(_full_effort(plan, rest), None, available, fastest)
        effort = "full pedal" if working_reversers(aircraft, conditions) == 0 else "full pedal, full reverse"
        goal = "the stop as planned" if approach is None else f"exit {approach.exit}"
        as_firm = "as firmly as planned" if option.brake == MANUAL else f"no harder than {option.brake}"
        sooner = f"brake again, {as_firm}" if again else ""
        what_to_do = _if_faster(same, everything, goal, sooner, effort, wording)
        found.append(Gate(name, place, passage.ground_speed, same, everything, what_to_do))
    return found


def _greatest_speed(rest: Roll, approach: Approach | None, available: float, fastest: float) -> Greatest:
    """Return the greatest speed at a gate from which ``rest`` makes its exit, or stops within the runway."""

    def spare(speed: float) -> float:
        faster = replace(rest, start_speed=speed)
        if approach is not None:
            at_exit = simulate(replace(faster, limit_distance=approach.exit_distance))
            return approach.allowed_speed - (0.0 if at_exit.stopped else at_exit.ground_speed)
        end = simulate(replace(faster, limit_distance=available))
        return available - end.distance if end.stopped else -end.ground_speed

    return greatest(spare, LOWEST_SPEED, fastest, within=SPEED_WITHIN)


def _if_faster(same: Greatest, everything: Greatest, goal: str, sooner: str, effort: str, wording: Wording) -> str:
    """Return what to do at a gate when faster than planned, in words; ``sooner`` is what helps first, if anything."""
    if everything.holds == "none of these":
        return "the runway does not suffice from here, whatever is done"
    if same.holds == "any in the range":
        return sooner or f"{goal} still works at any speed"
    if same.value is None:
        return f"give up {goal}: {effort}"
    last = f"above {speed_at_most(same.value, wording)} give up {goal}: {effort}"
    return f"{sooner}; {last}" if sooner else last
