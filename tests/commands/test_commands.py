"""The command line: what it writes where, exit codes, and speed of `--help`."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from io import BytesIO, TextIOWrapper
from pathlib import Path
from typing import Any

import pytest

import groundroll.commands as commands
from groundroll.commands import run
from groundroll.errors import GroundrollError, ReportError
from groundroll.outputs.caution import CAUTION, INVENTED

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
CASE = str(EXAMPLES / "wet-gusty-arrival" / "case.toml")
AIRCRAFT = str(EXAMPLES / "aircraft" / "demo-narrowbody.toml")
RUNWAY = str(EXAMPLES / "runways" / "QDEM-07-25.toml")
METAR = "METAR QDEM 170620Z 21018G29KT 8000 RA BKN014 07/05 Q0998"

Captured = pytest.CaptureFixture[str]


def _result(arguments: list[str], capsys: Captured) -> tuple[int, str, str]:
    code = run(arguments)
    captured = capsys.readouterr()
    return code, captured.out, captured.err


# --------------------------------------------------------------------------------------------------------- help


def test_help__is_quick_and_imports_nothing_heavy() -> None:
    """CPU time, so that a busy machine does not matter; the start of Python is in it."""
    script = (
        "import sys, time\n"
        "from groundroll.commands import run\n"
        "code = run(['--help'])\n"
        "heavy = [name for name in ('numba', 'numpy', 'scipy', 'pydantic', 'pint', 'metar') if name in sys.modules]\n"
        "print('HEAVY', heavy, 'CODE', code, 'CPU', time.process_time(), file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert "Usage: groundroll" in done.stdout
    assert "HEAVY [] CODE 0" in done.stderr
    assert float(done.stderr.split()[-1]) < 0.3


def test_version(capsys: Captured) -> None:
    assert _result(["--version"], capsys) == (0, "groundroll 0.1.0\n", "")


@pytest.mark.parametrize("name", [one for one in commands.COMMANDS if one != "serve"])  # it prints an address only
def test_help__of_each_command_names_its_options(name: str, capsys: Captured) -> None:
    code, out, _ = _result([name, "--help"], capsys)
    assert code == 0
    assert "--json" in out or name == "animate"  # it answers in pictures
    assert "--output" in out


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["lamd"], "No such command 'lamd'"),
        (["check"], "Missing argument 'FILES...'"),
        (["check", CASE, "--fast"], "No such option: --fast"),
        (["read"], "Missing argument 'TEXT...'"),
        (["check", CASE, "-o"], "requires an argument"),
    ],
)
def test_usage_error__one_message_and_exit_code_two(arguments: list[str], message: str, capsys: Captured) -> None:
    code, out, err = _result(arguments, capsys)
    assert code == 2
    assert out == ""
    assert message in err
    assert len(err.splitlines()) == 1
    assert "--help" in err


def test_no_arguments__show_the_help_and_count_as_bad_input(capsys: Captured) -> None:
    code, out, err = _result([], capsys)
    assert code == 2
    assert "Usage: groundroll" in out + err


# -------------------------------------------------------------------------------------------------------- check


def test_check__files_in_order(capsys: Captured) -> None:
    code, out, err = _result(["check", CASE, RUNWAY, AIRCRAFT], capsys)
    assert (code, err) == (0, "")
    assert "case.toml: in order (case: Wet and gusty arrival at Demonstration Coast)" in out
    assert "QDEM-07-25.toml: in order (runway: QDEM 07/25)" in out
    assert CAUTION in out
    assert INVENTED in out


def test_check__remarks_are_shown(capsys: Captured) -> None:
    code, out, _ = _result(["check", CASE, "--set", "time=2026-02-17T20:00Z"], capsys)
    assert code == 0
    assert "Remark: The runway condition of 17 February 05:45 UTC is 14 h 15 min old" in out


def test_check__json_has_nothing_else_on_stdout(capsys: Captured) -> None:
    code, out, _ = _result(["check", CASE, RUNWAY, "--json"], capsys)
    content = json.loads(out)
    assert code == 0
    assert content["format"] == 1
    assert [one["kind"] for one in content["files"]] == ["case", "runway"]
    assert all(one["valid"] and one["problems"] == [] for one in content["files"])
    assert content["cautions"] == [CAUTION, INVENTED]


def test_check__bad_input_among_good(capsys: Captured, tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text("format = 1\n[landing]\nmass = 60\n", encoding="utf-8")
    code, out, err = _result(["check", str(bad), CASE], capsys)
    assert code == 2
    assert "bad.toml: not in order" in out
    assert "case.toml: in order" in out
    assert "bad.toml, landing.mass: 60 has no unit" in err
    assert "Traceback" not in err
    code, out, _ = _result(["check", str(bad), "--json"], capsys)
    assert code == 2
    assert json.loads(out)["files"][0]["valid"] is False


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ([str(EXAMPLES / "nothing.toml")], "there is no such file"),
        ([str(EXAMPLES)], "is a folder"),
        ([CASE, "--set", "landing.mass=72 t"], '--set landing.mass: "72 t" is above the maximum landing mass 66 t'),
        ([CASE, "--set", "landing.mass"], "write key=value"),
        ([RUNWAY, "--set", "landing.mass=60 t"], "changes a case"),
    ],
)
def test_check__bad_input(arguments: list[str], message: str, capsys: Captured) -> None:
    code, _, err = _result(["check", *arguments], capsys)
    assert code == 2
    assert message in err


# --------------------------------------------------------------------------------------------------------- read


def test_read__weather_in_words(capsys: Captured) -> None:
    code, out, err = _result(["read", METAR], capsys)
    assert (code, err) == (0, "")
    assert "210 degrees true" in out
    assert CAUTION in out


def test_read__words_without_quotes(capsys: Captured) -> None:
    code, out, _ = _result(["read", "wet", "5/5/5"], capsys)
    assert code == 0
    assert "WET" in out


def test_read__json(capsys: Captured) -> None:
    code, out, _ = _result(["read", METAR, "--json"], capsys)
    content = json.loads(out)
    assert code == 0
    assert content["report"]["wind_speed_mps"] == pytest.approx(18.0 * 1852.0 / 3600.0)
    assert content["cautions"] == [CAUTION]


def test_read__file_and_stdin(capsys: Captured, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "report.txt"
    path.write_text(METAR + "\n", encoding="utf-8")
    _, from_file, _ = _result(["read", str(path)], capsys)
    monkeypatch.setattr(sys, "stdin", TextIOWrapper(BytesIO(METAR.encode() + b"\n")))
    _, from_stdin, _ = _result(["read", "-"], capsys)
    assert from_file == from_stdin
    assert "210 degrees true" in from_file


@pytest.mark.parametrize(
    ("content", "message"),
    [(b"\xff\xfe\x00", "is not text in UTF-8"), (b"x" * 1_100_000, "more than 1 MB"), (b"", ""), (b"x" * 30_000, "")],
)
def test_read__garbage_on_stdin(
    content: bytes, message: str, capsys: Captured, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", TextIOWrapper(BytesIO(content)))
    code, out, err = _result(["read", "-"], capsys)
    assert (code, out) == (2, "")
    assert message in err
    assert len(err) < 1_000


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("good morning", "neither a weather report"),
        (CASE, "is a scenario file, not a report. To check it: groundroll check"),
        (str(EXAMPLES), "is a folder"),
        ("missing.txt", "missing.txt: there is no such file"),
        ("A" * 5_000, "neither a weather report"),
        ("a\x00b", "neither a weather report"),
    ],
)
def test_read__bad_input(text: str, message: str, capsys: Captured) -> None:
    code, out, err = _result(["read", text], capsys)
    assert (code, out) == (2, "")
    assert message in err


# ------------------------------------------------------------------------------------------- files, faults, signals


def test_output__file_holds_what_stdout_would(capsys: Captured, tmp_path: Path) -> None:
    target = tmp_path / "report.json"
    target.write_text("old", encoding="utf-8")
    code, out, _ = _result(["read", METAR, "--json", "-o", str(target)], capsys)
    assert (code, out) == (0, "")
    assert json.loads(target.read_text(encoding="utf-8"))["format"] == 1
    assert [one.name for one in tmp_path.iterdir()] == ["report.json"]


def test_output__a_file_that_cannot_be_written(capsys: Captured, tmp_path: Path) -> None:
    code, _, err = _result(["read", METAR, "-o", str(tmp_path / "no" / "report.txt")], capsys)
    assert code == 2
    assert "report.txt cannot be written: No such file or directory" in err
    code, _, err = _result(["read", METAR, "-o", str(tmp_path)], capsys)
    assert code == 2
    assert "cannot be written: Is a directory" in err


def test_output__the_old_file_stays_when_writing_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "result.txt"
    target.write_text("old", encoding="utf-8")

    def full(*_: Any, **__: Any) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(GroundrollError, match="No space left on device"):
        commands.emit("new", target)
    assert target.read_text(encoding="utf-8") == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["result.txt"]


def test_output__through_a_link_and_to_a_device(capsys: Captured, tmp_path: Path) -> None:
    target, link = tmp_path / "target.txt", tmp_path / "link.txt"
    target.write_text("old", encoding="utf-8")
    link.symlink_to(target)
    commands.emit("new", link)
    assert link.is_symlink()
    assert target.read_text(encoding="utf-8") == "new\n"
    commands.emit("new", Path(os.devnull))
    assert not Path(os.devnull).is_file()


def _failing(error: BaseException) -> Callable[..., None]:
    def fail(*_: Any, **__: Any) -> None:
        raise error

    return fail


def test_unexpected_fault__one_line_and_exit_code_three(capsys: Captured, monkeypatch: pytest.MonkeyPatch) -> None:
    import groundroll.reports.recognise as recognise

    monkeypatch.setattr(recognise, "read_report", _failing(RuntimeError("something\nbroke")))
    monkeypatch.delenv("GROUNDROLL_DEBUG", raising=False)
    code, out, err = _result(["read", METAR], capsys)
    assert (code, out) == (3, "")
    assert "RuntimeError: something broke" in err
    assert "GROUNDROLL_DEBUG=1" in err
    assert len(err.splitlines()) == 1
    monkeypatch.setenv("GROUNDROLL_DEBUG", "1")
    with pytest.raises(RuntimeError, match="something"):
        run(["read", METAR])


def test_interrupt__ends_quietly(capsys: Captured, monkeypatch: pytest.MonkeyPatch) -> None:
    import groundroll.reports.recognise as recognise

    monkeypatch.setattr(recognise, "read_report", _failing(KeyboardInterrupt()))
    assert _result(["read", METAR], capsys) == (130, "", "")


def test_known_error__exit_code_two(capsys: Captured, monkeypatch: pytest.MonkeyPatch) -> None:
    import groundroll.reports.recognise as recognise

    monkeypatch.setattr(recognise, "read_report", _failing(ReportError("one clear message")))
    assert _result(["read", METAR], capsys) == (2, "", "one clear message\n")


def test_main__ends_python_with_the_exit_code(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "argv", ["groundroll", "check", str(EXAMPLES / "nothing.toml")])
    with pytest.raises(SystemExit) as caught:
        commands.main()
    assert caught.value.code == 2


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_pipe__a_reader_that_stops_early_is_no_fault() -> None:
    command = f"{sys.executable} -c 'from groundroll.commands import main; main()' read '{METAR}' --json | head -c 1"
    started = time.monotonic()
    done = subprocess.run(["bash", "-c", f"set -o pipefail; {command}"], capture_output=True, text=True, check=False)
    assert done.stdout == "{"
    assert "Traceback" not in done.stderr
    assert "Exception" not in done.stderr
    assert time.monotonic() - started < 60.0
