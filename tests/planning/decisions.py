"""Landings for tests of the decision: a plain aeroplane whose rolls can be worked by hand, and cases with exits.

The plain aeroplane has no drag, lift, thrust or rolling resistance: only the wheels slow it, at once, and what is
released rolls on at its speed. Touchdown is at 480.2 m with 67.2 m/s (7 s at the mean of 70 and 67.2 m/s).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from groundroll.planning.decision import Decision, decide
from groundroll.planning.exits import Approach, ExitSearch
from groundroll.planning.landing import LandingPlan, plan_landing
from groundroll.scenario.model import Aircraft, Choice, Exit
from groundroll.scenario.resolved import Case
from tests.planning.cases import DRY, changed, instant_brakes, option, standard_case

TOUCHDOWN = 480.2
TOUCHDOWN_SPEED = 67.2
FULL_PEDAL = 3.0
"""Deceleration of the plain aeroplane at full pedal: brake torque rules. [m/s2]"""


def an_exit(name: str, distance: float, speed: float | None = None, degrees: float = 90.0, **values: Any) -> Exit:
    """Return an exit; ``speed`` in m/s."""
    return Exit.model_construct(
        name=name, distance=distance, angle=math.radians(degrees), allowed_speed=speed, **values
    )


def plain_aircraft() -> Aircraft:
    """Return the plain aeroplane, 60 t: no force but that of its wheels, 3 m/s2 at full pedal, no reverse."""
    plane = instant_brakes()
    nothing = {key: 0.0 for key in type(plane.flaps["full"]).model_fields if "coefficient" in key or "increment" in key}
    table = plane.engines.thrust
    silent = {key: [0.0] * len(table.airspeed) for key in ("idle", "reverse_idle", "reverse_full", "take_off")}
    brakes = plane.brakes
    torque = FULL_PEDAL * 60_000.0 * brakes.rolling_radius / brakes.count
    found: Aircraft = changed(
        plane,
        reverse=None,
        automatic_brakes__release_time=0.0,
        engines=changed(plane.engines, thrust=table.model_copy(update=silent)),
        flaps={name: flap.model_copy(update=nothing) for name, flap in plane.flaps.items()},
        brakes=brakes.model_copy(
            update={"maximum_torque": torque, "pedal_delay": 0.0, "pedal_ramp": 0.0, "rolling_resistance": 0.0}
        ),
    )
    return found


def with_choice(case: Case, **changes: Any) -> Case:
    """Return a case with another [choice]."""
    return replace(case, choice=Choice().model_copy(update=changes))


def plain_case(*exits: Exit, **changes: Any) -> Case:
    """Return a landing of the plain aeroplane on a dry runway of 3000 m."""
    direction = {"exits": exits, **changes.pop("direction", {})}
    values: dict[str, Any] = {"plane": plain_aircraft(), "thirds": (DRY, DRY, DRY), "direction": direction}
    return standard_case(**(values | changes))


def decided(case: Case) -> Decision:
    """Return the decision of a case."""
    return decide(plan_landing(case))


def approach(plan: LandingPlan, brake: str, exit_name: str, reverse: str = "none") -> Approach:
    """Return one approach of a plan."""
    one = next(each for each in plan.case.direction_data.exits if each.name == exit_name)
    return ExitSearch(plan).approach(option(plan, brake, reverse), one)
