"""`groundroll fleet`: a folder of recordings to a data set of landings, and what it says."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from groundroll.commands import DONE, AsJson, OutputFile, announce_compiling, emit, emit_json


def fleet(
    folder: Annotated[Path, typer.Argument(help="Folder with recordings and a fleet.toml.")],
    data_set: Annotated[
        Path | None,
        typer.Option("--data-set", metavar="FOLDER", help="Where the data set lies; by default FOLDER/reviewed."),
    ] = None,
    workers: Annotated[int, typer.Option(min=1, max=256, help="Processes on this machine.")] = 1,
    cluster: Annotated[
        str | None, typer.Option(metavar="tcp://HOST:PORT", help="Work on a Dask cluster that sees the folder.")
    ] = None,
    report: Annotated[Path | None, typer.Option("--report", metavar="FILE.html", help="Also write a page.")] = None,
    invent: Annotated[
        int | None,
        typer.Option("--invent", metavar="N", min=1, max=1_000_000, help="First fill it with N invented recordings."),
    ] = None,
    case: Annotated[
        Path | None, typer.Option("--case", metavar="FILE", help="With --invent: the plan they are made around.")
    ] = None,
    sensors: Annotated[str, typer.Option(help="With --invent: recorder or surveillance.")] = "surveillance",
    rate: Annotated[
        float | None,
        typer.Option(
            metavar="HZ",
            min=1.0,
            max=16.0,
            help="With --invent --sensors recorder: samples a second of every parameter.",
        ),
    ] = None,
    seed: Annotated[int, typer.Option(min=0, help="With --invent: the same seed gives the same recordings.")] = 1,
    as_json: AsJson = False,
    output: OutputFile = None,
) -> int:
    """Review every recording in a folder, each exactly once, and answer what the fleet says."""
    from groundroll.errors import DataError
    from groundroll.outputs.fleet_bar import FleetBar
    from groundroll.review.fleet import read_fleet, read_parts, run_fleet
    from groundroll.review.fleet_answers import answers

    announce_compiling()
    if report is not None and report.suffix.lower() not in (".html", ".htm"):
        raise DataError(f"--report {report}: the name must end with .html.")
    if invent is not None:
        from groundroll.review.fleet_invent import invent_fleet
        from groundroll.review.invent import Sensors

        if case is None or sensors not in ("recorder", "surveillance"):
            raise DataError("--invent N needs --case FILE and --sensors recorder or surveillance.")
        if folder.exists() and any(folder.iterdir()):
            raise DataError(f"{folder} is not empty; invented recordings go to a folder of their own.")
        if rate is not None and sensors != "recorder":
            raise DataError(f"--rate {rate:g} is for --sensors recorder; surveillance is recorded once a second.")
        kind: Sensors = "recorder" if sensors == "recorder" else "surveillance"
        with FleetBar() as bar:
            invent_fleet(folder, case, invent, seed=seed, sensors=kind, rate=rate, progress=bar)
    found = read_fleet(folder)
    place = data_set if data_set is not None else folder / "reviewed"
    with FleetBar() as bar:
        run_fleet(found, place, workers=workers, cluster=cluster, progress=bar)
    landings = read_parts(place)
    said = answers(landings)
    from groundroll.outputs.fleet_report import (
        fleet_json,
        fleet_lines,
        fleet_notes,
        set_aside_lines,
        write_fleet_report,
    )

    notes, aside = fleet_notes(folder), set_aside_lines(landings)
    if report is not None:
        write_fleet_report(said, report, notes=notes, aside=aside)
    if as_json:
        emit_json(fleet_json(said, notes=notes), output)
    else:
        emit("\n".join(fleet_lines(said, notes=notes, aside=aside)), output)
    return DONE
