"""Damaged data give a runway file or a `DataError` of one line, never anything else."""

from __future__ import annotations

import tempfile
import tomllib
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from groundroll.errors import DataError
from groundroll.scenario.runway_data import read_runway_data

from . import drawing

AIXM = drawing.message(
    *(
        content.decode().partition(">\n")[2].partition(">\n")[2].rpartition("</message:")[0]
        for content in drawing.aixm_files().values()
    )
)
DATA = (AIXM, drawing.geojson(), drawing.overpass(with_geometry=False), drawing.table())

PIECES = st.sampled_from(
    [
        *(b"", b"0", b"9", b"-", b".", b"<", b">", b"</", b"{", b"}", b"[", b"]", b'"', b",", b"\n", b"\xff", b"\x00"),
        *(b"nan", b"1e999", b"-1e308", b"null", b"true", b"99999999999999999999", b"&lt;", b"<a/>", b"FT", b"DISTHR"),
        *(
            b"28",
            b"10",
            b"89.9",
            b"180",
            b"-90",
            b"[[]]",
            b"{}",
            b"LDA",
            b"TORA",
            b"THR",
            b'"ref": "B"',
            b"\xe2\x80\xae",
        ),
    ]
)


def outcome(content: bytes) -> str:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "data"
        path.write_bytes(content)
        try:
            made = read_runway_data([path], aerodrome="QDRW", given={"elevation": "120 m"})
        except DataError as error:
            message = str(error)
        else:
            message = ""
    if message:
        assert len(message.splitlines()) == 1
        return message
    tomllib.loads(made.text)
    return made.text


@given(
    st.sampled_from(DATA),
    st.lists(st.tuples(st.floats(0.0, 1.0), st.integers(0, 60), PIECES), min_size=1, max_size=5),
)
@settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_changed_data__give_a_file_or_one_message(data: bytes, changes: list[tuple[float, int, bytes]]) -> None:
    for where, length, piece in changes:
        start = round(where * len(data))
        data = data[:start] + piece + data[start + length :]
    assert 0 < len(outcome(data)) < 60_000


@given(st.sampled_from(DATA), st.floats(0.0, 1.0))
@settings(max_examples=60, deadline=None)
def test_truncated_data__give_a_file_or_one_message(data: bytes, where: float) -> None:
    assert outcome(data[: round(where * len(data))] or b"x")


@given(st.sampled_from(DATA), st.data())
@settings(max_examples=250, deadline=None)
def test_changed_numbers__give_a_file_or_one_message(data: bytes, choice: st.DataObject) -> None:
    """Only digits are exchanged, so that most of the files stay well-formed."""
    places = [number for number, one in enumerate(data) if chr(one).isdigit()]
    for _ in range(choice.draw(st.integers(1, 30))):
        place = choice.draw(st.sampled_from(places))
        data = data[:place] + choice.draw(st.sampled_from([b"0", b"3", b"9", b"-", b"."])) + data[place + 1 :]
    assert outcome(data)
