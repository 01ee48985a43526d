"""The seven things that a person must be able to do with no manual, at desktop and tablet size, in both themes."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from groundroll.commands import run
from tests.web.journeys.conftest import ROOT, VIEWS, Desk, Server, open_desk, start, stop
from tests.web.recordings import FLEET

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
    desk.settled()
    # Friction, third by third: what is pulled stands on the runway at once, and the margin follows.
    desk.page.get_by_role("button", name=re.compile("^manual:")).click()
    as_reported = _metres(desk, "stop")
    desk.page.get_by_label("Friction over that of the codes, per cent").fill("70")
    desk.settled()
    assert _metres(desk, "stop") > as_reported
    desk.page.get_by_label("Friction over that of the codes, per cent").fill("100")
    desk.settled()
    assert _metres(desk, "stop") == as_reported
    wet, told = _metres(desk, "stop"), _text(desk, "told")
    assert told.startswith("manual braking")
    desk.page.get_by_label("Condition code of the roll-out third").fill("1")
    desk.page.get_by_label("Condition code of the middle third").fill("2")
    desk.settled()
    shown = [strip.get_by_text(f"code {code}", exact=True) for code in (5, 2, 1)]
    for one in shown:
        expect(one).to_be_visible()
    assert _metres(desk, "stop") > wet
    assert _text(desk, "told").startswith("manual braking")
    assert _text(desk, "told") != told  # what is pointed at is told by the present answer
    desk.picture("4-what-if")
    desk.page.get_by_label("Condition code of the whole runway").fill("6")
    desk.settled()
    expect(strip.get_by_text("code 6", exact=True)).to_have_count(3)
    desk.page.get_by_role("button", name="As planned").click()
    desk.settled()
    expect(strip.get_by_text("code 3", exact=True)).to_have_count(1)
    pictures = desk.page.evaluate("performance.getEntriesByName('input to picture').map(one => one.duration)")
    assert len(pictures) >= 4


def test_journey_5__rejected_take_off_and_the_day(desk: Desk, server: Server) -> None:
    desk.view("Take-off")
    balanced = _text(desk, "decision")
    line = desk.page.get_by_role("slider", name="Decision speed")
    line.focus()
    for _ in range(5):
        line.press("ArrowRight")
    desk.settled()
    assert int(_text(desk, "decision").split()[0]) == int(balanced.split()[0]) + 5
    # The same on the runway to scale: its place is pulled back, and the decision comes earlier and slower.
    strip = desk.page.get_by_role("group", name=re.compile("take-off from the left"))
    for name in ("C", "E", "F", "A"):
        expect(strip.get_by_text(name, exact=True)).to_be_visible()
    expect(strip.get_by_text(re.compile("^stop, by the rule: .* left$"))).to_be_visible()
    expect(strip.get_by_text(re.compile("^go, by the rule: to the screen height: .* left$"))).to_be_visible()
    expect(desk.page.get_by_text("Hatched: stopway, 60 m. Dashed outline: clearway, 150 m.")).to_be_visible()
    place = strip.get_by_role("slider", name="Place of the decision")
    place.scroll_into_view_if_needed()
    box = place.locator("circle").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    desk.page.mouse.move(x, y)
    desk.page.mouse.down()
    for step in range(1, 7):
        desk.page.mouse.move(x - 10 * step, y)
        desk.page.wait_for_timeout(30)
    drawn = place.get_attribute("aria-valuetext")
    desk.page.mouse.up()
    desk.settled()
    assert int(_text(desk, "decision").split()[0]) < int(balanced.split()[0])
    assert place.get_attribute("aria-valuetext") == drawn  # what was drawn at once is what the answer says
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


def test_journey_5__wrong_input_of_a_sector_is_marked_at_its_field_in_the_words_of_the_command(
    few: Desk, server: Server, capsys: pytest.CaptureFixture[str]
) -> None:
    few.view("Brakes of the day")
    few.inputs()
    wrong = few.page.get_by_label("On the ground", exact=True).nth(2)
    few.page.get_by_text("3. coast to plain again").click()
    wrong.fill("45")
    expect(wrong).to_have_attribute("aria-invalid", "true")
    day = server.workspace / "cases" / "wrong-day.toml"
    text = (server.workspace / "cases" / "day.toml").read_text(encoding="utf-8")
    day.write_text(text.replace('time = "50 min"', 'time = "45"'), encoding="utf-8")
    assert run(["turn", str(day)]) == 2
    said = capsys.readouterr().err.strip().partition("ground.time: ")[2]
    day.unlink()
    assert said
    expect(wrong.locator("..").get_by_role("alert")).to_have_text(said)
    assert few.page.locator("[aria-invalid=true]").count() == 1
    few.picture("5-day-wrong")
    wrong.fill("50 min")
    expect(wrong).to_have_attribute("aria-invalid", "false")
    # What is wrong with a whole landing is told at the case that it names.
    landing = few.page.get_by_label("Landing case").nth(1)
    landing.select_option(label="Wet and gusty arrival at Demonstration Coast")
    few.settled()
    few.page.get_by_label("Aeroplane", exact=True).select_option(label="demo-regional")
    expect(landing).to_have_attribute("aria-invalid", "true")
    expect(landing.locator("..").get_by_role("alert")).to_contain_text("but the day names")


def test_journey_6__two_cases_side_by_side(desk: Desk, server: Server, tmp_path: Path) -> None:
    desk.page.get_by_role("tab", name="Side by side").click()
    desk.page.get_by_label("Name for what is shown now").fill("as reported")
    desk.page.get_by_role("button", name="Keep this case").click()
    table = desk.page.get_by_test_id("difference")
    expect(table).to_contain_text("The inputs are the same")
    kept = _metres(desk, "stop")
    desk.page.get_by_label("Further tailwind, kt").fill("10")
    desk.settled()
    row = table.locator("tr", has_text="failures.additional_tailwind")
    expect(row).to_contain_text("tailwind on top")
    expect(row).to_contain_text("not given")
    expect(row).to_contain_text("10 kt")
    expect(table.locator("tr", has_text=re.compile("^stop"))).to_contain_text(f"{kept} m")
    # The picture is the ledger of the command, metre by metre.
    case = server.workspace / "cases" / "wet-gusty-arrival.toml"
    other = server.workspace / "cases" / "more-tailwind.toml"
    text = case.read_text(encoding="utf-8")
    other.write_text(text + '\n[failures]\nadditional_tailwind = "10 kt"\n', encoding="utf-8")
    output = tmp_path / "against.json"
    assert run(["land", str(case), "--against", str(other), "--json", "-o", str(output)]) == 0
    other.unlink()
    ledger = json.loads(output.read_text(encoding="utf-8"))["against"]
    picture = desk.page.get_by_role("img", name="From as reported to what is shown now, metre by metre")
    for entry in ledger["entries"]:
        if abs(entry["share_m"]) >= 10.0:
            expect(picture.get_by_text(entry["cause"], exact=True)).to_be_visible()
            sign = "−" if entry["share_m"] < 0.0 else "+"
            expect(picture.get_by_text(f"{sign} {abs(entry['share_m']):.0f} m", exact=True)).to_be_visible()
    desk.picture("6-side-by-side")
    # A second one, under a name of its own; the two kept ones are compared, and are there after a reload.
    desk.page.get_by_label("Name for what is shown now").fill("ten knots more")
    desk.page.get_by_role("button", name="Keep this case").click()
    desk.page.get_by_label("From", exact=True).select_option("as reported")
    desk.page.get_by_label("To", exact=True).select_option("ten knots more")
    desk.page.wait_for_timeout(500)  # until the workspace has it
    desk.page.reload()
    desk.settled()
    desk.page.get_by_role("tab", name="Side by side").click()
    expect(desk.page.get_by_test_id("difference").locator("tr", has_text="tailwind on top")).to_contain_text("10 kt")
    desk.page.get_by_role("button", name="Let it go: ten knots more").click()
    desk.page.get_by_role("button", name="Show it: as reported").click()
    desk.settled()
    assert _metres(desk, "stop") == kept


@pytest.mark.parametrize(
    ("view", "field", "value", "answer"),
    [
        ("Take-off", "Mass", "66 t", "to stop, by the rule"),
        ("Brakes of the day", "Brakes at the start", "120 degC", ""),
    ],
)
def test_journey_6__take_offs_and_days_side_by_side(few: Desk, view: str, field: str, value: str, answer: str) -> None:
    few.view(view)
    few.page.get_by_text("Side by side", exact=True).click()
    few.page.get_by_role("button", name="Keep this case").click()
    table = few.page.get_by_test_id("difference")
    expect(table).to_contain_text("The inputs are the same")
    few.inputs()
    few.page.get_by_label(field, exact=True).fill(value)
    few.settled()
    expect(table.locator("tr.differs", has_text=value)).to_be_visible()
    expect(table.locator("tr.differs", has_text=answer or "brakes at departure").first).to_be_visible()
    few.picture(f"6-{'reject' if answer else 'day'}")


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


def test_journey_7__a_take_off_is_exported_in_every_form(few: Desk, server: Server) -> None:
    few.view("Take-off")
    few.page.get_by_role("button", name="Files", exact=True).click()
    content = {}
    for button in ("Case as TOML", "Answer as JSON", "Brief as PDF"):
        with few.page.expect_download() as found:
            few.page.get_by_role("button", name=button).click()
        content[button] = Path(found.value.path()).read_bytes()
    case = server.workspace / "cases" / "exported.toml"
    case.write_bytes(content["Case as TOML"])
    output = server.workspace / "exported.json"
    assert run(["reject", str(case), "--json", "-o", str(output)]) == 0
    expected, exported = json.loads(output.read_text(encoding="utf-8")), json.loads(content["Answer as JSON"])
    case.unlink()
    output.unlink()
    for one in (expected, exported):
        one["inputs"]["files"].pop("case")
    assert exported == expected
    assert content["Brief as PDF"].startswith(b"%PDF")


def test_journey_7__what_is_typed_while_the_server_is_stopped_is_there_when_it_runs_again(
    browser: Browser, tmp_path: Path
) -> None:
    """A real process is ended and started again at the same address; the page finds it and brings what was typed."""
    first = start(tmp_path / "workspace")
    desk = open_desk(browser, first.address, "desktop", "day")
    desk.page.get_by_label("Mass", exact=True).fill("60.1 t")
    desk.settled()
    desk.page.wait_for_timeout(700)  # kept in the workspace too
    stop(first)
    assert json.loads((tmp_path / "workspace" / "page.json").read_text())["land"]["case"]["landing"]["mass"] == "60.1 t"
    desk.page.get_by_label("Mass", exact=True).fill("59.9 t")
    expect(desk.page.get_by_role("main").get_by_role("alert")).to_contain_text("The server does not answer")
    kept = desk.page.evaluate("localStorage.getItem('groundroll-page')")
    assert json.loads(kept)["land"]["case"]["landing"]["mass"] == "59.9 t"
    again = start(tmp_path / "workspace", int(first.address.rpartition(":")[2]))
    assert again.address == first.address
    expect(desk.page.get_by_role("main").get_by_role("alert")).to_have_count(0, timeout=10_000)
    desk.settled()
    expect(desk.page.get_by_label("Mass", exact=True)).to_have_value("59.9 t")
    desk.page.wait_for_timeout(700)
    desk.page.reload()
    desk.settled()
    expect(desk.page.get_by_label("Mass", exact=True)).to_have_value("59.9 t")
    # Another browser, which knows nothing, is told by the workspace.
    other = open_desk(browser, again.address, "tablet portrait", "night")
    other.inputs()
    expect(other.page.get_by_label("Mass", exact=True)).to_have_value("59.9 t")
    for one in (desk, other):
        one.page.context.close()
    stop(again)


def test_recording__is_reviewed_against_its_plan(few: Desk, server: Server, tmp_path: Path) -> None:
    few.view("Recording")
    output = tmp_path / "review.json"
    recording, case = server.workspace / "recordings" / "invented.parquet", "wet-gusty-arrival.toml"
    assert (
        run(["review", str(recording), "--case", str(server.workspace / "cases" / case), "--json", "-o", str(output)])
        == 0
    )
    expected = json.loads(output.read_text(encoding="utf-8"))
    assert (expected["finding"]["word"] or "nothing of the surface") in _text(few, "review-headline")
    ledger = few.page.get_by_role("img", name="From plan to recording, metre by metre")
    expect(ledger.get_by_text(f"{expected['ledger']['recorded_distance_m']:.0f} m").last).to_be_visible()
    table = few.page.get_by_role("table")
    assert table.get_by_role("row").count() == len(expected["events"]) + 1
    chart = few.page.get_by_role("slider", name=re.compile("Reading line along the runway"))
    chart.focus()
    chart.press("PageUp")
    expect(chart).not_to_have_attribute("aria-valuenow", "0")
    few.picture("8-recording")


def test_fleet__is_shown_as_the_command_tells_it(few: Desk, server: Server, tmp_path: Path) -> None:
    few.view("Fleet")
    output = tmp_path / "fleet.json"
    assert run(["fleet", str(server.workspace / "fleets" / FLEET), "--json", "-o", str(output)]) == 0
    expected = json.loads(output.read_text(encoding="utf-8"))
    expect(few.page.get_by_test_id("fleet-headline")).to_contain_text(f"{expected['reviewed']} landings")
    reverse = few.page.get_by_role("img", name=re.compile("^Reverse: "))
    for one in expected["reverse"]:
        expect(reverse.get_by_text(f"{one['count']} of {one['total']}").first).to_be_visible()
    pieces = {(one["aerodrome"], one["direction"], one["code"], one["start"]) for one in expected["friction_map"]}
    drawn = few.page.locator("svg[aria-label^='Friction map'] path.mark, svg[aria-label^='Friction map'] path.bound")
    assert drawn.count() == len(pieces)
    few.picture("8-fleet")


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


def _everything(desk: Desk, view: str) -> None:
    """Open a view with its inputs and, where it has them, two cases side by side."""
    desk.view(view)
    desk.inputs()
    if view == "Landing":
        desk.page.get_by_role("tab", name="Side by side").click()
    elif desk.page.get_by_text("Side by side", exact=True).count():
        desk.page.get_by_text("Side by side", exact=True).click()
    if desk.page.get_by_role("button", name="Keep this case").count():
        desk.page.get_by_role("button", name="Keep this case").click()
        expect(desk.page.get_by_test_id("difference")).to_contain_text("The inputs are the same")


def test_every_view__axe_finds_nothing_serious_and_targets_are_as_large_as_a_finger(desk: Desk) -> None:
    """Rules of WCAG 2.0 to 2.2, levels A and AA, as axe-core knows them; 44 px a target; nothing sticks out."""
    for view in VIEWS:
        _everything(desk, view)
        desk.page.evaluate(AXE.read_text(encoding="utf-8"))
        found = desk.page.evaluate(
            "axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']})"
            ".then(r => r.violations.map(v => [v.id, v.impact, v.nodes.slice(0, 3).map(n => n.html.slice(0, 200))]))"
        )
        assert (view, [one for one in found if one[1] in ("serious", "critical")]) == (view, [])
        small = desk.page.evaluate(
            """[...document.querySelectorAll('button, select, summary, input:not([type=checkbox]), textarea')]
            .filter(e => e.checkVisibility()).map(e => [e, e.getBoundingClientRect()])
            .filter(([, box]) => box.height < 43.5 || box.width < 43.5).map(([e]) => e.outerHTML.slice(0, 120))"""
        )
        assert (view, small) == (view, [])
        assert (view, desk.page.evaluate("document.documentElement.scrollWidth <= innerWidth")) == (view, True)
