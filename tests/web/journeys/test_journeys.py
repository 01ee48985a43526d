"""The seven things that a person must be able to do with no manual, at desktop and tablet size, in both themes."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from groundroll.commands import run
from tests.web.journeys.conftest import ROOT, Desk, Server, open_desk, start, stop

AXE = ROOT / "webui" / "node_modules" / "axe-core" / "axe.min.js"
METAR = "METAR QDEM 170650Z 25030KT 9999 BKN014 07/05 Q1002 PLAINLYODD"


def _text(desk: Desk, name: str) -> str:
    return " ".join(desk.page.get_by_test_id(name).inner_text().split())


def _metres(desk: Desk, name: str) -> int:
    found = re.search(r"\d+", _text(desk, name))
    assert found is not None
    return int(found[0])


def test_journey_1__paste_reports_see_what_is_understood_and_correct_by_hand(desk: Desk) -> None:
    desk.inputs()
    desk.page.get_by_label("Weather report").fill(METAR)
    expect(desk.page.get_by_text("Wind from 250 degrees true, 30 kt.")).to_be_visible()
    expect(desk.page.get_by_text("PLAINLYODD").last).to_be_visible()
    expect(desk.page.get_by_text("Not understood and not used:")).to_be_visible()
    before = _metres(desk, "stop")
    desk.page.get_by_text("Correct the weather by hand").click()
    desk.page.get_by_label("Wind, replaces the report").fill("calm")
    desk.settled()
    assert _metres(desk, "stop") > before
    desk.page.get_by_label("Condition report, or words of the tower").fill("wet 5/5/5")
    expect(desk.page.get_by_text("touchdown third: code 5 (GOOD), WET")).to_be_visible()
    desk.page.get_by_role("button", name="Codes by hand").click()
    desk.page.get_by_label("roll-out", exact=True).select_option("2")
    desk.settled()
    expect(desk.page.get_by_text("code 2", exact=True).last).to_be_visible()
    desk.picture("1-reports")


def test_journey_2__wrong_input_is_marked_at_its_field_in_the_words_of_the_command(
    desk: Desk, server: Server, capsys: pytest.CaptureFixture[str]
) -> None:
    desk.inputs()
    mass = desk.page.get_by_label("Mass", exact=True)
    mass.fill("62.5")
    expect(mass).to_have_attribute("aria-invalid", "true")
    case = server.workspace / "cases" / "case.toml"
    text = (server.workspace / "cases" / "wet-gusty-arrival.toml").read_text(encoding="utf-8")
    case.write_text(text.replace('"62.5 t"', '"62.5"'), encoding="utf-8")
    assert run(["land", str(case)]) == 2
    said = capsys.readouterr().err.strip().partition("landing.mass: ")[2]
    case.unlink()
    assert said
    expect(desk.page.locator(".field", has=mass).get_by_role("alert")).to_have_text(said)
    desk.picture("2-wrong")
    mass.fill("58 t")
    expect(mass).to_have_attribute("aria-invalid", "false")
    slider = desk.page.get_by_label("Mass, slider, t")
    slider.focus()
    slider.press("ArrowRight")
    expect(mass).to_have_value("58.1 t")
    desk.page.get_by_label("Aeroplane", exact=True).select_option(label="demo-regional")
    desk.settled()
    expect(desk.page.get_by_text("is above the maximum landing mass").first).to_be_visible()
    desk.page.get_by_label("Aeroplane", exact=True).select_option(label="demo-narrowbody")
    desk.page.get_by_label("Runway", exact=True).select_option("07")
    desk.settled()
    expect(desk.page.get_by_role("group", name=re.compile("Runway 07 seen"))).to_be_visible()


def test_journey_3__the_roll_on_a_runway_to_scale_and_values_under_the_pointer(desk: Desk) -> None:
    strip = desk.page.get_by_role("group", name=re.compile("Runway 25 seen from above"))
    for name in ("C", "E", "F", "A"):
        expect(strip.get_by_role("button", name=re.compile(f"^{name} up to"))).to_be_visible()
    for brake in ("gentle", "steady", "firm", "strong", "manual"):
        expect(strip.get_by_role("button", name=re.compile(f"^{brake}: none reverse"))).to_be_visible()
    strip.get_by_role("button", name=re.compile("^firm")).focus()
    expect(desk.page.get_by_test_id("told")).to_contain_text("setting firm, full reverse: stop at")
    chart = desk.page.get_by_role("slider", name=re.compile("Reading line along the runway"))
    chart.scroll_into_view_if_needed()
    box = chart.bounding_box()
    assert box is not None
    desk.page.mouse.move(box["x"] + box["width"] * 0.42, box["y"] + 90)
    expect(desk.page.get_by_text("after touchdown")).to_be_visible()
    expect(desk.page.get_by_text("wheel brakes").last).to_be_visible()
    # One scale: the same place of the strip and of the chart is the same distance.
    ends = [
        strip.evaluate(f"one => one.querySelectorAll('.threshold')[{number}].getAttribute('x1')") for number in (0, 1)
    ]
    limit = chart.evaluate("one => one.querySelector('.limit').getAttribute('x1')")
    assert float(ends[1]) == pytest.approx(float(limit), abs=0.01)
    desk.picture("3-strip")


def test_journey_4__touch_an_exit_and_pull_what_may_change(desk: Desk) -> None:
    strip = desk.page.get_by_role("group", name=re.compile("seen from above"))
    assert "exit F" in _text(desk, "headline")
    strip.get_by_role("button", name=re.compile("^E up to")).click()
    desk.settled()
    assert "exit E" in _text(desk, "headline")
    strip.get_by_role("button", name=re.compile("^strong:")).click()
    assert "picked by hand" in _text(desk, "headline")
    desk.page.get_by_role("button", name="Back to the choice of the plan").click()
    before = _metres(desk, "stop")
    handle = strip.get_by_role("slider", name="Touchdown point")
    handle.scroll_into_view_if_needed()
    box = handle.locator("circle").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    desk.page.mouse.move(x, y)
    desk.page.mouse.down()
    for step in range(1, 9):
        desk.page.mouse.move(x + 8 * step, y)
        desk.page.wait_for_timeout(40)
    desk.page.mouse.up()
    desk.settled()
    assert _metres(desk, "stop") > before
    desk.page.get_by_label("Further tailwind, kt").fill("12")
    desk.page.get_by_label("Condition code of the worst third").fill("2")
    desk.settled()
    desk.picture("4-what-if")
    desk.page.get_by_role("button", name="As planned").click()
    desk.settled()
    pictures = desk.page.evaluate("performance.getEntriesByName('input to picture').map(one => one.duration)")
    assert len(pictures) >= 4


def test_journey_5__rejected_take_off_and_the_day(desk: Desk) -> None:
    desk.view("Take-off")
    balanced = _text(desk, "decision")
    line = desk.page.get_by_role("slider", name="Decision speed")
    line.focus()
    for _ in range(5):
        line.press("ArrowRight")
    desk.settled()
    assert int(_text(desk, "decision").split()[0]) == int(balanced.split()[0]) + 5
    desk.picture("5-reject")
    desk.page.get_by_role("button", name="Balanced decision speed").click()
    desk.settled()
    assert _text(desk, "decision") == balanced
    desk.view("Brakes of the day")
    assert "does not work" in _text(desk, "turn-headline")
    desk.inputs()
    desk.page.get_by_label("On the ground", exact=True).nth(1).fill("60 min")
    desk.settled()
    assert "The day works" in _text(desk, "turn-headline")
    desk.picture("5-day")


def test_journey_6__two_cases_side_by_side(desk: Desk) -> None:
    desk.page.get_by_role("tab", name="Side by side").click()
    desk.page.get_by_role("button", name="Keep this case").click()
    table = desk.page.get_by_test_id("difference")
    expect(table).to_contain_text("The inputs are the same")
    kept = _metres(desk, "stop")
    desk.page.get_by_label("Further tailwind, kt").fill("10")
    desk.settled()
    row = table.locator("tr", has_text="failures.additional_tailwind")
    expect(row).to_contain_text("not given")
    expect(row).to_contain_text("10 kt")
    expect(table.locator("tr", has_text=re.compile("^stop"))).to_contain_text(f"{kept} m")
    desk.picture("6-side-by-side")


def test_journey_7__save_reopen_export_and_nothing_typed_is_lost(desk: Desk, server: Server, tmp_path: Path) -> None:
    desk.inputs()
    desk.page.get_by_label("Mass", exact=True).fill("60.3 t")
    desk.page.reload()
    desk.settled()
    desk.inputs()
    expect(desk.page.get_by_label("Mass", exact=True)).to_have_value("60.3 t")
    desk.page.get_by_role("button", name="Files", exact=True).click()
    name = f"mine {desk.name}"
    desk.page.get_by_label("Name", exact=True).fill(name)
    desk.page.get_by_role("button", name="Save", exact=True).click()
    expect(desk.page.get_by_role("status")).to_have_text(f"Saved as {name}.toml.")
    saved = tomllib.loads((server.workspace / "cases" / f"{name}.toml").read_text(encoding="utf-8"))
    assert saved["landing"]["mass"] == "60.3 t"
    with desk.page.expect_download() as toml:
        desk.page.get_by_role("button", name="Case as TOML").click()
    assert tomllib.loads(Path(toml.value.path()).read_text(encoding="utf-8")) == saved
    with desk.page.expect_download() as answer:
        desk.page.get_by_role("button", name="Answer as JSON").click()
    exported = json.loads(Path(answer.value.path()).read_text(encoding="utf-8"))
    with desk.page.expect_download() as brief:
        desk.page.get_by_role("button", name="Brief as PDF").click()
    assert Path(brief.value.path()).read_bytes().startswith(b"%PDF")
    desk.picture("7-files")
    command = tmp_path / "answer.json"
    assert run(["land", str(server.workspace / "cases" / f"{name}.toml"), "--json", "-o", str(command)]) == 0
    expected = json.loads(command.read_text(encoding="utf-8"))
    expected["inputs"]["files"].pop("case")
    exported["inputs"]["files"].pop("case")
    assert exported == expected  # the page, the API and the command, to the last digit
    desk.page.get_by_role("button", name=re.compile("Wet and gusty arrival.*wet-gusty-arrival.toml")).click()
    desk.settled()
    desk.inputs()
    expect(desk.page.get_by_label("Mass", exact=True)).to_have_value("62.5 t")
    desk.page.get_by_role("button", name="Files", exact=True).click()
    for _ in range(2):
        desk.page.get_by_role("button", name=f"Remove {name}.toml").click()
    expect(desk.page.get_by_role("status")).to_have_text(f"{name}.toml is removed.")


def test_stopped_server__what_is_typed_meanwhile_is_there_afterwards(browser: Browser, tmp_path: Path) -> None:
    first = start(tmp_path / "workspace")
    desk = open_desk(browser, first.address, "desktop", "day")
    stop(first)
    desk.page.get_by_label("Mass", exact=True).fill("59.9 t")
    expect(desk.page.get_by_role("main").get_by_role("alert")).to_contain_text("The server does not answer")
    kept = desk.page.evaluate("localStorage.getItem('groundroll-page')")
    assert json.loads(kept)["land"]["case"]["landing"]["mass"] == "59.9 t"
    desk.page.context.close()


def test_keyboard__a_landing_is_planned_without_a_pointer(server: Server, browser: Browser) -> None:
    (server.workspace / "page.json").unlink(missing_ok=True)
    desk = open_desk(browser, server.address, "desktop", "day", reduced_motion="reduce")
    reached: list[str] = []

    def tab_to(name: str) -> None:
        for _ in range(90):
            desk.page.keyboard.press("Tab")
            label = desk.page.evaluate(
                "(e => e.getAttribute('aria-label') || e.labels?.[0]?.textContent || e.textContent || '')"
                "(document.activeElement)"
            )
            reached.append(label.strip()[:40])
            if label.strip().startswith(name):
                return
        raise AssertionError(f"{name} was not reached: {reached}")

    tab_to("Mass")
    desk.page.keyboard.press("Control+A")
    desk.page.keyboard.type("57 t")
    desk.settled()
    tab_to("Touchdown distance")
    desk.page.keyboard.press("ArrowRight")
    tab_to("E up to")
    desk.page.keyboard.press("Enter")
    desk.settled()
    assert "exit E" in _text(desk, "headline")
    tab_to("Touchdown point")
    desk.page.keyboard.press("ArrowRight")
    tab_to("strong")
    desk.page.keyboard.press("Enter")
    assert "picked by hand" in _text(desk, "headline")
    tab_to("Reading line")
    desk.page.keyboard.press("PageUp")
    expect(desk.page.get_by_text("after touchdown")).to_be_visible()
    tab_to("Choices")
    desk.page.keyboard.press("ArrowRight")
    expect(desk.page.get_by_role("tab", name="Gates")).to_have_attribute("aria-selected", "true")
    desk.page.context.close()


@pytest.mark.parametrize("view", ["Landing", "Take-off", "Brakes of the day"])
def test_accessibility__axe_finds_nothing_serious(desk: Desk, view: str) -> None:
    """Rules of WCAG 2.0 to 2.2, levels A and AA, as axe-core knows them."""
    desk.inputs()
    desk.view(view)
    desk.page.evaluate(AXE.read_text(encoding="utf-8"))
    found = desk.page.evaluate(
        "axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']})"
        ".then(r => r.violations.map(v => [v.id, v.impact, v.nodes.slice(0, 3).map(n => n.html.slice(0, 200))]))"
    )
    assert [one for one in found if one[1] in ("serious", "critical")] == []


@pytest.mark.parametrize("view", ["Landing", "Take-off", "Brakes of the day"])
def test_targets__are_as_large_as_a_finger_and_nothing_sticks_out(desk: Desk, view: str) -> None:
    desk.inputs()
    desk.view(view)
    small = desk.page.evaluate(
        """[...document.querySelectorAll('button, select, summary, input:not([type=checkbox]), textarea')]
        .filter(e => e.checkVisibility()).map(e => [e, e.getBoundingClientRect()])
        .filter(([, box]) => box.height < 43.5 || box.width < 43.5).map(([e]) => e.outerHTML.slice(0, 120))"""
    )
    assert small == []
    assert desk.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
