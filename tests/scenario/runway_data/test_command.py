"""`groundroll read --runway`: what it writes where."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from groundroll.commands import run
from groundroll.outputs.caution import CAUTION
from groundroll.scenario.read import read_runway

from .drawing import FIXTURES

Captured = pytest.CaptureFixture[str]
XML = [str(one) for one in sorted(FIXTURES.glob("*.xml"))]


def test_read_runway__file_on_stdout_and_oddities_on_stderr(capsys: Captured, tmp_path: Path) -> None:
    assert run(["read", "--runway", *XML]) == 0
    captured = capsys.readouterr()
    path = tmp_path / "runway.toml"
    path.write_text(captured.out, encoding="utf-8")
    assert read_runway(path).aerodrome == "QDRW"
    assert captured.out.startswith(f"# {CAUTION}\n")
    assert captured.err.startswith("Odd: 28 has a threshold displaced by 200 m")


def test_read_runway__file_named_and_words_on_stdout(capsys: Captured, tmp_path: Path) -> None:
    path = tmp_path / "runway.toml"
    assert run(["read", "--runway", str(FIXTURES / "QDRW.geojson"), "-o", str(path)]) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    assert "runway 10/28 of QDRW, 3 exits for 10, 3 exits for 28." in captured.out
    assert "Odd: The magnetic variation is not in the data" in captured.out
    assert CAUTION in captured.out
    assert len(read_runway(path).directions["10"].exits) == 3
    assert run(["check", str(path)]) == 0


def test_read_runway__json_has_nothing_else_on_stdout(capsys: Captured) -> None:
    arguments = ["--aerodrome", "QDRW", "--set", "magnetic_variation=2.5 deg", "--json"]
    assert run(["read", "--runway", str(FIXTURES / "runways.csv"), *arguments]) == 0
    content = json.loads(capsys.readouterr().out)
    assert content["format"] == 1
    assert content["runway"]["aerodrome"] == "QDRW"
    assert content["runway"]["length_m"] == pytest.approx(2_799.9)
    assert content["cautions"] == [CAUTION]
    assert any("declare no landing distance" in one for one in content["warnings"])


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--runway", "nowhere.xml"], "nowhere.xml: there is no such file."),
        (["--runway", str(FIXTURES)], "is a folder; name the files in it"),
        (["--runway", XML[0], "--set", "width"], 'has no "="'),
        (["--runway", XML[0], "--source", "pdf"], '"pdf" is not known. Write aixm, geojson, csv.'),
        (["wet 5/5/5", "--aerodrome", "QDRW"], "--aerodrome goes with --runway only"),
    ],
)
def test_read_runway__bad_input_is_one_message(arguments: list[str], message: str, capsys: Captured) -> None:
    assert run(["read", *arguments]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert message in captured.err
    assert len(captured.err.splitlines()) == 1


def test_help__imports_none_of_the_geometry_packages() -> None:
    script = (
        "import sys\nfrom groundroll.commands import run\nrun(['read', '--help'])\n"
        "assert not [one for one in ('lxml', 'shapely', 'pyproj', 'numpy') if one in sys.modules]\n"
    )
    subprocess.run([sys.executable, "-c", script], check=True, capture_output=True)
