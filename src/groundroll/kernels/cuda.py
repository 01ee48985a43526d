"""The same text of the roll compiled for CUDA: a thread a lane, the fields of a warp side by side in memory.

Needs the extra ``gpu`` and a graphics processor; nothing else in groundroll imports this module. The functions of
`groundroll.kernels.lanes` and `groundroll.kernels.rollout` are taken as they are; only the loop around them is written
again, because here each lane runs by itself.
"""

from __future__ import annotations

import math
from typing import Any, Final

from numba import cuda
from numpy.typing import NDArray

from groundroll.kernels import lane_layout as f
from groundroll.kernels import layout as at
from groundroll.kernels.lanes import begin_step, judge, refresh, try_step
from groundroll.kernels.rollout import MAXIMUM_TRIALS, ends_at_once, handle, load, write_result

Array = NDArray[Any]

WARP: Final = f.LANES
"""Threads of a block: one for each lane of a workspace."""


@cuda.jit  # type: ignore[untyped-decorator]
def rolls(
    cases: Array, stations: Array, passed: Array, results: Array, workspace: Array, tolerance: float, landing: float
) -> None:
    """Integrate many rolls, each thread one after the other.

    Parameters
    ----------
    cases, stations, passed, results, tolerance, landing
        As `groundroll.kernels.rollout.rolls`; a row of zeros in ``cases`` behind the wanted ones is not needed.
    workspace : shape (blocks, lane_layout.SIZE)
        Room for the lanes of each block.
    """
    i = cuda.threadIdx.x
    w = workspace[cuda.blockIdx.x]
    row = cuda.blockIdx.x * WARP + i
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
        row += cuda.gridDim.x * WARP
