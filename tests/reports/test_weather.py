"""METAR and SPECI, on invented stations: decoded groups, and the traps of a lenient library.

Expected values by hand from the groups: 1 kt = 1852/3600 m/s, 0 degC = 273.15 K, 1 inHg = 3386.389 Pa. The wind set
(24015G27KT 200V280, 34010G18MPS = 19.44 gust 34.99 kt, A3006 = 1017.95 hPa) is from a test of several readers
(second-hand).
"""

from __future__ import annotations

import math
import warnings
from datetime import UTC, datetime, timedelta

import pytest

from groundroll.errors import ReportError
from groundroll.reports import WeatherReport, read_weather

KNOT = 1852.0 / 3600.0


def read(groups: str) -> WeatherReport:
    return read_weather(f"METAR QDEM 251250Z {groups}")


def test_read_weather__whole_report() -> None:
    report = read_weather(
        "SPECI QDEM 251250Z AUTO 24015G27KT 200V280 0800 R24L/0600V1000U -SN FG BKN003 OVC010CB M02/M03 Q1009 RESN "
        "WS R24L TEMPO 27030KT 3000 RMK SLP123"
    )
    assert (report.kind, report.station, report.day, report.hour, report.minute) == ("SPECI", "QDEM", 25, 12, 50)
    assert report.automatic
    assert report.wind_direction == pytest.approx(math.radians(240.0))
    assert report.wind_speed == pytest.approx(15.0 * KNOT, rel=1e-12)
    assert report.gust_speed == pytest.approx(27.0 * KNOT, rel=1e-12)
    assert (report.arc_from, report.arc_to) == (math.radians(200), math.radians(280))
    assert (report.wind_variable, report.calm) == (False, False)
    assert report.temperature == pytest.approx(271.15)
    assert report.dew_point == pytest.approx(270.15)
    assert report.pressure_setting == pytest.approx(100_900.0)
    assert (report.visibility, report.visibility_at_least) == (800.0, False)
    assert report.present_weather == ("light snow", "fog")
    assert report.recent_weather == ("snow",)
    assert report.clouds == ("broken clouds at 300 ft", "overcast at 1000 ft, cumulonimbus")
    assert report.visual_range == ("runway 24L: 600 to 1000 m",)
    assert report.wind_shear == ("24L",)
    assert report.trend == "TEMPO 27030KT 3000"
    assert report.remarks == "SLP123"
    assert (report.warnings, report.not_understood) == ((), ())


@pytest.mark.parametrize(
    ("group", "direction", "knots", "gust"),
    [
        ("24015KT", 240, 15.0, None),
        ("24015G27KT", 240, 15.0, 27.0),
        ("36005KT", 0, 5.0, None),
        ("34010G18MPS", 340, 19.44, 34.99),
        ("VRB02MPS", None, 3.89, None),
        ("VRB03KT", None, 3.0, None),
        ("00000KT", None, 0.0, None),
        ("270105KT", 270, 105.0, None),
        ("27018KMH", 270, 9.72, None),
    ],
)
def test_read_weather__wind(group: str, direction: int | None, knots: float, gust: float | None) -> None:
    report = read(f"{group} 9999 12/08 Q1013")
    assert report.wind_speed is not None
    assert report.wind_speed / KNOT == pytest.approx(knots, abs=0.005)
    assert (None if report.gust_speed is None else round(report.gust_speed / KNOT, 2)) == gust
    expected = None if direction is None else pytest.approx(math.radians(direction))
    assert report.wind_direction == expected
    assert report.wind_variable is group.startswith("VRB")
    assert report.calm is (knots == 0.0)
    assert report.warnings == ()


def test_read_weather__arc_through_north() -> None:
    report = read("01012KT 330V050 9999 12/08 Q1013")
    assert (report.arc_from, report.arc_to) == (math.radians(330), math.radians(50))


@pytest.mark.parametrize("group", ["240P99KT", "240P49MPS"])
def test_read_weather__wind_above_the_scale_is_a_lower_bound(group: str) -> None:
    """P99KT means 100 kt or more (Annex 3, from memory)."""
    report = read(f"{group} 9999 12/08 Q1013")
    assert report.wind_speed_at_least
    assert report.wind_speed is not None
    assert round(report.wind_speed / KNOT) in (99, 95)
    assert any("lower bound" in warning for warning in report.warnings)


def test_read_weather__old_form_above_the_scale_is_shown_and_the_wind_is_missing() -> None:
    report = read("240ABV49KT 9999 12/08 Q1013")
    assert report.not_understood == ("240ABV49KT",)
    assert report.wind_speed is None
    assert any("240ABV49KT is not understood" in warning for warning in report.warnings)


def test_read_weather__missing_direction_is_not_variable() -> None:
    report = read("///05KT 9999 12/08 Q1013")
    assert (report.wind_direction, report.wind_variable) == (None, False)
    assert report.wind_speed == pytest.approx(5.0 * KNOT)
    assert any("direction is missing" in warning for warning in report.warnings)


def test_read_weather__everything_missing_is_named() -> None:
    report = read("/////KT //// // ////// ///// Q////")
    assert (report.wind_direction, report.wind_speed, report.temperature, report.pressure_setting) == (None,) * 4
    assert report.visibility is None
    text = " ".join(report.warnings)
    for words in (
        "wind direction is missing",
        "wind speed is missing",
        "no temperature",
        "no QNH",
        "Not reported by the station",
    ):
        assert words in text


def test_read_weather__wind_temperature_and_pressure_left_out_are_named() -> None:
    report = read("9999 FEW020")
    text = " ".join(report.warnings)
    for words in ("gives no wind", "no temperature", "no QNH"):
        assert words in text


@pytest.mark.parametrize(
    ("groups", "left"),
    [
        ("24015 9999 12/08 Q1013", "24015"),
        ("24015KT 9999 12/08 1013", "1013"),
        ("24015KT 9999 12/08 Q1013 3000", "3000"),
        ("24015KT 9999 12/08 Q1013 27035KT", "27035KT"),
        ("24015KT 9999 12/08 Q1013 15/10", "15/10"),
        ("24015KT 9999 12/08 Q1013 BLU", "BLU"),
        ("24015KT 9999 --RA 12/08 Q1013", "--RA"),
        ("24015KT 9999 12/08 QNH 1013", "1013"),
        ("24015KT 200V2800 9999 12/08 Q1013", "200V2800"),
        ("24015KT 9999 ٣٤٥ 12/08 Q1013", "٣٤٥"),
    ],
)
def test_read_weather__what_the_library_would_misread_is_shown_instead(groups: str, left: str) -> None:
    report = read(groups)
    assert left in report.not_understood
    if "24015KT" in groups:
        assert report.wind_speed == pytest.approx(15.0 * KNOT)
        assert report.pressure_setting in (None, 101_300.0)
        assert report.temperature == pytest.approx(285.15)
        assert report.visibility == 10_000.0


@pytest.mark.parametrize(
    "group",
    [
        "R01L/550295",
        "R24/CLRD70",
        "R24/CLRD//",
        "R88/////95",
        "24421594",
        "88CLRD//",
        "R/SNOCLO",
        "SNOCLO",
        "R24///////",
    ],
)
def test_read_weather__old_runway_state_group_is_never_used_and_said_so(group: str) -> None:
    """The group left METAR and SPECI with the Global Reporting Format (WMO IWXXM issue 203)."""
    report = read(f"24015KT 9999 12/08 Q1013 {group}")
    (warning,) = report.warnings
    assert warning.startswith(f"{group} is the old runway-state group")
    assert ("closed by snow" in warning) is ("SNOCLO" in group)
    assert report.not_understood == ()


def test_read_weather__pressure_in_inches() -> None:
    """A3006: 30.06 inHg x 33.8639 hPa = 1017.95 hPa."""
    report = read("24015KT 9999 12/08 A3006")
    assert report.pressure_setting == pytest.approx(101_795.0, abs=0.5)


def test_read_weather__two_pressures_that_agree_and_two_that_do_not() -> None:
    """29.92 inHg is 1013.2 hPa."""
    assert read("24015KT 9999 12/08 Q1013 A2992").warnings == ()
    assert any("disagree" in warning for warning in read("24015KT 9999 12/08 Q1013 A3006").warnings)


@pytest.mark.parametrize(
    ("group", "metres", "at_least"),
    [("9999", 10_000.0, True), ("CAVOK", 10_000.0, True), ("0350", 350.0, False), ("10SM", 16_093.44, True),
     ("1 1/2SM", 2414.016, False), ("M1/4SM", 402.336, False), ("P6SM", 9656.064, True), ("5KM", 5000.0, False)],
)  # fmt: skip
def test_read_weather__visibility(group: str, metres: float, at_least: bool) -> None:
    """One statute mile is 1609.344 m."""
    report = read(f"24015KT {group} 12/08 Q1013")
    assert report.visibility == pytest.approx(metres)
    assert report.visibility_at_least is at_least


@pytest.mark.parametrize(
    ("group", "words"),
    [
        ("R24/0600", "runway 24: 600 m"),
        ("R24L/P1500N", "runway 24L: more than 1500 m"),
        ("R24/M0050", "runway 24: less than 50 m"),
        ("R24/2400FT", "runway 24: 732 m"),
    ],
)
def test_read_weather__visual_range(group: str, words: str) -> None:
    """2400 ft x 0.3048 = 731.5 m."""
    assert read(f"24015KT 0800 {group} 12/08 Q1013").visual_range == (words,)


def test_read_weather__wind_of_trend_and_remarks_is_not_that_of_the_report() -> None:
    report = read("24015KT 9999 12/08 Q1013 BECMG 36040G60KT 0500 RMK 09099KT Q0950 A2800")
    assert report.wind_speed == pytest.approx(15.0 * KNOT)
    assert (report.gust_speed, report.visibility, report.pressure_setting) == (None, 10_000.0, 101_300.0)


@pytest.mark.parametrize(
    ("groups", "words"),
    [
        ("00005KT 9999 12/08 Q1013", "000 means calm"),
        ("24015G12KT 9999 12/08 Q1013", "gust is not above the mean wind"),
        ("24015KT 9999 08/12 Q1013", "dew point is above the temperature"),
    ],
)
def test_read_weather__warns_of_odd_values(groups: str, words: str) -> None:
    assert any(words in warning for warning in read(groups).warnings)


def test_read_weather__shapes_of_the_header() -> None:
    for text in (
        "QDEM 251250Z 24015KT 9999 12/08 Q1013",
        "metar qdem 251250z 24015kt 9999 12/08 q1013=",
        "METAR QDEM 251250Z\n24015KT 9999\n12/08 Q1013 =",
        "METAR QDEM 251250 24015KT 9999 12/08 Q1013",
    ):
        report = read_weather(text)
        assert (report.station, report.minute, report.warnings, report.not_understood) == ("QDEM", 50, (), ())
    assert read_weather("METAR COR QDEM 251250Z 24015KT 9999 12/08 Q1013").corrected
    assert read_weather("METAR QDEM 251250Z COR 24015KT 9999 12/08 Q1013").corrected
    assert any("no time" in one for one in read_weather("METAR QDEM 24015KT 9999 12/08 Q1013").warnings)


def test_read_weather__text_after_the_end_sign_is_listed() -> None:
    assert read("24015KT 9999 12/08 Q1013= HELLO").not_understood == ("HELLO",)


def test_read_weather__the_library_warns_nobody() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        read("24015KT 9999 12/08 Q1013 QQQQ 5000 24015KT")


@pytest.mark.parametrize("day", [1, 28, 29, 30, 31])
def test_read_weather__every_day_of_the_month_at_any_time_of_the_year(day: int) -> None:
    """The library guesses month and year from the clock; the day of the report does not depend on that."""
    assert read_weather(f"METAR QDEM {day:02d}1250Z 24015KT 9999 12/08 Q1013").day == day


def test_age__of_a_weather_report_over_the_end_of_a_month() -> None:
    report = read_weather("METAR QDEM 312350Z 24015KT 9999 12/08 Q1013")
    assert report.age(datetime(2026, 11, 1, 0, 20, tzinfo=UTC)) == timedelta(minutes=30)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("METAR QDEM 251250Z 99015KT 9999 12/08 Q1013", "Wind direction 990 in 99015KT is outside 000 to 360"),
        ("METAR QDEM 251250Z 24015KT 200V400 9999 12/08 Q1013", "Wind direction 400 in 200V400 is outside 000 to 360"),
        ("METAR QDEM 321250Z 24015KT 9999 12/08 Q1013", "day 32 is outside 01 to 31"),
        ("METAR QDEM 001250Z 24015KT 9999 12/08 Q1013", "day 00 is outside 01 to 31"),
        ("METAR QDEM 252460Z 24015KT 9999 12/08 Q1013", "24:60 is outside 00:00 to 23:59"),
        ("METAR QDEM 251250Z 24015KT 9999 12/08 Q0098", r"QNH 98.0 hPa \(Q0098\) is outside 850 to 1100 hPa"),
        ("METAR QDEM 251250Z 24015KT 9999 85/08 Q1013", "Temperature 85 degC is outside -100 to 60 degC"),
        ("METAR QDEM 251250Z 24015KT 1/0SM 12/08 Q1013", "cannot be read"),
        ("METAR QDEM 251250Z NIL=", "is NIL"),
        ("METAR QDEM 251250Z", "holds no group"),
        ("METAR", "begins with the station"),
        ("TAF QDEM 251100Z 2512/2612 24015KT 9999", "forecast"),
        ("METAR QDEM 251250Z 24015KT= METAR QDEN 251250Z 24015KT=", "holds 2 weather reports"),
        ("METAR QDEM 251250Z " + "24015KT " * 100, "100 groups"),
        ("the weather is fine", "is not a weather report"),
        ("", "empty"),
    ],
)
def test_read_weather__refuses_with_a_clear_sentence(text: str, message: str) -> None:
    with pytest.raises(ReportError, match=message):
        read_weather(text)
