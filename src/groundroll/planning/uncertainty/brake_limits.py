"""Limits on the temperature of the brakes as limits on the energy of one brake, which every sample can be held to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from groundroll.physics.brake_heat import temperature_after
from groundroll.planning.brake_outcome import BrakeOutcome, landing_brake_outcome
from groundroll.planning.landing import LandingOption, LandingPlan
from groundroll.planning.search import root

GREATEST_ENERGY: Final = 500e6
"""Energy of one brake up to which a limit is looked for; the greatest a file may name. [J]"""


@dataclass(frozen=True)
class BrakeLimit:
    """One limit, and the energy of one brake at which it is met."""

    name: str
    energy: float
    """Mean work of a working brake. [J]"""


def brake_limits(plan: LandingPlan, option: LandingOption) -> tuple[BrakeLimit, ...]:
    """Return the limits of the brakes as energies.

    A temperature rises with the energy of the stop; the energy at which it meets its limit is found once, with the roll
    time and the touchdown speed of the planned option, and holds for every sample: how long the same energy takes to
    come in changes the peak little.

    Parameters
    ----------
    plan, option
        The plan, and the option whose roll time is used.
    """
    aircraft, choice = plan.case.aircraft, plan.case.choice
    found: list[BrakeLimit] = []
    if aircraft.brakes.energy_limit is not None:
        found.append(BrakeLimit("energy limit of the aircraft file", aircraft.brakes.energy_limit))
    heat_sink = {
        "heat sink above the limit of the aircraft file": aircraft.brakes.temperature_limit,
        "heat sink above the limit of the case": choice.maximum_brake_temperature,
    }
    for name, limit in heat_sink.items():
        if limit is not None:
            found += _at(name, plan, option, "peak_heat_sink_temperature", limit)
    cooling = aircraft.brake_cooling
    if cooling is not None:
        found += _at("fuse plugs open", plan, option, "peak_wheel_temperature", cooling.fuse_plug_release)
        name = "indication above the take-off limit"
        found += _at(name, plan, option, "peak_indicated_temperature", cooling.take_off_limit)
    return tuple(found)


def _at(name: str, plan: LandingPlan, option: LandingOption, quantity: str, limit: float) -> list[BrakeLimit]:
    """Return the limit with its energy; nothing where no energy within reach meets it."""

    def excess(energy: float) -> float:
        temperature = _temperature(plan, option, quantity, energy)
        return 1e4 if temperature is None else temperature - limit

    if excess(1_000.0) > 0.0:
        return [BrakeLimit(name, 0.0)]
    energy = root(excess, 1_000.0, GREATEST_ENERGY, within=2_000.0)
    return [] if energy is None else [BrakeLimit(name, energy)]


def _temperature(plan: LandingPlan, option: LandingOption, quantity: str, energy: float) -> float | None:
    """Return a peak temperature after an energy; None beyond the range of the heat formula."""
    case = plan.case
    initial = case.landing.initial_brake_temperature or case.weather.temperature
    segment = plan.air_segment
    try:
        if case.aircraft.brake_cooling is None:
            brakes = case.aircraft.brakes
            return float(temperature_after(energy, initial, brakes.heat_sink_mass, brakes.heat_sink))
        outcome: BrakeOutcome = landing_brake_outcome(
            case.aircraft,
            energy,
            initial_temperature=initial,
            air_temperature=case.weather.temperature,
            wind_speed=case.weather.wind_speed,
            roll_time=max((option.stop_time or 60.0) - segment.time, 5.0),
            touchdown_speed=segment.touchdown_ground_speed,
        )
        return float(getattr(outcome, quantity))
    except ValueError:
        return None
