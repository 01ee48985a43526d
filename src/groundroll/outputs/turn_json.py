"""The day of sectors as JSON: SI values with units in their names, temperatures in degrees Celsius."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from groundroll.constants import ZERO_CELSIUS
from groundroll.outputs.caution import cautions
from groundroll.outputs.json_form import finite, source_entry, sources_json
from groundroll.outputs.turn_parts import celsius, cost_json, wear_json
from groundroll.physics.brake_cooling import Peak
from groundroll.physics.sources import source
from groundroll.planning.day_chain import BrakeRun, Stage
from groundroll.planning.turnaround import Arrival, Breach, DayResult, Departure, Mend, SectorResult
from groundroll.scenario.day import resolved_day

TURN_FORMAT: Final = 1
"""Format number of the JSON of a day."""

ENERGY_KINDS: Final = ("reject_energy", "landing_energy")
"""Limits that are energies; the others are temperatures."""


def turn_json(result: DayResult) -> dict[str, Any]:
    """Return the day as plain, JSON-ready values."""
    day = result.day
    answer = {
        "format": TURN_FORMAT,
        "kind": "turn",
        "title": day.title,
        "fits": result.fits,
        "sectors": [_sector(one) for one in result.sectors],
        "breaches": [_breach(one, result) for one in result.breaches],
        "mend": _mend(result.mend),
        "stages": _stages(result.stages),
        "brakes": [_brakes(run) for run in result.brakes],
        "limits": limits_json(result),
        "cautions": [*cautions(invented=day.aircraft.invented), *result.cautions, *day.remarks],
        "sources": turn_sources(result),
        "inputs": resolved_day(day),
    }
    checked: dict[str, Any] = finite(answer)
    return checked


def limits_json(result: DayResult) -> dict[str, float | None]:
    """Return the limits of the aircraft file that the day is held against."""
    aircraft = result.day.aircraft
    cooling, brakes = aircraft.brake_cooling, aircraft.brakes
    assert cooling is not None  # no day without it
    return {
        "take_off_limit_c": celsius(cooling.take_off_limit),
        "fans_off_limit_c": celsius(cooling.fans_off_limit),
        "fuse_plug_near_c": celsius(cooling.fuse_plug_near),
        "fuse_plug_release_c": celsius(cooling.fuse_plug_release),
        "heat_sink_limit_c": celsius(brakes.temperature_limit),
        "landing_energy_limit_j": brakes.energy_limit,
        "reject_energy_limit_j": cooling.reject_energy_limit,
    }


def _sector(one: SectorResult) -> dict[str, Any]:
    return {
        "name": one.name,
        "departure": _departure(one.departure),
        "landing": _arrival(one.arrival),
        "planned_ground_time_s": one.planned_ground_time,
        "minimum_ground_time_s": one.minimum_ground_time,
        "changes": [
            {"text": change.text, "minimum_ground_time_s": change.minimum_ground_time} for change in one.changes
        ],
    }


def _departure(one: Departure) -> dict[str, Any]:
    return {
        "indicated_temperature_c": celsius(one.indicated_temperature),
        "heat_sink_temperature_c": celsius(one.heat_sink_temperature),
        "wheel_temperature_c": celsius(one.wheel_temperature),
        "decision_ground_speed_mps": one.decision_ground_speed,
        "reject_energy_j": one.reject_energy,
        "energy_left_j": one.energy_left,
    }


def _peak(peak: Peak) -> dict[str, float | None]:
    return {"temperature_c": celsius(peak.temperature), "time_after_stop_s": peak.time}


def _arrival(one: Arrival) -> dict[str, Any]:
    return {
        "brake": one.option.brake,
        "reverse": one.option.reverse,
        "fits": one.option.fits,
        "stop_distance_m": one.option.stop_distance,
        "touchdown_temperature_c": celsius(one.touchdown_temperature),
        "brake_energy_j": one.brake_energy,
        "heat_sink": _peak(one.heat_sink),
        "wheel": _peak(one.wheel),
        "indicated": _peak(one.indicated),
        "fuse_plugs": one.fuse_plugs,
        "high_energy": one.high_energy,
        "cooling_time_s": one.cooling_time,
        "fans_off_time_s": one.fans_off_time,
        "relative_wear": wear_json(one.wear),
        "cost": cost_json(one.cost),
        "quick_turnaround_mass_kg": one.quick_turnaround_mass,
        "options": [
            {
                "brake": option.brake,
                "reverse": option.reverse,
                "fits": option.fits,
                "brake_energy_per_wheel_j": option.brake_energy_per_wheel,
                "relative_wear": wear_json(option.wear),
                "cost": cost_json(option.cost),
            }
            for option in one.plan.options
        ],
    }


def _breach(one: Breach, result: DayResult) -> dict[str, Any]:
    entry: dict[str, Any] = {"sector": result.sectors[one.sector].name, "kind": one.kind}
    if one.kind in ENERGY_KINDS:
        return entry | {"value_j": one.value, "limit_j": one.limit}
    return entry | {"value_c": celsius(one.value), "limit_c": celsius(one.limit)}


def _mend(mend: Mend | None) -> dict[str, Any] | None:
    return None if mend is None else {"delay_s": mend.delay, "changes": list(mend.changes)}


def _stages(stages: tuple[Stage, ...]) -> list[dict[str, Any]]:
    listed, time = [], 0.0
    for one in stages:
        listed.append(
            {
                "name": one.name,
                "sector": one.sector,
                "start_s": time,
                "duration_s": one.duration,
                "air_temperature_c": celsius(one.air_temperature),
                "air_speed_mps": one.air_speed,
                "brake_energy_j": one.energy,
                "fans": one.fans,
            }
        )
        time += one.duration
    return listed


def _brakes(run: BrakeRun) -> dict[str, Any]:
    history, balance = run.history, run.history.balance

    def rounded(values: np.ndarray, offset: float = 0.0) -> list[float]:
        return [round(float(one) - offset, 3) for one in values]

    return {
        "numbers": [number + 1 for number in run.numbers],
        "time_s": rounded(history.time),
        "heat_sink_c": rounded(history.heat_sink, ZERO_CELSIUS),
        "wheel_c": rounded(history.wheel, ZERO_CELSIUS),
        "indicated_c": rounded(history.indicated, ZERO_CELSIUS),
        "heat_in_j": balance.heat_in,
        "heat_lost_to_air_j": balance.lost_to_air_by_heat_sink + balance.lost_to_air_by_wheel,
        "heat_radiated_j": balance.lost_by_radiation,
        "heat_stored_j": balance.stored,
    }


def turn_sources(result: DayResult) -> list[dict[str, str]]:
    """Return where the numbers of a day come from, those of its landings included."""
    listed: dict[str, dict[str, str]] = {}
    for one in result.sectors:
        for entry in sources_json(one.arrival.plan):
            listed.setdefault(entry["key"], entry)
    aircraft = listed.pop("aircraft")
    for key in result.source_keys:
        if key not in listed:
            listed[key] = source_entry(key, source(key))
    return [*listed.values(), aircraft]
