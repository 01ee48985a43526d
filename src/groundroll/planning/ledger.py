"""Where the distance went: the difference between two landings, shared out among its causes without a favoured order.

Two landings differ in several things at once, and what one of them costs depends on the others: a tailwind costs more
on ice. The share of a cause is its Shapley value [1]_: the mean, over every order in which the causes could be changed
one after the other, of what its change adds. All combinations are rolled, so the shares are exact and add up to the
whole.

References
----------
.. [1] L. S. Shapley, A value for n-person games, in Contributions to the Theory of Games II (1953), 307-317 (from
   memory). Efficiency, symmetry and the null player are its defining properties; the tests hold them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal, TypeAlias, get_args

import numpy as np

from groundroll.constants import FOOT
from groundroll.kernels import layout as at
from groundroll.physics.arguments import FloatArray, check_range
from groundroll.physics.atmosphere import true_airspeed
from groundroll.physics.rollout import BrakeStage, Control, Roll, Trigger, case_of, run_cases
from groundroll.planning.landing_roll import LandingConditions, Reverse, landing_roll
from groundroll.scenario.model import Aircraft

Cause: TypeAlias = Literal[
    "threshold height",
    "threshold speed",
    "flare",
    "wind",
    "air density",
    "mass",
    "runway slope and length",
    "surface",
    "spoilers",
    "nose lowering",
    "brake timing",
    "brake demand",
    "reverse",
    "hand-over",
    "aeroplane",
]
CAUSES: Final[tuple[Cause, ...]] = get_args(Cause)

THRESHOLD_HEIGHT: Final = 50.0 * FOOT
"""Height of the wheels over the threshold behind planned distances. [m] Source: 14 CFR 25.125(a) (from memory)."""

GLIDE_PATH: Final = math.radians(3.0)
"""Along which a greater height moves the touchdown. [rad] Common practice, no source."""

_TIMES: Final = (at.SPOILER_START, at.SPOILER_RAMP, at.LIFT_DEPLOYED, at.DRAG_DEPLOYED)
_NOSE: Final = (at.NOSE_START, at.NOSE_RAMP)
_RUNWAY: Final = (at.SLOPE_SINE, at.SLOPE_COSINE, at.FIRST_THIRD_END, at.SECOND_THIRD_END)
_AIR: Final = (at.DENSITY, at.DENSITY_RATIO)
_SETTINGS: Final = (at.LIMIT_DISTANCE, at.LIMIT_TIME, at.TOLERANCE, at.LANDING, at.MAXIMUM_STEP, at.END_SPEED_ABOVE)


@dataclass(frozen=True)
class LandingSide:
    """One of the two landings compared: the air part by its own numbers, the rest as a roll.

    The first stage of the brake program starts at a time, every further one below a ground speed; a last stage that
    switches the brakes off is the hand-over, unless one is given.
    """

    roll: Roll
    calibrated_airspeed: float
    """Over the threshold. [m/s]"""
    pressure: float
    temperature: float
    speed_loss_share: float
    """Share of the ground speed lost from threshold to touchdown. [-]"""
    air_time: float | None = None
    """From the threshold to touchdown, at `THRESHOLD_HEIGHT`; None where ``air_distance`` is given. [s]"""
    air_distance: float = math.nan
    """The same as a distance, at `THRESHOLD_HEIGHT`. [m]"""
    threshold_height: float = THRESHOLD_HEIGHT
    """Of the wheels over the threshold. [m]"""
    hand_over: BrakeStage | None = None
    """What follows once the brakes of the landing were given up; None where the brake program says it or none is."""


@dataclass(frozen=True)
class LedgerEntry:
    """What one cause gained or lost."""

    cause: Cause
    metres: float
    """Positive where the other landing used more runway for it. [m]"""
    alone: float
    """What this cause changes by itself, all else as in the first landing. [m]"""


@dataclass(frozen=True)
class Ledger:
    """From one landing to another, in metres from the threshold until the same ground speed."""

    end_speed: float
    first_distance: float
    other_distance: float
    entries: tuple[LedgerEntry, ...]
    """Causes in which the two differ, the greatest first."""
    rolls: int
    """How many combinations were rolled."""
    other_touchdown: tuple[float, float] = field(default=(math.nan, math.nan))
    """Distance and ground speed at touchdown of the other landing. [m], [m/s]"""

    @property
    def difference(self) -> float:
        """Return the whole difference; the entries add up to it. [m]"""
        return self.other_distance - self.first_distance


def shapley_values(values: Sequence[float] | FloatArray) -> FloatArray:
    """Return the Shapley value of each player of a game.

    Parameters
    ----------
    values : shape (2**n,)
        Worth of each set of players; bit i of the index says whether player i takes part.

    Returns
    -------
    shape (n,)
        They add up to the worth of all less the worth of none.

    Raises
    ------
    ValueError
        If the number of values is not a power of two.

    Examples
    --------
    Two players who together make 10, alone 2 and 4:

    >>> shapley_values([0.0, 2.0, 4.0, 10.0]).tolist()
    [4.0, 6.0]
    """
    worth = np.asarray(values, dtype=np.float64)
    players = worth.size.bit_length() - 1
    if worth.size != 1 << players:
        raise ValueError(f"{worth.size} values; a game of n players has 2**n")
    sets = np.arange(worth.size)
    members = np.array([int(one).bit_count() for one in sets])
    shares = np.zeros(players)
    for player in range(players):
        without = sets[(sets >> player) & 1 == 0]
        size = members[without]
        weight = np.array(
            [
                math.factorial(k) * math.factorial(players - k - 1) / math.factorial(players)
                for k in range(max(players, 1))
            ]
        )[size]
        shares[player] = float(np.sum(weight * (worth[without | (1 << player)] - worth[without])))
    return shares


def side_of(aircraft: Aircraft, conditions: LandingConditions, brake: str, reverse: Reverse) -> LandingSide:
    """Return a planned landing with one choice of brakes and reverse as a side of a comparison."""
    roll = landing_roll(aircraft, conditions, brake, reverse)
    given = conditions.touchdown_distance
    return LandingSide(
        roll=roll,
        calibrated_airspeed=conditions.approach_speed,
        pressure=conditions.pressure,
        temperature=conditions.temperature,
        speed_loss_share=0.04 if conditions.touchdown_speed_loss is None else conditions.touchdown_speed_loss,
        air_time=conditions.air_time if given is None else None,
        air_distance=math.nan if given is None else given,
    )


class _Numbers:
    """A side as numbers that can be mixed with those of another one."""

    def __init__(self, side: LandingSide, stages: int) -> None:
        roll = replace(side.roll, brake_program=_padded(side, stages))
        self.row = case_of(roll)
        self.headwind = roll.headwind
        self.air = (side.pressure, side.temperature)
        self.calibrated_airspeed = side.calibrated_airspeed
        self.flare = (
            side.speed_loss_share,
            math.nan if side.air_time is None else side.air_time,
            side.air_distance if side.air_time is None else math.nan,
        )
        self.height = side.threshold_height
        # Speeds of the thrust program belong to the crew as airspeeds: wind and density move them over the ground.
        self.by_speed = [
            at.THRUST_PROGRAM + number * at.THRUST_STAGE_SIZE + 1
            for number, one in enumerate(roll.thrust_program)
            if one.trigger is Trigger.SPEED_BELOW
        ]
        self.row[self.by_speed] = (self.row[self.by_speed] + roll.headwind) * math.sqrt(roll.density_ratio)


def _demand_stages(side: LandingSide) -> tuple[list[BrakeStage], BrakeStage | None]:
    stages = list(side.roll.brake_program)
    if side.hand_over is not None:
        return stages, side.hand_over
    last = len(stages) > 1 and stages[-1].control is Control.OFF
    release = stages.pop() if last else None
    if not stages or stages[0].trigger is not Trigger.TIME:
        raise ValueError("the first stage of the brakes must start at a time")
    if any(one.trigger is not Trigger.SPEED_BELOW for one in stages[1:]):
        raise ValueError("every further stage of the brakes must start below a ground speed")
    return stages, release


def _padded(side: LandingSide, wanted: int) -> tuple[BrakeStage, ...]:
    """Return the program with ``wanted`` stages of demand (the first one said again) and a hand-over, if only at 0."""
    stages, release = _demand_stages(side)
    again = replace(stages[0], trigger=Trigger.TIME_AFTER, value=0.0)
    last = release if release is not None else BrakeStage(Trigger.SPEED_BELOW, 0.0, Control.OFF)
    return (stages[0], *([again] * (wanted - len(stages))), *stages[1:], last)


def _columns(cause: Cause, stages: int) -> list[int]:
    """Return the columns of a row that belong to a cause."""
    brakes, size = at.BRAKE_PROGRAM, at.BRAKE_STAGE_SIZE
    onset, release = brakes + 1, brakes + stages * size
    own: dict[Cause, Sequence[int]] = {
        "mass": (at.MASS,),
        "wind": (at.HEADWIND,),
        "air density": _AIR,
        "runway slope and length": _RUNWAY,
        "surface": (*range(at.THIRDS, at.THIRDS + 3 * at.THIRD_SIZE), at.FALL_OFF_EXPONENT),
        "spoilers": _TIMES,
        "nose lowering": _NOSE,
        "brake timing": (onset,),
        "brake demand": [column for column in range(brakes, release) if column != onset],
        "reverse": range(at.THRUST_PROGRAM, at.THRUST_PROGRAM + at.THRUST_STAGES * at.THRUST_STAGE_SIZE),
        "hand-over": range(release, release + size),
    }
    if cause != "aeroplane":
        return list(own.get(cause, ()))
    taken = {column for columns in own.values() for column in columns}
    taken |= {at.START_DISTANCE, at.START_SPEED, at.END_SPEED, *_SETTINGS}
    return [column for column in range(at.CASE_SIZE) if column not in taken]


def _differ(cause: Cause, first: _Numbers, other: _Numbers, stages: int) -> bool:
    if cause == "threshold height":
        return first.height != other.height
    if cause == "threshold speed":
        return first.calibrated_airspeed != other.calibrated_airspeed
    if cause == "flare":
        return not np.array_equal(first.flare, other.flare, equal_nan=True)
    columns = _columns(cause, stages)
    same = np.allclose(first.row[columns], other.row[columns], rtol=1e-12, atol=1e-12)
    return not same or (cause == "air density" and first.air != other.air)


def _rows(first: _Numbers, other: _Numbers, active: Sequence[Cause], stages: int, end_speed: float) -> FloatArray:
    """Return one row for each set of causes, in the order of the bits."""
    sets = np.arange(1 << len(active))
    taken = {cause: (sets >> bit) & 1 == 1 for bit, cause in enumerate(active)}
    rows = np.tile(first.row, (sets.size, 1))
    for cause, mask in taken.items():
        columns = _columns(cause, stages)
        rows[np.ix_(mask, columns)] = other.row[columns]

    def mixed(cause: Cause, one: float, two: float) -> FloatArray:
        return np.where(taken[cause], two, one) if cause in taken else np.full(sets.size, one)

    headwind = rows[:, at.HEADWIND]
    airspeed = np.empty(sets.size)
    for speed_of in (first, other):
        for air_of in (first, other):
            speeds = (mixed("threshold speed", 0.0, 1.0) == 1.0) == (speed_of is other)
            airs = (mixed("air density", 0.0, 1.0) == 1.0) == (air_of is other)
            airspeed[speeds & airs] = true_airspeed(speed_of.calibrated_airspeed, *air_of.air)
    loss, time, given = (mixed("flare", one, two) for one, two in zip(first.flare, other.flare, strict=True))
    height = mixed("threshold height", first.height, other.height)
    threshold = airspeed - headwind
    touchdown = threshold * (1.0 - loss)
    distance = np.where(np.isnan(time), given, np.nan_to_num(time) * 0.5 * (threshold + touchdown))
    rows[:, at.START_SPEED] = touchdown
    rows[:, at.START_DISTANCE] = distance + (height - THRESHOLD_HEIGHT) / math.tan(GLIDE_PATH)
    rows[:, at.END_SPEED] = end_speed
    scale = np.sqrt(rows[:, at.DENSITY_RATIO])
    from_other = taken.get("reverse", np.zeros(sets.size, dtype=bool))
    for side, mask in ((first, ~from_other), (other, from_other)):
        for column in side.by_speed:
            rows[mask, column] = rows[mask, column] / scale[mask] - headwind[mask]
    return rows


def ledger_between(first: LandingSide, other: LandingSide, *, end_speed: float = 0.0, workers: int = 1) -> Ledger:
    """Return what each cause gains or loses between two landings.

    Parameters
    ----------
    first, other
        The landings, such as what was planned and what happened.
    end_speed : scalar
        Distances count until the ground speed falls to this, 0 to 60 m/s. [m/s]
    workers
        Threads.

    Returns
    -------
    Ledger
        The entries add up to the difference within rounding.

    Raises
    ------
    ValueError
        If an input lies outside the range of the physics, or some combination of the two never slows down to
        ``end_speed``.

    Notes
    -----
    A greater height over the threshold moves the touchdown along a path of 3 degrees. Airspeeds at which reverse is
    reduced stay what they are when the wind is that of the other landing. Causes in which the two do not differ are
    null players and left out.
    """
    check_range("end_speed", end_speed, 0.0, 60.0, "m/s")
    stages = max(len(_demand_stages(side)[0]) for side in (first, other))
    if stages >= at.BRAKE_STAGES:
        raise ValueError(f"{stages} stages of brake demand; at most {at.BRAKE_STAGES - 1} fit beside the hand-over")
    one, two = _Numbers(first, stages), _Numbers(other, stages)
    active = [cause for cause in CAUSES if _differ(cause, one, two, stages)]
    rows = _rows(one, two, active, stages, end_speed)
    results = run_cases(rows, workers=workers)
    if not bool(np.all(results[:, at.STATUS] == at.STATUS_DONE)):
        worst = int(np.argmax(results[:, at.STATUS] != at.STATUS_DONE))
        names: list[str] = [cause for bit, cause in enumerate(active) if worst >> bit & 1]
        names = names or ["nothing"]
        raise ValueError(
            f"with {', '.join(names)} of the other landing the aeroplane is still at "
            f"{results[worst, at.FINAL_SPEED]:.1f} m/s after {results[worst, at.END_DISTANCE]:.0f} m; no ledger"
        )
    distances = results[:, at.END_DISTANCE]
    shares = shapley_values(distances)
    entries = [
        LedgerEntry(cause, float(share), float(distances[1 << bit] - distances[0]))
        for bit, (cause, share) in enumerate(zip(active, shares, strict=True))
    ]
    entries.sort(key=lambda entry: -abs(entry.metres))
    return Ledger(
        end_speed=end_speed,
        first_distance=float(distances[0]),
        other_distance=float(distances[-1]),
        entries=tuple(entries),
        rolls=rows.shape[0],
        other_touchdown=(float(rows[-1, at.START_DISTANCE]), float(rows[-1, at.START_SPEED])),
    )
