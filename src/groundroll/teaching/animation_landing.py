"""A landing as a scene: from the threshold to a stop, or as planned to the exit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from groundroll.errors import GroundrollError
from groundroll.physics.arguments import FloatArray
from groundroll.physics.brake_cooling import BrakeTemperatures, CoolingPhase, brake_temperatures
from groundroll.physics.brake_heat import temperature_after
from groundroll.physics.markings import aiming_point_distance
from groundroll.physics.rollout import Control, Roll, RollResult, simulate
from groundroll.planning.brake_outcome import MEAN_ROLL_SHARE, heat_model_of
from groundroll.planning.exits import Approach
from groundroll.planning.landing import LandingOption, LandingPlan
from groundroll.planning.landing_roll import landing_roll
from groundroll.planning.wording import Wording, percent
from groundroll.scenario.model import Aircraft
from groundroll.scenario.resolved import SurfaceThird
from groundroll.teaching.animation import (
    DOES_NOT_FIT,
    FORCES,
    Event,
    Limit,
    Outline,
    Scene,
    Strip,
    StripExit,
    StripThird,
)
from groundroll.teaching.animation_words import events_of

STEP: Final = 0.1
"""Longest step of a recorded roll. [s] Assumption of this project: three pictures at 30 a second."""

LENGTH_OVER_WHEELBASE: Final = 2.4
"""Drawn length of the aeroplane over its wheelbase. [-] Assumption of this project, for the picture alone."""

ASPECT_RATIO: Final = 9.5
"""Drawn span squared over wing area. [-] Assumption of this project, for the picture alone."""

NOSE_GEAR_SHARE: Final = 0.13
"""Nose gear behind the nose over the drawn length. [-] Assumption of this project, for the picture alone."""


def outline_of(aircraft: Aircraft) -> Outline:
    """Return the shape drawn for an aeroplane: in proportion to its wheelbase and wing area."""
    length = LENGTH_OVER_WHEELBASE * aircraft.geometry.wheelbase
    return Outline(
        length=length,
        span=math.sqrt(ASPECT_RATIO * aircraft.geometry.wing_area),
        engines=aircraft.engines.count,
        main_gear=NOSE_GEAR_SHARE * length + aircraft.geometry.wheelbase,
    )


def surface_words(third: SurfaceThird) -> str:
    """Return code and kind of one third in words."""
    kind = (third.descriptor or "").lower()
    depth = f" {1000.0 * third.depth:.0f} mm" if third.depth else ""
    return f"code {third.code}, {kind}{depth}" if kind else f"code {third.code}"


def strip_thirds(
    thirds: Sequence[SurfaceThird], begin: float, length: float
) -> tuple[StripThird, StripThird, StripThird]:
    """Return the thirds of a runway whose paved part begins at ``begin``."""
    ends = [begin + number * length / 3.0 for number in range(4)]
    first, second, last = (
        StripThird(ends[number], ends[number + 1], third.code, surface_words(third))
        for number, third in enumerate(thirds)
    )
    return first, second, last


@dataclass(frozen=True)
class Piece:
    """One roll of a scene and when it begins. [s]"""

    roll: Roll
    result: RollResult
    begin: float


@dataclass(frozen=True)
class Tracks:
    """Arrays of a scene along its pieces."""

    time: FloatArray
    distance: FloatArray
    ground_speed: FloatArray
    deceleration: FloatArray
    forces: dict[str, FloatArray]
    asked: FloatArray
    spoilers: FloatArray
    reverse: FloatArray
    brake_energy: FloatArray
    """Of all brakes, from the begin of the scene. [J]"""


def tracks_of(pieces: Sequence[Piece], engines: int) -> Tracks:
    """Return the histories of rolls that follow one another as one."""
    parts: list[list[FloatArray]] = []
    energy = 0.0
    for piece in pieces:
        history = piece.result.history
        assert history is not None  # every piece is simulated with one
        time = history.time
        parts.append(
            [
                piece.begin + time,
                history.distance,
                history.ground_speed,
                history.deceleration,
                history.brake_force,
                history.aerodynamic_drag,
                -history.thrust,
                history.contaminant_drag,
                history.rolling_resistance,
                history.slope_force,
                _asked(piece, time),
                _spoilers(piece.roll, time),
                _reverse(piece, time, engines),
                energy + history.brake_energy,
            ]
        )
        energy += piece.result.brake_work
    joined = [np.concatenate(columns) for columns in zip(*parts, strict=True)]
    time, distance, ground_speed, deceleration = joined[:4]
    asked, spoilers, reverse, brake_energy = joined[10:]
    return Tracks(
        time=np.maximum.accumulate(time),  # rounding may put the end of a roll behind the begin of the next
        distance=distance,
        ground_speed=ground_speed,
        deceleration=deceleration,
        forces={name: joined[4 + number] for number, (name, _) in enumerate(FORCES)},
        asked=asked,
        spoilers=spoilers,
        reverse=reverse,
        brake_energy=brake_energy,
    )


def _starts(result: RollResult, kind: str) -> list[float]:
    """Return when the stages of a program began, in their order. [s]"""
    return [one.time for one in result.events if one.name.startswith(f"{kind} stage ")]


def _asked(piece: Piece, time: FloatArray) -> FloatArray:
    asked = np.full(len(time), math.nan)
    for stage, start in zip(piece.roll.brake_program, _starts(piece.result, "brake"), strict=False):
        asked[time >= start] = stage.target if stage.control == Control.AUTOMATIC else math.nan
    return asked


def _ramp(time: FloatArray, start: float, length: float) -> FloatArray:
    """Return the share of a linear change that is done."""
    if math.isinf(start):
        return np.zeros(len(time))
    return np.clip((time - start) / max(length, 1e-9), 0.0, 1.0)


def _spoilers(roll: Roll, time: FloatArray) -> FloatArray:
    return roll.spoilers_share * _ramp(time, roll.spoilers_start, roll.spoilers_ramp)


def _reverse(piece: Piece, time: FloatArray, engines: int) -> FloatArray:
    share = np.zeros(len(time))
    for stage, start in zip(piece.roll.thrust_program, _starts(piece.result, "thrust"), strict=False):
        before = float(np.interp(start, time, share))
        wanted = (stage.reverse_idle + stage.reverse_full) / engines
        later = time >= start
        share[later] = (before + (wanted - before) * _ramp(time, start, stage.ramp))[later]
    return share


@dataclass(frozen=True)
class Heat:
    """Temperature of the hottest heat sink through a scene."""

    time: FloatArray
    temperature: FloatArray
    words: str
    limits: tuple[Limit, ...]


def heat_of(
    aircraft: Aircraft,
    tracks: Tracks,
    *,
    working_brakes: int,
    initial_temperature: float,
    air_temperature: float,
    fastest: float,
) -> Heat:
    """Return how the hottest brake warms: by heat balance, or without loss where the file has no [brake_cooling].

    Parameters
    ----------
    aircraft, tracks
        The aeroplane, and the roll with the energy of all its brakes.
    working_brakes
        Among which the energy is shared.
    initial_temperature, air_temperature
        [K]
    fastest
        Greatest ground speed of the stop; the air at the brakes passes with `MEAN_ROLL_SHARE` of it, as in the plan.
        [m/s]
    """
    time, rows = np.unique(tracks.time, return_index=True)
    energy = tracks.brake_energy[rows] / working_brakes
    brakes, cooling = aircraft.brakes, aircraft.brake_cooling
    limits: tuple[Limit, ...] = ()
    if cooling is not None and cooling.take_off_limit is not None:
        limits = (Limit("limit for take-off", cooling.take_off_limit),)
    try:
        if cooling is None:
            warm = temperature_after(energy, initial_temperature, brakes.heat_sink_mass, brakes.heat_sink)
            return Heat(time, warm, "", limits)
        shares = cooling.shares or [1.0]
        energy = energy * cooling.heat_share * max(shares) * len(shares) / sum(shares)
        # Phases as long as a change of the force takes to be seen; each takes in exactly the heat of its time.
        ends = np.unique(np.append(np.arange(0.5, time[-1], 0.5), time[-1]))
        at_ends = np.interp(ends, time, energy)
        phases = [
            CoolingPhase(
                float(length), air_temperature, MEAN_ROLL_SHARE * fastest, power=max(float(heat), 0.0) / length
            )
            for length, heat in zip(np.diff(ends, prepend=0.0), np.diff(at_ends, prepend=float(energy[0])), strict=True)
        ]
        begin = BrakeTemperatures(initial_temperature, initial_temperature, initial_temperature)
        history = brake_temperatures(heat_model_of(aircraft), begin, phases, history_step=0.5)
        return Heat(history.time, history.heat_sink, "", limits)
    except ValueError:
        return Heat(time[:0], time[:0], "beyond the range of the heat formula", ())


def landing_scene(plan: LandingPlan, option: LandingOption, approach: Approach | None = None) -> Scene:
    """Return one choice of a landing plan as a scene.

    Parameters
    ----------
    plan, option
        The plan and one of its options.
    approach
        How an exit is made; None to hold the brakes to the stop.

    Raises
    ------
    GroundrollError
        If the option does not stop.
    """
    case, conditions, segment = plan.case, plan.conditions, plan.air_segment
    aircraft, wording = case.aircraft, Wording(case.display)
    name = wording.choice(option.brake, option.reverse)
    if option.stop_distance is None:
        raise GroundrollError(f"{case.title}: {name} does not stop ({option.reason}); there is no end to show.")
    roll = landing_roll(aircraft, conditions, option.brake, option.reverse)
    if approach is not None:
        roll = replace(roll, limit_distance=approach.exit_distance, brake_program=tuple(approach.brake_program))
    result = simulate(roll, history_step=STEP)
    rolled = tracks_of([Piece(roll, result, segment.time)], aircraft.engines.count)
    tracks = _with_air(rolled, segment.time, plan.threshold_ground_speed)
    heat = heat_of(
        aircraft,
        tracks,
        working_brakes=aircraft.brakes.count - conditions.brakes_released,
        initial_temperature=case.landing.initial_brake_temperature or case.weather.temperature,
        air_temperature=case.weather.temperature,
        fastest=segment.touchdown_ground_speed,
    )
    over_threshold = Event(0.0, f"Over the threshold with {wording.speed(plan.threshold_ground_speed)} of ground speed")
    touchdown = Event(
        segment.time,
        f"Touchdown at {wording.speed(segment.touchdown_ground_speed)}, "
        f"{wording.length(segment.distance)} from the threshold",
        rank=0,
    )
    end = _end(plan, option, approach, result, wording)
    margin = percent(case.landing.margin)
    short = "" if option.fits or (option.reserve or 0.0) < 0.0 else f", too little for the margin of {margin}"
    fits = option.fits and all(limit.within for limit in plan.limits)
    return Scene(
        title=case.title,
        name=name + ("" if approach is None else f", to exit {approach.exit}") + ("" if fits else f": {DOES_NOT_FIT}"),
        brakes=option.brake,
        reverse_used=option.reverse,
        details=f"{aircraft.name}, {wording.mass(conditions.mass)}, flap {conditions.flap}; "
        + wind_words(conditions.headwind, wording),
        origin="the threshold",
        strip=_strip(plan),
        outline=outline_of(aircraft),
        time=tracks.time,
        distance=tracks.distance,
        ground_speed=tracks.ground_speed,
        deceleration=tracks.deceleration,
        forces=tracks.forces,
        asked=tracks.asked,
        spoilers=tracks.spoilers,
        reverse=tracks.reverse,
        airborne_until=segment.time,
        mass=conditions.mass,
        heat_time=heat.time,
        brake_temperature=heat.temperature,
        heat_words=heat.words,
        limits=heat.limits,
        events=(
            over_threshold,
            touchdown,
            *events_of(roll, result, wording, segment.time),
            Event(float(tracks.time[-1]), f"{end}{short}", rank=0),
        ),
        result=end,
        stopped=result.stopped,
        display=case.display,
        invented=aircraft.invented,
    )


def _end(
    plan: LandingPlan, option: LandingOption, approach: Approach | None, result: RollResult, wording: Wording
) -> str:
    if approach is not None and not result.stopped:
        return f"Abeam exit {approach.exit} at {wording.speed(result.ground_speed)}"
    left = option.reserve or 0.0
    rest = f"{wording.length(left)} left" if left >= 0.0 else f"{wording.length(-left)} beyond the end"
    return f"Stopped after {wording.length(result.distance)}, {rest}"


def wind_words(headwind: float, wording: Wording) -> str:
    """Return the wind along the runway that the roll counts."""
    if abs(headwind) < 0.25:
        return "no wind along the runway counted"
    return f"{wording.speed(abs(headwind))} {'headwind' if headwind > 0.0 else 'tailwind'} counted"


def _with_air(rolled: Tracks, time: float, speed: float) -> Tracks:
    """Return the tracks with the way from the threshold to touchdown in front: the speed falls evenly there."""
    moments = np.linspace(0.0, time, max(math.ceil(time / STEP), 2))
    touchdown = float(rolled.ground_speed[0])
    deceleration = (speed - touchdown) / time
    none = np.zeros(len(moments))

    def joined(first: FloatArray, second: FloatArray) -> FloatArray:
        return np.concatenate([first, second])

    return Tracks(
        time=joined(moments, rolled.time),
        distance=joined(speed * moments - 0.5 * deceleration * moments**2, rolled.distance),
        ground_speed=joined(speed - deceleration * moments, rolled.ground_speed),
        deceleration=joined(np.full(len(moments), deceleration), rolled.deceleration),
        forces={name: joined(none, values) for name, values in rolled.forces.items()},
        asked=joined(np.full(len(moments), math.nan), rolled.asked),
        spoilers=joined(none, rolled.spoilers),
        reverse=joined(none, rolled.reverse),
        brake_energy=joined(none, rolled.brake_energy),
    )


def _strip(plan: LandingPlan) -> Strip:
    case, conditions = plan.case, plan.conditions
    available = conditions.landing_distance_available
    begin = -conditions.displaced_threshold
    return Strip(
        paved_begin=begin,
        paved_end=begin + conditions.runway_length,
        available_end=available,
        available_words=f"{case.runway.aerodrome} runway {case.direction}: "
        f"{Wording(case.display).length(available)} available",
        width=case.runway.width,
        threshold=0.0,
        aiming_point=aiming_point_distance(available),
        thirds=strip_thirds(conditions.thirds, begin, conditions.runway_length),
        exits=tuple(
            StripExit(one.name, one.distance, one.side != "right", one.angle) for one in case.direction_data.exits
        ),
    )
