"""From a landing to the roll that the physics takes: which forces, when, and on which surface.

`LandingConditions` holds the landing with every table looked up; `landing_roll` adds one choice of brakes and reverse.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from groundroll.errors import ScenarioError
from groundroll.physics.air_segment import AirSegment, air_distance_by_time, air_segment_to
from groundroll.physics.atmosphere import (
    density,
    density_ratio,
    pressure_at_elevation,
    true_airspeed,
)
from groundroll.physics.braking import (
    AntiSkid,
    BrakingTable,
    SurfaceTreatment,
    curve_for_code,
    read_braking_table,
)
from groundroll.physics.contaminant import (
    contaminant,
    contaminant_table,
    displacement_drag_factor,
    spray_drag_factor,
)
from groundroll.physics.hydroplaning import hydroplaning_speed
from groundroll.physics.rollout import (
    BrakeStage,
    Control,
    Roll,
    RunwayThird,
    ThrustStage,
    ThrustTables,
    Trigger,
)
from groundroll.physics.wind import WindComponents, factored_headwind, wind_extremes
from groundroll.scenario.model import Aircraft
from groundroll.scenario.resolved import Case, SurfaceThird

Reverse: TypeAlias = Literal["none", "idle", "full"]
MANUAL = "manual"
AIR_TIME = 7.0
"""Threshold to touchdown where neither case nor aircraft file says it. [s] AC 25-32, AMC 25.1592 (from memory)."""
REVERSES: tuple[Reverse, ...] = ("none", "idle", "full")


@dataclass(frozen=True)
class LandingConditions:
    """One landing, everything looked up, SI; the runway seen from the landing threshold."""

    mass: float
    flap: str
    approach_speed: float
    """Calibrated, over the threshold, any excess included. [m/s]"""
    pressure: float
    temperature: float
    headwind: float
    """Used for the roll: least headwind over the wind's arc, factored when asked, further tailwind taken off. [m/s]"""
    slope: float
    runway_length: float
    """Length that the thirds divide: the paved length or the reduced one. [m]"""
    displaced_threshold: float
    landing_distance_available: float
    surface: SurfaceTreatment
    thirds: tuple[SurfaceThird, SurfaceThird, SurfaceThird]
    touchdown_distance: float | None = None
    touchdown_speed_loss: float | None = None
    air_time: float = AIR_TIME
    """Threshold to touchdown where no distance is given. [s]"""
    pedal: float = 1.0
    dry_share: float | None = None
    reversers_inoperative: int = 0
    brakes_released: int = 0
    anti_skid_operative: bool = True
    spoilers_share: float = 1.0
    automatic_brakes_operative: bool = True
    friction_share: float = 1.0
    """Braking coefficient over that of the reported codes."""
    table: BrakingTable | None = None


def wind_on_runway(case: Case) -> WindComponents:
    """Return the components of the reported wind, worst case over its whole arc."""
    weather = case.weather
    return wind_extremes(
        weather.wind_direction,
        weather.wind_speed,
        weather.gust_speed,
        weather.arc_from,
        weather.arc_to,
        case.direction_data.true_bearing,
    )


def headwind_used(case: Case) -> float:
    """Return the headwind that the plan uses: least over the arc, less the case's further tailwind, factored if asked.

    A headwind counts by half and a tailwind by half again when ``wind_factors`` is "regulatory" [1]_.

    References
    ----------
    .. [1] 14 CFR 25.105(d), 121.177(b); CAT.POL.A.330(c)(2).
    """
    least = wind_on_runway(case).least_headwind - case.failures.additional_tailwind
    return factored_headwind(least) if case.weather.wind_factors == "regulatory" else least


def conditions_of(case: Case) -> LandingConditions:
    """Return the landing of ``case`` with everything looked up.

    Raises
    ------
    ScenarioError
        If the reduced length of the report ends before the threshold.
    """
    direction = case.direction_data
    reduced = case.condition.reduced_length
    length = case.runway.length if reduced is None else min(reduced, case.runway.length)
    if length <= direction.displaced_threshold:
        raise ScenarioError(
            f"the reduced length of runway {direction.designator}, {length:.0f} m, ends before its threshold, "
            f"displaced by {direction.displaced_threshold:.0f} m: nothing is left to land on. Look at the report, or "
            "at displaced_threshold in the runway file."
        )
    available = min(direction.landing_distance_available, length - direction.displaced_threshold)
    return LandingConditions(
        mass=case.landing.mass,
        flap=case.landing.flap,
        approach_speed=case.landing.approach_speed + case.failures.threshold_speed_excess,
        pressure=pressure_at_elevation(direction.threshold_elevation, case.weather.pressure_setting),
        temperature=case.weather.temperature,
        headwind=headwind_used(case),
        slope=direction.slope,
        runway_length=length,
        displaced_threshold=direction.displaced_threshold,
        landing_distance_available=available,
        surface=case.runway.surface,
        thirds=case.condition.thirds,
        touchdown_distance=case.landing.touchdown_distance,
        touchdown_speed_loss=case.landing.touchdown_speed_loss,
        air_time=case.aircraft.air_time or AIR_TIME,
        pedal=case.landing.pedal,
        dry_share=case.landing.dry_share,
        reversers_inoperative=case.failures.reversers_inoperative,
        brakes_released=case.failures.brakes_released,
        anti_skid_operative=not case.failures.anti_skid_inoperative,
        spoilers_share=case.failures.spoilers_share,
        automatic_brakes_operative=not case.failures.automatic_brakes_inoperative,
        friction_share=case.failures.friction_share,
        table=None if case.braking_table is None else read_braking_table(case.braking_table),
    )


def threshold_ground_speed(conditions: LandingConditions) -> float:
    """Return the ground speed over the threshold. [m/s]"""
    airspeed = true_airspeed(conditions.approach_speed, conditions.pressure, conditions.temperature)
    return airspeed - conditions.headwind


def air_segment_of(conditions: LandingConditions) -> AirSegment:
    """Return the air segment: to the given touchdown point, or by the published time and loss of speed."""
    speed = threshold_ground_speed(conditions)
    loss = 0.04 if conditions.touchdown_speed_loss is None else conditions.touchdown_speed_loss
    if conditions.touchdown_distance is None:
        return air_distance_by_time(speed, conditions.air_time, speed_loss_share=loss)
    return air_segment_to(conditions.touchdown_distance, speed, speed_loss_share=loss)


def reverses_of(aircraft: Aircraft, conditions: LandingConditions) -> tuple[Reverse, ...]:
    """Return the uses of reverse that the aeroplane has today."""
    return REVERSES if working_reversers(aircraft, conditions) > 0 else ("none",)


def working_reversers(aircraft: Aircraft, conditions: LandingConditions) -> int:
    """Return how many reversers work."""
    return 0 if aircraft.reverse is None else max(aircraft.engines.count - conditions.reversers_inoperative, 0)


def brakes_of(aircraft: Aircraft, conditions: LandingConditions) -> tuple[str, ...]:
    """Return the brake settings that can be used today, in the order of the aircraft file, manual braking last."""
    automatic = aircraft.automatic_brakes
    if automatic is None or not conditions.automatic_brakes_operative or not conditions.anti_skid_operative:
        return (MANUAL,)
    return (*automatic.settings, MANUAL)


def runway_third(
    aircraft: Aircraft,
    third: SurfaceThird,
    *,
    surface: SurfaceTreatment,
    dry_share: float | None = None,
    anti_skid_operative: bool = True,
    table: BrakingTable | None = None,
) -> RunwayThird:
    """Return one third of the runway as the wheels of this aeroplane feel it."""
    main, nose = aircraft.tyres.main, aircraft.tyres.nose
    curve = curve_for_code(
        third.code,
        tyre_pressure=main.pressure,
        anti_skid=AntiSkid(aircraft.brakes.anti_skid),
        certified_dry_coefficient=aircraft.brakes.certified_dry_coefficient,
        surface_treatment=surface,
        dry_share=dry_share,
        anti_skid_operative=anti_skid_operative,
        table=table,
    )
    depth = third.depth or 0.0
    kind = None if third.descriptor is None else contaminant(third.descriptor)
    if kind is None or not kind.loose or depth <= contaminant_table().least_counted_depth:
        return RunwayThird(curve)
    gravity = kind.specific_gravity
    length = aircraft.geometry.wetted_fuselage_length
    return RunwayThird(
        curve,
        drag_factor_main=displacement_drag_factor(depth, gravity, main.width, main.deflection, main.count),
        drag_factor_nose=displacement_drag_factor(depth, gravity, nose.width, nose.deflection, nose.count)
        + spray_drag_factor(depth, gravity, nose.width, nose.deflection, nose.count, length),
        hydroplaning_speed=hydroplaning_speed(main.pressure, gravity),
    )


def _third(aircraft: Aircraft, conditions: LandingConditions, third: SurfaceThird) -> RunwayThird:
    felt = runway_third(
        aircraft,
        third,
        surface=conditions.surface,
        dry_share=conditions.dry_share,
        anti_skid_operative=conditions.anti_skid_operative,
        table=conditions.table,
    )
    share = conditions.friction_share
    return felt if share == 1.0 else replace(felt, braking=felt.braking.scaled(share))


def _thrust_tables(aircraft: Aircraft) -> ThrustTables:
    table = aircraft.engines.thrust
    nothing = [0.0] * len(table.airspeed)
    return ThrustTables(
        true_airspeed=table.airspeed,
        idle=table.idle,
        reverse_idle=table.reverse_idle or nothing,
        reverse_full=table.reverse_full or nothing,
        take_off=table.take_off or nothing,
    )


def _thrust_program(aircraft: Aircraft, conditions: LandingConditions, reverse: Reverse) -> Sequence[ThrustStage]:
    engines = aircraft.engines.count
    closed = ThrustStage(Trigger.TIME, 0.0, idle=engines)
    times = aircraft.reverse
    if reverse == "none":
        return (closed,)
    working = working_reversers(aircraft, conditions)
    if times is None or working == 0:
        raise ValueError(f'reverse "{reverse}" was asked for, but no reverser works')
    rest = engines - working

    def ground_speed(calibrated: float) -> float:
        return true_airspeed(calibrated, conditions.pressure, conditions.temperature) - conditions.headwind

    deployed = ThrustStage(Trigger.TIME, times.selected, times.deploy, idle=rest, reverse_idle=working)
    full = ThrustStage(Trigger.TIME_AFTER, times.deploy, times.spool, idle=rest, reverse_full=working)
    cut_back = ThrustStage(
        Trigger.SPEED_BELOW,
        ground_speed(times.cut_back_speed),
        times.cut_back_ramp,
        idle=rest,
        reverse_idle=working,
    )
    stowed = ThrustStage(Trigger.SPEED_BELOW, ground_speed(times.stow_speed), times.stow_ramp, idle=engines)
    return (closed, deployed, stowed) if reverse == "idle" else (closed, deployed, full, cut_back, stowed)


def _brake_program(aircraft: Aircraft, conditions: LandingConditions, brake: str) -> Sequence[BrakeStage]:
    if brake == MANUAL:
        ramp = aircraft.brakes.pedal_ramp
        rate = conditions.pedal / ramp if ramp > 0.0 else math.inf
        return (BrakeStage(Trigger.TIME, aircraft.brakes.pedal_delay, Control.PEDAL, conditions.pedal, rate),)
    automatic = aircraft.automatic_brakes
    if automatic is None or brake not in automatic.settings:
        raise ValueError(f'brake setting "{brake}" is not one of {", ".join(brakes_of(aircraft, conditions))}')
    onset = automatic.spin_up + automatic.delay
    target = automatic.settings[brake]
    return (BrakeStage(Trigger.TIME, onset, Control.AUTOMATIC, target, automatic.ramp_rate),)


def landing_roll(aircraft: Aircraft, conditions: LandingConditions, brake: str, reverse: Reverse) -> Roll:
    """Return the roll of one landing with one choice of brakes and reverse.

    Parameters
    ----------
    aircraft
        The aeroplane.
    conditions
        The landing.
    brake
        A setting of the automatic brakes by its name, or "manual".
    reverse
        "none", "idle" or "full".

    Raises
    ------
    ValueError
        If the choice is not one the aeroplane has today, or an input lies outside the range of the physics.
    """
    flap = aircraft.flaps[conditions.flap]
    geometry, brakes = aircraft.geometry, aircraft.brakes
    working_brakes = brakes.count - conditions.brakes_released
    segment = air_segment_of(conditions)
    thirds = conditions.thirds
    flow = aircraft.engines.fuel_flow
    ratio = density_ratio(conditions.pressure, conditions.temperature)
    return Roll(
        mass=conditions.mass,
        wing_area=geometry.wing_area,
        lift_coefficient_stowed=flap.lift_coefficient_stowed,
        lift_coefficient_deployed=flap.lift_coefficient_deployed,
        drag_coefficient_stowed=flap.drag_coefficient_stowed,
        drag_coefficient_deployed=flap.drag_coefficient_deployed,
        nose_up_lift_increment=flap.nose_up_lift_increment,
        nose_up_drag_increment=flap.nose_up_drag_increment,
        thrust_tables=_thrust_tables(aircraft),
        thrust_program=_thrust_program(aircraft, conditions, reverse),
        brake_program=_brake_program(aircraft, conditions, brake),
        thirds=(
            _third(aircraft, conditions, thirds[0]),
            _third(aircraft, conditions, thirds[1]),
            _third(aircraft, conditions, thirds[2]),
        ),
        third_ends=(
            conditions.runway_length / 3.0 - conditions.displaced_threshold,
            conditions.runway_length * 2.0 / 3.0 - conditions.displaced_threshold,
        ),
        start_distance=segment.distance,
        start_speed=segment.touchdown_ground_speed,
        density=density(conditions.pressure, conditions.temperature),
        density_ratio=ratio,
        spoilers_share=conditions.spoilers_share,
        nose_share=geometry.main_gear_to_centre_of_gravity / geometry.wheelbase,
        height_ratio=geometry.centre_of_gravity_height / geometry.wheelbase,
        braked_share=working_brakes / aircraft.tyres.main.count,
        rolling_resistance=brakes.rolling_resistance,
        maximum_brake_force=working_brakes * brakes.maximum_torque / brakes.rolling_radius,
        headwind=conditions.headwind,
        slope=conditions.slope,
        spoilers_start=aircraft.spoilers.start,
        spoilers_ramp=aircraft.spoilers.ramp,
        nose_start=aircraft.nose_lowering.start,
        nose_ramp=aircraft.nose_lowering.ramp,
        fuel_reverse_idle=max((flow.reverse_idle or flow.idle) - flow.idle, 0.0),
        fuel_reverse_full=max((flow.reverse_full or flow.idle) - flow.idle, 0.0),
        fall_off_exponent=contaminant_table().fall_off_exponent,
    )
