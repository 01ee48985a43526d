"""Sweeps, maps and the question what would undo it, against runs of their own and closed forms."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from groundroll.errors import ScenarioError
from groundroll.planning.ledger import shapley_values
from groundroll.scenario.read import read_case
from groundroll.teaching.cases import CaseSpec, build
from groundroll.teaching.comparison import ledger_of
from groundroll.teaching.runs import LandingRun, RejectRun, numbers_of
from groundroll.teaching.side_by_side import compare_cases
from groundroll.teaching.sweep import INPUTS, curve, input_named, map_of, read_range, solve, undo, value_of, with_input

EXAMPLES = Path(__file__).parents[2] / "examples"
WET = EXAMPLES / "wet-gusty-arrival" / "case.toml"
DEPARTURE = EXAMPLES / "departure-wet" / "case.toml"


def landing(brake: str = "firm", reverse: str = "none", *overrides: str) -> tuple[CaseSpec, LandingRun]:
    spec = CaseSpec("one", "one", WET, ("condition.report=dry 6/6/6", *overrides), brake, reverse)
    run = build(spec)
    assert isinstance(run, LandingRun)
    return spec, run


def test_landing_run__is_the_option_of_the_landing_plan() -> None:
    """What a lesson says and what `groundroll land` prints are the same roll."""
    _, run = landing()
    option = next(one for one in run.plan.options if (one.brake, one.reverse) == ("firm", "none"))
    assert run.stop_distance == option.stop_distance
    assert run.brake_energy == pytest.approx(option.brake_energy_per_wheel, rel=1e-12)
    assert run.heat[0] == pytest.approx(option.peak_brake_temperature, rel=1e-9)
    assert run.target_held == option.target_held
    numbers = numbers_of(run)
    assert numbers["margin_m"] == option.margin
    assert numbers["stop_time_s"] == option.stop_time


def test_curve__every_point_is_a_run_of_its_own_and_today_is_on_it() -> None:
    spec, run = landing()
    one = input_named("landing.mass", run)
    found = curve(spec, run, one, read_range(("50 t", "66 t"), one.powers), "stop_distance", points=5)
    for mass, distance in zip(found.inputs, found.values, strict=True):
        case = read_case(WET, ["condition.report=dry 6/6/6", f"landing.mass={mass / 1000:.6f} t"])
        assert distance == pytest.approx(LandingRun(case, "firm", "none").stop_distance, abs=1e-6)
    assert found.today == (62_500.0, run.stop_distance)
    assert list(found.values) == sorted(value or 0.0 for value in found.values)


def test_curve__a_point_outside_the_data_is_a_gap() -> None:
    """Landing mass above the greatest of the aircraft file, 66 t, is refused by the case and left out."""
    spec, run = landing()
    one = input_named("landing.mass", run)
    found = curve(spec, run, one, read_range(("60 t", "90 t"), one.powers), "stop_distance", points=4)
    assert [value is None for value in found.values] == [False, True, True, True]


def test_solve__touchdown_matches_closed_form() -> None:
    """On an even surface a touchdown one metre later stops one metre later: the rest is plain subtraction."""
    spec, run = landing()
    one = input_named("landing.touchdown_distance", run)
    over = read_range(("300 m", "1500 m"), one.powers)
    assert run.stop_distance is not None
    needed = solve(spec, run, one, over, "margin", 0.0, within=0.01)
    available, share = run.conditions.landing_distance_available, run.case.landing.margin
    assert needed == pytest.approx(run.segment.distance + available / (1.0 + share) - run.stop_distance, abs=0.5)


def test_solve__nothing_in_the_range_is_none_and_not_an_end_of_it() -> None:
    spec, run = landing()
    one = input_named("landing.touchdown_distance", run)
    assert solve(spec, run, one, read_range(("300 m", "400 m"), one.powers), "margin", 0.0, within=0.01) is None


def test_undo__the_value_found_gives_the_number_back() -> None:
    spec, run = landing("manual", "none", "failures.threshold_speed_excess=10 kt")
    _, base = landing("manual", "none")
    one = input_named("landing.mass", run)
    found = undo(spec, run, one, read_range(("45 t", "65 t"), one.powers), "stop_distance", base.stop_distance or 0.0)
    assert found.needed is not None
    assert found.needed < run.conditions.mass
    again = build(spec.changed(f"landing.mass={found.needed / 1000:.6f} t"))
    assert value_of(again, "stop_distance") == pytest.approx(base.stop_distance, abs=0.2)


def test_map__its_rows_are_curves() -> None:
    spec, run = landing()
    mass, wind = input_named("landing.mass", run), input_named("failures.additional_tailwind", run)
    over, second = read_range(("55 t", "65 t"), mass.powers), read_range(("0 kt", "8 kt"), wind.powers)
    found = map_of(spec, run, mass, over, wind, second, "stop_distance")
    assert len(found.values) == len(found.second_inputs)
    assert all(len(row) == len(found.inputs) for row in found.values)
    first = curve(spec, run, mass, over, "stop_distance", points=len(found.inputs))
    assert found.values[0] == pytest.approx(first.values)
    # More tailwind never shortens the way to the stop.
    for one, two in zip(found.values[0], found.values[-1], strict=True):
        assert one is not None
        assert two is not None
        assert two > one


@pytest.mark.parametrize("key", [key for key in INPUTS if not key.startswith(("take_off", "reject", "late"))])
def test_inputs__today_of_a_landing_is_read_back_from_its_own_override(key: str) -> None:
    """Setting an input to what it is today changes nothing."""
    spec, run = landing()
    one = INPUTS[key]
    today = one.today(run)
    assert today is not None
    unit = {"landing.pedal": "%", "landing.margin": "%", "failures.friction_share": "%", "runway.slope": "%"}.get(key)
    unit = unit or ("t" if "mass" in key else "degC" if "temperature" in key else "m" if "distance" in key else "kt")
    again = with_input(spec, run, one, today, unit)
    assert value_of(again, "stop_distance") == pytest.approx(run.stop_distance, abs=0.05)


def test_reject_run__at_the_decision_speed_is_the_plan_as_flown() -> None:
    run = build(CaseSpec("one", "one", DEPARTURE))
    assert isinstance(run, RejectRun)
    assert run.stop_distance == pytest.approx(run.plan.flown.stop_all_engines)
    assert run.go_distance == pytest.approx(run.plan.flown.go_engine_failure)
    late = run.at_speed(run.speed, 1.0)
    # One second at the speed of the first action, and what is gained in it: never less than the second itself.
    assert (late.stop_distance or 0.0) - (run.stop_distance or 0.0) > run.begin.ground_speed


def test_ledger_of__adds_up_and_is_the_shapley_value_for_one_cause() -> None:
    """With one cause its share is the whole; the property defines the value."""
    _, one = landing("manual", "none")
    _, two = landing("manual", "full")
    ledger = ledger_of(one, two)
    assert [entry.cause for entry in ledger.entries] == ["reverse"]
    assert ledger.entries[0].metres == pytest.approx((two.stop_distance or 0.0) - (one.stop_distance or 0.0))
    assert shapley_values([0.0, ledger.difference])[0] == pytest.approx(ledger.difference)


def test_compare_cases__side_by_side_with_ledger_map_and_undo() -> None:
    rapid = EXAMPLES / "rapid-exit" / "case.toml"
    lesson = compare_cases(
        [WET, rapid],
        sweeps=["landing.mass=50 t:66 t", "failures.additional_tailwind=0 kt:10 kt"],
        undo=["landing.mass=45 t:66 t"],
    )
    kinds = [picture.kind for step in lesson.steps for picture in step.pictures]
    assert kinds == ["strip", "lines", "table", "shares", "ledger", "lines", "lines", "map", "table"]
    ledger = lesson.steps[1].pictures[0]
    assert ledger.kind == "ledger"
    assert sum(metres for _, metres in ledger.entries) == pytest.approx(ledger.other[1] - ledger.first[1], abs=0.5)


@pytest.mark.parametrize(
    ("files", "sweeps", "message"),
    [
        ([WET], [], "2 to 6 can be compared"),
        ([WET, DEPARTURE], [], "cannot be compared with each other"),
        ([WET, EXAMPLES / "aircraft" / "demo-narrowbody.toml"], [], "is not a case"),
        ([WET], ["landing.mass"], 'Write it such as "landing.mass=50 t:66 t"'),
        ([WET], ["landing.mas=50 t:66 t"], 'Was "landing.mass" meant'),
        ([WET], ["landing.mass=50 kt:66 kt"], r"does not fit this input.*t, kg"),
        ([WET], ["landing.mass=66 t:50 t"], "the lower end comes first"),
        ([WET], ["take_off.mass=66 t:70 t"], "does not belong to a landing"),
    ],
)
def test_compare_cases__what_cannot_be_asked_is_refused(files: list[Path], sweeps: list[str], message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        compare_cases(files, sweeps=sweeps)


def test_hydroplaning_speed__of_a_run_is_nine_times_the_root_of_its_pressure() -> None:
    """13.8 bar are 200.15 psi; 9 x root(200.15) = 127.3 kt (the rule in its published form, second-hand)."""
    _, run = landing()
    speed = numbers_of(run)["hydroplaning_speed_mps"]
    assert isinstance(speed, float)
    assert speed * 3600.0 / 1852.0 == pytest.approx(9.0 * math.sqrt(13.8e5 / 6894.757), abs=0.05)
