"""Chart of a ledger of metres: from one distance to the other, cause by cause."""

from __future__ import annotations

from itertools import accumulate
from pathlib import Path
from typing import Any, Final

from groundroll.constants import FOOT
from groundroll.outputs.charts import style
from groundroll.outputs.ledger_form import SHARES_NOTE
from groundroll.planning.comparison import Comparison

LEAST_SHOWN: Final = 0.5
"""Smaller shares are drawn as one step. [m] Assumption of this project: thinner than a line."""


def write_ledger_chart(comparison: Comparison, path: Path) -> None:
    """Draw the way from the distance of the first case to that of the other, the greatest share first.

    Raises
    ------
    GroundrollError
        If the kind of file is not known, or it cannot be written.
    """
    style.check_chart_name(path)
    first, other = comparison.first.plan.case, comparison.other.plan.case
    shown = [one for one in comparison.ledger.entries if abs(one.metres) >= LEAST_SHOWN]
    title = f"{first.title} to {other.title}" if first.title != other.title else first.title
    invented = first.aircraft.invented or other.aircraft.invented
    with style.chart(path, title, (9.0, 1.6 + 0.34 * (len(shown) + 3)), invented=invented) as figure:
        _draw(figure.add_subplot(), comparison, title)


def _draw(axes: Any, comparison: Comparison, title: str) -> None:
    ledger, display = comparison.ledger, comparison.first.plan.case.display
    unit = 1.0 if display.length == "m" else FOOT
    shown = [(one.cause, one.metres) for one in ledger.entries if abs(one.metres) >= LEAST_SHOWN]
    rest = ledger.difference - sum(metres for _, metres in shown)
    steps = [*shown, ("everything smaller", rest)] if abs(rest) >= LEAST_SHOWN else shown
    labels = ["this case", *(cause for cause, _ in steps), "the other"]
    axes.barh([0], [ledger.first_distance / unit], color=style.LIMIT, height=0.62)
    at = ledger.first_distance
    for number, (_, metres) in enumerate(steps, start=1):
        longer = metres > 0.0
        axes.barh(
            [number],
            [metres / unit],
            left=[at / unit],
            color=style.VERMILION if longer else style.BLUE,
            hatch="" if longer else "///",
            edgecolor="white",
            height=0.62,
        )
        axes.plot([at / unit] * 2, [number - 1.31, number - 0.31], color=style.INK, linewidth=0.6)
        end = max(at, at + metres) / unit
        axes.annotate(f"{metres / unit:+.0f}", (end, number), xytext=(4, 0), textcoords="offset points", va="center")
        at += metres
    axes.barh([len(labels) - 1], [ledger.other_distance / unit], color=style.LIMIT, height=0.62)
    for number, distance in ((0, ledger.first_distance), (len(labels) - 1, ledger.other_distance)):
        axes.annotate(
            f"{distance / unit:.0f} {display.length}",
            (distance / unit, number),
            xytext=(4, 0),
            textcoords="offset points",
            va="center",
            weight="bold",
        )
    axes.set_yticks(range(len(labels)), labels)
    axes.invert_yaxis()
    # The steps are what matters: the axis begins a little below the least of them, and says so.
    places = list(accumulate([ledger.first_distance, *(metres for _, metres in steps)]))
    least, most = min(places), max(places)
    spread = max(most - least, 0.02 * most)
    begin = max(least - 0.5 * spread, 0.0)
    axes.set_xlim(begin / unit, (most + 0.25 * spread) / unit)
    begins = " (the axis does not begin at 0)" if begin > 0.0 else ""
    axes.set_xlabel(f"threshold to a full stop, {display.length}{begins}\n{SHARES_NOTE}", fontsize=8.0)
    axes.set_title(title)
    axes.grid(visible=True, axis="x", alpha=0.25)
