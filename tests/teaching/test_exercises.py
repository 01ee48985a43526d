"""Exercises: answers worked out again by formulas of their own, wrong answers by the mistakes they stand for."""

from __future__ import annotations

import io
import json
import math
import re
import zipfile
from functools import cache
from xml.etree import ElementTree

import pypdf
import pytest

from groundroll.errors import ScenarioError
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.outputs.teaching.exercise_forms import (
    ExerciseSet,
    exercises_html,
    exercises_json,
    exercises_pdf,
    exercises_text,
)
from groundroll.outputs.teaching.moodle import exercises_moodle
from groundroll.outputs.teaching.qti import ITEM, PACKAGE, exercises_qti
from groundroll.planning.landing import plan_landing
from groundroll.scenario.read import read_case
from groundroll.teaching.cases import CaseSpec, build
from groundroll.teaching.exercises import KINDS, Exercise, exercises
from tests.teaching.lessons import EXAMPLES
from tests.teaching.reading import grade

WET = EXAMPLES / "wet-gusty-arrival" / "case.toml"
SPEC = CaseSpec("wet", "wet", WET)
KNOT_IN_METRES = 1852.0 / 3600.0


@cache
def made(kind: str, count: int = 12, seed: int = 3) -> tuple[Exercise, ...]:
    return exercises([kind], SPEC, build(SPEC), count=count, seed=seed)


@cache
def some() -> ExerciseSet:
    run = build(SPEC)
    return ExerciseSet(
        "Exercises: a <test> & more", "one-second-late", 3, exercises(list(KINDS), SPEC, run, count=30, seed=3), True
    )


def numbers(one: Exercise) -> list[float]:
    """Return the numbers of the text in their order, 0 and 1 of no meaning included."""
    return [float(found) for found in re.findall(r"-?\d+(?:\.\d+)?", one.text)]


def value(one: Exercise) -> float:
    """Return the answer as the reader sees it."""
    return float(re.findall(r"-?\d+(?:\.\d+)?", one.answer_words)[0])


def _stopping_distance(n: list[float]) -> float:
    knots, deceleration = n[0], n[1]
    time = knots * KNOT_IN_METRES / deceleration  # to a stop
    return 0.5 * knots * KNOT_IN_METRES * time  # at the mean speed


def _speed_and_distance(n: list[float]) -> float:
    planned, more = n[0], n[1]
    return 100.0 * (2.0 * planned * more + more * more) / (planned * planned)


def _margin(n: list[float]) -> float:
    distance, available, percent = n[0], n[1], n[2]
    return available - distance - distance * percent / 100.0


def _kinetic_energy(n: list[float]) -> float:
    tonnes, knots, percent, brakes = n[0], n[1], n[2], n[3]
    return tonnes * (knots * KNOT_IN_METRES) ** 2 / 2.0 / 1000.0 * percent / 100.0 / brakes


def _late(n: list[float]) -> float:
    return n[0] * KNOT_IN_METRES * n[1]


def _reject_late(n: list[float]) -> float:
    seconds, knots, gain = n[0], n[1], n[2]
    first = knots * KNOT_IN_METRES
    return (first + (first + gain * seconds)) / 2.0 * seconds  # mean speed times time


def _target_held(n: list[float]) -> float:
    target, tonnes, other = n[0], n[2], n[3]  # the 2 of m/s2 stands between
    return tonnes * target - other


def _exit_speed(n: list[float]) -> float:
    knots, deceleration, distance = n[0], n[1], n[3]
    first = knots * KNOT_IN_METRES
    time = (first - math.sqrt(first**2 - 2.0 * deceleration * distance)) / deceleration
    return (first - deceleration * time) / KNOT_IN_METRES


def _needed_deceleration(n: list[float]) -> float:
    first, distance, last = n[0] * KNOT_IN_METRES, n[1], n[2] * KNOT_IN_METRES
    time = distance / ((first + last) / 2.0)
    return (first - last) / time


def _hydroplaning(n: list[float]) -> float:
    """9 times the root of the pressure in psi (NASA TM-85652, second-hand)."""
    return 9.0 * math.sqrt(n[0])


CLOSED_FORMS = {
    "stopping-distance": _stopping_distance,
    "speed-and-distance": _speed_and_distance,
    "margin": _margin,
    "kinetic-energy": _kinetic_energy,
    "late": _late,
    "reject-late": _reject_late,
    "target-held": _target_held,
    "exit-speed": _exit_speed,
    "needed-deceleration": _needed_deceleration,
    "hydroplaning": _hydroplaning,
}


@pytest.mark.parametrize("kind", sorted(CLOSED_FORMS))
def test_exercise__answer_follows_from_the_numbers_of_its_text(kind: str) -> None:
    """Worked again from the text alone, by another road where there is one: mean speed and time for v squared."""
    for one in made(kind):
        expected = CLOSED_FORMS[kind](numbers(one))
        shown = value(one)
        digits = len(one.answer_words.partition(".")[2].split(" ")[0]) if "." in one.answer_words else 0
        assert shown == pytest.approx(expected, abs=0.5 * 10.0**-digits + 1e-9), one.text


def test_exercise__headwind_takes_and_tailwind_adds() -> None:
    kinds = set()
    for one in made("headwind"):
        airspeed, wind = numbers(one)[:2]
        tail = "of tailwind" in one.text
        kinds.add(tail)
        assert value(one) == pytest.approx(airspeed + wind if tail else airspeed - wind)
    assert kinds == {True, False}


def test_exercise__wind_component_matches_the_scalar_product() -> None:
    """Unit vectors of where you land and of where the wind comes from; their product is the headwind share."""
    for one in made("wind-component"):
        runway, direction, wind = numbers(one)[:3]
        east = math.sin(math.radians(runway)) * math.sin(math.radians(direction))
        north = math.cos(math.radians(runway)) * math.cos(math.radians(direction))
        assert value(one) == pytest.approx(wind * (east + north), abs=0.051), one.text


def test_exercise__thirds_are_turned_for_the_higher_designator() -> None:
    turned = set()
    for one in made("report-thirds", count=24):
        low, high = re.findall(r"runway (\d\d)/(\d\d)", one.text)[0]
        codes = re.findall(r"codes (\d)/(\d)/(\d)", one.text)[0]
        landing = re.findall(r"You land on runway (\d\d)", one.text)[0]
        assert int(high) == int(low) + 18
        turned.add(landing == high)
        seen = codes[::-1] if landing == high else codes
        place = 0 if "touchdown third" in one.text else 2
        assert one.answer_words == f"code {seen[place]}"
    assert turned == {True, False}


def test_exercise__of_the_model_is_what_the_landing_plan_says() -> None:
    for one in made("heavier", count=3):
        run = build(SPEC)
        case = read_case(WET, [f"landing.mass={one.given['second_kg'] / 1000:.6f} t"])
        options = {(found.brake, found.reverse): found for found in plan_landing(case).options}
        assert run.kind == "landing"
        found = options[(run.brake, run.reverse)]
        assert value(one) == pytest.approx(found.stop_distance, abs=0.51)
    for one in made("shortest", count=3):
        case = read_case(WET, [f"landing.mass={one.given['mass_kg'] / 1000:.6f} t"])
        lengths = {
            f"{'full pedal' if found.brake == 'manual' else 'setting ' + found.brake} with "
            f"{'no' if found.reverse == 'none' else found.reverse} reverse": found.stop_distance
            for found in plan_landing(case).options
        }
        offered = {text: lengths[text] or math.inf for text, _ in one.choices}
        assert one.answer_words == min(offered, key=lambda text: offered[text])


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_exercise__wrong_answers_are_wrong_and_their_mistake_is_named(kind: str) -> None:
    typical = 0
    for one in made(kind):
        assert one.text.endswith("?") or "Write a minus" in one.text or "is positive" in one.text
        assert one.solution
        if one.choices:
            assert len({text for text, _ in one.choices}) == len(one.choices) >= 3
            assert one.choices[int(one.answer)][1] == ""
            typical += sum(bool(why) for _, why in one.choices)
            continue
        assert one.tolerance > 0.0
        for mistake in one.mistakes:
            assert abs(mistake.value - one.answer) > 2.0 * one.tolerance
            assert mistake.why
        typical += len(one.mistakes)
    assert typical >= len(made(kind))


def test_exercises__same_seed_same_exercises_another_seed_others() -> None:
    run = build(SPEC)
    kinds = list(KINDS)
    one = exercises(kinds, SPEC, run, count=20, seed=5)
    assert one == exercises(kinds, SPEC, run, count=20, seed=5)
    assert one != exercises(kinds, SPEC, run, count=20, seed=6)
    assert one[:7] == exercises(kinds, SPEC, run, count=7, seed=5)
    assert len({exercise.text for exercise in one}) == 20


@pytest.mark.parametrize(
    ("kinds", "count", "message"),
    [
        (["margn"], 3, 'is no kind of exercise. Was "margin" meant'),
        ([], 3, "names no exercises"),
        (["margin"], 0, "outside 1 to 200"),
        (["margin"], 201, "outside 1 to 200"),
    ],
)
def test_exercises__what_cannot_be_made_is_refused(kinds: list[str], count: int, message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        exercises(kinds, SPEC, build(SPEC), count=count, seed=1)


def test_exercises__read_plainly() -> None:
    assert grade(" ".join(one.text for one in some().exercises)) <= 8.0


# --------------------------------------------------------------------------------------------------------------- forms


def test_exercises_json__can_be_read_back() -> None:
    answer = json.loads(json.dumps(exercises_json(some()), allow_nan=False))
    assert answer["cautions"] == [CAUTION, INVENTED]
    assert len(answer["exercises"]) == 30
    for one in answer["exercises"]:
        assert (one["number"] is None) == bool(one["choices"])
        assert [choice["right"] for choice in one["choices"]].count(True) == (1 if one["choices"] else 0)


def test_exercises_text__holds_the_key_behind_the_exercises() -> None:
    text = exercises_text(some())
    questions, key = text.split("\nKey\n")
    first = some().exercises[0]
    assert first.answer_words not in questions.split("\n2. ")[0]
    assert first.answer_words in key
    assert CAUTION.split(".")[0] in " ".join(text.split())
    assert some().again in text


def test_exercises_pdf__key_on_pages_of_its_own() -> None:
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(exercises_pdf(some()))).pages]
    key = next(number for number, text in enumerate(pages) if "Key:" in text)
    assert key >= 1
    assert "right within" not in "".join(pages[:key])
    assert "right within" in "".join(pages[key:])
    assert all("approved flight manual" in " ".join(text.split()) for text in pages)
    assert exercises_pdf(some()) == exercises_pdf(some())


def test_exercises_html__asks_nothing_of_anybody_and_escapes_its_title() -> None:
    page = exercises_html(some())
    assert "a &lt;test&gt; &amp; more" in page
    assert "default-src &#x27;none&#x27;" in page or "default-src 'none'" in page
    assert not re.search(r"(?:src|href)=\"(?!#)", page)
    assert "http://www.w3.org" not in page.replace('xmlns="http://www.w3.org/2000/svg"', "")


def test_exercises_moodle__is_well_formed_and_complete() -> None:
    """Structure from memory of the form: a right answer of 100 %, tolerances, feedback for each typical mistake."""
    root = ElementTree.fromstring(exercises_moodle(some()))
    assert root.tag == "quiz"
    questions = root.findall("question")
    assert [one.get("type") for one in questions[:2]] == ["category", "description"]
    assert "approved flight manual" in (questions[1].findtext("questiontext/text") or "")
    for one, question in zip(some().exercises, questions[2:], strict=True):
        assert question.get("type") == ("multichoice" if one.choices else "numerical")
        assert question.findtext("name/text")
        fractions = [answer.get("fraction") for answer in question.findall("answer")]
        assert fractions.count("100") == 1
        if one.choices:
            assert question.findtext("single") == "true"
            assert len(fractions) == len(one.choices)
            continue
        right = next(answer for answer in question.findall("answer") if answer.get("fraction") == "100")
        assert float(right.findtext("text") or "nan") == pytest.approx(one.answer, abs=0.01)
        assert float(right.findtext("tolerance") or "nan") == pytest.approx(one.tolerance, rel=1e-4)
        assert len(fractions) == 1 + len(one.mistakes)
        assert all(answer.find("feedback/text") is not None for answer in question.findall("answer"))


def test_exercises_qti__package_is_complete_and_consistent() -> None:
    """Structure from memory of the form: manifest, test, items; every reference leads somewhere."""
    package = zipfile.ZipFile(io.BytesIO(exercises_qti(some())))
    assert package.testzip() is None
    names = set(package.namelist())
    item, content = f"{{{ITEM}}}", f"{{{PACKAGE}}}"
    manifest = ElementTree.fromstring(package.read("imsmanifest.xml"))
    files = {one.get("href") for one in manifest.iter(f"{content}file")}
    assert files | {"imsmanifest.xml"} == names
    identifiers = {one.get("identifier") for one in manifest.iter(f"{content}resource")}
    assert {one.get("identifierref") for one in manifest.iter(f"{content}dependency")} == identifiers - {"test"}
    test = ElementTree.fromstring(package.read("test.xml"))
    assert [one.get("href") for one in test.iter(f"{item}assessmentItemRef")] == sorted(
        names - {"imsmanifest.xml", "test.xml"}
    )
    assert "approved flight manual" in "".join(test.itertext())
    for number, one in enumerate(some().exercises, start=1):
        root = ElementTree.fromstring(package.read(f"item-{number:03d}.xml"))
        assert root.tag == f"{item}assessmentItem"
        assert root.get("identifier") == f"item-{number:03d}"
        interactions = [*root.iter(f"{item}choiceInteraction"), *root.iter(f"{item}textEntryInteraction")]
        assert [found.get("responseIdentifier") for found in interactions] == ["RESPONSE"]
        right = root.findtext(f"{item}responseDeclaration/{item}correctResponse/{item}value") or ""
        if one.choices:
            offered = {found.get("identifier"): found.text for found in root.iter(f"{item}simpleChoice")}
            assert offered[right] == one.answer_words
        else:
            assert float(right) == pytest.approx(one.answer, abs=0.01)
            equal = next(root.iter(f"{item}equal"))
            assert equal.get("toleranceMode") == "absolute"
            assert [float(part) for part in (equal.get("tolerance") or "").split()] == pytest.approx(
                [one.tolerance] * 2, rel=1e-4
            )
    assert exercises_qti(some()) == exercises_qti(some())
