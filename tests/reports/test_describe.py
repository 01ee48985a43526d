"""Reports in plain words and as JSON."""

from __future__ import annotations

import json

import pytest

from groundroll.reports import describe_condition, describe_weather, read_condition, read_weather
from groundroll.reports.to_json import to_json

MESSAGE = (
    "SWQA0151 QDEM 02170135 (COR)\n(SNOWTAM 0151\nQDEM\n02170135 09R 5/2/3 100/50/75 NR/06/03 wet/slush/dry snow on "
    "top of compacted snow 30\nRWY 09R REDUCED TO 2300. Swept.)"
)


def test_describe_condition__snowtam() -> None:
    assert describe_condition(read_condition(MESSAGE)) == [
        "SNOWTAM 0151 of QDEM, corrected.",
        "Runway 09R, 17 February 01:35 UTC, thirds from the threshold of the lower designator:",
        "  first third: code 5 (GOOD), WET, 100 % covered",
        "  second third: code 2 (MEDIUM TO POOR), SLUSH, 6 mm deep, 50 % covered",
        "  last third: code 3 (MEDIUM), DRY SNOW ON TOP OF COMPACTED SNOW, 3 mm or less deep, 75 % covered",
        "  The codes apply to a width of 30 m.",
        "Runway 09R is reduced to 2300 m; the thirds are taken over the part in use.",
        "Remark: Swept.",
    ]


def test_describe_condition__notes_and_what_was_not_understood_come_last() -> None:
    lines = describe_condition(read_condition("hello 6/6/6 wet"))
    assert lines[-1] == "Not understood: HELLO"
    lines = describe_condition(read_condition("QDEM 02170135 27L 5/5/5 100/100/100 NR/NR/NR WET/WET/WET"))
    assert lines[-1].startswith("Note: Runway 27L: a report names the lower designator only")
    assert "thirds from the threshold of the runway named" in lines[1]


def test_describe_condition__notice_words_beside_the_international_word() -> None:
    lines = describe_condition(read_condition("QDE RWY 17 FICON 3/3/3 50 PRCT 1IN WET SN OBS AT 2401151230."))
    assert "  first third: code 3 (MEDIUM), WET SNOW (reported as WET SN), 25.4 mm deep, 50 % covered" in lines


@pytest.mark.parametrize(
    ("groups", "line"),
    [
        ("24015G27KT 200V280", "Wind from 240 degrees true, 15 kt, gusts 27 kt, varying from 200 to 280 degrees."),
        ("36005KT", "Wind from 360 degrees true, 5 kt."),
        ("00000KT", "Wind calm."),
        ("VRB03KT", "Wind variable, 3 kt."),
        ("240P99KT", "Wind from 240 degrees true, more than 99 kt."),
        ("///05KT", "Wind direction not reported, 5 kt."),
        ("240//KT", "Wind from 240 degrees true, speed not reported."),
        ("/////KT", "Wind not reported."),
    ],
)
def test_describe_weather__wind(groups: str, line: str) -> None:
    assert describe_weather(read_weather(f"METAR QDEM 251250Z {groups} 9999 12/08 Q1013"))[1] == line


def test_describe_weather__whole_report() -> None:
    text = "METAR QDEM 251250Z AUTO 24015KT 0800 R24/P1500 +RA VV003 M00/M01 A2992 RERA WS ALL RWY NOSIG RMK AO2"
    assert describe_weather(read_weather(text)) == [
        "METAR of QDEM, day 25 12:50 UTC, automatic.",
        "Wind from 240 degrees true, 15 kt.",
        "Visibility 800 m.",
        "Runway visual range, runway 24: more than 1500 m.",
        "Weather: heavy rain.",
        "Recent weather: rain.",
        "Sky: sky hidden, vertical visibility 300 ft.",
        "Temperature 0 degC, dew point -1 degC.",
        "QNH 1013.2 hPa.",
        "Wind shear on all runways.",
        "Trend, not used: NOSIG.",
        "Remarks, not used: AO2.",
    ]


def test_to_json__condition_has_si_names_and_goes_through_json() -> None:
    data = json.loads(json.dumps(to_json(read_condition(MESSAGE)), allow_nan=False))
    assert (data["report"], data["kind"], data["serial"], data["correction"]) == ("condition", "SNOWTAM", "0151", True)
    (runway,) = data["runways"]
    assert (runway["runway"], runway["width_m"], runway["day"]) == ("09R", 30.0, 17)
    assert runway["thirds"][1] == {
        "code": 2,
        "coverage_percent": 50,
        "depth_m": 0.006,
        "depth_at_most": False,
        "descriptor": "SLUSH",
        "reported_as": None,
    }
    assert data["situational"][0]["reduced_length_m"] == 2300.0


def test_to_json__weather_has_si_names_and_goes_through_json() -> None:
    report = read_weather("METAR QDEM 251250Z 24010G20MPS 200V280 9999 12/08 Q1013")
    data = json.loads(json.dumps(to_json(report), allow_nan=False))
    assert (data["report"], data["station"]) == ("weather", "QDEM")
    assert (data["wind_direction_true_deg"], data["arc_from_true_deg"], data["arc_to_true_deg"]) == (
        240.0,
        200.0,
        280.0,
    )
    assert (data["wind_speed_mps"], data["gust_speed_mps"]) == (10.0, 20.0)
    assert (data["temperature_k"], data["pressure_setting_pa"]) == (pytest.approx(285.15), 101_300.0)
