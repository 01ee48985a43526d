"""A rejected take-off as a scene: from brake release over the first action to the stop, as flown."""

from __future__ import annotations

from dataclasses import replace

from groundroll.errors import GroundrollError
from groundroll.physics.rollout import Roll, simulate
from groundroll.planning.landing_roll import MANUAL, REVERSES
from groundroll.planning.reject import RejectPlan, plan_reject
from groundroll.planning.reject_distances import stop_choice
from groundroll.planning.reject_roll import Point, StopChoice, TakeOffRun
from groundroll.planning.wording import Wording
from groundroll.scenario.take_off import TakeOffCase
from groundroll.teaching.animation import DOES_NOT_FIT, Event, Scene, Strip, StripExit
from groundroll.teaching.animation_landing import STEP, Piece, heat_of, outline_of, strip_thirds, tracks_of, wind_words
from groundroll.teaching.animation_words import events_of

AUTOMATIC = "automatic"


def choice_of(case: TakeOffCase, brakes: str | None, reverse: str | None) -> StopChoice:
    """Return how the reject is flown: as the case says, but for what is asked for.

    Raises
    ------
    GroundrollError
        If the aeroplane has no such brakes or reverse.
    """
    choice = stop_choice(case)
    if brakes is not None:
        fitted = case.aircraft.automatic_brakes is not None and case.aircraft.automatic_brakes.reject is not None
        allowed = (AUTOMATIC, MANUAL) if fitted else (MANUAL,)
        if brakes not in allowed:
            raise GroundrollError(f'brakes "{brakes[:40]}" is not one of {", ".join(allowed)} for a rejected take-off.')
        choice = replace(choice, braking="manual" if brakes == MANUAL else "automatic")
    if reverse is not None:
        use = next((one for one in REVERSES if one == reverse), None)
        if use is None or (use != "none" and case.aircraft.reverse is None):
            uses = REVERSES if case.aircraft.reverse is not None else ("none",)
            raise GroundrollError(f'reverse "{reverse[:40]}" is not one of {", ".join(uses)} for this aeroplane.')
        choice = replace(choice, reverse=use)
    return choice


def reject_scene(case: TakeOffCase, brakes: str | None = None, reverse: str | None = None) -> Scene:
    """Return the take-off of a case, rejected at its decision speed, as a scene.

    Parameters
    ----------
    case
        Says whether an engine fails before, and how the reject is flown.
    brakes, reverse
        In place of those of the case: "automatic" or "manual"; "none", "idle" or "full".

    Raises
    ------
    GroundrollError
        If the choice is not one that the aeroplane has.
    ScenarioError
        If the take-off cannot be planned or does not get to its decision speed.
    """
    plan = plan_reject(case)
    choice = choice_of(case, brakes, reverse)
    run, wording, aircraft = plan.flown_run, Wording(case.display), case.aircraft
    failed = case.take_off.intent.event == "engine failure"
    speed = run.conditions.ground_speed(plan.decision_speed)
    pieces, events, action = _until_action(run, speed, wording, failed=failed)
    stop = run.stop_roll(action, choice)
    stopping = simulate(stop, history_step=STEP)
    if not stopping.stopped:
        raise GroundrollError(f"{case.title}: it does not stop ({stopping.reason}); there is no end to show.")
    pieces.append(Piece(stop, stopping, action.time))
    origin = run.base.start_distance
    tracks = tracks_of(pieces, aircraft.engines.count)
    tracks = replace(tracks, distance=tracks.distance - origin)
    heat = heat_of(
        aircraft,
        tracks,
        working_brakes=run.working_brakes,
        initial_temperature=case.take_off.intent.initial_brake_temperature or case.weather.temperature,
        air_temperature=case.weather.temperature,
        fastest=action.ground_speed,
    )
    end = float(tracks.distance[-1])
    left = run.stop_available - end
    result = f"Stopped after {wording.length(end)}, " + (
        f"{wording.length(left)} left" if left >= 0.0 else f"{wording.length(-left)} beyond the end"
    )
    decided = Event(
        action.time,
        f"First action at the decision speed, {wording.speed(plan.decision_speed)} of airspeed",
        rank=0,
    )
    return Scene(
        title=case.title,
        name=f"rejected {'after an engine failure' if failed else 'with all engines running'}, "
        + _choice_words(run, choice)
        + ("" if plan.fits else f": {DOES_NOT_FIT}"),
        brakes=AUTOMATIC if choice.braking == AUTOMATIC else MANUAL,
        reverse_used=choice.reverse,
        details=f"{aircraft.name}, {wording.mass(run.conditions.mass)}, flap {case.take_off.intent.flap}; "
        + wind_words(run.conditions.headwind, wording),
        origin="brake release",
        strip=_strip(plan),
        outline=outline_of(aircraft),
        time=tracks.time,
        distance=tracks.distance,
        ground_speed=tracks.ground_speed,
        deceleration=tracks.deceleration,
        forces=tracks.forces,
        asked=tracks.asked,
        spoilers=tracks.spoilers,
        reverse=tracks.reverse,
        airborne_until=0.0,
        mass=run.conditions.mass,
        heat_time=heat.time,
        brake_temperature=heat.temperature,
        heat_words=heat.words,
        limits=heat.limits,
        events=(
            *events,
            decided,
            *events_of(stop, stopping, wording, action.time),
            Event(float(tracks.time[-1]), result, rank=0),
        ),
        result=result,
        stopped=True,
        display=case.display,
        invented=aircraft.invented,
    )


def _until_action(
    run: TakeOffRun, speed: float, wording: Wording, *, failed: bool
) -> tuple[list[Piece], list[Event], Point]:
    """Return the rolls from brake release to the first action at a ground speed."""
    begin = run.begin
    events = [Event(0.0, "Brake release, all engines at take-off thrust")]
    if not failed:
        return [_piece(run.leg_roll(begin, to_speed=speed), 0.0)], events, run.with_all_engines(speed)
    action = run.after_engine_failure(speed)
    fails_at = speed if action.failure_speed is None else action.failure_speed
    before = run.with_all_engines(fails_at)
    pieces = [_piece(run.leg_roll(begin, to_speed=fails_at), 0.0)]
    recognition = run.data.reject.recognition
    if recognition > 0.0:
        pieces.append(_piece(run.leg_roll(run.fail_engine(before), duration=recognition), before.time))
    airspeed = run.conditions.calibrated(fails_at)
    events.append(Event(before.time, f"An engine fails at {wording.speed(airspeed)} of airspeed", rank=0))
    return pieces, events, action


def _piece(roll: Roll, begin: float) -> Piece:
    return Piece(roll, simulate(roll, history_step=STEP), begin)


def _choice_words(run: TakeOffRun, choice: StopChoice) -> str:
    brakes = "automatic braking" if run.automatic_braking(choice) else "manual braking"
    return f"{brakes} with {'no' if choice.reverse == 'none' else choice.reverse} reverse"


def _strip(plan: RejectPlan) -> Strip:
    case, run = plan.case, plan.flown_run
    conditions, begin = run.conditions, -run.base.start_distance
    threshold = begin + case.direction_data.displaced_threshold
    return Strip(
        paved_begin=begin,
        paved_end=begin + conditions.runway_length,
        available_end=run.stop_available,
        available_words=f"{case.runway.aerodrome} runway {case.direction}: "
        f"{Wording(case.display).length(run.stop_available)} to stop in",
        width=case.runway.width,
        threshold=threshold,
        aiming_point=None,
        thirds=strip_thirds(conditions.thirds, begin, conditions.runway_length),
        exits=tuple(
            StripExit(one.name, threshold + one.distance, one.side != "right", one.angle)
            for one in case.direction_data.exits
        ),
    )
