"""Time of a full decision on one core: all settings, all exits, all limits.

    python -m benchmarks.decision [REPEATS]

For each example: the landing plan alone, the decision on top of it (exits, hand-over, gates, break points), how many
rolls the decision simulates, and how many choices it weighs. Best of the repeats; everything is compiled before.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from unittest.mock import patch

from groundroll.physics import rollout
from groundroll.planning import break_points, decision, exits, gates
from groundroll.planning.landing import plan_landing
from groundroll.scenario.read import read_case

EXAMPLES = Path(__file__).parents[1] / "examples"
NAMES = (
    "wet-gusty-arrival",
    "dry-short",
    "contaminated-arrival",
    "failures-and-dispatch",
    "rapid-exit",
    "right-angle-exit",
    "reduced-length",
    "nothing-fits",
)


def rolls_of(name: str) -> int:
    """Return how many rolls the decision of an example simulates."""
    plan = plan_landing(read_case(EXAMPLES / name / "case.toml"))
    simulate, count = rollout.simulate, 0

    def counted(*arguments, **options):  # type: ignore[no-untyped-def]
        nonlocal count
        count += 1
        return simulate(*arguments, **options)

    with (
        patch.object(exits, "simulate", counted),
        patch.object(gates, "simulate", counted),
        patch.object(break_points, "simulate", counted),
        patch.object(decision, "simulate", counted),
    ):
        decision.decide(plan)
    return count


def main(repeats: int = 5) -> int:
    """Measure and print."""
    decision.decide(plan_landing(read_case(EXAMPLES / NAMES[0] / "case.toml")))
    print(f"{'example':26}{'plan ms':>9}{'decision ms':>13}{'rolls':>7}{'choices':>9}")
    for name in NAMES:
        case = read_case(EXAMPLES / name / "case.toml")
        planned = decided = float("inf")
        for _ in range(repeats):
            begin = time.perf_counter()
            plan = plan_landing(case)
            middle = time.perf_counter()
            found = decision.decide(plan)
            end = time.perf_counter()
            planned, decided = min(planned, middle - begin), min(decided, end - middle)
        print(f"{name:26}{1e3 * planned:9.0f}{1e3 * decided:13.0f}{rolls_of(name):7d}{len(found.approaches):9d}")
    return 0


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:])))
