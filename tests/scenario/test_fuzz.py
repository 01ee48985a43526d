"""Damaged files: reading gives a result or a `ScenarioError`, never anything else."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.scenario.read import read_case

EXAMPLES = Path(__file__).parents[2] / "examples"
FILES = ("wet-gusty-arrival/case.toml", "aircraft/demo-narrowbody.toml", "runways/QDEM-07-25.toml")

PIECES = st.sampled_from(
    [
        *("", " ", "\n", '"', "=", "[", "]", "[[", ".", "-", "1", "0", "9" * 30, "nan", "inf", "true", "# ", "\x00"),
        *('"5 kt"', '"0 m"', '"-1 %"', '"1 t"', "format = 2", "[x]", "[landing]", "1e400", "2026-01-01", "{}"),
    ]
)
KEYS = st.sampled_from(["landing", "weather", "condition", "failures", "aircraft", "runway", "direction", "mass"])

Change = tuple[float, int, str]


@given(
    st.sampled_from(FILES),
    st.lists(st.tuples(st.floats(0.0, 1.0), st.integers(0, 40), PIECES), min_size=1, max_size=4),
)
@settings(max_examples=300, deadline=None)
def test_read_case__damaged_files_give_a_result_or_one_message(name: str, changes: list[Change]) -> None:
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "examples"
        shutil.copytree(EXAMPLES, folder)
        path = folder / name
        text = path.read_text(encoding="utf-8")
        for where, length, piece in changes:
            start = round(where * len(text))
            text = text[:start] + piece + text[start + length :]
        path.write_text(text, encoding="utf-8")
        try:
            case = read_case(folder / FILES[0])
        except ScenarioError as error:
            message = str(error)
        else:
            message = case.title
    assert 0 < len(message) < 5_000
    assert len(message.splitlines()) <= 11


@given(
    st.lists(
        st.sampled_from(["landing", "weather", "condition", "failures", "aircraft", "runway", "direction"]), max_size=3
    ),
    PIECES,
)
@settings(max_examples=200, deadline=None)
def test_read_case__odd_overrides_give_a_result_or_one_message(parts: list[str], value: str) -> None:
    override = f"{'.'.join(parts)}={value}"
    try:
        read_case(EXAMPLES / FILES[0], [override])
    except ScenarioError as error:
        text = str(error)
    else:
        text = "in order"
    assert text
