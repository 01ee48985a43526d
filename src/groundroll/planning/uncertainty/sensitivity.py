"""What matters: the share of an answer's spread that each uncertain input brings in.

The first-order index of an input is the share of the variance that goes away on average when it becomes known; its
total index is the share that stays on average when all others become known. Their difference is what it does together
with others.

References
----------
.. [1] Saltelli et al., Computer Physics Communications 181 (2010) 259: the estimators, as SciPy has them (from memory).
"""

from __future__ import annotations

import warnings
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from groundroll.physics.arguments import FloatArray
from groundroll.planning.uncertainty.samples import Estimate, SobolNormals, mean

REPLICATES: Final = 8
POINTS: Final = 256
"""Points of each replicate; a power of two. Together 2048 for each of the inputs."""

NOTHING: Final = 1e-12
"""An answer whose variance is below this share of its square does not vary. [-]"""

Model = Callable[[FloatArray], FloatArray]
"""From standard normal numbers, shape (n, d), to answers, shape (n, answers)."""


@dataclass(frozen=True)
class Indices:
    """Sensitivity of one answer to one input."""

    name: str
    first_order: Estimate
    total: Estimate


def sensitivities(
    model: Model,
    groups: Mapping[str, Sequence[int]],
    *,
    seed: int,
    replicates: int = REPLICATES,
    points: int = POINTS,
    progress: Callable[[int], None] | None = None,
) -> tuple[tuple[Indices, ...], ...]:
    """Return the indices of each answer, most important input first; empty for an answer that does not vary.

    Parameters
    ----------
    model
        The answers asked about.
    groups
        The columns of each input by its name, all columns together.
    seed
        Same seed, same digits.
    replicates, points
        Scrambled Sobol sequences, and points of each (a power of two).
    progress
        Called with the number of evaluations just done.

    Notes
    -----
    Dependent columns, such as friction in neighbouring thirds, belong into one group; the groups must be independent.
    Each replicate gives every index once; the value is that of all points together, the interval that of the
    replicates by Student's t.
    """
    names = list(groups)
    dimensions = sum(len(columns) for columns in groups.values())
    parts = [_evaluated(model, groups, dimensions, seed, number, points, progress) for number in range(replicates)]
    answers = parts[0][0].shape[0]
    found: list[tuple[Indices, ...]] = []
    for answer in range(answers):
        f_a, f_b, f_ab = (np.concatenate([one[kind][..., answer, :] for one in parts], axis=-1) for kind in range(3))
        scale = float(np.mean(np.concatenate([f_a, f_b]) ** 2))
        if float(np.var(np.concatenate([f_a, f_b]))) <= NOTHING * max(scale, 1e-300):
            found.append(())
            continue
        first, total = _indices(f_a, f_b, f_ab)
        single = [_indices(*(one[kind][..., answer, :] for kind in range(3))) for one in parts]
        singles_first, singles_total = (np.array([one[kind] for one in single]) for kind in (0, 1))
        listed = [
            Indices(name, _around(first[k], singles_first[:, k]), _around(total[k], singles_total[:, k]))
            for k, name in enumerate(names)
        ]
        found.append(tuple(sorted(listed, key=lambda one: -one.total.value)))
    return tuple(found)


def _evaluated(
    model: Model,
    groups: Mapping[str, Sequence[int]],
    dimensions: int,
    seed: int,
    replicate: int,
    points: int,
    progress: Callable[[int], None] | None,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the answers at two independent sets of points, and at the first with each group from the second."""
    both = SobolNormals(2 * dimensions, seed, 5, replicate).draw(points)
    first, second = both[:, :dimensions], both[:, dimensions:]
    mixed = []
    for columns in groups.values():
        one = first.copy()
        one[:, list(columns)] = second[:, list(columns)]
        mixed.append(one)
    values = model(np.concatenate([first, second, *mixed]))
    if progress is not None:
        progress(len(values))
    by_set = values.reshape(2 + len(mixed), points, -1).transpose(0, 2, 1)
    return by_set[0], by_set[1], by_set[2:]


def _indices(f_a: FloatArray, f_b: FloatArray, f_ab: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return first-order and total indices of one answer by SciPy's estimators."""
    from scipy.stats import sobol_indices

    answers: dict[Literal["f_A", "f_B", "f_AB"], FloatArray] = {
        "f_A": f_a[np.newaxis],
        "f_B": f_b[np.newaxis],
        "f_AB": f_ab[:, np.newaxis],
    }
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # a replicate without variance divides by zero
        indices = sobol_indices(func=answers, n=f_a.shape[-1])
    return np.ravel(indices.first_order), np.ravel(indices.total_order)


def _around(value: float, singles: FloatArray) -> Estimate:
    spread = mean(singles)
    half = 0.5 * (spread.high - spread.low)
    return Estimate(float(value), float(value) - half, float(value) + half)


def in_words(indices: Sequence[Indices], labels: Mapping[str, str], answer: str) -> tuple[str, ...]:
    """Return what matters for one answer, ranked, in words.

    Parameters
    ----------
    indices
        Most important first.
    labels
        Inputs in words.
    answer
        The answer in words: "margin".
    """
    if not indices:
        return (f"The {answer} does not vary.",)
    lines = []
    shown = [one for one in indices if one.total.value >= 0.02]
    for rank, one in enumerate(shown, 1):
        together = max(one.total.value - max(one.first_order.value, 0.0), 0.0)
        more = f", of which {100.0 * together:.0f} % only together with others" if together >= 0.05 else ""
        lines.append(f"{rank}. {labels[one.name]}: {100.0 * min(one.total.value, 1.0):.0f} %{more}")
    rest = [labels[one.name] for one in indices if one.total.value < 0.02]
    if rest:
        lines.append(f"Under 2 % each: {', '.join(rest)}.")
    return tuple(lines)
