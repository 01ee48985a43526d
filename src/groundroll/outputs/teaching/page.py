"""What every page of teaching shares: one self-contained file of HTML, no request to anywhere, night and day."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable
from html import escape
from typing import Final

from groundroll.outputs.teaching.drawing import COLOURS, DASHES, FILLS, drawn, typeset
from groundroll.teaching.pictures import Picture, Report, Table

NIGHT_COLOURS: Final = ("#7CC4F5", "#FFA07A", "#6FDDB4", "#E3B5D8", "#E8C95A", "#D0D0D0")
NIGHT_FILLS: Final = ("#1F4E70", "#7A3A16", "#14614A", "#5E3A56", "#5C4A10", "#4A4A4A")
"""The same hues for light text on a dark page."""

STYLE: Final = """
:root { color-scheme: light; --ink:#111; --page:#fff; --quiet:#4a4a4a; --rule:#8a8a8a; --tint:#f1f4f7; --link:#004b87;
  --go:#00513b; --no:#8c2b00; --gain:#cdebdf; --cost:#fbe0cd; --total:#dddddd; --grid:#dddddd; --limit:#555; }
:root[data-theme="night"] { color-scheme: dark; --ink:#eee; --page:#101418; --quiet:#b9bec4; --rule:#767d85;
  --tint:#1b222a; --link:#9fd0ff; --go:#7fe3bd; --no:#ffb08a; --gain:#14614a; --cost:#7a3a16; --total:#4a4a4a;
  --grid:#333a42; --limit:#a9b0b8; }
@media (prefers-color-scheme: dark) { :root:not([data-theme="day"]) { color-scheme: dark; --ink:#eee; --page:#101418;
  --quiet:#b9bec4; --rule:#767d85; --tint:#1b222a; --link:#9fd0ff; --go:#7fe3bd; --no:#ffb08a; --gain:#14614a;
  --cost:#7a3a16; --total:#4a4a4a; --grid:#333a42; --limit:#a9b0b8; %NIGHT% } }
:root { %DAY% }
:root[data-theme="night"] { %NIGHT% }
* { box-sizing: border-box; }
html { scroll-padding-top: 1rem; }
body { margin: 0; color: var(--ink); background: var(--page); line-height: 1.5;
  font-family: system-ui, "Segoe UI", Roboto, "Liberation Sans", Arial, sans-serif;
  font-size: clamp(1rem, .86rem + .45vw, 1.5rem); }
header, main, footer, .bar { max-width: 84rem; margin: 0 auto; padding: .8rem clamp(1rem, 3vw, 2.5rem); }
header { display: flex; justify-content: space-between; align-items: center; gap: 1rem; flex-wrap: wrap;
  border-bottom: 1px solid var(--rule); }
header p { margin: 0; font-weight: 600; }
h1 { font-size: 2.1em; line-height: 1.15; margin: .6em 0 .4em; text-wrap: balance; }
h2 { font-size: 1.5em; line-height: 1.2; margin: .5em 0 .5em; text-wrap: balance; }
h3 { font-size: 1em; margin: 1.2em 0 .3em; }
h2:focus, h1:focus { outline: none; }
p { margin: .6em 0; max-width: 44rem; }
a { color: var(--link); }
.quiet { color: var(--quiet); font-size: .82em; }
.changes { border-left: .35rem solid var(--link); padding: .2rem .8rem; background: var(--tint); max-width: 44rem; }
.step { display: grid; gap: 0 2.5rem; grid-template-columns: minmax(0, 1fr); }
@media (min-width: 64rem) { .step.pictured { grid-template-columns: minmax(0, 5fr) minmax(0, 6fr); } }
.step > h1, .step > h2 { grid-column: 1 / -1; }
figure { margin: .4rem 0 1.4rem; }
figcaption { font-weight: 600; margin-bottom: .3rem; }
.scroll { overflow-x: auto; }
.scroll svg { display: block; width: 100%; min-width: 27rem; height: auto; }
svg text { fill: var(--ink); }
.grid { stroke: var(--grid); stroke-width: .8; } .axis { stroke: var(--ink); stroke-width: 1; }
.limit { stroke: var(--limit); stroke-width: 1.2; stroke-dasharray: 6 4; }
.air { stroke: var(--ink); stroke-width: 1.6; stroke-dasharray: 2 4; }
.gain { fill: var(--gain); stroke: var(--ink); stroke-width: .8; }
.cost { fill: var(--cost); stroke: var(--ink); stroke-width: .8; }
.total { fill: var(--total); stroke: var(--ink); stroke-width: .8; }
.bad { fill: var(--cost); } .contour { stroke: var(--line0); stroke-width: 1.4; }
.nought { stroke: var(--ink); stroke-width: 2.6; }
.runway { fill: var(--tint); stroke: var(--ink); stroke-width: 1; }
%LINES%
table { border-collapse: collapse; width: 100%; font-size: .9em; }
th, td { text-align: left; padding: .3rem .8rem .3rem 0; border-bottom: 1px solid var(--rule); vertical-align: top; }
thead th { border-bottom-width: 2px; }
tbody th { font-weight: normal; }
td { font-variant-numeric: tabular-nums; }
pre { font-size: .82em; background: var(--tint); padding: .6rem .8rem; white-space: pre-wrap; overflow-wrap: anywhere; }
.told { list-style: none; padding: 0; margin: .4rem 0; }
.facts { border-top: 1px solid var(--rule); margin-top: 1rem; padding-top: .3rem; }
.facts ul { padding-left: 1.1rem; margin: .2rem 0; }
.badge { border: 1px solid var(--rule); border-radius: .3rem; padding: 0 .35rem; white-space: nowrap; }
fieldset { border: 2px solid var(--rule); border-radius: .5rem; margin: 1rem 0; padding: .4rem 1rem .8rem; min-width: 0;
  max-width: 46rem; }
legend { font-weight: 600; padding: 0 .4rem; }
.choice { display: flex; gap: .7rem; align-items: baseline; padding: .35rem 0; cursor: pointer; }
.choice input { width: 1.15em; height: 1.15em; flex: none; accent-color: var(--link); }
input[type="text"] { font: inherit; width: 8rem; padding: .35rem .5rem; color: var(--ink); background: var(--page);
  border: 1px solid var(--rule); border-radius: .3rem; }
button { font: inherit; min-height: 2.75rem; padding: .35rem 1.1rem; border-radius: .4rem; cursor: pointer;
  border: 1px solid var(--rule); color: var(--ink); background: var(--tint); }
button.main { background: var(--link); color: var(--page); border-color: var(--link); }
button:disabled { opacity: 1; color: var(--quiet); border-style: dashed; cursor: default; }
:focus-visible { outline: 3px solid var(--link); outline-offset: 2px; }
.verdict { font-weight: 600; margin-top: .8rem; }
.verdict.right { color: var(--go); } .verdict.wrong { color: var(--no); }
main { padding-bottom: 2rem; }
.bar { position: sticky; bottom: 0; display: flex; gap: .8rem; align-items: center; background: var(--page);
  border-top: 1px solid var(--rule); }
.bar p { margin: 0 auto; font-variant-numeric: tabular-nums; }
footer { border-top: 1px solid var(--rule); margin-top: 1.5rem; }
.skip { position: absolute; left: -99rem; } .skip:focus { position: static; }
[hidden] { display: none !important; }
kbd { border: 1px solid var(--rule); border-radius: .25rem; padding: 0 .35rem; font-size: .85em; }
@media print { .bar, header button, .skip { display: none; }
  .step[hidden], .answer[hidden] { display: grid !important; }
  .step { break-inside: avoid; break-before: page; } }
"""


def _variables(colours: Iterable[str], fills: Iterable[str]) -> str:
    lines = " ".join(f"--line{number}:{colour};" for number, colour in enumerate(colours))
    return f"{lines} {' '.join(f'--fill{number}:{colour};' for number, colour in enumerate(fills))}"


def _line_styles() -> str:
    rules = []
    for number, dash in enumerate(DASHES):
        dashed = f" stroke-dasharray: {dash};" if dash else ""
        rules.append(
            f".line{number} {{ fill: none; stroke: var(--line{number}); stroke-width: 2.4;{dashed} }}\n"
            f".dot{number} {{ fill: var(--line{number}); stroke: var(--page); stroke-width: 1; }}\n"
            f".fill{number} {{ fill: var(--fill{number}); stroke: var(--ink); stroke-width: .8; }}"
        )
    return "\n".join(rules)


def page_style() -> str:
    """Return the style sheet of every page of teaching."""
    return (
        STYLE.replace("%DAY%", _variables(COLOURS, FILLS))
        .replace("%NIGHT%", _variables(NIGHT_COLOURS, NIGHT_FILLS))
        .replace("%LINES%", _line_styles())
    )


def page(title: str, body: str, script: str) -> str:
    """Return a whole page; only this script may run, and nothing may be fetched."""
    digest = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    policy = (
        f"default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-{digest}'; base-uri 'none'; "
        "form-action 'none'"
    )
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        f"<title>{escape(title)}</title>\n<style>{page_style()}</style>\n</head>\n<body>\n{body}\n"
        f"<script>{script}</script>\n</body>\n</html>\n"
    )


def words(text: str) -> str:
    """Return a text for a page: escaped, numbers kept with their units."""
    return escape(typeset(text))


def paragraphs(texts: Iterable[str]) -> str:
    """Return texts as paragraphs."""
    return "".join(f"<p>{words(one)}</p>" for one in texts)


def figure(picture: Picture) -> str:
    """Return a picture as a figure; drawings with their words for those who do not see them."""
    title = picture.title[0].upper() + picture.title[1:]
    caption = f"<figcaption>{words(title)}</figcaption>"
    if isinstance(picture, Table):
        return f"<figure>{caption}{_scrolling(title, table(picture))}</figure>"
    if isinstance(picture, Report):
        lines = "".join(f"<li>{words(one)}</li>" for one in picture.understood)
        return (
            f'<figure>{caption}<p class="quiet">As received</p><pre>{escape(picture.received.strip())}</pre>'
            f'<p class="quiet">As understood</p><ul class="told">{lines}</ul></figure>'
        )
    drawing = drawn(picture, paper=False)
    return f'<figure>{caption}{_scrolling(title, drawing)}<p class="quiet">{words(picture.words)}</p></figure>'


def _scrolling(title: str, content: str) -> str:
    """Return what may be wider than a small screen; it scrolls by itself, by keys too."""
    return f'<div class="scroll" tabindex="0" role="region" aria-label="{words(title)}">{content}</div>'


def table(picture: Table) -> str:
    """Return a table."""
    head = "".join(
        f'<th scope="col">{words(one)}</th>' if one else '<td><span aria-hidden="true"></span></td>'
        for one in picture.columns
    )
    rows = "".join(
        f'<tr><th scope="row">{words(row[0])}</th>{"".join(f"<td>{words(one)}</td>" for one in row[1:])}</tr>'
        for row in picture.rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
