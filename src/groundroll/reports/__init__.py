"""Weather reports and runway condition reports, read from their text."""

from groundroll.reports.condition import read_condition
from groundroll.reports.describe import describe_condition, describe_weather
from groundroll.reports.model import (
    ConditionReport,
    RunwayCondition,
    SituationalItem,
    ThirdCondition,
    opposite_designator,
    runway_designator,
)
from groundroll.reports.recognise import read_report
from groundroll.reports.times import MAXIMUM_AGE, age
from groundroll.reports.to_json import condition_to_json, runway_to_json, weather_to_json
from groundroll.reports.weather import WeatherReport, read_weather

__all__ = [
    "MAXIMUM_AGE",
    "ConditionReport",
    "RunwayCondition",
    "SituationalItem",
    "ThirdCondition",
    "WeatherReport",
    "age",
    "condition_to_json",
    "describe_condition",
    "describe_weather",
    "opposite_designator",
    "read_condition",
    "read_report",
    "read_weather",
    "runway_designator",
    "runway_to_json",
    "weather_to_json",
]
