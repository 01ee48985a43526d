"""Quantities: text with a unit in, SI out. Expected values are the exact definitions of the units."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.scenario.quantity import (
    ANGLE,
    AREA,
    DECELERATION,
    DENSITY,
    DIMENSIONS,
    ENERGY,
    FORCE,
    JERK,
    LENGTH,
    MASS,
    MASS_FLOW,
    NUMBER,
    PRESSURE,
    SHARE,
    SMALL_LENGTH,
    SPEED,
    TEMPERATURE,
    TIME,
    TORQUE,
    Dimension,
    Quantity,
    from_si,
    read_quantity,
    show,
    to_si,
)


@pytest.mark.parametrize(
    ("text", "dimension", "expected"),
    [
        ("62.4 t", MASS, 62_400.0),
        ("100 lb", MASS, 45.359237),  # international pound
        ("2 800 m", LENGTH, 2_800.0),
        ("12 000 ft", LENGTH, 3_657.6),  # international foot, 0.3048 m
        ("1 NM", LENGTH, 1_852.0),
        ("1.5 km", LENGTH, 1_500.0),
        ("41 cm", SMALL_LENGTH, 0.41),
        ("6 mm", SMALL_LENGTH, 0.006),
        ("1 in", SMALL_LENGTH, 0.0254),
        ("3600 kt", SPEED, 1_852.0),  # one nautical mile an hour
        ("36 km/h", SPEED, 10.0),
        ("100 mph", SPEED, 44.704),  # statute mile of 1609.344 m
        ("13.8 bar", PRESSURE, 1_380_000.0),
        ("1013.25 hPa", PRESSURE, 101_325.0),
        ("1 psi", PRESSURE, 6_894.757293168361),  # 0.45359237 kg * 9.80665 m/s2 / (0.0254 m)^2
        ("30.06 inHg", PRESSURE, 101_794.9),  # ICAO: A3006 is 1017.95 hPa
        ("15 degC", TEMPERATURE, 288.15),
        ("-40 degF", TEMPERATURE, 233.15),  # where both scales meet
        ("250 K", TEMPERATURE, 250.0),
        ("180 deg", ANGLE, math.pi),
        ("-0.4 %", SHARE, -0.004),
        ("0.15", SHARE, 0.15),
        (0.15, SHARE, 0.15),
        (1, NUMBER, 1.0),
        ("2 min", TIME, 120.0),
        ("1 lbf", FORCE, 4.4482216152605),  # 0.45359237 kg * 9.80665 m/s2
        ("35 kN m", TORQUE, 35_000.0),
        ("72 MJ", ENERGY, 72e6),
        ("10 ft/s2", DECELERATION, 3.048),
        ("0.25 g", DECELERATION, 2.4516625),  # standard gravity 9.80665 m/s2
        ("1.6 m/s3", JERK, 1.6),
        ("3600 kg/h", MASS_FLOW, 1.0),
        ("60 kg/min", MASS_FLOW, 1.0),
        ("100 ft2", AREA, 9.290304),
        ("1.225 kg/m3", DENSITY, 1.225),
        ("\u22120.4\u00a0%", SHARE, -0.004),  # typographic minus and no-break space
        ("5%", SHARE, 0.05),
    ],
)
def test_read_quantity__every_unit_by_its_definition(text: object, dimension: Dimension, expected: float) -> None:
    """Definitions: international yard and pound 1959, nautical mile 1852 m, CGPM 1901 gravity, inch of mercury."""
    assert read_quantity(text, dimension) == pytest.approx(expected, rel=1e-6, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "message"),
    [
        (72, MASS, '72 has no unit; a mass is written with t, kg or lb, as text: "72 t"'),
        ("72", MASS, '"72" has no unit; a mass is written with t, kg or lb'),
        ("72 m", MASS, '"72 m" is a length, but a mass is expected: t, kg or lb'),
        ("240 kt", LENGTH, '"240 kt" is a speed, but a length is expected: m, km, ft or NM'),
        ("72 T", MASS, '"72 T": the unit "T" is not known here; .* Was "t" meant'),
        ("0.4 kg", NUMBER, '"0.4 kg" is a mass, but a plain number is expected'),
        ("nan t", MASS, '"nan t" is not a number with a unit'),
        ("inf kg", MASS, '"inf kg" is not a number with a unit'),
        (math.nan, SHARE, "nan is not a finite number"),
        (math.inf, NUMBER, "inf is not a finite number"),
        (10**400, NUMBER, "is not a finite number"),
        ("13,8 bar", PRESSURE, '"13,8 bar" .* decimal point, not a comma'),
        ("6e4 kg", MASS, '"6e4 kg" .* without an exponent'),
        ("60*1000 kg", MASS, '"60.1000 kg" is not a number with a unit'),
        ("1 2 m", LENGTH, '"1 2 m" is not a number with a unit'),
        ("1000 200 m", LENGTH, '"1000 200 m" is not one number'),
        ("", MASS, '"" is not a number with a unit'),
        ("9" * 500 + " kg", MASS, "is not a number with a unit"),
        ("1\u0660 m", LENGTH, "is not a number with a unit"),  # a digit of another script
        (True, SHARE, "true is not a share"),
        (None, MASS, '"None" is not a mass'),
        ([1], MASS, "is not a mass"),
    ],
)
def test_read_quantity__says_what_is_wrong(text: object, dimension: Dimension, message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        read_quantity(text, dimension)


@given(st.text(max_size=200) | st.floats() | st.integers() | st.booleans() | st.none(), st.sampled_from(DIMENSIONS))
def test_read_quantity__any_input_gives_a_finite_value_or_a_message(value: object, dimension: Dimension) -> None:
    try:
        result = read_quantity(value, dimension)
    except ScenarioError:
        return
    assert math.isfinite(result)


@given(
    st.sampled_from([(one, unit) for one in DIMENSIONS for unit in one.units]),
    st.decimals(min_value=-100_000, max_value=100_000, places=3),
)
def test_read_quantity__round_trip_through_every_unit(pair: tuple[Dimension, str], number: object) -> None:
    """A number written in a unit, read, and shown in the same unit is the number."""
    dimension, unit = pair
    value = read_quantity(f"{number} {unit}", dimension)
    assert from_si(value, dimension, unit) == pytest.approx(float(str(number)), rel=1e-9, abs=1e-6)


@given(st.sampled_from([(one, unit) for one in DIMENSIONS for unit in one.units]), st.floats(-1e6, 1e6))
def test_to_si__rises_with_the_number(pair: tuple[Dimension, str], number: float) -> None:
    dimension, unit = pair
    assert to_si(number + 1.0, dimension, unit) > to_si(number, dimension, unit)


def test_quantity__out_of_range_is_shown_in_the_users_unit_with_a_guess() -> None:
    """50 and 300 psi are 344.7 and 2068 kPa."""
    pressure = Quantity(PRESSURE, 344737.9, 2068427.2)
    message = '"15 kPa" is outside 344.7 to 2068 kPa. Was it meant in bar?'
    with pytest.raises(ScenarioError, match=re.escape(message)):
        pressure.read("15 kPa")


def test_quantity__both_ends_of_the_range_are_allowed() -> None:
    speed = Quantity(SPEED, 60.0 * 1852.0 / 3600.0, 220.0 * 1852.0 / 3600.0)
    assert speed.read("60 kt") == pytest.approx(30.8667, abs=1e-4)
    assert speed.read("220 kt") == pytest.approx(113.1778, abs=1e-4)
    with pytest.raises(ScenarioError, match=r'"220\.1 kt" is outside 60 to 220 kt'):
        speed.read("220.1 kt")


def test_show__four_digits_in_the_unit_asked() -> None:
    assert show(66_000.0, MASS, "t") == "66 t"
    assert show(288.15, TEMPERATURE, "degC") == "15 degC"
    assert show(12_345_678.0, PRESSURE, "Pa") == "12345678 Pa"
