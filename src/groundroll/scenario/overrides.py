"""`--set key=value`: one input changed without touching the file.

`landing.mass=60 t` changes the case; a key that begins with `aircraft.` or `runway.` reaches into the file the case
names. `runway.slope` and the other values of a direction are understood for the landing direction.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

from groundroll.errors import ScenarioError
from groundroll.scenario.model import RunwayDirection
from groundroll.scenario.quantity import shown

File = Literal["case", "aircraft", "runway"]

_REPLACES: Final = {
    "condition.report": ("codes", "descriptors", "depths", "coverage"),
    "condition.codes": ("report",),
    "landing.speed_additive": ("approach_speed",),
    "landing.approach_speed": ("speed_additive",),
}
"""A value given with --set takes the place of those that exclude it."""


@dataclass(frozen=True)
class Override:
    """One --set: which file, the parts of the key inside it, the value, and the key as written."""

    file: File
    parts: tuple[str, ...]
    value: Any
    written: str


def read_override(text: str) -> Override:
    """Return what a `key=value` says.

    Examples
    --------
    >>> read_override("landing.mass=60 t").value
    '60 t'
    >>> read_override("condition.codes=[5, 5, 3]").value
    [5, 5, 3]
    """
    key, equals, value = text.partition("=")
    key = key.strip()
    if not equals or not key:
        raise ScenarioError(f'--set {shown(text)}: write key=value, for instance --set "landing.mass=60 t".')
    parts = _key_parts(key, text)
    file: File = "case"
    if len(parts) > 1 and parts[0] in ("aircraft", "runway"):
        file = "aircraft" if parts[0] == "aircraft" else "runway"
        parts = parts[1:]
    return Override(file, parts, _value(value.strip()), key)


def _key_parts(key: str, text: str) -> tuple[str, ...]:
    """Split a dotted key as TOML does, so that a quoted part may hold a dot."""
    try:
        found: Any = tomllib.loads(f"{key[:200]} = 0") if "\n" not in key and "=" not in key else None
    except ValueError:
        found = None
    if not isinstance(found, dict) or len(found) != 1:
        raise ScenarioError(f"--set {shown(text)}: {shown(key)} is not a key. Write it with dots: landing.mass.")
    parts = []
    while isinstance(found, dict):
        ((part, found),) = found.items()
        parts.append(part)
    return tuple(parts)


def _value(text: str) -> Any:
    """Return number, truth value, text or list as TOML reads it; anything else is the text itself."""
    try:
        found = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return text
    value = found.get("value")
    plain = isinstance(value, bool | int | float | str | list)
    return value if len(found) == 1 and plain else text


def apply(override: Override, data: dict[str, Any]) -> None:
    """Put the value of an override into the content of its file."""
    section = data
    for part in override.parts[:-1]:
        inner = section.setdefault(part, {})
        if not isinstance(inner, dict):
            raise ScenarioError(f"--set {override.written}: {shown(part)} is a value, not a section.")
        section = inner
    for other in _REPLACES.get(override.written, ()):
        section.pop(other, None)
    section[override.parts[-1]] = override.value


def apply_to_runway(override: Override, data: dict[str, Any], direction: object) -> str:
    """Put the value of a `runway.` override into the content of the runway file; return the full key.

    A slope given for one direction takes the place of that of the other, which is the same with the sign changed.
    """
    parts = override.parts
    if len(parts) == 1 and parts[0] in RunwayDirection.model_fields:
        if not isinstance(direction, str):
            raise ScenarioError(f"--set {override.written}: the case names no landing direction.")
        parts = ("directions", direction, parts[0])
    directions = data.get("directions")
    if len(parts) == 3 and parts[0] == "directions" and isinstance(directions, dict):
        if parts[1] not in directions:
            raise ScenarioError(
                f"--set {override.written}: runway direction {shown(parts[1])} is not in the runway file."
            )
        if parts[2] == "slope":
            for name, values in directions.items():
                if name != parts[1] and isinstance(values, dict):
                    values.pop("slope", None)
    apply(Override("runway", parts, override.value, override.written), data)
    return ".".join(("runway", *parts))


def read_overrides(texts: Sequence[str]) -> list[Override]:
    """Return all overrides in order; raise one `ScenarioError` for all that cannot be read."""
    found, wrong = [], []
    for text in texts:
        try:
            found.append(read_override(text))
        except ScenarioError as error:
            wrong.append(str(error))
    if wrong:
        raise ScenarioError("\n".join(wrong[:10]))
    return found
