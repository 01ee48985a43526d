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
    from groundroll.outputs.check_form import check_json

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


def _lines(result: dict[str, Any]) -> list[str]:
    if not result["valid"]:
        count = len(result["problems"])
        return [f"{result['file']}: not in order, {count} problem{'s' if count > 1 else ''}"]
    lines = [f"{result['file']}: in order ({result['kind']}: {result['title']})"]
    return lines + [f"  Remark: {one}" for one in result["remarks"]]
