"""What notebooks show: the numbers of the commands as tables and charts, the caution in each."""

from __future__ import annotations

import json
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

import groundroll as gr
from groundroll.commands import run
from groundroll.errors import GroundrollError, ScenarioError
from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.outputs.notebook_form import page, table

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
ARRIVAL = EXAMPLES / "wet-gusty-arrival" / "case.toml"
DEPARTURE = EXAMPLES / "departure-wet" / "case.toml"
VOID = {"img", "br", "meta", "use", "path", "link"}


class Reader(HTMLParser):
    """Reads a piece of HTML: cells of its tables, its words, and whether every element is closed in its turn."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tables: list[list[list[str]]] = []
        self.words: list[str] = []
        self.attributes: dict[str, list[dict[str, str | None]]] = {}
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take an element up."""
        self.attributes.setdefault(tag, []).append(dict(attrs))
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self.tables[-1][-1].append("")
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take an element without content up."""
        self.attributes.setdefault(tag, []).append(dict(attrs))

    def handle_endtag(self, tag: str) -> None:
        """Close the element that was opened last."""
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Take words up, into a cell where one is open."""
        self.words.append(data)
        if self.open and self.open[-1] in ("td", "th"):
            self.tables[-1][-1][-1] += data


def html(answer: Any) -> Reader:
    """Return what an answer shows, read; the caution must be in it."""
    found = Reader(answer._repr_html_())
    together = " ".join(found.words)
    assert CAUTION in together
    assert INVENTED in together
    return found


@pytest.fixture(scope="module")
def arrival() -> Any:
    """Return the case of README.md."""
    return gr.read_case(ARRIVAL)


@pytest.fixture(scope="module")
def landing(arrival: Any) -> Any:
    """Return its plan."""
    return gr.land(arrival)


def test_land__table_is_that_of_the_command(landing: Any, capsys: pytest.CaptureFixture[str]) -> None:
    """Row by row what `groundroll land` prints; README.md shows 1829, 2103 and +397 for the one recommended."""
    found = html(landing)
    head, first, *rest = found.tables[0]
    assert [one.split()[0] for one in head[1:6]] == ["brakes", "reverse", "stop", "+15", "margin"]
    assert first[:6] == [">", "steady", "full", "1829", "2103", "+397"]
    assert run(["land", str(ARRIVAL)]) == 0
    printed = capsys.readouterr().out
    for row in [first, *rest]:
        assert " ".join(" ".join(row).split()) in " ".join(printed.split())
    assert landing.text.strip() in printed or printed.strip() in repr(landing)


def test_land__chart_shows_itself_alone_and_within(landing: Any) -> None:
    """An SVG with the caution; inside the page it has words for who cannot see it."""
    svg = landing.chart._repr_svg_()
    assert svg.lstrip().startswith("<?xml")
    assert "judgement of the commander prevail" in svg
    found = html(landing)
    (drawn,) = found.attributes["svg"]
    assert drawn["role"] == "img"
    assert drawn["aria-label"]
    assert "chart" in repr(landing.chart)


def test_land__data_frame_has_every_choice_in_si(landing: Any) -> None:
    """Five brakes times three uses of reverse; 1829 m as printed."""
    frame = landing.table
    assert frame.height == 15
    row = next(one for one in frame.to_dicts() if (one["brake"], one["reverse"]) == ("steady", "full"))
    assert row["stop_distance_m"] == pytest.approx(1829.0, abs=0.5)
    assert landing.to_dict()["kind"] == "land"


def test_land__nothing_fits_is_shown_too() -> None:
    """A plan that is none still has its reasons and its table."""
    found = html(gr.land(EXAMPLES / "nothing-fits" / "case.toml"))
    assert any("nothing fits" in one for one in found.words)
    assert len(found.tables[0]) > 3


def test_read_case__shows_its_inputs_and_what_was_changed(arrival: Any) -> None:
    """The inputs of the file, in its units."""
    cells = dict(html(arrival).tables[0])
    assert cells["mass"] == "62.5 t"
    assert cells["surface in this direction"] == "5 wet, 5 wet, 3 slippery wet"
    assert cells["margin"] == "15 %"
    lighter = arrival.changed("landing.mass=58 t").changed("landing.flap=full")
    cells = dict(html(lighter).tables[0])
    assert cells["mass"] == "58.0 t"
    assert cells["changed"] == "landing.mass=58 t; landing.flap=full"
    assert "62.5 t" in repr(arrival)
    assert dict(html(gr.read_case(DEPARTURE)).tables[0])["mass"] == "77.5 t"


@pytest.fixture(autouse=True)
def wide(monkeypatch: pytest.MonkeyPatch) -> None:
    """Print on a terminal so wide that no cell is broken."""
    monkeypatch.setenv("COLUMNS", "120")


def test_reject__tables_are_those_of_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    """Both tables, cell by cell."""
    answer = gr.reject(gr.read_case(DEPARTURE))
    found = html(answer)
    assert run(["reject", str(DEPARTURE)]) == 0
    printed = " ".join(capsys.readouterr().out.split())
    for shown in found.tables:
        for row in shown[1:]:
            assert " ".join(" ".join(row).split()) in printed
    assert len(found.tables) == 2
    assert "svg" in found.attributes
    assert answer.to_dict()["kind"] == "reject"


def test_turn__tables_are_those_of_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    """Departures and landings of the day, cell by cell."""
    day = EXAMPLES / "day" / "day.toml"
    found = html(gr.turn(day))
    run(["turn", str(day)])
    printed = " ".join(capsys.readouterr().out.split())
    assert len(found.tables) == 2
    for shown in found.tables:
        for row in shown[1:]:
            assert " ".join(" ".join(row).split()) in printed


def test_turn__a_change_changes_it() -> None:
    """A cooler day has cooler brakes."""
    day = EXAMPLES / "day" / "day.toml"
    hot, cool = gr.turn(day), gr.turn(day, "start.air_temperature=0 degC")
    hottest = [one.to_dict()["sectors"][0]["departure"] for one in (hot, cool)]
    assert hottest[0] != hottest[1]
    assert repr(cool)


def test_compare__shares_add_up(arrival: Any) -> None:
    """The ledger is exact: its rows sum to the difference of the two stops, each printed to 0.1 m."""
    answer = gr.compare(arrival, arrival.changed("landing.mass=56 t"))
    found = html(answer)
    rows = {cause: float(share.split()[0]) for cause, share in found.tables[0][1:]}
    together = rows.pop("together")
    assert sum(rows.values()) == pytest.approx(together, abs=0.05 * (len(rows) + 1))
    assert rows["mass"] != 0.0
    values = answer.to_dict()
    assert together == pytest.approx(values["other_distance_m"] - values["first_distance_m"], abs=0.05)
    svg = answer.chart._repr_svg_()
    assert "this case" in svg
    assert "mass" in svg
    assert CAUTION in repr(answer)


def test_review_recording__events_and_where_the_runway_went(arrival: Any) -> None:
    """Touchdown is the zero of times; the invented recording says so."""
    answer = gr.review_recording(EXAMPLES / "recordings" / "recorder.csv", arrival)
    found = html(answer)
    events = {row[0]: row[1:] for row in found.tables[0][1:]}
    assert events["touchdown"][0] == "+0.0"
    causes = [row[0] for row in found.tables[1][1:]]
    assert "not explained" in causes
    assert "Surface:" in answer.text
    assert answer.to_dict()["kind"] == "review"


def test_review_recording__anonymous_names_no_place(arrival: Any) -> None:
    """Neither title nor aerodrome."""
    answer = gr.review_recording(EXAMPLES / "recordings" / "recorder.csv", arrival, anonymous=True)
    shown = answer._repr_html_()
    assert "Demonstration Coast" not in shown
    assert "QDEM" not in shown


def test_animate__shows_a_picture_with_words(tmp_path: Path) -> None:
    """A GIF inside the page, its words for who cannot see it, and a file in any form."""
    answer = gr.animate(ARRIVAL, speed=20.0)
    found = html(answer)
    (image,) = found.attributes["img"]
    assert str(image["src"]).startswith("data:image/gif;base64,R0lGOD")
    assert "stopped after 1829 m" in str(image["alt"]).lower()
    answer.save(tmp_path / "clip.gif", size="320x180", rate=0.5)
    assert (tmp_path / "clip.gif").stat().st_size > 1_000
    assert "-->" in repr(answer)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: gr.read_case(EXAMPLES / "aircraft" / "demo-regional.toml"), "demo-regional.toml is not a case"),
        (lambda: gr.land(gr.read_case(DEPARTURE)), "is a take-off. A landing is needed here"),
        (lambda: gr.reject(gr.read_case(ARRIVAL)), "is a landing. A take-off is needed here"),
        (lambda: gr.read_case(ARRIVAL, "landing.mass=9 t"), "landing.mass"),
    ],
)
def test_answers__refuse_in_words(call: Any, match: str) -> None:
    """As the commands do."""
    with pytest.raises(ScenarioError, match=match):
        call()


def test_animate__three_are_too_many() -> None:
    """One or two."""
    with pytest.raises(GroundrollError, match="not 3"):
        gr.animate(ARRIVAL, ARRIVAL, ARRIVAL)


def test_page__words_of_a_file_cannot_become_markup() -> None:
    """Titles and cells are text, whatever a file says."""
    bad = "<script>alert(1)</script>&amp;"
    shown = page(bad, [table(bad, (bad,), [(bad,)])], bad, [bad])
    assert "<script" not in shown
    assert Reader(shown).tables == [[[bad], [bad]]]


def test_package__names_are_imported_at_their_first_use() -> None:
    """`import groundroll` is quick; all public names are there, an unknown one is an AttributeError."""
    script = (
        "import sys, groundroll as gr\n"
        "assert not [one for one in sys.modules if one.split('.')[0] in ('numpy', 'numba', 'pydantic', 'matplotlib')]\n"
        "assert set(gr.__all__) <= set(dir(gr))\n"
        "assert all(callable(getattr(gr, one)) for one in gr.__all__ if one != '__version__')\n"
        "import groundroll.review.landing\n"
        "assert callable(gr.review_recording)\n"
        "try:\n    gr.fly\nexcept AttributeError as error:\n    print(error)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "module 'groundroll' has no attribute 'fly'"


def test_gallery__every_cell_runs_and_shows_something(tmp_path: Path) -> None:
    """docs/gallery.ipynb in a kernel of its own: each answer as HTML with the caution, the numbers of README.md."""
    # In a Python of its own: what starts and ends kernels leaves sockets behind, which are no matter of ours.
    command = [sys.executable, "-m", "tests.notebook.gallery", str(tmp_path / "gallery.ipynb")]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=180)
    assert done.returncode == 0, done.stderr[-2_000:]
    notebook = json.loads((tmp_path / "gallery.ipynb").read_text(encoding="utf-8"))
    cells = {one["id"]: one for one in notebook["cells"] if one["cell_type"] == "code"}
    assert {"case", "land", "compare", "reject", "turn", "review", "animate", "chart"} <= set(cells)
    for name, cell in cells.items():
        outputs = cell["outputs"]
        assert [one["output_type"] for one in outputs] == ([] if name == "import" else ["execute_result"]), name
        kinds = [set(one["data"]) for one in outputs]
        if name == "import":
            assert kinds == []
        elif name == "chart":
            assert "image/svg+xml" in kinds[0]
        elif name != "table":
            assert CAUTION in Reader(outputs[0]["data"]["text/html"]).words, name
    assert ">1829</td>" in cells["land"]["outputs"][0]["data"]["text/html"]
    assert "Setting steady with full reverse" in cells["land"]["outputs"][0]["data"]["text/plain"]
