"""What a runway condition report says, as frozen data; the readers fill it."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from groundroll.errors import ReportError
from groundroll.reports.text import list_in_words, shown
from groundroll.reports.times import age, minutes_later

Kind = Literal["SNOWTAM", "RCR line", "FICON notice", "spoken words"]
Direction = Literal["lower designator", "as named", "landing"]
Item = Literal["I", "J", "K", "L", "M", "N", "O", "P", "R", "S", "T"]

_DESIGNATOR = re.compile(r"0?([1-9]|[12][0-9]|3[0-6])([LCR]?)", re.ASCII)
_OPPOSITE = {"": "", "L": "R", "C": "C", "R": "L"}


def runway_designator(text: str) -> str:
    """Return a runway designator in its usual form: two figures and L, C or R.

    Raises
    ------
    ReportError
        If it is not 01 to 36 with or without L, C or R.

    Examples
    --------
    >>> runway_designator("rwy 9l")
    '09L'
    """
    short = "".join(text.split()).upper().removeprefix("RUNWAY").removeprefix("RWY")
    match = _DESIGNATOR.fullmatch(short)
    if match is None:
        raise ReportError(f"{shown(text)} is not a runway: designators are 01 to 36, with or without L, C or R.")
    return f"{int(match[1]):02d}{match[2]}"


def opposite_designator(designator: str) -> str:
    """Return the designator of the other end of a runway.

    Examples
    --------
    >>> opposite_designator("09L"), opposite_designator("36")
    ('27R', '18')
    """
    name = runway_designator(designator)
    return f"{(int(name[:2]) + 17) % 36 + 1:02d}{_OPPOSITE[name[2:]]}"


@dataclass(frozen=True)
class ThirdCondition:
    """Condition of one third of a runway.

    Attributes
    ----------
    code
        Runway condition code, 0 to 6; None if not reported.
    coverage_percent
        Share of the third that is covered; None if not reported. [%]
    depth
        Depth of the loose contaminant; None if not reported. [m]
    descriptor
        One of the 17 condition words in capitals; None if not reported or without equal among them.
    depth_at_most
        True if the depth value means "this or less".
    reported_as
        The words of the report where they differ from the descriptor.
    """

    code: int | None
    coverage_percent: int | None
    depth: float | None
    descriptor: str | None
    depth_at_most: bool = False
    reported_as: str | None = None


Thirds = tuple[ThirdCondition, ThirdCondition, ThirdCondition]


@dataclass(frozen=True)
class RunwayCondition:
    """Condition of a runway in thirds.

    Attributes
    ----------
    aerodrome
        Location indicator, None if the report has none.
    runway
        Designator as reported; an empty text where spoken words name no runway.
    thirds
        Three thirds, beginning where `direction` says.
    month, day, hour, minute, year
        UTC time of the assessment, as far as reported.
    width
        Width to which the codes apply, None for the full width. [m]
    direction
        Where the first third lies: at the threshold of the lower designator, at that of the runway named, or at the
        landing threshold.
    """

    aerodrome: str | None
    runway: str
    thirds: Thirds
    month: int | None = None
    day: int | None = None
    hour: int | None = None
    minute: int | None = None
    year: int | None = None
    width: float | None = None
    direction: Direction = "lower designator"

    @property
    def moment(self) -> tuple[int, int, int, int] | None:
        """Month, day, hour and minute, or None if one of them is missing."""
        if self.month is None or self.day is None or self.hour is None or self.minute is None:
            return None
        return self.month, self.day, self.hour, self.minute

    def age(self, reference: datetime) -> timedelta | None:
        """Return the age at a reference time, or None if the report gives no full time."""
        if self.moment is None:
            return None
        return age(*self.moment, reference, self.year)


@dataclass(frozen=True)
class SituationalItem:
    """One item of the situational awareness section.

    Attributes
    ----------
    item
        Letter: I reduced length, J drifting snow, K loose sand, L chemical treatment, M snowbank on runway, N snowbank
        on taxiway, O snowbanks beside the runway, P taxiway, R apron, S measured friction, T plain language.
    text, meaning
        As received; in plain words.
    runway, taxiway, apron
        Where; None if not said. "ALL" for all taxiways or all aprons.
    side
        L, R or LR, seen from the threshold of the lower designator (PANS-AIM Appendix 4, item M; from memory).
    distance
        From the centre line. [m]
    reduced_length
        Length to which the runway is reduced. [m]
    condition
        "POOR" for a taxiway or apron so reported.
    """

    item: Item
    text: str
    meaning: str
    runway: str | None = None
    taxiway: str | None = None
    apron: str | None = None
    side: str | None = None
    distance: float | None = None
    reduced_length: float | None = None
    condition: str | None = None


@dataclass(frozen=True)
class ConditionReport:
    """A runway condition report.

    Attributes
    ----------
    kind, raw
        Form of the report; its text as received.
    runways, situational
        Runway by runway in the order of the report; the situational awareness items.
    warnings
        What is odd about it, one sentence each. Oddities never change a reported value.
    not_understood
        Pieces of text that no rule of the format explains.
    aerodrome, serial, correction
        Location; serial number (of a notice: its number); True for a corrected SNOWTAM.
    heading_time
        Time in the SNOWTAM heading, eight figures MMDDhhmm as received.
    state, priority, addresses, filed, originator
        State letters of the heading; parts of the communication heading.
    accountability, validity
        Of a FICON notice: accountable office, validity as received.
    """

    kind: Kind
    raw: str
    runways: tuple[RunwayCondition, ...]
    situational: tuple[SituationalItem, ...] = ()
    warnings: tuple[str, ...] = ()
    not_understood: tuple[str, ...] = ()
    aerodrome: str | None = None
    serial: str | None = None
    correction: bool = False
    heading_time: str | None = None
    state: str | None = None
    priority: str | None = None
    addresses: tuple[str, ...] = ()
    filed: str | None = None
    originator: str | None = None
    accountability: str | None = None
    validity: str | None = None

    @property
    def cancels_previous(self) -> bool:
        """True for a SNOWTAM: each new one cancels the one before (Reg. (EU) 2021/1338, Annex V, Appendix 3)."""
        return self.kind == "SNOWTAM"

    def for_landing(self, designator: str) -> RunwayCondition:
        """Return the condition of a runway with its thirds in landing direction: touchdown, middle, roll-out.

        A report for 09L serves a landing on 27R with its thirds in reverse order. Spoken words without a runway are
        those of the landing runway. Of several lines for one runway the latest counts.

        Raises
        ------
        ReportError
            If neither end of the runway is in the report; the runways in it are named.
        """
        name = runway_designator(designator)
        other = opposite_designator(name)
        found: RunwayCondition | None = None
        for runway in self.runways:
            if runway.runway not in (name, other, "") or (found is not None and not _is_later(found, runway)):
                continue
            found = runway
        if found is None:
            covered = list_in_words(tuple(dict.fromkeys(runway.runway for runway in self.runways)))
            if not covered:
                raise ReportError(f"Runway {name} is not in this report; it gives the condition of no runway.")
            raise ReportError(f"Runway {name} is not in this report; it covers {covered}.")
        first, middle, last = found.thirds
        thirds = (last, middle, first) if found.runway == other else found.thirds
        return replace(found, runway=name, thirds=thirds, direction="landing")

    def reduced_length(self, designator: str) -> float | None:
        """Return the length in metres to which a runway is reduced (item I), or None if it is not."""
        name = runway_designator(designator)
        ends = (name, opposite_designator(name))
        lengths = [
            item.reduced_length for item in self.situational if item.reduced_length is not None and item.runway in ends
        ]
        return min(lengths, default=None)


def _is_later(first: RunwayCondition, second: RunwayCondition) -> bool:
    """Tell whether the second assessment is later than the first; without both times it is not."""
    if first.moment is None or second.moment is None:
        return False
    return minutes_later(first.moment, second.moment) > 0
