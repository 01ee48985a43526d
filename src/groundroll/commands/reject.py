"""`groundroll reject`: stop or go, and up to which speed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from groundroll.commands import DOES_NOT_FIT, DONE, AsJson, OutputFile, Overrides, announce_compiling, emit

ChartFile = Annotated[
    Path | None,
    typer.Option("--chart", metavar="FILE", help="Draw stop and go distance over decision speed: .svg, .png, .pdf."),
]


def reject(
    case: Annotated[Path, typer.Argument(help="The take-off case file.", show_default=False)],
    as_json: AsJson = False,
    set_: Overrides = None,
    output: OutputFile = None,
    chart: ChartFile = None,
) -> int:
    """Find the decision speeds from which a take-off can be stopped and continued, and what a weak action costs."""
    from groundroll.planning.reject import plan_reject
    from groundroll.scenario.take_off import read_take_off_case

    resolved = read_take_off_case(case, set_ or ())
    announce_compiling()
    plan = plan_reject(resolved)
    if chart is not None:
        from groundroll.outputs.reject_chart import write_reject_chart

        write_reject_chart(plan, chart)
    if as_json:
        from groundroll.outputs.json_form import to_text
        from groundroll.outputs.reject_form import reject_json

        emit(to_text(reject_json(plan)), output)
    else:
        from groundroll.outputs.reject_table import reject_text

        emit(reject_text(plan), output)
    return DONE if plan.fits else DOES_NOT_FIT
