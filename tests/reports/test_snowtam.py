"""SNOWTAM and runway condition lines: every field and every oddity, on reports of invented aerodromes.

Expected values are what the form says by hand: items A to P of Reg. (EU) 2022/938, Appendix 3; heading of Reg. (EU)
2021/1338, Annex V, Appendix 3. Rules marked "from memory" in `groundroll.reports.wording` are used as such.
"""

from __future__ import annotations

import pytest

from groundroll.errors import ReportError
from groundroll.reports import RunwayCondition, read_condition
from groundroll.reports.wording import CONDITION_WORDS

LINE = "QDEM 02170135 09R 5/2/2 100/50/75 NR/06/06 WET/SLUSH/SLUSH"
MESSAGE = """GG QDENZQZX QDEPZQZX
170230 QDEMYNYX
SWQA0151 QDEM 02170225
(SNOWTAM 0151
QDEM
02170225 09L 5/5/5 100/100/100 NR/NR/NR WET/WET/WET
02170135 09R 3/3/0 75/100/100 04/12/NR dry snow/wet snow on top of
compacted snow/water on top of compacted snow 35
RWY 09L REDUCED TO 2300. DRIFTING SNOW. Sanded every hour.)"""


def codes(runway: RunwayCondition) -> list[int | None]:
    return [third.code for third in runway.thirds]


def test_read_condition__whole_message_with_communication_heading() -> None:
    report = read_condition(MESSAGE)
    assert report.kind == "SNOWTAM"
    assert report.raw == MESSAGE
    assert (report.priority, report.addresses) == ("GG", ("QDENZQZX", "QDEPZQZX"))
    assert (report.filed, report.originator) == ("170230", "QDEMYNYX")
    assert (report.state, report.serial, report.aerodrome) == ("QA", "0151", "QDEM")
    assert report.heading_time == "02170225"
    assert not report.correction
    assert report.cancels_previous
    assert report.warnings == ()
    assert report.not_understood == ()
    left, right = report.runways
    assert (left.aerodrome, left.runway, left.moment) == ("QDEM", "09L", (2, 17, 2, 25))
    assert (right.aerodrome, right.runway, right.moment) == ("QDEM", "09R", (2, 17, 1, 35))
    assert left.year is None
    assert codes(right) == [3, 3, 0]
    assert [third.coverage_percent for third in right.thirds] == [75, 100, 100]
    assert [third.depth for third in right.thirds] == pytest.approx([0.004, 0.012, None])
    assert [third.descriptor for third in right.thirds] == [
        "DRY SNOW",
        "WET SNOW ON TOP OF COMPACTED SNOW",
        "WATER ON TOP OF COMPACTED SNOW",
    ]
    assert (left.width, right.width) == (None, 35.0)
    assert left.direction == right.direction == "lower designator"
    assert [item.item for item in report.situational] == ["I", "J", "T"]


@pytest.mark.parametrize(
    "text",
    [
        LINE,
        LINE.lower(),
        LINE.replace(" ", "  "),
        LINE.replace(" ", "\n"),
        LINE.replace("/", " / "),
        LINE.replace(" ", " "),
        LINE + ".",
        LINE + "=",
        f"({LINE})",
        f"\n\n{LINE}\n\nNNNN",
        LINE.replace("09R", "RWY 09R"),
        LINE.replace("09R", "RWY09R"),
        LINE.replace("09R", "9R"),
        LINE.replace("09R", "09R/27L"),
        LINE.replace("02170135", "02170135Z"),
    ],
)
def test_read_condition__same_line_in_other_shapes(text: str) -> None:
    """Brackets, small letters, broken lines and the aerodrome once are seen in published messages."""
    report = read_condition(text)
    (runway,) = report.runways
    expected = read_condition(LINE).runways[0]
    assert runway == expected
    assert report.not_understood == ()
    assert report.warnings == ()
    assert report.kind == "RCR line"


@pytest.mark.parametrize("word", CONDITION_WORDS)
@pytest.mark.parametrize("place", [0, 1, 2])
def test_read_condition__each_condition_word_in_each_third(word: str, place: int) -> None:
    words = ["DRY", "DRY", "DRY"]
    words[place] = word
    for text in ("/".join(words), "/".join(words).lower(), "/".join(words).replace(" ", "\n"), " / ".join(words)):
        (runway,) = read_condition(f"QDEM 02170135 09R 6/6/6 NR/NR/NR NR/NR/NR {text} 30\nTWY B POOR.").runways
        assert [third.descriptor for third in runway.thirds] == words
        assert runway.width == 30.0


@pytest.mark.parametrize(
    ("heading", "correction"),
    [
        ("SWQA0002 QDEM 02170135", False),
        ("SWQA0002 QDEM 02170135 (COR)", True),
        ("SWQA0002 QDEM 02170135 COR", True),
        ("swqa0002 qdem 02170135 (cor)\n(snowtam 0002", True),
        ("(SWQA0002 QDEM 02170135", False),
        ("ZCZC\nSWQA0002 QDEM 02170135\nSNOWTAM 0002\nQDEM", False),
    ],
)
def test_read_condition__heading_shapes(heading: str, correction: bool) -> None:
    report = read_condition(f"{heading}\n02170135 09R 6/6/6 NR/NR/NR NR/NR/NR DRY/DRY/DRY)")
    assert (report.kind, report.serial, report.aerodrome) == ("SNOWTAM", "0002", "QDEM")
    assert report.correction is correction
    assert report.heading_time == "02170135"
    assert report.not_understood == ()
    assert report.runways[0].aerodrome == "QDEM"


def test_read_condition__heading_year_figures_are_the_day() -> None:
    """MMYYGGgg: YY is the day of the month (Reg. (EU) 2021/1338, Annex V, Appendix 3)."""
    assert read_condition("QDEM 12310159 18 6/6/6 NR/NR/NR NR/NR/NR DRY/DRY/DRY").runways[0].moment == (12, 31, 1, 59)


def test_for_landing__lower_designator_keeps_and_higher_reverses_the_thirds() -> None:
    """Thirds begin at the lower designator (item G of the form); 5/2/2 for 09R is 2/2/5 for a landing on 27L."""
    report = read_condition(LINE)
    same, other = report.for_landing("09R"), report.for_landing("27L")
    assert (codes(same), codes(other)) == ([5, 2, 2], [2, 2, 5])
    assert [third.coverage_percent for third in other.thirds] == [75, 50, 100]
    assert [third.descriptor for third in other.thirds] == ["SLUSH", "SLUSH", "WET"]
    assert (same.runway, other.runway) == ("09R", "27L")
    assert same.direction == other.direction == "landing"


@pytest.mark.parametrize("name", ["27l", "27L", " 27 L ", "RWY 27L", "runway 27L"])
def test_for_landing__designator_as_people_write_it(name: str) -> None:
    assert read_condition(LINE).for_landing(name).runway == "27L"


def test_for_landing__unknown_runway_names_those_in_the_report() -> None:
    lines = "\n".join(LINE.replace("09R", name) for name in ("09L", "09R", "09C"))
    with pytest.raises(ReportError, match=r"^Runway 24 is not in this report; it covers 09L, 09R and 09C\.$"):
        read_condition(lines).for_landing("24")
    with pytest.raises(ReportError, match="Runway 09L is not in this report; it covers 09R"):
        read_condition(LINE).for_landing("09L")
    with pytest.raises(ReportError, match='"37" is not a runway'):
        read_condition(LINE).for_landing("37")


def test_for_landing__of_two_lines_the_latest_counts_also_over_new_year() -> None:
    late = "QDEM 01010010 09R 5/5/5 100/100/100 NR/NR/NR WET/WET/WET"
    early = "QDEM 12312350 09R 6/6/6 NR/NR/NR NR/NR/NR DRY/DRY/DRY"
    for text in (f"{late}\n{early}", f"{early}\n{late}"):
        report = read_condition(text)
        assert codes(report.for_landing("09R")) == [5, 5, 5]
        assert any("given 2 times" in warning for warning in report.warnings)


def test_read_condition__higher_designator_is_taken_as_named_with_a_warning() -> None:
    report = read_condition(LINE.replace("09R", "27L"))
    assert report.runways[0].direction == "as named"
    assert codes(report.for_landing("27L")) == [5, 2, 2]
    assert any("Ask which end is meant" in warning for warning in report.warnings)


def test_reduced_length__for_either_end_of_the_runway_only() -> None:
    report = read_condition(MESSAGE)
    assert report.reduced_length("09L") == report.reduced_length("27R") == 2300.0
    assert report.reduced_length("09R") is None


@pytest.mark.parametrize(
    ("line", "warning"),
    [
        (
            "5/5/5 100/100/100 06/06/06 SLUSH/SLUSH/SLUSH",
            "SLUSH 6 mm has code 2 in the assessment matrix, but 5 is reported",
        ),
        ("5/5/5 100/100/100 06/06/06 SLUSH/SLUSH/SLUSH", "code 2 may not be upgraded"),
        (
            "3/3/3 100/100/100 NR/NR/NR ICE/ICE/ICE",
            "ICE has code 1 in the assessment matrix, but 3 is reported: upgraded",
        ),
        ("5/5/5 100/100/100 NR/NR/NR ICE/ICE/ICE", "higher than 3, the highest an upgrade may reach"),
        ("2/2/2 100/100/100 NR/NR/NR WET/WET/WET", "but 2 is reported: downgraded"),
        ("5/5/5 100/100/100 03/NR/NR WET/WET/WET", "first third: depth 3 mm is reported for WET"),
        ("5/5/5 100/100/100 NR/03/NR FROST/FROST/FROST", "second third: depth 3 mm is reported for FROST"),
        ("2/2/2 100/100/100 NR/NR/NR SLUSH/SLUSH/SLUSH", "no depth is reported for SLUSH"),
        ("5/5/5 25/100/100 NR/NR/NR WET/WET/WET", "first third: coverage 25 % with code 5"),
        ("5/5/5 100/100/60 NR/NR/NR WET/WET/WET", "last third: coverage 60 % is none of 25, 50, 75 and 100 %"),
        ("5/5/5 100/100/100 06/NR/NR WET/WET/WET", "water 6 mm deep is standing water"),
        ("2/2/2 100/100/100 03/06/06 STANDING WATER/STANDING WATER/STANDING WATER", "water 3 mm deep is WET"),
        ("NR/5/5 100/100/100 NR/NR/NR WET/WET/WET", "first third: no runway condition code is reported"),
        ("5/5/5 100/100/100 NR/NR/NR", "the condition words are missing"),
        ("5/5/5", "the condition words are missing"),
        ("5/5/5 100/100/100 NR/NR/NR WET", "one condition word is given and taken for all three thirds"),
        ("2/2/2 06/06/06 SLUSH/SLUSH/SLUSH", '"06/06/06" is read as depth'),
        ("5/5/5 100/100/100 WET/WET/WET", '"100/100/100" is read as coverage'),
        ("5/5/5 100/100/100 NR/NR/NR WET/WET/WET 00", "width 00 cannot be"),
    ],
)
def test_read_condition__warns_and_keeps_what_was_reported(line: str, warning: str) -> None:
    """Matrix: Doc 9981 Table II-1-3 (second-hand); upgrades and depth rules from memory."""
    report = read_condition(f"QDEM 02170135 09R {line}")
    assert any(warning in one for one in report.warnings)
    expected = [None if code == "NR" else int(code) for code in line.split()[0].split("/")]
    assert codes(report.runways[0]) == expected


@pytest.mark.parametrize(
    "line",
    [
        "6/6/6 25/NR/25 NR/NR/NR WET/WET/WET",
        "5/5/5 100/100/100 03/03/03 SLUSH/WET SNOW/DRY SNOW",
        "4/3/4 100/100/100 NR/NR/NR COMPACTED SNOW/COMPACTED SNOW/SPECIALLY PREPARED WINTER RUNWAY",
        "0/0/0 100/100/100 NR/20/05 WET ICE/DRY SNOW ON TOP OF ICE/WET SNOW ON TOP OF ICE",
        "6/6/6 DRY/DRY/DRY",
    ],
)
def test_read_condition__nothing_to_warn_of(line: str) -> None:
    assert read_condition(f"QDEM 02170135 09R {line}").warnings == ()


def test_read_condition__depth_03_of_loose_contaminants_means_3_mm_or_less() -> None:
    """PANS-AIM Appendix 4, item F (from memory)."""
    (runway,) = read_condition("QDEM 02170135 09R 5/5/2 100/100/100 03/03/04 SLUSH/WET/SLUSH").runways
    assert [third.depth_at_most for third in runway.thirds] == [True, False, False]


def test_read_condition__depth_of_three_figures() -> None:
    (runway,) = read_condition("QDEM 02170135 09R 3/3/3 100/100/100 120/05/05 DRY SNOW/DRY SNOW/DRY SNOW").runways
    assert runway.thirds[0].depth == pytest.approx(0.120)


def test_read_condition__heading_that_is_not_the_latest_time_is_mentioned() -> None:
    report = read_condition(MESSAGE.replace("QDEM 02170225", "QDEM 02170135", 1))
    (warning,) = report.warnings
    assert "17 February 01:35 UTC, not the latest assessment (17 February 02:25 UTC)" in warning


def test_read_condition__serial_numbers_that_differ_are_mentioned() -> None:
    report = read_condition(MESSAGE.replace("SNOWTAM 0151", "SNOWTAM 0152"))
    assert any("serial number 0151, the message 0152" in warning for warning in report.warnings)


def test_read_condition__unknown_word_and_strange_heading_are_listed_not_dropped() -> None:
    report = read_condition(f"PAGE 3\n{LINE.replace('SLUSH/SLUSH', 'MUD/SLUSH')}")
    assert set(report.not_understood) == {"PAGE", "3", "MUD"}
    assert [third.descriptor for third in report.runways[0].thirds] == ["WET", None, "SLUSH"]


def test_read_condition__aerodrome_of_heading_and_of_lines_must_agree() -> None:
    text = MESSAGE.replace("SWQA0151 QDEM", "SWQA0151 QDEN")
    with pytest.raises(ReportError, match="runways of QDEN and QDEM"):
        read_condition(text)


def test_read_condition__damaged_second_line_is_listed_not_taken_for_a_remark() -> None:
    report = read_condition(f"{LINE}\nQDEM 0217O135 09L 5/5/5 100/100/100 NR/NR/NR WET/WET/WET\nTWY B POOR.")
    assert len(report.runways) == 1
    assert any("0217O135 09L" in piece for piece in report.not_understood)
    assert any("A runway line that cannot be read" in warning for warning in report.warnings)
    assert [item.item for item in report.situational] == ["P"]


def test_read_condition__line_without_time_and_line_without_aerodrome() -> None:
    report = read_condition("09L 5/2/2 100/100/100 NR/06/06 WET/SLUSH/SLUSH")
    assert report.runways[0].moment is None
    assert report.runways[0].direction == "lower designator"
    assert any("time of assessment is missing" in warning for warning in report.warnings)
    assert any("names no aerodrome" in warning for warning in report.warnings)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (LINE.replace("5/2/2", "7/2/2"), "code 7 is outside 0 to 6"),
        (LINE.replace("5/2/2", "15/2/2"), "code 15 is outside 0 to 6"),
        (LINE.replace("5/2/2", "5/2"), "no three codes n/n/n"),
        (LINE.replace("5/2/2", "5/2/2/2"), "no three codes n/n/n"),
        (LINE.replace("100/50/75", "150/50/75"), "coverage 150 % is outside 0 to 100 %"),
        (LINE.replace("NR/06/06", "NR/0600/06"), "depth 0600 mm is outside 0 to 999 mm"),
        (LINE.replace("02170135", "02300135"), "February has days 1 to 29, not 30"),
        (LINE.replace("02170135", "13170135"), "month 13 is outside 01 to 12"),
        (LINE.replace("02170135", "02172435"), "24:35 is outside 00:00 to 23:59"),
        (LINE.replace("02170135", "2602170135"), "eight figures are needed"),
        (LINE.replace("09R", "88"), '"88" is not a runway'),
        (LINE.replace("WET/SLUSH/SLUSH", "WET/SLUSH"), "has not three condition words"),
        (LINE.replace("WET/SLUSH/SLUSH", "WET/WET/WET/WET"), "has not three condition words"),
        ("SWQA0002 QDEM 02170135\n(SNOWTAM 0002\nQDEM)", "no runway line that can be read"),
        (f"{LINE}\n{LINE.replace('QDEM', 'QDEN')}", "runways of QDEM and QDEN"),
        (f"{MESSAGE}\n{MESSAGE}", "more than one SNOWTAM"),
        ("\n".join([LINE] * 41), "41 runway lines"),
        (
            "(SNOWTAM 0196\nA)QDEM\nB)02271450\nC)03 F)NIL/NIL/NIL)",
            "SNOWTAM 0196 of QDEM, runway 03, .* before November 2021",
        ),
        ("A) QDEM B) 02271450 C) 03 D) 2500 F) 4/5/4 G) XX/03/XX H) 3/2/3", "lettered format"),
        ("", "empty"),
        ("  \n ", "empty"),
        ("9" * 20_001, "20001 characters"),
        ("the weather is fine", "is not a runway condition report"),
    ],
)
def test_read_condition__refuses_with_a_clear_sentence(text: str, message: str) -> None:
    with pytest.raises(ReportError, match=message):
        read_condition(text)


def test_read_condition__what_is_not_text_is_refused() -> None:
    with pytest.raises(ReportError, match="a value of type NoneType was given"):
        read_condition(None)  # type: ignore[arg-type]


def test_read_condition__control_characters_are_spaces_and_mentioned() -> None:
    report = read_condition(LINE.replace(" ", "\0"))
    assert report.runways == read_condition(LINE).runways
    assert any("control characters" in warning for warning in report.warnings)
