"""What the wheel brakes achieved along the runway, what ruled them, and what that says about the surface."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

import numpy as np

from groundroll.constants import KNOT
from groundroll.physics.achieved_braking import AchievedBraking, achieved_braking
from groundroll.physics.arguments import FloatArray
from groundroll.physics.atmosphere import true_airspeed
from groundroll.physics.braking import BrakingCurve
from groundroll.physics.rollout import MAXIMUM_GROUND_SPEED, Roll
from groundroll.planning.landing_roll import REVERSES, Reverse, runway_third, working_reversers
from groundroll.reports.wording import PILOT_TERMS
from groundroll.review.events import Controls, Event
from groundroll.review.reading import Recording
from groundroll.review.setting import Setting
from groundroll.review.smoother import GRID_STEP, Motion
from groundroll.scenario.model import Aircraft
from groundroll.scenario.resolved import SurfaceThird

Ruled: TypeAlias = Literal["friction", "demand", "not known"]

BIN_LENGTH: Final = 50.0
"""Length of a piece of runway for which one coefficient is given. [m]"""

TIMING: Final = 0.5
"""Standard deviation of the time between thrust and deceleration as recorded. [s] Assumption of this project: samples
once a second, correlated within what 14 CFR 121 Appendix M allows."""

WINDOW: Final = 5.0
"""Time over which the force of the brakes must not push. [s] Assumption of this project."""

FORCE_NOISE: Final = 0.15
"""Standard deviation of a measured deceleration over `WINDOW`. [m/s2] Assumption of this project."""

LEAST_WEIGHT: Final = 0.05
"""Probability below which a use of reverse is ruled out. Assumption of this project."""

LEAST_SPEED: Final = 15.0
"""Below it the braking coefficient is not computed: turning and light braking tell nothing. [m/s]"""

LEAST_BRAKE: Final = 0.25
"""Deceleration by the wheel brakes that counts as braking. [m/s2] Assumption of this project."""

SHORTFALL: Final = 0.75
"""Achieved force over what the pressure asks for, below which friction ruled. Assumption of this project: the recorded
pressure is within 5 % (14 CFR 121 Appendix M no. 68), the gain of the brakes within about 15 %."""

SURE: Final = 1.0
"""Standard deviations of the force by which it must fall short. Assumption of this project: more would keep the lowest
measurements and lose the others."""

LEAST_SHARE: Final = 0.9
"""Share of a piece of runway that friction must have ruled for it to measure. Assumption of this project."""

STEADY_SPREAD: Final = 0.12
"""A deceleration that stays within this was held. [m/s2] Assumption of this project."""

STEADY_TIME: Final = 3.0
"""Shortest time that counts as holding. [s] Assumption of this project."""

NEAR_SETTING: Final = 0.15
"""A held deceleration this near to a setting of the automatic brakes is that setting. [m/s2] Assumption."""

NORMAL_90: Final = 1.6449
"""Standard deviations either side of a 90 % interval of a normal law."""


@dataclass(frozen=True)
class Bin:
    """One piece of the runway."""

    start: float
    end: float
    ground_speed: float
    coefficient: float
    """Achieved, over the load on the braked wheels. [-]"""
    aeroplane_coefficient: float
    """Achieved, over the load on all wheels. [-]"""
    deviation: float
    """Standard deviation of ``coefficient``, errors common to the whole roll included. [-]"""
    ruled: Ruled
    reported_code: int
    expected: float | None
    """Of the reported code at this speed; None for code 0. [-]"""
    third: int
    """Of the runway, from 0 in landing direction."""
    own_deviation: float
    """Standard deviation of ``coefficient`` by what is not common to the roll. [-]"""
    asked: float | None
    """Coefficient that the recorded pressure asks for by the aircraft file; None without pressure. [-]"""
    asked_deviation: float
    """Standard deviation of ``asked`` by the moment of the pressure. [-]"""
    held: bool
    """Whether automatic brakes held a deceleration."""


@dataclass(frozen=True)
class Finding:
    """What the landing says about the surface, in the words of the standard."""

    measured: bool
    """True where friction ruled somewhere; otherwise the word is a lower bound."""
    code: int | None
    """On the scale of the codes; None where nothing can be said."""
    word: str
    level: float
    """On the scale of the codes, with a fraction. [-]"""
    level_deviation: float
    confidence: float
    """Probability of the word, or of at least it. [-]"""
    metres: float
    """Length of runway it rests on. [m]"""
    reported: tuple[int, int, int]


@dataclass(frozen=True)
class Forces:
    """The balance of forces of a recorded roll."""

    balance: AchievedBraking
    span: tuple[int, int]
    """First and last index of the motion's grid used."""
    random_deviation: FloatArray
    """Of the braking coefficient, from the smoother. [-]"""
    common_deviation: FloatArray
    """Of the braking coefficient, from mass, wind, drag, lift, reverse, slope, density. [-]"""
    ruled: tuple[Ruled, ...]
    """Of each grid point in ``span``."""
    bins: tuple[Bin, ...]
    finding: Finding
    brake_energy: float
    """Of all brakes. [J]"""
    brake_energy_deviation: float
    brake_energy_interval: tuple[float, float]
    """90 % interval; where reverse is not recorded it spans what the engines may have done. [J]"""
    reverse_possible: tuple[Reverse, ...]
    """Uses of reverse that the deceleration allows, where reverse is not recorded."""
    peak_brake_force: float
    held: tuple[tuple[float, float, float], ...]
    """Spans of time in which a deceleration was held: first, last, deceleration."""


def base_roll(setting: Setting) -> Roll:
    """Return the roll that carries aeroplane, air and runway; its programs are not used."""
    return setting.roll


def held_spans(motion: Motion, first: int, last: int) -> tuple[tuple[float, float, float], ...]:
    """Return the longest spans in which the deceleration stayed within `STEADY_SPREAD` for `STEADY_TIME`."""
    spans: list[tuple[float, float, float]] = []
    slowing = motion.deceleration
    start = first
    count = round(STEADY_TIME / GRID_STEP)
    while start + count <= last:
        end = start + count
        if np.ptp(slowing[start:end]) > 2.0 * STEADY_SPREAD or np.mean(slowing[start:end]) < 0.5:
            start += 1
            continue
        low, high = float(np.min(slowing[start:end])), float(np.max(slowing[start:end]))
        while end < last:
            low, high = min(low, float(slowing[end])), max(high, float(slowing[end]))
            if high - low > 2.5 * STEADY_SPREAD:
                break
            end += 1
        spans.append((float(motion.time[start]), float(motion.time[end - 1]), float(np.median(slowing[start:end]))))
        start = end
    return tuple(spans)


def nearest_setting(aircraft: Aircraft, deceleration: float) -> str | None:
    """Return the setting of the automatic brakes that holds about this deceleration; None where none does."""
    automatic = aircraft.automatic_brakes
    if automatic is None:
        return None
    name = min(automatic.settings, key=lambda one: abs(automatic.settings[one] - deceleration))
    return name if abs(automatic.settings[name] - deceleration) <= NEAR_SETTING else None


def _balance(roll: Roll, motion: Motion, controls: Controls, first: int, last: int) -> AchievedBraking:
    part = slice(first, last)
    return achieved_braking(
        roll,
        motion.distance[part],
        np.minimum(motion.ground_speed[part], MAXIMUM_GROUND_SPEED),
        motion.deceleration[part],
        controls.spoilers[part],
        controls.nose[part],
        controls.engines[part],
    )


def _braked_until(motion: Motion, first: int, last: int) -> int:
    """Return when slowing down ends: where the speed is within 1 m/s of the least until then."""
    speed = motion.ground_speed[first : max(last, first + 1)]
    return first + int(np.argmax(speed < float(np.min(speed)) + 1.0)) + 1


def _weights(setting: Setting, balances: Sequence[AchievedBraking], mass: float) -> list[float]:
    """Return how likely each balance is: brakes slow an aeroplane down and never push it.

    More reverse than there was leaves a force of the brakes below zero. The weight is the probability that errors of
    the forces bring about a mean over `WINDOW` as low as the lowest, of either sign; below `LEAST_WEIGHT` it is 0.
    Before that all count alike.
    """
    if len(balances) == 1:
        return [1.0]
    window = np.full(round(WINDOW / GRID_STEP), GRID_STEP / WINDOW)
    found = []
    for one in balances:
        if one.brake_force.size <= window.size:
            return [1.0 / len(balances)] * len(balances)
        force = np.convolve(one.brake_force, window, mode="valid")
        lowest = int(np.argmin(force))
        here = slice(lowest, lowest + window.size)
        reverse = float(np.mean(one.thrust[here] - balances[0].thrust[here]))
        spread = math.hypot(
            setting.deviations.drag_share * float(np.mean(one.aerodynamic_drag[here])),
            setting.deviations.reverse_share * reverse,
            FORCE_NOISE * mass,
        )
        # The lowest of several windows lies below zero by chance too: about one deviation.
        found.append(min(2.0 * _normal(float(force[lowest]) / spread + 1.0), 1.0))
    greatest = max(found)
    shares = [one / greatest if one >= LEAST_WEIGHT * greatest else 0.0 for one in found]
    return [one / sum(shares) for one in shares]


def _by_course(
    setting: Setting,
    roll: Roll,
    motion: Motion,
    courses: Sequence[Controls],
    balances: Sequence[AchievedBraking],
    landed: Event,
    first: int,
) -> list[float]:
    """Return the variance of the brake energy that each course of the engines brings of its own. [J2]

    Thrust of the reversers, unless `disturbed` has counted it, and the moment of touchdown from which the times of
    reversers and spoilers run.
    """
    if len(courses) == 1:
        return [0.0]
    count = balances[0].thrust.size
    speed = motion.ground_speed[first : first + count]
    found = []
    for course, balance in zip(courses, balances, strict=True):
        more = _balance(roll, motion, _engines(course, 1.0 + setting.deviations.reverse_share), first, first + count)
        by_thrust = float(np.sum((more.thrust - balance.thrust) * speed) * GRID_STEP)
        others = balance.thrust - balance.aerodynamic_drag
        late = min(round(landed.time_deviation / GRID_STEP), count)
        shifted = np.concatenate([np.full(late, others[0]), others])[:count]
        by_time = float(np.sum((shifted - others) * speed) * GRID_STEP)
        found.append(by_thrust**2 + by_time**2)
    return found


def _mean_balance(balances: Sequence[AchievedBraking], weight: FloatArray, count: int) -> AchievedBraking:
    """Return the mean of balances that differ in thrust."""

    def mean(parts: list[FloatArray]) -> FloatArray:
        return np.average([one[:count] for one in parts], axis=0, weights=weight)

    return replace(
        balances[0].part(count),
        thrust=mean([one.thrust for one in balances]),
        brake_force=mean([one.brake_force for one in balances]),
        braked_load=mean([one.braked_load for one in balances]),
    )


def _engines(controls: Controls, factor: float) -> Controls:
    """Return the controls with reverse thrust multiplied."""
    engines = controls.engines.copy()
    engines[:, 1:3] *= factor
    return replace(controls, engines=engines)


def disturbed(roll: Roll, setting: Setting, controls: Controls) -> list[tuple[Roll, Controls]]:
    """Return the roll and its controls with each uncertain input one standard deviation off."""
    by = setting.deviations
    density = roll.density * (1.0 + by.density_share)
    drag = 1.0 + by.drag_share
    variants = [
        (replace(roll, mass=roll.mass * (1.0 + by.mass_share)), controls),
        (replace(roll, headwind=roll.headwind + by.headwind), controls),
        (
            replace(
                roll,
                drag_coefficient_stowed=roll.drag_coefficient_stowed * drag,
                drag_coefficient_deployed=roll.drag_coefficient_deployed * drag,
            ),
            controls,
        ),
        (
            replace(
                roll,
                lift_coefficient_stowed=roll.lift_coefficient_stowed + by.lift_coefficient,
                lift_coefficient_deployed=roll.lift_coefficient_deployed + by.lift_coefficient,
            ),
            controls,
        ),
        (replace(roll, slope=roll.slope + by.slope), controls),
        (
            replace(roll, density=density, density_ratio=roll.density_ratio * (1.0 + by.density_share)),
            controls,
        ),
    ]
    if controls.reverse_known and np.any(controls.engines[:, 1:3] > 0.0):
        variants.append((roll, _engines(controls, 1.0 + by.reverse_share)))
    return variants


def reverse_courses(setting: Setting, controls: Controls, landed: Event, motion: Motion) -> list[Controls]:
    """Return what the engines may have done: as recorded, else none, idle and full reverse by the aircraft file.

    Where nothing says whether reverse was used, the three count alike (assumption of this project).
    """
    times = setting.aircraft.reverse
    working = working_reversers(setting.aircraft, setting.conditions)
    if controls.reverse_known or times is None or working == 0:
        return [controls]
    conditions, since = setting.conditions, motion.time - landed.time - times.selected

    def after_slowing_to(calibrated: float) -> FloatArray:
        """Return the time since the airspeed fell to a value, negative before."""
        speed = true_airspeed(calibrated, conditions.pressure, conditions.temperature) - conditions.headwind
        passed = motion.time_below(float(speed), landed.time)
        return motion.time - (float(motion.time[-1]) + 1.0 if passed is None else passed)

    def ramp(time: FloatArray, length: float) -> FloatArray:
        return np.clip(time / max(length, 0.1), 0.0, 1.0)

    deployed = ramp(since, times.deploy) * (1.0 - ramp(after_slowing_to(times.stow_speed), times.stow_ramp))
    spooled = ramp(since - times.deploy, times.spool)
    spooled = spooled * (1.0 - ramp(after_slowing_to(times.cut_back_speed), times.cut_back_ramp))
    courses = [controls]
    for full in (0.0 * spooled, np.minimum(spooled, deployed)):
        engines = controls.engines.copy()
        engines[:, 2] = full * working
        engines[:, 1] = (deployed - full) * working
        engines[:, 0] = setting.aircraft.engines.count - engines[:, 1] - engines[:, 2]
        courses.append(replace(controls, engines=engines))
    return courses


def mixed_interval(
    values: Sequence[float], deviations: Sequence[float], weights: Sequence[float] | FloatArray
) -> tuple[float, float]:
    """Return the 90 % interval of a quantity that follows one of several normal laws, by their weights.

    Examples
    --------
    One law has its usual interval:

    >>> low, high = mixed_interval([10.0], [1.0], [1.0])
    >>> round(low, 2), round(high, 2)
    (8.36, 11.64)
    """

    parts = [
        (one, max(spread, 1e-12), float(weight))
        for one, spread, weight in zip(values, deviations, weights, strict=True)
    ]

    def below(at: float) -> float:
        total = 0.0
        for one, spread, weight in parts:
            total += weight * _normal((at - one) / spread)
        return total

    reach = 4.0 * max(deviations) + 1e-9
    found = []
    for share in (0.05, 0.95):
        low, high = min(values) - reach, max(values) + reach
        for _ in range(40):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if below(middle) < share else (low, middle)
        found.append(0.5 * (low + high))
    return found[0], found[1]


def forces_of(
    recording: Recording,
    setting: Setting,
    motion: Motion,
    controls: Controls,
    landed: Event,
    end: float,
) -> Forces:
    """Return the forces from touchdown until a time, and what ruled the brakes.

    Raises
    ------
    ValueError
        If a value lies outside the range of the physics.
    """
    roll = base_roll(setting)
    first = motion.index(landed.time)
    until = max(_braked_until(motion, first, motion.index(end)), first + 8)
    slow = np.flatnonzero(motion.ground_speed[first:until] < LEAST_SPEED)
    last = first + int(slow[0]) if slow.size else until
    last = max(last, first + 8)
    end_index = max(until, last)  # brakes work on where no coefficient is given
    courses = reverse_courses(setting, controls, landed, motion)
    balances = [_balance(roll, motion, one, first, end_index) for one in courses]
    weights = _weights(setting, balances, roll.mass)
    possible = [number for number, one in enumerate(weights) if one > 0.0]
    courses, balances = [courses[one] for one in possible], [balances[one] for one in possible]
    weight = np.array([weights[one] for one in possible])
    speed = motion.ground_speed[first:end_index]
    energies = [float(np.sum(one.brake_force * speed) * GRID_STEP) for one in balances]
    likely = courses[len(courses) // 2]
    # The mean over what the engines may have done; what they may have done adds to its deviation.
    balance = balances[len(courses) // 2].part(last - first)
    coefficients = np.array([one.part(last - first).braking_coefficient for one in balances])
    balance = balance if len(courses) == 1 else _mean_balance(balances, weight, last - first)
    square = np.average((coefficients - np.average(coefficients, axis=0, weights=weight)) ** 2, axis=0, weights=weight)
    energy_square = 0.0
    for other, moved in disturbed(roll, setting, likely):
        changed = _balance(other, motion, moved, first, end_index)
        middle = len(courses) // 2
        square = square + (changed.part(last - first).braking_coefficient - coefficients[middle]) ** 2
        work = float(np.sum(changed.brake_force * speed) * GRID_STEP)
        energy_square += (work - energies[middle]) ** 2
    energy = float(np.average(energies, weights=weight))
    own = [
        math.sqrt(energy_square + one) for one in _by_course(setting, roll, motion, courses, balances, landed, first)
    ]
    low, high = mixed_interval(energies, own, weight)
    # Parameters are not of one moment: where thrust or deceleration change quickly, the balance mixes two moments.
    changing = np.hypot(
        np.gradient(balance.thrust, GRID_STEP),
        roll.mass * np.gradient(motion.deceleration[first:last], GRID_STEP),
    )
    noise = np.hypot(roll.mass * motion.deceleration_deviation[first:last], TIMING * changing)
    random = noise / np.maximum(balance.braked_load, 1.0)
    held = held_spans(motion, first, last)
    spread = np.hypot(random, np.sqrt(square)) * balance.braked_load
    moments = motion.time[first : first + balance.brake_force.size]
    asked, automatic = _asked(recording, roll, moments), _automatic(recording, setting, held, moments)
    ruled = _rule(roll, balance, asked, automatic, spread)
    bins = _bins(setting, roll, motion, balance, random, np.sqrt(square), ruled, asked, automatic, first)
    return Forces(
        balance=balance,
        span=(first, last),
        random_deviation=random,
        common_deviation=np.sqrt(square),
        ruled=ruled,
        bins=bins,
        finding=find(setting, bins),
        brake_energy=max(energy, 0.0),
        brake_energy_deviation=math.sqrt(
            float(np.average(np.square(own) + np.square(np.array(energies) - energy), weights=weight))
        ),
        reverse_possible=tuple(REVERSES[one] for one in possible) if not controls.reverse_known else (),
        brake_energy_interval=(max(low, 0.0), max(high, 0.0)),
        peak_brake_force=float(np.max(balance.brake_force)),
        held=held,
    )


def _asked(recording: Recording, roll: Roll, time: FloatArray) -> FloatArray | None:
    """Return the force that the recorded pressure asks for by the aircraft file; None where none is recorded."""
    pressure = recording.get("brake_pressure")
    if pressure is None:
        return None
    return np.clip(pressure.at(time) / recording.mapping.full_brake_pressure, 0.0, 1.0) * roll.maximum_brake_force


def _automatic(
    recording: Recording, setting: Setting, held: Sequence[tuple[float, float, float]], time: FloatArray
) -> np.ndarray:
    """Return whether automatic brakes ruled the pressure: as recorded, else where a deceleration of theirs was held."""
    active = recording.get("automatic_brakes_active")
    if active is not None:
        return np.asarray(active.at(time) > 0.5)
    keeping = np.zeros(time.size, dtype=bool)
    for begin, end, level in held:
        if nearest_setting(setting.aircraft, level) is not None:
            keeping |= (time >= begin) & (time <= end)
    return keeping


def _rule(
    roll: Roll,
    balance: AchievedBraking,
    asked: FloatArray | None,
    automatic: np.ndarray,
    spread: FloatArray,
) -> tuple[Ruled, ...]:
    """Return what ruled the brakes at each moment.

    With pressure: friction, where the force stays short of what the pressure gives on a surface that can take it, by
    more than `SURE` times its ``spread`` explains.
    Without: demand, where a deceleration was held; elsewhere it is not known.
    """
    force = balance.brake_force
    braking = force > LEAST_BRAKE * roll.mass
    if asked is None:
        return tuple("demand" if one else "not known" for one in automatic | ~braking)
    # Pressure and force are not of one moment; a force too low by its own error alone is no shortfall either.
    doubt = np.hypot(spread, TIMING * np.gradient(asked, GRID_STEP))
    pressed = braking & (asked > 0.08 * roll.maximum_brake_force)
    steady = _lasting(pressed & (force < SHORTFALL * asked - SURE * doubt), round(1.5 / GRID_STEP))
    unsure = pressed & (force < SHORTFALL * asked + SURE * doubt) & ~steady
    return tuple(
        "friction" if one else "not known" if other else "demand" for one, other in zip(steady, unsure, strict=True)
    )


def _lasting(chosen: np.ndarray, least: int) -> np.ndarray:
    """Return the runs that last at least so many samples."""
    result = np.zeros(chosen.size, dtype=bool)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], chosen.astype(int), [0]])))
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        if end - start >= least:
            result[start:end] = True
    return result


def _bins(
    setting: Setting,
    roll: Roll,
    motion: Motion,
    balance: AchievedBraking,
    random: FloatArray,
    common: FloatArray,
    ruled: Sequence[Ruled],
    asked: FloatArray | None,
    automatic: np.ndarray,
    first: int,
) -> tuple[Bin, ...]:
    count = balance.brake_force.size
    distance = motion.distance[first : first + count]
    speed = motion.ground_speed[first : first + count]
    coefficient = balance.braking_coefficient
    aeroplane = balance.aeroplane_braking_coefficient
    braking = balance.brake_force > LEAST_BRAKE * roll.mass
    kinds: tuple[Ruled, ...] = ("friction", "demand", "not known")
    rule = np.array([kinds.index(one) for one in ruled])[braking]
    numbers = np.floor(distance / BIN_LENGTH).astype(np.int64)
    lowest, cells = int(np.min(numbers)), int(np.ptp(numbers)) + 1
    numbers = numbers[braking] - lowest
    counts = np.bincount(numbers, minlength=cells)
    by_kind = np.bincount(3 * numbers + rule, minlength=3 * cells).reshape(cells, 3)

    def means(values: FloatArray) -> FloatArray:
        return np.bincount(numbers, values[braking], cells) / np.maximum(counts, 1)

    wanted = np.zeros(count) if asked is None else asked
    by_moment = TIMING * np.abs(np.gradient(wanted, GRID_STEP))
    middles, achieved, whole, deviations, own, pressure, moved, by_itself = (
        means(one)
        for one in (
            speed,
            coefficient,
            aeroplane,
            np.hypot(random, common),
            random,
            wanted / np.maximum(balance.braked_load, 1.0),
            by_moment / np.maximum(balance.braked_load, 1.0),
            automatic.astype(np.float64),
        )
    )
    starts = (lowest + np.arange(cells)) * BIN_LENGTH
    thirds = np.searchsorted(np.asarray(roll.third_ends), starts + 0.5 * BIN_LENGTH, side="right")
    codes = [third.code for third in setting.conditions.thirds]
    expected = np.zeros(cells)
    for number in set(thirds.tolist()):
        if codes[number] != 0:
            here = (thirds == number) & (counts > 0)
            expected[here] = roll.thirds[number].braking.coefficient(middles[here])
    found = []
    for cell in np.flatnonzero(counts >= 2).tolist():
        kind = kinds[int(np.argmax(by_kind[cell]))]
        if kind == "friction" and by_kind[cell, 0] < LEAST_SHARE * counts[cell]:
            kind = "not known"
        code = codes[thirds[cell]]
        found.append(
            Bin(
                start=float(starts[cell]),
                end=float(starts[cell]) + BIN_LENGTH,
                ground_speed=float(middles[cell]),
                coefficient=float(achieved[cell]),
                aeroplane_coefficient=float(whole[cell]),
                deviation=float(deviations[cell]),
                ruled=kind,
                reported_code=code,
                expected=None if code == 0 else float(expected[cell]),
                third=int(thirds[cell]),
                own_deviation=float(own[cell]),
                asked=None if asked is None else float(pressure[cell]),
                asked_deviation=float(moved[cell]),
                held=kind == "demand" and float(by_itself[cell]) > 0.5,
            )
        )
    return tuple(found)


# ---- the finding ----------------------------------------------------------------------------------------------------


def code_curves(setting: Setting) -> Sequence[BrakingCurve]:
    """Return the braking curves of codes 1 to 6 on this runway for this aeroplane."""
    aircraft, conditions = setting.aircraft, setting.conditions
    if conditions.table is not None:
        return _code_curves(setting)
    brakes = aircraft.brakes
    key = (
        aircraft.tyres.main.pressure,
        brakes.anti_skid,
        brakes.certified_dry_coefficient,
        conditions.surface,
        conditions.dry_share,
        conditions.anti_skid_operative,
    )
    if key not in _CURVES:  # all landings of a fleet have the same
        if len(_CURVES) > 100:
            _CURVES.clear()
        _CURVES[key] = _code_curves(setting)
    return _CURVES[key]


_CURVES: Final[dict[tuple[object, ...], Sequence[BrakingCurve]]] = {}
"""Curves without a table of the user's own, by all that they depend on."""


def _code_curves(setting: Setting) -> Sequence[BrakingCurve]:
    return [
        runway_third(
            setting.aircraft,
            SurfaceThird(code, None, None, None),
            surface=setting.conditions.surface,
            dry_share=setting.conditions.dry_share,
            anti_skid_operative=setting.conditions.anti_skid_operative,
            table=setting.conditions.table,
        ).braking
        for code in range(1, 7)
    ]


def levels_of(
    curves: Sequence[BrakingCurve], ground_speed: Sequence[float], coefficient: FloatArray, deviation: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return coefficients on the scale of the codes, with their standard deviations.

    Code 0 has no coefficient and counts as nothing. A wet curve may lie below that of a lower code at high speed: the
    scale never turns back.
    """
    speed = np.asarray(ground_speed, dtype=np.float64)
    curve = np.vstack([np.zeros(speed.size), *(one.coefficient(speed) for one in curves)])
    values = (np.maximum.accumulate(curve, axis=0) + 1e-6 * np.arange(7)[:, None]).T
    scale = np.arange(7.0)
    level = np.empty(speed.size)
    spread = np.empty(speed.size)
    for number, row in enumerate(values):
        one, by = coefficient[number], deviation[number]
        level[number], low, high = np.interp([one, one - by, one + by], row, scale)
        spread[number] = max(0.5 * (high - low), 0.05)
    return level, spread


def _normal(value: float) -> float:
    return 0.5 * (1.0 + math.erf(value / math.sqrt(2.0)))


def word_of(code: int) -> str:
    """Return the braking action beside a code; code 6 has no word of its own and counts as GOOD."""
    return PILOT_TERMS[min(code, 5)]


def find(setting: Setting, bins: Sequence[Bin]) -> Finding:
    """Return the braking action that a landing shows, or the least it shows where friction never ruled."""
    reported = setting.conditions.thirds
    codes = (reported[0].code, reported[1].code, reported[2].code)
    ruled = [one for one in bins if one.ruled == "friction" and one.ground_speed > 20.0 * KNOT]
    curves = code_curves(setting)
    nothing = Finding(False, None, "nothing can be said", math.nan, math.nan, 0.0, 0.0, codes)
    if len(ruled) >= 2:
        levels, spreads = levels_of(curves, *_columns(ruled))
        level = float(np.mean(levels))
        # Errors of one roll are common to its pieces: they do not average out.
        deviation = float(np.mean(spreads))
        scatter = float(np.std(levels)) / math.sqrt(len(levels))
        deviation = math.hypot(deviation, scatter)
        code = min(max(round(level), 0), 6)
        high = math.inf if code >= 5 else code + 0.5
        low = -math.inf if code == 0 else min(code, 5) - 0.5
        confidence = _normal((high - level) / deviation) - _normal((low - level) / deviation)
        return Finding(
            True,
            code,
            word_of(code),
            level,
            deviation,
            confidence,
            sum(one.end - one.start for one in ruled),
            codes,
        )
    if not bins:
        return nothing
    speed, coefficient, own = _columns(bins)
    bounds, _ = levels_of(curves, speed, np.maximum(coefficient - NORMAL_90 * own, 0.0), np.zeros(len(bins)))
    best = int(np.argmax(bounds))
    level = float(bounds[best])
    code = min(max(math.floor(level + 0.5), 0), 5)
    if code == 0:
        return nothing
    _, spread = levels_of(curves, *_columns(bins[best : best + 1]))
    metres = sum(one.end - one.start for one in bins)
    return Finding(False, code, word_of(code), level, float(spread[0]), 0.95, metres, codes)


def _columns(bins: Sequence[Bin]) -> tuple[list[float], FloatArray, FloatArray]:
    """Return speeds, coefficients and deviations of pieces."""
    return (
        [one.ground_speed for one in bins],
        np.array([one.coefficient for one in bins]),
        np.array([one.deviation for one in bins]),
    )
