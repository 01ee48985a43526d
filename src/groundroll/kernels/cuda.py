"""The same text of the roll compiled for CUDA: a thread a roll, its fields in the thread's own memory.

Needs the extra ``gpu`` and a graphics processor; only `groundroll.physics.rollout_gpu` imports this module. The
functions of `groundroll.kernels.lanes` and `groundroll.kernels.rollout` are taken as they are; only the loop around
them is written again, because here each roll runs by itself. The fields then stand one apart: `GROUNDROLL_LANES=1` in
the environment before groundroll is imported.
"""

from __future__ import annotations

import math
from typing import Any, Final

from numba import cuda, float64
from numpy.typing import NDArray

from groundroll.kernels import lane_layout as f
from groundroll.kernels import layout as at
from groundroll.kernels.lanes import begin_step, judge, refresh, try_step
from groundroll.kernels.rollout import MAXIMUM_TRIALS, ends_at_once, handle, load, write_result

Array = NDArray[Any]

FIELDS: Final = f.SIZE
"""Length of the array of one roll."""


@cuda.jit  # type: ignore[untyped-decorator]
def rolls(cases: Array, stations: Array, passed: Array, results: Array, tolerance: float, landing: float) -> None:
    """Integrate many rolls, each thread one after the other.

    Parameters
    ----------
    cases, stations, passed, results, tolerance, landing
        As `groundroll.kernels.rollout.rolls`.
    """
    i = 0
    w = cuda.local.array(FIELDS, float64)
    row = cuda.grid(1)
    while row < cases.shape[0]:
        for station in range(stations.shape[1]):
            passed[row, station, 0] = math.nan
            passed[row, station, 1] = math.nan
        load(w, i, cases, row, stations, tolerance, landing)
        status = at.STATUS_DONE if ends_at_once(w, i) else -1
        while status < 0:
            refresh(w, i)
            begin_step(w, i)
            try_step(w, i)
            judge(w, i)
            if w[f.HANDLE + i] > 0.0:
                status = handle(w, i, cases, row, stations, passed)
            if status < 0 and w[f.TRIALS + i] > MAXIMUM_TRIALS:
                status = at.STATUS_STEPS
        write_result(w, i, status, results, row)
        row += cuda.gridsize(1)
