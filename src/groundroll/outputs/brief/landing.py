"""The content of a brief for a landing."""

from __future__ import annotations

import math
from datetime import datetime
from typing import Final

from groundroll.outputs.brief.content import (
    KEY,
    BreakLine,
    Brief,
    Fact,
    GateRow,
    Piece,
    Strip,
    StripExit,
    StripGate,
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
from groundroll.outputs.decision_form import _alone, _touchdown
from groundroll.outputs.json_form import sources_json
from groundroll.physics.markings import touchdown_zone_length
from groundroll.planning.break_points import Alone, BreakPoints, Cost
from groundroll.planning.decision import Decision
from groundroll.planning.dispatch import DispatchCheck
from groundroll.planning.exits import Approach
from groundroll.planning.gates import REACTION_TIME, Gate, speed_at_most
from groundroll.planning.landing import LandingOption, LandingPlan
from groundroll.planning.landing_roll import MANUAL
from groundroll.planning.wording import Wording, percent
from groundroll.scenario.resolved import resolved_inputs

SHORTEST_PIECE: Final = 1.0
"""Stretches of a track shorter than this are not drawn. [m]"""


def landing_brief(decision: Decision, computed: datetime) -> Brief:
    """Return the brief of a landing.

    Parameters
    ----------
    decision
        The decision of the case.
    computed
        When it was computed, with its time zone.
    """
    plan = decision.plan
    case, conditions = plan.case, plan.conditions
    wording = Wording(case.display)
    option = decision.chosen_option
    shown = option if option is not None else _shortest(plan)
    reduced = case.condition.reduced_length
    shorter = "" if reduced is None else f" (runway reduced to {wording.length(reduced)} by the report)"
    weather = case.weather
    headline, why = _headline(decision, wording)
    counted = "as it is" if weather.wind_factors == "none" else "half of a headwind, 1.5 of a tailwind"
    return Brief(
        kind="landing",
        title=case.title,
        place=f"{case.runway.aerodrome} {case.direction}",
        aeroplane=f"{case.aircraft.name}, {wording.mass(conditions.mass)}, flap {conditions.flap}, "
        f"{wording.speed(conditions.approach_speed)} over the threshold = "
        f"{wording.speed(plan.threshold_ground_speed)} over the ground{failures_in_words(case.failures, wording)}",
        runway=f"{wording.length(conditions.landing_distance_available)} to land{shorter}, slope "
        f"{100.0 * conditions.slope:+.1f} %, {case.runway.surface.replace('-', ' ')} surface; "
        f"codes in landing direction {surface_in_words(case.condition)}",
        weather=f"Wind along the runway {headwind_in_words(plan.wind.least_headwind, wording)} at worst, "
        f"{headwind_in_words(conditions.headwind, wording)} used ({counted}); crosswind up to "
        f"{wording.speed(plan.wind.greatest_crosswind)}; {wording.temperature(weather.temperature)}, "
        f"QNH {weather.pressure_setting / 100.0:.0f} hPa",
        fits=plan.fits,
        headline=headline,
        why=why,
        facts=_facts(decision, wording),
        margin=_margin(decision, wording),
        strip=_strip(decision, shown, wording),
        key=KEY["landing"],
        window=None,
        gates=tuple(_gate(number, one, wording) for number, one in enumerate(decision.gates, start=1)),
        gates_note=_gates_note(decision),
        breaks=() if decision.break_points is None else tuple(_breaks(decision.break_points, wording)),
        heat=_heat(decision, wording),
        reports=reports_of(weather, case.condition),
        cautions=(*plan.cautions, *case.remarks),
        limits=" ".join([limits_in_words(plan.limits, wording), *(_dispatch(one, wording) for one in plan.dispatch)]),
        sources=source_groups(sources_json(plan)),
        **last_words(case.aircraft.invented, computed, resolved_inputs(case)),
    )


def _dispatch(check: DispatchCheck, wording: Wording) -> str:
    return (
        f"Dispatch, {check.rule}: {wording.length(check.required_distance)} needed of "
        f"{wording.length(check.available)}, {'fits' if check.fits else 'DOES NOT FIT'}."
    )


def _shortest(plan: LandingPlan) -> LandingOption | None:
    """Return the option that needs least runway: what is shown where nothing can be chosen."""
    stopping = [one for one in plan.options if one.stop_distance is not None]
    return min(stopping, key=lambda one: one.stop_distance or 0.0, default=None)


def _headline(decision: Decision, wording: Wording) -> tuple[str, tuple[str, ...]]:
    """Return the means in one line, and the sentences that follow: how, why, and what else was said of it."""
    option, chosen = decision.chosen_option, decision.chosen
    if option is None or chosen is None:
        return "NO PLAN: do not land on this", tuple(
            f"{rest[0].upper()}{rest[1:]}" for rest in (one.removeprefix("No plan: ") for one in decision.plan.reasons)
        )
    means = wording.choice(option.brake, option.reverse).capitalize()
    headline, sentences = means, []
    candidate = decision.candidates[chosen]
    for reason in decision.plan.reasons:
        if reason.startswith(means):
            headline, _, how = reason.rstrip(".").partition(": ")
            sentences += [f"{how[0].upper()}{how[1:]}."] if how else []
        elif reason.startswith("Picked by"):
            time = f", {candidate.runway_time:.0f} s on the runway" if math.isfinite(candidate.runway_time) else ""
            aims = ", then ".join(decision.plan.case.choice.aims)
            sentences.append(f"Picked by {aims}: {candidate.brake_energy_per_wheel / 1e6:.1f} MJ a wheel{time}.")
        else:
            sentences.append(reason)
    return headline, tuple(sentences)


def _facts(decision: Decision, wording: Wording) -> tuple[Fact, ...]:
    plan, option = decision.plan, decision.chosen_option
    if option is None:
        shortest = _shortest(plan)
        if shortest is None or shortest.reserve is None or shortest.margin is None:
            return ()
        needed = f"needed by {wording.choice(shortest.brake, shortest.reverse)}, the shortest choice"
        return (
            Fact(
                wording.length(shortest.factored_distance),
                f"{needed}, {percent(plan.case.landing.margin)} margin included",
            ),
            Fact(wording.length(plan.conditions.landing_distance_available), "to land"),
        )
    margin = percent(plan.case.landing.margin)
    facts = []
    if option.margin_carried_by_manual:
        facts.append(
            Fact(wording.length(option.reserve), f"left after the stop; only manual braking has the {margin} margin")
        )
    else:
        facts.append(Fact(wording.length(option.margin), f"left after the stop and its {margin} margin"))
        facts.append(Fact(wording.length(option.reserve), "left after the stop alone"))
    heat = option.peak_brake_temperature
    facts.append(Fact("off scale" if heat is None else wording.temperature(heat), "hottest brake, held to a stop"))
    if option.brake_outcome is not None:
        facts.append(Fact(*earliest_departure(plan.case.time, option.stop_time, option.brake_outcome)))
    return tuple(facts)


def _limit(alone: Alone, wording: Wording) -> str | None:
    """Return how far one input may go, short; None where it has no end in the range, or none at all."""
    value = alone.limit.value
    if value is None or value <= 0.0:
        return None
    if alone.name.startswith("tailwind"):
        if alone.file_limit is not None and alone.file_limit < value:
            return f"a tailwind of {speed_at_most(alone.file_limit, wording)}, the limit of the aircraft file"
        return f"a tailwind of {speed_at_most(value, wording)}"
    if alone.name.startswith("speed"):
        return f"{speed_at_most(value, wording)} more over the threshold"
    return None


def _margin(decision: Decision, wording: Wording) -> str:
    """Return in words what the margin is worth."""
    found, option = decision.break_points, decision.chosen_option
    if found is None or option is None:
        return ""
    worth = []
    latest = next((one for one in found.latest_touchdowns if one.means == "planned means" and one.with_margin), None)
    if latest is not None and latest.touchdown.value is not None:
        later = latest.touchdown.value - decision.plan.air_segment.distance
        if later > 0.0:
            worth.append(f"a touchdown {wording.length(later)} later")
    worth += [text for text in (_limit(one, wording) for one in found.alone) if text is not None]
    codes = [third.code for third in decision.plan.conditions.thirds]
    if found.worst_code is not None and found.worst_code < min(codes):
        worth.append(f"code {found.worst_code} all along")
    if not worth:
        return "The margin bears none of these: a later touchdown, more speed, a tailwind, a worse surface."
    listed = worth[0] if len(worth) == 1 else f"{'; '.join(worth[:-1])}; or {worth[-1]}"
    return f"The margin bears {listed}{': one of them, not two' if len(worth) > 1 else ''}."


def _gate(number: int, gate: Gate, wording: Wording) -> GateRow:
    same, then = gate.same_means, gate.if_faster
    if same.value is not None:
        limit = speed_at_most(same.value, wording)
        if then.startswith(f"above {limit} "):
            then = then.removeprefix(f"above {limit} ")
        else:
            limit = "planned"
    else:
        limit = "planned"
    everything = gate.everything
    runway = (
        speed_at_most(everything.value, wording)
        if everything.value is not None
        else "none"
        if everything.holds == "none of these"
        else "any speed"
    )
    return GateRow(
        number=number,
        name=gate.name,
        at=wording.length(gate.distance),
        planned=wording.speed(gate.planned_speed),
        faster_than=limit,
        then=then,
        runway_up_to=runway,
    )


def _gates_note(decision: Decision) -> str:
    effort = (
        "full pedal"
        if decision.plan.options and decision.plan.options[-1].reverse == "none"
        else ("full pedal and full reverse")
    )
    return (
        f"Stops up to: the greatest speed from which {effort}, {REACTION_TIME:.0f} s later, still stop on the runway."
    )


def _breaks(found: BreakPoints, wording: Wording) -> list[BreakLine]:
    """Return what breaks the plan first, then how far each thing may go, then what does not."""
    over = [one for one in found.costs if not one.fits and not one.stops_within]
    tight = [one for one in found.costs if not one.fits and one.stops_within]
    lines = []
    if over:
        lines.append(BreakLine(f"Does NOT STOP on the runway: {_listed(over, wording)}.", True))
    if tight:
        lines.append(BreakLine(f"No longer fits, but still stops on the runway: {_listed(tight, wording)}.", True))
    for one in found.latest_touchdowns:
        margin = "with the margin" if one.with_margin else "without it"
        if one.means == "planned means":
            lines.append(BreakLine(f"Latest touchdown, {margin}: {_touchdown(one.touchdown, wording)}.", False))
    lines += [BreakLine(_alone(one, wording), False) for one in found.alone]
    worst = "no code fits" if found.worst_code is None else f"fits down to code {found.worst_code} all along"
    lines.append(BreakLine(f"Surface, alone: {worst}.", False))
    still = [one for one in found.costs if one.fits]
    if still:
        lines.append(BreakLine(f"Still fits: {_listed(still, wording)}.", False))
    return lines


def _listed(costs: list[Cost], wording: Wording) -> str:
    """Return changes with what each costs."""
    return "; ".join(one.name if one.costs is None else f"{one.name}, {_signed(one.costs, wording)}" for one in costs)


def _signed(length: float, wording: Wording) -> str:
    return ("+" if length >= 0.0 else "-") + wording.length(abs(length))


def _heat(decision: Decision, wording: Wording) -> tuple[str, ...]:
    option, approach, plan = decision.chosen_option, decision.chosen_approach, decision.plan
    if option is None:
        return ()
    to_stop = f"{option.brake_energy_per_wheel / 1e6:.1f} MJ a wheel held to a stop"
    if approach is not None:
        to_stop = f"{approach.brake_energy_per_wheel / 1e6:.1f} MJ a wheel to the exit, {to_stop}"
    heat = option.peak_brake_temperature
    peak = "beyond the range of the heat formula" if heat is None else f"up to {wording.temperature(heat)}"
    energy = f"{to_stop}, hottest brake {peak}."
    outcome = option.brake_outcome
    if outcome is None:
        without = plan.case.aircraft.brake_cooling is None
        reason = "the aircraft file has no [brake_cooling]" if without else "beyond the range of the heat formula"
        return (f"Earliest next departure: not known, {reason}.", energy)
    return (
        departure_in_words(plan.case.time, option.stop_time, outcome),
        energy,
        wheel_in_words(outcome, wording),
    )


# ------------------------------------------------------------------------------------------------------------ strip


def _strip(decision: Decision, shown: LandingOption | None, wording: Wording) -> Strip:
    plan, approach = decision.plan, decision.chosen_approach
    conditions, case = plan.conditions, plan.case
    begin = -conditions.displaced_threshold
    third = conditions.runway_length / 3.0
    thirds = tuple(
        StripThird(begin + number * third, begin + (number + 1) * third, one.code, third_in_words(one))
        for number, one in enumerate(conditions.thirds)
    )
    allowed = {one.name: one.allowed_speed for one in (shown.exits if shown is not None else ())}
    exits = tuple(
        StripExit(
            name=one.name,
            distance=one.distance,
            side=one.side or "left",
            speed=wording.speed(allowed[one.name]) if one.name in allowed else "",
            chosen=approach is not None and one.name == approach.exit,
        )
        for one in case.direction_data.exits
    )
    return Strip(
        paved_begin=begin,
        paved_end=begin + conditions.runway_length,
        origin="the threshold",
        available=conditions.landing_distance_available,
        thirds=thirds,
        touchdown_zone=touchdown_zone_length(conditions.landing_distance_available),
        exits=exits,
        gates=tuple(StripGate(number, one.distance) for number, one in enumerate(decision.gates, start=1)),
        tracks=tuple(_tracks(decision, shown, wording)),
        unit=case.display.length,
    )


def _tracks(decision: Decision, shown: LandingOption | None, wording: Wording) -> list[Track]:
    plan, approach = decision.plan, decision.chosen_approach
    if shown is None or shown.stop_distance is None:
        return []
    tracks = []
    if approach is not None:
        tracks.append(_to_exit(plan, shown, approach, wording))
    tracks.append(_to_stop(plan, shown, wording))
    others = [one for one in plan.options if one.brake == MANUAL and one is not shown and one.stop_distance is not None]
    hardest = min(others, key=lambda one: one.stop_distance or 0.0, default=None)
    if hardest is not None and plan.conditions.pedal == 1.0:
        tracks.append(_to_stop(plan, hardest, wording, margin=False))
    return tracks


def _pieces(*pieces: Piece) -> tuple[Piece, ...]:
    return tuple(one for one in pieces if one.end - one.begin >= SHORTEST_PIECE)


def _to_exit(plan: LandingPlan, option: LandingOption, approach: Approach, wording: Wording) -> Track:
    touchdown = plan.air_segment.distance
    end = approach.exit_distance
    brakes_on = min(option.air_distance + option.transition_distance, end)
    release = end if approach.release_distance is None else approach.release_distance
    if approach.means == "no wheel braking":
        brakes_on = release = end
    arrives = "" if approach.arrival_speed is None else f", {wording.speed(approach.arrival_speed)}"
    released = "" if release >= end else f"release {wording.length(release)}, "
    return Track(
        name=f"as planned, touchdown at {wording.length(touchdown)}",
        pieces=_pieces(
            Piece(0.0, touchdown, "air"),
            Piece(touchdown, brakes_on, "rolling"),
            Piece(brakes_on, release, "braking"),
            Piece(release, end, "rolling"),
        ),
        end=end,
        end_label=f"{released}exit {approach.exit}{arrives}",
    )


def _to_stop(plan: LandingPlan, option: LandingOption, wording: Wording, *, margin: bool = True) -> Track:
    touchdown, available = plan.air_segment.distance, plan.conditions.landing_distance_available
    stop = option.stop_distance or 0.0
    brakes_on = min(option.air_distance + option.transition_distance, stop)
    factored = option.factored_distance if margin and not option.margin_carried_by_manual else None
    pieces = [
        Piece(0.0, touchdown, "air"),
        Piece(touchdown, brakes_on, "rolling"),
        Piece(brakes_on, stop, "braking"),
    ]
    end = stop
    if factored is not None:
        pieces.append(Piece(stop, factored, "added"))
        end = factored
    span = ""
    if margin:
        pieces.append(Piece(end, available, "left") if available > end else Piece(available, end, "short"))
        span = f"{wording.length(abs(available - end))} {'left' if available > end else 'MISSING'}"
    added = "" if factored is None else f" + {percent(plan.case.landing.margin)} = {wording.length(factored)}"
    name = "held to a stop" if margin and plan.fits else wording.choice(option.brake, option.reverse)
    return Track(
        name=name,
        pieces=_pieces(*pieces),
        end=stop,
        end_label=f"stop {wording.length(stop)}{added}",
        limit=available if margin else None,
        span_label=span,
    )
