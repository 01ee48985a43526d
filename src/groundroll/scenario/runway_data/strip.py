"""What any of the open data formats says about one runway: the form the readers fill in and `assemble` works on.

SI and radians, positions as latitude and longitude in degrees on the WGS 84 ellipsoid. A value keeps beside it how it
came about, because the file that is written says so.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from groundroll.errors import DataError
from groundroll.reports.model import opposite_designator
from groundroll.scenario.model import DESIGNATOR
from groundroll.scenario.quantity import shown

MOST_LINES: Final = 20_000
"""Most lines looked at. Assumption of this project: a large aerodrome has a tenth of it."""

MOST_POINTS: Final = 500_000
"""Most points of all lines together. Assumption of this project, as above."""

MOST_WARNINGS: Final = 40
"""Warnings kept; more are counted. Assumption of this project."""


class Position(NamedTuple):
    """A point on the ground."""

    latitude: float
    """[deg]"""
    longitude: float
    """[deg]"""


def position(latitude: float, longitude: float) -> Position | None:
    """Return a position, None where the numbers are no latitude and longitude in degrees."""
    if not (math.isfinite(latitude) and math.isfinite(longitude)):
        return None
    return Position(latitude, longitude) if abs(latitude) <= 89.0 and abs(longitude) <= 180.0 else None


class Stated(NamedTuple):
    """A value and how it came about; no remark where the data give it as such."""

    value: float
    remark: str = ""


@dataclass
class Line:
    """A guidance line or the centre line of a taxiway."""

    name: str
    """Name of the taxiway, empty where the data give none."""
    points: list[Position]
    rapid: bool = False
    """True where the data call the taxiway a rapid exit."""


@dataclass
class End:
    """One landing direction, as far as the data go."""

    designator: str
    threshold: Position | None = None
    start: Position | None = None
    """Start of the paved runway, before a displaced threshold."""
    bearing: Stated | None = None
    """Against true north. [rad]"""
    magnetic_bearing: float | None = None
    """[rad]"""
    elevation: Stated | None = None
    """[m]"""
    displaced: Stated | None = None
    """[m]"""
    slope: float | None = None
    """Upslope in landing direction positive. [-]"""
    declared: dict[str, list[float]] = field(default_factory=dict)
    """LDA, TORA, TODA, ASDA: every value found. [m]"""
    clearway: float | None = None
    """[m]"""
    stopway: float | None = None
    """[m]"""


@dataclass
class Strip:
    """One runway, both ends; the lower designator first."""

    origin: str
    """What the data are, in words."""
    ends: tuple[End, End]
    aerodrome: str | None = None
    name: str | None = None
    length: Stated | None = None
    """Paved, end to end. [m]"""
    width: Stated | None = None
    """[m]"""
    surface: str | None = None
    """smooth, grooved or porous-friction-course; None where the data do not say."""
    surface_words: str = ""
    """What the data say of the surface."""
    variation: Stated | None = None
    """Magnetic variation, east positive. [rad]"""
    lines: list[Line] = field(default_factory=list)
    holding_positions: list[Position] = field(default_factory=list)
    has_lines: bool = True
    """False for a format that knows no taxiways."""
    declares_distances: bool = True
    """False for a format that knows no declared distances."""
    length_tolerance: float = 10.0
    """How far a stated length may be from that between the positions, which may be coarse. [m]"""


class Warnings:
    """Collects what is odd but usable."""

    def __init__(self) -> None:
        self._lines: list[str] = []
        self._left_out = 0

    def add(self, text: str) -> None:
        """Add a warning, once, as one line."""
        text = plain(text, 400)
        if text in self._lines:
            return
        if len(self._lines) < MOST_WARNINGS:
            self._lines.append(text)
        else:
            self._left_out += 1

    @property
    def lines(self) -> tuple[str, ...]:
        """The warnings, and how many were left out."""
        more = (f"... and {self._left_out} more oddities.",) if self._left_out else ()
        return (*self._lines, *more)


def plain(text: str, length: int) -> str:
    """Return a text from the data as one printable line, not too long."""
    line = " ".join("".join(one if one.isprintable() else " " for one in text).split())
    return line if len(line) <= length else line[: length - 3].rstrip() + "..."


def designator(text: str | None) -> str | None:
    """Return a runway direction as painted, None where the text is none.

    Examples
    --------
    >>> designator(" 9l "), designator("25"), designator("H1")
    ('09L', '25', None)
    """
    word = (text or "").strip().upper()
    word = "0" + word if len(word) in (1, 2) and word[:1].isdigit() and not word[1:2].isdigit() else word
    return word if DESIGNATOR.fullmatch(word) else None


def both_designators(text: str) -> tuple[str, str] | None:
    """Return both directions of a name such as "09L/27R", the lower first; None where it is no such name.

    A name of one direction only gets its opposite.

    Examples
    --------
    >>> both_designators("27R/09L"), both_designators("07"), both_designators("N/S")
    (('09L', '27R'), ('07', '25'), None)
    """
    found = [designator(part) for part in text.replace("-", "/").replace(" ", "/").split("/") if part]
    names = [one for one in found if one is not None]
    if not names or len(names) != len(found) or len(names) > 2:
        return None
    other = opposite_designator(names[0])
    if len(names) == 2 and names[1] != other:
        return None
    low, high = sorted((names[0], other))
    return low, high


def choose(names: Iterable[tuple[str, str]], wanted: str | None) -> tuple[str, str]:
    """Return the runway wanted among those of the data; without a wish, the only one there is.

    Raises
    ------
    DataError
        If there is none, several without a wish, or not the one wanted; the message names those there are.
    """
    found = sorted(set(names))
    there = ", ".join("/".join(one) for one in found[:20]) + (", ..." if len(found) > 20 else "")
    if not found:
        raise DataError('The data hold no runway with designators such as "07/25".')
    if wanted is None:
        if len(found) > 1:
            raise DataError(f"The data hold {len(found)} runways: {there}. Name one: --designator {found[0][0]}")
        return found[0]
    pair = both_designators(wanted)
    if pair is None:
        raise DataError(f'--designator {shown(wanted)} is not a runway. Write it as painted: "07", "25L" or "07/25".')
    if pair not in found:
        raise DataError(f"Runway {'/'.join(pair)} is not in the data; they hold {there}.")
    return pair


def limit_lines(lines: list[Line]) -> None:
    """Refuse data with more lines or points than any aerodrome has."""
    if len(lines) > MOST_LINES or sum(len(one.points) for one in lines) > MOST_POINTS:
        raise DataError(
            f"The data hold {len(lines)} lines with {sum(len(one.points) for one in lines)} points; at most "
            f"{MOST_LINES} lines with {MOST_POINTS} points are read. Cut the extract down to one aerodrome."
        )


Reader = Callable[[list[tuple[str, bytes]], str | None, str | None, Warnings], Strip]
"""A reader of one format: files by name, aerodrome and designator wanted, and where to warn."""
