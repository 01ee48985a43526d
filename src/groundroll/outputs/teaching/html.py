"""A lesson as one page to click through, with keys for presenting; it needs nothing but a browser."""

from __future__ import annotations

from html import escape
from importlib.resources import files

from groundroll import __version__
from groundroll.outputs.caution import cautions
from groundroll.outputs.teaching.form import lesson_sources
from groundroll.outputs.teaching.page import figure, page, paragraphs, words
from groundroll.teaching.computed import ComputedFact, ComputedLesson, ComputedQuestion, ComputedStep


def script() -> str:
    """Return the script of the pages."""
    return files("groundroll.outputs.teaching").joinpath("lesson.js").read_text(encoding="utf-8")


def lesson_html(lesson: ComputedLesson) -> str:
    """Return the lesson as a page of HTML."""
    sections = [_cover(lesson)]
    sections += [_step(step, number) for number, step in enumerate(lesson.steps, start=1)]
    sections.append(_behind(lesson, len(lesson.steps) + 1))
    standing = " ".join(cautions(invented=lesson.invented))
    body = (
        '<a class="skip" href="#steps">To the lesson</a>\n'
        f'<header><p>{words(lesson.title)}</p><button type="button" id="theme">Night or day</button></header>\n'
        f'<main id="steps">\n{"".join(sections)}</main>\n'
        '<nav class="bar" id="bar" hidden aria-label="Steps"><button type="button" id="back">Back</button>'
        '<p id="place" role="status"></p><button type="button" id="next" class="main">Next</button></nav>\n'
        f'<footer class="quiet"><p>{words(standing)}</p><p>groundroll {escape(__version__)}. Every number of the model '
        "was computed when this page was made.</p></footer>"
    )
    return page(lesson.title, body, script())


def _cover(lesson: ComputedLesson) -> str:
    goals = "".join(f"<li>{words(one)}</li>" for one in lesson.goals)
    case = lesson.cases[0].run.case
    return (
        f'<section class="step" id="step-0"><h1 tabindex="-1">{words(lesson.title)}</h1>'
        f"<div><p>{words(lesson.summary)}</p>"
        f"<h3>After this you can</h3><ul>{goals}</ul>"
        f'<p class="quiet">About {lesson.minutes} minutes. Aeroplane: {words(case.aircraft.name)}. '
        f"Runway: {words(case.runway.aerodrome)} {words(case.direction)}.</p>"
        '<p class="quiet">Keys: <kbd>→</kbd> or <kbd>Page Down</kbd> next, <kbd>←</kbd> or <kbd>Page Up</kbd> back, '
        "<kbd>a</kbd> show the answer, <kbd>n</kbd> night or day.</p></div></section>\n"
    )


def _step(step: ComputedStep, number: int) -> str:
    pictures = "".join(figure(one) for one in step.pictures)
    later = "".join(figure(one) for one in step.revealed)
    if later:
        later = f'<div class="answer">{later}</div>'
    changes = f'<p class="changes"><strong>What changes:</strong> {words(step.changes)}</p>' if step.changes else ""
    question = "" if step.question is None else _question(step.question, f"q{number}")
    pictured = " pictured" if pictures or later else ""
    return (
        f'<section class="step{pictured}" id="step-{number}"><h2 tabindex="-1">{words(step.title)}</h2>'
        f"<div>{changes}{paragraphs(step.paragraphs)}{question}{_facts(step.facts)}</div>"
        f"<div>{pictures}{later}</div></section>\n"
    )


def _facts(facts: tuple[ComputedFact, ...]) -> str:
    if not facts:
        return ""
    lines = "".join(
        f'<li>{words(one.text)} <span class="badge">{words(one.status)}</span> {words(one.source)}</li>'
        for one in facts
    )
    return f'<div class="facts quiet"><strong>Not from the model:</strong><ul>{lines}</ul></div>'


def _question(question: ComputedQuestion, name: str) -> str:
    if question.choices:
        data = 'data-kind="choice"'
        inputs = "".join(
            f'<label class="choice"><input type="radio" name="{name}" data-right="{"yes" if one.right else "no"}" '
            f'data-reply="{words(one.reply)}"><span>{words(one.text)}</span></label>'
            for one in question.choices
        )
    else:
        number = question.number or 0.0
        data = f'data-kind="number" data-number="{number!r}" data-tolerance="{abs(number) * question.within!r}"'
        inputs = (
            f'<p><label>Your answer <input type="text" inputmode="decimal" autocomplete="off" name="{name}"> '
            f"{words(question.unit)}</label></p>"
        )
    return (
        f"<form {data}><fieldset><legend>Question</legend><p>{words(question.text)}</p>{inputs}"
        '<button type="submit" class="main">Check</button> '
        '<button type="button" class="reveal">Show the answer</button>'
        '<p class="verdict" role="status"></p>'
        f'<div class="answer"><p><strong>Answer:</strong> {words(question.answer)}</p>{paragraphs(question.explain)}'
        "</div></fieldset></form>"
    )


def _behind(lesson: ComputedLesson, number: int) -> str:
    cases = "".join(f"<li>{words(one.spec.label)}: {words(one.run.case.title)}</li>" for one in lesson.cases)
    listed = "".join(
        f"<li>{words(one['document'])}, {words(one['paragraph'])} "
        f'<span class="badge">{words(one["status"])}</span></li>'
        for one in lesson_sources(lesson)
    )
    return (
        f'<section class="step" id="step-{number}"><h2 tabindex="-1">What stands behind it</h2><div>'
        f"<h3>Cases</h3><ul>{cases}</ul><h3>What the numbers rest on</h3>"
        f'<ul class="quiet">{listed}</ul></div></section>\n'
    )
