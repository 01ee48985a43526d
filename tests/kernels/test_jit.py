"""Compiled kernels: where their machine code is kept, and what happens when it cannot be."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

PROGRAM = """
import numpy as np
from groundroll.kernels.braking import braking_coefficients
from groundroll.kernels.jit import is_cached
result = np.zeros(2)
braking_coefficients(np.array([0.0, 50.0]), 0.3, 0.0, 0.0, 0.0, 0.0, 0.0, 0.2, 1e9, 0.0, result)
print(is_cached(), result.tolist())
"""


def _run(cache: Path) -> str:
    environment = {**os.environ, "XDG_CACHE_HOME": str(cache)}
    environment.pop("NUMBA_DISABLE_JIT", None)
    done = subprocess.run([sys.executable, "-c", PROGRAM], env=environment, capture_output=True, text=True, check=True)
    return done.stdout.strip()


def test_jit__machine_code_is_kept_for_the_next_run(tmp_path: Path) -> None:
    """The folder is made, filled, and found by a second process."""
    assert _run(tmp_path) == "True [0.2, 0.2]"
    kept = list(tmp_path.rglob("*.nbc"))
    assert kept
    before = {path: path.stat().st_mtime_ns for path in kept}
    assert _run(tmp_path) == "True [0.2, 0.2]"
    assert {path: path.stat().st_mtime_ns for path in kept} == before


def test_jit__a_folder_that_cannot_be_written_only_costs_time(tmp_path: Path) -> None:
    """Where a file stands in the way of the cache folder the kernel still runs, compiled for this process alone."""
    in_the_way = tmp_path / "cache"
    in_the_way.write_text("not a folder")
    assert _run(in_the_way) == "False [0.2, 0.2]"
    assert in_the_way.read_text() == "not a folder"
