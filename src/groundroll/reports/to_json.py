"""Reports as plain dictionaries for JSON: SI units in the names, angles in degrees true as reports give them."""

from __future__ import annotations

import math
from typing import Any

from groundroll.reports.model import ConditionReport, RunwayCondition, SituationalItem, ThirdCondition
from groundroll.reports.weather import WeatherReport


def to_json(report: WeatherReport | ConditionReport) -> dict[str, Any]:
    """Return a report of either kind as a dictionary; `report` in it says which."""
    return weather_to_json(report) if isinstance(report, WeatherReport) else condition_to_json(report)


def third_to_json(third: ThirdCondition) -> dict[str, Any]:
    """Return one third as a dictionary."""
    return {
        "code": third.code,
        "coverage_percent": third.coverage_percent,
        "depth_m": third.depth,
        "depth_at_most": third.depth_at_most,
        "descriptor": third.descriptor,
        "reported_as": third.reported_as,
    }


def runway_to_json(runway: RunwayCondition) -> dict[str, Any]:
    """Return the condition of a runway as a dictionary."""
    return {
        "aerodrome": runway.aerodrome,
        "runway": runway.runway,
        "direction": runway.direction,
        "year": runway.year,
        "month": runway.month,
        "day": runway.day,
        "hour": runway.hour,
        "minute": runway.minute,
        "width_m": runway.width,
        "thirds": [third_to_json(third) for third in runway.thirds],
    }


def situational_to_json(item: SituationalItem) -> dict[str, Any]:
    """Return an item of the situational awareness section as a dictionary, without what is not said."""
    optional = {
        "runway": item.runway,
        "taxiway": item.taxiway,
        "apron": item.apron,
        "side": item.side,
        "distance_m": item.distance,
        "reduced_length_m": item.reduced_length,
        "condition": item.condition,
    }
    said = {name: value for name, value in optional.items() if value is not None}
    return {"item": item.item, "text": item.text, "meaning": item.meaning, **said}


def condition_to_json(report: ConditionReport) -> dict[str, Any]:
    """Return a runway condition report as a dictionary."""
    return {
        "report": "condition",
        "kind": report.kind,
        "raw": report.raw,
        "aerodrome": report.aerodrome,
        "serial": report.serial,
        "correction": report.correction,
        "heading_time": report.heading_time,
        "state": report.state,
        "priority": report.priority,
        "addresses": list(report.addresses),
        "filed": report.filed,
        "originator": report.originator,
        "accountability": report.accountability,
        "validity": report.validity,
        "runways": [runway_to_json(runway) for runway in report.runways],
        "situational": [situational_to_json(item) for item in report.situational],
        "warnings": list(report.warnings),
        "not_understood": list(report.not_understood),
    }


def weather_to_json(report: WeatherReport) -> dict[str, Any]:
    """Return a weather report as a dictionary."""
    return {
        "report": "weather",
        "kind": report.kind,
        "raw": report.raw,
        "station": report.station,
        "day": report.day,
        "hour": report.hour,
        "minute": report.minute,
        "wind_direction_true_deg": _degrees(report.wind_direction),
        "wind_variable": report.wind_variable,
        "calm": report.calm,
        "wind_speed_mps": report.wind_speed,
        "wind_speed_at_least": report.wind_speed_at_least,
        "gust_speed_mps": report.gust_speed,
        "gust_speed_at_least": report.gust_speed_at_least,
        "arc_from_true_deg": _degrees(report.arc_from),
        "arc_to_true_deg": _degrees(report.arc_to),
        "temperature_k": report.temperature,
        "dew_point_k": report.dew_point,
        "pressure_setting_pa": report.pressure_setting,
        "visibility_m": report.visibility,
        "visibility_at_least": report.visibility_at_least,
        "present_weather": list(report.present_weather),
        "recent_weather": list(report.recent_weather),
        "clouds": list(report.clouds),
        "visual_range": list(report.visual_range),
        "wind_shear": list(report.wind_shear),
        "automatic": report.automatic,
        "corrected": report.corrected,
        "trend": report.trend,
        "remarks": report.remarks,
        "warnings": list(report.warnings),
        "not_understood": list(report.not_understood),
    }


def _degrees(angle: float | None) -> float | None:
    """Return an angle in degrees, rounded clear of the noise of conversion."""
    return None if angle is None else round(math.degrees(angle), 6)
