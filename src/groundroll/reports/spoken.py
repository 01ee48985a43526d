"""Words of a tower or an information broadcast: "runway 24 wet 5/5/5". The thirds lie in landing direction.

Direction: PANS-ATM (from memory). Where only a word is said and the assessment matrix leaves no choice ("wet"), its
code is used and said so; where depth or temperature would decide, the codes are asked for.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TypeVar

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
from groundroll.reports.times import check_clock
from groundroll.reports.wording import CONDITION_WORDS, OTHER_PILOT_TERMS, PILOT_TERMS, matrix_codes, pilot_term_code

_Value = TypeVar("_Value", int, float, str)

_MAXIMUM_LENGTH = 600
"""Longest text read as spoken words. [characters] Assumption of this project."""

_FIGURES = {
    name: str(value)
    for value, name in enumerate(("ZERO", "ONE", "TWO", "THREE", "FOUR", "FIVE", "SIX", "SEVEN", "EIGHT", "NINE"))
} | {"NINER": "9"}
_SIDES = {"LEFT": "L", "RIGHT": "R", "CENTRE": "C", "CENTER": "C", "L": "L", "R": "R", "C": "C"}
_OTHER_WORDS = {"DAMP": "WET", "SLIPPERY WHEN WET": "SLIPPERY WET"}
"""DAMP is WET by definition: Reg. (EU) 2020/2148 (second-hand)."""

_WORDS = sorted(
    [(tuple(word.split()), word) for word in CONDITION_WORDS]
    + [(tuple(word.split()), meaning) for word, meaning in _OTHER_WORDS.items()],
    key=lambda pair: -len(pair[0]),
)
_TERMS = sorted(
    (tuple(term.split()) for term in (*PILOT_TERMS.values(), *OTHER_PILOT_TERMS)), key=lambda term: -len(term)
)
_FILLERS = frozenset(
    re.findall(
        "[A-Z]+",
        "CONDITION CONDITIONS CODE CODES SURFACE IS ARE AND THE IN ALL THIRDS THIRD FOR LANDING POINT END ZONE REPORT "
        "REPORTED RCR RWYCC RCC COVERAGE DEPTH WITH AT TIME EFFECTIVE OF SECTION SECTIONS STATE RUNWAY RWY",
    )
)
_ORDER = {
    "TOUCHDOWN": 0, "FIRST": 0, "MIDPOINT": 1, "MID": 1, "MIDDLE": 1, "SECOND": 1,
    "ROLLOUT": 2, "ROLL-OUT": 2, "LAST": 2, "STOP": 2, "STOPEND": 2,
}  # fmt: skip
_PERCENT = ("PERCENT", "PRCT", "PCT", "%")
_MILLIMETRES = ("MM", "MILLIMETRE", "MILLIMETRES", "MILLIMETER", "MILLIMETERS")
_CLOCK = re.compile(r"([0-9]{2})([0-9]{2})(Z?)", re.ASCII)
_NAMED = re.compile(r"([0-3]?[0-9])([LCR]?)", re.ASCII)
_NUMBER_UNIT = re.compile(r"([0-9]{1,4})(%|PRCT|MM|Z)", re.ASCII)
_SIGNS = re.compile(r"[/,;:.()!\n]+")


@dataclass
class _Heard:
    """What the words said, gathered from left to right."""

    runway: str = ""
    figures: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    coverage: list[int] = field(default_factory=list)
    depth: list[float] = field(default_factory=list)
    order: list[int] = field(default_factory=list)
    braking: str | None = None
    clock: tuple[int, int] | None = None
    said_code: bool = False
    understood: int = 0
    not_understood: list[str] = field(default_factory=list)


def looks_spoken(capitals: str) -> bool:
    """Tell whether a text in capitals could be words of a tower: a condition word, or three codes."""
    if len(capitals) > _MAXIMUM_LENGTH:
        return False
    tokens = _tokens(capitals)
    if "BRAKING" in tokens or any(_phrase(tokens, at, _WORDS) for at in range(len(tokens))):
        return True
    return any(
        all(len(token) == 1 and token in "0123456789" for token in tokens[at : at + 3]) for at in range(len(tokens) - 2)
    )


def read_spoken(raw: str, cleaned: CleanText) -> ConditionReport:
    """Return what the words of a tower say.

    Raises
    ------
    ReportError
        If there are no three codes (or one word whose code the matrix settles), or most words are not understood.
    """
    if len(cleaned.capitals) > _MAXIMUM_LENGTH:
        raise ReportError(
            f"Spoken words of {len(cleaned.capitals)} characters are too long; {_MAXIMUM_LENGTH} at most."
        )
    heard = _listen(_tokens(cleaned.capitals))
    warnings = list(cleaned.warnings)
    if len(heard.not_understood) > heard.understood:
        unknown = list_in_words([shown(word, 20) for word in heard.not_understood[:4]])
        raise ReportError(
            f'These words are not understood as a runway condition: {unknown}. Say for example "runway 24 wet 5/5/5".'
        )
    if heard.order and heard.order != sorted(heard.order):
        raise ReportError("Give the thirds in the order touchdown, middle, roll-out.")
    words = _of_three(heard.words, "condition words")
    coverage = _of_three(heard.coverage, "coverages")
    depth = _of_three(heard.depth, "depths")
    codes = _codes(heard, words, depth, warnings)
    first, middle, last = (
        ThirdCondition(code, share, deep, word)
        for code, share, deep, word in zip(codes, coverage, depth, words, strict=True)
    )
    hour, minute = heard.clock or (None, None)
    runway = RunwayCondition(None, heard.runway, (first, middle, last), hour=hour, minute=minute, direction="landing")
    situational = []
    if heard.braking is not None:
        situational.append(SituationalItem("T", heard.braking, f"Braking action reported by a pilot: {heard.braking}."))
        felt = pilot_term_code(heard.braking)
        lowest = min(codes)
        if felt is not None and felt < lowest:
            warnings.append(
                f"A pilot reports braking action {heard.braking}, beside code {felt} in the matrix: worse than code "
                f"{lowest}."
            )
    return ConditionReport(
        kind="spoken words",
        raw=raw,
        runways=(runway,),
        situational=tuple(situational),
        warnings=(*warnings, *check_runway(runway, steps=False)),
        not_understood=tuple(heard.not_understood),
    )


def _tokens(capitals: str) -> list[str]:
    """Return the words, with figures spelled as figures and signs left out."""
    return [_FIGURES.get(token, token) for token in _SIGNS.sub(" ", capitals).split()]


def _phrase(tokens: list[str], at: int, phrases: list[tuple[tuple[str, ...], str]]) -> tuple[str, int] | None:
    """Return the meaning and the number of words of the longest phrase that begins here."""
    for words, meaning in phrases:
        if tuple(tokens[at : at + len(words)]) == words:
            return meaning, len(words)
    return None


def _listen(tokens: list[str]) -> _Heard:
    """Gather runway, codes, words and measures from left to right."""
    heard = _Heard()
    at = 0
    while at < len(tokens):
        used = _understand(heard, tokens, at)
        if used == 0:
            heard.not_understood.append(tokens[at])
            used = 1
        else:
            heard.understood += used
        at += used
    return heard


def _understand(heard: _Heard, tokens: list[str], at: int) -> int:
    """Take what begins here; return how many words it has, 0 if it is not understood."""
    token = tokens[at]
    following = tokens[at + 1] if at + 1 < len(tokens) else ""
    if token in ("RUNWAY", "RWY"):
        return 1 + _take_runway(heard, tokens, at + 1)
    if token == "BRAKING":
        return _take_braking(heard, tokens, at)
    phrase = _phrase(tokens, at, _WORDS)
    if phrase is not None:
        heard.words.append(phrase[0])
        return phrase[1]
    measure = _NUMBER_UNIT.fullmatch(token)
    if measure is not None:
        return _take_measure(heard, measure[1], measure[2], 1)
    if token.isascii() and token.isdigit():
        if following in (*_PERCENT, *_MILLIMETRES, "UTC", "ZULU", "Z"):
            return _take_measure(heard, token, following, 2)
        if len(token) == 1:
            heard.figures.append(token)
            return 1
    if not heard.runway and not heard.figures and not heard.words and len(token) > 1 and _NAMED.fullmatch(token):
        heard.runway = runway_designator(token + _SIDES.get(following, ""))
        return 2 if following in _SIDES else 1
    if token in _ORDER:
        heard.order.append(_ORDER[token])
        return 1
    if token in _FILLERS:
        heard.said_code = heard.said_code or token.startswith("CODE") or token in ("RWYCC", "RCC")
        return 1
    return 0


def _take_runway(heard: _Heard, tokens: list[str], at: int) -> int:
    """Take the designator after the word runway; return how many words it has, 0 if there is none."""
    if heard.runway or at >= len(tokens):
        return 0
    token = tokens[at]
    named = _NAMED.fullmatch(token)
    if named is None:
        return 0
    used = 1
    if len(token) == 1:
        run = 1
        while at + run < len(tokens) and len(tokens[at + run]) == 1 and tokens[at + run] in "0123456789":
            run += 1
        if run == 3:
            return 0  # "runway 5 5 5": three codes and no designator
        if run == 2 or run >= 5:
            token, used = token + tokens[at + 1], 2
    side = tokens[at + used] if at + used < len(tokens) else ""
    if side in _SIDES and not named[2]:
        token, used = token + _SIDES[side], used + 1
    heard.runway = runway_designator(token)
    return used


def _take_braking(heard: _Heard, tokens: list[str], at: int) -> int:
    """Take "braking action medium to poor"; return how many words it has."""
    begin = at + 1
    if begin < len(tokens) and tokens[begin] == "ACTION":
        begin += 1
    while begin < len(tokens) and tokens[begin] in ("REPORTED", "IS"):
        begin += 1
    for term in _TERMS:
        if tuple(tokens[begin : begin + len(term)]) == term:
            heard.braking = " ".join(term)
            return begin + len(term) - at
    return 0


def _take_measure(heard: _Heard, number: str, unit: str, used: int) -> int:
    """Take a coverage, a depth or a time of day; return how many words it has, 0 if it cannot be."""
    value = int(number)
    if unit in _PERCENT:
        if value > 100:
            raise ReportError(f"Coverage {value} % is outside 0 to 100 %.")
        heard.coverage.append(value)
        return used
    if unit in _MILLIMETRES:
        if value > 999:
            raise ReportError(f"Depth {value} mm is outside 0 to 999 mm.")
        heard.depth.append(value / 1000.0)
        return used
    clock = _CLOCK.fullmatch(number)
    if clock is None or heard.clock is not None:
        return 0
    check_clock(int(clock[1]), int(clock[2]), number)
    heard.clock = int(clock[1]), int(clock[2])
    return used


def _of_three(values: list[_Value], what: str) -> list[_Value | None]:
    """Return one value for each third: none, one for all, or three."""
    if len(values) == 3:
        return list(values)
    if len(values) > 1:
        raise ReportError(f"{len(values)} {what} are given; give one for the whole runway, or three.")
    return [values[0] if values else None] * 3


def _codes(heard: _Heard, words: list[str | None], depth: list[float | None], warnings: list[str]) -> list[int]:
    """Return three codes: as said, or from the matrix where it leaves no choice."""
    wrong = [figure for figure in heard.figures if int(figure) > 6]
    if wrong:
        raise ReportError(f"Code {wrong[0]} is outside 0 to 6.")
    said = [int(figure) for figure in heard.figures]
    if len(said) == 3:
        return said
    if len(said) == 1 and (heard.said_code or heard.words):
        warnings.append(f"One code is given; {said[0]} is taken for all three thirds.")
        return said * 3
    if said:
        raise ReportError(f"{len(said)} codes are given; give three, touchdown, middle and roll-out: 5/5/5.")
    if not heard.words:
        if heard.braking is not None:
            code = pilot_term_code(heard.braking)
            raise ReportError(
                f"Braking action {heard.braking} is what another crew felt, not a runway condition code (the matrix "
                f"puts it beside code {code}). Ask for the three codes and give them: 5/5/5."
            )
        raise ReportError('The words hold neither three codes nor a condition. Say for example "runway 24 wet 5/5/5".')
    if heard.not_understood:
        unknown = list_in_words([shown(word, 20) for word in heard.not_understood[:4]])
        raise ReportError(f"No codes are given, and {unknown} is not understood; give the three codes: 5/5/5.")
    codes = []
    for word, deep in zip(words, depth, strict=True):
        if word is None:
            raise ReportError("No codes are given; give three, touchdown, middle and roll-out: 5/5/5.")
        allowed = matrix_codes(word, deep)
        if len(allowed) > 1:
            decides = "temperature" if word == "COMPACTED SNOW" else "depth"
            raise ReportError(
                f"{word} alone has no single code: the {decides} decides between "
                f"{' and '.join(str(code) for code in allowed)}. Give the three codes: 5/5/5."
            )
        codes.append(allowed[0])
    source = list_in_words(list(dict.fromkeys(f"{code} for {word}" for code, word in zip(codes, words, strict=True))))
    warnings.append(f"No codes are given; the assessment matrix gives {source}.")
    return codes
