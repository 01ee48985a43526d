"""README: its output is what the command prints, its commands and files exist."""

from __future__ import annotations

import re

import pytest

from groundroll.commands import COMMANDS
from groundroll.outputs.caution import CAUTION
from tests.render_readme import COMMAND, PAGE, ROOT, render

TEXT = PAGE.read_text(encoding="utf-8")


def test_readme__output_is_what_the_command_prints_now() -> None:
    assert render(TEXT) == TEXT, f"the output in README.md is stale; run {COMMAND}"


def test_readme__caution_and_every_command_are_there() -> None:
    """The caution in its full words; a command that is added is described."""
    assert CAUTION in " ".join(TEXT.split())
    missing = [name for name in COMMANDS if f"`groundroll {name} " not in TEXT]
    assert missing == []


@pytest.mark.parametrize("page", ["README.md", "CONTRIBUTING.md", "docs/model.md", "docs/accuracy.md"])
def test_pages__what_they_name_is_there(page: str) -> None:
    """Links to files, targets of the Makefile, paths in code style."""
    text = (ROOT / page).read_text(encoding="utf-8")
    for link in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", text):
        assert ((ROOT / page).parent / link).exists(), link
    targets = re.findall(r"^(\w+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE)
    for target in re.findall(r"\bmake (demo|test|lint|bench|lock)\b", text):
        assert target in targets
    roots = ("src", "tests", "docs", "examples", "benchmarks")
    for path in re.findall(r"(?<![\w/.-])((?:src|tests|docs|examples|benchmarks)/[\w./-]+\.(?:py|toml|md))", text):
        assert path.split("/")[0] in roots
        assert (ROOT / path).exists(), path


def test_changelog__has_unreleased_and_changed_results() -> None:
    """Where a number that moved is announced."""
    text = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    assert "## Unreleased" in text
    assert "### Changed results" in text


def test_licence__is_apache_2() -> None:
    """As pyproject.toml says."""
    text = (ROOT / "LICENSE").read_text(encoding="utf-8")
    assert "Apache License" in text
    assert "Version 2.0, January 2004" in text
    assert "END OF TERMS AND CONDITIONS" in text
