"""A lesson by keyboard, and one thing changed: predict, then reveal, at desktop and tablet size, in both themes."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.web.journeys.conftest import ROOT, Desk

AXE = ROOT / "webui" / "node_modules" / "axe-core" / "axe.min.js"


def _accessible(desk: Desk) -> None:
    desk.page.evaluate(AXE.read_text(encoding="utf-8"))
    found = desk.page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    serious = [one for one in found["violations"] if one["impact"] in ("serious", "critical")]
    assert [(one["id"], [node["html"][:120] for node in one["nodes"]]) for one in serious] == []
    for box in desk.page.locator("button:visible, select:visible").all():
        size = box.bounding_box()
        assert size is not None
        assert min(size["width"], size["height"]) >= 43.5
    assert desk.page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_lesson__by_keyboard_predict_then_reveal(few: Desk) -> None:
    page = few.page
    page.get_by_role("button", name="Teaching", exact=True).click()
    lesson = page.get_by_role("button", name=re.compile("^One second late"))
    expect(lesson).to_be_visible()
    few.picture("teaching-list")
    _accessible(few)
    lesson.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="How long is a second?")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_text("Predict first.", exact=False).last).to_be_visible()
    expect(page.get_by_test_id("answer")).to_have_count(0)
    field = page.get_by_label("Your prediction, m", exact=True)
    field.fill("70")
    field.press("Enter")
    expect(page.get_by_test_id("answer")).to_be_focused()
    expect(page.get_by_test_id("answer")).to_contain_text("Near enough.")
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("heading", name="Which second costs most?")).to_be_focused()
    expect(page.get_by_role("figure")).to_have_count(0)
    page.get_by_role("radio").nth(1).press(" ")
    page.keyboard.press("Enter")
    expect(page.get_by_test_id("answer")).to_contain_text("Not so.")
    expect(page.get_by_role("group", name=re.compile("^The runway to scale"))).to_be_visible()
    few.picture("teaching-revealed")
    _accessible(few)
    page.keyboard.press("f")
    expect(page.get_by_role("button", name="Landing", exact=True)).to_be_hidden()
    expect(page.get_by_text("prevail").first).to_be_visible()
    few.picture("teaching-presenting")
    page.keyboard.press("End")
    expect(page.get_by_role("heading", name="What to take with you")).to_be_focused()
    page.keyboard.press("Home")
    expect(page.get_by_role("heading", name="How long is a second?")).to_be_focused()
    expect(page.get_by_test_id("answer")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.get_by_role("button", name="Landing", exact=True)).to_be_visible()
    page.keyboard.press("Escape")
    expect(lesson).to_be_visible()


def test_free__one_thing_changed_predicted_and_revealed(few: Desk) -> None:
    page = few.page
    page.get_by_role("button", name="Teaching", exact=True).click()
    page.get_by_role("button", name=re.compile("^Change one thing")).click()
    mark = page.get_by_role("slider", name="Your prediction of the stop")
    expect(mark).to_be_visible()
    page.get_by_label("Change", exact=True).select_option("wind")
    page.get_by_label("To, kt").fill("10")
    page.get_by_role("button", name="Reveal").click()
    expect(page.get_by_role("alert")).to_contain_text("Predict first")
    mark.focus()
    mark.press("PageUp")
    expect(page.get_by_role("button", name="longer")).to_have_attribute("aria-pressed", "true")
    few.picture("teaching-free")
    page.get_by_label("by, m").press("Enter")
    told = page.get_by_test_id("told-free")
    expect(told).to_be_focused()
    expect(told).to_contain_text(re.compile(r"It is \d+ m longer\. You said 100 m longer\. The right way"))
    expect(page.get_by_role("heading", name="Where the difference comes from")).to_be_visible()
    few.picture("teaching-free-revealed")
    _accessible(few)
    clock = page.get_by_label("Time from the threshold", exact=True)
    page.get_by_role("button", name="Play").click()
    expect(page.get_by_role("button", name="Pause")).to_be_visible()
    page.get_by_role("button", name="Pause").click()
    assert float(clock.input_value()) < float(clock.get_attribute("max") or "0")
