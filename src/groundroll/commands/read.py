"""`groundroll read TEXT`: a weather report or a runway condition report in plain words."""

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
        typer.Argument(metavar="TEXT...", help="The report, best in quotes; a file that holds it; or - for stdin."),
    ],
    as_json: AsJson = False,
    output: OutputFile = None,
) -> None:
    """Say in plain words what a METAR, a SNOWTAM, a field condition notice or the words of a tower mean."""
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
