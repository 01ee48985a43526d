"""How likely the roll ends beyond the end: two methods, what it takes, and what happens then."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from groundroll.kernels import layout as at
from groundroll.physics.arguments import FloatArray
from groundroll.planning.uncertainty.inputs import Inputs
from groundroll.planning.uncertainty.rare import (
    RareEstimate,
    agree,
    importance_sampling,
    subset_simulation,
)
from groundroll.planning.uncertainty.rows import SampledRoll, in_parts, rolled

RARE: Final = 1e-3
"""Below it the answer rests on the tails of the distributions. [-] Assumption of this project: the tails beyond three
standard deviations have never been seen in any sample that these distributions could have come from."""

NOTABLE: Final = 1.0
"""An input is named where its mean among the overruns lies this far out. [standard deviations]"""

PERCENTILES: Final = (0.05, 0.5, 0.95)
BEYOND: Final = (30.0, 60.0, 150.0, 300.0)
"""Distances beyond the end for which the share that stops within them is told. [m] Assumption of this project."""


@dataclass(frozen=True)
class Cause:
    """Where one input lies on average when the roll ends beyond the end."""

    name: str
    label: str
    deviations: float
    """From its median, in standard deviations of its normal number. [-]"""
    status: str
    """Who says how the input is distributed."""


@dataclass(frozen=True)
class Overrun:
    """The probability to stop beyond the distance available, and what happens then."""

    importance: RareEstimate
    subset: RareEstimate
    agreed: bool | None
    """Whether both methods agree; None where only one has an answer."""
    causes: tuple[Cause, ...]
    """Inputs that lie far out, farthest first."""
    warning: str
    """What the number rests on, in words; empty where it rests on what is common."""
    speeds: dict[float, float]
    """Ground speed at the end of the distance available, given an overrun: percentile and value. [m/s]"""
    stops: dict[float, float]
    """Distance of the stop beyond the end, given an overrun. [m]"""
    within: dict[float, float]
    """Share of the overruns that stops within a distance beyond the end. [-]"""

    @property
    def best(self) -> RareEstimate:
        """Return the estimate to show first: importance sampling, where it found anything."""
        return self.importance if self.importance.resolved or not self.subset.resolved else self.subset


def limit_state_of(
    inputs: Inputs, roll: SampledRoll, available: float, workers: int
) -> Callable[[FloatArray], FloatArray]:
    """Return the distance available less the stop distance, a function of standard normal numbers. [m]

    The roll goes on beyond the end, so the function is continuous there. One that has not stopped after 20 km, or 15
    min, counts with the distance it came.
    """

    def stop_short(z: FloatArray) -> FloatArray:
        results, _ = rolled(roll.rows(inputs.samples(z)))
        return available - results[:, at.END_DISTANCE]

    return lambda z: in_parts(stop_short, z, workers)


def weighted_percentile(values: FloatArray, weights: FloatArray, share: float) -> float:
    """Return the value below which a share of the weight lies.

    Examples
    --------
    >>> weighted_percentile(np.array([3.0, 1.0, 2.0]), np.array([0.2, 0.5, 0.3]), 0.6)
    2.0
    """
    order = np.argsort(values, kind="stable")
    cumulative = np.cumsum(weights[order])
    return float(values[order][min(int(np.searchsorted(cumulative, share * cumulative[-1])), len(values) - 1)])


def overrun_of(
    inputs: Inputs,
    roll: SampledRoll,
    available: float,
    *,
    seed: int,
    workers: int,
    progress: Callable[[str, int], None] | None = None,
) -> Overrun:
    """Return how likely a roll ends beyond the end, and what happens then.

    Parameters
    ----------
    inputs
        What is uncertain.
    roll
        The choice of brakes and reverse.
    available : scalar
        Landing distance available. [m]
    seed
        Same seed, same digits.
    workers
        Threads; the digits do not depend on them.
    progress
        Called with what is being done and the number of rolls just done.
    """
    limit_state = limit_state_of(inputs, roll, available, workers)

    def told(text: str) -> Callable[[int], None] | None:
        return None if progress is None else lambda done: progress(text, done)

    importance = importance_sampling(
        limit_state, inputs.dimensions, seed=seed, progress=told("Overrun, importance sampling")
    )
    # What has been stopped once is not begun again with the other method.
    subset = subset_simulation(
        limit_state,
        inputs.dimensions,
        seed=seed,
        most_evaluations=3_000_000 if importance.complete else 0,
        progress=told("Overrun, subset simulation"),
    )
    best = importance if importance.resolved or not subset.resolved else subset
    causes = _causes(inputs, best)
    speeds: dict[float, float] = {}
    stops: dict[float, float] = {}
    within: dict[float, float] = {}
    if len(best.points):
        beyond = -best.values
        at_end = _speeds_at_end(inputs, roll, best.points, available, workers)
        speeds = {share: weighted_percentile(at_end, best.weights, share) for share in PERCENTILES}
        stops = {share: weighted_percentile(beyond, best.weights, share) for share in PERCENTILES}
        within = {distance: float(best.weights[beyond <= distance].sum()) for distance in BEYOND}
    return Overrun(
        importance,
        subset,
        agree(importance, subset),
        causes,
        _warning(best, causes),
        speeds,
        stops,
        within,
    )


def _speeds_at_end(inputs: Inputs, roll: SampledRoll, points: FloatArray, available: float, workers: int) -> FloatArray:
    def at_end(z: FloatArray) -> FloatArray:
        rows = roll.rows(inputs.samples(z))
        speeds = rolled(rows, np.array([available]))[1][:, 0]
        return np.where(np.isnan(speeds), rows[:, at.START_SPEED], speeds)  # touchdown beyond the end

    return in_parts(at_end, points, workers)


def _causes(inputs: Inputs, estimate: RareEstimate) -> tuple[Cause, ...]:
    if not len(estimate.points):
        return ()
    means = estimate.weights @ estimate.points
    listed = {one.name: one for one in inputs.listed}
    found = []
    for name, value in zip(inputs.names, means, strict=True):
        if abs(value) >= NOTABLE:
            found.append(Cause(name, listed[name].label, float(value), listed[name].status))
    return tuple(sorted(found, key=lambda one: -abs(one.deviations)))


def _warning(estimate: RareEstimate, causes: tuple[Cause, ...]) -> str:
    if not estimate.resolved:
        return "No overrun was found: within these distributions it is less likely than can be told apart."
    if estimate.probability >= RARE:
        return ""
    names = ", ".join(f"{one.label} {one.deviations:+.1f}" for one in causes) or "no single input"
    assumed = [one.label for one in causes if one.status == "assumption of this project"]
    measured = (
        f" Nobody has measured how often that happens: {', '.join(assumed)} "
        f"{'is' if len(assumed) == 1 else 'are'} distributed as this project assumes."
        if assumed
        else ""
    )
    return (
        f"This number rests on the tails of the distributions (mean deviation when it happens: {names}).{measured} "
        "Take it as a comparison between choices, not as a frequency."
    )
