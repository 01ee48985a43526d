"""Words of a tower: thirds in landing direction (PANS-ATM, from memory)."""

from __future__ import annotations

import pytest

from groundroll.errors import ReportError
from groundroll.reports import read_condition


@pytest.mark.parametrize(
    ("text", "runway"),
    [
        ("wet 5/5/5", ""),
        ("5/5/5 wet", ""),
        ("5/5/5 wet wet wet", ""),
        ("Wet, wet, wet: 5, 5, 5.", ""),
        ("wet/wet/wet 5/5/5", ""),
        ("wet 5 5 5", ""),
        ("wet five five five", ""),
        ("runway wet 5 5 5", ""),
        ("runway 24 wet 5 5 5", "24"),
        ("runway 24 5 5 5 wet", "24"),
        ("runway two four wet five five five", "24"),
        ("runway 2 4 5 5 5 wet", "24"),
        ("runway 24 left wet 5/5/5", "24L"),
        ("runway 2 4 left wet 5/5/5", "24L"),
        ("RWY 24L WET 5/5/5", "24L"),
        ("24L wet 5/5/5", "24L"),
        ("24 5/5/5 wet", "24"),
        ("runway 6 5 5 5 wet", "06"),
        ("runway 24 runway condition codes 5 5 5 wet", "24"),
        ("touchdown wet 5, midpoint wet 5, rollout wet 5", ""),
        ("damp 5/5/5", ""),
    ],
)
def test_read_condition__wet_in_all_ways(text: str, runway: str) -> None:
    report = read_condition(text)
    assert report.kind == "spoken words"
    (condition,) = report.runways
    assert condition.runway == runway
    assert condition.direction == "landing"
    assert [(third.code, third.descriptor) for third in condition.thirds] == [(5, "WET")] * 3
    assert (report.warnings, report.not_understood) == ((), ())
    assert report.for_landing("24L" if runway == "24L" else "06" if runway == "06" else "24").thirds == condition.thirds


def test_for_landing__named_runway_is_reversed_for_the_other_end_and_refused_for_a_third() -> None:
    report = read_condition("runway 24 wet slush slush 5/2/2")
    assert [third.code for third in report.for_landing("24").thirds] == [5, 2, 2]
    assert [third.code for third in report.for_landing("06").thirds] == [2, 2, 5]
    with pytest.raises(ReportError, match="Runway 27 is not in this report; it covers 24"):
        report.for_landing("27")


def test_read_condition__coverage_depth_and_time() -> None:
    report = read_condition("runway 24 slush 2/2/2 75 percent 6 mm at 1250Z")
    (runway,) = report.runways
    assert {third.coverage_percent for third in runway.thirds} == {75}
    assert [third.depth for third in runway.thirds] == pytest.approx([0.006] * 3)
    assert (runway.day, runway.hour, runway.minute) == (None, 12, 50)


def test_read_condition__three_depths() -> None:
    (runway,) = read_condition("slush 2/2/5 6 millimetres 4mm 3 mm").runways
    assert [third.depth for third in runway.thirds] == pytest.approx([0.006, 0.004, 0.003])


@pytest.mark.parametrize(
    ("text", "code"),
    [("dry", 6), ("runway 24 dry", 6), ("wet", 5), ("frost", 5), ("slippery when wet", 3), ("standing water", 2),
     ("ice", 1), ("wet ice", 0), ("slush 6 mm", 2), ("slush 3 mm", 5), ("wet snow 10 mm", 3)],
)  # fmt: skip
def test_read_condition__word_alone_has_the_code_of_the_matrix_and_says_so(text: str, code: int) -> None:
    """Doc 9981 Table II-1-3 (second-hand)."""
    report = read_condition(text)
    assert {third.code for third in report.runways[0].thirds} == {code}
    assert any("No codes are given; the assessment matrix gives" in warning for warning in report.warnings)


def test_read_condition__one_code_is_for_all_thirds_with_a_warning() -> None:
    report = read_condition("runway 24 wet code 5")
    assert {third.code for third in report.runways[0].thirds} == {5}
    assert any("5 is taken for all three thirds" in warning for warning in report.warnings)


def test_read_condition__braking_action_beside_codes() -> None:
    """POOR stands beside code 1, GOOD beside 5 in the matrix (second-hand)."""
    worse = read_condition("runway 24 wet 5/5/5 braking action poor")
    assert any("POOR, beside code 1 in the matrix: worse than code 5" in warning for warning in worse.warnings)
    assert worse.situational[0].item == "T"
    assert read_condition("runway 24 wet 5/5/5 braking action good").warnings == ()


def test_read_condition__unknown_words_are_listed() -> None:
    assert read_condition("hello runway 24 wet 5/5/5").not_understood == ("HELLO",)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("slush", "the depth decides between 5 and 2"),
        ("compacted snow", "the temperature decides between 4 and 3"),
        ("braking action medium", "what another crew felt, not a runway condition code .* beside code 3"),
        ("braking action medium to poor", "beside code 2"),
        ("wet 5/5", "2 codes are given; give three"),
        ("wet 5/5/5/5", "4 codes are given; give three"),
        ("wet 7/5/5", "Code 7 is outside 0 to 6"),
        ("wet slush 5/5/5", "2 condition words are given"),
        ("wet 150 percent 5/5/5", "Coverage 150 % is outside"),
        ("slush 1200 mm 5/5/5", "Depth 1200 mm is outside"),
        ("rollout wet 5, midpoint wet 5, touchdown wet 2", "in the order touchdown, middle, roll-out"),
        ("runway 24 wet cat", 'No codes are given, and "CAT" is not understood'),
        ("my dry cleaning", "are not understood as a runway condition"),
        ("wet 5/5/5 at 2575Z", "25:75 is outside 00:00 to 23:59"),
        ("runway 39 wet 5/5/5", '"39" is not a runway'),
        ("wet 5/5/5 " + "and " * 200, "is not a runway condition report"),
    ],
)
def test_read_condition__refuses_words_it_cannot_use_honestly(text: str, message: str) -> None:
    with pytest.raises(ReportError, match=message):
        read_condition(text)
