"""`groundroll read TEXT`: a weather report or a runway condition report in plain words.

`groundroll read --runway FILE...`: a runway file from open data.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from groundroll.commands import AsJson, OutputFile, emit, emit_json

LARGEST_INPUT = 1_000_000
"""Most bytes taken from a file or from stdin; far above the longest report, which its reader limits itself."""


def read(
    text: Annotated[
        list[str],
        typer.Argument(
            metavar="TEXT...",
            help="The report, best in quotes; a file that holds it; or - for stdin. With --runway: the data files.",
        ),
    ],
    runway: Annotated[
        bool,
        typer.Option("--runway", help="Make a runway file from open data: AIXM 5.1.1, GeoJSON or Overpass, a table."),
    ] = False,
    aerodrome: Annotated[
        str | None, typer.Option(metavar="QABC", help="With --runway: the location indicator.", show_default=False)
    ] = None,
    designator: Annotated[
        str | None, typer.Option(metavar="07/25", help="With --runway: which runway.", show_default=False)
    ] = None,
    source: Annotated[
        str | None,
        typer.Option(metavar="aixm|geojson|csv", help="With --runway: kind of data; by default from the content."),
    ] = None,
    set_: Annotated[
        list[str] | None,
        typer.Option(
            "--set",
            metavar="KEY=VALUE",
            help="With --runway: a value that the data lack (elevation, magnetic_variation, name, surface, width).",
        ),
    ] = None,
    as_json: AsJson = False,
    output: OutputFile = None,
) -> None:
    """Say in plain words what a METAR, a SNOWTAM, a field condition notice or the words of a tower mean.

    With --runway, make a runway file from open data instead.
    """
    if runway:
        _read_runway([Path(one) for one in text], aerodrome, designator, source, set_ or [], as_json, output)
        return
    given = {"--aerodrome": aerodrome, "--designator": designator, "--source": source, "--set": set_}
    _refuse_without_runway([key for key, value in given.items() if value])
    from groundroll.outputs.caution import cautions
    from groundroll.reports.describe import describe_condition, describe_weather
    from groundroll.reports.model import ConditionReport
    from groundroll.reports.recognise import read_report
    from groundroll.reports.to_json import to_json

    report = read_report(_content(" ".join(text)))
    if as_json:
        emit_json({"format": 1, "report": to_json(report), "cautions": cautions()}, output)
        return
    words = describe_condition(report) if isinstance(report, ConditionReport) else describe_weather(report)
    emit("\n".join([*words, "", *cautions()]), output)


def _refuse_without_runway(given: list[str]) -> None:
    from groundroll.errors import ReportError

    if given:
        raise ReportError(f"{given[0]} goes with --runway only: groundroll read --runway FILE... {given[0]} ...")


def _read_runway(
    files: list[Path],
    aerodrome: str | None,
    designator: str | None,
    source: str | None,
    changes: list[str],
    as_json: bool,
    output: Path | None,
) -> None:
    """Write the runway file to ``output`` and what was odd to stdout; without ``output``, to stdout and stderr."""
    from groundroll.errors import ScenarioError
    from groundroll.outputs.caution import cautions
    from groundroll.scenario.resolved import section_inputs
    from groundroll.scenario.runway_data import read_runway_data

    given: dict[str, str] = {}
    for change in changes:
        key, sign, value = change.partition("=")
        if not sign or not key.strip():
            raise ScenarioError(f'--set "{change[:60]}" has no "=". Write KEY=VALUE: --set elevation="24 ft"')
        given[key.strip()] = value.strip().strip('"')
    made = read_runway_data(files, aerodrome=aerodrome, designator=designator, source=source, given=given)
    if as_json:
        content = {"format": 1, "runway": section_inputs(made.runway), "runway_file": made.text}
        emit_json({**content, "warnings": list(made.warnings), "cautions": cautions()}, output)
        return
    file = "".join(f"# {one}\n" for one in cautions()) + made.text
    odd = [f"Odd: {one}" for one in made.warnings]
    emit(file, output)
    if output is None:
        if odd:
            typer.echo("\n".join(odd), err=True)
        return
    counts = ", ".join(f"{len(one.exits)} exits for {name}" for name, one in made.runway.directions.items())
    lines = [f"{output}: runway {'/'.join(made.runway.directions)} of {made.runway.aerodrome}, {counts}.", *odd]
    emit("\n".join([*lines, "", *cautions()]), None)


def _content(text: str) -> str:
    """Return the report: the text itself, or what stands in the file or on stdin."""
    from groundroll.errors import ReportError

    if text == "-":
        return _decoded(sys.stdin.buffer.read(LARGEST_INPUT + 1), "The input")
    path = Path(text)
    try:
        is_file, is_folder = path.is_file(), path.is_dir()
    except OSError:  # too long for a file name: a report
        return text
    if is_folder:
        raise ReportError(f"{text} is a folder; name a file that holds a report.")
    if path.suffix == ".toml":
        raise ReportError(f"{text} is a scenario file, not a report. To check it: groundroll check {text}")
    if not is_file:
        if path.suffix == ".txt":
            raise ReportError(f"{text}: there is no such file.")
        return text
    try:
        with path.open("rb") as file:
            return _decoded(file.read(LARGEST_INPUT + 1), text)
    except OSError as error:
        raise ReportError(f"{text} cannot be read: {error.strerror or error}.") from error


def _decoded(content: bytes, name: str) -> str:
    from groundroll.errors import ReportError

    if len(content) > LARGEST_INPUT:
        raise ReportError(f"{name} has more than {LARGEST_INPUT // 1_000_000} MB: it is not a report.")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise ReportError(f"{name} is not text in UTF-8.") from error
