"""A lesson worked out: every case rolled, every number filled in, every claim of a text checked against the model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from groundroll.errors import GroundrollError, ScenarioError
from groundroll.physics.sources import Source, source
from groundroll.teaching.cases import CaseSpec, Run, build
from groundroll.teaching.comparison import ledger_of
from groundroll.teaching.lesson import Fact, LessonCase, LessonFile, Question, Step, read_lesson
from groundroll.teaching.numbers import (
    LENGTH,
    SPEED,
    TIME,
    UNITS,
    Measured,
    Powers,
    Value,
    evaluate,
    filled,
    holds,
    placeholder,
    shown,
    unknown_name,
)
from groundroll.teaching.pictures import Picture
from groundroll.teaching.show import Shown, Wanted, picture
from groundroll.teaching.sweep import input_named, read_range, solve


@dataclass(frozen=True)
class ComputedFact:
    """Something that the model does not compute, with its standing."""

    text: str
    source: str
    """Document and paragraph; empty for common practice."""
    status: str


@dataclass(frozen=True)
class ComputedChoice:
    """One answer to pick."""

    text: str
    right: bool
    reply: str


@dataclass(frozen=True)
class ComputedQuestion:
    """A question with its answer."""

    text: str
    choices: tuple[ComputedChoice, ...]
    number: float | None
    """In ``unit``; None where there are choices."""
    unit: str
    within: float
    """Share of the number by which a guess may be off. [-]"""
    answer: str
    """In words."""
    explain: tuple[str, ...]


@dataclass(frozen=True)
class ComputedStep:
    """One step, everything filled in."""

    title: str
    paragraphs: tuple[str, ...]
    changes: str
    pictures: tuple[Picture, ...]
    revealed: tuple[Picture, ...]
    """Shown with the answer only."""
    facts: tuple[ComputedFact, ...]
    question: ComputedQuestion | None
    leader: tuple[str, ...]


@dataclass(frozen=True)
class ComputedLesson:
    """A lesson ready to be shown."""

    name: str
    title: str
    summary: str
    goals: tuple[str, ...]
    minutes: int
    cases: tuple[Shown, ...]
    steps: tuple[ComputedStep, ...]
    exercises: tuple[str, ...]
    invented: bool
    """Whether an aeroplane of it is."""
    source_keys: tuple[str, ...]
    """Behind the numbers of the model."""


class Stage:
    """The cases and numbers of a lesson, each worked out when it is first named."""

    def __init__(self, lesson: LessonFile, path: Path, overrides: Sequence[str] = ()) -> None:
        self.lesson = lesson
        self.path = path
        self.overrides = tuple(overrides)
        self._shown: dict[str, Shown] = {}
        self._solved: dict[str, Measured] = {}
        self._open: list[str] = []

    def lookup(self, name: str) -> Value:
        """Return the value of a name in a text: `case.number`, `case.to.other.cause`, or a number found by asking."""
        first, _, rest = name.partition(".")
        if first in self.lesson.solve and not rest:
            return self.solved(first)
        if first not in self.lesson.cases:
            raise unknown_name(first, [*self.lesson.cases, *self.lesson.solve], "a case or a number of this lesson")
        if not rest:
            raise ScenarioError(f'"{first}" is a case; name a number of it, such as {first}.stop_distance.')
        if rest.startswith("to."):
            return self._share(first, rest.removeprefix("to."))
        try:
            return self.case(first).run.number(rest)
        except ScenarioError as error:
            raise ScenarioError(f'"{name}": {error}') from error

    def _share(self, first: str, rest: str) -> Value:
        other, _, cause = rest.partition(".")
        if other not in self.lesson.cases:
            raise unknown_name(other, list(self.lesson.cases), "a case of this lesson")
        ledger = ledger_of(self.case(first).run, self.case(other).run)
        shares = {one.cause.replace(" ", "_").replace("-", "_"): one.metres for one in ledger.entries}
        if cause not in shares:
            raise unknown_name(cause, list(shares), f"a cause in which {first} and {other} differ")
        return Measured(shares[cause], LENGTH)

    def case(self, name: str) -> Shown:
        """Return a case, rolled."""
        if name in self._shown:
            return self._shown[name]
        self._enter(f"cases.{name}")
        try:
            spec = self.spec(name)
            self._shown[name] = Shown(name, spec, build(spec))
        except ScenarioError as error:
            raise ScenarioError(f"cases.{name}: {error}") from error
        finally:
            self._open.pop()
        return self._shown[name]

    def _enter(self, name: str) -> None:
        if name in self._open:
            raise ScenarioError(f"{' > '.join([*self._open, name])}: each waits for the other; break the circle.")
        self._open.append(name)

    def spec(self, name: str) -> CaseSpec:
        """Return how a case is described, what it starts from included."""
        case = self.lesson.cases[name]
        if case.like is not None:
            self._enter(f"cases.{name}.like")
            try:
                start = self.spec(case.like)
            finally:
                self._open.pop()
        else:
            assert case.file is not None  # the model of the file asks for one of the two
            start = CaseSpec(name, case.label, self.path.parent / case.file, self.overrides)
        return self._described(name, case, start)

    def _described(self, name: str, case: LessonCase, start: CaseSpec) -> CaseSpec:
        def given(text: str | None, powers: Powers, before: float | None) -> float | None:
            if text is None:
                return before
            value = evaluate(text, self.lookup)
            if not isinstance(value, Measured) or value.powers != powers:
                raise ScenarioError(f'"{text}" does not fit; write a number with its unit.')
            return value.value

        calibrated = given(case.reject_speed, SPEED, None if case.reject_ground_speed else start.reject_speed)
        ground = given(case.reject_ground_speed, SPEED, None if case.reject_speed else start.reject_ground_speed)
        return CaseSpec(
            key=name,
            label=filled(case.label, self.lookup),
            file=start.file,
            overrides=(*start.overrides, *(filled(one, self.lookup) for one in case.set)),
            brake=case.brake if case.brake is not None else start.brake,
            reverse=case.reverse if case.reverse is not None else start.reverse,
            exit=case.exit if case.exit is not None else start.exit,
            reject_speed=calibrated,
            reject_ground_speed=ground,
            late=given(case.late, TIME, start.late) or 0.0,
        )

    def solved(self, name: str) -> Measured:
        """Return a number found by asking."""
        if name in self._solved:
            return self._solved[name]
        self._enter(f"solve.{name}")
        try:
            self._solved[name] = self._solve(name)
        except ScenarioError as error:
            raise ScenarioError(f"solve.{name}: {error}") from error
        finally:
            self._open.pop()
        return self._solved[name]

    def _solve(self, name: str) -> Measured:
        asked = self.lesson.solve[name]
        one = self.case(asked.case)
        varied = input_named(asked.input, one.run)
        over = read_range((asked.between[0], asked.between[1]), varied.powers)
        wanted, standing = evaluate(asked.equals, self.lookup), one.run.number(asked.quantity)
        if not isinstance(wanted, Measured) or not isinstance(standing, Measured) or wanted.powers != standing.powers:
            raise ScenarioError(f'equals "{asked.equals}" does not fit quantity "{asked.quantity}".')
        within = 1e-4 * (over.high - over.low)
        value = solve(one.spec, one.run, varied, over, asked.quantity, wanted.value, within)
        if value is None:
            raise ScenarioError(
                f'no value of "{asked.input}" between {asked.between[0]} and {asked.between[1]} gives '
                f"{asked.quantity} = {asked.equals}. Widen the range, or take another case."
            )
        return Measured(value, varied.powers, UNITS[over.unit].offset != 0.0)


def compute_lesson(path: Path, overrides: Sequence[str] = ()) -> ComputedLesson:
    """Return the lesson in a file with everything worked out.

    Parameters
    ----------
    path
        The lesson file.
    overrides
        Changes as `key=value`, applied to every case before its own.

    Raises
    ------
    ScenarioError
        With the place in the lesson file: a name that is not known, a claim that does not hold with this aeroplane, a
        question without exactly one right answer.
    """
    return computed(read_lesson(path), path, overrides)


def computed(lesson: LessonFile, path: Path, overrides: Sequence[str] = ()) -> ComputedLesson:
    """Return a lesson that has been read with everything worked out; see `compute_lesson`."""
    stage = Stage(lesson, path, overrides)
    at = _Place(path.name)
    with at.named("cases"):
        cases = [stage.case(name) for name in lesson.cases]
    steps = []
    for number, step in enumerate(lesson.steps, start=1):
        steps.append(_step(stage, step, f"steps entry {number}", at))
    with at.named("title"):
        title = filled(lesson.title, stage.lookup)
    with at.named("summary"):
        summary = filled(lesson.summary, stage.lookup)
    goals = []
    for goal in lesson.goals:
        with at.named("goals"):
            goals.append(filled(goal, stage.lookup))
    keys = [key for one in cases for key in _source_keys(one.run)]
    return ComputedLesson(
        name=path.stem,
        title=title,
        summary=summary,
        goals=tuple(goals),
        minutes=lesson.minutes,
        cases=tuple(cases),
        steps=tuple(steps),
        exercises=tuple(lesson.exercises),
        invented=any(one.run.case.aircraft.invented for one in cases),
        source_keys=tuple(dict.fromkeys(keys)),
    )


def _source_keys(run: Run) -> tuple[str, ...]:
    return run.plan.source_keys


class _Place:
    """Says in which file and at which place of it something went wrong."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.where = ""

    def named(self, where: str) -> _Place:
        self.where = where
        return self

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> None:
        if isinstance(error, GroundrollError | ValueError):
            where = "" if self.where == "cases" else f", {self.where}"
            raise ScenarioError(f"{self.file}{where}: {error}") from error


def _paragraphs(text: str) -> tuple[str, ...]:
    """Return paragraphs, each on one line; an empty line parts them."""
    parts = [" ".join(part.split()) for part in text.replace("\r", "").split("\n\n")]
    return tuple(part for part in parts if part)


def _step(stage: Stage, step: Step, where: str, at: _Place) -> ComputedStep:
    with at.named(f"{where}, title"):
        title = filled(step.title, stage.lookup)
    with at.named(f"{where}, text"):
        paragraphs = _paragraphs(filled(step.text, stage.lookup))
    for condition in step.holds:
        with at.named(f"{where}, holds"):
            _claim(condition, stage)
    with at.named(f"{where}, changes"):
        changes = "" if step.changes is None else filled(step.changes, stage.lookup)
    with at.named(f"{where}, leader"):
        leader = () if step.leader is None else _paragraphs(filled(step.leader, stage.lookup))
    shown_now: list[Picture] = []
    shown_later: list[Picture] = []
    for number, show in enumerate(step.show, start=1):
        with at.named(f"{where}, show entry {number}"):
            wanted = Wanted(
                kind=show.kind,
                cases=tuple(show.cases),
                title=None if show.title is None else filled(show.title, stage.lookup),
                quantity=show.quantity,
                quantities=tuple(show.quantities),
                unit=show.unit,
                input=show.input,
                between=None if show.between is None else (show.between[0], show.between[1]),
                second_input=show.second_input,
                second_between=None
                if show.second_between is None
                else (show.second_between[0], show.second_between[1]),
                inputs=tuple((one[0], one[1], one[2]) for one in show.inputs),
                back_to=show.back_to,
            )
            names = [*show.cases, *([show.back_to] if show.back_to is not None else [])]
            made = picture(wanted, [stage.case(name) for name in names])
        (shown_later if show.predict else shown_now).append(made)
    question = None
    if step.question is not None:
        with at.named(f"{where}, question"):
            question = _question(step.question, stage)
    if shown_later and question is None:
        with at.named(f"{where}, show"):
            raise ScenarioError("predict = true hides a picture until the question is answered; there is none.")
    facts = []
    for number, fact in enumerate(step.facts, start=1):
        with at.named(f"{where}, facts entry {number}"):
            facts.append(_fact(fact))
    return ComputedStep(
        title, paragraphs, changes, tuple(shown_now), tuple(shown_later), tuple(facts), question, leader
    )


def _claim(condition: str, stage: Stage) -> None:
    """Refuse a lesson whose words are not true with these cases."""
    if holds(condition, stage.lookup):
        return
    values = []
    for side in condition.replace("<=", "<").replace(">=", ">").replace("==", "<").replace(">", "<").split("<"):
        if " and " in side:
            continue
        value = evaluate(side, stage.lookup)
        if isinstance(value, Measured) and "." in side.strip("0123456789. "):
            unit = next((name for name, one in UNITS.items() if one.powers == value.powers), "times")
            values.append(f"{side.strip()} is {shown(value, unit, 2)}")
        elif isinstance(value, str) and f'"{value}"' != side.strip():
            values.append(f"{side.strip()} is {value}")
    raise ScenarioError(
        f'"{condition}" does not hold with these cases ({"; ".join(values)}). The words of the step rest on it: '
        "change the case or the words."
    )


def _question(question: Question, stage: Stage) -> ComputedQuestion:
    text = " ".join(filled(question.text, stage.lookup).split())
    explain = _paragraphs(filled(question.explain, stage.lookup))
    if question.number is not None:
        return _number_question(question, text, explain, stage)
    choices = tuple(
        ComputedChoice(
            text=filled(one.text, stage.lookup),
            right=holds(one.when, stage.lookup),
            reply="" if one.reply is None else filled(one.reply, stage.lookup),
        )
        for one in question.choices
    )
    right = [one.text for one in choices if one.right]
    if len(right) != 1:
        raise ScenarioError(
            f"{len(right)} of {len(choices)} choices are right with these cases; exactly 1 must be. "
            "Look at their conditions (when), or change the case."
        )
    return ComputedQuestion(text, choices, None, "", 0.0, right[0], explain)


def _number_question(question: Question, text: str, explain: tuple[str, ...], stage: Stage) -> ComputedQuestion:
    assert question.number is not None  # it was asked for
    inside = question.number.strip().removeprefix("{").removesuffix("}")
    answer = placeholder(inside, stage.lookup)
    unit = inside.split()[-1].partition(":")[0]
    within = evaluate(question.within, stage.lookup)
    if not isinstance(within, Measured) or within.powers != UNITS["%"].powers:
        raise ScenarioError(f'within "{question.within}" is no share; write it such as "10 %".')
    value = evaluate(inside.rsplit(None, 1)[0], stage.lookup)
    assert isinstance(value, Measured)  # `placeholder` has shown it with its unit
    number = (value.value - (UNITS[unit].offset if value.on_scale else 0.0)) / UNITS[unit].factor
    return ComputedQuestion(text, (), number, unit, within.value, answer, explain)


def _fact(fact: Fact) -> ComputedFact:
    text = " ".join(fact.text.split())
    if fact.source is not None:
        found: Source = source(fact.source)
        return ComputedFact(text, f"{found.document}, {found.paragraph}", found.status)
    assert fact.status is not None  # the model of the file asks for one of the two
    named = ", ".join(part for part in (fact.document, fact.paragraph) if part)
    return ComputedFact(text, named, fact.status)
