"""What a step of a lesson shows, as plain data: pages, slides and the workbench draw it, each in its own way.

Numbers of a picture are in the unit that the picture names, ready to be drawn. Each picture says in a sentence what it
shows, for those who do not see it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias


@dataclass(frozen=True)
class Axis:
    """What runs along one side of a picture."""

    label: str
    unit: str

    @property
    def words(self) -> str:
        """Return label and unit."""
        return f"{self.label}, {self.unit}" if self.unit else self.label


@dataclass(frozen=True)
class Line:
    """One line of a picture; a gap is a point without a second value."""

    label: str
    points: tuple[tuple[float, float | None], ...]


@dataclass(frozen=True)
class Mark:
    """A point that is marked."""

    x: float
    y: float
    label: str


@dataclass(frozen=True)
class Lines:
    """Lines over one axis: rolls, temperatures, sweeps."""

    title: str
    x: Axis
    y: Axis
    lines: tuple[Line, ...]
    marks: tuple[Mark, ...]
    uprights: tuple[tuple[float, str], ...]
    """Places along the first axis that are marked through the whole height."""
    levels: tuple[tuple[float, str], ...]
    """The same along the second axis."""
    words: str
    from_zero: bool = True
    kind: Literal["lines"] = "lines"


@dataclass(frozen=True)
class Ledger:
    """Where the difference between two cases comes from."""

    title: str
    unit: str
    first: tuple[str, float]
    other: tuple[str, float]
    entries: tuple[tuple[str, float], ...]
    words: str
    kind: Literal["ledger"] = "ledger"


@dataclass(frozen=True)
class Shares:
    """A whole and its parts, one bar for each case."""

    title: str
    unit: str
    parts: tuple[str, ...]
    rows: tuple[tuple[str, tuple[float, ...]], ...]
    words: str
    kind: Literal["shares"] = "shares"


@dataclass(frozen=True)
class Map:
    """One number over two inputs, in cells; the line where it is nought is drawn."""

    title: str
    x: Axis
    y: Axis
    value: Axis
    xs: tuple[float, ...]
    ys: tuple[float, ...]
    values: tuple[tuple[float | None, ...], ...]
    """One row for each of ``ys``."""
    today: tuple[float, float] | None
    words: str
    kind: Literal["map"] = "map"


@dataclass(frozen=True)
class StripRow:
    """One roll along the runway."""

    label: str
    touchdown: float
    brakes_on: float | None
    release: float | None
    """Where the brakes are released for an exit."""
    end: float
    """Where it stops or leaves. [m]"""
    end_words: str
    thirds: tuple[tuple[float, float, str], ...] = ()
    """From, to, and the condition in words, as this roll meets it. [m]"""


@dataclass(frozen=True)
class Strip:
    """The runway to scale with one or more rolls on it. [m]"""

    title: str
    available: float
    exits: tuple[tuple[str, float], ...]
    rows: tuple[StripRow, ...]
    words: str
    kind: Literal["strip"] = "strip"


@dataclass(frozen=True)
class Table:
    """Numbers of cases side by side, as text."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words: str
    kind: Literal["table"] = "table"


@dataclass(frozen=True)
class Report:
    """A report as received and as understood."""

    title: str
    received: str
    understood: tuple[str, ...]
    words: str
    kind: Literal["report"] = "report"


Picture: TypeAlias = Lines | Ledger | Shares | Map | Strip | Table | Report
KINDS: Final = (
    "roll",
    "strip",
    "deceleration",
    "energy",
    "ruled",
    "ledger",
    "sweep",
    "map",
    "temperatures",
    "window",
    "table",
    "report",
    "undo",
)
"""What a step can show, by the word that a lesson uses."""
