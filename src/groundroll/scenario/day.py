"""The day file: sectors flown one after the other with the same aeroplane, read, looked up and checked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import Field, ValidationError, model_validator

from groundroll.constants import FOOT, KNOT, ZERO_CELSIUS
from groundroll.errors import ScenarioError
from groundroll.scenario.files import load
from groundroll.scenario.messages import Problems
from groundroll.scenario.model import (
    Aircraft,
    AirTemperature,
    AnyMass,
    Display,
    Name,
    Section,
)
from groundroll.scenario.overrides import Override, apply, read_overrides
from groundroll.scenario.quantity import (
    ENERGY,
    LENGTH,
    SPEED,
    TEMPERATURE,
    TIME,
    Quantity,
    shown,
)
from groundroll.scenario.read import read_aircraft, read_case
from groundroll.scenario.resolved import Case, section_inputs
from groundroll.scenario.upgrade import upgrade

RECOMMENDED: Final = "recommended"
"""Brakes or reverse as the landing plan recommends."""

MOST_SECTORS: Final = 40
"""Sectors in a day file. Assumption of this project: nobody flies more with one aeroplane in a day."""

Minutes = Annotated[float, Quantity(TIME, 0.0, 24.0 * 3600.0)]
WindSpeed = Annotated[float, Quantity(SPEED, 0.0, 80.0 * KNOT)]


class Start(Section):
    """The aeroplane and the air before the first sector."""

    air_temperature: AirTemperature = Field(description="Outside air temperature at the first departure.")
    wind_speed: WindSpeed = Field(default=0.0, description="Mean wind where the aeroplane stands.")
    pressure_altitude: Annotated[float, Quantity(LENGTH, -2_000.0 * FOOT, 20_000.0 * FOOT)] = Field(
        default=0.0, description="Pressure altitude of the first departure."
    )
    brake_temperature: Annotated[float, Quantity(TEMPERATURE, ZERO_CELSIUS - 60.0, 1_000.0)] | None = Field(
        default=None, description="Temperature of all brakes at the start; by default that of the air."
    )


class Taxi(Section):
    """Taxiing: how long, how fast, and how often the brakes are used."""

    time: Annotated[float, Quantity(TIME, 0.0, 4.0 * 3600.0)] = Field(description="Duration.")
    speed: Annotated[float, Quantity(SPEED, 0.0, 50.0 * KNOT)] = Field(
        default=15.0 * KNOT, description="Usual taxi speed."
    )
    applications: Annotated[int, Field(ge=0, le=200)] = Field(
        default=4, description="Applications of the brakes, each from the taxi speed to a halt."
    )


class DayTakeOff(Section):
    """The take-off, and the energy if it were rejected."""

    mass: AnyMass = Field(description="Take-off mass.")
    decision_speed: Annotated[float, Quantity(SPEED, 60.0 * KNOT, 230.0 * KNOT)] = Field(
        description="Calibrated speed at which the take-off would last be rejected."
    )
    headwind: Annotated[float, Quantity(SPEED, -40.0 * KNOT, 80.0 * KNOT)] = Field(
        default=0.0, description="Wind along the runway, from ahead positive."
    )
    roll_time: Annotated[float, Quantity(TIME, 5.0, 120.0)] = Field(default=35.0, description="Roll to lift-off.")
    reject_energy: Annotated[float, Quantity(ENERGY, 100_000.0, 1_000e6)] | None = Field(
        default=None,
        description="Energy of one brake in a rejected take-off; by default the kinetic energy shared by the brakes.",
    )


class Flight(Section):
    """Lift-off to touchdown."""

    time: Minutes = Field(description="Lift-off to touchdown.")
    gear_up_after: Annotated[float, Quantity(TIME, 0.0, 3_600.0)] = Field(
        default=15.0, description="Lift-off to gear retracted."
    )
    gear_down_before: Annotated[float, Quantity(TIME, 0.0, 3_600.0)] = Field(
        default=240.0, description="Gear extended to touchdown."
    )
    gear_speed: Annotated[float, Quantity(SPEED, 60.0 * KNOT, 290.0 * KNOT)] = Field(
        default=160.0 * KNOT, description="Air speed with the gear extended."
    )

    @model_validator(mode="after")
    def _long_enough(self) -> Flight:
        if self.gear_up_after + self.gear_down_before > self.time:
            raise ValueError("gear_up_after and gear_down_before together are longer than time.")
        return self


class DayLanding(Section):
    """The landing: a case of `groundroll land`, and which of its choices is flown."""

    case: Annotated[str, Field(min_length=1, max_length=1_000)] = Field(description="Case file, relative to this file.")
    brake: Name = Field(default=RECOMMENDED, description='Brake setting, "manual" or "recommended".')
    reverse: Literal["none", "idle", "full", "recommended"] = Field(
        default="recommended", description="Use of reverse."
    )
    changes: list[Annotated[str, Field(max_length=500)]] = Field(
        default_factory=list, max_length=50, description='Changes to the case, as after --set: "landing.mass=60 t".'
    )

    @model_validator(mode="after")
    def _both_or_neither(self) -> DayLanding:
        if (self.brake == RECOMMENDED) != (self.reverse == RECOMMENDED):
            raise ValueError("give both brake and reverse, or neither.")
        return self


class Ground(Section):
    """Parked after the landing; weather as in the landing case where not given."""

    time: Minutes = Field(description="Parked, from the end of the taxi in to the start of the next taxi out.")
    fans: bool = Field(default=False, description="Whether the brake fans run.")
    fans_start: Annotated[float, Quantity(TIME, 0.0, 6.0 * 3600.0)] = Field(
        default=0.0, description="Parked until the fans are switched on."
    )
    air_temperature: AirTemperature | None = Field(default=None, description="Outside air temperature.")
    wind_speed: WindSpeed | None = Field(default=None, description="Mean wind.")


class SectorFile(Section):
    """One sector."""

    name: Name = Field(description="Name shown in tables.")
    taxi_out: Taxi = Field(description="Taxi out.")
    take_off: DayTakeOff = Field(description="Take-off.")
    flight: Flight = Field(description="Flight.")
    landing: DayLanding = Field(description="Landing.")
    taxi_in: Taxi = Field(description="Taxi in.")
    ground: Ground = Field(description="Ground time after the sector.")


class DayFile(Section):
    """A day of one aeroplane, as written."""

    format: Literal[1] = Field(description="Format of this file.")
    title: Annotated[str, Field(min_length=1, max_length=200)] = Field(description="Title shown on every output.")
    aircraft: Annotated[str, Field(min_length=1, max_length=1_000)] = Field(
        description="Aircraft file, relative to this file."
    )
    released_brakes: list[Annotated[int, Field(ge=1, le=32)]] = Field(
        default_factory=list, max_length=31, description="Numbers of brakes that are deactivated, from 1."
    )
    start: Start = Field(description="Before the first sector.")
    sectors: list[SectorFile] = Field(min_length=1, max_length=MOST_SECTORS, description="Sectors in order.")
    display: Display = Field(default_factory=Display, description="Units of outputs.")


@dataclass(frozen=True)
class Sector:
    """One sector with its landing case read."""

    written: SectorFile
    case: Case


@dataclass(frozen=True)
class Day:
    """A day with everything looked up."""

    title: str
    aircraft: Aircraft
    start: Start
    sectors: tuple[Sector, ...]
    released_brakes: tuple[int, ...]
    """Numbers of the deactivated brakes, from 0."""
    display: Display
    remarks: tuple[str, ...]
    file: Path


def _apply_to_day(override: Override, data: dict[str, Any]) -> None:
    """Put a value into the day; `sectors.2.ground.time` reaches into the second sector."""
    parts = override.parts
    if parts[0] != "sectors" or len(parts) < 3:
        apply(override, data)
        return
    sectors = data.get("sectors")
    count = len(sectors) if isinstance(sectors, list) else 0
    if not isinstance(sectors, list) or not parts[1].isdecimal() or not 1 <= int(parts[1]) <= count:
        raise ScenarioError(f"--set {override.written}: {shown(parts[1])} is not a sector; there are 1 to {count}.")
    sector = sectors[int(parts[1]) - 1]
    if isinstance(sector, dict):
        apply(Override("case", parts[2:], override.value, override.written), sector)


def read_day(path: Path | str, overrides: Sequence[str] = ()) -> Day:
    """Return the day in a file with its aeroplane and all its landing cases read and checked.

    Parameters
    ----------
    path
        Day file; it names the aircraft file and the cases relative to itself.
    overrides
        Changes as `key=value`: "start.air_temperature=35 degC", "sectors.2.ground.time=50 min"; keys that begin with
        `aircraft.` reach into the aircraft file, also for the landings.

    Raises
    ------
    ScenarioError
        With all problems found, one line each.
    """
    path = Path(path)
    data, changes = load(path), read_overrides(overrides)
    for one in changes:
        if one.file == "case":
            _apply_to_day(one, data)
        elif one.file == "runway":
            raise ScenarioError(f"--set {one.written}: a day has several runways; write it under changes of a landing.")
    to_aircraft = [text for text, one in zip(overrides, changes, strict=True) if one.file == "aircraft"]
    problems = Problems()
    day = None
    try:
        day = DayFile.model_validate(upgrade(data))
    except ScenarioError as error:
        key, _, text = str(error).partition(": ")
        problems.add(path.name, key, text)
    except ValidationError as error:
        problems.add_validation(error, DayFile, path.name)
    problems.raise_if_any()
    assert day is not None  # without a problem there is a result
    sectors = tuple(_sector(path, number, one, day, to_aircraft, problems) for number, one in enumerate(day.sectors))
    problems.raise_if_any()
    aircraft = _aircraft(path, day, sectors, problems)
    problems.raise_if_any()
    assert aircraft is not None
    found = tuple(one for one in sectors if one is not None)
    remarks = (f"{one.written.name}: {remark}" for one in found for remark in one.case.remarks)
    return Day(
        title=day.title,
        aircraft=aircraft,
        start=day.start,
        sectors=found,
        released_brakes=tuple(number - 1 for number in day.released_brakes),
        display=day.display,
        remarks=tuple(dict.fromkeys(remarks)),
        file=path,
    )


def _sector(
    path: Path, number: int, sector: SectorFile, day: DayFile, to_aircraft: list[str], problems: Problems
) -> Sector | None:
    """Return a sector with its case; None, with the problems added, where it cannot be read."""
    changes = [*sector.landing.changes, *to_aircraft]
    if day.released_brakes:
        changes.append(f"failures.brakes_released={len(day.released_brakes)}")
    try:
        return Sector(sector, read_case(path.parent / sector.landing.case, changes))
    except ScenarioError as error:
        for line in str(error).splitlines():
            problems.add(path.name, f"sectors entry {number + 1}, landing", line)
        return None


def _aircraft(path: Path, day: DayFile, sectors: tuple[Sector | None, ...], problems: Problems) -> Aircraft | None:
    """Return the aeroplane of the day; every landing must be made with it."""
    named = path.parent / day.aircraft
    read_aircraft(named)
    aircraft = None
    for number, one in enumerate(sectors):
        if one is None:
            continue
        key = f"sectors entry {number + 1}, landing.case"
        if one.case.sources["aircraft"].resolve() != named.resolve():
            text = f"{shown(one.written.landing.case)} lands {one.case.aircraft.name}, but the day names {named.name}."
            problems.add(path.name, key, text)
            continue
        aircraft = one.case.aircraft
        if one.case.failures.brakes_released != len(day.released_brakes):
            problems.add(
                path.name,
                key,
                f"releases {one.case.failures.brakes_released} brakes. "
                "Name them in the day file: released_brakes = [1].",
            )
        _check_sector(path, number, one, aircraft, problems)
    if aircraft is None:
        return None
    for brake in day.released_brakes:
        if brake > aircraft.brakes.count:
            problems.add(
                path.name, "released_brakes", f"{brake} is above {aircraft.brakes.count}, the number of brakes."
            )
    if len(set(day.released_brakes)) != len(day.released_brakes):
        problems.add(path.name, "released_brakes", "names a brake twice.")
    if aircraft.brake_cooling is None:
        problems.add(named.name, "brake_cooling", "is missing. Add the section [brake_cooling]; a day needs it.")
    return aircraft


def _check_sector(path: Path, number: int, sector: Sector, aircraft: Aircraft, problems: Problems) -> None:
    written = sector.written
    where = f"sectors entry {number + 1}"
    limit = aircraft.mass.maximum_take_off
    if not aircraft.mass.minimum <= written.take_off.mass <= limit:
        text = f"{written.take_off.mass / 1000.0:.1f} t is outside {aircraft.mass.minimum / 1000.0:.1f} to "
        problems.add(path.name, f"{where}, take_off.mass", f"{text}{limit / 1000.0:.1f} t of {aircraft.name}.")
    if sector.case.landing.mass > written.take_off.mass:
        problems.add(
            path.name,
            f"{where}, landing",
            f"lands with {sector.case.landing.mass / 1000.0:.1f} t, more than the take-off mass, "
            f"{written.take_off.mass / 1000.0:.1f} t.",
        )
    fans = aircraft.brake_cooling.fan_coefficient if aircraft.brake_cooling is not None else None
    if written.ground.fans and fans is None:
        text = f"{aircraft.name} has no brake fans (no brake_cooling.fan_coefficient)."
        problems.add(path.name, f"{where}, ground.fans", text)


def resolved_day(day: Day) -> dict[str, Any]:
    """Return everything a day was computed from, JSON-ready: SI values, names with units."""
    return {
        "title": day.title,
        "aircraft": section_inputs(day.aircraft),
        "released_brakes": [number + 1 for number in day.released_brakes],
        "start": section_inputs(day.start),
        "sectors": [
            section_inputs(one.written) | {"case_title": one.case.title, "landing_mass_kg": one.case.landing.mass}
            for one in day.sectors
        ],
        "display": section_inputs(day.display),
        "file": day.file.name,
        "remarks": list(day.remarks),
    }
