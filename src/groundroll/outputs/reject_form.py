"""A rejected take-off as JSON: SI values with units in their names, sources and cautions with every answer."""

from __future__ import annotations

from typing import Any, Final

from groundroll.outputs.caution import cautions
from groundroll.outputs.json_form import finite, listed_sources
from groundroll.outputs.turn_parts import brake_outcome_json, celsius
from groundroll.planning.reject import Aftermath, CostCase, RejectPlan
from groundroll.scenario.take_off import take_off_inputs

REJECT_FORMAT: Final = 1
"""Format number of the JSON of a rejected take-off."""

CONTEXT: Final = (
    (
        "reject-above-120-knots",
        "About 2 % of rejected take-offs are above 120 kt, yet they account for most overruns.",
    ),
    ("ac-120-62", "Of 74 overruns to 1990, 58 % were begun above the decision speed; 24 % were for an engine."),
)
"""Published statistics, each with the key of its source."""


def reject_json(plan: RejectPlan) -> dict[str, Any]:
    """Return the answer to a take-off case as plain, JSON-ready values; airspeeds are calibrated."""
    case, window, run = plan.case, plan.window, plan.rule_run
    answer = {
        "format": REJECT_FORMAT,
        "kind": "reject",
        "title": case.title,
        "fits": plan.fits,
        "reasons": list(plan.reasons),
        "decision_speed_mps": plan.decision_speed,
        "decision_speed_from": plan.decision_from,
        "engine_failure_speed_mps": plan.engine_failure_speed,
        "rotation_speed_mps": run.conditions.rotation_speed,
        "safety_speed_mps": run.conditions.safety_speed,
        "window": {
            "go_from_mps": window.go_from,
            "stop_up_to_mps": window.stop_up_to,
            "brake_energy_limit_mps": window.brake_energy_limit,
            "minimum_control_mps": window.minimum_control,
            "rotation_mps": window.rotation,
            "balanced_mps": window.balanced,
            "from_mps": None if window.empty else window.low,
            "to_mps": None if window.empty else window.high,
            "searched_from_mps": window.searched_from,
            "empty": window.empty,
            "opened_by": list(plan.openers),
        },
        "accelerate_stop_distance_m": plan.stop.distance,
        "accelerate_stop": {
            "engine_failure_m": plan.stop.engine_failure,
            "all_engines_m": plan.stop.all_engines,
            "dry_m": plan.stop.dry,
            "increment_m": plan.stop.increment,
            "brake_energy_per_wheel_j": plan.stop.brake_energy,
        },
        "accelerate_go_distance_m": plan.go.engine_failure,
        "take_off_distance_m": plan.go.distance,
        "take_off_run_m": plan.go.run,
        "all_engine_take_off_distance_m": plan.go.all_engines,
        "available": {
            "accelerate_stop_m": run.stop_available,
            "take_off_m": run.go_available,
            "take_off_run_m": run.run_available,
        },
        "as_flown": {
            "stop_all_engines_m": plan.flown.stop_all_engines,
            "stop_engine_failure_m": plan.flown.stop_engine_failure,
            "go_all_engines_m": plan.flown.go_all_engines,
            "go_engine_failure_m": plan.flown.go_engine_failure,
        },
        "cases": [_case(one) for one in plan.cases],
        "curve": [
            {
                "decision_speed_mps": one.decision_speed,
                "stop_distance_m": one.stop_distance,
                "go_distance_m": one.go_distance,
                "flown_stop_distance_m": one.flown_stop_distance,
                "flown_go_distance_m": one.flown_go_distance,
            }
            for one in plan.curve
        ],
        "afterwards": None if plan.aftermath is None else _aftermath(plan.aftermath),
        "take_off": {
            "headwind_used_mps": run.conditions.headwind,
            "headwind_as_flown_mps": plan.flown_run.conditions.headwind,
            "greatest_crosswind_mps": plan.wind.greatest_crosswind,
            "thrust_share": run.thrust_share,
            "codes": [third.code for third in run.conditions.thirds],
        },
        "limits": {
            one.name: {
                f"value_{one.unit_suffix}": one.value,
                f"limit_{one.unit_suffix}": one.limit,
                "within": one.within,
            }
            for one in plan.limits
        },
        "context": [{"text": text, "source": key} for key, text in CONTEXT],
        "cautions": [*cautions(invented=case.aircraft.invented), *plan.cautions, *case.remarks],
        "sources": reject_sources(plan),
        "inputs": take_off_inputs(case),
    }
    checked: dict[str, Any] = finite(answer)
    return checked


def _case(one: CostCase) -> dict[str, Any]:
    return {
        "case": one.key,
        "words": one.words,
        "first_action_speed_mps": one.first_action_speed,
        "stop_distance_m": one.stop_distance,
        "added_m": one.added,
        "margin_m": one.margin,
        "fits": one.fits,
        "runway_end_speed_mps": one.runway_end_speed,
        "stop_time_s": one.time,
        "limited_by": one.limited_by,
        "brake_energy_per_wheel_j": one.brake_energy_per_wheel,
        "peak_brake_temperature_c": celsius(one.peak_brake_temperature),
    }


def _aftermath(one: Aftermath) -> dict[str, Any]:
    return {
        "brake_energy_per_wheel_j": one.brake_energy_per_wheel,
        "rule_brake_energy_per_wheel_j": one.rule_brake_energy_per_wheel,
        "brake_energy_limit_j": one.energy_limit,
        "peak_brake_temperature_c": celsius(one.peak_brake_temperature),
        **brake_outcome_json(one.outcome),
        "cooling_time_s": None if one.outcome is None else one.outcome.cooling_time,
        "parking_brake_time_s": one.parking_brake_time,
        "evacuation_time_s": one.evacuation_time,
    }


def reject_sources(plan: RejectPlan) -> list[dict[str, str]]:
    """Return where the numbers come from: document, paragraph and status of each."""
    return listed_sources(plan.source_keys, plan.rule_run.conditions.table, plan.case.aircraft)
