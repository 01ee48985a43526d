"""Reading the day file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from groundroll.errors import ScenarioError
from groundroll.scenario.day import read_day, resolved_day
from groundroll.scenario.read import read_any

DAY = "day/day.toml"
Edit = Callable[[str, str, str], Path]


def test_read_day__demo(folder: Path) -> None:
    day = read_day(folder / DAY)
    assert [one.written.name for one in day.sectors][:2] == ["coast to plain", "plain to coast"]
    assert day.aircraft.name == "demo-narrowbody"
    assert day.sectors[0].written.flight.gear_down_before == 180.0
    assert day.released_brakes == ()
    assert read_any(folder / DAY) == day


def test_resolved_day__names_carry_units(folder: Path) -> None:
    inputs = resolved_day(read_day(folder / DAY))
    assert inputs["start"]["air_temperature_k"] == pytest.approx(303.15)
    assert inputs["sectors"][0]["taxi_out"]["time_s"] == 660.0
    assert inputs["sectors"][0]["landing"]["case"] == "hot-plain.toml"
    assert inputs["aircraft"]["brake_cooling"]["coupling_wpk"] > 0.0


def test_read_day__set_reaches_day_sector_and_aircraft(folder: Path) -> None:
    day = read_day(
        folder / DAY,
        [
            "start.air_temperature=41 degC",
            "sectors.2.ground.time=50 min",
            "aircraft.brake_cooling.take_off_limit=155 degC",
            "released_brakes=[1]",
        ],
    )
    assert day.start.air_temperature == pytest.approx(314.15)
    assert day.sectors[1].written.ground.time == 3_000.0
    assert day.sectors[0].written.ground.time == 2_100.0
    assert day.aircraft.brake_cooling is not None
    assert day.aircraft.brake_cooling.take_off_limit == pytest.approx(428.15)
    assert all(one.case.failures.brakes_released == 1 for one in day.sectors)
    assert day.released_brakes == (0,)


@pytest.mark.parametrize(
    ("override", "message"),
    [
        ("sectors.9.ground.time=50 min", '"9" is not a sector; there are 1 to 4'),
        ("sectors.two.ground.time=50 min", '"two" is not a sector'),
        ("sectors.1.ground.time=50", "50 has no unit; a time is written with s, min or h"),
        ("sectors.1.ground.tme=50 min", r'sectors entry 1, ground.tme: .*"time"'),
        ("sectors.1.flight.time=3 min", "gear_up_after and gear_down_before together are longer than time"),
        ("sectors.1.landing.reverse=recommended", "give both brake and reverse, or neither"),
        ("sectors.1.take_off.mass=90 t", r"90.0 t is outside 41.0 to 78.0 t of demo-narrowbody"),
        ("sectors.1.take_off.mass=60 t", "lands with 65.0 t, more than the take-off mass, 60.0 t"),
        ("sectors.1.landing.case=no.toml", "no.toml: there is no such file"),
        ("sectors.1.landing.case=../dry-short/case.toml", "lands demo-regional, but the day names demo-narrowbody"),
        ('sectors.1.landing.changes=["failures.brakes_released=1"]', "releases 1 brakes. Name them in the day file"),
        ('sectors.1.landing.changes=["landing.mass=900 t"]', "sectors entry 1, landing: .*900 t.* is outside"),
        ("released_brakes=[7]", "is not|above|brakes"),
        ("released_brakes=[2, 2]", "names a brake twice"),
        ("runway.slope=1 %", "a day has several runways"),
        ("aircraft=../aircraft/demo-none.toml", "there is no such file"),
        ("format=2", "newer than this version"),
        ("sectors=[]", "sectors"),
    ],
)
def test_read_day__refusals(folder: Path, override: str, message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        read_day(folder / DAY, [override])


def test_read_day__fans_that_are_not_fitted(edit: Edit, folder: Path) -> None:
    path = edit("aircraft/demo-narrowbody.toml", "fan_coefficient", "# fan_coefficient")
    assert path.exists()
    with pytest.raises(ScenarioError, match="demo-narrowbody has no brake fans"):
        read_day(folder / DAY)


def test_read_day__aircraft_without_the_section(folder: Path) -> None:
    path = folder / "aircraft" / "demo-narrowbody.toml"
    text = path.read_text(encoding="utf-8")
    before, _, after = text.partition("[brake_cooling]\n")
    path.write_text(before + after[after.index("[brake_wear]") :], encoding="utf-8")
    with pytest.raises(ScenarioError, match=r"brake_cooling: is missing. Add the section \[brake_cooling\]"):
        read_day(folder / DAY)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            'fuse_plug_near = "160 degC"',
            'fuse_plug_near = "190 degC"',
            "fuse_plug_near must be below fuse_plug_release",
        ),
        (
            "sensor_share",
            "shares = [1.0, 1.0]\nsensor_share",
            "brake_cooling.shares has 2 values, but brakes.count is 4",
        ),
        ("brake_life = 1800", "", "give both brake and brake_life, or neither"),
        ("tyre_life = 280", "", "give both tyre and tyre_life, or neither"),
        ('coupling = "26 W/K"', 'coupling = "26 W"', "is not known here|W/K"),
    ],
)
def test_read_aircraft__sections_on_heat_wear_and_prices(
    edit: Edit, folder: Path, old: str, new: str, message: str
) -> None:
    edit("aircraft/demo-narrowbody.toml", old, new)
    with pytest.raises(ScenarioError, match=message):
        read_day(folder / DAY)
