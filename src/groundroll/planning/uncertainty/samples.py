"""Scrambled Sobol points in replicates, and what replicates say about the error of an answer.

Each replicate is one scrambling of the Sobol sequence: an unbiased answer of its own. Their mean is the answer, their
spread its error. Points are drawn block by block, the same block of every replicate together, so that work can stop
after any block with all replicates equally far; block and chunk sizes change no digit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaincinv, ndtri, stdtrit

from groundroll.physics.arguments import FloatArray

CONFIDENCE: Final = 0.95
FEW: Final = 30
"""With fewer hits or misses the spread of replicates says too little; the interval is then that of a binomial law."""

LEAST_REPLICATES: Final = 8
MOST_REPLICATES: Final = 15
ROWS_AT_ONCE: Final = 8_192
"""Rolls computed together: about 16 MB of input rows."""
_EDGE: Final = 2.0**-33
"""Half the distance between neighbouring points: keeps them off 0 and 1."""

IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class Estimate:
    """A value with the interval that holds the truth with a probability of 95 %."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Layout:
    """How many points: replicates times a power of two, not less than was asked for."""

    replicates: int
    points: int
    """In each replicate; a power of two, as balance of the sequence needs."""

    @property
    def total(self) -> int:
        """Return the number of points."""
        return self.replicates * self.points


def layout_for(samples: int) -> Layout:
    """Return the layout with the fewest points that is not below ``samples``.

    Parameters
    ----------
    samples
        At least 1.

    Examples
    --------
    >>> layout_for(10_000)
    Layout(replicates=10, points=1024)
    """
    if samples < 1:
        raise ValueError(f"samples {samples} must be at least 1")
    exponents = [
        max(math.ceil(math.log2(samples / count)), 1) for count in range(LEAST_REPLICATES, MOST_REPLICATES + 1)
    ]
    found = [Layout(count, 2**power) for count, power in enumerate(exponents, LEAST_REPLICATES)]
    return min((one for one in found if one.total >= samples), key=lambda one: one.total)


def generator(seed: int, *purpose: int) -> np.random.Generator:
    """Return a generator of random numbers for one purpose; the same seed and purpose give the same numbers."""
    return np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, *purpose])))


class SobolNormals:
    """One scrambled Sobol sequence as standard normal numbers, drawn block by block."""

    def __init__(self, dimensions: int, seed: int, *purpose: int) -> None:
        from scipy.stats import qmc  # slow to import

        self._engine = qmc.Sobol(dimensions, scramble=True, rng=generator(seed, *purpose))

    def draw(self, count: int) -> FloatArray:
        """Return the next points.

        Parameters
        ----------
        count
            A power of two.

        Returns
        -------
        shape (count, dimensions)
        """
        uniform = np.clip(self._engine.random(count), _EDGE, 1.0 - _EDGE)
        return np.asarray(ndtri(uniform), dtype=np.float64)


def blocks(layout: Layout, dimensions: int, seed: int, rows_at_once: int = ROWS_AT_ONCE) -> Iterator[FloatArray]:
    """Yield standard normal points block by block.

    Parameters
    ----------
    layout
        Replicates and points.
    dimensions
        Columns.
    seed
        Same seed, same points.
    rows_at_once
        About how many rows a block may have; memory goes with it, results do not.

    Yields
    ------
    shape (replicates, block, dimensions)
    """
    sequences = [SobolNormals(dimensions, seed, 1, number) for number in range(layout.replicates)]
    block = 2 ** max(int(math.log2(max(rows_at_once / layout.replicates, 1.0))), 0)
    block = min(block, layout.points)
    for _ in range(layout.points // block):
        yield np.stack([sequence.draw(block) for sequence in sequences])


def _student(replicates: int) -> float:
    return float(stdtrit(replicates - 1, 0.5 + 0.5 * CONFIDENCE))


def _standard_error(shares: FloatArray, points: int) -> float:
    """Return the standard error of the mean of replicates; a count of points is whole, which rounds each share."""
    replicates = len(shares)
    return math.sqrt(float(np.var(shares, ddof=1)) / replicates + 1.0 / (12.0 * points**2 * replicates))


def binomial_interval(hits: int, count: int) -> tuple[float, float]:
    """Return the exact two-sided 95 % interval of a probability from independent trials (Clopper and Pearson).

    Parameters
    ----------
    hits, count
        Trials that hit, and all.

    Examples
    --------
    >>> low, high = binomial_interval(0, 100)
    >>> low, round(high, 3)
    (0.0, 0.036)
    """
    tail = 0.5 * (1.0 - CONFIDENCE)
    low = 0.0 if hits == 0 else float(betaincinv(hits, count - hits + 1, tail))
    high = 1.0 if hits == count else float(betaincinv(hits + 1, count - hits, 1.0 - tail))
    return low, high


def probability(hits: IntArray, points: int) -> Estimate:
    """Return a probability from the hits of each replicate.

    Parameters
    ----------
    hits : shape (replicates,)
        Points that hit.
    points
        Points in each replicate.

    Notes
    -----
    From the spread of the replicates, by Student's t. With few hits or misses by the binomial law as if points were
    independent, which they are not: stratified points err less, so that interval is too wide rather than too narrow.
    """
    shares = hits / points
    value = float(np.mean(shares))
    total, count = int(np.sum(hits)), points * len(hits)
    if min(total, count - total) < FEW:
        return Estimate(value, *binomial_interval(total, count))
    half = _student(len(hits)) * _standard_error(shares, points)
    return Estimate(value, max(value - half, 0.0), min(value + half, 1.0))


def mean(values: FloatArray) -> Estimate:
    """Return a mean from the means of replicates, by Student's t."""
    value = float(np.mean(values))
    half = _student(len(values)) * math.sqrt(float(np.var(values, ddof=1)) / len(values))
    return Estimate(value, value - half, value + half)


class Histogram:
    """Counts of a length in narrow bins, replicate by replicate: percentiles from bounded memory."""

    WIDTH: Final = 0.25
    """Of a bin; a percentile is interpolated inside its bin. [m]"""
    END: Final = 10_000.0
    """Lengths beyond it are counted together. [m]"""

    def __init__(self, replicates: int) -> None:
        self._bins = int(self.END / self.WIDTH) + 1
        self._counts = np.zeros((replicates, self._bins), dtype=np.int32)
        self._first, self._last = self._bins, 0  # bins in use

    def add(self, lengths: FloatArray) -> None:
        """Count lengths.

        Parameters
        ----------
        lengths : shape (replicates, n)
            Not negative. [m]
        """
        replicates = len(self._counts)
        number = np.minimum((lengths / self.WIDTH).astype(np.int64), self._bins - 1)
        first, last = int(number.min()), int(number.max())
        span = last - first + 1
        flat = (number - first + span * np.arange(replicates)[:, np.newaxis]).ravel()
        found = np.bincount(flat, minlength=span * replicates).reshape(replicates, span)
        self._counts[:, first : last + 1] += found.astype(np.int32)
        self._first, self._last = min(self._first, first), max(self._last, last)

    def percentiles(self, shares: Sequence[float]) -> dict[float, Estimate]:
        """Return the lengths below which shares lie.

        The interval is that of the share at the estimate, carried back to lengths: lengths whose shares cannot be told
        from the wanted one.

        Parameters
        ----------
        shares : shape (n,)
            Above 0, below 1. [-]
        """
        each = np.cumsum(self._counts[:, self._first : self._last + 1], axis=1, dtype=np.float64)
        together = each.sum(axis=0)
        return {share: self._percentile(each, together, share) for share in shares}

    def _percentile(self, each: FloatArray, together: FloatArray, share: float) -> Estimate:
        value = self._length(together, share)
        total, points, replicates = together[-1], each[0, -1], len(each)
        if not math.isfinite(value):
            return Estimate(math.inf, self._length(together, max(2.0 * share - 1.0, 0.0)), math.inf)
        if min(share, 1.0 - share) * total < FEW:
            low, high = binomial_interval(round(share * total), int(total))
        else:
            half = _student(replicates) * _standard_error(self._shares(each, value), int(points))
            low, high = share - half, share + half
        return Estimate(
            value,
            self._length(together, max(low, 0.5 / total)),
            self._length(together, high) if high < 1.0 else math.inf,
        )

    def _length(self, cumulative: FloatArray, share: float) -> float:
        """Return the length below which a share of all lies, infinite where it lies beyond the end."""
        wanted = share * cumulative[-1]
        number = int(np.searchsorted(cumulative, wanted))
        if self._first + number >= self._bins - 1:
            return math.inf
        before = cumulative[number - 1] if number > 0 else 0.0
        inside = (wanted - before) / max(cumulative[number] - before, 1.0)
        return (self._first + number + float(inside)) * self.WIDTH

    def _shares(self, each: FloatArray, length: float) -> FloatArray:
        """Return the share of each replicate at or below a length, interpolated inside its bin."""
        position = length / self.WIDTH - self._first
        whole = min(int(position), each.shape[1] - 1)
        before = each[:, whole - 1] if whole > 0 else np.zeros(len(each))
        counts = before + (position - whole) * (each[:, whole] - before)
        return np.asarray(counts / each[:, -1], dtype=np.float64)
