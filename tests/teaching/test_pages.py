"""The pages in a browser: keys, answers, themes, small screens, no request, and the rules of accessibility."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from groundroll.outputs.teaching.exercise_forms import ExerciseSet, exercises_html
from groundroll.outputs.teaching.html import lesson_html
from groundroll.teaching.cases import CaseSpec, build
from groundroll.teaching.exercises import exercises
from tests.teaching.lessons import EXAMPLES, LESSONS, lesson

AXE = Path(__file__).parents[2] / "webui" / "node_modules" / "axe-core" / "axe.min.js"
CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
RULES = "axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']})"
OPTIONS = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]

pytestmark = [
    pytest.mark.skipif(CHROMIUM is None, reason="there is no chromium: apt-get install chromium"),
    pytest.mark.skipif(not AXE.is_file(), reason="axe-core is not there: make web"),
]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as driver:
        found = driver.chromium.launch(executable_path=CHROMIUM, args=OPTIONS)
        yield found
        found.close()


class Reader:
    """A page, what it asked for, and what it complained about."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.asked: list[str] = []
        self.complaints: list[str] = []
        page.on("request", lambda request: self.asked.append(request.url))
        page.on("console", lambda message: self.complaints.append(message.text))
        page.on("pageerror", lambda error: self.complaints.append(str(error)))

    def violations(self) -> list[str]:
        """Return what axe-core finds."""
        if not self.page.evaluate("typeof axe === 'object'"):
            self.page.add_script_tag(path=AXE)
        found = self.page.evaluate(RULES)["violations"]
        return [f"{one['id']}: {node['html'][:150]}" for one in found for node in one["nodes"]]


@pytest.fixture
def reader(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Reader]:
    """Give a page of a size and a theme; the policy of the page is lifted for axe-core where a test asks for it."""
    wanted = getattr(request, "param", {})
    context = browser.new_context(
        viewport={"width": wanted.get("width", 1440), "height": 900},
        color_scheme=wanted.get("theme", "light"),
        reduced_motion="reduce",
        bypass_csp=wanted.get("axe", True),
        offline=True,
    )
    found = Reader(context.new_page())
    yield found
    context.close()


def put(folder: Path, text: str) -> str:
    file = folder / "page.html"
    file.write_text(text, encoding="utf-8")
    return file.as_uri()


@pytest.mark.parametrize(
    ("reader", "names"),
    [
        ({"width": 1440}, tuple(LESSONS)[::2]),
        ({"width": 380, "theme": "dark"}, tuple(LESSONS)[1::2]),
    ],
    indirect=["reader"],
    ids=["day", "night"],
)
def test_lesson_pages__axe_finds_nothing_at_any_step(reader: Reader, names: tuple[str, ...], tmp_path: Path) -> None:
    """WCAG 2.0 to 2.2, levels A and AA as axe-core knows them; answers shown. Every lesson, one way or the other."""
    for name in names:
        reader.page.goto(put(tmp_path, lesson_html(lesson(name))))
        steps = reader.page.locator("section.step").count()
        for number in range(steps):
            reader.page.keyboard.press("a")
            assert reader.violations() == [], f"{name}, step {number}"
            wide = reader.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            assert wide <= 0, f"{name}, step {number} scrolls sideways"
            reader.page.keyboard.press("ArrowRight")
        assert reader.page.locator("#next").is_disabled()
    assert [one for one in reader.asked if not one.startswith("file:")] == []
    reader.page.evaluate("document.querySelector('footer p').style.color = 'rgb(119, 119, 119)'")
    assert any(one.startswith("color-contrast") for one in reader.violations()), "the check itself sees what it should"
    assert reader.complaints == []


@pytest.mark.parametrize("reader", [{"axe": False}], indirect=True)
def test_lesson_page__keys_answers_and_theme(reader: Reader, tmp_path: Path) -> None:
    """Under the policy of the page itself."""
    page = reader.page
    page.goto(put(tmp_path, lesson_html(lesson("reverse-and-brakes"))))
    assert page.locator("#place").inner_text() == f"1 of {len(lesson('reverse-and-brakes').steps) + 2}"
    page.keyboard.press("PageDown")
    assert page.evaluate("document.activeElement.tagName") == "H2"
    revealed = page.locator("section#step-1 .answer")
    assert not any(one.is_visible() for one in revealed.all())
    page.get_by_role("button", name="Check").click()
    assert page.locator("section#step-1 .verdict").inner_text() == "Pick an answer first."
    page.get_by_label("Much earlier").check()
    page.get_by_role("button", name="Check").click()
    assert page.locator("section#step-1 .verdict").inner_text().startswith("No.")
    assert all(one.is_visible() for one in revealed.all())
    page.get_by_label("At about the same place").check()
    page.keyboard.press("ArrowRight")  # belongs to the answers while one of them has the focus
    assert page.locator("#place").inner_text().startswith("2 of")
    page.get_by_label("At about the same place").check()
    page.get_by_role("button", name="Check").click()
    assert page.locator("section#step-1 .verdict").inner_text() == "Yes."
    page.get_by_role("button", name="Next").click()
    number = lesson("reverse-and-brakes").steps[1].question
    assert number is not None
    page.get_by_label("Your answer").fill(f"{number.number:.1f}")
    page.get_by_label("Your answer").press("Enter")
    assert page.locator("section#step-2 .verdict").inner_text() == "Yes."
    before = page.evaluate("getComputedStyle(document.body).backgroundColor")
    page.get_by_role("button", name="Night or day").click()
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") != before
    page.get_by_role("heading", level=2).first.press("End")
    assert page.locator("#next").is_disabled()
    page.keyboard.press("Home")
    assert page.locator("#back").is_disabled()
    assert reader.complaints == []


def test_lesson_page__without_a_script_every_step_is_there(browser: Browser, tmp_path: Path) -> None:
    context = browser.new_context(java_script_enabled=False, offline=True)
    page = context.new_page()
    page.goto(put(tmp_path, lesson_html(lesson("exit-energy"))))
    assert all(one.is_visible() for one in page.locator("section.step h2").all())
    assert page.get_by_text("Answer:").first.is_visible()
    context.close()


def test_exercise_page__grades_and_names_the_mistake(reader: Reader, tmp_path: Path) -> None:
    spec = CaseSpec("wet", "wet", EXAMPLES / "wet-gusty-arrival" / "case.toml")
    made = exercises(["margin", "late", "report-thirds"], spec, build(spec), count=6, seed=2)
    page = reader.page
    page.goto(put(tmp_path, exercises_html(ExerciseSet("Exercises", "one-second-late", 2, made, True))))
    assert reader.violations() == []
    first = made[0]
    form = page.locator("section.exercise").first
    form.get_by_label("Your answer").fill(f"{first.mistakes[0].value:.0f}")
    form.get_by_role("button", name="Check").click()
    assert form.locator(".verdict").inner_text() == f"No. {first.mistakes[0].why}"
    form.get_by_label("Your answer").fill(f"{first.answer + 0.9 * first.tolerance:.1f}")
    form.get_by_role("button", name="Check").click()
    assert form.locator(".verdict").inner_text() == "Yes."
    assert form.locator(".answer").is_visible()
    assert not page.locator("section.exercise .answer").nth(1).is_visible()
    assert page.locator("#score").inner_text() == f"1 right of 1 answered, {len(made)} in all"
    assert reader.violations() == []
    assert reader.complaints == []


@pytest.mark.parametrize("name", sorted(LESSONS))
def test_lesson_page__holds_no_address_and_no_script_but_its_own(name: str) -> None:
    """Strict: a policy without sources, one script by its digest, no link but to the page itself."""
    page = lesson_html(lesson(name))
    assert page.count("<script>") == 1
    assert "script-src 'sha256-" in page
    rest = page.replace("http://www.w3.org/2000/svg", "")
    assert "http:" not in rest
    assert "https:" not in rest
    assert 'href="#steps"' in page
    assert rest.count("href=") == 1
    assert " src=" not in rest
