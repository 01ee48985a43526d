"""From distances to a decision: which exit with which means, gates on the way, and what would break the plan."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from groundroll.errors import ScenarioError
from groundroll.physics.rollout import simulate
from groundroll.planning.aims import Candidate, accepted, choose, efficient
from groundroll.planning.brake_costs import wear_of_landing
from groundroll.planning.break_points import BreakPoints, break_points
from groundroll.planning.exits import Approach, ExitSearch, NeededDeceleration
from groundroll.planning.gates import Gate, gates
from groundroll.planning.landing import LandingOption, LandingPlan, brake_heat, exit_speed
from groundroll.planning.landing_roll import landing_roll
from groundroll.planning.wording import Wording, percent
from groundroll.scenario.model import Exit


@dataclass(frozen=True)
class HighSettingComparison:
    """The chosen plan against the highest automatic setting held to the exit's speed with the same reverse."""

    setting: str
    brake_energy_change: float
    """Of the chosen plan over that of the high setting, less one. [-]"""
    brake_wear_change: float | None
    """The same for brake wear, where the aircraft file says how its brakes wear. [-]"""


@dataclass(frozen=True)
class Decision:
    """The plan with an exit chosen, and what it rests on."""

    plan: LandingPlan
    """Its recommended option and reasons are those of the decision."""
    approaches: tuple[Approach, ...]
    """Every option at every exit beyond touchdown."""
    needed: tuple[NeededDeceleration, ...]
    candidates: tuple[Candidate, ...]
    """What can be done within the user's hard limits."""
    efficient: tuple[int, ...]
    """Candidates that no other one beats. Those whose margin only manual braking carries are chosen from only where no
    candidate has a margin of its own."""
    chosen: int | None
    exit_made: bool
    """Whether the exit asked for can be made; True where any will do."""
    gates: tuple[Gate, ...]
    break_points: BreakPoints | None
    high_setting: HighSettingComparison | None

    @property
    def chosen_approach(self) -> Approach | None:
        """Return how the chosen exit is made; None where the plan is to stop."""
        return None if self.chosen is None else self.candidates[self.chosen].approach

    @property
    def chosen_option(self) -> LandingOption | None:
        """Return the chosen brakes and reverse."""
        return None if self.chosen is None else self.plan.options[self.candidates[self.chosen].option]


def _heat_and_wear(plan: LandingPlan, energy: float, roll_time: float) -> tuple[float, float | None]:
    """Return the peak of the heat sink, infinite beyond its formula, and the wear over that of the reference stop."""
    peak, _ = brake_heat(plan.case, energy, roll_time, plan.air_segment.touchdown_ground_speed)
    wear = wear_of_landing(plan.case.aircraft, energy, peak)
    return math.inf if peak is None else peak, None if wear is None else wear.relative


def _candidate(plan: LandingPlan, number: int, approach: Approach | None) -> Candidate:
    option = plan.options[number]
    time = option.stop_time if approach is None else approach.runway_time
    if approach is None:
        energy = option.brake_energy_per_wheel
        peak, worn = option.peak_brake_temperature, option.wear
        temperature = math.inf if peak is None else peak
        wear = None if worn is None else worn.relative
    else:
        energy = approach.brake_energy_per_wheel
        temperature, wear = _heat_and_wear(plan, energy, approach.roll_time)
    return Candidate(
        option=number,
        margin=option.margin if option.margin is not None else -math.inf,
        brake_energy_per_wheel=energy,
        brake_temperature=temperature,
        brake_wear=0.0 if wear is None else wear,
        runway_time=math.inf if time is None else time,
        reverse_fuel=option.reverse_fuel if approach is None else approach.reverse_fuel,
        peak_deceleration=option.peak_deceleration if approach is None else approach.peak_deceleration,
        taxi_distance=0.0 if approach is None or approach.taxi_distance is None else approach.taxi_distance,
        approach=approach,
    )


def _with_usable_exits(plan: LandingPlan, approaches: list[tuple[int, Approach]]) -> LandingPlan:
    """Return the plan; an exit of an option is usable where the option can be brought to it, by hand-over too."""
    usable = {(number, approach.exit): approach.usable for number, approach in approaches}
    options = tuple(
        replace(
            option,
            exits=tuple(replace(one, usable=usable.get((number, one.name), False)) for one in option.exits),
        )
        for number, option in enumerate(plan.options)
    )
    return replace(plan, options=options)


def _beyond_touchdown(plan: LandingPlan) -> list[Exit]:
    return [
        one
        for one in plan.case.direction_data.exits
        if plan.air_segment.distance < one.distance <= plan.conditions.landing_distance_available
    ]


def _distinct(plan: LandingPlan, found: list[Candidate]) -> list[Candidate]:
    """Return the candidates without repetition: where no wheel braking is needed the setting makes no difference.

    The first of the aircraft file, the gentlest, that has a margin of its own stands for them. Those whose margin only
    manual braking carries come last.
    """
    standing: dict[tuple[str, str], Candidate] = {}
    distinct = []
    for one in sorted(found, key=lambda one: plan.options[one.option].margin_carried_by_manual):
        if one.approach is not None and one.approach.means == "no wheel braking":
            key = (one.approach.exit, plan.options[one.option].reverse)
            if standing.setdefault(key, one) is not one:
                continue
        distinct.append(one)
    return distinct


def _reasons(
    plan: LandingPlan, candidates: list[Candidate], chosen: int, best: list[int], exit_made: bool
) -> list[str]:
    """Return the decision in words, with numbers; what the plan said of distances follows."""
    wording = Wording(plan.case.display)
    candidate = candidates[chosen]
    option = plan.options[candidate.option]
    approach = candidate.approach
    choice = wording.choice(option.brake, option.reverse)
    reasons: list[str] = []
    wanted = plan.case.choice.exit
    if not exit_made:
        reasons.append(f"Exit {wanted} cannot be made within the limits set: this is the best without it.")
    if approach is None:
        reasons.append(f"{choice.capitalize()} to a stop in {wording.length(option.stop_distance)}.")
    else:
        target = f"exit {approach.exit} at {wording.length(approach.exit_distance)}"
        speeds = f"{wording.speed(approach.arrival_speed)} there, {wording.speed(approach.allowed_speed)} allowed"
        if approach.means == "hand-over":
            reasons.append(
                f"{choice.capitalize()}, {target}: release the brakes at {wording.length(approach.release_distance)}, "
                f"{wording.speed(approach.release_speed)}, and roll on; {speeds}."
            )
        elif approach.means == "exit speed kept":
            reasons.append(
                f"{choice.capitalize()}, {target}: slow to {wording.speed(approach.release_speed)} by "
                f"{wording.length(approach.release_distance)} and roll on at that with light braking; {speeds}."
            )
        elif approach.means == "no wheel braking":
            reasons.append(
                f"{choice.capitalize()}, {target}: release the brakes as soon as they act, no wheel braking is "
                f"needed; {speeds}."
            )
        else:
            reasons.append(f"{choice.capitalize()}, {target}: held all the way; {speeds}.")
    if option.margin_carried_by_manual:
        reasons.append(
            f"Held to a stop it needs {wording.length(option.stop_distance)}; the {percent(plan.case.landing.margin)} "
            f"margin is carried by manual braking (codes 6 and 5 only)."
        )
    else:
        reasons.append(
            f"Held to a stop it needs {wording.length(option.stop_distance)}, "
            f"{wording.length(option.factored_distance)} with {percent(plan.case.landing.margin)} margin: "
            f"{wording.length(option.margin)} left of {wording.length(plan.conditions.landing_distance_available)}."
        )
    time = "" if not math.isfinite(candidate.runway_time) else f", {candidate.runway_time:.0f} s on the runway"
    if len(candidates) == 1:
        among = "the only choice that can be made"
    else:
        among = (
            f"picked by {', then '.join(plan.case.choice.aims)}, from {len(candidates)} choices that can be made, "
            f"{len(best)} of them beaten by no other"
        )
    aside = sum(plan.options[candidates[number].option].margin_carried_by_manual for number in best)
    without = ""
    if aside and not option.margin_carried_by_manual:
        without = f" ({aside} of these set aside: only manual braking carries their margin)"
    reasons.append(
        f"{among[0].upper()}{among[1:]}{without}: {candidate.brake_energy_per_wheel / 1e6:.1f} MJ a wheel{time}."
    )
    return reasons


def _against_high_setting(plan: LandingPlan, search: ExitSearch, candidate: Candidate) -> HighSettingComparison | None:
    automatic = plan.case.aircraft.automatic_brakes
    approach = candidate.approach
    if automatic is None or approach is None:
        return None
    high = max(automatic.settings, key=lambda name: automatic.settings[name])
    chosen = plan.options[candidate.option]
    option = next(
        (one for one in plan.options if one.brake == high and one.reverse == chosen.reverse and one.stopped), None
    )
    if option is None:
        return None
    roll = landing_roll(plan.case.aircraft, plan.conditions, option.brake, option.reverse)
    result = simulate(replace(roll, end_speed=approach.allowed_speed))
    working = plan.case.aircraft.brakes.count - plan.conditions.brakes_released
    energy = result.brake_work / working
    if energy <= 0.0:
        return None
    _, wear = _heat_and_wear(plan, energy, result.time)
    _, mine = _heat_and_wear(plan, candidate.brake_energy_per_wheel, approach.roll_time)
    return HighSettingComparison(
        setting=high,
        brake_energy_change=candidate.brake_energy_per_wheel / energy - 1.0,
        brake_wear_change=None if wear is None or mine is None or wear <= 0.0 else mine / wear - 1.0,
    )


def decide(plan: LandingPlan) -> Decision:
    """Return the decision for a plan: exits, means, gates and what would break it.

    Parameters
    ----------
    plan
        A landing plan.

    Raises
    ------
    ScenarioError
        If a question leaves the range of the physics.
    """
    try:
        return _decide(plan)
    except ValueError as error:
        raise ScenarioError(f"{plan.case.title}: {error}. No plan is computed beyond that range.") from error


def _decide(plan: LandingPlan) -> Decision:
    search = ExitSearch(plan)
    exits = _beyond_touchdown(plan)
    approaches = [(number, search.approach(option, one)) for one in exits for number, option in enumerate(plan.options)]
    plan = _with_usable_exits(plan, approaches)
    needed = tuple(search.needed(one) for one in exits) if plan.options else ()
    all_usable = [_candidate(plan, number, approach) for number, approach in approaches if approach.usable]
    stops = [_candidate(plan, number, None) for number, option in enumerate(plan.options) if option.stopped]
    choice = plan.case.choice
    limits_kept = all(limit.within for limit in plan.limits)

    def kept(found: list[Candidate]) -> list[Candidate]:
        return _distinct(
            plan, [one for one in found if limits_kept and accepted(one, plan.options[one.option], choice)]
        )

    def own(found: list[Candidate]) -> list[Candidate]:
        return [one for one in found if not plan.options[one.option].margin_carried_by_manual]

    # A long way along the runway at the speed of the exit is made where that exit is asked for, or nothing else works.
    rolling = [one for one in all_usable if one.approach is not None and one.approach.means != "exit speed kept"]
    asked = [one for one in all_usable if one.approach is not None and one.approach.exit == choice.exit]
    candidates = [] if choice.exit == "any" else kept(asked)
    exit_made = bool(candidates) or choice.exit == "any"
    if not candidates:
        ways = [found for found in (kept(rolling), kept(all_usable), kept(stops)) if found]
        candidates = next((found for found in ways if own(found)), ways[0] if ways else [])
    # Only among those that no other one beats: where two are nearly equal, the beaten one is never the better answer.
    # A margin that only manual braking carries is second to any of its own.
    best = efficient(candidates)
    trusted = [number for number in best if own([candidates[number]])] or best
    place = choose([candidates[number] for number in trusted], choice.aims)
    chosen = None if place is None else trusted[place]
    if chosen is None:
        reasons = plan.reasons
        if plan.fits:
            reasons = (
                "No plan within the limits of [choice] in the case file; without them: " + plan.reasons[0],
                *plan.reasons[1:],
            )
        unchosen = replace(plan, recommended=None, reasons=reasons)
        return Decision(unchosen, tuple(one for _, one in approaches), needed, (), (), None, exit_made, (), None, None)
    candidate = candidates[chosen]
    option = plan.options[candidate.option]
    approach = candidate.approach
    reasons = tuple(_reasons(plan, candidates, chosen, best, exit_made))
    keys = [key for one in exits for key in exit_speed(plan.case, plan.conditions, one).sources]
    if exits:
        keys.append("horonjeff-occupancy")
    if any(one.holding_distance is None for one in exits):
        keys.append("holding-position-distance")
    facts = tuple(one for one in plan.reasons if one.startswith(("No reverse", "Manual braking only")))
    decided = replace(
        plan,
        recommended=candidate.option,
        reasons=(*reasons, *facts),
        source_keys=tuple(dict.fromkeys((*plan.source_keys, *keys, "touchdown-zone"))),
    )
    return Decision(
        plan=decided,
        approaches=tuple(one for _, one in approaches),
        needed=needed,
        candidates=tuple(candidates),
        efficient=tuple(best),
        chosen=chosen,
        exit_made=exit_made,
        gates=tuple(gates(decided, option, approach)),
        break_points=break_points(decided, option),
        high_setting=_against_high_setting(decided, search, candidate),
    )
