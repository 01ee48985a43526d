"""A computed lesson and computed exercises as JSON; the shape is written down in docs/teaching.md."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from groundroll.outputs.caution import cautions
from groundroll.outputs.json_form import finite, source_entry
from groundroll.physics.sources import source, sources
from groundroll.teaching.computed import ComputedLesson, ComputedStep
from groundroll.teaching.runs import LandingRun, numbers_of
from groundroll.teaching.show import Shown

LESSON_FORMAT: Final = 1
"""Format number of the JSON of a lesson."""

ROLL_POINTS: Final = 200
"""Most moments of a roll that are given."""


def lesson_json(lesson: ComputedLesson) -> dict[str, Any]:
    """Return a computed lesson as plain, JSON-ready values."""
    answer = {
        "format": LESSON_FORMAT,
        "kind": "lesson",
        "name": lesson.name,
        "title": lesson.title,
        "summary": lesson.summary,
        "goals": list(lesson.goals),
        "minutes": lesson.minutes,
        "cases": [_case(one) for one in lesson.cases],
        "steps": [_step(one) for one in lesson.steps],
        "exercises": list(lesson.exercises),
        "cautions": cautions(invented=lesson.invented),
        "sources": lesson_sources(lesson),
    }
    checked: dict[str, Any] = finite(answer)
    return checked


def lesson_sources(lesson: ComputedLesson) -> list[dict[str, str]]:
    """Return what the numbers of the model rest on."""
    return [source_entry(key, source(key)) for key in lesson.source_keys if key in sources()]


def _case(one: Shown) -> dict[str, Any]:
    run = one.run
    shape = {
        "key": one.key,
        "label": one.spec.label,
        "kind": run.kind,
        "title": run.case.title,
        "aeroplane": run.case.aircraft.name,
        "runway": f"{run.case.runway.aerodrome} {run.case.direction}",
        "numbers": numbers_of(run),
        "roll": None,
    }
    if isinstance(run, LandingRun):
        shape["roll"] = _roll(run)
    return shape


def _roll(run: LandingRun) -> dict[str, Any]:
    """Return the roll moment by moment, from touchdown on; time counts from the threshold."""
    history = run.recorded.history
    assert history is not None  # a recorded roll has one
    step = max(1, -(-len(history.time) // ROLL_POINTS))
    chosen = [*range(0, len(history.time) - 1, step), len(history.time) - 1]
    return {
        "landing_distance_available_m": run.conditions.landing_distance_available,
        "touchdown_distance_m": run.segment.distance,
        "touchdown_time_s": run.segment.time,
        "ends": "stop" if run.recorded.stopped else "exit",
        "time_s": [run.segment.time + float(history.time[number]) for number in chosen],
        "distance_m": [float(history.distance[number]) for number in chosen],
        "ground_speed_mps": [float(history.ground_speed[number]) for number in chosen],
        "deceleration_mps2": [float(history.deceleration[number]) for number in chosen],
        "brake_energy_per_wheel_j": [float(history.brake_energy[number]) / run.working_brakes for number in chosen],
    }


def _step(step: ComputedStep) -> dict[str, Any]:
    return {
        "title": step.title,
        "paragraphs": list(step.paragraphs),
        "changes": step.changes,
        "pictures": [asdict(one) for one in step.pictures],
        "revealed": [asdict(one) for one in step.revealed],
        "facts": [asdict(one) for one in step.facts],
        "question": None if step.question is None else asdict(step.question),
        "leader": list(step.leader),
    }
