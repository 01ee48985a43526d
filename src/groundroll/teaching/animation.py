"""What a moving picture of rolls shows at each time: pure data, made from the histories of the rolls."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from groundroll.errors import GroundrollError
from groundroll.physics.arguments import FloatArray
from groundroll.scenario.model import Display

HOLD_BEFORE: Final = 1.0
"""The first picture stands still this long. [s of the clip] Assumption of this project: time to look around."""

HOLD_AFTER: Final = 4.0
"""The last picture stands still this long. [s of the clip] Assumption of this project: time to read the result."""

GROUP_WITHIN: Final = 0.3
"""What happens within this of one another shares a caption. [s of the clip] Assumption of this project."""

SHORTEST_CAPTION: Final = 1.5
READING_SPEED: Final = 18.0
"""A caption stays at least this long, and long enough to be read. [s of the clip], [characters a second] Common
practice for subtitles, no source."""

LONGEST_READING: Final = 5.0
"""No caption makes the next one wait longer. [s of the clip] Assumption of this project: pictures do not wait."""

GREATEST_CAPTION: Final = 130
"""What does not matter most is left out of a caption of more characters. Assumption of this project: two lines."""

LONGEST_CAPTION: Final = 6.0
"""A caption goes after this, if no other takes its place. [s of the clip] Assumption of this project."""

LONGEST_CLIP: Final = 600.0
"""No clip is longer. [s] Assumption of this project: a mistake in the speed would fill a disk."""

FORCES: Final = (
    ("brakes", "wheel brakes"),
    ("drag", "aerodynamic drag"),
    ("thrust", "engines"),
    ("contaminant", "contaminant"),
    ("rolling", "rolling"),
    ("slope", "slope"),
)
"""Forces of a scene and their words; each is positive where it slows the aeroplane."""


@dataclass(frozen=True)
class StripThird:
    """One third of the runway; distances from the origin of the scene. [m]"""

    begin: float
    end: float
    code: int
    words: str


@dataclass(frozen=True)
class StripExit:
    """One exit."""

    name: str
    distance: float
    """Start of the turn, from the origin of the scene. [m]"""
    left: bool
    angle: float
    """Change of direction. [rad]"""


@dataclass(frozen=True)
class Strip:
    """The runway in the direction of the roll; distances from the origin of the scene. [m]"""

    paved_begin: float
    paved_end: float
    available_end: float
    """End of the landing distance or of the accelerate-stop distance available."""
    available_words: str
    width: float
    threshold: float | None
    """Where a displaced threshold lies, or the one landed over; None where the paved begin is all there is."""
    aiming_point: float | None
    thirds: tuple[StripThird, ...]
    exits: tuple[StripExit, ...]


@dataclass(frozen=True)
class Outline:
    """The aeroplane as it is drawn, a plain shape of this project. [m]"""

    length: float
    span: float
    engines: int
    main_gear: float
    """Nose to main gear; the main gear stands at the distance of the scene."""


@dataclass(frozen=True)
class Event:
    """Something worth a caption."""

    time: float
    """Of the scene. [s]"""
    text: str
    """A sentence without its full stop."""
    topic: str = ""
    """Of two events of one topic that must share a caption only the later is told."""
    rank: int = 1
    """0 is always told; where a caption is too long, what has the highest rank is left out first."""


@dataclass(frozen=True)
class Limit:
    """A line to hold a temperature against."""

    words: str
    temperature: float


@dataclass(frozen=True)
class Scene:
    """One roll, moment by moment; SI."""

    title: str
    """Of the case."""
    name: str
    """What was chosen, in words."""
    brakes: str
    reverse_used: str
    details: str
    """Aeroplane, mass and surface, in words."""
    origin: str
    """What distances are counted from, in words."""
    strip: Strip
    outline: Outline
    time: FloatArray
    """Ascending from 0; a moment may stand twice, before and after a jump."""
    distance: FloatArray
    ground_speed: FloatArray
    deceleration: FloatArray
    forces: dict[str, FloatArray]
    """Names of `FORCES`; positive where it slows. [N]"""
    asked: FloatArray
    """Deceleration that the automatic brakes are asked for; NaN where none is. [m/s2]"""
    spoilers: FloatArray
    """Share of their way out, 0 to 1."""
    reverse: FloatArray
    """Share of the engines with their reversers open, 0 to 1."""
    airborne_until: float
    """Touchdown; 0 for a roll that begins on the ground. [s]"""
    mass: float
    heat_time: FloatArray
    brake_temperature: FloatArray
    """Heat sink of the hottest brake; empty where it cannot be given. [K]"""
    heat_words: str
    """Why there is no temperature; empty where there is one."""
    limits: tuple[Limit, ...]
    events: tuple[Event, ...]
    result: str
    """What came of it, in words; shown at the end."""
    stopped: bool
    display: Display
    invented: bool

    @property
    def duration(self) -> float:
        """Return the time of the last moment. [s]"""
        return float(self.time[-1])

    @property
    def greatest_force(self) -> float:
        """Return the greatest sum of what slows the aeroplane at any moment. [N]"""
        return float(np.max(np.sum([np.maximum(one, 0.0) for one in self.forces.values()], axis=0)))

    def at(self, time: float) -> Moment:
        """Return one moment; before the first and after the last the picture stands still."""
        moment = min(max(time, 0.0), self.duration)
        over = time >= self.duration and self.stopped

        def value(values: FloatArray) -> float:
            return float(np.interp(moment, self.time, values))

        heat = self.brake_temperature
        return Moment(
            time=moment,
            distance=value(self.distance),
            ground_speed=value(self.ground_speed),
            # A standing aeroplane is slowed by nothing; the last row of a history is that just before the stop.
            deceleration=0.0 if over else value(self.deceleration),
            forces={name: 0.0 if over else value(values) for name, values in self.forces.items()},
            asked=math.nan if over else value(self.asked),
            spoilers=value(self.spoilers),
            reverse=value(self.reverse),
            airborne=moment < self.airborne_until,
            brake_temperature=float(np.interp(moment, self.heat_time, heat)) if len(heat) else math.nan,
            over=time >= self.duration,
        )


@dataclass(frozen=True)
class Moment:
    """What is shown of a scene at one time; SI."""

    time: float
    distance: float
    ground_speed: float
    deceleration: float
    forces: dict[str, float]
    asked: float
    spoilers: float
    reverse: float
    airborne: bool
    brake_temperature: float
    over: bool


@dataclass(frozen=True)
class Caption:
    """A line of words and when it is shown. [s of the clip]"""

    begin: float
    end: float
    text: str


@dataclass(frozen=True)
class Clip:
    """One or two scenes in step, and how fast time runs."""

    scenes: tuple[Scene, ...]
    speed: float
    """Seconds of the roll for one second of the clip."""
    captions: tuple[Caption, ...]

    @property
    def duration(self) -> float:
        """Return the length of the clip. [s]"""
        return HOLD_BEFORE + max(one.duration for one in self.scenes) / self.speed + HOLD_AFTER

    def scene_time(self, clip_time: float) -> float:
        """Return the time of the scenes that a time of the clip shows. [s]"""
        return max(clip_time - HOLD_BEFORE, 0.0) * self.speed

    def caption_at(self, clip_time: float) -> str:
        """Return the words shown at a time of the clip; empty where there are none."""
        return next((one.text for one in self.captions if one.begin <= clip_time < one.end), "")

    def frame_times(self, rate: float) -> FloatArray:
        """Return the times of the pictures of the clip, ``rate`` a second. [s]"""
        return np.asarray(np.arange(max(math.ceil(self.duration * rate - 1e-9), 1)) / rate)


DOES_NOT_FIT: Final = "does not fit, shown to see why"
"""Stands beside the name of a roll that is not to be flown."""

NAMES: Final = ("Upper", "Lower")
"""What captions call two scenes."""


def clip_of(scenes: Sequence[Scene], speed: float = 1.0) -> Clip:
    """Return the clip of one or two scenes.

    Parameters
    ----------
    scenes
        One, or two to be shown one above the other; both begin at the same moment.
    speed
        Seconds of the roll for one second of the clip, 0.1 to 20.

    Raises
    ------
    GroundrollError
        If the speed lies outside its range, the clip would be longer than `LONGEST_CLIP`, or one scene is a landing
        and the other a take-off.
    """
    if not 0.1 <= speed <= 20.0:
        raise GroundrollError(f"--speed {speed:g} is outside 0.1 to 20; 1 is real time, 2 twice as fast.")
    if len(scenes) not in (1, 2):
        raise GroundrollError(f"a clip shows one roll or two, not {len(scenes)}.")
    if len({scene.origin for scene in scenes}) > 1:
        raise GroundrollError("a landing and a take-off cannot be shown in step: they have no moment in common.")
    clip = Clip(tuple(scenes), speed, ())
    if clip.duration > LONGEST_CLIP:
        needed = math.ceil(10.0 * speed * clip.duration / LONGEST_CLIP) / 10.0
        raise GroundrollError(
            f"the clip would be {clip.duration:.0f} s long; at most {LONGEST_CLIP:.0f} s are made. "
            f"Use --speed {needed:g}."
        )
    return Clip(clip.scenes, speed, _captions(clip))


def _captions(clip: Clip) -> tuple[Caption, ...]:
    """Return the events of all scenes as captions that leave time to read them."""
    happened = sorted(
        (
            (HOLD_BEFORE + event.time / clip.speed, number, event)
            for number, scene in enumerate(clip.scenes)
            for event in scene.events
        ),
        key=lambda one: one[:2],
    )
    captions: list[Caption] = []
    free, last = 0.0, clip.duration - 0.5 * HOLD_AFTER
    while happened:
        # What happens while the last caption must still be read waits, and comes together.
        begin = min(max(free, happened[0][0]), last) if captions else 0.0
        group = [one for one in happened if one[0] <= max(begin, happened[0][0]) + GROUP_WITHIN]
        happened = happened[len(group) :]
        text = _caption(clip, group)
        if captions:
            captions[-1] = replace(captions[-1], end=min(captions[-1].end, begin))
        free = begin + min(max(SHORTEST_CAPTION, len(text) / READING_SPEED), LONGEST_READING)
        captions.append(Caption(begin, max(begin + LONGEST_CAPTION, free), text))
    if captions:
        captions[-1] = replace(captions[-1], end=clip.duration)
    return tuple(captions)


def _caption(clip: Clip, group: Sequence[tuple[float, int, Event]]) -> str:
    """Return what happens together in words, without what matters least where it is too much to read."""
    told = list(group)
    while len(text := _joined(clip, told)) > GREATEST_CAPTION:
        rank = max(event.rank for _, _, event in told)
        if rank == 0:
            break
        told.remove(next(one for one in told if one[2].rank == rank))
    return text


def _joined(clip: Clip, group: Sequence[tuple[float, int, Event]]) -> str:
    """Return what happens together as sentences; what happens in both rolls is said once."""
    texts: dict[str, list[int]] = {}
    for place, (_, number, event) in enumerate(group):
        later = [(other, one.topic) for _, other, one in group[place + 1 :] if one.topic]
        if (number, event.topic) not in later:
            texts.setdefault(event.text, []).append(number)
    if len(clip.scenes) == 1:
        return " ".join(f"{text}." for text in texts)
    told = {text: "Both" if len(set(numbers)) == 2 else NAMES[numbers[0]] for text, numbers in texts.items()}
    sentences: list[str] = []
    for who in ("Both", *NAMES):
        said = [text for text, one in told.items() if one == who]
        if said:
            first = f"{who}: {said[0][0].lower()}{said[0][1:]}."
            sentences += [first, *(f"{text}." for text in said[1:])]
    return " ".join(sentences)
