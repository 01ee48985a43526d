"""Opening a scenario file: every way in which it can fail to be one gives one clear message."""

from __future__ import annotations

import tomllib
from copy import deepcopy
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from groundroll.errors import ScenarioError

LARGEST_FILE: Final = 1_000_000
"""Largest scenario file read. [bytes] Assumption of this project: a large aircraft file has a hundredth of it."""

MOST_DOTS_IN_A_LINE: Final = 1_000
"""A line with more dots is no scenario: it keeps nested keys, which are slow to read, to a sensible number."""


def load(path: Path) -> dict[str, Any]:
    """Return the content of a TOML file.

    Raises
    ------
    ScenarioError
        If there is no such file, it is a folder, too large, not text in UTF-8, or not TOML.
    """
    name = _printable(str(path))
    try:
        if path.is_dir():
            raise ScenarioError(f"{name} is a folder; name a file in it, such as {name}/case.toml.")
        if path.exists() and not path.is_file():
            raise ScenarioError(f"{name} is not an ordinary file.")
        size = path.stat().st_size
        if size > LARGEST_FILE:
            raise ScenarioError(
                f"{name} has {size / 1e6:.1f} MB; a scenario file has at most {LARGEST_FILE / 1e6:.0f} MB. "
                "Is it the right file?"
            )
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    except FileNotFoundError as error:
        raise ScenarioError(f"{name}: there is no such file.{_near(path)}") from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise ScenarioError(f"{name} cannot be read: {reason}.") from error
    return parse(content, path.name)


def _printable(name: str) -> str:
    """Return a path for a message, its end where it is very long."""
    text = "".join(character if character.isprintable() else "?" for character in name)
    return text if len(text) <= 300 else "..." + text[-297:]


def _near(path: Path) -> str:
    """Return a hint with the nearest file name in the same folder."""
    import difflib

    if not path.parent.is_dir():
        return f" The folder {_printable(str(path.parent))} does not exist either."
    names = sorted(one.name for one in path.parent.iterdir() if one.suffix == ".toml")
    near = difflib.get_close_matches(path.name, names, n=1)
    return f" Was {near[0]} meant?" if near else ""


def parse(content: bytes, name: str) -> dict[str, Any]:
    """Return the TOML in the bytes of a file; ``name`` is used in messages."""
    return deepcopy(_parsed(content, name))


@lru_cache(maxsize=16)
def _parsed(content: bytes, name: str) -> dict[str, Any]:
    """Return the TOML once for the same bytes: a what-if reads the same aircraft and runway again and again."""
    if len(content) > LARGEST_FILE:
        raise ScenarioError(f"{name} is larger than {LARGEST_FILE / 1e6:.0f} MB. Is it the right file?")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise ScenarioError(
            f"{name}, line {line}: is not text in UTF-8. Save the file as UTF-8, or is it the right file?"
        ) from error
    if any(line.count(".") > MOST_DOTS_IN_A_LINE for line in text.splitlines()):
        raise ScenarioError(f"{name} is not a scenario file: a line has more than {MOST_DOTS_IN_A_LINE} dots.")
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise ScenarioError(f"{name} is not a scenario file: brackets are nested too deeply.") from error
    except ValueError as error:  # TOMLDecodeError is one; a number of thousands of digits gives another
        reason = _printable(str(error))[:100].rstrip(".")
        raise ScenarioError(f"{name} is not valid TOML: {reason}. Texts and quantities stand in quotes.") from error
