"""Rolls per second on one core and on two, beside SciPy in the same run.

    python -m benchmarks.rolls [COUNT]

The same random landings go through the compiled kernel and through SciPy's LSODA (`tests/reference_roll.py`: every
switch an event, `max_step` 0.1 s, relative tolerance 1e-6). Timings are noisy: read the ratios.
"""

from __future__ import annotations

import sys
import time

import numpy as np
from tests.random_landings import random_rolls
from tests.reference_roll import reference_roll

from groundroll.physics.rollout import case_of, run_cases, simulate

SCIPY_ROLLS = 60


def rate(cases: np.ndarray, workers: int) -> float:
    """Return rolls per second, best of three."""
    best = 0.0
    for _ in range(3):
        begin = time.perf_counter()
        run_cases(cases, workers=workers)
        best = max(best, len(cases) / (time.perf_counter() - begin))
    return best


def main(count: int = 20_000) -> int:
    """Measure and print."""
    rolls = random_rolls(2_000, 7)
    cases = np.array([case_of(roll) for roll in rolls])
    cases = np.tile(cases, (max(count // len(cases), 1), 1))
    run_cases(cases[:2])
    one, two = rate(cases, 1), rate(cases, 2)
    begin = time.perf_counter()
    done = 0
    for roll in rolls[: 2 * SCIPY_ROLLS]:
        if done == SCIPY_ROLLS or not simulate(roll).stopped:
            continue
        reference_roll(roll, rtol=1e-6, method="LSODA", max_step=0.1)
        done += 1
    scipy = done / (time.perf_counter() - begin)
    print(f"{'method':44}{'rolls/s':>12}{'over SciPy':>12}")
    print(f"{'SciPy LSODA, one core':44}{scipy:12,.0f}{1.0:12,.0f}")
    print(f"{'compiled, adaptive 5(4), one core':44}{one:12,.0f}{one / scipy:12,.0f}")
    print(f"{'compiled, adaptive 5(4), two threads':44}{two:12,.0f}{two / scipy:12,.0f}")
    print(f"two threads over one: {two / one:.2f}; {len(cases):,} rolls, {scipy and done} through SciPy")
    return 0


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:])))
