"""The files a user writes, as typed models: aircraft, runway, case.

Every field is declared once, with dimension, range and one sentence; reading, messages, JSON names and reference pages
come from that. Values are SI and radians once read.

The ranges exist to catch slips of the pen (a wrong unit, a lost digit) and are wide: they are assumptions of this
project unless the field names a source. Limits of a real aeroplane stand in its own file.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime
from itertools import pairwise
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from groundroll.constants import FOOT, KNOT, PSI, ZERO_CELSIUS
from groundroll.scenario.quantity import (
    ANGLE,
    AREA,
    CONDUCTANCE,
    DECELERATION,
    ENERGY,
    FORCE,
    HEAT_CAPACITY,
    HEAT_TRANSFER,
    JERK,
    LENGTH,
    MASS,
    MASS_FLOW,
    NUMBER,
    PRESSURE,
    SHARE,
    SMALL_LENGTH,
    SPEED,
    TEMPERATURE,
    TIME,
    TORQUE,
    Quantity,
    shown,
)
from groundroll.scenario.uncertainty import (
    ANY_MASS,
    AUTOMATIC_BRAKING,
    DELAY,
    FRICTION,
    GUST,
    TOUCHDOWN_POINT,
    TOUCHDOWN_SPEED,
    WIND_DIRECTION,
    WIND_SPEED,
)
from groundroll.scenario.wind_text import WIND_TEXT, Wind

FORMAT: Final = 1
"""The format number of files this version writes."""

DESIGNATOR: Final = re.compile(r"(0[1-9]|[12][0-9]|3[0-6])([LCR]?)", re.ASCII)
"""A runway direction as painted: 07, 25L."""

Degrees = Annotated[float, Quantity(ANGLE, 0.0, 2.0 * 3.141592653589793)]
AnyMass = Annotated[float, Quantity(MASS, 1_000.0, 700_000.0)]
AnySpeed = Annotated[float, Quantity(SPEED, 0.0, 250.0 * KNOT)]
ShortTime = Annotated[float, Quantity(TIME, 0.0, 60.0)]
WholeShare = Annotated[float, Quantity(SHARE, 0.0, 1.0)]
TyrePressure = Annotated[float, Quantity(PRESSURE, 50.0 * PSI, 300.0 * PSI)]
AirTemperature = Annotated[float, Quantity(TEMPERATURE, ZERO_CELSIUS - 60.0, ZERO_CELSIUS + 60.0)]
Elevation = Annotated[float, Quantity(LENGTH, -500.0, 6_000.0)]
Slope = Annotated[float, Quantity(SHARE, -0.05, 0.05)]
ThrustList = list[Annotated[float, Quantity(FORCE, -100_000.0, 600_000.0)]]


def _text(value: Any) -> Any:
    """Accept `flap = 30` and `--set direction=25`, where a person means a name."""
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _designator(value: Any) -> Any:
    if isinstance(value, int) and not isinstance(value, bool):
        value = f"{value:02d}"
    if isinstance(value, str) and DESIGNATOR.fullmatch(value.strip().upper()):
        return value.strip().upper()
    raise PydanticCustomError(
        "designator", "{text}", {"text": f'{shown(value)} is not a runway direction. Write it as painted: "07", "25L".'}
    )


Name = Annotated[str, BeforeValidator(_text), Field(min_length=1, max_length=80)]
Designator = Annotated[str, BeforeValidator(_designator)]


def _utc(value: Any) -> Any:
    if isinstance(value, str):
        try:
            value = datetime.fromisoformat(value.strip())
        except ValueError:
            value = None
    if not isinstance(value, datetime):
        text = 'is not a time. Write date and time in UTC: "2026-02-17T06:40Z".'
        raise PydanticCustomError("time", "{text}", {"text": text})
    if value.tzinfo is None:
        text = f'"{value.isoformat()}" does not say which time zone. End it with Z for UTC: "{value:%Y-%m-%dT%H:%M}Z".'
        raise PydanticCustomError("time", "{text}", {"text": text})
    return value.astimezone(UTC)


Time = Annotated[datetime, BeforeValidator(_utc)]


class Section(BaseModel):
    """One table of a file: no key that is not listed, no change after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)


class Uncertainty(Section):
    """Spread of inputs; a case overrides the aircraft file, and what neither gives has a default (see its page)."""

    touchdown_point: Annotated[str, TOUCHDOWN_POINT] | None = Field(
        default=None, description="Distribution of the distance from the threshold to touchdown."
    )
    touchdown_speed: Annotated[str, TOUCHDOWN_SPEED] | None = Field(
        default=None, description="Distribution of the true airspeed at touchdown."
    )
    wind_speed: Annotated[str, WIND_SPEED] | None = Field(
        default=None, description="Distribution of the mean wind; planned is the reported one, not factored."
    )
    wind_direction: Annotated[str, WIND_DIRECTION] | None = Field(
        default=None, description="Distribution of the direction the wind comes from, against true north."
    )
    gust: Annotated[str, GUST] | None = Field(
        default=None,
        description="Distribution of the share of the difference of gust and mean wind that blows during the roll.",
    )
    mass: Annotated[str, ANY_MASS] | None = Field(default=None, description="Distribution of the landing mass.")
    spoilers_start: Annotated[str, DELAY] | None = Field(
        default=None, description="Distribution of the time from touchdown to the start of the spoilers."
    )
    brakes_start: Annotated[str, DELAY] | None = Field(
        default=None, description="Distribution of the time from touchdown to the first automatic brake pressure."
    )
    pedal_start: Annotated[str, DELAY] | None = Field(
        default=None, description="Distribution of the time from touchdown to the first pressure on the pedals."
    )
    reverse_selected: Annotated[str, DELAY] | None = Field(
        default=None, description="Distribution of the time from touchdown to the selection of reverse."
    )
    automatic_braking: Annotated[str, AUTOMATIC_BRAKING] | None = Field(
        default=None, description="Distribution of the deceleration held over the nominal one of the setting."
    )
    friction: dict[Literal["1", "2", "3", "4", "5", "6"], Annotated[str, FRICTION]] | None = Field(
        default=None, description="Distribution of friction over that of the runway condition code, for each code."
    )
    friction_thirds: list[Annotated[str, FRICTION]] | None = Field(
        default=None,
        min_length=3,
        max_length=3,
        description="The same for the three thirds in landing direction; replaces that of their codes.",
    )
    friction_correlation: Annotated[float, Quantity(SHARE, 0.0, 0.999)] | None = Field(
        default=None, description="Correlation of friction in neighbouring thirds."
    )
    friction_ageing: Annotated[float, Quantity(NUMBER, 1.0, 3.0)] | None = Field(
        default=None,
        description="Factor on friction, either way, by which one hour since the assessment widens its spread.",
    )


# ---------------------------------------------------------------------------------------------------------- aircraft


class MassLimits(Section):
    """Masses between which the aeroplane may be planned."""

    maximum_landing: AnyMass = Field(description="Maximum landing mass.")
    maximum_take_off: AnyMass = Field(description="Maximum take-off mass.")
    minimum: AnyMass = Field(description="Least mass at which the data of this file hold.")

    @model_validator(mode="after")
    def _in_order(self) -> MassLimits:
        if not self.minimum < self.maximum_landing <= self.maximum_take_off:
            raise ValueError("masses must rise: minimum, maximum_landing, maximum_take_off.")
        return self


class Geometry(Section):
    """Lengths that decide lift and load on the wheels."""

    wing_area: Annotated[float, Quantity(AREA, 5.0, 1_000.0)] = Field(
        description="Reference area of the lift and drag coefficients."
    )
    wheelbase: Annotated[float, Quantity(LENGTH, 2.0, 50.0)] = Field(description="Nose gear to main gear.")
    main_gear_to_centre_of_gravity: Annotated[float, Quantity(LENGTH, 0.0, 10.0)] = Field(
        description="Distance of the centre of gravity ahead of the main gear."
    )
    centre_of_gravity_height: Annotated[float, Quantity(LENGTH, 0.0, 10.0)] = Field(
        description="Height of the centre of gravity above the ground."
    )
    wetted_fuselage_length: Annotated[float, Quantity(LENGTH, 0.0, 80.0)] = Field(
        description="Length of fuselage wetted by spray from the nose wheels."
    )

    @model_validator(mode="after")
    def _between_the_gears(self) -> Geometry:
        if self.main_gear_to_centre_of_gravity >= self.wheelbase:
            raise ValueError("main_gear_to_centre_of_gravity must be less than wheelbase.")
        return self


class Flap(Section):
    """One landing flap setting: reference speed, lift and drag on the ground."""

    reference_speed: Annotated[float, Quantity(SPEED, 60.0 * KNOT, 220.0 * KNOT)] = Field(
        description="Calibrated reference speed at reference_mass; it scales with the square root of mass."
    )
    reference_mass: AnyMass = Field(description="Mass of the reference speed.")
    lift_coefficient_stowed: Annotated[float, Quantity(NUMBER, -1.0, 3.0)] = Field(
        description="Lift coefficient with all wheels on the ground, spoilers stowed."
    )
    lift_coefficient_deployed: Annotated[float, Quantity(NUMBER, -1.0, 3.0)] = Field(
        description="Lift coefficient with all wheels on the ground, spoilers deployed."
    )
    drag_coefficient_stowed: Annotated[float, Quantity(NUMBER, 0.01, 1.0)] = Field(
        description="Drag coefficient with all wheels on the ground, spoilers stowed."
    )
    drag_coefficient_deployed: Annotated[float, Quantity(NUMBER, 0.01, 1.0)] = Field(
        description="Drag coefficient with all wheels on the ground, spoilers deployed."
    )
    nose_up_lift_increment: Annotated[float, Quantity(NUMBER, 0.0, 2.0)] = Field(
        description="Added to the lift coefficient in the touchdown attitude, before the nose comes down."
    )
    nose_up_drag_increment: Annotated[float, Quantity(NUMBER, 0.0, 1.0)] = Field(
        description="Added to the drag coefficient in the touchdown attitude."
    )

    def reference_speed_at(self, mass: float) -> float:
        """Return the calibrated reference speed at a mass; at one lift coefficient it goes with sqrt(mass). [m/s]"""
        return float(self.reference_speed * (mass / self.reference_mass) ** 0.5)


class TyreSet(Section):
    """The tyres of the main gear or of the nose gear."""

    count: Annotated[int, Field(ge=1, le=32)] = Field(description="Number of tyres.")
    pressure: TyrePressure = Field(
        description="Highest operating pressure; the published wet curves run from 50 to 300 psi."
    )
    width: Annotated[float, Quantity(SMALL_LENGTH, 0.05, 1.0)] = Field(description="Greatest width of one tyre.")
    deflection: Annotated[float, Quantity(SMALL_LENGTH, 0.001, 0.3)] = Field(
        description="Deflection of one tyre under load."
    )


class Tyres(Section):
    """All tyres."""

    main: TyreSet = Field(description="Tyres of the main gear.")
    nose: TyreSet = Field(description="Tyres of the nose gear.")


class Brakes(Section):
    """Wheel brakes and what holds them back."""

    count: Annotated[int, Field(ge=1, le=32)] = Field(description="Number of braked wheels.")
    maximum_torque: Annotated[float, Quantity(TORQUE, 100.0, 200_000.0)] = Field(
        description="Greatest torque of one brake."
    )
    rolling_radius: Annotated[float, Quantity(SMALL_LENGTH, 0.1, 1.5)] = Field(
        description="Axle to ground of a braked wheel, loaded."
    )
    anti_skid: Literal["fully-modulating", "quasi-modulating", "on-off"] = Field(
        description="Kind of anti-skid system, in the words of 14 CFR 25.109(c)(2)."
    )
    certified_dry_coefficient: Annotated[float, Quantity(NUMBER, 0.1, 0.8)] = Field(
        description="Braking force over load on the braked wheels shown on a dry runway, anti-skid included."
    )
    rolling_resistance: Annotated[float, Quantity(NUMBER, 0.0, 0.1)] = Field(
        description="Rolling resistance over load of unbraked wheels."
    )
    pedal_delay: ShortTime = Field(description="Touchdown to the first pressure on the pedals when braking manually.")
    pedal_ramp: ShortTime = Field(description="Time from no braking to the full demand of the pedals.")
    heat_sink: Literal["carbon", "steel"] = Field(description="Material of the heat sink.")
    heat_sink_mass: Annotated[float, Quantity(MASS, 2.0, 500.0)] = Field(
        description="Mass of the heat sink of one brake."
    )
    temperature_limit: Annotated[float, Quantity(TEMPERATURE, 373.15, 2_500.0)] | None = Field(
        default=None, description="Heat-sink temperature the operator does not want to pass."
    )
    energy_limit: Annotated[float, Quantity(ENERGY, 100_000.0, 500e6)] | None = Field(
        default=None, description="Energy that one brake may take in one stop."
    )


class BrakeCooling(Section):
    """How a brake takes up heat, spreads it and gives it off; and the limits on its temperature."""

    wheel_heat_capacity: Annotated[float, Quantity(HEAT_CAPACITY, 1_000.0, 500_000.0)] = Field(
        description="Heat capacity of one wheel with the bead of its tyre."
    )
    coupling: Annotated[float, Quantity(CONDUCTANCE, 0.0, 2_000.0)] = Field(
        description="Heat flow from heat sink to wheel for each degree between them."
    )
    heat_sink_area: Annotated[float, Quantity(AREA, 0.01, 10.0)] = Field(
        description="Area of the heat sink that gives heat to the air and radiates."
    )
    wheel_area: Annotated[float, Quantity(AREA, 0.01, 10.0)] = Field(
        description="Area of the wheel that gives heat to the air."
    )
    emissivity: WholeShare = Field(description="Emissivity of the heat sink.")
    still_air_coefficient: Annotated[float, Quantity(HEAT_TRANSFER, 0.5, 50.0)] = Field(
        description="Convection in still air; textbooks give 2 to 25 W/m2/K (from memory)."
    )
    forced_air_coefficient: Annotated[float, Quantity(HEAT_TRANSFER, 0.0, 500.0)] = Field(
        description="Convection added by 10 m/s of air speed; it goes with the 0.8th power of speed."
    )
    fan_coefficient: Annotated[float, Quantity(HEAT_TRANSFER, 0.0, 1_000.0)] | None = Field(
        default=None, description="Convection added at the heat sink by a running brake fan, where fans are fitted."
    )
    parked_wind_share: WholeShare = Field(
        default=0.5, description="Share of the wind that reaches the brakes of the parked aeroplane."
    )
    bay_temperature: AirTemperature = Field(
        default=ZERO_CELSIUS + 15.0, description="Temperature in the closed gear bay in flight; its air is still."
    )
    heat_share: WholeShare = Field(default=1.0, description="Share of the work of a brake that heats its heat sink.")
    shares: list[Annotated[float, Quantity(NUMBER, 0.1, 3.0)]] | None = Field(
        default=None, max_length=32, description="Work of each brake relative to the others; by default all equal."
    )
    sensor_lag: Annotated[float, Quantity(TIME, 0.1, 1_800.0)] = Field(
        description="Time constant with which the indication follows."
    )
    sensor_share: WholeShare = Field(
        description="Share of the heat-sink temperature in what the sensor feels; the rest is the wheel's."
    )
    take_off_limit: Annotated[float, Quantity(TEMPERATURE, 323.15, 1_000.0)] = Field(
        description="Indicated temperature above which the take-off is not begun."
    )
    fans_off_limit: Annotated[float, Quantity(TEMPERATURE, 323.15, 1_000.0)] | None = Field(
        default=None, description="Indicated temperature at or below which the fans may be switched off."
    )
    fuse_plug_release: Annotated[float, Quantity(TEMPERATURE, 373.15, 700.0)] = Field(
        description="Wheel temperature at which the fuse plugs of the tyre open."
    )
    fuse_plug_near: Annotated[float, Quantity(TEMPERATURE, 323.15, 700.0)] = Field(
        description="Wheel temperature from which the fuse plugs count as near to opening."
    )
    reject_energy_limit: Annotated[float, Quantity(ENERGY, 100_000.0, 1_000e6)] = Field(
        description="Energy demonstrated in one rejected take-off, one brake."
    )
    demonstrated_from: Annotated[float, Quantity(TEMPERATURE, 250.0, 700.0)] = Field(
        default=ZERO_CELSIUS + 20.0, description="Heat-sink temperature from which that energy was demonstrated."
    )
    high_energy_share: WholeShare = Field(
        default=0.8, description="Share of brakes.energy_limit from which a stop counts as one of high energy."
    )

    @model_validator(mode="after")
    def _in_order(self) -> BrakeCooling:
        if self.fuse_plug_near >= self.fuse_plug_release:
            raise ValueError("fuse_plug_near must be below fuse_plug_release.")
        return self


class BrakeWear(Section):
    """Wear of one brake relative to a reference stop; see the page on brake heat for the formula."""

    reference_energy: Annotated[float, Quantity(ENERGY, 10_000.0, 500e6)] = Field(
        description="Energy of one brake in the reference stop."
    )
    reference_temperature: Annotated[float, Quantity(TEMPERATURE, 250.0, 2_000.0)] = Field(
        description="Peak heat-sink temperature in the reference stop."
    )
    energy_share: WholeShare = Field(
        description="Share of the wear of the reference stop that goes with energy; the rest with each application."
    )
    hot_above: Annotated[float, Quantity(TEMPERATURE, 250.0, 2_000.0)] = Field(
        description="Peak heat-sink temperature above which wear rises."
    )
    hot_rise: Annotated[float, Quantity(SHARE, 0.0, 5.0)] = Field(
        description="Rise of wear for each 100 K above hot_above."
    )
    uncertainty: Annotated[float, Quantity(SHARE, 0.0, 1.0)] = Field(
        description="Wear may be this share more or less than computed."
    )
    applications: Annotated[int, Field(ge=1, le=50)] = Field(
        default=1, description="Applications of the brakes counted for one landing roll."
    )


class Prices(Section):
    """The user's own prices, all in one currency."""

    currency: Annotated[str, Field(min_length=1, max_length=12)] = Field(description="Name of the currency.")
    brake: Annotated[float, Quantity(NUMBER, 0.0, 1e9)] | None = Field(
        default=None, description="Cost of renewing the heat sink of one brake."
    )
    brake_life: Annotated[float, Quantity(NUMBER, 1.0, 1e6)] | None = Field(
        default=None, description="Reference stops that one heat sink lasts."
    )
    tyre: Annotated[float, Quantity(NUMBER, 0.0, 1e9)] | None = Field(
        default=None, description="Cost of renewing one main tyre."
    )
    tyre_life: Annotated[float, Quantity(NUMBER, 1.0, 1e6)] | None = Field(
        default=None, description="Landings that one main tyre lasts when each brake takes the reference energy."
    )
    tyre_energy_share: WholeShare = Field(
        default=0.5, description="Share of tyre wear that goes with the energy of the brake; the rest with touchdown."
    )
    fuel: Annotated[float, Quantity(NUMBER, 0.0, 1e6)] | None = Field(default=None, description="Price of 1 kg fuel.")
    runway_minute: Annotated[float, Quantity(NUMBER, 0.0, 1e9)] | None = Field(
        default=None, description="Price of one minute from the threshold to the stop."
    )

    @model_validator(mode="after")
    def _pairs(self) -> Prices:
        if (self.brake is None) != (self.brake_life is None):
            raise ValueError("give both brake and brake_life, or neither.")
        if (self.tyre is None) != (self.tyre_life is None):
            raise ValueError("give both tyre and tyre_life, or neither.")
        return self


class RejectMode(Section):
    """Automatic brakes in a rejected take-off."""

    minimum_ground_speed: Annotated[float, Quantity(SPEED, 0.0, 150.0 * KNOT)] = Field(
        description="Ground speed below which closing the thrust brings no automatic braking."
    )


class AutomaticBrakes(Section):
    """Automatic brakes: they hold a total deceleration."""

    spin_up: ShortTime = Field(description="Touchdown until the main wheels turn fast enough to arm the system.")
    delay: ShortTime = Field(description="From spin-up to the first brake pressure.")
    ramp_rate: Annotated[float, Quantity(JERK, 0.1, 50.0)] = Field(
        description="Greatest rate at which the demanded deceleration rises."
    )
    release_time: ShortTime = Field(description="Time from full to no demand after release.")
    settings: dict[Name, Annotated[float, Quantity(DECELERATION, 0.1, 10.0)]] = Field(
        min_length=1,
        max_length=10,
        description="The operator's names of the landing settings and the deceleration each holds, in the order shown.",
    )
    reject: RejectMode | None = Field(default=None, description="The rejected take-off mode, where there is one.")


class Movement(Section):
    """A movement after touchdown: when it starts and how long it takes."""

    start: ShortTime = Field(description="Touchdown to the start of the movement.")
    ramp: ShortTime = Field(description="Duration of the movement.")


class ThrustTable(Section):
    """Thrust of one engine at ISA sea level over true airspeed; linear between the nodes."""

    airspeed: list[Annotated[float, Quantity(SPEED, 0.0, 300.0 * KNOT)]] = Field(
        min_length=2, max_length=50, description="True airspeed of the nodes, rising, from 0."
    )
    idle: ThrustList = Field(max_length=50, description="Forward idle thrust.")
    reverse_idle: ThrustList | None = Field(
        default=None, max_length=50, description="Retarding thrust, reversers deployed at idle; positive slows down."
    )
    reverse_full: ThrustList | None = Field(
        default=None, max_length=50, description="Retarding thrust at the highest reverse used; positive slows down."
    )
    take_off: ThrustList | None = Field(default=None, max_length=50, description="Take-off thrust.")

    @model_validator(mode="after")
    def _one_value_a_node(self) -> ThrustTable:
        nodes = self.airspeed
        if nodes[0] != 0.0 or any(second <= first for first, second in pairwise(nodes)):
            raise ValueError("airspeed must start at 0 and rise from node to node.")
        for key in ("idle", "reverse_idle", "reverse_full", "take_off"):
            values = getattr(self, key)
            if values is not None and len(values) != len(nodes):
                raise ValueError(f"{key} has {len(values)} values, but airspeed has {len(nodes)}.")
        if (self.reverse_idle is None) != (self.reverse_full is None):
            raise ValueError("give both reverse_idle and reverse_full, or neither.")
        return self


class FuelFlow(Section):
    """Fuel flow of one engine on the ground."""

    idle: Annotated[float, Quantity(MASS_FLOW, 0.0, 5.0)] = Field(description="At forward idle.")
    reverse_idle: Annotated[float, Quantity(MASS_FLOW, 0.0, 5.0)] | None = Field(
        default=None, description="At idle with reversers deployed."
    )
    reverse_full: Annotated[float, Quantity(MASS_FLOW, 0.0, 10.0)] | None = Field(
        default=None, description="At the highest reverse used."
    )


class Engines(Section):
    """Engines, all alike."""

    count: Annotated[int, Field(ge=1, le=8)] = Field(description="Number of engines.")
    thrust: ThrustTable = Field(description="Thrust of one engine.")
    fuel_flow: FuelFlow = Field(description="Fuel flow of one engine.")


class Reverse(Section):
    """Sequence of reverse thrust."""

    selected: ShortTime = Field(description="Touchdown to the selection of reverse.")
    deploy: ShortTime = Field(description="Selection to reversers deployed, at idle.")
    spool: ShortTime = Field(description="From idle reverse to full reverse thrust.")
    cut_back_speed: AnySpeed = Field(
        description="Calibrated airspeed at which full reverse is reduced to idle reverse."
    )
    cut_back_ramp: ShortTime = Field(description="From full reverse to idle reverse.")
    stow_speed: AnySpeed = Field(description="Calibrated airspeed at which the reversers are stowed.")
    stow_ramp: ShortTime = Field(description="From idle reverse to forward idle.")

    @model_validator(mode="after")
    def _cut_back_before_stow(self) -> Reverse:
        if self.stow_speed > self.cut_back_speed:
            raise ValueError("stow_speed must not be above cut_back_speed.")
        return self


class AircraftLimits(Section):
    """Limits of the operator or of the flight manual."""

    maximum_tailwind: Annotated[float, Quantity(SPEED, 0.0, 40.0 * KNOT)] = Field(description="Greatest tailwind.")
    maximum_crosswind: Annotated[float, Quantity(SPEED, 0.0, 80.0 * KNOT)] = Field(
        description="Greatest crosswind, gusts included."
    )
    maximum_pressure_altitude: Annotated[float, Quantity(LENGTH, 0.0, 20_000.0 * FOOT)] = Field(
        description="Greatest pressure altitude of the aerodrome."
    )
    minimum_temperature: AirTemperature = Field(description="Least outside air temperature.")
    maximum_temperature: AirTemperature = Field(description="Greatest outside air temperature.")
    maximum_touchdown_speed: Annotated[float, Quantity(SPEED, 80.0 * KNOT, 260.0 * KNOT)] | None = Field(
        default=None, description="Greatest ground speed at touchdown (tyre speed rating)."
    )


class TakeOffFlap(Section):
    """One take-off flap setting: speeds, lift and drag on the ground, drag in the air."""

    rotation_speed: Annotated[float, Quantity(SPEED, 40.0 * KNOT, 220.0 * KNOT)] = Field(
        description="Calibrated speed of rotation (V_R) at reference_mass; it scales with the square root of mass."
    )
    safety_speed: Annotated[float, Quantity(SPEED, 40.0 * KNOT, 230.0 * KNOT)] = Field(
        description="Calibrated take-off safety speed (V_2) at reference_mass; it scales with the square root of mass."
    )
    reference_mass: AnyMass = Field(description="Mass of both speeds.")
    lift_coefficient_stowed: Annotated[float, Quantity(NUMBER, -1.0, 3.0)] = Field(
        description="Lift coefficient with all wheels on the ground, spoilers stowed."
    )
    lift_coefficient_deployed: Annotated[float, Quantity(NUMBER, -1.0, 3.0)] = Field(
        description="Lift coefficient with all wheels on the ground, spoilers deployed."
    )
    drag_coefficient_stowed: Annotated[float, Quantity(NUMBER, 0.0, 1.0)] = Field(
        description="Drag coefficient with all wheels on the ground, spoilers stowed."
    )
    drag_coefficient_deployed: Annotated[float, Quantity(NUMBER, 0.0, 1.0)] = Field(
        description="Drag coefficient with all wheels on the ground, spoilers deployed."
    )
    airborne_drag_coefficient: Annotated[float, Quantity(NUMBER, 0.0, 1.0)] = Field(
        description="Drag coefficient in the air without lift, gear down, all engines running."
    )
    induced_drag_factor: Annotated[float, Quantity(NUMBER, 0.0, 0.5)] = Field(
        description="Drag coefficient in the air added for each square of the lift coefficient, near the ground."
    )

    @model_validator(mode="after")
    def _safety_not_below_rotation(self) -> TakeOffFlap:
        if self.safety_speed < self.rotation_speed:
            raise ValueError("safety_speed must not be below rotation_speed.")
        return self


class TakeOffThrust(Section):
    """How engines.thrust.take_off, given at sea level, changes with temperature and pressure."""

    flat_rating_temperature: AirTemperature = Field(
        default=ZERO_CELSIUS + 30.0,
        description="At sea level, the temperature up to which thrust does not depend on temperature; it falls with "
        "altitude as the standard atmosphere does.",
    )
    fall_per_kelvin: Annotated[float, Quantity(SHARE, 0.0, 0.05)] = Field(
        default=0.008, description="Share of the thrust lost for each kelvin above the flat rating temperature."
    )
    pressure_exponent: Annotated[float, Quantity(NUMBER, 0.0, 1.5)] = Field(
        default=1.0, description="Thrust goes with the pressure ratio to this power; 0 for no effect."
    )
    rise_time: ShortTime = Field(default=4.0, description="From idle to take-off thrust, where the start is rolling.")


class EngineFailure(Section):
    """What the failure of one engine does during the take-off."""

    decay_time: ShortTime = Field(default=1.5, description="From take-off thrust of the failed engine to none, linear.")
    windmilling_drag_coefficient: Annotated[float, Quantity(NUMBER, 0.0, 0.1)] = Field(
        default=0.003, description="Added to the drag coefficient by the failed engine, from the failure on."
    )
    yaw_drag_coefficient: Annotated[float, Quantity(NUMBER, 0.0, 0.1)] = Field(
        default=0.005,
        description="Added to the drag coefficient by rudder and sideslip while the other engines give take-off "
        "thrust; not counted once they are closed.",
    )


class RejectActions(Section):
    """Actions of a rejected take-off, each counted from the first one."""

    brakes: ShortTime = Field(default=0.0, description="First action to the first pressure on the pedals.")
    brakes_ramp: ShortTime = Field(default=0.5, description="From no braking to full pedal.")
    thrust: ShortTime = Field(default=0.5, description="First action to thrust levers closed.")
    thrust_ramp: ShortTime = Field(default=2.0, description="From take-off thrust to idle.")
    spoilers: ShortTime = Field(default=1.0, description="First action to the start of the spoilers.")
    spoilers_ramp: ShortTime = Field(default=1.0, description="Duration of the movement of the spoilers.")
    reverse: ShortTime = Field(default=2.0, description="First action to the selection of reverse, where it is used.")

    @model_validator(mode="after")
    def _reverse_after_closing(self) -> RejectActions:
        if self.reverse < self.thrust:
            raise ValueError("reverse cannot be selected before the thrust levers are closed (thrust).")
        return self


class Reject(Section):
    """The rejected take-off: who does what, when."""

    recognition: ShortTime = Field(
        default=1.0,
        description="Engine failure to the first action, as demonstrated; not less than 1 s where the rule is applied.",
    )
    further_actions: Annotated[int, Field(ge=0, le=10)] = Field(
        default=0, description="Actions beyond the third; the rule adds 1 s for each."
    )
    further_commands: Annotated[int, Field(ge=0, le=10)] = Field(
        default=0, description="Actions beyond the third that need a command to another person; 2 s for each."
    )
    demonstrated: RejectActions = Field(
        default_factory=RejectActions, description="Times behind the distances by the rule."
    )
    as_flown: RejectActions | None = Field(
        default=None, description="Times of a crew in service; by default the demonstrated ones."
    )
    automatic_delay: ShortTime = Field(
        default=0.3, description="Thrust levers closed to the first automatic brake pressure."
    )
    automatic_ramp: ShortTime = Field(default=0.7, description="From no braking to full automatic braking.")
    unexpected_delay: ShortTime = Field(
        default=2.0,
        description="Thrust levers closed to the first pressure on the pedals, where the crew expected automatic "
        "braking and none came.",
    )


class TakeOff(Section):
    """Take-off data; only `groundroll reject` needs them."""

    flaps: dict[Name, TakeOffFlap] = Field(
        min_length=1, max_length=20, description="Take-off flap settings under the operator's own names."
    )
    minimum_control_speed: Annotated[float, Quantity(SPEED, 0.0, 200.0 * KNOT)] = Field(
        description="Calibrated minimum control speed on the ground (V_MCG); no engine failure is planned below it."
    )
    rotation_time: ShortTime = Field(default=2.5, description="Rotation speed to lift-off.")
    load_factor: Annotated[float, Quantity(NUMBER, 1.01, 2.0)] = Field(
        default=1.19, description="Load factor of the pull-up after lift-off."
    )
    thrust: TakeOffThrust = Field(default_factory=TakeOffThrust, description="Effect of temperature and pressure.")
    ratings: dict[Name, Annotated[float, Quantity(SHARE, 0.3, 1.0)]] = Field(
        default_factory=lambda: {"full": 1.0},
        min_length=1,
        max_length=10,
        description="The operator's names of the take-off ratings and the share of take-off thrust each gives, the "
        "highest first.",
    )
    engine_failure: EngineFailure = Field(default_factory=EngineFailure, description="Failure of one engine.")
    reject: Reject = Field(default_factory=Reject, description="The rejected take-off.")


class FittedStops(Section):
    """For which rejected take-offs a table speaks."""

    rows: Annotated[int, Field(ge=1)] = Field(description="Accelerate-stop rows of the table.")
    masses: Annotated[list[AnyMass], Field(min_length=2, max_length=2)] = Field(description="Least and greatest mass.")
    pressure_altitudes: Annotated[list[Elevation], Field(min_length=2, max_length=2)] = Field(
        description="Least and greatest pressure altitude."
    )
    temperatures: Annotated[list[AirTemperature], Field(min_length=2, max_length=2)] = Field(
        description="Least and greatest outside air temperature."
    )
    headwinds: Annotated[list[Annotated[float, Quantity(SPEED, -40.0, 40.0)]], Field(min_length=2, max_length=2)] = (
        Field(description="Least and greatest headwind as counted; a tailwind is negative.")
    )
    slopes: Annotated[list[Slope], Field(min_length=2, max_length=2)] = Field(description="Least and greatest slope.")
    decision_speeds: Annotated[list[AnySpeed], Field(min_length=2, max_length=2)] = Field(
        description="Least and greatest decision speed, calibrated."
    )
    codes: list[Annotated[int, Field(ge=1, le=6)]] = Field(min_length=1, description="Runway condition codes.")
    flaps: list[Name] = Field(min_length=1, description="Take-off flaps.")


class Fitted(Section):
    """How an aircraft file was fitted to a table, and for what the table speaks.

    Ranges are those of the landing rows; of all rows, where there are no landing rows.
    """

    table: Name = Field(description="Name of the table file.")
    digest: Annotated[str, Field(max_length=64)] = Field(description="SHA-256 of the table file.")
    start: Name = Field(description="Aeroplane that the fit began with.")
    rows: Annotated[int, Field(ge=1)] = Field(description="Rows of the table.")
    within: Annotated[float, Quantity(LENGTH, 0.0, 5_000.0)] = Field(
        description="95 % of unfactored distances of further rows are expected within this, either way."
    )
    fitted: list[str] = Field(description="Keys that the table determines.")
    left: list[str] = Field(description="Keys that it does not determine, left as in the starting file.")
    outside: Literal["warn", "refuse"] = Field(
        default="warn", description="What a plan does outside the conditions of the table."
    )
    masses: Annotated[list[AnyMass], Field(min_length=2, max_length=2)] = Field(description="Least and greatest mass.")
    pressure_altitudes: Annotated[list[Elevation], Field(min_length=2, max_length=2)] = Field(
        description="Least and greatest pressure altitude."
    )
    temperatures: Annotated[list[AirTemperature], Field(min_length=2, max_length=2)] = Field(
        description="Least and greatest outside air temperature."
    )
    headwinds: Annotated[list[Annotated[float, Quantity(SPEED, -40.0, 40.0)]], Field(min_length=2, max_length=2)] = (
        Field(description="Least and greatest headwind as counted; a tailwind is negative.")
    )
    codes: list[Annotated[int, Field(ge=1, le=6)]] = Field(min_length=1, description="Runway condition codes.")
    flaps: list[Name] = Field(min_length=1, description="Landing flaps.")
    slopes: Annotated[list[Slope], Field(min_length=2, max_length=2)] | None = Field(
        default=None, description="Least and greatest slope, where the file says it."
    )
    brakes: list[Name] | None = Field(
        default=None, description="Brake settings of the table, manual included, where the file says it."
    )
    reverses: list[Literal["none", "idle", "full"]] | None = Field(
        default=None, description="Uses of reverse in the table, where the file says it."
    )
    landing_rows: Annotated[int, Field(ge=0)] | None = Field(
        default=None, description="Landing rows of the table; by default all rows are."
    )
    stops: FittedStops | None = Field(default=None, description="The same for accelerate-stop rows, where it had any.")


class FittedRecordings(Section):
    """How an aircraft file was fitted to recorded landings, and for which landings they speak."""

    folder: Name = Field(description="Name of the folder.")
    digest: Annotated[str, Field(max_length=64)] = Field(description="SHA-256 over those of the recordings that count.")
    start: Name = Field(description="Aeroplane that the fit began with.")
    landings: Annotated[int, Field(ge=1)] = Field(description="Landings behind it.")
    fitted: list[str] = Field(description="Keys that the recordings determine.")
    left: list[str] = Field(description="Keys that they do not determine, left as in the starting file.")
    outside: Literal["warn", "refuse"] = Field(
        default="warn", description="What a plan does outside the landings that were recorded."
    )
    masses: Annotated[list[AnyMass], Field(min_length=2, max_length=2)] = Field(description="Least and greatest mass.")
    touchdown_speeds: Annotated[list[AnySpeed], Field(min_length=2, max_length=2)] = Field(
        description="Least and greatest ground speed at touchdown."
    )
    codes: list[Annotated[int, Field(ge=1, le=6)]] = Field(min_length=1, description="Runway condition codes.")
    flaps: list[Name] = Field(min_length=1, description="Landing flaps.")
    brakes: list[Name] = Field(description="Brake settings that were seen, manual included.")
    reverses: list[Literal["none", "idle", "full"]] = Field(min_length=1, description="Uses of reverse.")


class Aircraft(Section):
    """One aeroplane type as one operator flies it."""

    format: Literal[1] = Field(description="Format of this file.")
    name: Name = Field(description="Name shown on every output.")
    invented: bool = Field(description="True for a demonstration aeroplane whose numbers are made up.")
    source: Annotated[str, Field(min_length=1, max_length=2_000)] = Field(description="Where the numbers come from.")
    braking_table: Annotated[str, Field(min_length=1, max_length=1_000)] | None = Field(
        default=None, description="File that replaces the braking coefficients, relative to this file."
    )
    mass: MassLimits = Field(description="Masses.")
    geometry: Geometry = Field(description="Geometry.")
    flaps: dict[Name, Flap] = Field(
        min_length=1, max_length=20, description="Landing flap settings under the operator's own names."
    )
    tyres: Tyres = Field(description="Tyres.")
    brakes: Brakes = Field(description="Wheel brakes.")
    brake_cooling: BrakeCooling | None = Field(
        default=None, description="Brake heat over time; needed for cooling times and for a day of sectors."
    )
    brake_wear: BrakeWear | None = Field(default=None, description="Brake wear, where wanted.")
    prices: Prices | None = Field(default=None, description="Prices, where costs are wanted.")
    automatic_brakes: AutomaticBrakes | None = Field(default=None, description="Automatic brakes, where fitted.")
    spoilers: Movement = Field(description="Ground spoilers.")
    nose_lowering: Movement = Field(description="Lowering of the nose.")
    engines: Engines = Field(description="Engines.")
    reverse: Reverse | None = Field(default=None, description="Reverse thrust, where fitted.")
    limits: AircraftLimits = Field(description="Limits.")
    take_off: TakeOff | None = Field(default=None, description="Take-off data, where the file has them.")
    uncertainty: Uncertainty | None = Field(default=None, description="Spread of inputs, where it is known.")
    air_time: Annotated[float, Quantity(TIME, 2.0, 20.0)] | None = Field(
        default=None, description="Threshold to touchdown; by default the 7 s of AC 25-32 (from memory)."
    )
    fit: Fitted | None = Field(default=None, description="How the file was fitted to a table, where it was.")
    fit_recordings: FittedRecordings | None = Field(
        default=None, description="How the file was fitted to recorded landings, where it was."
    )
    sources: dict[str, Annotated[str, Field(max_length=2_000)]] = Field(
        default_factory=dict, description="Source of a key or a section, in words."
    )

    @model_validator(mode="after")
    def _consistent(self) -> Aircraft:
        if self.brakes.count > self.tyres.main.count:
            raise ValueError(
                f"brakes.count {self.brakes.count} is more than tyres.main.count {self.tyres.main.count}: "
                "only main wheels are braked."
            )
        cooling = self.brake_cooling
        if cooling is not None and cooling.shares is not None and len(cooling.shares) != self.brakes.count:
            raise ValueError(
                f"brake_cooling.shares has {len(cooling.shares)} values, but brakes.count is {self.brakes.count}."
            )
        if self.prices is not None and self.brake_wear is None and (self.prices.brake or self.prices.tyre) is not None:
            raise ValueError("prices.brake and prices.tyre need the section [brake_wear].")
        thrust = self.engines.thrust
        if self.reverse is not None and thrust.reverse_full is None:
            raise ValueError("[reverse] needs engines.thrust.reverse_idle and engines.thrust.reverse_full.")
        if self.reverse is None and thrust.reverse_full is not None:
            raise ValueError("engines.thrust has reverse values, but the section [reverse] is missing.")
        if self.reverse is not None and self.engines.fuel_flow.reverse_full is None:
            raise ValueError("[reverse] needs engines.fuel_flow.reverse_full.")
        if self.reverse is not None and self.engines.fuel_flow.reverse_idle is None:
            raise ValueError("[reverse] needs engines.fuel_flow.reverse_idle.")
        if self.take_off is not None and thrust.take_off is None:
            raise ValueError("[take_off] needs engines.thrust.take_off.")
        if self.limits.minimum_temperature >= self.limits.maximum_temperature:
            raise ValueError("limits.minimum_temperature must be below limits.maximum_temperature.")
        return self


# ------------------------------------------------------------------------------------------------------------ runway


class Exit(Section):
    """A taxiway by which the runway can be left."""

    name: Name = Field(description="Name of the taxiway.")
    distance: Annotated[float, Quantity(LENGTH, 0.0, 7_000.0)] = Field(
        description="Landing threshold to the start of the turn."
    )
    angle: Annotated[float, Quantity(ANGLE, 0.0872, 2.97)] = Field(
        description="Change of direction from the landing direction; 90 deg is a right angle."
    )
    radius: Annotated[float, Quantity(LENGTH, 5.0, 2_000.0)] | None = Field(
        default=None, description="Radius of the turn-off curve."
    )
    allowed_speed: Annotated[float, Quantity(SPEED, 1.0, 45.0)] | None = Field(
        default=None, description="Greatest ground speed at which the crew is ready to turn off here."
    )
    side: Literal["left", "right"] | None = Field(default=None, description="Side, in landing direction.")
    holding_distance: Annotated[float, Quantity(LENGTH, 20.0, 500.0)] | None = Field(
        default=None, description="Runway centre line to the holding position of this exit, across the runway."
    )
    taxi_distance: Annotated[float, Quantity(LENGTH, 0.0, 20_000.0)] | None = Field(
        default=None, description="From this exit to the stand, where exits are to be compared by it."
    )
    rapid: bool | None = Field(default=None, description="True where laid out as a rapid exit; left out: not said.")
    derived: bool = Field(
        default=False, description="True where distance and angle were worked out from a map, not published."
    )


class RunwayDirection(Section):
    """One landing direction of the runway."""

    true_bearing: Degrees = Field(description="Direction of landing against true north.")
    threshold_elevation: Elevation = Field(description="Elevation of the landing threshold.")
    slope: Slope | None = Field(
        default=None,
        description="Mean gradient, upslope in landing direction positive; by default from both elevations.",
    )
    displaced_threshold: Annotated[float, Quantity(LENGTH, 0.0, 3_000.0)] = Field(
        default=0.0, description="Distance of the landing threshold from the start of the runway."
    )
    landing_distance_available: Annotated[float, Quantity(LENGTH, 300.0, 7_000.0)] = Field(
        description="Declared landing distance from the landing threshold."
    )
    distance_signs: bool = Field(
        default=False, description="True where signs beside the runway show the distance remaining."
    )
    take_off_run_available: Annotated[float, Quantity(LENGTH, 300.0, 7_000.0)] | None = Field(
        default=None, description="Declared take-off run (TORA); by default the paved length."
    )
    stopway: Annotated[float, Quantity(LENGTH, 0.0, 1_500.0)] = Field(
        default=0.0, description="Stopway beyond the take-off run."
    )
    clearway: Annotated[float, Quantity(LENGTH, 0.0, 3_500.0)] = Field(
        default=0.0, description="Clearway beyond the take-off run."
    )
    accelerate_stop_distance_available: Annotated[float, Quantity(LENGTH, 300.0, 9_000.0)] | None = Field(
        default=None, description="Declared accelerate-stop distance (ASDA); by default take-off run plus stopway."
    )
    take_off_distance_available: Annotated[float, Quantity(LENGTH, 300.0, 11_000.0)] | None = Field(
        default=None, description="Declared take-off distance (TODA); by default take-off run plus clearway."
    )
    exits: tuple[Exit, ...] = Field(default=(), max_length=60, strict=False, description="Exits.")


class Runway(Section):
    """One strip of one aerodrome, both directions."""

    format: Literal[1] = Field(description="Format of this file.")
    aerodrome: Annotated[str, Field(pattern=r"^[A-Z]{4}$")] = Field(description="Location indicator, four letters.")
    name: Name | None = Field(default=None, description="Name of the aerodrome.")
    length: Annotated[float, Quantity(LENGTH, 400.0, 7_000.0)] = Field(description="Paved length, end to end.")
    width: Annotated[float, Quantity(LENGTH, 10.0, 120.0)] = Field(description="Paved width.")
    surface: Literal["smooth", "grooved", "porous-friction-course"] = Field(
        description="Kind of surface, in the words of 14 CFR 25.109."
    )
    magnetic_variation: Annotated[float, Quantity(ANGLE, -3.1416, 3.1416)] = Field(
        description="Magnetic variation, east positive: true direction = magnetic direction + variation."
    )
    directions: dict[Designator, RunwayDirection] = Field(description="The two landing directions.")


# -------------------------------------------------------------------------------------------------------------- case


class Weather(Section):
    """Weather: a report, explicit values, or both (explicit values override)."""

    report: Annotated[str, Field(min_length=1, max_length=20_000)] | None = Field(
        default=None, description="Text of a METAR or SPECI."
    )
    wind: Annotated[Wind, WIND_TEXT] | None = Field(
        default=None, description='Wind: "240/14G25 kt", "VRB/03 kt", "calm".'
    )
    wind_reference: Literal["true", "magnetic"] = Field(
        default="true", description="North to which the explicit wind refers; wind from a tower is usually magnetic."
    )
    temperature: AirTemperature | None = Field(default=None, description="Outside air temperature.")
    qnh: Annotated[float, Quantity(PRESSURE, 85_000.0, 110_000.0)] | None = Field(
        default=None, description="Altimeter setting QNH."
    )
    wind_factors: Literal["regulatory", "none"] = Field(
        default="regulatory", description="regulatory counts 50 % of headwind and 150 % of tailwind."
    )


class Condition(Section):
    """Runway condition: a report, or values per third in landing direction."""

    report: Annotated[str, Field(min_length=1, max_length=20_000)] | None = Field(
        default=None, description="Text of a runway condition report, or the words heard from the tower."
    )
    codes: list[Annotated[int, Field(ge=0, le=6)]] | None = Field(
        default=None, min_length=3, max_length=3, description="Runway condition codes, in landing direction."
    )
    descriptors: list[str] | None = Field(
        default=None, min_length=3, max_length=3, description="Condition words, in landing direction."
    )
    depths: list[Annotated[float, Quantity(SMALL_LENGTH, 0.0, 1.0)]] | None = Field(
        default=None, min_length=3, max_length=3, description="Depths of loose contaminant, in landing direction."
    )
    coverage: list[WholeShare] | None = Field(
        default=None, min_length=3, max_length=3, description="Covered shares, in landing direction."
    )

    @model_validator(mode="after")
    def _report_or_codes(self) -> Condition:
        if (self.report is None) == (self.codes is None):
            raise ValueError('give either report = "..." or codes = [5, 5, 5].')
        if self.report is not None and any(one is not None for one in (self.descriptors, self.depths, self.coverage)):
            raise ValueError("descriptors, depths and coverage go with codes, not with report.")
        return self


class Landing(Section):
    """How the crew intends to land."""

    mass: AnyMass = Field(description="Landing mass.")
    flap: Name = Field(description="Landing flap, as named in the aircraft file.")
    approach_speed: Annotated[float, Quantity(SPEED, 60.0 * KNOT, 230.0 * KNOT)] | None = Field(
        default=None, description="Calibrated speed at the threshold; by default reference speed plus speed_additive."
    )
    speed_additive: Annotated[float, Quantity(SPEED, 0.0, 30.0 * KNOT)] = Field(
        default=5.0 * KNOT, description="Added to the reference speed where approach_speed is not given."
    )
    touchdown_distance: Annotated[float, Quantity(LENGTH, 0.0, 2_500.0)] | None = Field(
        default=None, description="Threshold to touchdown; by default from the time of the air segment."
    )
    touchdown_speed_loss: Annotated[float, Quantity(SHARE, 0.0, 0.15)] | None = Field(
        default=None, description="Share of the threshold ground speed lost until touchdown."
    )
    pedal: Annotated[float, Quantity(SHARE, 0.05, 1.0)] = Field(
        default=1.0, description="Share of full pedal used when braking manually."
    )
    margin: Annotated[float, Quantity(SHARE, 0.0, 1.0)] = Field(
        default=0.15, description="Safety margin on the distance at the time of arrival."
    )
    dry_share: Annotated[float, Quantity(SHARE, 0.5, 1.0)] = Field(
        default=0.90, description="Share of the certified dry braking coefficient used with code 6."
    )
    initial_brake_temperature: Annotated[float, Quantity(TEMPERATURE, 200.0, 1_200.0)] | None = Field(
        default=None, description="Brake temperature before landing; by default the outside air temperature."
    )


class Failures(Section):
    """What does not work, and what else is assumed to go wrong."""

    reversers_inoperative: Annotated[int, Field(ge=0, le=8)] = Field(
        default=0, description="Number of reversers that are not used."
    )
    brakes_released: Annotated[int, Field(ge=0, le=32)] = Field(
        default=0, description="Number of braked wheels whose brake is deactivated."
    )
    anti_skid_inoperative: bool = Field(default=False, description="Anti-skid does not work.")
    spoilers_share: WholeShare = Field(default=1.0, description="Share of the spoiler effect that is left.")
    automatic_brakes_inoperative: bool = Field(default=False, description="Automatic brakes do not work.")
    threshold_speed_excess: Annotated[float, Quantity(SPEED, 0.0, 40.0 * KNOT)] = Field(
        default=0.0, description="Speed above the approach speed at the threshold."
    )
    additional_tailwind: Annotated[float, Quantity(SPEED, 0.0, 40.0 * KNOT)] = Field(
        default=0.0, description="Tailwind added to the wind of the weather, before its factor."
    )
    friction_share: Annotated[float, Quantity(SHARE, 0.2, 1.0)] = Field(
        default=1.0, description="Braking coefficient over that of the reported codes, along the whole runway."
    )


class Dispatch(Section):
    """Check before departure, from certified distances of the flight manual."""

    kind: Literal["turbojet", "turboprop"] = Field(description="Kind of aeroplane in the sense of the landing factors.")
    certified_dry_distance: Annotated[float, Quantity(LENGTH, 300.0, 6_000.0)] = Field(
        description="Dry landing distance of the flight manual, unfactored, for the conditions of this case."
    )
    certified_wet_distance: Annotated[float, Quantity(LENGTH, 300.0, 6_000.0)] | None = Field(
        default=None, description="Wet landing distance of the flight manual, unfactored, where there is one."
    )
    aerodrome_use: Literal["destination", "alternate"] = Field(
        default="destination", description="For what the aerodrome is planned."
    )


Aim = Literal[
    "brake energy",
    "brake temperature",
    "brake wear",
    "runway time",
    "margin",
    "taxi distance",
    "reverse fuel",
    "smoothness",
]


class Choice(Section):
    """What the user wants of the plan: an exit, the order of aims, and what must not happen."""

    exit: Name = Field(default="any", description='Name of the exit wanted, or "any".')
    maximum_exit_speed: Annotated[float, Quantity(SPEED, 1.0, 45.0)] | None = Field(
        default=None, description="Greatest speed at any exit that the operator allows."
    )
    aims: tuple[Aim, ...] = Field(
        default=("brake energy", "runway time", "reverse fuel"),
        min_length=1,
        strict=False,
        description="Aims in order of importance; the first decides unless two choices are nearly equal in it.",
    )
    reverse: tuple[Literal["none", "idle", "full"], ...] = Field(
        default=("none", "idle", "full"), min_length=1, strict=False, description="Uses of reverse that are allowed."
    )
    minimum_margin: Annotated[float, Quantity(LENGTH, 0.0, 3_000.0)] = Field(
        default=0.0, description="Least distance that must be left beyond the factored stop."
    )
    maximum_brake_temperature: Annotated[float, Quantity(TEMPERATURE, 300.0, 2_500.0)] | None = Field(
        default=None, description="Greatest temperature of the heat sink that is accepted."
    )
    maximum_deceleration: Annotated[float, Quantity(DECELERATION, 0.5, 10.0)] | None = Field(
        default=None, description="Greatest deceleration that is accepted."
    )


class Display(Section):
    """Units of outputs."""

    speed: Literal["kt", "m/s", "km/h"] = Field(default="kt", description="Unit of speeds.")
    length: Literal["m", "ft"] = Field(default="m", description="Unit of distances.")
    mass: Literal["t", "kg", "lb"] = Field(default="t", description="Unit of masses.")
    temperature: Literal["degC", "degF"] = Field(default="degC", description="Unit of temperatures.")


class CaseFile(Section):
    """One landing to be planned, as written; `groundroll.scenario.resolved.Case` has everything looked up."""

    format: Literal[1] = Field(description="Format of this file.")
    title: Annotated[str, Field(min_length=1, max_length=200)] = Field(description="Title shown on every output.")
    aircraft: Annotated[str, Field(min_length=1, max_length=1_000)] = Field(
        description="Aircraft file, relative to this file."
    )
    runway: Annotated[str, Field(min_length=1, max_length=1_000)] = Field(
        description="Runway file, relative to this file."
    )
    direction: Designator = Field(description="Landing direction, as painted.")
    time: Time | None = Field(default=None, description="Time of landing, UTC.")
    weather: Weather = Field(description="Weather.")
    condition: Condition = Field(description="Runway condition.")
    landing: Landing = Field(description="The landing.")
    failures: Failures = Field(default_factory=Failures, description="Failures and what-ifs.")
    dispatch: Dispatch | None = Field(default=None, description="Dispatch check, where wanted.")
    choice: Choice = Field(default_factory=Choice, description="Exit wanted, aims and hard limits.")
    uncertainty: Uncertainty | None = Field(default=None, description="Spread of inputs, where it is known.")
    display: Display = Field(default_factory=Display, description="Units of outputs.")
