"""The brief: one page, readable in black and white, the same content in every coat."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pypdf
import pypdfium2
import pytest
from lxml import etree, html

from groundroll.errors import GroundrollError
from groundroll.outputs.brief.content import Brief, GateRow, Report, StripExit, StripGate, digest_of, earliest_departure
from groundroll.outputs.brief.drawing import _HATCHES, strip_svg, unlabelled_exits
from groundroll.outputs.brief.fit import reductions
from groundroll.outputs.brief.form import brief_json
from groundroll.outputs.brief.html import brief_html
from groundroll.outputs.brief.landing import landing_brief
from groundroll.outputs.brief.pdf import Paper, brief_pdf, drawing_width
from groundroll.outputs.brief.take_off import take_off_brief
from groundroll.outputs.brief.text import WIDTH, brief_text
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.planning.decision import Decision, decide
from groundroll.planning.landing import plan_landing
from groundroll.planning.reject import plan_reject
from groundroll.scenario.read import read_any
from groundroll.scenario.resolved import Case
from groundroll.scenario.take_off import TakeOffCase

EXAMPLES = Path(__file__).parents[2] / "examples"
COMPUTED = datetime(2026, 2, 17, 6, 10, tzinfo=UTC)
WET = "wet-gusty-arrival"
LANDINGS = (WET, "contaminated-arrival", "failures-and-dispatch", "nothing-fits", "reduced-length")
TAKE_OFFS = ("departure-wet", "departure-contaminated", "departure-nothing-works")
PAPERS: tuple[Paper, ...] = ("a4", "a5")
MILLIMETRES = {"a4": (210.0, 297.0), "a5": (148.0, 210.0)}
"""ISO 216."""

MOST_WORDS = 200
"""About a minute and a bit at 170 words a minute, a calm reading: assumption of this project."""


@cache
def decision(name: str) -> Decision:
    case = read_any(EXAMPLES / name / "case.toml")
    assert isinstance(case, Case)
    return decide(plan_landing(case))


@cache
def brief_of(name: str) -> Brief:
    if name in LANDINGS:
        return landing_brief(decision(name), COMPUTED)
    case = read_any(EXAMPLES / name / "case.toml")
    assert isinstance(case, TakeOffCase)
    return take_off_brief(plan_reject(case), COMPUTED)


@cache
def pdf_of(name: str, paper: Paper) -> bytes:
    return brief_pdf(brief_of(name), COMPUTED, paper)


def words_of(pdf: bytes) -> str:
    """Return the text of the first page, every gap one space."""
    text = pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text()
    return " ".join(text.split())


def plain(text: str) -> str:
    return " ".join(text.replace("°", "deg").split())


def fonts_of(page: Any) -> Iterator[Any]:
    """Yield the descriptor of every font of a page, drawings included."""
    resources = page["/Resources"].get_object()
    for font in resources.get("/Font", {}).values():
        listed = font.get_object()
        for inner in listed.get("/DescendantFonts", [listed]):
            yield inner.get_object()["/FontDescriptor"].get_object()
    for form in resources.get("/XObject", {}).values():
        if "/Resources" in form.get_object():
            yield from fonts_of(form.get_object())


def long_brief(base: str = WET) -> Brief:
    """Return a brief with far more than fits a page: exits, gates, reports and a long title."""
    brief = brief_of(base)
    exits = tuple(
        StripExit(f"TAXIWAY {n}", 60.0 * n, "left" if n % 2 else "right", "40 kt", n == 33) for n in range(42)
    )
    then = "brake again, no harder than gentle; above 143 kt give up exit TAXIWAY 33: full pedal, full reverse"
    gates = tuple(
        GateRow(n, f"abeam TAXIWAY {n}", f"{60 * n} m", "103 kt", "143 kt", then, "any speed") for n in range(1, 31)
    )
    strip = replace(brief.strip, exits=exits, gates=tuple(StripGate(n, 60.0 * n) for n in range(1, 31)))
    reports = tuple(Report(kind, f"{kind} " + "LONG REPORT " * 1500, "understood " * 1500) for kind in ("W", "R"))
    return replace(brief, title="A long title " * 15, strip=strip, gates=gates, reports=reports)


# ---------------------------------------------------------------------------------------------------------- content


@pytest.mark.parametrize("name", [*LANDINGS, *TAKE_OFFS])
def test_brief__is_read_aloud_in_about_a_minute(name: str) -> None:
    assert sum(len(one.split()) for one in brief_of(name).aloud) <= MOST_WORDS


def test_landing_brief__says_what_the_decision_says() -> None:
    """Headline, reasons, margin and gates come from the decision, none is made anew."""
    brief, made = brief_of(WET), decision(WET)
    option, approach = made.chosen_option, made.chosen_approach
    assert option is not None
    assert approach is not None
    assert option.brake in brief.headline
    assert f"exit {approach.exit}" in brief.headline
    assert brief.facts[0].value == f"{option.margin:.0f} m"
    assert [one.name for one in brief.gates] == [one.name for one in made.gates]
    for row, gate in zip(brief.gates, made.gates, strict=True):
        assert gate.if_faster.endswith(row.then)
        assert row.faster_than == "planned" or row.faster_than in gate.if_faster
    found = made.break_points
    assert found is not None
    for cost in found.costs:
        lines = [one for one in brief.breaks if cost.name in one.text]
        assert lines
        assert any(one.breaks is not cost.fits for one in lines)


def test_landing_brief__a_tailwind_beyond_the_aircraft_file_is_not_offered_as_margin() -> None:
    """The roll bears 22 kt of tailwind there; the aircraft file allows 10 kt."""
    assert "a tailwind of 10 kt, the limit of the aircraft file" in brief_of("contaminated-arrival").margin


def test_landing_brief__names_what_does_not_work() -> None:
    assert "1 reverser out of use, 1 brake out of use" in brief_of("failures-and-dispatch").aeroplane


def test_brief__no_plan_is_said_first() -> None:
    assert brief_of("nothing-fits").headline.startswith("NO PLAN")
    assert brief_of("departure-nothing-works").headline.startswith("NO TAKE-OFF")
    assert not brief_of("nothing-fits").fits


def test_take_off_brief__shows_the_window_and_every_weak_action() -> None:
    case = read_any(EXAMPLES / "departure-wet" / "case.toml")
    assert isinstance(case, TakeOffCase)
    plan, brief = plan_reject(case), brief_of("departure-wet")
    assert brief.window is not None
    assert (brief.window.low, brief.window.high) == (plan.window.low, plan.window.high)
    text = " ".join(one.text for one in brief.breaks)
    assert all(one.words in text for one in plan.cases if one.key != "planned")


def test_earliest_departure__counts_roll_and_cooling_from_the_time_of_the_case() -> None:
    """06:40:00 and 75 s and 25 min are 07:06:15: the next whole minute is 07:07."""
    outcome = decision(WET).chosen_option
    assert outcome is not None
    assert outcome.brake_outcome is not None
    warm = replace(outcome.brake_outcome, cooling_time=1500.0)
    at = datetime(2026, 2, 17, 6, 40, tzinfo=UTC)
    assert earliest_departure(at, 75.0, warm)[0] == "07:07 UTC"
    assert earliest_departure(datetime(2026, 2, 17, 23, 59, tzinfo=UTC), 75.0, warm)[0] == "00:26 UTC next day"
    assert earliest_departure(None, 75.0, warm)[0] == "25 min"
    assert earliest_departure(at, 75.0, replace(warm, cooling_time=None))[0] == "not in two days"
    assert earliest_departure(at, 75.0, replace(warm, cooling_time=0.0))[0] == "no wait"


def test_digest__changes_with_an_input_and_with_nothing_else() -> None:
    case = str(EXAMPLES / WET / "case.toml")
    digests = []
    for changes in ([], [], ["landing.mass=62.6 t"]):
        read = read_any(case, changes)
        assert isinstance(read, Case)
        digests.append(landing_brief(decide(plan_landing(read)), datetime.now(UTC)).digest)
    assert digests[0] == digests[1] != digests[2]
    assert digest_of({"a": 1, "b": 2}) == digest_of({"b": 2, "a": 1})


# -------------------------------------------------------------------------------------------------------------- PDF


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", [*LANDINGS, *TAKE_OFFS])
def test_pdf__one_page_of_its_size_with_embedded_fonts_and_text(name: str, paper: Paper) -> None:
    brief = brief_of(name)
    reader = pypdf.PdfReader(io.BytesIO(pdf_of(name, paper)))
    assert len(reader.pages) == 1
    page = reader.pages[0]
    size = tuple(float(one) * 25.4 / 72.0 for one in (page.mediabox.width, page.mediabox.height))
    assert size == pytest.approx(MILLIMETRES[paper], abs=0.5)
    fonts = list(fonts_of(page))
    assert fonts
    for font in fonts:
        assert any(key in font for key in ("/FontFile", "/FontFile2", "/FontFile3")), font["/FontName"]
    text = plain(words_of(pdf_of(name, paper)))
    wanted = [
        brief.title,
        brief.place,
        brief.headline,
        brief.digest,
        brief.computed,
        CAUTION,
        INVENTED,
        *brief.heat[:1],
    ]
    wanted += [one.received for one in brief.reports]
    for sentence in wanted:
        # A line may be broken after a hyphen or a stroke: compared without gaps.
        assert "".join(sentence.split()) in "".join(text.split()), sentence


@pytest.mark.parametrize("paper", PAPERS)
def test_pdf__no_colour_and_nothing_over_the_edge(paper: Paper) -> None:
    """Every pixel is grey; a border of 3 mm all round stays white."""
    picture = np.asarray(pypdfium2.PdfDocument(pdf_of(WET, paper))[0].render(scale=2.0).to_pil().convert("RGB"), int)
    assert np.ptp(picture, axis=2).max() == 0
    edge = int(3.0 / 25.4 * 72.0 * 2.0)
    inside = picture[edge:-edge, edge:-edge].sum()
    assert picture.sum() - inside == 255 * 3 * (picture[..., 0].size - picture[edge:-edge, edge:-edge, 0].size)


@pytest.mark.parametrize("paper", PAPERS)
def test_pdf__far_too_much_input_still_makes_one_page_that_says_what_is_missing(paper: Paper) -> None:
    pdf = brief_pdf(long_brief(), COMPUTED, paper)
    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 1
    text = words_of(pdf)
    assert "Left out for room:" in text
    assert "gates between the first and the last" in text
    assert re.search(r"the labels of \d+ exits", text)
    assert CAUTION in text


def test_pdf__cautions_are_never_dropped_to_make_room() -> None:
    """So many that they cannot be shown are refused, with what to do instead."""
    brief = replace(long_brief(), cautions=tuple(f"Caution {number}: " + "mind this " * 30 for number in range(80)))
    with pytest.raises(GroundrollError, match=r"does not fit one page of A5.*\.html or \.txt"):
        brief_pdf(brief, COMPUTED, "a5")


def test_reductions__each_says_what_it_leaves_out_and_keeps_the_answer() -> None:
    whole, *shorter = reductions(long_brief())
    assert whole.left_out == ()
    for one in shorter:
        assert one.left_out
        assert (one.headline, one.why, one.margin, one.facts) == (whole.headline, whole.why, whole.margin, whole.facts)
        assert len(one.cautions) == len(whole.cautions)
        assert {row.number for row in one.gates} == {gate.number for gate in one.strip.gates}
        assert one.gates[0] == whole.gates[0]
        assert one.gates[-1] == whole.gates[-1]


def test_pdf__same_input_same_bytes() -> None:
    again = brief_pdf(brief_of(WET), COMPUTED, "a4")
    assert again == pdf_of(WET, "a4")


def test_pdf__text_of_a_file_is_never_markup() -> None:
    """What a user writes is shown as written, whatever it would mean to the typesetter."""
    title = '#panic("x") *bold* $x^2$ <a> @b \\ "q"'
    text = words_of(brief_pdf(replace(brief_of(WET), title=title), COMPUTED, "a4"))
    assert "".join(title.split()) in "".join(text.split())


# ---------------------------------------------------------------------------------------------------------- drawing


def test_strip__exits_stand_to_scale() -> None:
    """Equal metres are equal lengths on the page, whatever the paper."""
    for width in (drawing_width("a4"), drawing_width("a5")):
        tree = etree.fromstring(strip_svg(brief_of(WET).strip, width).encode())
        stubs = [
            one
            for one in tree.iter("{*}line")
            if float(one.get("x2", 0)) - float(one.get("x1", 0)) == pytest.approx(5.0, abs=0.011)
        ]
        at = sorted(float(one.get("x1", 0)) for one in stubs)
        metres = sorted(one.distance for one in brief_of(WET).strip.exits)
        assert len(at) == len(metres)
        steps = np.diff(at) / np.diff(metres)
        assert steps == pytest.approx(np.full(len(steps), steps[0]), rel=1e-3)


def test_strip__the_chosen_exit_keeps_its_label_among_many() -> None:
    strip = long_brief().strip
    assert unlabelled_exits(strip, drawing_width("a5")) > 0
    assert "TAXIWAY 33 40 kt" in strip_svg(strip, drawing_width("a5"))


def test_hatches__the_worse_the_code_the_darker_the_runway() -> None:
    """Measured on the drawn hatch, so that no colour is needed."""
    import typst

    shares = []
    for code in range(6, -1, -1):
        svg = (
            '<svg xmlns="http://www.w3.org/2000/svg" width="80pt" height="80pt" viewBox="0 0 80 80"><defs>'
            f'<pattern id="h" width="8" height="8" patternUnits="userSpaceOnUse">{_HATCHES[code]}</pattern></defs>'
            '<rect width="80" height="80" fill="url(#h)"/></svg>'
        )
        source = (
            b'#set page(width: 80pt, height: 80pt, margin: 0pt)\n#image(bytes(sys.inputs.at("svg")), format: "svg")'
        )
        made = typst.compile(source, format="png", ppi=144.0, sys_inputs={"svg": svg})
        assert isinstance(made, bytes)
        from PIL import Image

        shares.append(255.0 - float(np.asarray(Image.open(io.BytesIO(made)).convert("L"), float).mean()))
    assert shares == sorted(shares)
    assert np.diff(shares).min() > 3.0


# ------------------------------------------------------------------------------------------------- other coats of it


@pytest.mark.parametrize("name", [WET, "departure-wet", "nothing-fits"])
def test_html__self_contained_and_complete(name: str) -> None:
    page, brief = brief_html(brief_of(name)), brief_of(name)
    assert "<script" not in page
    assert not re.search(r"(src|href|url)\s*[=(]\s*[\"']?(https?:|//)", page)
    tree = html.document_fromstring(page)
    ids = tree.xpath("//@id")
    assert len(ids) == len(set(ids))
    text = plain(" ".join(tree.text_content().split()))
    for sentence in (brief.headline, brief.margin, *brief.why, *brief.heat, *brief.cautions, CAUTION, brief.digest):
        assert " ".join(sentence.split()) in text, sentence
    for one in brief.breaks:
        assert "".join(one.text.split()) in "".join(text.split())


def test_html__text_of_a_file_is_never_markup() -> None:
    page = brief_html(replace(brief_of(WET), title="<script>alert(1)</script>"))
    assert "<script>" not in page
    assert "&lt;script&gt;" in page


@pytest.mark.parametrize("name", [*LANDINGS, *TAKE_OFFS])
def test_text__fits_its_width_and_is_complete(name: str) -> None:
    brief, text = brief_of(name), brief_text(brief_of(name))
    assert max(len(line) for line in text.splitlines()) <= WIDTH
    joined = "".join(text.split())
    wanted = (brief.headline, brief.margin, *brief.heat, *brief.cautions, brief.limits, CAUTION, brief.digest)
    for sentence in wanted:
        assert "".join(sentence.split()) in joined, sentence


def test_json__names_carry_units_and_the_plan_stands_beside_the_page() -> None:
    brief = brief_of(WET)
    answer = brief_json(brief, {"cautions": [], "sources": [], "inputs": {}, "options": []})
    json.dumps(answer, allow_nan=False)
    assert answer["page"]["strip"]["paved_end_m"] == brief.strip.paved_end
    assert answer["page"]["headline"] == brief.headline
    assert answer["aloud"] == list(brief.aloud)
