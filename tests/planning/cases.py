"""Landing cases for tests: a calm day of the standard atmosphere at sea level, changed as asked."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from groundroll.planning.landing import LandingOption, LandingPlan
from groundroll.scenario.model import Aircraft, Dispatch, Failures
from groundroll.scenario.read import read_aircraft, read_case
from groundroll.scenario.resolved import Case, SurfaceThird

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("wet-gusty-arrival", "dry-short", "contaminated-arrival", "failures-and-dispatch", "nothing-fits")

DRY = SurfaceThird(6, "DRY", None, None)
WET = SurfaceThird(5, "WET", None, None)
SNOW = SurfaceThird(4, "COMPACTED SNOW", None, None)
MEDIUM = SurfaceThird(3, "SLIPPERY WET", None, None)
SLUSH = SurfaceThird(2, "SLUSH", 0.006, 1.0)
ICE = SurfaceThird(1, "ICE", None, None)
NIL = SurfaceThird(0, "WET ICE", None, None)


@cache
def example(name: str) -> Case:
    """Return the case of an example."""
    return read_case(EXAMPLES / name / "case.toml")


@cache
def aircraft(name: str) -> Aircraft:
    """Return a demonstration aeroplane."""
    return read_aircraft(EXAMPLES / "aircraft" / f"{name}.toml")


def changed(section: Any, **changes: Any) -> Any:
    """Return a section of a file with values changed, unchecked; `a__b` reaches into a section inside it."""
    nested: dict[str, dict[str, Any]] = {}
    own: dict[str, Any] = {}
    for key, value in changes.items():
        first, _, rest = key.partition("__")
        if rest:
            nested.setdefault(first, {})[rest] = value
        else:
            own[key] = value
    for key, inside in nested.items():
        own[key] = changed(getattr(section, key), **inside)
    return section.model_copy(update=own)


def instant_brakes(name: str = "demo-narrowbody") -> Aircraft:
    """Return an aeroplane whose automatic brakes hold their target from touchdown on: a constant deceleration."""
    brakes = {"spin_up": 0.0, "delay": 0.0, "ramp_rate": math.inf}
    return changed(aircraft(name), **{f"automatic_brakes__{key}": value for key, value in brakes.items()})  # type: ignore[no-any-return]


def standard_case(
    *,
    plane: Aircraft | None = None,
    thirds: tuple[SurfaceThird, SurfaceThird, SurfaceThird] = (WET, WET, WET),
    length: float = 3_000.0,
    available: float | None = None,
    reduced: float | None = None,
    failures: dict[str, Any] | None = None,
    dispatch: dict[str, Any] | None = None,
    direction: dict[str, Any] | None = None,
    weather: dict[str, Any] | None = None,
    landing: dict[str, Any] | None = None,
    surface: str = "smooth",
) -> Case:
    """Return a landing at sea level in the standard atmosphere: 15 degC, 1013.25 hPa, calm, runway level.

    Calibrated and true airspeed and ground speed over the threshold are then one, 70 m/s unless changed.
    """
    base = example("failures-and-dispatch")
    used = {"displaced_threshold": 0.0, "slope": 0.0, "threshold_elevation": 0.0, "true_bearing": 0.0} | (
        direction or {}
    )
    used["landing_distance_available"] = length - used["displaced_threshold"] if available is None else available
    air = {
        "wind_direction": None,
        "wind_variable": False,
        "wind_speed": 0.0,
        "gust_speed": None,
        "arc_from": None,
        "arc_to": None,
        "temperature": 288.15,
        "pressure_setting": 101_325.0,
        "raw": None,
        "remarks": (),
    } | (weather or {})
    touch = {"mass": 60_000.0, "approach_speed": 70.0, "initial_brake_temperature": None} | (landing or {})
    return replace(
        base,
        aircraft=plane or aircraft("demo-narrowbody"),
        runway=changed(base.runway, length=length, surface=surface),
        direction_data=replace(base.direction_data, **used),
        weather=replace(base.weather, **air),
        condition=replace(base.condition, thirds=thirds, reduced_length=reduced, raw=None, remarks=()),
        landing=replace(base.landing, **touch),
        failures=Failures().model_copy(update=failures or {}),
        dispatch=None if dispatch is None else Dispatch.model_construct(**dispatch),
        remarks=(),
    )


def option(plan: LandingPlan, brake: str, reverse: str = "none") -> LandingOption:
    """Return one option of a plan."""
    return next(one for one in plan.options if (one.brake, one.reverse) == (brake, reverse))
