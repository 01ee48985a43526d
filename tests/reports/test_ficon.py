"""FICON notices, on invented locations.

Form: as in published notices (second-hand). Contaminant and treatment words: FAA Order JO 7930.2 (from memory).
1 inch is 25.4 mm, 1 foot is 0.3048 m by definition.
"""

from __future__ import annotations

import pytest

from groundroll.errors import ReportError
from groundroll.reports import read_condition
from groundroll.reports.wording import NOTICE_WORDS

NOTICE = (
    "!QDM 01/123 QDE RWY 17 FICON 5/3/2 25 PRCT 1/8IN DRY SN, 50 PRCT 1 1/2IN WET SN OVER COMPACTED SN, 75 PRCT "
    "1IN SLUSH PLOWED 100FT WIDE OBS AT 2401151230. 2401151235-2401161235EST"
)


def test_read_condition__whole_notice() -> None:
    report = read_condition(NOTICE)
    assert (report.kind, report.accountability, report.serial, report.aerodrome) == (
        "FICON notice",
        "QDM",
        "01/123",
        "QDE",
    )
    assert report.validity == "2401151235-2401161235EST"
    assert report.not_understood == ()
    (runway,) = report.runways
    assert (runway.runway, runway.aerodrome, runway.direction) == ("17", "QDE", "as named")
    assert (runway.year, runway.month, runway.day, runway.hour, runway.minute) == (2024, 1, 15, 12, 30)
    assert [third.code for third in runway.thirds] == [5, 3, 2]
    assert [third.coverage_percent for third in runway.thirds] == [25, 50, 75]
    assert [third.depth for third in runway.thirds] == pytest.approx([0.003175, 0.0381, 0.0254])
    assert [third.descriptor for third in runway.thirds] == ["DRY SNOW", "WET SNOW ON TOP OF COMPACTED SNOW", "SLUSH"]
    assert [third.reported_as for third in runway.thirds] == ["DRY SN", "WET SN OVER COMPACTED SN", None]
    assert [third.depth_at_most for third in runway.thirds] == [True, False, False]
    assert runway.width == pytest.approx(30.48)
    assert report.situational[0].text == "PLOWED 100FT WIDE"


@pytest.mark.parametrize(
    "text",
    [
        "QDM 10/088 QDE RWY 17 FICON 5/5/5 100 PRCT WET OBSERVED AT 2401151230.",
        "!QDM QDE RWY 17 FICON 5/5/5 100 PRCT WET OBS AT 2401151230.",
        "QDE RWY 17 FICON 5/5/5 100 PRCT WET OBS AT 2401151230",
        "qde rwy 17 ficon 5/5/5 100 prct wet obs at 2401151230",
        "QDE RWY 17\nFICON 5/5/5 100 PRCT WET\nOBS AT 2401151230",
        "QDE RWY 17 FICON 5/5/5 100 PRCT WET, 100 PRCT WET, 100 PRCT WET OBS AT 2401151230.",
    ],
)
def test_read_condition__one_description_or_three(text: str) -> None:
    report = read_condition(text)
    (runway,) = report.runways
    assert report.aerodrome == "QDE"
    assert [(third.code, third.coverage_percent, third.descriptor) for third in runway.thirds] == [(5, 100, "WET")] * 3
    assert runway.minute == 30
    assert (report.warnings, report.not_understood) == ((), ())


@pytest.mark.parametrize("word", NOTICE_WORDS)
def test_read_condition__each_contaminant_word(word: str) -> None:
    for written in (word, word.replace("SN", "SNOW")):
        report = read_condition(f"RWY 17 FICON 3/3/3 50 PRCT {written} OBS AT 2401151230.")
        third = report.runways[0].thirds[0]
        assert third.descriptor == NOTICE_WORDS[word]
        assert (third.reported_as or third.descriptor) == word
        assert report.not_understood == ()
        assert any("no equal" in warning for warning in report.warnings) is (NOTICE_WORDS[word] is None)


def test_read_condition__shallow_water_is_wet() -> None:
    """WET is water up to and including 3 mm or 1/8 in: definitions of Reg. (EU) 2020/2148 (second-hand)."""
    report = read_condition("RWY 17 FICON 5/5/2 100 PRCT 1/8IN WATER, 100 PRCT 1/8IN WATER, 100 PRCT 1/4IN WATER")
    assert [third.descriptor for third in report.runways[0].thirds] == ["WET", "WET", "STANDING WATER"]


def test_for_landing__thirds_begin_at_the_runway_named() -> None:
    """FAA AIM 4-3-9: assessments are given in the direction of landing, not from the lower designator."""
    report = read_condition("QDE RWY 35 FICON 5/3/1 100 PRCT WET OBS AT 2401151230.")
    assert [third.code for third in report.for_landing("35").thirds] == [5, 3, 1]
    assert [third.code for third in report.for_landing("17").thirds] == [1, 3, 5]


def test_read_condition__two_notices_in_one_text() -> None:
    text = (
        "!QDM 01/001 QDE RWY 17L FICON 5/5/5 100 PRCT WET OBS AT 2401151230.\n"
        "!QDM 01/002 QDE RWY 17R FICON 6/6/6 DRY OBS AT 2401151231."
    )
    report = read_condition(text)
    assert [runway.runway for runway in report.runways] == ["17L", "17R"]
    assert report.not_understood == ()


@pytest.mark.parametrize(
    ("text", "warning"),
    [
        ("RWY 22 FICON 5/5/3", "gives no time of observation"),
        ("RWY 22 FICON 5/5/3", "does not say what covers the runway"),
        ("RWY 04/22 FICON 5/5/3 100 PRCT WET", "names both ends, 04/22; .* threshold of 04"),
        ("RWY 22 FICON 0/5/3 100 PRCT WET", "code 0 \\(NIL\\) closes a runway"),
        ("RWY 22 FICON 5/5/3 100 PRCT WET, 100 PRCT ICE", "2 descriptions are given for three thirds"),
        ("RWY 22 FICON 5/5/1 50 PRCT WET AND 40 PRCT ICE", "lists WET and ICE; the most slippery"),
    ],
)
def test_read_condition__warns_of_odd_notices(text: str, warning: str) -> None:
    import re

    report = read_condition(text)
    assert any(re.search(warning, one) for one in report.warnings)
    assert len(report.runways) == 1


def test_read_condition__of_two_contaminants_the_lower_code_is_shown() -> None:
    """ICE has code 1, WET code 5 in the matrix (second-hand)."""
    (runway,) = read_condition("RWY 22 FICON 5/5/1 50 PRCT WET AND 40 PRCT ICE").runways
    assert {third.descriptor for third in runway.thirds} == {"ICE"}


def test_read_condition__unknown_words_of_a_notice_are_listed() -> None:
    report = read_condition("SEE BELOW\nQDE RWY 22 FICON 5/5/3 100 PRCT WET WITH FROGS OBS AT 2401151230. CALL TOWER")
    assert set(report.not_understood) == {"SEE BELOW", "WITH FROGS", "CALL TOWER"}


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("!QDM 01/015 QDE RWY 03/21 FICON ICE BA POOR OBSERVED AT 1601241330.",
         "QDM 01/015 for runway 03/21 at QDE.*24 January 2016 13:30 UTC.*no runway condition codes.*October 2016"),
        ("!QDM QDE RWY 15/33 FICON PTCHY THN WSR", "no runway condition codes.*before October 2016"),
        ("QDE RWY 15 FICON 20 PRCT ICE OBS AT 2401151230.", "no runway condition codes.*25 % or more"),
        ("QDE TWY A FICON 50 PRCT ICE", "names no runway that can be read"),
        ("QDE RWY 22 FICON 5/9/3 WET", "codes 5/9/3 are not three figures from 0 to 6"),
        ("QDE RWY 22 FICON 5/5/3 150 PRCT WET", "coverage 150 % is outside 0 to 100 %"),
        ("QDE RWY 22 FICON 5/5/3 WET OBS AT 2413151230", "month 13 is outside 01 to 12"),
        ("QDE RWY 22 FICON 5/5/3 WET OBS AT 2402301230", "February has days 1 to 29, not 30"),
        ("QDE RWY 22 FICON 5/5/3 WET OBS AT 01151230", "ten figures are needed"),
        ("QDE RWY 42 FICON 5/5/3 WET", '"42" is not a runway'),
        ("QDE RWY 22 FICON 5/5/3 WET\nQDF RWY 22 FICON 5/5/3 WET", "The notices are for QDE and QDF"),
        ("RWY 22 FICON 5/5/3 " + "WET, " * 400, "1500 at most"),
    ],
)  # fmt: skip
def test_read_condition__refuses_notices(text: str, message: str) -> None:
    with pytest.raises(ReportError, match=message):
        read_condition(text)
