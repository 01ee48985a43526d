"""Take-off case files: what follows from what, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.scenario.read import read_aircraft, read_any
from groundroll.scenario.take_off import TakeOffCase, read_take_off_case, take_off_inputs
from tests.scenario.conftest import Edit

ROOT = Path(__file__).parents[2]
CASE = ROOT / "examples" / "departure-wet" / "case.toml"
NOTHING = ROOT / "examples" / "departure-nothing-works" / "case.toml"
KNOT = 1852.0 / 3600.0


def test_speeds__go_with_the_square_root_of_mass() -> None:
    """146 kt and 152 kt at 72 t in the file; at 77.5 t times sqrt(77.5 / 72) = 1.0374917."""
    found = read_take_off_case(CASE).take_off
    assert found.rotation_speed / KNOT == pytest.approx(146.0 * 1.0374917, abs=1e-4)
    assert found.safety_speed / KNOT == pytest.approx(152.0 * 1.0374917, abs=1e-4)


def test_speeds__given_ones_stand() -> None:
    found = read_take_off_case(CASE, ["take_off.rotation_speed=150 kt", "take_off.safety_speed=155 kt"]).take_off
    assert found.rotation_speed == pytest.approx(150.0 * KNOT)
    assert found.safety_speed == pytest.approx(155.0 * KNOT)
    with pytest.raises(ScenarioError, match=r"take_off\.safety_speed: 140 kt is below the rotation speed, 150 kt"):
        read_take_off_case(CASE, ["take_off.rotation_speed=150 kt", "take_off.safety_speed=140 kt"])


def test_declared__stopway_and_clearway_add_to_the_run() -> None:
    declared = read_take_off_case(CASE).declared
    assert (declared.take_off_run, declared.accelerate_stop, declared.take_off) == (2_650.0, 2_710.0, 2_800.0)


def test_declared__default_is_the_paved_length_with_a_remark() -> None:
    case = read_take_off_case(NOTHING)
    assert case.declared.take_off_run == 1_720.0
    assert any("declares no take-off run for 34: the paved length of 1720 m is used" in one for one in case.remarks)


def test_declared__clearway_counts_up_to_half_the_run() -> None:
    case = read_take_off_case(CASE, ["runway.clearway=2 000 m"])
    assert case.declared.take_off == pytest.approx(1.5 * 2_650.0)
    assert any("half of it counts" in one for one in case.remarks)


def test_read_any__tells_a_take_off_from_a_landing() -> None:
    assert isinstance(read_any(CASE), TakeOffCase)


def test_inputs__have_units_in_their_names() -> None:
    inputs = take_off_inputs(read_take_off_case(CASE))
    assert inputs["take_off"]["mass_kg"] == 77_500.0
    assert inputs["take_off"]["line_up_allowance_stop_m"] == 28.0
    assert inputs["aircraft"]["take_off"]["minimum_control_speed_mps"] == pytest.approx(106.0 * KNOT)


@pytest.mark.parametrize("name", ["narrowbody", "widebody", "regional"])
def test_landing_only_files__stay_valid_without_take_off_data(name: str, edit: Edit, folder: Path) -> None:
    path = folder / "aircraft" / f"demo-{name}.toml"
    text = path.read_text(encoding="utf-8")
    start, end = text.index("[take_off]"), text.index("[limits]")
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    assert read_aircraft(path).take_off is None


@pytest.mark.parametrize(
    ("name", "old", "new", "message"),
    [
        ("aircraft/demo-narrowbody.toml", 'safety_speed = "152 kt"', 'safety_speed = "142 kt"', "must not be below"),
        ("aircraft/demo-narrowbody.toml", 'reverse = "2.0 s"', 'reverse = "0 s"\nthrust_rampp = "1 s"', "thrust_ramp"),
        ("aircraft/demo-narrowbody.toml", "full = 1.0\n", "full = 1.2\n", "1.2 is outside"),
        ("departure-wet/case.toml", 'event = "all engines"', 'event = "tyre"', '"tyre" is not allowed'),
        ("departure-wet/case.toml", "[take_off]", "[take-off]", "the section is missing"),
        ("departure-wet/case.toml", 'direction = "25"', 'direction = "24"', '"24" is not a direction'),
        ("departure-wet/case.toml", 'flap = "low"', "", "take_off.flap: is missing"),
    ],
)
def test_bad_input__is_named(name: str, old: str, new: str, message: str, edit: Edit, folder: Path) -> None:
    edit(name, old, new)
    with pytest.raises(ScenarioError) as raised:
        read_take_off_case(folder / "departure-wet" / "case.toml")
    assert message in str(raised.value)


@given(data=st.data())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_damaged_files__give_a_result_or_one_message(data: st.DataObject, tmp_path: Path) -> None:
    """A cut, a doubled or a replaced piece anywhere in the case never gives anything but a case or a message."""
    text = CASE.read_text(encoding="utf-8").replace("../", f"{ROOT}/examples/")
    at = data.draw(st.integers(0, len(text) - 1))
    length = data.draw(st.integers(0, 30))
    piece = data.draw(st.sampled_from(["", '"', "=", "[", "0", "-", "\n", "9" * 40, "kt", text[at : at + length] * 2]))
    path = tmp_path / "case.toml"
    path.write_text(text[:at] + piece + text[at + length :], encoding="utf-8")
    try:
        found = read_take_off_case(path)
    except ScenarioError:
        return
    assert found.take_off.rotation_speed > 0.0
