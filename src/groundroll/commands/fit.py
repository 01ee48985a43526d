"""`groundroll fit`: your own aeroplane from approved tables or your own recordings, or a refusal."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

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


def _from_recordings(
    folder: Path, start: Path, outside: Literal["warn", "refuse"], output: Path | None, *, as_json: bool
) -> int:
    """Fit to recorded landings; the new file is written whole or not at all."""
    from groundroll.outputs.fit_recordings_form import recordings_aircraft, recordings_json, recordings_text
    from groundroll.outputs.progress import RollProgress
    from groundroll.review.fit_recordings import fit_recordings
    from groundroll.review.fleet import read_fleet
    from groundroll.scenario.files import load
    from groundroll.scenario.model import Aircraft
    from groundroll.scenario.read import read_aircraft
    from groundroll.scenario.toml_text import to_toml

    aircraft = read_aircraft(start)
    fleet = read_fleet(folder)
    announce_compiling()
    with RollProgress("recordings") as progress:
        result = fit_recordings(fleet, aircraft, progress)
    if output is not None and not result.refusals:
        content = recordings_aircraft(result, load(start), outside)
        if aircraft.braking_table is not None:
            content["braking_table"] = os.path.relpath(start.parent / aircraft.braking_table, output.parent)
        Aircraft.model_validate(content)  # a file that cannot be read back must not be written
        emit(to_toml(content), output)
    if as_json:
        emit_json(recordings_json(result), None)
    else:
        emit(recordings_text(result), None)
    return DOES_NOT_FIT if result.refusals else DONE


def fit(
    start: Annotated[Path, typer.Option("--start", metavar="AIRCRAFT", help="Aircraft file to begin with.")],
    table: Annotated[
        Path | None, typer.Argument(help="Table of published distances, CSV or Parquet.", show_default=False)
    ] = None,
    recordings: Annotated[
        Path | None,
        typer.Option(
            "--recordings",
            metavar="FOLDER",
            help="In place of TABLE: recorded landings, a folder as for groundroll fleet.",
            show_default=False,
        ),
    ] = None,
    worst: Annotated[float, typer.Option(min=0.001, max=0.5, help="Refuse when a row is further off (share).")] = 0.05,
    typical: Annotated[float, typer.Option(min=0.001, max=0.5, help="The same, root mean square of all rows.")] = 0.02,
    refuse_outside: Annotated[
        bool,
        typer.Option("--refuse-outside", help="Plans outside table or recordings are refused, not warned about."),
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
    """Fit an aircraft file to a table of distances or to recordings; -o writes the new file, unless it is refused."""
    from groundroll.errors import DataError
    from groundroll.outputs.charts.style import check_chart_name
    from groundroll.outputs.fit_form import aircraft_content, fit_json, fit_text
    from groundroll.outputs.progress import RollProgress
    from groundroll.planning.fit.solve import fit_table
    from groundroll.planning.fit.table import read_table
    from groundroll.scenario.files import load
    from groundroll.scenario.model import Aircraft
    from groundroll.scenario.read import read_aircraft
    from groundroll.scenario.toml_text import to_toml

    if (table is None) == (recordings is None):
        raise DataError("Give one of the two: TABLE, a table of distances, or --recordings FOLDER, recorded landings.")
    if recordings is not None:
        if chart is not None or report is not None:
            raise DataError("--chart and --report show the fit to a table; with --recordings use the text or --json.")
        return _from_recordings(recordings, start, "refuse" if refuse_outside else "warn", output, as_json=as_json)
    assert table is not None
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
