"""`groundroll brief`: one page to hold in the hand, for a landing or a take-off."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from groundroll.commands import (
    DOES_NOT_FIT,
    DONE,
    AsJson,
    Overrides,
    announce_compiling,
    emit,
    emit_bytes,
)

SUFFIXES = (".pdf", ".html", ".txt")
"""Kinds of files that a brief is written to; with --json any name will do."""


def brief(
    case: Annotated[Path, typer.Argument(help="The case file, of a landing or a take-off.", show_default=False)],
    paper: Annotated[Literal["a4", "a5"], typer.Option("--paper", help="Size of the page.")] = "a4",
    time: Annotated[
        str | None,
        typer.Option(
            "--time",
            metavar="TIME",
            help='Time of computation to show, such as "2026-02-17T06:10Z"; left out: now.',
            show_default=False,
        ),
    ] = None,
    as_json: AsJson = False,
    set_: Overrides = None,
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="FILE", help="Write to FILE: .pdf, .html or .txt; left out: text."),
    ] = None,
) -> int:
    """Write the page that a crew briefs from: the means and why, margin, gates, what would break it, brake heat."""
    from groundroll.errors import GroundrollError, ScenarioError
    from groundroll.scenario.read import read_any
    from groundroll.scenario.resolved import Case
    from groundroll.scenario.take_off import TakeOffCase

    suffix = ".txt" if output is None else output.suffix.lower()
    if not as_json and suffix not in SUFFIXES:
        raise GroundrollError(
            f"-o {output}: a brief is written as {', '.join(SUFFIXES)}; end the name with one of them."
        )
    computed = _moment(time)
    resolved = read_any(case, set_ or ())
    if not isinstance(resolved, Case | TakeOffCase):
        raise ScenarioError(f"{case.name} is not a case. A brief is made of a landing or a take-off case.")
    announce_compiling()
    page, plan = _content(resolved, computed)
    if as_json:
        from groundroll.outputs.brief.form import brief_json
        from groundroll.outputs.json_form import to_text

        emit(to_text(brief_json(page, plan)), output)
    elif output is not None and suffix == ".pdf":
        from groundroll.outputs.brief.pdf import brief_pdf

        emit_bytes(brief_pdf(page, computed, paper), output)
    elif suffix == ".html":
        from groundroll.outputs.brief.html import brief_html

        emit(brief_html(page, paper), output)
    else:
        from groundroll.outputs.brief.text import brief_text

        emit(brief_text(page), output)
    return DONE if page.fits else DOES_NOT_FIT


def _content(resolved: Any, computed: datetime) -> tuple[Any, dict[str, Any]]:
    """Return the content of the page and the JSON of the plan behind it."""
    from groundroll.scenario.resolved import Case

    if isinstance(resolved, Case):
        from groundroll.outputs.brief.landing import landing_brief
        from groundroll.outputs.json_form import land_json
        from groundroll.planning.decision import decide
        from groundroll.planning.landing import plan_landing

        decision = decide(plan_landing(resolved))
        return landing_brief(decision, computed), land_json(decision.plan, decision)
    from groundroll.outputs.brief.take_off import take_off_brief
    from groundroll.outputs.reject_form import reject_json
    from groundroll.planning.reject import plan_reject

    plan = plan_reject(resolved)
    return take_off_brief(plan, computed), reject_json(plan)


def _moment(text: str | None) -> datetime:
    """Return the time of computation; refuse one without its zone, which could be any hour of the day."""
    from groundroll.errors import GroundrollError

    if text is None:
        return datetime.now(UTC)
    try:
        moment = datetime.fromisoformat(text)
        if moment.tzinfo is None:
            raise ValueError
        return moment.astimezone(UTC)
    except (ValueError, OverflowError) as error:
        raise GroundrollError(
            f'--time "{text[:40]}" is not a time in UTC. Write it such as "2026-02-17T06:10Z".'
        ) from error
