"""Compiled fixed-interval smoother of a motion along a line: Kalman filter forwards, Rauch-Tung-Striebel backwards.

State: distance, speed, acceleration and the datum of the accelerometer. Acceleration is a Wiener process driven by
white jerk; the datum wanders slowly. Each row of the measurements has a time and one number, of one kind.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundroll.kernels.jit import compiled

STATES: Final = 4

KIND_NONE: Final = -1  # a moment at which only the state is wanted
KIND_DISTANCE: Final = 0
KIND_SPEED: Final = 1
KIND_ACCELERATION: Final = 2  # acceleration plus datum

GATE: Final = 6.0  # standard deviations beyond which a measurement is left out
MOST_LEFT_OUT: Final = 5  # in a row; then the measurements are believed

Array = NDArray[np.float64]


@compiled
def process_noise(step: float, jerk_density: float, datum_density: float, noise: Array) -> None:
    """Fill ``noise`` with the covariance that white jerk adds over a step."""
    noise[:, :] = 0.0
    square = step * step
    noise[0, 0] = square * square * step / 20.0 * jerk_density
    noise[0, 1] = noise[1, 0] = square * square / 8.0 * jerk_density
    noise[0, 2] = noise[2, 0] = square * step / 6.0 * jerk_density
    noise[1, 1] = square * step / 3.0 * jerk_density
    noise[1, 2] = noise[2, 1] = square / 2.0 * jerk_density
    noise[2, 2] = step * jerk_density
    noise[3, 3] = step * datum_density


@compiled
def transition(step: float, matrix: Array) -> None:
    """Fill ``matrix`` with the motion over a step at constant acceleration."""
    matrix[:, :] = 0.0
    for index in range(STATES):
        matrix[index, index] = 1.0
    matrix[0, 1] = matrix[1, 2] = step
    matrix[0, 2] = 0.5 * step * step


@compiled
def filter_forwards(
    time: Array,
    kind: NDArray[np.int64],
    value: Array,
    variance: Array,
    jerk_density: float,
    datum_density: float,
    start: Array,
    start_covariance: Array,
    predicted: Array,
    predicted_covariance: Array,
    filtered: Array,
    filtered_covariance: Array,
    used: NDArray[np.int64],
) -> float:
    """Fill the predicted and filtered states of every row; return the logarithm of the likelihood."""
    noise = np.zeros((STATES, STATES))
    mean = start.copy()
    covariance = start_covariance.copy()
    gain = np.zeros(STATES)
    row = np.zeros(STATES)
    left_out = np.zeros(3, dtype=np.int64)
    likelihood = 0.0
    for index in range(time.size):
        step = time[index] - time[index - 1] if index > 0 else 0.0
        if step > 0.0:
            # The motion of `transition` written out, on the state, then on rows and columns of its covariance.
            half = 0.5 * step * step
            process_noise(step, jerk_density, datum_density, noise)
            mean[0] += step * mean[1] + half * mean[2]
            mean[1] += step * mean[2]
            for j in range(STATES):
                covariance[0, j] += step * covariance[1, j] + half * covariance[2, j]
                covariance[1, j] += step * covariance[2, j]
            for i in range(STATES):
                covariance[i, 0] += step * covariance[i, 1] + half * covariance[i, 2]
                covariance[i, 1] += step * covariance[i, 2]
            for i in range(STATES):
                for j in range(STATES):
                    covariance[i, j] += noise[i, j]
        for i in range(STATES):
            predicted[index, i] = mean[i]
            for j in range(STATES):
                predicted_covariance[index, i, j] = covariance[i, j]
        what = kind[index]
        used[index] = 0
        if what >= 0:
            innovation = value[index] - mean[what]
            for i in range(STATES):
                row[i] = covariance[what, i]
            if what == KIND_ACCELERATION:
                innovation -= mean[3]
                for i in range(STATES):
                    row[i] += covariance[3, i]
            spread = row[what] + variance[index]
            if what == KIND_ACCELERATION:
                spread += row[3]
            far = innovation * innovation > GATE * GATE * spread
            if far and left_out[what] < MOST_LEFT_OUT:
                left_out[what] += 1
                likelihood -= 0.5 * (GATE * GATE + np.log(2.0 * np.pi * spread))
            else:
                left_out[what] = 0
                used[index] = 1
                likelihood -= 0.5 * (innovation * innovation / spread + np.log(2.0 * np.pi * spread))
                for i in range(STATES):
                    gain[i] = row[i] / spread
                    mean[i] += gain[i] * innovation
                for i in range(STATES):
                    for j in range(STATES):
                        covariance[i, j] -= gain[i] * row[j]
                for i in range(STATES):
                    for j in range(i):
                        covariance[i, j] = covariance[j, i] = 0.5 * (covariance[i, j] + covariance[j, i])
        for i in range(STATES):
            filtered[index, i] = mean[i]
            for j in range(STATES):
                filtered_covariance[index, i, j] = covariance[i, j]
    return likelihood


@compiled
def solve_symmetric(matrix: Array, root: Array, right: Array) -> None:
    """Solve with a symmetric positive definite ``matrix`` in place of ``right``, by Cholesky's ``root``.

    Far quicker than a library call for four unknowns.
    """
    size = matrix.shape[0]
    for i in range(size):
        for j in range(i + 1):
            total = matrix[i, j]
            for k in range(j):
                total -= root[i, k] * root[j, k]
            if i == j:  # rounding must not make a root of nothing
                root[i, i] = np.sqrt(max(total, 1e-15 * matrix[i, i]))
            else:
                root[i, j] = total / root[j, j]
    for column in range(right.shape[1]):
        for i in range(size):
            total = right[i, column]
            for k in range(i):
                total -= root[i, k] * right[k, column]
            right[i, column] = total / root[i, i]
        for i in range(size - 1, -1, -1):
            total = right[i, column]
            for k in range(i + 1, size):
                total -= root[k, i] * right[k, column]
            right[i, column] = total / root[i, i]


@compiled
def smooth_backwards(
    time: Array,
    predicted: Array,
    predicted_covariance: Array,
    filtered: Array,
    filtered_covariance: Array,
    smoothed: Array,
    smoothed_covariance: Array,
) -> None:
    """Fill the smoothed states from the filtered ones."""
    last = time.size - 1
    smoothed[last] = filtered[last]
    smoothed_covariance[last] = filtered_covariance[last]
    matrix = np.zeros((STATES, STATES))
    root = np.zeros((STATES, STATES))
    gain = np.zeros((STATES, STATES))  # transposed
    work = np.zeros((STATES, STATES))
    for index in range(last - 1, -1, -1):
        step = time[index + 1] - time[index]
        if step <= 0.0:
            smoothed[index] = smoothed[index + 1]
            smoothed_covariance[index] = smoothed_covariance[index + 1]
            continue
        transition(step, matrix)
        # Gain C = P F' P_next^-1; both covariances are symmetric, so its transpose solves P_next C' = F P.
        for i in range(STATES):
            for j in range(STATES):
                total = 0.0
                for k in range(i, STATES):
                    total += matrix[i, k] * filtered_covariance[index, k, j]
                gain[i, j] = total
        solve_symmetric(predicted_covariance[index + 1], root, gain)
        for i in range(STATES):
            total = filtered[index, i]
            for k in range(STATES):
                total += gain[k, i] * (smoothed[index + 1, k] - predicted[index + 1, k])
            smoothed[index, i] = total
        for i in range(STATES):
            for j in range(STATES):
                total = 0.0
                for k in range(STATES):
                    change = smoothed_covariance[index + 1, k, j] - predicted_covariance[index + 1, k, j]
                    total += gain[k, i] * change
                work[i, j] = total
        for i in range(STATES):
            for j in range(i + 1):
                total = filtered_covariance[index, i, j]
                for k in range(STATES):
                    total += 0.5 * (work[i, k] * gain[k, j] + work[j, k] * gain[k, i])
                smoothed_covariance[index, i, j] = smoothed_covariance[index, j, i] = total
