"""One landing moment by moment, for charts: the roll of a choice, and its hottest brake afterwards."""

from __future__ import annotations

from dataclasses import replace

from groundroll.physics.brake_cooling import CoolingHistory
from groundroll.physics.rollout import RollResult, simulate
from groundroll.planning.brake_outcome import landing_brake_history
from groundroll.planning.exits import Approach
from groundroll.planning.landing import LandingOption, LandingPlan
from groundroll.planning.landing_roll import landing_roll

HISTORY_STEP = 0.25
"""Longest step of a recorded roll. [s] Assumption of this project: finer than a chart can show."""


def roll_history(plan: LandingPlan, option: LandingOption, approach: Approach | None = None) -> RollResult:
    """Return the roll of an option with its history: to a stop, or as planned to the exit of ``approach``.

    Parameters
    ----------
    plan, option
        The plan and one of its options.
    approach
        How the exit is made; None to hold the brakes to the stop.
    """
    roll = landing_roll(plan.case.aircraft, plan.conditions, option.brake, option.reverse)
    if approach is not None:
        roll = replace(roll, limit_distance=approach.exit_distance, brake_program=tuple(approach.brake_program))
    return simulate(roll, history_step=HISTORY_STEP)


def cooling_history(plan: LandingPlan, option: LandingOption) -> CoolingHistory | None:
    """Return the hottest brake from touchdown on, parked right after the stop; None without data or beyond their range.

    The same run as that behind the peaks and the cooling time of the option.
    """
    case = plan.case
    if option.brake_outcome is None or option.stop_time is None:
        return None
    return landing_brake_history(
        case.aircraft,
        option.brake_energy_per_wheel,
        initial_temperature=case.landing.initial_brake_temperature or case.weather.temperature,
        air_temperature=case.weather.temperature,
        wind_speed=case.weather.wind_speed,
        roll_time=option.stop_time - plan.air_segment.time,
        touchdown_speed=plan.air_segment.touchdown_ground_speed,
    )
