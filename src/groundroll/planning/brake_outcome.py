"""What one landing does to the brakes: peaks, fuse plugs, and the wait until the next take-off.

The landing plan and the day of sectors ask the same functions.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from groundroll.errors import ScenarioError
from groundroll.physics.brake_cooling import (
    LONGEST_RUN,
    BrakeHeatModel,
    BrakeTemperatures,
    CoolingHistory,
    CoolingPhase,
    brake_temperatures,
)
from groundroll.physics.brake_limits import FusePlugState, energies_of_brakes, fuse_plug_state
from groundroll.scenario.model import Aircraft, BrakeCooling

MEAN_ROLL_SHARE = 0.5
"""Air speed at the brakes during a roll over its highest ground speed. [-] Mean of a steady slowing down (derived)."""

LATEST_PEAK = 3.0 * 3600.0
"""Every place has its peak within this after the stop. [s] Assumption of this project; twelve times what is usual."""

COOLING_SOURCES = ("brake-heat-balance", "brake-forced-convection", "stefan-boltzmann")
"""Keys of the sources behind every temperature here."""


@dataclass(frozen=True)
class BrakeOutcome:
    """The hottest brake after one landing."""

    peak_heat_sink_temperature: float
    """[K]"""
    peak_wheel_temperature: float
    """[K]"""
    peak_wheel_time: float
    """From the stop. [s]"""
    peak_indicated_temperature: float
    """[K]"""
    peak_indicated_time: float
    """From the stop. [s]"""
    cooling_time: float | None
    """From the stop until the indication has come down to the take-off limit for good; None where the air is too hot
    or it takes longer than two days. [s]"""
    fans_off_time: float | None
    """The same to the fans-off limit; None where the file gives none. [s]"""
    fuse_plugs: FusePlugState


def brake_cooling_of(aircraft: Aircraft) -> BrakeCooling:
    """Return the section on brake heat; refuse an aircraft file without it."""
    if aircraft.brake_cooling is None:
        raise ScenarioError(
            f"{aircraft.name}: the aircraft file has no section [brake_cooling]. Add it, for instance as in the "
            "demonstration files, with wheel_heat_capacity, coupling, the areas, the coefficients and the limits."
        )
    return aircraft.brake_cooling


def heat_model_of(aircraft: Aircraft) -> BrakeHeatModel:
    """Return one brake of an aeroplane as a heat balance."""
    cooling, brakes = brake_cooling_of(aircraft), aircraft.brakes
    return BrakeHeatModel(
        material=brakes.heat_sink,
        heat_sink_mass=brakes.heat_sink_mass,
        wheel_heat_capacity=cooling.wheel_heat_capacity,
        coupling=cooling.coupling,
        heat_sink_area=cooling.heat_sink_area,
        wheel_area=cooling.wheel_area,
        emissivity=cooling.emissivity,
        still_air_coefficient=cooling.still_air_coefficient,
        forced_air_coefficient=cooling.forced_air_coefficient,
        fan_coefficient=cooling.fan_coefficient or 0.0,
        sensor_lag=cooling.sensor_lag,
        sensor_share=cooling.sensor_share,
    )


def brake_energies(aircraft: Aircraft, energy: float, released: Sequence[int] = ()) -> tuple[float, ...]:
    """Return the heat that each brake takes of the work of all brakes, in the sharing of the aircraft file. [J]"""
    cooling = brake_cooling_of(aircraft)
    shares = cooling.shares or [1.0] * aircraft.brakes.count
    return energies_of_brakes(energy * cooling.heat_share, shares, released)


def last_time_above(history: CoolingHistory, limit: float, since: float, air_temperature: float) -> float | None:
    """Return how long after ``since`` the indication is above ``limit`` for the last time; None where for ever. [s]"""
    if air_temperature >= limit or history.indicated[-1] > limit:
        return None
    return max(history.last_above(limit, "indicated") - since, 0.0)


def landing_brake_history(
    aircraft: Aircraft,
    energy_per_brake: float,
    *,
    initial_temperature: float,
    air_temperature: float,
    wind_speed: float = 0.0,
    roll_time: float,
    touchdown_speed: float,
    fans: bool = False,
    history_step: float = 120.0,
) -> CoolingHistory:
    """Return the hottest brake from touchdown until it is cool, the aeroplane parked right after the stop.

    Arguments, errors and what is assumed are those of `landing_brake_outcome`.
    """
    cooling, model = brake_cooling_of(aircraft), heat_model_of(aircraft)
    shares = cooling.shares or [1.0]
    hottest = energy_per_brake * cooling.heat_share * max(shares) * len(shares) / sum(shares)
    parked = CoolingPhase(LATEST_PEAK, air_temperature, cooling.parked_wind_share * wind_speed, fans=fans)
    phases = [
        CoolingPhase(roll_time, air_temperature, MEAN_ROLL_SHARE * touchdown_speed, power=hottest / roll_time),
        parked,
        replace(parked, duration=LONGEST_RUN - LATEST_PEAK),
    ]
    start = BrakeTemperatures(initial_temperature, initial_temperature, initial_temperature)
    limit = cooling.take_off_limit
    below = min(limit, limit if cooling.fans_off_limit is None else cooling.fans_off_limit)
    return brake_temperatures(model, start, phases, stop_below=below, history_step=history_step)


def landing_brake_outcome(
    aircraft: Aircraft,
    energy_per_brake: float,
    *,
    initial_temperature: float,
    air_temperature: float,
    wind_speed: float = 0.0,
    roll_time: float,
    touchdown_speed: float,
    fans: bool = False,
    history_step: float = 120.0,
) -> BrakeOutcome:
    """Return what a landing does to its hottest brake when the aeroplane parks right after the stop.

    Parameters
    ----------
    aircraft
        With the section [brake_cooling].
    energy_per_brake
        Mean work of a working brake in the roll. [J]
    initial_temperature
        Of the whole brake before touchdown. [K]
    air_temperature
        [K]
    wind_speed
        Mean wind where the aeroplane parks. [m/s]
    roll_time
        Touchdown to the stop; the heat is spread evenly over it, above 0. [s]
    touchdown_speed
        Ground speed at touchdown. [m/s]
    fans
        Whether the brake fans run from the stop.

    Raises
    ------
    ScenarioError
        If the file has no section [brake_cooling].
    ValueError
        If the heat sink leaves the range of its specific-heat formula.

    Notes
    -----
    The hottest brake is the one with the greatest share of the file; brakes that are released are taken to be others.
    """
    cooling = brake_cooling_of(aircraft)
    history = landing_brake_history(
        aircraft,
        energy_per_brake,
        initial_temperature=initial_temperature,
        air_temperature=air_temperature,
        wind_speed=wind_speed,
        roll_time=roll_time,
        touchdown_speed=touchdown_speed,
        fans=fans,
        history_step=history_step,
    )
    limit = cooling.take_off_limit
    wheel, indicated = history.peak("wheel"), history.peak("indicated")
    fans_off = None
    if cooling.fans_off_limit is not None:
        fans_off = last_time_above(history, cooling.fans_off_limit, roll_time, air_temperature)
    return BrakeOutcome(
        peak_heat_sink_temperature=history.peak("heat_sink").temperature,
        peak_wheel_temperature=wheel.temperature,
        peak_wheel_time=max(wheel.time - roll_time, 0.0),
        peak_indicated_temperature=indicated.temperature,
        peak_indicated_time=max(indicated.time - roll_time, 0.0),
        cooling_time=last_time_above(history, limit, roll_time, air_temperature),
        fans_off_time=fans_off,
        fuse_plugs=fuse_plug_state(wheel.temperature, cooling.fuse_plug_near, cooling.fuse_plug_release),
    )
