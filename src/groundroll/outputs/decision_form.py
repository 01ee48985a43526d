"""The decision as JSON and as text: exits, gates, and what would break the plan."""

from __future__ import annotations

import math
import re
import textwrap
from typing import Any

from rich.box import SIMPLE
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from groundroll.constants import FOOT, POUND, ZERO_CELSIUS
from groundroll.planning.aims import AIMS, Candidate
from groundroll.planning.break_points import STEP_SPEED, STEP_TOUCHDOWN, Alone, BreakPoints, Cost
from groundroll.planning.decision import Decision
from groundroll.planning.exits import Approach, NeededDeceleration
from groundroll.planning.gates import REACTION_TIME, Gate, speed_at_least, speed_at_most
from groundroll.planning.search import Greatest
from groundroll.planning.wording import Wording

SHORT_LIST = 6
"""Lines of the list of costs in the short form."""


def decision_json(decision: Decision) -> dict[str, Any]:
    """Return the decision as plain values; numbers that are not finite are left to the caller."""
    comparison = decision.high_setting
    return {
        "exit_wanted": decision.plan.case.choice.exit,
        "exit_made": decision.exit_made,
        "approaches": [_approach(one) for one in decision.approaches],
        "needed_deceleration": [
            {
                "exit": one.exit,
                "deceleration_mps2": one.deceleration,
                "closest_setting": one.closest_setting,
                "latest_start_m": one.latest_start,
            }
            for one in decision.needed
        ],
        "aims": [{"name": aim.name, "nearly_equal_within": aim.nearly} for aim in AIMS.values()],
        "candidates": [_candidate(number, one, decision) for number, one in enumerate(decision.candidates)],
        "efficient": list(decision.efficient),
        "chosen": decision.chosen,
        "gates": [_gate(one) for one in decision.gates],
        "break_points": None if decision.break_points is None else _break_points(decision.break_points),
        "against_high_setting": None
        if comparison is None
        else {
            "setting": comparison.setting,
            "brake_energy_change": comparison.brake_energy_change,
            "brake_wear_change": comparison.brake_wear_change,
        },
    }


def _approach(one: Approach) -> dict[str, Any]:
    return {
        "brake": one.brake,
        "reverse": one.reverse,
        "exit": one.exit,
        "exit_distance_m": one.exit_distance,
        "allowed_speed_mps": one.allowed_speed,
        "held_arrival_speed_mps": one.held_arrival_speed,
        "means": one.means,
        "usable": one.usable,
        "arrival_speed_mps": one.arrival_speed,
        "release_distance_m": one.release_distance,
        "release_speed_mps": one.release_speed,
        "pedal_start_distance_m": one.pedal_start_distance,
        "pedal_start_speed_mps": one.pedal_start_speed,
        "pedal_share": one.pedal_share,
        "brake_energy_per_wheel_j": one.brake_energy_per_wheel,
        "runway_time_s": one.runway_time,
        "planned_runway_time_s": one.planned_runway_time,
        "peak_deceleration_mps2": one.peak_deceleration,
        "greatest_jerk_mps3": one.greatest_jerk,
        "reverse_fuel_kg": one.reverse_fuel,
        "taxi_distance_m": one.taxi_distance,
    }


def _candidate(number: int, one: Candidate, decision: Decision) -> dict[str, Any]:
    return {
        "option": one.option,
        "exit": None if one.approach is None else one.approach.exit,
        "margin_m": one.margin,
        "brake_energy_per_wheel_j": one.brake_energy_per_wheel,
        "brake_temperature_c": one.brake_temperature - ZERO_CELSIUS,
        "brake_wear": one.brake_wear,
        "runway_time_s": one.runway_time,
        "reverse_fuel_kg": one.reverse_fuel,
        "peak_deceleration_mps2": one.peak_deceleration,
        "taxi_distance_m": one.taxi_distance,
        "efficient": number in decision.efficient,
    }


def _greatest(one: Greatest, suffix: str) -> dict[str, Any]:
    return {
        f"value_{suffix}": one.value,
        "holds": one.holds,
        f"searched_from_{suffix}": one.lower,
        f"searched_to_{suffix}": one.upper,
    }


def _gate(one: Gate) -> dict[str, Any]:
    return {
        "name": one.name,
        "distance_m": one.distance,
        "planned_speed_mps": one.planned_speed,
        "same_means": _greatest(one.same_means, "mps"),
        "everything": _greatest(one.everything, "mps"),
        "if_faster": one.if_faster,
    }


def _break_points(found: BreakPoints) -> dict[str, Any]:
    return {
        "latest_touchdowns": [
            {"means": one.means, "with_margin": one.with_margin, "touchdown": _greatest(one.touchdown, "m")}
            for one in found.latest_touchdowns
        ],
        "worst_code": found.worst_code,
        "alone": [
            {
                "name": one.name,
                f"planned_{one.unit_suffix}": one.planned,
                "limit": _greatest(one.limit, one.unit_suffix),
                f"aircraft_file_limit_{one.unit_suffix}": one.file_limit,
            }
            for one in found.alone
        ],
        "costs": [
            {
                "name": one.name,
                "stop_distance_m": one.stop_distance,
                "costs_m": one.costs,
                "fits": one.fits,
                "stops_within": one.stops_within,
            }
            for one in found.costs
        ],
    }


def _line(console: Console, text: str, indent: int = 0) -> None:
    """Print a line; what does not fit goes on below it, two columns further in, no number without its unit."""
    first, rest = " " * indent, " " * (indent + 2)
    together = re.sub(r"(\d) (?=[a-z%])", "\\1\N{NO-BREAK SPACE}", text)
    for line in textwrap.wrap(together, console.width, initial_indent=first, subsequent_indent=rest):
        console.print(line.replace("\N{NO-BREAK SPACE}", " "), markup=False)


def print_gates(console: Console, decision: Decision) -> None:
    """Print the gates of the plan."""
    if not decision.gates:
        return
    wording = Wording(decision.plan.case.display)
    approach = decision.chosen_approach
    table = Table(box=SIMPLE, pad_edge=False, header_style="bold")
    table.add_column("gate")
    table.add_column("at", justify="right", no_wrap=True)
    table.add_column("planned", justify="right", no_wrap=True)
    table.add_column("stop\nup to" if approach is None else "exit\nup to", justify="right", no_wrap=True)
    table.add_column("runway\nup to", justify="right", no_wrap=True)
    table.add_column("fast at the gate: do this")
    for gate in decision.gates:
        table.add_row(
            escape(gate.name),
            wording.length(gate.distance),
            wording.speed(gate.planned_speed),
            _short_limit(gate.same_means, wording),
            _short_limit(gate.everything, wording),
            escape(gate.if_faster),
        )
    console.print(table)
    goal = "the stop" if approach is None else "the exit"
    effort = "full pedal" if decision.plan.options[-1].reverse == "none" else "full pedal and full reverse"
    _line(
        console,
        f"Up to: greatest speed at the gate from which {goal} still works with the planned means, and from which "
        f"{effort}, {REACTION_TIME:.0f} s later, stop within the runway.",
    )
    console.print()


def _short_limit(one: Greatest, wording: Wording) -> str:
    if one.value is not None:
        return speed_at_most(one.value, wording)
    return "none" if one.holds == "none of these" else "any"


def print_break_points(console: Console, decision: Decision, *, full: bool) -> None:
    """Print what would break the plan: the short list, or all of it."""
    found = decision.break_points
    if found is None:
        return
    wording = Wording(decision.plan.case.display)
    console.print("What would break it:", style="bold")
    for one in found.latest_touchdowns:
        margin = "with the margin" if one.with_margin else "without it"
        if full or one.means == "planned means":
            _line(console, f"Latest touchdown, {one.means}, {margin}: {_touchdown(one.touchdown, wording)}.", 2)
    worst = "none fits" if found.worst_code is None else f"fits down to code {found.worst_code} all over the runway"
    _line(console, f"Surface alone: {worst}.", 2)
    for alone in found.alone:
        _line(console, _alone(alone, wording), 2)
    for cost in found.costs if full else found.costs[:SHORT_LIST]:
        _line(console, _cost(cost, wording), 2)


def _touchdown(one: Greatest, wording: Wording) -> str:
    step = 1.0 if wording.display.length == "m" else FOOT
    if one.value is not None:
        return wording.length(math.floor(one.value / step) * step)
    return "nowhere" if one.holds == "none of these" else f"anywhere up to {wording.length(one.upper)}"


def _alone(one: Alone, wording: Wording) -> str:
    limit = one.limit
    name = f"{one.name[0].upper()}{one.name[1:]}, alone"
    by_file = "" if one.file_limit is None else f" (aircraft file: at most {_amount(one, one.file_limit, wording)})"
    if limit.value is not None and limit.value < 0.0:
        return f"{name}: none; it takes {speed_at_least(-limit.value, wording)} of headwind{by_file}."
    if limit.value is not None:
        return f"{name}: up to {_amount(one, limit.value, wording)}{by_file}."
    if limit.holds == "none of these":
        return f"{name}: none fits{by_file}."
    return f"{name}: any up to {_amount(one, limit.upper, wording)}{by_file}."


def _amount(one: Alone, value: float, wording: Wording) -> str:
    """Return a greatest amount in words, rounded down."""
    if one.unit_suffix != "kg":
        return speed_at_most(value, wording)
    step = {"t": 100.0, "kg": 1.0, "lb": POUND}[wording.display.mass]
    return wording.mass(math.floor(value / step + 1e-9) * step)


def _cost(cost: Cost, wording: Wording) -> str:
    steps = cost.name.replace("10 kt", wording.speed(STEP_SPEED)).replace("300 m", wording.length(STEP_TOUCHDOWN))
    name = f"{steps[0].upper()}{steps[1:]}"
    if cost.stop_distance is None or cost.costs is None:
        return f"{name}: does NOT stop."
    if abs(cost.costs) < 0.5:
        change = "costs nothing"
    elif cost.costs > 0.0:
        change = f"costs {wording.length(cost.costs)}"
    else:
        change = f"saves {wording.length(-cost.costs)}"
    if cost.fits:
        return f"{name} {change} and still fits."
    within = "it still stops on the runway" if cost.stops_within else "it does NOT STOP on the runway"
    return f"{name} {change} and no longer fits: {within}."


def print_high_setting(console: Console, decision: Decision) -> None:
    """Print the comparison with the highest setting held to the same speed."""
    found = decision.high_setting
    if found is None:
        return
    wear = "" if found.brake_wear_change is None else f", brake wear {100.0 * found.brake_wear_change:+.0f} %"
    _line(
        console,
        f"Against setting {found.setting} held to the same speed: "
        f"brake energy {100.0 * found.brake_energy_change:+.0f} %{wear}.",
    )


def print_approaches(console: Console, decision: Decision) -> None:
    """Print every option at every exit, the inverse question, and the candidates with their aims."""
    wording = Wording(decision.plan.case.display)
    for name in dict.fromkeys(one.exit for one in decision.approaches):
        _print_exit(console, [one for one in decision.approaches if one.exit == name], wording)
    if decision.approaches:
        _line(
            console,
            "held: speed at the exit with the brakes held; clear: threshold until the nose is at the holding position; "
            "formula: the same by the published planning formula.",
        )
        console.print()
    for need in decision.needed:
        _line(console, _need(need, wording))
    _print_candidates(console, decision, wording)


def _print_exit(console: Console, approaches: list[Approach], wording: Wording) -> None:
    """Print how each option comes to one exit."""
    one = approaches[0]
    title = f"Exit {one.exit} at {wording.length(one.exit_distance)}, up to {wording.speed(one.allowed_speed)}"
    table = Table(box=SIMPLE, pad_edge=False, header_style="bold", title=escape(title))
    table.title_justify = "left"
    for name in ("brakes", "reverse"):
        table.add_column(name, no_wrap=True)
    table.add_column("held", justify="right", no_wrap=True)
    for name in ("means", "where"):
        table.add_column(name)
    for name in ("clear\ns", "formula\ns", "MJ a\nwheel"):
        table.add_column(name, justify="right", no_wrap=True)
    for one in approaches:
        table.add_row(
            escape(one.brake),
            one.reverse,
            "short" if one.held_arrival_speed is None else wording.speed(one.held_arrival_speed),
            one.means.removesuffix(" needed"),
            _where(one, wording),
            "-" if one.runway_time is None or not one.usable else f"{one.runway_time:.0f}",
            "-" if one.planned_runway_time is None or not one.usable else f"{one.planned_runway_time:.0f}",
            f"{one.brake_energy_per_wheel / 1e6:.1f}",
        )
    console.print(table)


def _need(need: NeededDeceleration, wording: Wording) -> str:
    if need.deceleration is None:
        return f"Exit {need.exit}: before the brakes act."
    if need.deceleration == 0.0:
        return f"Exit {need.exit}: no braking is needed."
    starts = ", ".join(f"{name} {wording.length(place)}" for name, place in need.latest_start.items() if place)
    return (
        f"Exit {need.exit}: needs {need.deceleration:.2f} m/s2 from brakes-on"
        + (f", closest setting {need.closest_setting}" if need.closest_setting else "")
        + (f"; latest start of braking without reverse: {starts}" if starts else "")
        + "."
    )


def _where(one: Approach, wording: Wording) -> str:
    if one.means == "exit speed kept":
        return f"slow to it by {wording.length(one.release_distance)}"
    if one.release_distance is not None:
        return f"release {wording.length(one.release_distance)}, {wording.speed(one.release_speed)}"
    if one.pedal_start_distance is not None:
        share = "" if one.pedal_share is None else f" or {100.0 * one.pedal_share:.0f} % at once"
        return f"full pedal by {wording.length(one.pedal_start_distance)}{share}"
    return ""


def _print_candidates(console: Console, decision: Decision, wording: Wording) -> None:
    if not decision.candidates:
        return
    table = Table(
        box=SIMPLE,
        pad_edge=False,
        collapse_padding=True,
        header_style="bold",
        title="Not beaten by any other, aim by aim",
    )
    table.title_justify = "left"
    for name in ("", "brakes", "reverse", "exit"):
        table.add_column(name, no_wrap=True)
    unit = decision.plan.case.display
    for name in (
        f"margin\n{unit.length}",
        "MJ a\nwheel",
        f"brakes\n{unit.temperature}",
        "wear",
        "runway\ns",
        f"reverse\nfuel {wording.fuel_unit}",
        "peak\nm/s2",
        f"taxi\n{unit.length}",
    ):
        table.add_column(name, justify="right", no_wrap=True)
    for number in decision.efficient:
        one = decision.candidates[number]
        option = decision.plan.options[one.option]
        table.add_row(
            ">" if number == decision.chosen else "",
            escape(option.brake),
            option.reverse,
            "stop" if one.approach is None else escape(one.approach.exit),
            wording.length(one.margin).split()[0],
            f"{one.brake_energy_per_wheel / 1e6:.1f}",
            wording.temperature(one.brake_temperature).split()[0] if math.isfinite(one.brake_temperature) else "off",
            f"{one.brake_wear:.2f}",
            f"{one.runway_time:.0f}",
            wording.fuel(one.reverse_fuel),
            f"{one.peak_deceleration:.1f}",
            wording.length(one.taxi_distance).split()[0] if one.taxi_distance else "-",
        )
    console.print(table)
