"""Kernels of the review against slow, obvious texts: forces backwards, straight stretches, the friction map."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm

from groundroll.kernels.achieved import achieved_forces
from groundroll.kernels.friction_map import log_above, map_scores
from groundroll.kernels.straight import straight_stretches

pytestmark = pytest.mark.plain


def test_achieved_forces__equation_of_the_roll_by_hand() -> None:
    """One moment, by hand: 60 000 kg, 50 m/s, headwind 5 m/s, 1.2 kg/m3, 120 m2, lift 0.1, drag 0.2, thrust -20 kN.

    q = 0.5 x 1.2 x 55^2 = 1815 Pa; drag 1815 x 120 x 0.2 = 43 560 N; lift 21 780 N; load 588 600 - 21 780 = 566 820 N;
    rolling 0.02 x load = 11 336.4 N; brakes 60 000 x 3 - 43 560 - 20 000 - 11 336.4 = 105 103.6 N. The nose is still
    up, so that all the load is on the main wheels; 0.75 of them brake: 425 115 N.
    """
    result = np.zeros((6, 1))
    one = np.ones(1)
    achieved_forces(
        50.0 * one,
        3.0 * one,
        0.1 * one,
        0.2 * one,
        0.0 * one,
        -20_000.0 * one,
        0.0 * one,
        0.0 * one,
        1e9 * one,
        60_000.0,
        588_600.0,
        0.0,
        1.2,
        5.0,
        120.0,
        0.1,
        0.2,
        0.75,
        0.02,
        0,
        result,
    )
    expected = [43_560.0, 11_336.4, 0.0, 105_103.6, 566_820.0, 425_115.0]
    assert result[:, 0] == pytest.approx(expected, rel=1e-12, abs=1e-9)


def test_straight_stretches__a_line_among_noise() -> None:
    """Samples 20 to 39 were drawn by a ruler; the others jump by far more than the rounding allowed."""
    time = np.arange(60.0)
    values = np.random.default_rng(4).normal(0.0, 5.0, 60)
    values[20:40] = 100.0 - 1.5 * (time[20:40] - 20.0)
    first, last = np.zeros(60, dtype=np.int64), np.zeros(60, dtype=np.int64)
    found = straight_stretches(time, values[None, :], 0.01, 8, first, last)
    assert found == 1
    assert (first[0], last[0]) == (20, 39)
    assert straight_stretches(time[:20], values[None, :20], 0.01, 8, first, last) == 0


@pytest.mark.parametrize("z", [-9.0, -6.9, -2.345, 0.0, 1.2345, 4.0, 6.9])
def test_log_above__equals_scipy(z: float) -> None:
    assert log_above(z) == pytest.approx(float(norm.logsf(z)), abs=1e-5)


VALUE = np.array([0.9, 0.55, 1.1, 0.5])
ASKED = np.array([1.6, 0.60, 1.2, 0.5])
HELD = np.array([0, 0, 0, 1])
THIRD = np.array([0, 0, 1, 1])
COMMON, NOISE, UNEVEN = np.array([0.10, 0.08, 0.12, 0.09]), np.array([0.05, 0.06, 0.07, 0.04]), 0.06
GAIN_SPREAD = 0.1


def _likelihood(parameters: np.ndarray) -> tuple[float, np.ndarray]:  # type: ignore[type-arg]
    """Return the kernel's likelihood of four pieces of one landing, and its gradient."""
    node = np.linspace(-3.6, 3.6, 15)
    weight = -0.5 * node**2
    both = weight[:, None] + weight[None, :] - 2.0 * math.log(float(np.sum(np.exp(weight))))
    scores = np.zeros((1, 6))
    found = map_scores(
        np.array([0, 4]),
        np.arange(4),
        THIRD,
        VALUE,
        ASKED,
        HELD,
        COMMON,
        NOISE,
        UNEVEN,
        np.ascontiguousarray(parameters[:4]),
        math.exp(parameters[4]),
        float(parameters[5]),
        node,
        GAIN_SPREAD * node,
        both,
        scores,
    )
    return float(found), scores[0]


def test_map_scores__likelihood_of_one_landing_written_out() -> None:
    """Sum over friction and gain of SciPy's normal density with the full covariance of errors, times a survival.

    Pieces: ruled by friction, near what was asked, ruled by friction, held by automatic brakes. The kernel leaves the
    constant and the determinant out, which do not depend on the parameters.
    """
    logarithm, spread, gain = np.array([0.0, -0.1, 0.05, 0.02]), 0.15, -0.03
    node = np.linspace(-3.6, 3.6, 15)
    share = norm.pdf(node) / norm.pdf(node).sum()
    same = THIRD[:, None] == THIRD[None, :]
    covariance = np.diag(NOISE**2) + np.outer(COMMON, COMMON) + UNEVEN**2 * same
    total = 0.0
    for effect, by_effect in zip(node, share, strict=True):
        for brakes, by_brakes in zip(node, share, strict=True):
            surface = np.exp(logarithm + spread * effect)
            asks = np.exp(gain + GAIN_SPREAD * brakes) * ASKED
            middle = np.where(HELD == 1, asks, np.minimum(surface, asks))
            at_least = norm.sf(asks[3], surface[3], UNEVEN)
            total += by_effect * by_brakes * at_least * multivariate_normal.pdf(VALUE, middle, covariance)
    here = np.array([*logarithm, math.log(spread), gain])
    found, scores = _likelihood(here)
    constant = 0.5 * float(np.linalg.slogdet(2.0 * math.pi * covariance)[1])
    assert found == pytest.approx(math.log(total) + constant, abs=1e-5)

    for number in range(6):  # the gradient, by central differences of the likelihood
        step = np.zeros(6)
        step[number] = 1e-5
        slope = (_likelihood(here + step)[0] - _likelihood(here - step)[0]) / 2e-5
        assert scores[number] == pytest.approx(slope, abs=2e-3)


def test_map_scores__held_braking_says_at_least() -> None:
    """Brakes that held far below the surface say nothing; more friction is likelier the nearer they came."""
    low = _likelihood(np.array([0.0, 0.0, 0.0, 0.0, math.log(0.15), 0.0]))[1]
    assert abs(low[3]) < 1e-3
    near = _likelihood(np.array([0.0, 0.0, 0.0, math.log(0.5), math.log(0.15), 0.0]))[1]
    assert near[3] > 0.1
