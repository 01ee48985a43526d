"""Reading aircraft, runway and case files: what comes out, and what is said about bad input."""

from __future__ import annotations

import json
import math
import re
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

import groundroll
from groundroll.errors import ScenarioError
from groundroll.scenario.files import LARGEST_FILE
from groundroll.scenario.read import read_aircraft, read_any, read_case, read_runway
from groundroll.scenario.resolved import resolved_inputs

Edit = Callable[[str, str, str], Path]

KNOT = 1852.0 / 3600.0
AIRCRAFT = "aircraft/demo-narrowbody.toml"
RUNWAY = "runways/QDEM-07-25.toml"
CASE = "failures-and-dispatch/case.toml"
WET = "wet-gusty-arrival/case.toml"
DRY = "dry-short/case.toml"
READERS: dict[str, Callable[[Path], object]] = {"aircraft": read_aircraft, "runways": read_runway}


def _read(path: Path) -> object:
    return READERS.get(path.parent.name, read_case)(path)


# -------------------------------------------------------------------------------------------------- what comes out


def test_read_aircraft__values_are_si(folder: Path) -> None:
    """66 t, 13.8 bar, 136 kt, 35 kN m, 1.2 m/s2 as written in the file."""
    aircraft = read_aircraft(folder / AIRCRAFT)
    assert aircraft.invented
    assert aircraft.mass.maximum_landing == 66_000.0
    assert aircraft.tyres.main.pressure == pytest.approx(1.38e6)
    assert aircraft.flaps["full"].reference_speed == pytest.approx(136.0 * KNOT)
    assert aircraft.brakes.maximum_torque == pytest.approx(35_000.0)
    assert aircraft.automatic_brakes is not None
    assert list(aircraft.automatic_brakes.settings) == ["gentle", "steady", "firm", "strong"]
    assert aircraft.automatic_brakes.settings["gentle"] == 1.2
    assert aircraft.engines.thrust.airspeed[1] == pytest.approx(40.0 * KNOT)


def test_read_aircraft__automatic_brakes_and_reverse_may_be_missing(folder: Path) -> None:
    assert read_aircraft(folder / "aircraft/demo-regional.toml").automatic_brakes is None


def test_flap__reference_speed_goes_with_the_square_root_of_mass(folder: Path) -> None:
    """A quarter of the mass asks for half the speed: V = sqrt(2 m g / (rho S C_L))."""
    flap = read_aircraft(folder / AIRCRAFT).flaps["full"]
    assert flap.reference_speed_at(16_500.0) == pytest.approx(68.0 * KNOT)


def test_read_runway__both_directions(folder: Path) -> None:
    runway = read_runway(folder / RUNWAY)
    assert list(runway.directions) == ["07", "25"]
    assert runway.directions["25"].displaced_threshold == 150.0
    assert [one.name for one in runway.directions["07"].exits] == ["B", "C", "D"]
    assert runway.directions["07"].exits[0].angle == pytest.approx(math.radians(30.0))


def test_read_case__slope_from_both_elevations(folder: Path) -> None:
    """24 ft to 51 ft over 2650 m - 150 m: 27 * 0.3048 / 2500 = 0.329 % up on 07, down on 25."""
    assert read_case(folder / CASE).direction_data.slope == pytest.approx(0.00329, abs=5e-6)
    assert read_case(folder / WET).direction_data.slope == pytest.approx(-0.00329, abs=5e-6)


def test_read_case__thirds_of_the_report_are_turned_into_landing_direction(folder: Path) -> None:
    """The report runs from the lower designator 07 (3/5/5); landing on 25 meets it as 5/5/3."""
    case = read_case(folder / WET)
    assert case.condition.codes == (5, 5, 3)
    assert [one.descriptor for one in case.condition.thirds] == ["WET", "WET", "SLIPPERY WET"]
    assert case.condition.thirds[0].coverage == 1.0
    assert read_case(folder / WET, ["direction=07"]).condition.codes == (3, 5, 5)


def test_read_case__weather_of_the_report(folder: Path) -> None:
    """21018G29KT 190V240, 07/05, Q0998."""
    weather = read_case(folder / WET).weather
    assert weather.wind_direction == pytest.approx(math.radians(210.0))
    assert weather.wind_speed == pytest.approx(18.0 * KNOT)
    assert weather.gust_speed == pytest.approx(29.0 * KNOT)
    assert weather.arc_from == pytest.approx(math.radians(190.0))
    assert weather.arc_to == pytest.approx(math.radians(240.0))
    assert weather.temperature == pytest.approx(280.15)
    assert weather.pressure_setting == pytest.approx(99_800.0)


def test_read_case__magnetic_wind_is_turned_by_the_variation(folder: Path) -> None:
    """true = magnetic + variation (east positive): 320 + 1.5 = 321.5 deg."""
    weather = read_case(folder / DRY).weather
    assert weather.wind_direction == pytest.approx(math.radians(321.5))


def test_read_case__explicit_values_replace_those_of_the_report_and_say_so(folder: Path) -> None:
    case = read_case(folder / WET, ["weather.wind=240/10 kt", "weather.temperature=3 degC", "weather.qnh=29.92 inHg"])
    assert case.weather.wind_speed == pytest.approx(10.0 * KNOT)
    assert case.weather.gust_speed is None
    assert case.weather.temperature == pytest.approx(276.15)
    assert case.weather.pressure_setting == pytest.approx(101_320.0, abs=1.0)
    for text in ('Wind "240/10 kt"', 'Temperature "3 degC"', 'QNH "29.92 inHg"'):
        assert any(one.startswith(text) and "replaces" in one for one in case.remarks)


def test_read_case__approach_speed_by_default_and_as_given(folder: Path) -> None:
    """136 kt * sqrt(62.5/66) + 10 kt = 142.35 kt; the dry case gives 126 kt."""
    landing = read_case(folder / WET).landing
    assert landing.reference_speed == pytest.approx(132.345 * KNOT, abs=0.005)
    assert landing.approach_speed == pytest.approx(142.345 * KNOT, abs=0.005)
    assert read_case(folder / DRY).landing.approach_speed == pytest.approx(126.0 * KNOT)


def test_read_case__time_is_utc(folder: Path, edit: Edit) -> None:
    path = edit(WET, '"2026-02-17T06:40Z"', "2026-02-17T08:40:00+02:00")
    assert read_case(path).time == datetime(2026, 2, 17, 6, 40, tzinfo=UTC)


def test_resolved_inputs__json_ready_with_units_in_the_names(folder: Path) -> None:
    inputs = json.loads(json.dumps(resolved_inputs(read_case(folder / WET)), allow_nan=False))
    assert inputs["aircraft"]["mass"]["maximum_landing_kg"] == 66_000.0
    assert inputs["aircraft"]["automatic_brakes"]["settings_mps2"]["firm"] == 2.6
    assert inputs["aircraft"]["engines"]["thrust"]["idle_n"][0] == 6_000.0
    assert inputs["aircraft"]["limits"]["minimum_temperature_k"] == pytest.approx(233.15)
    assert inputs["landing"]["mass_kg"] == 62_500.0
    assert inputs["weather"]["temperature_k"] == pytest.approx(280.15)
    assert inputs["condition"]["thirds"][2]["code"] == 3
    assert inputs["files"] == {
        "case": "case.toml",
        "aircraft": "demo-narrowbody.toml",
        "runway": "QDEM-07-25.toml",
    }
    assert inputs["time"] == "2026-02-17T06:40:00Z"


@pytest.mark.parametrize("case", ["wet-gusty-arrival", "contaminated-arrival", "nothing-fits", "dry-short", CASE[:-10]])
def test_examples__are_in_order_and_say_that_they_are_invented(folder: Path, case: str) -> None:
    found = read_case(folder / case / "case.toml")
    assert found.remarks == ()
    assert found.aircraft.invented
    assert re.fullmatch("Q[A-Z]{3}", found.runway.aerodrome)
    assert found.aircraft.name in ("demo-narrowbody", "demo-widebody", "demo-regional")


@pytest.mark.parametrize("name", ["narrowbody", "widebody", "regional"])
def test_examples__brakes_give_about_four_metres_a_second_squared(folder: Path, name: str) -> None:
    """Torque over rolling radius, times brakes, over the maximum landing mass."""
    aircraft = read_aircraft(folder / f"aircraft/demo-{name}.toml")
    brakes = aircraft.brakes
    force = brakes.count * brakes.maximum_torque / brakes.rolling_radius
    assert force / aircraft.mass.maximum_landing == pytest.approx(4.0, abs=0.2)


# ------------------------------------------------------------------------------------------------- what is said


@pytest.mark.parametrize(
    ("file", "old", "new", "message"),
    [
        # quantities
        (WET, '"62.5 t"', "62.5", r"case\.toml, landing\.mass: 62\.5 has no unit; a mass is written with t, kg or lb"),
        (WET, '"62.5 t"', '"62.5 m"', r'landing\.mass: "62\.5 m" is a length, but a mass is expected: t, kg or lb'),
        (WET, '"62.5 t"', '"62500 t"', r'landing\.mass: "62500 t" is outside 1 to 700 t\. Was it meant in kg or lb\?'),
        (WET, '"62.5 t"', '"nan t"', r'landing\.mass: "nan t" is not a number with a unit'),
        (WET, '"15 %"', "nan", r"landing\.margin: nan is not a finite number"),
        (WET, '"15 %"', "inf", r"landing\.margin: inf is not a finite number"),
        (WET, '"15 %"', "15", r"landing\.margin: 15 is outside 0 to 1\. Was it meant in %\?"),
        (AIRCRAFT, '"13.8 bar"', '"13.8 kPa"', r'tyres\.main\.pressure: "13\.8 kPa" is outside 344\.7 to 2068 kPa'),
        (AIRCRAFT, '"13.8 bar"', '"400 psi"', r'tyres\.main\.pressure: "400 psi" is outside 50 to 300 psi'),
        (AIRCRAFT, '"6.0 kN"', '"6.0 kg"', r'engines\.thrust\.idle entry 1: "6\.0 kg" is a mass, but a force'),
        (AIRCRAFT, '"6.0 kN",', "", r"engines\.thrust: idle has 5 values, but airspeed has 6"),
        (AIRCRAFT, '"40 kt",  ', '"90 kt",', r"engines\.thrust: airspeed must start at 0 and rise"),
        (AIRCRAFT, '"1.2 m/s2"', '"1.2 kt"', r'settings\.gentle: "1\.2 kt" is a speed, but a deceleration is expected'),
        (WET, "21018G29KT", "210?8KT", r"weather\."),
        (DRY, '"320/12 kt"', '"320/12"', r'weather\.wind: "320/12" is not a wind\. Write direction in degrees'),
        # keys and sections
        (WET, "mass =", "mas =", r'case\.toml, landing\.mas: is not a key known here\. Was "mass" meant\?'),
        (WET, "mass =", "mas =", r"case\.toml, landing\.mass: is missing\. Landing mass\."),
        (WET, "[landing]", "[landings]", r"case\.toml, landing: the section is missing"),
        (WET, "[landing]", "[landings]", r'landings: is not a section known here\. Was "landing" meant\?'),
        (AIRCRAFT, "[tyres.main]", "[tyres.man]", r'tyres\.man: is not a section known here\. Was "main" meant\?'),
        (AIRCRAFT, "count = 2\npressure", "pressure", r"tyres\.nose\.count: is missing\. Number of tyres\."),
        (AIRCRAFT, "count = 2\npressure", "count = 2.5\npressure", r"tyres\.nose\.count: 2\.5 is not a whole number"),
        (
            AIRCRAFT,
            "count = 2\npressure",
            "count = 0\npressure",
            r"tyres\.nose\.count: 0 is below the least allowed, 1",
        ),
        (AIRCRAFT, "invented = true", 'invented = "yes"', r'invented: "yes" is not true or false'),
        (AIRCRAFT, '"carbon"', '"wood"', r'brakes\.heat_sink: "wood" is not allowed\. Write "carbon" or "steel"'),
        (AIRCRAFT, "[mass]", "mass = 3\n[masses]", r"mass: 3 is not a section"),
        (AIRCRAFT, '"66.0 t"', '"80.0 t"', r"mass: masses must rise: minimum, maximum_landing, maximum_take_off"),
        (AIRCRAFT, "count = 4\nmaximum", "count = 6\nmaximum", r"brakes\.count 6 is more than tyres\.main\.count 4"),
        (AIRCRAFT, "[reverse]", "[revers]", r'revers: is not a section known here\. Was "reverse" meant\?'),
        (AIRCRAFT, '"0.95 m"', '"12.9 m"', r'"12\.9 m" is outside 0 to 10 m'),
        # format
        (WET, "format = 1", "", r"case\.toml, format: is missing\. Begin the file with: format = 1"),
        (WET, "format = 1", "format = 2", r"format: 2 is newer than this version of groundroll reads \(1\)"),
        (WET, "format = 1", 'format = "1"', r'format: "1" is not a format number'),
        # runway
        (RUNWAY, '"71.4 deg"', '"251.4 deg"', r"directions\.07\.true_bearing: 251\.4 deg .* are both ends confused\?"),
        (
            RUNWAY,
            '"71.4 deg"',
            '"120 deg"',
            r"true_bearing: 120 deg \(magnetic 117 deg\) is 47 deg away from runway 07",
        ),
        (RUNWAY, '"71.4 deg"', '"75 deg"', r"75 deg of 07 and 251\.4 deg of 25 are not opposite: 3\.6 deg away"),
        (RUNWAY, '"2 500 m"', '"2 600 m"', r"landing_distance_available: 2600 m is more than .* 2500 m \(2650 m paved"),
        (RUNWAY, '"1 480 m"', '"2 700 m"', r"directions\.25\.exits entry 2, distance: exit E at 2700 m lies beyond"),
        (RUNWAY, '"QDEM"', '"Demo"', r'aerodrome: "Demo" is not four capital letters'),
        (RUNWAY, '"smooth"', '"gravel"', r'surface: "gravel" is not allowed\. Write "smooth", "grooved" or'),
        # case against aircraft and runway
        (WET, '"62.5 t"', '"72 t"', r'landing\.mass: "72 t" is above the maximum landing mass 66 t of demo-narrowbody'),
        (
            WET,
            '"62.5 t"',
            '"88 000 lb"',
            r'landing\.mass: "88 000 lb" is below the minimum mass 90390 lb of demo-narrow',
        ),
        (WET, 'flap = "full"', 'flap = "ful"', r'landing\.flap: "ful" is not a flap setting .* Was "full" meant\?'),
        (WET, 'flap = "full"', "flap = 30", r'landing\.flap: "30" is not a flap setting .* Known here: full, approach'),
        (WET, 'direction = "25"', 'direction = "18"', r'direction: "18" is not a direction of QDEM-07-25\.toml'),
        (WET, 'direction = "25"', 'direction = "99"', r'direction: "99" is not a runway direction'),
        (WET, "07 3/5/5", "16 3/5/5", r"condition\.report: Runway 25 is not in this report; it covers 16"),
        (WET, "QDEM\n02170545", "QSHT\n02170545", r"condition\.report: "),
        (
            WET,
            " 07/05 Q0998",
            " Q0998",
            r'weather\.temperature: is missing: .* Add for instance: temperature = "8 degC"',
        ),
        (WET, "07/05 Q0998", "07/05", r'weather\.qnh: is missing: .* Add for instance: qnh = "1013 hPa"'),
        (DRY, 'qnh = "1018 hPa"', "", r'weather\.qnh: is missing: Add for instance: qnh = "1013 hPa"'),
        (DRY, 'wind = "320/12 kt"', "", r'weather\.wind: is missing\. Add for instance: wind = "240/14 kt"'),
        (DRY, '"126 kt"', '"110 kt"', r'approach_speed: "110 kt" is below the reference speed 120\.6 kt of flap full'),
        (
            DRY,
            '"126 kt"',
            '"126 kt"\nspeed_additive = "5 kt"',
            r"landing: give either approach_speed or speed_additive",
        ),
        (DRY, '["DRY", "DRY"', '["DRI", "DRY"', r'"DRI" is not one of the 17 condition words\. Was "DRY" meant\?'),
        (DRY, "[6, 6, 6]", "[6, 6]", r"condition\.codes: has 2 entries; at least 3 are needed"),
        (DRY, "[6, 6, 6]", "[6, 6, 7]", r"condition\.codes entry 3: 7 is above the greatest, 6"),
        (DRY, "codes =", 'report = "dry"\ncodes =', r"condition: give either report = .* or codes"),
        (CASE, "brakes_released = 1", "brakes_released = 4", r"failures\.brakes_released: 4 of the 4 brakes"),
        (CASE, "inoperative = 1", "inoperative = 3", r"reversers_inoperative: 3 is more than the 2 reversers"),
        (CASE, '"60 t"', '"52 t"\ntouchdown_distance = "2 500.5 m"', r'"2 500\.5 m" is outside 0 to 2500 m'),
        (WET, '"2026-02-17T06:40Z"', '"2026-02-17T06:40"', r"time: .* does not say which time zone"),
        (WET, '"2026-02-17T06:40Z"', '"tomorrow"', r"time: is not a time"),
        (
            WET,
            "demo-narrowbody",
            "demo-narowbody",
            r"case\.toml, aircraft: .* no such file\. Was demo-narrowbody\.toml",
        ),
        (WET, "../runways/QDEM-07-25.toml", "..", r"case\.toml, runway: .* is a folder"),
        (WET, "../runways/QDEM-07-25.toml", "a\\u0000b", r"case\.toml, runway: .*cannot be read"),
    ],
)
def test_read__bad_input_is_named_with_value_and_next_step(
    edit: Edit, folder: Path, file: str, old: str, new: str, message: str
) -> None:
    path = edit(file, old, new)
    with pytest.raises(ScenarioError, match=message) as caught:
        _read(path)
    assert len(str(caught.value).splitlines()) <= 11
    assert "Traceback" not in str(caught.value)
    assert "pydantic" not in str(caught.value).lower()


def test_read_runway__slopes_of_the_same_sign(edit: Edit) -> None:
    edit("runways/QSHT-16-34.toml", 'slope = "-0.8 %"', 'slope = "0.8 %"')
    path = edit("runways/QSHT-16-34.toml", 'name = "Demo', 'name = "Other demo')
    with pytest.raises(ScenarioError, match=r"slope 0\.8 % of 16 and 0\.8 % of 34 must be opposite in sign"):
        read_runway(path)


def test_read_runway__directions_that_are_not_two_ends(folder: Path) -> None:
    path = folder / RUNWAY
    path.write_text(path.read_text(encoding="utf-8").replace("directions.25", "directions.26"), encoding="utf-8")
    with pytest.raises(ScenarioError, match=r"07 and 26 are not the two ends of one strip; the other end of 07 is 25"):
        read_runway(path)


def test_read_runway__three_directions(edit: Edit) -> None:
    extra = (
        '[directions.18]\ntrue_bearing = "181 deg"\nthreshold_elevation = "0 m"\nlanding_distance_available = "900 m"\n'
    )
    path = edit(RUNWAY, "[directions.25]", extra + "[directions.25]")
    with pytest.raises(ScenarioError, match=r"directions: has 3 directions; a strip has exactly two"):
        read_runway(path)


def test_read_case__given_slope_that_misses_the_elevations_is_remarked_on(edit: Edit, folder: Path) -> None:
    edit(RUNWAY, 'threshold_elevation = "24 ft"', 'threshold_elevation = "24 ft"\nslope = "-1.0 %"')
    case = read_case(folder / WET)
    assert case.direction_data.slope == pytest.approx(0.01)
    assert any("slope 1 % of runway 25 differs from -0.33 %" in one for one in case.remarks)


def test_read_case__all_problems_of_all_files_at_once(edit: Edit) -> None:
    edit(AIRCRAFT, '"13.8 bar"', '"1.38 bar"')
    edit(RUNWAY, '"45 m"', "45")
    path = edit(WET, '"62.5 t"', '"62.5"')
    with pytest.raises(ScenarioError) as caught:
        read_case(path)
    lines = str(caught.value).splitlines()
    assert [line.split(":")[0] for line in lines] == [
        "case.toml, landing.mass",
        "demo-narrowbody.toml, tyres.main.pressure",
        "QDEM-07-25.toml, width",
    ]


def test_read_aircraft__at_most_ten_problems_are_shown(folder: Path) -> None:
    path = folder / AIRCRAFT
    path.write_text("format = 1\n" + "\n".join(f"key{number} = 1" for number in range(30)), encoding="utf-8")
    with pytest.raises(ScenarioError, match=r"\.\.\. and \d+ more\.") as caught:
        read_aircraft(path)
    assert len(str(caught.value).splitlines()) == 11


# --------------------------------------------------------------------------------------------------------- remarks


def test_read_case__old_condition_report_is_remarked_on(folder: Path) -> None:
    """Assessed 05:45, landing 14:30: 8 h 45 min; a SNOWTAM is valid for 8 h (Reg. (EU) 2021/1338, App. 3)."""
    case = read_case(folder / WET, ["time=2026-02-17T14:30Z"])
    assert any("8 h 45 min old at the time of landing" in one and "8 h at most" in one for one in case.remarks)
    assert case.condition.age == pytest.approx(8.75 * 3600.0)


def test_read_case__exactly_eight_hours_is_still_valid(folder: Path) -> None:
    case = read_case(folder / WET, ["time=2026-02-17T13:45Z"])
    assert not any("runway condition of" in one for one in case.remarks)


def test_read_case__report_later_than_the_landing_is_remarked_on(folder: Path) -> None:
    case = read_case(folder / WET, ["time=2026-02-17T05:30Z"])
    assert any("later than the time of landing" in one for one in case.remarks)


def test_read_case__old_weather_report_is_remarked_on(folder: Path) -> None:
    """Observed 06:20, landing 09:00."""
    case = read_case(folder / WET, ["time=2026-02-17T09:00Z"])
    assert any("weather report" in one and "2 h 40 min old" in one for one in case.remarks)


def test_read_case__without_a_time_both_reports_are_compared(edit: Edit) -> None:
    edit(WET, 'time = "2026-02-17T06:40Z"', "")
    path = edit(WET, "METAR QDEM 170620Z", "METAR QDEM 171220Z")
    assert any("6 h 35 min apart" in one for one in read_case(path).remarks)


def test_read_case__new_year_between_report_and_landing(edit: Edit) -> None:
    edit(WET, "METAR QDEM 170620Z", "METAR QDEM 010020Z")
    edit(WET, "SWQD0031 QDEM 02170545", "SWQD0031 QDEM 12312345")
    path = edit(WET, "\n02170545 07", "\n12312345 07")
    case = read_case(path, ["time=2027-01-01T00:45Z"])
    assert case.condition.age == pytest.approx(3600.0)


def test_read_case__weather_of_another_station_is_remarked_on(edit: Edit, folder: Path) -> None:
    path = edit(WET, "METAR QDEM", "METAR QLNG")
    assert any("report is of QLNG, the runway is at QDEM" in one for one in read_case(path).remarks)


def test_read_case__code_above_the_matrix_is_remarked_on(folder: Path) -> None:
    """Matrix: ICE is code 1."""
    changes = ["condition.codes=[3, 6, 6]", 'condition.descriptors=["ice", "DRY", "DRY"]']
    case = read_case(folder / DRY, changes)
    assert any("Code 3 of the touchdown third" in one and "ICE at 21 degC: 1" in one for one in case.remarks)


def test_read_case__compacted_snow_above_minus_fifteen_is_remarked_on(folder: Path) -> None:
    """Matrix: COMPACTED SNOW is code 4 at -15 degC and colder, 3 when warmer."""
    report = "condition.report=01221745 09R 4/4/4 100/100/100 NR/NR/NR COMPACTED SNOW/COMPACTED SNOW/COMPACTED SNOW"
    path = folder / "contaminated-arrival/case.toml"
    assert sum("COMPACTED SNOW at 1 degC: 3" in one for one in read_case(path, [report]).remarks) == 3
    cold = read_case(path, [report, "weather.temperature=-16 degC"])
    assert not any("COMPACTED SNOW" in one for one in cold.remarks)


def test_read_case__reduced_length_of_the_report(edit: Edit) -> None:
    path = edit(WET, "SLIPPERY WET/WET/WET)", "SLIPPERY WET/WET/WET\nRWY 07 REDUCED TO 2200)")
    case = read_case(path)
    assert case.condition.reduced_length == 2_200.0
    assert any("reduces runway 25 to 2200 m" in one for one in case.remarks)


def test_read_case__code_zero_is_carried(folder: Path) -> None:
    """Planning refuses code 0; reading does not."""
    case = read_case(folder / DRY, ["condition.codes=[6, 0, 6]", 'condition.descriptors=["DRY", "WET ICE", "DRY"]'])
    assert case.condition.codes == (6, 0, 6)


# ------------------------------------------------------------------------------------------------------- odd files


def test_read__missing_file_and_folder(folder: Path) -> None:
    with pytest.raises(ScenarioError, match=r"cases\.toml: there is no such file\. Was case\.toml meant\?"):
        read_case(folder / "dry-short" / "cases.toml")
    with pytest.raises(ScenarioError, match=r"there is no such file\. The folder .*nowhere does not exist either"):
        read_case(folder / "nowhere" / "case.toml")
    with pytest.raises(ScenarioError, match=r"dry-short is a folder; name a file in it"):
        read_case(folder / "dry-short")


def test_read__ten_megabytes_of_garbage_give_one_message(folder: Path) -> None:
    path = folder / "case.toml"
    path.write_bytes(b"\x00\xff[garbage" * 1_000_000)
    with pytest.raises(ScenarioError, match=r"case\.toml has 10\.0 MB; a scenario file has at most 1 MB") as caught:
        read_case(path)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b'format = 1\ntitle = "\xff"\n', r"case\.toml, line 2: is not text in UTF-8"),
        (b"", r"case\.toml, format: is missing"),
        (b"mass = 62 t", r"case\.toml is not valid TOML: .*line 1.* Texts and quantities stand in quotes"),
        (b"a = " + b"[" * 400_000, r"case\.toml is not a scenario file: brackets are nested too deeply"),
        (b"a" + b".a" * 100_000 + b" = 1", r"case\.toml is not a scenario file: a line has more than 1000 dots"),
        (b"a = " + b"9" * 50_000, r"case\.toml is not valid TOML"),
        (b"\x00" * 1000, r"case\.toml is not valid TOML"),
        (b"format = 1\n" + b"k" * 100_000 + b" = 1", r"is not a key known here"),
        (b"x" * (LARGEST_FILE + 1), r"a scenario file has at most 1 MB"),
    ],
)
def test_read__garbage_gives_one_clear_message(folder: Path, content: bytes, message: str) -> None:
    path = folder / "case.toml"
    path.write_bytes(content)
    with pytest.raises(ScenarioError, match=message) as caught:
        read_case(path)
    assert len(str(caught.value)) < 3_000


def test_read__byte_order_mark_and_windows_line_ends(folder: Path) -> None:
    path = folder / DRY
    text = path.read_text(encoding="utf-8").replace("\n", "\r\n")
    path.write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert read_case(path).title == "Dry and short"


def test_read_any__tells_the_kind_by_the_content(folder: Path) -> None:
    assert type(read_any(folder / AIRCRAFT)).__name__ == "Aircraft"
    assert type(read_any(folder / RUNWAY)).__name__ == "Runway"
    assert type(read_any(folder / DRY)).__name__ == "Case"
    other = folder / "other.toml"
    other.write_text("format = 1\n", encoding="utf-8")
    with pytest.raises(ScenarioError, match=r"other\.toml: is not a case .*a runway .*or an aircraft"):
        read_any(other)


def test_read_aircraft__braking_table_must_exist(edit: Edit) -> None:
    path = edit(AIRCRAFT, "invented = true", 'invented = true\nbraking_table = "mine.toml"')
    with pytest.raises(
        ScenarioError, match=r"demo-narrowbody\.toml, braking_table: .*mine\.toml: there is no such file"
    ):
        read_aircraft(path)


def test_read_case__braking_table_of_the_user_is_named(edit: Edit, folder: Path) -> None:
    """A copy of the table that comes with the product is a valid replacement."""
    table = Path(groundroll.__file__).parent / "data" / "braking_coefficients.toml"
    shutil.copy(table, folder / "aircraft" / "mine.toml")
    edit(AIRCRAFT, "invented = true", 'invented = true\nbraking_table = "mine.toml"')
    case = read_case(folder / WET)
    assert case.braking_table is not None
    assert case.braking_table.name == "mine.toml"
    assert case.sources["braking_table"] == case.braking_table
    (folder / "aircraft" / "mine.toml").write_text("nonsense = 1\n", encoding="utf-8")
    with pytest.raises(ScenarioError, match=r"demo-narrowbody\.toml, braking_table: mine\.toml"):
        read_case(folder / WET)


def test_examples__reports_of_other_aerodrome_are_refused_for_the_condition(edit: Edit) -> None:
    edit(WET, "SWQD0031 QDEM", "SWQS0031 QSHT")
    path = edit(WET, "\nQDEM\n", "\nQSHT\n")
    with pytest.raises(
        ScenarioError, match=r"condition\.report: the report is of QSHT, but the runway file is of QDEM"
    ):
        read_case(path)
