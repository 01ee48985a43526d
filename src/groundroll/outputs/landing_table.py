"""The landing plan as text for a terminal: the answer first, then the table, then what it rests on."""

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
from groundroll.outputs.decision_form import print_approaches, print_break_points, print_gates, print_high_setting
from groundroll.outputs.json_form import sources_json
from groundroll.outputs.spacing import single_spaced
from groundroll.planning.decision import Decision
from groundroll.planning.landing import LandingOption, LandingPlan
from groundroll.planning.wording import Wording, percent
from groundroll.scenario.resolved import SurfaceThird

LEAST_WIDTH = 100
FULL_WIDTH = 118
"""Columns that the tables need, in the short and in the full form; a narrower terminal wraps them."""


def landing_text(plan: LandingPlan, decision: Decision | None = None, *, full: bool = True) -> str:
    """Return the plan as text, as wide as the terminal but never below `LEAST_WIDTH`.

    With a decision its exits, gates and limits are printed too: in short, or with ``full`` all of them.
    """
    plan = plan if decision is None else decision.plan
    least = FULL_WIDTH if full and decision is not None else LEAST_WIDTH
    width = max(shutil.get_terminal_size((least, 40)).columns, least)
    console = Console(
        file=io.StringIO(),
        width=min(width, 130),
        highlight=False,
        force_terminal=sys.stdout.isatty(),
        color_system=None,
        force_jupyter=False,  # text is returned, not displayed, in a notebook too
    )
    wording = Wording(plan.case.display)
    _head(console, plan, wording)
    _answer(console, plan)
    if plan.options:
        console.print(_decision_table(plan, wording))
        console.print("dem, fri, tor: share of the braked roll ruled by demand, by friction and by brake torque.")
        if any(one.margin_carried_by_manual for one in plan.options):
            console.print("by manual: stops on the runway, but only manual braking has the margin (codes 6 and 5).")
        console.print()
        if full:
            console.print(_detail_table(plan, wording))
            if plan.case.aircraft.brake_cooling is not None:
                console.print("wheel: its peak; cooled: from the stop to the take-off limit, parked there, fans off.")
        if decision is None:
            _exits(console, plan, wording)
        else:
            if full:
                print_approaches(console, decision)
            print_high_setting(console, decision)
            print_gates(console, decision)
            print_break_points(console, decision, full=full)
            console.print()
    _limits(console, plan, wording)
    _dispatch(console, plan, wording)
    _notes(console, plan)
    text: str = console.file.getvalue()  # type: ignore[attr-defined]
    return single_spaced(text)


def ordered(plan: LandingPlan) -> list[int]:
    """Return the reading order: the recommended option, what fits by brake energy, the rest by margin.

    What fits only because manual braking carries its margin comes behind what fits by itself.
    """

    def key(number: int) -> tuple[int, float]:
        one = plan.options[number]
        if number == plan.recommended:
            return (0, 0.0)
        if one.fits:
            return (2 if one.margin_carried_by_manual else 1, one.brake_energy_per_wheel)
        return (3, -one.margin if one.margin is not None else math.inf)

    return sorted(range(len(plan.options)), key=key)


def _head(console: Console, plan: LandingPlan, wording: Wording) -> None:
    case, conditions = plan.case, plan.conditions
    direction = case.direction_data
    console.print(Text(case.title, style="bold"))
    console.print(
        f"{case.aircraft.name}, {wording.mass(conditions.mass)}, flap {conditions.flap}, "
        f"{wording.speed(conditions.approach_speed)} over the threshold = "
        f"{wording.speed(plan.threshold_ground_speed)} over the ground"
    )
    reduced = case.condition.reduced_length
    shorter = f" (reduced to {wording.length(reduced)} by the report)" if reduced is not None else ""
    console.print(
        f"{case.runway.aerodrome} runway {direction.designator}, "
        f"{wording.length(conditions.landing_distance_available)} available{shorter}, "
        f"slope {100.0 * conditions.slope:+.1f} %, {case.runway.surface.replace('-', ' ')} surface"
    )
    console.print("Surface in landing direction: " + ", ".join(_third(third) for third in conditions.thirds))
    weather = case.weather
    factors = "half of a headwind, 1.5 of a tailwind" if weather.wind_factors == "regulatory" else "as it is"
    console.print(
        f"Wind along the runway {_headwind(plan.wind.least_headwind, wording)} at worst; used "
        f"{_headwind(conditions.headwind, wording)} ({factors}); crosswind up to "
        f"{wording.speed(plan.wind.greatest_crosswind)}; {wording.temperature(weather.temperature)}, "
        f"QNH {weather.pressure_setting / 100.0:.0f} hPa"
    )
    for label, raw in (("Weather as received", weather.raw), ("Condition as received", case.condition.raw)):
        if raw:
            console.print(f"{label}: {' '.join(raw.split())}", markup=False)
    console.print()


def _headwind(headwind: float, wording: Wording) -> str:
    return f"{wording.speed(abs(headwind))} {'head' if headwind >= 0.0 else 'tail'}"


def _third(third: SurfaceThird) -> str:
    words = (third.descriptor or "").lower()
    depth = f" {1000.0 * third.depth:.0f} mm" if third.depth else ""
    return f"{third.code}{f' {words}' if words else ''}{depth}"


def _answer(console: Console, plan: LandingPlan) -> None:
    for number, reason in enumerate(plan.reasons):
        console.print(Text(reason, style="bold" if number == 0 else ""))


def _target(one: LandingOption) -> str:
    if one.target_deceleration is None:
        return "-"
    return "held" if one.target_held else "NOT held"


def _fits(one: LandingOption) -> str:
    return ("by manual" if one.margin_carried_by_manual else "yes") if one.fits else "NO"


def _ruled_by(one: LandingOption) -> str:
    shares = [round(100.0 * one.limited_by[name]) for name in ("demand", "friction", "torque")]
    return f"{shares[0]:3d} {shares[1]:3d} {shares[2]:3d}"


def _signed(length: float | None, wording: Wording) -> str:
    return "-" if length is None else ("+" if length >= 0.0 else "-") + _number(abs(length), wording)


def _number(length: float | None, wording: Wording) -> str:
    return "no stop" if length is None else wording.length(length).split()[0]


def _decision_table(plan: LandingPlan, wording: Wording) -> Table:
    unit = plan.case.display.length
    table = Table(box=SIMPLE, pad_edge=False, collapse_padding=True, header_style="bold")
    table.add_column("", width=1)
    table.add_column("brakes")
    table.add_column("reverse")
    table.add_column(f"stop\n{unit}", justify="right")
    table.add_column(f"+{percent(plan.case.landing.margin)}\n{unit}", justify="right")
    table.add_column(f"margin\n{unit}", justify="right")
    table.add_column("fits", no_wrap=True)
    table.add_column("target", no_wrap=True)
    table.add_column("% ruled by\ndem fri tor", no_wrap=True)
    table.add_column("MJ a\nwheel", justify="right")
    table.add_column(f"brakes\n{plan.case.display.temperature}", justify="right")
    for number in ordered(plan):
        one = plan.options[number]
        hot = one.peak_brake_temperature
        table.add_row(
            ">" if number == plan.recommended else "",
            one.brake,
            one.reverse,
            _number(one.stop_distance, wording),
            _number(one.factored_distance, wording),
            "-"
            if one.margin is None
            else f"{float(_number(abs(one.margin), wording)) * (1 if one.margin >= 0 else -1):+.0f}",
            _fits(one),
            _target(one),
            _ruled_by(one),
            f"{one.brake_energy_per_wheel / 1e6:.1f}",
            "off scale" if hot is None else wording.temperature(hot).split()[0],
            style="bold" if number == plan.recommended else "",
        )
    return table


def _detail_table(plan: LandingPlan, wording: Wording) -> Table:
    unit = plan.case.display.length
    air = wording.length(plan.air_segment.distance)
    table = Table(
        box=SIMPLE,
        pad_edge=False,
        collapse_padding=True,
        header_style="bold",
        title=f"Where it goes, after {air} in the air",
    )
    table.title_justify = "left"
    table.title_style = ""
    table.add_column("", width=1)
    table.add_column("brakes")
    table.add_column("reverse")
    table.add_column(f"to brakes\n{unit}", justify="right")
    table.add_column(f"braked\n{unit}", justify="right")
    table.add_column("time\ns", justify="right")
    table.add_column("mean\nm/s2", justify="right")
    table.add_column("peak\nm/s2", justify="right")
    table.add_column(f"reverse\nfuel {wording.fuel_unit}", justify="right")
    heat = plan.case.aircraft.brake_cooling is not None
    if heat:
        table.add_column(f"wheel\n{plan.case.display.temperature}", justify="right")
        table.add_column("cooled\nmin", justify="right")
    for number in ordered(plan):
        one = plan.options[number]
        table.add_row(
            ">" if number == plan.recommended else "",
            one.brake,
            one.reverse,
            _number(one.transition_distance, wording),
            _number(one.braked_distance, wording),
            "-" if one.stop_time is None else f"{one.stop_time:.0f}",
            f"{one.mean_deceleration:.2f}",
            f"{one.peak_deceleration:.2f}",
            wording.fuel(one.reverse_fuel),
            *(_heat(one, wording) if heat else ()),
        )
    return table


def _heat(one: LandingOption, wording: Wording) -> tuple[str, str]:
    """Return the peak of the wheel and the wait from the stop until the next take-off, parked, fans off."""
    outcome = one.brake_outcome
    if outcome is None:
        return "off scale", "-"
    wait = "never" if outcome.cooling_time is None else f"{outcome.cooling_time / 60.0:.0f}"
    plugs = {"none": "", "near": " near", "released": " OPEN"}[outcome.fuse_plugs]
    return f"{wording.temperature(outcome.peak_wheel_temperature).split()[0]}{plugs}", wait


def _exits(console: Console, plan: LandingPlan, wording: Wording) -> None:
    if plan.recommended is None or not plan.options[plan.recommended].exits:
        return
    parts = []
    for one in plan.options[plan.recommended].exits:
        allowed = wording.speed(one.allowed_speed)
        if one.arrival_speed is None:
            place = "stops short of it" if one.usable else "before touchdown"
        else:
            place = f"{wording.speed(one.arrival_speed)} there, {'usable' if one.usable else 'TOO FAST'}"
        source = "" if one.allowed_from == "runway file" else f", {one.allowed_from}"
        parts.append(f"{one.name} at {wording.length(one.distance)} (up to {allowed}{source}): {place}")
    console.print("Exits with the recommended choice, held to a stop: " + "; ".join(parts) + ".")


def _limits(console: Console, plan: LandingPlan, wording: Wording) -> None:
    parts = [
        f"{one.name.replace('_', ' ')} {wording.speed(one.value)} of {wording.speed(one.limit)}"
        + ("" if one.within else " EXCEEDED")
        for one in plan.limits
    ]
    console.print("Limits of the aircraft file: " + ", ".join(parts) + ".")


def _dispatch(console: Console, plan: LandingPlan, wording: Wording) -> None:
    for check in plan.dispatch:
        console.print(
            f"Dispatch, {check.rule}: {wording.length(check.certified_distance)} x {check.factor:.2f} = "
            f"{wording.length(check.required_distance)}, {'fits' if check.fits else 'DOES NOT FIT'}."
        )
    if any(check.rule.startswith("at arrival") for check in plan.dispatch):
        console.print(
            "At arrival: published factors on the certified distance; the plan above is computed for the day."
        )


def _notes(console: Console, plan: LandingPlan) -> None:
    console.print()
    for note in (*plan.cautions, *plan.case.remarks):
        console.print(f"- {note}", markup=False)
    console.print()
    console.print("Rests on:")
    for entry in sources_json(plan):
        console.print(f"  {entry['document']}, {entry['paragraph']} [{entry['status']}]", markup=False)
    console.print()
    if plan.case.aircraft.invented:
        console.print(INVENTED)
    console.print(CAUTION)
