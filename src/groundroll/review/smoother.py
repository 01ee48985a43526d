"""Speed, distance and deceleration of a recorded landing with their uncertainty: a fixed-interval smoother.

Kalman filter and Rauch-Tung-Striebel smoother (AIAA J. 3 (1965) 1445, from memory) over `groundroll.kernels.smoother`.
How restless the deceleration is, and how noisy the speed, is chosen by the likelihood of the recording itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundroll.constants import GRAVITY, KNOT
from groundroll.kernels import smoother as kernel
from groundroll.physics.arguments import FloatArray
from groundroll.review.reading import Series

JERK_DENSITIES: Final = (0.02, 0.08, 0.3, 1.0)
"""Tried for the deceleration. [m2/s5] Assumption of this project: 0.3 changes it by 0.5 m/s2 within a second."""

SPEED_NOISES: Final = (0.5, 1.0, 2.0)
"""Tried as factors on the noise of the speed. Assumption of this project."""

LEAST_SPEED_NOISE: Final = 0.15 * KNOT
"""[m/s] Assumption of this project: an inertial or satellite speed is not better over a landing."""

LEAST_DISTANCE_NOISE: Final = 4.0
"""[m] Assumption of this project: most of the error of a position wanders over tens of seconds, so that neighbouring
positions count for less than their scatter says."""

GREATEST_AGE: Final = 0.6
"""Of the standard deviation of the age of a value. [s] Assumption of this project: values are up to 2 s old."""

LEAST_ACCELERATION_NOISE: Final = 0.08
"""Of an accelerometer on a rolling aeroplane. [m/s2] Assumption of this project."""

START_DISTANCE: Final = 30.0
"""Standard deviation of where a recording begins, before its positions are smoothed. [m] Assumption of this project."""

DATUM_SPREAD: Final = 0.1 * GRAVITY
"""Standard deviation of the datum before the data speak. [m/s2] Source: 14 CFR 121 Appendix M no. 11, datum within 5 %
of the range of 2 g (confirmed)."""

DATUM_DENSITY: Final = 1e-5
"""How fast the datum wanders. [m2/s5] Assumption of this project."""

GRID_STEP: Final = 0.25
"""Between the moments of a result. [s]"""


@dataclass(frozen=True)
class Motion:
    """The motion of a landing on an even grid of times, with standard deviations."""

    time: FloatArray
    distance: FloatArray
    ground_speed: FloatArray
    deceleration: FloatArray
    covariance: FloatArray
    """Of distance, speed, acceleration and datum, shape (n, 4, 4)."""
    datum: float
    """What the accelerometer shows at no acceleration; NaN without one. [m/s2]"""
    datum_deviation: float
    jerk_density: float
    speed_noise: float
    """Standard deviation found for the recorded speed. [m/s]"""
    left_out: int
    """Samples further than six standard deviations from everything else."""
    age: float = 0.0
    """Standard deviation found for how old values are when they are written down. [s]"""

    @property
    def distance_deviation(self) -> FloatArray:
        """Return the standard deviation of the distance. [m]"""
        return np.sqrt(self.covariance[:, 0, 0])

    @property
    def speed_deviation(self) -> FloatArray:
        """Return the standard deviation of the speed. [m/s]"""
        return np.sqrt(self.covariance[:, 1, 1])

    @property
    def deceleration_deviation(self) -> FloatArray:
        """Return the standard deviation of the deceleration. [m/s2]"""
        return np.sqrt(self.covariance[:, 2, 2])

    def index(self, time: float) -> int:
        """Return the number of the grid point nearest to a time."""
        return int(np.clip(round((time - self.time[0]) / GRID_STEP), 0, self.time.size - 1))

    def at(self, time: float) -> tuple[float, float, float]:
        """Return distance, ground speed and deceleration at a time."""
        return (
            float(np.interp(time, self.time, self.distance)),
            float(np.interp(time, self.time, self.ground_speed)),
            float(np.interp(time, self.time, self.deceleration)),
        )

    def time_below(self, speed: float, after: float = -math.inf) -> float | None:
        """Return when the ground speed first falls below ``speed`` after a time; None where it does not."""
        below = np.flatnonzero((self.ground_speed < speed) & (self.time >= after))
        if below.size == 0:
            return None
        one = int(below[0])
        if one == 0 or self.ground_speed[one - 1] < speed:
            return float(self.time[one])
        share = (self.ground_speed[one - 1] - speed) / (self.ground_speed[one - 1] - self.ground_speed[one])
        return float(self.time[one - 1] + share * GRID_STEP)


@dataclass(frozen=True)
class Measurements:
    """What was measured, in the order of time."""

    time: FloatArray
    kind: NDArray[np.int64]
    value: FloatArray
    variance: FloatArray


def white_noise(series: Series, least: float) -> float:
    """Return the standard deviation of a series around a smooth course, from its third divided differences.

    Weights that take any parabola through four neighbours away, of unit length so that white noise keeps its variance;
    evenly spaced they are 1, -3, 3, -1 over the root of 20. A quantile guards against the odd jump.
    """
    rounding = series.resolution / math.sqrt(12.0)
    if series.size < 12:
        return max(least, rounding)
    moments = np.lib.stride_tricks.sliding_window_view(series.time, 4)
    apart = moments[:, :, None] - moments[:, None, :] + np.eye(4)
    weights = 1.0 / np.prod(apart, axis=2)
    weights /= np.linalg.norm(weights, axis=1, keepdims=True)
    third = np.sum(weights * np.lib.stride_tricks.sliding_window_view(series.value, 4), axis=1)
    return max(least, rounding, float(np.percentile(np.abs(third), 68.27)))


def ages(distance: Series | None, speed: Series | None) -> float:
    """Return the standard deviation of how old values are when they are written down. [s]

    A position that is older than its time lies behind by speed times age: while an aeroplane approaches at a steady
    speed, that is how far positions scatter more than positions do.
    """
    if distance is None or speed is None or distance.size < 12:
        return 0.0
    fast = distance.without(speed.at(distance.time) < 0.7 * float(np.max(speed.value)))
    if fast.size < 12:
        return 0.0
    scatter = white_noise(fast, LEAST_DISTANCE_NOISE)
    return min(math.sqrt(scatter**2 - LEAST_DISTANCE_NOISE**2) / float(np.median(speed.at(fast.time))), GREATEST_AGE)


def with_ages(speed: Series, age: float) -> Series:
    """Return a speed whose values are the less sure the faster they change, by how old they are."""
    if age <= 0.0:
        return speed
    grid = np.arange(float(speed.time[0]), float(speed.time[-1]), 1.0)
    if grid.size < 7:
        return speed
    mean = np.convolve(np.pad(speed.at(grid), 2, mode="edge"), np.full(5, 0.2), mode="valid")
    rate = np.interp(speed.time, grid, np.abs(np.gradient(mean)))
    return replace(speed, spread=np.hypot(0.0 if speed.spread is None else speed.spread, age * rate))


def assemble(parts: list[tuple[int, Series, float]], grid: FloatArray) -> Measurements:
    """Return the measurements of several series, each with its standard deviation, and the moments of the grid."""
    time = np.concatenate([grid, *(one.time for _, one, _ in parts)])
    kind = np.concatenate([np.full(grid.size, kernel.KIND_NONE), *(np.full(one.size, key) for key, one, _ in parts)])
    value = np.concatenate([np.zeros(grid.size), *(one.value for _, one, _ in parts)])
    variance = np.concatenate(
        [
            np.ones(grid.size),
            *(sd * sd + (0.0 if one.spread is None else one.spread**2) + np.zeros(one.size) for _, one, sd in parts),
        ]
    )
    order = np.argsort(time, kind="stable")
    return Measurements(time[order], kind[order].astype(np.int64), value[order], variance[order])


def run_filter(
    measured: Measurements,
    jerk_density: float,
    start: FloatArray,
    start_covariance: FloatArray,
    datum_density: float = DATUM_DENSITY,
) -> tuple[float, FloatArray, FloatArray, NDArray[np.int64]]:
    """Return likelihood, smoothed states (n, 4), covariances (n, 4, 4), and which rows were used."""
    count = measured.time.size
    predicted, filtered, smoothed = (np.empty((count, kernel.STATES)) for _ in range(3))
    shape = (count, kernel.STATES, kernel.STATES)
    predicted_covariance, filtered_covariance, smoothed_covariance = (np.empty(shape) for _ in range(3))
    used = np.zeros(count, dtype=np.int64)
    likelihood = kernel.filter_forwards(
        measured.time,
        measured.kind,
        measured.value,
        measured.variance,
        jerk_density,
        datum_density,
        start,
        start_covariance,
        predicted,
        predicted_covariance,
        filtered,
        filtered_covariance,
        used,
    )
    kernel.smooth_backwards(
        measured.time,
        predicted,
        predicted_covariance,
        filtered,
        filtered_covariance,
        smoothed,
        smoothed_covariance,
    )
    return float(likelihood), smoothed, smoothed_covariance, used


def _most_likely(
    measured: Measurements, factors: Sequence[float], start: FloatArray, start_covariance: FloatArray
) -> tuple[float, float]:
    """Return the restlessness of the deceleration and the factor on the noise of the speed that fit best."""
    real = measured.kind >= 0
    time, kind = measured.time[real], measured.kind[real]
    value, variance = measured.value[real], measured.variance[real]
    state, covariance = np.empty((time.size, kernel.STATES)), np.empty((time.size, kernel.STATES, kernel.STATES))
    used = np.empty(time.size, dtype=np.int64)
    best = (-math.inf, JERK_DENSITIES[2], 1.0)
    for factor in factors:
        noise = np.where(kind == kernel.KIND_SPEED, variance * factor**2, variance)
        for density in JERK_DENSITIES:
            found = float(
                kernel.filter_forwards(  # what it fills is not looked at: one place does for all of it
                    time,
                    kind,
                    value,
                    noise,
                    density,
                    DATUM_DENSITY,
                    start,
                    start_covariance,
                    state,
                    covariance,
                    state,
                    covariance,
                    used,
                )
            )
            if found > best[0]:
                best = (found, density, factor)
    return best[1], best[2]


def smooth(distance: Series | None, speed: Series | None, acceleration: Series | None) -> Motion:
    """Return the motion that fits a recording best.

    Parameters
    ----------
    distance
        Along the runway, any origin, where positions exist.
    speed
        Ground speed, where recorded.
    acceleration
        Along the runway, gravity taken off, forward positive; its datum is found.

    Raises
    ------
    ValueError
        If neither distance nor speed is given.
    """
    sources = [one for one in (distance, speed) if one is not None and one.size > 3]
    if not sources:
        raise ValueError("neither a distance nor a speed to smooth")
    first = min(float(one.time[0]) for one in sources)
    last = max(float(one.time[-1]) for one in sources)
    steps = np.arange(math.ceil(first / GRID_STEP), math.floor(last / GRID_STEP) + 1)
    grid: FloatArray = np.asarray(steps * GRID_STEP, dtype=np.float64)
    parts: list[tuple[int, Series, float]] = []
    if distance is not None:
        parts.append((kernel.KIND_DISTANCE, distance, white_noise(distance, LEAST_DISTANCE_NOISE)))
    speed_noise, age = math.nan, 0.0
    if speed is not None:
        speed_noise = white_noise(speed, LEAST_SPEED_NOISE)
        age = ages(distance, speed)
        speed = with_ages(speed, age)
        parts.append((kernel.KIND_SPEED, speed, speed_noise))
    if acceleration is not None:
        noise = white_noise(acceleration, LEAST_ACCELERATION_NOISE)
        # Vibration of neighbouring samples is not independent: each counts for less the faster they come.
        per_second = 1.0 / max(acceleration.interval, 1e-3)
        parts.append((kernel.KIND_ACCELERATION, acceleration, noise * math.sqrt(max(per_second / 4.0, 1.0))))
    first_speed = float(speed.value[0]) if speed is not None else _first_speed(sources[0])
    first_distance, first_variance = 0.0, 1e-6
    if distance is not None:
        # Positions may begin later than speeds, and the very first one may be an old one: the middle of a few counts.
        few = slice(0, 5)
        later = distance.time[few] - first
        usual = first_speed if speed is None else 0.5 * (first_speed + speed.at(distance.time[few]))
        first_distance = float(np.median(distance.value[few] - usual * later))
        first_variance = START_DISTANCE**2 + (0.1 * first_speed * float(later[0])) ** 2
    start = np.array([first_distance, first_speed, 0.0, 0.0])
    start_covariance = np.diag([first_variance, 100.0, 1.0, DATUM_SPREAD**2 if acceleration is not None else 1e-12])
    measured = assemble(parts, grid)
    is_speed = measured.kind == kernel.KIND_SPEED
    density, factor = _most_likely(measured, SPEED_NOISES if speed is not None else (1.0,), start, start_covariance)
    scaled = Measurements(
        measured.time,
        measured.kind,
        measured.value,
        np.where(is_speed, measured.variance * factor**2, measured.variance),
    )
    _, states, covariances, used = run_filter(scaled, density, start, start_covariance)
    wanted = measured.kind == kernel.KIND_NONE
    middle = int(wanted.sum()) // 2
    state, covariance = states[wanted], covariances[wanted]
    return Motion(
        time=grid,
        distance=state[:, 0],
        ground_speed=np.maximum(state[:, 1], 0.0),
        deceleration=-state[:, 2],
        covariance=covariance,
        datum=float(state[middle, 3]) if acceleration is not None else math.nan,
        datum_deviation=float(math.sqrt(max(covariance[middle, 3, 3], 0.0))) if acceleration is not None else math.nan,
        jerk_density=density,
        speed_noise=speed_noise * factor,
        left_out=int(np.sum((used == 0) & (measured.kind >= 0))),
        age=age,
    )


def _first_speed(distance: Series) -> float:
    few = min(6, distance.size)
    return float(np.polyfit(distance.time[:few], distance.value[:few], 1)[0])
