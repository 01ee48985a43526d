"""A brief as one self-contained page of HTML: no script, no font, no request to anywhere."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from typing import Final

from groundroll.outputs.brief.content import Brief, Report
from groundroll.outputs.brief.drawing import strip_svg, window_svg
from groundroll.outputs.brief.pdf import Paper
from groundroll.outputs.brief.typography import set_in_type

DRAWING_WIDTH: Final = 516.0
"""At which the drawings are made; the page scales them. [pt]"""

STYLE: Final = """
@page { size: %PAPER%; margin: 10mm; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1.5rem 1rem; max-width: 52rem; color: #000; background: #fff;
  font: 1rem/1.4 "Libertinus Serif", Georgia, "Times New Roman", serif; }
header { display: flex; justify-content: space-between; align-items: end; gap: 1rem; border-bottom: 2px solid; }
header h1 { font-size: 1.15rem; font-weight: normal; margin: 0; }
header strong { font-size: 1.8rem; line-height: 1.1; white-space: nowrap; }
.quiet { font-size: .86rem; }
.quiet p, p.quiet { margin: .35rem 0; }
h2 { font-size: 1.6rem; line-height: 1.2; margin: .9rem 0 .3rem; }
h3 { font-size: 1rem; margin: 1rem 0 .3rem; }
p { margin: .3rem 0; }
.facts { display: grid; grid-template-columns: repeat(auto-fit, minmax(8rem, 1fr)); gap: .8rem;
  margin: .9rem 0; padding: 0; list-style: none; }
.facts li + li { border-left: 1px solid; padding-left: .8rem; }
.facts b { display: block; font-size: 1.5rem; line-height: 1.15; }
svg { display: block; width: 100%; height: auto; margin: .8rem 0 .3rem; }
table { border-collapse: collapse; width: 100%; margin-top: .6rem; }
th { font-weight: normal; font-size: .86rem; text-align: left; border-bottom: 1.5px solid; }
tbody th { font-size: 1rem; }
tbody th, td { border-bottom: 1px solid #767676; vertical-align: top; }
th, td { padding: .2rem .5rem .2rem 0; }
.number { text-align: right; white-space: nowrap; }
.columns { display: grid; grid-template-columns: repeat(auto-fit, minmax(17rem, 1fr)); gap: 0 1.6rem; }
ul.lines { margin: 0; padding: 0; list-style: none; }
ul.lines li { padding-left: 2rem; text-indent: -2rem; margin: .2rem 0; }
ul.lines li::before { content: "–"; display: inline-block; width: 2rem; text-indent: 0; }
ul.lines li.breaks { font-size: 1rem; }
ul.lines li.breaks::before { content: none; }
.no { display: inline-block; width: 1.6rem; margin-right: .4rem; text-indent: 0; text-align: center; font-size: .8rem;
  border: 1.5px solid; }
.behind { border-top: 1.5px solid; margin-top: 1.2rem; padding-top: .4rem; }
code { font-family: "DejaVu Sans Mono", Consolas, monospace; font-size: .86em; overflow-wrap: anywhere; }
footer { border-top: 1px solid; margin-top: .6rem; padding-top: .4rem; display: flex; flex-wrap: wrap; gap: 1rem;
  justify-content: space-between; }
footer strong { flex: 1 1 20rem; }
@media print { body { padding: 0; max-width: none; font-size: %PRINT%; } }
"""


def _text(text: str) -> str:
    return escape(set_in_type(text))


def _paragraphs(texts: Iterable[str]) -> str:
    return "".join(f"<p>{_text(one)}</p>" for one in texts)


def brief_html(brief: Brief, paper: Paper = "a4") -> str:
    """Return the brief as a page of HTML; ``paper`` is what it prints on."""
    style = STYLE.replace("%PAPER%", paper.upper()).replace("%PRINT%", "9pt" if paper == "a4" else "7pt")
    parts = [
        f"<header><h1>{_text(brief.title)}</h1><strong>{_text(brief.place)}</strong></header>",
        f'<div class="quiet">{_paragraphs((brief.aeroplane, brief.runway, brief.weather))}</div>',
        f"<h2>{_text(brief.headline)}</h2>",
        f"<p>{_text(' '.join((*brief.why, brief.margin)))}</p>",
        _facts(brief),
        "" if brief.window is None else window_svg(brief.window, DRAWING_WIDTH, fixed_text=True),
        strip_svg(brief.strip, DRAWING_WIDTH, fixed_text=True),
        f'<p class="quiet">{_text(brief.key)}</p>',
        _gates(brief),
        f'<div class="columns">{_breaks(brief)}<section>{_heat(brief)}{_cautions(brief)}</section></div>',
        '<section class="behind quiet">',
        *(_report(one) for one in brief.reports),
        f"<p>{_text(brief.limits)}</p>",
        _sources(brief),
        "</section>",
        f'<footer class="quiet"><strong>{_text(" ".join(brief.standing))}</strong>'
        f"<span>Computed {_text(brief.computed)}<br>groundroll {escape(brief.version)}<br>inputs {brief.digest}</span>"
        "</footer>",
    ]
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        f"<title>{escape(brief.title)}</title>\n<style>{style}</style>\n</head>\n<body>\n"
        + "\n".join(part for part in parts if part)
        + "\n</body>\n</html>\n"
    )


def _facts(brief: Brief) -> str:
    listed = "".join(
        f'<li><b>{_text(one.value)}</b><span class="quiet">{_text(one.meaning)}</span></li>' for one in brief.facts
    )
    return f'<ul class="facts">{listed}</ul>' if listed else ""


def _gates(brief: Brief) -> str:
    if not brief.gates:
        return ""
    columns = ("", "gate", "at", "planned", "if faster than", "then", "stops up to")
    numbers = {"at", "planned", "if faster than", "stops up to"}
    head = "".join(f'<th scope="col"{_number(one in numbers)}>{one}</th>' for one in columns)
    rows = "".join(
        f'<tr><td><b>{one.number}</b></td><th scope="row">{_text(one.name)}</th><td class="number">{_text(one.at)}</td>'
        f'<td class="number">{_text(one.planned)}</td><td class="number"><b>{_text(one.faster_than)}</b></td>'
        f'<td>{_text(one.then)}</td><td class="number">{_text(one.runway_up_to)}</td></tr>'
        for one in brief.gates
    )
    note = f'<p class="quiet">{_text(brief.gates_note)}</p>'
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>{note}"


def _number(is_number: bool) -> str:
    return ' class="number"' if is_number else ""


def _breaks(brief: Brief) -> str:
    if not brief.breaks:
        return ""
    title = "What would break it" if brief.kind == "landing" else "What a weak stop costs, as flown"
    lines = "".join(
        f'<li class="breaks"><b class="no">NO</b>{_broken(one.text)}</li>'
        if one.breaks
        else f"<li>{_text(one.text)}</li>"
        for one in brief.breaks
    )
    return f'<section><h3>{title}</h3><ul class="lines quiet">{lines}</ul></section>'


def _broken(text: str) -> str:
    """Return a line of what breaks the plan, its first words bold."""
    head, colon, rest = text.partition(": ")
    return f"<b>{_text(head + colon)}</b>{_text(rest)}"


def _heat(brief: Brief) -> str:
    if not brief.heat:
        return ""
    rest = f'<p class="quiet">{_text(" ".join(brief.heat[1:]))}</p>'
    return f"<h3>Brakes and the next departure</h3><p>{_text(brief.heat[0])}</p>{rest}"


def _cautions(brief: Brief) -> str:
    lines = "".join(f"<li>{_text(one)}</li>" for one in brief.cautions)
    return f'<h3>Take care</h3><ul class="lines quiet">{lines}</ul>' if lines else ""


def _report(report: Report) -> str:
    return (
        f"<p><b>{report.kind} as received:</b> <code>{escape(report.received)}</code></p>"
        f"<p><b>As understood:</b> {_text(report.understood)}</p>"
    )


def _sources(brief: Brief) -> str:
    groups = " · ".join(f"<i>{_text(one.status)}:</i> {_text('; '.join(one.documents))}" for one in brief.sources)
    return f"<p><b>Rests on</b> {groups}.</p>"
