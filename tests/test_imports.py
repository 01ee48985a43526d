"""Imports run downwards only, heavy packages stay out of `--help`, and lock files name no host."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "groundroll"
FLOORS = (
    {"commands", "notebook"},
    {"web"},
    {"outputs"},
    {"review", "teaching"},
    {"planning"},
    {"scenario"},
    {"reports"},
    {"physics"},
    {"kernels"},
    {"units", "constants", "errors"},
)
"""From the top down. A floor may use itself and every floor below, but not its neighbour on the same floor."""

GROUND = FLOORS[-1]
HEAVY = ("numba", "numpy", "scipy", "pydantic", "pint", "metar")


def floor_of(part: str) -> int:
    """Return the number of a floor, 0 at the top; -1 for a name that stands on none."""
    return next((number for number, names in enumerate(FLOORS) if part in names), -1)


def imported(tree: ast.AST, package: tuple[str, ...]) -> Iterator[tuple[int, str]]:
    """Yield line and first part below `groundroll` of every import, wherever in the file it stands."""
    for node in ast.walk(tree):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            start = list(package[: len(package) - node.level + 1]) if node.level else []
            base = ".".join([*start, *([node.module] if node.module else [])])
            names = [f"groundroll.{alias.name}" for alias in node.names] if base == "groundroll" else [base]
        for name in names:
            parts = name.split(".")
            if parts[0] == "groundroll" and len(parts) > 1:
                yield node.lineno, parts[1]


def arrows_up(file: Path) -> list[str]:
    """Return every import of ``file`` that does not point down."""
    relative = file.relative_to(PACKAGE)
    own = relative.parts[0].removesuffix(".py")
    package = ("groundroll", *relative.parts[:-1])
    found = []
    for line, part in imported(ast.parse(file.read_text(encoding="utf-8")), package):
        if part == own or part == "__version__":
            continue
        here, there = floor_of(own), floor_of(part)
        same_ground = own in GROUND and part in GROUND
        if there <= here and not same_ground:
            found.append(f"{relative}:{line} imports groundroll.{part}, which is not below {own}")
    return found


FILES = [file for file in sorted(PACKAGE.rglob("*.py")) if file != PACKAGE / "__init__.py"]


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_imports__point_downwards_only(file: Path) -> None:
    """The order of the floors is that of CONTRIBUTING.md."""
    assert floor_of(file.relative_to(PACKAGE).parts[0].removesuffix(".py")) >= 0, "stands on no floor; add it above"
    assert arrows_up(file) == []


@pytest.mark.parametrize(
    ("text", "own", "upwards"),
    [
        ("from groundroll.planning.landing import x", "physics", True),
        ("import groundroll.outputs", "planning", True),
        ("from groundroll import commands", "outputs", True),
        ("from ..scenario import model", "reports", True),
        ("def f():\n    from groundroll.review import x", "planning", True),
        ("from groundroll.physics import wind", "planning", False),
        ("from groundroll.errors import DataError", "kernels", False),
        ("import numpy", "units", False),
    ],
)
def test_imports__the_test_itself_sees_what_it_should(text: str, own: str, upwards: bool) -> None:
    """Absolute, relative and late imports; neighbours of one floor are kept apart."""
    parts = [part for _, part in imported(ast.parse(text), ("groundroll", own))]
    assert any(floor_of(part) <= floor_of(own) for part in parts) is upwards


def test_help__imports_nothing_heavy() -> None:
    """In a Python of its own, as the installed command starts."""
    script = (
        "import sys\nfrom groundroll.commands import run\ncode = run(['--help'])\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules], code, file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[] 0"


@pytest.mark.parametrize("name", ["requirements.lock", "requirements-test.lock"])
def test_lock_files__pin_versions_and_name_no_host_or_path(name: str) -> None:
    """Whoever installs chooses the index; hashes tell whether what came is what was meant."""
    text = (ROOT / name).read_text(encoding="utf-8")
    assert "://" not in text
    assert not re.search(r"https?:", text)
    assert not re.search(r"(^|\s)(--(extra-)?index-url|--find-links|-e|file:|/)", text)
    pinned = [line for line in text.splitlines() if line and not line.startswith((" ", "#"))]
    assert pinned
    assert all(re.match(r"[a-z0-9._-]+(\[[a-z,]+\])?==\S+", line) for line in pinned)
    assert text.count("--hash=sha256:") >= len(pinned)


@pytest.mark.parametrize("folder", ["src", "examples", "docs", "benchmarks"])
def test_files__name_no_path_of_a_machine(folder: str) -> None:
    """Files that anybody can use do not speak of one machine."""
    suffixes = (".py", ".toml", ".md")
    for file in (one for one in sorted((ROOT / folder).rglob("*")) if one.suffix in suffixes):
        found = re.search(r"/(home|Users|work|root)/\w+", file.read_text(encoding="utf-8"))
        assert found is None, f"{file.relative_to(ROOT)}: {found and found.group()}"
