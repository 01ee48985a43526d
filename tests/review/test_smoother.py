"""The smoother against a solution that does not filter at all, and against motions known in closed form."""

from __future__ import annotations

import numpy as np
import pytest

from groundroll.kernels import smoother as kernel
from groundroll.review.reading import Series
from groundroll.review.smoother import GRID_STEP, assemble, run_filter, smooth, white_noise


def _move(step: float) -> np.ndarray:  # type: ignore[type-arg]
    move = np.eye(4)
    move[0, 1] = move[1, 2] = step
    move[0, 2] = 0.5 * step**2
    return move


def _noise(step: float, density: float, datum_density: float) -> np.ndarray:  # type: ignore[type-arg]
    noise = np.zeros((4, 4))
    noise[:3, :3] = density * np.array(
        [
            [step**5 / 20, step**4 / 8, step**3 / 6],
            [step**4 / 8, step**3 / 3, step**2 / 2],
            [step**3 / 6, step**2 / 2, step],
        ]
    )
    noise[3, 3] = datum_density * step
    return noise


def test_smoother__equals_gaussian_regression_on_all_states_at_once() -> None:
    """A linear Gaussian case has one answer: all states are jointly normal, and the measurements condition them.

    The joint covariance is written down from the law of motion, cov(x_i, x_j) = P_i F(t_j - t_i)' for t_j >= t_i, and
    one dense solve gives mean and covariance. No recursion is shared with the smoother.
    """
    generator = np.random.default_rng(3)
    grid = np.arange(0.0, 6.0, 0.5)
    seen = np.arange(0.13, 6.0, 0.71)
    speed = Series(seen, 60.0 - 2.0 * seen + generator.normal(0.0, 0.4, seen.size))
    there = np.arange(0.31, 6.0, 1.13)
    place = Series(there, 58.0 * there + generator.normal(0.0, 3.0, there.size))
    heard = np.arange(0.221, 6.0, 0.2534)
    felt = Series(heard, -2.0 + 0.5 + generator.normal(0.0, 0.2, heard.size))
    measured = assemble(
        [(kernel.KIND_DISTANCE, place, 3.0), (kernel.KIND_SPEED, speed, 0.4), (kernel.KIND_ACCELERATION, felt, 0.2)],
        grid,
    )
    start, start_covariance = np.array([0.0, 60.0, 0.0, 0.0]), np.diag([100.0, 25.0, 4.0, 1.0])
    density, datum_density = 0.3, 0.01
    _, states, covariances, used = run_filter(measured, density, start, start_covariance, datum_density)
    assert np.all(used[measured.kind >= 0] == 1)

    time, count = measured.time, measured.time.size
    own = []
    for one in time:
        move = _move(one - time[0])
        own.append(move @ start_covariance @ move.T + _noise(one - time[0], density, datum_density))
    joint = np.zeros((4 * count, 4 * count))
    for i in range(count):
        for j in range(i, count):
            block = own[i] @ _move(time[j] - time[i]).T
            joint[4 * i : 4 * i + 4, 4 * j : 4 * j + 4] = block
            joint[4 * j : 4 * j + 4, 4 * i : 4 * i + 4] = block.T
    mean = np.concatenate([_move(one - time[0]) @ start for one in time])
    rows = {0: [1.0, 0, 0, 0], 1: [0, 1.0, 0, 0], 2: [0, 0, 1.0, 1.0]}
    real = np.flatnonzero(measured.kind >= 0)
    seen_by = np.zeros((real.size, 4 * count))
    for number, index in enumerate(real):
        seen_by[number, 4 * index : 4 * index + 4] = rows[int(measured.kind[index])]
    total = seen_by @ joint @ seen_by.T + np.diag(measured.variance[real])
    gain = np.linalg.solve(total, seen_by @ joint).T
    best = (mean + gain @ (measured.value[real] - seen_by @ mean)).reshape(count, 4)
    covariance = joint - gain @ seen_by @ joint
    assert states == pytest.approx(best, abs=1e-6)
    for index in (0, count // 2, count - 1):
        dense = covariance[4 * index : 4 * index + 4, 4 * index : 4 * index + 4]
        assert covariances[index] == pytest.approx(dense, abs=1e-6)


def test_smoother__constant_deceleration_without_noise_is_found() -> None:
    time = np.arange(0.0, 30.0, 0.25)
    motion = smooth(None, Series(time, 70.0 - 1.8 * time), None)
    inside = (motion.time > 3.0) & (motion.time < 27.0)
    assert motion.deceleration[inside] == pytest.approx(1.8, abs=0.01)
    travelled = motion.distance[inside] - motion.distance[inside][0]
    times = motion.time[inside]
    exact = 70.0 * (times - times[0]) - 0.9 * (times**2 - times[0] ** 2)
    assert travelled == pytest.approx(exact, abs=0.5)
    assert np.allclose(np.diff(motion.time), GRID_STEP)


def test_white_noise__of_a_quadratic_with_known_noise() -> None:
    """Third differences remove a parabola; noise of 0.4 is recovered within a tenth over 2000 samples."""
    time = np.arange(0.0, 500.0, 0.25)
    noise = np.random.default_rng(2).normal(0.0, 0.4, time.size)
    assert white_noise(Series(time, 3.0 + time - 0.01 * time**2 + noise), 0.01) == pytest.approx(0.4, rel=0.1)


def test_smoother__equals_statsmodels_on_a_linear_case() -> None:
    """The state-space smoother of statsmodels, an independent text, on even steps with speeds only."""
    from statsmodels.tsa.statespace.mlemodel import MLEModel

    step, density, noise = 0.5, 0.3, 0.4
    time = np.arange(0.0, 20.0, step)
    seen = 60.0 - 1.5 * time + np.random.default_rng(6).normal(0.0, noise, time.size)
    start, start_covariance = np.array([0.0, 60.0, 0.0, 0.0]), np.diag([1.0, 25.0, 4.0, 1e-6])
    measured = assemble([(kernel.KIND_SPEED, Series(time, seen), noise)], np.zeros(0))
    likelihood, states, covariances, _ = run_filter(measured, density, start, start_covariance, 0.0)

    model = MLEModel(seen, k_states=4, k_posdef=4)
    model["design"] = np.array([[0.0, 1.0, 0.0, 0.0]])
    model["obs_cov"] = np.array([[noise**2]])
    model["transition"] = _move(step)
    model["selection"] = np.eye(4)
    model["state_cov"] = _noise(step, density, 0.0)
    model.ssm.initialize_known(start, start_covariance)
    found = model.ssm.smooth()
    assert states == pytest.approx(found.smoothed_state.T, abs=1e-6)
    assert covariances == pytest.approx(np.moveaxis(found.smoothed_state_cov, 2, 0), abs=1e-6)
    assert likelihood == pytest.approx(float(found.llf_obs.sum()), abs=1e-6)
