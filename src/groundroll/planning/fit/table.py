"""Tables of published distances, in our own plain form: one row a distance with its conditions.

CSV or Parquet. A column is named by its word and, where its cells are plain numbers, the unit in brackets:
`mass [t]`; a cell may also hold text with a unit, "62.4 t". `docs/fit.md` lists the columns.
"""

from __future__ import annotations

import csv
import hashlib
import io
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final, Literal, cast, get_args

from groundroll.errors import DataError, ScenarioError
from groundroll.physics.atmosphere import standard_temperature
from groundroll.physics.braking import SurfaceTreatment
from groundroll.physics.contaminant import contaminant
from groundroll.physics.wind import factored_headwind
from groundroll.planning.landing_roll import MANUAL, REVERSES, Reverse
from groundroll.scenario.messages import nearest
from groundroll.scenario.model import Aircraft
from groundroll.scenario.quantity import (
    LENGTH,
    MASS,
    NUMBER,
    SHARE,
    SMALL_LENGTH,
    SPEED,
    TEMPERATURE,
    Dimension,
    Quantity,
    read_quantity,
    shown,
)

LARGEST_TABLE: Final = 20_000_000
"""Largest table read. [bytes] Assumption of this project."""

MOST_ROWS: Final = 20_000
"""Most rows read. Assumption of this project."""

MOST_PROBLEMS: Final = 10
"""Problems named in one message."""

QUANTITIES: Final[dict[str, Quantity]] = {
    "mass": Quantity(MASS, 1_000.0, 700_000.0),
    "pressure_altitude": Quantity(LENGTH, -500.0, 6_000.0),
    "temperature": Quantity(TEMPERATURE, 213.15, 333.15),
    "headwind": Quantity(SPEED, -40.0, 40.0),
    "slope": Quantity(SHARE, -0.05, 0.05),
    "speed_additive": Quantity(SPEED, 0.0, 30.0),
    "air_distance": Quantity(LENGTH, 1.0, 3_000.0),
    "decision_speed": Quantity(SPEED, 20.0, 120.0),
    "depth": Quantity(SMALL_LENGTH, 0.0, 0.05),
    "factor": Quantity(NUMBER, 1.0, 3.0),
    "margin": Quantity(SHARE, 0.0, 2.0),
    "dry_share": Quantity(SHARE, 0.5, 1.0),
    "rounded_to": Quantity(LENGTH, 0.0, 200.0),
}
"""Columns that hold a quantity, and what is allowed in them. Ranges catch slips: assumptions of this project."""

WORDS: Final = (
    "kind",
    "flap",
    "surface",
    "code",
    "contaminant",
    "brake",
    "reverse",
    "event",
    "rating",
    "distance",
    "contains",
    "rounding",
    "wind_factors",
)
NEEDED: Final = ("mass", "flap", "code", "distance")
LANDING_ONLY: Final = ("speed_additive", "air_distance", "dry_share")
STOP_ONLY: Final = ("decision_speed", "event", "rating")

Kind = Literal["landing", "accelerate-stop"]
Event = Literal["rule", "all engines", "engine failure"]
Contains = Literal["whole", "ground roll", "without rule time"]
Rounding = Literal["nearest", "up"]

_COLUMN = re.compile(r"([a-z_]+)(?: *\[([^\]]+)\])?")
_BAND = re.compile(r"(.+?)(?: to |\.\.)(.+)")


@dataclass(frozen=True)
class PublishedRow:
    """One published distance, SI, unfactored; what the model must give lies between ``lower`` and ``upper``."""

    number: int
    """Line of the table, the heading not counted, from 1."""
    mass: float
    flap: str
    pressure_altitude: float
    temperature: float
    headwind: float
    """As the distance counts it, factors applied. [m/s]"""
    slope: float
    surface: SurfaceTreatment
    code: int
    brake: str
    reverse: Reverse
    speed_additive: float
    contains: Contains
    """"whole": landing from the threshold, stop with the distance at V1 that the rule adds; "ground roll": landing
    from touchdown; "without rule time": stop without that distance."""
    air_distance: float | None
    dry_share: float
    lower: float
    """Negative infinity where only an upper bound is published. [m]"""
    upper: float
    """Infinity where only a lower bound is published. [m]"""
    kind: Kind = "landing"
    contaminant: str | None = None
    """Word of the condition report for what lies on the runway; None where only the code is known."""
    depth: float | None = None
    """Of the contaminant. [m]"""
    decision_speed: float = math.nan
    """Calibrated; accelerate-stop only. [m/s]"""
    event: Event = "rule"
    """Accelerate-stop only: "rule" is the greater of both, on a wet runway with the dry one (14 CFR 25.109)."""
    rating: str = ""
    """Take-off rating by its name; accelerate-stop only."""

    @property
    def middle(self) -> float:
        """Return the middle of the band, or its one end. [m]"""
        if math.isinf(self.lower):
            return self.upper
        return self.lower if math.isinf(self.upper) else 0.5 * (self.lower + self.upper)

    @property
    def bounded(self) -> bool:
        """Return whether the band has two ends."""
        return math.isfinite(self.lower) and math.isfinite(self.upper)

    @property
    def deviation(self) -> float:
        """Return the standard deviation of an even spread over the band, at least a quarter of a metre. [m]"""
        width = self.upper - self.lower if self.bounded else 0.01 * self.middle
        return max(width / math.sqrt(12.0), 0.25)

    def miss(self, distance: float) -> float:
        """Return computed less published distance; zero where a one-sided bound is kept. [m]"""
        if self.bounded:
            return distance - self.middle
        return max(distance - self.upper, 0.0) if math.isinf(self.lower) else min(distance - self.lower, 0.0)


@dataclass(frozen=True)
class Table:
    """A table of published distances."""

    name: str
    digest: str
    """SHA-256 of the file."""
    rows: tuple[PublishedRow, ...]


def read_table(path: Path | str, aircraft: Aircraft) -> Table:
    """Return the table in a file, checked against the aeroplane it is to be used with.

    Parameters
    ----------
    path
        CSV (comma or semicolon) or, by its ending .parquet, Parquet.
    aircraft
        Its flaps and brake settings are the ones that rows may name.

    Raises
    ------
    DataError
        If the file cannot be read or a row cannot be used; up to `MOST_PROBLEMS` problems, a line each.
    """
    path = Path(path)
    try:
        if path.stat().st_size > LARGEST_TABLE:
            raise DataError(f"{path.name} has more than {LARGEST_TABLE / 1e6:.0f} MB. Is it the right file?")
        content = path.read_bytes()
    except OSError as error:
        raise DataError(f"{path} cannot be read: {error.strerror or error}.") from error
    raw = _parquet(content, path.name) if path.suffix.lower() == ".parquet" else _csv(content, path.name)
    if not raw:
        raise DataError(f"{path.name} holds no rows.")
    if len(raw) > MOST_ROWS:
        raise DataError(f"{path.name} holds {len(raw)} rows; at most {MOST_ROWS} are read.")
    columns = _columns(raw[0], path.name)
    rows: list[PublishedRow] = []
    problems: list[str] = []
    for number, one in enumerate(raw, start=1):
        cells = {columns[key][0]: _with_unit(value, columns[key][1]) for key, value in one.items() if key in columns}
        try:
            rows.append(_row(number, {key: value for key, value in cells.items() if value != ""}, aircraft))
        except (ScenarioError, DataError, ValueError) as error:
            problems.append(f"{path.name}, row {number}: {error}")
    if problems:
        more = len(problems) - MOST_PROBLEMS
        raise DataError("\n".join(problems[:MOST_PROBLEMS] + ([f"... and {more} more."] if more > 0 else [])))
    return Table(path.name, hashlib.sha256(content).hexdigest(), tuple(rows))


def _csv(content: bytes, name: str) -> list[dict[str, Any]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise DataError(f"{name} is not text in UTF-8. Save it as CSV in UTF-8.") from error
    lines = [line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    delimiter = ";" if lines and lines[0].count(";") > lines[0].count(",") else ","
    try:
        found = list(csv.reader(io.StringIO("\n".join(lines)), delimiter=delimiter, skipinitialspace=True, strict=True))
    except csv.Error as error:
        raise DataError(f"{name} is not CSV: {error}.") from error
    if not found:
        return []
    heading = [one.strip() for one in found[0]]
    if len(set(heading)) < len(heading):
        raise DataError(f"{name}: a column stands twice in the heading.")
    for number, cells in enumerate(found[1:], start=1):
        if len(cells) != len(heading):
            raise DataError(f"{name}, row {number}: has {len(cells)} cells, the heading has {len(heading)}.")
    return [dict(zip(heading, cells, strict=True)) for cells in found[1:]]


def _parquet(content: bytes, name: str) -> list[dict[str, Any]]:
    try:
        import pyarrow as arrow  # type: ignore[import-untyped,unused-ignore]
        import pyarrow.parquet as parquet  # type: ignore[import-untyped,unused-ignore]
    except ImportError as error:
        raise DataError(f"{name}: reading Parquet needs the package pyarrow. Install it, or save as CSV.") from error
    try:
        return cast(list[dict[str, Any]], parquet.read_table(arrow.BufferReader(content)).to_pylist())
    except (arrow.ArrowException, OSError) as error:
        raise DataError(f"{name} is not Parquet: {' '.join(str(error).split())[:200]}.") from error


def _columns(first: Mapping[str, Any], name: str) -> dict[str, tuple[str, str]]:
    """Return for each heading its word and the unit in its brackets."""
    known = (*QUANTITIES, *WORDS)
    found: dict[str, tuple[str, str]] = {}
    for heading in first:
        match = _COLUMN.fullmatch(heading.strip())
        if match is None or match.group(1) not in known:
            word = heading.split("[")[0].strip()
            raise DataError(f"{name}: {shown(heading)} is not a column of a table. {nearest(word, known)}".strip())
        found[heading] = (match.group(1), (match.group(2) or "").strip())
    words = [word for word, _ in found.values()]
    missing = [word for word in NEEDED if word not in words]
    if missing:
        raise DataError(f"{name}: the column {missing[0]} is missing; needed are {', '.join(NEEDED)}.")
    twice = next((word for word in words if words.count(word) > 1), None)
    if twice is not None:
        raise DataError(f"{name}: the column {twice} stands twice.")
    return found


def _with_unit(value: object, unit: str) -> str:
    """Return a cell as text; a plain number gets the unit of its column."""
    text = "" if value is None else str(value).strip()
    if not unit or not text:
        return text
    return re.sub(
        r"(?<![\d.])([+-]?\d[\d ]*(?:\.\d+)?)(?=\s*(?:\.\.|to\b|$))", lambda one: f"{one[1].strip()} {unit}", text
    )


def _choice(cells: Mapping[str, str], key: str, allowed: tuple[str, ...], default: str) -> str:
    value = cells.get(key, default)
    if value not in allowed:
        raise DataError(f"{key} {shown(value)} is not one of: {', '.join(allowed)}.")
    return value


def _row(number: int, cells: Mapping[str, str], aircraft: Aircraft) -> PublishedRow:
    for key in NEEDED:
        if key not in cells:
            raise DataError(f"{key} is empty.")
    kind = cast(Kind, _choice(cells, "kind", get_args(Kind), "landing"))

    def quantity(key: str, default: float) -> float:
        if key not in cells:
            return default
        try:
            return QUANTITIES[key].read(cells[key])
        except ScenarioError as error:
            raise DataError(f"{key}: {error}") from error

    altitude = quantity("pressure_altitude", 0.0)
    headwind = quantity("headwind", 0.0)
    if _choice(cells, "wind_factors", ("none", "regulatory"), "none") == "regulatory":
        headwind = factored_headwind(headwind)
    reverse = cast(Reverse, _choice(cells, "reverse", REVERSES, "none"))
    if reverse != "none" and aircraft.reverse is None:
        raise DataError(f'reverse "{reverse}": {aircraft.name} has no reverse.')
    word, depth = cells.get("contaminant", "").upper() or None, quantity("depth", math.nan)
    if word is not None:
        contaminant(word)
    if word is None and not math.isnan(depth):
        raise DataError("depth is given without contaminant; name what lies on the runway: SLUSH, STANDING WATER, ...")
    lower, upper = _band(cells, quantity("rounded_to", math.nan))
    factor = quantity("factor", 1.0) * (1.0 + quantity("margin", 0.0))
    landing = PublishedRow(
        number=number,
        mass=quantity("mass", 0.0),
        flap=cells["flap"],
        pressure_altitude=altitude,
        temperature=quantity("temperature", standard_temperature(altitude)),
        headwind=headwind,
        slope=quantity("slope", 0.0),
        surface=cast(SurfaceTreatment, _choice(cells, "surface", get_args(SurfaceTreatment), "smooth")),
        code=int(_choice(cells, "code", ("6", "5", "4", "3", "2", "1"), "")),
        brake=cells.get("brake", MANUAL),
        reverse=reverse,
        speed_additive=quantity("speed_additive", 0.0),
        contains=cast(Contains, cells.get("contains", "whole")),
        air_distance=quantity("air_distance", 0.0) if "air_distance" in cells else None,
        dry_share=quantity("dry_share", 0.9),
        lower=lower / factor,
        upper=upper / factor,
        kind=kind,
        contaminant=word,
        depth=None if math.isnan(depth) else depth,
    )
    if kind == "accelerate-stop":
        return _stop_row(landing, cells, aircraft, quantity("decision_speed", math.nan))
    for key in STOP_ONLY:
        if key in cells:
            raise DataError(f"{key} belongs to accelerate-stop rows; leave it empty, or set kind to accelerate-stop.")
    settings = () if aircraft.automatic_brakes is None else tuple(aircraft.automatic_brakes.settings)
    _choice(cells, "flap", tuple(aircraft.flaps), "")
    _choice(cells, "brake", (*settings, MANUAL), MANUAL)
    _choice(cells, "contains", ("whole", "ground roll"), "whole")
    return landing


def _stop_row(row: PublishedRow, cells: Mapping[str, str], aircraft: Aircraft, decision_speed: float) -> PublishedRow:
    if aircraft.take_off is None:
        raise DataError(f"{aircraft.name} has no [take_off] section; accelerate-stop rows need one.")
    for key in LANDING_ONLY:
        if key in cells:
            raise DataError(f"{key} belongs to landing rows; leave it empty.")
    if math.isnan(decision_speed):
        raise DataError("decision_speed is empty; an accelerate-stop distance belongs to one.")
    ratings = tuple(aircraft.take_off.ratings)
    _choice(cells, "flap", tuple(aircraft.take_off.flaps), "")
    _choice(cells, "brake", (MANUAL,), MANUAL)
    return replace(
        row,
        dry_share=1.0,
        contains=cast(Contains, _choice(cells, "contains", ("whole", "without rule time"), "whole")),
        decision_speed=decision_speed,
        event=cast(Event, _choice(cells, "event", get_args(Event), "rule")),
        rating=_choice(cells, "rating", ratings, ratings[0]),
    )


def _band(cells: Mapping[str, str], rounded_to: float) -> tuple[float, float]:
    """Return both ends between which the published distance lies, factored as published. [m]"""
    text = cells["distance"]
    if text.startswith("<"):
        return -math.inf, _length(text.lstrip("<= "))
    if text.startswith(">"):
        return _length(text.lstrip(">= ")), math.inf
    match = _BAND.fullmatch(text)
    if match is not None:
        low, high = _length(match.group(1).strip()), _length(match.group(2).strip())
        if low > high:
            raise DataError(f"distance {shown(text)}: the band begins above its end.")
        return low, high
    value = _length(text)
    step = 1.0 if math.isnan(rounded_to) else rounded_to
    up = _choice(cells, "rounding", get_args(Rounding), "nearest") == "up"
    return (value - step, value) if up else (value - 0.5 * step, value + 0.5 * step)


def _length(text: str) -> float:
    try:
        length = read_quantity(text, _LENGTH)
    except ScenarioError as error:
        raise DataError(f"distance: {error}") from error
    if not 50.0 <= length <= 15_000.0:
        raise DataError(f"distance {shown(text)} is outside 50 to 15000 m.")
    return length


_LENGTH: Final[Dimension] = LENGTH
