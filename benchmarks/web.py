"""The workbench under load and in the browser: `python -m benchmarks.web`.

200 what-if requests at once, none of which may fail; the time from an input to its picture, measured in the page; the
weight of the page and the time to its first picture.
"""

from __future__ import annotations

import gzip
import http.client
import json
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlsplit

from groundroll.web.api import static_folder

REQUESTS: Final = 200
STEPS: Final = 40
HISTORY_STEP: Final = 0.5


def ask(address: str, case: str, tailwind: int) -> tuple[int, float]:
    """Return status and time of one what-if request, the waiting for a worker included."""
    start = time.perf_counter()
    connection = http.client.HTTPConnection(urlsplit(address).netloc, timeout=120.0)
    body: dict[str, Any] = {"case": case, "decide": False, "history_step_s": HISTORY_STEP}
    body["set"] = [f"failures.additional_tailwind={tailwind % 20} kt"]
    connection.request("POST", "/api/land", json.dumps(body), {"content-type": "application/json"})
    answer = connection.getresponse()
    answer.read()
    connection.close()
    return answer.status, time.perf_counter() - start


def load(address: str, case: str) -> None:
    """Send all requests at once."""
    ask(address, case, 0)
    start = time.perf_counter()
    with ThreadPoolExecutor(REQUESTS) as pool:
        found = list(pool.map(lambda number: ask(address, case, number), range(REQUESTS)))
    spent = time.perf_counter() - start
    failed = [status for status, _ in found if status != 200]
    times = sorted(one for _, one in found)
    print(f"{REQUESTS} what-if requests at once: {len(failed)} failed, all done in {spent:.1f} s")
    print(f"  waiting and computing: median {statistics.median(times):.2f} s, longest {times[-1]:.2f} s")
    if failed:
        raise SystemExit(f"failed with {sorted(set(failed))}")


def weight() -> None:
    """Print what the browser loads, compressed."""
    folder = static_folder()
    if folder is None:
        raise SystemExit("The page has not been built: make web")
    files = [one for one in folder.rglob("*") if one.is_file()]
    total = sum(len(gzip.compress(one.read_bytes())) for one in files)
    plain = sum(one.stat().st_size for one in files)
    print(f"page: {total / 1000:.0f} kB compressed in {len(files)} files, {plain / 1000:.0f} kB plain")


SLIDERS: Final = (
    "Touchdown distance, m",
    "Further tailwind, kt",
    "Friction over that of the codes, per cent",
    "Condition code of the whole runway",
    "Condition code of the roll-out third",
)


def told(name: str, times: list[float]) -> None:
    """Print median, 95 % and the longest of some times. [ms]"""
    times = sorted(times)
    print(
        f"{name}, {len(times)} steps: median {statistics.median(times):.0f} ms, 95 % within "
        f"{times[int(0.95 * (len(times) - 1))]:.0f} ms, longest {times[-1]:.0f} ms"
    )


def pictures(address: str) -> None:
    """Move sliders and pull handles in the browser, and print the times that the page measured."""
    from playwright.sync_api import sync_playwright
    from tests.web.journeys.conftest import OPTIONS, chromium

    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium(), args=OPTIONS)
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.goto(address)
        page.wait_for_selector("[data-testid=headline]")
        first = page.evaluate("performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0")
        plan = page.evaluate("performance.now()")
        page.wait_for_timeout(1_500)

        def measured(measure: str) -> list[float]:
            found = page.evaluate(f"performance.getEntriesByName('{measure}').map(one => one.duration)")
            page.evaluate("performance.clearMeasures()")
            return [float(one) for one in found]

        print("From input to picture, every choice with its roll:")
        measured("input to picture")
        for name in SLIDERS:
            page.get_by_label(name).focus()
            half = STEPS // 2 if "code" not in name else 3
            for step in range(STEPS):
                page.keyboard.press("ArrowLeft" if (step // half) % 2 == (0 if "code" in name else 1) else "ArrowRight")
                page.wait_for_timeout(200)
            told(f"  {name}", measured("input to picture"))
        box = page.locator(".touchdown circle").bounding_box()
        assert box is not None
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        for step in range(STEPS):
            page.mouse.move(x + 4 * step, y)
            page.wait_for_timeout(120)
        page.mouse.up()
        told("  touchdown pulled along the runway", measured("input to picture"))
        page.get_by_role("button", name="Take-off", exact=True).click()
        page.wait_for_selector("[data-testid=reject-headline]")
        page.get_by_role("slider", name="Decision speed").focus()
        measured("pull to picture")
        for step in range(STEPS):
            page.keyboard.press("ArrowRight" if step < STEPS / 2 else "ArrowLeft")
            page.wait_for_timeout(200)
        times = measured("pull to picture")
        told("  decision speed, read from the curves that are here", times)
        print(f"first paint {first:.0f} ms, first plan before {plan:.0f} ms after the address was entered")
        browser.close()


def main() -> None:
    """Start the server as a user does, measure, stop it."""
    with tempfile.TemporaryDirectory() as folder:
        workspace = Path(folder) / "workspace"
        command = [sys.executable, "-c", "from groundroll.commands import main; main()", "serve", "--port", "0"]
        process = subprocess.Popen([*command, "--workspace", str(workspace)], stdout=subprocess.PIPE, text=True)
        assert process.stdout is not None
        try:
            address = process.stdout.readline().split()[-1].rstrip("/")
            time.sleep(6.0)  # the workers import and compile
            weight()
            load(address, (workspace / "cases" / "wet-gusty-arrival.toml").read_text(encoding="utf-8"))
            pictures(address)
        finally:
            process.terminate()
            process.wait()


if __name__ == "__main__":
    main()
