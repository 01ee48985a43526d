"""`groundroll fit`: your own aeroplane from approved tables, or a refusal."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from groundroll.commands import (
    DOES_NOT_FIT,
    DONE,
    AsJson,
    OutputFile,
    announce_compiling,
    emit,
    emit_bytes,
    emit_json,
)

if TYPE_CHECKING:
    from groundroll.physics.braking import BrakingTable
    from groundroll.scenario.model import Aircraft


def own_braking(file: Path, aircraft: Aircraft) -> BrakingTable | None:
    """Return the braking coefficients that an aircraft file names."""
    from groundroll.physics.braking import read_braking_table

    return None if aircraft.braking_table is None else read_braking_table(file.parent / aircraft.braking_table)


def fit(
    table: Annotated[Path, typer.Argument(help="Table of published distances, CSV or Parquet.", show_default=False)],
    start: Annotated[Path, typer.Option("--start", metavar="AIRCRAFT", help="Aircraft file to begin with.")],
    worst: Annotated[float, typer.Option(min=0.001, max=0.5, help="Refuse when a row is further off (share).")] = 0.05,
    typical: Annotated[float, typer.Option(min=0.001, max=0.5, help="The same, root mean square of all rows.")] = 0.02,
    refuse_outside: Annotated[
        bool, typer.Option("--refuse-outside", help="Plans outside the table are refused, not warned about.")
    ] = False,
    chart: Annotated[
        Path | None, typer.Option("--chart", metavar="FILE", help="Draw the fit: .svg or .png.", show_default=False)
    ] = None,
    report: Annotated[
        Path | None, typer.Option("--report", metavar="FILE", help="One page on the fit: .pdf.", show_default=False)
    ] = None,
    as_json: AsJson = False,
    output: OutputFile = None,
) -> int:
    """Fit an aircraft file to a table of distances; -o writes the new file, unless the fit is refused."""
    from groundroll.outputs.charts.style import check_chart_name
    from groundroll.outputs.fit_form import aircraft_content, fit_json, fit_text
    from groundroll.outputs.progress import RollProgress
    from groundroll.planning.fit.solve import fit_table
    from groundroll.planning.fit.table import read_table
    from groundroll.scenario.files import load
    from groundroll.scenario.model import Aircraft
    from groundroll.scenario.read import read_aircraft
    from groundroll.scenario.toml_text import to_toml

    if chart is not None:
        check_chart_name(chart)
    if report is not None:
        check_chart_name(report, (".pdf",))
    aircraft = read_aircraft(start)
    rows = read_table(table, aircraft)
    announce_compiling()
    with RollProgress("steps") as progress:
        result = fit_table(
            rows, aircraft, braking=own_braking(start, aircraft), worst=worst, typical=typical, progress=progress
        )
    if output is not None and not result.refusals:
        content = aircraft_content(result, load(start), "refuse" if refuse_outside else "warn")
        if aircraft.braking_table is not None:
            content["braking_table"] = os.path.relpath(start.parent / aircraft.braking_table, output.parent)
        Aircraft.model_validate(content)  # a file that cannot be read back must not be written
        emit(to_toml(content), output)
    if chart is not None:
        from groundroll.outputs.fit_chart import write_fit_chart

        write_fit_chart(result, chart)
    if report is not None:
        from datetime import UTC, datetime

        from groundroll.outputs.fit_report import fit_report_pdf

        emit_bytes(fit_report_pdf(result, datetime.now(UTC)), report)
    if as_json:
        emit_json(fit_json(result), None)
    else:
        emit(fit_text(result), None)
    return DOES_NOT_FIT if result.refusals else DONE
