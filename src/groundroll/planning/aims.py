"""Several aims side by side: which choices no other one beats, and which to recommend by the user's order of aims."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from groundroll.planning.exits import Approach
from groundroll.planning.landing import LandingOption
from groundroll.scenario.model import Choice


@dataclass(frozen=True)
class Candidate:
    """An option brought to an exit, or to a stop where the runway has no exit that can be made."""

    option: int
    """Index into the options of the plan."""
    margin: float
    """Landing distance available less factored stop with the brakes held. [m]"""
    brake_energy_per_wheel: float
    brake_temperature: float
    """Peak of the heat sink after the roll to the exit; infinite beyond the range of the heat formula. [K]"""
    brake_wear: float
    """Over that of the reference stop. [-]"""
    runway_time: float
    reverse_fuel: float
    peak_deceleration: float
    taxi_distance: float
    """Zero where the file gives none. [m]"""
    approach: Approach | None


@dataclass(frozen=True)
class Aim:
    """One aim: how it is read off a candidate (less is better), and what counts as nearly equal."""

    name: str
    value: Callable[[Candidate], float]
    nearly: float


AIMS: Final = {
    aim.name: aim
    for aim in (
        Aim("brake energy", lambda one: one.brake_energy_per_wheel, 1e6),
        Aim("brake temperature", lambda one: one.brake_temperature, 15.0),
        Aim("brake wear", lambda one: one.brake_wear, 0.05),
        Aim("runway time", lambda one: one.runway_time, 3.0),
        Aim("margin", lambda one: -one.margin, 50.0),
        Aim("taxi distance", lambda one: one.taxi_distance, 100.0),
        Aim("reverse fuel", lambda one: one.reverse_fuel, 2.0),
        Aim("smoothness", lambda one: one.peak_deceleration, 0.15),
    )
}
"""What counts as nearly equal is an assumption of this project: below it crews would not notice."""


def efficient(candidates: Sequence[Candidate]) -> list[int]:
    """Return the candidates that no other one beats: none is as good in every aim and better in one."""
    values = [[aim.value(one) for aim in AIMS.values()] for one in candidates]

    def beaten(mine: list[float]) -> bool:
        return any(
            all(b <= a for a, b in zip(mine, other, strict=True))
            and any(b < a for a, b in zip(mine, other, strict=True))
            for other in values
        )

    return [number for number, mine in enumerate(values) if not beaten(mine)]


def accepted(one: Candidate, option: LandingOption, choice: Choice) -> bool:
    """Return whether a candidate keeps the user's hard limits."""
    hot = choice.maximum_brake_temperature
    firm = choice.maximum_deceleration
    return (
        option.fits
        and option.reverse in choice.reverse
        and (option.margin_carried_by_manual or one.margin >= choice.minimum_margin)
        and (hot is None or one.brake_temperature <= hot)
        and (firm is None or one.peak_deceleration <= firm)
    )


def choose(candidates: Sequence[Candidate], order: Sequence[str]) -> int | None:
    """Return the candidate that the order of aims picks.

    The first aim keeps those nearly as good as its best, the next aim does the same among these, and so on; what is
    left after the last aim is decided by the first aim.
    """
    left = list(range(len(candidates)))
    for name in order:
        if not left:
            return None
        aim = AIMS[name]
        best = min(aim.value(candidates[number]) for number in left)
        limit = best + aim.nearly if math.isfinite(best) else best
        left = [number for number in left if aim.value(candidates[number]) <= limit]
    return min(left, key=lambda number: AIMS[order[0]].value(candidates[number]), default=None)
