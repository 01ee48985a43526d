"""`groundroll check FILES`: are these scenario files in order? Nothing is computed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from groundroll.commands import (
    BAD_INPUT,
    DOES_NOT_FIT,
    AsJson,
    OutputFile,
    Overrides,
    announce_compiling,
    emit,
    emit_json,
)
from groundroll.errors import GroundrollError


def check(
    files: Annotated[list[Path], typer.Argument(metavar="FILES...", help="Case, day, runway and aircraft files.")],
    against: Annotated[
        Path | None,
        typer.Option(metavar="TABLE", help="Compare one aircraft file with a table of distances.", show_default=False),
    ] = None,
    as_json: AsJson = False,
    overrides: Overrides = None,
    output: OutputFile = None,
) -> None:
    """Check scenario files without computing: every problem is named, with the value and what is allowed."""
    from groundroll.outputs.check_form import check_json

    if against is not None:
        _compare(files, against, as_json=as_json, output=output)
        return

    content = check_json(files, overrides or ())
    problems = list(dict.fromkeys(line for one in content["files"] for line in one["problems"]))
    if as_json:
        emit_json(content, output)
    else:
        lines = [line for one in content["files"] for line in _lines(one)]
        emit("\n".join([*lines, "", *content["cautions"]]), output)
    if problems:
        typer.echo("\n".join(problems), err=True)
        raise typer.Exit(BAD_INPUT)


def _compare(files: list[Path], against: Path, *, as_json: bool, output: Path | None) -> None:
    """Compare one aircraft file with a table; exit code 1 where it is further off than a fit may be."""
    from groundroll.commands.fit import own_braking
    from groundroll.outputs.fit_form import comparison_json, comparison_text
    from groundroll.planning.fit.solve import compare_with
    from groundroll.planning.fit.table import read_table
    from groundroll.scenario.read import read_aircraft

    if len(files) != 1:
        raise GroundrollError("--against compares one aircraft file with a table; name one file.")
    aircraft = read_aircraft(files[0])
    table = read_table(against, aircraft)
    announce_compiling()
    comparison = compare_with(table, aircraft, braking=own_braking(files[0], aircraft))
    if as_json:
        emit_json(comparison_json(comparison), output)
    else:
        emit(comparison_text(comparison), output)
    if comparison.problems:
        raise typer.Exit(DOES_NOT_FIT)


def _lines(result: dict[str, Any]) -> list[str]:
    if not result["valid"]:
        count = len(result["problems"])
        return [f"{result['file']}: not in order, {count} problem{'s' if count > 1 else ''}"]
    lines = [f"{result['file']}: in order ({result['kind']}: {result['title']})"]
    return lines + [f"  Remark: {one}" for one in result["remarks"]]
