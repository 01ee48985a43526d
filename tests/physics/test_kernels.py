"""Kernels of braking and contaminant drag against the slow, obvious NumPy version."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.kernels.braking import braking_coefficients, braking_polynomial
from groundroll.kernels.contaminant import contaminant_drag, contaminant_drags
from groundroll.kernels.hydroplaning import drag_fall_off

pytestmark = pytest.mark.plain

COEFFICIENT = st.floats(-1.0, 1.0)
POLYNOMIAL = st.tuples(COEFFICIENT, COEFFICIENT, COEFFICIENT, COEFFICIENT, COEFFICIENT, COEFFICIENT)


@given(st.floats(0.0, 3.0), POLYNOMIAL, st.floats(0.0, 1.0))
def test_braking_polynomial__equals_the_sum_of_powers(speed: float, polynomial: tuple[float, ...], cap: float) -> None:
    expected = min(cap, sum(c * speed**power for power, c in enumerate(polynomial)))
    assert braking_polynomial(speed, *polynomial, cap) == pytest.approx(expected, abs=1e-9)  # type: ignore[call-arg]


def test_braking_coefficients__array_nan_and_chunks() -> None:
    polynomial = (0.7, -0.01, 1e-4, -1e-6, 2e-9, -1e-12)
    speeds = np.array([0.0, 10.0, 50.0, math.nan, 60.0, 99.0])
    plain = np.minimum(0.6, np.polynomial.polynomial.polyval(speeds, polynomial))
    plain[speeds >= 60.0] = 0.05
    result = np.empty_like(speeds)
    braking_coefficients(speeds, *polynomial, 0.6, 60.0, 0.05, result)
    np.testing.assert_allclose(result, plain, rtol=1e-12)
    assert math.isnan(result[3])
    chunked = np.empty_like(speeds)
    for part in (slice(0, 2), slice(2, 6)):
        braking_coefficients(speeds[part], *polynomial, 0.6, 60.0, 0.05, chunked[part])
    np.testing.assert_array_equal(chunked, result)


@given(st.floats(0.0, 150.0), st.floats(10.0, 100.0), st.integers(0, 7))
def test_drag_fall_off__one_below_and_a_power_above(speed: float, planing: float, exponent: int) -> None:
    expected = 1.0 if speed <= planing else (planing / speed) ** exponent
    bits = (exponent % 2, exponent // 2 % 2, exponent // 4 % 2)
    assert drag_fall_off(speed, planing, *bits) == pytest.approx(expected, rel=1e-12)


def test_drag_fall_off__continuous_at_the_hydroplaning_speed() -> None:
    assert drag_fall_off(60.0, 60.0, 0, 0, 1) == 1.0
    assert drag_fall_off(60.0 + 1e-9, 60.0, 0, 0, 1) == pytest.approx(1.0, abs=1e-9)


def test_contaminant_drags__array_and_nan() -> None:
    speeds = np.array([0.0, 30.0, 60.0, math.nan, 120.0])
    plain = 7.0 * speeds**2 * np.where(speeds > 60.0, (60.0 / np.maximum(speeds, 1.0)) ** 4, 1.0)
    result = np.empty_like(speeds)
    contaminant_drags(speeds, 7.0, 60.0, 4.0, result)
    np.testing.assert_allclose(result, plain, rtol=1e-12)
    assert contaminant_drag(3.0, 2.0) == 18.0
