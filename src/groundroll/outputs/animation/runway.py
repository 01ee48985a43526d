"""The runway twice: all of it as a strip, and the part around the aeroplane to scale, seen from above."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

import numpy as np

from groundroll.constants import FOOT
from groundroll.outputs.animation.canvas import Canvas, rectangle, text_width
from groundroll.outputs.animation.theme import Theme
from groundroll.scenario.model import Display
from groundroll.teaching.animation import Moment, Outline, Scene

Corners = tuple[float, float, float, float]
"""Left, top, right and bottom of a part of the picture. [px]"""

STRIPE: Final = 30.0
STRIPE_GAP: Final = 20.0
"""Centre-line stripes and the gaps between them, as drawn. [m] ICAO Annex 14, Vol. I, 5.2.3.3 (from memory)."""

THRESHOLD_BEGIN: Final = 6.0
THRESHOLD_LENGTH: Final = 30.0
"""Threshold stripes, as drawn. [m] ICAO Annex 14, Vol. I, 5.2.4 (from memory)."""

AIMING_LENGTH: Final = 45.0
"""Aiming point marking, as drawn. [m] ICAO Annex 14, Vol. I, table 5-1, 45 to 60 m (from memory)."""

GRASS_SHARE: Final = 0.22
"""Of the height of the close-up on each side of the runway. [-] Assumption of this project: room for labels."""

AHEAD_SHARE: Final = 0.42
"""Where the main gear stands in the close-up, from its left. [-] Assumption of this project."""

ABOVE_STRIP: Final = 27.0
FIGURES_BELOW: Final = 26.0
"""Room for exits above the strip and for figures below the strip and the close-up, in thousandths of the shorter side
and a little less."""

EXIT_WIDTH: Final = 18.0
"""Of an exit, as drawn. [m] Assumption of this project."""


@dataclass(frozen=True)
class Ground:
    """The common scale of all overviews of a clip. [m]"""

    begin: float
    end: float
    step: float
    """Between the figures along the runway, in the unit shown."""
    unit: float
    """Metres of one unit shown."""
    unit_words: str

    @classmethod
    def of(cls, scenes: Sequence[Scene], display: Display) -> Ground:
        """Return the scale that holds every runway and every roll."""
        begin = min(min(one.strip.paved_begin, float(np.min(one.distance))) for one in scenes)
        end = max(max(one.strip.paved_end, one.strip.available_end, float(np.max(one.distance))) for one in scenes)
        unit = 1.0 if display.length == "m" else FOOT
        rough = (end - begin) / unit / 6.0
        power = 10.0 ** math.floor(math.log10(rough))
        step = next(power * one for one in (1.0, 2.0, 2.5, 5.0, 10.0) if power * one >= rough)
        return cls(begin - 0.005 * (end - begin), end + 0.005 * (end - begin), step, unit, display.length)

    def x(self, ends: tuple[float, float], distance: Any) -> Any:
        """Return the pixels of distances between two ends."""
        share = (np.asarray(distance) - self.begin) / (self.end - self.begin)
        return ends[0] + share * (ends[1] - ends[0])


@dataclass(frozen=True)
class StripPlace:
    """Top and bottom of the strip in the overview. [px]"""

    top: float
    bottom: float

    @property
    def words(self) -> float:
        """Return the height at which surfaces are named. [px]"""
        return self.top + 0.34 * (self.bottom - self.top)

    @property
    def lane(self) -> float:
        """Return the height at which the aeroplane moves along. [px]"""
        return self.top + 0.78 * (self.bottom - self.top)


def overview_places(unit: float, corners: Corners) -> StripPlace:
    """Return where the strip stands in its part of the picture: exits above, figures below."""
    _, top, _, bottom = corners
    return StripPlace(top + ABOVE_STRIP * unit, bottom - ABOVE_STRIP * unit)


def draw_overview(
    canvas: Canvas, theme: Theme, unit: float, scene: Scene, ground: Ground, corners: Corners, ends: tuple[float, float]
) -> None:
    """Draw the whole runway with its surfaces, exits and figures."""
    place, strip = overview_places(unit, corners), scene.strip

    def x(distance: float) -> float:
        return float(ground.x(ends, distance))

    for third in strip.thirds:
        canvas.polygon(
            rectangle(x(third.begin), place.top, x(third.end), place.bottom), theme.surfaces[min(max(third.code, 0), 6)]
        )
    for third in strip.thirds[1:]:
        canvas.line([(x(third.begin), place.top), (x(third.begin), place.bottom)], theme.ground, 2.0 * unit)
    size = 17.0 * unit
    for third in strip.thirds:
        words = third.words
        room = x(third.end) - x(third.begin) - 16.0 * unit
        fitting = size * min(1.0, room / max(text_width(words, size), 1e-9))
        light = _is_light(theme.surfaces[min(max(third.code, 0), 6)])
        canvas.text(0.5 * (x(third.begin) + x(third.end)), place.words, words, fitting, _on(light), "middle")
    for one in strip.exits:
        at = x(one.distance)
        y = place.top - 11.0 * unit
        canvas.line([(at, place.top - 2.0 * unit), (at, place.top + 5.0 * unit)], theme.ink, 2.0 * unit)
        canvas.text(at, y, one.name, 16.0 * unit, theme.quiet, "middle")
    end = x(strip.available_end)
    canvas.line([(end, place.top - 6.0 * unit), (end, place.bottom + 6.0 * unit)], theme.warning, 4.0 * unit)
    if strip.threshold is not None:
        at = x(strip.threshold)
        canvas.line([(at, place.top), (at, place.bottom)], theme.marking, 3.0 * unit)
    value = math.ceil(ground.begin / ground.unit / ground.step - 1e-9) * ground.step
    while value * ground.unit <= ground.end:
        at = x(value * ground.unit)
        canvas.line([(at, place.bottom), (at, place.bottom + 5.0 * unit)], theme.quiet, 1.4 * unit)
        words = f"{value:g}" if value else f"0 {ground.unit_words}"
        canvas.text(at, place.bottom + 16.0 * unit, words, 16.0 * unit, theme.quiet, "middle")
        value += ground.step


def _is_light(colour: str) -> bool:
    """Return whether dark words stand out better than white ones; about the middle of the scale of contrast."""
    red, green, blue = (int(colour[place : place + 2], 16) for place in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue > 122.0


def _on(light: bool) -> str:
    return "#111417" if light else "#FFFFFF"


@dataclass(frozen=True)
class View:
    """From metres along and across the runway to pixels of the close-up."""

    scale: float
    """[px/m]"""
    at: float
    """Distance at ``centre_x``. [m]"""
    centre_x: float
    centre_y: float

    def point(self, distance: float, across: float) -> tuple[float, float]:
        """Return the pixels of a place; across is positive to the left of the roll."""
        return self.centre_x + (distance - self.at) * self.scale, self.centre_y - across * self.scale

    def box(self, begin: float, end: float, first: float, second: float) -> list[tuple[float, float]]:
        """Return the corners of a rectangle on the ground."""
        return [
            self.point(begin, first),
            self.point(end, first),
            self.point(end, second),
            self.point(begin, second),
        ]


def view_of(scene: Scene, moment: Moment, corners: Corners) -> View:
    """Return the close-up of one moment: the runway fills its height but for the grass."""
    left, top, right, bottom = corners
    scale = (bottom - top) * (1.0 - 2.0 * GRASS_SHARE) / scene.strip.width
    return View(scale, moment.distance, left + AHEAD_SHARE * (right - left), 0.5 * (top + bottom))


def draw_close_up(
    canvas: Canvas, theme: Theme, unit: float, scene: Scene, moment: Moment, display: Display, corners: Corners
) -> None:
    """Draw the runway around the aeroplane, to scale in both directions."""
    left, top, right, bottom = corners
    view, strip = view_of(scene, moment, corners), scene.strip
    canvas.clip(*corners)
    canvas.polygon(rectangle(left, top, right, bottom), theme.grass)
    first = moment.distance - (view.centre_x - left) / view.scale
    last = moment.distance + (right - view.centre_x) / view.scale
    half = 0.5 * strip.width
    for one in strip.exits:
        if first - 300.0 < one.distance < last + 300.0:
            _draw_exit(canvas, theme, view, one.distance, half, one.angle, left=one.left)
    canvas.polygon(view.box(max(strip.paved_begin, first), min(strip.paved_end, last), half, -half), theme.paved)
    _draw_markings(canvas, theme, unit, scene, view, first, last)
    for one in strip.exits:
        x, edge = view.point(one.distance, half if one.left else -half)
        y = edge + (-12.0 if one.left else 13.0) * unit
        canvas.text(
            x - _mouth(one.angle) * view.scale - 8.0 * unit,
            y,
            f"exit {one.name}",
            16.0 * unit,
            theme.ink,
            "right",
            bold=True,
        )
    draw_aeroplane(canvas, theme, unit, scene, moment, view)
    canvas.unclip()
    canvas.line([*rectangle(left, top, right, bottom), (left, top)], theme.line, 1.2 * unit)
    _draw_figures(canvas, theme, view, display, unit, corners)


def _mouth(angle: float) -> float:
    """Return half of the length along the runway that an exit takes at its edge, as drawn. [m]"""
    return 0.5 * EXIT_WIDTH / max(math.sin(angle), 0.3)


def _draw_exit(
    canvas: Canvas, theme: Theme, view: View, distance: float, half: float, angle: float, *, left: bool
) -> None:
    """Draw a straight piece of taxiway that leaves at the angle of the exit."""
    side = 1.0 if left else -1.0
    reach = 160.0
    along, across = math.cos(angle) * reach, math.sin(angle) * reach
    wide = _mouth(angle)
    canvas.polygon(
        [
            view.point(distance - wide, side * 0.6 * half),
            view.point(distance + wide, side * 0.6 * half),
            view.point(distance + wide + along, side * (half + across)),
            view.point(distance - wide + along, side * (half + across)),
        ],
        theme.paved,
    )


def _draw_markings(
    canvas: Canvas, theme: Theme, unit: float, scene: Scene, view: View, first: float, last: float
) -> None:
    strip = scene.strip
    half = 0.5 * strip.width
    begin, end = max(strip.paved_begin, first), min(strip.paved_end, last)
    for side in (1.0, -1.0):
        canvas.polygon(view.box(begin, end, side * (half - 1.0), side * (half - 1.9)), theme.marking)
    origin = strip.paved_begin if strip.threshold is None else strip.threshold
    period = STRIPE + STRIPE_GAP
    number = math.floor((first - origin) / period)
    while origin + number * period < last:
        stripe = origin + number * period
        inside = stripe > origin + THRESHOLD_BEGIN + THRESHOLD_LENGTH and stripe + STRIPE < strip.paved_end
        if inside:
            canvas.polygon(view.box(stripe, stripe + STRIPE, 0.45, -0.45), theme.marking)
        number += 1
    stripes = [2.0 + 3.6 * step for step in range(int((half - 4.0) / 3.6))]
    for place, forward in ((origin, 1.0), (strip.paved_end, -1.0)):
        near, far = place + forward * THRESHOLD_BEGIN, place + forward * (THRESHOLD_BEGIN + THRESHOLD_LENGTH)
        if first < max(near, far) and min(near, far) < last:
            for across in stripes:
                for side in (1.0, -1.0):
                    canvas.polygon(view.box(near, far, side * across, side * (across + 1.8)), theme.marking)
    aim = strip.aiming_point
    if aim is not None and first < aim + AIMING_LENGTH and aim < last:
        for side in (1.0, -1.0):
            canvas.polygon(view.box(aim, aim + AIMING_LENGTH, side * 9.0, side * min(15.0, half - 3.0)), theme.marking)
    for before, third in pairwise(strip.thirds):
        if before.words != third.words and first < third.begin < last:
            canvas.line(
                [view.point(third.begin, half), view.point(third.begin, -half)],
                theme.marking,
                2.0 * unit,
                (8.0 * unit, 6.0 * unit),
            )
            x, y = view.point(third.begin, half)
            canvas.text(x + 8.0 * unit, y - 14.0 * unit, f"from here: {third.words}", 18.0 * unit, theme.ink)
    if first < strip.available_end < last:
        canvas.line(
            [view.point(strip.available_end, 1.35 * half), view.point(strip.available_end, -1.35 * half)],
            theme.warning,
            6.0 * unit,
        )


def _draw_figures(
    canvas: Canvas,
    theme: Theme,
    view: View,
    display: Display,
    unit: float,
    corners: Corners,
) -> None:
    """Draw a figure every 100 m or 500 ft below the close-up."""
    left, _, right, bottom = corners
    room = 34.0 * unit
    step, metres = (100.0, 1.0) if display.length == "m" else (500.0, FOOT)
    first = view.at + (left + room - view.centre_x) / view.scale
    value = math.ceil(first / metres / step) * step
    while (x := view.point(value * metres, 0.0)[0]) < right - room:
        canvas.line([(x, bottom), (x, bottom + 6.0 * unit)], theme.quiet, 1.4 * unit)
        canvas.text(x, bottom + 16.0 * unit, f"{value:.0f} {display.length}", 16.0 * unit, theme.quiet, "middle")
        value += step


# ------------------------------------------------------------------------------------------------------- the aeroplane


def _shape(outline: Outline) -> dict[str, list[list[tuple[float, float]]]]:
    """Return the parts of the aeroplane as places behind the nose and to the left, both in metres.

    A plain shape of this project, drawn in proportion to length and span; it is meant to be no type.
    """
    length, half = outline.length, 0.5 * outline.span
    body = 0.049 * length
    nose = [
        (0.13 * length * (1.0 - math.cos(angle)), body * math.sin(angle))
        for angle in np.linspace(0.0, math.pi / 2.0, 9)
    ]
    upper = [*nose, (0.66 * length, body), (0.93 * length, 0.32 * body), (length, 0.12 * body)]
    fuselage = [*upper, *((x, -y) for x, y in reversed(upper[1:]))]
    leading = 0.345 * length

    def wing_x(across: float, chord_share: float) -> float:
        share = across / half
        chord = (1.0 - share) * 0.215 * length + share * 0.05 * length
        return leading + 0.47 * across + chord_share * chord

    def mirrored(points: list[tuple[float, float]]) -> list[list[tuple[float, float]]]:
        return [points, [(x, -y) for x, y in points]]

    wing = [(wing_x(0.0, 0.0), 0.0), (wing_x(half, 0.0), half), (wing_x(half, 1.0), half), (wing_x(0.0, 1.0), 0.0)]
    tail_half = 0.36 * half
    tail = [
        (0.885 * length, 0.0),
        (0.885 * length + 0.5 * tail_half, tail_half),
        (0.93 * length + 0.5 * tail_half, tail_half),
        (0.985 * length, 0.0),
    ]
    places = {2: [0.33], 3: [0.33], 4: [0.3, 0.56]}.get(outline.engines, [0.33])
    engines: list[list[tuple[float, float]]] = []
    for share in places:
        across, wide = share * half, 0.031 * length
        front = wing_x(across, 0.0) - 0.075 * length
        back = front + 0.115 * length
        engines += mirrored(
            [
                (front, across - wide),
                (front, across + wide),
                (back, across + 0.62 * wide),
                (back, across - 0.62 * wide),
            ]
        )
    spoilers: list[list[tuple[float, float]]] = []
    for first, last in ((0.17, 0.36), (0.38, 0.6)):
        spoilers += mirrored(
            [
                (wing_x(first * half, 0.6), first * half),
                (wing_x(last * half, 0.6), last * half),
                (wing_x(last * half, 0.86), last * half),
                (wing_x(first * half, 0.86), first * half),
            ]
        )
    gear, across = outline.main_gear, 0.095 * outline.span
    wheels = mirrored(
        [
            (gear - 0.022 * length, across - 0.016 * length),
            (gear + 0.022 * length, across - 0.016 * length),
            (gear + 0.022 * length, across + 0.016 * length),
            (gear - 0.022 * length, across + 0.016 * length),
        ]
    )
    return {
        "engines": engines,
        "wing": mirrored(wing),
        "tail": mirrored(tail),
        "fuselage": [fuselage],
        "spoilers": spoilers,
        "wheels": wheels,
    }


def draw_aeroplane(canvas: Canvas, theme: Theme, unit: float, scene: Scene, moment: Moment, view: View) -> None:
    """Draw the aeroplane with its main gear at the distance of the moment; what works on it is filled in colour."""
    outline = scene.outline
    parts = _shape(outline)

    def placed(points: list[tuple[float, float]], along: float = 0.0, across: float = 0.0) -> list[tuple[float, float]]:
        return [
            view.point(moment.distance + outline.main_gear - behind + along, left + across) for behind, left in points
        ]

    if moment.airborne:
        # Its shadow comes closer as it sinks; the height itself is not computed.
        away = 0.12 * outline.length * (1.0 - moment.time / scene.airborne_until)
        for name in ("wing", "tail", "fuselage"):
            for points in parts[name]:
                canvas.polygon(placed(points, -0.4 * away, -away), _mixed(theme.paved, "#000000", 0.4))
    edge = 1.5 * unit
    for name in ("engines", "wing", "tail", "fuselage"):
        for points in parts[name]:
            canvas.polygon(placed(points), theme.aeroplane, theme.aeroplane_edge, edge)
    for points in parts["spoilers"]:
        fill = _mixed(theme.aeroplane, theme.forces["drag"], moment.spoilers)
        canvas.polygon(placed(points), fill, theme.aeroplane_edge, 0.7 * edge)
    if moment.reverse > 0.01:
        for points in parts["engines"]:
            _draw_reverse(canvas, theme, placed(points), moment.reverse, view.scale * outline.length)
    braking = moment.forces["brakes"] / max(float(np.max(scene.forces["brakes"])), 1.0)
    for points in parts["wheels"]:
        fill = _mixed(theme.aeroplane, theme.forces["brakes"], min(max(1.6 * braking, 0.0), 1.0))
        canvas.polygon(placed(points), fill, theme.aeroplane_edge, 0.7 * edge)


def _draw_reverse(canvas: Canvas, theme: Theme, engine: list[tuple[float, float]], share: float, length: float) -> None:
    """Draw where the air goes: outwards and forwards from the back of an engine."""
    colour = theme.forces["thrust"]
    xs, ys = [x for x, _ in engine], [y for _, y in engine]
    back = 0.6 * min(xs) + 0.4 * max(xs)
    reach = 0.075 * length * share
    for y, side in ((min(ys), -1.0), (max(ys), 1.0)):
        canvas.polygon(
            [
                (back - 0.02 * length, y),
                (back + 0.02 * length, y),
                (back + 0.012 * length + reach, y + side * 0.6 * reach),
            ],
            colour,
        )


def _mixed(first: str, second: str, share: float) -> str:
    """Return a colour between two."""
    parts = [
        round((1.0 - share) * int(first[place : place + 2], 16) + share * int(second[place : place + 2], 16))
        for place in (1, 3, 5)
    ]
    return "#" + "".join(f"{part:02X}" for part in parts)
