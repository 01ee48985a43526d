"""The brakes of one aeroplane through a day of sectors: one chain of heat, and what it means for each departure."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

from groundroll.errors import ScenarioError
from groundroll.physics.brake_cooling import (
    BrakeTemperatures,
    Peak,
    final_temperatures,
)
from groundroll.physics.brake_heat import kinetic_energy_per_brake
from groundroll.physics.brake_limits import (
    FusePlugState,
    energy_left,
    fuse_plug_state,
    greatest_start_temperature,
)
from groundroll.physics.brake_wear import Wear
from groundroll.physics.rollout import simulate
from groundroll.planning.brake_costs import LandingCost, cost_of_landing, wear_of_landing
from groundroll.planning.brake_outcome import (
    COOLING_SOURCES,
    LATEST_PEAK,
    MEAN_ROLL_SHARE,
    brake_energies,
    last_time_above,
)
from groundroll.planning.day_chain import (
    HISTORY_STEP,
    BrakeRun,
    FlownLandings,
    Setup,
    Stage,
    chain_of_day,
    decision_ground_speed,
    first_temperatures,
    flown_landings,
    ground_air,
    landing_stages,
    parked_stages,
    phases_of,
    run_stages,
    setup_of,
    stage_number,
    states_at,
    taxi_out_stage,
)
from groundroll.planning.landing import LandingOption, LandingPlan
from groundroll.planning.landing_roll import MANUAL, air_segment_of, conditions_of, landing_roll
from groundroll.scenario.day import Day

LONGEST_WAIT: Final = 24.0 * 3600.0
"""Ground times are looked at no further than this. [s] Assumption of this project."""

WAIT_GRID: Final = 600.0
"""Ground times tried before the least one is narrowed down. [s]"""

WAIT_ACCURACY: Final = 1.0
"""[s]"""

BreachKind: TypeAlias = Literal[
    "take_off_temperature", "reject_energy", "landing_energy", "heat_sink_temperature", "fuse_plugs"
]


@dataclass(frozen=True)
class Departure:
    """The brakes as a take-off begins; each value is that of the brake which is worst for it."""

    indicated_temperature: float
    """[K]"""
    heat_sink_temperature: float
    """[K]"""
    wheel_temperature: float
    """[K]"""
    decision_ground_speed: float
    """[m/s]"""
    reject_energy: float
    """Of one brake, in a rejected take-off at the decision speed. [J]"""
    energy_left: float
    """That one brake can still take. [J]"""


@dataclass(frozen=True)
class Arrival:
    """One landing and what it does to the brakes; each value is that of the hottest brake."""

    option: LandingOption
    plan: LandingPlan
    touchdown_temperature: float
    """Heat sink at touchdown. [K]"""
    brake_energy: float
    """[J]"""
    heat_sink: Peak
    """Times of peaks count from the stop. [K, s]"""
    wheel: Peak
    indicated: Peak
    fuse_plugs: FusePlugState
    high_energy: bool
    cooling_time: float | None
    """From the stop to the take-off limit, with the taxi in and the fans of the day; None where never. [s]"""
    fans_off_time: float | None
    """From the stop to the fans-off limit. [s]"""
    wear: Wear | None
    cost: LandingCost | None
    quick_turnaround_mass: float | None
    """Greatest landing mass, up to the maximum, with which the fuse plugs of the standing aeroplane do not come near
    to opening, with these brakes, this choice and this weather; None where not even the least mass does. [kg]"""


@dataclass(frozen=True)
class Change:
    """A change and the least ground time that it brings."""

    text: str
    minimum_ground_time: float | None
    """None where the next departure stays out of reach. [s]"""


@dataclass(frozen=True)
class SectorResult:
    """One sector."""

    name: str
    departure: Departure
    arrival: Arrival
    planned_ground_time: float
    """[s]"""
    minimum_ground_time: float | None
    """Least one after which the next departure, and any later one, keeps its limits; None where there is none within a
    day. After the last sector only the take-off temperature counts. [s]"""
    changes: tuple[Change, ...]
    """What would make it shorter."""


@dataclass(frozen=True)
class Breach:
    """A limit that is broken."""

    sector: int
    kind: BreachKind
    value: float
    """[K] or [J]"""
    limit: float
    """[K] or [J]"""


@dataclass(frozen=True)
class Mend:
    """The shortest way to keep the limit that is broken first."""

    delay: float | None
    """Longer ground time before the sector; None where waiting does not help. [s]"""
    changes: tuple[str, ...]
    """Changes that keep it without delay."""


@dataclass(frozen=True)
class DayResult:
    """The answer to one day."""

    day: Day
    stages: tuple[Stage, ...]
    brakes: tuple[BrakeRun, ...]
    sectors: tuple[SectorResult, ...]
    breaches: tuple[Breach, ...]
    mend: Mend | None
    cautions: tuple[str, ...]
    source_keys: tuple[str, ...]

    @property
    def fits(self) -> bool:
        """Return whether no limit is broken."""
        return not self.breaches

    @property
    def hottest(self) -> BrakeRun:
        """Return the brakes with the highest heat-sink temperature of the day."""
        return max(self.brakes, key=lambda one: one.history.peak("heat_sink").temperature)


def _reject_energies(setup: Setup, number: int) -> tuple[float, ...]:
    """Return the energy of each group of brakes in a rejected take-off at the decision speed. [J]"""
    take_off = setup.day.sectors[number].written.take_off
    working = setup.aircraft.brakes.count - len(setup.day.released_brakes)
    if take_off.reject_energy is not None:
        mean = take_off.reject_energy
    else:
        mean = kinetic_energy_per_brake(take_off.mass, decision_ground_speed(setup.day, number), working)
    energies = brake_energies(setup.aircraft, mean * working, setup.day.released_brakes)
    return tuple(energies[group[0]] for group in setup.groups)


def _energy_left(setup: Setup, heat_sink: float) -> float:
    cooling = setup.cooling
    return energy_left(
        heat_sink,
        cooling.reject_energy_limit,
        cooling.demonstrated_from,
        setup.model.heat_sink_mass,
        setup.model.material,
    )


def _departure(setup: Setup, number: int, at: Sequence[BrakeTemperatures]) -> Departure:
    needed = _reject_energies(setup, number)
    left = [_energy_left(setup, one.heat_sink) for one in at]
    working = [place for place, energy in enumerate(needed) if energy > 0.0]
    worst = min(working, key=lambda place: left[place] - needed[place])
    return Departure(
        indicated_temperature=max(one.indicated for one in at),
        heat_sink_temperature=max(one.heat_sink for one in at),
        wheel_temperature=max(one.wheel for one in at),
        decision_ground_speed=decision_ground_speed(setup.day, number),
        reject_energy=needed[worst],
        energy_left=left[worst],
    )


def _hottest_starts(setup: Setup, number: int) -> list[float]:
    """Return for each group of brakes the hottest heat sink with which a take-off may be rejected; below 0 where none.

    The limits of `_departure`, solved for the temperature once, so that many moments can be tried.
    """
    cooling, found = setup.cooling, []
    for needed in _reject_energies(setup, number):
        try:
            hottest = greatest_start_temperature(
                needed,
                cooling.reject_energy_limit,
                cooling.demonstrated_from,
                setup.model.heat_sink_mass,
                setup.model.material,
            )
        except ValueError:  # hotter than the formula of the specific heat reaches, where no brake can be
            hottest = math.inf
        found.append(-1.0 if hottest is None else hottest)
    return found


def _least_wait(may_depart_after: Callable[[Sequence[float]], list[bool]]) -> float | None:
    """Return the least wait from which on every departure keeps its limits; None where there is none within a day."""
    grid = [WAIT_GRID * count for count in range(int(LONGEST_WAIT / WAIT_GRID) + 1)]
    allowed = may_depart_after(grid)
    failing = [place for place, good in enumerate(allowed) if not good]
    if not failing:
        return 0.0
    if failing[-1] == len(grid) - 1:
        return None
    low, high = grid[failing[-1]], grid[failing[-1] + 1]
    while high - low > WAIT_ACCURACY:
        middle = 0.5 * (low + high)
        if may_depart_after([middle])[0]:
            high = middle
        else:
            low = middle
    return high


def _minimum_wait(
    setup: Setup,
    before: Sequence[Stage],
    parked: Sequence[Stage],
    starts: Sequence[BrakeTemperatures],
    taxi_out: Stage | None,
    number: int | None,
) -> float | None:
    """Return the least time in ``parked`` so that after ``taxi_out`` the departure of sector ``number`` may begin."""
    runs = run_stages(setup, [*before, *parked], starts, step=2.0 * HISTORY_STEP)
    begun = [float(run.history.time[run.history.phase == len(before)][0]) for run in runs]
    limit = setup.cooling.take_off_limit
    hottest = [math.inf] * len(runs) if number is None else _hottest_starts(setup, number)

    def may_depart_after(waits: Sequence[float]) -> list[bool]:
        reached: list[list[BrakeTemperatures]] = []
        for run, since in zip(runs, begun, strict=True):
            moments = [min(since + wait, float(run.history.time[-1])) for wait in waits]
            nodes = [run.history.at(moments, node) for node in ("heat_sink", "wheel", "indicated")]
            states = [BrakeTemperatures(float(a), float(b), float(c)) for a, b, c in zip(*nodes, strict=True)]
            if taxi_out is not None:
                phases = phases_of(setup, [taxi_out], run.numbers[0])
                states = final_temperatures(setup.model, states, [phases] * len(states))
            reached.append(states)
        return [
            all(
                one[place].indicated <= limit and one[place].heat_sink <= hot
                for one, hot in zip(reached, hottest, strict=True)
            )
            for place in range(len(waits))
        ]

    return _least_wait(may_depart_after)


def _minimum_ground_time(
    setup: Setup,
    number: int,
    option: LandingOption,
    touchdown: Sequence[BrakeTemperatures],
    *,
    fans: bool,
    fans_start: float,
    fewer: float = 1.0,
) -> float | None:
    day = setup.day
    following = number + 1 if number + 1 < len(day.sectors) else None
    return _minimum_wait(
        setup,
        landing_stages(day, number, option, fewer=fewer),
        parked_stages(day, number, LONGEST_WAIT, fans, fans_start),
        touchdown,
        None if following is None else taxi_out_stage(day, following, fewer=fewer),
        following,
    )


def _choice(option: LandingOption) -> str:
    brakes = "manual braking" if option.brake == MANUAL else f"setting {option.brake}"
    return f"{brakes}, no reverse" if option.reverse == "none" else f"{brakes}, {option.reverse} reverse"


def _changes(
    setup: Setup,
    number: int,
    plan: LandingPlan,
    option: LandingOption,
    touchdown: Sequence[BrakeTemperatures],
    least: float | None,
) -> tuple[Change, ...]:
    """Return what would shorten the ground time, the shortest first."""
    ground = setup.day.sectors[number].written.ground
    if least == 0.0:
        return ()

    def wait(choice: LandingOption, *, fans: bool, fans_start: float, fewer: float = 1.0) -> float | None:
        return _minimum_ground_time(setup, number, choice, touchdown, fans=fans, fans_start=fans_start, fewer=fewer)

    found: list[Change] = []
    fitted = setup.cooling.fan_coefficient is not None
    if fitted and not (ground.fans and ground.fans_start == 0.0):
        text = "brake fans on as soon as parked"
        found.append(Change(text, wait(option, fans=True, fans_start=0.0)))
    fewer = wait(option, fans=ground.fans, fans_start=ground.fans_start, fewer=0.5)
    found.append(Change("half the brake applications while taxiing", fewer))
    fitting = [one for one in plan.options if one.fits and one.stop_time is not None]
    order = {"none": 0, "idle": 1, "full": 2}
    more = [one for one in fitting if one.brake == option.brake and order[one.reverse] > order[option.reverse]]
    gentlest = min(fitting, key=lambda one: one.brake_energy_per_wheel, default=option)
    others = [more[-1]] if more else []
    if gentlest.brake_energy_per_wheel < option.brake_energy_per_wheel and gentlest not in others:
        others.append(gentlest)
    found += [
        Change(f"landing with {_choice(one)}", wait(one, fans=ground.fans, fans_start=ground.fans_start))
        for one in others
    ]
    longest = LONGEST_WAIT + 1.0
    shorter = [one for one in found if (one.minimum_ground_time or 0.0) < (least or longest) - WAIT_ACCURACY]
    shorter = [one for one in shorter if one.minimum_ground_time is not None]
    return tuple(sorted(shorter, key=lambda one: one.minimum_ground_time or 0.0))


def _hottest(runs: Sequence[BrakeRun], node: Literal["heat_sink", "wheel", "indicated"], since: float) -> Peak:
    """Return the highest temperature of all brakes, with its time counted from ``since``."""
    peak = max((run.history.peak(node) for run in runs), key=lambda one: one.temperature)
    return Peak(peak.temperature, max(peak.time - since, 0.0))


def _longest(times: Sequence[float | None]) -> float | None:
    known = [one for one in times if one is not None]
    return max(known) if len(known) == len(times) else None


def _arrival(setup: Setup, number: int, plans: FlownLandings, touchdown: Sequence[BrakeTemperatures]) -> Arrival:
    """Return what a landing does when the aeroplane then stays parked."""
    day, cooling, option = setup.day, setup.cooling, plans.options[number]
    ground = day.sectors[number].written.ground
    before = landing_stages(day, number, option)
    runs = run_stages(
        setup, [*before, *parked_stages(day, number, LONGEST_WAIT, ground.fans, ground.fans_start)], touchdown
    )
    stop = before[0].duration
    air, _ = ground_air(day, number)
    heat_sink, wheel = _hottest(runs, "heat_sink", stop), _hottest(runs, "wheel", stop)
    plugs = fuse_plug_state(wheel.temperature, cooling.fuse_plug_near, cooling.fuse_plug_release)
    working = day.aircraft.brakes.count - len(day.released_brakes)
    energies = brake_energies(day.aircraft, option.brake_energy_per_wheel * working, day.released_brakes)
    limits = day.aircraft.brakes
    high = plugs != "none" or (
        limits.temperature_limit is not None and heat_sink.temperature > limits.temperature_limit
    )
    high |= limits.energy_limit is not None and max(energies) >= cooling.high_energy_share * limits.energy_limit
    wear = wear_of_landing(day.aircraft, option.brake_energy_per_wheel, heat_sink.temperature)
    fans_off = None
    if cooling.fans_off_limit is not None:
        limit = cooling.fans_off_limit
        fans_off = _longest([last_time_above(run.history, limit, stop, air) for run in runs])
    return Arrival(
        option=option,
        plan=plans.plans[number],
        touchdown_temperature=max(one.heat_sink for one in touchdown),
        brake_energy=max(energies),
        heat_sink=heat_sink,
        wheel=wheel,
        indicated=_hottest(runs, "indicated", stop),
        fuse_plugs=plugs,
        high_energy=high,
        cooling_time=_longest([last_time_above(run.history, cooling.take_off_limit, stop, air) for run in runs]),
        fans_off_time=fans_off,
        wear=wear,
        cost=cost_of_landing(
            day.aircraft,
            wear,
            energy_per_brake=option.brake_energy_per_wheel,
            reverse_fuel=option.reverse_fuel,
            runway_time=option.stop_time,
            working_brakes=working,
        ),
        quick_turnaround_mass=_quick_turnaround_mass(setup, number, option, touchdown),
    )


def _quick_turnaround_mass(
    setup: Setup, number: int, option: LandingOption, touchdown: Sequence[BrakeTemperatures]
) -> float | None:
    """Return the greatest landing mass after which the plugs of the standing aeroplane do not come near to opening.

    The approach speed follows the mass with the same additive; fans do not count.
    """
    day, limits = setup.day, setup.aircraft.mass
    case = day.sectors[number].case
    flap, written = case.landing.flap_data, conditions_of(case)
    additive = written.approach_speed - flap.reference_speed_at(written.mass)
    working = day.aircraft.brakes.count - len(day.released_brakes)
    temperature, wind = ground_air(day, number)
    wind_share = setup.cooling.parked_wind_share

    def stays_cool(mass: float) -> bool:
        conditions = replace(written, mass=mass, approach_speed=flap.reference_speed_at(mass) + additive)
        segment = air_segment_of(conditions)
        result = simulate(landing_roll(day.aircraft, conditions, option.brake, option.reverse))
        if not result.stopped:
            return False
        speed = MEAN_ROLL_SHARE * segment.touchdown_ground_speed
        stages = [
            Stage("landing roll", number, result.time, case.weather.temperature, speed, result.brake_work),
            Stage("parked", number, LATEST_PEAK, temperature, wind_share * wind),
        ]
        try:
            runs = run_stages(setup, stages, touchdown, step=2.0 * HISTORY_STEP)
        except ValueError:  # beyond the range of the specific heat: far too hot
            return False
        return _hottest(runs, "wheel", 0.0).temperature < setup.cooling.fuse_plug_near

    assert working > 0
    low, high = limits.minimum, limits.maximum_landing
    if stays_cool(high):
        return high
    if not stays_cool(low):
        return None
    while high - low > 10.0:
        middle = 0.5 * (low + high)
        if stays_cool(middle):
            low = middle
        else:
            high = middle
    return low


def _breaches(
    setup: Setup, options: Sequence[LandingOption], stages: Sequence[Stage], runs: Sequence[BrakeRun]
) -> list[Breach]:
    """Return every limit that is broken, in the order of the day; fuse plugs open once."""
    cooling, brakes, day = setup.cooling, setup.aircraft.brakes, setup.day
    working = brakes.count - len(day.released_brakes)
    found: list[Breach] = []
    for number, option in enumerate(options):
        departure = _departure(setup, number, states_at(runs, stage_number(stages, number, "take-off roll")))
        if departure.indicated_temperature > cooling.take_off_limit:
            value = departure.indicated_temperature
            found.append(Breach(number, "take_off_temperature", value, cooling.take_off_limit))
        if departure.reject_energy > departure.energy_left:
            found.append(Breach(number, "reject_energy", departure.reject_energy, departure.energy_left))
        energy = max(brake_energies(setup.aircraft, option.brake_energy_per_wheel * working, day.released_brakes))
        if brakes.energy_limit is not None and energy > brakes.energy_limit:
            found.append(Breach(number, "landing_energy", energy, brakes.energy_limit))
        # Heat of a landing belongs to it until the next one: the wheel may become hottest in the taxi out that follows.
        first = 0 if number == 0 else stage_number(stages, number, "landing roll")
        following = number + 1 < len(options)
        last = stage_number(stages, number + 1, "landing roll") - 1 if following else len(stages) - 1
        hot, wheel = (
            max(run.history.peak(node, first_phase=first, last_phase=last).temperature for run in runs)
            for node in ("heat_sink", "wheel")
        )
        if brakes.temperature_limit is not None and hot > brakes.temperature_limit:
            found.append(Breach(number, "heat_sink_temperature", hot, brakes.temperature_limit))
        already_open = any(one.kind == "fuse_plugs" for one in found)
        if wheel >= cooling.fuse_plug_release and not already_open:
            found.append(Breach(number, "fuse_plugs", wheel, cooling.fuse_plug_release))
    return found


def _mend(setup: Setup, plans: FlownLandings, breach: Breach, sectors: Sequence[SectorResult]) -> Mend:
    """Return the shortest delay, and the changes without one, that keep the limit which is broken first."""
    number = breach.sector

    def kept(options: Sequence[LandingOption], delays: Mapping[int, float]) -> bool:
        stages, runs = chain_of_day(setup, options, delays)
        return all(one.sector > number for one in _breaches(setup, options, stages, runs))

    if breach.kind in ("take_off_temperature", "reject_energy"):
        if number == 0:
            temperature, wind = ground_air(setup.day, -1)
            air_speed = setup.cooling.parked_wind_share * wind
            parked = [Stage("parked", 0, LONGEST_WAIT, temperature, air_speed)]
            taxi = taxi_out_stage(setup.day, 0)
            return Mend(_minimum_wait(setup, [], parked, first_temperatures(setup), taxi, 0), ())
        before = sectors[number - 1]
        least, planned = before.minimum_ground_time, before.planned_ground_time
        quick = [
            f"{one.text}, after {before.name}"
            for one in before.changes
            if one.minimum_ground_time is not None and one.minimum_ground_time <= planned
        ]
        return Mend(None if least is None else max(least - planned, 0.0), tuple(quick))
    fitting = [one for one in plans.plans[number].options if one.fits and one.stop_time is not None]
    fitting = [one for one in fitting if one != plans.options[number]]
    changes = []
    for one in sorted(fitting, key=lambda other: -other.brake_energy_per_wheel):
        options = list(plans.options)
        options[number] = one
        if kept(options, {}):
            changes.append(f"landing of {setup.day.sectors[number].written.name} with {_choice(one)}")
    delay = None
    if breach.kind != "landing_energy":
        low, high = 0.0, LONGEST_WAIT
        if kept(plans.options, {number - 1: high}):
            while high - low > 60.0:
                middle = 0.5 * (low + high)
                if kept(plans.options, {number - 1: middle}):
                    high = middle
                else:
                    low = middle
            delay = high
    return Mend(delay, tuple(changes))


AFTER_HIGH_ENERGY: Final = (
    "After a stop of high energy: certification shows that the parking brake holds for 3 min, and that nothing "
    "endangers an evacuation for 5 min after it is set (14 CFR 25.735(g)); beyond that nothing has been shown. Chock "
    "the wheels, then release the parking brake, so that hot discs do not stay pressed together.",
    "Have the fire services look at the wheels before anybody comes near. People approach from ahead or from behind, "
    "never from the side of the wheels, where parts of a bursting wheel fly.",
    "Unless there is fire: no water, no extinguishing agent and no fan on the wheels in the first 5 min. The wheel "
    "becomes hottest many minutes after the stop. The brakes are inspected before the next departure.",
)
"""In our words; the times are those of 14 CFR 25.735(g), the rest is common practice, no source."""


def _cautions(day: Day, sectors: Sequence[SectorResult]) -> list[str]:
    cautions = []
    high = [one.name for one in sectors if one.arrival.high_energy]
    if high:
        cautions.append(f"High brake energy or hot wheels after: {', '.join(high)}.")
        cautions += AFTER_HIGH_ENERGY
    for sector, result in zip(day.sectors, sectors, strict=True):
        ground = sector.written.ground
        if result.arrival.high_energy and ground.fans and ground.fans_start + sector.written.taxi_in.time < 300.0:
            cautions.append(f"{result.name}: the fans start within 5 min of a stop of high energy.")
        if result.arrival.fuse_plugs == "released":
            cautions.append(f"{result.name}: fuse plugs open; without new tyres there is no further sector.")
        elif result.arrival.fuse_plugs == "near":
            cautions.append(f"{result.name}: the wheels come near to the opening of the fuse plugs; have them checked.")
        if not result.arrival.option.fits:
            cautions.append(f"{result.name}: the landing as chosen does not fit with its margin.")
    return cautions


def plan_day(day: Day) -> DayResult:
    """Return the temperatures of the brakes through a day, what breaks a limit first, and what mends it.

    Raises
    ------
    ScenarioError
        If a landing of the day has no answer, or the day lies outside the range of the physics.
    """
    try:
        return _plan_day(day)
    except ValueError as error:
        raise ScenarioError(f"{day.title}: {error}. No day is computed beyond that range.") from error


def _plan_day(day: Day) -> DayResult:
    setup, plans = setup_of(day), flown_landings(day)
    stages, runs = chain_of_day(setup, plans.options, {})
    sectors = []
    for number, sector in enumerate(day.sectors):
        touchdown = states_at(runs, stage_number(stages, number, "landing roll"))
        ground, option = sector.written.ground, plans.options[number]
        least = _minimum_ground_time(setup, number, option, touchdown, fans=ground.fans, fans_start=ground.fans_start)
        sectors.append(
            SectorResult(
                name=sector.written.name,
                departure=_departure(setup, number, states_at(runs, stage_number(stages, number, "take-off roll"))),
                arrival=_arrival(setup, number, plans, touchdown),
                planned_ground_time=ground.time,
                minimum_ground_time=least,
                changes=_changes(setup, number, plans.plans[number], option, touchdown, least),
            )
        )
    breaches = _breaches(setup, plans.options, stages, runs)
    return DayResult(
        day=day,
        stages=tuple(stages),
        brakes=runs,
        sectors=tuple(sectors),
        breaches=tuple(breaches),
        mend=_mend(setup, plans, breaches[0], sectors) if breaches else None,
        cautions=tuple(_cautions(day, sectors)),
        source_keys=_source_keys(day, sectors),
    )


def _source_keys(day: Day, sectors: Sequence[SectorResult]) -> tuple[str, ...]:
    material = "butland-maddison-1973" if day.aircraft.brakes.heat_sink == "carbon" else "en-1993-1-2-specific-heat"
    keys = [*COOLING_SOURCES, material]
    if any(one.written.take_off.reject_energy is None for one in day.sectors):
        keys.append("reject-energy-by-kinetic-energy")
    if day.aircraft.brake_wear is not None:
        keys.append("brake-wear-shape")
    if any(one.arrival.high_energy for one in sectors):
        keys += ["cfr-25-735-g", "no-cooling-within-five-minutes"]
    for one in sectors:
        keys += one.arrival.plan.source_keys
    return tuple(dict.fromkeys(keys))


def chain_temperatures(day: Day) -> tuple[tuple[Stage, ...], tuple[BrakeRun, ...]]:
    """Return stages and temperatures of a day alone, without the questions about limits.

    Raises
    ------
    ScenarioError
        As `plan_day`.
    """
    stages, runs = chain_of_day(setup_of(day), flown_landings(day).options, {})
    return tuple(stages), runs
