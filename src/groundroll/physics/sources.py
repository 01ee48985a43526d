"""Where each number comes from, and how far it has been checked.

Every value in the data files names a key of ``data/sources.toml``; results carry these keys, and outputs print what
stands behind them.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Literal, TypeAlias, cast, get_args

Status: TypeAlias = Literal[
    "confirmed",
    "second-hand",
    "from memory",
    "derived",
    "common practice, no source",
    "assumption of this project",
]

STATUSES: tuple[str, ...] = get_args(Status)
"""The six statuses a source can have."""


@dataclass(frozen=True)
class Source:
    """One published text, or one decision of this project, behind a number."""

    document: str
    """Title or number of the document; "groundroll" for a decision of this project."""
    paragraph: str
    """Paragraph, table or page."""
    status: Status
    """How far the number has been checked against the document."""
    note: str = ""
    """What a reader has to know before relying on it."""

    def __str__(self) -> str:
        """Return document, paragraph and status on one line."""
        return f"{self.document}, {self.paragraph} [{self.status}]"


def source_from_table(place: str, table: object) -> Source:
    """Return the source described by a TOML table.

    Parameters
    ----------
    place
        File and key, for the message.
    table
        The parsed table with ``document``, ``paragraph``, ``status`` and, if there is one, ``note``.

    Raises
    ------
    ValueError
        If a key is missing, unknown or not a text, or the status is none of the six.
    """
    if not isinstance(table, dict):
        raise ValueError(f"{place}: {table!r} is not a table with document, paragraph, status and note")
    entries: dict[str, Any] = table
    for name in entries:
        if name not in ("document", "paragraph", "status", "note"):
            raise ValueError(f"{place}.{name}: unknown key; allowed are document, paragraph, status, note")
    for name in ("document", "paragraph", "status"):
        if not isinstance(entries.get(name), str) or not entries[name].strip():
            raise ValueError(f"{place}.{name}: {entries.get(name)!r} is not a text; write one")
    if entries["status"] not in STATUSES:
        raise ValueError(f'{place}.status: "{entries["status"]}" is not one of: {"; ".join(STATUSES)}')
    note = entries.get("note", "")
    if not isinstance(note, str):
        raise ValueError(f"{place}.note: {note!r} is not a text")
    return Source(entries["document"], entries["paragraph"], cast(Status, entries["status"]), note)


@cache
def sources() -> Mapping[str, Source]:
    """Return the registry: every key of ``data/sources.toml`` with its source."""
    text = files("groundroll").joinpath("data", "sources.toml").read_text(encoding="utf-8")
    parsed = tomllib.loads(text)
    return MappingProxyType({key: source_from_table(f"sources.toml, {key}", table) for key, table in parsed.items()})


def source(key: str) -> Source:
    """Return the source registered under ``key``.

    Raises
    ------
    ValueError
        If there is none; the message names the nearest key.

    Examples
    --------
    >>> print(source("cfr-25-109-c-2"))
    14 CFR 25.109, (c)(2), table of efficiency values [confirmed]
    """
    registry = sources()
    if key not in registry:
        nearest = difflib.get_close_matches(key, registry, n=1)
        advice = f'; the nearest is "{nearest[0]}"' if nearest else ""
        raise ValueError(f'source "{key}" is not in data/sources.toml{advice}')
    return registry[key]
