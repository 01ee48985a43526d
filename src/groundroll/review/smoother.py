"""Speed, distance and deceleration of a recorded landing with their uncertainty: a fixed-interval smoother.

Kalman filter and Rauch-Tung-Striebel smoother (AIAA J. 3 (1965) 1445, from memory) over `groundroll.kernels.smoother`.
How restless the deceleration is, and how noisy the speed, is chosen by the likelihood of the recording itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
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

LEAST_ACCELERATION_NOISE: Final = 0.08
"""Of an accelerometer on a rolling aeroplane. [m/s2] Assumption of this project."""

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
    """Return the standard deviation of a series around a smooth course, from its third differences.

    Their variance is 20 times that of white noise (1, 3, 3, 1 squared and summed); a quarter of the middle half guards
    against the odd jump.
    """
    rounding = series.resolution / math.sqrt(12.0)
    if series.size < 12:
        return max(least, rounding)
    third = np.diff(series.value, n=3)
    spread = float(np.percentile(np.abs(third), 68.27)) / math.sqrt(20.0)
    return max(least, rounding, spread)


def assemble(parts: list[tuple[int, Series, float]], grid: FloatArray) -> Measurements:
    """Return the measurements of several series, each with its standard deviation, and the moments of the grid."""
    time = np.concatenate([grid, *(one.time for _, one, _ in parts)])
    kind = np.concatenate([np.full(grid.size, kernel.KIND_NONE), *(np.full(one.size, key) for key, one, _ in parts)])
    value = np.concatenate([np.zeros(grid.size), *(one.value for _, one, _ in parts)])
    variance = np.concatenate([np.ones(grid.size), *(np.full(one.size, sd * sd) for _, one, sd in parts)])
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
    speed_noise = math.nan
    if speed is not None:
        speed_noise = white_noise(speed, LEAST_SPEED_NOISE)
        parts.append((kernel.KIND_SPEED, speed, speed_noise))
    if acceleration is not None:
        noise = white_noise(acceleration, LEAST_ACCELERATION_NOISE)
        # Vibration of neighbouring samples is not independent: each counts for less the faster they come.
        per_second = 1.0 / max(acceleration.interval, 1e-3)
        parts.append((kernel.KIND_ACCELERATION, acceleration, noise * math.sqrt(max(per_second / 4.0, 1.0))))
    first_speed = float(speed.value[0]) if speed is not None else _first_speed(sources[0])
    first_distance = float(distance.value[0]) if distance is not None else 0.0
    start = np.array([first_distance, first_speed, 0.0, 0.0])
    start_covariance = np.diag(
        [2_500.0 if distance is not None else 1e-6, 100.0, 1.0, DATUM_SPREAD**2 if acceleration is not None else 1e-12]
    )
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
    )


def _first_speed(distance: Series) -> float:
    few = min(6, distance.size)
    return float(np.polyfit(distance.time[:few], distance.value[:few], 1)[0])
