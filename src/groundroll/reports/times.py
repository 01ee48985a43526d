"""Times of reports: they carry no year (runway condition) or neither year nor month (weather)."""

from __future__ import annotations

from calendar import monthrange
from datetime import UTC, datetime, timedelta
from typing import Final

from groundroll.errors import ReportError
from groundroll.reports.text import shown

MAXIMUM_AGE: Final = timedelta(hours=8)
"""Longest validity of a SNOWTAM. Source: Reg. (EU) 2021/1338, Annex V, Appendix 3, point 1 (confirmed)."""

MONTHS: Final = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def check_time(month: int, day: int, hour: int, minute: int, text: str, year: int | None = None) -> None:
    """Refuse a time that no calendar has; 29 February passes when the year is not known.

    Raises
    ------
    ReportError
        If month, day, hour or minute is impossible; the text received is shown.
    """
    if not 1 <= month <= 12:
        raise ReportError(f"{shown(text)} is not a time: month {month:02d} is outside 01 to 12.")
    days = monthrange(2000 if year is None else year, month)[1]
    if not 1 <= day <= days:
        raise ReportError(f"{shown(text)} is not a time: {MONTHS[month - 1]} has days 1 to {days}, not {day}.")
    check_clock(hour, minute, text)


def check_clock(hour: int, minute: int, text: str) -> None:
    """Refuse an hour outside 0 to 23 or a minute outside 0 to 59 with a `ReportError`."""
    if hour > 23 or minute > 59:
        raise ReportError(f"{shown(text)} is not a time: {hour:02d}:{minute:02d} is outside 00:00 to 23:59.")


def age(month: int | None, day: int, hour: int, minute: int, reference: datetime, year: int | None = None) -> timedelta:
    """Return the age of a report at a reference time.

    The year (and the month, where it is None as in a METAR) is the one that brings the report nearest to the
    reference. A negative age says that the report is later than the reference.

    Parameters
    ----------
    month : 1 to 12, or None
        Month of the report; None where the report gives only the day.
    day, hour, minute
        Day of the month and UTC time of day of the report.
    reference
        Time at which the age is asked. Without a time zone it is taken as UTC.
    year
        Year, where the report gives one.

    Raises
    ------
    ReportError
        If there is no such date near the reference.

    Examples
    --------
    >>> age(12, 31, 23, 30, datetime(2026, 1, 1, 1, 0))
    datetime.timedelta(seconds=5400)
    """
    now = reference.astimezone(UTC).replace(tzinfo=None) if reference.tzinfo is not None else reference
    months = [(now.year + (now.month - 1 + step) // 12, (now.month - 1 + step) % 12 + 1) for step in (-2, -1, 0, 1, 2)]
    candidates = months if month is None else [(now.year + step, month) for step in range(-4, 5)]
    if year is not None:
        candidates = [(year, now.month if month is None else month)]
    ages = []
    for some_year, some_month in candidates:
        try:
            ages.append(now - datetime(some_year, some_month, day, hour, minute))
        except ValueError:
            continue  # this year or month has no such day: 29 February, 31 April
    if not ages:
        raise ReportError(f"No date near {now:%Y-%m-%d} has month {month}, day {day}, {hour:02d}:{minute:02d} UTC.")
    return min(ages, key=abs)


def minutes_later(first: tuple[int, int, int, int], second: tuple[int, int, int, int]) -> int:
    """Return how many minutes the second (month, day, hour, minute) is later, at most half a year either way.

    Examples
    --------
    >>> minutes_later((12, 31, 23, 0), (1, 1, 1, 0))
    120
    """
    start, end = (datetime(2000, *moment) for moment in (first, second))
    year = timedelta(days=366)
    return round((((end - start) + year / 2) % year - year / 2).total_seconds() / 60)


def time_in_words(
    month: int | None, day: int | None, hour: int | None, minute: int | None, year: int | None = None
) -> str:
    """Return a time as a pilot would write it, with the parts that are known.

    Examples
    --------
    >>> time_in_words(2, 17, 0, 55)
    '17 February 00:55 UTC'
    """
    if hour is None or minute is None:
        return "at an unknown time"
    words = [f"{hour:02d}:{minute:02d} UTC"]
    if day is not None:
        date = f"day {day}" if month is None else f"{day} {MONTHS[month - 1]}"
        words.insert(0, date if year is None else f"{date} {year}")
    return " ".join(words)
