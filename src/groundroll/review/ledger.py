"""From plan to what happened: the recorded landing as a roll, and the ledger between the two."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np

from groundroll.constants import KNOT
from groundroll.physics.arguments import FloatArray
from groundroll.physics.atmosphere import calibrated_airspeed
from groundroll.physics.braking import BrakingCurve
from groundroll.physics.rollout import BrakeStage, Control, Roll, RunwayThird, ThrustStage, Trigger
from groundroll.planning.landing_roll import landing_roll, working_reversers
from groundroll.planning.ledger import THRESHOLD_HEIGHT, LandingSide, Ledger, ledger_between
from groundroll.review.events import Controls, Event
from groundroll.review.forces import LEAST_BRAKE, Forces
from groundroll.review.setting import Setting
from groundroll.review.smoother import GRID_STEP, Motion

MOST_PIECES: Final = 4
"""Pieces of steady deceleration by which the braking of a recorded landing is told to the model."""

PIECE_COST: Final = 0.4
"""A further piece must lower the sum of squared errors by this. [m2/s4 x s] Assumption of this project."""


RISE: Final = 1.5
"""Time left to the rise of the braking before its steady pieces begin. [s] Assumption of this project."""

USUAL_RATE: Final = 1.6
"""Rate at which braking rises where its start was not recorded. [m/s3] Assumption of this project."""

LEAST_ROLLING: Final = 0.05
"""Least deceleration of rolling on after the brakes were released. [m/s2] Assumption of this project."""


@dataclass(frozen=True)
class ReviewLedger:
    """The ledger from plan to the recorded landing, and what the model leaves unexplained."""

    ledger: Ledger
    """Until the end speed; the hand-over, rolling on after the brakes were released, is one of its causes."""
    recorded_distance: float
    """From the threshold until the end speed, as recorded. [m]"""
    end_speed: float
    from_touchdown: bool
    """True where the threshold could not be located: the air distance, and the share of speed lost on it, then count
    as planned; the speed at touchdown is the recorded one."""

    @property
    def planned_distance(self) -> float:
        """Return the distance as planned. [m]"""
        return self.ledger.first_distance

    @property
    def hand_over(self) -> float:
        """Return the share of the hand-over. [m]"""
        return sum(one.metres for one in self.ledger.entries if one.cause == "hand-over")

    @property
    def not_explained(self) -> float:
        """Return what is left between the recorded landing and the model of it. [m]"""
        return self.recorded_distance - self.ledger.other_distance

    @property
    def difference(self) -> float:
        """Return recorded less planned: the entries and what is not explained add up to it. [m]"""
        return self.recorded_distance - self.planned_distance


def steady_pieces(time: FloatArray, deceleration: FloatArray, most: int = MOST_PIECES) -> list[tuple[int, int, float]]:
    """Return the best division into pieces of steady deceleration: first and last index (exclusive), and its level.

    Dynamic programming over the sum of squared errors; a further piece must pay `PIECE_COST`.
    """
    count = deceleration.size
    stride = max(count // 80, 1)
    edges = [*range(0, count, stride)]
    if edges[-1] != count:
        edges.append(count)
    sums = np.concatenate([[0.0], np.cumsum(deceleration)])
    squares = np.concatenate([[0.0], np.cumsum(deceleration**2)])
    step = float(np.mean(np.diff(time))) if count > 1 else 1.0
    nodes = np.array(edges)

    # cost[a, b]: squared error of one piece from edge a to edge b
    length = nodes[None, :] - nodes[:, None]
    total = sums[nodes][None, :] - sums[nodes][:, None]
    square = squares[nodes][None, :] - squares[nodes][:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        cost = np.where(length > 0, (square - total**2 / np.where(length > 0, length, 1)) * step, np.inf)
    best = cost[0].copy()
    back = [np.zeros(nodes.size, dtype=int)]
    values = [best]
    for _ in range(1, most):
        table = values[-1][:, None] + cost
        back.append(np.argmin(table, axis=0))
        values.append(np.min(table, axis=0))
    errors = [float(one[-1]) + PIECE_COST * number for number, one in enumerate(values)]
    pieces = int(np.argmin(errors))
    cuts = [nodes.size - 1]
    for number in range(pieces, 0, -1):
        cuts.append(int(back[number][cuts[-1]]))
    cuts.append(0)
    cuts.reverse()
    found = []
    for left, right in pairwise(cuts):
        a, b = int(nodes[left]), int(nodes[right])
        if b > a:
            found.append((a, b, float(np.mean(deceleration[a:b]))))
    return found


def brake_program(
    setting: Setting, motion: Motion, forces: Forces, landed: Event, brakes: Event, end_speed: float, *, timed: bool
) -> tuple[tuple[BrakeStage, ...], BrakeStage | None]:
    """Return the recorded braking as stages, and the hand-over where braking ended above ``end_speed``.

    Parameters
    ----------
    setting, motion, forces, landed, brakes
        The landing.
    end_speed
        Until which distances count. [m/s]
    timed
        Whether the start of the braking was measured. Then the rate of its rise is chosen, otherwise its start, so that
        a straight rise to the first steady piece takes as much speed as the brakes took.
    """
    first, last = forces.span
    mass = setting.conditions.mass
    start = max(motion.index(brakes.time) - first, 0)
    force = forces.balance.brake_force
    braking = force > LEAST_BRAKE * mass
    speed = motion.ground_speed[first:last]
    slowing = motion.deceleration[first:last]
    stop = int(np.argmax(speed < end_speed)) if np.any(speed < end_speed) else speed.size
    used = np.flatnonzero(braking[:stop])
    release = int(used[-1]) + 1 if used.size else stop
    # Braking that ends within a second of the end speed did not end before it.
    released = release < stop - round(1.0 / GRID_STEP)
    end = release if released else stop
    start = min(start, max(end - 4, 0))
    body = slice(min(start + round(RISE / GRID_STEP), max(end - 2, 0)), end)
    pieces = steady_pieces(motion.time[first:last][body], slowing[body])
    offset = body.start
    onset, rate = _rise(force / mass, start, offset, brakes.time - landed.time, timed=timed)
    rules = np.array(forces.ruled)
    stages: list[BrakeStage] = []
    for number, (a, b, level) in enumerate(pieces):
        friction = np.mean(rules[offset + a : offset + b] == "friction") > 0.5
        # Where friction ruled the crew asked for more than it gave: the surface of that third then says what came.
        target = level + 1.0 if friction else level
        if number == 0:
            stages.append(BrakeStage(Trigger.TIME, onset, Control.AUTOMATIC, target, rate))
        else:
            below = float(speed[offset + a])
            stages.append(BrakeStage(Trigger.SPEED_BELOW, below, Control.AUTOMATIC, target, 2.0))
    hand_over = None
    if released:
        rolled = max(float(motion.time[first + stop - 1] - motion.time[first + release]), GRID_STEP)
        level = max(float(speed[release] - speed[stop - 1]) / rolled, LEAST_ROLLING)
        hand_over = BrakeStage(Trigger.SPEED_BELOW, float(speed[release]), Control.AUTOMATIC, level, 2.0)
    return tuple(stages), hand_over


def _rise(brakes: FloatArray, start: int, body: int, onset: float, *, timed: bool) -> tuple[float, float]:
    """Return when the braking starts after touchdown, and how fast it rises, so that it takes the recorded speed.

    A rise at rate r to the level L, from t on, has taken L (T - t) - L^2 / (2 r) at a later time T.
    """
    level = max(float(np.mean(brakes[body : body + 4])), 0.1)
    until = body * GRID_STEP
    taken = float(np.sum(np.maximum(brakes[:body], 0.0))) * GRID_STEP if not timed else None
    if taken is None:
        taken = float(np.sum(np.maximum(brakes[start:body], 0.0))) * GRID_STEP
        left = level * (until - start * GRID_STEP) - taken
        return max(onset, 0.0), float(np.clip(0.5 * level**2 / max(left, 1e-6), 0.4, 6.0))
    return max(until - taken / level - 0.5 * level / USUAL_RATE, 0.0), USUAL_RATE


def recorded_thirds(roll: Roll, forces: Forces) -> tuple[RunwayThird, RunwayThird, RunwayThird]:
    """Return the thirds as the landing met them: measured where friction ruled, at least what was reached elsewhere."""
    ends = (-math.inf, *roll.third_ends, math.inf)
    thirds = []
    for number, third in enumerate(roll.thirds):
        inside = [one for one in forces.bins if ends[number] <= 0.5 * (one.start + one.end) < ends[number + 1]]
        ruled = [one for one in inside if one.ruled == "friction" and one.expected]
        others = [one for one in inside if one.expected]
        factor = 1.0
        if ruled:
            factor = sum(one.coefficient for one in ruled) / sum(one.expected or 0.0 for one in ruled)
        elif others:
            factor = max(1.0, *(1.05 * one.coefficient / (one.expected or 1.0) for one in others))
        thirds.append(third if factor == 1.0 else replace(third, braking=_scaled(third.braking, max(factor, 0.05))))
    return thirds[0], thirds[1], thirds[2]


def _scaled(curve: BrakingCurve, factor: float) -> BrakingCurve:
    first, second, third, fourth, fifth, sixth = (factor * one for one in curve.coefficients)
    return replace(
        curve,
        coefficients=(first, second, third, fourth, fifth, sixth),
        cap=factor * curve.cap,
        above_switch=factor * curve.above_switch,
    )


def thrust_program(setting: Setting, controls: Controls, events: Sequence[Event], landed: Event) -> list[ThrustStage]:
    """Return what the engines did, as stages."""
    aircraft = setting.aircraft
    engines = aircraft.engines.count
    program = [ThrustStage(Trigger.TIME, 0.0, idle=engines)]
    named = {one.name: one for one in events}
    times = aircraft.reverse
    effective = named.get("reverse effective")
    working = working_reversers(aircraft, setting.conditions)
    if times is None or effective is None or working == 0:
        return program
    rest = engines - working
    full = float(np.max(controls.reverse_share))
    peak = full * working
    ramp = times.spool if full > 0.0 else 0.0
    out = max(effective.time - landed.time - 0.8 * ramp - times.deploy, 0.0)
    program.append(ThrustStage(Trigger.TIME, out, times.deploy, idle=rest, reverse_idle=working))
    if full > 0.0:
        program.append(
            ThrustStage(
                Trigger.TIME_AFTER, times.deploy, times.spool, idle=rest, reverse_full=peak, reverse_idle=working - peak
            )
        )
    reduced, stowed = named.get("reverse reduced"), named.get("reverse stowed")
    if reduced is not None and full > 0.0:
        # The event is halfway down: the reduction began half a ramp before.
        began = reduced.time - 0.5 * times.cut_back_ramp
        speed = reduced.ground_speed + 0.5 * times.cut_back_ramp * 1.0
        if began > effective.time:
            program.append(
                ThrustStage(Trigger.SPEED_BELOW, speed, times.cut_back_ramp, idle=rest, reverse_idle=working)
            )
    if stowed is not None:
        program.append(ThrustStage(Trigger.SPEED_BELOW, stowed.ground_speed, times.stow_ramp, idle=engines))
    return program


def recorded_side(
    setting: Setting,
    motion: Motion,
    forces: Forces,
    controls: Controls,
    events: Sequence[Event],
    planned: LandingSide,
    *,
    end_speed: float,
    located: bool,
    spoilers_known: bool,
    threshold_height: float | None,
) -> LandingSide:
    """Return the recorded landing as a side of a ledger.

    What the recording does not tell is as planned.

    Raises
    ------
    ValueError
        If a value lies outside the range of the physics.
    """
    named = {one.name: one for one in events}
    landed = named["touchdown"]
    brakes = named.get("brakes on", landed)
    conditions = setting.conditions
    base = setting.roll
    timed = brakes.found_by == "brake pressure"
    stages, hand_over = brake_program(setting, motion, forces, landed, brakes, end_speed, timed=timed)
    roll = replace(
        base,
        brake_program=stages,
        thirds=recorded_thirds(base, forces),
        thrust_program=thrust_program(setting, controls, events, landed)
        if controls.reverse_known
        else likely_thrust(setting, forces, planned),
    )
    start, out = named.get("spoilers start"), named.get("spoilers out")
    if spoilers_known and start is not None:
        ramp = max(out.time - start.time, 0.1) if out is not None else base.spoilers_ramp
        roll = replace(roll, spoilers_start=max(start.time - landed.time, 0.0), spoilers_ramp=ramp)
    nose = named.get("nose wheel down")
    if nose is not None and not nose.found_by.startswith("not recorded"):
        began = max(nose.time - landed.time - base.nose_ramp, 0.0)
        roll = replace(roll, nose_start=began, nose_ramp=max(nose.time - landed.time - began, 0.1))
    over = named.get("threshold")
    if not located or over is None:
        # How fast it touched down is recorded, wherever the threshold was: only the way there counts as planned.
        fast = landed.ground_speed / (1.0 - planned.speed_loss_share) + roll.headwind
        return LandingSide(
            roll=roll,
            calibrated_airspeed=calibrated_airspeed(
                max(fast, 40.0 * KNOT), conditions.pressure, conditions.temperature
            ),
            pressure=conditions.pressure,
            temperature=conditions.temperature,
            speed_loss_share=planned.speed_loss_share,
            air_time=planned.air_time,
            air_distance=planned.air_distance,
            threshold_height=planned.threshold_height,
            hand_over=hand_over,
        )
    airspeed = max(over.ground_speed + roll.headwind, 40.0 * KNOT)
    height = THRESHOLD_HEIGHT if threshold_height is None else threshold_height
    beyond = (height - THRESHOLD_HEIGHT) / math.tan(math.radians(3.0))
    return LandingSide(
        roll=roll,
        calibrated_airspeed=calibrated_airspeed(airspeed, conditions.pressure, conditions.temperature),
        pressure=conditions.pressure,
        temperature=conditions.temperature,
        speed_loss_share=float(np.clip(1.0 - landed.ground_speed / max(over.ground_speed, 1.0), -0.2, 0.5)),
        air_distance=landed.distance - beyond,
        threshold_height=height,
        hand_over=hand_over,
    )


def likely_thrust(setting: Setting, forces: Forces, planned: LandingSide) -> Sequence[ThrustStage]:
    """Return the thrust as planned where the recording allows it, else the most reverse that it allows."""
    most: Sequence[ThrustStage] = ()
    for reverse in forces.reverse_possible:
        program = landing_roll(setting.aircraft, setting.conditions, "manual", reverse).thrust_program
        if len(program) == len(planned.roll.thrust_program):
            return planned.roll.thrust_program
        most = max(most, program, key=len)
    return most


def ledger_of(
    planned: LandingSide, recorded: LandingSide, motion: Motion, landed: Event, *, end_speed: float, located: bool
) -> ReviewLedger:
    """Return the ledger until the end speed.

    Raises
    ------
    ValueError
        If some combination of plan and record never slows down to it.
    """
    reached = motion.time_below(end_speed, landed.time)
    if reached is None:
        raise ValueError(f"the recording ends before the speed falls below {end_speed / KNOT:.0f} kt")
    ledger = ledger_between(planned, recorded, end_speed=end_speed)
    start = 0.0 if located else ledger.other_touchdown[0] - landed.distance
    return ReviewLedger(
        ledger=ledger,
        recorded_distance=motion.at(reached)[0] + start,
        end_speed=end_speed,
        from_touchdown=not located,
    )
