"""The one place that decides how kernels are compiled and where their machine code is kept.

Every kernel carries the decorator `compiled`. Machine code is cached on disk for each user, in a folder whose name
holds a digest of all kernel sources and of the compiler's version: a change in one file can therefore never run the
stale code of another. Where the folder cannot be written, kernels are compiled anew in each process.

`NUMBA_DISABLE_JIT=1` switches compilation off, for coverage and readable tracebacks; results are the same.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import numba

Function = TypeVar("Function", bound=Callable[..., Any])


def _source_digest() -> str:
    digest = hashlib.sha256((numba.__version__ + os.environ.get("GROUNDROLL_LANES", "")).encode())
    for source in sorted(Path(__file__).parent.glob("*.py")):
        digest.update(source.name.encode())
        digest.update(source.read_bytes())
    return digest.hexdigest()[:16]


def _cache_folder() -> Path | None:
    base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    folder = Path(base) / "groundroll" / "kernels" / _source_digest()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError:
        return None
    return folder


_FOLDER = _cache_folder()
if _FOLDER is not None:
    numba.config.CACHE_DIR = str(_FOLDER)  # type: ignore[attr-defined]


def is_cached() -> bool:
    """Return whether machine code from an earlier run lies on disk."""
    return _FOLDER is not None and any(_FOLDER.rglob("*.nbc"))


def compiled(function: Function) -> Function:
    """Compile ``function`` at its first call, without the interpreter lock and with IEEE arithmetic."""
    decorator = numba.njit(cache=_FOLDER is not None, nogil=True, fastmath=False, error_model="numpy")
    return cast(Function, decorator(function))


def compiled_inline(function: Function) -> Function:
    """Compile ``function`` and have the compiler put its body into every caller, so that loops of callers vectorise."""
    decorator = numba.njit(cache=_FOLDER is not None, nogil=True, fastmath=False, error_model="numpy", forceinline=True)
    return cast(Function, decorator(function))
