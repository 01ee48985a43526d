"""The runway strip and the scale of decision speeds as SVG, black on white: hatches, weights and dashes, no colour.

One drawing serves PDF and HTML. Lengths on the page are points; text has the same size at every width.
"""

from __future__ import annotations

import math
from html import escape
from typing import Final

from groundroll.constants import FOOT
from groundroll.outputs.brief.content import Piece, SpeedWindow, Strip, Track

FONT: Final = "Libertinus Serif, Georgia, serif"
TEXT: Final = 7.6
SMALL: Final = 6.8
_NARROW: Final = " .,:;|!'()/ijlt"
_WIDE: Final = "mwMW"

EDGE: Final = 6.0
"""Left and right of the drawing. [pt]"""

BAND: Final = 30.0
"""Height of the runway. [pt] Its length is to scale, its width is not."""

STUB: Final = 9.0
ROW: Final = 9.5
TRACK: Final = 22.0
MOST_ROWS: Final = 3
"""Rows of exit labels on one side; an exit without room keeps its stub and loses its label."""

INK: Final = "#000000"
PALE: Final = "#8a8a8a"

_HATCHES: Final = {
    6: "",
    5: '<path d="M0 8L8 0" stroke="#000" stroke-width=".35"/>',
    4: '<circle cx="2" cy="2" r="1"/><circle cx="6" cy="6" r="1"/>',
    3: '<path d="M0 4L4 0M4 8L8 4M0 8L8 0" stroke="#000" stroke-width=".55"/>',
    2: '<path d="M0 4L4 0M4 8L8 4M0 8L8 0M0 4L4 8M4 0L8 4M0 0L8 8" stroke="#000" stroke-width=".6"/>',
    1: '<path d="M0 4L4 0M4 8L8 4M0 8L8 0M0 4L4 8M4 0L8 4M0 0L8 8" stroke="#000" stroke-width="1.2"/>',
    0: '<rect width="8" height="8" fill="#222"/>',
}
"""The worse the code, the denser the hatch."""


def _width(text: str, size: float) -> float:
    """Return about how wide a text is set, a little too wide rather than too narrow; keeps labels apart. [pt]"""
    units = 0.0
    for one in text:
        units += 0.30 if one in _NARROW else 0.84 if one in _WIDE else 0.70 if one.isupper() else 0.50
    return units * size


class _Page:
    """SVG under way."""

    def __init__(self, name: str, width: float, fixed_text: bool) -> None:
        self.name = name
        self.width = width
        self.fixed_text = fixed_text
        self.parts: list[str] = []

    def hatch(self, name: str) -> str:
        """Return the fill for a hatch; names differ between the drawings of one page."""
        return f"url(#{self.name}-{name})"

    def line(self, x1: float, y1: float, x2: float, y2: float, weight: float = 0.6, dash: str = "") -> None:
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<line x1="{x1:.2f}" y1="{y1:.2f}" x2="{x2:.2f}" y2="{y2:.2f}" stroke="{INK}" stroke-width="{weight}"'
            f"{dashed}/>"
        )

    def box(self, x: float, y: float, width: float, height: float, fill: str, edge: float = 0.0) -> None:
        stroke = f' stroke="{INK}" stroke-width="{edge}"' if edge else ""
        self.parts.append(
            f'<rect x="{x:.2f}" y="{y:.2f}" width="{max(width, 0.0):.2f}" height="{height:.2f}" fill="{fill}"{stroke}/>'
        )

    def shape(self, path: str, fill: str = INK) -> None:
        self.parts.append(f'<path d="{path}" fill="{fill}"/>')

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float = TEXT,
        anchor: str = "start",
        bold: bool = False,
        behind: str = "",
    ) -> None:
        width = _width(text, size) * (1.06 if bold else 1.0)
        left = {"start": x, "middle": x - 0.5 * width, "end": x - width}[anchor]
        if behind:
            self.box(left - 1.5, y - 0.78 * size, width + 3.0, size, behind)
        weight = ' font-weight="bold"' if bold else ""
        if self.fixed_text:
            weight += f' textLength="{0.95 * width:.1f}" lengthAdjust="spacingAndGlyphs"'
        self.parts.append(
            f'<text x="{x:.2f}" y="{y:.2f}" font-family="{FONT}" font-size="{size}" text-anchor="{anchor}"{weight} '
            f'fill="{INK}">{escape(text, quote=False)}</text>'
        )

    def arrow(self, x: float, y: float, direction: float) -> None:
        """Draw the head of an arrow with its tip at x, pointing along ``direction``, 1 or -1."""
        back = x - 5.0 * direction
        self.shape(f"M{x:.2f} {y:.2f}L{back:.2f} {y - 2.2:.2f}L{back:.2f} {y + 2.2:.2f}Z")

    def svg(self, height: float, label: str) -> str:
        drawn = "".join(self.parts)
        patterns = "".join(
            f'<pattern id="{self.name}-code{code}" width="8" height="8" patternUnits="userSpaceOnUse">'
            f"{content}</pattern>"
            for code, content in _HATCHES.items()
            if content and self.hatch(f"code{code}") in drawn
        )
        added = (
            f'<pattern id="{self.name}-added" width="4" height="4" patternUnits="userSpaceOnUse">'
            '<path d="M0 0L4 4" stroke="#000" stroke-width=".5"/></pattern>'
        )
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width:.1f} {height:.1f}" '
            f'width="{self.width:.1f}pt" height="{height:.1f}pt" role="img" aria-label="{escape(label)}">'
            f"<defs>{patterns}{added}</defs>{drawn}</svg>"
        )


class _Scale:
    """Metres to points."""

    def __init__(self, strip: Strip, width: float) -> None:
        reach = [strip.paved_end, strip.available]
        reach += [min(one.end, 1.3 * strip.paved_end) for track in strip.tracks for one in track.pieces]
        self.begin = min(strip.paved_begin, 0.0)
        self.end = max(reach)
        self.left = EDGE
        self.right = width - EDGE
        self.per_metre = (self.right - self.left) / (self.end - self.begin)

    def __call__(self, distance: float) -> float:
        return self.left + (min(distance, self.end) - self.begin) * self.per_metre


def strip_svg(strip: Strip, width: float, *, fixed_text: bool = False) -> str:
    """Return the runway strip as SVG.

    Parameters
    ----------
    strip
        What is to be drawn.
    width
        Of the drawing. [pt]
    fixed_text
        Whether texts are squeezed into the room kept for them, for a page whose fonts are not known.
    """
    page, x = _Page("strip", width, fixed_text), _Scale(strip, width)
    rows = {side: _label_rows(strip, side, x) for side in ("left", "right")}
    above = (STUB + ROW * max(len(rows["left"]), 1)) if any(one.side == "left" for one in strip.exits) else 0.0
    zone_row = 9.0 if strip.touchdown_zone is not None else 2.0
    top = above + zone_row
    bottom = top + BAND
    _runway(page, strip, x, top)
    if strip.touchdown_zone is not None:
        _touchdown_zone(page, x(0.0), x(strip.touchdown_zone), top)
    _exits(page, strip, rows, x, top, bottom)
    below = (STUB + ROW * max(len(rows["right"]), 1)) if any(one.side == "right" for one in strip.exits) else 3.0
    y = bottom + below
    first_track = y
    y += TRACK * len(strip.tracks) + 4.0
    _gates(page, strip, x, top, first_track, y)
    for number, track in enumerate(strip.tracks):
        _track(page, track, x, first_track + TRACK * number)
    height = _axis(page, strip, x, y)
    return page.svg(height, f"Runway to scale from {strip.origin}")


def _runway(page: _Page, strip: Strip, x: _Scale, top: float) -> None:
    for third in strip.thirds:
        left, right = x(third.begin), x(third.end)
        page.box(left, top, right - left, BAND, "#ffffff")
        if _HATCHES[third.code]:
            page.box(left, top, right - left, BAND, page.hatch(f"code{third.code}"))
    for third in strip.thirds[1:]:
        page.box(x(third.begin) - 1.2, top, 2.4, BAND, "#ffffff")
        page.line(x(third.begin), top, x(third.begin), top + BAND, 0.8, "3 2")
    for third in strip.thirds:
        middle = 0.5 * (x(max(third.begin, strip.paved_begin)) + x(third.end))
        room = x(third.end) - x(third.begin) - 6.0
        text = f"{third.code} {third.words}".strip()
        if _width(text, TEXT) * 1.06 > room:
            text = str(third.code)
        page.text(middle, top + 10.5, text, anchor="middle", bold=True, behind="#ffffff")
    left, right = x(strip.paved_begin), x(strip.paved_end)
    page.parts.append(
        f'<rect x="{left:.2f}" y="{top:.2f}" width="{right - left:.2f}" height="{BAND}" fill="none" stroke="{INK}" '
        'stroke-width="1"/>'
    )
    page.line(x(0.0), top, x(0.0), top + BAND, 2.4)
    if strip.available < strip.paved_end - 1.0 or strip.available > strip.paved_end + 1.0:
        page.line(x(strip.available), top - 2.0, x(strip.available), top + BAND + 2.0, 1.6, "4 1.5")


def _touchdown_zone(page: _Page, left: float, right: float, top: float) -> None:
    y = top - 3.0
    page.line(left, y, right, y, 0.6)
    for at in (left, right):
        page.line(at, y - 2.0, at, y + 2.0, 0.6)
    page.text(left + 4.0, y + 2.0, "touchdown zone", size=SMALL, behind="#ffffff")


def _exit_label(name: str, speed: str) -> str:
    return f"{name} {speed}".strip()


def _label_rows(strip: Strip, side: str, x: _Scale) -> list[list[tuple[float, float, str, bool]]]:
    """Return the labels of the exits of one side in as many rows as they need; the chosen exit is placed first.

    Each label: its middle, the outer end of the exit, its text, whether the exit is chosen.
    """
    rows: list[list[tuple[float, float, tuple[float, float, str, bool]]]] = []
    listed = sorted((one for one in strip.exits if one.side == side), key=lambda one: (not one.chosen, one.distance))
    for one in listed:
        text = _exit_label(one.name, one.speed)
        half = 0.53 * _width(text, TEXT) + 2.0
        middle = min(max(x(one.distance), x.left + half), x.right - half)
        for row in rows:
            if all(middle + half <= left or middle - half >= right for left, right, _ in row):
                break
        else:
            if len(rows) == MOST_ROWS:
                continue
            row = []
            rows.append(row)
        row.append((middle - half, middle + half, (middle, x(one.distance) + 5.0, text, one.chosen)))
    return [[label for _, _, label in row] for row in rows]


def unlabelled_exits(strip: Strip, width: float) -> int:
    """Return how many exits have no room for their label at this width."""
    x = _Scale(strip, width)
    placed = sum(len(row) for side in ("left", "right") for row in _label_rows(strip, side, x))
    return len(strip.exits) - placed


def _exits(
    page: _Page,
    strip: Strip,
    rows: dict[str, list[list[tuple[float, float, str, bool]]]],
    x: _Scale,
    top: float,
    bottom: float,
) -> None:
    for one in strip.exits:
        at, up = x(one.distance), one.side == "left"
        edge, lean = (top, -1.0) if up else (bottom, 1.0)
        zone = strip.touchdown_zone is not None and up
        length = STUB + (6.0 if zone else 0.0)
        if one.chosen:
            page.line(at, edge, at + 5.0, edge + lean * length, 2.4)
        else:
            page.line(at, edge, at + 5.0, edge + lean * length, 1.0)
    offset = 9.0 if strip.touchdown_zone is not None else 2.0
    for side, placed in rows.items():
        for number in range(len(placed) - 1, -1, -1):  # a label covers the leader of one further out
            y = top - offset - STUB - ROW * number - 1.0 if side == "left" else bottom + STUB + ROW * (number + 1) - 2.0
            for middle, stub, text, chosen in placed[number]:
                if number > 0:
                    begin = top - STUB - offset + 2.0 if side == "left" else bottom + STUB
                    page.line(stub, begin, stub, y, 0.4)
                page.text(middle, y, text, anchor="middle", bold=chosen, behind="#ffffff")


def _gates(page: _Page, strip: Strip, x: _Scale, top: float, first_track: float, end: float) -> None:
    y = top + 21.5
    last = -math.inf
    for gate in strip.gates:
        at = x(gate.distance)
        page.line(at, top + 16.0, at, top + BAND, 0.5, "1.5 1.5")
        page.line(at, first_track, at, end, 0.5, "1.5 1.5")
        shift = 0.0 if at - last >= 11.0 else 11.0 - (at - last)
        middle = at + shift
        last = middle
        page.parts.append(
            f'<circle cx="{middle:.2f}" cy="{y:.2f}" r="5.2" fill="#ffffff" stroke="{INK}" stroke-width=".9"/>'
        )
        page.text(middle, y + 2.6, str(gate.number), anchor="middle", bold=True)


_WEIGHTS: Final[dict[str, tuple[float, str]]] = {
    "air": (0.9, "1 3"),
    "rolling": (1.2, ""),
    "braking": (3.4, ""),
}


def _track(page: _Page, track: Track, x: _Scale, top: float) -> None:
    y = top + 15.0
    for piece in track.pieces:
        _piece(page, piece, x, y)
    end = x(track.end)
    if track.end > x.end + 0.5:
        page.shape(f"M{x.right:.2f} {y - 5.0:.2f}l5 5l-5 5Z")  # it goes on beyond the drawing
    else:
        page.line(end, y - 4.0, end, y + 4.0, 1.6)
    if track.limit is not None:
        page.line(x(track.limit), y - 5.0, x(track.limit), y + 5.0, 1.0, "2 1.2")
    label = y - 6.0
    page.text(x(0.0) + 2.0, label, track.name, size=TEXT, behind="#ffffff")
    taken = x(0.0) + 2.0 + _width(track.name, TEXT) + 6.0
    span = track.span_label
    span_width = _width(span, TEXT) * 1.06 if span else 0.0
    right = x.right - (span_width + 8.0 if span else 0.0)
    room = _width(track.end_label, TEXT) * 1.06
    middle = min(max(end, taken + 0.5 * room), right - 0.5 * room)
    page.text(middle, label, track.end_label, anchor="middle", bold=True, behind="#ffffff")
    if span:
        page.text(x.right, label, span, anchor="end", bold=True, behind="#ffffff")


def _piece(page: _Page, piece: Piece, x: _Scale, y: float) -> None:
    left, right = x(piece.begin), x(piece.end)
    if piece.kind == "added":
        page.box(left, y - 3.0, right - left, 6.0, "#ffffff", 0.7)
        page.box(left, y - 3.0, right - left, 6.0, page.hatch("added"), 0.7)
    elif piece.kind == "left":
        page.line(left, y, right, y, 0.6)
        if right - left > 12.0:
            page.arrow(left, y, -1.0)
            page.arrow(right, y, 1.0)
    elif piece.kind == "short":
        page.box(left, y - 3.0, right - left, 6.0, INK)
        for number in range(int((right - left) / 6.0)):
            at = left + 6.0 * number + 3.0
            page.parts.append(
                f'<path d="M{at:.2f} {y - 3.0:.2f}l3 6" stroke="#ffffff" stroke-width="1.4" fill="none"/>'
            )
    else:
        weight, dash = _WEIGHTS[piece.kind]
        page.line(left, y, right, y, weight, dash)


def _axis(page: _Page, strip: Strip, x: _Scale, y: float) -> float:
    unit = 1.0 if strip.unit == "m" else FOOT
    step = 500.0 if strip.unit == "m" else 1000.0
    while step * unit * x.per_metre < 40.0:
        step *= 2.0
    page.line(x(x.begin), y, x.right, y, 0.7)
    small = math.floor((x.end / unit) / (step / 5.0))
    for number in range(small + 1):
        at = x(number * step / 5.0 * unit)
        page.line(at, y, at, y + (4.0 if number % 5 == 0 else 2.0), 0.6)
    for number in range(int((x.end / unit) // step) + 1):
        at = x(number * step * unit)
        label = f"{number * step:.0f}" + (f" {strip.unit} from {strip.origin}" if number == 0 else "")
        if number == 0:
            page.text(at, y + 11.0, label, size=SMALL)
        elif at > x(0.0) + _width(f"0 m from {strip.origin}", SMALL) + 10.0:
            page.text(min(at, x.right - 9.0), y + 11.0, label, size=SMALL, anchor="middle")
    return y + 14.0


def window_svg(window: SpeedWindow, width: float, *, fixed_text: bool = False) -> str:
    """Return the scale of decision speeds as SVG: the window as an open bar, every limit as a mark.

    Parameters
    ----------
    window
        What is to be drawn.
    width
        Of the drawing. [pt]
    fixed_text
        Whether texts are squeezed into the room kept for them, for a page whose fonts are not known.
    """
    page = _Page("window", width, fixed_text)
    speeds = [one.speed for one in window.marks]
    low, high = min(speeds), max(speeds)
    reach = max(high - low, 1.0)
    left, right = EDGE + 36.0, width - EDGE - 36.0

    def x(speed: float) -> float:
        return left + (speed - low) / reach * (right - left)

    rows: list[list[tuple[float, float]]] = []
    placed = []
    for one in sorted(window.marks, key=lambda mark: (not mark.chosen, mark.speed)):
        text = f"{one.words} {one.value}"
        half = 0.55 * _width(text, TEXT) + 3.0
        middle = min(max(x(one.speed), EDGE + half), width - EDGE - half)
        clear = (
            number
            for number, row in enumerate(rows)
            if all(middle + half <= begin or middle - half >= end for begin, end in row)
        )
        place = next(clear, len(rows))
        if place == len(rows):
            rows.append([])
        rows[place].append((middle - half, middle + half))
        placed.append((place, middle, text, one))
    top = ROW * len(rows) + 4.0
    for number, _, _, one in placed:
        y = top - 4.0 - ROW * number
        page.line(x(one.speed), y + 1.5, x(one.speed), top + 12.0, 2.2 if one.chosen else 0.7)
    for number, middle, text, one in placed:
        y = top - 4.0 - ROW * number
        page.text(middle, y, text, anchor="middle", bold=one.chosen, behind="#ffffff")
    if window.low is not None and window.high is not None:
        page.box(x(window.low), top + 2.0, x(window.high) - x(window.low), 8.0, page.hatch("added"), 0.9)
        page.text(0.5 * (x(window.low) + x(window.high)), top + 18.5, "window", size=SMALL, anchor="middle")
    else:
        page.text(0.5 * width, top + 19.0, "no window", size=TEXT, anchor="middle", bold=True)
    page.line(EDGE, top + 6.0, width - EDGE, top + 6.0, 0.8)
    return page.svg(top + 21.0, "Scale of decision speeds")
