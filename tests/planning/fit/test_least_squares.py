"""The search behind a fit: closed forms, profiles, and published regression problems."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest

from groundroll.planning.fit.least_squares import BetterFound, held_at_zero, profile, solve

Model = Callable[[np.ndarray, np.ndarray], np.ndarray]


def _linear(matrix: np.ndarray, wanted: np.ndarray) -> Callable[[np.ndarray], np.ndarray]:
    return lambda points: points @ matrix.T - wanted


def test_solve__straight_line_with_prior_matches_normal_equations() -> None:
    """y = 2 x at x = 1, 2, 3 with deviation 1 and a prior of 0 with deviation 1: slope 28 / (14 + 1), by hand."""
    residuals = _linear(np.array([[1.0], [2.0], [3.0]]), np.array([2.0, 4.0, 6.0]))
    bounds = np.array([-9.0]), np.array([9.0])
    found = solve(residuals, *bounds, [np.zeros(1), np.ones(1)], robust=None, tolerance=1e-10)
    assert found.point[0] == pytest.approx(28.0 / 15.0, rel=1e-8)
    assert found.covariance[0, 0] == pytest.approx(1.0 / 15.0, rel=1e-8)


def test_profile__straight_line_has_the_interval_of_the_normal_distribution() -> None:
    """The same line: deviation 1 / sqrt(15), and 95 % lie within 1.960 of it (tables of the normal distribution)."""
    residuals = _linear(np.array([[1.0], [2.0], [3.0]]), np.array([2.0, 4.0, 6.0]))
    bounds = np.array([-9.0]), np.array([9.0])
    found = solve(residuals, *bounds, [np.zeros(1)], robust=None)
    of_it = profile(residuals, *bounds, found, 0)
    assert of_it.high - 28.0 / 15.0 == pytest.approx(1.960 / np.sqrt(15.0), rel=0.02)
    assert 28.0 / 15.0 - of_it.low == pytest.approx(1.960 / np.sqrt(15.0), rel=0.02)
    assert of_it.determined


def test_profile__goes_on_where_the_rise_rests_below_the_level() -> None:
    """A miss that jumps to 1.6 and stays, and the prior: 1.6^2 + z^2 reaches 3.841 at z = 1.132, by hand."""
    bounds = np.array([-4.0]), np.array([4.0])
    found = solve(lambda points: 1.6 * np.tanh(20.0 * points), *bounds, [np.zeros(1)], robust=None)
    of_it = profile(lambda points: 1.6 * np.tanh(20.0 * points), *bounds, found, 0)
    assert (of_it.low, of_it.high) == pytest.approx((-1.132, 1.132), abs=0.05)


def test_profile__finds_the_end_where_the_rise_is_a_wall() -> None:
    """Nothing but the prior up to 0.5, then a hundred times steeper: z^2 + 1e4 (z - 0.5)^2 = 3.841 at 0.519."""
    bounds = np.array([-4.0]), np.array([4.0])
    found = solve(lambda points: 100.0 * np.maximum(points - 0.5, 0.0), *bounds, [np.zeros(1)], robust=None)
    of_it = profile(lambda points: 100.0 * np.maximum(points - 0.5, 0.0), *bounds, found, 0)
    assert of_it.high == pytest.approx(0.519, abs=0.002)
    assert of_it.low == pytest.approx(-1.960, abs=0.03)


def test_profile__names_what_two_parameters_share() -> None:
    """Only the sum of the last two acts, so without the prior neither is limited by itself; the first is."""
    residuals = _linear(np.array([[10.0, 0.0, 0.0], [0.0, 10.0, 10.0]]), np.array([5.0, 5.0]))
    bounds = np.full(3, -4.0), np.full(3, 4.0)
    found = solve(residuals, *bounds, [np.zeros(3)], robust=None)
    profiles = [profile(residuals, *bounds, found, number) for number in range(3)]
    assert profiles[0].determined
    # Sum and difference of the two: deviation of each sqrt((1 / 201 + 1) / 2), by hand.
    assert profiles[1].high - profiles[1].low == pytest.approx(
        2.0 * 1.960 * np.sqrt((1.0 / 201.0 + 1.0) / 2.0), rel=0.02
    )
    assert not profiles[1].above or not profiles[1].below or profiles[1].high - profiles[1].low > 2.0


def test_profile__better_point_than_the_best_is_handed_back() -> None:
    residuals = _linear(np.array([[1.0], [2.0], [3.0]]), np.array([2.0, 4.0, 6.0]))
    bounds = np.array([-9.0]), np.array([9.0])
    found = solve(residuals, *bounds, [np.zeros(1)], robust=None)
    worse = type(found)(found.point + 0.5, found.cost + 15.0 * 0.25, found.residuals, found.derivatives)
    with pytest.raises(BetterFound):
        profile(residuals, *bounds, worse, 0)


def test_held_at_zero__others_are_solved_for_and_the_held_stay() -> None:
    """y = a + b with b held at 0 and a prior: a = 3 / (1 + 1), by hand."""
    residuals = _linear(np.array([[1.0, 1.0]]), np.array([3.0]))
    found = held_at_zero(residuals, np.full(2, -4.0), np.full(2, 4.0), [0], np.zeros(2), robust=None)
    assert found.point == pytest.approx([1.5, 0.0], abs=1e-4)


# ---------------------------------------------------------------------------------------- published regression problems


@dataclass(frozen=True)
class Problem:
    """One data set of the NIST Statistical Reference Datasets for non-linear regression, with its certified answer."""

    model: Model
    x: list[float]
    y: list[float]
    starts: tuple[list[float], list[float]]
    certified: list[float]
    sum_of_squares: float


MISRA_X = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0]
MISRA_Y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78]

PROBLEMS = {
    "Misra1a": Problem(
        lambda b, x: b[:, :1] * (1.0 - np.exp(-b[:, 1:] * x)), MISRA_X, MISRA_Y, ([500.0, 1e-4], [250.0, 5e-4]),
        [2.3894212918e02, 5.5015643181e-04], 1.2455138894e-01,
    ),
    "Misra1b": Problem(
        lambda b, x: b[:, :1] * (1.0 - (1.0 + 0.5 * b[:, 1:] * x) ** -2), MISRA_X, MISRA_Y,
        ([500.0, 1e-4], [300.0, 2e-4]), [3.3799746163e02, 3.9039091287e-04], 7.5464681533e-02,
    ),
    "Misra1c": Problem(
        lambda b, x: b[:, :1] * (1.0 - (1.0 + 2.0 * b[:, 1:] * x) ** -0.5), MISRA_X, MISRA_Y,
        ([500.0, 1e-4], [600.0, 2e-4]), [6.3642725809e02, 2.0813627256e-04], 4.0966836971e-02,
    ),
    "Misra1d": Problem(
        lambda b, x: b[:, :1] * b[:, 1:] * x / (1.0 + b[:, 1:] * x), MISRA_X, MISRA_Y,
        ([500.0, 1e-4], [450.0, 3e-4]), [4.3736970754e02, 3.0227324449e-04], 5.6419295283e-02,
    ),
    "DanWood": Problem(
        lambda b, x: b[:, :1] * x ** b[:, 1:], [1.309, 1.471, 1.490, 1.565, 1.611, 1.680],
        [2.138, 3.421, 3.597, 4.340, 4.882, 5.660], ([1.0, 5.0], [0.7, 4.0]),
        [7.6886226176e-01, 3.8604055871], 4.3173084083e-03,
    ),
    "BoxBOD": Problem(
        lambda b, x: b[:, :1] * (1.0 - np.exp(-b[:, 1:] * x)), [1.0, 2.0, 3.0, 5.0, 7.0, 10.0],
        [109.0, 149.0, 149.0, 191.0, 213.0, 224.0], ([1.0, 1.0], [100.0, 0.75]),
        [2.1380940889e02, 5.4723748542e-01], 1.1680088766e03,
    ),
    "Rat42": Problem(
        lambda b, x: b[:, :1] / (1.0 + np.exp(b[:, 1:2] - b[:, 2:] * x)),
        [9.0, 14.0, 21.0, 28.0, 42.0, 57.0, 63.0, 70.0, 79.0],
        [8.93, 10.80, 18.59, 22.33, 39.35, 56.11, 61.73, 64.62, 67.08], ([100.0, 1.0, 0.1], [75.0, 2.5, 0.07]),
        [7.2462237576e01, 2.6180768402, 6.7359200066e-02], 8.0565229338,
    ),
    "Rat43": Problem(
        lambda b, x: b[:, :1] / (1.0 + np.exp(b[:, 1:2] - b[:, 2:3] * x)) ** (1.0 / b[:, 3:]),
        [float(one) for one in range(1, 16)],
        [16.08, 33.83, 65.80, 97.20, 191.55, 326.20, 386.87, 520.53, 590.03, 651.92, 724.93, 699.56, 689.96, 637.56,
         717.41],
        ([100.0, 10.0, 1.0, 1.0], [700.0, 5.0, 0.75, 1.3]),
        [6.9964151270e02, 5.2771253025, 7.5962938329e-01, 1.2792483859], 8.7864049080e03,
    ),
    "MGH09": Problem(
        lambda b, x: b[:, :1] * (x**2 + b[:, 1:2] * x) / (x**2 + b[:, 2:3] * x + b[:, 3:]),
        [4.0, 2.0, 1.0, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625],
        [0.1957, 0.1947, 0.1735, 0.1600, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246],
        ([25.0, 39.0, 41.5, 39.0], [0.25, 0.39, 0.415, 0.39]),
        [1.9280693458e-01, 1.9128232873e-01, 1.2305650693e-01, 1.3606233068e-01], 3.0750560385e-04,
    ),
    "MGH10": Problem(
        lambda b, x: b[:, :1] * np.exp(b[:, 1:2] / (x + b[:, 2:])),
        [float(one) for one in range(50, 126, 5)],
        [34780.0, 28610.0, 23650.0, 19630.0, 16370.0, 13720.0, 11540.0, 9744.0, 8261.0, 7030.0, 6005.0, 5147.0, 4427.0,
         3820.0, 3307.0, 2872.0],
        ([2.0, 400000.0, 25000.0], [0.02, 4000.0, 250.0]),
        [5.6096364710e-03, 6.1813463463e03, 3.4522363462e02], 8.7945855171e01,
    ),
    "Thurber": Problem(
        lambda b, x: (b[:, :1] + b[:, 1:2] * x + b[:, 2:3] * x**2 + b[:, 3:4] * x**3)
        / (1.0 + b[:, 4:5] * x + b[:, 5:6] * x**2 + b[:, 6:] * x**3),
        [-3.067, -2.981, -2.921, -2.912, -2.840, -2.797, -2.702, -2.699, -2.633, -2.481, -2.363, -2.322, -1.501, -1.460,
         -1.274, -1.212, -1.100, -1.046, -0.915, -0.714, -0.566, -0.545, -0.400, -0.309, -0.109, -0.103, 0.010, 0.119,
         0.377, 0.790, 0.963, 1.006, 1.115, 1.572, 1.841, 2.047, 2.200],
        [80.574, 84.248, 87.264, 87.195, 89.076, 89.608, 89.868, 90.101, 92.405, 95.854, 100.696, 101.060, 401.672,
         390.724, 567.534, 635.316, 733.054, 759.087, 894.206, 990.785, 1090.109, 1080.914, 1122.643, 1178.351,
         1260.531, 1273.514, 1288.339, 1327.543, 1353.863, 1414.509, 1425.208, 1421.384, 1442.962, 1464.350, 1468.705,
         1447.894, 1457.628],
        ([1000.0, 1000.0, 400.0, 40.0, 0.7, 0.3, 0.03], [1300.0, 1500.0, 500.0, 75.0, 1.0, 0.4, 0.05]),
        [1.2881396800e03, 1.4910792535e03, 5.8323836877e02, 7.5416644291e01, 9.6629502864e-01, 3.9797285797e-01,
         4.9727297349e-02],
        5.6427082397e03,
    ),
}  # fmt: skip
"""NIST Statistical Reference Datasets, non-linear regression: data, starts and certified values, from memory.

The next test proves data and values against each other: the certified sum of squares has eleven digits.
"""


@pytest.mark.parametrize("name", PROBLEMS)
def test_problem__data_give_the_certified_sum_of_squares(name: str) -> None:
    """NIST StRD, data from memory, verified by the certified residual sum of squares, which has eleven digits."""
    one = PROBLEMS[name]
    misses = one.model(np.array([one.certified]), np.array(one.x))[0] - np.array(one.y)
    assert float(misses @ misses) == pytest.approx(one.sum_of_squares, rel=2e-10)


@pytest.mark.parametrize("start", [0, 1])
@pytest.mark.parametrize("name", PROBLEMS)
def test_solve__certified_values_from_both_starts(name: str, start: int) -> None:
    """NIST StRD as above; asked to six of the eleven certified digits."""
    one = PROBLEMS[name]
    scale = np.abs(one.starts[start])
    x, y = np.array(one.x), np.array(one.y)
    free = np.full(len(scale), np.inf)
    with np.errstate(all="ignore"):
        found = solve(
            lambda points: one.model(points * scale, x) - y, -free, free, [np.sign(one.starts[start])], prior=False,
            robust=None, step=1e-6, tolerance=1e-14, most_steps=20_000,
        )  # fmt: skip
    assert found.cost == pytest.approx(one.sum_of_squares, rel=1e-6)
    assert found.point * scale == pytest.approx(one.certified, rel=1e-6)
