"""The finished lessons: every number computed, every claim checked, facts labelled, words plain."""

from __future__ import annotations

import io
import json
import re
import tempfile
from pathlib import Path

import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.outputs.teaching.form import lesson_json
from groundroll.outputs.teaching.html import lesson_html
from groundroll.outputs.teaching.sheets import leader_text, slides_pdf
from groundroll.physics.sources import STATUSES
from groundroll.planning.landing import plan_landing
from groundroll.scenario.read import read_case
from groundroll.teaching.computed import ComputedLesson, compute_lesson
from groundroll.teaching.exercises import KINDS, exercises
from groundroll.teaching.lesson import ShowKind, read_lesson, texts_of
from groundroll.teaching.numbers import PLACEHOLDER
from groundroll.teaching.pictures import KINDS as PICTURE_KINDS
from tests.teaching.lessons import EXAMPLES, LESSONS, lesson, texts
from tests.teaching.reading import grade, longest_sentence

EVERY = pytest.mark.parametrize("name", sorted(LESSONS))

TOPICS = {
    "reverse-and-brakes",
    "highest-setting",
    "wet-grooved-contaminated",
    "hydroplaning",
    "one-second-late",
    "weight-and-speed",
    "stop-or-go",
    "automatic-reject",
    "heat-after-landing",
    "exit-energy",
    "reading-a-report",
}


def test_lessons__there_is_one_for_each_topic() -> None:
    assert set(LESSONS) >= TOPICS


def test_show_kinds__of_the_file_are_those_that_can_be_drawn() -> None:
    assert set(ShowKind.__args__) == set(PICTURE_KINDS)  # type: ignore[attr-defined]


@EVERY
def test_lesson__no_number_of_the_model_is_typed(name: str) -> None:
    """In all that is shown, digits stand in placeholders only; facts have their source and may carry figures."""
    for where, text in texts_of(read_lesson(LESSONS[name])):
        typed = re.findall(r"\d+", PLACEHOLDER.sub("", text))
        assert typed == [], f"{where}: {typed}"


CHANGES = dict.fromkeys(LESSONS, "aircraft.flaps.full.drag_coefficient_deployed=0.150") | dict.fromkeys(
    ("stop-or-go", "automatic-reject"), "aircraft.take_off.flaps.low.drag_coefficient_deployed=0.095"
)
"""Less drag with the spoilers out: another roll in every case."""


def numbers_in(made: ComputedLesson) -> list[str]:
    """Return every number in texts and answers."""
    found = []
    for step in made.steps:
        question = step.question
        found += [*step.paragraphs, *((question.answer, *question.explain) if question is not None else ())]
    return re.findall(r"\d+(?:\.\d+)?", " ".join(found))


@EVERY
def test_lesson__its_numbers_change_with_the_aeroplane(name: str) -> None:
    """A changed aeroplane changes the numbers; no number is left over from another run."""
    before, after = numbers_in(lesson(name)), numbers_in(compute_lesson(LESSONS[name], [CHANGES[name]]))
    assert before
    assert len(before) == len(after)
    assert sum(one != two for one, two in zip(before, after, strict=True)) >= 3


def test_lesson__another_target_gives_the_stop_of_the_landing_plan() -> None:
    """The number in the text is that of `groundroll land` for the changed aeroplane, not one kept from before."""
    change = "aircraft.automatic_brakes.settings.firm=2.2 m/s2"
    made = compute_lesson(LESSONS["reverse-and-brakes"], [change])
    case = read_case(EXAMPLES / "rapid-exit" / "case.toml", ["condition.report=dry 6/6/6", change])
    option = next(one for one in plan_landing(case).options if (one.brake, one.reverse) == ("firm", "none"))
    assert option.stop_distance is not None
    assert f"you stop {option.stop_distance:.0f} m from the threshold" in made.steps[0].paragraphs[1]
    assert made.steps[0].paragraphs[1] != lesson("reverse-and-brakes").steps[0].paragraphs[1]


def test_lesson__a_claim_that_does_not_hold_with_an_aeroplane_is_refused_with_its_values() -> None:
    """With a target that drag and reverse exceed by far, reverse does shorten the roll: the words would be wrong."""
    change = "aircraft.automatic_brakes.settings.firm=1.25 m/s2"
    message = r"reverse-and-brakes.toml, steps entry 1, holds: .*does not hold with these cases .* is \d+\.\d\d m"
    with pytest.raises(ScenarioError, match=message):
        compute_lesson(LESSONS["reverse-and-brakes"], [change])


@EVERY
def test_lesson__every_question_has_one_right_answer_and_an_explanation(name: str) -> None:
    questions = [step.question for step in lesson(name).steps if step.question is not None]
    assert len(questions) >= 2
    for question in questions:
        assert question.explain
        if question.choices:
            assert [one.right for one in question.choices].count(True) == 1
            assert len(question.choices) == len({one.text for one in question.choices})
        else:
            assert question.number is not None
            assert 0.0 < question.within <= 0.5


@EVERY
def test_lesson__facts_are_labelled_with_their_standing(name: str) -> None:
    """Common practice says so; everything else names its document."""
    html, text = lesson_html(lesson(name)), leader_text(lesson(name))
    for step in lesson(name).steps:
        for fact in step.facts:
            assert fact.status in STATUSES
            assert fact.source or fact.status in ("common practice, no source", "assumption of this project")
            assert f"[{fact.status}" in " ".join(text.split())
            assert fact.status in html


@EVERY
def test_lesson__reads_plainly(name: str) -> None:
    """Flesch-Kincaid grade at most 6 and no sentence above 28 words; you are spoken to."""
    words = " ".join(texts(name))
    assert grade(words) <= 6.0
    assert len(longest_sentence(words).split()) <= 28
    assert len(re.findall(r"\b[Yy]our?s?\b", words)) >= 10


def test_grade__would_notice_the_language_of_regulations() -> None:
    hard = (
        "The landing distance required shall be determined in accordance with applicable requirements, notwithstanding "
        "operational limitations established by the competent authority for contaminated aerodromes."
    )
    assert grade(hard) > 15.0


@EVERY
def test_lesson__its_exercises_can_be_made(name: str) -> None:
    made = lesson(name)
    assert set(made.exercises) <= set(KINDS)
    first = made.cases[0]
    count = len(made.exercises)
    found = exercises(made.exercises, first.spec, first.run, count=count, seed=1)
    assert [one.kind for one in found] == list(made.exercises)


@EVERY
def test_slides__each_text_keeps_to_its_slide(name: str) -> None:
    """A cover, a slide for each step, one for each question and one for each answer: nothing runs over."""
    made = lesson(name)
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(slides_pdf(made))).pages]
    assert len(pages) == 1 + len(made.steps) + 2 * sum(step.question is not None for step in made.steps)
    assert all("approved flight manual" in " ".join(text.split()) for text in pages)


@given(data=st.data())
def test_read_lesson__whatever_is_cut_or_put_in_gives_a_lesson_or_one_clear_error(data: st.DataObject) -> None:
    lines = LESSONS["reverse-and-brakes"].read_text(encoding="utf-8").splitlines()
    at = data.draw(st.integers(0, len(lines) - 1))
    what = data.draw(
        st.sampled_from(["", "x = 1", "[cases.none]", "[[steps]]", "steps = 3", "{", "cases = []", "a.b = 2"])
    )
    changed = "\n".join([*lines[:at], what, *lines[at + data.draw(st.integers(0, 3)) :]])
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "lesson.toml"
        path.write_text(changed.replace("../", f"{EXAMPLES}/"), encoding="utf-8")
        said = "lesson.toml: in order"
        try:
            read_lesson(path)
        except ScenarioError as error:
            said = str(error)
        assert said.startswith("lesson.toml")


@EVERY
def test_lesson_json__holds_all_of_it_and_no_number_that_json_cannot(name: str) -> None:
    made = lesson_json(lesson(name))
    again = json.loads(json.dumps(made, allow_nan=False))
    assert again["cautions"] == [CAUTION, INVENTED]
    assert len(again["steps"]) == len(lesson(name).steps)
    assert again["sources"]
    for case in again["cases"]:
        assert case["numbers"]["stop_distance_m"] > 0.0
        roll = case["roll"]
        if case["kind"] == "landing":
            lists = [roll[key] for key in roll if isinstance(roll[key], list)]
            assert len({len(one) for one in lists}) == 1
            assert roll["time_s"] == sorted(roll["time_s"])
            assert roll["distance_m"][0] == pytest.approx(roll["touchdown_distance_m"])
        else:
            assert roll is None


def test_docs__the_first_lesson_of_the_page_can_be_built(tmp_path: Path) -> None:
    """What the documentation tells people to save and run works as printed."""
    page = (EXAMPLES.parent / "docs" / "teaching.md").read_text(encoding="utf-8")
    text = re.findall(r"```toml\n(.*?)```", page, re.DOTALL)[0]
    case = str(EXAMPLES / "wet-gusty-arrival" / "case.toml")
    path = tmp_path / "tailwind.toml"
    path.write_text(text.replace('"case.toml"', f'"{case}"'), encoding="utf-8")
    made = compute_lesson(path)
    question = made.steps[0].question
    assert question is not None
    assert question.number is not None
    # 8 kt more, about 4.1 m/s on some 70 m/s: with speed squared some 12 % of a braked roll of 700 m, and some 30 m
    # more in the air.
    assert 60.0 < question.number < 250.0


def _written(tmp_path: Path, change: dict[str, str] | None = None, more: str = "") -> Path:
    case = EXAMPLES / "wet-gusty-arrival" / "case.toml"
    text = f"""
format = 1
title = "T"
summary = "S"
goals = ["G"]
minutes = 5

[cases.base]
label = "base"
file = "{case}"
brake = "firm"
reverse = "none"

[[steps]]
title = "One"
text = "You stop at {{base.stop_distance m}}."
show = [{{ kind = "strip", cases = ["base"] }}]
{more}
"""
    for old, new in (change or {}).items():
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    return path


QUESTION = """
[steps.question]
text = "?"
explain = "!"
[[steps.question.choices]]
text = "a"
when = "base.stop_distance > 1 m"
[[steps.question.choices]]
text = "b"
when = "base.stop_distance > 2 m"
"""


@pytest.mark.parametrize(
    ("change", "more", "message"),
    [
        ({'title = "One"\n': ""}, "", r"mine.toml, steps entry 1, title: is missing"),
        ({"summary": "sumary"}, "", r'mine.toml, sumary: is not a key known here\. Was "summary" meant'),
        ({"base.stop_distance m": "base.stop_distanse m"}, "", r'steps entry 1, text: .*Was "stop_distance" meant'),
        ({"base.stop_distance m": "bse.stop_distance m"}, "", r'steps entry 1, text: "bse" is not a case.*Was "base"'),
        ({"base.stop_distance m": "base.stop_distance kt"}, "", r"steps entry 1, text: .* is a length"),
        ({"base.stop_distance m": "base.brake_energy MJ + "}, "", r"steps entry 1, text: "),
        ({'cases = ["base"]': 'cases = ["bas"]'}, "", r'show entry 1, cases: "bas" is not a case.*Was "base" meant'),
        ({'kind = "strip"': 'kind = "stripe"'}, "", r'steps entry 1, show entry 1, kind: "stripe" is not allowed'),
        ({'brake = "firm"': 'brake = "frm"'}, "", r'mine.toml: cases.base: "frm" is not a brake setting.*Was "firm"'),
        ({'reverse = "none"': 'reverse = "none"\nexit = "Z9"'}, "", r'"Z9" is not an exit of runway 25'),
        ({'kind = "strip"': 'kind = "sweep"'}, "", r"show entry 1: .*needs input, between and quantity"),
        ({'kind = "strip"': 'kind = "window"'}, "", r'show entry 1: "window" shows one take-off'),
        ({'kind = "strip"': 'kind = "ledger"'}, "", r'show entry 1: "ledger" compares two cases; 1 are named'),
        ({'file = "': 'like = "base"\nfile = "'}, "", r"name either file .* or like"),
        ({"minutes = 5": "minutes = 500"}, "", r"minutes: 500 is above the greatest, 240"),
        ({}, 'holds = ["base.stop_distance < 3 m"]', r"steps entry 1, holds: .*base.stop_distance is \d+"),
        ({}, 'facts = [{ text = "x" }]', r"steps entry 1, facts entry 1: says not where it comes from"),
        ({}, 'facts = [{ text = "x", source = "cfr-25-109-z" }]', r'facts entry 1: source "cfr-25-109-z".*nearest'),
        ({}, QUESTION, r"steps entry 1, question: 2 of 2 choices are right with these cases; exactly 1 must be"),
        ({'cases = ["base"] }': 'cases = ["base"], predict = true }'}, "", r"there is none"),
    ],
)
def test_read_lesson__what_is_wrong_is_said_at_its_place(
    tmp_path: Path, change: dict[str, str], more: str, message: str
) -> None:
    path = _written(tmp_path, change, more)
    with pytest.raises(ScenarioError, match=message):
        compute_lesson(path)


def test_read_lesson__a_circle_of_cases_is_named(tmp_path: Path) -> None:
    change = {
        'brake = "firm"': 'brake = "firm"\nset = ["landing.touchdown_distance={other.air_distance m:2}"]',
        "[[steps]]\n": '[cases.other]\nlabel = "other"\nlike = "base"\n\n[[steps]]\n',
    }
    with pytest.raises(ScenarioError, match=r"each waits for the other; break the circle"):
        compute_lesson(_written(tmp_path, change))


def test_solve__a_number_found_by_asking_can_be_shown(tmp_path: Path) -> None:
    """The greatest mass that leaves the margin leaves just nothing: tested on a run of its own."""
    solve = '[solve.most]\ncase = "base"\ninput = "landing.touchdown_distance"\nbetween = ["400 m", "1500 m"]\n'
    path = _written(tmp_path, {"{base.stop_distance m}": "{most m:1}"}, solve)
    told = compute_lesson(path).steps[0].paragraphs[0]
    found = float(re.findall(r"[\d.]+(?= m)", told)[0])
    case = read_case(EXAMPLES / "wet-gusty-arrival" / "case.toml", [f"landing.touchdown_distance={found} m"])
    option = next(one for one in plan_landing(case).options if (one.brake, one.reverse) == ("firm", "none"))
    assert option.margin == pytest.approx(0.0, abs=0.5)
