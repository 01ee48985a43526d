"""One page of PDF on a fit: the verdict, the chart, every parameter, the worst rows, and for what it holds."""

from __future__ import annotations

import json
import tempfile
from datetime import datetime
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

from groundroll import __version__
from groundroll.constants import KNOT
from groundroll.errors import GroundrollError
from groundroll.outputs.brief.typography import all_set_in_type
from groundroll.outputs.caution import cautions
from groundroll.outputs.fit_chart import write_fit_chart
from groundroll.outputs.fit_form import (
    fit_verdict,
    interval_text,
    percent_of,
    quality_lines,
    quantity_text,
    says_alone,
    validity_lines,
)
from groundroll.planning.fit.solve import Fit
from groundroll.planning.fit.table import PublishedRow

SIZES: Final = (9.4, 8.6, 7.8, 7.0)
"""Sizes of the running text that are tried, the largest that fits one page is taken. [pt]"""

WORST_ROWS: Final = 8
"""Rows that are listed."""

MOST_REFUSALS: Final = 8


def fit_report_pdf(fit: Fit, computed: datetime) -> bytes:
    """Return the report on a fit, one page of A4.

    Parameters
    ----------
    fit
        The fit, accepted or refused.
    computed
        Stands in the file as the time of its making.

    Raises
    ------
    GroundrollError
        If it does not fit one page.
    """
    import typst

    template = files("groundroll.outputs").joinpath("fit_report.typ").read_bytes()
    with tempfile.TemporaryDirectory() as folder:
        drawn = Path(folder) / "chart.svg"
        write_fit_chart(fit, drawn, in_report=True)
        picture = drawn.read_text(encoding="utf-8")
    for size in SIZES:
        data = _data(fit, computed) | {"size": size, "chart": picture, "chart_width": 100.0 if size > 8.0 else 86.0}
        inputs = {"report": json.dumps(data, ensure_ascii=False)}
        pages = typst.query(template, "<pages>", field="value", one=True, sys_inputs=inputs, ignore_system_fonts=True)
        if int(pages) == 1:
            made = typst.compile(
                template,
                format="pdf",
                sys_inputs=inputs,
                ignore_system_fonts=True,
                timestamp=int(computed.timestamp()),
            )
            assert isinstance(made, bytes)  # one document in, one out
            return made
    raise GroundrollError("The report on the fit does not fit one page: too many parameters. Use --json instead.")


def _data(fit: Fit, computed: datetime) -> dict[str, Any]:
    rows = sorted(zip(fit.table.rows, fit.misses, strict=True), key=lambda one: -abs(one[1]) / one[0].middle)
    more = len(fit.refusals) - MOST_REFUSALS
    refusals = [*fit.refusals[:MOST_REFUSALS], *([f"... and {more} more."] if more > 0 else [])]
    data = {
        "title": f"{fit.start.name}, fitted to {fit.table.name}",
        "verdict": fit_verdict(fit),
        "refusals": refusals,
        "quality": quality_lines(fit),
        "parameters": [
            {
                "key": one.parameter.key,
                "start": "1" if one.parameter.scale else quantity_text(one.parameter, one.parameter.start),
                "value": quantity_text(one.parameter, one.value) if one.fitted else "left at the start",
                "interval": interval_text(one),
                "alone": says_alone(one),
                "fitted": one.fitted,
            }
            for one in fit.parameters
        ],
        "rows": [
            {
                "number": str(row.number),
                "what": _conditions(row),
                "published": f"{row.middle:.0f} m",
                "miss": f"{miss:+.1f} m ({percent_of(row, miss)})",
            }
            for row, miss in rows[:WORST_ROWS]
        ],
        "validity": validity_lines(fit),
        "standing": cautions(invented=fit.start.invented),
        "computed": f"{computed:%Y-%m-%d %H:%MZ}",
        "version": __version__,
        "digest": fit.table.digest[:16],
    }
    set_in_type: dict[str, Any] = all_set_in_type(data)
    return set_in_type


def _conditions(row: PublishedRow) -> str:
    parts = [f"{row.mass / 1000.0:.1f} t", f"flap {row.flap}", f"code {row.code}"]
    if row.kind == "landing":
        parts += [f"{row.brake}", f"reverse {row.reverse}"]
    else:
        parts += [f"accelerate-stop, V1 {row.decision_speed / KNOT:.0f} kt"]
    return ", ".join(parts)
