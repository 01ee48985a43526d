"""The decision as JSON and as text: exits, gates, and what would break the plan."""

from __future__ import annotations

import math
from typing import Any

from rich.box import SIMPLE
from rich.console import Console
from rich.table import Table

from groundroll.constants import ZERO_CELSIUS
from groundroll.planning.aims import AIMS, Candidate
from groundroll.planning.break_points import Alone, BreakPoints, Cost
from groundroll.planning.decision import Decision
from groundroll.planning.exits import Approach
from groundroll.planning.gates import Gate
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


def print_gates(console: Console, decision: Decision) -> None:
    """Print the gates of the plan."""
    if not decision.gates:
        return
    wording = Wording(decision.plan.case.display)
    table = Table(box=SIMPLE, pad_edge=False, collapse_padding=True, header_style="bold")
    table.add_column("gate")
    table.add_column("at", justify="right")
    table.add_column("planned", justify="right")
    table.add_column("fast at the gate: do this")
    for gate in decision.gates:
        table.add_row(gate.name, wording.length(gate.distance), wording.speed(gate.planned_speed), gate.if_faster)
    console.print(table)


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
            console.print(f"  Latest touchdown, {one.means}, {margin}: {_limit(one.touchdown, wording.length)}.")
    worst = "none fits" if found.worst_code is None else f"fits down to code {found.worst_code} all over the runway"
    console.print(f"  Surface alone: {worst}.")
    for alone in found.alone:
        console.print(f"  {_alone(alone, wording)}")
    for cost in found.costs if full else found.costs[:SHORT_LIST]:
        console.print(f"  {_cost(cost, wording)}")


def _limit(one: Greatest, show: Any) -> str:
    if one.value is not None:
        return str(show(one.value))
    return one.holds if one.holds == "none of these" else f"any up to {show(one.upper)}"


def _alone(one: Alone, wording: Wording) -> str:
    show = wording.mass if one.unit_suffix == "kg" else wording.speed
    return f"{one.name[0].upper()}{one.name[1:]}, alone: up to {_limit(one.limit, show)}."


def _cost(one: Cost, wording: Wording) -> str:
    name = f"{one.name[0].upper()}{one.name[1:]}"
    if one.stop_distance is None or one.costs is None:
        return f"{name}: does not stop."
    change = (
        "costs nothing"
        if abs(one.costs) < 0.5
        else f"costs {wording.length(one.costs)}"
        if one.costs > 0.0
        else f"takes off {wording.length(-one.costs)}"
    )
    if one.fits:
        return f"{name} {change} and still fits."
    within = "it still stops on the runway" if one.stops_within else "it DOES NOT STOP on the runway"
    return f"{name} {change} and no longer fits: {within}."


def print_high_setting(console: Console, decision: Decision) -> None:
    """Print the comparison with the highest setting held to the same speed."""
    found = decision.high_setting
    if found is None:
        return
    wear = "" if found.brake_wear_change is None else f", brake wear {100.0 * found.brake_wear_change:+.0f} %"
    console.print(
        f"Against setting {found.setting} held to the same speed: "
        f"brake energy {100.0 * found.brake_energy_change:+.0f} %{wear}."
    )


def print_approaches(console: Console, decision: Decision) -> None:
    """Print every option at every exit, the inverse question, and the candidates with their aims."""
    wording = Wording(decision.plan.case.display)
    table = Table(
        box=SIMPLE, pad_edge=False, collapse_padding=True, header_style="bold", title="Every choice at every exit"
    )
    table.title_justify = "left"
    for name in ("exit", "brakes", "reverse"):
        table.add_column(name, no_wrap=True)
    for name in ("held", "allowed"):
        table.add_column(name, justify="right", no_wrap=True)
    for name in ("means", "where"):
        table.add_column(name, no_wrap=True)
    for name in ("clear\ns", "formula\ns", "MJ a\nwheel"):
        table.add_column(name, justify="right", no_wrap=True)
    for one in decision.approaches:
        table.add_row(
            one.exit,
            one.brake,
            one.reverse,
            "short" if one.held_arrival_speed is None else wording.speed(one.held_arrival_speed),
            wording.speed(one.allowed_speed),
            one.means.removesuffix(" needed"),
            _where(one, wording),
            "-" if one.runway_time is None or not one.usable else f"{one.runway_time:.0f}",
            "-" if one.planned_runway_time is None or not one.usable else f"{one.planned_runway_time:.0f}",
            f"{one.brake_energy_per_wheel / 1e6:.1f}",
        )
    console.print(table)
    console.print(
        "clear: threshold until the nose is at the holding position; formula: the published planning formula."
    )
    for need in decision.needed:
        if need.deceleration is None:
            console.print(f"Exit {need.exit}: before the brakes act.")
            continue
        starts = ", ".join(f"{name} {wording.length(place)}" for name, place in need.latest_start.items() if place)
        console.print(
            f"Exit {need.exit}: needs {need.deceleration:.2f} m/s2 from brakes-on"
            + (f", closest setting {need.closest_setting}" if need.closest_setting else "")
            + (f"; latest start of braking: {starts}" if starts else "")
            + "."
        )
    _print_candidates(console, decision, wording)


def _where(one: Approach, wording: Wording) -> str:
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
        "reverse\nfuel kg",
        "peak\nm/s2",
        f"taxi\n{unit.length}",
    ):
        table.add_column(name, justify="right", no_wrap=True)
    for number in decision.efficient:
        one = decision.candidates[number]
        option = decision.plan.options[one.option]
        table.add_row(
            ">" if number == decision.chosen else "",
            option.brake,
            option.reverse,
            "stop" if one.approach is None else one.approach.exit,
            wording.length(one.margin).split()[0],
            f"{one.brake_energy_per_wheel / 1e6:.1f}",
            wording.temperature(one.brake_temperature).split()[0] if math.isfinite(one.brake_temperature) else "off",
            f"{one.brake_wear:.2f}",
            f"{one.runway_time:.0f}",
            f"{one.reverse_fuel:.0f}",
            f"{one.peak_deceleration:.1f}",
            wording.length(one.taxi_distance).split()[0] if one.taxi_distance else "-",
        )
    console.print(table)
