"""Probabilities too small to be met by plain sampling, by two methods that share nothing but the question.

The question is a limit state: a function of independent standard normal numbers, zero or negative where it happens.

Importance sampling looks for the most probable points at which it happens, samples around them and weighs each sample
by how much more often it was drawn than it occurs. Subset simulation goes there in steps of which each holds a tenth
of the one before, with Markov chains of conditional normal numbers. Either can miss what the other finds, so both are
run and compared.

References
----------
.. [1] Hasofer and Lind (1974), Rackwitz and Fiessler (1978): iteration to the most probable point (from memory).
.. [2] Au and Beck, Probabilistic Engineering Mechanics 16 (2001) 263: subset simulation (from memory).
.. [3] Papaioannou, Betz, Zwirglmaier, Straub, Probabilistic Engineering Mechanics 41 (2015) 89: conditional sampling
   with an adapted correlation (from memory).
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from scipy.special import logsumexp, ndtr

from groundroll.physics.arguments import FloatArray
from groundroll.planning.uncertainty.samples import Estimate, SobolNormals, generator

LimitState = Callable[[FloatArray], FloatArray]
"""From standard normal numbers, shape (n, d), to values, shape (n,): zero or negative where the event happens."""

Method = Literal["importance sampling", "subset simulation"]

LEAST_PROBABILITY: Final = 1e-9
"""Smaller ones are not told apart: "below" this is all that is said. [-] Assumption of this project."""

WANTED_VARIATION: Final = 0.05
"""Both methods go on until their coefficient of variation is this small, or their work is used up. [-]"""

CHAIN_ERROR: Final = 0.03
"""Allowed for what Markov chains of this length err upwards, as a share of the probability. [-] Measured on linear
limit states, 2 %; the rest is assumption of this project."""

FARTHEST: Final = 7.0
"""Standard deviations within which a most probable point is looked for; beyond it lies less than 1e-11. [-]"""

STEP: Final = 0.05
"""Of the difference quotients. [standard deviations]"""


@dataclass(frozen=True)
class RareEstimate:
    """What one method says."""

    method: Method
    probability: float
    coefficient_of_variation: float
    """Standard error over the probability; infinite where the method found nothing. [-]"""
    evaluations: int
    """Rolls used."""
    seconds: float
    complete: bool
    """False where it was stopped by the user."""
    points: FloatArray
    """Samples at which it happens, shape (m, d)."""
    values: FloatArray
    """Limit state there, shape (m,)."""
    weights: FloatArray
    """Share of each of these samples in the probability, sum 1, shape (m,)."""

    @property
    def resolved(self) -> bool:
        """Return whether there is a number to rely on, rather than a bound."""
        return self.probability >= LEAST_PROBABILITY and math.isfinite(self.coefficient_of_variation)

    @property
    def interval(self) -> Estimate:
        """Return the probability with its 95 % interval, normal in the logarithm."""
        spread = math.sqrt(math.log1p(self.coefficient_of_variation**2)) if self.resolved else math.inf
        factor = math.exp(min(1.96 * spread, 700.0))
        return Estimate(self.probability, self.probability / factor, min(self.probability * factor, 1.0))


def agree(first: RareEstimate, second: RareEstimate) -> bool | None:
    """Return whether two methods agree within three standard errors of their difference; None where one is silent."""
    if not (first.resolved and second.resolved):
        return None if first.resolved != second.resolved else True
    errors = [one.probability * one.coefficient_of_variation for one in (first, second)]
    return abs(first.probability - second.probability) <= 3.0 * math.hypot(*errors)


class _Counted:
    """A limit state that counts its evaluations and tells how far it has come."""

    def __init__(self, limit_state: LimitState, progress: Callable[[int], None] | None) -> None:
        self._limit_state = limit_state
        self._progress = progress
        self.evaluations = 0

    def __call__(self, z: FloatArray) -> FloatArray:
        values = self._limit_state(z)
        self.evaluations += len(z)
        if self._progress is not None:
            self._progress(len(z))
        return values


# ------------------------------------------------------------------------------------------------ importance sampling


def most_probable_points(limit_state: LimitState, dimensions: int, seed: int) -> FloatArray:
    """Return the most probable points at which it happens, nearest first.

    Parameters
    ----------
    limit_state
        The question.
    dimensions
        Columns.
    seed
        Of the points from which the search starts.

    Returns
    -------
    shape (k, dimensions)
        None, one or several.

    Notes
    -----
    The search starts from the origin and from the worst of widely spread points that point in different directions,
    all together, so that an event that can come about in two ways shows both.
    """
    spread = SobolNormals(dimensions, seed, 2).draw(1024)
    spread *= np.repeat([1.0, 2.0, 3.0, 4.0], 256)[:, np.newaxis]
    values = limit_state(spread)
    starts = [np.zeros(dimensions)]
    for number in np.argsort(values, kind="stable"):
        length = float(np.linalg.norm(spread[number]))
        one = spread[number] * min(1.0, 4.0 / length)
        if all(np.dot(one, other) < 0.3 * np.linalg.norm(one) * np.linalg.norm(other) for other in starts[1:]):
            starts.append(one)
        if len(starts) == 4:
            break
    points = np.array(starts)
    heights = limit_state(points)
    scale = max(float(np.median(np.abs(values))), 1e-300)
    best_points, best_heights = points.copy(), heights.copy()
    for iteration in range(25):
        moved = points[:, np.newaxis, :] + STEP * np.eye(dimensions)
        slopes = (
            limit_state(moved.reshape(-1, dimensions)).reshape(len(points), dimensions) - heights[:, np.newaxis]
        ) / STEP
        steepness = np.sum(slopes**2, axis=1)
        flat = steepness <= 1e-16 * scale**2
        safe = np.where(flat, 1.0, steepness)
        wanted = ((np.sum(slopes * points, axis=1) - heights) / safe)[:, np.newaxis] * slopes
        length = np.linalg.norm(wanted, axis=1, keepdims=True)
        wanted *= np.minimum(1.0, FARTHEST / np.maximum(length, 1e-300))
        # Full steps first; later ones are halved, which ends the swinging of curved limit states.
        share = 1.0 if iteration < 6 else 0.5
        step = np.where(flat[:, np.newaxis], 0.0, share * (wanted - points))
        points = points + step
        heights = limit_state(points)
        closer = np.abs(heights) < np.abs(best_heights)
        best_points[closer], best_heights[closer] = points[closer], heights[closer]
        if float(np.max(np.linalg.norm(step, axis=1))) < 0.02:
            break
    candidates = np.concatenate([points, best_points])
    heights = np.concatenate([heights, best_heights])
    candidates = candidates[heights <= 0.05 * scale]
    order = np.argsort(np.linalg.norm(candidates, axis=1), kind="stable")
    kept: list[FloatArray] = []
    for one in candidates[order]:
        if all(np.linalg.norm(one - other) > 1.0 for other in kept):
            kept.append(one)
    return np.array(kept).reshape(-1, dimensions)


def importance_sampling(
    limit_state: LimitState,
    dimensions: int,
    *,
    seed: int,
    wanted_variation: float = WANTED_VARIATION,
    most_evaluations: int = 400_000,
    batch: int = 4_096,
    progress: Callable[[int], None] | None = None,
) -> RareEstimate:
    """Return the probability of an event by sampling where it happens.

    Parameters
    ----------
    limit_state
        The question.
    dimensions
        Columns.
    seed
        Same seed, same digits.
    wanted_variation : scalar
        Goes on until the coefficient of variation is below it. [-]
    most_evaluations
        Stops there in any case.
    batch
        Samples drawn together.
    progress
        Called with the number of evaluations just done.

    Notes
    -----
    Drawn from a mixture of unit normal laws at the most probable points, in the shares of their probabilities were each
    a half-space, and of one at the origin with a twentieth of the samples. After three batches the mixture gets a law
    with the mean and the covariance of what was found, which suits a curved limit state better.
    """
    begin = time.perf_counter()
    counted = _Counted(limit_state, progress)
    found_points: list[FloatArray] = []
    found_values: list[FloatArray] = []
    found_weights: list[FloatArray] = []
    complete = True
    probability, variation = 0.0, math.inf
    try:
        centres = most_probable_points(counted, dimensions, seed)
        if len(centres):
            mixture = _Mixture.around(centres)
            random = generator(seed, 3)
            estimates: list[tuple[float, float, int]] = []
            round_weights: list[FloatArray] = []
            batches = 0
            while counted.evaluations < most_evaluations:
                z = mixture.draw(random, batch)
                values = counted(z)
                happens = values <= 0.0
                weights = np.where(happens, np.exp(-0.5 * np.sum(z**2, axis=1) - mixture.log_density(z)), 0.0)
                found_points.append(z[happens])
                found_values.append(values[happens])
                found_weights.append(weights[happens])
                round_weights.append(weights)
                batches += 1
                drawn = np.concatenate(round_weights)
                estimates_now = [*estimates, _mean_and_error(drawn)]
                probability, variation = _combined(estimates_now)
                if batches >= 5 and variation <= wanted_variation:
                    break
                if batches == 3 and variation > 0.0:
                    # A new mixture is a new, independent round; rounds are weighted by their number of samples.
                    better = mixture.refined(np.concatenate(found_points), np.concatenate(found_weights))
                    if better is not None:
                        estimates.append(_mean_and_error(drawn))
                        round_weights = []
                        mixture = better
    except KeyboardInterrupt:
        complete = False
    points = np.concatenate(found_points) if found_points else np.zeros((0, dimensions))
    values = np.concatenate(found_values) if found_values else np.zeros(0)
    weights = np.concatenate(found_weights) if found_weights else np.zeros(0)
    total = float(weights.sum())
    return RareEstimate(
        "importance sampling",
        probability,
        variation,
        counted.evaluations,
        time.perf_counter() - begin,
        complete,
        points,
        values,
        weights / total if total > 0.0 else weights,
    )


def _mean_and_error(weights: FloatArray) -> tuple[float, float, int]:
    count = len(weights)
    return float(np.mean(weights)), float(np.std(weights, ddof=1)) / math.sqrt(count), count


def _combined(rounds: list[tuple[float, float, int]]) -> tuple[float, float]:
    """Return the mean of rounds by their number of samples, and its coefficient of variation."""
    total = sum(count for _, _, count in rounds)
    probability = sum(count * value for value, _, count in rounds) / total
    error = math.sqrt(sum((count * error) ** 2 for _, error, count in rounds)) / total
    return probability, error / probability if probability > 0.0 else math.inf


class _Mixture:
    """A mixture of normal laws, its densities without the constant of the standard normal law."""

    def __init__(self, shares: FloatArray, centres: FloatArray, roots: list[FloatArray]) -> None:
        self._shares, self._centres, self._roots = shares, centres, roots

    @staticmethod
    def around(points: FloatArray) -> _Mixture:
        """Return unit laws around points, in the shares of the half-spaces behind them, and one at the origin."""
        half_spaces = np.maximum(ndtr(-np.linalg.norm(points, axis=1)), 1e-300)
        shares = np.concatenate([[0.05], 0.95 * half_spaces / half_spaces.sum()])
        centres = np.concatenate([np.zeros((1, points.shape[1])), points])
        return _Mixture(shares, centres, [np.eye(points.shape[1])] * len(centres))

    def draw(self, random: np.random.Generator, count: int) -> FloatArray:
        """Return samples."""
        which = random.choice(len(self._shares), size=count, p=self._shares)
        normal = random.standard_normal((count, self._centres.shape[1]))
        for number, root in enumerate(self._roots):
            chosen = which == number
            normal[chosen] = self._centres[number] + normal[chosen] @ root.T
        return normal

    def log_density(self, z: FloatArray) -> FloatArray:
        """Return the logarithm of the density times (2 pi)^(d/2)."""
        terms = []
        for share, centre, root in zip(self._shares, self._centres, self._roots, strict=True):
            scaled = np.linalg.solve(root, (z - centre).T)
            terms.append(math.log(share) - 0.5 * np.sum(scaled**2, axis=0) - np.sum(np.log(np.diag(root))))
        found: FloatArray = logsumexp(np.array(terms), axis=0)
        return found

    def refined(self, points: FloatArray, weights: FloatArray) -> _Mixture | None:
        """Return this mixture with a law fitted to weighted samples taking three quarters of it; None with too few."""
        dimensions = points.shape[1]
        total = float(weights.sum())
        if total <= 0.0 or total**2 / float(np.sum(weights**2)) < 10.0 * dimensions:
            return None
        share = weights / total
        centre = share @ points
        spread = points - centre
        covariance = (spread * share[:, np.newaxis]).T @ spread
        # Half way to the unit law: the tails of the fitted law must not be lighter than what is looked for.
        covariance = 0.5 * covariance + 0.5 * np.eye(dimensions)
        return _Mixture(
            np.concatenate([0.25 * self._shares, [0.75]]),
            np.concatenate([self._centres, centre[np.newaxis]]),
            [*self._roots, np.asarray(np.linalg.cholesky(covariance), dtype=np.float64)],
        )


# -------------------------------------------------------------------------------------------------- subset simulation


def subset_simulation(
    limit_state: LimitState,
    dimensions: int,
    *,
    seed: int,
    wanted_variation: float = 0.08,
    most_evaluations: int = 3_000_000,
    replicates: int = 10,
    samples: int = 4_000,
    progress: Callable[[int], None] | None = None,
) -> RareEstimate:
    """Return the probability of an event by nested events of which each holds a tenth of the one before.

    Parameters
    ----------
    limit_state
        The question.
    dimensions
        Columns.
    seed
        Same seed, same digits.
    wanted_variation : scalar
        Goes on until the coefficient of variation is below it. [-]
    most_evaluations
        No further group of simulations is begun beyond it; 0 asks nothing.
    replicates
        Independent simulations run side by side; groups of as many are added until the wanted variation is met.
    samples
        In each level of each simulation, a multiple of 10.
    progress
        Called with the number of evaluations just done.

    Notes
    -----
    The coefficient of variation comes from the spread of the independent simulations, not from a formula for one, and
    from `CHAIN_ERROR`.
    A simulation errs upwards by a share that goes with one over its samples: in ten dimensions at 1e-5, over 40
    repetitions, by 3 to 5 % with 2000 in each level and by 2 % with 4000.
    """
    begin = time.perf_counter()
    counted = _Counted(limit_state, progress)
    probabilities: list[float] = []
    found: list[tuple[FloatArray, FloatArray, FloatArray]] = []
    complete = most_evaluations > 0
    group = 0
    variation = math.inf
    try:
        while counted.evaluations < most_evaluations:
            group_probabilities, points, values, weights = _subset_group(
                counted, dimensions, generator(seed, 4, group), replicates, samples
            )
            probabilities += group_probabilities
            found.append((points, values, weights))
            group += 1
            mean = float(np.mean(probabilities))
            if mean > 0.0:
                error = float(np.std(probabilities, ddof=1)) / math.sqrt(len(probabilities))
                variation = error / mean
            if mean < LEAST_PROBABILITY or variation <= wanted_variation:
                break
    except KeyboardInterrupt:
        complete = False
    points = np.concatenate([one[0] for one in found]) if found else np.zeros((0, dimensions))
    values = np.concatenate([one[1] for one in found]) if found else np.zeros(0)
    weights = np.concatenate([one[2] for one in found]) if found else np.zeros(0)
    total = float(weights.sum())
    probability = float(np.mean(probabilities)) if probabilities else 0.0
    return RareEstimate(
        "subset simulation",
        probability,
        math.hypot(variation, CHAIN_ERROR) if probability < 0.1 else variation,  # without chains before
        counted.evaluations,
        time.perf_counter() - begin,
        complete,
        points,
        values,
        weights / total if total > 0.0 else weights,
    )


def _subset_group(
    limit_state: LimitState, dimensions: int, random: np.random.Generator, replicates: int, samples: int
) -> tuple[list[float], FloatArray, FloatArray, FloatArray]:
    """Return the probabilities of simulations run side by side, and the samples at which it happens with weights."""
    kept = samples // 10
    z = random.standard_normal((replicates, samples, dimensions))
    values = limit_state(z.reshape(-1, dimensions)).reshape(replicates, samples)
    reached = np.ones(replicates)  # probability of the level each simulation is on
    running = np.arange(replicates)
    probabilities = [0.0] * replicates
    points: list[FloatArray] = []
    heights: list[FloatArray] = []
    weights: list[FloatArray] = []
    width = 0.6
    while len(running):
        order = np.argsort(values, axis=1, kind="stable")[:, :kept]
        seeds = np.take_along_axis(z, order[:, :, np.newaxis], axis=1)
        seed_values = np.take_along_axis(values, order, axis=1)
        thresholds = seed_values[:, -1]
        done = thresholds <= 0.0
        hopeless = ~done & (0.1 * reached < 0.01 * LEAST_PROBABILITY)
        for place in np.flatnonzero(done | hopeless):
            happens = values[place] <= 0.0
            share = float(np.mean(happens)) * reached[place]
            probabilities[running[place]] = share
            points.append(z[place][happens])
            heights.append(values[place][happens])
            weights.append(np.full(int(happens.sum()), share / max(int(happens.sum()), 1)))
        going = ~(done | hopeless)
        if not going.any():
            break
        running, thresholds, reached = running[going], thresholds[going], 0.1 * reached[going]
        z, values, width = _level(limit_state, random, seeds[going], seed_values[going], thresholds, width)
    return probabilities, np.concatenate(points), np.concatenate(heights), np.concatenate(weights)


def _level(
    limit_state: LimitState,
    random: np.random.Generator,
    seeds: FloatArray,
    seed_values: FloatArray,
    thresholds: FloatArray,
    width: float,
) -> tuple[FloatArray, FloatArray, float]:
    """Return the samples of one level: ten from each seed, the seed itself the first; and the adapted width."""
    simulations, chains, dimensions = seeds.shape
    z, values = [seeds], [seed_values]
    for step in range(1, 10):
        sigma = min(width, 1.0)
        proposal = math.sqrt(1.0 - sigma**2) * z[-1] + sigma * random.standard_normal(z[-1].shape)
        trial = limit_state(proposal.reshape(-1, dimensions)).reshape(simulations, chains)
        accepted = trial <= thresholds[:, np.newaxis]
        z.append(np.where(accepted[:, :, np.newaxis], proposal, z[-1]))
        values.append(np.where(accepted, trial, values[-1]))
        width *= math.exp((float(np.mean(accepted)) - 0.44) / math.sqrt(step))
        width = min(max(width, 0.05), 2.0)
    return np.concatenate(z, axis=1), np.concatenate(values, axis=1), width
