"""Ages of reports without a year, and of reports without year and month."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.errors import ReportError
from groundroll.reports import MAXIMUM_AGE, age, read_condition
from groundroll.reports.times import minutes_later

LINE = "QDEM 12312330 09R 6/6/6 NR/NR/NR NR/NR/NR DRY/DRY/DRY"


def test_maximum_age__eight_hours() -> None:
    """Reg. (EU) 2021/1338, Annex V, Appendix 3, point 1."""
    assert timedelta(hours=8) == MAXIMUM_AGE


@pytest.mark.parametrize(
    ("moment", "reference", "hours"),
    [
        ((2, 17, 0, 55), datetime(2026, 2, 17, 8, 55), 8.0),
        ((12, 31, 23, 0), datetime(2026, 1, 1, 1, 0), 2.0),
        ((1, 1, 1, 0), datetime(2025, 12, 31, 23, 0), -2.0),
        ((2, 29, 12, 0), datetime(2028, 2, 29, 13, 0), 1.0),
        ((None, 31, 23, 0), datetime(2026, 11, 1, 1, 0), 2.0),
        ((None, 1, 0, 30), datetime(2026, 10, 31, 23, 30), -1.0),
    ],
)
def test_age__by_hand(moment: tuple[int | None, int, int, int], reference: datetime, hours: float) -> None:
    assert age(*moment, reference) == timedelta(hours=hours)


def test_age__time_zone_of_the_reference_is_respected() -> None:
    reference = datetime(2026, 2, 17, 3, 55, tzinfo=timezone(timedelta(hours=2)))
    assert age(2, 17, 0, 55, reference) == timedelta(hours=1)
    assert age(2, 17, 0, 55, reference.astimezone(UTC)) == timedelta(hours=1)


def test_age__year_of_a_notice_is_kept() -> None:
    assert age(2, 17, 0, 55, datetime(2026, 2, 17, 0, 55), year=2024) == timedelta(days=731)


def test_age__day_that_no_month_near_has_is_refused() -> None:
    with pytest.raises(ReportError, match="month 2, day 30"):
        age(2, 30, 0, 0, datetime(2026, 2, 28))


def test_age__of_a_runway_condition() -> None:
    (runway,) = read_condition(LINE).runways
    assert runway.age(datetime(2026, 1, 1, 0, 30, tzinfo=UTC)) == timedelta(hours=1)
    assert read_condition("wet 5/5/5").runways[0].age(datetime(2026, 1, 1)) is None


@given(st.datetimes(datetime(2001, 1, 1), datetime(2099, 1, 1)), st.integers(-100 * 24 * 60, 100 * 24 * 60))
def test_age__comes_back_from_any_moment_within_a_hundred_days(reference: datetime, minutes: int) -> None:
    reference = reference.replace(second=0, microsecond=0)
    report = reference - timedelta(minutes=minutes)
    assert age(report.month, report.day, report.hour, report.minute, reference) == timedelta(minutes=minutes)


def test_minutes_later__over_new_year_both_ways() -> None:
    assert minutes_later((12, 31, 23, 50), (1, 1, 0, 10)) == 20
    assert minutes_later((1, 1, 0, 10), (12, 31, 23, 50)) == -20
