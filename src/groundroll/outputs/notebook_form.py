"""Answers as pieces of HTML for notebooks: headings, sentences, tables and charts, with the caution below.

Tables are those of the text output, cell by cell; charts are those of the commands.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable, Iterable, Sequence
from html import escape
from pathlib import Path

from rich.table import Table

CELL = "text-align:{side};padding:2px 10px"
"""Style of a cell; the notebook's own theme gives colours and type."""


def svg_of(write: Callable[[Path], None]) -> str:
    """Return what a function writes into an SVG file."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "chart.svg"
        write(path)
        return path.read_text(encoding="utf-8")


def inline_svg(svg: str, words: str) -> str:
    """Return an SVG document as a part of a page, as wide as there is room, with words for who cannot see it."""
    body = svg[svg.index("<svg") :]
    body = re.sub(r'(<svg\b[^>]*?) width="[^"]*"', r"\1", body, count=1)
    body = re.sub(r'(<svg\b[^>]*?) height="[^"]*"', r"\1", body, count=1)
    opening = f'<svg role="img" aria-label="{escape(words)}" style="width:100%;max-width:960px;height:auto"'
    return f'<div style="background:#fff;max-width:960px">{body.replace("<svg", opening, 1)}</div>'


def table(caption: str, head: Sequence[str], rows: Iterable[Sequence[str]], numbers: Sequence[bool] = ()) -> str:
    """Return a table; ``numbers`` says which columns are set to the right."""
    right = [*numbers, *([False] * (len(head) - len(numbers)))]

    def cell(kind: str, words: str, number: bool) -> str:
        style = CELL.format(side="right" if number else "left") + (";white-space:nowrap" if kind == "td" else "")
        scope = ' scope="col"' if kind == "th" else ""
        return f'<{kind}{scope} style="{style}">{escape(words)}</{kind}>'

    lines = ['<div style="overflow-x:auto"><table>']
    if caption:
        lines.append(f'<caption style="text-align:left;white-space:nowrap">{escape(caption)}</caption>')
    if any(head):
        lines.append(
            "<thead><tr>" + "".join(cell("th", *one) for one in zip(head, right, strict=True)) + "</tr></thead>"
        )
    lines.append("<tbody>")
    lines += ["<tr>" + "".join(cell("td", *one) for one in zip(row, right, strict=True)) + "</tr>" for row in rows]
    return "\n".join([*lines, "</tbody></table></div>"])


def table_of(source: Table, caption: str = "") -> str:
    """Return a table of the text output as HTML."""
    columns = source.columns
    head = [" ".join(str(one.header).split()) for one in columns]
    rows = zip(*([str(cell) for cell in one.cells] for one in columns), strict=True)
    return table(caption or str(source.title or ""), head, rows, [one.justify == "right" for one in columns])


def page(title: str, parts: Iterable[str], text: str, cautions: Iterable[str]) -> str:
    """Return an answer: its title, its parts, all of it as text to unfold, and the caution."""
    lines = [f"<h3>{escape(title)}</h3>", *parts]
    if text:
        lines.append(f"<details><summary>All of it as text</summary><pre>{escape(text)}</pre></details>")
    lines.append(f"<p><small>{'<br>'.join(escape(one) for one in cautions)}</small></p>")
    return "\n".join(lines)


def paragraphs(lines: Iterable[str]) -> str:
    """Return sentences, each on a line of its own, the first one bold."""
    shown = [escape(one) for one in lines]
    if not shown:
        return ""
    return "<p>" + "<br>".join([f"<b>{shown[0]}</b>", *shown[1:]]) + "</p>"
