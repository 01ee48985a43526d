"""The review of one recorded landing, from the recording to findings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from groundroll.constants import GRAVITY, KNOT
from groundroll.errors import DataError
from groundroll.physics.arguments import FloatArray
from groundroll.planning.landing_roll import working_reversers
from groundroll.planning.ledger import LandingSide
from groundroll.review.events import (
    SPEED_WANDER,
    TAXI_SPEED,
    Controls,
    Event,
    Guess,
    brakes_on,
    leaving,
    make_event,
    reverse,
    spoilers_and_nose,
    threshold,
    touchdown,
)
from groundroll.review.forces import LEAST_BRAKE, NORMAL_90, Forces, base_roll, forces_of, nearest_setting
from groundroll.review.ledger import ReviewLedger, ledger_of, recorded_side
from groundroll.review.place import Frame, track_frame
from groundroll.review.reading import Recording, Series
from groundroll.review.repair import FAST, SLOW, Window, repaired
from groundroll.review.setting import Setting, with_recorded
from groundroll.review.smoother import GRID_STEP, Motion, smooth

BUILDING_UP: Final = 6.0 * KNOT
"""Loss of speed after touchdown in which the deceleration builds up. [m/s] Assumption of this project."""

BLURRED: Final = 0.012
"""Deviation of a mean deceleration that begins there, where no accelerometer shows how it builds up. [-] Assumption of
this project: samples once a second blur the bend, and in invented landings such means came out 1 % low."""

PEDAL: Final = 0.10
"""Pedal application that counts as braking by pedal. [-] Assumption of this project."""


@dataclass(frozen=True)
class MeanDeceleration:
    """Mean deceleration between two ground speeds, with its 90 % interval."""

    fast: float
    slow: float
    value: float
    deviation: float

    @property
    def interval(self) -> tuple[float, float]:
        """Return the 90 % interval. [m/s2]"""
        return self.value - NORMAL_90 * self.deviation, self.value + NORMAL_90 * self.deviation


@dataclass(frozen=True)
class Review:
    """What one recording tells."""

    recording: Recording
    setting: Setting
    motion: Motion
    located: bool
    """Whether distances count from the threshold; otherwise from touchdown."""
    events: tuple[Event, ...]
    controls: Controls
    forces: Forces
    mean_deceleration: MeanDeceleration
    ledger: ReviewLedger | None
    remarks: tuple[str, ...]
    track: tuple[FloatArray, FloatArray] | None = None
    """Recorded ground speed over distance, for charts. [m], [m/s]"""

    def event(self, name: str) -> Event | None:
        """Return an event by name, None where it was not found."""
        return next((one for one in self.events if one.name == name), None)


def review_recording(
    recording: Recording, setting: Setting, planned: LandingSide | None = None, *, end_speed: float = TAXI_SPEED
) -> Review:
    """Return the review of a recorded landing.

    Parameters
    ----------
    recording
        As read.
    setting
        Aeroplane, runway, air and surface.
    planned
        What was planned, for the ledger; None for none.
    end_speed
        Ground speed until which distances are compared. [m/s]

    Raises
    ------
    DataError
        If the recording does not hold a landing that can be reviewed, with the reason.
    """
    recording, window = repaired(recording)
    remarks = list(recording.remarks)
    along, across, located = _along(recording, setting, window, remarks)
    motion = motion_of(recording, along, remarks)
    landed = touchdown(recording, motion, remarks)
    if not located:
        motion = replace(motion, distance=motion.distance - landed.distance)
        landed = replace(landed, distance=0.0)
        remarks.append(
            "the threshold is not located (no position of it, or no positions recorded): distances count "
            "from touchdown, and only its direction says that it is this runway"
        )
    setting = with_recorded(setting, recording, landed.time, remarks)
    events: list[Event] = []
    over = threshold(recording, motion, landed, located=located)
    events += [over] if over is not None else []
    events.append(landed)
    moved, spoilers, nose, spoilers_known = spoilers_and_nose(recording, motion, setting.aircraft, landed)
    working = working_reversers(setting.aircraft, setting.conditions)
    reversing, engines, share, reverse_known = reverse(recording, motion, setting.aircraft, landed, working)
    events += [*moved, *reversing]
    controls = Controls(spoilers, nose, engines, share, reverse_known, spoilers_known)
    off = leaving(recording, motion, setting.bearing, landed, setting.half_width, across)
    events += off
    exit_time = min((one.time for one in off if one.name == "exit"), default=float(motion.time[-1]))
    try:
        forces = forces_of(recording, setting, motion, controls, landed, exit_time)
    except ValueError as error:
        raise DataError(f"{recording.name}: {error}.") from error
    if not reverse_known:
        remarks.append(
            f"reverse is not recorded: the deceleration allows {', '.join(forces.reverse_possible)}, and forces are "
            "given over all of these"
        )
    pressed = brakes_on(recording, motion, landed, recording.mapping.full_brake_pressure)
    braked = pressed if pressed is not None else _brakes_by_force(setting, motion, forces, landed)
    events += [braked] if braked is not None else []
    events += _automatic(recording, setting, motion, forces)
    events.sort(key=lambda one: one.time)
    ledger = None
    if planned is not None:
        ledger = _ledger(
            setting, motion, forces, controls, events, planned, landed, recording, remarks, end_speed, located=located
        )
    return Review(
        recording=recording,
        setting=setting,
        motion=motion,
        located=located,
        events=tuple(events),
        controls=controls,
        forces=forces,
        mean_deceleration=mean_deceleration(motion, landed, window.halfway),
        ledger=ledger,
        remarks=tuple(dict.fromkeys(remarks)),
        track=recorded_track(recording, motion),
    )


def motion_of(recording: Recording, along: Series | None, remarks: list[str]) -> Motion:
    """Return the smoothed motion; what is odd about it is added to the remarks."""
    acceleration = _acceleration(recording, remarks)
    motion = smooth(along, recording.get("ground_speed"), acceleration)
    if not math.isnan(motion.datum) and abs(motion.datum) > 0.02 * GRAVITY:
        remarks.append(
            f"the accelerometer shows {motion.datum / GRAVITY:+.3f} g at rest; its datum was taken off "
            f"(give or take {NORMAL_90 * motion.datum_deviation / GRAVITY:.3f} g)"
        )
    if motion.left_out:
        remarks.append(f"{motion.left_out} samples far from all others were left out by the smoother")
    return motion


def recorded_track(recording: Recording, motion: Motion) -> tuple[FloatArray, FloatArray] | None:
    """Return recorded ground speed over distance; None where no speed is recorded."""
    speed = recording.get("ground_speed")
    if speed is None:
        return None
    inside = speed.between(float(motion.time[0]), float(motion.time[-1]))
    return np.interp(inside.time, motion.time, motion.distance), inside.value


def _along(
    recording: Recording, setting: Setting, window: Window, remarks: list[str]
) -> tuple[Series | None, Series | None, bool]:
    """Return distance along and across the runway, and whether it counts from the threshold."""
    given = recording.get("distance")
    if given is not None:
        return given, None, True
    latitude, longitude = recording.get("latitude"), recording.get("longitude")
    if latitude is None or longitude is None:
        return None, None, False
    place = setting.threshold if setting.threshold is not None else recording.mapping.threshold
    first, last = window.halfway - 30.0, window.halfway + 8.0
    inside = latitude.between(first, last)
    if inside.size < 4:
        return None, None, False
    track = track_frame(latitude, longitude, first, last)
    if place is not None:
        frame = Frame(place[0], place[1], setting.bearing)
        along, across = frame.along_and_across(latitude.value, longitude.value)
        near = np.abs(across[(latitude.time >= first) & (latitude.time <= last)])
        reached = along[(latitude.time >= first) & (latitude.time <= last)]
        if float(np.median(near)) > 150.0 or float(np.max(reached)) < 0.0 or float(np.min(reached)) > 6_000.0:
            raise DataError(
                f"{recording.name}: the track passes {float(np.median(near)):.0f} m beside the runway whose threshold "
                "is given. Are the position of the threshold and the direction right?"
            )
        return Series(latitude.time, along), Series(latitude.time, across), True
    turn = abs((track.bearing - setting.bearing + math.pi) % (2.0 * math.pi) - math.pi)
    if turn > math.radians(20.0):
        raise DataError(
            f"{recording.name}: the track runs at {math.degrees(track.bearing) % 360.0:.0f} deg true, the runway at "
            f"{math.degrees(setting.bearing) % 360.0:.0f} deg: it is another runway. To review the track alone, give "
            "neither runway nor plan."
        )
    along, across = track.along_and_across(latitude.value, longitude.value)
    return Series(latitude.time, along), Series(latitude.time, across), False


def _acceleration(recording: Recording, remarks: list[str]) -> Series | None:
    """Return the acceleration along the runway: gravity by the attitude taken off.

    An accelerometer feels dV/dt + g sin(pitch). Without pitch it is used once the nose is down.
    """
    felt = recording.get("longitudinal_acceleration")
    if felt is None:
        return None
    pitch = recording.get("pitch")
    if pitch is not None and pitch.interval <= 1.1:
        return Series(felt.time, felt.value - GRAVITY * np.sin(pitch.at(felt.time)), felt.resolution)
    speed = recording.get("ground_speed")
    if speed is None:
        return None
    rolling = np.flatnonzero(speed.value < 0.82 * float(speed.value.max()))
    remarks.append("pitch is not recorded: the accelerometer counts only once the nose is surely down")
    part = felt.between(float(speed.time[rolling[0]]) if rolling.size else float(felt.time[-1]), float(felt.time[-1]))
    return part if part.size > 20 else None


def mean_deceleration(motion: Motion, landed: Event, halfway: float) -> MeanDeceleration:
    """Return the mean deceleration between 120 and 60 kt, or from the whole ten of knots below touchdown speed.

    Parameters
    ----------
    motion
        The motion.
    landed
        Touchdown.
    halfway
        When the speed falls through the middle of the two. [s]

    Notes
    -----
    a = (V1 - V2) / T, with T = t2 - t1. An error of a speed moves its time by that error over the deceleration there,
    so that the deviation of a is a / T times the root of (d1 / a1)^2 + (d2 / a2)^2: at the shallow start of a roll a
    knot is worth more time than further down.
    """
    ten = 10.0 * KNOT
    fast = FAST if landed.ground_speed >= FAST else math.floor(landed.ground_speed / ten) * ten
    time, speed = motion.time, motion.ground_speed
    before = np.flatnonzero((speed >= fast) & (time <= halfway))
    last = motion.time_below(SLOW, halfway - 5.0)
    if before.size == 0 or before[-1] + 1 >= time.size or last is None or fast <= SLOW:
        return MeanDeceleration(fast, SLOW, math.nan, math.nan)
    one = int(before[-1])
    first = float(time[one] + (speed[one] - fast) / max(speed[one] - speed[one + 1], 1e-9) * GRID_STEP)
    if last - first < 2.0:
        return MeanDeceleration(fast, SLOW, math.nan, math.nan)
    value = (fast - SLOW) / (last - first)
    spread = math.hypot(*(_time_deviation(motion, moment, value) for moment in (first, last)))
    begins_blurred = math.isnan(motion.datum) and landed.ground_speed - fast < BUILDING_UP
    share = math.hypot(spread / (last - first), BLURRED if begins_blurred else 0.0)
    return MeanDeceleration(fast, SLOW, value, value * share)


def _time_deviation(motion: Motion, moment: float, usual: float) -> float:
    """Return the standard deviation of the time at which a speed is passed. [s]"""
    index = motion.index(moment)
    around = slice(max(index - round(1.0 / GRID_STEP), 0), index + round(1.0 / GRID_STEP) + 1)
    rate = max(float(np.mean(motion.deceleration[around])), 0.25 * usual)
    # Neighbours are late together: the smoother takes their ages for chance, and finds the speed surer than it is.
    return math.hypot(math.hypot(float(motion.speed_deviation[index]), SPEED_WANDER) / rate, motion.age)


def _brakes_by_force(setting: Setting, motion: Motion, forces: Forces, landed: Event) -> Event | None:
    """Return when the force of the brakes rises, where no pressure is recorded."""
    first, _ = forces.span
    force = forces.balance.brake_force / base_roll(setting).mass
    peak = float(np.max(force))
    if peak < 2.0 * LEAST_BRAKE:
        return None
    above = np.flatnonzero(force > max(LEAST_BRAKE, 0.3 * peak))
    time = float(motion.time[first + int(above[0])])
    return make_event("brakes on", Guess(time, 1.2, "force of the wheel brakes"), motion)


def _automatic(recording: Recording, setting: Setting, motion: Motion, forces: Forces) -> list[Event]:
    """Return when the automatic brakes held a deceleration, were released, or were overridden by pedal."""
    events: list[Event] = []
    active = recording.get("automatic_brakes_active")
    pedal = recording.get("brake_pedal")
    begin, _ = forces.span
    friction = np.array([one == "friction" for one in forces.ruled])
    before, words = None, ""
    for first, last, level in forces.held:
        name = nearest_setting(setting.aircraft, level)
        inside = np.linspace(first, last, 9)
        by_pedal = pedal is not None and float(np.mean(pedal.at(inside))) > PEDAL
        slipping = friction[motion.index(first) - begin : motion.index(last) - begin + 1]
        idle = active is not None and float(np.mean(active.at(inside))) < 0.5
        if name is None or by_pedal or idle or (slipping.size and float(np.mean(slipping)) > 0.5):
            before = None
            continue
        if name == before:
            if active is None:  # one holding goes on: its end moves
                events[-1] = make_event("held deceleration ends", Guess(last, 1.0, words), motion)
            continue
        before = name
        words = f"{level:.2f} m/s2 held, near setting {name}"
        events.append(make_event("automatic braking holding", Guess(first, 1.0, words), motion))
        if active is None:
            events.append(make_event("held deceleration ends", Guess(last, 1.0, words), motion))
    if active is not None:
        switched = np.flatnonzero((active.value[:-1] > 0.5) & (active.value[1:] < 0.5))
        for index in switched:
            time = 0.5 * float(active.time[index] + active.time[index + 1])
            if not motion.time[0] < time < motion.time[-1]:
                continue
            pressed = pedal is not None and float(np.max(pedal.at(np.linspace(time - 2.0, time + 2.0, 9)))) > PEDAL
            name = "automatic braking overridden by pedal" if pressed else "automatic braking released"
            spread = float(active.time[index + 1] - active.time[index]) / math.sqrt(12.0)
            events.append(make_event(name, Guess(time, max(spread, 0.3), "automatic brakes"), motion))
    return events


def _threshold_height(recording: Recording, over: Event | None, landed: Event) -> float | None:
    """Return the height over a located threshold by radio altitude."""
    radio = recording.get("radio_altitude")
    if over is None or radio is None or over.found_by != "position":
        return None
    ground = radio.between(landed.time + 8.0, landed.time + 40.0)
    if ground.size < 3:
        return None
    height = float(radio.at(over.time)) - float(np.median(ground.value))
    return height if 3.0 < height < 60.0 else None


def _ledger(
    setting: Setting,
    motion: Motion,
    forces: Forces,
    controls: Controls,
    events: Sequence[Event],
    planned: LandingSide,
    landed: Event,
    recording: Recording,
    remarks: list[str],
    end_speed: float,
    *,
    located: bool,
) -> ReviewLedger | None:
    over = next((one for one in events if one.name == "threshold"), None)
    least = float(np.min(motion.ground_speed[motion.index(landed.time) :]))
    end_speed = max(end_speed, least + 0.5)  # a recording that ends at the exit is compared as far as it goes
    try:
        side = recorded_side(
            setting,
            motion,
            forces,
            controls,
            events,
            planned,
            end_speed=end_speed,
            located=located,
            spoilers_known=controls.spoilers_known,
            threshold_height=_threshold_height(recording, over, landed),
        )
        return ledger_of(
            planned,
            side,
            motion,
            landed,
            end_speed=end_speed,
            located=located and over is not None,
        )
    except ValueError as error:
        remarks.append(f"no ledger: {error}")
        return None
