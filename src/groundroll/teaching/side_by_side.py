"""Any two or more cases compared without writing a lesson: side by side, ledgers, sweeps, and what would undo it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from groundroll.errors import ScenarioError
from groundroll.scenario.read import read_any
from groundroll.scenario.resolved import Case
from groundroll.scenario.take_off import TakeOffCase
from groundroll.teaching.computed import ComputedLesson, computed
from groundroll.teaching.lesson import LessonCase, LessonFile, Show, Step
from groundroll.teaching.sweep import INPUTS

MOST_CASES = 6
"""Compared at once: more lines than that cannot be told apart."""


def read_sweep(text: str) -> tuple[str, str, str]:
    """Return input and range of a text such as "landing.mass=50 t:66 t".

    Examples
    --------
    >>> read_sweep("landing.mass=50 t:66 t")
    ('landing.mass', '50 t', '66 t')
    """
    key, equals, between = text.partition("=")
    low, colon, high = between.partition(":")
    if not equals or not colon or not key.strip() or not low.strip() or not high.strip():
        raise ScenarioError(f'"{text[:80]}" is no range of an input. Write it such as "landing.mass=50 t:66 t".')
    return key.strip(), low.strip(), high.strip()


def _plain(text: str) -> str:
    """Return a title without the braces that would stand for numbers."""
    return text.replace("{", "(").replace("}", ")")


def compare_cases(
    files: Sequence[Path],
    *,
    overrides: Sequence[str] = (),
    sweeps: Sequence[str] = (),
    undo: Sequence[str] = (),
    quantity: str | None = None,
) -> ComputedLesson:
    """Return cases side by side as a lesson of its own: what a lesson can be shown as, they can.

    Parameters
    ----------
    files
        Case files, all of landings or all of take-offs, 1 to 6; one alone with ``sweeps`` or ``undo``.
    overrides
        Changes as `key=value`, applied to every case.
    sweeps
        At most two inputs to vary, as "landing.mass=50 t:66 t"; two give a map of the first case too.
    undo
        Inputs of the last case, of which each alone shall give back what the first one has.
    quantity
        Number that sweeps and undo look at; by default the stop distance, and for undo the margin.

    Raises
    ------
    ScenarioError
        If a file is no case, kinds are mixed, or a question cannot be asked of them.
    """
    if not 1 <= len(files) <= MOST_CASES or (len(files) == 1 and not sweeps and not undo):
        raise ScenarioError(
            f"{len(files)} cases: 2 to {MOST_CASES} can be compared; with --sweep or --undo, 1 will do."
        )
    if len(sweeps) > 2:
        raise ScenarioError(f"{len(sweeps)} sweeps; one gives a curve, two give a map.")
    cases, landing, aeroplanes = _cases(files, overrides)
    names = list(cases)
    steps = [_side_by_side(names, landing)] if len(names) > 1 else []
    if landing:
        shares = "Each share is the mean over every order in which the causes could have come. None is favoured."
        if aeroplanes > 1:
            shares += " Where the aeroplanes differ, read aeroplane, mass and threshold speed together."
        steps += [
            Step(
                title="Where the difference comes from",
                text=shares,
                show=[Show(kind="ledger", cases=[names[0], other])],
            )
            for other in names[1:]
        ]
    steps += _sweeps(names, [read_sweep(one) for one in sweeps], quantity or "stop_distance")
    if undo:
        inputs = [list(read_sweep(one)) for one in undo]
        back_to = names[0] if len(names) > 1 else None
        steps.append(
            Step(
                title="What would undo it",
                text="Each line changes one thing alone and leaves the rest as it is.",
                show=[
                    Show(kind="undo", cases=[names[-1]], quantity=quantity or "margin", inputs=inputs, back_to=back_to)
                ],
            )
        )
    titles = " and ".join(dict.fromkeys(one.label for one in cases.values()))
    lesson = LessonFile(
        format=1,
        title="Side by side" if len(cases) > 1 else "One case, varied",
        summary=f"Compared: {titles}.",
        goals=["See what differs, and by how much."],
        minutes=5,
        cases=cases,
        steps=steps,
    )
    return computed(lesson, Path("comparison"), overrides)


def _cases(files: Sequence[Path], overrides: Sequence[str]) -> tuple[dict[str, LessonCase], bool, int]:
    """Return the cases, whether they are landings, and how many aeroplanes there are."""
    cases, kinds, aeroplanes = dict[str, LessonCase](), set[bool](), set[str]()
    for number, file in enumerate(files, start=1):
        found = read_any(file, overrides)
        if not isinstance(found, Case | TakeOffCase):
            raise ScenarioError(f"{file.name} is not a case. Name the file of a landing or of a take-off.")
        kinds.add(isinstance(found, Case))
        aeroplanes.add(found.aircraft.name)
        label = _plain(found.title)
        if label in [one.label for one in cases.values()]:
            label = f"{label} ({number})"
        cases[f"case{number}"] = LessonCase(label=label, file=str(file.resolve()))
    if len(kinds) > 1:
        raise ScenarioError("landings and take-offs cannot be compared with each other; name cases of one kind.")
    return cases, kinds == {True}, len(aeroplanes)


def _side_by_side(names: list[str], landing: bool) -> Step:
    pictures = [Show(kind="table", cases=names), Show(kind="ruled", cases=names)]
    if landing:
        pictures = [Show(kind="strip", cases=names), Show(kind="roll", cases=names), *pictures]
    return Step(title="Side by side", text="The same numbers of every case.", show=pictures)


def _sweeps(names: list[str], sweeps: Sequence[tuple[str, str, str]], quantity: str) -> list[Step]:
    steps = [
        Step(
            title=f"Varied: {INPUTS[key].words if key in INPUTS else key}",
            text="Today is marked; all else stays as it is.",
            show=[Show(kind="sweep", cases=names, input=key, between=[low, high], quantity=quantity)],
        )
        for key, low, high in sweeps
    ]
    if len(sweeps) == 2:
        (key, low, high), (other, other_low, other_high) = sweeps
        steps.append(
            Step(
                title="Both varied",
                text="Today is marked; all else stays as it is.",
                show=[
                    Show(
                        kind="map",
                        cases=names[:1],
                        input=key,
                        between=[low, high],
                        second_input=other,
                        second_between=[other_low, other_high],
                        quantity=quantity,
                    )
                ],
            )
        )
    return steps
