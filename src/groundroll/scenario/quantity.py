"""Quantities at the border: text with a unit in, SI float out.

A file that a person writes says `mass = "62.4 t"`; everything behind this module is SI and radians. The number is read
by an own strict pattern (no expressions, no exponents), the unit must stand in the list of its dimension, and Pint
does the conversion. A model field declares dimension and range once, with `Quantity`:

    mass: Annotated[float, Quantity(MASS, 1_000.0, 700_000.0)]
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, Any, Final, get_args, get_origin

from pydantic_core import PydanticCustomError, core_schema

from groundroll.errors import ScenarioError

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
    from pydantic.json_schema import JsonSchemaValue

LONGEST_QUANTITY: Final = 80
"""Longest text read as a quantity. [characters] Assumption of this project: longer text is a mistake."""


@dataclass(frozen=True)
class Dimension:
    """One dimension: its name in words, its SI unit, the units a file may use and its suffix in JSON names."""

    name: str
    si_unit: str
    units: dict[str, str] = field(hash=False)
    """The unit as written in a file, and Pint's name of it; the usual one comes first."""
    suffix: str
    plain: bool = False
    """True where a number without a unit is meaningful (shares, coefficients)."""


MASS: Final = Dimension("mass", "kilogram", {"t": "metric_ton", "kg": "kilogram", "lb": "pound"}, "_kg")
LENGTH: Final = Dimension(
    "length", "meter", {"m": "meter", "km": "kilometer", "ft": "foot", "NM": "nautical_mile"}, "_m"
)
SMALL_LENGTH: Final = Dimension(
    "length",
    "meter",
    {"mm": "millimeter", "cm": "centimeter", "m": "meter", "in": "inch", "ft": "foot"},
    "_m",
)
SPEED: Final = Dimension(
    "speed",
    "meter/second",
    {"kt": "knot", "m/s": "meter/second", "km/h": "kilometer/hour", "mph": "mile/hour"},
    "_mps",
)
PRESSURE: Final = Dimension(
    "pressure",
    "pascal",
    {
        "bar": "bar",
        "psi": "psi",
        "kPa": "kilopascal",
        "hPa": "hectopascal",
        "Pa": "pascal",
        "inHg": "inch_Hg",
    },
    "_pa",
)
TEMPERATURE: Final = Dimension("temperature", "kelvin", {"degC": "degC", "K": "kelvin", "degF": "degF"}, "_k")
ANGLE: Final = Dimension("angle", "radian", {"deg": "degree", "rad": "radian"}, "_rad")
SHARE: Final = Dimension("share", "dimensionless", {"%": "percent"}, "", plain=True)
NUMBER: Final = Dimension("plain number", "dimensionless", {}, "", plain=True)
TIME: Final = Dimension("time", "second", {"s": "second", "min": "minute", "h": "hour"}, "_s")
FORCE: Final = Dimension("force", "newton", {"kN": "kilonewton", "N": "newton", "lbf": "force_pound"}, "_n")
TORQUE: Final = Dimension(
    "torque", "newton*meter", {"kN m": "kilonewton*meter", "N m": "newton*meter", "lbf ft": "force_pound*foot"}, "_nm"
)
ENERGY: Final = Dimension("energy", "joule", {"MJ": "megajoule", "kJ": "kilojoule", "J": "joule"}, "_j")
DECELERATION: Final = Dimension(
    "deceleration",
    "meter/second**2",
    {"m/s2": "meter/second**2", "ft/s2": "foot/second**2", "g": "standard_gravity"},
    "_mps2",
)
JERK: Final = Dimension(
    "rate of change of deceleration",
    "meter/second**3",
    {"m/s3": "meter/second**3", "ft/s3": "foot/second**3"},
    "_mps3",
)
MASS_FLOW: Final = Dimension(
    "mass flow",
    "kilogram/second",
    {"kg/s": "kilogram/second", "kg/min": "kilogram/minute", "kg/h": "kilogram/hour", "lb/h": "pound/hour"},
    "_kgps",
)
AREA: Final = Dimension("area", "meter**2", {"m2": "meter**2", "ft2": "foot**2"}, "_m2")
DENSITY: Final = Dimension("density", "kilogram/meter**3", {"kg/m3": "kilogram/meter**3"}, "_kgpm3")
HEAT_CAPACITY: Final = Dimension(
    "heat capacity", "joule/kelvin", {"kJ/K": "kilojoule/kelvin", "J/K": "joule/kelvin"}, "_jpk"
)
CONDUCTANCE: Final = Dimension("heat conductance", "watt/kelvin", {"W/K": "watt/kelvin"}, "_wpk")
HEAT_TRANSFER: Final = Dimension(
    "heat transfer coefficient", "watt/meter**2/kelvin", {"W/m2/K": "watt/meter**2/kelvin"}, "_wpm2k"
)

DIMENSIONS: Final = (
    MASS,
    LENGTH,
    SMALL_LENGTH,
    SPEED,
    PRESSURE,
    TEMPERATURE,
    ANGLE,
    SHARE,
    TIME,
    FORCE,
    TORQUE,
    ENERGY,
    DECELERATION,
    JERK,
    MASS_FLOW,
    AREA,
    DENSITY,
    HEAT_CAPACITY,
    CONDUCTANCE,
    HEAT_TRANSFER,
)

# Thousands may be set apart by single spaces: "2 800". No group here can match the same text in two ways.
_QUANTITY: Final = re.compile(r"([+-]?[0-9]+(?: [0-9]{3})*(?:\.[0-9]+)?)(?: ?([A-Za-z%°].*))?", re.ASCII)
_GROUPED: Final = re.compile(r"[+-]?[0-9]{1,3}(?: [0-9]{3})+(?:\.[0-9]+)?", re.ASCII)
_SAME_CHARACTER: Final = str.maketrans(
    {"\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2212": "-", "\u00b2": "2", "\u00b3": "3"}
)


@cache
def _registry() -> Any:
    """Return the one Pint registry; building it takes a noticeable time, so only on first use."""
    import pint

    return pint.UnitRegistry()


@cache
def _conversion(unit: str, si_unit: str) -> tuple[float, float]:
    """Return factor and offset so that SI value = factor * number + offset; every unit allowed here is linear."""
    quantity = _registry().Quantity
    at_zero = float(quantity(0.0, unit).to(si_unit).magnitude)
    # Degrees Celsius and Fahrenheit: the factor is that of a difference of temperatures.
    step = unit if at_zero == 0.0 else f"delta_{unit}"
    return float(quantity(1.0, step).to(si_unit).magnitude), at_zero


def to_si(number: float, dimension: Dimension, unit: str) -> float:
    """Return the SI value of a number in one of the dimension's units.

    Examples
    --------
    >>> to_si(1.0, MASS, "t")
    1000.0
    >>> round(to_si(36.0, SPEED, "km/h"), 9)
    10.0
    >>> round(to_si(-40.0, TEMPERATURE, "degF"), 9) == round(to_si(-40.0, TEMPERATURE, "degC"), 9)
    True
    """
    if unit == "" and dimension.plain:
        return number
    factor, offset = _conversion(dimension.units[unit], dimension.si_unit)
    return number * factor + offset


def from_si(value: float, dimension: Dimension, unit: str) -> float:
    """Return the number in one of the dimension's units for an SI value; the reverse of `to_si`."""
    if unit == "" and dimension.plain:
        return value
    factor, offset = _conversion(dimension.units[unit], dimension.si_unit)
    return (value - offset) / factor


def show(value: float, dimension: Dimension, unit: str) -> str:
    """Return an SI value as text in a unit, four significant digits.

    Examples
    --------
    >>> show(66_000.0, MASS, "t")
    '66 t'
    >>> show(0.004, SHARE, "%")
    '0.4 %'
    """
    return f"{_digits(from_si(value, dimension, unit))} {unit}".strip()


def _digits(number: float) -> str:
    text = f"{number:.4g}"
    return f"{number:.0f}" if "e" in text and abs(number) >= 1.0 else text


def units_allowed(dimension: Dimension) -> str:
    """Return the units of a dimension as a phrase: "t, kg or lb"."""
    units = list(dimension.units)
    if dimension.plain:
        units.append("no unit")
    return units[0] if len(units) == 1 else ", ".join(units[:-1]) + " or " + units[-1]


def shown(value: object) -> str:
    """Return a value as messages quote it: in quotes, one line, not too long."""
    if isinstance(value, bool):
        return "true" if value else "false"
    text = str(value) if isinstance(value, int | float) else f'"{value}"'
    text = "".join(character if character.isprintable() else "?" for character in text)
    return text if len(text) <= LONGEST_QUANTITY else text[: LONGEST_QUANTITY - 4] + '..."'


def _example(dimension: Dimension, number: str) -> str:
    unit = next(iter(dimension.units), "")
    return f'"{number} {unit}"' if unit else number


def split_quantity(value: object, dimension: Dimension) -> tuple[float, str]:
    """Return number and unit of a text; raise `ScenarioError` that says what is wrong and what is allowed."""
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise ScenarioError(f"{shown(value)} is not a {dimension.name}. Write it as {_example(dimension, '12.5')}.")
    if isinstance(value, int | float):
        number = _finite(value)
        if not dimension.plain:
            raise ScenarioError(
                f"{shown(value)} has no unit; a {dimension.name} is written with {units_allowed(dimension)}, "
                f"as text: {_example(dimension, f'{value}')}."
            )
        return number, ""
    text = value.translate(_SAME_CHARACTER).strip()
    match = _QUANTITY.fullmatch(text) if len(text) <= LONGEST_QUANTITY else None
    hint = ""
    if re.search("[0-9],[0-9]", text[:LONGEST_QUANTITY]):
        hint = " Use a decimal point, not a comma."
    elif re.search("[0-9][eE][+-]?[0-9]", text[:LONGEST_QUANTITY]):
        hint = " Write the number out, without an exponent."
    if match is None or hint:
        raise ScenarioError(
            f"{shown(value)} is not a number with a unit. A {dimension.name} is written as "
            f"{_example(dimension, '12.5')}.{hint}"
        )
    digits, unit = match.group(1), (match.group(2) or "").strip()
    if " " in digits and not _GROUPED.fullmatch(digits):
        raise ScenarioError(f'{shown(value)} is not one number. Write thousands as "2 800" or "2800".')
    unit = " ".join(unit.split())
    if unit == "" and not dimension.plain:
        raise ScenarioError(
            f"{shown(value)} has no unit; a {dimension.name} is written with {units_allowed(dimension)}: "
            f"{_example(dimension, digits)}."
        )
    if unit and unit not in dimension.units:
        raise ScenarioError(_wrong_unit(value, unit, dimension))
    return _finite(float(digits.replace(" ", ""))), unit


def _finite(value: float) -> float:
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise ScenarioError(f"{shown(value)} is not a finite number.")
    return number


def _wrong_unit(value: object, unit: str, dimension: Dimension) -> str:
    allowed = f"a {dimension.name} is written with {units_allowed(dimension)}"
    other = next((one.name for one in DIMENSIONS if unit in one.units and one.name != dimension.name), None)
    if other is not None:
        return f"{shown(value)} is a {other}, but a {dimension.name} is expected: {units_allowed(dimension)}."
    meant = next((one for one in dimension.units if one.lower() == unit.lower()), None)
    hint = f' Was "{meant}" meant?' if meant else ""
    return f'{shown(value)}: the unit "{unit[:20]}" is not known here; {allowed}.{hint}'


def read_quantity(value: object, dimension: Dimension) -> float:
    """Return the SI value of a quantity as written in a file.

    Parameters
    ----------
    value
        Text with a unit ("2 800 m"), or a number where the dimension may stand without a unit.
    dimension
        What is expected.

    Returns
    -------
    float
        In the SI unit of the dimension, finite.

    Raises
    ------
    ScenarioError
        If there is no unit, another dimension's unit, an unknown unit, or no finite number; the text shows the value.

    Examples
    --------
    >>> read_quantity("2 800 m", LENGTH)
    2800.0
    >>> read_quantity("-0.4 %", SHARE)
    -0.004
    """
    number, unit = split_quantity(value, dimension)
    return to_si(number, dimension, unit)


@dataclass(frozen=True)
class Quantity:
    """Declares dimension and range (SI, both ends allowed) of a model field, inside `Annotated[float, ...]`."""

    dimension: Dimension
    minimum: float
    maximum: float

    def read(self, value: object) -> float:
        """Return the SI value of ``value``; raise `ScenarioError` where it cannot be read or is out of range."""
        number, unit = split_quantity(value, self.dimension)
        result = to_si(number, self.dimension, unit)
        # The ends are stated in round numbers of some unit: rounding of a conversion must not push them out.
        slack = 1e-9 * max(abs(self.minimum), abs(self.maximum))
        if not self.minimum - slack <= result <= self.maximum + slack:
            raise ScenarioError(self._out_of_range(value, number, unit))
        return result

    def _out_of_range(self, value: object, number: float, unit: str) -> str:
        low = _digits(from_si(self.minimum, self.dimension, unit))
        high = _digits(from_si(self.maximum, self.dimension, unit))
        text = f"{shown(value)} is outside {low} to {high} {unit}".rstrip() + "."
        fitting = [
            one
            for one in self.dimension.units
            if one != unit and self.minimum <= to_si(number, self.dimension, one) <= self.maximum
        ]
        return f"{text} Was it meant in {' or '.join(fitting)}?" if fitting else text

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Return the schema Pydantic validates with: our reader instead of its number parser."""

        def validate(value: object) -> float:
            try:
                return self.read(value)
            except ScenarioError as error:
                raise PydanticCustomError("quantity", "{text}", {"text": str(error)}) from error

        return core_schema.no_info_plain_validator_function(validate)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Return how a file writes the quantity: text, or a number where no unit is needed."""
        unit = next(iter(self.dimension.units), "")
        low, high = show(self.minimum, self.dimension, unit), show(self.maximum, self.dimension, unit)
        kinds = ["number", "string"] if self.dimension.plain else "string"
        return {"type": kinds, "title": f"{self.dimension.name}, {low} to {high}"}


def declared_quantity(annotation: Any) -> Quantity | None:
    """Return the `Quantity` inside a field's type, also inside `X | None`, lists and tables; None without one."""
    for metadata in getattr(annotation, "__metadata__", ()):
        if isinstance(metadata, Quantity):
            return metadata
    if get_origin(annotation) is None:
        return None
    found = (declared_quantity(argument) for argument in get_args(annotation))
    return next((one for one in found if one is not None), None)
