"""The drawn aerodrome in every format: what was drawn is found again.

Stations, angles and radii are those of `drawing`, laid out with geodesics and plane circles; nothing comes from the
code under test.
"""

from __future__ import annotations

import math

import pytest

from groundroll.scenario.model import Exit, Runway
from groundroll.scenario.read import read_runway

from . import drawing
from .conftest import Make

DRAWN = {
    "10": {
        "B": (1_200.0, 30.0, 550.0, "right"),
        "C": (1_900.0, 90.0, 60.0, "left"),
        "D": (2_500.0, 90.0, None, "left"),
    },
    "28": {
        "D": (2_800.0 - 200.0 - 2_500.0, 90.0, None, "right"),
        "C": (2_800.0 - 200.0 - 2_020.0, 90.0, 60.0, "right"),
        "E": (2_800.0 - 200.0 - 1_500.0, 30.0, 550.0, "right"),
    },
}
"""Distance from the landing threshold, angle, radius and side of every exit of both directions."""

MAPS = {
    "AIXM": drawing.aixm_files(),
    "GeoJSON": {"a.json": drawing.geojson()},
    "Overpass": {"a.json": drawing.overpass()},
    "Overpass, nodes": {"a.json": drawing.overpass(with_geometry=False)},
}


def by_name(runway: Runway, direction: str) -> dict[str, Exit]:
    return {one.name: one for one in runway.directions[direction].exits}


@pytest.mark.parametrize("files", MAPS.values(), ids=MAPS.keys())
@pytest.mark.parametrize("direction", ["10", "28"])
def test_exits__are_found_where_they_were_drawn(files: dict[str, bytes], direction: str, make: Make) -> None:
    """Distance to 4 m (the beginning of a curve of 550 m radius is 1.5 cm aside after 4 m), radius to 5 %."""
    exits = by_name(make(files).runway, direction)
    assert list(exits) == list(DRAWN[direction])
    for name, (distance, angle, radius, side) in DRAWN[direction].items():
        found = exits[name]
        assert found.distance == pytest.approx(distance, abs=4.0), name
        assert math.degrees(found.angle) == pytest.approx(angle, abs=1.0), name
        assert found.side == side, name
        assert found.derived, name
        assert (found.radius is None) == (radius is None), name
        if radius is not None:
            assert found.radius == pytest.approx(radius, rel=0.05), name


@pytest.mark.parametrize("files", MAPS.values(), ids=MAPS.keys())
def test_holding_positions__lie_as_far_from_the_centre_line_as_drawn(files: dict[str, bytes], make: Make) -> None:
    exits = by_name(make(files).runway, "10")
    assert exits["C"].holding_distance == pytest.approx(90.0, abs=0.6)
    assert exits["D"].holding_distance == pytest.approx(75.0, abs=0.6)
    assert exits["B"].holding_distance is None


@pytest.mark.parametrize("files", MAPS.values(), ids=MAPS.keys())
def test_rapid_exits__are_those_of_the_data_or_of_the_angle(files: dict[str, bytes], make: Make) -> None:
    made = make(files)
    assert [one.name for one in made.runway.directions["10"].exits if one.rapid] == ["B"]
    assert [one.name for one in made.runway.directions["28"].exits if one.rapid] == ["E"]
    word = "the data call the taxiway a rapid exit" if files is MAPS["AIXM"] else "derived from the angle alone"
    assert made.text.count(word) == 2


def test_aixm__values_of_the_runway(make: Make) -> None:
    made = make(drawing.aixm_files())
    runway, ten, other = made.runway, made.runway.directions["10"], made.runway.directions["28"]
    assert (runway.aerodrome, runway.name, runway.surface) == ("QDRW", "Drawn Aerodrome", "grooved")
    assert (runway.length, runway.width) == (2_800.0, 45.0)
    assert math.degrees(runway.magnetic_variation) == pytest.approx(2.5)
    assert math.degrees(ten.true_bearing) == pytest.approx(98.5)
    assert (ten.threshold_elevation, other.threshold_elevation) == (120.0, 127.8)
    assert (ten.displaced_threshold, other.displaced_threshold) == (0.0, 200.0)
    assert (ten.landing_distance_available, other.landing_distance_available) == (2_800.0, 2_600.0)
    assert (ten.take_off_run_available, ten.take_off_distance_available) == (2_800.0, 2_900.0)
    assert other.accelerate_stop_distance_available == 2_860.0
    assert len(made.warnings) == 1  # nothing is odd in it but what a displaced threshold does to the thirds
    assert "28 has a threshold displaced by 200 m: thirds" in made.warnings[0]


@pytest.mark.parametrize("name", ["GeoJSON", "Overpass", "Overpass, nodes"])
def test_map_extract__values_of_the_runway(name: str, make: Make) -> None:
    made = make(MAPS[name], given={"magnetic_variation": "2.5 deg"})
    runway, other = made.runway, made.runway.directions["28"]
    assert (runway.aerodrome, runway.name, runway.surface) == ("QDRW", "Drawn Aerodrome", "smooth")
    assert runway.length == pytest.approx(2_800.0, abs=1.0)
    assert math.degrees(runway.directions["10"].true_bearing) == pytest.approx(98.5, abs=0.05)
    assert other.displaced_threshold == pytest.approx(200.0, abs=0.1)
    assert other.landing_distance_available == pytest.approx(2_600.0, abs=1.0)
    assert other.threshold_elevation == 124.0
    assert "NOT declared" in made.text
    assert any("elevation of the aerodrome, not of the threshold" in one for one in made.warnings)


def test_table__values_of_the_runway(make: Make) -> None:
    """9186 ft are 2799.9 m, 148 ft 45.1 m, 394 ft 120.1 m, 656 ft 199.9 m (a foot is 0.3048 m)."""
    made = make(drawing.table(), aerodrome="qdrw", given={"magnetic_variation": "2.5 deg"})
    runway, other = made.runway, made.runway.directions["28"]
    assert runway.length == pytest.approx(2_799.9)
    assert runway.width == pytest.approx(45.1)
    assert runway.directions["10"].threshold_elevation == pytest.approx(120.1)
    assert other.displaced_threshold == pytest.approx(199.9)
    assert other.landing_distance_available == 2_599.0
    assert math.degrees(other.true_bearing) == pytest.approx(278.5)
    assert not other.exits
    assert any("knows no exits" in one for one in made.warnings)


def test_table__a_row_without_header(make: Make) -> None:
    """A foot is 0.3048 m: 12000 ft are 3657.6 m, 1000 ft 304.8 m."""
    row = b'77,88,"QROW",12000,150,"CON",1,0,"07L",-38.4000,-21.7000,120,83,,"25R",-38.3960,-21.6584,100,263,1000\n'
    made = make(row)
    assert set(made.runway.directions) == {"07L", "25R"}
    assert made.runway.directions["25R"].displaced_threshold == pytest.approx(304.8)
    assert made.runway.length == pytest.approx(3_657.6)


def test_fixture_files__are_those_of_the_drawing() -> None:
    for name, content in drawing.fixtures().items():
        stored = (drawing.FIXTURES / name).read_bytes()
        assert stored == content, f"{name} is stale: python -m tests.scenario.runway_data.drawing"


@pytest.mark.parametrize("files", [*MAPS.values(), {"runways.csv": drawing.table()}])
def test_written_file__reads_back(files: dict[str, bytes], make: Make, tmp_path) -> None:  # type: ignore[no-untyped-def]
    made = make(files, aerodrome="QDRW")
    path = tmp_path / "runway.toml"
    path.write_text(made.text, encoding="utf-8")
    assert read_runway(path) == made.runway
