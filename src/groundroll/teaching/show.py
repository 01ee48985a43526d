"""From rolled cases to the pictures of a step."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from groundroll.constants import KNOT, ZERO_CELSIUS
from groundroll.errors import ScenarioError
from groundroll.planning.brake_outcome import landing_brake_history
from groundroll.planning.reject import CODE_WORDS
from groundroll.reports.condition import read_condition
from groundroll.reports.describe import describe_condition, describe_weather
from groundroll.reports.weather import read_weather
from groundroll.teaching.cases import CaseSpec, Run
from groundroll.teaching.comparison import ledger_of
from groundroll.teaching.numbers import UNITS, Measured, shown, units_for
from groundroll.teaching.pictures import (
    Axis,
    Ledger,
    Line,
    Lines,
    Map,
    Mark,
    Picture,
    Report,
    Shares,
    Strip,
    StripRow,
    Table,
)
from groundroll.teaching.runs import LANDING, REJECT, LandingRun, RejectRun
from groundroll.teaching.sweep import (
    INPUTS,
    Range,
    choices_that_undo,
    curve,
    input_named,
    map_of,
    read_range,
    undo,
)

ENERGY_PARTS: Final = ("wheel brakes", "air", "reverse", "rolling", "contaminant", "slope")
LEAST_SHARE: Final = 0.005
"""Parts smaller than this are left out of a bar. [-] Assumption of this project."""

USUAL_UNITS: Final = ("m", "kt", "m/s2", "s", "t", "MJ", "degC", "kN", "bar", "%")
"""In which a dimension is drawn unless the lesson asks for another unit."""

MOST_POINTS: Final = 160
"""Of one line: finer than a page can show. Assumption of this project."""

WINDOW_FROM: Final = 0.6
"""Decision speeds are drawn from this share of the rotation speed on. [-] Assumption of this project."""

DEFAULT_TABLE: Final = ("stop_distance", "margin", "mean_deceleration", "brake_energy", "peak_brake_temperature")


@dataclass(frozen=True)
class Wanted:
    """One picture that a step asks for."""

    kind: str
    cases: tuple[str, ...]
    title: str | None = None
    quantity: str | None = None
    quantities: tuple[str, ...] = ()
    unit: str | None = None
    input: str | None = None
    between: tuple[str, str] | None = None
    second_input: str | None = None
    second_between: tuple[str, str] | None = None
    inputs: tuple[tuple[str, str, str], ...] = ()
    """Of "undo": each input with its range."""
    back_to: str | None = None
    """Of "undo": the case whose number is to be given back; None for nought."""


@dataclass(frozen=True)
class Shown:
    """A case as a picture needs it."""

    key: str
    spec: CaseSpec
    run: Run


def picture(wanted: Wanted, cases: Sequence[Shown]) -> Picture:
    """Return what a step shows.

    Raises
    ------
    ScenarioError
        If the kind does not fit the cases, or something it needs is missing.
    """
    if not cases:
        raise ScenarioError('names no case. Add a line such as: cases = ["base"]')
    makers: dict[str, Callable[[Wanted, Sequence[Shown]], Picture]] = {
        "roll": _roll,
        "strip": _strip,
        "deceleration": _deceleration,
        "energy": _energy,
        "ruled": _ruled,
        "ledger": _ledger,
        "sweep": _sweep,
        "map": _map,
        "temperatures": _temperatures,
        "window": _window,
        "table": _table,
        "report": _report,
        "undo": _undo,
    }
    return makers[wanted.kind](wanted, cases)


def _landings(wanted: Wanted, cases: Sequence[Shown]) -> list[tuple[Shown, LandingRun]]:
    found = [(one, one.run) for one in cases if isinstance(one.run, LandingRun)]
    if len(found) != len(cases):
        raise ScenarioError(f'"{wanted.kind}" shows landings; a take-off can show table, sweep, window, ruled.')
    return found


def _distance(value: float) -> str:
    return f"{value:.0f} m"


# ------------------------------------------------------------------------------------------------- along the runway


def _thin(x: np.ndarray, y: np.ndarray) -> tuple[tuple[float, float | None], ...]:
    """Return the points of a line, those left out that a page could not show; ends and jumps are kept."""
    keep = np.linspace(0, len(x) - 1, min(len(x), MOST_POINTS)).round().astype(int)
    jumps = np.flatnonzero(np.diff(x) <= 0.0)
    chosen = sorted({*keep.tolist(), *jumps.tolist(), *(jumps + 1).tolist()})
    return tuple((round(float(x[one]), 3), round(float(y[one]), 4)) for one in chosen)


def _roll(wanted: Wanted, cases: Sequence[Shown]) -> Lines:
    lines, marks, words = [], [], []
    available = 0.0
    for one, run in _landings(wanted, cases):
        recorded, history = run.recorded, run.recorded.history
        assert history is not None  # it was asked for
        distance = np.concatenate([[0.0], history.distance])
        speed = np.concatenate([[_threshold_speed(run)], history.ground_speed]) / KNOT
        lines.append(Line(one.spec.label, _thin(distance, speed)))
        speed_there = f"{recorded.ground_speed / KNOT:.0f} kt"
        end = f"{one.spec.label}: {_distance(recorded.distance) if recorded.stopped else speed_there}"
        marks.append(Mark(recorded.distance, recorded.ground_speed / KNOT, end))
        how = "stops" if recorded.stopped else f"has {speed_there}"
        words.append(f"{one.spec.label} {how} at {_distance(recorded.distance)}")
        available = run.conditions.landing_distance_available
    return Lines(
        title=wanted.title or "Speed along the runway",
        x=Axis("distance from the threshold", "m"),
        y=Axis("ground speed", "kt"),
        lines=tuple(lines),
        marks=tuple(marks),
        uprights=((available, "end of the distance available"),),
        levels=(),
        words="Ground speed over distance. " + "; ".join(words) + ".",
    )


def _threshold_speed(run: LandingRun) -> float:
    value = run.number("threshold_speed")
    assert isinstance(value, Measured)  # every landing has one
    return value.value


def _deceleration(wanted: Wanted, cases: Sequence[Shown]) -> Lines:
    lines, levels, words = [], dict[float, str](), []
    for one, run in _landings(wanted, cases):
        history = run.recorded.history
        assert history is not None  # it was asked for
        lines.append(Line(one.spec.label, _thin(history.distance, history.deceleration)))
        words.append(f"{one.spec.label} {float(np.max(history.deceleration)):.1f} m/s2 at most")
        if run.target is not None:
            levels.setdefault(run.target, f"asked for by {run.brake}")
    return Lines(
        title=wanted.title or "Deceleration along the runway",
        x=Axis("distance from the threshold", "m"),
        y=Axis("deceleration", "m/s2"),
        lines=tuple(lines),
        marks=(),
        uprights=(),
        levels=tuple(levels.items()),
        words="Total deceleration over distance: " + "; ".join(words) + ".",
    )


def _thirds(run: LandingRun) -> tuple[tuple[float, float, str], ...]:
    """Return where each third begins and ends, seen from the landing threshold, and what lies on it."""
    conditions = run.conditions
    third, displaced = conditions.runway_length / 3.0, conditions.displaced_threshold
    found = []
    for number, one in enumerate(conditions.thirds):
        begin, end = max(number * third - displaced, 0.0), (number + 1) * third - displaced
        words = CODE_WORDS[one.code] if one.descriptor is None else one.descriptor.lower()
        found.append((begin, min(end, conditions.landing_distance_available), f"{one.code} {words}"))
    return tuple(found)


def _strip(wanted: Wanted, cases: Sequence[Shown]) -> Strip:
    landings = _landings(wanted, cases)
    available = landings[0][1].conditions.landing_distance_available
    rows = []
    for one, run in landings:
        recorded = run.recorded
        brakes_on = recorded.brakes_on_distance
        stops = recorded.stopped
        rows.append(
            StripRow(
                label=one.spec.label,
                touchdown=run.segment.distance,
                brakes_on=None if math.isnan(brakes_on) else brakes_on,
                release=None if run.exit_name is None else run.approach.release_distance,
                end=recorded.distance,
                end_words=f"stops at {_distance(recorded.distance)}"
                if stops
                else f"{recorded.ground_speed / KNOT:.0f} kt at {_distance(recorded.distance)}",
                thirds=_thirds(run),
            )
        )
    exits = tuple((one.name, one.distance) for one in landings[0][1].case.direction_data.exits)
    told = "; ".join(f"{row.label}: touchdown at {_distance(row.touchdown)}, {row.end_words}" for row in rows)
    return Strip(
        title=wanted.title or "The runway to scale",
        available=available,
        exits=exits,
        rows=tuple(rows),
        words=f"{_distance(available)} available. {told}.",
    )


# ---------------------------------------------------------------------------------------------------- bars and ledger


def _energy(wanted: Wanted, cases: Sequence[Shown]) -> Shares:
    rows = []
    for one, run in _landings(wanted, cases):
        result = run.result
        works = (
            result.brake_work,
            result.aerodynamic_work,
            -result.thrust_work,
            result.rolling_work,
            result.contaminant_work,
            result.slope_work,
        )
        rows.append((one.spec.label, tuple(max(work, 0.0) / 1e6 for work in works)))
    shown_parts = [
        number
        for number in range(len(ENERGY_PARTS))
        if any(values[number] >= LEAST_SHARE * sum(values) for _, values in rows)
    ]
    chosen = tuple((label, tuple(values[number] for number in shown_parts)) for label, values in rows)
    parts = tuple(ENERGY_PARTS[number] for number in shown_parts)
    told = "; ".join(
        f"{label}: " + ", ".join(f"{part} {value:.0f}" for part, value in zip(parts, values, strict=True))
        for label, values in chosen
    )
    return Shares(
        title=wanted.title or "Where the energy of motion goes",
        unit="MJ",
        parts=parts,
        rows=chosen,
        words=f"Energy in megajoules. {told}.",
    )


def _ruled(wanted: Wanted, cases: Sequence[Shown]) -> Shares:
    rows = []
    for one in cases:
        if isinstance(one.run, LandingRun):
            by = one.run.result.limited_by
        else:
            by = (one.run.end.limited_by if one.run.end is not None else None) or {}
        rows.append((one.spec.label, tuple(100.0 * by.get(name, 0.0) for name in ("demand", "friction", "torque"))))
    parts = ("what was asked for", "what the surface gives", "what the brakes can deliver")
    told = "; ".join(f"{label}: demand {a:.0f} %, surface {b:.0f} %, brakes {c:.0f} %" for label, (a, b, c) in rows)
    return Shares(
        title=wanted.title or "What ruled the wheel brakes, share of the braked roll",
        unit="%",
        parts=parts,
        rows=tuple(rows),
        words=f"{told}.",
    )


def _ledger(wanted: Wanted, cases: Sequence[Shown]) -> Ledger:
    if len(cases) != 2:
        raise ScenarioError(f'"ledger" compares two cases; {len(cases)} are named.')
    first, other = cases
    ledger = ledger_of(first.run, other.run)
    entries = tuple((one.cause, one.metres) for one in ledger.entries if abs(one.metres) >= 0.05)
    told = ", ".join(f"{cause} {metres:+.0f} m" for cause, metres in entries) or "nothing differs"
    return Ledger(
        title=wanted.title or "Where the difference comes from",
        unit="m",
        first=(first.spec.label, ledger.first_distance),
        other=(other.spec.label, ledger.other_distance),
        entries=entries,
        words=f"From {_distance(ledger.first_distance)} to {_distance(ledger.other_distance)}: {told}.",
    )


# ------------------------------------------------------------------------------------------------------------- sweeps


def _unit_of(value: Measured, asked: str | None) -> str:
    if asked is not None:
        if asked not in UNITS or UNITS[asked].powers != value.powers:
            raise ScenarioError(f'unit "{asked}" does not fit. Write one of {units_for(value.powers)}.')
        return asked
    return next((one for one in USUAL_UNITS if UNITS[one].powers == value.powers), "times")


def _in_unit(value: float, unit: str, on_scale: bool) -> float:
    chosen = UNITS[unit]
    return (value - (chosen.offset if on_scale else 0.0)) / chosen.factor


def _quantity_words(run: Run, name: str) -> str:
    known = LANDING if isinstance(run, LandingRun) else REJECT
    found = known.get(name)
    return found.words if found is not None else name.removeprefix("aircraft.").replace("_", " ").replace(".", ", ")


def _measured(run: Run, name: str) -> Measured:
    value = run.number(name)
    if not isinstance(value, Measured):
        raise ScenarioError(f'"{name}" is a word; a number is needed here.')
    return value


def _needed(wanted: Wanted) -> tuple[str, tuple[str, str], str]:
    if wanted.input is None or wanted.between is None or wanted.quantity is None:
        raise ScenarioError(
            f'"{wanted.kind}" needs input, between and quantity, such as: input = "landing.mass", '
            'between = ["50 t", "66 t"], quantity = "stop_distance".'
        )
    return wanted.input, wanted.between, wanted.quantity


def _sweep(wanted: Wanted, cases: Sequence[Shown]) -> Lines:
    key, between, quantity = _needed(wanted)
    lines, marks, told, unit = [], [], [], ""
    over: Range | None = None
    words = INPUTS[key].words if key in INPUTS else key
    for one in cases:
        varied = input_named(key, one.run)
        words = varied.words
        over = read_range(between, varied.powers)
        standing = _measured(one.run, quantity)
        unit = _unit_of(standing, wanted.unit)
        found = curve(one.spec, one.run, varied, over, quantity)
        scale = UNITS[over.unit].offset != 0.0
        points = tuple(
            (_in_unit(x, over.unit, scale), None if y is None else _in_unit(y, unit, standing.on_scale))
            for x, y in zip(found.inputs, found.values, strict=True)
        )
        if all(y is None for _, y in points):
            raise ScenarioError(f'no value of "{key}" between {between[0]} and {between[1]} can be computed.')
        lines.append(Line(one.spec.label, points))
        if found.today is not None:
            x = _in_unit(found.today[0], over.unit, scale)
            y = _in_unit(found.today[1], unit, standing.on_scale)
            marks.append(Mark(x, y, "today" if len(cases) == 1 else f"today: {one.spec.label}"))
        real = [(x, y) for x, y in points if y is not None]
        told.append(
            f"{one.spec.label}: {real[0][1]:.0f} {unit} at {real[0][0]:.0f}, "
            f"{real[-1][1]:.0f} {unit} at {real[-1][0]:.0f}"
        )
    assert over is not None  # there is a case
    name = _quantity_words(cases[0].run, quantity)
    zero = ((0.0, "nothing left"),) if quantity in ("margin", "reserve") else ()
    return Lines(
        title=wanted.title or f"{name} over {words}",
        x=Axis(words, over.unit if over.unit != "times" else ""),
        y=Axis(name, unit if unit != "times" else ""),
        lines=tuple(lines),
        marks=tuple(marks),
        uprights=(),
        levels=zero,
        words=f"{name} over {words} in {over.unit}. " + "; ".join(told) + ".",
        from_zero=False,
    )


def _map(wanted: Wanted, cases: Sequence[Shown]) -> Map:
    key, between, quantity = _needed(wanted)
    if wanted.second_input is None or wanted.second_between is None:
        raise ScenarioError('"map" needs second_input and second_between as well.')
    if len(cases) != 1:
        raise ScenarioError(f'"map" shows one case; {len(cases)} are named.')
    one = cases[0]
    first, second = input_named(key, one.run), input_named(wanted.second_input, one.run)
    over, second_over = read_range(between, first.powers), read_range(wanted.second_between, second.powers)
    standing = _measured(one.run, quantity)
    unit = _unit_of(standing, wanted.unit)
    found = map_of(one.spec, one.run, first, over, second, second_over, quantity)
    x_scale, y_scale = UNITS[over.unit].offset != 0.0, UNITS[second_over.unit].offset != 0.0
    values = tuple(
        tuple(None if one is None else _in_unit(one, unit, standing.on_scale) for one in row) for row in found.values
    )
    finite = [one for row in values for one in row if one is not None]
    if not finite:
        raise ScenarioError("nothing in this range can be computed.")
    name = _quantity_words(one.run, quantity)
    return Map(
        title=wanted.title or f"{name} over {first.words} and {second.words}",
        x=Axis(first.words, over.unit if over.unit != "times" else ""),
        y=Axis(second.words, second_over.unit if second_over.unit != "times" else ""),
        value=Axis(name, unit if unit != "times" else ""),
        xs=tuple(_in_unit(x, over.unit, x_scale) for x in found.inputs),
        ys=tuple(_in_unit(y, second_over.unit, y_scale) for y in found.second_inputs),
        values=values,
        today=None
        if found.today is None
        else (
            _in_unit(found.today[0], over.unit, x_scale),
            _in_unit(found.today[1], second_over.unit, y_scale),
        ),
        words=f"{name} from {min(finite):.0f} to {max(finite):.0f} {unit} over {first.words} and {second.words}.",
    )


def _undo(wanted: Wanted, cases: Sequence[Shown]) -> Table:
    if not wanted.inputs or wanted.quantity is None:
        raise ScenarioError(
            '"undo" needs quantity and inputs, such as: quantity = "margin", '
            'inputs = [["landing.mass", "50 t", "66 t"]].'
        )
    one = cases[0]
    goal = 0.0 if wanted.back_to is None else _measured(cases[-1].run, wanted.quantity).value
    standing = _measured(one.run, wanted.quantity)
    rows, told = [], []
    for key, low, high in wanted.inputs:
        varied = input_named(key, one.run)
        over = read_range((low, high), varied.powers)
        found = undo(one.spec, one.run, varied, over, wanted.quantity, goal)

        def text(value: float | None, unit: str = over.unit, like: Measured = Measured(0.0, varied.powers)) -> str:  # noqa: B008 - bound for the loop
            on_scale = UNITS[unit].offset != 0.0
            return "-" if value is None else shown(Measured(value, like.powers, on_scale), unit, UNITS[unit].decimals)

        answer = text(found.needed) if found.needed is not None else f"no value from {low} to {high}"
        rows.append((found.words, text(found.today), answer))
        told.append(f"{found.words}: {answer}")
    choices = choices_that_undo(one.run, wanted.quantity, goal)
    if choices:
        rows.append(("brakes and reverse", _choice(one.run), "; ".join(choices)))
    name = _quantity_words(one.run, wanted.quantity)
    unit = _unit_of(standing, wanted.unit)
    goal_text = shown(Measured(goal, standing.powers, standing.on_scale), unit)
    return Table(
        title=wanted.title or f"What alone would bring it back to {goal_text}",
        columns=("change only this", "today", "to this"),
        rows=tuple(rows),
        words=f"To bring {name} to {goal_text}: " + "; ".join(told) + ".",
    )


def _choice(run: Run) -> str:
    if isinstance(run, LandingRun):
        return f"{run.brake} with {'no' if run.reverse == 'none' else run.reverse} reverse"
    return "-"


# -------------------------------------------------------------------------------------------- brakes, window, reports


def _temperatures(wanted: Wanted, cases: Sequence[Shown]) -> Lines:
    lines, marks, told = [], [], []
    levels: tuple[tuple[float, str], ...] = ()
    for one, run in _landings(wanted, cases):
        data = run.case.aircraft.brake_cooling
        if data is None or run.outcome is None:
            raise ScenarioError("the aircraft file has no section [brake_cooling], or the heat is beyond its formula.")
        history = landing_brake_history(
            run.case.aircraft,
            run.brake_energy,
            initial_temperature=run.case.landing.initial_brake_temperature or run.case.weather.temperature,
            air_temperature=run.case.weather.temperature,
            wind_speed=run.case.weather.wind_speed,
            roll_time=run.result.time,
            touchdown_speed=run.segment.touchdown_ground_speed,
        )
        cooling = run.outcome.cooling_time or 0.0
        until = min(max(2400.0, 1.15 * cooling), 3.0 * 3600.0, float(history.time[-1]))
        times = np.unique(np.concatenate([np.linspace(0.0, 180.0, 40), np.linspace(180.0, until, 110)]))
        for node, words in (("heat_sink", "heat sink"), ("wheel", "wheel"), ("indicated", "indication")):
            values = history.at(times, node) - ZERO_CELSIUS  # type: ignore[arg-type]
            label = words if len(cases) == 1 else f"{words}, {one.spec.label}"
            lines.append(Line(label, _thin(times / 60.0, values)))
            peak = history.peak(node)  # type: ignore[arg-type]
            marks.append(
                Mark(peak.time / 60.0, peak.temperature - ZERO_CELSIUS, f"{peak.temperature - ZERO_CELSIUS:.0f} degC")
            )
            told.append(f"{label} {peak.temperature - ZERO_CELSIUS:.0f} degC after {peak.time / 60.0:.0f} min")
        levels = (
            (data.take_off_limit - ZERO_CELSIUS, "take-off limit, indicated"),
            (data.fuse_plug_release - ZERO_CELSIUS, "fuse plugs, wheel"),
        )
    return Lines(
        title=wanted.title or "The hottest brake after the landing",
        x=Axis("time from touchdown", "min"),
        y=Axis("temperature", "degC"),
        lines=tuple(lines),
        marks=tuple(marks),
        uprights=(),
        levels=levels,
        words="Peaks: " + "; ".join(told) + ".",
    )


def _window(wanted: Wanted, cases: Sequence[Shown]) -> Lines:
    run = cases[0].run
    if not isinstance(run, RejectRun) or len(cases) != 1:
        raise ScenarioError('"window" shows one take-off.')
    plan = run.plan
    shown_points = [one for one in plan.curve if one.decision_speed >= WINDOW_FROM * plan.window.rotation]
    stop = tuple((one.decision_speed / KNOT, one.stop_distance) for one in shown_points)
    go = tuple((one.decision_speed / KNOT, one.go_distance) for one in shown_points)
    uprights = [(plan.decision_speed / KNOT, "decision speed")]
    for value, words in ((plan.window.low, "lowest"), (plan.window.high, "highest")):
        if value is not None:
            uprights.append((value / KNOT, words))
    stop_there, go_there = plan.rule_run.stop_available, plan.rule_run.go_available
    return Lines(
        title=wanted.title or "Stop and go over the decision speed",
        x=Axis("decision speed", "kt"),
        y=Axis("distance from brake release by the rule", "m"),
        lines=(Line("to stop", stop), Line("to go, one engine failed", go)),
        marks=(),
        uprights=tuple(sorted(uprights)),
        levels=((stop_there, "there to stop"), (go_there, "there to go")),
        words="The stop grows with the decision speed, the take-off shrinks; "
        f"{_distance(stop_there)} are there to stop, {_distance(go_there)} to go.",
        from_zero=False,
    )


def _table(wanted: Wanted, cases: Sequence[Shown]) -> Table:
    names = wanted.quantities or tuple(one for one in DEFAULT_TABLE if _has(cases, one))
    rows = [
        (_quantity_words(cases[0].run, name), *(_cell(one.run, name, wanted.unit) for one in cases)) for name in names
    ]
    told = "; ".join(", ".join(row) for row in rows)
    return Table(
        title=wanted.title or "Side by side",
        columns=("", *(one.spec.label for one in cases)),
        rows=tuple(rows),
        words=told,
    )


def _has(cases: Sequence[Shown], name: str) -> bool:
    return all(name in (LANDING if isinstance(one.run, LandingRun) else REJECT) for one in cases)


def _cell(run: Run, name: str, asked: str | None) -> str:
    known = LANDING if isinstance(run, LandingRun) else REJECT
    if name not in known and not name.startswith("aircraft."):
        run.number(name)  # it says that there is no such number
    try:
        value = run.number(name)
    except ScenarioError:
        return "-"
    if isinstance(value, Measured):
        unit = asked if asked in UNITS and UNITS[asked].powers == value.powers else _unit_of(value, None)
        if unit == "s" and value.value > 600.0:
            unit = "min"
        if unit == "t" and value.value < 1000.0:
            unit = "kg"
        if name.endswith("_code"):
            unit = "whole"
        return shown(value, unit)
    return ("yes" if value else "no") if isinstance(value, bool) else value


def _report(wanted: Wanted, cases: Sequence[Shown]) -> Report:
    case = cases[0].run.case
    if wanted.quantity == "weather":
        if case.weather.raw is None:
            raise ScenarioError("the case has no weather report.")
        lines = describe_weather(read_weather(case.weather.raw))
        return Report(wanted.title or "The weather report", case.weather.raw, tuple(lines), " ".join(lines))
    if case.condition.raw is None:
        raise ScenarioError("the case has no report of the runway condition.")
    lines = describe_condition(read_condition(case.condition.raw))
    codes = "/".join(str(third.code) for third in case.condition.thirds)
    lines.append(f"In your direction, {case.direction}: {codes}.")
    return Report(wanted.title or "The report", case.condition.raw, tuple(lines), " ".join(lines))
