"""Exercises as a page that grades itself, as a sheet with its key, as text and as JSON."""

from __future__ import annotations

import json
import textwrap
from dataclasses import dataclass
from html import escape
from string import ascii_uppercase
from typing import Any, Final

from groundroll import __version__
from groundroll.outputs.caution import cautions
from groundroll.outputs.json_form import finite
from groundroll.outputs.teaching.html import script
from groundroll.outputs.teaching.page import page, paragraphs, words
from groundroll.outputs.teaching.sheets import typeset_pdf
from groundroll.teaching.exercises import Exercise

EXERCISES_FORMAT: Final = 1
"""Format number of the JSON of exercises."""

WIDTH: Final = 100
"""Of the sheet as text. [characters]"""


@dataclass(frozen=True)
class ExerciseSet:
    """Exercises made together, and how to make them again."""

    title: str
    name: str
    seed: int
    exercises: tuple[Exercise, ...]
    invented: bool

    @property
    def again(self) -> str:
        """Return the command that makes the same exercises."""
        return f"groundroll teach {self.name} --exercises --seed {self.seed} --count {len(self.exercises)}"

    @property
    def cautions(self) -> list[str]:
        """Return what every output must say."""
        return cautions(invented=self.invented)


def standing_of(one: Exercise) -> str:
    """Return what the answer rests on."""
    if one.from_model:
        return "The answer comes from a run of the model."
    return f"The rule: {one.source}." if one.source else "The answer follows from the numbers of the text."


def exercises_json(made: ExerciseSet) -> dict[str, Any]:
    """Return exercises with answers as plain, JSON-ready values."""
    answer = {
        "format": EXERCISES_FORMAT,
        "kind": "exercises",
        "title": made.title,
        "lesson": made.name,
        "seed": made.seed,
        "exercises": [
            {
                "kind": one.kind,
                "title": one.title,
                "text": one.text,
                "answer": one.answer_words,
                "number": None if one.choices else one.answer,
                "unit": one.unit,
                "tolerance": None if one.choices else one.tolerance,
                "choices": [
                    {"text": text, "right": place == int(one.answer), "reply": reply}
                    for place, (text, reply) in enumerate(one.choices)
                ],
                "mistakes": [{"value": mistake.value, "why": mistake.why} for mistake in one.mistakes],
                "solution": list(one.solution),
                "from_model": one.from_model,
                "source": one.source,
                "given": one.given,
            }
            for one in made.exercises
        ],
        "cautions": made.cautions,
    }
    checked: dict[str, Any] = finite(answer)
    return checked


# ---------------------------------------------------------------------------------------------------------------- page


def exercises_html(made: ExerciseSet) -> str:
    """Return a page that grades the answers, on the reader's own machine."""
    forms = "".join(_form(one, number) for number, one in enumerate(made.exercises, start=1))
    standing = " ".join(made.cautions)
    body = (
        '<a class="skip" href="#exercises">To the exercises</a>\n'
        f'<header><p id="score" role="status"></p><button type="button" id="theme">Night or day</button></header>\n'
        f'<main id="exercises"><h1>{words(made.title)}</h1><p>Write your answer and check it. A number is right when '
        "it is near enough; round as you like. Nothing you write leaves this page.</p>\n"
        f"{forms}</main>\n"
        f'<footer class="quiet"><p>{words(standing)}</p><p>groundroll {escape(__version__)}. The same exercises again: '
        f"<code>{escape(made.again)}</code></p></footer>"
    )
    return page(made.title, body, script())


def _form(one: Exercise, number: int) -> str:
    name = f"e{number}"
    if one.choices:
        data = 'data-kind="choice"'
        inputs = "".join(
            f'<label class="choice"><input type="radio" name="{name}" '
            f'data-right="{"yes" if place == int(one.answer) else "no"}" data-reply="{words(reply)}">'
            f"<span>{words(text)}</span></label>"
            for place, (text, reply) in enumerate(one.choices)
        )
    else:
        mistakes = json.dumps(
            [{"value": mistake.value, "tolerance": one.tolerance, "reply": mistake.why} for mistake in one.mistakes]
        )
        data = (
            f'data-kind="number" data-number="{one.answer!r}" data-tolerance="{one.tolerance!r}" '
            f'data-mistakes="{escape(mistakes)}"'
        )
        inputs = (
            f'<p><label>Your answer <input type="text" inputmode="decimal" autocomplete="off" name="{name}"> '
            f"{words(one.unit)}</label></p>"
        )
    return (
        f'<section class="exercise"><h2>{number}. {words(one.title)}</h2><form {data}><fieldset>'
        f"<legend>Exercise {number}</legend><p>{words(one.text)}</p>{inputs}"
        '<button type="submit" class="main">Check</button> '
        '<button type="button" class="reveal">Show the solution</button><p class="verdict" role="status"></p>'
        f'<div class="answer"><p><strong>Answer:</strong> {words(one.answer_words)}</p>{paragraphs(one.solution)}'
        f'<p class="quiet">{words(standing_of(one))}</p></div></fieldset></form></section>\n'
    )


# --------------------------------------------------------------------------------------------------------------- paper


def exercises_pdf(made: ExerciseSet) -> bytes:
    """Return a sheet to print, the key with explained solutions on pages of its own."""
    data = {
        "title": made.title,
        "again": made.again,
        "standing": " ".join(made.cautions),
        "version": __version__,
        "exercises": [
            {
                "title": one.title,
                "text": one.text,
                "unit": one.unit,
                "choices": [text for text, _ in one.choices],
                "answer": _key(one),
                "solution": [*one.solution],
                "mistakes": [f"{one.shown(mistake.value)}: {mistake.why}" for mistake in one.mistakes],
                "standing": standing_of(one),
            }
            for one in made.exercises
        ],
    }
    return typeset_pdf("exercises.typ", "sheet", data)


def _key(one: Exercise) -> str:
    if one.choices:
        return f"{ascii_uppercase[int(one.answer)]}: {one.answer_words}"
    return f"{one.answer_words} (right within {one.tolerance:.{one.decimals + 1}f} {one.unit})"


def exercises_text(made: ExerciseSet) -> str:
    """Return the exercises as text, the key behind them."""
    lines = [made.title, "=" * len(made.title)]
    for number, one in enumerate(made.exercises, start=1):
        lines += ["", *textwrap.wrap(f"{number}. {one.text}", WIDTH, subsequent_indent="   ")]
        lines += [f"   {letter}. {text}" for letter, (text, _) in zip(ascii_uppercase, one.choices, strict=False)]
    lines += ["", "Key", "---"]
    for number, one in enumerate(made.exercises, start=1):
        lines += textwrap.wrap(f"{number}. {_key(one)}. {' '.join(one.solution)}", WIDTH, subsequent_indent="   ")
        lines += textwrap.wrap(standing_of(one), WIDTH, initial_indent="   ", subsequent_indent="   ")
    lines += ["", f"The same again: {made.again}"]
    lines += [line for caution in made.cautions for line in textwrap.wrap(caution, WIDTH)]
    return "\n".join(lines) + "\n"
