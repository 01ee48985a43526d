"""The finished lessons, each computed once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from groundroll.teaching.computed import ComputedLesson, compute_lesson
from groundroll.teaching.lesson import finished_lessons

LESSONS = {path.stem: path for path in finished_lessons()}
EXAMPLES = Path(__file__).parents[2] / "examples"


@cache
def lesson(name: str) -> ComputedLesson:
    """Return a finished lesson, computed."""
    return compute_lesson(LESSONS[name])


def texts(name: str) -> list[str]:
    """Return every text that the reader of a lesson sees, numbers filled in; facts are left out."""
    made = lesson(name)
    found = [made.title, made.summary, *made.goals]
    for step in made.steps:
        found += [step.title, *step.paragraphs, step.changes, *step.leader]
        if step.question is not None:
            found += [step.question.text, step.question.answer, *step.question.explain]
            found += [text for one in step.question.choices for text in (one.text, one.reply)]
    return [text for text in found if text]
