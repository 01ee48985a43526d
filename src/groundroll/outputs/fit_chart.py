"""Chart of a fit: how far off every row is, what became of each parameter, and where the misses lean."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import Any, Final

from groundroll.outputs.charts.style import BLUE, GREEN, INK, LIMIT, ORANGE, PALE, PURPLE, SKY, VERMILION, chart
from groundroll.outputs.fit_form import fit_verdict
from groundroll.planning.fit.solve import Fit

MARKS: Final = ("o", "s", "^", "D", "v", "P", "X")
COLOURS: Final = (BLUE, VERMILION, GREEN, PURPLE, SKY, ORANGE, INK)
MOST_BIASES: Final = 18
"""Groups drawn; further ones stand in the text."""


def write_fit_chart(fit: Fit, path: Path, *, in_report: bool = False) -> None:
    """Draw the fit.

    Parameters
    ----------
    fit
        The fit.
    path
        SVG or PNG, by its ending.
    in_report
        Leave the verdict out, and draw letters of an SVG as shapes: the page has not the font.

    Raises
    ------
    GroundrollError
        If the file cannot be written.
    """
    count = len(fit.parameters)
    groups = fit.groups[:MOST_BIASES]
    height = 3.6 + 0.2 * max(count, len(groups)) + 1.2
    title = f"Fit of {fit.start.name} to {fit.table.name}"
    with chart(path, title, (8.4, height), invented=fit.start.invented) as figure:
        if in_report:
            import matplotlib as mpl

            mpl.rcParams["svg.fonttype"] = "path"  # of this figure only: the style puts it back
        if not in_report:
            figure.suptitle(textwrap.fill(fit_verdict(fit), 90), x=0.01, ha="left", fontsize=10.0, fontweight="bold")
        places = figure.add_gridspec(2, 2, height_ratios=(3.2, 0.2 * max(count, len(groups)) + 1.0))
        _misses(figure.add_subplot(places[0, :]), fit)
        _parameters(figure.add_subplot(places[1, 0]), fit)
        _biases(figure.add_subplot(places[1, 1]), groups)


def _misses(axes: Any, fit: Fit) -> None:
    """Draw computed less published over the published distance, with the interval and the rounding."""
    rows = fit.table.rows
    names = sorted({_name(row.kind, row.code) for row in rows}, reverse=True)
    for number, name in enumerate(names):
        chosen = [(row, miss) for row, miss in zip(rows, fit.misses, strict=True) if _name(row.kind, row.code) == name]
        half = [0.5 * (row.upper - row.lower) if row.bounded else 0.0 for row, _ in chosen]
        axes.errorbar(
            [row.middle for row, _ in chosen],
            [miss for _, miss in chosen],
            yerr=half,
            fmt=MARKS[number % len(MARKS)],
            color=COLOURS[number % len(COLOURS)],
            markersize=4.0,
            markerfacecolor="none",
            ecolor=PALE,
            elinewidth=0.7,
            label=name,
        )
    axes.axhline(0.0, color=INK, linewidth=0.8)
    for sign in (-1.0, 1.0):
        label = f"95 % of further rows, {fit.within:.0f} m" if sign > 0.0 else None
        axes.axhline(sign * fit.within, color=LIMIT, linewidth=1.0, linestyle="--", label=label)
    axes.set_xlabel("published distance, unfactored [m]")
    axes.set_ylabel("computed less published [m]")
    axes.set_title("Every row; the bar is what rounding leaves open")
    axes.legend(fontsize=8.0, ncols=min(len(names) + 1, 4), loc="upper left", frameon=True)
    axes.margins(y=0.25)
    axes.grid(visible=True, alpha=0.3)


def _name(kind: str, code: int) -> str:
    return f"code {code}" if kind == "landing" else f"accelerate-stop, code {code}"


def _parameters(axes: Any, fit: Fit) -> None:
    """Draw the interval of each parameter in spreads from the start."""
    count = len(fit.parameters)
    axes.axvspan(-1.96, 1.96, facecolor="none", edgecolor=PALE, hatch="///", linewidth=0.0)
    axes.axvline(0.0, color=LIMIT, linewidth=0.8, linestyle=":")
    for number, one in enumerate(fit.parameters):
        place = count - 1 - number
        spread, start = one.parameter.spread, one.parameter.start
        low, high, value = ((x - start) / spread for x in (one.low, one.high, one.value))
        colour = BLUE if one.fitted else LIMIT
        axes.plot([low, high], [place, place], color=colour, linewidth=2.0, linestyle="-" if one.fitted else "--")
        axes.plot(
            [value],
            [place],
            marker="o",
            color=colour,
            markerfacecolor=colour if one.fitted else "white",
            markersize=5.0,
            linestyle="none",
        )
    axes.set_yticks(range(count))
    axes.set_yticklabels([_short(one.parameter.key) for one in reversed(fit.parameters)], fontsize=7.5)
    axes.set_xlim(-4.1, 4.1)
    axes.set_xlabel("spreads from the start")
    axes.set_title("Parameters, 95 %; hatched: before the table; hollow: left", fontsize=9.0)


def _short(key: str) -> str:
    """Return a key with spaces, without what every reader knows."""
    parts = key.replace("automatic_brakes.settings.", "setting ").replace("engines.thrust.", "thrust ").split(".")
    return " ".join(parts).replace("_deployed", "").replace("_", " ")


def _biases(axes: Any, groups: Any) -> None:
    """Draw the mean miss of each group."""
    count = len(groups)
    axes.barh(
        range(count - 1, -1, -1),
        [one.bias for one in groups],
        color="white",
        edgecolor=BLUE,
        hatch="///",
        height=0.6,
    )
    axes.axvline(0.0, color=INK, linewidth=0.8)
    axes.set_yticks(range(count))
    axes.set_yticklabels([f"{one.name} ({one.rows})" for one in reversed(groups)], fontsize=7.5)
    reach = max([1.0, *(abs(one.bias) for one in groups)])
    axes.set_xlim(-1.15 * reach, 1.15 * reach)
    axes.set_xlabel("mean miss [m]")
    axes.set_title("Bias by condition (rows)", fontsize=9.0)
