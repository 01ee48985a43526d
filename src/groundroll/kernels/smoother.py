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
    matrix = np.zeros((STATES, STATES))
    noise = np.zeros((STATES, STATES))
    mean = start.copy()
    covariance = start_covariance.copy()
    gain = np.zeros(STATES)
    row = np.zeros(STATES)
    work = np.zeros((STATES, STATES))
    left_out = np.zeros(3, dtype=np.int64)
    likelihood = 0.0
    for index in range(time.size):
        step = time[index] - time[index - 1] if index > 0 else 0.0
        if step > 0.0:
            transition(step, matrix)
            process_noise(step, jerk_density, datum_density, noise)
            for i in range(STATES):
                total = 0.0
                for j in range(i, STATES):
                    total += matrix[i, j] * mean[j]
                row[i] = total
            mean[:] = row
            for i in range(STATES):
                for j in range(STATES):
                    total = 0.0
                    for k in range(i, STATES):
                        total += matrix[i, k] * covariance[k, j]
                    work[i, j] = total
            for i in range(STATES):
                for j in range(STATES):
                    total = noise[i, j]
                    for k in range(j, STATES):
                        total += work[i, k] * matrix[j, k]
                    covariance[i, j] = total
        predicted[index] = mean
        predicted_covariance[index] = covariance
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
        filtered[index] = mean
        filtered_covariance[index] = covariance
    return likelihood


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
    for index in range(last - 1, -1, -1):
        step = time[index + 1] - time[index]
        if step <= 0.0:
            smoothed[index] = smoothed[index + 1]
            smoothed_covariance[index] = smoothed_covariance[index + 1]
            continue
        transition(step, matrix)
        # Gain C = P F' P_next^-1; both covariances are symmetric, so its transpose solves P_next C' = F P.
        gain = np.linalg.solve(predicted_covariance[index + 1], np.dot(matrix, filtered_covariance[index])).T
        gain = np.ascontiguousarray(gain)
        change = smoothed_covariance[index + 1] - predicted_covariance[index + 1]
        smoothed[index] = filtered[index] + np.dot(gain, smoothed[index + 1] - predicted[index + 1])
        work = filtered_covariance[index] + np.dot(np.dot(gain, change), np.ascontiguousarray(gain.T))
        smoothed_covariance[index] = 0.5 * (work + work.T)
