"""Compiled specific heat, heat content and temperature of a heat-sink material.

Carbon: Butland and Maddison, J. Nucl. Mater. 49 (1973/74) 45. Steel: EN 1993-1-2, 3.4.1.2. Both from memory.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from groundroll.kernels.jit import compiled

CARBON = 0
STEEL = 1

CARBON_LOWER, CARBON_UPPER = 200.0, 3_500.0
"""Range of the carbon formula. [K]"""
STEEL_LOWER, STEEL_UPPER = 213.15, 1_473.15
"""Range of the steel formula, -60 to 1200 degC; the value at 20 degC is held below it. [K]"""

REFERENCE = 293.15
"""Heat content is counted from 20 degC. [K]"""

# Carbon, T in K: c = 4184 (a + b T + c/T + d/T^2 + e/T^3 + f/T^4). [J/(kg K)]
_SCALE = 4_184.0
_A, _B, _C, _D, _E, _F = 0.54212, -2.42667e-6, -90.2725, -43_449.3, 1.59309e7, -1.43688e9

# Steel, t in degC. [J/(kg K)]
_CUBIC_0, _CUBIC_1, _CUBIC_2, _CUBIC_3 = 425.0, 0.773, -1.69e-3, 2.22e-6  # 20 to 600 degC
_RISE_0, _RISE_1, _RISE_AT = 666.0, 13_002.0, 738.0  # 600 to 735 degC: a + b / (c - t)
_FALL_0, _FALL_1, _FALL_AT = 545.0, 17_820.0, 731.0  # 735 to 900 degC: a + b / (t - c)
_END = 650.0  # 900 to 1200 degC

_ITERATIONS = 100
"""Newton's steps, each replaced by halving where it leaves the bracket: more than halving alone needs."""


@compiled
def specific_heat(temperature: float, material: int) -> float:
    """Return the specific heat. [J/(kg K)]"""
    if material == CARBON:
        inverse = 1.0 / temperature
        return _SCALE * (_A + _B * temperature + inverse * (_C + inverse * (_D + inverse * (_E + inverse * _F))))
    t = max(temperature - 273.15, 20.0)
    if t <= 600.0:
        return _CUBIC_0 + t * (_CUBIC_1 + t * (_CUBIC_2 + t * _CUBIC_3))
    if t <= 735.0:
        return _RISE_0 + _RISE_1 / (_RISE_AT - t)
    if t <= 900.0:
        return _FALL_0 + _FALL_1 / (t - _FALL_AT)
    return _END


@compiled
def _carbon_integral(temperature: float) -> float:
    inverse = 1.0 / temperature
    return _SCALE * (
        _A * temperature
        + 0.5 * _B * temperature * temperature
        + _C * math.log(temperature)
        - inverse * (_D + inverse * (_E / 2.0 + inverse * _F / 3.0))
    )


@compiled
def _cubic_integral(t: float) -> float:
    return t * (_CUBIC_0 + t * (_CUBIC_1 / 2.0 + t * (_CUBIC_2 / 3.0 + t * _CUBIC_3 / 4.0)))


@compiled
def heat_content(temperature: float, material: int) -> float:
    """Return the heat counted from 20 degC: the closed-form integral of the specific heat. [J/kg]"""
    if material == CARBON:
        return _carbon_integral(temperature) - _carbon_integral(REFERENCE)
    t = temperature - 273.15
    if t <= 20.0:
        return (_CUBIC_0 + 20.0 * (_CUBIC_1 + 20.0 * (_CUBIC_2 + 20.0 * _CUBIC_3))) * (t - 20.0)
    content = _cubic_integral(min(t, 600.0)) - _cubic_integral(20.0)
    if t > 600.0:
        top = min(t, 735.0)
        content += _RISE_0 * (top - 600.0) - _RISE_1 * math.log((_RISE_AT - top) / (_RISE_AT - 600.0))
    if t > 735.0:
        top = min(t, 900.0)
        content += _FALL_0 * (top - 735.0) + _FALL_1 * math.log((top - _FALL_AT) / (735.0 - _FALL_AT))
    if t > 900.0:
        content += _END * (t - 900.0)
    return content


@compiled
def temperature_of(content: float, material: int, guess: float) -> float:
    """Return the temperature of a heat content; NaN beyond the range of the formula. [K]

    Newton's method from ``guess``; the content rises steadily with temperature, so a bracket always holds the answer.
    """
    low = CARBON_LOWER if material == CARBON else STEEL_LOWER
    high = CARBON_UPPER if material == CARBON else STEEL_UPPER
    temperature = min(max(guess, low), high)
    for _ in range(_ITERATIONS):
        excess = heat_content(temperature, material) - content
        if excess > 0.0:
            high = temperature
        else:
            low = temperature
        step = excess / specific_heat(temperature, material)
        following = temperature - step
        if not low <= following <= high:
            # An end of the range is reached only where the content lies beyond it, or exactly on it.
            following = 0.5 * (low + high)
        if abs(following - temperature) <= 1e-12 * temperature:
            break
        temperature = following
    if abs(heat_content(temperature, material) - content) > 1e-3 + 1e-9 * abs(content):
        return math.nan
    return temperature


@compiled
def specific_heats(temperature: NDArray[np.float64], material: int, result: NDArray[np.float64]) -> None:
    """Fill ``result`` with the specific heat at each temperature. [J/(kg K)]"""
    for index in range(temperature.size):
        result[index] = specific_heat(temperature[index], material)


@compiled
def heat_contents(temperature: NDArray[np.float64], material: int, result: NDArray[np.float64]) -> None:
    """Fill ``result`` with the heat content at each temperature. [J/kg]"""
    for index in range(temperature.size):
        result[index] = heat_content(temperature[index], material)


@compiled
def temperatures_of(content: NDArray[np.float64], material: int, result: NDArray[np.float64]) -> None:
    """Fill ``result`` with the temperature of each heat content; NaN beyond the range. [K]"""
    for index in range(content.size):
        result[index] = temperature_of(content[index], material, 600.0)
