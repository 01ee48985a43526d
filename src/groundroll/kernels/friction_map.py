"""Compiled likelihood of achieved braking along a runway, with two effects of each landing integrated over."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from groundroll.kernels.jit import compiled

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

MEASURED = 1  # friction ruled: the value is that of the surface
BOUND = 0  # demand ruled: the surface gives at least the value
DOUBT = 2  # one or the other

ROOT_HALF = math.sqrt(0.5)
LOG_ROOT = 0.5 * math.log(2.0 * math.pi)


REACH = 7.0
PER_ONE = 512  # points of the table for each standard deviation; between them the line errs by less than 1e-6
TABLE = np.array(
    [
        math.log(0.5 * math.erfc(one / PER_ONE * ROOT_HALF))
        for one in range(round(-REACH * PER_ONE), round(REACH * PER_ONE) + 2)
    ]
)


@compiled
def log_above(z: float) -> float:
    """Return the logarithm of the probability that a standard normal number lies above ``z``."""
    if z < -REACH:
        return 0.0
    if z >= REACH:
        return -0.5 * z * z - LOG_ROOT - math.log(z)  # leading term of the tail, 2 % off at 7
    place = (z + REACH) * PER_ONE
    number = int(place)
    rest = place - number
    return TABLE[number] * (1.0 - rest) + TABLE[number + 1] * rest


@compiled
def log_either(z: float, noise: float) -> float:
    """Return the logarithm of the density of a value that measures or bounds, either as likely."""
    return math.log(0.5 * math.exp(-0.5 * z * z - LOG_ROOT) / noise + 0.5 * math.exp(log_above(z)) + 1e-300)


@compiled
def slope_of(z: float, noise: float, kind: int) -> float:
    """Return minus the derivative of the logarithm of the density by ``z``."""
    if kind == MEASURED:
        return z
    bell = math.exp(-0.5 * z * z - LOG_ROOT)
    if kind == BOUND:
        return 0.0 if z < -7.0 else bell / math.exp(log_above(z))
    return (0.5 * z * bell / noise + 0.5 * bell) / (0.5 * bell / noise + 0.5 * math.exp(log_above(z)) + 1e-300)


@compiled
def map_scores(
    starts: Whole,
    cell: Whole,
    value: Array,
    common: Array,
    noise: Array,
    kind: Whole,
    logarithm: Array,
    spread: float,
    node: Array,
    error: Array,
    log_weight: Array,
    scores: Array,
) -> float:
    """Fill ``scores``, one row a landing: gradient by each piece's logarithm and by the logarithm of the spread.

    Pieces of landing i are those from ``starts[i]`` to ``starts[i + 1]``. Return the logarithm of the likelihood,
    but for the constant of what is measured.
    """
    scores[:, :] = 0.0
    last = scores.shape[1] - 1
    whole = np.zeros((node.size, error.size))
    total = 0.0
    for landing in range(starts.size - 1):
        begin, end = starts[landing], starts[landing + 1]
        top = -1e300
        for k in range(node.size):
            for j in range(error.size):
                whole[k, j] = log_weight[k, j]
            for one in range(begin, end):
                level = math.exp(logarithm[cell[one]] + spread * node[k])
                away = (value[one] - level) / noise[one]
                step = common[one] / noise[one]
                if kind[one] == MEASURED:
                    base = math.log(noise[one])
                    for j in range(error.size):
                        z = away - step * error[j]
                        whole[k, j] -= 0.5 * z * z + base
                elif kind[one] == BOUND:
                    for j in range(error.size):
                        whole[k, j] += log_above(away - step * error[j])
                else:
                    for j in range(error.size):
                        whole[k, j] += log_either(away - step * error[j], noise[one])
            for j in range(error.size):
                top = max(top, whole[k, j])
        mass = 0.0
        for k in range(node.size):
            for j in range(error.size):
                mass += math.exp(whole[k, j] - top)
        total += top + math.log(mass)
        for k in range(node.size):
            for j in range(error.size):
                if whole[k, j] - top < -10.0:
                    continue
                share = math.exp(whole[k, j] - top) / mass
                for one in range(begin, end):
                    level = math.exp(logarithm[cell[one]] + spread * node[k])
                    z = (value[one] - common[one] * error[j] - level) / noise[one]
                    slope = slope_of(z, noise[one], kind[one]) * share * level / noise[one]
                    scores[landing, cell[one]] += slope
                    scores[landing, last] += slope * node[k] * spread
    return total
