"""Items I to T of the situational awareness section, each with the phrase published examples use for it."""

from __future__ import annotations

import pytest

from groundroll.reports import SituationalItem, read_condition

LINE = "QDEM 02170135 09R 6/6/6 NR/NR/NR NR/NR/NR DRY/DRY/DRY"


def items(text: str) -> tuple[SituationalItem, ...]:
    report = read_condition(f"{LINE}\n{text}")
    assert report.not_understood == ()
    assert report.warnings == ()
    return report.situational


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("RWY 09R REDUCED TO 2300.", {"item": "I", "runway": "09R", "reduced_length": 2300.0}),
        ("RWY 09R REDUCED TO 950.", {"item": "I", "runway": "09R", "reduced_length": 950.0}),
        ("DRIFTING SNOW.", {"item": "J", "runway": None}),
        ("RWY 09R DRIFTING SNOW.", {"item": "J", "runway": "09R"}),
        ("RWY 09R LOOSE SAND.", {"item": "K", "runway": "09R"}),
        ("RWY 09R CHEMICALLY TREATED.", {"item": "L", "runway": "09R"}),
        ("RWY 09R SNOWBANK L20 FM CL.", {"item": "M", "runway": "09R", "side": "L", "distance": 20.0}),
        ("RWY 09R SNOWBANK R20 FM CL.", {"item": "M", "runway": "09R", "side": "R", "distance": 20.0}),
        ("RWY 09R SNOWBANK LR25 FM CL.", {"item": "M", "runway": "09R", "side": "LR", "distance": 25.0}),
        ("TWY B SNOWBANK.", {"item": "N", "taxiway": "B"}),
        ("ALL TWYS SNOWBANK.", {"item": "N", "taxiway": "ALL"}),
        ("RWY 09R ADJ SNOWBANKS.", {"item": "O", "runway": "09R"}),
        ("TWY B POOR.", {"item": "P", "taxiway": "B", "condition": "POOR"}),
        ("TWYS A/B/C POOR.", {"item": "P", "taxiway": "A/B/C", "condition": "POOR"}),
        ("ALL TWYS POOR.", {"item": "P", "taxiway": "ALL", "condition": "POOR"}),
        ("APRON NORTH POOR.", {"item": "R", "apron": "NORTH", "condition": "POOR"}),
        ("ALL APRONS POOR.", {"item": "R", "apron": "ALL", "condition": "POOR"}),
        ("RWY 09R MEASURED FRICTION 0.45 0.44 0.40 .", {"item": "S", "runway": "09R"}),
        ("Sanded / swept at 0500.", {"item": "T", "text": "Sanded / swept at 0500"}),
    ],
)
def test_read_condition__item(text: str, expected: dict[str, object]) -> None:
    """Phrases: published examples of the format; item S from memory."""
    for written in (text, text.rstrip("."), text.replace(" ", "\n", 1) if expected["item"] != "T" else text):
        item = items(written)[0]
        assert {key: getattr(item, key) for key in expected} == expected


@pytest.mark.parametrize(
    "text", ["rwy 09r loose sand. twy b poor.", "RWY 09R LOOSE SAND\nTWY B POOR", "RWY 09R LOOSE SAND TWY B POOR)"]
)
def test_read_condition__items_with_full_stops_with_lines_or_with_neither(text: str) -> None:
    assert [item.item for item in items(text)] == ["K", "P"]


def test_read_condition__snowbanks_on_both_sides_at_two_distances() -> None:
    assert [(item.item, item.side, item.distance) for item in items("RWY 09R SNOWBANK L20 R25 FM CL.")] == [
        ("M", "L", 20.0),
        ("M", "R", 25.0),
    ]


def test_read_condition__all_items_in_order_with_meanings() -> None:
    text = (
        "RWY 09R REDUCED TO 2300. DRIFTING SNOW. RWY 09R LOOSE SAND. RWY 09R CHEMICALLY TREATED. RWY 09R SNOWBANK LR20 "
        "FM CL. TWY B SNOWBANK. RWY 09R ADJ SNOWBANKS. TWY B POOR. APRON A POOR. Snow clearing in progress. "
        "Expect delays."
    )
    found = items(text)
    assert "".join(item.item for item in found) == "IJKLMNOPRT"
    assert found[-1].text == "Snow clearing in progress. Expect delays"
    assert all(item.meaning.endswith(".") for item in found)


def test_read_condition__section_alone() -> None:
    report = read_condition("RWY 09R LOOSE SAND. TWY B POOR.")
    assert report.runways == ()
    assert [item.item for item in report.situational] == ["K", "P"]


@pytest.mark.parametrize(
    "text", ["TWY B POOR VISIBILITY.", "APRON POOR.", "RWY 09R SNOWBANK.", "RWY 09R REDUCED TO 23."]
)
def test_read_condition__almost_a_phrase_is_plain_language(text: str) -> None:
    assert [(item.item, item.text) for item in items(text)] == [("T", text.rstrip("."))]


def test_read_condition__phrase_for_an_impossible_runway_is_kept_as_a_remark() -> None:
    report = read_condition(f"{LINE}\nRWY 44 LOOSE SAND.")
    assert report.situational[0].item == "T"
    assert any("names no possible runway" in warning for warning in report.warnings)
