"""Robust non-linear least squares with bounds and priors, from several starts; and what the data determine.

Everything is in units of the spread before the data: a parameter is (value - start) / spread.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from groundroll.physics.arguments import FloatArray

STEP: Final = 0.02
"""Step of the finite differences, well above the tolerance of the rolls. [spreads] Assumption of this project."""

Residuals = Callable[[FloatArray], FloatArray]
"""Misses over their standard deviations."""


def jacobian(residuals: Residuals, at: FloatArray, lower: FloatArray, upper: FloatArray) -> FloatArray:
    """Return the derivatives of the residuals by central differences, one-sided at a bound."""
    columns = []
    for number in range(len(at)):
        high, low = at.copy(), at.copy()
        high[number] = min(at[number] + STEP, upper[number])
        low[number] = max(at[number] - STEP, lower[number])
        columns.append((residuals(high) - residuals(low)) / (high[number] - low[number]))
    return np.array(columns).T


def solve(
    residuals: Residuals, lower: FloatArray, upper: FloatArray, *, starts: int = 3, seed: int = 1
) -> tuple[FloatArray, float]:
    """Return the best point of several starts and its cost.

    Parameters
    ----------
    residuals
        Misses over their standard deviations; the prior is added here, one residual a parameter.
    lower, upper : shape (p,)
        Bounds. [spreads]
    starts
        The starting file itself, and points spread around it.
    seed
        Of those points.
    """
    from scipy.optimize import least_squares

    def with_prior(at: FloatArray) -> FloatArray:
        return np.concatenate([residuals(at), at])

    def derivative(at: FloatArray) -> FloatArray:
        return np.vstack([jacobian(residuals, at, lower, upper), np.eye(len(at))])

    generator = np.random.default_rng(seed)
    best, cost = np.clip(np.zeros(len(lower)), lower, upper), np.inf
    for number in range(starts):
        begin = np.zeros(len(lower)) if number == 0 else generator.normal(size=len(lower))
        begin = np.clip(begin, lower + 1e-6, upper - 1e-6)
        found = least_squares(
            with_prior, begin, jac=derivative, bounds=(lower, upper), loss="soft_l1", f_scale=3.0, xtol=1e-6, ftol=1e-7,
            max_nfev=40,
        )  # fmt: skip
        if found.cost < cost:
            best, cost = found.x, float(found.cost)
    return best, cost


def covariance(derivatives: FloatArray, fitted: list[int], noise: float) -> FloatArray:
    """Return the covariance of the fitted parameters, the others uncertain by their spread but held at the start.

    Parameters
    ----------
    derivatives : shape (n, p)
        Of the residuals, all parameters.
    fitted
        Numbers of the fitted ones.
    noise : scalar
        Variance of the residuals, 1 where their standard deviations hold.
    """
    held = [number for number in range(derivatives.shape[1]) if number not in fitted]
    of_fitted = derivatives[:, fitted]
    inverse = np.linalg.inv(of_fitted.T @ of_fitted / noise + np.eye(len(fitted)))
    sensitivity = -inverse @ of_fitted.T @ derivatives[:, held] / noise
    result: FloatArray = inverse + sensitivity @ sensitivity.T
    return result


def determined(derivatives: FloatArray, narrowing: float) -> list[int]:
    """Return the numbers of the parameters whose spread the data narrow to ``narrowing`` of what it was, or less.

    The least determined one is held until all that are left are determined, the held ones uncertain as before.
    """
    fitted = list(range(derivatives.shape[1]))
    while fitted:
        spreads = np.sqrt(np.diag(covariance(derivatives, fitted, 1.0)))
        worst = int(np.argmax(spreads))
        if spreads[worst] <= narrowing:
            break
        fitted.pop(worst)
    return fitted
