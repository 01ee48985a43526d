"""Heat sink of a brake."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate

from groundroll.physics.brake_heat import (
    TEMPERATURE_RANGE,
    HeatSinkMaterial,
    heat_content,
    kinetic_energy_per_brake,
    specific_heat,
    temperature_after,
)

MATERIALS: tuple[HeatSinkMaterial, ...] = ("carbon", "steel")

# degC, carbon J/(kg K), carbon kJ/kg from 20 degC, steel J/(kg K), steel kJ/kg; whole numbers, computed outside this
# program from formulas that are from memory: a check of our transcription and of our integrals, not of the materials.
FROM_MEMORY = """
20 693 0 440 0
100 919 65 488 37
200 1162 169 530 88
300 1348 295 565 143
400 1488 437 606 201
500 1595 592 666 265
600 1678 756 760 336
800 1797 1104 803 562
1000 1876 1472 650 697
1200 1933 1853 650 827
"""
CARBON_ABOVE_FROM_MEMORY = "1500 1991 2442\n2000 2049 3454"


def rows(text: str) -> np.ndarray:
    return np.array([line.split() for line in text.strip().splitlines()], dtype=float)


def test_specific_heat_and_heat_content__whole_table_from_memory() -> None:
    table = rows(FROM_MEMORY)
    kelvin = table[:, 0] + 273.15
    np.testing.assert_allclose(specific_heat(kelvin, "carbon"), table[:, 1], atol=0.5)
    np.testing.assert_allclose(heat_content(kelvin, "carbon") / 1e3, table[:, 2], atol=0.5)
    np.testing.assert_allclose(specific_heat(kelvin, "steel"), table[:, 3], atol=0.5)
    np.testing.assert_allclose(heat_content(kelvin, "steel") / 1e3, table[:, 4], atol=0.5)
    hot = rows(CARBON_ABOVE_FROM_MEMORY)
    np.testing.assert_allclose(specific_heat(hot[:, 0] + 273.15, "carbon"), hot[:, 1], atol=0.5)
    np.testing.assert_allclose(heat_content(hot[:, 0] + 273.15, "carbon") / 1e3, hot[:, 2], atol=0.5)


def test_temperature_after__same_heat_a_kilogram_in_carbon_and_steel() -> None:
    """600 kJ/kg from 20 degC: carbon about 505 degC, steel about 850 degC (derived from formulas from memory)."""
    carbon = float(temperature_after(30.0 * 600e3, 293.15, 30.0, "carbon")) - 273.15
    steel = float(temperature_after(30.0 * 600e3, 293.15, 30.0, "steel")) - 273.15
    assert carbon == pytest.approx(505.0, abs=1.0)
    assert steel == pytest.approx(850.0, abs=10.0)


@pytest.mark.parametrize("material", MATERIALS)
def test_heat_content__is_the_integral_of_specific_heat(material: HeatSinkMaterial) -> None:
    """Adaptive quadrature between the ends of the branches."""
    lower, upper = TEMPERATURE_RANGE[material]
    knots = [value + 273.15 for value in (20.0, 600.0, 735.0, 900.0)]
    edges = [lower, *(knot for knot in knots if lower < knot < upper), upper]
    for start, end in pairwise(edges):
        # Just inside: at an edge itself the function belongs to the branch below.
        area, _ = integrate.quad(lambda t: float(specific_heat(t, material)), start + 1e-9, end - 1e-9, limit=200)
        gain = float(heat_content(end, material) - heat_content(start, material))
        assert gain == pytest.approx(area, rel=1e-7)


@given(st.sampled_from(MATERIALS), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(10.0, 100.0))
def test_temperature_after__inverse_of_heat_content(
    material: HeatSinkMaterial, first: float, second: float, mass: float
) -> None:
    lower, upper = TEMPERATURE_RANGE[material]
    cold, hot = sorted(lower + share * (upper - lower) for share in (first, second))
    heat = max(mass * float(heat_content(hot, material) - heat_content(cold, material)), 0.0) * (1.0 - 1e-12)
    assert float(temperature_after(heat, cold, mass, material)) == pytest.approx(hot, abs=1e-5)


@given(st.sampled_from(MATERIALS), st.floats(233.15, 500.0), st.floats(0.0, 5e6), st.floats(0.0, 5e6))
def test_temperature_after__two_stops_in_a_row_equal_one(
    material: HeatSinkMaterial, start: float, first: float, second: float
) -> None:
    after_first = float(temperature_after(first, start, 40.0, material))
    after_both = float(temperature_after(second, after_first, 40.0, material))
    assert after_both == pytest.approx(float(temperature_after(first + second, start, 40.0, material)), abs=1e-5)
    assert after_both >= after_first - 1e-9 >= start - 2e-9


@pytest.mark.parametrize("material", MATERIALS)
def test_heat_content__rises_all_the_way(material: HeatSinkMaterial) -> None:
    lower, upper = TEMPERATURE_RANGE[material]
    assert np.all(np.diff(heat_content(np.linspace(lower, upper, 5_001), material)) > 0.0)


def test_temperature_after__array_equals_scalars() -> None:
    heats = np.array([[0.0, 1e6], [5e6, 2e7]])
    whole = temperature_after(heats, 288.15, 40.0, "carbon")
    assert whole.shape == (2, 2)
    assert whole[1, 0] == float(temperature_after(5e6, 288.15, 40.0, "carbon"))


def test_specific_heat__steel_is_held_below_twenty_degrees() -> None:
    """An assumption of this project: 425 + 0.773 * 20 - 1.69e-3 * 400 + 2.22e-6 * 8000 = 439.80 J/(kg K)."""
    np.testing.assert_allclose(specific_heat([213.15, 253.15, 293.15], "steel"), 439.80176)
    assert float(heat_content(283.15, "steel")) == pytest.approx(-4_398.0, abs=0.1)


def test_kinetic_energy_per_brake__half_mass_speed_squared() -> None:
    """By hand: 0.5 * 60 000 * 70² / 4 = 36.75 MJ. The published constant is checked in `tests.validation`."""
    assert kinetic_energy_per_brake(60_000.0, 70.0, 4) == pytest.approx(36.75e6)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: specific_heat(199.0, "carbon"), r"temperature 199 K is outside 200 to 3500 K \(carbon"),
        (lambda: heat_content([300.0, 1_500.0], "steel"), r"temperature 1500 K is outside 213.15 to 1473.15 K \(steel"),
        (lambda: specific_heat(300.0, "wood"), r'material "wood" is neither "carbon" nor "steel"'),
        (lambda: temperature_after(1e9, 300.0, 30.0, "carbon"), r"heat 1e\+09 J is more than .* reach 3500 K"),
        (lambda: temperature_after(-1.0, 300.0, 30.0, "carbon"), r"heat -1 J must be at least 0 J"),
        (lambda: temperature_after(1.0, 20.0, 30.0, "carbon"), r"initial_temperature 20 K is outside"),
        (lambda: temperature_after(1.0, 300.0, 0.0, "carbon"), r"heat_sink_mass 0 kg is outside 5 to 500 kg"),
        (lambda: kinetic_energy_per_brake(60_000.0, 70.0, 0), r"brake_count 0 is outside 1 to 32"),
        (lambda: kinetic_energy_per_brake(60_000.0, 170.0, 4), r"ground_speed 170 m/s is outside"),
        (lambda: kinetic_energy_per_brake(-1.0, 70.0, 4), r"mass -1 kg is outside"),
    ],
)
def test_brake_heat__out_of_range_is_refused(call, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        call()
