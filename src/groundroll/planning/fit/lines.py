"""The numbers of many rolls as straight lines in the parameters of a fit: built once, then only added up."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

import numpy as np
import numpy.typing as npt

from groundroll.physics.arguments import FloatArray
from groundroll.planning.fit.parameters import Parameter

AFFINE: Final = 1e-9
"""Relative miss up to which the numbers of a roll count as straight lines in the parameters."""


def straight_lines(
    built: Callable[[FloatArray], FloatArray], parameters: Sequence[Parameter]
) -> Callable[[FloatArray], FloatArray]:
    """Return the rows of `case_of` for many sets of parameters, one set after the other.

    The numbers that the kernel takes are straight lines in every parameter. They are built once for the start and once
    for each parameter moved; that lines are enough is checked where all are moved together, and where they are not
    every set is built anew.

    Parameters
    ----------
    built
        From one set of values, shape (p,), to the rows of all its rolls, shape (n, CASE_SIZE).
    parameters : shape (p,)
        What the values belong to.

    Returns
    -------
    callable
        From sets of values, shape (k, p), to rows, shape (k * n, CASE_SIZE).
    """
    origin = np.array([one.start for one in parameters])
    moves = np.array([_move(one) for one in parameters])
    base = built(origin)
    slopes: list[tuple[npt.NDArray[np.intp], FloatArray]] = []

    def lines(values: FloatArray) -> FloatArray:
        cases = np.tile(base, (len(values), 1, 1))
        for (columns, slope), change in zip(slopes, (values - origin).T, strict=True):
            cases[:, :, columns] += change[:, np.newaxis, np.newaxis] * slope
        return cases.reshape(-1, base.shape[1])

    def anew(values: FloatArray) -> FloatArray:
        return np.concatenate([built(one) for one in values])

    for number, move in enumerate(moves):
        moved = origin.copy()
        moved[number] += move
        with np.errstate(invalid="ignore"):
            change = np.where(np.isinf(base), 0.0, built(moved) - base)
        columns = np.flatnonzero(np.any(change != 0.0, axis=0)).astype(np.intp)
        slopes.append((columns, change[:, columns] / move))
    together = (origin + 0.6 * moves)[np.newaxis]
    return lines if np.allclose(lines(together), anew(together), rtol=AFFINE, atol=AFFINE) else anew


def _move(parameter: Parameter) -> float:
    """Return a step of half a spread that stays within the bounds."""
    step = 0.5 * parameter.spread
    return step if parameter.start + step <= parameter.upper else -step
