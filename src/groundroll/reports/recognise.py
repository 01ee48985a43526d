"""Which kind of report a text is."""

from __future__ import annotations

from groundroll.errors import ReportError
from groundroll.reports.condition import has_condition_line, looks_like_condition, read_condition
from groundroll.reports.model import ConditionReport
from groundroll.reports.text import clean, shown
from groundroll.reports.weather import WeatherReport, looks_like_weather, read_weather


def read_report(text: str) -> WeatherReport | ConditionReport:
    """Return what a report says, weather or runway condition.

    Raises
    ------
    ReportError
        If the text is neither, or its reader refuses it.

    Examples
    --------
    >>> read_report("METAR QDEM 251250Z 24015KT 9999 SCT030 12/08 Q1013").station
    'QDEM'
    >>> read_report("runway 24 wet 5/5/5").kind
    'spoken words'
    """
    cleaned = clean(text)
    if looks_like_weather(cleaned):
        if has_condition_line(cleaned):
            raise ReportError("The text holds a weather report and a runway condition report. Give them one at a time.")
        return read_weather(text)
    if looks_like_condition(cleaned):
        return read_condition(text)
    raise ReportError(
        f"{shown(text)} is neither a weather report (METAR, SPECI) nor a runway condition report (SNOWTAM, runway "
        'condition line, FICON notice, or words as heard: "runway 24 wet 5/5/5").'
    )
