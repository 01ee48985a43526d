"""Runway condition reports: SNOWTAM, runway condition line, FICON notice, and words of a tower."""

from __future__ import annotations

import re

from groundroll.errors import ReportError
from groundroll.reports.ficon import read_ficon
from groundroll.reports.model import (
    ConditionReport,
    RunwayCondition,
    SituationalItem,
    ThirdCondition,
    opposite_designator,
    runway_designator,
)
from groundroll.reports.snowtam import has_runway_line, looks_like_snowtam, read_snowtam
from groundroll.reports.spoken import looks_spoken, read_spoken
from groundroll.reports.text import CleanText, clean, shown
from groundroll.reports.times import MAXIMUM_AGE, age

__all__ = [
    "MAXIMUM_AGE",
    "ConditionReport",
    "RunwayCondition",
    "SituationalItem",
    "ThirdCondition",
    "age",
    "has_condition_line",
    "looks_like_condition",
    "opposite_designator",
    "read_condition",
    "runway_designator",
]

_FICON = re.compile(r"\bFICON\b")


def looks_like_condition(cleaned: CleanText) -> bool:
    """Tell whether a text has the form of a runway condition report of any kind."""
    capitals = cleaned.capitals
    return _FICON.search(capitals) is not None or looks_like_snowtam(capitals) or looks_spoken(capitals)


def has_condition_line(cleaned: CleanText) -> bool:
    """Tell whether a SNOWTAM, one of its runway lines, or a FICON notice stands somewhere in a text."""
    return _FICON.search(cleaned.capitals) is not None or has_runway_line(cleaned.capitals)


def read_condition(text: str) -> ConditionReport:
    """Return what a runway condition report says, whichever of the four forms it has.

    Oddities of a report (a code above the assessment matrix, a missing depth) become warnings; nothing is changed. What
    no rule explains is in `ConditionReport.not_understood`.

    Parameters
    ----------
    text
        A SNOWTAM in the Global Reporting Format, one or several of its runway lines, a FICON notice, or words as heard
        ("runway 24 wet 5/5/5").

    Raises
    ------
    ReportError
        If it is none of these, is in a format without runway condition codes, or holds a value that cannot be.

    Examples
    --------
    >>> report = read_condition("QDEM 02170135 09R 5/2/2 100/50/75 NR/06/06 WET/SLUSH/SLUSH")
    >>> [third.code for third in report.for_landing("27L").thirds]
    [2, 2, 5]
    >>> report.for_landing("24")
    Traceback (most recent call last):
    groundroll.errors.ReportError: Runway 24 is not in this report; it covers 09R.
    """
    cleaned = clean(text)
    if _FICON.search(cleaned.capitals) is not None:
        return read_ficon(text, cleaned)
    if looks_like_snowtam(cleaned.capitals):
        return read_snowtam(text, cleaned)
    if looks_spoken(cleaned.capitals):
        return read_spoken(text, cleaned)
    raise ReportError(
        f"{shown(text)} is not a runway condition report. Give a SNOWTAM, one of its runway lines, a FICON notice, or "
        'words as heard: "runway 24 wet 5/5/5".'
    )
