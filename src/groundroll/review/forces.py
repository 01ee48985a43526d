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
from groundroll.physics.braking import BrakingCurve
from groundroll.physics.rollout import MAXIMUM_GROUND_SPEED, Roll
from groundroll.planning.landing_roll import landing_roll, runway_third
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

UNKNOWN_REVERSE: Final = 1.4
"""Standard deviation of reverse thrust that is not recorded, over half of full reverse. [-] Assumption of this project:
so wide that 90 % intervals of the brake energy of invented landings hold the truth."""

LEAST_SPEED: Final = 15.0
"""Below it the braking coefficient is not computed: turning and light braking tell nothing. [m/s]"""

LEAST_BRAKE: Final = 0.25
"""Deceleration by the wheel brakes that counts as braking. [m/s2] Assumption of this project."""

SHORTFALL: Final = 0.75
"""Achieved force over what the pressure asks for, below which friction ruled. Assumption of this project: the recorded
pressure is within 5 % (14 CFR 121 Appendix M no. 68), the gain of the brakes within about 15 %."""

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
    peak_brake_force: float
    held: tuple[tuple[float, float, float], ...]
    """Spans of time in which a deceleration was held: first, last, deceleration."""


def base_roll(setting: Setting) -> Roll:
    """Return the roll that carries aeroplane, air and runway; its programs are not used."""
    return landing_roll(setting.aircraft, setting.conditions, "manual", "none")


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
    if np.any(controls.engines[:, 1:3] > 0.0):
        variants.append((roll, _engines(controls, 1.0 + by.reverse_share)))
    return variants


def _unknown_reverse(setting: Setting, controls: Controls, landed: Event, motion: Motion) -> tuple[Controls, float]:
    """Return controls halfway between none and full reverse, and the share of it that is its standard deviation.

    Where nothing says whether reverse was used, either end lies `UNKNOWN_REVERSE` standard deviations away.
    """
    aircraft = setting.aircraft
    times = aircraft.reverse
    if controls.reverse_known or times is None:
        return controls, 0.0
    since = motion.time - landed.time - times.selected - times.deploy
    share = np.clip(since / max(times.spool, 0.1), 0.0, 1.0)
    share = np.where(motion.ground_speed > times.cut_back_speed, share, 0.0)
    engines = controls.engines.copy()
    engines[:, 2] = 0.5 * share * aircraft.engines.count
    engines[:, 0] = aircraft.engines.count - engines[:, 2]
    return replace(controls, engines=engines), UNKNOWN_REVERSE


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
    first, last = motion.index(landed.time), max(motion.index(end), motion.index(landed.time) + 8)
    slow = np.flatnonzero(motion.ground_speed[first:last] < LEAST_SPEED)
    last = first + int(slow[0]) if slow.size else last
    last = max(last, first + 8)
    likely, unknown = _unknown_reverse(setting, controls, landed, motion)
    balance = _balance(roll, motion, likely, first, last)
    coefficient = balance.braking_coefficient
    square = np.zeros(coefficient.size)
    energy_square = 0.0
    speed = motion.ground_speed[first:last]
    energy = float(np.sum(balance.brake_force * speed) * GRID_STEP)
    spread = (
        setting if unknown == 0.0 else replace(setting, deviations=replace(setting.deviations, reverse_share=unknown))
    )
    for other, moved in disturbed(roll, spread, likely):
        changed = _balance(other, motion, moved, first, last)
        square += (changed.braking_coefficient - coefficient) ** 2
        work = float(np.sum(changed.brake_force * speed) * GRID_STEP)
        energy_square += (work - energy) ** 2
    # Parameters are not of one moment: where thrust or deceleration change quickly, the balance mixes two moments.
    changing = np.hypot(
        np.gradient(balance.thrust, GRID_STEP),
        roll.mass * np.gradient(motion.deceleration[first:last], GRID_STEP),
    )
    noise = np.hypot(roll.mass * motion.deceleration_deviation[first:last], TIMING * changing)
    random = noise / np.maximum(balance.braked_load, 1.0)
    held = held_spans(motion, first, last)
    ruled = _rule(recording, setting, roll, motion, balance, first, held)
    bins = _bins(setting, roll, motion, balance, random, np.sqrt(square), ruled, first)
    return Forces(
        balance=balance,
        span=(first, last),
        random_deviation=random,
        common_deviation=np.sqrt(square),
        ruled=ruled,
        bins=bins,
        finding=find(setting, bins),
        brake_energy=max(energy, 0.0),
        brake_energy_deviation=math.sqrt(energy_square),
        peak_brake_force=float(np.max(balance.brake_force)),
        held=held,
    )


def _rule(
    recording: Recording,
    setting: Setting,
    roll: Roll,
    motion: Motion,
    balance: AchievedBraking,
    first: int,
    held: Sequence[tuple[float, float, float]],
) -> tuple[Ruled, ...]:
    """Return what ruled the brakes at each moment.

    With pressure: friction, where the force stays short of what the pressure gives on a surface that can take it.
    Without: demand, where a deceleration was held; elsewhere it is not known.
    """
    force = balance.brake_force
    count = force.size
    time = motion.time[first : first + count]
    braking = force > LEAST_BRAKE * roll.mass
    pressure = recording.get("brake_pressure")
    if pressure is not None:
        asked = np.clip(pressure.at(time) / recording.mapping.full_brake_pressure, 0.0, 1.0) * roll.maximum_brake_force
        # Force follows pressure within a second or so; a piece counts only when it lasts.
        short = (force < SHORTFALL * asked) & (asked > 0.08 * roll.maximum_brake_force)
        steady = _lasting(short & braking, round(1.5 / GRID_STEP))
        return tuple("friction" if one else "demand" for one in steady)
    keeping = np.zeros(count, dtype=bool)
    for begin, end, level in held:
        known = nearest_setting(setting.aircraft, level) is not None
        if known:
            keeping |= (time >= begin) & (time <= end)
    return tuple("demand" if one else "not known" for one in keeping | ~braking)


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
    first: int,
) -> tuple[Bin, ...]:
    count = balance.brake_force.size
    distance = motion.distance[first : first + count]
    speed = motion.ground_speed[first : first + count]
    coefficient = balance.braking_coefficient
    aeroplane = balance.aeroplane_braking_coefficient
    braking = balance.brake_force > LEAST_BRAKE * roll.mass
    words = np.array(ruled)
    found = []
    for number in range(math.floor(distance[0] / BIN_LENGTH), math.floor(distance[-1] / BIN_LENGTH) + 1):
        start, end = number * BIN_LENGTH, (number + 1) * BIN_LENGTH
        inside = (distance >= start) & (distance < end) & braking
        if inside.sum() < 2:
            continue
        kinds: tuple[Ruled, ...] = ("friction", "demand", "not known")
        kind = max(kinds, key=lambda one: int(np.sum(words[inside] == one)))
        middle = float(np.mean(speed[inside]))
        third = int(np.searchsorted(np.asarray(roll.third_ends), 0.5 * (start + end), side="right"))
        code = setting.conditions.thirds[third].code
        expected = None if code == 0 else float(roll.thirds[third].braking.coefficient(middle))
        found.append(
            Bin(
                start=start,
                end=end,
                ground_speed=middle,
                coefficient=float(np.mean(coefficient[inside])),
                aeroplane_coefficient=float(np.mean(aeroplane[inside])),
                deviation=float(np.mean(np.hypot(random[inside], common[inside]))),
                ruled=kind,
                reported_code=code,
                expected=expected,
            )
        )
    return tuple(found)


# ---- the finding ----------------------------------------------------------------------------------------------------


def code_curves(setting: Setting) -> list[BrakingCurve]:
    """Return the braking curves of codes 1 to 6 on this runway for this aeroplane."""
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


def level_of(
    curves: Sequence[BrakingCurve], ground_speed: float, coefficient: float, deviation: float
) -> tuple[float, float]:
    """Return a coefficient on the scale of the codes, with its standard deviation.

    Code 0 has no coefficient and counts as nothing. A wet curve may lie below that of a lower code at high speed: the
    scale never turns back.
    """
    values = np.maximum.accumulate([0.0, *(float(one.coefficient(ground_speed)) for one in curves)])
    values = values + 1e-6 * np.arange(7)
    spread = [coefficient, coefficient - deviation, coefficient + deviation]
    level, low, high = (float(one) for one in np.interp(spread, values, np.arange(7.0)))
    return level, max(0.5 * (high - low), 0.05)


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
        levels = [level_of(curves, one.ground_speed, one.coefficient, one.deviation) for one in ruled]
        level = float(np.mean([one for one, _ in levels]))
        # Errors of one roll are common to its pieces: they do not average out.
        deviation = float(np.mean([spread for _, spread in levels]))
        scatter = float(np.std([one for one, _ in levels])) / math.sqrt(len(levels))
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
    bounds = [
        (level_of(curves, one.ground_speed, max(one.coefficient - NORMAL_90 * one.deviation, 0.0), 0.0)[0], one)
        for one in bins
    ]
    level, best = max(bounds, key=lambda pair: pair[0])
    code = min(max(math.floor(level + 0.5), 0), 5)
    if code == 0:
        return nothing
    _, spread = level_of(curves, best.ground_speed, best.coefficient, best.deviation)
    return Finding(False, code, word_of(code), level, spread, 0.95, sum(one.end - one.start for one in bins), codes)
