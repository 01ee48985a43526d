"""One picture of a clip: runway to scale, the aeroplane on it, speed, forces as bars, brake temperature, captions.

Everything that stands still through the clip is drawn once; `Picture.draw` adds what moves. All sizes are shares of the
shorter side of the picture.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from groundroll.constants import FOOT, KNOT, ZERO_CELSIUS
from groundroll.outputs.animation.canvas import Canvas, rectangle, text_width, wrapped
from groundroll.outputs.animation.runway import (
    ABOVE_STRIP,
    FIGURES_BELOW,
    Ground,
    draw_close_up,
    draw_overview,
    overview_places,
)
from groundroll.outputs.animation.theme import Theme
from groundroll.outputs.caution import cautions
from groundroll.teaching.animation import FORCES, Clip, Moment, Scene

LEAST_FORCE_SHOWN: Final = 0.01
"""A force that never reaches this share of the greatest sum gets no bar. [-] Assumption of this project."""

ALWAYS_SHOWN: Final = ("brakes", "drag", "thrust")
"""Forces that have a bar even where they do nothing: that they rest is what there is to see."""

LEAST_DRIVE_NAMED: Final = 0.2
"""Forces that drive are named above their bars from this share of those that slow. [-] Assumption of this project."""

TRACK_POINTS: Final = 600
"""Points of a curve of speed. Assumption of this project: finer than the picture."""


@dataclass(frozen=True)
class Box:
    """A part of the picture. [px]"""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Return the width. [px]"""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Return the height. [px]"""
        return self.bottom - self.top

    def rows(self, shares: Sequence[float], gap: float) -> list[Box]:
        """Return parts one below the other."""
        room = self.height - gap * (len(shares) - 1)
        boxes, top = [], self.top
        for share in shares:
            bottom = top + room * share / sum(shares)
            boxes.append(Box(self.left, top, self.right, bottom))
            top = bottom + gap
        return boxes

    def columns(self, shares: Sequence[float], gap: float) -> list[Box]:
        """Return parts side by side."""
        room = self.width - gap * (len(shares) - 1)
        boxes, left = [], self.left
        for share in shares:
            right = left + room * share / sum(shares)
            boxes.append(Box(left, self.top, right, self.bottom))
            left = right + gap
        return boxes


@dataclass(frozen=True)
class Panel:
    """Where the parts of one scene stand."""

    whole: Box
    header: Box
    profile: Box
    overview: Box
    close_up: Box
    numbers: Box
    bars: Box


class Picture:
    """Draws the pictures of one clip in one size and one theme."""

    def __init__(self, clip: Clip, width: int, height: int, theme: Theme) -> None:
        self.clip, self.width, self.height, self.theme = clip, width, height, theme
        self.unit = min(width, height) / 1080.0
        self.tall = height > width
        u = self.unit
        edge = 44.0 * u
        notes = cautions(invented=any(scene.invented for scene in clip.scenes))
        self._note_size = 16.0 * u
        self._notes = [line for note in notes for line in wrapped(note, self._note_size, width - 2.0 * edge)]
        below = height - 22.0 * u - 21.0 * u * len(self._notes)
        self._caption_lines = 3 if self.tall else 2
        self._caption = Box(edge, below - (24.0 + 41.0 * self._caption_lines) * u, width - edge, below)
        self._title = Box(edge, 20.0 * u, width - edge, (118.0 if self.tall else 92.0) * u)
        room = Box(edge, self._title.bottom + 8.0 * u, width - edge, self._caption.top - 16.0 * u)
        self._panels = [self._panel(one) for one in room.rows([1.0] * len(clip.scenes), 14.0 * u)]
        self._force_names = self._shown_forces()
        self._force_least, self._force_most = self._force_range()
        self._speed_unit = {"kt": KNOT, "m/s": 1.0, "km/h": 1.0 / 3.6}[self._display.speed]
        fastest = max(float(np.max(one.ground_speed)) for one in clip.scenes) / self._speed_unit
        self._speed_step = _step(fastest, 3)
        self._speed_top = max(fastest * 1.06, self._speed_step)
        self._ground = Ground.of(clip.scenes, self._display)
        self._tracks = [self._track(scene) for scene in clip.scenes]
        self._heat_low, self._heat_high = self._heat_range()

    @property
    def _display(self) -> Any:
        return self.clip.scenes[0].display

    def _panel(self, whole: Box) -> Panel:
        u = self.unit
        header = Box(whole.left, whole.top, whole.right, whole.top + (78.0 if self.tall else 44.0) * u)
        body = Box(whole.left, header.bottom + 6.0 * u, whole.right, whole.bottom)
        strip = (2.0 * ABOVE_STRIP + (46.0 if len(self.clip.scenes) == 2 else 62.0)) * u
        if self.tall:
            charts, values = body.rows([0.6, 0.4], 12.0 * u)
            numbers, bars = values.columns([0.3, 0.7], 20.0 * u)
        else:
            charts, values = body.columns([0.66, 0.34], 40.0 * u)
            share = 0.24 if len(self.clip.scenes) == 2 else 0.18
            numbers, bars = values.rows([share, 1.0 - share], 6.0 * u)
        rest = charts.height - strip
        profile = Box(charts.left, charts.top, charts.right, charts.top + 0.44 * rest)
        overview = Box(charts.left, profile.bottom, charts.right, profile.bottom + strip)
        close_up = Box(charts.left, overview.bottom + 8.0 * u, charts.right, charts.bottom - FIGURES_BELOW * u)
        return Panel(whole, header, profile, overview, close_up, numbers, bars)

    # ------------------------------------------------------------------------------------------------------- scales

    def _shown_forces(self) -> list[str]:
        most = max(scene.greatest_force for scene in self.clip.scenes)
        return [
            name
            for name, _ in FORCES
            if name in ALWAYS_SHOWN
            or any(float(np.max(np.abs(one.forces[name]))) >= LEAST_FORCE_SHOWN * most for one in self.clip.scenes)
        ]

    def _force_range(self) -> tuple[float, float]:
        """Return the ends of the common scale of all bars, in kN."""
        least = min(
            float(np.min(np.sum([np.minimum(values, 0.0) for values in one.forces.values()], axis=0)))
            for one in self.clip.scenes
        )
        most = max(
            max(scene.greatest_force, scene.mass * float(np.nanmax(np.append(scene.asked, 0.0))))
            for scene in self.clip.scenes
        )
        return min(least, -0.02 * most) / 1000.0, 1.03 * most / 1000.0

    def _heat_range(self) -> tuple[float, float]:
        found = [one.brake_temperature for one in self.clip.scenes if len(one.brake_temperature)]
        if not found:
            return 0.0, 1.0
        low = min(float(np.min(one)) for one in found)
        high = max(float(np.max(one)) for one in found)
        limits = [limit.temperature for scene in self.clip.scenes for limit in scene.limits]
        return low - 0.02 * (high - low), low + 1.08 * (max([high, *limits]) - low)

    def _track(self, scene: Scene) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
        """Return times, and distance with speed in display units, of the curve of a scene."""
        times = np.linspace(0.0, scene.duration, TRACK_POINTS)
        distance = np.interp(times, scene.time, scene.distance)
        speed = np.interp(times, scene.time, scene.ground_speed) / self._speed_unit
        return times, np.column_stack([distance, speed])

    def _profile_place(self, panel: Panel, points: Any) -> Any:
        """Return pixels of distances and speeds."""
        places = np.array(points, dtype=np.float64).reshape(-1, 2)
        box = panel.profile
        places[:, 0] = self._ground.x(self._along(panel), places[:, 0])
        places[:, 1] = box.bottom - places[:, 1] / self._speed_top * box.height
        return places

    def _along(self, panel: Panel) -> tuple[float, float]:
        """Return where the overview begins and ends. [px]"""
        return panel.profile.left + 84.0 * self.unit, panel.profile.right - 8.0 * self.unit

    # ----------------------------------------------------------------------------------------------- what stands still

    def draw_background(self, canvas: Canvas) -> None:
        """Draw what is the same in every picture of the clip."""
        u, theme = self.unit, self.theme
        scenes = self.clip.scenes
        titles = {scene.title for scene in scenes}
        title = scenes[0].title if len(titles) == 1 else "Two rolls in step"
        room = self._title.width - (190.0 if self.tall else 420.0) * u
        size = _fitting(title, 36.0 * u, room, bold=True)
        canvas.text(self._title.left, self._title.top + 24.0 * u, title, size, theme.ink, bold=True)
        y, size = self._title.top + (70.0 if self.tall else 60.0) * u, (22.0 if self.tall else 20.0) * u
        runways = " / ".join(dict.fromkeys(scene.strip.available_words for scene in scenes))
        pace = self._pace()
        room = self._title.width - text_width(pace, size) - 40.0 * u
        canvas.text(self._title.left, y, runways, _fitting(runways, size, room), theme.quiet)
        canvas.text(self._title.right, y, pace, size, theme.quiet, anchor="right")
        box = self._caption
        canvas.polygon(rectangle(box.left, box.top, box.right, box.bottom), theme.panel)
        for number, line in enumerate(reversed(self._notes)):
            canvas.text(
                self.width / 2.0, self.height - (20.0 + 21.0 * number) * u, line, self._note_size, theme.quiet, "middle"
            )
        for number, (panel, scene) in enumerate(zip(self._panels, scenes, strict=True)):
            if number:
                top = panel.whole.top - 5.0 * u
                canvas.line([(panel.whole.left, top), (panel.whole.right, top)], theme.line, 1.5 * u)
            self._header(canvas, panel, scene, with_title=len(titles) > 1)
            self._axes(canvas, panel)
            draw_overview(canvas, theme, u, scene, self._ground, _ends(panel.overview), self._along(panel))
            self._bar_labels(canvas, panel, scene)

    def _pace(self) -> str:
        speed = self.clip.speed
        if abs(speed - 1.0) < 1e-9:
            return "in real time"
        return f"time runs {speed:g} times as fast" if speed > 1.0 else f"slowed to {speed:g} of real time"

    def _header(self, canvas: Canvas, panel: Panel, scene: Scene, *, with_title: bool) -> None:
        u, theme, box = self.unit, self.theme, panel.header
        name = f"{scene.title}: {scene.name}" if with_title else f"{scene.name[0].upper()}{scene.name[1:]}"
        if self.tall:
            canvas.text(
                box.left, box.top + 20.0 * u, name, _fitting(name, 29.0 * u, box.width, bold=True), theme.ink, bold=True
            )
            size = _fitting(scene.details, 21.0 * u, box.width)
            canvas.text(box.left, box.top + 57.0 * u, scene.details, size, theme.quiet)
            return
        size = _fitting(name, 27.0 * u, 0.62 * box.width, bold=True)
        canvas.text(box.left, box.top + 22.0 * u, name, size, theme.ink, bold=True)
        used = text_width(name, size, True)
        room = box.width - used - 30.0 * u
        canvas.text(
            box.right, box.top + 22.0 * u, scene.details, _fitting(scene.details, 20.0 * u, room), theme.quiet, "right"
        )

    def _axes(self, canvas: Canvas, panel: Panel) -> None:
        u, theme, box = self.unit, self.theme, panel.profile
        left, right = self._along(panel)
        count = int(self._speed_top / self._speed_step + 1e-9)
        for number in range(count + 1):
            value = number * self._speed_step
            y = box.bottom - value / self._speed_top * box.height
            canvas.line([(left, y), (right, y)], theme.line, (1.6 if number == 0 else 0.8) * u)
            words = f"{value:g}" + (f" {self._display.speed}" if number == count else "")
            canvas.text(left - 10.0 * u, y, words, 17.0 * u, theme.quiet, "right")

    def _bar_rows(self, panel: Panel) -> tuple[list[Box], Box]:
        """Return the boxes of the sum and of each force, and that of the temperature."""
        u = self.unit
        heights = [1.35, *([1.0] * len(self._force_names)), 0.35, 1.35]
        below_words = replace(panel.bars, top=panel.bars.top + 26.0 * u)
        rows = below_words.rows(heights, 4.0 * u)
        return [*rows[: 1 + len(self._force_names)]], rows[-1]

    def _bar_span(self, box: Box) -> tuple[float, float]:
        """Return where bars begin and end: between their labels and their values. [px]"""
        u = self.unit
        return box.left + 176.0 * u, box.right - 92.0 * u

    def _force_x(self, box: Box, force: float) -> float:
        left, right = self._bar_span(box)
        share = (force - self._force_least) / (self._force_most - self._force_least)
        return left + share * (right - left)

    def _heat_x(self, box: Box, temperature: float) -> float:
        left, right = self._bar_span(box)
        return left + (temperature - self._heat_low) / (self._heat_high - self._heat_low) * (right - left)

    def _bar_labels(self, canvas: Canvas, panel: Panel, scene: Scene) -> None:
        u, theme = self.unit, self.theme
        rows, heat = self._bar_rows(panel)
        words = dict(FORCES)
        size = min(19.0 * u, 0.8 * rows[1].height if len(rows) > 1 else 19.0 * u)
        labels = ["all together", *(words[name] for name in self._force_names)]
        for row, label in zip(rows, labels, strict=True):
            canvas.text(row.left, _middle(row), label, size, theme.quiet)
        zero, above = self._force_x(panel.bars, 0.0), rows[0].top - 15.0 * u
        canvas.text(zero + 4.0 * u, above, "slows it", 0.86 * size, theme.quiet)
        if -self._force_least > LEAST_DRIVE_NAMED * self._force_most:
            canvas.text(zero - 8.0 * u, above, "drives it", 0.86 * size, theme.quiet, "right")
        canvas.text(heat.left, _middle(heat), "hottest brake", size, theme.quiet)
        if not len(scene.brake_temperature):
            left, _ = self._bar_span(heat)
            canvas.text(left, _middle(heat), scene.heat_words, size, theme.quiet)
            return
        left, right = self._bar_span(heat)
        middle, half = _middle(heat), 0.26 * heat.height
        canvas.polygon(rectangle(left, middle - half, right, middle + half), theme.panel, theme.line, u)
        for limit in scene.limits:
            x = self._heat_x(heat, limit.temperature)
            canvas.line([(x, middle - 1.7 * half), (x, middle + 1.7 * half)], theme.ink, 2.0 * u)
            canvas.text(x - 8.0 * u, middle - 2.2 * half, limit.words, 0.86 * size, theme.quiet, "right")

    # ------------------------------------------------------------------------------------------------------- what moves

    def draw(self, canvas: Canvas, clip_time: float) -> None:
        """Draw what moves, over the background, at a time of the clip."""
        u, theme = self.unit, self.theme
        time = self.clip.scene_time(clip_time)
        end = max(scene.duration for scene in self.clip.scenes)
        clock = f"{min(time, end):.1f} s"
        canvas.text(
            self._title.right, self._title.top + 24.0 * u, clock, 38.0 * u, theme.ink, anchor="right", bold=True
        )
        moments = [scene.at(time) for scene in self.clip.scenes]
        for number, (panel, scene, moment) in enumerate(zip(self._panels, self.clip.scenes, moments, strict=True)):
            other = 1 - number if len(moments) == 2 else None
            self._profile(canvas, panel, number, moments, other)
            draw_close_up(canvas, theme, u, scene, moment, self._display, _ends(panel.close_up))
            self._numbers(canvas, panel, scene, moment)
            self._bars(canvas, panel, moment)
        self._words(canvas, clip_time)

    def _words(self, canvas: Canvas, clip_time: float) -> None:
        words = self.clip.caption_at(clip_time)
        u, box = self.unit, self._caption
        size = 32.0 * u
        lines = wrapped(words, size, box.width - 40.0 * u)
        while len(lines) > self._caption_lines:
            size *= 0.94
            lines = wrapped(words, size, box.width - 40.0 * u)
        first = _middle(box) - 0.5 * (len(lines) - 1) * 1.28 * size
        for number, line in enumerate(lines):
            canvas.text(self.width / 2.0, first + number * 1.28 * size, line, size, self.theme.ink, "middle")

    def _covered(self, panel: Panel, number: int, moment: Moment) -> Any:
        """Return the pixels of the curve as far as a scene has come."""
        times, track = self._tracks[number]
        rows = int(np.searchsorted(times, moment.time))
        now = [[moment.distance, moment.ground_speed / self._speed_unit]]
        return self._profile_place(panel, np.vstack([track[:rows], now]))

    def _profile(self, canvas: Canvas, panel: Panel, number: int, moments: Sequence[Moment], other: int | None) -> None:
        u, theme = self.unit, self.theme
        moment = moments[number]
        if other is not None:
            places = self._covered(panel, other, moments[other])
            canvas.line(places, theme.quiet, 1.8 * u, (7.0 * u, 6.0 * u))
        places = self._covered(panel, number, moment)
        canvas.line(places, theme.trail, 5.0 * u)
        x, y = float(places[-1, 0]), float(places[-1, 1])
        places_of = overview_places(u, _ends(panel.overview))
        canvas.line([(x, y), (x, panel.profile.bottom)], theme.trail, 1.6 * u)
        radius = 8.0 * u
        ring = [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in np.linspace(0.0, 2.0 * math.pi, 17)[:-1]]
        canvas.polygon(ring, theme.trail, theme.ground, 2.0 * u)
        if other is not None:
            at = float(self._ground.x(self._along(panel), moments[other].distance))
            canvas.line([(at, places_of.top), (at, places_of.bottom)], theme.ink, 1.6 * u, (3.0 * u, 3.0 * u))
        begin = float(self._ground.x(self._along(panel), float(self.clip.scenes[number].distance[0])))
        lane = places_of.lane
        canvas.line([(begin, lane), (x, lane)], theme.trail, 6.0 * u)
        wide, long = 9.0 * u, 26.0 * u
        canvas.polygon(
            [(x, lane), (x - long, lane - wide), (x - 0.72 * long, lane), (x - long, lane + wide)],
            theme.aeroplane,
            theme.aeroplane_edge,
            1.4 * u,
        )
        if moment.over:
            self._result(canvas, panel, number)

    def _result(self, canvas: Canvas, panel: Panel, number: int) -> None:
        """Write what came of it above the end of the curve."""
        u, words = self.unit, self.clip.scenes[number].result
        _, right = self._along(panel)
        size = 25.0 * u
        width = text_width(words, size, True)
        at = panel.profile.top + 16.0 * u
        pad = 9.0 * u
        self._plate(canvas, (right - width - pad, at - 0.8 * size, right + pad, at + 0.8 * size))
        canvas.text(right, at, words, size, self.theme.ink, "right", bold=True)

    def _plate(self, canvas: Canvas, corners: tuple[float, float, float, float]) -> None:
        """Clear a place to write on."""
        canvas.polygon(rectangle(*corners), self.theme.ground)

    def _numbers(self, canvas: Canvas, panel: Panel, scene: Scene, moment: Moment) -> None:
        u, theme, box = self.unit, self.theme, panel.numbers
        length = 1.0 if self._display.length == "m" else FOOT
        faster = moment.deceleration < -0.05
        values = [
            (f"{moment.ground_speed / self._speed_unit:.0f} {self._display.speed}", "ground speed"),
            (f"{moment.distance / length:.0f} {self._display.length}", f"from {scene.origin}"),
            (f"{abs(moment.deceleration):.1f} m/s²", "acceleration" if faster else "deceleration"),
        ]
        if self.tall:
            for row, (value, label) in zip(box.rows([1.0] * 3, 6.0 * u), values, strict=True):
                size = min(46.0 * u, 0.42 * row.height)
                canvas.text(row.left, row.top + 0.36 * row.height, value, size, theme.ink, bold=True)
                canvas.text(row.left, row.top + 0.76 * row.height, label, 20.0 * u, theme.quiet)
            return
        for column, (value, label) in zip(box.columns([0.9, 1.05, 1.05], 10.0 * u), values, strict=True):
            size = min(42.0 * u, 0.5 * column.height, 42.0 * u * column.width / (190.0 * u))
            canvas.text(column.left, column.top + 0.32 * column.height, value, size, theme.ink, bold=True)
            canvas.text(column.left, column.top + 0.78 * column.height, label, 18.0 * u, theme.quiet)

    def _bars(self, canvas: Canvas, panel: Panel, moment: Moment) -> None:
        u, theme = self.unit, self.theme
        rows, heat = self._bar_rows(panel)
        total = rows[0]
        size = min(19.0 * u, 0.8 * rows[1].height if len(rows) > 1 else 19.0 * u)
        shown = {name: moment.forces[name] / 1000.0 for name in self._force_names}
        whole = sum(shown.values())
        # The sum begins as far left of zero as some forces drive it on, or as far right as some slow it: its end is
        # what is left.
        way = 1.0 if whole >= 0.0 else -1.0
        x = self._force_x(total, sum(force for force in shown.values() if way * force < 0.0))
        per_unit = self._force_x(total, 1.0) - self._force_x(total, 0.0)
        for name, force in shown.items():
            if way * force > 0.0:
                ends = sorted([x, x + force * per_unit])
                canvas.polygon(
                    rectangle(ends[0], total.top, ends[1], total.bottom), theme.forces[name], theme.ground, u
                )
                x += force * per_unit
        for row, (name, force) in zip(rows[1:], shown.items(), strict=True):
            ends = sorted([self._force_x(row, 0.0), self._force_x(row, force)])
            canvas.polygon(rectangle(ends[0], row.top, ends[1], row.bottom), theme.forces[name])
            words = "-" if moment.airborne else f"{force:.0f} kN"
            canvas.text(row.right, _middle(row), words, size, theme.ink, "right")
        zero = self._force_x(total, 0.0)
        canvas.line([(zero, total.top - 3.0 * u), (zero, rows[-1].bottom)], theme.ink, 1.6 * u)
        words = "in the air" if moment.airborne else f"{whole:.0f} kN"
        canvas.text(total.right, _middle(total), words, size, theme.ink, "right", bold=True)
        if not math.isnan(moment.asked):
            self._asked(canvas, panel, moment, size)
        if math.isfinite(moment.brake_temperature):
            middle, half = _middle(heat), 0.26 * heat.height
            left, _ = self._bar_span(heat)
            end = self._heat_x(heat, moment.brake_temperature)
            canvas.polygon(rectangle(left, middle - half, end, middle + half), theme.heat)
            words = _temperature(moment.brake_temperature, self._display)
            canvas.text(heat.right, middle, words, size, theme.ink, "right", bold=True)

    def _asked(self, canvas: Canvas, panel: Panel, moment: Moment, size: float) -> None:
        """Mark the sum that the automatic brakes are asked for."""
        u, theme = self.unit, self.theme
        rows, _ = self._bar_rows(panel)
        mass = next(scene.mass for scene, one in zip(self.clip.scenes, self._panels, strict=True) if one is panel)
        x = self._force_x(rows[0], moment.asked * mass / 1000.0)
        canvas.line([(x, rows[0].top - 5.0 * u), (x, rows[0].bottom + 3.0 * u)], theme.ink, 4.0 * u)
        canvas.text(x, rows[0].top - 15.0 * u, "asked", 0.86 * size, theme.ink, "middle")


def _ends(box: Box) -> tuple[float, float, float, float]:
    return box.left, box.top, box.right, box.bottom


def _middle(box: Box) -> float:
    return 0.5 * (box.top + box.bottom)


def _fitting(words: str, size: float, width: float, *, bold: bool = False) -> float:
    """Return the size at which one line of words fits, at most ``size``."""
    return size * min(1.0, max(width, 1.0) / max(text_width(words, size, bold), 1e-9))


def _step(most: float, count: int) -> float:
    """Return a round step that divides a scale into about ``count`` parts."""
    rough = most / count
    power = 10.0 ** math.floor(math.log10(max(rough, 1e-9)))
    return next(power * one for one in (1.0, 2.0, 2.5, 5.0, 10.0) if power * one >= rough * 0.999)


def _temperature(kelvin: float, display: Any) -> str:
    celsius = kelvin - ZERO_CELSIUS
    return f"{celsius:.0f} °C" if display.temperature == "degC" else f"{celsius * 1.8 + 32.0:.0f} °F"
