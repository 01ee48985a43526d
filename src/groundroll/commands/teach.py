"""`groundroll teach`: lessons, comparisons and exercises, every number of them computed by the model."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from groundroll.commands import AsJson, Overrides, announce_compiling, emit, emit_bytes

if TYPE_CHECKING:
    from groundroll.outputs.teaching.exercise_forms import ExerciseSet
    from groundroll.teaching.computed import ComputedLesson

Form = Literal["html", "pdf", "moodle", "qti", "text"]
"""Forms in which exercises are written."""

FORM_OF_SUFFIX: dict[str, Form] = {".html": "html", ".pdf": "pdf", ".xml": "moodle", ".zip": "qti", ".txt": "text"}
"""The form that the name of the file asks for, where --format does not say."""


def teach(
    lesson: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="LESSON", help="A lesson file or the name of a finished lesson; with --compare: case files."
        ),
    ] = None,
    list_: Annotated[bool, typer.Option("--list", help="List the finished lessons.")] = False,
    compare: Annotated[bool, typer.Option("--compare", help="Compare the case files named, side by side.")] = False,
    sweep: Annotated[
        list[str] | None,
        typer.Option(metavar="KEY=A:B", help='With --compare: vary an input, such as "landing.mass=50 t:66 t".'),
    ] = None,
    undo: Annotated[
        list[str] | None,
        typer.Option(metavar="KEY=A:B", help="With --compare: what must this input be to undo the difference?"),
    ] = None,
    quantity: Annotated[
        str | None, typer.Option(metavar="NAME", help="With --sweep and --undo: the number looked at.")
    ] = None,
    exercises: Annotated[bool, typer.Option("--exercises", help="Make the exercises that go with the lesson.")] = False,
    seed: Annotated[int, typer.Option(metavar="S", help="With --exercises: the same seed gives the same ones.")] = 1,
    count: Annotated[int, typer.Option(metavar="N", help="With --exercises: how many.")] = 10,
    form: Annotated[
        Form | None, typer.Option("--format", help="With --exercises: the form; left out: from the name of the file.")
    ] = None,
    as_json: AsJson = False,
    set_: Overrides = None,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--output",
            metavar="FOLDER",
            help="Write page, slides and leader's sheet into FOLDER; or one of them to FILE.html, .pdf or .txt.",
        ),
    ] = None,
) -> None:
    """Teach with the model: lessons to click through, slides, leader's sheets, comparisons and exercises."""
    from groundroll.errors import GroundrollError

    given = lesson or []
    if not compare and (sweep or undo or quantity):
        raise GroundrollError("--sweep, --undo and --quantity go with --compare.")
    if not exercises and form is not None:
        raise GroundrollError("--format goes with --exercises.")
    if list_:
        _list(as_json, output)
        return
    if not given:
        raise GroundrollError("name a lesson. To see the finished ones: groundroll teach --list")
    if compare:
        from groundroll.teaching.side_by_side import compare_cases

        announce_compiling()
        found = compare_cases(
            [Path(one) for one in given], overrides=set_ or (), sweeps=sweep or (), undo=undo or (), quantity=quantity
        )
        _write_lesson(found, as_json, output)
        return
    if len(given) > 1:
        raise GroundrollError(f"{len(given)} lessons named; make one after the other, or --compare cases.")
    if exercises:
        _write_exercises(given[0], set_ or [], seed, count, form, as_json, output)
        return
    from groundroll.teaching.computed import compute_lesson
    from groundroll.teaching.lesson import lesson_path

    path = lesson_path(given[0])
    announce_compiling()
    _write_lesson(compute_lesson(path, set_ or ()), as_json, output)


def _list(as_json: bool, output: Path | None) -> None:
    from groundroll.outputs.caution import cautions
    from groundroll.outputs.json_form import to_text
    from groundroll.teaching.lesson import finished_lessons, read_lesson

    found = [(one.stem, read_lesson(one)) for one in finished_lessons()]
    if as_json:
        lessons = [
            {"name": name, "title": one.title, "summary": one.summary, "minutes": one.minutes} for name, one in found
        ]
        emit(to_text({"format": 1, "kind": "lessons", "lessons": lessons, "cautions": cautions()}), output)
        return
    width = max((len(name) for name, _ in found), default=0)
    lines = [f"{name:{width}}  {one.title} ({one.minutes} min)" for name, one in found]
    emit("\n".join([*lines, "", *cautions()]), output)


def _write_lesson(lesson: ComputedLesson, as_json: bool, output: Path | None) -> None:
    from groundroll.errors import GroundrollError
    from groundroll.outputs.json_form import to_text
    from groundroll.outputs.teaching.form import lesson_json
    from groundroll.outputs.teaching.html import lesson_html
    from groundroll.outputs.teaching.sheets import leader_pdf, leader_text, slides_pdf

    if as_json:
        emit(to_text(lesson_json(lesson)), output)
        return
    suffix = "" if output is None else output.suffix.lower()
    if output is None or suffix == ".txt":
        emit(leader_text(lesson), output)
    elif suffix == ".html":
        emit(lesson_html(lesson), output)
    elif suffix == ".pdf":
        emit_bytes(slides_pdf(lesson), output)
    elif suffix:
        raise GroundrollError(f"-o {output}: a lesson is written into a folder, or to a file .html, .pdf or .txt.")
    else:
        _write_folder(lesson, output, lesson_html, slides_pdf, leader_pdf, leader_text)


def _write_folder(
    lesson: ComputedLesson,
    folder: Path,
    page: Callable[[Any], str],
    slides: Callable[[Any], bytes],
    leader: Callable[[Any], bytes],
    text: Callable[[Any], str],
) -> None:
    from groundroll.errors import GroundrollError
    from groundroll.outputs.caution import cautions

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise GroundrollError(f"{folder} cannot be made: {error.strerror or error}.") from error
    files = {
        f"{lesson.name}.html": page(lesson).encode("utf-8"),
        f"{lesson.name}-slides.pdf": slides(lesson),
        f"{lesson.name}-leader.pdf": leader(lesson),
        f"{lesson.name}-leader.txt": text(lesson).encode("utf-8"),
    }
    for name, content in files.items():
        emit_bytes(content, folder / name)
    lines = [f"{folder / name}" for name in files]
    emit("\n".join([*lines, "", *cautions(invented=lesson.invented)]), None)


def _write_exercises(
    name: str, overrides: list[str], seed: int, count: int, form: Form | None, as_json: bool, output: Path | None
) -> None:
    from groundroll.errors import GroundrollError
    from groundroll.outputs.json_form import to_text
    from groundroll.outputs.teaching import exercise_forms as forms

    asked: Form = form or (FORM_OF_SUFFIX.get(output.suffix.lower(), "text") if output is not None else "text")
    if asked in ("pdf", "qti") and output is None and not as_json:
        raise GroundrollError(f"--format {asked} is no text; name a file with -o.")
    announce_compiling()
    made = _exercise_set(name, overrides, seed, count)
    if as_json:
        emit(to_text(forms.exercises_json(made)), output)
    elif asked == "html":
        emit(forms.exercises_html(made), output)
    elif asked == "moodle":
        from groundroll.outputs.teaching.moodle import exercises_moodle

        emit(exercises_moodle(made), output)
    elif asked == "text" or output is None:
        emit(forms.exercises_text(made), output)
    elif asked == "pdf":
        emit_bytes(forms.exercises_pdf(made), output)
    else:
        from groundroll.outputs.teaching.qti import exercises_qti

        emit_bytes(exercises_qti(made), output)


def _exercise_set(name: str, overrides: list[str], seed: int, count: int) -> ExerciseSet:
    from groundroll.outputs.teaching.exercise_forms import ExerciseSet
    from groundroll.teaching.computed import Stage
    from groundroll.teaching.exercises import exercises
    from groundroll.teaching.lesson import lesson_path, read_lesson

    path = lesson_path(name)
    lesson = read_lesson(path)
    first = Stage(lesson, path, overrides).case(next(iter(lesson.cases)))
    made = exercises(lesson.exercises, first.spec, first.run, count=count, seed=seed)
    invented = first.run.case.aircraft.invented
    return ExerciseSet(f"Exercises: {lesson.title}", path.stem, seed, made, invented)
