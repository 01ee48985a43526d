"""SNOWTAM messages and single runway condition lines in the Global Reporting Format.

Grammar: Reg. (EU) 2022/938, Appendix 3 (items A to P) and Reg. (EU) 2021/1338, Annex V, Appendix 3 (heading). What
published messages vary in is accepted: brackets, aerodrome on each line or once, broken lines, small letters.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from groundroll.errors import ReportError
from groundroll.reports.checks import check_runway
from groundroll.reports.model import ConditionReport, Direction, RunwayCondition, ThirdCondition, runway_designator
from groundroll.reports.situational import has_phrase, read_situational
from groundroll.reports.text import CleanText, list_in_words, shown
from groundroll.reports.times import check_time, minutes_later, time_in_words
from groundroll.reports.wording import AT_MOST_DEPTH, CONDITION_WORDS

_MAXIMUM_LINES = 40
"""More runway lines than this are not one report. Assumption of this project."""

_MAXIMUM_HEADING_WORDS = 60
"""Words before the first runway line that are looked at one by one. Assumption of this project."""

_VALUE = r"(?:[0-9]{1,4}|NR|-{1,3})"
_TRIPLET = re.compile(rf"\s?({_VALUE})\s?/\s?({_VALUE})\s?/\s?({_VALUE})(?![A-Z0-9/])", re.ASCII)
_START = re.compile(
    r"(?<![A-Z0-9/.])(?:(?P<aerodrome>[A-Z]{4})\s)?(?P<time>[0-9]{6,12})Z?\s(?:(?:RWY|RUNWAY)\s?)?"
    r"(?P<runway>[0-9]{1,2}[LCR]?)(?:/(?P<other>[0-9]{1,2}[LCR]?))?\s(?=[0-9A-Z\-]{1,4}\s?/)",
    re.ASCII,
)
_UNTIMED_START = re.compile(
    r"(?:\A|(?<=\n))(?:(?P<aerodrome>[A-Z]{4})\s)?(?P<time>)(?:(?:RWY|RUNWAY)\s?)?"
    r"(?P<runway>[0-9]{1,2}[LCR]?)(?:/(?P<other>[0-9]{1,2}[LCR]?))?\s"
    rf"(?=(?:[0-9]|NR)/(?:[0-9]|NR)/(?:[0-9]|NR)\s{_VALUE}/{_VALUE}/{_VALUE})",
    re.ASCII,
)
_WORD = re.compile(
    r"\s?("
    + "|".join(word.replace(" ", r"\s") for word in sorted(CONDITION_WORDS, key=len, reverse=True))
    + r"|NR)(?![A-Z0-9])",
    re.ASCII,
)
_UNKNOWN_BEFORE_STROKE = re.compile(r"\s?(?!(?:RWY|TWYS?|APRON|ALL)\s)([A-Z][A-Z \-]{0,40}?)(?=\s?/)", re.ASCII)
_UNKNOWN_LAST = re.compile(r"\s?(?!(?:RWY|TWYS?|APRON|ALL)\s)([A-Z][A-Z\-]{0,40})(?![A-Z0-9/])", re.ASCII)
_STROKE = re.compile(r"\s?/")
_WIDTH = re.compile(r"\s([0-9]{2})(?=[\s.)]|\Z)", re.ASCII)

_HEADING_WORD = re.compile(r"SW([A-Z]{2})([0-9]{4})", re.ASCII)
_SECOND_MESSAGE = re.compile(r"[\n(=]\s?(?:SW[A-Z]{2}[0-9]{4}\s|SNOWTAM\s[0-9]{4})", re.ASCII)
_OLD_ITEM = re.compile(r"(?<![A-Z0-9])([A-HJ-NPR-T])\)\s?(?=[A-Z0-9])", re.ASCII)
_OLD_VALUES = {"aerodrome": re.compile(r"\bA\)\s?([A-Z]{4})\b"), "runway": re.compile(r"\bC\)\s?([0-9]{2}[LCR]?)\b")}
_SERIAL = re.compile(r"SNOWTAM\s([0-9]{4})\b")


@dataclass
class _Heading:
    """What stands before the first runway line; the aerodrome of the heading, and the one on the line before."""

    aerodrome: str | None = None
    body_aerodrome: str | None = None
    serial: str | None = None
    correction: bool = False
    heading_time: str | None = None
    state: str | None = None
    priority: str | None = None
    addresses: list[str] = field(default_factory=list)
    filed: str | None = None
    originator: str | None = None
    is_snowtam: bool = False
    warnings: list[str] = field(default_factory=list)
    not_understood: list[str] = field(default_factory=list)


@dataclass
class _Line:
    """One runway line: what was read, where it ends, and what was odd."""

    runway: RunwayCondition
    end: int
    warnings: list[str]
    not_understood: list[str]


def has_runway_line(capitals: str) -> bool:
    """Tell whether the word SNOWTAM or a runway line with its time stands in a text in capitals."""
    return re.search(r"\bSNOWTAM\b", capitals) is not None or _START.search(capitals) is not None


def looks_like_snowtam(capitals: str) -> bool:
    """Tell whether a text in capitals is a SNOWTAM, a runway condition line, or a situational awareness section."""
    return (
        has_runway_line(capitals)
        or re.search(r"\bSW[A-Z]{2}[0-9]{4}\b", capitals) is not None
        or _old_format(capitals)
        or _UNTIMED_START.search(capitals) is not None
        or has_phrase(capitals)
    )


def read_snowtam(raw: str, cleaned: CleanText) -> ConditionReport:
    """Return what a SNOWTAM or a runway condition line says.

    Raises
    ------
    ReportError
        If it is in the lettered format used before November 2021, or a mandatory part cannot be read.
    """
    text, capitals = cleaned.text, cleaned.capitals
    if _old_format(capitals):
        raise ReportError(_old_format_message(capitals))
    starts = list(_START.finditer(capitals)) or list(_UNTIMED_START.finditer(capitals))
    if len(starts) > _MAXIMUM_LINES:
        raise ReportError(f"The text has {len(starts)} runway lines; one report has {_MAXIMUM_LINES} at most.")
    if starts and (second := _SECOND_MESSAGE.search(capitals, starts[0].start())) is not None:
        raise ReportError(
            f"The text holds more than one SNOWTAM (the next begins {shown(text[second.start() :].strip(), 30)}). "
            "Give one; each new one cancels the one before."
        )
    is_section = not starts and _HEADING_WORD.search(capitals) is None and "SNOWTAM" not in capitals
    if not starts and not (is_section and has_phrase(capitals)):
        raise ReportError(
            "The report has no runway line that can be read. A line has the time (MMDDhhmm), the runway and three "
            'codes: "02170055 09L 5/5/5 100/100/100 NR/NR/NR WET/WET/WET".'
        )
    heading = _read_heading(text[: starts[0].start()] if starts else "")
    lines: list[_Line] = []
    warnings, not_understood = [*cleaned.warnings, *heading.warnings], list(heading.not_understood)
    sections: list[tuple[int, int]] = [] if starts else [(0, len(text))]
    for number, start in enumerate(starts):
        line = _read_line(text, capitals, start)
        stop = starts[number + 1].start() if number + 1 < len(starts) else len(text)
        if line.end > stop:
            raise ReportError(f"The line of runway {line.runway.runway} runs into the next one.")
        sections.append((line.end, stop))
        lines.append(line)
    situational = []
    for begin, stop in sections:
        begin, stop = _without_brackets(capitals, begin, stop)
        items, complaints, damaged = read_situational(text[begin:stop], capitals[begin:stop])
        situational += items
        not_understood += damaged
        warnings += complaints
    named = (heading.aerodrome, heading.body_aerodrome, *(line.runway.aerodrome for line in lines))
    aerodrome = next((name for name in named if name is not None), None)
    runways = tuple(_with_aerodrome(line.runway, aerodrome) for line in lines)
    for line, runway in zip(lines, runways, strict=True):
        warnings += [*line.warnings, *check_runway(runway, steps=True)]
        not_understood += line.not_understood
    warnings += _check_message(heading, aerodrome, runways)
    return ConditionReport(
        kind="SNOWTAM" if heading.is_snowtam else "RCR line",
        raw=raw,
        runways=runways,
        situational=tuple(situational),
        warnings=tuple(warnings),
        not_understood=tuple(not_understood),
        aerodrome=aerodrome,
        serial=heading.serial,
        correction=heading.correction,
        heading_time=heading.heading_time,
        state=heading.state,
        priority=heading.priority,
        addresses=tuple(heading.addresses),
        filed=heading.filed,
        originator=heading.originator,
    )


def _old_format(capitals: str) -> bool:
    """Tell whether the lettered items of the format used before November 2021 occur."""
    letters = {match[1] for match in _OLD_ITEM.finditer(capitals)}
    return len(letters) >= 2 and bool(letters & {"A", "B", "C"})


def _old_format_message(capitals: str) -> str:
    """Return the sentence that refuses a lettered SNOWTAM, naming what it is about."""
    serial = _SERIAL.search(capitals)
    names = {key: pattern.search(capitals) for key, pattern in _OLD_VALUES.items()}
    about = "" if serial is None else f" {serial[1]}"
    about += "" if names["aerodrome"] is None else f" of {names['aerodrome'][1]}"
    about += "" if names["runway"] is None else f", runway {names['runway'][1]},"
    return (
        f"SNOWTAM{about} is in the lettered format A) B) C) F) used before November 2021: it has no runway condition "
        "codes, and none are derived from it."
    )


def _read_heading(text: str) -> _Heading:
    """Read everything before the first runway line, word by word."""
    heading = _Heading()
    words = text.replace("(", " ").replace(")", " ").split()
    if len(words) > _MAXIMUM_HEADING_WORDS:
        heading.not_understood.append(" ".join(words[:-_MAXIMUM_HEADING_WORDS]))
        words = words[-_MAXIMUM_HEADING_WORDS:]
    expect_serial = after_heading_word = False
    for number, word in enumerate(words, 1):
        capital = word.upper()
        was_expected, expect_serial = expect_serial, False
        swift = _HEADING_WORD.fullmatch(capital)
        if capital == "SNOWTAM":
            heading.is_snowtam = expect_serial = True
        elif swift is not None:
            heading.is_snowtam, heading.state = True, swift[1]
            _set_serial(heading, swift[2])
        elif was_expected and re.fullmatch(r"[0-9]{4}", capital, re.ASCII):
            _set_serial(heading, capital)
        elif capital == "COR":
            heading.correction = True
        elif capital in ("GG", "SS", "DD", "FF", "KK") and heading.priority is None:
            heading.priority = capital
        elif capital in ("ZCZC", "NNNN"):
            continue
        elif re.fullmatch(r"[A-Z]{8}", capital, re.ASCII) and not heading.is_snowtam:
            if heading.filed is None:
                heading.addresses.append(capital)
            else:
                heading.originator = capital
        elif re.fullmatch(r"[0-9]{6}", capital, re.ASCII) and heading.filed is None and not heading.is_snowtam:
            heading.filed = capital
        elif re.fullmatch(r"[0-9]{8}", capital, re.ASCII) and heading.heading_time is None:
            _eight_figures(capital)
            heading.heading_time = capital
        elif re.fullmatch(r"[A-Z]{4}", capital, re.ASCII) and after_heading_word:
            heading.aerodrome = capital
        elif re.fullmatch(r"[A-Z]{4}", capital, re.ASCII) and number == len(words):
            heading.body_aerodrome = capital
        elif capital != heading.aerodrome:
            heading.not_understood.append(word)
        after_heading_word = swift is not None
    return heading


def _set_serial(heading: _Heading, serial: str) -> None:
    """Keep the serial number and warn where the heading and the message differ."""
    if heading.serial is not None and heading.serial != serial:
        heading.warnings.append(f"The heading has serial number {heading.serial}, the message {serial}.")
    heading.serial = heading.serial or serial


def _eight_figures(text: str) -> tuple[int, int, int, int]:
    """Return month, day, hour and minute of MMDDhhmm; refuse anything else."""
    if len(text) != 8:
        raise ReportError(f"{shown(text)} is not a time of assessment: eight figures are needed, MMDDhhmm in UTC.")
    month, day, hour, minute = (int(text[at : at + 2]) for at in (0, 2, 4, 6))
    check_time(month, day, hour, minute, text)
    return month, day, hour, minute


def _triplet(capitals: str, position: int) -> tuple[tuple[str, str, str], int] | None:
    """Return three values parted by strokes and where they end, or None."""
    match = _TRIPLET.match(capitals, position)
    return None if match is None else ((match[1], match[2], match[3]), match.end())


def _read_line(text: str, capitals: str, start: re.Match[str]) -> _Line:
    """Read one runway line from its time to its width."""
    warnings: list[str] = []
    not_understood: list[str] = []
    runway = runway_designator(start["runway"])
    moment = _eight_figures(start["time"]) if start["time"] else None
    if moment is None:
        warnings.append(f"Runway {runway}: the time of assessment is missing.")
    direction: Direction = "lower designator"
    if start["other"] is not None:
        other = runway_designator(start["other"])
        runway = min(runway, other)
    elif int(runway[:2]) > 18:
        direction = "as named"
        warnings.append(
            f"Runway {runway}: a report names the lower designator only; the thirds are taken to begin at the "
            f"threshold of {runway}. Ask which end is meant."
        )
    codes = _triplet(capitals, start.end())
    if codes is None:
        piece = text[start.end() : start.end() + 40].split("\n")[0]
        raise ReportError(f"The line of runway {runway} has no three codes n/n/n where {shown(piece)} stands.")
    position = codes[1]
    triplets: list[tuple[str, str, str]] = []
    while len(triplets) < 2 and (found := _triplet(capitals, position)) is not None:
        triplets.append(found[0])
        position = found[1]
    coverage, depth, complaints = _coverage_and_depth(runway, triplets)
    warnings += complaints
    words, position, complaints = _condition_words(runway, capitals, position, not_understood)
    warnings += complaints
    width_match = _WIDTH.match(capitals, position)
    width: float | None = None
    if width_match is not None:
        position = width_match.end()
        width = float(width_match[1]) or None
        if width is None:
            warnings.append(f"Runway {runway}: width 00 cannot be; the width is taken as not reported.")
    first, middle, last = (
        _third(runway, code, share, deep, word)
        for code, share, deep, word in zip(codes[0], coverage, depth, words, strict=True)
    )
    month, day, hour, minute = moment or (None, None, None, None)
    thirds = (first, middle, last)
    condition = RunwayCondition(
        start["aerodrome"], runway, thirds, month, day, hour, minute, width=width, direction=direction
    )
    return _Line(condition, position, warnings, not_understood)


def _coverage_and_depth(
    runway: str, triplets: list[tuple[str, str, str]]
) -> tuple[tuple[str, ...], tuple[str, ...], list[str]]:
    """Tell coverage from depth: coverage comes first, and of one triplet 06 can only be a depth."""
    missing = ("NR", "NR", "NR")
    if len(triplets) == 2:
        return triplets[0], triplets[1], []
    if not triplets:
        return missing, missing, []
    only = triplets[0]
    if all(value in ("25", "50", "75", "100", "NR") for value in only):
        if set(only) == {"NR"}:
            return missing, missing, []
        sentence = f'Runway {runway}: only one of coverage and depth is given; "{"/".join(only)}" is read as coverage.'
        return only, missing, [sentence]
    sentence = f'Runway {runway}: only one of coverage and depth is given; "{"/".join(only)}" is read as depth.'
    return missing, only, [sentence]


def _condition_words(
    runway: str, capitals: str, position: int, not_understood: list[str]
) -> tuple[tuple[str | None, str | None, str | None], int, list[str]]:
    """Read the condition words (item G) and tell where they end."""
    words: list[str | None] = []
    end = position
    while len(words) < 4:
        match = _WORD.match(capitals, end)
        if match is not None:
            word = " ".join(match[1].split())
            words.append(None if word == "NR" else word)
        else:
            match = _UNKNOWN_BEFORE_STROKE.match(capitals, end)
            if match is None and words:
                match = _UNKNOWN_LAST.match(capitals, end)
            if match is None:
                break
            words.append(None)
            not_understood.append(match[1])
        end = match.end()
        stroke = _STROKE.match(capitals, end)
        if stroke is None:
            break
        end = stroke.end()
    if len(words) == 3:
        return (words[0], words[1], words[2]), end, []
    if not words:
        return (None, None, None), position, [f"Runway {runway}: the condition words are missing."]
    if len(words) == 1:
        sentence = f"Runway {runway}: one condition word is given and taken for all three thirds."
        return (words[0], words[0], words[0]), end, [sentence]
    raise ReportError(f"The line of runway {runway} has not three condition words parted by strokes: WET/SLUSH/SLUSH.")


def _third(runway: str, code: str, coverage: str, depth: str, word: str | None) -> ThirdCondition:
    """Turn the texts of one third into numbers; refuse what no report can mean."""
    if code.isdigit() and (len(code) > 1 or int(code) > 6):
        raise ReportError(f"Runway {runway}: code {code} is outside 0 to 6.")
    if coverage.isdigit() and int(coverage) > 100:
        raise ReportError(f"Runway {runway}: coverage {coverage} % is outside 0 to 100 %.")
    if depth.isdigit() and len(depth) > 3:
        raise ReportError(f"Runway {runway}: depth {depth} mm is outside 0 to 999 mm.")
    metres = int(depth) / 1000.0 if depth.isdigit() else None
    loose = word is not None and word.startswith(("SLUSH", "DRY SNOW", "WET SNOW"))
    return ThirdCondition(
        code=int(code) if code.isdigit() else None,
        coverage_percent=int(coverage) if coverage.isdigit() else None,
        depth=metres,
        descriptor=word,
        depth_at_most=metres == AT_MOST_DEPTH and loose,
    )


def _without_brackets(capitals: str, begin: int, end: int) -> tuple[int, int]:
    """Leave out the closing bracket and the end-of-message sign of a section."""
    while True:
        section = capitals[begin:end].rstrip(" \n=")
        end = begin + len(section)
        if section.endswith("NNNN"):
            end -= 4
        elif section.rstrip(".").endswith(")") and section.count(")") > section.count("("):
            end = begin + section.rindex(")")
        else:
            return begin, end


def _with_aerodrome(runway: RunwayCondition, aerodrome: str | None) -> RunwayCondition:
    """Return the runway with the aerodrome of the message where its own line names none."""
    if runway.aerodrome is not None:
        return runway
    return replace(runway, aerodrome=aerodrome)


def _check_message(heading: _Heading, aerodrome: str | None, runways: tuple[RunwayCondition, ...]) -> list[str]:
    """Compare heading and lines: times (latest in the heading), aerodromes, a runway given twice.

    Runways of two aerodromes are refused: runway 09L of the one must not be taken for that of the other.
    """
    found = []
    if aerodrome is None and runways:
        found.append("The report names no aerodrome.")
    named = (aerodrome, heading.body_aerodrome, *(runway.aerodrome for runway in runways))
    different = list(dict.fromkeys(name for name in named if name is not None))
    if len(different) > 1:
        names = list_in_words(different)
        raise ReportError(f"The text has runways of {names}. Give the report of one aerodrome.")
    moments = [runway.moment for runway in runways if runway.moment is not None]
    if heading.heading_time is not None and moments:
        head = _eight_figures(heading.heading_time)
        latest = max(moments, key=lambda moment: minutes_later(head, moment))
        if latest != head:
            found.append(
                f"The heading carries {time_in_words(*head)}, not the latest assessment "
                f"({time_in_words(*latest)}); the time of each line is used."
            )
    given = [runway.runway for runway in runways]
    found += [
        f"Runway {name} is given {given.count(name)} times; the latest line counts."
        for name in dict.fromkeys(given)
        if given.count(name) > 1
    ]
    return found
