"""A server of its own, a browser of the system, and pages at the sizes and themes at which people use them.

The browser is Debian's Chromium; `make test` installs it where it is missing. Screenshots go to out/journeys, to
be looked at, not compared.
"""

from __future__ import annotations

import http.client
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from groundroll.web.api import static_folder
from tests.web.recordings import put_recordings

ROOT = Path(__file__).parents[3]
PICTURES = ROOT / "out" / "journeys"
OPTIONS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
VIEWS = ("Landing", "Take-off", "Brakes of the day", "Recording", "Fleet", "Teaching")
SIZES = {
    "desktop": {"width": 1440, "height": 900},
    "tablet portrait": {"width": 820, "height": 1180},
    "tablet landscape": {"width": 1180, "height": 820},
}


def chromium() -> str | None:
    """Return the path of the browser."""
    return os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Leave the journeys out, and say why, where the page or the browser is missing; `make test` brings both."""
    reasons = [
        (static_folder() is None, "the page has not been built: make web"),
        (chromium() is None, "there is no chromium: apt-get install chromium"),
    ]
    reason = next((text for missing, text in reasons if missing), None)
    for item in items:
        if reason is not None and Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.skip(reason=reason))


@dataclass
class Server:
    """The command as a user starts it."""

    address: str
    workspace: Path
    process: subprocess.Popen[str]


def start(workspace: Path, port: int = 0) -> Server:
    """Start `groundroll serve`, on a free port where none is given, and wait for the line with its address."""
    command = [sys.executable, "-c", "from groundroll.commands import main; main()", "serve"]
    process = subprocess.Popen(
        [*command, "--workspace", str(workspace), "--port", str(port)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=workspace.parent,
    )
    assert process.stdout is not None
    line = process.stdout.readline()
    found = Server(line.split()[-1].rstrip("/"), workspace, process)
    # Where the model is not compiled yet, the first answer takes its time; the journeys do not wait for that.
    connection = http.client.HTTPConnection(found.address.removeprefix("http://"), timeout=300.0)
    case = (workspace / "cases" / "dry-short.toml").read_text(encoding="utf-8")
    body = json.dumps({"case": case, "decide": False})
    connection.request("POST", "/api/land", body, {"content-type": "application/json"})
    assert connection.getresponse().status == 200
    connection.close()
    return found


def stop(server: Server) -> None:
    """End the server as Ctrl-C does."""
    server.process.terminate()
    server.process.wait(timeout=20)
    if server.process.stdout is not None:
        server.process.stdout.close()


@pytest.fixture(scope="package")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    workspace = tmp_path_factory.mktemp("journeys") / "workspace"
    put_recordings(workspace)
    found = start(workspace)
    yield found
    stop(found)


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    with sync_playwright() as driver:
        found = driver.chromium.launch(executable_path=chromium(), args=OPTIONS)
        yield found
        found.close()


@dataclass
class Desk:
    """One page, with what it asked for and what it complained about."""

    page: Page
    asked: list[str]
    complaints: list[str]
    name: str

    def picture(self, name: str) -> None:
        """Keep a screenshot."""
        PICTURES.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=PICTURES / f"{self.name}-{name}.png", full_page=True)

    def settled(self) -> None:
        """Wait for the whole answer."""
        self.page.wait_for_timeout(250)
        self.page.wait_for_selector("main[data-busy=false]", timeout=20_000)
        self.page.wait_for_selector("[data-review=busy], [data-fleet=busy]", state="detached", timeout=20_000)

    def inputs(self) -> None:
        """Open the inputs where the page is narrow."""
        button = self.page.get_by_role("button", name="Inputs", exact=True)
        if button.is_visible() and button.get_attribute("aria-expanded") == "false":
            button.click()

    def view(self, name: str) -> None:
        """Go to a view and wait for its answer."""
        self.page.get_by_role("button", name=name, exact=True).click()
        self.settled()


def open_desk(browser: Browser, address: str, size: str, theme: str, **more: Any) -> Desk:
    """Open the page afresh."""
    touch = size != "desktop"
    context = browser.new_context(
        viewport=SIZES[size],  # type: ignore[arg-type] - a plain dictionary of the right keys
        color_scheme="dark" if theme == "night" else "light",
        has_touch=touch,
        accept_downloads=True,
        **more,
    )
    page = context.new_page()
    desk = Desk(page, [], [], f"{size}-{theme}".replace(" ", "-"))
    page.on("request", lambda request: desk.asked.append(request.url))
    page.on("pageerror", lambda error: desk.complaints.append(str(error)))
    page.on("console", lambda said: desk.complaints.append(said.text) if "Content Security" in said.text else None)
    page.goto(address)
    page.wait_for_selector("[data-testid=headline], [data-testid=reject-headline], [data-testid=turn-headline]")
    desk.settled()
    return desk


def _sitting(server: Server, browser: Browser, size: str, theme: str) -> Iterator[Desk]:
    (server.workspace / "page.json").unlink(missing_ok=True)
    found = open_desk(browser, server.address, size, theme)
    yield found
    # What the page was about to keep is not kept into the next journey.
    found.page.goto("about:blank")
    found.page.wait_for_timeout(60)
    found.page.context.close()
    assert found.complaints == []
    outside = [one for one in found.asked if not one.startswith((server.address, "blob:", "data:"))]
    assert outside == []


@pytest.fixture(
    params=[("desktop", "day"), ("desktop", "night"), ("tablet portrait", "night"), ("tablet landscape", "day")],
    ids=["desktop-day", "desktop-night", "portrait-night", "landscape-day"],
)
def desk(request: pytest.FixtureRequest, server: Server, browser: Browser) -> Iterator[Desk]:
    """The page as each of the seven journeys meets it: every size, both themes."""
    yield from _sitting(server, browser, *request.param)


@pytest.fixture(params=[("desktop", "night"), ("tablet portrait", "day")], ids=["desktop-night", "portrait-day"])
def few(request: pytest.FixtureRequest, server: Server, browser: Browser) -> Iterator[Desk]:
    """The page for what a journey holds besides: the largest and the smallest size, both themes."""
    yield from _sitting(server, browser, *request.param)
