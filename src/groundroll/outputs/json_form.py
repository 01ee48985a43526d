"""Results as JSON: SI values with units in their names, sources and cautions with every answer."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from typing import Any, Final

from groundroll.constants import ZERO_CELSIUS
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.outputs.decision_form import decision_json
from groundroll.outputs.turn_parts import brake_outcome_json, cost_json, wear_json
from groundroll.physics.braking import BrakingTable, braking_table
from groundroll.physics.sources import Source, source
from groundroll.planning.decision import Decision
from groundroll.planning.dispatch import DispatchCheck
from groundroll.planning.landing import ExitPassage, LandingOption, LandingPlan
from groundroll.scenario.model import Aircraft
from groundroll.scenario.resolved import resolved_inputs

LAND_FORMAT: Final = 1
"""Format number of the JSON of a landing plan."""


def land_json(plan: LandingPlan, decision: Decision | None = None) -> dict[str, Any]:
    """Return the landing plan as plain, JSON-ready values; with a decision, that too, under its own key."""
    plan = plan if decision is None else decision.plan
    conditions = plan.conditions
    answer = {
        "format": LAND_FORMAT,
        "kind": "land",
        "title": plan.case.title,
        "options": [_option(one) for one in plan.options],
        "recommended": plan.recommended,
        "reasons": list(plan.reasons),
        "landing": {
            "threshold_ground_speed_mps": plan.threshold_ground_speed,
            "touchdown_ground_speed_mps": plan.air_segment.touchdown_ground_speed,
            "air_distance_m": plan.air_segment.distance,
            "air_time_s": plan.air_segment.time,
            "headwind_used_mps": conditions.headwind,
            "headwind_mps": plan.wind.headwind,
            "least_headwind_mps": plan.wind.least_headwind,
            "greatest_crosswind_mps": plan.wind.greatest_crosswind,
            "landing_distance_available_m": conditions.landing_distance_available,
            "codes": [third.code for third in conditions.thirds],
        },
        "decision": None if decision is None else decision_json(decision),
        "limits": {
            one.name: {
                f"value_{one.unit_suffix}": one.value,
                f"limit_{one.unit_suffix}": one.limit,
                "within": one.within,
            }
            for one in plan.limits
        },
        "dispatch": [_dispatch(one) for one in plan.dispatch],
        "cautions": [CAUTION, *([INVENTED] if plan.case.aircraft.invented else []), *plan.cautions, *plan.case.remarks],
        "sources": sources_json(plan),
        "inputs": resolved_inputs(plan.case),
    }
    checked: dict[str, Any] = finite(answer)
    return checked


def _option(one: LandingOption) -> dict[str, Any]:
    temperature = one.peak_brake_temperature
    return {
        "brake": one.brake,
        "reverse": one.reverse,
        "air_distance_m": one.air_distance,
        "transition_distance_m": one.transition_distance,
        "braked_distance_m": one.braked_distance,
        "stop_distance_m": one.stop_distance,
        "factored_distance_m": one.factored_distance,
        "margin_m": one.margin,
        "fits": one.fits,
        "margin_carried_by_manual": one.margin_carried_by_manual,
        "runway_end_speed_mps": one.runway_end_speed,
        "stop_time_s": one.stop_time,
        "mean_deceleration_mps2": one.mean_deceleration,
        "peak_deceleration_mps2": one.peak_deceleration,
        "target_deceleration_mps2": one.target_deceleration,
        "target_held": one.target_held,
        "limited_by": one.limited_by,
        "brake_energy_per_wheel_j": one.brake_energy_per_wheel,
        "peak_brake_temperature_c": None if temperature is None else temperature - ZERO_CELSIUS,
        "cooling_time_s": one.cooling_time,
        **brake_outcome_json(one.brake_outcome),
        "relative_wear": wear_json(one.wear),
        "cost": cost_json(one.cost),
        "reverse_fuel_kg": one.reverse_fuel,
        "exits": [_exit(passage) for passage in one.exits],
        "events": [
            {
                "name": event.name,
                "time_after_touchdown_s": event.time,
                "distance_m": event.distance,
                "ground_speed_mps": event.ground_speed,
            }
            for event in one.events
        ],
    }


def _exit(passage: ExitPassage) -> dict[str, Any]:
    return {
        "name": passage.name,
        "distance_m": passage.distance,
        "arrival_speed_mps": passage.arrival_speed,
        "allowed_speed_mps": passage.allowed_speed,
        "allowed_from": passage.allowed_from,
        "usable": passage.usable,
        "time_s": passage.time,
    }


def _dispatch(check: DispatchCheck) -> dict[str, Any]:
    return {
        "rule": check.rule,
        "certified_distance_m": check.certified_distance,
        "factor": check.factor,
        "required_distance_m": check.required_distance,
        "available_m": check.available,
        "fits": check.fits,
    }


def sources_json(plan: LandingPlan) -> list[dict[str, str]]:
    """Return where the numbers of a plan come from: document, paragraph and status of each."""
    return listed_sources(plan.source_keys, plan.conditions.table, plan.case.aircraft)


def source_entry(key: str, found: Source) -> dict[str, str]:
    """Return one source as JSON."""
    entry = {"key": key, "document": found.document, "paragraph": found.paragraph, "status": found.status}
    return entry | ({"note": found.note} if found.note else {})


def listed_sources(keys: Iterable[str], table: BrakingTable | None, aircraft: Aircraft) -> list[dict[str, str]]:
    """Return the sources of ``keys``, those of the user's own braking table first looked up there, and the aircraft."""
    own = (table or braking_table()).own_sources
    status = "assumption of this project" if aircraft.invented else "the user's file"
    document = f"aircraft file {aircraft.name}"
    last = {"key": "aircraft", "document": document, "paragraph": aircraft.source, "status": status}
    return [*(source_entry(key, own.get(key) or source(key)) for key in keys), last]


def finite(value: Any) -> Any:
    """Return ``value`` with every number that is not finite replaced by None, which JSON can hold."""
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, dict):
        return {key: finite(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [finite(one) for one in value]
    return value


def to_text(answer: dict[str, Any]) -> str:
    """Return JSON text, indented, with a line feed at the end."""
    return json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
