"""A brief as one page of PDF, set by Typst from a template of this package; fonts are embedded, no network is used."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import datetime
from importlib.resources import files
from typing import Any, Final, Literal, TypeAlias

from groundroll.errors import GroundrollError
from groundroll.outputs.brief.content import Brief
from groundroll.outputs.brief.drawing import strip_svg, unlabelled_exits, window_svg
from groundroll.outputs.brief.fit import reductions
from groundroll.outputs.brief.typography import all_set_in_type

Paper: TypeAlias = Literal["a4", "a5"]

MARGINS: Final[dict[Paper, float]] = {"a4": 14.0, "a5": 9.0}
"""Left and right of the page. [mm]"""

WIDTHS: Final[dict[Paper, float]] = {"a4": 210.0, "a5": 148.0}
"""ISO 216. [mm]"""

SIZES: Final[dict[Paper, tuple[float, ...]]] = {"a4": (11.0, 10.4, 9.8, 9.2, 8.6), "a5": (8.6, 8.2, 7.8, 7.4, 7.0)}
"""Sizes of the running text that are tried, the largest that fits one page is taken. [pt]"""

DRAWN_AT: Final = 8.6
"""Size of the running text at which drawings are shown as they are; they grow with it. [pt]"""

POINT: Final = 25.4 / 72.0
"""[mm]"""


def drawing_width(paper: Paper) -> float:
    """Return the width between the margins. [pt]"""
    return (WIDTHS[paper] - 2.0 * MARGINS[paper]) / POINT


def _data(brief: Brief, paper: Paper, size: float) -> dict[str, Any]:
    width = drawing_width(paper) * min(DRAWN_AT / size, 1.0)
    data: dict[str, Any] = all_set_in_type(asdict(brief))
    lost = unlabelled_exits(brief.strip, width)
    if lost:
        data["left_out"] = [*data["left_out"], f"the labels of {lost} exits"]
    data.update(
        paper=paper,
        page_margin=MARGINS[paper],
        size=size,
        strip=strip_svg(brief.strip, width),
        window="" if brief.window is None else window_svg(brief.window, width),
    )
    return data


def brief_pdf(brief: Brief, computed: datetime, paper: Paper = "a4") -> bytes:
    """Return the brief as PDF, one page.

    Parameters
    ----------
    brief
        The content.
    computed
        Stands in the file as the time of its making, so that the same brief gives the same bytes.
    paper
        Size of the page.

    Raises
    ------
    GroundrollError
        If it does not fit one page with everything left out that may be.
    """
    import typst

    template = files("groundroll.outputs.brief").joinpath("brief.typ").read_bytes()
    tries = [(content, size) for content in reductions(brief) for size in SIZES[paper]]
    for content, size in tries:
        inputs = {"brief": json.dumps(_data(content, paper, size), ensure_ascii=False)}
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
    raise GroundrollError(f"The brief does not fit one page of {paper.upper()}. Write it as .html or .txt instead.")
