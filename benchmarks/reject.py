"""Time of one full computation of a rejected take-off: window, distances, costs, curve and brakes.

python benchmarks/reject.py [REPEATS]
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

from groundroll.planning.reject import plan_reject
from groundroll.scenario.take_off import read_take_off_case

EXAMPLES = Path(__file__).parents[1] / "examples"
CASES = ("departure-wet", "departure-contaminated", "departure-nothing-works")


def main(repeats: int = 10) -> None:
    """Print median and worst time for each example, the first computation (with compiling) apart."""
    for name in CASES:
        case = read_take_off_case(EXAMPLES / name / "case.toml")
        begin = time.perf_counter()
        plan = plan_reject(case)
        first = time.perf_counter() - begin
        taken = []
        for _ in range(repeats):
            begin = time.perf_counter()
            plan_reject(case)
            taken.append(time.perf_counter() - begin)
        window = "window empty" if plan.window.empty else "window open"
        print(
            f"{name:26} first {first:6.2f} s, then median {statistics.median(taken):6.3f} s, worst {max(taken):.3f} s, "
            f"{len(plan.cases)} cases, {window}"
        )


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
