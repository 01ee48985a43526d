"""Which kind of report a text is."""

from __future__ import annotations

import pytest

from groundroll.errors import ReportError
from groundroll.reports import ConditionReport, WeatherReport, read_report

LINE = "QDEM 02170135 09R 5/2/2 100/50/75 NR/06/06 WET/SLUSH/SLUSH"


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("METAR QDEM 251250Z 24015KT 9999 12/08 Q1013", "METAR"),
        ("SPECI QDEM 251250Z 24015KT 9999 12/08 Q1013", "SPECI"),
        ("QDEM 251250Z 24015KT 9999 12/08 Q1013", "METAR"),
        (LINE, "RCR line"),
        (f"SWQA0001 QDEM 02170135\n(SNOWTAM 0001\n{LINE})", "SNOWTAM"),
        ("RWY 22 FICON 5/5/3", "FICON notice"),
        ("RWY 09L LOOSE SAND. TWY B POOR.", "RCR line"),
        ("runway 24 wet 5/5/5", "spoken words"),
        ("dry", "spoken words"),
    ],
)
def test_read_report__recognises(text: str, kind: str) -> None:
    report = read_report(text)
    assert report.kind == kind
    assert isinstance(report, WeatherReport if kind in ("METAR", "SPECI") else ConditionReport)
    assert report.raw == text


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "empty"),
        ("good morning", '"good morning" is neither a weather report'),
        ("\x00\x01", "empty"),
        ("TAF QDEM 251100Z 2512/2612 24015KT", "forecast"),
        (f"METAR QDEM 251250Z 24015KT 9999 12/08 Q1013\n{LINE}", "one at a time"),
        ("x" * 20_001, "20001 characters"),
        ("good " * 4000, "is neither a weather report"),
    ],
)
def test_read_report__refuses(text: str, message: str) -> None:
    with pytest.raises(ReportError, match=message):
        read_report(text)
