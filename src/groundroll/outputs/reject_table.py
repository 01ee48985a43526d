"""A rejected take-off as text for a terminal: the window first, then both distances, then what it costs."""

from __future__ import annotations

import io
import math
import shutil
import sys

from rich.box import SIMPLE
from rich.console import Console
from rich.table import Table
from rich.text import Text

from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.outputs.landing_table import LEAST_WIDTH, _headwind, _third
from groundroll.outputs.reject_form import CONTEXT, reject_sources
from groundroll.outputs.spacing import single_spaced
from groundroll.physics.sources import source
from groundroll.planning.reject import CostCase, RejectPlan
from groundroll.planning.wording import Wording


def reject_text(plan: RejectPlan) -> str:
    """Return the answer as text, as wide as the terminal but never below `LEAST_WIDTH`."""
    width = max(shutil.get_terminal_size((LEAST_WIDTH, 40)).columns, LEAST_WIDTH)
    console = Console(
        file=io.StringIO(),
        width=min(width, 120),
        highlight=False,
        force_terminal=sys.stdout.isatty(),
        color_system=None,
        force_jupyter=False,  # text is returned, not displayed, in a notebook too
    )
    wording = Wording(plan.case.display)
    _head(console, plan, wording)
    for number, reason in enumerate(plan.reasons):
        console.print(Text(reason, style="bold" if number == 0 else ""))
    _window(console, plan, wording)
    console.print()
    console.print(_distances(plan, wording))
    console.print()
    console.print(_costs(plan, wording))
    console.print()
    _afterwards(console, plan, wording)
    _notes(console, plan, wording)
    text: str = console.file.getvalue()  # type: ignore[attr-defined]
    return single_spaced(text)


def _head(console: Console, plan: RejectPlan, wording: Wording) -> None:
    case, run = plan.case, plan.rule_run
    conditions, intent, declared = run.conditions, case.take_off.intent, case.declared
    console.print(Text(case.title, style="bold"))
    reduced = "" if intent.assumed_temperature is None else f" at {wording.temperature(intent.assumed_temperature)}"
    console.print(
        f"{case.aircraft.name}, {wording.mass(conditions.mass)}, flap {intent.flap}, thrust {case.take_off.rating}"
        f"{reduced} ({100.0 * run.thrust_share:.0f} % of the table), rotation "
        f"{wording.speed(conditions.rotation_speed)}, safety speed {wording.speed(conditions.safety_speed)}"
    )
    console.print(
        f"{case.runway.aerodrome} runway {case.direction}: take-off run {wording.length(declared.take_off_run)}, "
        f"take-off {wording.length(declared.take_off)}, accelerate-stop {wording.length(declared.accelerate_stop)}; "
        f"slope {100.0 * conditions.slope:+.1f} %"
    )
    console.print("Surface in take-off direction: " + ", ".join(_third(third) for third in conditions.thirds))
    console.print(
        f"Wind along the runway used {_headwind(conditions.headwind, wording)} by the rule, "
        f"{_headwind(plan.flown_run.conditions.headwind, wording)} as flown; crosswind up to "
        f"{wording.speed(plan.wind.greatest_crosswind)}; {wording.temperature(conditions.temperature)}, "
        f"QNH {case.weather.pressure_setting / 100.0:.0f} hPa"
    )
    for label, raw in (("Weather as received", case.weather.raw), ("Condition as received", case.condition.raw)):
        if raw:
            console.print(f"{label}: {' '.join(raw.split())}", markup=False)
    console.print()


def _window(console: Console, plan: RejectPlan, wording: Wording) -> None:
    window = plan.window
    rows = (
        ("going works from", window.go_from, "at no speed"),
        ("an engine failure can be controlled from", window.minimum_control, ""),
        ("balanced at", window.balanced, "no speed"),
        ("stopping works up to", window.stop_up_to, "no speed"),
        ("the brakes can take it up to", window.brake_energy_limit, "beyond every speed looked at"),
        ("rotation at", window.rotation, ""),
    )
    console.print()
    for words, speed, none in rows:
        console.print(f"  {words:42}{none if speed is None else wording.speed(speed)}")


def _length(value: float | None, wording: Wording) -> str:
    return "none" if value is None or not math.isfinite(value) else wording.length(value).split()[0]


def _signed(value: float | None, wording: Wording) -> str:
    if value is None:
        return "-"
    digits = wording.length(abs(value)).split()[0]
    return digits if digits == "0" else ("+" if value > 0.0 else "-") + digits


def _distances(plan: RejectPlan, wording: Wording) -> Table:
    unit, stop, go, flown, run = plan.case.display.length, plan.stop, plan.go, plan.flown, plan.rule_run
    title = f"From brake release at decision speed {wording.speed(plan.decision_speed)} (engine fails at "
    title += f"{wording.speed(plan.engine_failure_speed)}), {unit}"
    table = Table(box=SIMPLE, pad_edge=False, header_style="bold", title=title, title_justify="left", title_style="")
    table.add_column("")
    for name in ("all engines", "engine failed", "by the rule", "available", "margin"):
        table.add_column(name, justify="right")

    def row(words: str, every: float | None, failed: float | None, rule: float | None, available: float) -> None:
        short = rule is not None and rule > available + 0.05  # the solver of the window ends within this
        margin = None if rule is None or not math.isfinite(rule) else available - rule
        table.add_row(
            words,
            "" if every is None and failed is None else _length(every, wording),
            "" if every is None and failed is None else _length(failed, wording),
            "" if rule is None else _length(rule, wording),
            _length(available, wording),
            "" if rule is None else _signed(margin, wording) + (" NO" if short else ""),
        )

    row("stop, by the rule", stop.all_engines, stop.engine_failure, stop.distance, run.stop_available)
    row("go, by the rule", go.all_engines, go.engine_failure, go.distance, run.go_available)
    row("take-off run, by the rule", None, None, go.run, run.run_available)
    row("stop, as flown", flown.stop_all_engines, flown.stop_engine_failure, None, run.stop_available)
    row("go, as flown", flown.go_all_engines, flown.go_engine_failure, None, run.go_available)
    return table


def _costs(plan: RejectPlan, wording: Wording) -> Table:
    unit = plan.case.display.length
    event = plan.case.take_off.intent.event
    table = Table(
        box=SIMPLE,
        pad_edge=False,
        header_style="bold",
        title=f"What it costs, as flown ({'all engines running' if event == 'all engines' else 'an engine failed'})",
        title_justify="left",
        title_style="",
    )
    table.add_column("")
    table.add_column("first\naction", justify="right")
    table.add_column(f"stop\n{unit}", justify="right")
    table.add_column(f"added\n{unit}", justify="right")
    table.add_column(f"margin\n{unit}", justify="right")
    table.add_column("over the end", justify="right")
    table.add_column("MJ a\nwheel", justify="right")
    table.add_column(f"brakes\n{plan.case.display.temperature}", justify="right")
    for one in plan.cases:
        table.add_row(*_cost_row(one, wording))
    return table


def _cost_row(one: CostCase, wording: Wording) -> tuple[str, ...]:
    hot, energy = one.peak_brake_temperature, one.brake_energy_per_wheel
    return (
        one.words,
        wording.speed(one.first_action_speed),
        "no stop" if one.stop_distance is None else wording.length(one.stop_distance).split()[0],
        _signed(one.added, wording),
        _signed(one.margin, wording) + ("" if one.fits else " NO"),
        wording.speed(one.runway_end_speed),
        "-" if energy is None else f"{energy / 1e6:.1f}",
        "off scale" if hot is None else wording.temperature(hot).split()[0],
    )


def _minutes(seconds: float | None) -> str:
    return "not within two days" if seconds is None else f"{seconds / 60.0:.0f} min"


def _afterwards(console: Console, plan: RejectPlan, wording: Wording) -> None:
    after = plan.aftermath
    if after is None:
        console.print("Afterwards: it does not stop.")
        return
    limit = "" if after.energy_limit is None else f" of {after.energy_limit / 1e6:.0f} MJ it may take today"
    console.print(
        f"Afterwards, as flown: {after.brake_energy_per_wheel / 1e6:.1f} MJ in each brake{limit} "
        f"({after.rule_brake_energy_per_wheel / 1e6:.1f} MJ by the rule), heat sink up to "
        f"{wording.temperature(after.peak_brake_temperature)}."
    )
    found = after.outcome
    if found is None:
        console.print("Wheel, fuse plugs and cooling are not known: the aircraft file has no [brake_cooling].")
    else:
        plugs = {"none": "stay shut", "near": "come near to opening", "released": "OPEN"}[found.fuse_plugs]
        console.print(
            f"Wheel up to {wording.temperature(found.peak_wheel_temperature)} after "
            f"{_minutes(found.peak_wheel_time)}; the fuse plugs {plugs}. Cool enough for the next take-off, parked, "
            f"after {_minutes(found.cooling_time)}; an inspection may be due before that."
        )
    console.print(
        f"After a stop of highest energy the parking brake must hold for {after.parking_brake_time / 60.0:.0f} min; "
        f"for {after.evacuation_time / 60.0:.0f} min nothing may hinder an evacuation (14 CFR 25.735(g))."
    )


def _notes(console: Console, plan: RejectPlan, wording: Wording) -> None:
    console.print()
    for key, text in CONTEXT:
        found = source(key)
        console.print(f"Context: {text} {found.document} [{found.status}]", markup=False)
    parts = [
        f"{one.name.replace('_', ' ')} {wording.speed(one.value)} of {wording.speed(one.limit)}"
        + ("" if one.within else " EXCEEDED")
        for one in plan.limits
    ]
    console.print("Limits of the aircraft file: " + ", ".join(parts) + ".")
    console.print()
    for note in (*plan.cautions, *plan.case.remarks):
        console.print(f"- {note}", markup=False)
    console.print()
    console.print("Rests on:")
    for entry in reject_sources(plan):
        console.print(f"  {entry['document']}, {entry['paragraph']} [{entry['status']}]", markup=False)
    console.print()
    if plan.case.aircraft.invented:
        console.print(INVENTED)
    console.print(CAUTION)
