"""The answer to "are these scenario files in order?" as plain values."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from groundroll.errors import ScenarioError
from groundroll.outputs.caution import cautions
from groundroll.scenario.day import Day
from groundroll.scenario.model import Aircraft, Runway
from groundroll.scenario.read import read_any


def check_json(files: Iterable[Path], overrides: Sequence[str] = ()) -> dict[str, Any]:
    """Return for each file whether it is in order, what it is, and every problem found; nothing is computed."""
    results: list[dict[str, Any]] = []
    invented = False
    for file in files:
        try:
            found = _describe(read_any(file, overrides))
        except ScenarioError as error:
            results.append({"file": str(file), "valid": False, "problems": str(error).splitlines()})
            continue
        invented = invented or found.pop("invented")
        results.append({"file": str(file), "valid": True, **found, "problems": []})
    return {"format": 1, "files": results, "cautions": cautions(invented=invented)}


def _describe(found: Any) -> dict[str, Any]:
    if isinstance(found, Aircraft):
        return {"kind": "aircraft", "title": found.name, "remarks": [], "invented": found.invented}
    if isinstance(found, Runway):
        title = f"{found.aerodrome} {'/'.join(sorted(found.directions))}"
        return {"kind": "runway", "title": title, "remarks": [], "invented": False}
    invented = found.aircraft.invented
    kind = "day" if isinstance(found, Day) else "case"
    return {"kind": kind, "title": found.title, "remarks": list(found.remarks), "invented": invented}
