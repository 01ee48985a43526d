"""Writing a scenario as TOML: the content of a form becomes the text of a file that the commands read."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from datetime import date, datetime, time
from typing import Any, Final

from groundroll.errors import ScenarioError

DEEPEST: Final = 12
"""Sections within sections; scenario files have five. Assumption of this project."""

_BARE = re.compile(r"[A-Za-z0-9_-]+\Z")


def to_toml(content: Mapping[str, Any]) -> str:
    """Return the text of a TOML file; keys without a value (None) are left out.

    Raises
    ------
    ScenarioError
        If a value has no form in TOML, or sections are nested too deeply.

    Examples
    --------
    >>> print(to_toml({"format": 1, "landing": {"mass": "62.5 t"}, "sectors": [{"name": "home"}]}))
    format = 1
    <BLANKLINE>
    [landing]
    mass = "62.5 t"
    <BLANKLINE>
    [[sectors]]
    name = "home"
    <BLANKLINE>
    """
    lines: list[str] = []
    _section(content, (), lines)
    return "\n".join(lines).strip("\n") + "\n"


def plain(value: Any) -> Any:
    """Return the content of a TOML file with what JSON lacks written as text: dates, times, numbers not finite."""
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items()}
    if isinstance(value, list):
        return [plain(one) for one in value]
    if isinstance(value, datetime):
        return value.isoformat().replace("+00:00", "Z")
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    return value


def _section(content: Mapping[str, Any], path: tuple[str, ...], lines: list[str]) -> None:
    if len(path) > DEEPEST:
        raise ScenarioError(f"{'.'.join(path[:3])}...: sections are nested more than {DEEPEST} deep.")
    later: list[tuple[str, Any]] = []
    for key, value in content.items():
        if value is None:
            continue
        if isinstance(value, Mapping) or _is_table_list(value):
            later.append((key, value))
        else:
            lines.append(f"{_key(key)} = {_value(value, (*path, key))}")
    for key, value in later:
        inner = (*path, key)
        name = ".".join(_key(one) for one in inner)
        if isinstance(value, Mapping):
            lines += ["", f"[{name}]"]
            _section(value, inner, lines)
            continue
        for one in value:
            lines += ["", f"[[{name}]]"]
            _section(one, inner, lines)


def _is_table_list(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(one, Mapping) for one in value)


def _key(key: str) -> str:
    return key if _BARE.match(key) else _text(key)


def _text(value: str) -> str:
    # A JSON text is a basic string of TOML, but for the delete character, which TOML wants escaped too. A lone
    # surrogate, which no file in UTF-8 can hold, becomes a question mark.
    clean = value.encode("utf-8", "replace").decode("utf-8")
    return json.dumps(clean, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: Any, path: tuple[str, ...]) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, list) and len(path) <= DEEPEST:
        return "[" + ", ".join(_value(one, (*path, "entry")) for one in value) + "]"
    raise ScenarioError(f"{'.'.join(path)}: a {type(value).__name__} has no place in a scenario file here.")
