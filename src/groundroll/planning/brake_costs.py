"""Wear and cost of one landing option, in the user's own prices."""

from __future__ import annotations

from dataclasses import dataclass

from groundroll.physics.brake_wear import Wear, WearModel, relative_wear
from groundroll.scenario.model import Aircraft


@dataclass(frozen=True)
class LandingCost:
    """Cost of one landing; a part without a price in the file is None."""

    currency: str
    brakes: float | None
    """All brakes together."""
    tyres: float | None
    """All main tyres together."""
    reverse_fuel: float | None
    runway_time: float | None
    total: float
    """Sum of the parts that have a price."""
    least: float
    greatest: float
    """The sum with the range of the brake wear."""


def wear_of_landing(aircraft: Aircraft, energy_per_brake: float, peak_temperature: float | None) -> Wear | None:
    """Return the wear of a brake in a landing over the reference stop; None without [brake_wear] or temperature."""
    given = aircraft.brake_wear
    if given is None or peak_temperature is None:
        return None
    model = WearModel(
        reference_energy=given.reference_energy,
        reference_temperature=given.reference_temperature,
        energy_share=given.energy_share,
        hot_above=given.hot_above,
        hot_rise=given.hot_rise,
        uncertainty=given.uncertainty,
    )
    return relative_wear(model, energy_per_brake, peak_temperature, given.applications)


def cost_of_landing(
    aircraft: Aircraft,
    wear: Wear | None,
    *,
    energy_per_brake: float,
    reverse_fuel: float,
    runway_time: float | None,
    working_brakes: int,
) -> LandingCost | None:
    """Return the cost of a landing; None where the file gives no prices.

    Parameters
    ----------
    aircraft
        With the section [prices].
    wear
        Of one brake, from `wear_of_landing`.
    energy_per_brake
        Mean of the working brakes. [J]
    reverse_fuel
        Above forward idle, all engines. [kg]
    runway_time
        Threshold to the stop; None where it does not stop. [s]
    working_brakes
        Brakes that are not released.

    Notes
    -----
    Tyres: one landing costs its part of the tyre's life, of which the file's share goes with the energy of the brake.
    """
    prices, given = aircraft.prices, aircraft.brake_wear
    if prices is None:
        return None
    brakes = spread = tyres = None
    if wear is not None and prices.brake is not None and prices.brake_life is not None:
        one = working_brakes * prices.brake / prices.brake_life
        brakes, spread = one * wear.relative, (one * wear.least, one * wear.greatest)
    if given is not None and prices.tyre is not None and prices.tyre_life is not None:
        by_energy = prices.tyre_energy_share * energy_per_brake / given.reference_energy
        landing = 1.0 - prices.tyre_energy_share + by_energy
        tyres = aircraft.tyres.main.count * prices.tyre / prices.tyre_life * landing
    fuel = None if prices.fuel is None else prices.fuel * reverse_fuel
    time = None
    if prices.runway_minute is not None and runway_time is not None:
        time = prices.runway_minute * runway_time / 60.0
    total = sum(part for part in (brakes, tyres, fuel, time) if part is not None)
    least, greatest = (0.0, 0.0) if brakes is None or spread is None else (spread[0] - brakes, spread[1] - brakes)
    return LandingCost(prices.currency, brakes, tyres, fuel, time, total, total + least, total + greatest)
