"""`groundroll land`: the landing plan of a case."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from groundroll.commands import DOES_NOT_FIT, DONE, AsJson, OutputFile, Overrides, announce_compiling, emit


def land(
    case: Annotated[Path, typer.Argument(help="The case file.", show_default=False)],
    full: Annotated[bool, typer.Option("--full", help="Print every choice at every exit and every limit.")] = False,
    as_json: AsJson = False,
    set_: Overrides = None,
    output: OutputFile = None,
) -> int:
    """Plan a landing: every brake setting with every use of reverse, the exit to take, and what would break it."""
    from groundroll.planning.decision import decide
    from groundroll.planning.landing import plan_landing
    from groundroll.scenario.read import read_case

    resolved = read_case(case, set_ or ())
    announce_compiling()
    decision = decide(plan_landing(resolved))
    if as_json:
        from groundroll.outputs.json_form import land_json, to_text

        emit(to_text(land_json(decision.plan, decision)), output)
    else:
        from groundroll.outputs.landing_table import landing_text

        emit(landing_text(decision.plan, decision, full=full), output)
    return DONE if decision.plan.fits else DOES_NOT_FIT
