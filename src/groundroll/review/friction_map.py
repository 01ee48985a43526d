"""The braking that a runway gives, piece by piece, from landings of which most only bound it from below.

Two things make a naive mean wrong. What errs in one landing (mass, drag, reverse) errs in all of its pieces alike. And
far down the runway only landings on a slippery day still brake hard: who is seen there is no random choice. Both are
met by one law for all pieces of a runway together [1]_:

    x = exp(m + s u) + e d + noise

with ``x`` the achieved braking over that of the reported code, ``m`` of the piece (what is asked for), ``u`` of the
landing (standard normal, times the spread ``s`` from landing to landing), and ``e`` of the landing (standard normal)
the error common to its pieces, times the deviation ``d`` that the review gives. A piece that friction did not rule says
only that the surface gives at least ``x``; where it is in doubt what ruled, either is as likely. ``u`` and ``e`` are
integrated over; the pieces are linked by a random walk; the deviations come from the scores of whole landings (the
sandwich [2]_), so that errors within a landing count once.

References
----------
.. [1] Mixed models with censored data: J. P. Hughes, Biometrics 55 (1999) 625 (from memory).
.. [2] H. White, Econometrica 50 (1982) 1 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from groundroll.kernels.friction_map import BOUND, DOUBT, MEASURED, map_scores
from groundroll.physics.arguments import FloatArray

NODES: Final = 35
REACH: Final = 3.6
"""Points of the integrals over landing and error, within so many standard deviations."""

WALK: Final = 0.10
"""Standard deviation of the step of the logarithm from one piece to the next. Assumption of this project."""

USUAL_SPREAD: Final = 0.2
"""Spread of the logarithm from landing to landing before the data speak, within a factor of three. Assumption."""

OWN_SHARE: Final = 0.3
"""Share of the deviation of a piece that is not common to its landing. Assumption of this project."""

LEAST_NOISE: Final = 0.05
"""Least noise of one piece: no surface is quite even. [-] Assumption of this project."""

TELLING: Final = 0.6
"""Bounds that lie below this even with two deviations added tell nothing. [-]"""

MOST_LANDINGS: Final = 1_000
"""Landings taken into account; of more, as many evenly picked ones: the intervals are narrow enough."""

STEP: Final = 1e-3
"""Step of the differences of the gradient. [-]"""

__all__ = ["BOUND", "DOUBT", "MEASURED", "Level", "Pieces", "fit_map", "telling"]

Whole = NDArray[np.int64]


@dataclass(frozen=True)
class Pieces:
    """What landings say about the pieces of one runway, sorted by landing."""

    landing: Whole
    cell: Whole
    """Number of the piece, from 0."""
    value: FloatArray
    deviation: FloatArray
    kind: Whole
    """`MEASURED`, `BOUND` or `DOUBT`."""


@dataclass(frozen=True)
class Level:
    """Braking of every piece."""

    logarithm: FloatArray
    deviation: FloatArray
    """Of the logarithm."""
    spread: float
    """Of the logarithm, from landing to landing."""


def telling(pieces: Pieces) -> Pieces:
    """Return the pieces without those that bound nothing."""
    kept = (pieces.kind == MEASURED) | (pieces.value + 2.0 * pieces.deviation > TELLING)
    landings = np.unique(pieces.landing[kept])
    if landings.size > MOST_LANDINGS:
        chosen = landings[np.linspace(0, landings.size - 1, MOST_LANDINGS).astype(int)]
        kept &= np.isin(pieces.landing, chosen)
    return Pieces(
        pieces.landing[kept],
        pieces.cell[kept],
        pieces.value[kept],
        pieces.deviation[kept],
        pieces.kind[kept],
    )


class _Law:
    """The likelihood of a runway and its gradient."""

    def __init__(self, pieces: Pieces, cells: int, linked: Sequence[tuple[int, int]]) -> None:
        self.pieces, self.cells = pieces, cells
        _, starts = np.unique(pieces.landing, return_index=True)
        self.starts = np.append(starts, pieces.landing.size).astype(np.int64)
        self.node = np.linspace(-REACH, REACH, NODES)
        weight = -0.5 * self.node**2
        self.log_weight = weight[:, None] + weight[None, :] - 2.0 * math.log(float(np.sum(np.exp(weight))))
        self.noise = np.hypot(OWN_SHARE * pieces.deviation, LEAST_NOISE)
        self.common = math.sqrt(1.0 - OWN_SHARE**2) * pieces.deviation
        self.precision = np.zeros((cells + 1, cells + 1))
        for one, other in linked:
            self.precision[one, one] += WALK**-2
            self.precision[other, other] += WALK**-2
            self.precision[one, other] -= WALK**-2
            self.precision[other, one] -= WALK**-2
        self.precision[-1, -1] = math.log(3.0) ** -2
        self.middle = np.zeros(cells + 1)
        self.middle[-1] = math.log(USUAL_SPREAD)

    def scores(self, parameters: FloatArray) -> tuple[float, FloatArray]:
        """Return the logarithm of the likelihood, and its gradient landing by landing."""
        pieces = self.pieces
        found = np.zeros((self.starts.size - 1, self.cells + 1))
        likelihood = map_scores(
            self.starts,
            pieces.cell,
            pieces.value,
            self.common,
            self.noise,
            pieces.kind,
            np.ascontiguousarray(parameters[:-1]),
            math.exp(parameters[-1]),
            self.node,
            self.node,
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
        Of all landings; at least one measured.
    cells
        How many pieces there are.
    linked
        Pairs of pieces that lie side by side.

    Raises
    ------
    ValueError
        If nothing was measured: lower bounds alone have no greatest likelihood.
    """
    from scipy.optimize import minimize

    if not np.any(pieces.kind == MEASURED):
        raise ValueError("nothing was measured; lower bounds alone tell no level")
    law = _Law(telling(pieces), cells, linked)
    start = np.zeros(cells + 1)
    start[-1] = law.middle[-1]
    box = [(-2.5, 2.5)] * cells + [(math.log(0.02), math.log(1.0))]
    found: Any = minimize(law.cost, start, jac=True, method="L-BFGS-B", bounds=box, options={"maxiter": 60})
    best = np.asarray(found.x, dtype=np.float64)
    here = law.cost(best)[1]
    bread = np.zeros((cells + 1, cells + 1))
    for number in range(cells + 1):
        moved = best.copy()
        moved[number] += STEP
        bread[number] = (law.cost(moved)[1] - here) / STEP
    inverse = np.linalg.pinv(0.5 * (bread + bread.T), hermitian=True)
    scores = law.scores(best)[1]
    covariance = inverse @ (scores.T @ scores + law.precision) @ inverse
    deviation = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    return Level(best[:-1], deviation[:-1], float(math.exp(best[-1])))
