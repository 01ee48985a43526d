"""The assessment matrix: PANS-Aerodromes (Doc 9981) Table II-1-3 and FAA AC 25-32 Table 2, second-hand.

From memory: SPECIALLY PREPARED WINTER RUNWAY, and any depth of snow on compacted snow.
"""

from __future__ import annotations

import pytest

from groundroll.reports.wording import CONDITION_WORDS, MATRIX, PILOT_TERMS, matrix_codes, pilot_term_code

TABLE = (
    ("DRY", None, None, 6), ("FROST", None, None, 5), ("WET", None, None, 5), ("SLUSH", 0.003, None, 5),
    ("DRY SNOW", 0.003, None, 5), ("WET SNOW", 0.003, None, 5), ("COMPACTED SNOW", None, -15.0, 4),
    ("COMPACTED SNOW", None, -14.0, 3), ("SPECIALLY PREPARED WINTER RUNWAY", None, None, 4),
    ("SLIPPERY WET", None, None, 3), ("DRY SNOW ON TOP OF COMPACTED SNOW", 0.003, None, 3),
    ("WET SNOW ON TOP OF COMPACTED SNOW", 0.050, None, 3), ("DRY SNOW", 0.004, None, 3), ("WET SNOW", 0.004, None, 3),
    ("STANDING WATER", 0.004, None, 2), ("SLUSH", 0.004, None, 2), ("SLUSH", 0.0254 / 8, None, 5),
    ("SLUSH", 0.0254 / 4, None, 2), ("ICE", None, None, 1), ("WET ICE", None, None, 0),
    ("WATER ON TOP OF COMPACTED SNOW", None, None, 0), ("DRY SNOW ON TOP OF ICE", None, None, 0),
    ("WET SNOW ON TOP OF ICE", None, None, 0),
)  # fmt: skip


@pytest.mark.parametrize(("word", "depth", "celsius", "code"), TABLE)
def test_matrix_codes__whole_table(word: str, depth: float | None, celsius: float | None, code: int) -> None:
    assert matrix_codes(word, depth, None if celsius is None else celsius + 273.15) == (code,)


def test_matrix_codes__unknown_depth_or_temperature_leaves_both() -> None:
    assert matrix_codes("SLUSH") == (5, 2)
    assert matrix_codes("WET SNOW") == (5, 3)
    assert matrix_codes("COMPACTED SNOW") == (4, 3)


def test_matrix__has_every_word_and_only_these() -> None:
    assert {row.descriptor for row in MATRIX} == set(CONDITION_WORDS)
    assert len(CONDITION_WORDS) == 17
    assert all(row.source and row.status for row in MATRIX)


def test_pilot_terms__run_from_good_to_less_than_poor() -> None:
    assert [PILOT_TERMS[code] for code in (5, 4, 3, 2, 1, 0)] == [
        "GOOD", "GOOD TO MEDIUM", "MEDIUM", "MEDIUM TO POOR", "POOR", "LESS THAN POOR",
    ]  # fmt: skip
    assert pilot_term_code("NIL") == 0
    assert pilot_term_code("FAIR") is None


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("MUD",), "'MUD' is none of the 17"),
        (("SLUSH", -0.001), "depth -0.001 m"),
        (("SLUSH", float("nan")), "depth nan m"),
        (("COMPACTED SNOW", None, 0.0), "temperature 0.0 K"),
    ],
)
def test_matrix_codes__refuses_what_is_out_of_range(arguments: tuple[object, ...], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        matrix_codes(*arguments)  # type: ignore[arg-type]
