"""Numbers in the text of a lesson: worked out from the cases when the lesson is built, never typed.

`{base.stop_distance m}` in a text is the stop distance of the case `base` in metres; `{late.stop_distance -
base.stop_distance m}` a difference. A condition such as `late.stop_distance > base.stop_distance + 50 m` says when an
answer is true. Every value carries its dimension, so that metres are never added to knots or shown as such.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, TypeAlias

from groundroll.constants import FOOT, KNOT, PSI, ZERO_CELSIUS
from groundroll.errors import ScenarioError
from groundroll.scenario.messages import nearest

Powers: TypeAlias = tuple[int, int, int, int]
"""Exponents of length, mass, time and temperature."""

PLAIN: Final[Powers] = (0, 0, 0, 0)
LENGTH: Final[Powers] = (1, 0, 0, 0)
MASS: Final[Powers] = (0, 1, 0, 0)
TIME: Final[Powers] = (0, 0, 1, 0)
TEMPERATURE: Final[Powers] = (0, 0, 0, 1)
SPEED: Final[Powers] = (1, 0, -1, 0)
ACCELERATION: Final[Powers] = (1, 0, -2, 0)
FORCE: Final[Powers] = (1, 1, -2, 0)
ENERGY: Final[Powers] = (2, 1, -2, 0)
PRESSURE: Final[Powers] = (-1, 1, -2, 0)


@dataclass(frozen=True)
class Unit:
    """One unit in which a number can be shown or written."""

    powers: Powers
    factor: float
    decimals: int
    """Shown unless the text asks for others."""
    offset: float = 0.0
    """Of a scale whose zero is not that of the SI unit."""


UNITS: Final[dict[str, Unit]] = {
    "m": Unit(LENGTH, 1.0, 0),
    "km": Unit(LENGTH, 1000.0, 1),
    "ft": Unit(LENGTH, FOOT, 0),
    "mm": Unit(LENGTH, 0.001, 0),
    "kt": Unit(SPEED, KNOT, 0),
    "m/s": Unit(SPEED, 1.0, 1),
    "km/h": Unit(SPEED, 1.0 / 3.6, 0),
    "m/s2": Unit(ACCELERATION, 1.0, 1),
    "s": Unit(TIME, 1.0, 0),
    "min": Unit(TIME, 60.0, 0),
    "t": Unit(MASS, 1000.0, 1),
    "kg": Unit(MASS, 1.0, 0),
    "MJ": Unit(ENERGY, 1e6, 1),
    "kN": Unit(FORCE, 1000.0, 0),
    "bar": Unit(PRESSURE, 1e5, 1),
    "psi": Unit(PRESSURE, PSI, 0),
    "degC": Unit(TEMPERATURE, 1.0, 0, offset=ZERO_CELSIUS),
    "K": Unit(TEMPERATURE, 1.0, 0),
    "%": Unit(PLAIN, 0.01, 0),
    "times": Unit(PLAIN, 1.0, 1),
    "whole": Unit(PLAIN, 1.0, 0),
}
"""By the name that a lesson writes; "times" and "whole" show a plain number, the second without decimals."""

_NAMES: Final[dict[Powers, str]] = {
    PLAIN: "a plain number",
    LENGTH: "a length",
    MASS: "a mass",
    TIME: "a time",
    TEMPERATURE: "a temperature",
    SPEED: "a speed",
    ACCELERATION: "a deceleration",
    FORCE: "a force",
    ENERGY: "an energy",
    PRESSURE: "a pressure",
}


@dataclass(frozen=True)
class Measured:
    """A number with its dimension, SI."""

    value: float
    powers: Powers = PLAIN
    on_scale: bool = False
    """A temperature counted from absolute zero, to be shown on the Celsius scale, and not a difference of two."""


Value: TypeAlias = Measured | str | bool
Lookup: TypeAlias = Callable[[str], Value]


def dimension_name(powers: Powers) -> str:
    """Return a dimension in words."""
    return _NAMES.get(powers, "a quantity without a name")


def units_for(powers: Powers) -> str:
    """Return the units in which a dimension can be shown, as a phrase."""
    return ", ".join(name for name, unit in UNITS.items() if unit.powers == powers) or "none"


def shown(value: Measured, unit_name: str, decimals: int | None = None) -> str:
    """Return a value as text in a unit.

    Raises
    ------
    ScenarioError
        If the unit is not one of the value's dimension.

    Examples
    --------
    >>> shown(Measured(1852.0, LENGTH), "m")
    '1852 m'
    >>> shown(Measured(293.15, TEMPERATURE, True), "degC")
    '20 degC'
    >>> shown(Measured(20.0, TEMPERATURE), "degC")
    '20 degC'
    >>> shown(Measured(0.5), "%")
    '50 %'
    """
    unit = UNITS[unit_name]
    if unit.powers != value.powers:
        raise ScenarioError(
            f'is {dimension_name(value.powers)}, and "{unit_name}" is a unit of {_bare(unit.powers)}. '
            f"Write it in {units_for(value.powers)}."
        )
    number = (value.value - (unit.offset if value.on_scale else 0.0)) / unit.factor
    text = f"{number:.{unit.decimals if decimals is None else decimals}f}"
    text = text.removeprefix("-") if float(text) == 0.0 else text
    return text if unit_name in ("times", "whole") else f"{text} {unit_name}"


def _bare(powers: Powers) -> str:
    return dimension_name(powers).removeprefix("an ").removeprefix("a ")


# ------------------------------------------------------------------------------------------------------- expressions

_UNIT_NAMES: Final = "|".join(re.escape(one) for one in sorted(UNITS, key=len, reverse=True))
_TOKEN: Final = re.compile(
    rf"\s*(?:(?P<number>\d+(?:\.\d+)?)(?:\s*(?P<unit>{_UNIT_NAMES})(?![A-Za-z0-9_]))?"
    r"|(?P<name>[A-Za-z_]\w*(?:\.\w+)*)|(?P<text>\"[^\"]*\")|(?P<sign><=|>=|==|!=|[-+*/()<>,]))"
)
_FUNCTIONS: Final = ("abs", "min", "max", "sqrt")
LONGEST: Final = 400
"""Of an expression. [characters] Assumption of this project: a longer one is a mistake."""


@dataclass(frozen=True)
class _Token:
    kind: str
    text: str
    unit: str = ""


def _tokens(text: str) -> list[_Token]:
    if len(text) > LONGEST:
        raise ScenarioError(f"is longer than {LONGEST} characters; split it.")
    found, place = list[_Token](), 0
    while text[place:].strip():
        match = _TOKEN.match(text, place)
        if match is None:
            raise ScenarioError(f'"{text.strip()}" cannot be read from "{text[place:].strip()[:20]}" on.')
        kind = match.lastgroup if match.lastgroup != "unit" else "number"
        assert kind is not None  # every branch of the pattern has a name
        found.append(_Token(kind, match.group(kind), match.group("unit") or ""))
        place = match.end()
    return found


class _Reader:
    """Recursive descent: comparison, sum, product, sign, atom."""

    def __init__(self, text: str, lookup: Lookup) -> None:
        self.text = text.strip()
        self.tokens = _tokens(text)
        self.place = 0
        self.lookup = lookup
        self.depth = 0

    def peek(self) -> str:
        return self.tokens[self.place].text if self.place < len(self.tokens) else ""

    def take(self, *wanted: str) -> str:
        """Return the next token where it is one of ``wanted``, an empty text otherwise."""
        if self.place < len(self.tokens) and self.tokens[self.place].text in wanted:
            self.place += 1
            return self.tokens[self.place - 1].text
        return ""

    def whole(self) -> Value:
        value = self.conjunction()
        if self.place != len(self.tokens):
            raise ScenarioError(f'"{self.text}": "{self.peek()}" is not expected there.')
        return value

    def conjunction(self) -> Value:
        value = self.comparison()
        while self.take("and"):
            other = self.comparison()
            if not isinstance(value, bool) or not isinstance(other, bool):
                raise ScenarioError(f'"{self.text}": "and" stands between two conditions.')
            value = value and other
        return value

    def comparison(self) -> Value:
        left = self.sum()
        sign = self.take("<", "<=", ">", ">=", "==", "!=")
        if not sign:
            return left
        right = self.sum()
        if isinstance(left, Measured) and isinstance(right, Measured):
            self.same(left, right, "compared")
            one, two = left.value, right.value
            return {
                "<": one < two,
                "<=": one <= two,
                ">": one > two,
                ">=": one >= two,
                "==": one == two,
                "!=": one != two,
            }[sign]
        if sign in ("==", "!=") and type(left) is type(right):
            return (left == right) is (sign == "==")
        raise ScenarioError(f'"{self.text}": a number and a word cannot be compared.')

    def same(self, one: Measured, two: Measured, done: str) -> None:
        if one.powers != two.powers:
            raise ScenarioError(
                f'"{self.text}": {dimension_name(one.powers)} and {dimension_name(two.powers)} cannot be {done}.'
            )

    def number(self, value: Value) -> Measured:
        if not isinstance(value, Measured):
            raise ScenarioError(f'"{self.text}": a word stands where a number is needed.')
        return value

    def sum(self) -> Value:
        value = self.product()
        while sign := self.take("+", "-"):
            one, two = self.number(value), self.number(self.product())
            self.same(one, two, "added" if sign == "+" else "subtracted")
            total = one.value + two.value if sign == "+" else one.value - two.value
            # A difference of two temperatures is no temperature on the scale; a step from one is.
            value = Measured(total, one.powers, one.on_scale != two.on_scale)
        return value

    def product(self) -> Value:
        value = self.signed()
        while sign := self.take("*", "/"):
            one, two = self.number(value), self.number(self.signed())
            if sign == "*":
                powers = tuple(a + b for a, b in zip(one.powers, two.powers, strict=True))
                result = one.value * two.value
            else:
                if two.value == 0.0:
                    raise ScenarioError(f'"{self.text}": divides by zero.')
                powers = tuple(a - b for a, b in zip(one.powers, two.powers, strict=True))
                result = one.value / two.value
            value = Measured(result, (powers[0], powers[1], powers[2], powers[3]))
        return value

    def signed(self) -> Value:
        self.depth += 1
        if self.depth > 50:
            raise ScenarioError(f'"{self.text[:60]}...": is nested too deeply.')
        try:
            if self.take("-"):
                one = self.number(self.signed())
                return Measured(-one.value, one.powers)
            return self.atom()
        finally:
            self.depth -= 1

    def atom(self) -> Value:
        if self.place >= len(self.tokens):
            raise ScenarioError(f'"{self.text}": ends where a value is needed.')
        token = self.tokens[self.place]
        self.place += 1
        if token.kind == "number":
            unit = UNITS[token.unit] if token.unit else UNITS["times"]
            return Measured(float(token.text) * unit.factor + unit.offset, unit.powers, unit.offset != 0.0)
        if token.kind == "text":
            return token.text[1:-1]
        if token.text == "(":
            value = self.conjunction()
            if not self.take(")"):
                raise ScenarioError(f'"{self.text}": a bracket is not closed.')
            return value
        if token.kind == "name" and token.text in _FUNCTIONS:
            return self.function(token.text)
        if token.kind == "name" and token.text != "and":
            return self.lookup(token.text)
        raise ScenarioError(f'"{self.text}": "{token.text}" is not expected there.')

    def function(self, name: str) -> Measured:
        if not self.take("("):
            raise ScenarioError(f'"{self.text}": {name} needs a bracket: {name}(...).')
        values = [self.number(self.sum())]
        while self.take(","):
            values.append(self.number(self.sum()))
            self.same(values[0], values[-1], "put together")
        if not self.take(")"):
            raise ScenarioError(f'"{self.text}": a bracket is not closed.')
        if name in ("abs", "sqrt") and len(values) != 1:
            raise ScenarioError(f'"{self.text}": {name} takes one value.')
        first = values[0]
        if name == "sqrt":
            if first.value < 0.0 or any(power % 2 for power in first.powers):
                raise ScenarioError(f'"{self.text}": has no root.')
            powers = tuple(power // 2 for power in first.powers)
            return Measured(math.sqrt(first.value), (powers[0], powers[1], powers[2], powers[3]))
        chosen = {"abs": lambda: abs(first.value), "min": lambda: min(one.value for one in values)}
        value = chosen.get(name, lambda: max(one.value for one in values))()
        return Measured(value, first.powers, first.on_scale)


def evaluate(text: str, lookup: Lookup) -> Value:
    """Return the value of an expression.

    Parameters
    ----------
    text
        Sums, products, comparisons joined by "and", `abs`, `min`, `max`, `sqrt`, numbers with units, names with dots.
    lookup
        Gives the value of a name.

    Raises
    ------
    ScenarioError
        If it cannot be read, or dimensions do not go together.

    Examples
    --------
    >>> evaluate("2 km - 500 m", lambda name: False).value
    1500.0
    >>> evaluate("10 m < 20 ft", lambda name: False)
    False
    """
    if not text.strip():
        raise ScenarioError("is empty.")
    return _Reader(text, lookup).whole()


def holds(text: str, lookup: Lookup) -> bool:
    """Return whether a condition holds; refuse what is no condition."""
    value = evaluate(text, lookup)
    if not isinstance(value, bool):
        raise ScenarioError(f'"{text}" is no condition. Compare two values, such as "late.margin < base.margin".')
    return value


# ------------------------------------------------------------------------------------------------------ placeholders

PLACEHOLDER: Final = re.compile(r"\{([^{}]*)\}")
_SHOWN_AS: Final = re.compile(rf"(?P<value>.*\S)\s+(?P<unit>{_UNIT_NAMES})(?::(?P<decimals>\d))?", re.DOTALL)


def placeholder(inside: str, lookup: Lookup) -> str:
    """Return what stands for `{inside}`: a value and the unit to show it in, or a word.

    Examples
    --------
    >>> placeholder("base.length km:2", lambda name: Measured(1234.0, LENGTH))
    '1.23 km'
    """
    match = _SHOWN_AS.fullmatch(inside.strip())
    if match is None:
        value = evaluate(inside, lookup)
        if isinstance(value, Measured):
            raise ScenarioError(
                f'"{{{inside}}}" names no unit. Write one behind it: {{{inside.strip()} UNIT}}, UNIT one of '
                f"{units_for(value.powers)}."
            )
        return value if isinstance(value, str) else ("yes" if value else "no")
    value = evaluate(match.group("value"), lookup)
    if not isinstance(value, Measured):
        raise ScenarioError(f'"{{{inside}}}": a word has no unit. Leave "{match.group("unit")}" out.')
    decimals = match.group("decimals")
    try:
        return shown(value, match.group("unit"), None if decimals is None else int(decimals))
    except ScenarioError as error:
        raise ScenarioError(f'"{{{inside}}}" {error}') from error


def filled(text: str, lookup: Lookup) -> str:
    """Return a text with every placeholder filled in.

    Raises
    ------
    ScenarioError
        If a placeholder cannot be worked out, or a brace stands alone.
    """
    done = PLACEHOLDER.sub(lambda match: placeholder(match.group(1), lookup), text)
    left = PLACEHOLDER.sub("", text)
    if "{" in left or "}" in left:
        raise ScenarioError('has a brace "{" or "}" without its partner. Numbers stand as {case.quantity unit}.')
    return done


def unknown_name(name: str, known: list[str], what: str) -> ScenarioError:
    """Return the error for a name that is not known, with the nearest one."""
    return ScenarioError(f'"{name}" is not {what}. {nearest(name, known)}'.strip())
