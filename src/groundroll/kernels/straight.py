"""Compiled search for stretches of samples that lie on straight lines."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from groundroll.kernels.jit import compiled

Array = NDArray[np.float64]


@compiled
def straight_stretches(
    time: Array,
    values: Array,
    allowed: float,
    least: int,
    first: NDArray[np.int64],
    last: NDArray[np.int64],
) -> int:
    """Fill first and last index of the stretches in which each row of ``values`` is straight; return how many.

    Slopes of lines through the first sample, give or take rounding, must pass every sample so far.
    """
    rows, count = values.shape
    low, high = np.empty(rows), np.empty(rows)
    found = 0
    start = 0
    while start <= count - least:
        low[:] = -np.inf
        high[:] = np.inf
        end = start
        for index in range(start + 1, count):
            step = time[index] - time[start]
            straight = True
            for row in range(rows):
                change = values[row, index] - values[row, start]
                low[row] = max(low[row], (change - 2.0 * allowed) / step)
                high[row] = min(high[row], (change + 2.0 * allowed) / step)
                if low[row] > high[row]:
                    straight = False
            if not straight:
                break
            end = index
        if end - start + 1 >= least:
            first[found] = start
            last[found] = end
            found += 1
        start = max(end, start + 1)
    return found
