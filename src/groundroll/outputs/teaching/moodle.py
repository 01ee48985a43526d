"""Exercises as Moodle XML, the open question format of that learning platform, written from memory of its form."""

from __future__ import annotations

from html import escape
from xml.etree import ElementTree

from groundroll.outputs.teaching.exercise_forms import ExerciseSet, standing_of
from groundroll.teaching.exercises import Exercise


def exercises_moodle(made: ExerciseSet) -> str:
    """Return a question bank: the caution as a description, then one question an exercise."""
    quiz = ElementTree.Element("quiz")
    category = ElementTree.SubElement(quiz, "question", type="category")
    _text(ElementTree.SubElement(category, "category"), f"$course$/top/groundroll/{made.title.replace('/', '-')}")
    first = _question(quiz, "description", "Read this first", _paragraphs([*made.cautions, f"Made by: {made.again}"]))
    _plain(first, "defaultgrade", "0")
    for number, one in enumerate(made.exercises, start=1):
        _exercise(quiz, one, f"{number:03d} {one.title}", made)
    ElementTree.indent(quiz)
    body = ElementTree.tostring(quiz, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{body}\n'


def _text(parent: ElementTree.Element, text: str) -> None:
    ElementTree.SubElement(parent, "text").text = text


def _plain(parent: ElementTree.Element, name: str, text: str) -> None:
    ElementTree.SubElement(parent, name).text = text


def _paragraphs(texts: list[str]) -> str:
    return "".join(f"<p>{escape(one)}</p>" for one in texts)


def _question(quiz: ElementTree.Element, kind: str, name: str, text: str) -> ElementTree.Element:
    question = ElementTree.SubElement(quiz, "question", type=kind)
    _text(ElementTree.SubElement(question, "name"), name)
    _text(ElementTree.SubElement(question, "questiontext", format="html"), text)
    return question


def _exercise(quiz: ElementTree.Element, one: Exercise, name: str, made: ExerciseSet) -> None:
    kind = "multichoice" if one.choices else "numerical"
    asked = one.text if one.choices or not one.unit else f"{one.text} Answer in {one.unit}, the number only."
    question = _question(quiz, kind, name, _paragraphs([asked]))
    feedback = _paragraphs([f"Answer: {one.answer_words}.", *one.solution, standing_of(one), *made.cautions])
    _text(ElementTree.SubElement(question, "generalfeedback", format="html"), feedback)
    _plain(question, "defaultgrade", "1")
    _plain(question, "penalty", "0.3333333")
    _plain(question, "hidden", "0")
    if one.choices:
        _plain(question, "single", "true")
        _plain(question, "shuffleanswers", "true")
        _plain(question, "answernumbering", "ABCD")
        for place, (text, reply) in enumerate(one.choices):
            right = place == int(one.answer)
            answer = ElementTree.SubElement(question, "answer", fraction="100" if right else "0", format="html")
            _text(answer, f"<p>{escape(text)}</p>")
            _text(ElementTree.SubElement(answer, "feedback", format="html"), escape(reply))
        return
    _number(question, one.answer, one.tolerance, "100", "", one.decimals)
    for mistake in one.mistakes:
        _number(question, mistake.value, one.tolerance, "0", mistake.why, one.decimals)
    _plain(question, "unitgradingtype", "0")
    _plain(question, "showunits", "3")


def _number(
    question: ElementTree.Element, value: float, tolerance: float, fraction: str, reply: str, decimals: int
) -> None:
    answer = ElementTree.SubElement(question, "answer", fraction=fraction, format="moodle_auto_format")
    _text(answer, f"{value:.{decimals + 2}f}")
    _plain(answer, "tolerance", f"{tolerance:.6g}")
    _text(ElementTree.SubElement(answer, "feedback", format="html"), escape(reply))
