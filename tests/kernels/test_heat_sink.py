"""Heat content of a heat sink and its inverse."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate

from groundroll.kernels import heat_sink as kernel

pytestmark = pytest.mark.plain


@given(temperature=st.floats(kernel.CARBON_LOWER, kernel.CARBON_UPPER), guess=st.floats(0.0, 5_000.0))
def test_temperature_of__inverts_heat_content_of_carbon(temperature: float, guess: float) -> None:
    content = kernel.heat_content(temperature, kernel.CARBON)
    assert kernel.temperature_of(content, kernel.CARBON, guess) == pytest.approx(temperature, abs=1e-6)


@given(temperature=st.floats(kernel.STEEL_LOWER, kernel.STEEL_UPPER), guess=st.floats(0.0, 5_000.0))
def test_temperature_of__inverts_heat_content_of_steel(temperature: float, guess: float) -> None:
    content = kernel.heat_content(temperature, kernel.STEEL)
    assert kernel.temperature_of(content, kernel.STEEL, guess) == pytest.approx(temperature, abs=1e-6)


@pytest.mark.parametrize("material", [kernel.CARBON, kernel.STEEL])
def test_temperature_of__beyond_the_formula_is_no_number(material: int) -> None:
    upper = kernel.CARBON_UPPER if material == kernel.CARBON else kernel.STEEL_UPPER
    lower = kernel.CARBON_LOWER if material == kernel.CARBON else kernel.STEEL_LOWER
    assert math.isnan(kernel.temperature_of(kernel.heat_content(upper, material) + 1e4, material, 500.0))
    assert math.isnan(kernel.temperature_of(kernel.heat_content(lower, material) - 1e4, material, 500.0))


@pytest.mark.parametrize(
    ("material", "nodes"),
    [(kernel.CARBON, [250.0, 900.0, 2_500.0]), (kernel.STEEL, [230.0, 293.15, 873.15, 1_008.15, 1_173.15, 1_400.0])],
)
def test_heat_content__is_the_integral_of_the_specific_heat(material: int, nodes: list[float]) -> None:
    """Quadrature by SciPy between the ends of the branches, where the specific heat may jump."""
    total = sum(
        integrate.quad(lambda t: kernel.specific_heat(t, material), a + 1e-9, b - 1e-9, epsabs=1e-6, limit=200)[0]
        for a, b in pairwise(nodes)
    )
    difference = kernel.heat_content(nodes[-1], material) - kernel.heat_content(nodes[0], material)
    assert total == pytest.approx(difference, rel=1e-8)


@pytest.mark.parametrize("material", [kernel.CARBON, kernel.STEEL])
def test_arrays__equal_scalars_whole_or_in_chunks(material: int) -> None:
    temperatures = np.linspace(230.0, 1_400.0, 41)
    whole, parts, heats = np.empty(41), np.empty(41), np.empty(41)
    kernel.heat_contents(temperatures, material, whole)
    kernel.heat_contents(temperatures[:7], material, parts[:7])
    kernel.heat_contents(temperatures[7:], material, parts[7:])
    np.testing.assert_array_equal(whole, parts)
    np.testing.assert_array_equal(whole, [kernel.heat_content(float(one), material) for one in temperatures])
    kernel.specific_heats(temperatures, material, heats)
    np.testing.assert_array_equal(heats, [kernel.specific_heat(float(one), material) for one in temperatures])
