"""Every published example string, field by field, beside the values that were read from it by hand.

The table with its sources lies beside the checkout, not in it: some examples name real aerodromes.
"""

from __future__ import annotations

import csv
import json
import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from groundroll.errors import ReportError
from groundroll.reports import ConditionReport, RunwayCondition, WeatherReport, read_report

TABLE = Path(__file__).resolve().parents[2] / ".." / "shared" / "reference" / "condition-report-examples.csv"
MILLIMETRE, INCH = 0.001, 0.0254


def _rows() -> list[Any]:
    if not TABLE.is_file():
        return [
            pytest.param(
                {}, marks=pytest.mark.skip(reason="the table of published examples is not beside the checkout")
            )
        ]
    with TABLE.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return [pytest.param(row, id=f"{number}-{row['format']}") for number, row in enumerate(rows, 1)]


@pytest.mark.parametrize("row", _rows())
def test_read_report__published_example_gives_every_expected_field(row: dict[str, str]) -> None:
    """Each row names its own source."""
    expected = json.loads(row["expected"])
    if "must" in expected and row["format"].startswith(("FICON", "SNOWTAM")):
        _refused(row["string"], expected)
        return
    report = read_report(row["string"])
    assert report.not_understood == ()
    if isinstance(report, WeatherReport):
        _weather(report, expected)
    else:
        _condition(report, expected, "RCR line" if row["format"].startswith("RCR") else row["format"].split()[0])


def _refused(text: str, expected: dict[str, Any]) -> None:
    """A report without codes is refused in one sentence that names what it is about and never a code."""
    with pytest.raises(ReportError) as caught:
        read_report(text)
    message = str(caught.value)
    assert expected.pop("rwycc") is None
    assert "no runway condition codes" in message
    assert "none are derived" in message
    assert re.search(r"before (October 2016|November 2021)", message) is not None
    expected.pop("must")
    if (observed := expected.pop("observed_utc", None)) is not None:
        moment = datetime.strptime(observed, "%Y-%m-%dT%H:%MZ").replace(tzinfo=UTC)
        assert f"{moment:%d %B %Y %H:%M} UTC" in message
    assert expected.pop("braking_action", "POOR") == "POOR"
    expected.pop("notes", None)
    for value in expected.values():
        assert value in message


def _weather(report: WeatherReport, expected: dict[str, Any]) -> None:
    """Wind 000 at 0 kt is calm; the runway-state group is not used, and said so."""
    assert report.station == expected.pop("station")
    assert expected.pop("wind_dir_true") == 0
    assert report.wind_direction is None
    assert report.wind_speed == expected.pop("wind_speed_kt") == 0
    assert report.calm
    assert report.temperature == pytest.approx(expected.pop("temp_c") + 273.15)
    assert report.pressure_setting == pytest.approx(expected.pop("qnh_hpa") * 100.0)
    assert "R01L/550295" in expected.pop("must")
    assert any("R01L/550295" in warning and "not used" in warning for warning in report.warnings)
    assert expected == {}


def _condition(report: ConditionReport, expected: dict[str, Any], kind: str) -> None:
    """Compare a runway condition report key by key; no key may be left over."""
    assert report.kind == {"FICON": "FICON notice"}.get(kind, kind)
    notes = expected.pop("notes", "")
    if "earliest assessment time" in notes:
        assert any("not the latest assessment" in warning for warning in report.warnings)
    simple = {
        "priority": report.priority,
        "addresses": list(report.addresses),
        "filed": report.filed,
        "originator": report.originator,
        "state": report.state,
        "serial": report.serial,
        "location": report.aerodrome,
        "heading_time": report.heading_time,
        "correction": report.correction,
        "cancels_previous": report.cancels_previous,
        "accountability": report.accountability,
        "notam": report.serial,
        "designator": "SW" if report.state is not None else None,
    }
    for key, value in simple.items():
        if key in expected:
            assert value == expected.pop(key), key
    situational = expected.pop("situational", [])
    _situational(report, situational)
    if "runways" in expected:
        runways = expected.pop("runways")
        assert len(report.runways) == len(runways)
        for runway, fields in zip(report.runways, runways, strict=True):
            _runway(report, runway, fields)
            assert fields == {}
    elif "runway" in expected:
        (runway,) = report.runways
        _runway(report, runway, expected)
    assert expected == {}


def _runway(report: ConditionReport, runway: RunwayCondition, expected: dict[str, Any]) -> None:
    """Compare one runway, taking the keys out of what is expected."""
    for key in ("aerodrome", "month", "day", "hour", "minute", "runway"):
        if key in expected:
            assert getattr(runway, key) == expected.pop(key), key
    assert [third.code for third in runway.thirds] == expected.pop("rwycc")
    if "coverage_pct" in expected:
        assert [third.coverage_percent for third in runway.thirds] == expected.pop("coverage_pct")
    if "depth_mm" in expected:
        depths = [None if depth is None else depth * MILLIMETRE for depth in expected.pop("depth_mm")]
        assert [third.depth for third in runway.thirds] == pytest.approx(depths)
    if "condition" in expected:
        assert [third.descriptor for third in runway.thirds] == expected.pop("condition")
    if "width_m" in expected:
        assert runway.width == expected.pop("width_m")
    for third, fields in zip(runway.thirds, expected.pop("thirds", [{}, {}, {}]), strict=True):
        if fields:
            assert third.coverage_percent == fields.pop("coverage_pct")
            inches = fields.pop("depth_in")
            assert third.depth == (None if inches is None else pytest.approx(inches * INCH))
            assert third.descriptor == fields.pop("contaminant")
            assert fields == {}
    if "observed_utc" in expected:
        moment = datetime.strptime(expected.pop("observed_utc"), "%Y-%m-%dT%H:%MZ").replace(tzinfo=UTC)
        read = (runway.year, runway.month, runway.day, runway.hour, runway.minute)
        assert read == (moment.year, moment.month, moment.day, moment.hour, moment.minute)
    notes = expected.pop("notes", "")
    about = [warning for warning in report.warnings if warning.startswith(f"Runway {runway.runway}, ")]
    if "must warn" in notes:
        assert any("above the matrix" in warning for warning in about)
    if "downgraded" in notes:
        assert any("downgraded" in warning for warning in about)
    if "not a depth-reportable" in notes:
        assert any("no depth is expected" in warning for warning in about)


def _situational(report: ConditionReport, expected: list[dict[str, Any]]) -> None:
    """Compare the situational awareness items in their order."""
    if not expected:
        return
    assert [item.item for item in report.situational] == [fields["item"] for fields in expected]
    for item, fields in zip(report.situational, expected, strict=True):
        fields.pop("item")
        for key in ("runway", "taxiway", "apron", "condition", "text"):
            if key in fields:
                assert getattr(item, key) == fields.pop(key), key
        for bank in fields.pop("snowbank", []) if isinstance(fields.get("snowbank"), list) else []:
            assert (item.side, item.distance) == (bank["side"], bank["distance_m"])
        signs = {"snowbank": "N", "adjacent_snowbanks": "O", "drifting_snow": "J", "loose_sand": "K"}
        for key, letter in signs.items():
            if fields.pop(key, False):
                assert item.item == letter
        assert fields == {}


@pytest.mark.skipif(not TABLE.is_file(), reason="the table of published examples is not beside the checkout")
def test_read_report__published_slush_line_read_for_the_other_end_is_reversed() -> None:
    """Third order from the lower designator: item G of the form, Reg. (EU) 2022/938; 5/2/2 for 09R is 2/2/5 for 27L."""
    with TABLE.open(newline="", encoding="utf-8") as file:
        (text,) = [
            row["string"] for row in csv.DictReader(file) if " 09R " in row["string"] and "\n" not in row["string"]
        ]
    report = read_report(text)
    assert isinstance(report, ConditionReport)
    assert [third.code for third in report.for_landing("27L").thirds] == [2, 2, 5]
