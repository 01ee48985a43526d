"""A copy of the example files that a test may change."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"

AIRCRAFT = "aircraft/demo-narrowbody.toml"
RUNWAY = "runways/QDEM-07-25.toml"
CASE = "failures-and-dispatch/case.toml"

Edit = Callable[[str, str, str], Path]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with all example files."""
    target = tmp_path / "examples"
    shutil.copytree(EXAMPLES, target)
    return target


@pytest.fixture
def edit(folder: Path) -> Edit:
    """Return a function that replaces a text, once, in an example file and returns the file's path."""

    def replace(name: str, old: str, new: str) -> Path:
        path = folder / name
        text = path.read_text(encoding="utf-8")
        assert old in text, f"{old} is not in {name}"
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        return path

    return replace
