"""The braking that a runway gives, piece by piece, from landings of which most only bound it from below.

Three things make a naive mean wrong. What errs in one landing (mass, drag, reverse) errs in all of its pieces alike.
Far down the runway only landings on a slippery day still brake hard: who is seen there is no random choice. And
whether a piece measures or only bounds is itself judged from the braking achieved, errors included: those that seem to
measure lie too low. All are met by one law for all pieces of a runway together [1]_, in which nothing is sorted out
beforehand:

    x = min(exp(m + s u), exp(g + h v) a) + e d + noise

with ``x`` the achieved braking over that of the reported code, ``m`` of the piece (what is asked for), ``u`` of the
landing (standard normal, times the spread ``s`` from landing to landing), ``a`` what the recorded pressure asks for by
the aircraft file, ``g`` and ``v`` how far the brakes follow it, in all landings and in one, and ``e`` of the landing
the error common to its pieces, times the deviation ``d`` that the review gives. Each third of the runway has besides a
friction of its own in each landing.

Automatic brakes raise the pressure until their deceleration is held, so that pressure just above the friction never
lasts. Where they held it, what is achieved is what they asked for, and the surface gives at least that much.

``u``, ``v``, ``e`` and the thirds are integrated over; the pieces are linked by a random walk; the deviations come from
the scores of whole landings (the sandwich [2]_), so that errors within a landing count once.

References
----------
.. [1] Mixed models with censored data: J. P. Hughes, Biometrics 55 (1999) 625 (from memory).
.. [2] H. White, Econometrica 50 (1982) 1 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from groundroll.kernels.friction_map import map_scores
from groundroll.physics.arguments import FloatArray

NODES: Final = 35
REACH: Final = 3.6
"""Points of the integral over the friction of a landing, within so many standard deviations."""

GAIN_NODES: Final = 15
GAIN_REACH: Final = 3.0
"""Points of the integral over the gain of the brakes in a landing, within so many standard deviations."""

WALK: Final = 0.10
"""Standard deviation of the step of the logarithm from one piece to the next. Assumption of this project."""

USUAL_SPREAD: Final = 0.2
"""Spread of the logarithm from landing to landing before the data speak, within a factor of three. Assumption."""

USUAL_GAIN: Final = 0.10
"""Deviation of the logarithm of the brakes' gain in all landings before the data speak. Assumption of this project."""

GAIN_SPREAD: Final = 0.10
"""Deviation of the logarithm of the brakes' gain from landing to landing. Assumption of this project: by temperature
and wear some 15 to 20 % at two deviations."""

UNEVEN: Final = 0.06
"""Deviation of the friction of a third of the runway in one landing from that of the whole runway, over that of the
code. Assumption of this project."""

LEAST_NOISE: Final = 0.03
"""Least noise of one piece: no surface is quite even. [-] Assumption of this project."""

MOST_LANDINGS: Final = 1_000
"""Landings taken into account; of more, as many evenly picked ones: the intervals are narrow enough."""

STEP: Final = 3e-3
"""Step of the differences of the gradient. [-]"""

Whole = NDArray[np.int64]


@dataclass(frozen=True)
class Pieces:
    """What landings say about the pieces of one runway, sorted by landing."""

    landing: Whole
    cell: Whole
    """Number of the piece, from 0."""
    third: Whole
    """Of the runway, from 0."""
    value: FloatArray
    """Achieved braking over that of the reported code. [-]"""
    asked: FloatArray
    """What the recorded pressure asked for, over the same. [-]"""
    held: Whole
    """1 where automatic brakes held a deceleration."""
    common: FloatArray
    """Deviation of the value by what is common to the landing. [-]"""
    noise: FloatArray
    """Deviation of the value by what is not. [-]"""

    def chosen(self, kept: NDArray[np.bool_]) -> Pieces:
        """Return some of the pieces."""
        return Pieces(*(getattr(self, one.name)[kept] for one in fields(self)))


@dataclass(frozen=True)
class Level:
    """Braking of every piece."""

    logarithm: FloatArray
    deviation: FloatArray
    """Of the logarithm."""
    spread: float
    """Of the logarithm, from landing to landing."""
    gain: float
    """Logarithm of the force that the brakes give at a pressure, over that of the aircraft file."""


def _some(pieces: Pieces) -> Pieces:
    landings = np.unique(pieces.landing)
    if landings.size <= MOST_LANDINGS:
        return pieces
    chosen = landings[np.linspace(0, landings.size - 1, MOST_LANDINGS).astype(int)]
    return pieces.chosen(np.isin(pieces.landing, chosen))


class _Law:
    """The likelihood of a runway and its gradient. Parameters: each piece, logarithm of the spread, gain."""

    def __init__(self, pieces: Pieces, cells: int, linked: Sequence[tuple[int, int]]) -> None:
        self.pieces, self.cells = pieces, cells
        _, starts = np.unique(pieces.landing, return_index=True)
        self.starts = np.append(starts, pieces.landing.size).astype(np.int64)
        self.node = np.linspace(-REACH, REACH, NODES)
        self.gain_node = np.linspace(-GAIN_REACH, GAIN_REACH, GAIN_NODES)
        weight, gain_weight = -0.5 * self.node**2, -0.5 * self.gain_node**2
        self.log_weight = np.add.outer(
            weight - math.log(float(np.sum(np.exp(weight)))), gain_weight - math.log(float(np.sum(np.exp(gain_weight))))
        )
        self.noise = np.hypot(pieces.noise, LEAST_NOISE)
        count = cells + 2
        self.precision = np.zeros((count, count))
        for one, other in linked:
            self.precision[one, one] += WALK**-2
            self.precision[other, other] += WALK**-2
            self.precision[one, other] -= WALK**-2
            self.precision[other, one] -= WALK**-2
        self.precision[-2, -2] = math.log(3.0) ** -2
        self.precision[-1, -1] = USUAL_GAIN**-2
        self.middle = np.zeros(count)
        self.middle[-2] = math.log(USUAL_SPREAD)

    def scores(self, parameters: FloatArray) -> tuple[float, FloatArray]:
        """Return the logarithm of the likelihood, and its gradient landing by landing."""
        pieces = self.pieces
        found = np.zeros((self.starts.size - 1, parameters.size))
        likelihood = map_scores(
            self.starts,
            pieces.cell,
            pieces.third,
            pieces.value,
            pieces.asked,
            pieces.held,
            pieces.common,
            self.noise,
            UNEVEN,
            np.ascontiguousarray(parameters[:-2]),
            math.exp(parameters[-2]),
            float(parameters[-1]),
            self.node,
            GAIN_SPREAD * self.gain_node,
            self.log_weight,
            found,
        )
        return float(likelihood), found

    def cost(self, parameters: FloatArray) -> tuple[float, FloatArray]:
        likelihood, scores = self.scores(parameters)
        away = parameters - self.middle
        pull = self.precision @ away
        return -likelihood + 0.5 * float(away @ pull), pull - scores.sum(axis=0)


def fit_map(pieces: Pieces, cells: int, linked: Sequence[tuple[int, int]]) -> Level:
    """Return the braking of every piece of a runway.

    Parameters
    ----------
    pieces
        Of all landings.
    cells
        How many pieces there are.
    linked
        Pairs of pieces that lie side by side.

    Raises
    ------
    ValueError
        If automatic brakes held everywhere: lower bounds alone have no greatest likelihood.
    """
    from scipy.optimize import minimize

    if np.all(pieces.held == 1):
        raise ValueError("nothing was measured; lower bounds alone tell no level")
    law = _Law(_some(pieces), cells, linked)
    box = [(-2.5, 2.5)] * cells + [(math.log(0.02), math.log(1.0)), (-0.5, 0.5)]
    found: Any = minimize(law.cost, law.middle, jac=True, method="L-BFGS-B", bounds=box, options={"maxiter": 200})
    best = np.asarray(found.x, dtype=np.float64)
    bread = np.zeros((best.size, best.size))
    for number in range(best.size):
        step = np.zeros(best.size)
        step[number] = STEP
        bread[number] = (law.cost(best + step)[1] - law.cost(best - step)[1]) / (2.0 * STEP)
    inverse = np.linalg.pinv(0.5 * (bread + bread.T), hermitian=True)
    scores = law.scores(best)[1]
    covariance = inverse @ (scores.T @ scores + law.precision) @ inverse
    deviation = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    return Level(best[:-2], deviation[:-2], float(math.exp(best[-2])), float(best[-1]))
