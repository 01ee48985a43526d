"""One quantity, one word: every public argument of the physics is in ``docs/nomenclature.md``."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from groundroll import physics

PAGE = Path(__file__).parents[1] / "docs" / "nomenclature.md"


def words() -> set[str]:
    """Return the words in the first column of the page's tables."""
    found: set[str] = set()
    for line in PAGE.read_text(encoding="utf-8").splitlines():
        if line.startswith("| `"):
            found.update(re.findall(r"`(\w+)`", line.split("|")[1]))
    return found


def public_functions() -> Iterator[tuple[str, object]]:
    """Yield name and function for each public function and method that a physics module defines itself."""
    for module_info in pkgutil.iter_modules(physics.__path__):
        module = importlib.import_module(f"groundroll.physics.{module_info.name}")
        for name, member in vars(module).items():
            if name.startswith("_") or getattr(member, "__module__", None) != module.__name__:
                continue
            if inspect.isfunction(member):
                yield f"{module_info.name}.{name}", member
            elif inspect.isclass(member):
                for method_name, method in vars(member).items():
                    if inspect.isfunction(method) and not method_name.startswith("_"):
                        yield f"{module_info.name}.{name}.{method_name}", method


@pytest.mark.parametrize(("name", "function"), [pytest.param(*entry, id=entry[0]) for entry in public_functions()])
def test_nomenclature__every_public_argument_is_listed(name: str, function) -> None:  # type: ignore[no-untyped-def]
    arguments = [argument for argument in inspect.signature(function).parameters if argument != "self"]
    missing = [argument for argument in arguments if argument not in words()]
    assert not missing, f"{name}: {', '.join(missing)} not in the first column of docs/nomenclature.md; add it there"


def test_nomenclature__no_word_is_listed_twice() -> None:
    lines = [line for line in PAGE.read_text(encoding="utf-8").splitlines() if line.startswith("| `")]
    listed = [word for line in lines for word in re.findall(r"`(\w+)`", line.split("|")[1])]
    assert len(listed) == len(set(listed)), sorted(word for word in set(listed) if listed.count(word) > 1)
