"""`groundroll turn`: the brakes of one aeroplane through a day of sectors."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from groundroll.commands import DOES_NOT_FIT, DONE, AsJson, OutputFile, Overrides, emit, emit_json


def turn(
    day: Annotated[Path, typer.Argument(help="The day file.", show_default=False)],
    as_json: AsJson = False,
    set_: Overrides = None,
    output: OutputFile = None,
    chart: Annotated[
        Path | None,
        typer.Option("--chart", metavar="FILE", help="Also draw temperature against time into FILE.svg or FILE.png."),
    ] = None,
) -> int:
    """Follow brake heat through a day: when may we go again, what breaks a limit first, and what mends it?"""
    from groundroll.outputs.charts.style import check_chart_name
    from groundroll.outputs.turn_chart import write_turn_chart
    from groundroll.planning.turnaround import plan_day
    from groundroll.scenario.day import read_day

    if chart is not None:
        check_chart_name(chart)
    result = plan_day(read_day(day, set_ or ()))
    if chart is not None:
        write_turn_chart(result, chart)
    if as_json:
        from groundroll.outputs.turn_json import turn_json

        emit_json(turn_json(result), output)
    else:
        from groundroll.outputs.turn_table import turn_text

        emit(turn_text(result), output)
    return DONE if result.fits else DOES_NOT_FIT
