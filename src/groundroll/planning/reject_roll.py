"""The take-off and the rejected take-off as a chain of rolls: each begins where the last one ended.

A new roll begins wherever the description of the aeroplane changes: an engine fails, the crew acts, the nose comes up.
All motion on the ground is that of `groundroll.physics.rollout.simulate`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal, TypeAlias

from groundroll.constants import GRAVITY
from groundroll.errors import ScenarioError
from groundroll.physics.atmosphere import (
    calibrated_airspeed,
    density,
    density_ratio,
    pressure_at_elevation,
    true_airspeed,
)
from groundroll.physics.braking import BrakingTable, SurfaceTreatment, read_braking_table
from groundroll.physics.contaminant import contaminant_table
from groundroll.physics.rollout import (
    BrakeStage,
    Control,
    Roll,
    RollResult,
    ThrustStage,
    ThrustTables,
    Trigger,
    simulate,
)
from groundroll.physics.take_off import (
    GREATEST_REDUCTION,
    airborne_drag_share,
    airborne_path,
    take_off_thrust_share,
)
from groundroll.physics.wind import WindComponents, factored_headwind, wind_extremes
from groundroll.planning.landing_roll import Reverse, runway_third
from groundroll.scenario.model import Aircraft, RejectActions, TakeOff, TakeOffFlap
from groundroll.scenario.resolved import SurfaceThird
from groundroll.scenario.take_off import TakeOffCase

Braking: TypeAlias = Literal["automatic", "manual"]
Engines: TypeAlias = tuple[float, float, float, float]
"""Engines at forward idle, idle reverse, full reverse and take-off thrust; fractions while a change is under way."""

DRY = (SurfaceThird(6, "DRY", None, None),) * 3
"""A dry runway, for the dry distances that a wet one never goes below."""

SPEED_TOLERANCE = 1e-6
"""To which the speed of an engine failure is solved. [m/s]"""


@dataclass(frozen=True)
class TakeOffConditions:
    """One take-off, everything looked up, SI; distances from the start of the take-off run."""

    mass: float
    flap: TakeOffFlap
    rotation_speed: float
    """Calibrated. [m/s]"""
    safety_speed: float
    """Calibrated. [m/s]"""
    rating_share: float
    assumed_temperature: float | None
    pressure: float
    temperature: float
    headwind: float
    slope: float
    runway_length: float
    """Length that the thirds divide. [m]"""
    surface: SurfaceTreatment
    thirds: tuple[SurfaceThird, SurfaceThird, SurfaceThird]
    take_off_run_available: float
    """From the point where the take-off begins, before the line-up allowance; the same for the next two. [m]"""
    take_off_distance_available: float
    accelerate_stop_available: float
    begins_at: float = 0.0
    line_up_allowance: float = 0.0
    line_up_allowance_stop: float = 0.0
    rolling_start: bool = False
    start_speed: float = 0.0
    reversers_inoperative: int = 0
    brakes_released: int = 0
    anti_skid_operative: bool = True
    spoilers_share: float = 1.0
    automatic_brakes_operative: bool = True
    table: BrakingTable | None = None

    @property
    def dry(self) -> bool:
        """Return whether every third is dry."""
        return all(third.code == 6 for third in self.thirds)

    def ground_speed(self, calibrated: float) -> float:
        """Return the ground speed that belongs to a calibrated airspeed. [m/s]"""
        return true_airspeed(calibrated, self.pressure, self.temperature) - self.headwind

    def calibrated(self, ground_speed: float) -> float:
        """Return the calibrated airspeed that belongs to a ground speed. [m/s]"""
        return calibrated_airspeed(max(ground_speed + self.headwind, 0.0), self.pressure, self.temperature)


def take_off_wind(case: TakeOffCase) -> WindComponents:
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


def take_off_conditions(case: TakeOffCase, *, factored: bool) -> TakeOffConditions:
    """Return the take-off of ``case`` with everything looked up.

    Parameters
    ----------
    case
        The take-off.
    factored
        Count half of a headwind and half as much again of a tailwind [1]_, as distances by the rule do; unless the
        case says that wind factors are not wanted.

    References
    ----------
    .. [1] 14 CFR 25.105(d).
    """
    intent, direction, declared = case.take_off.intent, case.direction_data, case.declared
    reduced = case.condition.reduced_length
    length = case.runway.length if reduced is None else min(reduced, case.runway.length)
    lost = case.runway.length - length
    headwind = take_off_wind(case).least_headwind - case.failures.additional_tailwind
    if factored and case.weather.wind_factors == "regulatory":
        headwind = factored_headwind(headwind)
    stop_allowance = intent.line_up_allowance_stop
    return TakeOffConditions(
        mass=intent.mass,
        flap=case.take_off.flap_data,
        rotation_speed=case.take_off.rotation_speed,
        safety_speed=case.take_off.safety_speed,
        rating_share=case.take_off.rating_share,
        assumed_temperature=intent.assumed_temperature,
        pressure=pressure_at_elevation(direction.threshold_elevation, case.weather.pressure_setting),
        temperature=case.weather.temperature,
        headwind=headwind,
        slope=direction.slope,
        runway_length=length,
        surface=case.runway.surface,
        thirds=case.condition.thirds,
        take_off_run_available=declared.take_off_run - lost - intent.begins_at,
        take_off_distance_available=declared.take_off - lost - intent.begins_at,
        accelerate_stop_available=declared.accelerate_stop - lost - intent.begins_at,
        begins_at=intent.begins_at,
        line_up_allowance=intent.line_up_allowance,
        line_up_allowance_stop=intent.line_up_allowance if stop_allowance is None else stop_allowance,
        rolling_start=intent.start == "rolling",
        start_speed=intent.start_speed,
        reversers_inoperative=case.failures.reversers_inoperative,
        brakes_released=case.failures.brakes_released,
        anti_skid_operative=not case.failures.anti_skid_inoperative,
        spoilers_share=case.failures.spoilers_share,
        automatic_brakes_operative=not case.failures.automatic_brakes_inoperative,
        table=None if case.braking_table is None else read_braking_table(case.braking_table),
    )


@dataclass(frozen=True)
class Work:
    """Energy that each force took out so far; thrust put in. [J]"""

    brakes: float = 0.0
    aerodynamic: float = 0.0
    thrust: float = 0.0
    rolling: float = 0.0
    contaminant: float = 0.0
    slope: float = 0.0

    def after(self, result: RollResult) -> Work:
        """Return the sums after one more roll."""
        return Work(
            self.brakes + result.brake_work,
            self.aerodynamic + result.aerodynamic_work,
            self.thrust + result.thrust_work,
            self.rolling + result.rolling_work,
            self.contaminant + result.contaminant_work,
            self.slope + result.slope_work,
        )

    @property
    def taken(self) -> float:
        """Return all that was taken out, less what thrust put in. [J]"""
        return self.brakes + self.aerodynamic - self.thrust + self.rolling + self.contaminant + self.slope


@dataclass(frozen=True)
class Point:
    """Where a take-off has come to."""

    rolled: float
    """From brake release. [m]"""
    ground_speed: float
    time: float
    """From brake release. [s]"""
    engines: Engines
    """What the engines do now."""
    engines_to: Engines
    """What they will do when the change under way is done."""
    change_left: float
    """Time until then. [s]"""
    failed: bool
    work: Work
    failure_speed: float | None = None
    """Ground speed at which the engine failed, if one did. [m/s]"""
    runway_end_speed: float | None = None
    """Ground speed where the accelerate-stop distance available ended, once it lies behind. [m/s]"""
    limited_by: dict[str, float] | None = None
    """Of the stop: share of the braked distance ruled by demand, friction and torque."""


@dataclass(frozen=True)
class Airborne:
    """The end of a take-off that is continued."""

    lift_off: float
    """From brake release. [m]"""
    lift_off_ground_speed: float
    distance: float
    """From brake release to the screen height. [m]"""
    time: float
    """From brake release. [s]"""

    @property
    def run(self) -> float:
        """Return the distance to the point midway between lift-off and the screen height. [m]"""
        return 0.5 * (self.lift_off + self.distance)


@dataclass(frozen=True)
class StopChoice:
    """How a rejected take-off is stopped."""

    actions: RejectActions
    braking: Braking = "manual"
    pedal: float = 1.0
    reverse: Reverse = "none"
    armed: bool = True
    """Whether the reject mode, where the crew counts on it, is armed."""
    spoilers_share: float | None = None
    """Share of the spoilers that work; None for that of the case."""
    unexpected_delay: float = 0.0
    """Levers closed to pedals where automatic braking was expected and none came. [s]"""
    pedals_after: float | None = None
    """First action to pedals where automatic braking is counted on: they take over from it; None for never. [s]"""


@dataclass(frozen=True)
class TakeOffRun:
    """The take-off of one aeroplane under one set of conditions."""

    aircraft: Aircraft
    data: TakeOff
    conditions: TakeOffConditions
    _reached: dict[tuple[float, bool], Point] = field(default_factory=dict, compare=False, repr=False)
    _failures: dict[float, Point] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def thrust_share(self) -> float:
        """Return take-off thrust of the day over that of the table: rating, temperature, pressure. [-]"""
        conditions, effect = self.conditions, self.data.thrust

        def share(temperature: float) -> float:
            return take_off_thrust_share(
                conditions.pressure,
                temperature,
                flat_rating_temperature=effect.flat_rating_temperature,
                fall_per_kelvin=effect.fall_per_kelvin,
                pressure_exponent=effect.pressure_exponent,
            )

        full = share(conditions.temperature)
        if conditions.assumed_temperature is None:
            return conditions.rating_share * full
        reduced = share(max(conditions.assumed_temperature, conditions.temperature))
        if reduced < (1.0 - GREATEST_REDUCTION) * full - 1e-12:
            raise ScenarioError(
                f"take_off.assumed_temperature: reduces thrust by {100.0 * (1.0 - reduced / full):.0f} %; at most "
                f"{100.0 * GREATEST_REDUCTION:.0f} % is allowed (AC 25-13, from memory). Assume a lower temperature."
            )
        return conditions.rating_share * reduced

    @cached_property
    def base(self) -> Roll:
        """Return the roll without any program, from the point where the take-off begins."""
        aircraft, conditions, flap = self.aircraft, self.conditions, self.conditions.flap
        geometry, brakes, flow = aircraft.geometry, aircraft.brakes, aircraft.engines.fuel_flow
        table = aircraft.engines.thrust
        assert table.take_off is not None  # the aircraft file with [take_off] has it
        nothing = [0.0] * len(table.airspeed)
        ratio = density_ratio(conditions.pressure, conditions.temperature)
        working = brakes.count - conditions.brakes_released
        first, second, third = (
            runway_third(
                aircraft,
                one,
                surface=conditions.surface,
                dry_share=1.0,
                anti_skid_operative=conditions.anti_skid_operative,
                table=conditions.table,
            )
            for one in conditions.thirds
        )
        begin = conditions.begins_at + conditions.line_up_allowance
        return Roll(
            mass=conditions.mass,
            wing_area=geometry.wing_area,
            lift_coefficient_stowed=flap.lift_coefficient_stowed,
            lift_coefficient_deployed=flap.lift_coefficient_deployed,
            drag_coefficient_stowed=flap.drag_coefficient_stowed,
            drag_coefficient_deployed=flap.drag_coefficient_deployed,
            thrust_tables=ThrustTables(
                true_airspeed=table.airspeed,
                idle=table.idle,
                reverse_idle=table.reverse_idle or nothing,
                reverse_full=table.reverse_full or nothing,
                # The roll multiplies every table by the density ratio; take-off thrust has its own rule.
                take_off=[one * self.thrust_share / ratio for one in table.take_off],
            ),
            thrust_program=(),
            brake_program=(),
            thirds=(first, second, third),
            third_ends=(conditions.runway_length / 3.0, conditions.runway_length * 2.0 / 3.0),
            start_distance=begin,
            start_speed=conditions.start_speed,
            density=density(conditions.pressure, conditions.temperature),
            density_ratio=ratio,
            spoilers_share=conditions.spoilers_share,
            nose_share=geometry.main_gear_to_centre_of_gravity / geometry.wheelbase,
            height_ratio=geometry.centre_of_gravity_height / geometry.wheelbase,
            braked_share=working / aircraft.tyres.main.count,
            rolling_resistance=brakes.rolling_resistance,
            maximum_brake_force=working * brakes.maximum_torque / brakes.rolling_radius,
            headwind=conditions.headwind,
            slope=conditions.slope,
            spoilers_start=math.inf,
            fuel_reverse_idle=max((flow.reverse_idle or flow.idle) - flow.idle, 0.0),
            fuel_reverse_full=max((flow.reverse_full or flow.idle) - flow.idle, 0.0),
            fall_off_exponent=contaminant_table().fall_off_exponent,
        )

    @property
    def stop_available(self) -> float:
        """Return what the runway offers a stop from brake release. [m]"""
        return self.conditions.accelerate_stop_available - self.conditions.line_up_allowance_stop

    @property
    def go_available(self) -> float:
        """Return what the runway and its clearway offer up to the screen height, from brake release. [m]"""
        return self.conditions.take_off_distance_available - self.conditions.line_up_allowance

    @property
    def run_available(self) -> float:
        """Return what the runway offers the take-off run, from brake release. [m]"""
        return self.conditions.take_off_run_available - self.conditions.line_up_allowance

    @property
    def working_brakes(self) -> int:
        """Return how many brakes work."""
        return self.aircraft.brakes.count - self.conditions.brakes_released

    def live_engines(self, failed: bool) -> int:
        """Return how many engines run."""
        return self.aircraft.engines.count - (1 if failed else 0)

    # ------------------------------------------------------------------------------------------------- acceleration

    @cached_property
    def begin(self) -> Point:
        """Return the point of brake release, or of advancing the thrust in a rolling start."""
        engines = float(self.aircraft.engines.count)
        set_already: Engines = (0.0, 0.0, 0.0, engines)
        idle: Engines = (engines, 0.0, 0.0, 0.0)
        rolling = self.conditions.rolling_start
        return Point(
            rolled=0.0,
            ground_speed=self.conditions.start_speed,
            time=0.0,
            engines=idle if rolling else set_already,
            engines_to=set_already,
            change_left=self.data.thrust.rise_time if rolling else 0.0,
            failed=False,
            work=Work(),
        )

    def fail_engine(self, point: Point) -> Point:
        """Return the same point with one engine failing from here on."""
        running = float(self.live_engines(failed=True))
        return replace(
            point,
            engines_to=(0.0, 0.0, 0.0, running),
            change_left=max(self.data.engine_failure.decay_time, point.change_left),
            failed=True,
            failure_speed=point.ground_speed,
        )

    def leg(self, point: Point, *, to_speed: float = math.inf, duration: float = math.inf) -> tuple[Point, bool]:
        """Accelerate from ``point``; return where that leads and whether ``to_speed`` was reached.

        Raises
        ------
        ScenarioError
            If it leads beyond the airspeeds of the thrust table.
        """
        if to_speed <= point.ground_speed:
            return point, True
        roll = self.leg_roll(point, to_speed=to_speed, duration=duration)
        result = simulate(roll, stations=(self._runway_end,))
        fastest = result.ground_speed + roll.headwind
        if fastest > roll.thrust_tables.true_airspeed[-1] * (1.0 + 1e-9):
            raise ScenarioError(
                f"{fastest:.1f} m/s of true airspeed is above the last one of engines.thrust of {self.aircraft.name}, "
                f"{roll.thrust_tables.true_airspeed[-1]:.1f} m/s; the table is not extrapolated."
            )
        return self._moved(point, result), result.ground_speed >= to_speed * (1.0 - 1e-12)

    def leg_roll(self, point: Point, *, to_speed: float = math.inf, duration: float = math.inf) -> Roll:
        """Return the roll that `leg` takes from ``point``."""
        roll = self._from(point, yaw=point.failed)
        return replace(
            roll,
            thrust_program=_now(point),
            end_speed_above=to_speed,
            limit_time=min(duration, roll.limit_time),
        )

    @property
    def _runway_end(self) -> float:
        return self.base.start_distance + self.stop_available

    def _from(self, point: Point, *, yaw: bool) -> Roll:
        """Return the roll that begins at ``point``, without programs."""
        base, failure = self.base, self.data.engine_failure
        added = 0.0
        if point.failed:
            added = failure.windmilling_drag_coefficient + (failure.yaw_drag_coefficient if yaw else 0.0)
        return replace(
            base,
            start_distance=base.start_distance + point.rolled,
            start_speed=point.ground_speed,
            drag_coefficient_stowed=base.drag_coefficient_stowed + added,
            drag_coefficient_deployed=base.drag_coefficient_deployed + added,
        )

    def _moved(self, point: Point, result: RollResult) -> Point:
        share = 1.0 if point.change_left <= 0.0 else min(result.time / point.change_left, 1.0)
        a, b = point.engines, point.engines_to
        passed = result.passages[0].ground_speed
        return replace(
            point,
            rolled=result.distance - self.base.start_distance,
            ground_speed=result.ground_speed,
            time=point.time + result.time,
            engines=(
                a[0] + share * (b[0] - a[0]),
                a[1] + share * (b[1] - a[1]),
                a[2] + share * (b[2] - a[2]),
                a[3] + share * (b[3] - a[3]),
            ),
            change_left=max(point.change_left - result.time, 0.0),
            work=point.work.after(result),
            runway_end_speed=point.runway_end_speed if math.isnan(passed) else passed,
        )

    def with_all_engines(self, ground_speed: float) -> Point:
        """Return where all engines reach ``ground_speed``.

        Raises
        ------
        ScenarioError
            If they never do: too little thrust for slope and surface.
        """
        key = (ground_speed, False)
        if key not in self._reached:
            point, done = self.leg(self.begin, to_speed=ground_speed)
            if not done:
                raise ScenarioError(
                    f"{self.aircraft.name} does not reach {ground_speed:.1f} m/s on this runway with this thrust: it "
                    f"is at {point.ground_speed:.1f} m/s after {point.rolled:.0f} m. Check mass, thrust and condition."
                )
            self._reached[key] = point
        return self._reached[key]

    def after_engine_failure(self, ground_speed: float) -> Point:
        """Return the first action at ``ground_speed`` after an engine has failed the recognition time before.

        The speed of the failure is solved such that speed is ``ground_speed`` when the recognition time is over.

        Raises
        ------
        ScenarioError
            If the failure would lie before brake release.
        """
        if ground_speed in self._failures:
            return self._failures[ground_speed]
        recognition = self.data.reject.recognition

        def miss(failure_speed: float) -> tuple[float, Point]:
            point = self.fail_engine(self.with_all_engines(failure_speed))
            if recognition > 0.0:
                point, _ = self.leg(point, duration=recognition)
            return point.ground_speed - ground_speed, point

        low = ground_speed
        low_miss, point = miss(low)
        if recognition > 0.0 and abs(low_miss) > SPEED_TOLERANCE:
            high, high_miss = low, low_miss
            low = max(ground_speed - low_miss, self.conditions.start_speed)
            for _ in range(30):
                low_miss, point = miss(low)
                if abs(low_miss) <= SPEED_TOLERANCE:
                    break
                if low <= self.conditions.start_speed and low_miss > 0.0:
                    raise ScenarioError(
                        f"a first action at {ground_speed:.1f} m/s of ground speed would answer an engine failure "
                        f"before brake release, with {recognition:.1f} s of recognition"
                    )
                step = low_miss * (low - high) / (low_miss - high_miss) if low_miss != high_miss else 0.5 * low_miss
                high, high_miss = low, low_miss
                low = max(low - step, self.conditions.start_speed)
            else:
                raise RuntimeError(f"the speed of the engine failure before {ground_speed:.3f} m/s was not found")
        self._failures[ground_speed] = point
        return point

    def at_first_action(self, ground_speed: float, *, failed: bool, late: float = 0.0) -> Point:
        """Return the point of the first action, ``late`` seconds after it was due at ``ground_speed``."""
        point = self.after_engine_failure(ground_speed) if failed else self.with_all_engines(ground_speed)
        return self.leg(point, duration=late)[0] if late > 0.0 else point

    # ------------------------------------------------------------------------------------------------------ the stop

    def stop(self, point: Point, choice: StopChoice) -> Point | None:
        """Return where the aeroplane stops after a first action at ``point``; None where it does not."""
        result = simulate(self.stop_roll(point, choice), stations=(self._runway_end,))
        if not result.stopped:
            return None
        return replace(self._moved(point, result), limited_by=result.limited_by)

    def stop_roll(self, point: Point, choice: StopChoice) -> Roll:
        """Return the roll that `stop` takes after a first action at ``point``."""
        roll = self._from(point, yaw=False)
        actions = choice.actions
        if choice.spoilers_share is not None:
            roll = replace(roll, spoilers_share=choice.spoilers_share)
        program = (*_now(point), *self._closing(point, choice))
        roll = replace(
            roll,
            thrust_program=program,
            spoilers_start=actions.spoilers,
            spoilers_ramp=actions.spoilers_ramp,
        )
        return replace(roll, brake_program=self._brakes(roll, choice))

    def automatic_braking(self, choice: StopChoice) -> bool:
        """Return whether the reject mode is fitted, works today and is counted on."""
        automatic, conditions = self.aircraft.automatic_brakes, self.conditions
        return (
            choice.braking == "automatic"
            and automatic is not None
            and automatic.reject is not None
            and conditions.automatic_brakes_operative
            and conditions.anti_skid_operative
        )

    def _brakes(self, roll: Roll, choice: StopChoice) -> Sequence[BrakeStage]:
        actions, reject = choice.actions, self.data.reject

        def pedals(start: float) -> BrakeStage:
            rate = _rate(choice.pedal, actions.brakes_ramp)
            return BrakeStage(Trigger.TIME, start, Control.PEDAL, choice.pedal, rate)

        if not self.automatic_braking(choice):
            return (pedals(actions.brakes),)
        automatic = self.aircraft.automatic_brakes
        assert automatic is not None and automatic.reject is not None  # noqa: PT018 - one condition, for the types
        # The mode looks at the ground speed when the levers close: below its least one it does nothing.
        closing = simulate(replace(roll, limit_time=actions.thrust)) if actions.thrust > 0.0 else None
        speed = roll.start_speed if closing is None else closing.ground_speed
        if choice.armed and speed >= automatic.reject.minimum_ground_speed:
            onset = actions.thrust + reject.automatic_delay
            automatically = BrakeStage(Trigger.TIME, onset, Control.PEDAL, 1.0, _rate(1.0, reject.automatic_ramp))
            if choice.pedals_after is None:
                return (automatically,)
            # Pressed pedals end automatic braking for good; pressed before it began, they never let it begin.
            by_crew = pedals(choice.pedals_after)
            return (by_crew,) if choice.pedals_after <= onset else (automatically, by_crew)
        onset = actions.thrust + choice.unexpected_delay
        return (pedals(onset if choice.pedals_after is None else min(onset, choice.pedals_after)),)

    def working_reversers(self, failed: bool) -> int:
        """Return how many reversers can be used."""
        if self.aircraft.reverse is None:
            return 0
        return max(self.live_engines(failed) - self.conditions.reversers_inoperative, 0)

    def _closing(self, point: Point, choice: StopChoice) -> Sequence[ThrustStage]:
        """Return the thrust program from the closing of the levers on; a failed engine gives nothing."""
        live = self.live_engines(point.failed)
        actions, times = choice.actions, self.aircraft.reverse
        closed = ThrustStage(Trigger.TIME, actions.thrust, actions.thrust_ramp, idle=live)
        working = self.working_reversers(point.failed)
        if choice.reverse == "none" or times is None or working == 0:
            return (closed,)
        rest = live - working
        conditions = self.conditions
        deployed = ThrustStage(Trigger.TIME, actions.reverse, times.deploy, idle=rest, reverse_idle=working)
        full = ThrustStage(Trigger.TIME_AFTER, times.deploy, times.spool, idle=rest, reverse_full=working)
        cut_back = ThrustStage(
            Trigger.SPEED_BELOW,
            max(conditions.ground_speed(times.cut_back_speed), 0.0),
            times.cut_back_ramp,
            idle=rest,
            reverse_idle=working,
        )
        stowed = ThrustStage(
            Trigger.SPEED_BELOW, max(conditions.ground_speed(times.stow_speed), 0.0), times.stow_ramp, idle=live
        )
        if choice.reverse == "idle":
            return (closed, deployed, stowed)
        return (closed, deployed, full, cut_back, stowed)

    # -------------------------------------------------------------------------------------------------------- the go

    def go(self, point: Point, screen_height: float) -> Airborne | None:
        """Return the take-off continued from ``point`` to ``screen_height``; None where it never gets there."""
        conditions, data, flap = self.conditions, self.data, self.conditions.flap
        point, done = self.leg(point, to_speed=conditions.ground_speed(conditions.rotation_speed))
        if not done:
            return None
        if data.rotation_time > 0.0:
            point, _ = self.leg(point, duration=data.rotation_time)
        lift_off = point.ground_speed + conditions.headwind
        safety = true_airspeed(conditions.safety_speed, conditions.pressure, conditions.temperature)
        speed = 0.5 * (lift_off + max(lift_off, safety))
        failure = data.engine_failure
        added = failure.windmilling_drag_coefficient + failure.yaw_drag_coefficient if point.failed else 0.0
        drag = airborne_drag_share(
            conditions.mass,
            self.base.density,
            speed,
            self.base.wing_area,
            flap.airborne_drag_coefficient + added,
            flap.induced_drag_factor,
        )
        thrust = self.live_engines(point.failed) * self._thrust_of_one(speed)
        excess = thrust / (conditions.mass * GRAVITY) - drag
        if excess <= 0.0:
            return None
        path = airborne_path(
            lift_off,
            safety,
            excess,
            screen_height,
            load_factor=data.load_factor,
            headwind=conditions.headwind,
        )
        return Airborne(point.rolled, point.ground_speed, point.rolled + path.distance, point.time + path.time)

    def _thrust_of_one(self, airspeed: float) -> float:
        """Return take-off thrust of one engine, linear between the nodes as in the roll. [N]"""
        import numpy as np

        table = self.aircraft.engines.thrust
        assert table.take_off is not None  # the aircraft file with [take_off] has it
        return float(np.interp(airspeed, table.airspeed, table.take_off)) * self.thrust_share


def _rate(target: float, ramp: float) -> float:
    return target / ramp if ramp > 0.0 else math.inf


def _now(point: Point) -> tuple[ThrustStage, ...]:
    """Return the stages that take up what the engines do at ``point``."""
    a, b = point.engines, point.engines_to
    first = ThrustStage(Trigger.TIME, 0.0, 0.0, idle=a[0], reverse_idle=a[1], reverse_full=a[2], take_off=a[3])
    if point.change_left <= 0.0:
        return (replace(first, idle=b[0], reverse_idle=b[1], reverse_full=b[2], take_off=b[3]),)
    return (
        first,
        ThrustStage(
            Trigger.TIME, 0.0, point.change_left, idle=b[0], reverse_idle=b[1], reverse_full=b[2], take_off=b[3]
        ),
    )
