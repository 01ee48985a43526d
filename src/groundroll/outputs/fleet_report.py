"""What a fleet says, as text, JSON and one HTML page with charts."""

from __future__ import annotations

import html
import io
import math
from dataclasses import asdict
from pathlib import Path
from typing import Any, Final

from groundroll.errors import GroundrollError
from groundroll.outputs.caution import cautions
from groundroll.outputs.review_form import MEASURED_NOTE, SPIRIT
from groundroll.review.fleet_answers import FleetAnswers, MapPiece, MeanOf, Share

FLEET_FORMAT: Final = 1
COLOURS: Final = ("#0072b2", "#d55e00", "#009e73", "#cc79a7", "#555555", "#e69f00")
MARKERS: Final = "os^vDP"


def _share(one: Share) -> str:
    return (
        f"{one.name}: {one.count} of {one.total}, {100.0 * one.value:.0f} % "
        f"(90 %: {100.0 * one.low:.0f} to {100.0 * one.high:.0f} %)"
    )


def _mean(one: MeanOf) -> str:
    period = f", {one.period}" if one.period else ""
    return f"{one.name}{period}: {one.mean:.4g} (90 %: {one.low:.4g} to {one.high:.4g}; {one.count} landings)"


def fleet_lines(answers: FleetAnswers) -> list[str]:
    """Return the answers as lines of text."""
    aside = sum(count for _, count in answers.set_aside)
    lines = [f"{answers.reviewed} landings reviewed, {aside} recordings set aside."]
    lines += [f"  {count} x {reason}" for reason, count in answers.set_aside[:12]]
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
        lines += [f"  {name}: {change:+.4g} ({low:+.4g} to {high:+.4g})" for name, change, low, high in answers.changes]
    if answers.trends:
        lines += ["", "From the first landing to the last by a straight line, 90 % interval"]
        lines += [f"  {name}: {change:+.4g} ({low:+.4g} to {high:+.4g})" for name, change, low, high in answers.trends]
    if answers.causes:
        lines += ["", "Where distance went against plan, mean metres by cause"]
        lines += [f"  {one.name:26}{one.mean:+8.1f} m ({one.low:+.1f} to {one.high:+.1f})" for one in answers.causes]
    lines += ["", f"Friction map: braking over that of the reported code, by 50 m. {MEASURED_NOTE}"]
    lines += [f"  {_piece(one)}" for one in answers.friction_map if one.median is not None][:60]
    if answers.talks:
        lines += ["", f"Worth a talk, {len(answers.talks)} in all"]
        lines += [f"  {one.file}: {one.what} {one.value:.4g}, usually {one.usual:.4g}" for one in answers.talks[:20]]
    return [*lines, "", *cautions(), SPIRIT]


def _piece(one: MapPiece) -> str:
    place = f"{one.aerodrome} {one.direction}, code {one.code}, {one.start:.0f} m"
    if one.median is None or one.low is None or one.high is None:
        return f"{place}: at least {one.at_least:.2f} ({one.bounded} landings)"
    return f"{place}: {one.median:.2f} ({one.low:.2f} to {one.high:.2f}; {one.measured} measured, {one.bounded} bounds)"


def fleet_json(answers: FleetAnswers) -> dict[str, Any]:
    """Return the answers as JSON-ready values."""
    content: dict[str, Any] = {
        "format": FLEET_FORMAT,
        "kind": "fleet",
        **asdict(answers),
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

    said = answers(read_parts(data_set_of(folder)))
    return {**fleet_json(said), "charts": fleet_charts(said)}


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


def write_fleet_report(answers: FleetAnswers, path: Path) -> None:
    """Write the answers as one HTML page that needs nothing else.

    Raises
    ------
    GroundrollError
        If the name does not end with .html, or the file cannot be written.
    """
    if path.suffix.lower() not in (".html", ".htm"):
        raise GroundrollError(f"--report {path}: the name must end with .html.")
    lines = "\n".join(html.escape(one) for one in fleet_lines(answers))
    page = (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>Fleet of landings</title>\n'
        "<style>body{font-family:sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem}"
        "pre{white-space:pre-wrap}svg{max-width:100%;height:auto}</style></head><body>\n"
        f"<h1>Fleet of landings</h1>\n{_map_chart(answers)}\n{_cause_chart(answers)}\n<pre>{lines}</pre>\n"
        "</body></html>\n"
    )
    try:
        path.write_text(page, encoding="utf-8")
    except OSError as error:
        raise GroundrollError(f"{path} cannot be written: {error.strerror or error}.") from error


def _svg(figure: Any) -> str:
    import matplotlib as mpl

    buffer = io.StringIO()
    with mpl.rc_context({"svg.hashsalt": "groundroll", "svg.fonttype": "none"}):
        figure.savefig(buffer, format="svg", metadata={"Date": None})
    text = buffer.getvalue()
    return text[text.index("<svg") :]


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
            (one.start + 25.0, one.median, one.low, one.high)
            for one in pieces
            if one.median is not None and one.low is not None and one.high is not None
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
    return _svg(figure)


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
    return _svg(figure)
