"""Numbers in texts: units, dimensions, and messages that say what to write."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.teaching.numbers import (
    ENERGY,
    LENGTH,
    SPEED,
    TEMPERATURE,
    Measured,
    Value,
    evaluate,
    filled,
    holds,
    shown,
)

VALUES: dict[str, Value] = {
    "base.stop_distance": Measured(1852.0, LENGTH),
    "late.stop_distance": Measured(2000.0, LENGTH),
    "base.touchdown_speed": Measured(72.0222, SPEED),
    "base.brake_energy": Measured(20e6, ENERGY),
    "base.hot": Measured(573.15, TEMPERATURE, on_scale=True),
    "base.cold": Measured(273.15, TEMPERATURE, on_scale=True),
    "base.brake": "firm",
    "base.target_held": True,
}


def lookup(name: str) -> Value:
    if name not in VALUES:
        raise ScenarioError(f'"{name}" is not known')
    return VALUES[name]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("{base.stop_distance m}", "1852 m"),
        ("{base.stop_distance km:3}", "1.852 km"),  # a nautical mile is 1852 m
        ("{base.touchdown_speed kt}", "140 kt"),  # 1 kt = 1852 m / 3600 s, so 72.0222 m/s are 140.0 kt
        ("{late.stop_distance - base.stop_distance m}", "148 m"),
        ("{late.stop_distance / base.stop_distance - 1 %}", "8 %"),
        ("{base.brake_energy MJ:0}", "20 MJ"),
        ("{base.hot degC}", "300 degC"),
        ("{base.hot - base.cold K}", "300 K"),
        ("{base.hot - base.cold degC}", "300 degC"),  # a difference has no zero of its own
        ("{base.cold + 20 K degC}", "20 degC"),
        ("{sqrt(base.touchdown_speed * base.touchdown_speed) kt}", "140 kt"),
        ("{max(base.stop_distance, late.stop_distance) m}", "2000 m"),
        ("{abs(base.stop_distance - late.stop_distance) ft}", "486 ft"),  # 148 / 0.3048 = 485.6
        ("{-(base.stop_distance - late.stop_distance) m}", "148 m"),
        ("set to {base.brake}, held: {base.target_held}", "set to firm, held: yes"),
        ("{base.touchdown_speed * 1 s m}", "72 m"),
        ("{0.4 m - 0.6 m m}", "0 m"),  # never "-0"
    ],
)
def test_filled__numbers_in_their_units(text: str, expected: str) -> None:
    """Values by hand, from the exact definitions of knot, foot and the Celsius scale."""
    assert filled(text, lookup) == expected


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("{base.stop_distance kt}", r'is a length, and "kt" is a unit of speed\. Write it in m, km, ft, mm'),
        ("{base.stop_distance}", r"names no unit.*one of m, km, ft, mm"),
        ("{base.brake m}", r'a word has no unit\. Leave "m" out'),
        ("{base.stop_distance + base.touchdown_speed m}", "a length and a speed cannot be added"),
        ("{base.stop_distance", "without its partner"),
        ("{base.stop_distance * m}", r'ends where a value is needed|"" is not'),
        ("{base.stop_distance / 0 m m}", "divides by zero"),
        ("{nobody.stop_distance m}", '"nobody.stop_distance" is not known'),
        ("{(base.stop_distance m}", "a bracket is not closed"),
        ("{base.brake + base.stop_distance m}", "a word stands where a number is needed"),
        ("{__import__('os') m}", "cannot be read"),
        ("{" + "(" * 200 + "1 m" + ")" * 200 + " m}", "longer than|nested too deeply"),
        ("{sqrt(base.stop_distance) m}", "has no root"),
    ],
)
def test_filled__what_cannot_be_worked_out_is_refused_with_what_to_write(text: str, message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        filled(text, lookup)


@pytest.mark.parametrize(
    ("condition", "expected"),
    [
        ("base.stop_distance < late.stop_distance", True),
        ("late.stop_distance - base.stop_distance > 148 m and base.stop_distance < 2 km", False),
        ("late.stop_distance >= 2 km and base.stop_distance == 1852 m", True),
        ('base.brake == "firm"', True),
        ('base.brake != "firm"', False),
        ("base.touchdown_speed > 139 kt and base.touchdown_speed < 141 kt", True),
        ("base.target_held", True),
        ("base.hot > 299 degC", True),
    ],
)
def test_holds__conditions(condition: str, expected: bool) -> None:
    assert holds(condition, lookup) is expected


@pytest.mark.parametrize(
    ("condition", "message"),
    [
        ("base.stop_distance", "is no condition"),
        ("base.stop_distance < base.touchdown_speed", "a length and a speed cannot be compared"),
        ("base.brake > 3 m", "cannot be compared"),
        ("base.stop_distance and base.target_held", "between two conditions"),
        ("", "is empty"),
    ],
)
def test_holds__what_is_no_condition_is_refused(condition: str, message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        holds(condition, lookup)


def test_evaluate__precedence_is_that_of_arithmetic() -> None:
    """2 + 3 x 4 - 10 / 5 = 12, and a minus binds tighter than a product."""
    value = evaluate("2 + 3 * 4 - 10 / 5", lookup)
    assert isinstance(value, Measured)
    assert value.value == pytest.approx(12.0)
    other = evaluate("-2 * -3", lookup)
    assert isinstance(other, Measured)
    assert other.value == pytest.approx(6.0)


def test_shown__a_unit_of_another_dimension_names_those_allowed() -> None:
    with pytest.raises(ScenarioError, match="Write it in kt, m/s, km/h"):
        shown(Measured(1.0, SPEED), "m")


PIECES = [
    "1",
    "2.5 m",
    "3 kt",
    "base.stop_distance",
    "base.brake",
    "base.hot",
    "nobody.x",
    "(",
    ")",
    "+",
    "-",
    "*",
    "/",
]
PIECES += ["<", "==", "and", "abs", "sqrt", "max", ",", '"firm"', "9" * 330, "?", "{", "  "]


@given(st.lists(st.sampled_from(PIECES), max_size=12).map(" ".join))
def test_filled__whatever_stands_in_a_placeholder_gives_a_text_or_one_clear_error(inside: str) -> None:
    for text in (f"{{{inside} m}}", f"{{{inside}}}"):
        try:
            assert isinstance(filled(text, lookup), str)
        except ScenarioError as error:
            said = str(error)
            assert len(said) < 2_000
