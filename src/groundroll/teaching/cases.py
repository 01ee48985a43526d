"""Cases of a comparison or a lesson as they are described, before anything is rolled."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeAlias

from groundroll.errors import GroundrollError, ScenarioError
from groundroll.scenario.read import read_any
from groundroll.scenario.resolved import Case
from groundroll.scenario.take_off import TakeOffCase
from groundroll.teaching.runs import LandingRun, RejectRun

Run: TypeAlias = LandingRun | RejectRun


@dataclass(frozen=True)
class CaseSpec:
    """A case file with what is changed in it, and which roll of it is meant."""

    key: str
    """Name by which texts speak of it."""
    label: str
    """Words shown beside it."""
    file: Path
    overrides: tuple[str, ...] = ()
    """As `--set` takes them."""
    brake: str | None = None
    """Landing: a setting of the aircraft file or "manual"; None for what the plan recommends."""
    reverse: str | None = None
    """Landing: "none", "idle" or "full"; None for what the plan recommends."""
    exit: str | None = None
    """Landing: the exit that it is brought to."""
    reject_speed: float | None = None
    """Take-off: calibrated speed at which it is rejected; None for the decision speed. [m/s]"""
    reject_ground_speed: float | None = None
    """The same as a ground speed. [m/s]"""
    late: float = 0.0
    """Take-off: delay of the first action. [s]"""

    def changed(self, *overrides: str) -> CaseSpec:
        """Return the case with more inputs changed."""
        return replace(self, overrides=(*self.overrides, *overrides))


def build(spec: CaseSpec) -> Run:
    """Return a case ready to be rolled.

    Raises
    ------
    ScenarioError
        If the file cannot be read, is no case, or the choice is not one the aeroplane has.
    """
    case = read_any(spec.file, spec.overrides)
    if isinstance(case, Case):
        if spec.reject_speed is not None or spec.reject_ground_speed is not None or spec.late:
            raise ScenarioError(f"{spec.file.name} is a landing; a reject speed and a delay belong to a take-off.")
        return LandingRun(case, spec.brake, spec.reverse, spec.exit)
    if isinstance(case, TakeOffCase):
        if spec.brake or spec.exit:
            raise ScenarioError(f"{spec.file.name} is a take-off; it has no brake setting or exit of a landing.")
        return RejectRun(case, spec.reject_speed, spec.reject_ground_speed, spec.late)
    raise ScenarioError(f"{spec.file.name} is not a case. Name the file of a landing or of a take-off.")


def tried(spec: CaseSpec) -> Run | None:
    """Return a case of a sweep, None where it lies outside the data or the physics."""
    try:
        return build(spec)
    except (GroundrollError, ValueError):
        return None
