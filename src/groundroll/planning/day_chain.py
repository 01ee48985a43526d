"""A day of sectors as stages of heat and air, and the temperatures of each group of brakes through them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from groundroll.errors import ScenarioError
from groundroll.physics.atmosphere import standard_pressure, true_airspeed
from groundroll.physics.brake_cooling import (
    BrakeHeatModel,
    BrakeTemperatures,
    CoolingHistory,
    CoolingPhase,
    brake_temperatures,
)
from groundroll.planning.brake_outcome import MEAN_ROLL_SHARE, brake_cooling_of, brake_energies, heat_model_of
from groundroll.planning.landing import LandingOption, LandingPlan, plan_landing
from groundroll.planning.landing_roll import air_segment_of, conditions_of
from groundroll.scenario.day import RECOMMENDED, Day, SectorFile
from groundroll.scenario.model import Aircraft, BrakeCooling

HISTORY_STEP: Final = 60.0
"""Longest time between rows of a day. [s]"""


@dataclass(frozen=True)
class Stage:
    """A part of the day with the same heat and the same air, for the whole aeroplane."""

    name: str
    sector: int
    duration: float
    """[s]"""
    air_temperature: float
    """At the brakes. [K]"""
    air_speed: float
    """At the brakes. [m/s]"""
    energy: float = 0.0
    """Work of all brakes. [J]"""
    fans: bool = False


@dataclass(frozen=True)
class BrakeRun:
    """Brakes that do the same, and their temperatures through the day."""

    numbers: tuple[int, ...]
    """From 0."""
    history: CoolingHistory


@dataclass(frozen=True)
class FlownLandings:
    """Plan and flown option of each sector."""

    plans: tuple[LandingPlan, ...]
    options: tuple[LandingOption, ...]


@dataclass(frozen=True)
class Setup:
    """What every question about a day needs."""

    day: Day
    aircraft: Aircraft
    cooling: BrakeCooling
    model: BrakeHeatModel
    groups: tuple[tuple[int, ...], ...]
    """Brakes that do the same."""


def setup_of(day: Day) -> Setup:
    """Return what every question about a day needs; brakes with the same share form a group."""
    cooling = brake_cooling_of(day.aircraft)
    shares = cooling.shares or [1.0] * day.aircraft.brakes.count
    groups: dict[tuple[float, bool], list[int]] = {}
    for number, share in enumerate(shares):
        released = number in day.released_brakes
        groups.setdefault((0.0 if released else share, released), []).append(number)
    return Setup(day, day.aircraft, cooling, heat_model_of(day.aircraft), tuple(tuple(one) for one in groups.values()))


def flown_landings(day: Day) -> FlownLandings:
    """Return plan and flown option of each landing; refuse a choice that is not there or does not stop."""
    plans, options = [], []
    for sector in day.sectors:
        plan, landing = plan_landing(sector.case), sector.written.landing
        where = f"{day.file.name}, sector {sector.written.name}"
        if landing.brake == RECOMMENDED:
            if plan.recommended is None:
                raise ScenarioError(
                    f"{where}: no landing can be recommended. {plan.reasons[0]} To go on nevertheless, give brake and "
                    "reverse under landing."
                )
            option = plan.options[plan.recommended]
        else:
            found = [one for one in plan.options if (one.brake, one.reverse) == (landing.brake, landing.reverse)]
            if not found:
                choices = ", ".join(dict.fromkeys(f"{one.brake} with {one.reverse}" for one in plan.options)) or "none"
                raise ScenarioError(
                    f'{where}, landing: brake "{landing.brake}" with reverse "{landing.reverse}" is not a choice of '
                    f"today; there are: {choices}."
                )
            option = found[0]
        if option.stop_time is None:
            raise ScenarioError(
                f"{where}: {option.brake} with reverse {option.reverse} does not stop: {option.reason}."
            )
        plans.append(plan)
        options.append(option)
    return FlownLandings(tuple(plans), tuple(options))


def _taxi_energy(mass: float, speed: float, applications: int) -> float:
    """Return the work of the brakes: each application takes the whole kinetic energy of the taxi speed. [J]"""
    return applications * 0.5 * mass * speed**2


def ground_air(day: Day, sector: int) -> tuple[float, float]:
    """Return air temperature and wind where the aeroplane stands after a sector; -1 is before the first."""
    if sector < 0:
        return day.start.air_temperature, day.start.wind_speed
    ground, weather = day.sectors[sector].written.ground, day.sectors[sector].case.weather
    temperature = weather.temperature if ground.air_temperature is None else ground.air_temperature
    return temperature, weather.wind_speed if ground.wind_speed is None else ground.wind_speed


def taxi_out_stage(day: Day, number: int, *, fewer: float = 1.0) -> Stage:
    """Return the taxi out of a sector; ``fewer`` is the share of its brake applications."""
    written = day.sectors[number].written
    temperature, _ = ground_air(day, number - 1)
    taxi = written.taxi_out
    energy = fewer * _taxi_energy(written.take_off.mass, taxi.speed, taxi.applications)
    return Stage("taxi out", number, taxi.time, temperature, taxi.speed, energy)


def landing_stages(day: Day, number: int, option: LandingOption, *, fewer: float = 1.0) -> list[Stage]:
    """Return the landing roll and the taxi in."""
    sector = day.sectors[number]
    conditions = conditions_of(sector.case)
    segment = air_segment_of(conditions)
    assert option.stop_time is not None  # checked when the option was chosen
    working = day.aircraft.brakes.count - len(day.released_brakes)
    air, taxi = sector.case.weather.temperature, sector.written.taxi_in
    return [
        Stage(
            "landing roll",
            number,
            option.stop_time - segment.time,
            air,
            MEAN_ROLL_SHARE * segment.touchdown_ground_speed,
            option.brake_energy_per_wheel * working,
        ),
        Stage(
            "taxi in",
            number,
            taxi.time,
            air,
            taxi.speed,
            fewer * _taxi_energy(sector.case.landing.mass, taxi.speed, taxi.applications),
        ),
    ]


def parked_stages(day: Day, number: int, time: float, fans: bool, fans_start: float) -> list[Stage]:
    """Return the ground time after a sector, without and with fans."""
    temperature, wind = ground_air(day, number)
    air_speed = brake_cooling_of(day.aircraft).parked_wind_share * wind
    without = min(fans_start, time) if fans else time
    stages = [Stage("parked", number, without, temperature, air_speed)]
    if fans:
        stages.append(Stage("parked, fans on", number, time - without, temperature, air_speed, fans=True))
    return stages


def _sector_stages(day: Day, number: int, option: LandingOption, delay: float) -> list[Stage]:
    """Return the stages of a sector; ``delay`` lengthens its ground time. [s]"""
    written: SectorFile = day.sectors[number].written
    case = day.sectors[number].case
    departure_air, _ = ground_air(day, number - 1)
    flight, ground = written.flight, written.ground
    bay = brake_cooling_of(day.aircraft).bay_temperature
    lift_off_speed = decision_ground_speed(day, number)
    return [
        taxi_out_stage(day, number),
        Stage("take-off roll", number, written.take_off.roll_time, departure_air, MEAN_ROLL_SHARE * lift_off_speed),
        Stage("gear down after take-off", number, flight.gear_up_after, departure_air, flight.gear_speed),
        Stage("gear in the bay", number, flight.time - flight.gear_up_after - flight.gear_down_before, bay, 0.0),
        Stage("gear down for landing", number, flight.gear_down_before, case.weather.temperature, flight.gear_speed),
        *landing_stages(day, number, option),
        *parked_stages(day, number, ground.time + delay, ground.fans, ground.fans_start),
    ]


def _day_stages(day: Day, options: Sequence[LandingOption], delays: Mapping[int, float]) -> list[Stage]:
    """Return the stages of the day; ``delays`` by sector, -1 for one before the first. [s]"""
    stages = []
    if delays.get(-1, 0.0) > 0.0:
        temperature, wind = ground_air(day, -1)
        air_speed = brake_cooling_of(day.aircraft).parked_wind_share * wind
        stages.append(Stage("parked", 0, delays[-1], temperature, air_speed))
    for number, option in enumerate(options):
        stages += _sector_stages(day, number, option, delays.get(number, 0.0))
    return stages


def phases_of(setup: Setup, stages: Sequence[Stage], brake: int) -> list[CoolingPhase]:
    """Return the stages as one brake has them."""
    phases = []
    for stage in stages:
        power = 0.0
        if stage.energy > 0.0:
            energy = brake_energies(setup.aircraft, stage.energy, setup.day.released_brakes)[brake]
            # Without a duration there is no time to spread the heat over: a tenth of a second stands for at once.
            power = energy / max(stage.duration, 0.1)
        duration = max(stage.duration, 0.1) if stage.energy > 0.0 else stage.duration
        phases.append(CoolingPhase(duration, stage.air_temperature, stage.air_speed, power, stage.fans))
    return phases


def run_stages(
    setup: Setup, stages: Sequence[Stage], starts: Sequence[BrakeTemperatures], step: float = HISTORY_STEP
) -> tuple[BrakeRun, ...]:
    """Return the temperatures of each group of brakes through the stages."""
    return tuple(
        BrakeRun(
            group,
            brake_temperatures(setup.model, start, phases_of(setup, stages, group[0]), history_step=step),
        )
        for group, start in zip(setup.groups, starts, strict=True)
    )


def first_temperatures(setup: Setup) -> list[BrakeTemperatures]:
    """Return the temperatures of each group before the day."""
    start = setup.day.start
    temperature = start.air_temperature if start.brake_temperature is None else start.brake_temperature
    return [BrakeTemperatures(temperature, temperature, temperature)] * len(setup.groups)


def decision_ground_speed(day: Day, number: int) -> float:
    """Return the ground speed at which the take-off of a sector would last be rejected. [m/s]"""
    take_off = day.sectors[number].written.take_off
    temperature, _ = ground_air(day, number - 1)
    if number == 0:
        pressure = standard_pressure(day.start.pressure_altitude)
    else:
        pressure = conditions_of(day.sectors[number - 1].case).pressure
    return true_airspeed(take_off.decision_speed, pressure, temperature) - take_off.headwind


def stage_number(stages: Sequence[Stage], sector: int, name: str) -> int:
    """Return the place of a stage of a sector among all stages."""
    return next(place for place, one in enumerate(stages) if one.sector == sector and one.name == name)


def states_at(runs: Sequence[BrakeRun], stage: int) -> list[BrakeTemperatures]:
    """Return the temperatures of each group of brakes at the start of a stage."""
    return [run.history.at_start_of(stage) for run in runs]


def chain_of_day(
    setup: Setup, options: Sequence[LandingOption], delays: Mapping[int, float]
) -> tuple[list[Stage], tuple[BrakeRun, ...]]:
    """Return stages and temperatures of the whole day with the given landings."""
    stages = _day_stages(setup.day, options, delays)
    return stages, run_stages(setup, stages, first_temperatures(setup))
