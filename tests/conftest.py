"""Settings of the whole suite."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

# No timed assertions (machines differ), and the same examples on every machine, so that a red run can be repeated.
settings.register_profile(
    "groundroll", deadline=None, derandomize=True, max_examples=60, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("groundroll")
