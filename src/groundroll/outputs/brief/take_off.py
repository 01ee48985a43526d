"""The content of a brief for a take-off: the side of the rejected one."""

from __future__ import annotations

import math
from datetime import datetime
from typing import Final

from groundroll.outputs.brief.content import (
    KEY,
    BreakLine,
    Brief,
    Fact,
    Piece,
    PieceKind,
    SpeedMark,
    SpeedWindow,
    Strip,
    StripExit,
    StripThird,
    Track,
    departure_in_words,
    earliest_departure,
    failures_in_words,
    headwind_in_words,
    last_words,
    limits_in_words,
    reports_of,
    source_groups,
    surface_in_words,
    third_in_words,
    wheel_in_words,
)
from groundroll.outputs.reject_form import reject_sources
from groundroll.planning.reject import CostCase, RejectPlan
from groundroll.planning.wording import Wording
from groundroll.scenario.take_off import take_off_inputs

DRAWN_CASE: Final = "late-2-s"
"""The weak action that is drawn beside the planned stop; all are in the list."""


def take_off_brief(plan: RejectPlan, computed: datetime) -> Brief:
    """Return the brief of a take-off: the decision speed, stop and go, and what a weak action costs.

    Parameters
    ----------
    plan
        The answer to the take-off case.
    computed
        When it was computed, with its time zone.
    """
    case, run, weather = plan.case, plan.rule_run, plan.case.weather
    conditions, intent, declared = run.conditions, case.take_off.intent, case.declared
    wording = Wording(case.display)
    reduced = "" if intent.assumed_temperature is None else f" at {wording.temperature(intent.assumed_temperature)}"
    speed = wording.speed(plan.decision_speed)
    headline = plan.reasons[0].rstrip(".") if plan.fits else f"NO TAKE-OFF on this; decision speed looked at: {speed}"
    return Brief(
        kind="take-off",
        title=case.title,
        place=f"{case.runway.aerodrome} {case.direction}",
        aeroplane=f"{case.aircraft.name}, {wording.mass(conditions.mass)}, flap {intent.flap}, thrust "
        f"{case.take_off.rating}{reduced} ({100.0 * run.thrust_share:.0f} % of the table), rotation "
        f"{wording.speed(conditions.rotation_speed)}, safety speed {wording.speed(conditions.safety_speed)}"
        f"{failures_in_words(case.failures, wording)}",
        runway=f"Take-off run {wording.length(declared.take_off_run)}, take-off {wording.length(declared.take_off)}, "
        f"accelerate-stop {wording.length(declared.accelerate_stop)}; slope {100.0 * conditions.slope:+.1f} %; "
        f"codes in take-off direction {surface_in_words(case.condition)}",
        weather=f"Wind along the runway {headwind_in_words(conditions.headwind, wording)} by the rule, "
        f"{headwind_in_words(plan.flown_run.conditions.headwind, wording)} as flown; crosswind up to "
        f"{wording.speed(plan.wind.greatest_crosswind)}; {wording.temperature(conditions.temperature)}, "
        f"QNH {weather.pressure_setting / 100.0:.0f} hPa",
        fits=plan.fits,
        headline=headline,
        why=tuple(one for one in plan.reasons if not one.startswith("Decision speed")) if plan.fits else plan.reasons,
        facts=_facts(plan, wording),
        margin=_margin(plan, wording),
        strip=_strip(plan, wording),
        key=KEY["take-off"],
        window=_window(plan, wording),
        gates=(),
        gates_note="",
        breaks=tuple(_breaks(plan, wording)),
        heat=_heat(plan, wording),
        reports=reports_of(weather, case.condition),
        cautions=(*plan.cautions, *case.remarks),
        limits=limits_in_words(plan.limits, wording),
        sources=source_groups(reject_sources(plan)),
        **last_words(case.aircraft.invented, computed, take_off_inputs(case)),
    )


def _spare(plan: RejectPlan) -> tuple[float, float]:
    """Return what is left to stop and to go, by the rule. [m] Not finite where it cannot be done."""
    return (
        plan.rule_run.stop_available - plan.stop.distance,
        min(plan.rule_run.go_available - plan.go.distance, plan.rule_run.run_available - plan.go.run),
    )


def _length(spare: float, wording: Wording) -> str:
    if not math.isfinite(spare):
        return "impossible"
    return wording.length(spare) if spare > -0.5 else f"{wording.length(-spare)} short"


def _facts(plan: RejectPlan, wording: Wording) -> tuple[Fact, ...]:
    stop, go = _spare(plan)
    facts = [
        Fact(_length(stop, wording), "to stop, left by the rule" if stop > -0.5 else "to stop, by the rule"),
        Fact(_length(go, wording), "to go, left by the rule" if go > -0.5 else "to go, by the rule"),
    ]
    after = plan.aftermath
    if after is not None:
        heat = after.peak_brake_temperature
        facts.append(Fact("off scale" if heat is None else wording.temperature(heat), "hottest brake after the stop"))
        if after.outcome is not None:
            facts.append(Fact(*earliest_departure(plan.case.time, plan.cases[0].time, after.outcome)))
    return tuple(facts)


def _margin(plan: RejectPlan, wording: Wording) -> str:
    planned = plan.cases[0] if plan.cases else None
    if planned is None or planned.margin is None:
        return "As flown it does not stop."
    left = f"{wording.length(planned.margin)} left" if planned.fits else f"{wording.length(-planned.margin)} SHORT"
    return f"As flown it stops in {wording.length(planned.stop_distance)}, {left}."


def _breaks(plan: RejectPlan, wording: Wording) -> list[BreakLine]:
    others = [one for one in plan.cases if one.key != "planned"]
    lines = []
    over = [_too_long(one, wording) for one in others if not one.fits]
    if over:
        lines.append(BreakLine(f"Does NOT STOP on the runway: {'; '.join(over)}.", True))
    still = [f"{one.words}, {wording.length(one.margin)}" for one in others if one.fits]
    if still:
        lines.append(BreakLine(f"Still stops, with what is left: {'; '.join(still)}.", False))
    return lines


def _too_long(one: CostCase, wording: Wording) -> str:
    """Return a case that does not stop on the runway, with how fast it goes over the end."""
    if one.runway_end_speed is not None:
        return f"{one.words}, {wording.speed(one.runway_end_speed)} over the end"
    return one.words if one.margin is None else f"{one.words}, {wording.length(-one.margin)} too long"


def _heat(plan: RejectPlan, wording: Wording) -> tuple[str, ...]:
    after = plan.aftermath
    if after is None:
        return ("It does not stop as flown: nothing is said of the brakes.",)
    limit = "" if after.energy_limit is None else f" of {after.energy_limit / 1e6:.0f} MJ it may take today"
    energy = f"{after.brake_energy_per_wheel / 1e6:.1f} MJ in each brake{limit}."
    outcome = after.outcome
    if outcome is None:
        return ("Earliest next departure: not known.", energy)
    when = departure_in_words(plan.case.time, plan.cases[0].time, outcome)
    return (f"{when} An inspection may be due first.", energy, wheel_in_words(outcome, wording))


def _window(plan: RejectPlan, wording: Wording) -> SpeedWindow:
    window = plan.window
    listed = (
        (window.go_from, "going works from", False),
        (window.minimum_control, "controllable from", False),
        (plan.decision_speed, "decision", True),
        (window.stop_up_to, "stopping works up to", False),
        (window.brake_energy_limit, "brakes can take it up to", False),
        (window.rotation, "rotation", False),
    )
    marks = [
        SpeedMark(speed, wording.speed(speed), words, chosen) for speed, words, chosen in listed if speed is not None
    ]
    return SpeedWindow(
        low=None if window.empty else window.low,
        high=None if window.empty else window.high,
        marks=tuple(sorted(marks, key=lambda one: one.speed)),
    )


def _track(name: str, distance: float, available: float | None, wording: Wording, kind: PieceKind = "rolling") -> Track:
    pieces = [Piece(0.0, distance, kind)]
    span = ""
    if available is not None and distance <= available:
        pieces.append(Piece(distance, available, "left"))
        span = f"{wording.length(available - distance)} left"
    elif available is not None:
        pieces.append(Piece(available, distance, "short"))
        span = f"{wording.length(distance - available)} MISSING"
    return Track(name, tuple(pieces), distance, wording.length(distance), available, span)


def _strip(plan: RejectPlan, wording: Wording) -> Strip:
    case, conditions = plan.case, plan.rule_run.conditions
    begin = -(conditions.begins_at + conditions.line_up_allowance_stop)
    third = conditions.runway_length / 3.0
    threshold = begin + case.direction_data.displaced_threshold
    tracks = []
    if math.isfinite(plan.stop.distance):
        tracks.append(_track("stop, by the rule", plan.stop.distance, plan.rule_run.stop_available, wording, "braking"))
    if math.isfinite(plan.go.distance):
        tracks.append(_track("go, by the rule", plan.go.distance, plan.rule_run.go_available, wording))
    for one in plan.cases:
        if one.key in ("planned", DRAWN_CASE) and one.stop_distance is not None:
            name = "stop, as flown" if one.key == "planned" else f"stop, {one.words}"
            tracks.append(_track(name, one.stop_distance, None, wording, "braking"))
    return Strip(
        paved_begin=begin,
        paved_end=begin + conditions.runway_length,
        origin="brake release",
        available=plan.rule_run.stop_available,
        thirds=tuple(
            StripThird(begin + number * third, begin + (number + 1) * third, one.code, third_in_words(one))
            for number, one in enumerate(conditions.thirds)
        ),
        touchdown_zone=None,
        exits=tuple(
            StripExit(one.name, threshold + one.distance, one.side or "left", "", False)
            for one in case.direction_data.exits
            if threshold + one.distance > 0.0
        ),
        gates=(),
        tracks=tuple(tracks),
        unit=case.display.length,
    )
