"""Lessons behind the page: those that come with the program, those of the workspace, and two landings side by side.

A lesson of the workspace lies in its folder `lessons`. Files that it names are looked up in the workspace and nowhere
else.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final, Literal

from groundroll.errors import GroundrollError, ScenarioError
from groundroll.scenario.files import load
from groundroll.scenario.overrides import read_override
from groundroll.teaching.lesson import LessonFile, finished_lessons, read_lesson
from groundroll.web.workspace import LESSONS, NotInWorkspace, Workspace

MOST_LESSONS: Final = 200
"""Listed of the workspace. Assumption of this project: far above what one person writes."""

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,79}\Z")

Reverse = Literal["none", "idle", "full"]


def lessons_content(workspace: Workspace) -> dict[str, Any]:
    """Return what `groundroll teach --list --json` returns, and the lessons of the workspace beside it."""
    from groundroll.outputs.caution import cautions

    own = [_own_entry(one) for one in _own_lessons(workspace)]
    lessons = [_entry(one) for one in finished_lessons()]
    return {"format": 1, "kind": "lessons", "lessons": lessons, "cautions": cautions(), "workspace": own}


def _entry(path: Path) -> dict[str, Any]:
    lesson = read_lesson(path)
    return {"name": path.stem, "title": lesson.title, "summary": lesson.summary, "minutes": lesson.minutes}


def _own_entry(path: Path) -> dict[str, Any]:
    """Return the entry of a lesson somebody writes; one that cannot be read is listed with the reason."""
    try:
        return _entry(path) | {"fault": None}
    except GroundrollError as error:
        return {"name": path.stem, "title": path.stem, "summary": "", "minutes": 0, "fault": str(error)}


def _own_lessons(workspace: Workspace) -> list[Path]:
    folder = workspace.folder / LESSONS
    found = sorted(folder.glob("*.toml")) if folder.is_dir() else []
    return [one for one in found if _NAME.match(one.stem) and one.resolve().parent == folder][:MOST_LESSONS]


def lesson_content(workspace: Workspace, name: str, *, own: bool, changes: Sequence[str] = ()) -> dict[str, Any]:
    """Return a lesson worked out, as `groundroll teach NAME --json`.

    Parameters
    ----------
    workspace
        Where an own lesson lies.
    name
        Name of a lesson, without suffix.
    own
        Whether it is one of the workspace.
    changes
        As `--set` takes them; they name no file.

    Raises
    ------
    NotInWorkspace
        If there is no such lesson.
    ScenarioError
        If it cannot be worked out, or names a file outside the workspace.
    """
    from groundroll.outputs.teaching.form import lesson_json
    from groundroll.teaching.computed import compute_lesson

    known = {one.stem: one for one in (_own_lessons(workspace) if own else finished_lessons())}
    if name not in known:
        where = f"a lesson of the workspace. Put it into {LESSONS}" if own else "a finished lesson"
        raise NotInWorkspace(f'"{name[:90]}" is not {where}.')
    path = known[name]
    if own:
        _check_lesson(workspace, path)
    return lesson_json(compute_lesson(path, changes))


def _check_lesson(workspace: Workspace, path: Path) -> None:
    """Refuse a lesson that names a file outside the workspace, itself or through a case."""
    from groundroll.web.work import NAMES_A_FILE

    content = load(path)
    cases = content.get("cases")
    for key, case in (cases if isinstance(cases, dict) else {}).items():
        if not isinstance(case, dict):
            continue  # its reader says what is wrong
        where = f"{path.name}, cases.{key}"
        if isinstance(case.get("file"), str):
            _check_case(workspace, _inside(workspace, path.parent, case["file"], f"{where}.file"))
        changes = case.get("set")
        for one in changes if isinstance(changes, list) else []:
            if not isinstance(one, str):
                continue
            named = one.partition("=")[0]
            if "{" in named or read_override(one).parts[-1] in NAMES_A_FILE:
                raise ScenarioError(f'{where}.set: "{one[:80]}": a change cannot name another file here.')


def _check_case(workspace: Workspace, case: Path) -> None:
    if not case.is_file():
        return  # its reader says so
    content = load(case)
    for key in ("aircraft", "runway"):
        if not isinstance(content.get(key), str):
            continue
        named = _inside(workspace, case.parent, content[key], f"{case.name}, {key}")
        table = load(named).get("braking_table") if key == "aircraft" and named.is_file() else None
        if isinstance(table, str):
            _inside(workspace, named.parent, table, f"{named.name}, braking_table")


def _inside(workspace: Workspace, folder: Path, name: str, where: str) -> Path:
    """Return the file that another names relative to itself, refused outside the workspace."""
    try:
        path = (folder / name).resolve()
        inside = path.is_relative_to(workspace.folder)
    except (OSError, RuntimeError, ValueError):
        inside = False
    if not inside or Path(name).is_absolute():
        raise ScenarioError(f'{where}: "{name[:200]}" is outside the workspace.')
    return path


def compare_content(
    first: Path,
    other: Path | None,
    *,
    choice: tuple[str | None, Reverse | None],
    other_choice: tuple[str | None, Reverse | None],
) -> dict[str, Any]:
    """Return one landing, or two side by side, in the form of a lesson of one step.

    Parameters
    ----------
    first, other
        Case files; without the second, the first one alone.
    choice
        Brake setting and use of reverse of the first; None for what the plan of it recommends.
    other_choice
        The same for the second; None for that of the first, so that one thing alone differs.

    Raises
    ------
    ScenarioError
        If a case cannot be read or is no landing, or a choice is not one that it has.
    """
    from groundroll.outputs.teaching.form import lesson_json
    from groundroll.teaching.cases import CaseSpec, build
    from groundroll.teaching.computed import computed
    from groundroll.teaching.lesson import LessonCase, Show, Step
    from groundroll.teaching.runs import LandingRun

    run = build(CaseSpec("first", "", first, brake=choice[0], reverse=choice[1]))
    if not isinstance(run, LandingRun):
        raise ScenarioError(f"{first.name} is not a landing; two landings can be set side by side.")
    cases = {"first": LessonCase(label="as it is", file=str(first), brake=run.brake, reverse=run.reverse)}
    if other is not None:
        brake, reverse = other_choice[0] or run.brake, other_choice[1] or run.reverse
        cases["other"] = LessonCase(label="changed", file=str(other), brake=brake, reverse=reverse)
    names = list(cases)
    shown = [Show(kind="strip", cases=names)]
    if other is not None:
        shown += [Show(kind=kind, cases=names) for kind in ("ledger", "ruled", "table")]
    lesson = LessonFile(
        format=1,
        title="One thing changed",
        summary="Two landings side by side." if other is not None else "The landing as it is.",
        goals=["See what it does."],
        minutes=5,
        cases=cases,
        steps=[Step(title="Side by side", text="The same numbers of each.", show=shown)],
    )
    return lesson_json(computed(lesson, Path("comparison.toml")))
