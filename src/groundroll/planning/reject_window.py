"""The window of decision speeds: from which going works, up to which stopping works, and what opens an empty one."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from groundroll.constants import ZERO_CELSIUS
from groundroll.errors import ScenarioError
from groundroll.physics.brake_limits import energy_left
from groundroll.planning.reject_distances import FAR, RuleDistances, lowest_decision_speed, root
from groundroll.planning.reject_roll import TakeOffRun
from groundroll.planning.wording import Wording
from groundroll.scenario.take_off import TakeOffCase

HIGHEST_ENERGY_SHARE = 1.5
"""The brake-energy limit is looked for up to this share of the rotation speed. Assumption of this project."""


SCAN = 8
"""Steps in which a change that opens the window is looked for before it is narrowed down."""


@dataclass(frozen=True)
class Window:
    """Calibrated decision speeds, rule distances against what is declared. [m/s]"""

    searched_from: float
    go_from: float | None
    """Lowest from which going works; None where none does."""
    stop_up_to: float | None
    """Highest up to which stopping works, not above rotation; None where none does."""
    brake_energy_limit: float | None
    """Highest that the brakes can take; None where the file has no limit or it lies beyond the search."""
    minimum_control: float
    """Lowest with an engine failure at or above the minimum control speed."""
    rotation: float
    balanced: float | None
    """Where the stop and the take-off after an engine failure need the same distance."""

    @property
    def low(self) -> float | None:
        """Return the lower end: going works and the aeroplane can be controlled."""
        return None if self.go_from is None else max(self.go_from, self.minimum_control)

    @property
    def high(self) -> float | None:
        """Return the upper end: stopping works, the brakes can take it, and it is not above rotation."""
        if self.stop_up_to is None:
            return None
        limit = math.inf if self.brake_energy_limit is None else self.brake_energy_limit
        return min(self.stop_up_to, limit, self.rotation)

    @property
    def empty(self) -> bool:
        """Return whether no decision speed is left."""
        low, high = self.low, self.high
        return low is None or high is None or low > high + 1e-6


def energy_budget(case: TakeOffCase) -> float | None:
    """Return the energy that one brake may take in this stop; None without a limit in the file. [J]

    What was demonstrated for a rejected take-off, or else the limit for one stop, less the heat that is in the brakes
    already.
    """
    brakes, cooling = case.aircraft.brakes, case.aircraft.brake_cooling
    air = case.weather.temperature
    now = (
        air
        if case.take_off.intent.initial_brake_temperature is None
        else case.take_off.intent.initial_brake_temperature
    )
    if cooling is not None:
        limit, demonstrated_from = cooling.reject_energy_limit, cooling.demonstrated_from
    elif brakes.energy_limit is not None:
        limit, demonstrated_from = brakes.energy_limit, air
    else:
        return None
    return energy_left(now, limit, demonstrated_from, brakes.heat_sink_mass, brakes.heat_sink)


def window_of(distances: RuleDistances, budget: float | None) -> Window:
    """Return the window of decision speeds.

    Parameters
    ----------
    distances
        Stop and go distances over decision speed.
    budget
        Energy that one brake may take; None for no limit. [J]
    """
    run = distances.run
    rotation = run.conditions.rotation_speed
    lowest = lowest_decision_speed(run)

    def stop_excess(speed: float) -> float:
        return min(distances.stop(speed).distance, FAR) - run.stop_available

    def go_excess(speed: float) -> float:
        go = distances.go(speed)
        return max(min(go.distance, FAR) - run.go_available, min(go.run, FAR) - run.run_available)

    def difference(speed: float) -> float:
        return min(distances.stop(speed).distance, FAR) - min(distances.go(speed).engine_failure, FAR)

    stop_up_to: float | None = rotation
    if stop_excess(rotation) > 0.0:
        stop_up_to = root(stop_excess, lowest, rotation) if stop_excess(lowest) <= 0.0 else None
    go_from: float | None = lowest
    if go_excess(lowest) > 0.0:
        go_from = root(go_excess, lowest, rotation) if go_excess(rotation) <= 0.0 else None
    balanced = root(difference, lowest, rotation) if difference(lowest) < 0.0 <= difference(rotation) else None
    return Window(
        searched_from=lowest,
        go_from=go_from,
        stop_up_to=stop_up_to,
        brake_energy_limit=_brake_energy_limit(distances, budget, lowest, rotation),
        minimum_control=_minimum_control(run, lowest),
        rotation=rotation,
        balanced=balanced,
    )


def _brake_energy_limit(distances: RuleDistances, budget: float | None, lowest: float, rotation: float) -> float | None:
    if budget is None:
        return None

    def excess(speed: float) -> float:
        return distances.stop(speed).brake_energy - budget

    if excess(lowest) > 0.0:
        return lowest
    below = lowest
    for share in (1.0, 1.125, 1.25, 1.375, HIGHEST_ENERGY_SHARE):
        try:
            over = excess(share * rotation) > 0.0
        except (ScenarioError, ValueError):  # beyond the thrust table or the speeds of the physics
            return None
        if over:
            return root(excess, below, share * rotation)
        below = share * rotation
    return None


def _minimum_control(run: TakeOffRun, lowest: float) -> float:
    """Return the decision speed whose engine failure lies at the minimum control speed: V_EF >= V_MCG."""
    limit = run.data.minimum_control_speed
    if limit <= lowest:
        return limit
    point = run.fail_engine(run.with_all_engines(run.conditions.ground_speed(limit)))
    if run.data.reject.recognition > 0.0:
        point, _ = run.leg(point, duration=run.data.reject.recognition)
    return max(run.conditions.calibrated(point.ground_speed), limit)


# ------------------------------------------------------------------------------------------ what opens an empty window


def _changed(distances: RuleDistances, **changes: object) -> RuleDistances:
    conditions = replace(distances.run.conditions, **changes)  # type: ignore[arg-type]
    return RuleDistances(replace(distances.run, conditions=conditions, _reached={}, _failures={}), distances.reverse)


def _open(distances: RuleDistances, budget: float | None) -> bool:
    try:
        return not window_of(distances, budget).empty
    except (ScenarioError, ValueError):
        return False


def _lighter(distances: RuleDistances, mass: float) -> RuleDistances:
    """Return the distances at another mass; speeds go with the square root of mass."""
    conditions = distances.run.conditions
    scale = (mass / conditions.mass) ** 0.5
    return _changed(
        distances,
        mass=mass,
        rotation_speed=conditions.rotation_speed * scale,
        safety_speed=conditions.safety_speed * scale,
    )


def openers(case: TakeOffCase, distances: RuleDistances, budget: float | None) -> tuple[str, ...]:
    """Return in words what alone would open an empty window: mass, temperature, flap, runway, full thrust."""
    wording = Wording(case.display)
    conditions = distances.run.conditions
    found: list[str] = []
    least = case.aircraft.mass.minimum
    mass = _edge(lambda value: _open(_lighter(distances, value), budget), conditions.mass, least, 100.0)
    if mass is not None:
        found.append(
            f"mass of {wording.mass(100.0 * math.floor(mass / 100.0))} or less (now {wording.mass(conditions.mass)})"
        )
    coldest = case.aircraft.limits.minimum_temperature
    temperature = _edge(
        lambda value: _open(_changed(distances, temperature=value), budget), conditions.temperature, coldest, 1.0
    )
    if temperature is not None:
        safe_temperature = math.floor(temperature - ZERO_CELSIUS) + ZERO_CELSIUS
        found.append(
            f"air of {wording.temperature(safe_temperature)} or colder (now "
            f"{wording.temperature(conditions.temperature)})"
        )
    for name, flap in case.data.flaps.items():
        if flap == conditions.flap:
            continue
        scale = (conditions.mass / flap.reference_mass) ** 0.5
        other = _changed(
            distances,
            flap=flap,
            rotation_speed=flap.rotation_speed * scale,
            safety_speed=flap.safety_speed * scale,
        )
        if _open(other, budget):
            found.append(f"flap {name} (now {case.take_off.intent.flap})")
    longer = _edge(lambda extra: _open(_lengthened(distances, extra), budget), 0.0, 3_200.0, 5.0)
    if longer is not None:
        found.append(f"{wording.length(10.0 * math.ceil(longer / 10.0))} more runway")
    best = max(case.data.ratings.values())
    reduced = conditions.assumed_temperature is not None or conditions.rating_share < best
    if reduced and _open(_changed(distances, rating_share=best, assumed_temperature=None), budget):
        found.append("full take-off thrust: no derate, no assumed temperature")
    return tuple(found)


def _lengthened(distances: RuleDistances, extra: float) -> RuleDistances:
    """Return the same distances against a longer runway; what is worked out already stays good."""
    conditions = distances.run.conditions
    longer = replace(
        conditions,
        accelerate_stop_available=conditions.accelerate_stop_available + extra,
        take_off_distance_available=conditions.take_off_distance_available + extra,
        take_off_run_available=conditions.take_off_run_available + extra,
    )
    run = replace(distances.run, conditions=longer)
    return RuleDistances(run, distances.reverse, distances._stops, distances._goes)


def _edge(opens: Callable[[float], bool], now: float, end: float, resolution: float) -> float | None:
    """Return the value nearest to ``now`` with an open window, None where none of `SCAN` steps to ``end`` has one.

    A window may shut again further on: a very light aeroplane rotates below its minimum control speed.
    """
    if now == end:
        return None
    shut = now
    for number in range(1, SCAN + 1):
        open_ = now + (end - now) * number / SCAN
        if opens(open_):
            break
        shut = open_
    else:
        return None
    while abs(open_ - shut) > resolution:
        middle = 0.5 * (shut + open_)
        if opens(middle):
            open_ = middle
        else:
            shut = middle
    return open_
