"""The pictures of a lesson as SVG: one drawing for the page, whose theme colours it, and for paper.

Nothing is told by colour alone: lines have dashes and marks of their own, parts of a bar their hatch and their name.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape
from typing import Final

from groundroll.outputs.brief.typography import set_in_type
from groundroll.outputs.charts import style
from groundroll.teaching.pictures import Axis, Ledger, Line, Lines, Map, Picture, Report, Shares, Strip, Table

WIDTH: Final = 640.0
"""Of a drawing on a page, in its own units; pages scale it."""

SLIDE_WIDTH: Final = 440.0
"""The same on a slide: text is larger beside the lines."""

SIZE: Final = 13.0
SMALL: Final = 11.5
"""Of text, in the same units."""

COLOURS: Final = (style.BLUE, style.VERMILION, style.GREEN, "#8A4F7D", "#7A5C00", "#444444")
"""Lines and fills on white; all but the fourth and fifth, which are darkened, are those of the charts."""

DASHES: Final = ("", "9 4", "2 4", "12 4 2 4", "5 3", "1 3")
FILLS: Final = ("#CFE3F2", "#FBE0CD", "#CDEBDF", "#EFDDEA", "#F3E7C4", "#E2E2E2")
"""Of parts of a bar on white; black text on each has a contrast above 12."""

_NARROW: Final = " .,:;|!'()/ijltfrI1"
_WIDE: Final = "mwMW%"


def typeset(text: str) -> str:
    """Return a text with its units as they are set: no break before them, m/s² and °C."""
    return set_in_type(text).replace("m/s2", "m/s²")


def text_width(text: str, size: float = SIZE) -> float:
    """Return about how wide a text is set, rather too wide; keeps labels apart."""
    units = sum(0.36 if one in _NARROW else 0.98 if one in _WIDE else 0.72 if one.isupper() else 0.62 for one in text)
    return units * size


@dataclass
class Sheet:
    """SVG under way: classes where a page colours it, fixed colours on paper."""

    paper: bool
    width: float = WIDTH
    parts: list[str] = field(default_factory=list)

    def _paint(self, role: str, number: int) -> str:
        if not self.paper:
            return f'class="{role}{number if role in ("line", "fill", "dot") else ""}"'
        number %= len(COLOURS)
        dash = f' stroke-dasharray="{DASHES[number]}"' if DASHES[number] else ""
        return {
            "line": f'fill="none" stroke="{COLOURS[number]}" stroke-width="2.4"{dash}',
            "dot": f'fill="{COLOURS[number]}" stroke="#fff" stroke-width="1"',
            "fill": f'fill="{FILLS[number]}" stroke="#000" stroke-width=".8"',
            "grid": 'stroke="#ddd" stroke-width=".8"',
            "axis": 'stroke="#000" stroke-width="1"',
            "limit": 'stroke="#555" stroke-width="1.2" stroke-dasharray="6 4"',
            "gain": f'fill="{FILLS[2]}" stroke="#000" stroke-width=".8"',
            "cost": f'fill="{FILLS[1]}" stroke="#000" stroke-width=".8"',
            "total": 'fill="#ddd" stroke="#000" stroke-width=".8"',
            "bad": f'fill="{FILLS[1]}"',
            "contour": 'stroke="#0072B2" stroke-width="1.4"',
            "nought": 'stroke="#000" stroke-width="2.6"',
            "runway": 'fill="#e6e6e6" stroke="#000" stroke-width="1"',
            "air": 'stroke="#000" stroke-width="1.6" stroke-dasharray="2 4"',
        }[role]

    def line(self, x1: float, y1: float, x2: float, y2: float, role: str, number: int = 0) -> None:
        """Draw a straight line."""
        self.parts.append(
            f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" {self._paint(role, number)}/>'
        )

    def box(self, x: float, y: float, width: float, height: float, role: str, number: int = 0) -> None:
        """Draw a rectangle."""
        self.parts.append(
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{max(width, 0.0):.1f}" height="{max(height, 0.0):.1f}" '
            f"{self._paint(role, number)}/>"
        )

    def area(self, points: Sequence[tuple[float, float]], role: str) -> None:
        """Fill what lies within the points."""
        corners = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
        self.parts.append(f'<polygon points="{corners}" {self._paint(role, 0)}/>')

    def path(self, points: Sequence[tuple[float, float] | None], number: int) -> None:
        """Draw a line through points; None is a gap."""
        words, pen = [], "M"
        for point in points:
            if point is None:
                pen = "M"
                continue
            words.append(f"{pen}{point[0]:.1f} {point[1]:.1f}")
            pen = "L"
        self.parts.append(f'<path d="{"".join(words)}" {self._paint("line", number)}/>')

    def dot(self, x: float, y: float, number: int, radius: float = 4.5) -> None:
        """Draw a mark: round, square, triangle or diamond, one for each line."""
        paint, r = self._paint("dot", number), radius
        shapes = (
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{r}" {paint}/>',
            f'<rect x="{x - r:.1f}" y="{y - r:.1f}" width="{2 * r}" height="{2 * r}" {paint}/>',
            f'<path d="M{x:.1f} {y - 1.3 * r:.1f}l{1.3 * r:.1f} {2.2 * r:.1f}h{-2.6 * r:.1f}z" {paint}/>',
            f'<path d="M{x:.1f} {y - 1.4 * r:.1f}l{1.3 * r:.1f} {1.4 * r:.1f}l{-1.3 * r:.1f} {1.4 * r:.1f}'
            f'l{-1.3 * r:.1f} {-1.4 * r:.1f}z" {paint}/>',
        )
        self.parts.append(shapes[number % len(shapes)])

    def text(
        self, x: float, y: float, words: str, *, anchor: str = "start", size: float = SIZE, bold: bool = False
    ) -> None:
        """Write a line of text."""
        words = typeset(words)
        weight = ' font-weight="bold"' if bold else ""
        colour = ' fill="#000"' if self.paper else ""
        self.parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}"{weight}{colour}>'
            f"{escape(words, quote=False)}</text>"
        )

    def finished(self, height: float, words: str) -> str:
        """Return the drawing."""
        family = ' font-family="Libertinus Serif"' if self.paper else ""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width:.0f} {height:.0f}" role="img" '
            f'aria-label="{escape(words)}"{family}>{"".join(self.parts)}</svg>'
        )


def ticks(low: float, high: float, most: int = 7) -> list[float]:
    """Return round numbers from ``low`` to ``high``, at most ``most`` of them.

    Examples
    --------
    >>> ticks(0.0, 2500.0)
    [0.0, 500.0, 1000.0, 1500.0, 2000.0, 2500.0]
    """
    span = high - low
    if span <= 0.0:
        return [low]
    step = 10.0 ** math.floor(math.log10(span / most))
    step = next(step * factor for factor in (1.0, 2.0, 5.0, 10.0, 20.0) if span / (step * factor) <= most - 1 + 1e-9)
    first = math.ceil(low / step - 1e-9)
    return [round(number * step, 10) for number in range(first, math.floor(high / step + 1e-9) + 1)]


def _number(value: float, step: float) -> str:
    decimals = max(0, -math.floor(math.log10(step) + 1e-9)) if step > 0.0 else 0
    text = f"{value:.{decimals}f}"
    return text.replace("-", "−")


@dataclass(frozen=True)
class _Frame:
    """Scales of a picture with two axes."""

    left: float
    top: float
    width: float
    height: float
    x_low: float
    x_high: float
    y_low: float
    y_high: float

    def x(self, value: float) -> float:
        return self.left + self.width * (value - self.x_low) / (self.x_high - self.x_low)

    def y(self, value: float) -> float:
        return self.top + self.height * (1.0 - (value - self.y_low) / (self.y_high - self.y_low))


def _axes(sheet: Sheet, frame: _Frame, x: Axis, y: Axis) -> None:
    bottom = frame.top + frame.height
    for values, upright in ((ticks(frame.x_low, frame.x_high, 8), True), (ticks(frame.y_low, frame.y_high, 8), False)):
        step = values[1] - values[0] if len(values) > 1 else 1.0
        for value in values:
            if upright:
                place = frame.x(value)
                sheet.line(place, frame.top, place, bottom, "grid")
                sheet.text(place, bottom + 16.0, _number(value, step), anchor="middle", size=SMALL)
            else:
                place = frame.y(value)
                sheet.line(frame.left, place, frame.left + frame.width, place, "grid")
                sheet.text(frame.left - 6.0, place + 4.0, _number(value, step), anchor="end", size=SMALL)
    sheet.line(frame.left, bottom, frame.left + frame.width, bottom, "axis")
    sheet.line(frame.left, frame.top, frame.left, bottom, "axis")
    sheet.text(frame.left + frame.width, bottom + 34.0, x.words, anchor="end")
    sheet.text(2.0, frame.top - 9.0, y.words)


def _legend(sheet: Sheet, lines: Sequence[Line], top: float) -> float:
    """Write the names of lines in rows; return where the last row ends."""
    x = 2.0
    for number, line in enumerate(lines):
        width = 40.0 + text_width(line.label) + 14.0
        if x > 2.0 and x + width > sheet.width:
            x, top = 2.0, top + 19.0
        sheet.path([(x, top - 4.0), (x + 32.0, top - 4.0)], number)
        sheet.dot(x + 16.0, top - 4.0, number, 3.6)
        sheet.text(x + 39.0, top, line.label)
        x += width
    return top + 6.0


@dataclass
class _Labels:
    """Labels that keep clear of each other: a later one moves up or down until it is free."""

    sheet: Sheet
    taken: list[tuple[float, float, float]] = field(default_factory=list)

    def write(self, x: float, y: float, words: str, *, left_side: bool, step: float = -13.0) -> None:
        """Write a label beside a place, to its left or its right."""
        width = text_width(words, SMALL)
        start = max(x - width, 2.0) if left_side else x
        while any(
            abs(y - other) < 12.5 and start < right and start + width > left for other, left, right in self.taken
        ):
            y += step
        self.taken.append((y, start, start + width))
        self.sheet.text(x if left_side else start, y, words, anchor="end" if left_side else "start", size=SMALL)


def lines_svg(picture: Lines, sheet: Sheet) -> str:
    """Return lines over one axis."""
    top = _legend(sheet, picture.lines, 14.0) if len(picture.lines) > 1 else 4.0
    xs = [x for line in picture.lines for x, _ in line.points] + [x for x, _ in picture.uprights]
    ys = [y for line in picture.lines for _, y in line.points if y is not None]
    levels = [y for y, _ in picture.levels if not ys or y <= 1.6 * max(ys) + 1.0]
    ys += levels
    low, high = (min(0.0, *ys) if picture.from_zero else min(ys)), max(ys)
    room = 0.06 * ((high - low) or 1.0)
    x_low, x_high = min(xs), max(xs)
    frame = _Frame(
        left=54.0,
        top=top + 26.0,
        width=sheet.width - 72.0,
        height=0.4 * sheet.width,
        x_low=0.0 if picture.from_zero and x_low >= 0.0 else x_low,
        x_high=x_high + (0.02 * (x_high - x_low) if picture.from_zero else 0.0) or 1.0,
        y_low=low if picture.from_zero and low == 0.0 else low - room,
        y_high=high + room,
    )
    _axes(sheet, frame, picture.x, picture.y)
    labels = _Labels(sheet)
    right = frame.left + frame.width
    for y, _ in picture.levels:
        if y in levels:
            sheet.line(frame.left, frame.y(y), right, frame.y(y), "limit")
    for x, _ in picture.uprights:
        sheet.line(frame.x(x), frame.top, frame.x(x), frame.top + frame.height, "limit")
    for number, line in enumerate(picture.lines):
        sheet.path([None if y is None else (frame.x(x), frame.y(y)) for x, y in line.points], number)
    for x, words in sorted(picture.uprights):
        left_side = frame.x(x) - frame.left > 0.5 * frame.width
        labels.write(frame.x(x) + (-5.0 if left_side else 5.0), frame.top + 12.0, words, left_side=left_side, step=13.0)
    for y, words in sorted(picture.levels, reverse=True):
        if y in levels:
            labels.write(frame.left + 6.0, frame.y(y) - 4.0, words, left_side=False, step=15.0)
    for number, mark in enumerate(picture.marks):
        x, y = frame.x(mark.x), frame.y(mark.y)
        sheet.dot(x, y, number)
        left_side = x + 9.0 + text_width(mark.label, SMALL) > sheet.width
        labels.write(x + (-9.0 if left_side else 9.0), y - 7.0, mark.label, left_side=left_side)
    return sheet.finished(frame.top + frame.height + 42.0, picture.words)


def ledger_svg(picture: Ledger, sheet: Sheet) -> str:
    """Return the way from one distance to another, a bar for each cause."""
    rows: list[tuple[str, float, float, str, str]] = []
    at = picture.first[1]
    rows.append((picture.first[0], 0.0, at, "total", f"{at:.0f} {picture.unit}"))
    for cause, metres in picture.entries:
        rows.append((cause, at, at + metres, "cost" if metres > 0.0 else "gain", f"{metres:+.0f} {picture.unit}"))
        at += metres
    rows.append((picture.other[0], 0.0, picture.other[1], "total", f"{picture.other[1]:.0f} {picture.unit}"))
    reach = [value for _, begin, end, kind, _ in rows for value in (begin, end) if kind != "total" or value > 0.0]
    low, high = min(reach), max(reach)
    floor = max(low - 1.2 * (high - low), 0.0) if low > 0.0 and high > low else 0.0
    label = min(max(text_width(row[0]) * (1.08 if row[3] == "total" else 1.0) for row in rows) + 10.0, 260.0)
    left, width = label, sheet.width - label - 76.0

    def place(value: float) -> float:
        return left + width * (max(value, floor) - floor) / ((high - floor) or 1.0)

    y = 8.0
    for number, (words, begin, end, kind, told) in enumerate(rows):
        x1, x2 = sorted((place(begin), place(end)))
        sheet.text(left - 8.0, y + 16.0, words, anchor="end", bold=kind == "total")
        sheet.box(x1, y, max(x2 - x1, 1.5), 22.0, kind)
        sheet.text(x2 + 7.0, y + 16.0, told.replace("-", "−"), bold=kind == "total")
        if number > 0:
            before = place(rows[number - 1][2])
            sheet.line(before, y - 8.0, before, y, "limit")
        y += 30.0
    if floor > 0.0:
        sheet.text(left, y + 8.0, f"bars begin at {floor:.0f} {picture.unit}", size=SMALL)
        y += 14.0
    return sheet.finished(y + 4.0, picture.words)


def shares_svg(picture: Shares, sheet: Sheet) -> str:
    """Return a bar for each case, its parts named under all of them."""
    x, y = 2.0, 14.0
    for number, part in enumerate(picture.parts):
        width = 26.0 + text_width(part) + 12.0
        if x > 2.0 and x + width > sheet.width:
            x, y = 2.0, y + 20.0
        sheet.box(x, y - 12.0, 18.0, 14.0, "fill", number)
        sheet.text(x + 24.0, y, part)
        x += width
    top = y + 14.0
    label = min(max(text_width(row[0]) for row in picture.rows) + 10.0, 260.0)
    greatest = max(sum(values) for _, values in picture.rows) or 1.0
    width = sheet.width - label - 62.0
    for words, values in picture.rows:
        at = label
        sheet.text(label - 8.0, top + 22.0, words, anchor="end")
        for number, value in enumerate(values):
            wide = width * value / greatest
            if wide < 0.5:
                continue
            sheet.box(at, top, wide, 32.0, "fill", number)
            told = f"{value:.0f}"
            if text_width(told) + 4.0 < wide:
                sheet.text(at + 0.5 * wide, top + 21.0, told, anchor="middle")
            at += wide
        sheet.text(at + 7.0, top + 21.0, f"{sum(values):.0f} {picture.unit}")
        top += 44.0
    return sheet.finished(top, picture.words)


def _around(picture: Map, row: int, column: int) -> list[tuple[float, float, float]] | None:
    """Return the corners of a cell in order, each with its value; None where one is not known."""
    found = []
    for r, c in ((row, column), (row, column + 1), (row + 1, column + 1), (row + 1, column)):
        value = picture.values[r][c]
        if value is None:
            return None
        found.append((picture.xs[c], picture.ys[r], value))
    return found


def _cell(corners: list[tuple[float, float, float]], level: float) -> tuple[list[tuple[float, float]], ...]:
    """Return the part of a cell below a level, and where its edge crosses the level: straight within a cell."""
    below: list[tuple[float, float]] = []
    crossed: list[tuple[float, float]] = []
    for (x1, y1, one), (x2, y2, two) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if one < level:
            below.append((x1, y1))
        if (one < level) != (two < level):
            share = (level - one) / (two - one)
            crossed.append((x1 + share * (x2 - x1), y1 + share * (y2 - y1)))
            below.append(crossed[-1])
    return below, crossed


def map_svg(picture: Map, sheet: Sheet) -> str:
    """Return a map with lines of equal value; where the number is below nought, it is shaded; today is marked."""
    frame = _Frame(
        54.0, 26.0, sheet.width - 72.0, 0.42 * sheet.width, picture.xs[0], picture.xs[-1], picture.ys[0], picture.ys[-1]
    )
    known = [one for row in picture.values for one in row if one is not None]
    missing = min(known) < 0.0
    rows, columns = range(len(picture.ys) - 1), range(len(picture.xs) - 1)
    cells = [one for row in rows for column in columns if (one := _around(picture, row, column)) is not None]
    for cell in cells if missing else []:
        below, _ = _cell(cell, 0.0)
        if below:
            sheet.area([(frame.x(x), frame.y(y)) for x, y in below], "bad")
    _axes(sheet, frame, picture.x, picture.y)
    levels = ticks(min(known), max(known), 8)
    step = levels[1] - levels[0] if len(levels) > 1 else 1.0
    labels = _Labels(sheet)
    for level in levels:
        pieces = [_cell(cell, level)[1] for cell in cells]
        pieces = [one for one in pieces if len(one) >= 2]
        for piece in pieces:
            (x1, y1), (x2, y2) = piece[0], piece[1]
            sheet.line(frame.x(x1), frame.y(y1), frame.x(x2), frame.y(y2), "nought" if level == 0.0 else "contour")
        if len(pieces) > 2:
            x, y = max(pieces, key=lambda piece: piece[0][1] - 1e-6 * piece[0][0])[0]
            right = min(frame.x(x) + 4.0, frame.left + frame.width - 34.0)
            labels.write(right, frame.y(y) + 13.0, _number(level, step), left_side=False, step=13.0)
    if picture.today is not None:
        x, y = frame.x(picture.today[0]), frame.y(picture.today[1])
        sheet.dot(x, y, 0, 6.0)
        sheet.text(x + 10.0, y - 7.0, "today", bold=True)
    bottom = frame.top + frame.height + 36.0
    sheet.text(2.0, bottom, f"lines: {picture.value.words}", size=SMALL)
    if missing:
        sheet.box(2.0, bottom + 6.0, 18.0, 13.0, "bad")
        sheet.text(26.0, bottom + 17.0, "below nought", size=SMALL)
        bottom += 18.0
    return sheet.finished(bottom + 8.0, picture.words)


def strip_svg(picture: Strip, sheet: Sheet) -> str:
    """Return the runway to scale, each roll on a runway of its own below the other."""
    reach = max(picture.available, *(row.end for row in picture.rows)) * 1.02
    left, width = 8.0, sheet.width - 16.0

    def place(distance: float) -> float:
        return left + width * distance / reach

    top = 16.0
    for number, row in enumerate(picture.rows):
        sheet.text(left, top, row.label, bold=True)
        sheet.text(left + width, top, row.end_words, anchor="end")
        y = top + 8.0
        sheet.box(place(0.0), y, place(picture.available) - place(0.0), 34.0, "runway")
        for begin, _, words in row.thirds:
            if begin > 0.0:
                sheet.line(place(begin), y, place(begin), y + 34.0, "limit")
            sheet.text(place(begin) + 6.0, y + 12.0, words, size=SMALL)
        for _, distance in picture.exits:
            sheet.line(place(distance), y + 34.0, place(distance), y + 40.0, "axis")
        middle = y + 24.0
        sheet.line(place(0.0), middle, place(row.touchdown), middle, "air")
        braked = row.brakes_on if row.brakes_on is not None else row.end
        last = row.end if row.release is None else row.release
        sheet.line(place(row.touchdown), middle, place(min(braked, row.end)), middle, "axis")
        sheet.path([(place(min(braked, last)), middle), (place(last), middle)], number)
        if row.release is not None:
            sheet.line(place(row.release), middle, place(row.end), middle, "axis")
            sheet.line(place(row.release), middle - 6.0, place(row.release), middle + 6.0, "axis")
        sheet.line(place(row.touchdown), middle - 6.0, place(row.touchdown), middle + 6.0, "axis")
        sheet.dot(place(row.end), middle, number, 5.5)
        top = y + 66.0
    top -= 18.0
    for exit_name, distance in picture.exits:
        if distance <= picture.available:
            sheet.text(place(distance), top, exit_name, anchor="middle", size=SMALL)
    top += 16.0
    sheet.text(left, top, "dotted: in the air; thin: rolling; thick: wheel brakes; letters: exits", size=SMALL)
    sheet.text(left + width, top, f"{picture.available:.0f} m available", anchor="end", size=SMALL)
    return sheet.finished(top + 8.0, picture.words)


def drawn(picture: Picture, *, paper: bool, width: float = WIDTH) -> str:
    """Return a picture as SVG; tables and reports are text and give an empty one."""
    sheet = Sheet(paper, width)
    if isinstance(picture, Lines):
        return lines_svg(picture, sheet)
    if isinstance(picture, Ledger):
        return ledger_svg(picture, sheet)
    if isinstance(picture, Shares):
        return shares_svg(picture, sheet)
    if isinstance(picture, Map):
        return map_svg(picture, sheet)
    if isinstance(picture, Strip):
        return strip_svg(picture, sheet)
    assert isinstance(picture, Table | Report)  # the only kinds left
    return ""
