"""From columns of a file to quantities: by a mapping file, or by names that say what they are and in which unit."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from groundroll.constants import PSI
from groundroll.errors import DataError, ScenarioError
from groundroll.review.columns import QUANTITIES, UNITS, RecordedQuantity, recognised
from groundroll.scenario.files import load
from groundroll.scenario.messages import nearest
from groundroll.scenario.quantity import PRESSURE, Quantity

FULL_BRAKE_PRESSURE: Final = 3000.0 * PSI
"""Brake pressure that gives the maximum torque. [Pa] Common practice, no source: the usual hydraulic system."""


@dataclass(frozen=True)
class ColumnUse:
    """How one column is read: SI value = sign x (factor x number + offset)."""

    column: str
    quantity: RecordedQuantity
    unit: str
    sign: float = 1.0
    inverted: bool = False
    """For a discrete: 0 and 1 change places."""

    @property
    def scale(self) -> tuple[float, float]:
        """Return factor and offset."""
        return UNITS[self.quantity.dimension][self.unit]


@dataclass(frozen=True)
class Mapping:
    """What a mapping file says; an empty one leaves everything to the names of the columns."""

    name: str = ""
    uses: tuple[ColumnUse, ...] = ()
    ignored: tuple[str, ...] = ()
    full_brake_pressure: float = FULL_BRAKE_PRESSURE
    threshold: tuple[float, float] | None = None
    """Latitude and longitude of the landing threshold, where the file gives it. [rad]"""
    remarks: tuple[str, ...] = field(default=())


def _entry(name: str, key: str, value: Any) -> list[ColumnUse]:
    quantity = QUANTITIES.get(key)
    if quantity is None:
        raise DataError(f"{name}, columns.{key}: is not a quantity known here. {nearest(key, QUANTITIES)}")
    if not isinstance(value, dict):
        raise DataError(f'{name}, columns.{key}: write a section with column = "..." and unit = "...".')
    unknown = sorted(set(value) - {"column", "columns", "unit", "sign", "inverted"})
    if unknown:
        known = ("column", "columns", "unit", "sign", "inverted")
        raise DataError(f"{name}, columns.{key}.{unknown[0]}: is not a key known here. {nearest(unknown[0], known)}")
    columns = value.get("columns", [value["column"]] if "column" in value else [])
    if not isinstance(columns, list) or not columns or any(not isinstance(one, str) for one in columns):
        raise DataError(f'{name}, columns.{key}: name the column: column = "GS", or columns = ["left", "right"].')
    units = UNITS[quantity.dimension]
    unit = value.get("unit", "1" if quantity.dimension == "discrete" else None)
    if unit not in units:
        given = "no unit is given" if unit is None else f'"{unit}" is not a unit of it'
        raise DataError(f"{name}, columns.{key}.unit: {given}. Write one of {', '.join(units)}.")
    sign = value.get("sign", 1)
    if sign not in (1, -1):
        raise DataError(f"{name}, columns.{key}.sign: {sign!r} is not allowed. Write 1 or -1.")
    inverted = value.get("inverted", False)
    if not isinstance(inverted, bool) or (inverted and quantity.kind != "discrete"):
        raise DataError(f"{name}, columns.{key}.inverted: write true or false, for a discrete only.")
    return [ColumnUse(column, quantity, str(unit), float(sign), inverted) for column in columns]


def read_mapping(path: Path | str) -> Mapping:
    """Return the mapping in a TOML file.

    Raises
    ------
    DataError
        If the file cannot be used, with the key, what is allowed and the next step.
    """
    path = Path(path)
    try:
        data = load(path)
    except ScenarioError as error:
        raise DataError(str(error)) from error
    name = path.name
    unknown = sorted(set(data) - {"format", "columns", "ignore", "brakes", "threshold"})
    if unknown:
        known = ("format", "columns", "ignore", "brakes", "threshold")
        raise DataError(f"{name}, {unknown[0]}: is not a key known here. {nearest(unknown[0], known)}")
    if data.get("format") != 1:
        raise DataError(f"{name}, format: write format = 1.")
    columns = data.get("columns", {})
    if not isinstance(columns, dict):
        raise DataError(f"{name}, columns: write a section for each quantity, such as [columns.ground_speed].")
    uses = [use for key, value in columns.items() for use in _entry(name, key, value)]
    ignored = data.get("ignore", [])
    if not isinstance(ignored, list) or any(not isinstance(one, str) for one in ignored):
        raise DataError(f'{name}, ignore: write a list of columns, such as ["seat"].')
    brakes, threshold = data.get("brakes", {}), data.get("threshold")
    try:
        full = FULL_BRAKE_PRESSURE
        if "full_pressure" in brakes:
            full = Quantity(PRESSURE, 1e6, 1e8).read(brakes["full_pressure"])
        place = None if threshold is None else read_position(threshold["position"])
    except (KeyError, TypeError, AttributeError, ValueError, ScenarioError) as error:
        raise DataError(
            f'{name}: [brakes] takes full_pressure = "3000 psi", [threshold] takes position = "50.1234, 6.5678" '
            f"(degrees): {error}."
        ) from error
    return Mapping(name, tuple(uses), tuple(ignored), full, place)


def read_position(text: str) -> tuple[float, float]:
    """Return latitude and longitude in radians from "LATITUDE, LONGITUDE" in degrees, north and east positive.

    Raises
    ------
    DataError
        If the text is not two numbers in range.

    Examples
    --------
    >>> [round(one, 6) for one in read_position("45, -90")]
    [0.785398, -1.570796]
    """
    parts = text.replace(";", ",").split(",")
    try:
        latitude, longitude = (float(one) for one in parts)
    except ValueError:
        latitude = longitude = 999.0
    if abs(latitude) > 90.0 or abs(longitude) > 180.0:
        raise DataError(f'"{text[:60]}" is not a position. Write degrees, north and east positive: "50.1234, 6.5678".')
    factor, _ = UNITS["angle"]["deg"]
    return latitude * factor, longitude * factor


def uses_of(columns: Sequence[str], mapping: Mapping, file: str) -> tuple[tuple[ColumnUse, ...], list[str]]:
    """Return how each column is read, and what is to be said about it.

    Raises
    ------
    DataError
        If the mapping names a column the file has not, or a recognised column has no unit.
    """
    remarks: list[str] = []
    for use in mapping.uses:
        if use.column not in columns:
            near = difflib.get_close_matches(use.column, columns, n=1)
            hint = f" Was {near[0]} meant?" if near else f" The file has: {', '.join(columns[:30])}."
            raise DataError(f'{mapping.name}: column "{use.column}" is not in {file}.{hint}')
    uses = list(mapping.uses)
    taken = {use.column for use in uses} | set(mapping.ignored)
    mapped = {use.quantity.name for use in uses}
    left: list[str] = []
    for column in _clearest_first(columns):
        if column in taken:
            continue
        found = recognised(column)
        if found is None or found[0].name in mapped:
            left.append(column)
            continue
        quantity, unit = found
        if not quantity.several and any(use.quantity is quantity for use in uses):
            first = next(use.column for use in uses if use.quantity is quantity)
            remarks.append(
                f'column "{column}" is not used: "{first}" is the {quantity.name.replace("_", " ")} already; a mapping '
                "file can choose"
            )
            continue
        if unit is not None and unit not in UNITS[quantity.dimension]:
            raise DataError(
                f'{file}, column "{column}": {unit} is not a unit of {quantity.name.replace("_", " ")}; allowed are '
                f"{', '.join(UNITS[quantity.dimension])}."
            )
        if unit is None and quantity.dimension == "discrete":
            unit = "1"
        if unit is None and quantity.unit_without_word is not None:
            unit = quantity.unit_without_word
            remarks.append(
                f'column "{column}" names no unit; it is read as {quantity.name.replace("_", " ")} in {unit}'
            )
        if unit is None and quantity.spare:
            remarks.append(
                f'column "{column}" is not used: it names no unit. Rename it to "{column}_{_example(quantity)}" '
                f"to have the {quantity.name.replace('_', ' ')} counted"
            )
            continue
        if unit is None:
            raise DataError(
                f'{file}, column "{column}": looks like {quantity.name.replace("_", " ")}, but names no unit. '
                f'Rename it to "{column}_{_example(quantity)}", or give a mapping file with\n'
                f'  [columns.{quantity.name}]\n  column = "{column}"\n  unit = "..."   # one of '
                f'{", ".join(UNITS[quantity.dimension])}\nor ignore it: ignore = ["{column}"]'
            )
        plain = quantity.name == "ground_speed" and column.strip().lower().startswith(("speed", "velocity"))
        if plain and "over" not in column.lower():
            remarks.append(f'column "{column}" is read as speed over the ground')
        uses.append(ColumnUse(column, quantity, unit))
    if left:
        remarks.append(f"columns not used: {', '.join(left[:20])}{' ...' if len(left) > 20 else ''}")
    return tuple(uses), remarks


def _clearest_first(columns: Sequence[str]) -> list[str]:
    """Return the columns, those whose names say a unit first: of two times the clearer one counts."""

    def unclear(column: str) -> bool:
        found = recognised(column)
        return found is None or (found[1] is None and found[0].dimension != "discrete")

    return sorted(columns, key=unclear)


def _example(quantity: RecordedQuantity) -> str:
    return {"m/s": "mps", "m/s2": "mps2", "%": "percent"}.get(one := next(iter(UNITS[quantity.dimension])), one)
