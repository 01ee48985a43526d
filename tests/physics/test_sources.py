"""The registry of sources."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from importlib.resources import files

import pytest

from groundroll.physics.sources import STATUSES, Source, source, source_from_table, sources


def keys_in(entry: object) -> Iterator[str]:
    """Yield every key named under ``source`` or ``sources`` in a parsed data file."""
    if isinstance(entry, dict):
        for name, inner in entry.items():
            if name == "source":
                yield inner
            elif name == "sources":
                yield from inner
            else:
                yield from keys_in(inner)
    elif isinstance(entry, list):
        for inner in entry:
            yield from keys_in(inner)


def data_files() -> list[str]:
    return sorted(item.name for item in files("groundroll").joinpath("data").iterdir() if item.name.endswith(".toml"))


@pytest.mark.parametrize("name", [name for name in data_files() if name != "sources.toml"])
def test_sources__every_key_of_a_data_file_is_registered(name: str) -> None:
    text = files("groundroll").joinpath("data", name).read_text(encoding="utf-8")
    for key in keys_in(tomllib.loads(text)):
        assert source(key).status in STATUSES


def test_sources__assumptions_of_this_project_give_their_reason() -> None:
    for key, entry in sources().items():
        if entry.status == "assumption of this project":
            assert entry.document == "groundroll", key
            assert entry.note, key


def test_source__unknown_key_names_the_nearest() -> None:
    with pytest.raises(
        ValueError, match=r'"cfr-25-109-c-3" is not in data/sources.toml; the nearest is "cfr-25-109-c-'
    ):
        source("cfr-25-109-c-3")
    with pytest.raises(ValueError, match=r'source "zzzz" is not in data/sources.toml$'):
        source("zzzz")


@pytest.mark.parametrize(
    ("table", "message"),
    [
        (3, r"here: 3 is not a table"),
        ({"document": "A", "paragraph": "1", "status": "confirmed", "page": 2}, r"here.page: unknown key"),
        ({"document": "A", "paragraph": "", "status": "confirmed"}, r"here.paragraph: '' is not a text"),
        ({"document": "A", "paragraph": "1", "status": "certain"}, r'here.status: "certain" is not one of'),
        ({"document": "A", "paragraph": "1", "status": "confirmed", "note": 1}, r"here.note: 1 is not a text"),
    ],
)
def test_source_from_table__message_shows_place_and_value(table: object, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        source_from_table("here", table)


def test_source__prints_on_one_line() -> None:
    assert str(Source("A", "1", "derived")) == "A, 1 [derived]"
