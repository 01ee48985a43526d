"""`groundroll land` through the real command: what goes where, exit codes, and every kind of bad input."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from groundroll.commands import run
from groundroll.outputs.caution import CAUTION, INVENTED

EXAMPLES = Path(__file__).parents[2] / "examples"
WET = str(EXAMPLES / "wet-gusty-arrival" / "case.toml")
NOTHING = str(EXAMPLES / "nothing-fits" / "case.toml")
DRY = str(EXAMPLES / "dry-short" / "case.toml")

Captured = pytest.CaptureFixture[str]


def _result(arguments: list[str], capsys: Captured) -> tuple[int, str, str]:
    code = run(["land", *arguments])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def _process(*arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the command in a Python of its own, as the installed script does."""
    script = "from groundroll.commands import main; main()"
    return subprocess.run(
        [sys.executable, "-c", script, "land", *arguments], capture_output=True, text=True, check=False
    )


def _flat(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture
def case(tmp_path: Path) -> Path:
    """Return the case file of a copy of the examples that a test may change."""
    shutil.copytree(EXAMPLES, tmp_path / "examples")
    return tmp_path / "examples" / "wet-gusty-arrival" / "case.toml"


# -------------------------------------------------------------------------------------------------------- a result


def test_land__in_a_process_of_its_own() -> None:
    """The page on stdout, nothing on stderr, exit code 0; the caution stands on it."""
    done = _process(WET)
    assert (done.returncode, done.stderr) == (0, "")
    assert CAUTION in _flat(done.stdout)
    assert INVENTED in _flat(done.stdout)
    assert done.stdout.startswith("Wet and gusty arrival at Demonstration Coast\n")


@pytest.mark.parametrize("name", ["wet-gusty-arrival", "contaminated-arrival", "failures-and-dispatch"])
def test_land__the_page_holds_every_choice_once_and_marks_one(name: str, capsys: Captured) -> None:
    """Four settings and manual braking, three uses of reverse each; the mark stands in the first row."""
    path = str(EXAMPLES / name / "case.toml")
    code, page, _ = _result([path], capsys)
    row = re.compile(r"^ *(>?) +(gentle|steady|firm|strong|manual) +(none|idle|full) +[0-9]+ +[0-9]+ +[+-][0-9]+ ")
    rows = [found.groups() for line in page.splitlines() if (found := row.match(line))]
    brakes = ("gentle", "steady", "firm", "strong", "manual")
    choices = [(brake, reverse) for brake in brakes for reverse in ("none", "idle", "full")]
    assert code == 0
    assert sorted(one[1:] for one in rows) == sorted(choices)
    assert [one[0] for one in rows] == [">"] + [""] * 14
    answer = json.loads(_result([path, "--json"], capsys)[1])
    recommended = answer["options"][answer["recommended"]]
    assert rows[0][1:] == (recommended["brake"], recommended["reverse"])
    assert CAUTION in _flat(page)
    assert INVENTED in _flat(page)


def test_land__json_is_the_only_thing_on_stdout() -> None:
    """It parses as a whole, and says what the page says."""
    done = _process(WET, "--json")
    assert (done.returncode, done.stderr) == (0, "")
    answer = json.loads(done.stdout)
    assert answer["kind"] == "land"
    assert CAUTION in answer["cautions"]
    assert answer["inputs"]["landing"]["mass_kg"] == 62_500.0


def test_land__nothing_fits_is_a_result_with_exit_code_1() -> None:
    """The table is printed all the same."""
    done = _process(NOTHING)
    assert (done.returncode, done.stderr) == (1, "")
    assert "No plan: nothing fits" in done.stdout
    assert "manual" in done.stdout


def test_land__code_0_is_a_result_with_exit_code_1(capsys: Captured) -> None:
    """In JSON as well as in words."""
    code, out, err = _result([WET, "--set", "condition.codes=[5, 5, 0]"], capsys)
    assert (code, err) == (1, "")
    assert "No plan: runway condition code 0 in the roll-out third" in _flat(out)
    code, out, _ = _result([WET, "--set", "condition.codes=[5, 5, 0]", "--json"], capsys)
    assert code == 1
    assert json.loads(out)["options"] == []


def test_land__a_limit_exceeded_is_a_result_with_exit_code_1(capsys: Captured) -> None:
    """12 kt from behind, 10 kt allowed."""
    code, out, _ = _result([WET, "--set", "weather.wind=071/12 kt"], capsys)
    assert code == 1
    assert "tailwind 12 kt is above the limit of 10 kt" in _flat(out)


def test_land__set_changes_one_input_and_is_shown(capsys: Captured) -> None:
    """Lighter by 4.5 t; case, aircraft and runway can all be reached, several times over."""
    sets = ["landing.mass=58 t", "runway.length=2700 m", "aircraft.brakes.heat_sink_mass=70 kg"]
    code, out, err = _result([WET, "--json", *[word for one in sets for word in ("--set", one)]], capsys)
    assert (code, err) == (0, "")
    inputs = json.loads(out)["inputs"]
    assert inputs["landing"]["mass_kg"] == 58_000.0
    assert inputs["runway"]["length_m"] == 2_700.0
    assert inputs["aircraft"]["brakes"]["heat_sink_mass_kg"] == 70.0


def test_land__set_makes_the_stop_shorter_or_longer_as_it_should(capsys: Captured) -> None:
    """Less mass, less speed, a shorter stop with every choice."""

    def stops(*arguments: str) -> list[float]:
        return [
            one["stop_distance_m"] for one in json.loads(_result([WET, "--json", *arguments], capsys)[1])["options"]
        ]

    light, heavy = stops("--set", "landing.mass=55 t"), stops()
    assert all(one < other for one, other in zip(light, heavy, strict=True))


@pytest.mark.parametrize("extra", [[], ["--json"]])
def test_land__output_goes_to_the_file_whole_and_nowhere_else(
    extra: list[str], capsys: Captured, tmp_path: Path
) -> None:
    """The same text; the old file is replaced, and no part of a file is left beside it."""
    target = tmp_path / "plan.txt"
    target.write_text("old", encoding="utf-8")
    _, printed, _ = _result([WET, *extra], capsys)
    code, out, err = _result([WET, *extra, "-o", str(target)], capsys)
    assert (code, out, err) == (0, "", "")
    assert target.read_text(encoding="utf-8") == printed
    assert [one.name for one in tmp_path.iterdir()] == ["plan.txt"]


def test_land__an_error_leaves_the_old_file(capsys: Captured, tmp_path: Path) -> None:
    """Nothing is written before there is a result."""
    target = tmp_path / "plan.txt"
    target.write_text("old", encoding="utf-8")
    assert _result([WET, "--set", "landing.mass=99 t", "-o", str(target)], capsys)[0] == 2
    assert target.read_text(encoding="utf-8") == "old"


def test_land__twice_gives_the_same_digits(capsys: Captured) -> None:
    """Nothing random, nothing of the clock."""
    assert _result([WET, "--json"], capsys) == _result([WET, "--json"], capsys)


def test_land__a_report_that_is_too_old_is_only_warned_of(capsys: Captured) -> None:
    """Eight hours is its longest validity: Regulation (EU) 2021/1338, Annex V, Appendix 3, point 1 (confirmed)."""
    code, out, err = _result([WET, "--set", "time=2026-02-17T20:00Z"], capsys)
    assert code in (0, 1)
    assert err == ""
    assert "14 h 15 min old at the time of landing" in _flat(out)


# ------------------------------------------------------------------------------------------------------- bad input


def _one_message(code: int, out: str, err: str) -> str:
    assert code == 2
    assert out == ""
    assert "Traceback" not in err
    assert 1 <= len(err.splitlines()) <= 11
    assert len(err) < 3_000
    return _flat(err)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("landing.mas=60 t", ["landing.mas", 'Was "mass" meant?']),
        ("landing.mass=60", ["landing.mass", "60 has no unit"]),
        ("landing.mass=60 kt", ["landing.mass", "kt"]),
        ("landing.mass=nan t", ["landing.mass"]),
        ("landing.margin=inf", ["landing.margin"]),
        ("landing.mass=72 t", ['"72 t" is above the maximum landing mass 66 t of demo-narrowbody']),
        ("landing.mass=30 t", ['"30 t" is below the minimum mass 41 t']),
        ("landing.margin=300 %", ["landing.margin", "100 %"]),
        ("landing.flap=half", ['"half" is not a flap setting of demo-narrowbody']),
        ("aircraft.tyres.main.pressure=15 kPa", ["tyres.main.pressure", "344.7 to 2068 kPa"]),
        ("aircraft.tyres.main.pressure=330 psi", ["tyres.main.pressure", "50 to 300 psi"]),
        ("direction=18", ["direction"]),
        ("direction=north", ["is not a runway direction"]),
        ("weather.temperature=55 degC", ["temperature 55 degC is outside -40 degC to 50 degC"]),
        ("weather.qnh=1O13 hPa", ["weather.qnh"]),
        ("condition.report=RWY 18 WET 5/5/5", ["condition.report"]),
        ("condition.codes=[7, 5, 5]", ["condition.codes", "7"]),
        ("condition.codes=[5, 5]", ["condition.codes"]),
        ("landing.touchdown_distance=2600 m", ["landing.touchdown_distance"]),
        ("failures.brakes_released=4", ["leaves none"]),
        ("failures.reversers_inoperative=3", ["more than the 2 reversers"]),
        ("runway.true_bearing=71.4 deg", ["are both ends confused?"]),
        ("aircraft=../aircraft/demo-jumbo.toml", ["demo-jumbo.toml", "there is no such file"]),
        ("runway=../aircraft/demo-narrowbody.toml", ["demo-narrowbody.toml"]),
        ("weather.report=good morning", ["weather.report"]),
        ("nonsense", ["write key=value"]),
    ],
)
def test_land__bad_input_ends_with_one_message(change: str, words: list[str], capsys: Captured) -> None:
    """Exit code 2, nothing on stdout, no traceback; key, value and what is allowed are in the message."""
    message = _one_message(*_result([WET, "--set", change], capsys))
    for word in words:
        assert word in message


def test_land__runway_that_the_report_does_not_hold(capsys: Captured, case: Path) -> None:
    """The report is of 07 and 25; the runway is another."""
    text = case.read_text(encoding="utf-8")
    case.write_text(text.replace("02170545 07 3/5/5", "02170545 18 3/5/5"), encoding="utf-8")
    message = _one_message(*_result([str(case)], capsys))
    assert "condition.report" in message
    assert "25" in message


def test_land__report_of_another_aerodrome(capsys: Captured, case: Path) -> None:
    """QLNG is not QDEM."""
    text = case.read_text(encoding="utf-8")
    case.write_text(text.replace("SNOWTAM 0031\nQDEM", "SNOWTAM 0031\nQLNG"), encoding="utf-8")
    message = _one_message(*_result([str(case)], capsys))
    assert "QLNG" in message
    assert "QDEM" in message


def test_land__both_ends_of_the_runway_confused_in_its_file(capsys: Captured, case: Path) -> None:
    """Bearings of 07 and 25 exchanged."""
    runway = case.parent.parent / "runways" / "QDEM-07-25.toml"
    text = runway.read_text(encoding="utf-8")
    text = text.replace("251.4 deg", "X").replace("71.4 deg", "251.4 deg").replace("X", "71.4 deg")
    runway.write_text(text, encoding="utf-8")
    assert "are both ends confused?" in _one_message(*_result([str(case)], capsys))


@pytest.mark.parametrize(
    "content",
    [b"\x00\xff" * 5_000_000, b"a = [" * 2_000_000, b"x" * 10_000_000, b"", b"[landing\n"],
    ids=["bytes", "brackets", "letters", "nothing", "broken"],
)
def test_land__garbage_as_a_case(content: bytes, capsys: Captured, tmp_path: Path) -> None:
    """Ten megabytes of it, or too little."""
    path = tmp_path / "case.toml"
    path.write_bytes(content)
    assert "case.toml" in _one_message(*_result([str(path)], capsys))


def test_land__missing_file_in_a_process_of_its_own(tmp_path: Path) -> None:
    """As a person meets it: one line."""
    done = _process(str(tmp_path / "none.toml"))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1
    assert "there is no such file" in done.stderr


@pytest.mark.parametrize("name", ["aircraft/demo-narrowbody.toml", "runways/QDEM-07-25.toml"])
def test_land__a_file_of_another_kind(name: str, capsys: Captured) -> None:
    """An aeroplane is no case, and says what is missing."""
    _one_message(*_result([str(EXAMPLES / name)], capsys))


def test_land__beyond_the_physics(capsys: Captured) -> None:
    """More than 200 kt over the ground: refused, not extrapolated."""
    arguments = ["--set", "landing.approach_speed=205 kt", "--set", "weather.wind=071/9 kt"]
    message = _one_message(
        *_result([DRY, *arguments, "--set", "aircraft.limits.maximum_touchdown_speed=250 kt"], capsys)
    )
    assert "No plan is computed beyond that range" in message
