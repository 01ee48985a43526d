"""What of an aircraft file a table can determine: where each number stands, how far it may move, how sure it was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from groundroll.planning.fit.table import PublishedRow
from groundroll.planning.landing_roll import AIR_TIME, MANUAL
from groundroll.scenario.model import Aircraft, Section


@dataclass(frozen=True)
class Parameter:
    """One number that may be fitted, as the aircraft file names it."""

    key: str
    """Dotted key; a list of thrust is scaled as a whole."""
    unit: str
    """Unit written in the file, SI; an empty text for a plain number."""
    start: float
    """Value in the starting file, 1 for a list. [SI]"""
    spread: float
    """Standard deviation around the start, before the table is seen. [SI]"""
    lower: float
    upper: float
    scale: bool = False
    """True where the value is a factor on a list."""


SPREADS: Final[dict[str, tuple[float, float]]] = {
    "certified_dry_coefficient": (0.12, 0.0),
    "maximum_torque": (0.20, 0.0),
    "lift_coefficient_deployed": (0.0, 0.04),
    "drag_coefficient_deployed": (0.15, 0.0),
    "pedal_delay": (0.0, 0.5),
    "air_time": (0.0, 1.0),
    "delay": (0.0, 0.3),
    "settings": (0.10, 0.0),
    "thrust": (0.15, 0.0),
    "take_off": (0.05, 0.0),
}
"""Standard deviation before the table is seen: share of the start, and absolute [SI]. Assumptions of this project."""

REACH: Final = 4.0
"""Bounds lie this many standard deviations from the start, within what the aircraft file allows."""


def parameters_of(aircraft: Aircraft, rows: Sequence[PublishedRow]) -> tuple[Parameter, ...]:
    """Return the numbers on which at least one row depends."""
    landings = [one for one in rows if one.kind == "landing"]
    stops = [one for one in rows if one.kind == "accelerate-stop"]
    automatic = {one.brake for one in landings} - {MANUAL}
    # By the rule a stop is never shorter than on a dry runway, where reverse does not count.
    dry = any(one.code == 6 for one in rows) or any(one.event == "rule" for one in stops)
    reverses = {one.reverse for one in landings} | {one.reverse for one in stops if one.code != 6}
    brakes = aircraft.brakes
    found = []
    if dry:
        found.append(_parameter("brakes.certified_dry_coefficient", "", brakes.certified_dry_coefficient, 0.1, 0.8))
    found.append(_parameter("brakes.maximum_torque", "N m", brakes.maximum_torque, 100.0, 200_000.0))
    for flap in sorted({one.flap for one in landings}):
        data = aircraft.flaps[flap]
        lift, drag = data.lift_coefficient_deployed, data.drag_coefficient_deployed
        found.append(_parameter(f"flaps.{flap}.lift_coefficient_deployed", "", lift, -1.0, 3.0))
        found.append(_parameter(f"flaps.{flap}.drag_coefficient_deployed", "", drag, 0.01, 1.0))
    if any(one.contains == "whole" and one.air_distance is None for one in landings):
        found.append(_parameter("air_time", "s", aircraft.air_time or AIR_TIME, 2.0, 20.0))
    if any(one.brake == MANUAL for one in landings):
        found.append(_parameter("brakes.pedal_delay", "s", brakes.pedal_delay, 0.0, 60.0))
    if aircraft.automatic_brakes is not None and automatic:
        found.append(_parameter("automatic_brakes.delay", "s", aircraft.automatic_brakes.delay, 0.0, 60.0))
        for name, target in aircraft.automatic_brakes.settings.items():
            if name in automatic:
                found.append(_parameter(f"automatic_brakes.settings.{name}", "m/s2", target, 0.1, 10.0))
    if "full" in reverses:
        found.append(_parameter("engines.thrust.reverse_full", "N", 1.0, 0.1, 3.0, scale=True))
    if "idle" in reverses:
        found.append(_parameter("engines.thrust.reverse_idle", "N", 1.0, 0.1, 3.0, scale=True))
    if stops and aircraft.take_off is not None:
        found.append(_parameter("engines.thrust.take_off", "N", 1.0, 0.3, 2.0, scale=True))
        for flap in sorted({one.flap for one in stops}):
            take_off = aircraft.take_off.flaps[flap]
            lift, drag = take_off.lift_coefficient_deployed, take_off.drag_coefficient_deployed
            found.append(_parameter(f"take_off.flaps.{flap}.lift_coefficient_deployed", "", lift, -1.0, 3.0))
            found.append(_parameter(f"take_off.flaps.{flap}.drag_coefficient_deployed", "", drag, 0.01, 1.0))
    return tuple(found)


def _parameter(key: str, unit: str, start: float, lower: float, upper: float, *, scale: bool = False) -> Parameter:
    parts = key.split(".")
    word = parts[-1]
    if scale and word != "take_off":
        word = "thrust"
    elif "settings" in parts:
        word = "settings"
    share, absolute = SPREADS[word]
    spread = share * abs(start) + absolute
    return Parameter(
        key, unit, start, spread, max(lower, start - REACH * spread), min(upper, start + REACH * spread), scale
    )


def value_at(aircraft: Aircraft, key: str) -> Any:
    """Return what stands at a dotted key."""
    found: Any = aircraft
    for part in key.split("."):
        found = found[part] if isinstance(found, dict) else getattr(found, part)
    return found


def with_values(aircraft: Aircraft, parameters: Sequence[Parameter], values: Sequence[float]) -> Aircraft:
    """Return the aeroplane with the values in place; bounds have kept them within what the file allows."""
    changed: Any = aircraft
    for one, value in zip(parameters, values, strict=True):
        new = [value * force for force in value_at(aircraft, one.key)] if one.scale else float(value)
        changed = _with(changed, one.key.split("."), new)
    result: Aircraft = changed
    return result


def _with(section: Any, parts: list[str], value: Any) -> Any:
    inside = section[parts[0]] if isinstance(section, dict) else getattr(section, parts[0])
    new = value if len(parts) == 1 else _with(inside, parts[1:], value)
    if isinstance(section, Section):
        return section.model_copy(update={parts[0]: new})
    return {**section, parts[0]: new}
