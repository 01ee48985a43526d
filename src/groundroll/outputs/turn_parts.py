"""Parts of the JSON on brakes that the landing plan and the day of sectors share."""

from __future__ import annotations

from typing import Any

from groundroll.constants import ZERO_CELSIUS
from groundroll.physics.brake_wear import Wear
from groundroll.planning.brake_costs import LandingCost
from groundroll.planning.brake_outcome import BrakeOutcome


def celsius(temperature: float | None) -> float | None:
    """Return degrees Celsius of a temperature that may be missing."""
    return None if temperature is None else temperature - ZERO_CELSIUS


def brake_outcome_json(outcome: BrakeOutcome | None) -> dict[str, Any]:
    """Return peaks and fuse plugs after one landing; times from the stop."""
    return {
        "peak_wheel_temperature_c": None if outcome is None else celsius(outcome.peak_wheel_temperature),
        "peak_wheel_time_s": None if outcome is None else outcome.peak_wheel_time,
        "fuse_plugs": None if outcome is None else outcome.fuse_plugs,
    }


def wear_json(wear: Wear | None) -> dict[str, float] | None:
    """Return wear over the reference stop with its range."""
    return None if wear is None else {"value": wear.relative, "least": wear.least, "greatest": wear.greatest}


def cost_json(cost: LandingCost | None) -> dict[str, Any] | None:
    """Return the cost of a landing by its parts."""
    if cost is None:
        return None
    return {
        "currency": cost.currency,
        "brakes": cost.brakes,
        "tyres": cost.tyres,
        "reverse_fuel": cost.reverse_fuel,
        "runway_time": cost.runway_time,
        "total": cost.total,
        "least": cost.least,
        "greatest": cost.greatest,
    }
