"""Making a brief fit one page: what is left out, in a fixed order, and said on the page.

Never left out: the headline and its reasons, margin, facts, strip, the first and the last gates, what breaks the plan,
heat, cautions, limits, time, version, digest.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from groundroll.outputs.brief.content import Brief, Report, SourceGroup

Step = Callable[[Brief], Brief]


def _said(brief: Brief, text: str, **changes: object) -> Brief:
    """Return the brief changed, with what is missing said once."""
    said = tuple(dict.fromkeys((*brief.left_out, text)))
    return replace(brief, left_out=said, **changes)  # type: ignore[arg-type]


def _cut(text: str, length: int) -> str:
    return text if len(text) <= length else f"{text[: length - 2].rstrip()} …"


def _command(brief: Brief) -> str:
    return "groundroll land" if brief.kind == "landing" else "groundroll reject"


def _sources(brief: Brief) -> Brief:
    counted = tuple(SourceGroup(one.status, (str(len(one.documents)),)) for one in brief.sources)
    return _said(brief, f"the names of the sources ({_command(brief)} lists them)", sources=counted)


def _still(brief: Brief) -> Brief:
    rest = tuple(one for one in brief.breaks if not one.text.startswith(("Still fits", "Still stops")))
    return brief if rest == brief.breaks else _said(brief, "changes after which the plan still works", breaks=rest)


def _shorter_reports(length: int) -> Step:
    def shorten(brief: Brief) -> Brief:
        reports = tuple(
            Report(one.kind, _cut(one.received, length), _cut(one.understood, length)) for one in brief.reports
        )
        if reports == brief.reports:
            return brief
        whole = f"the rest of reports longer than {length} characters (groundroll read shows them)"
        earlier = tuple(one for one in brief.left_out if "the rest of reports" not in one)
        return replace(brief, reports=reports, left_out=(*earlier, whole))

    return shorten


def _gates(most: int) -> Step:
    def fewer(brief: Brief) -> Brief:
        """Keep the gates nearest the end of the roll, where it is decided, and the first."""
        if len(brief.gates) <= most:
            return brief
        kept = (*brief.gates[:1], *brief.gates[len(brief.gates) - most + 1 :])
        numbers = {one.number for one in kept}
        strip = replace(brief.strip, gates=tuple(one for one in brief.strip.gates if one.number in numbers))
        return _said(brief, "gates between the first and the last", gates=kept, strip=strip)

    return fewer


def _breaks(most: int) -> Step:
    def fewer(brief: Brief) -> Brief:
        """Keep the first: what breaks the plan stands before what does not."""
        if len(brief.breaks) <= most:
            return brief
        return _said(brief, "how far single things may go", breaks=brief.breaks[:most])

    return fewer


def _weather(brief: Brief) -> Brief:
    """Leave out what was understood; the numbers used stand at the head of the page."""
    reports = tuple(replace(one, understood="") for one in brief.reports)
    return _said(brief, "reports as understood (the values used stand at the top)", reports=reports)


def _cautions(length: int) -> Step:
    def shorten(brief: Brief) -> Brief:
        shorter = tuple(_cut(one, length) for one in brief.cautions)
        return brief if shorter == brief.cautions else _said(brief, "the ends of long cautions", cautions=shorter)

    return shorten


STEPS: Final[tuple[Step, ...]] = (
    _sources,
    _still,
    _shorter_reports(400),
    _gates(6),
    _shorter_reports(200),
    _breaks(8),
    _gates(4),
    _weather,
    _breaks(4),
    _cautions(120),
    _shorter_reports(90),
    _gates(2),
    _breaks(2),
)
"""What goes first comes first."""


def reductions(brief: Brief) -> list[Brief]:
    """Return the brief whole, then with more and more left out, each time saying so."""
    found = [brief]
    for step in STEPS:
        shorter = step(found[-1])
        if shorter != found[-1]:
            found.append(shorter)
    return found
