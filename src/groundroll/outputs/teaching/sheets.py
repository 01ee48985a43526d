"""A lesson on paper: slides and the leader's sheet as PDF, set by Typst; the leader's sheet as text too."""

from __future__ import annotations

import json
import re
import textwrap
from dataclasses import asdict
from functools import cache
from importlib.resources import files
from typing import Any, Final

from groundroll import __version__
from groundroll.outputs.brief.typography import all_set_in_type
from groundroll.outputs.caution import cautions
from groundroll.outputs.teaching.drawing import SLIDE_WIDTH, drawn
from groundroll.outputs.teaching.form import lesson_sources
from groundroll.teaching.computed import ComputedLesson, ComputedQuestion
from groundroll.teaching.pictures import Picture, Report, Table

STAMP: Final = 1_767_225_600
"""Stands in the files as the time of their making, the same for all: the same lesson gives the same bytes. [s]"""

WIDTH: Final = 100
"""Of the sheet as text. [characters]"""


@cache
def _template(name: str) -> bytes:
    return files("groundroll.outputs.teaching").joinpath(name).read_bytes()


def typeset_pdf(template: str, key: str, data: dict[str, Any]) -> bytes:
    """Return a document set by Typst from a template of this package; fonts are embedded, no network is used."""
    import typst

    made = typst.compile(
        _template(template),
        format="pdf",
        sys_inputs={key: json.dumps(with_squares(all_set_in_type(data)), ensure_ascii=False)},
        ignore_system_fonts=True,
        timestamp=STAMP,
    )
    assert isinstance(made, bytes)  # one document in, one out
    return made


def with_squares(value: Any) -> Any:
    """Return plain values with every "m/s2" in them set as m/s²."""
    if isinstance(value, str):
        return value.replace("m/s2", "m/s²")
    if isinstance(value, dict):
        return {key: with_squares(one) if key != "svg" else one for key, one in value.items()}
    return [with_squares(one) for one in value] if isinstance(value, list) else value


def _about(lesson: ComputedLesson) -> str:
    case = lesson.cases[0].run.case
    return (
        f"About {lesson.minutes} minutes. Aeroplane {case.aircraft.name}, runway {case.runway.aerodrome} "
        f"{case.direction}. Every number of the model was computed for this sheet."
    )


def _picture(picture: Picture) -> dict[str, Any]:
    data = asdict(picture) if isinstance(picture, Table | Report) else {"kind": picture.kind, "words": picture.words}
    title = picture.title[0].upper() + picture.title[1:]
    svg = drawn(picture, paper=True, width=SLIDE_WIDTH)
    return {**data, "title": title, "svg": svg, "ratio": _ratio(svg)}


def _ratio(svg: str) -> float:
    """Return height over width of a drawing, from its own measures."""
    match = re.search(r'viewBox="0 0 (\d+) (\d+)"', svg)
    return 0.0 if match is None else int(match.group(2)) / int(match.group(1))


def _near(question: ComputedQuestion) -> str:
    return "" if question.number is None else f"right within {100.0 * question.within:.0f} %"


def sheet_data(lesson: ComputedLesson) -> dict[str, Any]:
    """Return everything that slides and leader's sheet show."""
    steps = []
    for step in lesson.steps:
        question = None if step.question is None else {**asdict(step.question), "near": _near(step.question)}
        steps.append(
            {
                "title": step.title,
                "paragraphs": list(step.paragraphs),
                "changes": step.changes,
                "pictures": [_picture(one) for one in step.pictures],
                "revealed": [_picture(one) for one in step.revealed],
                "facts": [asdict(one) for one in step.facts],
                "question": question,
                "leader": list(step.leader),
            }
        )
    return {
        "title": lesson.title,
        "summary": lesson.summary,
        "about": _about(lesson),
        "goals": list(lesson.goals),
        "steps": steps,
        "cases": [f"{one.spec.label} ({one.run.case.title})" for one in lesson.cases],
        "sources": [f"{one['document']}, {one['paragraph']} [{one['status']}]" for one in lesson_sources(lesson)],
        "standing": " ".join(cautions(invented=lesson.invented)),
        "version": __version__,
    }


def slides_pdf(lesson: ComputedLesson) -> bytes:
    """Return the slides of a lesson as PDF, 16 to 9: text and pictures, each question, each answer."""
    return typeset_pdf("slides.typ", "lesson", sheet_data(lesson))


def leader_pdf(lesson: ComputedLesson) -> bytes:
    """Return the leader's sheet as PDF, A4."""
    return typeset_pdf("leader.typ", "lesson", sheet_data(lesson))


def _wrapped(text: str, indent: str = "", first: str | None = None) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent if first is None else first, subsequent_indent=indent)


def leader_text(lesson: ComputedLesson) -> str:
    """Return the leader's sheet as text."""
    lines = [lesson.title, "=" * len(lesson.title), "", *_wrapped(lesson.summary), "", *_wrapped(_about(lesson)), ""]
    lines += ["After this your group can:", *(line for one in lesson.goals for line in _wrapped(one, "    ", "  - "))]
    for number, step in enumerate(lesson.steps, start=1):
        heading = f"{number}. {step.title}"
        lines += ["", heading, "-" * len(heading)]
        if step.changes:
            lines += _wrapped(f"What changes: {step.changes}")
        for paragraph in step.paragraphs:
            lines += ["", *_wrapped(paragraph)]
        for fact in step.facts:
            told = f"{fact.status}: {fact.source}" if fact.source else fact.status
            lines += ["", *_wrapped(f"Not from the model: {fact.text} [{told}]")]
        for picture in (*step.pictures, *step.revealed):
            lines += ["", *_wrapped(f"Shown: {picture.title}. {picture.words}", "    ", "  ")]
        if step.question is not None:
            lines += ["", *_question_lines(step.question)]
        if step.leader:
            lines += ["", *_wrapped(f"For you: {' '.join(step.leader)}")]
    lines += ["", *(line for one in cautions(invented=lesson.invented) for line in _wrapped(one))]
    return "\n".join(lines) + "\n"


def _question_lines(question: ComputedQuestion) -> list[str]:
    lines = _wrapped(f"ASK: {question.text}", "     ", "")
    for letter, choice in zip("ABCDEF", question.choices, strict=False):
        lines += _wrapped(f"{choice.text}{' (right)' if choice.right else ''}", "        ", f"     {letter}. ")
    near = f" ({_near(question)})" if question.number is not None else ""
    lines += _wrapped(f"ANSWER: {question.answer}{near}. {' '.join(question.explain)}", "     ", "")
    return lines
