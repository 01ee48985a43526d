"""The landing plan as text: what a tired reader must find, whatever the case."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.outputs.landing_table import landing_text, ordered
from groundroll.planning.landing import LandingPlan, plan_landing
from tests.planning.cases import DRY, NAMES, NIL, WET, aircraft, changed, example, instant_brakes, standard_case
from tests.planning.decisions import decided


@pytest.fixture(autouse=True)
def _width(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")


def _flat(text: str) -> str:
    return " ".join(text.split())


def _rows(text: str) -> list[tuple[bool, str, str, list[str]]]:
    """Return the rows of the first table: marked or not, brakes, reverse, the rest."""
    table = text.split("dem, fri, tor:")[0].split("─\n")[-1]
    rows = []
    for line in table.splitlines():
        words = line.replace(">", " ", 1).split()
        if len(words) > 3:
            rows.append((line.strip().startswith(">"), words[0], words[1], words[2:]))
    return rows


@pytest.mark.parametrize("name", NAMES)
def test_landing_text__every_option_once_and_the_recommended_one_marked(name: str) -> None:
    """A row an option: none twice, none missing, none broken over two lines; the mark comes first."""
    plan = plan_landing(example(name))
    rows = _rows(landing_text(plan))
    assert sorted(row[1:3] for row in rows) == sorted((one.brake, one.reverse) for one in plan.options)
    marked = [row[1:3] for row in rows if row[0]]
    if plan.recommended is None:
        assert marked == []
    else:
        one = plan.options[plan.recommended]
        assert marked == [(one.brake, one.reverse)] == [rows[0][1:3]]


@pytest.mark.parametrize("name", NAMES)
def test_landing_text__caution_and_reasons_and_sources_are_there(name: str) -> None:
    """Every reason and remark in full; the answer stands before the table."""
    plan = plan_landing(example(name))
    text = landing_text(plan)
    flat = _flat(text)
    assert CAUTION in flat
    assert INVENTED in flat
    assert flat.index(_flat(plan.reasons[0])) < flat.index("ruled by")
    for one in (*plan.reasons, *plan.cautions, *plan.case.remarks):
        assert _flat(one) in flat
    assert "[confirmed]" in flat
    assert "[from memory]" in flat
    assert max(len(line) for line in text.splitlines()) <= 100
    assert text.endswith("\n")
    assert not re.search(r"[ \t]$", text, re.MULTILINE)
    assert "\x1b" not in text


def test_landing_text__numbers_of_a_row_are_those_of_the_option() -> None:
    """1734.6 m, with 15 % 1994.79 m of 3000 m: 1735, 1995, +1005 in whole metres."""
    plan = plan_landing(standard_case(plane=instant_brakes(), thirds=(DRY, DRY, DRY)))
    numbers = next(row[3] for row in _rows(landing_text(plan)) if row[1:3] == ("steady", "none"))
    assert numbers[:5] == ["1735", "1995", "+1005", "yes", "held"]
    assert numbers[5:8] == ["100", "0", "0"]


def test_landing_text__feet_where_the_user_wants_feet() -> None:
    """1734.6 m are 5691 ft, 1994.79 m 6545 ft, 1005.21 m 3298 ft."""
    case = standard_case(plane=instant_brakes(), thirds=(DRY, DRY, DRY))
    case = replace(case, display=case.display.model_copy(update={"length": "ft", "temperature": "degF", "mass": "lb"}))
    text = landing_text(plan_landing(case))
    numbers = next(row[3] for row in _rows(text) if row[1:3] == ("steady", "none"))
    assert numbers[:3] == ["5691", "6545", "+3298"]
    assert "132277 lb" in text  # 60 t
    assert "59 degF" in text  # 15 degC


def test_landing_text__margin_that_manual_braking_carries_is_said() -> None:
    """The words stand in the row, and what they mean under the table."""
    plan = plan_landing(standard_case(plane=instant_brakes(), thirds=(DRY, DRY, WET), length=1_800.0))
    text = landing_text(plan)
    row = next(row[3] for row in _rows(text) if row[1:3] == ("steady", "none"))
    assert row[:5] == ["1735", "1995", "-195", "by", "manual"]
    assert "by manual: stops on the runway" in _flat(text)
    assert "by manual:" not in landing_text(plan_landing(standard_case()))


def test_landing_text__what_does_not_fit_or_hold_is_said_in_capitals() -> None:
    """Never by colour alone."""
    text = landing_text(plan_landing(example("nothing-fits")))
    assert all("NO" in row[3] for row in _rows(text))
    assert text.splitlines()[0] == "Short, wet and downhill"
    assert "DOES NOT FIT" not in text
    wet = landing_text(plan_landing(example("wet-gusty-arrival")))
    assert "NOT held" in wet
    assert "TOO FAST" in wet


def test_landing_text__code_0_prints_no_table() -> None:
    """The reason, the limits, the caution."""
    text = landing_text(plan_landing(standard_case(thirds=(DRY, NIL, NIL))))
    assert "No plan: runway condition code 0" in text
    assert "ruled by" not in text
    assert CAUTION in _flat(text)


def test_landing_text__limits_and_dispatch() -> None:
    """6 m/s are 12 kt of 10 kt; 1000 m give 1667 and 1917 m of 1800 m."""
    case = standard_case(
        failures={"additional_tailwind": 6.0},
        dispatch={"kind": "turbojet", "certified_dry_distance": 1_000.0},
        length=1_800.0,
    )
    flat = _flat(landing_text(plan_landing(case)))
    assert "tailwind 12 kt of 10 kt EXCEEDED" in flat
    assert "1000 m x 1.67 = 1667 m, fits" in flat
    assert "1000 m x 1.92 = 1917 m, DOES NOT FIT" in flat


def test_landing_text__an_aeroplane_that_never_stops() -> None:
    """No number stands where there is none."""
    from tests.planning.cases import ICE

    plane = changed(aircraft("demo-narrowbody"), engines__thrust__idle=[30_000.0] * 6)
    plan = plan_landing(standard_case(plane=plane, thirds=(ICE, ICE, ICE), direction={"slope": -0.05}))
    text = landing_text(plan)
    assert "no stop" in text
    assert "nan" not in text


def test_landing_text__a_heat_sink_beyond_its_formula_is_off_scale() -> None:
    """No number stands where the formula of specific heat ends."""
    plan = plan_landing(standard_case())
    assert "off scale" not in landing_text(plan)
    odd = replace(plan.options[0], peak_brake_temperature=None)
    assert "off scale" in landing_text(replace(plan, options=(odd, *plan.options[1:])))


@pytest.mark.parametrize("name", NAMES)
def test_ordered__recommended_then_what_fits_by_energy_then_the_rest_by_margin(name: str) -> None:
    """Every option once."""
    plan: LandingPlan = plan_landing(example(name))
    order = ordered(plan)
    assert sorted(order) == list(range(len(plan.options)))
    rest = [plan.options[number] for number in order if number != plan.recommended]
    fitting = [one for one in rest if one.fits]
    assert rest[: len(fitting)] == fitting
    assert fitting == sorted(fitting, key=lambda one: (one.margin_carried_by_manual, one.brake_energy_per_wheel))
    failing = rest[len(fitting) :]
    assert failing == sorted(failing, key=lambda one: -(one.margin or 0.0))


@pytest.mark.parametrize("name", NAMES)
def test_landing_text__no_two_empty_lines_together(name: str) -> None:
    """A part that is missing leaves no hole, in the short form and in the full one."""
    found = decided(example(name))
    for full in (False, True):
        assert "\n\n\n" not in landing_text(found.plan, found, full=full)


def test_landing_text__a_wide_terminal_is_used_and_a_narrow_one_wraps(monkeypatch: pytest.MonkeyPatch) -> None:
    """Never below 100 columns, and not so wide that the eye loses the line."""
    plan = plan_landing(example("wet-gusty-arrival"))
    widest = {}
    for columns in ("40", "100", "300"):
        monkeypatch.setenv("COLUMNS", columns)
        widest[columns] = max(len(line) for line in landing_text(plan).splitlines())
    assert 80 < widest["40"] == widest["100"] <= 100
    assert 100 < widest["300"] <= 140
