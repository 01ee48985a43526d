"""Whatever the text, the readers return a report or raise ReportError, and nothing else."""

from __future__ import annotations

import json

from hypothesis import given, settings
from hypothesis import strategies as st

from groundroll.errors import ReportError
from groundroll.reports import (
    WeatherReport,
    describe_condition,
    describe_weather,
    read_condition,
    read_report,
    read_weather,
)
from groundroll.reports.to_json import to_json

VALID = (
    "METAR QDEM 251250Z AUTO 24015G27KT 200V280 0800 R24/0600V1000U -RA BKN012 12/11 Q1009 RESN WS R24 NOSIG RMK AO2",
    "SWQA0151 QDEM 02170225 (COR)\n(SNOWTAM 0151\nQDEM\n02170225 09L 5/5/5 100/100/100 NR/NR/NR WET/WET/WET 30\n"
    "02170135 09R 3/3/0 75/100/100 04/12/12 dry snow/wet snow on top of\ncompacted snow/water on top of compacted "
    "snow\nRWY 09L REDUCED TO 2300. RWY 09L SNOWBANK LR20 FM CL. ALL TWYS POOR. Sanded.)",
    "!ABC 01/123 ABC RWY 17 FICON 5/3/2 25 PRCT 1/8IN DRY SN, 50 PRCT 1 1/2IN WET SN OVER COMPACTED SN, 75 PRCT SLUSH "
    "PLOWED 100FT WIDE OBS AT 2401151230. 2401151235-2401161235EST",
    "runway two four left condition codes five five five wet 100 percent depth 2 mm braking action good at 1250Z",
)
TOKENS = sorted(
    {token for text in VALID for token in text.split()} | {"/", "////", "(", ")", "A)", "B)", "NIL", "TAF", "²", "٣"}
)


@st.composite
def mutations(draw: st.DrawFn) -> str:
    """A valid report with some pieces replaced by other text."""
    text = draw(st.sampled_from(VALID))
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(text)))
        end = min(len(text), at + draw(st.integers(0, 6)))
        text = text[:at] + draw(st.text(max_size=6)) + text[end:]
    return text


def accept(text: str) -> None:
    for read in (read_report, read_weather, read_condition):
        try:
            report = read(text)
        except ReportError as error:
            message = str(error)
        else:
            lines = describe_weather(report) if isinstance(report, WeatherReport) else describe_condition(report)
            message = " ".join(lines)
            json.dumps(to_json(report), allow_nan=False)
        assert message


@settings(max_examples=1500, deadline=None)
@given(mutations())
def test_read_report__mutated_reports(text: str) -> None:
    accept(text)


@settings(max_examples=1000, deadline=None)
@given(st.lists(st.sampled_from(TOKENS), max_size=30), st.sampled_from([" ", "\n", "", ". "]))
def test_read_report__words_in_any_order(tokens: list[str], separator: str) -> None:
    accept(separator.join(tokens))


@settings(max_examples=700, deadline=None)
@given(st.text(max_size=300))
def test_read_report__any_text(text: str) -> None:
    accept(text)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.sampled_from(TOKENS), min_size=1, max_size=4), st.sampled_from([*VALID, ""]))
def test_read_report__long_repetitions(tokens: list[str], start: str) -> None:
    unit = " ".join(tokens) + " "
    accept((start + " " + unit * (20_000 // len(unit)))[:20_000])
