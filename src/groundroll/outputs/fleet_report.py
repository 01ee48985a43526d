"""What a fleet says, as text, JSON and one HTML page with charts."""

from __future__ import annotations

import html
import io
import math
import os
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from groundroll.errors import GroundrollError
from groundroll.outputs.caution import INVENTED, cautions
from groundroll.outputs.review_form import MEASURED_NOTE, SPIRIT
from groundroll.review.fleet_answers import FleetAnswers, MapPiece, MeanOf, Share, Talk
from groundroll.review.invent import INVENTED as INVENTED_RECORDING

if TYPE_CHECKING:
    import polars


FLEET_FORMAT: Final = 1
COLOURS: Final = ("#0072b2", "#d55e00", "#009e73", "#cc79a7", "#555555", "#e69f00")
MARKERS: Final = "os^vDP"

INVENTED_RECORDINGS: Final = "INVENTED recordings: simulated landings seen through simulated sensors; no real flights."
"""Stands on what was made of them."""


def _share(one: Share) -> str:
    return (
        f"{one.name}: {one.count} of {one.total}, {100.0 * one.value:.0f} % "
        f"(90 %: {100.0 * one.low:.0f} to {100.0 * one.high:.0f} %)"
    )


def _shown(name: str) -> tuple[str, float]:
    """Return the name with the unit in which it is shown, and by what the value is divided for it.

    Examples
    --------
    >>> _shown("brake energy [J]")
    ('brake energy [MJ]', 1000000.0)
    """
    return (name.replace("[J]", "[MJ]"), 1e6) if name.endswith("[J]") else (name, 1.0)


def _mean(one: MeanOf) -> str:
    name, unit = _shown(one.name)
    said = f"{name}{f', {one.period}' if one.period else ''}: {one.mean / unit:.4g}"
    if not (math.isfinite(one.low) and math.isfinite(one.high)):
        return f"{said} (1 landing, so no interval)"
    return f"{said} (90 %: {one.low / unit:.4g} to {one.high / unit:.4g}; {one.count} landings)"


def _change(name: str, change: float, low: float, high: float) -> str:
    name, unit = _shown(name)
    return f"{name}: {change / unit:+.4g} ({low / unit:+.4g} to {high / unit:+.4g})"


def _first(lines: Sequence[str], most: int, where: str) -> list[str]:
    """Return the first lines and, where there are more, how many and where they stand."""
    more = len(lines) - most
    return [*lines] if more <= 0 else [*lines[:most], f"  ... and {more} more: {where}"]


def fleet_notes(folder: Path) -> list[str]:
    """Return what must be said of a folder of recordings besides the caution: that these or the aeroplane are invented.

    Nothing is said of a data set whose recordings lie elsewhere.
    """
    from groundroll.review.fleet import DESCRIPTION, read_fleet
    from groundroll.scenario.read import read_case

    if not (folder / DESCRIPTION).is_file():
        return []
    said = (folder / DESCRIPTION).read_text(encoding="utf-8")
    marked = any(line.startswith("#") and INVENTED_RECORDING in line for line in said.splitlines())
    try:
        invented = read_case(read_fleet(folder).case).aircraft.invented
    except GroundrollError:
        invented = False
    return [*([INVENTED_RECORDINGS] if marked else []), *([INVENTED] if invented else [])]


def set_aside_lines(landings: polars.DataFrame) -> list[str]:
    """Return a line for each recording that was set aside: its name and the reason."""
    import polars as pl

    aside = landings.filter(pl.col("status") != "reviewed").select("file", "reason")
    return [f"  {file}: {str(reason).removeprefix(file).lstrip(':, ')}" for file, reason in aside.iter_rows()]


def fleet_lines(answers: FleetAnswers, *, notes: Sequence[str] = (), aside: Sequence[str] = ()) -> list[str]:
    """Return the answers as lines of text.

    Parameters
    ----------
    answers
        What the fleet says.
    notes
        As `fleet_notes` gives them.
    aside
        As `set_aside_lines` gives them: every recording that was set aside, by name.
    """
    count_aside = sum(count for _, count in answers.set_aside)
    lines = [*notes, f"{answers.reviewed} landings reviewed, {count_aside} recordings set aside."]
    reasons = [f"  {count} x {reason}" for reason, count in answers.set_aside]
    lines += _first(reasons, 12, "--json gives all reasons.")
    if aside:
        lines += ["", "Set aside", *_first(aside, 40, "the columns file and reason of the data set.")]
    exits = answers.planned_exits
    for title, shares in (
        ("Exits used", answers.exits),
        ("Exits against plan", exits),
        ("Reverse", answers.reverse),
        ("Braking", answers.brakes),
    ):
        if shares:
            lines += ["", title, *(f"  {_share(one)}" for one in shares)]
    if answers.late is not None:
        lines += ["", _share(answers.late)]
    lines += ["", "Means", *(f"  {_mean(one)}" for one in answers.means)]
    if answers.changes:
        lines += ["", "Last period less first, 90 % interval"]
        lines += [f"  {_change(*one)}" for one in answers.changes]
    if answers.trends:
        lines += ["", "From the first landing to the last by a straight line, 90 % interval"]
        lines += [f"  {_change(*one)}" for one in answers.trends]
    if answers.causes:
        lines += ["", "Where distance went against plan, mean metres by cause"]
        lines += [f"  {one.name:26}{one.mean:+8.1f} m ({one.low:+.1f} to {one.high:+.1f})" for one in answers.causes]
    lines += ["", f"Friction map: braking over that of the reported code, by 50 m. {MEASURED_NOTE}"]
    if not answers.friction_map:
        lines.append("  No runway is located: there is no friction map.")
    lines += _first([f"  {_piece(one)}" for one in answers.friction_map], 80, "--json gives all pieces.")
    if answers.talks:
        lines += ["", f"Worth a talk, {len(answers.talks)} in all"]
        lines += _first([_talk(one) for one in answers.talks], 20, "--json gives all.")
    return [*lines, "", *cautions(), SPIRIT]


def _talk(one: Talk) -> str:
    name, unit = _shown(one.what)
    return f"  {one.file}: {name} {one.value / unit:.4g}, usually {one.usual / unit:.4g}"


def _piece(one: MapPiece) -> str:
    place = f"{one.aerodrome} {one.direction}, code {one.code}, {one.start:.0f} m"
    rests = f"{one.measured} measured, {one.bounded} bounds"
    if one.median is None or one.low is None or one.high is None:
        if one.measured:
            return f"{place}: at least {one.at_least:.2f}; its middle is not known from so few ({rests})"
        return f"{place}: at least {one.at_least:.2f} ({one.bounded} landings)"
    return f"{place}: {one.median:.2f} ({one.low:.2f} to {one.high:.2f}; {rests})"


def fleet_json(answers: FleetAnswers, *, notes: Sequence[str] = ()) -> dict[str, Any]:
    """Return the answers as JSON-ready values, with the notes as `fleet_notes` gives them."""
    content: dict[str, Any] = {
        "format": FLEET_FORMAT,
        "kind": "fleet",
        **asdict(answers),
        "notes": list(notes),
        "cautions": [*cautions(), SPIRIT],
    }
    finite: dict[str, Any] = _finite(content)
    return finite


def data_set_of(folder: Path) -> Path:
    """Return where the data set of a folder lies: the folder itself, or its folder ``reviewed``.

    Raises
    ------
    GroundrollError
        If neither holds one.
    """
    for place in (folder, folder / "reviewed"):
        if (place / "parts").is_dir():
            return place
    raise GroundrollError(f"{folder} holds no reviewed landings. Review them first: groundroll fleet {folder}.")


def fleet_folder_json(folder: Path) -> dict[str, Any]:
    """Return what the data set of a folder says, as JSON-ready values with its charts as SVG under ``charts``.

    Reviews nothing and writes nothing, so a page may ask while a run goes on.

    Raises
    ------
    GroundrollError
        If the folder holds no data set.
    """
    from groundroll.review.fleet import read_parts
    from groundroll.review.fleet_answers import answers

    place = data_set_of(folder)
    said = answers(read_parts(place))
    return {**fleet_json(said, notes=fleet_notes(place.parent)), "charts": fleet_charts(said)}


def fleet_charts(answers: FleetAnswers) -> dict[str, str]:
    """Return the charts that the answers allow as SVG elements, by name."""
    drawn = {"friction_map": _map_chart(answers), "causes": _cause_chart(answers)}
    return {name: one for name, one in drawn.items() if one.startswith("<svg")}


def _finite(value: Any) -> Any:
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, dict):
        return {key: _finite(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(one) for one in value]
    return value


STYLE: Final = (
    ":root{color-scheme:light dark}"
    "body{font-family:sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem;background:#fff;color:#111}"
    "pre{white-space:pre-wrap}svg{max-width:100%;height:auto}"
    ".note{border:2px solid;padding:.5rem .8rem}"
    # At night the charts are turned round as well; half a turn of the hues keeps blue blue.
    "@media (prefers-color-scheme:dark){body{background:#111;color:#ccc}svg{filter:invert(.88) hue-rotate(180deg)}}"
    "@media print{body{background:#fff;color:#000}svg{filter:none}}"
)
"""Of the page, by day, by night and on paper."""


def write_fleet_report(
    answers: FleetAnswers, path: Path, *, notes: Sequence[str] = (), aside: Sequence[str] = ()
) -> None:
    """Write the answers as one HTML page that needs nothing else, all of it or nothing.

    Parameters
    ----------
    answers
        What the fleet says.
    path
        The page.
    notes, aside
        As for `fleet_lines`.

    Raises
    ------
    GroundrollError
        If the name does not end with .html, or the file cannot be written.
    """
    if path.suffix.lower() not in (".html", ".htm"):
        raise GroundrollError(f"--report {path}: the name must end with .html.")
    lines = "\n".join(html.escape(one) for one in fleet_lines(answers, aside=aside))
    labels = "<br>\n".join(html.escape(one) for one in [*notes, *cautions(), SPIRIT])
    page = (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>Fleet of landings</title>\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<style>{STYLE}</style></head><body>\n"
        f'<h1>Fleet of landings</h1>\n<p class="note">{labels}</p>\n{_map_chart(answers)}\n{_cause_chart(answers)}\n'
        f"<pre>{lines}</pre>\n"
        "</body></html>\n"
    )
    part = path.with_name(f".{path.name}.{os.getpid()}.tmp")
    try:
        part.write_text(page, encoding="utf-8")
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise GroundrollError(f"{path} cannot be written: {error.strerror or error}.") from error


def _svg(figure: Any, label: str) -> str:
    import matplotlib as mpl

    buffer = io.StringIO()
    with mpl.rc_context({"svg.hashsalt": "groundroll", "svg.fonttype": "none"}):
        figure.savefig(buffer, format="svg", metadata={"Date": None})
    text = buffer.getvalue()
    return text[text.index("<svg") :].replace("<svg", f'<svg role="img" aria-label="{label}"', 1)


def _map_chart(answers: FleetAnswers) -> str:
    from matplotlib.figure import Figure

    if not answers.friction_map:
        return "<p>No runway is located: there is no friction map.</p>"
    figure = Figure(figsize=(9.0, 4.5), layout="constrained")
    axes = figure.add_subplot()
    groups: dict[tuple[str, str, int], list[MapPiece]] = {}
    for one in answers.friction_map:
        groups.setdefault((one.aerodrome, one.direction, one.code), []).append(one)
    for number, ((aerodrome, direction, code), pieces) in enumerate(sorted(groups.items())):
        colour, marker = COLOURS[number % len(COLOURS)], MARKERS[number % len(MARKERS)]
        known = [
            (one.start + 25.0, one.median or 0.0, one.low or 0.0, one.high or 0.0)
            for one in pieces
            if one.median is not None
        ]
        if known:
            axes.errorbar(
                [one[0] for one in known],
                [one[1] for one in known],
                yerr=[[one[1] - one[2] for one in known], [one[3] - one[1] for one in known]],
                fmt=marker,
                color=colour,
                label=f"{aerodrome} {direction}, code {code}: median, 90 %",
            )
        bounds = [one for one in pieces if one.median is None]
        axes.plot(
            [one.start + 25.0 for one in bounds],
            [one.at_least for one in bounds],
            marker="2",
            linestyle="none",
            color=colour,
            label=f"{aerodrome} {direction}, code {code}: at least",
        )
    axes.axhline(1.0, color="black", linewidth=0.8, dashes=(4, 2))
    axes.set_xlabel("distance from the threshold [m]")
    axes.set_ylabel("braking over that of the reported code [-]")
    axes.set_title("Friction map")
    axes.set_ylim(bottom=0.0)
    axes.grid(visible=True, alpha=0.3)
    axes.legend(fontsize="x-small")
    return _svg(figure, "Friction along the runways by reported code; the same numbers stand below.")


def _cause_chart(answers: FleetAnswers) -> str:
    from matplotlib.figure import Figure

    if not answers.causes:
        return ""
    figure = Figure(figsize=(9.0, 3.8), layout="constrained")
    axes = figure.add_subplot()
    shown = answers.causes[:12][::-1]
    axes.barh(
        [one.name for one in shown],
        [one.mean for one in shown],
        xerr=[0.0 if not math.isfinite(one.low) else one.mean - one.low for one in shown],
        color=COLOURS[0],
    )
    axes.axvline(0.0, color="black", linewidth=0.8)
    axes.set_xlabel("mean metres beyond plan, 90 % interval")
    axes.set_title("Where distance went")
    axes.grid(visible=True, axis="x", alpha=0.3)
    return _svg(figure, "Mean metres beyond plan by cause; the same numbers stand below.")
