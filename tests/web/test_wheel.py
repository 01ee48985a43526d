"""The wheel: built, put into a folder of its own, started there; the page answers from what the wheel holds."""

from __future__ import annotations

import http.client
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from groundroll.web.api import static_folder

ROOT = Path(__file__).parents[2]


@pytest.mark.skipif(static_folder() is None, reason="the page has not been built: make web")
def test_wheel__serves_the_page_and_its_examples(tmp_path: Path) -> None:
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--quiet"]
    subprocess.run(
        [*pip, "wheel", str(ROOT), "--no-deps", "--no-build-isolation", "--no-index", "-w", str(tmp_path)], check=True
    )
    (wheel,) = tmp_path.glob("groundroll-*.whl")
    place = tmp_path / "installed"
    subprocess.run([*pip, "install", "--no-deps", "--no-index", "--target", str(place), str(wheel)], check=True)
    command = [sys.executable, "-c", "from groundroll.commands import main; main()", "serve", "--port", "0"]
    environment = os.environ | {"PYTHONPATH": str(place)}
    where = [sys.executable, "-c", "import groundroll; print(groundroll.__file__)"]
    assert subprocess.check_output(where, cwd=tmp_path, env=environment, text=True).startswith(str(place))
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=tmp_path, env=environment)
    try:
        assert process.stdout is not None
        address = process.stdout.readline().split()[-1].removeprefix("http://").rstrip("/")
        connection = http.client.HTTPConnection(address, timeout=60.0)
        connection.request("GET", "/")
        page = connection.getresponse().read().decode()
        script = re.search(r'src="(/assets/[\w.-]+\.js)"', page)
        assert script is not None
        connection.request("GET", script[1])
        answer = connection.getresponse()
        content = answer.read()
        connection.close()
        assert answer.status == 200
        (built,) = (place / "groundroll" / "web" / "static" / "assets").glob("*.js")
        assert content == built.read_bytes()
    finally:
        process.terminate()
        process.wait(timeout=20)
        if process.stdout is not None:
            process.stdout.close()
    assert (tmp_path / "groundroll-workspace" / "cases" / "wet-gusty-arrival.toml").is_file()
