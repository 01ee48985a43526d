"""The runway of a take-off as it is drawn: places from brake release, and where each decision speed is reached."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from groundroll.planning.reject import RejectPlan


def strip_of(plan: RejectPlan) -> dict[str, Any]:
    """Return the strip under the stops: pavement, what is declared, exits, thirds, and the way to each decision speed.

    Every distance is from brake release, after the line-up allowance of a stop, as the stops of the answer are.
    """
    case, conditions = plan.case, plan.rule_run.conditions
    begin = -(conditions.begins_at + conditions.line_up_allowance_stop)
    allowance = conditions.line_up_allowance_stop
    third = conditions.runway_length / 3.0
    threshold = begin + case.direction_data.displaced_threshold
    flown = plan.flown_run
    speeds = [one.decision_speed for one in plan.curve]
    reached = [flown.with_all_engines(flown.conditions.ground_speed(one)).rolled for one in speeds]
    return {
        "designator": case.direction,
        "width_m": case.runway.width,
        "paved_begin_m": begin,
        "paved_end_m": begin + conditions.runway_length,
        "run_end_m": conditions.take_off_run_available - allowance,
        "stop_end_m": conditions.accelerate_stop_available - allowance,
        "clearway_end_m": conditions.take_off_distance_available - allowance,
        "go_offset_m": conditions.line_up_allowance - allowance,
        "thirds": [
            {"code": one.code, "from_m": begin + number * third, "to_m": begin + (number + 1) * third}
            for number, one in enumerate(conditions.thirds)
        ],
        "exits": [
            {"name": one.name, "distance_m": threshold + one.distance, "angle_rad": one.angle, "side": one.side}
            for one in case.direction_data.exits
            if threshold + one.distance > 0.0
        ],
        "decision_speed_mps": speeds,
        "decision_distance_m": reached,
    }
