"""Robust non-linear least squares with bounds and priors, from several starts; and how far each number may move.

With a prior everything is in units of the spread before the data: a parameter is (value - start) / spread.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from groundroll.physics.arguments import FloatArray

STEP: Final = 0.02
"""Step of the finite differences, well above the tolerance of the rolls. [spreads] Assumption of this project."""

ROBUST: Final = 4.0
"""Misses beyond this many standard deviations count by their size, not its square (soft L1). Assumption of this
project; an even spread over a band ends at 1.7."""

LEVEL: Final = 3.841
"""95 % point of chi-squared with one degree of freedom: the rise that ends an interval."""

CLOSE: Final = 0.02
"""To which the square root of the rise at the end of an interval is met."""

MOST_TRIES: Final = 20
"""Most points tried for one end of an interval."""

Residuals = Callable[[FloatArray], FloatArray]
"""From points, shape (k, p), to misses over their standard deviations, shape (k, n)."""


@dataclass(frozen=True)
class Solution:
    """The best point found."""

    point: FloatArray
    cost: float
    """Sum of squares, large ones softened, prior included."""
    residuals: FloatArray
    """Of the data only."""
    derivatives: FloatArray
    """Of the same, shape (n, p)."""

    @property
    def covariance(self) -> FloatArray:
        """Return the covariance of the point with its prior, straight lines assumed."""
        return np.asarray(np.linalg.inv(self.derivatives.T @ self.derivatives + np.eye(len(self.point))), np.float64)


@dataclass(frozen=True)
class Profile:
    """What is left of the fit when one number is moved and all others follow."""

    points: tuple[tuple[float, float], ...]
    """Where the number was put, ascending, and the rise of the cost there."""
    low: float
    high: float
    """Ends of the 95 % interval, prior included."""
    below: bool
    above: bool
    """Whether the data alone, without the prior of this number, limit it on this side."""

    @property
    def determined(self) -> bool:
        """Return whether the data alone limit it on both sides."""
        return self.below and self.above


def jacobian(
    residuals: Residuals, point: FloatArray, lower: FloatArray, upper: FloatArray, *, step: float = STEP
) -> FloatArray:
    """Return the derivatives of the residuals by central differences, one-sided at a bound."""
    count = len(point)
    high, low = np.tile(point, (count, 1)), np.tile(point, (count, 1))
    np.fill_diagonal(high, np.minimum(point + step, upper))
    np.fill_diagonal(low, np.maximum(point - step, lower))
    both = residuals(np.concatenate([high, low]))
    width = np.diagonal(high) - np.diagonal(low)
    result: FloatArray = ((both[:count] - both[count:]) / width[:, np.newaxis]).T
    return result


def solve(
    residuals: Residuals,
    lower: FloatArray,
    upper: FloatArray,
    begins: Sequence[FloatArray],
    *,
    prior: bool = True,
    robust: float | None = ROBUST,
    step: float = STEP,
    tolerance: float = 1e-6,
    most_steps: int = 60,
    derivatives: bool = True,
) -> Solution:
    """Return the best point of several starts.

    Parameters
    ----------
    residuals
        Misses over their standard deviations, for many points at once.
    lower, upper : shape (p,)
        Bounds; infinite where there are none.
    begins
        Points to begin with, each of shape (p,); moved within the bounds.
    prior
        Whether the point itself is p further residuals: a normal prior around 0 with a spread of 1.
    robust
        Size of a residual beyond which it is softened; None for plain least squares. The prior is never softened.
    step
        Of the finite differences.
    tolerance
        Relative change of point and cost at which the search ends.
    most_steps
        After which a search is given up, with the point it has come to.
    derivatives
        Whether they are wanted of the answer; otherwise they are left empty.
    """
    from scipy.optimize import least_squares

    count = len(lower)

    def all_of(point: FloatArray) -> FloatArray:
        found = residuals(point[np.newaxis])[0]
        return np.concatenate([found, point]) if prior else found

    def derivative(point: FloatArray) -> FloatArray:
        found = jacobian(residuals, point, lower, upper, step=step)
        return np.vstack([found, np.eye(count)]) if prior else found

    def softened(squares: FloatArray) -> FloatArray:
        """Return soft L1 and its two derivatives; the prior, at the end, stays square."""
        root = np.sqrt(1.0 + squares)
        found = np.array([2.0 * (root - 1.0), 1.0 / root, -0.5 / root**3])
        if prior:
            found[:, -count:] = [squares[-count:], np.ones(count), np.zeros(count)]
        return found

    options: dict[str, Any] = {} if robust is None else {"loss": softened, "f_scale": robust}
    best: Any = None
    for begin in begins:
        inside = np.clip(begin, lower + 1e-9, upper - 1e-9)
        found = least_squares(
            all_of, inside, jac=derivative, bounds=(lower, upper), xtol=tolerance, ftol=tolerance, gtol=1e-12,
            x_scale=1.0 if prior else "jac", max_nfev=most_steps, **options,
        )  # fmt: skip
        if best is None or found.cost < best.cost:
            best = found
    rows = len(best.fun) - (count if prior else 0)
    at_best = jacobian(residuals, best.x, lower, upper, step=step) if derivatives else np.zeros((rows, 0))
    return Solution(best.x, 2.0 * float(best.cost), best.fun[:rows], at_best)


def spread_begins(count: int, starts: int, seed: int = 1) -> list[FloatArray]:
    """Return the start and points drawn from the prior around it."""
    drawn = np.random.default_rng(seed).normal(size=(starts, count))
    drawn[0] = 0.0
    return list(drawn)


def held_at_zero(
    residuals: Residuals, lower: FloatArray, upper: FloatArray, free: Sequence[int], begin: FloatArray, **options: Any
) -> Solution:
    """Return the solution with all numbers but ``free`` at the start; its derivatives are those of all."""
    point, cost, found = _held(residuals, lower, upper, list(free), np.zeros(len(lower)), begin, **options)
    return Solution(point, cost, found, jacobian(residuals, point, lower, upper))


def _held(
    residuals: Residuals,
    lower: FloatArray,
    upper: FloatArray,
    free: list[int],
    place: FloatArray,
    begin: FloatArray,
    **options: Any,
) -> tuple[FloatArray, float, FloatArray]:
    """Return point, cost and residuals of the best point with all but ``free`` as in ``place``."""

    def whole(points: FloatArray) -> FloatArray:
        found = np.tile(place, (len(points), 1))
        found[:, free] = points
        return found

    if not free:
        left = residuals(place[np.newaxis])[0]
        return place, float(left @ left + place @ place), left
    found = solve(
        lambda points: residuals(whole(points)), lower[free], upper[free], [begin[free]], derivatives=False, **options
    )
    held = [number for number in range(len(place)) if number not in free]
    return whole(found.point[np.newaxis])[0], found.cost + float(place[held] @ place[held]), found.residuals


class BetterFound(Exception):  # noqa: N818 - not an error: it carries a better point back to the search
    """A profile came below the cost of the best point."""

    def __init__(self, point: FloatArray) -> None:
        super().__init__("a better point was found")
        self.point = point


def profile(
    residuals: Residuals,
    lower: FloatArray,
    upper: FloatArray,
    best: Solution,
    number: int,
    *,
    to_bounds: bool = True,
) -> Profile:
    """Return the profile of one number: it is put aside step by step, all others are solved for anew.

    Parameters
    ----------
    residuals, lower, upper
        As for `solve`, with prior.
    best
        The solution.
    number
        Of the parameter.
    to_bounds
        Also look at both bounds, to learn whether the data alone limit it; without it ``below`` and ``above`` are
        judged at the ends of the interval.

    Raises
    ------
    BetterFound
        If the cost falls below that of ``best``.
    """
    covariance = best.covariance
    along = covariance[:, number] / covariance[number, number]
    deviation = float(np.sqrt(covariance[number, number]))
    centre = float(best.point[number])
    free = [one for one in range(len(lower)) if one != number]
    seen: dict[float, float] = {centre: 0.0}

    def rise(value: float) -> float:
        if value not in seen:
            place = np.zeros(len(lower))
            place[number] = value
            begin = best.point + along * (value - centre)
            point, cost, _ = _held(residuals, lower, upper, free, place, begin, tolerance=1e-3, most_steps=25)
            seen[value] = cost - best.cost
            if seen[value] < -0.05:
                raise BetterFound(point)
        return seen[value]

    def end(sign: float, bound: float) -> float:
        """Return where the rise reaches the level, or the bound."""
        wanted = float(np.sqrt(LEVEL))
        inner, inner_root = centre, 0.0
        outer, outer_root = bound, np.inf
        place = centre + sign * wanted * deviation
        stride = 0.3 * deviation  # doubled each time: a rise may rest for long where another force begins to rule
        for step in range(MOST_TRIES):
            place = min(max(place, float(lower[number])), float(upper[number]))
            root = float(np.sqrt(max(rise(place), 0.0)))
            if abs(root - wanted) <= CLOSE or (place == bound and root < wanted):
                return place
            if root < wanted:
                inner, inner_root = place, root
            else:
                outer, outer_root = place, root
            if np.isfinite(outer_root):
                share = (wanted - inner_root) / (outer_root - inner_root)
                share = 0.5 if step % 3 == 2 else min(max(share, 0.05), 0.95)  # halving where it bends
                place = inner + share * (outer - inner)
            else:
                further = (wanted - inner_root) / max(inner_root, 0.2) * abs(inner - centre)
                place, stride = inner + sign * max(further, stride), 2.0 * stride
        return outer

    low, high = end(-1.0, float(lower[number])), end(1.0, float(upper[number]))
    if to_bounds:
        for bound in (float(lower[number]), float(upper[number])):
            rise(bound)
    # Without its own prior, the same points show what the data say by themselves.
    alone = {value: found - value**2 for value, found in seen.items()}
    least = min(alone.values())
    below = any(value < centre and one - least >= LEVEL - 0.1 for value, one in alone.items())
    above = any(value > centre and one - least >= LEVEL - 0.1 for value, one in alone.items())
    return Profile(tuple(sorted(seen.items())), low, high, below, above)
