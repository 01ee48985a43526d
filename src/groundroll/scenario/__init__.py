"""Scenario files: aircraft, runway and case as typed, checked, resolved inputs."""

from groundroll.scenario.model import Aircraft, Runway
from groundroll.scenario.read import read_aircraft, read_any, read_case, read_runway
from groundroll.scenario.resolved import Case, resolved_inputs

__all__ = [
    "Aircraft",
    "Case",
    "Runway",
    "read_aircraft",
    "read_any",
    "read_case",
    "read_runway",
    "resolved_inputs",
]
