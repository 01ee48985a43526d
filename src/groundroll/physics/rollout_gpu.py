"""Many rolls on a graphics processor: the same equations as on the other ones, in double precision.

An extra that nothing else needs: ``pip install groundroll[gpu]``. The module is imported by those who want it, after
`GROUNDROLL_LANES=1` has been set in the environment.
"""

from __future__ import annotations

import os
from typing import Final

import numpy as np

from groundroll.kernels import lane_layout
from groundroll.kernels import layout as at
from groundroll.physics.arguments import FloatArray
from groundroll.physics.rollout import MANY_LANDING, MANY_TOLERANCE

THREADS: Final = 64
"""Threads of a block."""

BLOCKS_EACH: Final = 4
"""Blocks for each multiprocessor; more gave nothing."""


def run_cases_on_gpu(cases: FloatArray) -> FloatArray:
    """Return the kernel's result row for each row of ``cases``, computed on the graphics processor.

    Parameters
    ----------
    cases : shape (n, CASE_SIZE)
        Rows of `groundroll.physics.rollout.case_of`.

    Returns
    -------
    shape (n, RESULT_SIZE)
        As `groundroll.physics.rollout.run_cases`, within 1e-6 relative.

    Raises
    ------
    RuntimeError
        If `GROUNDROLL_LANES` is not 1, the extra is not installed, or there is no graphics processor.
    """
    if lane_layout.LANES != 1:
        raise RuntimeError(
            f"the fields of a roll stand {lane_layout.LANES} apart; set GROUNDROLL_LANES=1 in the environment before "
            f"groundroll is imported (it is {os.environ.get('GROUNDROLL_LANES', 'not set')})"
        )
    try:
        from numba import cuda

        from groundroll.kernels.cuda import rolls

        processors = cuda.get_current_device().MULTIPROCESSOR_COUNT
    except Exception as error:  # whatever the driver raises where there is none
        raise RuntimeError(f"no graphics processor can be used ({error}); install groundroll[gpu]") from error
    results = cuda.device_array((len(cases), at.RESULT_SIZE))
    stations = cuda.to_device(np.zeros((len(cases), 0)))
    passed = cuda.to_device(np.zeros((len(cases), 0, 2)))
    rolls[BLOCKS_EACH * processors, THREADS](
        cuda.to_device(np.ascontiguousarray(cases)), stations, passed, results, MANY_TOLERANCE, MANY_LANDING
    )
    found: FloatArray = results.copy_to_host()
    return found
