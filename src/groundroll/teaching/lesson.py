"""The lesson file: a small TOML of cases and steps, read and checked; nothing is computed here."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Final, Literal, Self

from pydantic import Field, ValidationError, model_validator

from groundroll.errors import ScenarioError
from groundroll.scenario.files import load
from groundroll.scenario.messages import Problems, nearest
from groundroll.scenario.model import Section

Words = Annotated[str, Field(min_length=1, max_length=4_000)]
Key = Annotated[str, Field(min_length=1, max_length=40)]
Pair = Annotated[list[str], Field(min_length=2, max_length=2)]

ShowKind = Literal[
    "roll",
    "strip",
    "deceleration",
    "energy",
    "ruled",
    "ledger",
    "sweep",
    "map",
    "temperatures",
    "window",
    "table",
    "report",
    "undo",
]


class LessonCase(Section):
    """One case that the lesson rolls."""

    label: Words = Field(description="Words shown beside it.")
    file: Words | None = Field(default=None, description="Case file, relative to the lesson file.")
    like: Key | None = Field(default=None, description="Another case of the lesson from which this one starts.")
    set: list[Words] = Field(
        default_factory=list, description='Inputs changed, as --set takes them: ["landing.mass=60 t"].'
    )
    brake: Words | None = Field(
        default=None, description='Brake setting of the aircraft file, or "manual"; left out: as the plan recommends.'
    )
    reverse: Literal["none", "idle", "full"] | None = Field(
        default=None, description="Use of reverse; left out: as the plan recommends."
    )
    exit: Key | None = Field(default=None, description="Exit that the landing is brought to.")
    reject_speed: Words | None = Field(
        default=None, description="Take-off: calibrated speed at which it is rejected; left out: the decision speed."
    )
    reject_ground_speed: Words | None = Field(default=None, description="The same as a ground speed.")
    late: Words | None = Field(default=None, description="Take-off: delay of the first action.")

    @model_validator(mode="after")
    def _one_start(self) -> Self:
        if (self.file is None) == (self.like is None):
            raise ValueError('name either file = "..." or like = "...", the case from which it starts.')
        if self.reject_speed is not None and self.reject_ground_speed is not None:
            raise ValueError("reject_speed and reject_ground_speed say the same; keep one.")
        return self


class Solve(Section):
    """A number found by asking: what must this input be for that to happen?"""

    case: Key = Field(description="Case in which the input is varied.")
    input: Words = Field(description="The input, as --set takes it.")
    between: Pair = Field(description='Where to look: ["50 t", "66 t"].')
    quantity: Words = Field(default="margin", description="Number of the case that shall reach a value.")
    equals: Words = Field(default="0 m", description="The value; it may name numbers of cases.")


class Show(Section):
    """One picture."""

    kind: ShowKind = Field(description="What is shown.")
    cases: list[Key] = Field(default_factory=list, description="Cases shown, in order.")
    title: Words | None = Field(default=None, description="Title over it.")
    quantity: Words | None = Field(default=None, description="Number that is drawn.")
    quantities: list[Words] = Field(default_factory=list, description="Rows of a table.")
    unit: Words | None = Field(default=None, description="Unit to draw it in.")
    input: Words | None = Field(default=None, description="Input that is varied.")
    between: Pair | None = Field(default=None, description="Its range.")
    second_input: Words | None = Field(default=None, description="Second input of a map.")
    second_between: Pair | None = Field(default=None, description="Its range.")
    inputs: list[Annotated[list[str], Field(min_length=3, max_length=3)]] = Field(
        default_factory=list, description="Inputs of undo, each with its range."
    )
    back_to: Key | None = Field(default=None, description="Case whose number undo gives back.")
    predict: bool = Field(default=False, description="Shown only when the question has been answered.")


class Fact(Section):
    """Something said that the model does not compute."""

    text: Words = Field(description="The fact; figures may stand in it.")
    source: Key | None = Field(default=None, description="Key of data/sources.toml.")
    document: Words | None = Field(default=None, description="Title of the document, where it is not listed there.")
    paragraph: Words | None = Field(default=None, description="Paragraph or page.")
    status: (
        Literal[
            "confirmed",
            "second-hand",
            "from memory",
            "derived",
            "common practice, no source",
            "assumption of this project",
        ]
        | None
    ) = Field(default=None, description="How far it has been checked.")

    @model_validator(mode="after")
    def _told(self) -> Self:
        if self.source is None and self.status is None:
            raise ValueError(
                'says not where it comes from. Name source = "key", or status = "common practice, no source".'
            )
        if self.source is not None and (self.status is not None or self.document is not None):
            raise ValueError("names a source and a status of its own; keep one.")
        if self.status in ("confirmed", "second-hand", "from memory") and self.document is None:
            raise ValueError(f'is "{self.status}"; name the document.')
        return self


class Choice(Section):
    """One answer to pick."""

    text: Words = Field(description="The answer.")
    when: Words = Field(description="Condition under which it is right, such as late.margin < base.margin.")
    reply: Words | None = Field(default=None, description="What is said to who picks it.")


class Question(Section):
    """A question to answer before going on: one to pick from, or a number to guess."""

    text: Words = Field(description="The question.")
    choices: list[Choice] = Field(default_factory=list, max_length=6, description="Answers to pick from.")
    number: Words | None = Field(default=None, description="The number wanted, with its unit, as in a text.")
    within: Words = Field(default="10 %", description="How near a guess must come.")
    explain: Words = Field(description="Shown with the answer.")

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        if bool(self.choices) == (self.number is not None):
            raise ValueError("a question has either choices or a number.")
        if len(self.choices) == 1:
            raise ValueError("has one choice; at least 2 are needed.")
        return self


class Step(Section):
    """One step: a text, what changes, what is shown, a question."""

    title: Words = Field(description="Heading.")
    text: Words = Field(description="The text; an empty line begins a paragraph.")
    changes: Words | None = Field(default=None, description="The one thing that changes in this step.")
    holds: list[Words] = Field(
        default_factory=list, description="Conditions on which the words of the text rest; checked when built."
    )
    show: list[Show] = Field(default_factory=list, max_length=4, description="What is shown.")
    facts: list[Fact] = Field(default_factory=list, max_length=6, description="Facts from outside the model.")
    question: Question | None = Field(default=None, description="The question.")
    leader: Words | None = Field(default=None, description="For the leader's sheet only.")


class LessonFile(Section):
    """A lesson as written."""

    format: Literal[1] = Field(description="Format of this file.")
    title: Words = Field(description="Title.")
    summary: Words = Field(description="What it teaches, in a sentence or two.")
    goals: list[Words] = Field(min_length=1, max_length=6, description="What you can do afterwards.")
    minutes: Annotated[int, Field(ge=1, le=240)] = Field(description="About how long it takes in class.")
    exercises: list[Key] = Field(default_factory=list, description="Kinds of exercises that go with it.")
    cases: dict[str, LessonCase] = Field(description="Cases by name.")
    solve: dict[str, Solve] = Field(default_factory=dict, description="Numbers found by asking, by name.")
    steps: list[Step] = Field(min_length=1, max_length=40, description="The steps.")


SUFFIX: Final = ".toml"


def lessons_folder() -> Path:
    """Return the folder of finished lessons, beside the package when installed, in the checkout otherwise."""
    package = Path(__file__).parents[1]
    installed = package / "examples" / "lessons"
    return installed if installed.is_dir() else package.parents[1] / "examples" / "lessons"


def finished_lessons() -> list[Path]:
    """Return the files of the finished lessons, in the order of their names."""
    return sorted(lessons_folder().glob(f"*{SUFFIX}"))


def lesson_path(name: str) -> Path:
    """Return the file of a lesson: a path, or the name of a finished one.

    Raises
    ------
    ScenarioError
        If there is neither; the message names the nearest finished lesson.
    """
    path = Path(name)
    if path.suffix == SUFFIX or path.exists():
        return path
    names = {one.stem: one for one in finished_lessons()}
    if name not in names:
        raise ScenarioError(
            f'"{name[:80]}" is no finished lesson and no file. {nearest(name, names)} '
            "To see them: groundroll teach --list"
        )
    return names[name]


def read_lesson(path: Path) -> LessonFile:
    """Return the lesson in a file.

    Raises
    ------
    ScenarioError
        With every problem of the file, one line each: where it stands, what is wrong, what is allowed.
    """
    data, problems = load(path), Problems()
    if "steps" not in data and "cases" not in data:
        raise ScenarioError(
            f"{path.name} is not a lesson: it has no [cases] and no [[steps]]. Cases are compared by groundroll teach "
            "--compare; docs/teaching.md shows how a lesson is written."
        )
    try:
        lesson = LessonFile.model_validate(data)
    except ValidationError as error:
        problems.add_validation(error, LessonFile, path.name)
        problems.raise_if_any()
        raise  # a validation error has at least one line
    _check_names(lesson, path, problems)
    problems.raise_if_any()
    return lesson


def _check_names(lesson: LessonFile, path: Path, problems: Problems) -> None:
    """Add what names something that is not there."""
    for name in (*lesson.cases, *lesson.solve):
        if not name.isidentifier() or name in ("abs", "min", "max", "sqrt", "and"):
            problems.add(path.name, f"cases.{name}", "a name is made of letters, digits and _, and is no word of ours.")
    for name in set(lesson.cases) & set(lesson.solve):
        problems.add(path.name, f"solve.{name}", "is the name of a case too; take another one.")
    for where, named in _named_cases(lesson):
        if named not in lesson.cases:
            problems.add(path.name, where, f'"{named}" is not a case of this lesson. {nearest(named, lesson.cases)}')
    for name, case in lesson.cases.items():
        if case.file is not None and not (path.parent / case.file).is_file():
            problems.add(path.name, f"cases.{name}.file", f'"{case.file}": there is no such file.')


def _named_cases(lesson: LessonFile) -> Iterator[tuple[str, str]]:
    """Yield every place at which a case is named, and the name."""
    for name, case in lesson.cases.items():
        if case.like is not None:
            yield f"cases.{name}.like", case.like
    for name, solve in lesson.solve.items():
        yield f"solve.{name}.case", solve.case
    for number, step in enumerate(lesson.steps, start=1):
        for place, show in enumerate(step.show, start=1):
            for case_name in (*show.cases, *([show.back_to] if show.back_to else [])):
                yield f"steps entry {number}, show entry {place}, cases", case_name


def texts_of(lesson: LessonFile) -> Iterator[tuple[str, str]]:
    """Yield every text that is shown, placeholders not filled, and where it stands; facts are left out."""
    yield "title", lesson.title
    yield "summary", lesson.summary
    for number, goal in enumerate(lesson.goals, start=1):
        yield f"goals entry {number}", goal
    for name, case in lesson.cases.items():
        yield f"cases.{name}.label", case.label
    for number, step in enumerate(lesson.steps, start=1):
        where = f"steps entry {number}"
        yield f"{where}, title", step.title
        yield f"{where}, text", step.text
        if step.changes is not None:
            yield f"{where}, changes", step.changes
        if step.leader is not None:
            yield f"{where}, leader", step.leader
        for place, show in enumerate(step.show, start=1):
            if show.title is not None:
                yield f"{where}, show entry {place}, title", show.title
        if step.question is None:
            continue
        yield f"{where}, question.text", step.question.text
        yield f"{where}, question.explain", step.question.explain
        for place, choice in enumerate(step.question.choices, start=1):
            yield f"{where}, question.choices entry {place}, text", choice.text
            if choice.reply is not None:
                yield f"{where}, question.choices entry {place}, reply", choice.reply
