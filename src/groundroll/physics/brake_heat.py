"""Energy of a brake, and the temperature it leaves in the heat sink."""

from __future__ import annotations

import math
from typing import Final, Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from groundroll.constants import ZERO_CELSIUS
from groundroll.kernels import heat_sink as kernel
from groundroll.physics.arguments import FloatArray, check_range

HeatSinkMaterial: TypeAlias = Literal["carbon", "steel"]

TEMPERATURE_RANGE: Final[dict[HeatSinkMaterial, tuple[float, float]]] = {
    "carbon": (200.0, 3_500.0),
    "steel": (-60.0 + ZERO_CELSIUS, 1_200.0 + ZERO_CELSIUS),
}
"""Range of each formula. [K] Carbon: as published (from memory). Steel: 20 to 1200 degC as published (from memory),
the value at 20 degC held from there down to -60 degC (assumption of this project)."""

_KERNEL_MATERIAL: Final[dict[HeatSinkMaterial, int]] = {"carbon": kernel.CARBON, "steel": kernel.STEEL}


def _range_of(material: HeatSinkMaterial) -> tuple[float, float]:
    if material not in TEMPERATURE_RANGE:
        raise ValueError(f'material "{material}" is neither "carbon" nor "steel"')
    return TEMPERATURE_RANGE[material]


def _check_temperature(name: str, temperature: ArrayLike, material: HeatSinkMaterial) -> None:
    lower, upper = _range_of(material)
    hint = f"{material}: {lower - ZERO_CELSIUS:.0f} to {upper - ZERO_CELSIUS:.0f} degC"
    check_range(name, temperature, lower, upper, "K", hint=hint)


def kernel_material(material: HeatSinkMaterial) -> int:
    """Return the number under which the kernels know a material."""
    _range_of(material)
    return _KERNEL_MATERIAL[material]


def _content(temperature: FloatArray, material: HeatSinkMaterial) -> FloatArray:
    result = np.empty(temperature.shape)
    kernel.heat_contents(temperature.reshape(-1), kernel_material(material), result.reshape(-1))
    return result


def specific_heat(temperature: ArrayLike, material: HeatSinkMaterial) -> FloatArray:
    """Return the specific heat of a heat-sink material.

    Parameters
    ----------
    temperature : shape (n,) or scalar
        Carbon 200 to 3500 K, steel 213.15 to 1473.15 K. [K]
    material
        "carbon" [1]_ or "steel" [2]_.

    Returns
    -------
    shape of ``temperature``
        [J/(kg K)]

    Raises
    ------
    ValueError
        If a temperature lies outside the range of the formula.

    Notes
    -----
    The steel formula begins at 20 degC; its value there is held down to -60 degC, an assumption of this project. It
    jumps by a few per cent at the ends of its branches, and has the sharp peak of the phase change at 735 degC.

    References
    ----------
    .. [1] Butland and Maddison, J. Nucl. Mater. 49 (1973/74) 45, graphite (from memory).
    .. [2] EN 1993-1-2, 3.4.1.2, carbon steel (from memory).
    """
    values = np.asarray(temperature, dtype=np.float64)
    _check_temperature("temperature", values, material)
    result = np.empty(values.shape)
    kernel.specific_heats(values.reshape(-1), kernel_material(material), result.reshape(-1))
    return result


def heat_content(temperature: ArrayLike, material: HeatSinkMaterial) -> FloatArray:
    """Return the heat in a heat-sink material, counted from 20 degC: the closed-form integral of `specific_heat`.

    Parameters
    ----------
    temperature : shape (n,) or scalar
        Carbon 200 to 3500 K, steel 213.15 to 1473.15 K. [K]
    material
        "carbon" or "steel".

    Returns
    -------
    shape of ``temperature``
        Negative below 20 degC. [J/kg]

    Raises
    ------
    ValueError
        If a temperature lies outside the range of the formula.

    References
    ----------
    .. [1] Butland and Maddison, J. Nucl. Mater. 49 (1973/74) 45, graphite (from memory).
    .. [2] EN 1993-1-2, 3.4.1.2, carbon steel (from memory).
    """
    values = np.asarray(temperature, dtype=np.float64)
    _check_temperature("temperature", values, material)
    return _content(values, material)


def temperature_after(
    heat: ArrayLike, initial_temperature: float, heat_sink_mass: float, material: HeatSinkMaterial
) -> FloatArray:
    """Return the mean temperature of a heat sink after it has taken up heat and lost none.

    Parameters
    ----------
    heat : shape (n,) or scalar
        Into one brake, not negative. [J]
    initial_temperature : scalar
        Of the heat sink. [K]
    heat_sink_mass : scalar
        Of one brake, 5 to 500 kg. [kg]
    material
        "carbon" or "steel".

    Returns
    -------
    shape of ``heat``
        [K]

    Raises
    ------
    ValueError
        If an argument lies outside its range, or the heat would raise the temperature above the range of the formula.

    Notes
    -----
    One temperature for the whole heat sink, no loss while braking: the highest mean temperature possible. Surfaces are
    hotter for a moment, indications lag behind. The heat content rises steadily with temperature, so it is inverted by
    Newton's method inside a bracket.
    """
    values = np.asarray(heat, dtype=np.float64)
    check_range("heat", values, 0.0, math.inf, "J")
    check_range("heat_sink_mass", heat_sink_mass, 5.0, 500.0, "kg")
    _check_temperature("initial_temperature", initial_temperature, material)
    _, upper = TEMPERATURE_RANGE[material]
    start = float(_content(np.asarray(initial_temperature, dtype=np.float64), material))
    wanted = start + values / heat_sink_mass
    greatest = float(_content(np.asarray(upper), material))
    if bool(np.any(wanted > greatest)):
        most = (greatest - start) * heat_sink_mass
        raise ValueError(
            f"heat {float(np.max(values)):.6g} J is more than {most:.6g} J, with which {heat_sink_mass:.6g} kg of "
            f"{material} from {initial_temperature:.6g} K reach {upper:.6g} K, the end of the formula"
        )
    result = np.empty(values.shape)
    # At the very end of the range rounding may push a value out: it is the end then.
    kernel.temperatures_of(np.minimum(wanted, greatest).reshape(-1), kernel_material(material), result.reshape(-1))
    return result


def kinetic_energy_per_brake(mass: float, ground_speed: float, brake_count: int) -> float:
    """Return the kinetic energy of the aeroplane that each brake would take if nothing else slowed it.

    Parameters
    ----------
    mass : scalar
        Of the aeroplane, up to 1000 t. [kg]
    ground_speed : scalar
        0 to 150 m/s. [m/s]
    brake_count
        Wheels with brakes, 1 to 32.

    Returns
    -------
    float
        0.5 m V² / N. [J]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    The rule [1]_ prints 0.0443 W V² / N in ft·lbf, lb and kt, which is the same: 0.04427 when worked exactly.

    References
    ----------
    .. [1] 14 CFR 23.735(a)(2), edition before the 2017 rewrite.
    """
    check_range("mass", mass, 0.0, 1.0e6, "kg")
    check_range("ground_speed", ground_speed, 0.0, 150.0, "m/s")
    check_range("brake_count", brake_count, 1, 32, "")
    return 0.5 * mass * ground_speed**2 / brake_count
