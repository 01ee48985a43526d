"""Published indices of test functions, and probabilities of rare events that have a closed form."""

from __future__ import annotations

from functools import cache
from typing import Final

import numpy as np
from SALib.test_functions import Ishigami, Sobol_G
from scipy.special import ndtr, ndtri

from groundroll.planning.uncertainty.rare import importance_sampling, subset_simulation
from groundroll.planning.uncertainty.sensitivity import Indices, sensitivities
from tests.validation.case import ValidationCase

ISHIGAMI = "T. Ishigami and T. Homma (1990), a = 7, b = 0.1; function of SALib 1.6"
SOBOL_G = "I. M. Sobol, g-function with 0, 1, 4.5, 9, 99, 99, 99, 99; indices in closed form, SALib 1.6"
COEFFICIENTS: Final = np.array([0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0])


@cache
def _ishigami() -> dict[str, Indices]:
    def model(z: np.ndarray) -> np.ndarray:
        values: np.ndarray = Ishigami.evaluate(np.pi * (2.0 * ndtr(z) - 1.0))[:, np.newaxis]
        return values

    return {one.name: one for one in sensitivities(model, {"1": (0,), "2": (1,), "3": (2,)}, seed=1, points=1024)[0]}


@cache
def _sobol_g() -> dict[str, Indices]:
    def model(z: np.ndarray) -> np.ndarray:
        values: np.ndarray = Sobol_G.evaluate(ndtr(z), COEFFICIENTS)[:, np.newaxis]
        return values

    groups = {str(number + 1): (number,) for number in range(8)}
    return {one.name: one for one in sensitivities(model, groups, seed=1, points=1024)[0]}


@cache
def _linear(method: str, probability: float) -> float:
    """P(b - z1 < 0) in ten dimensions."""
    ask = importance_sampling if method == "importance sampling" else subset_simulation
    return ask(lambda z: -ndtri(probability) - z[:, 0], 10, seed=1).probability / probability


def _index(topic: str, source: str, name: str, kind: str, published: float) -> ValidationCase:
    found = _ishigami if topic == "Ishigami" else _sobol_g
    return ValidationCase(
        key=f"sensitivity/{topic} {kind} {name}",
        source=source,
        case=f"{topic} function, {kind} index of input {name}",
        published=published,
        unit="",
        tolerance=0.015,
        status="derived",
        compute=lambda: (found()[name].first_order if kind == "first-order" else found()[name].total).value,
        decimals=4,
    )


UNCERTAINTY_CASES: Final[list[ValidationCase]] = [
    *(
        _index("Ishigami", ISHIGAMI, name, kind, published)
        for name, first, total in (("1", 0.3139, 0.5576), ("2", 0.4424, 0.4424), ("3", 0.0, 0.2437))
        for kind, published in (("first-order", first), ("total", total))
    ),
    *(
        _index("g", SOBOL_G, str(number + 1), kind, round(float(values[number]), 4))
        for number in range(4)
        for kind, values in (
            ("first-order", Sobol_G.sensitivity_index(COEFFICIENTS)),
            ("total", Sobol_G.total_sensitivity_index(COEFFICIENTS)),
        )
    ),
    *(
        ValidationCase(
            key=f"rare events/{method} {probability:.0e}",
            source="normal law, table or any library",
            case=f"linear limit state of probability {probability:.0e}, {method}: found over true",
            published=1.0,
            unit="",
            tolerance=0.2 if method == "subset simulation" else 0.06,
            status="derived",
            compute=lambda method=method, probability=probability: _linear(method, probability),  # type: ignore[misc]
            decimals=2,
        )
        for probability in (1e-3, 1e-5, 1e-7)
        for method in ("importance sampling", "subset simulation")
    ),
]
