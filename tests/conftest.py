"""Settings of the whole suite."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

from groundroll.physics.rollout import simulate
from tests.rolls import plain_roll

# No timed assertions (machines differ), and the same examples on every machine, so that a red run can be repeated.
settings.register_profile(
    "groundroll", deadline=None, derandomize=True, max_examples=60, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("groundroll")


def pytest_sessionstart() -> None:
    """Compile the roll before anything else, so that no test meets the line that announces it on a fresh machine."""
    if os.environ.get("NUMBA_DISABLE_JIT", "0") in ("", "0"):
        simulate(plain_roll())
