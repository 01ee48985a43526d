"""Limits of a brake: energy left for a rejected take-off, and the fuse plugs of the wheel."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal, TypeAlias

from groundroll.physics.arguments import check_range
from groundroll.physics.brake_heat import HeatSinkMaterial, heat_content, temperature_after

FusePlugState: TypeAlias = Literal["none", "near", "released"]

PARKING_BRAKE_TIME: Final = 180.0
"""The parking brake holds at least this long after the stops of the demonstration. [s] 14 CFR 25.735(g)."""

NO_HAZARD_TIME: Final = 300.0
"""No hazard to an evacuation for at least this long after the parking brake is set. [s] 14 CFR 25.735(g)."""


def fuse_plug_state(
    peak_wheel_temperature: float, near_temperature: float, release_temperature: float
) -> FusePlugState:
    """Return what has become of the fuse plugs of a wheel.

    Parameters
    ----------
    peak_wheel_temperature : scalar
        Highest temperature the wheel has had. [K]
    near_temperature : scalar
        From here on the plugs count as near to opening. [K]
    release_temperature : scalar
        From here on they are open; it belongs to the model of plug, so it stands in the user's file. [K]

    Returns
    -------
    str
        "none", "near" or "released".

    Raises
    ------
    ValueError
        If the thresholds are not in order.

    Examples
    --------
    >>> fuse_plug_state(273.15 + 180.0, 273.15 + 165.0, 273.15 + 177.0)
    'released'
    """
    if not near_temperature < release_temperature:
        raise ValueError(
            f"near_temperature {near_temperature:.6g} K must be below release_temperature {release_temperature:.6g} K"
        )
    if peak_wheel_temperature >= release_temperature:
        return "released"
    return "near" if peak_wheel_temperature >= near_temperature else "none"


def energy_left(
    brake_temperature: float,
    reject_energy_limit: float,
    demonstrated_temperature: float,
    heat_sink_mass: float,
    material: HeatSinkMaterial,
) -> float:
    """Return the energy that a brake can still take in a rejected take-off.

    Parameters
    ----------
    brake_temperature : scalar
        Of the heat sink now. [K]
    reject_energy_limit : scalar
        Energy of one brake demonstrated in one stop, above 0. [J]
    demonstrated_temperature : scalar
        Of the heat sink before that stop. [K]
    heat_sink_mass : scalar
        [kg]
    material
        "carbon" or "steel".

    Returns
    -------
    float
        The demonstrated energy less the heat that is in the heat sink already; below 0 where none is left. [J]

    Raises
    ------
    ValueError
        If a temperature lies outside the range of the specific heat, or the energy is not positive.

    Notes
    -----
    The stop may end with the same heat in the heat sink as the demonstrated one. A brake colder than the demonstrated
    one is given no credit for it.
    """
    check_range("reject_energy_limit", reject_energy_limit, 1.0, 1e10, "J")
    check_range("heat_sink_mass", heat_sink_mass, 2.0, 500.0, "kg")
    start = max(brake_temperature, demonstrated_temperature)
    held = float(heat_content(start, material)) - float(heat_content(demonstrated_temperature, material))
    return reject_energy_limit - heat_sink_mass * held


def greatest_start_temperature(
    brake_energy: float,
    reject_energy_limit: float,
    demonstrated_temperature: float,
    heat_sink_mass: float,
    material: HeatSinkMaterial,
) -> float | None:
    """Return the hottest heat sink from which a brake can take an energy in a rejected take-off; None where it cannot.

    Parameters
    ----------
    brake_energy : scalar
        Of one brake, not negative. [J]
    reject_energy_limit, demonstrated_temperature, heat_sink_mass, material
        As `energy_left`.

    Returns
    -------
    float or None
        [K]

    Raises
    ------
    ValueError
        As `energy_left`, or if the temperature lies beyond the range of the specific heat.
    """
    check_range("brake_energy", brake_energy, 0.0, 1e10, "J")
    spare = reject_energy_limit - brake_energy
    if spare < 0.0:
        return None
    return float(temperature_after(spare, demonstrated_temperature, heat_sink_mass, material))


def energies_of_brakes(brake_energy: float, shares: Sequence[float], released: Sequence[int] = ()) -> tuple[float, ...]:
    """Return the energy of each brake when they share unequally and some are released.

    Parameters
    ----------
    brake_energy : scalar
        Work of all brakes together, not negative. [J]
    shares : shape (n,)
        Work of each brake relative to the others, each above 0. [-]
    released
        Numbers of the released brakes, from 0; they take nothing, the others take their part.

    Returns
    -------
    shape (n,)
        Their sum is ``brake_energy``. [J]

    Raises
    ------
    ValueError
        If an argument lies outside its range, or no brake is left.

    Examples
    --------
    >>> energies_of_brakes(12.0, [1.0, 2.0, 1.0, 2.0], [0])
    (0.0, 4.8, 2.4, 4.8)
    """
    check_range("brake_energy", brake_energy, 0.0, 1e11, "J")
    check_range("shares", shares, 1e-3, 1e3, "")
    for number in released:
        check_range("released", number, 0, len(shares) - 1, "")
    weights = [0.0 if number in set(released) else share for number, share in enumerate(shares)]
    total = sum(weights)
    if total == 0.0:
        raise ValueError(f"all {len(shares)} brakes are released")
    return tuple(brake_energy * weight / total for weight in weights)
