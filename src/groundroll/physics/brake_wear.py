"""Wear of a brake in one landing, relative to a reference stop."""

from __future__ import annotations

from dataclasses import dataclass

from groundroll.physics.arguments import check_range


@dataclass(frozen=True)
class WearModel:
    """How a heat sink wears; carbon has a small share of energy, steel the whole."""

    reference_energy: float
    """Energy of one brake in the reference stop. [J]"""
    reference_temperature: float
    """Peak heat-sink temperature of the reference stop. [K]"""
    energy_share: float
    """Share of the wear of the reference stop that goes with energy. [-]"""
    hot_above: float
    """[K]"""
    hot_rise: float
    """Rise for each 100 K above it. [-]"""
    uncertainty: float
    """[-]"""


@dataclass(frozen=True)
class Wear:
    """Wear of one brake in one landing over that of the reference stop, with its range."""

    relative: float
    """[-]"""
    least: float
    """[-]"""
    greatest: float
    """[-]"""


def _heat_factor(model: WearModel, temperature: float) -> float:
    return 1.0 + model.hot_rise * max(temperature - model.hot_above, 0.0) / 100.0


def relative_wear(model: WearModel, brake_energy: float, brake_temperature: float, applications: int = 1) -> Wear:
    """Return the wear of a brake over that of the reference stop.

    Parameters
    ----------
    model
        How the heat sink wears.
    brake_energy : scalar
        Of one brake, not negative. [J]
    brake_temperature : scalar
        Peak of the heat sink, 200 to 4000 K. [K]
    applications
        Of the brake, 0 to 1000.

    Returns
    -------
    Wear
        With the range that the uncertainty of the file leaves.

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    ((1 - e) n + e E / E_ref) f(T) / f(T_ref), with n applications, e the share of energy and f one plus b for each
    100 K above T_hot. Its shape follows what is known [1]_: carbon wears with the number of applications and with
    temperature, steel with energy. The parameters are the user's; the shape is an assumption of this project. A brake
    that does no work does not wear.

    References
    ----------
    .. [1] Several texts on wear of carbon and steel brakes (second-hand).
    """
    check_range("brake_energy", brake_energy, 0.0, 1e10, "J")
    check_range("brake_temperature", brake_temperature, 200.0, 4_000.0, "K")
    check_range("applications", applications, 0, 1_000, "")
    if brake_energy == 0.0:
        return Wear(0.0, 0.0, 0.0)
    by_energy = model.energy_share * brake_energy / model.reference_energy
    by_number = (1.0 - model.energy_share) * applications
    heat = _heat_factor(model, brake_temperature) / _heat_factor(model, model.reference_temperature)
    wear = (by_energy + by_number) * heat
    return Wear(wear, wear * (1.0 - model.uncertainty), wear * (1.0 + model.uncertainty))
