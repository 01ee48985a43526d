"""Rolls per second on one core and on two, beside SciPy in the same run.

    python -m benchmarks.rolls [COUNT]

The same random landings go through the compiled kernel and through SciPy's LSODA (`tests/reference_roll.py`: every
switch an event, `max_step` 0.1 s, relative tolerance 1e-6); each is held against SciPy's DOP853 at 1e-10. One core is
measured in processor time, so that other work on the machine counts less; two threads in time on the wall. Timings are
noisy all the same: read the ratios.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

import numpy as np
from tests.random_landings import random_rolls
from tests.reference_roll import reference_roll

from groundroll.kernels import layout as at
from groundroll.physics.rollout import Roll, case_of, run_cases, simulate

SCIPY_ROLLS = 60


def rate(cases: np.ndarray, workers: int, clock: Callable[[], float]) -> float:
    """Return rolls per second, best of three."""
    best = 0.0
    for _ in range(3):
        begin = clock()
        run_cases(cases, workers=workers)
        best = max(best, len(cases) / (clock() - begin))
    return best


def flat(cases: np.ndarray) -> list[tuple[int, float]]:
    """Return microseconds a roll for counts from 1e3 to 1e7, by chunks of one size so that memory stays bounded."""
    rows = []
    for count in (1_000, 10_000, 100_000, 1_000_000, 10_000_000):
        begin = time.process_time()
        done = 0
        while done < count:
            part = min(len(cases), count - done)
            run_cases(cases[:part])
            done += part
        rows.append((count, 1e6 * (time.process_time() - begin) / count))
    return rows


def main(count: int = 20_000) -> int:
    """Measure and print."""
    rolls = random_rolls(2_000, 7)
    cases = np.array([case_of(roll) for roll in rolls])
    cases = np.tile(cases, (max(count // len(cases), 1), 1))
    run_cases(cases[:2])
    one = rate(cases, 1, time.process_time)
    wall_one, wall_two = rate(cases, 1, time.perf_counter), rate(cases, 2, time.perf_counter)
    begin = time.process_time()
    alone = [simulate(roll) for roll in rolls[:1_000]]
    single = len(alone) / (time.process_time() - begin)
    stopping = [roll for roll, result in zip(rolls, alone, strict=False) if result.stopped][:SCIPY_ROLLS]
    begin = time.process_time()
    by_scipy = [reference_roll(roll, rtol=1e-6, method="LSODA", max_step=0.1) for roll in stopping]
    scipy = len(stopping) / (time.process_time() - begin)
    exact = [reference_roll(roll) for roll in stopping]
    many = run_cases(np.array([case_of(roll) for roll in stopping]))
    print(f"{'method':44}{'rolls/s':>12}{'over SciPy':>12}{'worst m':>10}{'worst energy %':>16}")
    for name, speed, distances, energies in (
        ("SciPy LSODA, one core", scipy, [r.distance for r in by_scipy], [r.brake_energy for r in by_scipy]),
        ("compiled, one roll at a time with its result", single, *_results(stopping)),
        ("compiled, in lanes, one core", one, many[:, at.END_DISTANCE], many[:, at.BRAKE_WORK]),
    ):
        worst = max(abs(a - b.distance) for a, b in zip(distances, exact, strict=True))
        energy = max(abs(a / max(b.brake_energy, 1e5) - 1.0) for a, b in zip(energies, exact, strict=True))
        print(f"{name:44}{speed:12,.0f}{speed / scipy:12,.0f}{worst:10.3f}{100.0 * energy:16.4f}")
    print(f"{'compiled, in lanes, two threads (wall)':44}{wall_two:12,.0f}")
    print(f"two threads over one (wall): {wall_two / wall_one:.2f}")
    print(f"{len(cases):,} rolls in lanes, {len(stopping)} through SciPy")
    for number, cost in flat(cases):
        print(f"{number:12,} rolls: {cost:.2f} microseconds each")
    return 0


def _results(rolls: list[Roll]) -> tuple[list[float], list[float]]:
    found = [simulate(roll) for roll in rolls]
    return [one.distance for one in found], [one.brake_work for one in found]


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:])))
