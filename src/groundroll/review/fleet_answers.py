"""What a fleet of landings says, each answer with its uncertainty and the number it rests on."""

from __future__ import annotations

import hashlib
import math
from dataclasses import astuple, dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from groundroll.physics.arguments import FloatArray
from groundroll.review.forces import BIN_LENGTH, NORMAL_90
from groundroll.review.friction_map import Level, Pieces, fit_map

if TYPE_CHECKING:
    import polars

LATE_TOUCHDOWN: Final = 900.0
"""Touchdown further than this from the threshold counts as late. [m] Common practice, no source: the length of a
touchdown zone; see the source touchdown-zone."""

OUTLIER: Final = 4.0
"""Distance from the median, in robust standard deviations, that is worth a talk. [-] Assumption of this project."""

KEPT_FITS: Final = 64
"""Runways whose fitted map a process keeps. [-]"""

LEAST_COMMON: Final = 1e-3
"""Least deviation common to a landing, over the coefficient of the code. [-]"""

TRANSIENT: Final = 0.15
"""Noise of a piece, over the coefficient of the code, above which it is left out of the map: brakes coming on or let
go, where force and pressure of two moments meet. [-] Assumption of this project."""

COMMON_SHARE: Final = 0.7
OWN_SHARE: Final = 0.6
"""Shares of the deviations of a piece, common to its landing and its own, with which it enters the map. [-] Assumption
of this project, chosen on invented fleets: a review states its deviations with caution, and a map that takes errors for
larger than they are takes the slippery days, on which alone anyone brakes far down the runway, for less slippery than
they were, and so the far end for more slippery."""

WIDEST: Final = math.log(4.0)
"""Of the interval of a median, by the logarithm of its ends: a wider one tells nothing and is not given."""

LEAST_COUNT: Final = 3
"""Landings below which no spread is given. [-]"""


@dataclass(frozen=True)
class MapPiece:
    """Braking of one piece of one runway under one reported code."""

    aerodrome: str
    direction: str
    code: int
    start: float
    measured: int
    bounded: int
    """Landings that only bound it from below."""
    median: float | None
    """Of the coefficient over that of the reported code; None where nothing was measured. [-]"""
    low: float | None
    high: float | None
    """90 % interval of the median. [-]"""
    spread: float | None
    """Standard deviation of the logarithm from landing to landing. [-]"""
    at_least: float
    """Greatest lower bound, its own uncertainty taken off. [-]"""


@dataclass(frozen=True)
class Share:
    """A share of landings with its 90 % interval."""

    name: str
    count: int
    total: int
    low: float
    high: float

    @property
    def value(self) -> float:
        """Return the share. [-]"""
        return self.count / self.total if self.total else math.nan


@dataclass(frozen=True)
class MeanOf:
    """The mean of something with its 90 % interval."""

    name: str
    period: str
    count: int
    mean: float
    low: float
    high: float
    spread: float


@dataclass(frozen=True)
class Talk:
    """A landing far from the others, worth a talk."""

    file: str
    what: str
    value: float
    usual: float


@dataclass(frozen=True)
class FleetAnswers:
    """All answers about a data set."""

    reviewed: int
    set_aside: tuple[tuple[str, int], ...]
    """Reasons and how often."""
    friction_map: tuple[MapPiece, ...]
    exits: tuple[Share, ...]
    reverse: tuple[Share, ...]
    brakes: tuple[Share, ...]
    late: Share | None
    means: tuple[MeanOf, ...]
    changes: tuple[tuple[str, float, float, float], ...]
    """Second period less first, of each mean, with its 90 % interval."""
    causes: tuple[MeanOf, ...]
    """Metres by cause, from plan to what happened."""
    talks: tuple[Talk, ...]
    planned_exits: tuple[Share, ...] = ()
    """Landings that left the runway at the planned exit, before it or after it."""
    trends: tuple[tuple[str, float, float, float], ...] = ()
    """Change of something over all landings in the order of their files, with its 90 % interval."""


# ---- friction map ---------------------------------------------------------------------------------------------------


def friction_map(landings: polars.DataFrame) -> tuple[MapPiece, ...]:
    """Return the braking achieved along each runway, by reported code and piece of 50 m."""
    import polars as pl

    pieces = (
        landings.with_row_index("landing")
        .filter(pl.col("bins").list.len() > 0)
        .select("landing", "aerodrome", "direction", "bins")
        .explode("bins")
        .unnest("bins")
        .filter((pl.col("expected") > 0.0) & (pl.col("deviation") > 0.0))
    )
    found: list[MapPiece] = []
    for key, part in pieces.group_by("aerodrome", "direction", maintain_order=True):
        found += _runway_map(str(key[0]), str(key[1]), part.sort("landing", "start_m"))
    return tuple(sorted(found, key=lambda one: (one.aerodrome, one.direction, one.code, one.start)))


_FITTED: Final[dict[bytes, Level]] = {}
"""Fits of the last runways asked for, by all that went into them: a page that asks again need not wait again."""


def _fitted(pieces: Pieces, cells: int, linked: list[tuple[int, int]]) -> Level:
    said = hashlib.sha256(repr((cells, linked)).encode())
    for one in astuple(pieces):
        said.update(np.ascontiguousarray(one).tobytes())
    key = said.digest()
    if key not in _FITTED:
        if len(_FITTED) >= KEPT_FITS:
            _FITTED.pop(next(iter(_FITTED)))
        _FITTED[key] = fit_map(pieces, cells, linked)
    return _FITTED[key]


def _blurred(part: polars.DataFrame) -> NDArray[np.bool_]:
    """Return which pieces lie within one of where the reported code changes: a recording blurs the two surfaces."""
    landing, start, code = (part[name].to_numpy() for name in ("landing", "start_m", "code"))
    found = np.zeros(landing.size, dtype=bool)
    for first in np.flatnonzero((landing[1:] == landing[:-1]) & (code[1:] != code[:-1])) + 1:
        found |= (landing == landing[first]) & (np.abs(start - start[first]) <= BIN_LENGTH)
    return found


def _runway_map(aerodrome: str, direction: str, part: polars.DataFrame) -> list[MapPiece]:
    part = part.filter(~_blurred(part))
    keys = sorted(set(zip(part["code"].to_list(), part["start_m"].to_list(), strict=True)))
    number = {one: index for index, one in enumerate(keys)}
    cell = np.array([number[one] for one in zip(part["code"].to_list(), part["start_m"].to_list(), strict=True)])
    over, expected = {}, part["expected"].to_numpy()
    for name in ("coefficient", "deviation", "own_deviation", "asked", "asked_deviation"):
        over[name] = part[name].to_numpy() / expected
    value, deviation, asked = over["coefficient"], over["deviation"], over["asked"]
    measured = part["measured"].to_numpy()
    counts = np.bincount(cell[measured], minlength=len(keys))
    level = None
    if int(measured.sum()) >= LEAST_COUNT:
        linked = [
            (number[one], number[other])
            for one, other in pairwise(keys)
            if one[0] == other[0] and other[1] - one[1] <= 2.0 * BIN_LENGTH
        ]
        own = over["own_deviation"]
        whole = Pieces(
            landing=part["landing"].to_numpy().astype(np.int64),
            cell=cell,
            third=part["third"].to_numpy().astype(np.int64),
            value=value,
            asked=asked,
            held=part["held"].to_numpy().astype(np.int64),
            common=COMMON_SHARE * np.sqrt(np.maximum(deviation**2 - own**2, LEAST_COMMON**2)),
            noise=OWN_SHARE * np.hypot(own, over["asked_deviation"]),
        )
        telling = whole.chosen(np.isfinite(asked) & (whole.noise < OWN_SHARE * TRANSIENT))
        if np.any(telling.held == 0):
            level = _fitted(telling, len(keys), linked)
    bounds = np.full(len(keys), 0.0)
    np.maximum.at(bounds, cell, value - NORMAL_90 * deviation)
    every = np.bincount(cell, minlength=len(keys))
    found = []
    for (code, start), index in number.items():
        median = low = high = spread = None
        if level is not None and counts[index] >= LEAST_COUNT:
            middle, half = float(level.logarithm[index]), NORMAL_90 * float(level.deviation[index])
            if 2.0 * half < WIDEST:
                median, spread = math.exp(middle), level.spread
                low, high = math.exp(middle - half), math.exp(middle + half)
        known = int(counts[index])
        found.append(
            MapPiece(
                aerodrome,
                direction,
                int(code),
                float(start),
                known,
                int(every[index]) - known,
                median,
                low,
                high,
                spread,
                float(bounds[index]),
            )
        )
    return found


# ---- shares and means -----------------------------------------------------------------------------------------------


def wilson(count: int, total: int) -> tuple[float, float]:
    """Return the 90 % interval of a share.

    References
    ----------
    .. [1] E. B. Wilson, J. Amer. Statist. Assoc. 22 (1927) 209 (from memory).
    """
    if total == 0:
        return 0.0, 1.0
    share, square = count / total, NORMAL_90**2
    middle = (share + square / (2.0 * total)) / (1.0 + square / total)
    half = NORMAL_90 * math.sqrt(share * (1.0 - share) / total + square / (4.0 * total**2)) / (1.0 + square / total)
    return max(middle - half, 0.0), min(middle + half, 1.0)


def _shares(landings: polars.DataFrame, column: str) -> tuple[Share, ...]:
    known = landings[column].drop_nulls()
    counts = known.value_counts(sort=True)
    return tuple(
        Share(str(name), int(count), known.len(), *wilson(int(count), known.len())) for name, count in counts.rows()
    )


def mean_of(name: str, period: str, values: FloatArray) -> MeanOf:
    """Return a mean with its 90 % interval by Student's law."""
    from scipy.stats import t

    count = values.size
    mean = float(np.mean(values)) if count else math.nan
    spread = float(np.std(values, ddof=1)) if count > 1 else math.nan
    half = float(t.ppf(0.95, count - 1)) * spread / math.sqrt(count) if count > 1 else math.inf
    return MeanOf(name, period, count, mean, mean - half, mean + half, spread)


_MEASURES: Final = (
    ("touchdown distance [m]", "touchdown_distance_m"),
    ("touchdown ground speed [m/s]", "touchdown_ground_speed_mps"),
    ("mean deceleration [m/s2]", "mean_deceleration_mps2"),
    ("brake energy [J]", "brake_energy_j"),
    ("brake wear over the reference stop [-]", "brake_wear_share"),
    ("touchdown to reverse effective [s]", "reverse_time_s"),
    ("distance used beyond plan [m]", "beyond_plan_m"),
    ("share of the runway used [-]", "runway_used_share"),
)

_TRENDS: Final = (
    ("brake energy [J]", "brake_energy_j"),
    ("brake wear over the reference stop [-]", "brake_wear_share"),
    ("share of the runway used [-]", "runway_used_share"),
)


def _planned_exits(good: polars.DataFrame) -> tuple[Share, ...]:
    """Return how often the planned exit was made, of the landings whose exit and planned exit are known."""
    import polars as pl

    known = good.filter(pl.col("exit").is_not_null() & pl.col("planned_exit").is_not_null())
    if known.is_empty():
        return ()
    made, total = int((known["exit"] == known["planned_exit"]).sum()), known.height
    return tuple(
        Share(name, count, total, *wilson(count, total))
        for name, count in (("planned exit used", made), ("planned exit missed", total - made))
    )


def _trend(good: polars.DataFrame, name: str, column: str) -> tuple[str, float, float, float] | None:
    """Return the change from the first to the last landing by a straight line; None with fewer than ten landings."""
    from scipy.stats import linregress, t

    values = good.sort("file")[column].drop_nulls().to_numpy()
    if values.size < 10:
        return None
    line = linregress(np.linspace(0.0, 1.0, values.size), values)
    half = float(t.ppf(0.95, values.size - 2)) * float(line.stderr)
    return name, float(line.slope), float(line.slope) - half, float(line.slope) + half


def answers(landings: polars.DataFrame) -> FleetAnswers:
    """Return all answers about a data set as `groundroll.review.fleet.read_parts` gives it."""
    import polars as pl

    aside = landings.filter(pl.col("status") != "reviewed")
    kinds = aside.with_columns(reason=pl.col("reason").str.replace(r"^[^:]*\.(csv|txt|parquet)(:|,| )\s*", ""))[
        "reason"
    ]
    reasons = kinds.value_counts(sort=True).rows()
    good = landings.filter(pl.col("status") == "reviewed").with_columns(
        beyond_plan_m=pl.col("recorded_distance_m") - pl.col("planned_distance_m")
    )
    periods = sorted(str(one) for one in good["period"].drop_nulls().unique().to_list())
    means, changes, talks = [], [], []
    for name, column in _MEASURES:
        parts = []
        for period in periods:
            values = good.filter(pl.col("period") == period)[column].drop_nulls().to_numpy()
            parts.append(mean_of(name, period, values))
        means += [one for one in parts if one.count]
        if len(parts) >= 2 and parts[0].count > 2 and parts[-1].count > 2:
            half = NORMAL_90 * math.hypot(
                parts[0].spread / math.sqrt(parts[0].count), parts[-1].spread / math.sqrt(parts[-1].count)
            )
            change = parts[-1].mean - parts[0].mean
            changes.append((name, change, change - half, change + half))
        talks += _talks(good, name, column)
    causes = []
    if good.height:
        ledger = good.select("ledger").explode("ledger").drop_nulls().unnest("ledger")
        for cause in sorted(ledger["cause"].unique().to_list()):
            values = ledger.filter(pl.col("cause") == cause)["metres"].to_numpy()
            causes.append(mean_of(str(cause), "", np.concatenate([values, np.zeros(good.height - values.size)])))
    touchdowns = good["touchdown_distance_m"].drop_nulls()
    late = None
    if touchdowns.len():
        count = int((touchdowns > LATE_TOUCHDOWN).sum())
        late = Share("late touchdown", count, touchdowns.len(), *wilson(count, touchdowns.len()))
    return FleetAnswers(
        reviewed=good.height,
        set_aside=tuple((str(reason), int(count)) for reason, count in reasons),
        friction_map=friction_map(good),
        exits=_shares(good, "exit"),
        reverse=_shares(good, "reverse"),
        brakes=_shares(good, "brake"),
        late=late,
        means=tuple(means),
        changes=tuple(changes),
        causes=tuple(sorted(causes, key=lambda one: -abs(one.mean))),
        talks=tuple(talks),
        planned_exits=_planned_exits(good),
        trends=tuple(one for name, column in _TRENDS for one in [_trend(good, name, column)] if one is not None),
    )


def _talks(good: polars.DataFrame, name: str, column: str) -> list[Talk]:
    """Return the landings far from the median, by the median absolute deviation (1.4826 of it for a normal law)."""
    known = good.select("file", column).drop_nulls()
    if known.height < 10:
        return []
    values = known[column].to_numpy()
    usual = float(np.median(values))
    spread = 1.4826 * float(np.median(np.abs(values - usual)))
    if spread <= 0.0:
        return []
    far = np.flatnonzero(np.abs(values - usual) > OUTLIER * spread)
    return [Talk(str(known["file"][int(one)]), name, float(values[one]), usual) for one in far]
