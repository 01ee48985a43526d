"""One or two inputs varied over a range, with today's point marked; and the question what would undo a loss."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from groundroll.errors import GroundrollError, ScenarioError
from groundroll.planning.search import root
from groundroll.teaching.cases import CaseSpec, Run, build
from groundroll.teaching.numbers import (
    LENGTH,
    MASS,
    PLAIN,
    SPEED,
    TEMPERATURE,
    TIME,
    UNITS,
    Measured,
    Powers,
    evaluate,
    shown,
    unknown_name,
)
from groundroll.teaching.runs import LandingRun, RejectRun

CURVE_POINTS: Final = 33
MAP_POINTS: Final = (21, 15)
"""Points of a curve, and of a map along both inputs. Assumption of this project."""


@dataclass(frozen=True)
class Input:
    """One input that can be varied."""

    key: str
    """As `--set` takes it, or the name of a choice that is no key of a file."""
    words: str
    powers: Powers
    today: Callable[[Run], float | None]
    """Value in a run as it stands, SI."""


def _landing(get: Callable[[LandingRun], float | None]) -> Callable[[Run], float | None]:
    return lambda run: get(run) if isinstance(run, LandingRun) else None


def _reject(get: Callable[[RejectRun], float | None]) -> Callable[[Run], float | None]:
    return lambda run: get(run) if isinstance(run, RejectRun) else None


INPUTS: Final = {
    one.key: one
    for one in (
        Input("landing.mass", "landing mass", MASS, _landing(lambda run: run.conditions.mass)),
        Input(
            "landing.approach_speed",
            "speed over the threshold",
            SPEED,
            _landing(lambda run: run.case.landing.approach_speed),
        ),
        Input("landing.touchdown_distance", "touchdown point", LENGTH, _landing(lambda run: run.segment.distance)),
        Input("landing.pedal", "share of full pedal", PLAIN, _landing(lambda run: run.case.landing.pedal)),
        Input("landing.margin", "margin", PLAIN, _landing(lambda run: run.case.landing.margin)),
        Input(
            "landing.initial_brake_temperature",
            "brakes before landing",
            TEMPERATURE,
            _landing(lambda run: run.case.landing.initial_brake_temperature or run.case.weather.temperature),
        ),
        Input(
            "failures.threshold_speed_excess",
            "speed too high over the threshold",
            SPEED,
            _landing(lambda run: run.case.failures.threshold_speed_excess),
        ),
        Input(
            "failures.additional_tailwind",
            "further tailwind",
            SPEED,
            lambda run: run.case.failures.additional_tailwind,
        ),
        Input(
            "failures.friction_share",
            "braking over that of the codes",
            PLAIN,
            _landing(lambda run: run.case.failures.friction_share),
        ),
        Input("runway.slope", "slope, upwards positive", PLAIN, lambda run: run.case.direction_data.slope),
        Input("weather.temperature", "air temperature", TEMPERATURE, lambda run: run.case.weather.temperature),
        Input("take_off.mass", "take-off mass", MASS, _reject(lambda run: run.case.take_off.intent.mass)),
        Input("take_off.decision_speed", "decision speed", SPEED, _reject(lambda run: run.plan.decision_speed)),
        Input("reject_speed", "speed at which the reject begins", SPEED, _reject(lambda run: run.speed)),
        Input("late", "delay of the first action", TIME, _reject(lambda run: run.late)),
    )
}
"""Inputs that can be varied; beside them every number of the aircraft file, as "aircraft.brakes.maximum_torque"."""

ON_THE_REJECT: Final = ("reject_speed", "late")
"""Inputs that are no keys of a file: the same take-off is rejected in another way."""


def input_named(key: str, run: Run) -> Input:
    """Return an input by its key; those of the aircraft file are looked up in the run."""
    if key in INPUTS:
        found = INPUTS[key]
        if found.today(run) is None:
            raise ScenarioError(f'input "{key}" does not belong to a {run.kind}.')
        return found
    if key.startswith("aircraft."):
        value = run.number(key)
        if isinstance(value, Measured):
            words = key.removeprefix("aircraft.").replace(".", ", ").replace("_", " ")
            return Input(key, words, value.powers, lambda one: _aircraft_value(one, key))
    raise unknown_name(key, [*INPUTS, "aircraft.KEY"], "an input that can be varied")


def _aircraft_value(run: Run, key: str) -> float | None:
    value = run.number(key)
    return value.value if isinstance(value, Measured) else None


@dataclass(frozen=True)
class Range:
    """From where to where an input is varied."""

    low: float
    high: float
    unit: str


def read_range(texts: tuple[str, str], powers: Powers) -> Range:
    """Return a range from two quantities of one unit, such as "50 t" and "66 t"."""
    values, unit = [], ""
    for text in texts:
        value = evaluate(text, _no_name)
        if not isinstance(value, Measured) or value.powers != powers:
            units = ", ".join(name for name, one in UNITS.items() if one.powers == powers)
            raise ScenarioError(f'"{text}" does not fit this input. Write a number with one of {units}.')
        values.append(value.value)
        unit = text.split()[-1] if text.split()[-1] in UNITS else "times"
    if values[0] >= values[1]:
        raise ScenarioError(f'"{texts[0]}" to "{texts[1]}" is no range; the lower end comes first.')
    return Range(values[0], values[1], unit)


def _no_name(name: str) -> bool:
    raise ScenarioError(f'"{name}" has no place in a range; write a number with its unit.')


def with_input(spec: CaseSpec, run: Run, one: Input, value: float, unit: str) -> Run | None:
    """Return the run with one input at another value, None where it lies outside the data or the physics."""
    try:
        if one.key in ON_THE_REJECT:
            assert isinstance(run, RejectRun)  # `input_named` has seen to it
            return run.at_speed(value, run.late) if one.key == "reject_speed" else run.at_speed(run.speed, value)
        return build(_chosen(spec, run).changed(override(one, value, unit)))
    except (GroundrollError, ValueError):
        return None


def _chosen(spec: CaseSpec, run: Run) -> CaseSpec:
    """Return the case with its brakes and reverse fixed: a sweep varies one thing at a time."""
    return replace(spec, brake=run.brake, reverse=run.reverse) if isinstance(run, LandingRun) else spec


def override(one: Input, value: float, unit: str) -> str:
    """Return a value of an input as `--set` takes it."""
    on_scale = UNITS[unit].offset != 0.0
    text = shown(Measured(value, one.powers, on_scale), unit, 6)
    return f"{one.key}={text}"


@dataclass(frozen=True)
class Curve:
    """One number over one input."""

    label: str
    inputs: tuple[float, ...]
    values: tuple[float | None, ...]
    """None where the case lies outside the data, or there is no such number."""
    today: tuple[float, float] | None
    """The case as it stands, where it lies in the range."""


def value_of(run: Run | None, quantity: str) -> float | None:
    """Return a number of a run, None where there is none."""
    if run is None:
        return None
    try:
        value = run.number(quantity)
    except (GroundrollError, ValueError):
        return None
    return value.value if isinstance(value, Measured) else None


def curve(spec: CaseSpec, run: Run, one: Input, over: Range, quantity: str, points: int = CURVE_POINTS) -> Curve:
    """Return one number of a case over one input, all else as it stands."""
    inputs = tuple(float(value) for value in np.linspace(over.low, over.high, points))
    values = tuple(value_of(with_input(spec, run, one, value, over.unit), quantity) for value in inputs)
    now, standing = one.today(run), value_of(run, quantity)
    inside = now is not None and standing is not None and over.low <= now <= over.high
    return Curve(spec.label, inputs, values, (now or 0.0, standing or 0.0) if inside else None)


@dataclass(frozen=True)
class Map:
    """One number over two inputs."""

    inputs: tuple[float, ...]
    second_inputs: tuple[float, ...]
    values: tuple[tuple[float | None, ...], ...]
    """One row for each second input."""
    today: tuple[float, float] | None


def map_of(spec: CaseSpec, run: Run, one: Input, over: Range, two: Input, second_over: Range, quantity: str) -> Map:
    """Return one number of a case over two inputs, all else as it stands."""
    if one.key in ON_THE_REJECT or two.key in ON_THE_REJECT:
        raise ScenarioError(f'"{one.key}" and "{two.key}": a map varies inputs of the files only.')
    if one.key == two.key:
        raise ScenarioError(f'"{one.key}": a map needs two different inputs.')
    columns = tuple(float(value) for value in np.linspace(over.low, over.high, MAP_POINTS[0]))
    rows = tuple(float(value) for value in np.linspace(second_over.low, second_over.high, MAP_POINTS[1]))
    chosen = _chosen(spec, run)
    values = []
    for second in rows:
        moved = chosen.changed(override(two, second, second_over.unit))
        values.append(tuple(value_of(with_input(moved, run, one, first, over.unit), quantity) for first in columns))
    now, then = one.today(run), two.today(run)
    inside = (
        now is not None
        and then is not None
        and over.low <= now <= over.high
        and second_over.low <= then <= second_over.high
    )
    return Map(columns, rows, tuple(values), (now or 0.0, then or 0.0) if inside else None)


def solve(
    spec: CaseSpec, run: Run, one: Input, over: Range, quantity: str, wanted: float, within: float
) -> float | None:
    """Return the value of one input at which a number of the case is ``wanted``; None where no value in range does.

    The range is scanned first, and the crossing nearest to today's value is narrowed down: a distance may rise and
    fall again.

    Parameters
    ----------
    spec, run
        The case and its run as it stands.
    one, over
        The input and its range.
    quantity, wanted
        The number, and what it shall be, SI.
    within
        To which the input is found, SI.
    """

    def excess(value: float) -> float:
        found = value_of(with_input(spec, run, one, value, over.unit), quantity)
        if found is None:
            raise ValueError
        return found - wanted

    places = np.linspace(over.low, over.high, CURVE_POINTS)
    values = [value_of(with_input(spec, run, one, float(place), over.unit), quantity) for place in places]
    today = one.today(run)
    now = 0.5 * (over.low + over.high) if today is None else today
    crossings = []
    for number in range(len(places) - 1):
        left, right = values[number], values[number + 1]
        if left is None or right is None or (left - wanted > 0.0) == (right - wanted > 0.0):
            continue
        low, high = float(places[number]), float(places[number + 1])
        try:
            found = root(excess, low, high, within=within)
        except ValueError:
            continue
        if found is not None:
            crossings.append(found)
    return min(crossings, key=lambda place: abs(place - now), default=None)


@dataclass(frozen=True)
class Undo:
    """What one input would have to become for a loss to be undone, all else left as it is."""

    words: str
    today: float | None
    needed: float | None
    """None where no value in the range does it. [SI]"""
    low: float
    high: float
    unit: str
    on_scale: bool


def undo(spec: CaseSpec, run: Run, one: Input, over: Range, quantity: str, wanted: float) -> Undo:
    """Return what ``one`` would have to become for ``quantity`` to be ``wanted``."""
    needed = solve(spec, run, one, over, quantity, wanted, within=1e-4 * (over.high - over.low))
    on_scale = UNITS[over.unit].offset != 0.0
    return Undo(one.words, one.today(run), needed, over.low, over.high, over.unit, on_scale)


def choices_that_undo(run: Run, quantity: str, wanted: float) -> tuple[str, ...]:
    """Return every other choice of brakes and reverse with which a number of a landing is at least ``wanted``."""
    if not isinstance(run, LandingRun):
        return ()
    found = []
    for option in run.plan.options:
        if (option.brake, option.reverse) == (run.brake, run.reverse):
            continue
        value = value_of(LandingRun(run.case, option.brake, option.reverse), quantity)
        if value is not None and value >= wanted:
            found.append(f"{option.brake} with {'no' if option.reverse == 'none' else option.reverse} reverse")
    return tuple(found)
