"""Files of the drawn aerodrome that a test may change."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from groundroll.scenario.runway_data import RunwayData, read_runway_data

Make = Callable[..., RunwayData]


@pytest.fixture
def make(tmp_path: Path) -> Make:
    """Return a function that writes files and reads the runway in them."""

    def read(files: Mapping[str, bytes] | bytes, **options: object) -> RunwayData:
        named = {"data": files} if isinstance(files, bytes) else files
        for name, content in named.items():
            (tmp_path / name).write_bytes(content)
        return read_runway_data([tmp_path / name for name in named], **options)  # type: ignore[arg-type]

    return read
