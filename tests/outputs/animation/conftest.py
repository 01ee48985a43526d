"""Scenes and a small clip for all tests here; made once."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundroll.outputs.animation.encode import Form
from groundroll.planning.decision import Decision, decide
from groundroll.planning.landing import plan_landing
from groundroll.scenario.read import read_case
from groundroll.teaching.animation import Clip, Scene, clip_of
from groundroll.teaching.animation_landing import landing_scene

EXAMPLES = Path(__file__).parents[3] / "examples"
SMALL = Form(320, 180, "light", 6.0)


@pytest.fixture(scope="session")
def decision() -> Decision:
    """Return the decision of the wet and gusty arrival."""
    return decide(plan_landing(read_case(EXAMPLES / "wet-gusty-arrival" / "case.toml")))


@pytest.fixture(scope="session")
def scenes(decision: Decision) -> tuple[Scene, Scene]:
    """Return the same setting with full reverse and with none, both held to a stop."""
    found = {(one.brake, one.reverse): one for one in decision.plan.options}
    return (
        landing_scene(decision.plan, found["steady", "full"]),
        landing_scene(decision.plan, found["steady", "none"]),
    )


@pytest.fixture(scope="session")
def quick(scenes: tuple[Scene, Scene]) -> Clip:
    """Return both scenes, time running twenty times as fast."""
    return clip_of(scenes, 20.0)
