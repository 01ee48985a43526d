"""Drag of water, slush and snow on the tyres and on the airframe."""

from __future__ import annotations

import difflib
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike

from groundroll.constants import FOOT
from groundroll.kernels.contaminant import contaminant_drags
from groundroll.physics.arguments import FloatArray, check_range, check_whole_exponent
from groundroll.physics.sources import source

WATER_DENSITY: Final = 1_000.0
"""Density that specific gravity refers to. [kg/m3] Rounded from 999.97 at 4 degC, as the rule's factor 1.0 is."""


@dataclass(frozen=True)
class Contaminant:
    """What lies on the runway, by a word of the condition report."""

    descriptor: str
    """The word, in capitals."""
    loose: bool
    """Whether the tyres displace it and throw it at the airframe."""
    specific_gravity: float
    """Of the loose layer; 0 where nothing is loose. [-]"""
    sources: tuple[str, ...]
    """Keys of the sources."""


@dataclass(frozen=True)
class ContaminantTable:
    """The numbers of ``data/contaminants.toml``."""

    least_counted_depth: float
    """Up to this depth no drag is counted. [m]"""
    greatest_depth: float
    """Above this depth the functions refuse. [m]"""
    displacement_drag_coefficient: float
    """Of one tyre. [-]"""
    spray_drag_coefficient_per_length: float
    """Of one nose tyre, for each unit of wetted fuselage length. [1/m]"""
    fall_off_exponent: int
    """Of V_P / V above the hydroplaning speed. [-]"""
    contaminants: Mapping[str, Contaminant]
    """By descriptor."""
    sources: tuple[str, ...]
    """Keys of the sources of the numbers above."""


@cache
def contaminant_table() -> ContaminantTable:
    """Return the table of the product, ``data/contaminants.toml``."""
    text = files("groundroll").joinpath("data", "contaminants.toml").read_text(encoding="utf-8")
    parsed: dict[str, Any] = tomllib.loads(text)
    drag, depths = parsed["drag"], parsed["range"]
    contaminants = {
        descriptor: Contaminant(
            descriptor, entry["loose"], entry.get("specific_gravity", 0.0), tuple(entry.get("sources", ()))
        )
        for descriptor, entry in parsed["contaminants"].items()
    }
    keys = [entry["source"] for group in (drag, depths) for entry in group.values()]
    for key in (*keys, *(key for contaminant in contaminants.values() for key in contaminant.sources)):
        source(key)  # a key that is not registered is refused when the table is read
    return ContaminantTable(
        least_counted_depth=depths["least_counted_depth_mm"]["value"] / 1_000.0,
        greatest_depth=depths["greatest_depth_mm"]["value"] / 1_000.0,
        displacement_drag_coefficient=drag["displacement_drag_coefficient"]["value"],
        spray_drag_coefficient_per_length=drag["spray_drag_coefficient_per_foot"]["value"] / FOOT,
        fall_off_exponent=int(drag["fall_off_exponent"]["value"]),
        contaminants=MappingProxyType(contaminants),
        sources=tuple(dict.fromkeys(keys)),
    )


def contaminant(descriptor: str) -> Contaminant:
    """Return what a word of the runway condition report means for drag.

    Parameters
    ----------
    descriptor
        One of the seventeen words of the report, in capitals.

    Raises
    ------
    ValueError
        If the word is not one of them; the message names the nearest.

    Examples
    --------
    >>> contaminant("SLUSH").specific_gravity
    0.85
    """
    known = contaminant_table().contaminants
    if descriptor not in known:
        nearest = difflib.get_close_matches(descriptor.upper(), known, n=1)
        advice = f'the nearest is "{nearest[0]}"' if nearest else f"known are {', '.join(known)}"
        raise ValueError(f'descriptor "{descriptor}" is not a word of the runway condition report; {advice}')
    return known[descriptor]


def effective_tyre_width(depth: float, tyre_width: float, tyre_deflection: float) -> float:
    """Return the width of a tyre at the surface of the contaminant.

    Parameters
    ----------
    depth : scalar
        Of the contaminant, 0 to 50 mm. [m]
    tyre_width : scalar
        Greatest width of the tyre, 0.1 to 1 m. [m]
    tyre_deflection : scalar
        Of the tyre under its load, 0 to 0.3 m. [m]

    Returns
    -------
    float
        b = 2 W √(r - r²), with r = (deflection + depth) / W. [m]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    The formula is the chord of a circular tyre section. Where more than half of the section is below the surface
    (r > 0.5) the full width is used: the formula would make the tyre narrower again. An assumption of this project.

    References
    ----------
    .. [1] CS-25, AMC 25.1591 (from memory).
    """
    greatest = contaminant_table().greatest_depth
    check_range(
        "depth",
        depth,
        0.0,
        greatest,
        "m",
        hint=f"0 to {1_000.0 * greatest:.0f} mm: deeper contaminants are outside the published method as known here",
    )
    check_range("tyre_width", tyre_width, 0.1, 1.0, "m")
    check_range("tyre_deflection", tyre_deflection, 0.0, 0.3, "m")
    ratio = min((tyre_deflection + depth) / tyre_width, 0.5)
    return 2.0 * tyre_width * math.sqrt(ratio - ratio * ratio)


def displacement_drag_factor(
    depth: float, specific_gravity: float, tyre_width: float, tyre_deflection: float, wheel_count: int
) -> float:
    """Return the drag of the tyres that displace the contaminant, over the square of ground speed.

    Parameters
    ----------
    depth : scalar
        Of the contaminant, 0 to 50 mm; up to 3 mm no drag is counted. [m]
    specific_gravity : scalar
        Of the contaminant, 0.1 to 1. [-]
    tyre_width : scalar
        Greatest width of a tyre, 0.1 to 1 m. [m]
    tyre_deflection : scalar
        Of a tyre under its load, 0 to 0.3 m. [m]
    wheel_count
        Number of such tyres, 0 to 32; tyres abreast and behind one another count once each.

    Returns
    -------
    float
        Sum of 0.5 ρ C_D b d over the tyres; times ground speed squared it is the drag below the hydroplaning
        speed. [kg/m]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    Two tyres abreast drag twice and a four-wheel bogie four times as much as one tyre, interference included [1]_. The
    compression of dry snow is not modelled: its published method is not known here.

    References
    ----------
    .. [1] CS-25, AMC 25.1591 (from memory); the 3 mm confirmed.
    """
    table = contaminant_table()
    width = effective_tyre_width(depth, tyre_width, tyre_deflection)
    check_range("specific_gravity", specific_gravity, 0.1, 1.0, "")
    check_range("wheel_count", wheel_count, 0, 32, "")
    if depth <= table.least_counted_depth:
        return 0.0
    area = width * depth
    return wheel_count * 0.5 * specific_gravity * WATER_DENSITY * table.displacement_drag_coefficient * area


def spray_drag_factor(
    depth: float,
    specific_gravity: float,
    tyre_width: float,
    tyre_deflection: float,
    wheel_count: int,
    wetted_fuselage_length: float,
) -> float:
    """Return the drag of the spray from the nose tyres on the fuselage, over the square of ground speed.

    Parameters
    ----------
    depth : scalar
        Of the contaminant, 0 to 50 mm; up to 3 mm no drag is counted. [m]
    specific_gravity : scalar
        Of the contaminant, 0.1 to 1. [-]
    tyre_width : scalar
        Greatest width of a nose tyre, 0.1 to 1 m. [m]
    tyre_deflection : scalar
        Of a nose tyre under its load, 0 to 0.3 m. [m]
    wheel_count
        Number of nose tyres, 0 to 8.
    wetted_fuselage_length : scalar
        Length of fuselage that the spray strikes, 0 to 100 m. [m]

    Returns
    -------
    float
        Sum of 0.5 ρ C_D b d over the nose tyres, with C_D = 8 · 0.0025 · length in feet. [kg/m]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    References
    ----------
    .. [1] CS-25, AMC 25.1591 (from memory).
    """
    table = contaminant_table()
    width = effective_tyre_width(depth, tyre_width, tyre_deflection)
    check_range("specific_gravity", specific_gravity, 0.1, 1.0, "")
    check_range("wheel_count", wheel_count, 0, 8, "")
    check_range("wetted_fuselage_length", wetted_fuselage_length, 0.0, 100.0, "m")
    if depth <= table.least_counted_depth:
        return 0.0
    drag_coefficient = table.spray_drag_coefficient_per_length * wetted_fuselage_length
    return wheel_count * 0.5 * specific_gravity * WATER_DENSITY * drag_coefficient * width * depth


def contaminant_drag(
    ground_speed: ArrayLike, drag_factor: float, hydroplaning_speed: float, fall_off_exponent: int | None = None
) -> FloatArray:
    """Return the drag of a loose contaminant.

    Parameters
    ----------
    ground_speed : shape (n,) or scalar
        0 to 150 m/s. [m/s]
    drag_factor : scalar
        Sum of `displacement_drag_factor` and `spray_drag_factor`, not negative. [kg/m]
    hydroplaning_speed : scalar
        For this contaminant, 10 to 200 m/s. [m/s]
    fall_off_exponent : scalar
        Of V_P / V above the hydroplaning speed, whole, 0 to 7; 4 if not given. [-]

    Returns
    -------
    shape of ``ground_speed``
        drag_factor V², times (V_P / V)^exponent above V_P. [N]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    That drag rises to the hydroplaning speed and falls beyond it is published; the published curve is not known here.
    The exponent 4, with which the force falls as 1/V², is an assumption of this project; it holds for the spray too.
    """
    speed = np.asarray(ground_speed, dtype=np.float64)
    exponent = contaminant_table().fall_off_exponent if fall_off_exponent is None else fall_off_exponent
    check_range("ground_speed", speed, 0.0, 150.0, "m/s")
    check_range("drag_factor", drag_factor, 0.0, math.inf, "kg/m")
    check_range("hydroplaning_speed", hydroplaning_speed, 10.0, 200.0, "m/s")
    check_whole_exponent(exponent)
    flat = np.ascontiguousarray(speed).ravel()
    result = np.empty_like(flat)
    contaminant_drags(flat, drag_factor, hydroplaning_speed, exponent, result)
    return result.reshape(speed.shape)
