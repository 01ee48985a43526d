"""FICON notices: field condition reports of the United States, in use with codes since October 2016.

Form: as in published notices (second-hand); contaminant and treatment words from FAA Order JO 7930.2 (from memory).
The thirds lie in the direction of the runway named. Source: FAA AIM 4-3-9 (second-hand).
"""

from __future__ import annotations

import re
from typing import NamedTuple

from groundroll.constants import FOOT
from groundroll.errors import ReportError
from groundroll.reports.checks import check_runway
from groundroll.reports.model import (
    ConditionReport,
    RunwayCondition,
    SituationalItem,
    ThirdCondition,
    runway_designator,
)
from groundroll.reports.text import CleanText, list_in_words, shown
from groundroll.reports.times import check_time, time_in_words
from groundroll.reports.wording import (
    NOTICE_WORDS,
    OLD_NOTICE_WORDS,
    SHALLOW_DEPTH,
    TREATMENT_WORDS,
    matrix_codes,
    notice_descriptor,
)

_INCH = FOOT / 12.0
_MAXIMUM_NOTICES = 40
"""More notices than this are not one text. Assumption of this project."""

_LONGEST_DESCRIPTION = 1_500
"""Longest description of contaminants and treatment. [characters] Assumption of this project."""

_HEAD = re.compile(
    r"(?<![A-Z0-9/])(?:!?(?P<accountability>[A-Z0-9]{3,4})\s)?(?:(?P<number>[0-9]{1,2}/[0-9]{3,4})\s)?"
    r"(?:(?P<location>[A-Z0-9]{3,4})\s)?(?:RWY|RUNWAY)\s?(?P<runway>[0-9]{1,2}[LCR]?)(?:/(?P<other>[0-9]{1,2}[LCR]?))?"
    r"\sFICON\b",
    re.ASCII,
)
_CODES = re.compile(r"\s?([0-9]{1,2})\s?/\s?([0-9]{1,2})\s?/\s?([0-9]{1,2})(?![0-9A-Z/])", re.ASCII)
_OBSERVED = re.compile(r"\bOBS(?:ERVED)?\s(?:AT\s)?([0-9]{8,12})\b", re.ASCII)
_VALIDITY = re.compile(r"\b([0-9]{10})\s?-\s?([0-9]{10}(?:EST)?|PERM)\b", re.ASCII)
_WORDS = "|".join(
    word.replace("SN", "SN(?:OW)?").replace(" ", r"\s") for word in sorted(NOTICE_WORDS, key=len, reverse=True)
)
_CONTAMINANT = re.compile(
    r"\s?(?:(?P<coverage>[0-9]{1,4})\s?(?:PRCT|PERCENT|PCT|%)\s)?"
    r"(?:(?:(?P<whole>[0-9]{1,3})(?:\s(?=[0-9]/))?)?(?:(?P<top>[0-9])/(?P<bottom>[1-9]))?\s?(?P<unit>INCH(?:ES)?|INS?|FT)\s)?"
    rf"(?P<words>{_WORDS})(?![A-Z0-9])",
    re.ASCII,
)
_AND = re.compile(r"\sAND(?=\s)")
_WIDTH = re.compile(r"\b(?:PLOWED|SWEPT)\s(?P<width>[0-9]{2,3})\s?FT\sWIDE\b", re.ASCII)


class _Notice(NamedTuple):
    """One notice: its runway and what stands around it."""

    runway: RunwayCondition
    accountability: str | None
    number: str | None
    location: str | None
    validity: str | None
    situational: list[SituationalItem]
    warnings: list[str]
    not_understood: list[str]


def read_ficon(raw: str, cleaned: CleanText) -> ConditionReport:
    """Return what a FICON notice, or several, says.

    Raises
    ------
    ReportError
        If a notice has no runway condition codes, or is not about a runway.
    """
    text, capitals = cleaned.text, cleaned.capitals
    heads = list(_HEAD.finditer(capitals))
    if not heads:
        raise ReportError(
            'The FICON notice names no runway that can be read. A notice reads "RWY 22 FICON 5/5/3 ..."; notices about '
            "taxiways and aprons are not used."
        )
    if len(heads) > _MAXIMUM_NOTICES:
        raise ReportError(f"The text has {len(heads)} FICON notices; give {_MAXIMUM_NOTICES} at most.")
    warnings, not_understood = list(cleaned.warnings), []
    before = text[: heads[0].start()].strip(" !\n")
    if before:
        not_understood.append(before)
    notices = []
    for number, head in enumerate(heads):
        stop = heads[number + 1].start() if number + 1 < len(heads) else len(text)
        notices.append(_read_notice(text, capitals, head, stop))
    situational: list[SituationalItem] = []
    for notice in notices:
        situational += notice.situational
        warnings += [*notice.warnings, *check_runway(notice.runway, steps=False)]
        not_understood += notice.not_understood
    first = notices[0]
    locations = list(dict.fromkeys(notice.location for notice in notices if notice.location is not None))
    if len(locations) > 1:
        raise ReportError(f"The notices are for {list_in_words(locations)}. Give those of one location.")
    return ConditionReport(
        kind="FICON notice",
        raw=raw,
        runways=tuple(notice.runway for notice in notices),
        situational=tuple(situational),
        warnings=tuple(warnings),
        not_understood=tuple(not_understood),
        aerodrome=first.location,
        serial=first.number,
        accountability=first.accountability,
        validity=first.validity,
    )


def _read_notice(text: str, capitals: str, head: re.Match[str], stop: int) -> _Notice:
    """Read one notice from its head to where the next one begins."""
    runway = runway_designator(head["runway"])
    accountability, location = head["accountability"], head["location"] or head["accountability"]
    warnings: list[str] = []
    not_understood: list[str] = []
    body, capital_body = text[head.end() : stop], capitals[head.end() : stop]
    moment, observed_at, observed_end = _observed(capital_body)
    codes = _CODES.match(capital_body)
    if codes is None:
        raise ReportError(_no_codes_message(head, location, capital_body, moment))
    if any(len(code) > 1 or int(code) > 6 for code in codes.groups()):
        raise ReportError(f"Runway {runway}: codes {'/'.join(codes.groups())} are not three figures from 0 to 6.")
    if "0" in codes.groups():
        warnings.append(f"Runway {runway}: code 0 (NIL) closes a runway and is not published in a FICON notice.")
    if head["other"] is not None:
        runway_designator(head["other"])
        warnings.append(
            f"The notice names both ends, {head['runway']}/{head['other']}; the thirds are taken to begin at the "
            f"threshold of {runway}."
        )
    if moment is None:
        warnings.append(f"Runway {runway}: the notice gives no time of observation.")
    validity = _VALIDITY.search(capital_body)
    ends = [at for at in (observed_at, validity.start() if validity is not None else None) if at is not None]
    stop_words = min(ends, default=len(capital_body))
    thirds, width, situational = _description(
        runway, [int(code) for code in codes.groups()], body, codes.end(), stop_words, warnings, not_understood
    )
    tail = body[min(ends, default=len(body)) :]
    for begin, end in ((observed_at, observed_end), *((validity.span(),) if validity is not None else ())):
        if begin is not None and end is not None:
            tail = tail.replace(body[begin:end], " ")
    rest = tail.strip(" .,!\n=")
    if rest:
        not_understood.append(" ".join(rest.split()))
    year, month, day, hour, minute = moment or (None, None, None, None, None)
    condition = RunwayCondition(location, runway, thirds, month, day, hour, minute, year, width, "as named")
    return _Notice(
        condition,
        accountability,
        head["number"],
        location,
        None if validity is None else " ".join(validity[0].split()),
        situational,
        warnings,
        not_understood,
    )


def _observed(capitals: str) -> tuple[tuple[int, int, int, int, int] | None, int | None, int | None]:
    """Return year, month, day, hour, minute of OBS AT yymmddhhmm, and where it stands."""
    match = _OBSERVED.search(capitals)
    if match is None:
        return None, None, None
    figures = match[1]
    if len(figures) != 10:
        raise ReportError(f"{shown(figures)} is not a time of observation: ten figures are needed, yymmddhhmm in UTC.")
    year, month, day, hour, minute = (int(figures[at : at + 2]) for at in range(0, 10, 2))
    check_time(month, day, hour, minute, figures, 2000 + year)
    return (2000 + year, month, day, hour, minute), match.start(), match.end()


def _no_codes_message(
    head: re.Match[str], location: str | None, capitals: str, moment: tuple[int, int, int, int, int] | None
) -> str:
    """Return the sentence that refuses a notice without codes, naming what it is about."""
    runway = head["runway"] + ("" if head["other"] is None else f"/{head['other']}")
    names = " ".join(name for name in (head["accountability"], head["number"]) if name)
    about = "This FICON notice" if not names else f"FICON notice {names}"
    about += f" for runway {runway}" + ("" if location is None else f" at {location}")
    if moment is not None:
        about += f", observed {time_in_words(*moment[1:], moment[0])},"
    words = set(re.findall(r"[A-Z]+", capitals))
    if words & OLD_NOTICE_WORDS:
        reason = "it is in the form used before October 2016"
    else:
        reason = "codes are given since October 2016, when 25 % or more of a paved runway is covered"
    return (
        f"{about} has no runway condition codes in it, and none are derived from its words {shown(capitals)}: {reason}."
    )


def _description(
    runway: str,
    codes: list[int],
    body: str,
    begin: int,
    end: int,
    warnings: list[str],
    not_understood: list[str],
) -> tuple[tuple[ThirdCondition, ThirdCondition, ThirdCondition], float | None, list[SituationalItem]]:
    """Read the contaminants between the codes and the time of observation, third by third."""
    if end - begin > _LONGEST_DESCRIPTION:
        raise ReportError(
            f"The words of the FICON notice for runway {runway} have {end - begin} characters; "
            f"{_LONGEST_DESCRIPTION} at most are read."
        )
    conditions: list[list[ThirdCondition]] = []
    others: list[str] = []
    for part in body[begin : max(begin, end)].split(","):
        piece = " ".join(part.split()).strip(" .")
        if not piece:
            continue
        found, rest = _contaminants(runway, piece, warnings)
        if found:
            conditions.append(found)
        if rest:
            others.append(rest)
    situational: list[SituationalItem] = []
    width: float | None = None
    for other in others:
        capitals = other.upper()
        if not any(word in TREATMENT_WORDS for word in re.findall(r"[A-Z]+", capitals)):
            not_understood.append(other)
            continue
        situational.append(SituationalItem("T", other, f"Treatment of runway {runway}: {other}.", runway=runway))
        cleared = _WIDTH.search(capitals)
        if cleared is not None:
            width = float(cleared["width"]) * FOOT or None
    empty = ThirdCondition(None, None, None, None)
    if not conditions:
        warnings.append(f"Runway {runway}: the notice does not say what covers the runway.")
        chosen = [empty] * 3
    elif len(conditions) in (1, 3):
        per_third = conditions * 3 if len(conditions) == 1 else conditions
        chosen = [_most_slippery(runway, some, warnings) for some in per_third]
        if len(conditions) == 1:
            warnings[:] = list(dict.fromkeys(warnings))
    else:
        warnings.append(
            f"Runway {runway}: {len(conditions)} descriptions are given for three thirds; only the codes are used."
        )
        not_understood.append(" ".join(body[begin:end].split()).strip(" .,"))
        chosen = [empty] * 3
    first, middle, last = (
        ThirdCondition(code, some.coverage_percent, some.depth, some.descriptor, some.depth_at_most, some.reported_as)
        for code, some in zip(codes, chosen, strict=True)
    )
    return (first, middle, last), width, situational


def _contaminants(runway: str, piece: str, warnings: list[str]) -> tuple[list[ThirdCondition], str]:
    """Return the contaminants at the beginning of a piece of text, and the words after them."""
    found: list[ThirdCondition] = []
    capitals = piece.upper() if piece.isascii() else ""
    position = 0
    while (match := _CONTAMINANT.match(capitals, position)) is not None:
        words = re.sub(r"\bSNOW\b", "SN", " ".join(match["words"].split()))
        depth = _depth(match)
        coverage = None if match["coverage"] is None else int(match["coverage"])
        if coverage is not None and coverage > 100:
            raise ReportError(f"Runway {runway}: coverage {coverage} % is outside 0 to 100 %.")
        descriptor = notice_descriptor(words, depth)
        if descriptor is None:
            warnings.append(
                f"Runway {runway}: {words} has no equal among the 17 international condition words; the code counts."
            )
        at_most = depth is not None and depth <= SHALLOW_DEPTH * (1.0 + 1e-9)
        reported = None if words == descriptor else words
        found.append(ThirdCondition(None, coverage, depth, descriptor, at_most, reported))
        position = match.end()
        conjunction = _AND.match(capitals, position)
        if conjunction is None:
            break
        if _CONTAMINANT.match(capitals, conjunction.end()) is None:
            break
        position = conjunction.end()
    return found, piece[position:].strip(" .")


def _depth(match: re.Match[str]) -> float | None:
    """Return the depth in metres of "1/8IN", "1 1/2IN", "2IN" or "1FT"."""
    if match["unit"] is None or (match["whole"] is None and match["top"] is None):
        return None
    unit = FOOT if match["unit"] == "FT" else _INCH
    whole = float(match["whole"] or 0)
    part = 0.0 if match["top"] is None else float(match["top"]) / float(match["bottom"])
    return (whole + part) * unit


def _most_slippery(runway: str, some: list[ThirdCondition], warnings: list[str]) -> ThirdCondition:
    """Return the contaminant with the lowest matrix code where a third lists several."""
    if len(some) == 1:
        return some[0]
    names = " and ".join(one.reported_as or one.descriptor or "" for one in some)
    if any(one.descriptor is None for one in some):
        warnings.append(f"Runway {runway}: a third lists {names}; only its code is used.")
        return ThirdCondition(None, None, None, None, reported_as=names)
    warnings.append(f"Runway {runway}: a third lists {names}; the most slippery of them is shown.")
    return min(some, key=lambda one: min(matrix_codes(one.descriptor, one.depth)) if one.descriptor else 9)
