"""`groundroll land`: the landing plan of a case."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from groundroll.commands import DOES_NOT_FIT, DONE, AsJson, OutputFile, Overrides, announce_compiling, emit


def land(
    case: Annotated[Path, typer.Argument(help="The case file.", show_default=False)],
    as_json: AsJson = False,
    set_: Overrides = None,
    output: OutputFile = None,
) -> int:
    """Plan a landing: every brake setting with every use of reverse, what fits, and why."""
    from groundroll.planning.landing import plan_landing
    from groundroll.scenario.read import read_case

    resolved = read_case(case, set_ or ())
    announce_compiling()
    plan = plan_landing(resolved)
    if as_json:
        from groundroll.outputs.json_form import land_json, to_text

        emit(to_text(land_json(plan)), output)
    else:
        from groundroll.outputs.landing_table import landing_text

        emit(landing_text(plan), output)
    return DONE if plan.fits else DOES_NOT_FIT
