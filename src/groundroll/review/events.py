"""What happened when: events of a recorded landing with time, place and uncertainty."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from groundroll.constants import FOOT, GRAVITY, KNOT
from groundroll.physics.arguments import FloatArray
from groundroll.review.reading import Recording, Series
from groundroll.review.smoother import GRID_STEP, Motion
from groundroll.scenario.model import Aircraft

TAXI_SPEED: Final = 30.0 * KNOT
"""Below it the roll counts as taxiing. [m/s] Assumption of this project."""

EXIT_ANGLE: Final = math.radians(8.0)
"""Turn away from the runway that counts as leaving it. [rad] Assumption of this project."""

FLAG_DELAY: Final = 15.0
"""Longest delay of an air/ground flag after touchdown. [s] Second-hand: 10 to 15 s seen in surveillance tracks."""

CORRELATION: Final = 0.3
"""Standard deviation of the time between two recorded parameters. [s] Derived: 14 CFR 121 Appendix M asks for 1 s at
most; taken as three standard deviations."""

SPEED_WANDER: Final = 0.3 * KNOT
"""Standard deviation of the slow error of a recorded ground speed, which no smoother sees. [m/s] Assumption of this
project."""

POSITION_WANDER: Final = 3.0
"""The same of recorded positions. [m] Assumption of this project."""

SHARED: Final = 0.72
"""Least share of the deviation of the best estimate of the touchdown that all of them together leave. [-] Assumption of
this project."""

LEAST_RISE: Final = 0.45
"""Rise of the deceleration that wheels on the ground and spoilers bring before the brakes. [m/s2] Assumption of this
project."""

KINEMATIC_DEVIATION: Final = 0.4
"""Standard deviation of a touchdown found from the speed alone, however fast the deceleration rises. [s] Assumption of
this project: brakes come 1 to 3 s after touchdown, spoilers before them."""

FLARE_SPREAD: Final = 0.15
"""Standard deviation of the deceleration at touchdown; over the rate at which it rises it adds to the above. [m/s2]
Assumption of this project."""

FLARE_DELAY: Final = 2.8
"""By how much the flare puts the touchdown off against a straight descent. [s] Derived: 7 s from 50 ft to touchdown (AC
25-32, from memory) less the 4.2 s of 50 ft along 3 degrees at 70 m/s."""

FLARE_DEVIATION: Final = 1.6
"""[s] Assumption of this project; flares last 3 to 5 s (second-hand)."""

LAST_FEET: Final = 1.2
"""From 2 ft of radio altitude to touchdown. [s] Assumption of this project: aeroplanes touch down at 1 to 3 ft/s."""


@dataclass(frozen=True)
class Event:
    """One event."""

    name: str
    time: float
    time_deviation: float
    """Standard deviation. [s]"""
    distance: float
    distance_deviation: float
    ground_speed: float
    found_by: str
    """What it rests on, in words."""


@dataclass(frozen=True)
class Controls:
    """What spoilers, nose and engines did, on the grid of the motion."""

    spoilers: FloatArray
    nose: FloatArray
    engines: FloatArray
    """At forward idle, reverse idle, full reverse and take-off thrust, shape (n, 4)."""
    reverse_share: FloatArray
    """Full reverse over the number of engines. [-]"""
    reverse_known: bool
    """Whether the recording says what the reversers did."""
    spoilers_known: bool


@dataclass(frozen=True)
class Guess:
    """One estimate of a time."""

    time: float
    deviation: float
    found_by: str


def _is_recorder(recording: Recording) -> bool:
    """Return whether parameters of several systems stand side by side, each with its own delay."""
    return recording.get("longitudinal_acceleration") is not None or recording.get("main_gear_on_ground") is not None


def make_event(name: str, guess: Guess, motion: Motion) -> Event:
    """Return the event at a time, with its place and how sure both are."""
    distance, speed, _ = motion.at(guess.time)
    index = motion.index(guess.time)
    spread = math.hypot(speed * guess.deviation, float(motion.distance_deviation[index]), POSITION_WANDER)
    return Event(name, guess.time, guess.deviation, distance, spread, speed, guess.found_by)


def first_change(series: Series | None, after: float, before: float, test: Callable[[float], bool]) -> Guess | None:
    """Return when a series first passes ``test`` within a span: between the last sample that did not and that one."""
    if series is None:
        return None
    inside = series.between(after, before)
    for index in range(inside.size):
        if test(float(inside.value[index])):
            if index == 0:
                return None
            gap = float(inside.time[index] - inside.time[index - 1])
            middle = 0.5 * float(inside.time[index] + inside.time[index - 1])
            return Guess(middle, math.hypot(gap / math.sqrt(12.0), CORRELATION), "")
    return None


# ---- touchdown ------------------------------------------------------------------------------------------------------


def kinematic_touchdown(motion: Motion) -> Guess:
    """Return the touchdown from the deceleration alone: where it leaves the level of the flare.

    The deceleration passes from that of the flare to that of the braked roll; a third of the way up, or `LEAST_RISE`
    above the flare where that is less, is the touchdown.
    """
    time, slowing = motion.time, motion.deceleration
    fast = motion.ground_speed > 0.6 * float(np.max(motion.ground_speed))
    full = float(np.percentile(slowing[fast][slowing[fast] > 0.3], 85)) if np.any(slowing[fast] > 0.3) else 0.6
    reached = np.flatnonzero(fast & (slowing > 0.85 * full))
    last = int(reached[0]) if reached.size else int(np.argmax(slowing))
    before = (time > time[last] - 14.0) & (time < time[last] - 5.0)
    flare = float(np.clip(np.median(slowing[before]), 0.0, 0.6 * full)) if np.any(before) else 0.3
    level = flare + min((full - flare) / 3.0, LEAST_RISE)
    start = last
    while start > 0 and slowing[start - 1] > level:
        start -= 1
    near = slice(max(start - round(1.0 / GRID_STEP), 0), start + round(1.0 / GRID_STEP) + 1)
    rise = max(float(slowing[near][-1] - slowing[near][0]) / max((slowing[near].size - 1) * GRID_STEP, GRID_STEP), 0.1)
    deviation = math.hypot(KINEMATIC_DEVIATION, FLARE_SPREAD / rise)
    return Guess(float(time[start]), deviation, "rise of the deceleration")


def touchdown_guesses(recording: Recording, motion: Motion) -> list[Guess]:
    """Return every estimate of the time of touchdown; the air/ground flag gives none, it only bounds."""
    kinematic = kinematic_touchdown(motion)
    guesses = [kinematic]
    early, late = kinematic.time - 8.0, kinematic.time + 8.0
    gear = recording.get("main_gear_on_ground")
    if gear is not None and gear.interval <= 2.0:
        found = first_change(gear, early, late, lambda value: value > 0.5)
        if found is not None:
            guesses.append(Guess(found.time, max(found.deviation, 0.2), "main gear compressed"))
    normal = recording.get("normal_acceleration")
    if normal is not None and normal.interval <= 0.3:
        inside = normal.between(early, late)
        calm = normal.between(early - 20.0, early)
        if inside.size > 10 and calm.size > 10:
            peak = int(np.argmax(inside.value))
            usual, spread = float(np.median(calm.value)), max(float(np.std(calm.value)), 0.02 * GRAVITY)
            if inside.value[peak] > usual + 4.0 * spread:
                start = peak
                while start > 0 and inside.value[start - 1] > usual + 1.5 * spread:
                    start -= 1
                guesses.append(Guess(float(inside.time[start]), 0.5, "first rise of the normal acceleration"))
    radio = recording.get("radio_altitude")
    if radio is not None and radio.interval <= 1.1:
        ground = radio.between(kinematic.time + 10.0, kinematic.time + 40.0)
        if ground.size > 3:
            zero = float(np.median(ground.value))
            found = first_change(radio, early - 5.0, late, lambda value: value - zero < 2.0 * FOOT)
            if found is not None:
                guesses.append(
                    Guess(
                        found.time + LAST_FEET, math.hypot(found.deviation, 0.8), "end of the descent by radio altitude"
                    )
                )
    altitude = recording.get("altitude")
    if altitude is not None and len(guesses) == 1:
        found = _altitude_touchdown(altitude, kinematic.time)
        if found is not None:
            guesses.append(found)
    return guesses


def _altitude_touchdown(altitude: Series, kinematic: float) -> Guess | None:
    """Return the touchdown as the end of the descent: the line of the descent met with the ground, and the flare."""
    ground = altitude.between(kinematic + 5.0, kinematic + 60.0)
    descent = altitude.between(kinematic - 40.0, kinematic)
    if ground.size < 3 or descent.size < 6:
        return None
    level = float(np.median(ground.value))
    high = descent.value > level + 60.0 * FOOT
    if high.sum() < 4:
        return None
    slope, start = np.polyfit(descent.time[high], descent.value[high], 1)
    if not -8.0 < slope < -1.0:
        return None
    meets = (level - start) / slope
    if abs(meets + FLARE_DELAY - kinematic) > 8.0:
        return None
    return Guess(float(meets) + FLARE_DELAY, FLARE_DEVIATION, f"end of the descent by altitude, {FLARE_DELAY} s later")


def touchdown(recording: Recording, motion: Motion, remarks: list[str]) -> Event:
    """Return the touchdown, every estimate weighed by how sure it is."""
    guesses = touchdown_guesses(recording, motion)
    best = min(guesses, key=lambda one: one.deviation)
    together = [one for one in guesses if abs(one.time - best.time) < 3.0 * math.hypot(one.deviation, best.deviation)]
    weights = np.array([1.0 / one.deviation**2 for one in together])
    time = float(np.sum(weights * [one.time for one in together]) / np.sum(weights))
    # The estimates share the motion they were read from: the best one's uncertainty is not divided much.
    deviation = max(float(1.0 / math.sqrt(np.sum(weights))), SHARED * best.deviation)
    found_by = ", ".join(one.found_by for one in sorted(together, key=lambda one: one.deviation))
    flag = first_change(recording.get("on_ground"), time - 30.0, time + 40.0, lambda value: value > 0.5)
    if flag is not None:
        late = flag.time - time
        if late < -1.0 - 2.0 * flag.deviation:
            remarks.append(
                f"the air/ground flag says ground {-late:.0f} s before the touchdown found here: the touchdown is less "
                "sure than usual"
            )
            deviation = math.hypot(deviation, 0.5 * late)
        elif late > 1.0:
            remarks.append(f"the air/ground flag came {late:.0f} s after touchdown; it is not taken for the touchdown")
    return make_event("touchdown", Guess(time, deviation, found_by), motion)


# ---- the rest -------------------------------------------------------------------------------------------------------


def threshold(recording: Recording, motion: Motion, landed: Event, *, located: bool) -> Event | None:
    """Return the passage over the threshold: by position where it is known, else where 50 ft are passed."""
    before = motion.time <= landed.time
    if located:
        ahead = np.flatnonzero(before & (motion.distance >= 0.0))
        if ahead.size and ahead[0] > 0:
            index = int(ahead[0])
            gap = motion.distance[index] - motion.distance[index - 1]
            time = float(motion.time[index] - motion.distance[index] / max(gap, 1e-9) * GRID_STEP)
            deviation = float(motion.distance_deviation[index] / max(motion.ground_speed[index], 1.0))
            apart = CORRELATION if _is_recorder(recording) else 0.0
            deviation = math.hypot(deviation, apart, POSITION_WANDER / max(motion.ground_speed[index], 1.0))
            return make_event("threshold", Guess(time, deviation, "position"), motion)
        return None
    radio = recording.get("radio_altitude")
    if radio is None:
        return None
    ground = radio.between(landed.time + 8.0, landed.time + 40.0)
    zero = float(np.median(ground.value)) if ground.size else 0.0
    found = first_change(radio, landed.time - 25.0, landed.time, lambda value: value - zero < 50.0 * FOOT)
    if found is None:
        return None
    # 15 ft of spread in the height over the threshold is 87 m along a path of 3 degrees.
    speed = max(motion.at(found.time)[1], 1.0)
    spread = 15.0 * FOOT / math.tan(math.radians(3.0)) / speed
    return make_event(
        "threshold", Guess(found.time, math.hypot(found.deviation, spread), "50 ft of radio altitude"), motion
    )


def _share_until(time: FloatArray, start: float, ramp: float) -> FloatArray:
    return np.clip((time - start) / max(ramp, 1e-6), 0.0, 1.0)


def spoilers_and_nose(
    recording: Recording, motion: Motion, aircraft: Aircraft, landed: Event
) -> tuple[list[Event], FloatArray, FloatArray, bool]:
    """Return the events of spoilers and nose wheel, and their shares on the grid."""
    events: list[Event] = []
    given = recording.get("spoilers")
    start = first_change(given, landed.time - 2.0, landed.time + 20.0, lambda value: value > 0.2)
    known = start is not None and given is not None
    if start is not None and given is not None:
        full = float(np.max(given.between(landed.time, landed.time + 30.0).value))
        out = first_change(given, landed.time - 2.0, landed.time + 20.0, lambda value: value > 0.9 * full)
        events.append(make_event("spoilers start", Guess(start.time, start.deviation, "spoiler position"), motion))
        if out is not None:
            events.append(make_event("spoilers out", Guess(out.time, out.deviation, "spoiler position"), motion))
        share = np.clip(given.at(motion.time), 0.0, 1.0)
        share[motion.time < start.time - given.interval] = 0.0
    else:
        share = _share_until(motion.time, landed.time + aircraft.spoilers.start, aircraft.spoilers.ramp)
        moment = landed.time + aircraft.spoilers.start
        guess = Guess(moment, math.hypot(landed.time_deviation, 1.0), "not recorded: the aircraft file")
        events.append(make_event("spoilers start", guess, motion))
    nose_gear = recording.get("nose_gear_on_ground")
    pitch = recording.get("pitch")
    down = first_change(nose_gear, landed.time - 1.0, landed.time + 20.0, lambda value: value > 0.5)
    words = "nose gear compressed"
    if down is None and pitch is not None:
        rolling = pitch.between(landed.time + 12.0, landed.time + 30.0)
        if rolling.size > 3:
            level = float(np.median(rolling.value))
            down = first_change(pitch, landed.time, landed.time + 15.0, lambda value: value - level < math.radians(0.7))
            words = "pitch at its ground value"
    movement = aircraft.nose_lowering
    if down is None:
        down = Guess(
            landed.time + movement.start + movement.ramp,
            math.hypot(landed.time_deviation, 1.5),
            "",
        )
        words = "not recorded: the aircraft file"
    events.append(make_event("nose wheel down", Guess(down.time, down.deviation, words), motion))
    lowered = max(down.time - movement.ramp, landed.time)
    nose = _share_until(motion.time, lowered, max(down.time - lowered, 0.1))
    return events, share, nose, known


def reverse(
    recording: Recording, motion: Motion, aircraft: Aircraft, landed: Event, working: int
) -> tuple[list[Event], FloatArray, FloatArray, bool]:
    """Return the events of reverse, the engines at each rating and the share of full reverse on the grid."""
    count = aircraft.engines.count
    engines = np.zeros((motion.time.size, 4))
    engines[:, 0] = float(count)
    nothing = np.zeros(motion.time.size)
    after, before = landed.time - 1.0, float(motion.time[-1])
    deployed = recording.get("reverser_deployed")
    if deployed is None:
        return [], engines, nothing, aircraft.reverse is None or working == 0
    events: list[Event] = []
    selected = first_change(recording.get("reverse_selected"), after, before, lambda value: value > 0.5)
    if selected is not None:
        guess = Guess(selected.time, selected.deviation, "levers")
        events.append(make_event("reverse selected", guess, motion))
    out = first_change(deployed, after, before, lambda value: value > 0.5)
    if out is None:
        return events, engines, nothing, True
    stowed = first_change(deployed, out.time + 1.0, before, lambda value: value < 0.5)
    end = stowed.time if stowed is not None else before + 1.0
    on = ((motion.time >= out.time) & (motion.time < end)).astype(float)
    share = nothing
    fan = recording.get("engine_speed")
    if fan is not None:
        inside = fan.between(out.time, end)
        if inside.size > 2:
            idle = float(np.min(fan.between(landed.time, before).value))
            peak = float(np.max(inside.value))
            if peak > idle + 0.15:
                share = np.clip((fan.at(motion.time) - idle) / (peak - idle), 0.0, 1.0) * on
                up = first_change(fan, out.time, end, lambda value: value > idle + 0.8 * (peak - idle))
                if up is not None:
                    guess = Guess(up.time, up.deviation, "fan speed")
                    events.append(make_event("reverse effective", guess, motion))
                    down = first_change(fan, up.time + 1.0, end, lambda value: value < idle + 0.5 * (peak - idle))
                    if down is not None:
                        guess = Guess(down.time, down.deviation, "fan speed")
                        events.append(make_event("reverse reduced", guess, motion))
    if not any(one.name == "reverse effective" for one in events):
        guess = Guess(out.time, out.deviation, "reversers deployed, at idle")
        events.append(make_event("reverse effective", guess, motion))
    if stowed is not None:
        guess = Guess(stowed.time, stowed.deviation, "reversers stowed")
        events.append(make_event("reverse stowed", guess, motion))
    engines[:, 0] = count - on * working
    engines[:, 2] = share * working
    engines[:, 1] = on * working - engines[:, 2]
    return events, engines, share, True


def brakes_on(recording: Recording, motion: Motion, landed: Event, full_pressure: float) -> Event | None:
    """Return when the first brake pressure came, by the pressure itself; None where it is not recorded."""
    pressure = recording.get("brake_pressure")
    if pressure is None:
        return None
    before = pressure.between(landed.time - 20.0, landed.time - 1.0)
    usual = float(np.median(before.value)) if before.size else 0.0
    found = first_change(
        pressure, landed.time - 1.0, landed.time + 40.0, lambda value: value - usual > 0.03 * full_pressure
    )
    if found is None:
        return None
    return make_event("brakes on", Guess(found.time, found.deviation, "brake pressure"), motion)


def leaving(
    recording: Recording, motion: Motion, bearing: float, landed: Event, half_width: float, across: Series | None
) -> list[Event]:
    """Return taxi speed and the exit from the runway, where the recording goes that far."""
    events = []
    slow = motion.time_below(TAXI_SPEED, landed.time)
    if slow is not None:
        index = motion.index(slow)
        rate = max(float(motion.deceleration[index]), 0.3)
        apart = CORRELATION if _is_recorder(recording) else 0.0
        spread = math.hypot(float(motion.speed_deviation[index]), SPEED_WANDER) / rate
        guess = Guess(slow, math.hypot(spread, apart), "ground speed")
        events.append(make_event("taxi speed", guess, motion))
    heading = recording.get("heading")
    if heading is not None:
        base = heading.between(landed.time, landed.time + 12.0)
        reference = float(np.median(base.value)) if base.size else bearing
        turned = first_change(
            heading, landed.time + 8.0, float(motion.time[-1]), lambda value: abs(value - reference) > EXIT_ANGLE
        )
        if turned is not None:
            guess = Guess(turned.time, math.hypot(turned.deviation, 1.0), "heading")
            events.append(make_event("exit", guess, motion))
            return events
    if across is not None:
        base = across.between(landed.time, landed.time + 12.0)
        middle = float(np.median(base.value)) if base.size else 0.0
        off = first_change(
            across,
            landed.time + 8.0,
            float(motion.time[-1]),
            lambda value: abs(value - middle) > min(half_width, 15.0),
        )
        if off is not None:
            guess = Guess(off.time, math.hypot(off.deviation, 1.5), "position")
            events.append(make_event("exit", guess, motion))
    return events
