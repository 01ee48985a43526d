"""The roll on a graphics processor: agreement with the lanes of this machine, and rolls per second.

    python -m benchmarks.gpu [COUNT] [ROWS.npy]

ROWS.npy holds rows of `case_of`, for a machine that has not all of groundroll's packages.
Needs the extra ``gpu`` and a graphics processor. Exits with 1 where a result differs by more than 1e-6 relative.
"""

from __future__ import annotations

import os

os.environ["GROUNDROLL_LANES"] = "1"

import sys
import time

import numpy as np
from numba import cuda

from groundroll.kernels import layout as at
from groundroll.kernels.cuda import rolls
from groundroll.physics.rollout import MANY_LANDING, MANY_TOLERANCE, case_of, run_cases
from groundroll.physics.rollout_gpu import THREADS, run_cases_on_gpu

COMPARED = ("END_DISTANCE", "END_TIME", "BRAKE_WORK", "AERODYNAMIC_WORK", "THRUST_WORK", "ROLLING_WORK")


def main(count: int = 2_000_000, rows: str | None = None) -> int:
    """Compare, then measure at several numbers of blocks."""
    if rows is None:
        from tests.random_landings import random_rolls

        few = np.array([case_of(roll) for roll in random_rolls(2_000, 7)])
    else:
        few = np.load(rows)
    here = run_cases(few)
    there = run_cases_on_gpu(few)
    device = cuda.get_current_device()
    print(device.name.decode() if isinstance(device.name, bytes) else device.name)
    worst = 0.0
    same = here[:, at.STATUS] == there[:, at.STATUS]
    for name in COMPARED:
        column = getattr(at, name)
        scale = np.maximum(np.abs(here[:, column]), 1e-3 * np.abs(here[:, column]).max())
        difference = float(np.max(np.abs(there[:, column] - here[:, column]) / scale))
        worst = max(worst, difference)
        print(f"{name:20} worst relative difference {difference:.2e}")
    print(f"status the same in {int(same.sum())} of {len(same)}")
    cases = cuda.to_device(np.tile(few, (max(count // len(few), 1), 1)))
    stations = cuda.to_device(np.zeros((len(cases), 0)))
    passed = cuda.to_device(np.zeros((len(cases), 0, 2)))
    results = cuda.device_array((len(cases), at.RESULT_SIZE))
    for blocks_each in (2, 4, 8):
        blocks = blocks_each * device.MULTIPROCESSOR_COUNT
        best = 0.0
        for _ in range(3):
            begin = time.perf_counter()
            rolls[blocks, THREADS](cases, stations, passed, results, MANY_TOLERANCE, MANY_LANDING)
            cuda.synchronize()
            best = max(best, len(cases) / (time.perf_counter() - begin))
        print(f"{blocks_each:3} blocks a multiprocessor: {best:14,.0f} rolls/s, data on the device")
    begin = time.perf_counter()
    run_cases(few)
    print(f"one core of this machine, lanes of 1: {len(few) / (time.perf_counter() - begin):,.0f} rolls/s")
    good = worst <= 1e-6 and bool(same.all())
    print("within 1e-6" if good else "NOT within 1e-6")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:2]), *sys.argv[2:3]))
