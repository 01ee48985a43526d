"""A case with everything looked up: what planning works on, and what outputs show as inputs.

All values SI and radians; directions of wind and runway against true north; thirds in landing direction.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any, Literal, get_type_hints

from groundroll.scenario.model import (
    Aircraft,
    Choice,
    Dispatch,
    Display,
    Exit,
    Failures,
    Flap,
    Runway,
    Section,
    Uncertainty,
)
from groundroll.scenario.quantity import declared_quantity


@dataclass(frozen=True)
class LandingDirection:
    """The landing direction of the case."""

    designator: str
    true_bearing: float
    """Landing direction against true north. [rad]"""
    threshold_elevation: float
    """[m]"""
    slope: float
    """Mean gradient, upslope in landing direction positive. [-]"""
    displaced_threshold: float
    """[m]"""
    landing_distance_available: float
    """As declared; a reduced length in the condition report is kept apart. [m]"""
    exits: tuple[Exit, ...]
    distance_signs: bool
    """Whether signs beside the runway show the distance remaining."""


@dataclass(frozen=True)
class ResolvedWeather:
    """Weather after explicit values have replaced those of the report."""

    wind_direction: float | None
    """Where the wind comes from, against true north; None when variable or calm. [rad]"""
    wind_variable: bool
    wind_speed: float
    """[m/s]"""
    gust_speed: float | None
    """[m/s]"""
    arc_from: float | None
    """First direction of a variable sector, clockwise, against true north. [rad]"""
    arc_to: float | None
    """Last direction of a variable sector. [rad]"""
    temperature: float
    """Outside air temperature. [K]"""
    pressure_setting: float
    """QNH. [Pa]"""
    wind_factors: Literal["regulatory", "none"]
    raw: str | None
    """Text of the report, where one was given."""
    remarks: tuple[str, ...]

    @property
    def calm(self) -> bool:
        """True without wind."""
        return self.wind_speed == 0.0 and not self.gust_speed


@dataclass(frozen=True)
class SurfaceThird:
    """Condition of one third of the runway."""

    code: int
    descriptor: str | None
    """One of the condition words, upper case; None where only the code is known."""
    depth: float | None
    """Depth of loose contaminant; None where not reported. [m]"""
    coverage: float | None
    """Covered share, 0 to 1; None where not reported. [-]"""
    depth_at_most: bool = False
    """True where the report means "this depth or less"."""


@dataclass(frozen=True)
class ResolvedCondition:
    """Runway condition in landing direction."""

    thirds: tuple[SurfaceThird, SurfaceThird, SurfaceThird]
    """Touchdown, middle and roll-out third."""
    raw: str | None
    """Text of the report, where one was given."""
    reduced_length: float | None
    """Runway length the report reduces to. [m]"""
    age: float | None
    """Age of the assessment at the time of landing. [s]"""
    remarks: tuple[str, ...]

    @property
    def codes(self) -> tuple[int, int, int]:
        """The three codes, in landing direction."""
        first, second, third = self.thirds
        return first.code, second.code, third.code


@dataclass(frozen=True)
class ResolvedLanding:
    """The landing with speeds worked out."""

    mass: float
    """[kg]"""
    flap: str
    flap_data: Flap
    reference_speed: float
    """Calibrated, at the landing mass. [m/s]"""
    approach_speed: float
    """Calibrated, at the threshold, without any excess. [m/s]"""
    touchdown_distance: float | None
    """Given distance from threshold to touchdown. [m]"""
    touchdown_speed_loss: float | None
    """Given share of ground speed lost from threshold to touchdown. [-]"""
    pedal: float
    margin: float
    dry_share: float
    initial_brake_temperature: float | None
    """Given temperature of the brakes before landing. [K]"""


@dataclass(frozen=True)
class Case:
    """One landing to be planned."""

    title: str
    aircraft: Aircraft
    runway: Runway
    direction: str
    direction_data: LandingDirection
    time: datetime | None
    weather: ResolvedWeather
    condition: ResolvedCondition
    landing: ResolvedLanding
    failures: Failures
    dispatch: Dispatch | None
    choice: Choice
    display: Display
    remarks: tuple[str, ...]
    """Everything odd but usable, to be shown with the result."""
    braking_table: Path | None
    """The file that replaces the braking coefficients."""
    sources: dict[str, Path]
    """The files read: case, aircraft, runway, and braking_table where given."""
    uncertainty: Uncertainty | None = None
    """Spread of inputs as the case file gives it; that of the aircraft file stands with the aircraft."""


def section_inputs(section: Section) -> dict[str, Any]:
    """Return a section of a file as JSON-ready SI values; names end with the unit their `Quantity` declares."""
    return {key: _plain(getattr(section, name)) for name, key in _names_with_units(type(section))}


@cache
def _names_with_units(kind: type[Section]) -> tuple[tuple[str, str], ...]:
    """Return each field of a kind of section with its name in JSON."""
    hints = get_type_hints(kind, include_extras=True)
    found = []
    for name in kind.model_fields:
        quantity = declared_quantity(hints[name])
        found.append((name, name + (quantity.dimension.suffix if quantity else "")))
    return tuple(found)


def _plain(value: Any) -> Any:
    if isinstance(value, Section):
        return section_inputs(value)
    if isinstance(value, dict):
        return {str(key): _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value


def resolved_inputs(case: Case) -> dict[str, Any]:
    """Return everything a case was computed from, JSON-ready: SI values, names with units, texts as received."""
    direction, weather, condition, landing = case.direction_data, case.weather, case.condition, case.landing
    return {
        "title": case.title,
        "time": case.time.isoformat().replace("+00:00", "Z") if case.time else None,
        "aircraft": section_inputs(case.aircraft),
        "runway": {
            "aerodrome": case.runway.aerodrome,
            "name": case.runway.name,
            "length_m": case.runway.length,
            "width_m": case.runway.width,
            "surface": case.runway.surface,
            "magnetic_variation_rad": case.runway.magnetic_variation,
        },
        "direction": {
            "designator": direction.designator,
            "true_bearing_rad": direction.true_bearing,
            "threshold_elevation_m": direction.threshold_elevation,
            "slope": direction.slope,
            "displaced_threshold_m": direction.displaced_threshold,
            "landing_distance_available_m": direction.landing_distance_available,
            "exits": [section_inputs(one) for one in direction.exits],
        },
        "weather": {
            "wind_direction_rad": weather.wind_direction,
            "wind_variable": weather.wind_variable,
            "wind_speed_mps": weather.wind_speed,
            "gust_speed_mps": weather.gust_speed,
            "arc_from_rad": weather.arc_from,
            "arc_to_rad": weather.arc_to,
            "temperature_k": weather.temperature,
            "pressure_setting_pa": weather.pressure_setting,
            "wind_factors": weather.wind_factors,
            "report": weather.raw,
        },
        "condition": {
            "thirds": [
                {
                    "code": third.code,
                    "descriptor": third.descriptor,
                    "depth_m": third.depth,
                    "depth_at_most": third.depth_at_most,
                    "coverage": third.coverage,
                }
                for third in condition.thirds
            ],
            "reduced_length_m": condition.reduced_length,
            "age_s": condition.age,
            "report": condition.raw,
        },
        "landing": {
            "mass_kg": landing.mass,
            "flap": landing.flap,
            "reference_speed_mps": landing.reference_speed,
            "approach_speed_mps": landing.approach_speed,
            "touchdown_distance_m": landing.touchdown_distance,
            "touchdown_speed_loss": landing.touchdown_speed_loss,
            "pedal": landing.pedal,
            "margin": landing.margin,
            "dry_share": landing.dry_share,
            "initial_brake_temperature_k": landing.initial_brake_temperature,
        },
        "failures": section_inputs(case.failures),
        "dispatch": section_inputs(case.dispatch) if case.dispatch else None,
        "choice": section_inputs(case.choice),
        "uncertainty": section_inputs(case.uncertainty) if case.uncertainty else None,
        "display": section_inputs(case.display),
        "files": {name: path.name for name, path in case.sources.items()},
        "remarks": list(case.remarks),
    }
