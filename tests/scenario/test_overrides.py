"""--set key=value."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.scenario.overrides import read_override
from groundroll.scenario.read import read_case

KNOT = 1852.0 / 3600.0
WET = "wet-gusty-arrival/case.toml"


def test_read_case__overrides_reach_case_aircraft_and_runway(folder: Path) -> None:
    case = read_case(
        folder / WET,
        [
            "landing.mass=60 t",
            "weather.wind=240/14 kt",
            "aircraft.brakes.certified_dry_coefficient=0.38",
            "runway.surface=grooved",
            "landing.flap=approach",
        ],
    )
    assert case.landing.mass == 60_000.0
    assert case.weather.wind_speed == pytest.approx(14.0 * KNOT)
    assert case.aircraft.brakes.certified_dry_coefficient == 0.38
    assert case.runway.surface == "grooved"
    assert case.landing.flap == "approach"


def test_read_case__slope_of_the_landing_direction(folder: Path) -> None:
    """Also where the file gives the slope of both directions: the other one follows with the sign changed."""
    assert read_case(folder / WET, ["runway.slope=-1 %"]).direction_data.slope == pytest.approx(-0.01)
    case = read_case(folder / "nothing-fits/case.toml", ["runway.slope=0.5 %"])
    assert case.direction_data.slope == pytest.approx(0.005)
    assert case.runway.directions["34"].slope is None


def test_read_case__codes_take_the_place_of_the_report(folder: Path) -> None:
    case = read_case(folder / WET, ["condition.codes=[2, 2, 2]"])
    assert case.condition.codes == (2, 2, 2)
    assert case.condition.raw is None
    assert read_case(folder / "dry-short/case.toml", ["condition.report=wet 5/5/5"]).condition.codes == (5, 5, 5)


def test_read_case__a_section_that_the_file_lacks(folder: Path) -> None:
    case = read_case(folder / WET, ["failures.reversers_inoperative=1", "failures.anti_skid_inoperative=true"])
    assert case.failures.reversers_inoperative == 1
    assert case.failures.anti_skid_inoperative


@pytest.mark.parametrize(
    ("override", "message"),
    [
        ("landing.mass", r'--set "landing\.mass": write key=value'),
        ("=60 t", r'--set "=60 t": write key=value'),
        ("landing mass=60 t", r'"landing mass" is not a key'),
        ("landing.mass=60", r"^--set landing\.mass: 60 has no unit; a mass is written with t, kg or lb"),
        ("landing.mass=72 t", r'^--set landing\.mass: "72 t" is above the maximum landing mass 66 t'),
        ("landing.mas=60 t", r'^--set landing\.mas: is not a key known here\. Was "mass" meant\?'),
        ("landing.mass.now=60 t", r'--set landing\.mass\.now: "mass" is a value, not a section'),
        ("aircraft.brakes.count=5", r"brakes\.count 5 is more than tyres\.main\.count 4"),
        ("aircraft.brakes.heat_sink=wood", r'^--set aircraft\.brakes\.heat_sink: "wood" is not allowed'),
        ("runway.slope=9 %", r'^--set runway\.directions\.25\.slope: "9 %" is outside -5 to 5 %'),
        ("runway.directions.18.slope=1 %", r'runway direction "18" is not in the runway file'),
        ("direction=18", r'^--set direction: "18" is not a direction of QDEM-07-25\.toml'),
        ("aircraft=../nothing.toml", r"^--set aircraft: .*nothing\.toml: there is no such file"),
    ],
)
def test_read_case__bad_override_is_named_as_such(folder: Path, override: str, message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        read_case(folder / WET, [override])


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("a=60 t", "60 t"),
        ("a=true", True),
        ("a=5", 5),
        ("a=0.5", 0.5),
        ('a="5"', "5"),
        ("a=[5, 5, 3]", [5, 5, 3]),
        ("a=2026-02-17T06:40:00Z", "2026-02-17T06:40:00Z"),
        ("a=1\nb = 2", "1\nb = 2"),
        ("a=x=y", "x=y"),
    ],
)
def test_read_override__value_as_toml_or_as_text(text: str, value: object) -> None:
    assert read_override(text).value == value


@given(st.text(max_size=100))
def test_read_override__any_text_gives_an_override_or_a_message(text: str) -> None:
    try:
        override = read_override(text)
    except ScenarioError:
        return
    assert override.parts
