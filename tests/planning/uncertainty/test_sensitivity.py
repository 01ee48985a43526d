"""Sensitivities against functions whose indices are published."""

from __future__ import annotations

import numpy as np
import pytest
from SALib.test_functions import Ishigami, Sobol_G
from scipy.special import ndtr

from groundroll.planning.uncertainty.sensitivity import Indices, in_words, sensitivities


def by_name(found: tuple[Indices, ...]) -> dict[str, Indices]:
    return {one.name: one for one in found}


def test_ishigami__has_its_published_indices() -> None:
    """Ishigami and Homma (1990), a = 7, b = 0.1: first order 0.3139, 0.4424, 0; total 0.5576, 0.4424, 0.2437."""
    found = by_name(
        sensitivities(
            lambda z: Ishigami.evaluate(np.pi * (2.0 * ndtr(z) - 1.0))[:, np.newaxis],
            {"a": (0,), "b": (1,), "c": (2,)},
            seed=1,
            points=1024,
        )[0]
    )
    for name, first, total in (("a", 0.3139, 0.5576), ("b", 0.4424, 0.4424), ("c", 0.0, 0.2437)):
        assert found[name].first_order.value == pytest.approx(first, abs=0.01)
        assert found[name].total.value == pytest.approx(total, abs=0.01)
        assert found[name].total.low - 0.005 <= total <= found[name].total.high + 0.005


def test_g_function__has_its_published_indices() -> None:
    """Sobol's g-function with the coefficients of SALib, eight inputs; its indices in closed form by SALib."""
    coefficients = np.array([0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0])
    names = [f"x{number}" for number in range(8)]
    found = by_name(
        sensitivities(
            lambda z: Sobol_G.evaluate(ndtr(z), coefficients)[:, np.newaxis],
            {name: (number,) for number, name in enumerate(names)},
            seed=2,
            points=1024,
        )[0]
    )
    first = Sobol_G.sensitivity_index(coefficients)
    total = Sobol_G.total_sensitivity_index(coefficients)
    for number, name in enumerate(names):
        assert found[name].first_order.value == pytest.approx(first[number], abs=0.015)
        assert found[name].total.value == pytest.approx(total[number], abs=0.015)


def test_groups__dependent_columns_count_as_one() -> None:
    """x = z1 + z2 + 2 z3: variances 1, 1, 4, so 2/6 for the first two together and 4/6 for the third."""
    found = sensitivities(
        lambda z: z @ np.array([[1.0], [1.0], [2.0]]), {"pair": (0, 1), "single": (2,)}, seed=1, points=512
    )[0]
    assert [one.name for one in found] == ["single", "pair"]
    assert found[0].first_order.value == pytest.approx(4.0 / 6.0, abs=0.01)
    assert found[1].total.value == pytest.approx(2.0 / 6.0, abs=0.01)


def test_in_words__ranked_with_what_hardly_matters_last() -> None:
    """x = 3 z1 + z1 z2: variance 9 + 1; z1 0.9 alone and all of it in total, z2 0.1 only together with z1."""
    found = sensitivities(
        lambda z: (3.0 * z[:, 0] + z[:, 0] * z[:, 1])[:, np.newaxis],
        {"a": (0,), "b": (1,), "c": (2,)},
        seed=1,
        points=1024,
    )[0]
    words = in_words(found, {"a": "mass", "b": "gust", "c": "mean wind"}, "margin")
    assert words[0].startswith("1. mass: 100 %, of which 1")
    assert words[1].startswith("2. gust: 10 %, of which 1")
    assert words[2] == "Under 2 % each: mean wind."


def test_constant_answer__has_no_indices() -> None:
    found = sensitivities(lambda z: np.ones((len(z), 1)), {"a": (0,)}, seed=1, points=64)
    assert found == ((),)
    assert in_words(found[0], {"a": "mass"}, "margin") == ("The margin does not vary.",)
