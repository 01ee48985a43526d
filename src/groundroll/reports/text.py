"""Text of a report made safe to read: length, control characters, spaces, and short quotations for messages."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from groundroll.errors import ReportError

MAXIMUM_LENGTH: Final = 20_000
"""Longest text that is looked at. [characters] Assumption of this project: the longest message fits many times over."""

_NEWLINES = dict.fromkeys((0x0A, 0x0B, 0x0C, 0x0D, 0x85, 0x2028, 0x2029), "\n")
_CONTROLS = {number: " " for number in (*range(0x20), *range(0x7F, 0xA0)) if number not in _NEWLINES and number != 0x09}
_SPACES = dict.fromkeys((0x09, 0xA0, 0x1680, *range(0x2000, 0x200B), 0x202F, 0x205F, 0x3000), " ")
_INVISIBLE: dict[int, str] = dict.fromkeys((0xAD, 0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF), "")
_DASHES = dict.fromkeys((*range(0x2010, 0x2016), 0x2212), "-")
_STROKES = dict.fromkeys((0x2044, 0x2215), "/")
_TABLE: dict[int, str] = {**_NEWLINES, **_CONTROLS, **_SPACES, **_INVISIBLE, **_DASHES, **_STROKES}
_CAPITALS = {ord("a") + step: ord("A") + step for step in range(26)}
_BLANKS = re.compile(r" {2,}")
_LINE_ENDS = re.compile(r" ?\n[ \n]*")


class CleanText(NamedTuple):
    """A text with single spaces and single line ends, its capitals letter for letter, and what was odd about it."""

    text: str
    capitals: str
    warnings: tuple[str, ...]


def clean(text: str) -> CleanText:
    """Return the text with single spaces and line ends; refuse what is too long or empty.

    Control characters count as spaces and are mentioned. Only the letters a to z are made capitals, so that
    `CleanText.capitals` has the length of `CleanText.text`.

    Raises
    ------
    ReportError
        If the text is not text, is empty, or is longer than `MAXIMUM_LENGTH`.

    Examples
    --------
    >>> clean("  wet \\t 5/5/5 ").capitals
    'WET 5/5/5'
    """
    if not isinstance(text, str):
        raise ReportError(f"A report must be text; a value of type {type(text).__name__} was given.")
    if len(text) > MAXIMUM_LENGTH:
        raise ReportError(
            f"The text has {len(text)} characters; a report has {MAXIMUM_LENGTH} at most. Give one report at a time."
        )
    plain = _LINE_ENDS.sub("\n", _BLANKS.sub(" ", text.translate(_TABLE))).strip()
    if not plain:
        raise ReportError("The report is empty. Give the text of a METAR or of a runway condition report.")
    found = any(ord(character) in _CONTROLS for character in text)
    warnings = ("The text holds control characters; they were read as spaces.",) if found else ()
    return CleanText(plain, plain.translate(_CAPITALS), warnings)


def shown(text: str, length: int = 60) -> str:
    """Return a text in quotation marks for a message, cut to a length and with nothing unprintable in it."""
    line = " ".join(text.split())
    cut = line if len(line) <= length else line[: length - 3].rstrip() + "..."
    return '"' + "".join(character if character.isprintable() else "?" for character in cut) + '"'


def list_in_words(items: list[str] | tuple[str, ...]) -> str:
    """Return items as a sentence names them.

    Examples
    --------
    >>> list_in_words(["09L", "09R", "09C"])
    '09L, 09R and 09C'
    """
    if len(items) < 2:
        return "".join(items)
    return ", ".join(items[:-1]) + " and " + items[-1]
