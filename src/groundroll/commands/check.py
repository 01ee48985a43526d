"""`groundroll check FILES`: are these scenario files in order? Nothing is computed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from groundroll.commands import BAD_INPUT, AsJson, OutputFile, Overrides, emit, emit_json


def check(
    files: Annotated[list[Path], typer.Argument(metavar="FILES...", help="Case, day, runway and aircraft files.")],
    as_json: AsJson = False,
    overrides: Overrides = None,
    output: OutputFile = None,
) -> None:
    """Check scenario files without computing: every problem is named, with the value and what is allowed."""
    from groundroll.errors import ScenarioError
    from groundroll.outputs.caution import cautions
    from groundroll.scenario.read import read_any

    results: list[dict[str, Any]] = []
    problems: list[str] = []
    invented = False
    for file in files:
        try:
            found = _describe(read_any(file, overrides or ()))
        except ScenarioError as error:
            lines = str(error).splitlines()
            problems += [one for one in lines if one not in problems]
            results.append({"file": str(file), "valid": False, "problems": lines})
            continue
        invented = invented or found.pop("invented")
        results.append({"file": str(file), "valid": True, **found, "problems": []})
    if as_json:
        emit_json({"format": 1, "files": results, "cautions": cautions(invented=invented)}, output)
    else:
        lines = [line for one in results for line in _lines(one)]
        emit("\n".join([*lines, "", *cautions(invented=invented)]), output)
    if problems:
        typer.echo("\n".join(problems), err=True)
        raise typer.Exit(BAD_INPUT)


def _describe(found: Any) -> dict[str, Any]:
    from groundroll.scenario.day import Day
    from groundroll.scenario.model import Aircraft, Runway

    if isinstance(found, Aircraft):
        return {"kind": "aircraft", "title": found.name, "remarks": [], "invented": found.invented}
    if isinstance(found, Runway):
        title = f"{found.aerodrome} {'/'.join(sorted(found.directions))}"
        return {"kind": "runway", "title": title, "remarks": [], "invented": False}
    invented = found.aircraft.invented
    kind = "day" if isinstance(found, Day) else "case"
    return {"kind": kind, "title": found.title, "remarks": list(found.remarks), "invented": invented}


def _lines(result: dict[str, Any]) -> list[str]:
    if not result["valid"]:
        count = len(result["problems"])
        return [f"{result['file']}: not in order, {count} problem{'s' if count > 1 else ''}"]
    lines = [f"{result['file']}: in order ({result['kind']}: {result['title']})"]
    return lines + [f"  Remark: {one}" for one in result["remarks"]]
