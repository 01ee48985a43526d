"""A brief as text for a terminal or a message: the same content, the strip drawn with characters."""

from __future__ import annotations

import textwrap
from typing import Final

from groundroll.outputs.brief.content import Brief, PieceKind, Strip

WIDTH: Final = 96
"""Columns."""

INK: Final[dict[PieceKind, str]] = {
    "air": ".",
    "rolling": "-",
    "braking": "=",
    "added": "/",
    "left": " ",
    "short": "X",
}
KEY: Final = "... in the air   --- rolling or going   === braking   /// margin   XXX missing   | end"


def brief_text(brief: Brief) -> str:
    """Return the brief as text."""
    parts = [
        [*_wrapped(f"{brief.place}: {brief.title}"), "=" * WIDTH],
        [*_wrapped(brief.aeroplane), *_wrapped(brief.runway), *_wrapped(brief.weather)],
        [*_wrapped(brief.headline, "> "), *_wrapped(" ".join((*brief.why, brief.margin)))],
        [line for one in brief.facts for line in _wrapped(one.meaning, f"{one.value:>14}  ")],
        _window(brief),
        _strip(brief.strip),
        _gates(brief),
        _breaks(brief),
        ["Brakes and the next departure:", *(line for one in brief.heat for line in _wrapped(one, "  "))]
        if brief.heat
        else [],
        ["Take care:", *(line for one in brief.cautions for line in _wrapped(one, "  - "))] if brief.cautions else [],
        ["-" * WIDTH, *_reports(brief), *_wrapped(brief.limits)],
        ["Rests on:", *(line for one in brief.sources for line in _source(one.status, one.documents))],
        [line for one in brief.standing for line in _wrapped(one)],
        [f"Computed {brief.computed}, groundroll {brief.version}, inputs {brief.digest}"],
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _wrapped(text: str, first: str = "") -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=" " * len(first)) if text else []


def _window(brief: Brief) -> list[str]:
    if brief.window is None:
        return []
    return [f"{one.value:>10}{' >' if one.chosen else '  '} {one.words}" for one in brief.window.marks]


def _strip(strip: Strip) -> list[str]:
    """Return the runway to scale, a character for each step of the length."""
    begin = min(strip.paved_begin, 0.0)
    end = max([strip.paved_end, strip.available, *(min(one.end, 1.3 * strip.paved_end) for one in strip.tracks)])
    step = (end - begin) / (WIDTH - 1)

    def column(distance: float) -> int:
        return min(max(round((distance - begin) / step), 0), WIDTH - 1)

    lines: list[str] = []
    for side in ("left", "right"):
        exits = [" "] * WIDTH
        for one in strip.exits:
            if one.side == side:
                text = f"[{one.name}]" if one.chosen else one.name
                at = min(column(one.distance), WIDTH - len(text))
                exits[at : at + len(text)] = text
        runway = [" "] * WIDTH
        for third in strip.thirds:
            for at in range(column(third.begin), column(third.end) + 1):
                runway[at] = str(third.code)
        runway[column(0.0)] = "|"
        runway[column(strip.available)] = "|"
        for gate in strip.gates:
            runway[column(gate.distance)] = "^"
        marked = "".join(exits).rstrip()
        if side == "left":
            lines += [marked] if marked else []
            lines.append("".join(runway).rstrip())
        else:
            lines += [marked] if marked else []
    for track in strip.tracks:
        drawn = [" "] * WIDTH
        for piece in track.pieces:
            for at in range(column(piece.begin), column(piece.end)):
                drawn[at] = INK[piece.kind]
        drawn[column(track.end)] = "|"
        said = ", ".join(one for one in (track.name, track.end_label, track.span_label) if one)
        lines += ["".join(drawn).rstrip(), *_wrapped(said, "  ")]
    lines.append(KEY + ("   ^ gate" if strip.gates else ""))
    return lines


def _gates(brief: Brief) -> list[str]:
    lines = []
    for one in brief.gates:
        text = (
            f"{one.name} at {one.at}: {one.planned} planned; if faster than {one.faster_than}: {one.then}; "
            f"stops up to {one.runway_up_to}."
        )
        lines += _wrapped(text, f"  Gate {one.number}: ")
    return [*lines, *_wrapped(brief.gates_note, "  ")] if lines else []


def _breaks(brief: Brief) -> list[str]:
    if not brief.breaks:
        return []
    title = "What would break it:" if brief.kind == "landing" else "What a weak stop costs, as flown:"
    return [title, *(line for one in brief.breaks for line in _wrapped(one.text, "  NO " if one.breaks else "  -  "))]


def _reports(brief: Brief) -> list[str]:
    lines = []
    for one in brief.reports:
        lines += _wrapped(f"{one.kind} as received: {one.received}")
        lines += _wrapped(f"As understood: {one.understood}")
    return lines


def _source(status: str, documents: tuple[str, ...]) -> list[str]:
    return _wrapped(f"{status}: {'; '.join(documents)}", "  ")
