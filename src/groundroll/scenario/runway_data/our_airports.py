"""A row of the runway table of OurAirports: lengths in feet, true headings, positions of the runway ends.

The table knows no exits, no declared distances, no stopways and no magnetic variation.
"""

from __future__ import annotations

import csv
import io
import math
from typing import Final

from groundroll.errors import DataError
from groundroll.scenario.quantity import shown
from groundroll.scenario.runway_data.strip import (
    End,
    Stated,
    Strip,
    Warnings,
    both_designators,
    choose,
    designator,
    plain,
    position,
)
from groundroll.units import metres_from_feet

COLUMNS: Final = (
    *("id", "airport_ref", "airport_ident", "length_ft", "width_ft", "surface", "lighted", "closed"),
    *("le_ident", "le_latitude_deg", "le_longitude_deg", "le_elevation_ft", "le_heading_degT"),
    "le_displaced_threshold_ft",
    *("he_ident", "he_latitude_deg", "he_longitude_deg", "he_elevation_ft", "he_heading_degT"),
    "he_displaced_threshold_ft",
)
"""The header of the table. Source: OurAirports data dictionary, as quoted in open-source readers [second-hand]."""

MOST_ROWS: Final = 500_000
"""Rows read. Assumption of this project: the whole table has a tenth of it."""

_PAVED: Final = ("ASP", "CON", "BIT", "PEM", "TAR", "PAV", "MAC", "COM")

Row = dict[str, str]


def _rows(content: bytes, name: str) -> list[Row]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise DataError(f"{name} is neither XML, JSON nor text in UTF-8.") from error
    if "\0" in text:
        raise DataError(f"{name} is not a table: it holds a zero byte.")
    rows: list[Row] = []
    header: list[str] | None = None
    try:
        for number, fields in enumerate(csv.reader(io.StringIO(text, newline=""))):
            if number > MOST_ROWS:
                raise DataError(f"{name} has more than {MOST_ROWS} rows.")
            if not fields:
                continue
            if header is None:
                words = [one.strip() for one in fields]
                if "airport_ident" in words:
                    header = words
                    _check_header(header, name)
                    continue
                if len(fields) != len(COLUMNS) or not fields[0].strip().isdigit():
                    raise DataError(
                        f"{name} is not the runway table of OurAirports: neither its header ({COLUMNS[0]}, "
                        f"{COLUMNS[1]}, {COLUMNS[2]}, ...) nor a row with {len(COLUMNS)} columns."
                    )
                header = list(COLUMNS)
            rows.append(dict(zip(header, (one.strip() for one in fields), strict=False)))
    except csv.Error as error:
        raise DataError(f"{name} is not a table: {plain(str(error), 100)}.") from error
    return rows


def _check_header(header: list[str], name: str) -> None:
    missing = [one for one in ("length_ft", "le_ident", "he_ident") if one not in header]
    if missing:
        raise DataError(f"{name}: the header of the table lacks {', '.join(missing)}.")


def _number(row: Row, key: str, low: float, high: float, warnings: Warnings) -> float | None:
    text = row.get(key, "")
    if not text:
        return None
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not low <= value <= high:
        warnings.add(f"{key} {shown(text)} is not a number from {low:g} to {high:g}; it is left out.")
        return None
    return value


def _pair(row: Row) -> tuple[str, str] | None:
    low, high = designator(row.get("le_ident")), designator(row.get("he_ident"))
    if low is None and high is None:
        return None
    return both_designators("/".join(one for one in (low, high) if one is not None))


def _end(row: Row, side: str, name: str, warnings: Warnings) -> End:
    latitude = _number(row, f"{side}_latitude_deg", -89.0, 89.0, warnings)
    longitude = _number(row, f"{side}_longitude_deg", -180.0, 180.0, warnings)
    heading = _number(row, f"{side}_heading_degT", 0.0, 360.0, warnings)
    elevation = _number(row, f"{side}_elevation_ft", -1_500.0, 20_000.0, warnings)
    displaced = _number(row, f"{side}_displaced_threshold_ft", 0.0, 10_000.0, warnings)
    return End(
        name,
        start=None if latitude is None or longitude is None else position(latitude, longitude),
        bearing=None if heading is None else Stated(math.radians(heading)),
        elevation=None
        if elevation is None
        else Stated(metres_from_feet(elevation), "of this end of the runway" if displaced else ""),
        displaced=None if displaced is None else Stated(metres_from_feet(displaced)),
    )


def read_our_airports(
    files: list[tuple[str, bytes]], aerodrome: str | None, wanted: str | None, warnings: Warnings
) -> Strip:
    """Return one runway of the OurAirports table: one row, or the whole table and an aerodrome.

    Parameters
    ----------
    files
        Name and content of each.
    aerodrome
        Value of `airport_ident` wanted; needed where the table holds several.
    wanted
        Designator of the runway; needed where the aerodrome has several.
    warnings
        Where to say what is odd.

    Raises
    ------
    DataError
        If it is no such table, or the runway is not in it.
    """
    rows = [row for name, content in files for row in _rows(content, name)]
    idents = sorted({row.get("airport_ident", "").upper() for row in rows})
    if aerodrome is None and len(idents) > 1:
        raise DataError(
            f"The table holds runways of {len(idents)} aerodromes. Name one: --aerodrome {shown(idents[0])}"
        )
    if aerodrome is not None and len(rows) > 1:
        rows = [row for row in rows if row.get("airport_ident", "").upper() == aerodrome]
        if not rows:
            raise DataError(f"The table has no runway of {aerodrome}.")
    named = [(pair, row) for row in rows if (pair := _pair(row)) is not None]
    if len(named) < len(rows):
        warnings.add(f"{len(rows) - len(named)} row(s) without designators of two opposite directions are passed over.")
    in_use = [(pair, row) for pair, row in named if row.get("closed") != "1"]
    considered = in_use if in_use and wanted is None else named
    pair = choose((one for one, _ in considered), wanted)
    fitting = sorted((row for one, row in considered if one == pair), key=lambda row: row.get("closed") == "1")
    if len(fitting) > 1:
        warnings.add(f"The table has {len(fitting)} rows for runway {'/'.join(pair)}; the first is used.")
    return _strip(fitting[0], pair, warnings)


def _strip(row: Row, pair: tuple[str, str], warnings: Warnings) -> Strip:
    if row.get("closed") == "1":
        warnings.add(f"Runway {'/'.join(pair)} is marked as closed.")
    sides = ("le", "he") if (designator(row.get("le_ident")) or pair[0]) == pair[0] else ("he", "le")
    if designator(row.get("le_ident")) is None and designator(row.get("he_ident")) == pair[0]:
        sides = ("he", "le")
    length, width = _number(row, "length_ft", 1.0, 30_000.0, warnings), _number(row, "width_ft", 1.0, 1_000.0, warnings)
    surface = row.get("surface", "").upper()
    kind = None
    if "GROOV" in surface or "GRVD" in surface:
        kind = "grooved"
    elif "PFC" in surface:
        kind = "porous-friction-course"
    if surface and not any(word in surface for word in _PAVED):
        warnings.add(f"Surface {shown(surface)}: the braking rules used here are for paved runways.")
    return Strip(
        "the OurAirports runway table",
        (_end(row, sides[0], pair[0], warnings), _end(row, sides[1], pair[1], warnings)),
        aerodrome=row.get("airport_ident", "").upper() or None,
        length=None if length is None else Stated(metres_from_feet(length)),
        width=None if width is None else Stated(metres_from_feet(width)),
        surface=kind,
        surface_words=plain(surface, 40),
        has_lines=False,
        declares_distances=False,
        length_tolerance=60.0,
    )
