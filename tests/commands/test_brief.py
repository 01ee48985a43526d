"""`groundroll brief` through the command line: kinds of files, exit codes, bad input."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from groundroll.commands import BAD_INPUT, DOES_NOT_FIT, DONE, run
from groundroll.outputs.caution import CAUTION

EXAMPLES = Path(__file__).parents[2] / "examples"
WET = str(EXAMPLES / "wet-gusty-arrival" / "case.toml")
TIME = ["--time", "2026-02-17T06:10Z"]

Captured = pytest.CaptureFixture[str]


def _result(arguments: list[str], capsys: Captured) -> tuple[int, str, str]:
    code = run(["brief", *arguments])
    out, err = capsys.readouterr()
    return code, out, err


@pytest.mark.parametrize(
    ("name", "begins"),
    [("b.pdf", b"%PDF-"), ("b.html", b"<!doctype html>"), ("b.txt", b"QDEM 25"), ("B.PDF", b"%PDF-")],
)
def test_brief__kind_of_file_follows_its_name(tmp_path: Path, capsys: Captured, name: str, begins: bytes) -> None:
    """The same input gives the same file, time given."""
    target = tmp_path / name
    contents = []
    for _ in range(2):
        assert _result([WET, *TIME, "--paper", "a5", "-o", str(target)], capsys) == (DONE, "", "")
        contents.append(target.read_bytes())
    assert contents[0].startswith(begins)
    assert contents[0] == contents[1]
    assert [one.name for one in tmp_path.iterdir()] == [name]


def test_brief__text_on_stdout_without_a_file(capsys: Captured) -> None:
    code, out, err = _result([WET, *TIME], capsys)
    assert (code, err) == (DONE, "")
    assert "Computed 2026-02-17 06:10 UTC" in out
    assert " ".join(CAUTION.split()) in " ".join(out.split())


def test_brief__json_holds_the_plan_that_land_prints(capsys: Captured) -> None:
    code, out, _ = _result([WET, *TIME, "--json"], capsys)
    assert code == DONE
    answer = json.loads(out)
    assert run(["land", WET, "--json"]) == DONE
    assert answer["plan"] == json.loads(capsys.readouterr().out)
    assert answer["kind"] == "brief"
    assert CAUTION in answer["cautions"]


@pytest.mark.parametrize(
    ("name", "expected"),
    [("departure-wet", DONE), ("departure-nothing-works", DOES_NOT_FIT), ("nothing-fits", DOES_NOT_FIT)],
)
def test_brief__exit_code_says_whether_the_plan_fits(name: str, expected: int, capsys: Captured) -> None:
    code, out, _ = _result([str(EXAMPLES / name / "case.toml")], capsys)
    assert code == expected
    assert out


def test_brief__set_changes_an_input(capsys: Captured) -> None:
    code, out, _ = _result([WET, "--set", "landing.mass=58 t"], capsys)
    assert code == DONE
    assert "58.0 t" in out


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ([WET, "-o", "brief.docx"], "a brief is written as .pdf, .html, .txt; end the name with one of them"),
        ([WET, "--time", "noon"], '--time "noon" is not a time in UTC. Write it such as "2026-02-17T06:10Z"'),
        ([WET, "--time", "2026-02-17T06:10"], "is not a time in UTC"),
        ([WET, "--paper", "a3"], "a3"),
        ([str(EXAMPLES / "day" / "day.toml")], "day.toml is not a case"),
        ([str(EXAMPLES / "aircraft" / "demo-narrowbody.toml")], "is not a case"),
        (["no-such.toml"], "there is no such file"),
        ([WET, "-o", "no-such-folder/brief.pdf"], "cannot be written"),
    ],
)
def test_brief__bad_input_is_one_message(arguments: list[str], message: str, capsys: Captured) -> None:
    code, out, err = _result(arguments, capsys)
    assert (code, out) == (BAD_INPUT, "")
    assert message in err
    assert "Traceback" not in err
