"""Messages about scenario files: all problems of a read collected, one line each, in the words of the user's file."""

from __future__ import annotations

import difflib
import types
from collections.abc import Collection, Iterable
from typing import Annotated, Any, Final, Union, get_args, get_origin, get_type_hints

from pydantic import ValidationError

from groundroll.errors import ScenarioError
from groundroll.scenario.model import Section
from groundroll.scenario.quantity import shown

MOST_LINES: Final = 10
"""Problems shown at once; more are counted."""


class Problems:
    """Collects what is wrong with the files of one read."""

    def __init__(self, overridden: Collection[str] = ()) -> None:
        self.lines: list[str] = []
        self._overridden = overridden

    def add(self, file: str, key: str, text: str, *, prefix: str = "") -> None:
        """Add a problem; a key given with --set is said to come from there. ``prefix`` is "aircraft." or "runway."."""
        if key and prefix + key in self._overridden:
            where = f"--set {prefix}{key}"
        else:
            where = f"{file}, {key}" if key else file
        line = f"{where}: {text}"
        if line not in self.lines:
            self.lines.append(line)

    def raise_if_any(self) -> None:
        """Raise one `ScenarioError` with all problems, if there is one."""
        if not self.lines:
            return
        lines = self.lines[:MOST_LINES]
        if len(self.lines) > MOST_LINES:
            lines.append(f"... and {len(self.lines) - MOST_LINES} more.")
        raise ScenarioError("\n".join(lines))

    def add_validation(self, error: ValidationError, model: type[Section], file: str, prefix: str = "") -> None:
        """Add the errors of a validation by Pydantic in our words."""
        for one in error.errors(include_url=False):
            location = tuple(part for part in one["loc"] if part != "[key]")
            self.add(file, dotted(location), _explain(dict(one), location, model), prefix=prefix)


def nearest(word: str, known: Iterable[str]) -> str:
    """Return a hint naming the nearest known word, or all of them where none is near and the list is short."""
    names = list(known)
    near = difflib.get_close_matches(word[:80], names, n=1, cutoff=0.6)
    if near:
        return f'Was "{near[0]}" meant?'
    return "Known here: " + ", ".join(names) + "." if 0 < len(names) <= 20 else ""


def dotted(location: Iterable[str | int]) -> str:
    """Return where a value stands: `directions.07.exits entry 2, distance`."""
    text = ""
    for part in location:
        if isinstance(part, int):
            text += f" entry {part + 1},"
        else:
            part = part if len(part) <= 60 else part[:57] + "..."
            part = "".join(one if one.isprintable() else "?" for one in part)
            text += f" {part}" if text.endswith(",") else f".{part}" if text else part
    return text.rstrip(",")


def _inner(annotation: Any) -> Any:
    """Return the type inside `Annotated[...]` and `... | None`."""
    while True:
        origin = get_origin(annotation)
        if origin is Annotated:
            annotation = get_args(annotation)[0]
        elif origin in (Union, types.UnionType):
            annotation = next(one for one in get_args(annotation) if one is not type(None))
        else:
            return annotation


def _model_at(model: type[Section], location: Iterable[str | int]) -> type[Section] | None:
    """Return the model of the section at a place in the file, None where there is none."""
    found: Any = model
    for part in location:
        found = _inner(found)
        if isinstance(found, type) and issubclass(found, Section):
            found = get_type_hints(found, include_extras=True).get(str(part))
        elif get_origin(found) in (dict, list, tuple):
            found = get_args(found)[1 if get_origin(found) is dict else 0]
        else:
            return None
    found = _inner(found)
    return found if isinstance(found, type) and issubclass(found, Section) else None


_KINDS: Final = {
    "string_type": "a text in quotes",
    "int_type": "a whole number",
    "bool_type": "true or false",
    "list_type": "a list in [ ]",
    "tuple_type": "a list in [ ]",
    "dict_type": "a section",
    "model_type": "a section",
    "model_attributes_type": "a section",
}


def _explain(error: dict[str, Any], location: tuple[str | int, ...], model: type[Section]) -> str:
    kind, context, value = error["type"], error.get("ctx", {}), error.get("input")
    given = shown(value) if isinstance(value, str | int | float | bool) else "this value"
    parent = _model_at(model, location[:-1])
    name = str(location[-1]) if location else ""
    if kind == "missing" and parent is not None:
        field = parent.model_fields[name]
        what = "the section is missing" if _model_at(model, location) is not None else "is missing"
        return f"{what}. {field.description}"
    if kind == "extra_forbidden" and parent is not None:
        what = "is not a section known here" if isinstance(value, dict) else "is not a key known here"
        return f"{what}. {nearest(name, parent.model_fields)}".strip()
    if kind in _KINDS:
        return f"{given} is not {_KINDS[kind]}."
    if kind == "value_error":
        return str(context["error"])
    if kind == "literal_error":
        expected = str(context["expected"]).replace("'", '"')
        return f"{given} is not allowed. Write {expected}."
    if kind in ("greater_than_equal", "less_than_equal"):
        bound, text = (
            ("ge", "below the least allowed") if kind == "greater_than_equal" else ("le", "above the greatest")
        )
        return f"{given} is {text}, {context[bound]}."
    if kind in ("too_short", "too_long") and isinstance(value, str):
        kind = f"string_{kind}"
    if kind in ("too_short", "too_long"):
        count = context["actual_length"] if context["actual_length"] is not None else "too many"
        limit = f"at least {context['min_length']}" if kind == "too_short" else f"at most {context['max_length']}"
        return (
            f"has {count} entries; {limit} are needed." if kind == "too_short" else f"has {count} entries; {limit} fit."
        )
    if kind == "string_too_short":
        return "is empty."
    if kind == "string_too_long":
        return f"is longer than {context['max_length']} characters."
    if kind == "string_pattern_mismatch":
        return f"{given} is not four capital letters."
    return str(error["msg"])
