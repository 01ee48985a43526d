"""Compiled likelihood of achieved braking along a runway, with the effects of each landing integrated over."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from groundroll.kernels.jit import compiled

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

THIRDS = 3
NEGLIGIBLE = 12.0  # nodes whose probability is below exp(-12) of the greatest add nothing to the gradient

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
def map_scores(
    starts: Whole,
    cell: Whole,
    third: Whole,
    value: Array,
    asked: Array,
    held: Whole,
    common: Array,
    noise: Array,
    uneven: float,
    logarithm: Array,
    spread: float,
    gain: float,
    node: Array,
    gain_node: Array,
    log_weight: Array,
    scores: Array,
) -> float:
    """Fill ``scores``, one row a landing: gradient by each piece's logarithm, that of the spread and that of the gain.

    Pieces of landing i are those from ``starts[i]`` to ``starts[i + 1]``. The surface gives exp(logarithm + spread
    node), the brakes are asked for exp(gain + gain node) asked; the smaller one is achieved. Where automatic brakes
    held a deceleration (``held`` is 1) that is what was asked, and the surface gives at least as much: of the pieces
    of a third the tightest says so. The value lies about what is achieved with a ``noise`` of its own, an error
    ``common`` to all pieces of the landing and ``uneven`` friction common to those of a third; both are normal and
    integrated over in closed form. Return the logarithm of the likelihood, but for a constant.
    """
    scores[:, :] = 0.0
    by_gain = scores.shape[1] - 1
    by_spread = by_gain - 1
    whole = np.zeros((node.size, gain_node.size))
    longest = 0
    for landing in range(starts.size - 1):
        longest = max(longest, starts[landing + 1] - starts[landing])
    surface, away, precision = np.zeros(longest), np.zeros(longest), np.zeros(longest)
    asks = np.zeros((gain_node.size, longest))
    products, squares, mixed, tightest = np.zeros(THIRDS), np.zeros(THIRDS), np.zeros(THIRDS), np.zeros(THIRDS)
    place = np.zeros(THIRDS, dtype=np.int64)
    total = 0.0
    for landing in range(starts.size - 1):
        begin = starts[landing]
        count = starts[landing + 1] - begin
        for j in range(gain_node.size):
            factor = math.exp(gain + gain_node[j])
            for one in range(count):
                asks[j, one] = factor * asked[begin + one]
        squares[:], mixed[:], size = 1.0, 0.0, 1.0
        for one in range(count):
            t, by = third[begin + one], common[begin + one]
            precision[one] = 1.0 / (noise[begin + one] * noise[begin + one])
            squares[t] += uneven * uneven * precision[one]
            mixed[t] += uneven * by * precision[one]
            size += by * by * precision[one]
        for t in range(THIRDS):
            size -= mixed[t] * mixed[t] / squares[t]
        top, mass = -1e300, 0.0
        for step in range(2):  # first the likelihood of each node, then the gradient, weighted by it
            if step == 1:
                for k in range(node.size):
                    for j in range(gain_node.size):
                        mass += math.exp(whole[k, j] - top)
                total += top + math.log(mass)
            for k in range(node.size):
                for one in range(count):
                    surface[one] = math.exp(logarithm[cell[begin + one]] + spread * node[k])
                for j in range(gain_node.size):
                    if step == 1 and whole[k, j] - top < -NEGLIGIBLE:
                        continue
                    rest, along = 0.0, 0.0
                    products[:], tightest[:] = 0.0, -1e9
                    for one in range(count):
                        t = third[begin + one]
                        achieved = asks[j, one]
                        if held[begin + one] == 1:
                            z = (achieved - surface[one]) / uneven
                            if z > tightest[t]:
                                tightest[t], place[t] = z, one
                        else:
                            achieved = min(achieved, surface[one])
                        away[one] = value[begin + one] - achieved
                        weighted = away[one] * precision[one]
                        rest += away[one] * weighted
                        along += common[begin + one] * weighted
                        products[t] += uneven * weighted
                    for t in range(THIRDS):
                        along -= mixed[t] * products[t] / squares[t]
                        rest -= products[t] * products[t] / squares[t]
                    error = along / size  # the likeliest error common to the landing
                    if step == 0:
                        found = log_weight[k, j] - 0.5 * (rest - along * error)
                        for t in range(THIRDS):
                            found += log_above(tightest[t])
                        whole[k, j] = found
                        top = max(top, found)
                        continue
                    share = math.exp(whole[k, j] - top) / mass
                    for one in range(count):
                        t = third[begin + one]
                        shift = uneven * (products[t] - mixed[t] * error) / squares[t]
                        slope = share * (away[one] - common[begin + one] * error - shift) * precision[one]
                        by_surface = 0.0
                        if held[begin + one] == 1:
                            if place[t] == one and tightest[t] > -REACH:
                                z = tightest[t]
                                by_surface = share * math.exp(-0.5 * z * z - LOG_ROOT - log_above(z)) / uneven
                            scores[landing, by_gain] += (slope - by_surface) * asks[j, one]
                        elif asks[j, one] < surface[one]:
                            scores[landing, by_gain] += slope * asks[j, one]
                        else:
                            by_surface = slope
                        scores[landing, cell[begin + one]] += by_surface * surface[one]
                        scores[landing, by_spread] += by_surface * surface[one] * node[k] * spread
    return total
