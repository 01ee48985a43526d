"""Invented recordings with known truth: a simulated landing seen through imperfect sensors.

For tests, demonstrations and teaching. Every file says that it is invented.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Final, Literal, TypeAlias

import numpy as np

from groundroll.constants import FOOT, GRAVITY, KNOT, PSI
from groundroll.physics.arguments import FloatArray
from groundroll.physics.atmosphere import calibrated_airspeed, true_airspeed
from groundroll.physics.braking import BrakingCurve
from groundroll.physics.rollout import BrakeStage, Control, Roll, RollResult, Trigger, simulate
from groundroll.planning.landing_roll import MANUAL, LandingConditions, Reverse, landing_roll
from groundroll.review.mapping import FULL_BRAKE_PRESSURE
from groundroll.review.place import Frame
from groundroll.scenario.model import Aircraft

if TYPE_CHECKING:
    import polars

Sensors: TypeAlias = Literal["recorder", "surveillance"]
Generator: TypeAlias = np.random.Generator

INVENTED: Final = "INVENTED recording: a simulated landing seen through simulated sensors; no real flight."

ORIGIN: Final = (math.radians(0.5), math.radians(-30.5))
"""Where invented thresholds lie: in the open ocean. Latitude and longitude. [rad]"""

EXIT_SPEED: Final = 15.0 * KNOT
RELEASE_RATE: Final = 2.0
"""How fast the brakes are let go: share of the most that they deliver. [1/s] Assumption of this project."""

MEAN_FROM: Final = (120, 110, 100, 90, 80, 70)
"""Speeds from which the true mean deceleration is given. [kt]"""

APPROACH_TIME: Final = 40.0
"""Recorded before the threshold. [s]"""


@dataclass(frozen=True)
class Faults:
    """What the sensors do wrong."""

    accelerometer_datum: float = 0.0
    """Shift. [m/s2]"""
    inverted_discretes: bool = False
    flag_delay: float = 0.0
    """Air/ground flag after touchdown. [s]"""
    gap: tuple[float, float] | None = None
    """Times after touchdown between which nothing is recorded. [s]"""
    filled: bool = False
    """Whether the gap was filled by straight lines."""
    frozen: tuple[float, float] | None = None
    """Times after touchdown between which the ground speed stands still. [s]"""
    time_shifts: float = 0.0
    """Standard deviation of the time error of each parameter. [s]"""
    brake_gain: float = 1.0
    """Force that the brakes give at a pressure, over that of the aircraft file. [-]"""


@dataclass(frozen=True)
class Truth:
    """What really happened in an invented landing."""

    aircraft: Aircraft
    conditions: LandingConditions
    brake: str
    reverse: Reverse
    bearing: float
    roll: Roll
    result: RollResult
    threshold_time: float
    """In the recording. [s]"""
    touchdown_time: float
    touchdown_distance: float
    touchdown_ground_speed: float
    threshold_ground_speed: float
    mean_decelerations: dict[int, float]
    """From these speeds in knots to 60 kt, where the landing was as fast. [m/s2]"""
    friction: tuple[float, float, float]
    """Factor on the braking coefficient of the reported code, each third. [-]"""
    friction_share: float
    """Share of the braked distance that friction ruled. [-]"""
    release_speed: float
    """Below which the brakes were released. [m/s]"""
    events: dict[str, float] = field(default_factory=dict)
    """Times in the recording. [s]"""


@dataclass(frozen=True)
class Invented:
    """An invented recording."""

    frame: polars.DataFrame
    truth: Truth
    sensors: Sensors
    faults: Faults


def scaled_curve(curve: BrakingCurve, factor: float) -> BrakingCurve:
    """Return a braking curve with every value multiplied."""
    return replace(
        curve,
        coefficients=tuple(factor * one for one in curve.coefficients),  # type: ignore[arg-type]
        cap=factor * curve.cap,
        above_switch=factor * curve.above_switch,
    )


def invent(
    aircraft: Aircraft,
    conditions: LandingConditions,
    *,
    brake: str,
    reverse: Reverse,
    bearing: float,
    generator: Generator,
    sensors: Sensors = "recorder",
    faults: Faults | None = None,
    friction: tuple[float, float, float] = (1.0, 1.0, 1.0),
    release_speed: float = 20.0 * KNOT,
    with_positions: bool = True,
    rate: float | None = None,
) -> Invented:
    """Return a recording of a landing.

    Parameters
    ----------
    aircraft, conditions
        The landing as it happened, the wind that blew included.
    brake, reverse
        What the crew used.
    bearing
        Direction of landing. [rad]
    generator
        Source of chance.
    sensors
        A flight recorder with several rates, or surveillance at 1 Hz.
    faults
        What goes wrong in the sensors.
    friction
        Factors on the braking coefficients of the three thirds.
    release_speed
        Ground speed at which the brakes are released; the aeroplane rolls on to its exit. [m/s]
    with_positions
        Whether positions are recorded.
    rate
        Samples a second of every parameter of a recorder but the positions; as the rules ask if not given. [Hz]

    Raises
    ------
    ValueError
        If the landing lies outside the range of the physics, or the aeroplane does not slow down.
    """
    faults = faults or Faults()
    base = landing_roll(aircraft, conditions, brake, reverse)
    thirds = tuple(
        replace(third, braking=scaled_curve(third.braking, factor))
        for third, factor in zip(base.thirds, friction, strict=True)
    )
    release = BrakeStage(Trigger.SPEED_BELOW, release_speed, Control.OFF, 0.0, RELEASE_RATE)
    roll = replace(
        base,
        thirds=(thirds[0], thirds[1], thirds[2]),
        brake_program=(*base.brake_program, release),
        end_speed=min(EXIT_SPEED, 0.8 * release_speed),
        limit_time=150.0,
    )
    result = simulate(roll, history_step=0.05)
    history = result.history
    if history is None or history.time.size < 20:
        raise ValueError("the invented landing has no roll")
    if result.ground_speed > 60.0 * KNOT:
        raise ValueError(f"the invented landing is still at {result.ground_speed:.1f} m/s when it is given up")
    track = _Track(aircraft, conditions, roll, result, brake)
    truth = _truth(track, aircraft, conditions, brake, reverse, bearing, friction, release_speed)
    frame = _sense(track, truth, generator, sensors, faults, with_positions=with_positions, rate=rate)
    return Invented(frame, truth, sensors, faults)


class _Track:
    """The true motion from the approach to the exit, as functions of time since the start of the recording."""

    def __init__(
        self,
        aircraft: Aircraft,
        conditions: LandingConditions,
        roll: Roll,
        result: RollResult,
        brake: str,
    ) -> None:
        history = result.history
        assert history is not None  # asked for above
        touchdown_speed, distance = roll.start_speed, roll.start_distance
        airspeed = true_airspeed(conditions.approach_speed, conditions.pressure, conditions.temperature)
        threshold_speed = airspeed - conditions.headwind
        air_time = distance / (0.5 * (threshold_speed + touchdown_speed))
        self.threshold_time = APPROACH_TIME
        self.touchdown_time = APPROACH_TIME + air_time
        step = 0.05
        before = np.arange(0.0, self.touchdown_time, step)
        rate = (threshold_speed - touchdown_speed) / air_time
        since = before - self.threshold_time
        flown = np.maximum(since, 0.0)
        speed = threshold_speed - rate * flown
        along = threshold_speed * since - 0.5 * rate * flown**2
        keep = np.concatenate([[True], np.diff(history.time) > 1e-6])
        roll_time = history.time[keep] + self.touchdown_time
        last = float(history.ground_speed[-1])
        after = np.arange(roll_time[-1] + step, roll_time[-1] + 20.0, step)
        self.time = np.concatenate([before, roll_time, after])
        self.speed = np.concatenate([speed, history.ground_speed[keep], np.full(after.size, last)])
        self.along = np.concatenate(
            [along, history.distance[keep], history.distance[-1] + last * (after - roll_time[-1])]
        )
        self.slowing = np.concatenate([np.where(flown > 0.0, rate, 0.0), history.deceleration[keep], 0.0 * after])
        self.brake_force = np.concatenate([0.0 * before, history.brake_force[keep], 0.0 * after])
        self.turn_time = float(roll_time[-1])
        self.roll, self.result, self.brake = roll, result, brake
        self.aircraft, self.conditions = aircraft, conditions
        log = {event.name: event.time + self.touchdown_time for event in result.events}
        self.log = log

    def at(self, values: FloatArray, time: FloatArray) -> FloatArray:
        return np.asarray(np.interp(time, self.time, values), dtype=np.float64)

    def height(self, time: FloatArray) -> FloatArray:
        """Return the height of the wheels: a straight path to 50 ft over the threshold, then a parabola to zero."""
        flown = self.touchdown_time - self.threshold_time
        left = np.maximum(self.touchdown_time - time, 0.0) / flown
        return 50.0 * FOOT * np.where(left < 1.0, left**2, 2.0 * left - 1.0)

    def heading(self, time: FloatArray) -> FloatArray:
        return np.clip((time - self.turn_time - 2.0) * math.radians(6.0), 0.0, math.radians(60.0))

    def pitch(self, time: FloatArray) -> FloatArray:
        roll = self.roll
        since = time - self.touchdown_time
        down = np.clip((since - roll.nose_start) / max(roll.nose_ramp, 1e-3), 0.0, 1.0)
        slope = math.atan(roll.slope)
        flare = np.clip((self.touchdown_time - time) / 4.0, 0.0, 1.0)
        air = math.radians(5.5) - flare * math.radians(2.5)
        return np.where(since < 0.0, air, slope + (1.0 - down) * (math.radians(5.5) - slope))

    def spoilers(self, time: FloatArray) -> FloatArray:
        since = time - self.touchdown_time - self.roll.spoilers_start
        return np.clip(since / max(self.roll.spoilers_ramp, 1e-3), 0.0, 1.0)

    def fan(self, time: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return fan speed, reversers deployed, reverse selected."""
        program = self.roll.thrust_program
        starts = [self.log.get(f"thrust stage {number + 1}", math.inf) for number in range(len(program))]
        share, share_time = 0.0, -math.inf
        fan = np.full(time.size, 0.22)
        deployed = np.zeros(time.size)
        selected = np.zeros(time.size)
        nodes: list[tuple[float, float]] = [(-1.0, 0.0)]
        count = self.aircraft.engines.count
        for stage, start in zip(program, starts, strict=True):
            if not math.isfinite(start):
                continue
            nodes.append((max(start, share_time + 1e-3), share))
            share, share_time = stage.reverse_full / count, start + max(stage.ramp, 0.1)
            nodes.append((share_time, share))
        full = np.interp(time, [one for one, _ in nodes], [one for _, one in nodes])
        fan = fan + 0.55 * full
        if len(program) > 1 and math.isfinite(starts[1]):
            out = starts[1] + program[1].ramp
            back = starts[-1] + program[-1].ramp if math.isfinite(starts[-1]) and len(program) > 2 else math.inf
            deployed = ((time >= out) & (time < back)).astype(float)
            stow = starts[-1] if len(program) > 2 else math.inf
            selected = ((time >= starts[1]) & (time < stow)).astype(float)
        return fan, deployed, selected

    def pressure(self, time: FloatArray, gain: float) -> FloatArray:
        """Return the pressure asked of the brakes, as a share of full pressure.

        Pedals ask for their share whatever the surface gives. Automatic brakes ask for what holds their deceleration,
        and for ever more where friction does not let them.
        """
        roll = self.roll
        history = self.result.history
        assert history is not None
        delivered = self.at(self.brake_force, time) / roll.maximum_brake_force
        ruled = np.interp(time, history.time + self.touchdown_time, (history.rule == 2.0).astype(float)) > 0.5
        if self.brake == MANUAL:
            ramp = max(self.aircraft.brakes.pedal_ramp, 0.1)
            pressed = np.clip((time - self.touchdown_time - self.result.brakes_on_time) / ramp, 0.0, 1.0)
            released = RELEASE_RATE * np.maximum(time - self.log.get("brake stage 2", math.inf), 0.0)
            more = np.maximum(self.conditions.pedal * pressed - released, delivered)
        else:
            more = np.maximum(1.6 * delivered, delivered + 0.25)
        return np.clip(np.where(ruled, more, delivered) / gain, 0.0, 1.0)


def mean_between(time: FloatArray, speed: FloatArray, fast: float, slow: float = 60.0 * KNOT) -> float:
    """Return the mean deceleration between two speeds, from where the speed is last above the first. [m/s2]"""
    above = np.flatnonzero(speed >= fast)
    first = int(above[-1])
    below = first + int(np.argmax(speed[first:] < slow))
    return float((speed[first] - speed[below]) / (time[below] - time[first]))


def _truth(
    track: _Track,
    aircraft: Aircraft,
    conditions: LandingConditions,
    brake: str,
    reverse: Reverse,
    bearing: float,
    friction: tuple[float, float, float],
    release_speed: float,
) -> Truth:
    roll, result = track.roll, track.result
    ruled = result.limited_by
    events = {
        "spoilers start": track.touchdown_time + roll.spoilers_start,
        "nose wheel down": track.touchdown_time + roll.nose_start + roll.nose_ramp,
        "brakes on": track.touchdown_time + result.brakes_on_time,
    }
    return Truth(
        aircraft=aircraft,
        conditions=conditions,
        brake=brake,
        reverse=reverse,
        bearing=bearing,
        roll=roll,
        result=result,
        threshold_time=track.threshold_time,
        touchdown_time=track.touchdown_time,
        touchdown_distance=roll.start_distance,
        touchdown_ground_speed=roll.start_speed,
        threshold_ground_speed=float(np.interp(track.threshold_time, track.time, track.speed)),
        mean_decelerations={
            fast: mean_between(track.time, track.speed, fast * KNOT)
            for fast in MEAN_FROM
            if fast * KNOT < float(track.speed[0])
        },
        friction=friction,
        friction_share=ruled["friction"],
        release_speed=release_speed,
        events=events,
    )


def _quantised(values: FloatArray, step: float) -> FloatArray:
    return np.round(values / step) * step


def _sense(
    track: _Track,
    truth: Truth,
    generator: Generator,
    sensors: Sensors,
    faults: Faults,
    *,
    with_positions: bool,
    rate: float | None,
) -> polars.DataFrame:
    if sensors == "recorder":
        columns = _recorder(track, truth, generator, faults, rate)
    else:
        columns = _surveillance(track, truth, generator, faults)
    if with_positions:
        columns |= _positions(track, truth, generator, sensors)
    return _table(columns, truth, faults)


def _times(track: _Track, rate: float, generator: Generator) -> FloatArray:
    first = float(generator.uniform(0.0, 1.0 / rate))
    return np.arange(first, float(track.time[-1]) - 1.0, 1.0 / rate)


Columns: TypeAlias = "dict[str, tuple[FloatArray, FloatArray]]"


def _recorder(track: _Track, truth: Truth, generator: Generator, faults: Faults, every: float | None = None) -> Columns:
    """Return columns at the rates and resolutions of 14 CFR 121 Appendix M, or better; or all at ``every`` Hz."""
    conditions, columns = truth.conditions, {}

    def add(name: str, rate: float, step: float, noise: float, value: Any, *, factor: float = 1.0) -> None:
        if every is None:
            times = _times(track, rate, generator)
        else:  # one row holds them all, as in files brought to one time base
            times = np.arange(0.0, float(track.time[-1]) - 1.0, 1.0 / every)
        seen = times - (float(generator.normal(0.0, faults.time_shifts)) if faults.time_shifts else 0.0)
        numbers = np.asarray(value(seen), dtype=np.float64) / factor
        if noise > 0.0:
            numbers = numbers + generator.normal(0.0, noise / factor, times.size)
        columns[name] = (times, _quantised(numbers, step) if step > 0.0 else numbers)

    wander = _wander(track.time, generator, 0.3 * KNOT, 8.0)
    add("ground_speed_kt", 4.0, 0.5, 0.0, lambda t: track.at(track.speed + wander, t), factor=KNOT)

    def calibrated(times: FloatArray) -> FloatArray:
        speeds = np.maximum(track.at(track.speed, times) + conditions.headwind, 25.0)
        return np.array([calibrated_airspeed(one, conditions.pressure, conditions.temperature) for one in speeds])

    gust = _wander(track.time, generator, 1.0, 6.0)
    add("calibrated_airspeed_kt", 1.0, 1.0, 0.0, lambda t: calibrated(t) + track.at(gust, t), factor=KNOT)
    add(
        "longitudinal_acceleration_g",
        4.0,
        0.004,
        0.12,
        lambda t: faults.accelerometer_datum - track.at(track.slowing, t) + GRAVITY * np.sin(track.pitch(t)),
        factor=GRAVITY,
    )
    bump = float(generator.uniform(0.15, 0.5)) * GRAVITY
    add(
        "normal_acceleration_g",
        8.0,
        0.004,
        0.2,
        lambda t: GRAVITY + bump * np.exp(-(((t - track.touchdown_time - 0.25) / 0.2) ** 2)),
        factor=GRAVITY,
    )
    degree = math.radians(1.0)
    add("pitch_deg", 4.0, 0.25, 0.05 * degree, track.pitch, factor=degree)
    add("heading_deg", 1.0, 0.5, 0.1 * degree, lambda t: truth.bearing + track.heading(t), factor=degree)
    add("radio_altitude_ft", 2.0, 1.0, 0.5 * FOOT, track.height, factor=FOOT)
    share = PSI / FULL_BRAKE_PRESSURE
    add("brake_pressure_psi", 1.0, 10.0, 0.0, lambda t: track.pressure(t, faults.brake_gain), factor=share)
    add("spoilers_percent", 2.0, 1.0, 0.0, track.spoilers, factor=0.01)
    add("engine_speed_percent", 1.0, 0.5, 0.002, lambda t: track.fan(t)[0], factor=0.01)
    add("reverser_deployed", 1.0, 1.0, 0.0, lambda t: track.fan(t)[1])
    add("reverse_selected", 1.0, 1.0, 0.0, lambda t: track.fan(t)[2])
    add("main_gear_on_ground", 2.0, 1.0, 0.0, lambda t: t >= track.touchdown_time)
    down = truth.events["nose wheel down"]
    add("nose_gear_on_ground", 2.0, 1.0, 0.0, lambda t: t >= down)
    on, release = truth.events["brakes on"], track.log.get("brake stage 2", math.inf)
    if truth.brake != MANUAL:
        add("automatic_brakes_active", 1.0, 1.0, 0.0, lambda t: (t >= on - 30.0) & (t < release))
    add("brake_pedal_percent", 1.0, 1.0, 0.0, lambda t: _pedal(truth, t, on, release), factor=0.01)
    mass = conditions.mass * float(generator.normal(1.0, 0.008))
    add("gross_weight_t", 0.25, 0.1, 0.0, lambda t: np.full(t.size, mass), factor=1000.0)
    wind = truth.roll.headwind + float(generator.normal(0.0, 1.0))
    add("wind_speed_kt", 1.0, 1.0, 0.5, lambda t: np.full(t.size, abs(wind)), factor=KNOT)
    from_ = truth.bearing if wind >= 0.0 else truth.bearing + math.pi
    add("wind_direction_deg", 1.0, 1.0, 0.0, lambda t: np.full(t.size, from_ % (2 * math.pi)), factor=degree)
    times, values = columns["static_air_temperature_c"] = _constant(track, conditions.temperature - 273.15)
    columns["static_air_temperature_c"] = (times, _quantised(values, 0.5))
    if faults.inverted_discretes:
        for name in ("main_gear_on_ground", "nose_gear_on_ground", "reverser_deployed"):
            moments, numbers = columns[name]
            columns[name] = (moments, 1.0 - numbers)
    return columns


def _pedal(truth: Truth, time: FloatArray, on: float, release: float) -> FloatArray:
    if truth.brake != MANUAL:
        return np.zeros(time.size)
    return np.where((time >= on) & (time < release), truth.conditions.pedal, 0.0)


def _constant(track: _Track, value: float) -> tuple[FloatArray, FloatArray]:
    times = np.arange(0.5, float(track.time[-1]) - 1.0, 1.0)
    return times, np.full(times.size, value)


def _wander(time: FloatArray, generator: Generator, spread: float, correlation: float) -> FloatArray:
    """Return a slowly wandering error: white noise through a first-order lag."""
    grid = np.arange(float(time[0]), float(time[-1]) + 1.0, 0.5)
    memory = math.exp(-0.5 / correlation)
    kicks = generator.normal(0.0, spread * math.sqrt(1.0 - memory * memory), grid.size)
    value, values = float(generator.normal(0.0, spread)), np.zeros(grid.size)
    for index in range(grid.size):
        value = memory * value + float(kicks[index])
        values[index] = value
    return np.asarray(np.interp(time, grid, values))


def _surveillance(track: _Track, truth: Truth, generator: Generator, faults: Faults) -> Columns:
    times = np.arange(float(generator.uniform(0.0, 1.0)), float(track.time[-1]) - 1.0, 1.0)
    late = times - float(generator.uniform(0.0, 0.2))  # the age of the data when they are sent
    speed = track.at(track.speed + _wander(track.time, generator, 0.3 * KNOT, 5.0), late) / KNOT
    speed = speed + generator.normal(0.0, 0.2, times.size)
    ground = (times >= track.touchdown_time + faults.flag_delay).astype(float)
    altitude = _quantised(track.height(late) / FOOT, 25.0)
    return {
        "ground_speed_kt": (times, _quantised(speed, 1.0)),
        "on_ground_flag": (times, ground),
        "altitude_ft": (times, altitude),
        "track_deg": (times, _quantised(np.degrees(truth.bearing + track.heading(late)), 1.0)),
    }


def _positions(track: _Track, truth: Truth, generator: Generator, sensors: Sensors) -> Columns:
    rate = 1.0
    times = np.arange(float(generator.uniform(0.0, 1.0 / rate)), float(track.time[-1]) - 1.0, 1.0 / rate)
    spread = 2.0 if sensors == "recorder" else 3.0
    along = track.at(track.along + _wander(track.time, generator, spread, 20.0), times)
    along = along + generator.normal(0.0, 1.0, times.size)
    turned = np.maximum(times - track.turn_time - 2.0, 0.0)
    across = 0.5 * math.radians(6.0) * float(track.speed[-1]) * np.minimum(turned, 8.0) ** 2
    across = across + generator.normal(0.0, 1.0, times.size)
    frame = Frame(ORIGIN[0], ORIGIN[1], truth.bearing)
    latitude, longitude = positions_of(frame, along, across)
    return {
        "latitude_deg": (times, _quantised(np.degrees(latitude), 1e-6)),
        "longitude_deg": (times, _quantised(np.degrees(longitude), 1e-6)),
    }


def positions_of(frame: Frame, along: FloatArray, across: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return latitudes and longitudes of places given along and across a frame; the reverse of the frame's method."""
    latitude = np.full(along.size, frame.latitude)
    longitude = np.full(along.size, frame.longitude)
    for _ in range(4):  # the plane is nearly linear: each round mends the rest by a factor of a thousand
        now_along, now_across = frame.along_and_across(latitude, longitude)
        error_along, error_across = along - now_along, across - now_across
        north = error_along * math.cos(frame.bearing) - error_across * math.sin(frame.bearing)
        east = error_along * math.sin(frame.bearing) + error_across * math.cos(frame.bearing)
        latitude = latitude + north / 6_367_000.0
        longitude = longitude + east / (6_367_000.0 * np.cos(latitude))
    return latitude, longitude


def _table(columns: Columns, truth: Truth, faults: Faults) -> polars.DataFrame:
    """Return all columns on the union of their times, after gaps and frozen values."""
    import polars as pl

    touchdown = truth.touchdown_time
    if faults.frozen is not None:
        times, values = columns["ground_speed_kt"]
        first, last = touchdown + faults.frozen[0], touchdown + faults.frozen[1]
        stuck = (times >= first) & (times <= last)
        columns["ground_speed_kt"] = (times, np.where(stuck, values[np.argmax(stuck)], values))
    if faults.gap is not None:
        first, last = touchdown + faults.gap[0], touchdown + faults.gap[1]
        for name, (times, values) in columns.items():
            kept = (times < first) | (times > last)
            if not faults.filled or name == "on_ground_flag":
                columns[name] = (times[kept], values[kept])
            else:
                columns[name] = (times, np.where(kept, values, np.interp(times, times[kept], values[kept])))
    parts = [
        pl.DataFrame({"time_s": np.round(times, 3), name: np.round(values, 6)})
        for name, (times, values) in columns.items()
    ]
    return pl.concat(parts, how="diagonal").group_by("time_s").agg(pl.all().drop_nulls().first()).sort("time_s")
