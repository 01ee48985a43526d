"""The decision as text and JSON: what a tired reader must find, whatever the case and the units."""

from __future__ import annotations

import io
import json
import math
import re
from dataclasses import replace
from typing import Any

import pytest
from rich.console import Console

from groundroll.outputs.decision_form import (
    SHORT_LIST,
    decision_json,
    print_approaches,
    print_break_points,
    print_gates,
    print_high_setting,
)
from groundroll.outputs.json_form import land_json, to_text
from groundroll.outputs.landing_table import landing_text
from groundroll.planning.break_points import Alone, BreakPoints, Cost, LatestTouchdown
from groundroll.planning.decision import Decision
from groundroll.planning.search import Greatest
from groundroll.planning.wording import Wording
from groundroll.scenario.model import Display
from tests.planning.cases import NAMES, example, standard_case
from tests.planning.decisions import an_exit, decided, with_choice

EXAMPLES = (*NAMES, "rapid-exit", "right-angle-exit", "reduced-length")


@pytest.fixture(autouse=True)
def _width(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")


def _printed(write: Any, *arguments: Any, width: int = 100, **options: Any) -> str:
    console = Console(file=io.StringIO(), width=width, highlight=False, color_system=None)
    write(console, *arguments, **options)
    text: str = console.file.getvalue()  # type: ignore[attr-defined]
    return text


def _flat(text: str) -> str:
    return " ".join(text.split())


def _a_decision(*alone: Alone, costs: tuple[Cost, ...] = (), worst: int | None = 3, **display: Any) -> Decision:
    """Return a decision with break points as given."""
    found = decided(standard_case(direction={"exits": (an_exit("R", 1_500.0, 22.0, 30.0),)}))
    case = replace(found.plan.case, display=Display(**display))
    touchdowns = (
        LatestTouchdown("planned means", True, Greatest(812.9, "up to value", 1.0, 2_500.0)),
        LatestTouchdown("planned means", False, Greatest(None, "any in the range", 1.0, 2_500.0)),
        LatestTouchdown("full pedal, full reverse", True, Greatest(None, "none of these", 1.0, 2_500.0)),
    )
    points = BreakPoints(touchdowns, worst, alone, costs)
    return replace(found, plan=replace(found.plan, case=case), break_points=points)


# -------------------------------------------------------------------------------------------------------- any example


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("full", [False, True])
def test_landing_text__nothing_cut_off_nothing_left_over(name: str, full: bool) -> None:
    """No cell is shortened with dots; no SI slip such as "nan" or "None"; no line beyond the width asked for."""
    found = decided(example(name))
    text = landing_text(found.plan, found, full=full)
    assert "…" not in text
    assert not re.search(r"\b(nan|inf|None|True|False)\b", text)
    assert max(len(line) for line in text.splitlines()) <= (118 if full else 100)


@pytest.mark.parametrize("name", EXAMPLES)
def test_landing_text__the_short_form_has_the_answer_gates_and_limits(name: str) -> None:
    found = decided(example(name))
    text = landing_text(found.plan, found, full=False)
    flat = _flat(text)
    assert _flat(found.plan.reasons[0]) in flat
    if found.break_points is None:
        assert "What would break it" not in flat
        return
    for gate in found.gates:
        assert gate.name in flat
    assert "What would break it:" in flat
    assert flat.count("Latest touchdown, planned means") == 2
    assert "Latest touchdown, full pedal" not in flat
    shown = [cost.name for cost in found.break_points.costs if f"{cost.name[0].upper()}{cost.name[1:]} " in flat]
    assert len(shown) >= min(SHORT_LIST, len(found.break_points.costs))


@pytest.mark.parametrize("name", [name for name in EXAMPLES if name != "nothing-fits"])
def test_landing_text__the_full_form_has_every_choice_at_every_exit(name: str) -> None:
    found = decided(example(name))
    text = _printed(print_approaches, found, width=118)
    flat = _flat(text)
    for one in found.needed:
        assert f"Exit {one.exit} at " in flat
        assert f"Exit {one.exit}: " in flat
    rows = [
        line
        for line in text.splitlines()
        if re.search(r" (hand-over|held|more brake|not possible|no wheel|exit sp)", line)
    ]
    assert len(rows) >= len(found.approaches)
    for row in rows:
        if " more brake " in row or " not possible " in row:
            assert re.search(r" - +- +\d+\.\d$", row.rstrip()), row  # what cannot be made has no time
    assert flat.count(" > ") == 1
    everything = _printed(print_break_points, found, full=True)
    assert found.break_points is not None
    assert everything.count("\n  Latest touchdown") == 4
    for cost in found.break_points.costs:
        assert f"{cost.name[0].upper()}{cost.name[1:]} " in _flat(everything)


@pytest.mark.parametrize("name", EXAMPLES)
def test_decision_json__is_finite_and_whole(name: str) -> None:
    """Numbers only, units in the names, indices that point at something."""
    found = decided(example(name))
    whole = json.loads(to_text(land_json(found.plan, found)))
    data = whole["decision"]
    json.dumps(data, allow_nan=False)
    assert data["exit_wanted"] == found.plan.case.choice.exit
    assert len(data["approaches"]) == len(found.approaches)
    assert len(data["candidates"]) == len(found.candidates)
    assert [one["name"] for one in data["aims"]][:2] == ["brake energy", "brake temperature"]
    for one in data["approaches"]:
        assert one["usable"] is (one["means"] in ("held", "hand-over", "exit speed kept", "no wheel braking"))
        assert {"arrival_speed_mps", "allowed_speed_mps", "runway_time_s", "planned_runway_time_s"} <= one.keys()
    for number, one in enumerate(data["candidates"]):
        assert one["efficient"] is (number in data["efficient"])
        assert 0 <= one["option"] < len(whole["options"])
    if data["chosen"] is None:
        assert data["break_points"] is None
        assert whole["recommended"] is None
        return
    assert data["candidates"][data["chosen"]]["option"] == whole["recommended"]
    assert [one["with_margin"] for one in data["break_points"]["latest_touchdowns"]] == [True, False, True, False]
    for gate in data["gates"]:
        assert gate["same_means"].keys() == {"value_mps", "holds", "searched_from_mps", "searched_to_mps"}
    tail, more, mass = data["break_points"]["alone"]
    assert {"planned_mps", "limit", "aircraft_file_limit_mps"} <= tail.keys()
    assert more["aircraft_file_limit_mps"] is None
    assert mass["limit"].keys() == {"value_kg", "holds", "searched_from_kg", "searched_to_kg"}
    assert mass["planned_kg"] == found.plan.conditions.mass


def test_decision_json__values_are_those_of_the_decision() -> None:
    found = decided(example("wet-gusty-arrival"))
    data = decision_json(found)
    first = found.approaches[0]
    assert data["approaches"][0]["exit_distance_m"] == first.exit_distance
    assert data["approaches"][0]["pedal_start_distance_m"] == first.pedal_start_distance
    assert data["candidates"][0]["brake_temperature_c"] == found.candidates[0].brake_temperature - 273.15
    assert data["candidates"][0]["margin_m"] == found.candidates[0].margin
    assert data["needed_deceleration"][0]["deceleration_mps2"] == found.needed[0].deceleration
    assert data["needed_deceleration"][0]["latest_start_m"] == found.needed[0].latest_start
    assert found.high_setting is not None
    assert data["against_high_setting"]["brake_energy_change"] == found.high_setting.brake_energy_change
    assert found.break_points is not None
    assert [one["costs_m"] for one in data["break_points"]["costs"]] == [one.costs for one in found.break_points.costs]
    assert data["gates"][0]["planned_speed_mps"] == found.gates[0].planned_speed


# -------------------------------------------------------------------------------------------------------------- words


def _up_to(value: float | None, holds: str = "up to value", upper: float = 20.578) -> Greatest:
    return Greatest(value, holds, 0.0, upper)


@pytest.mark.parametrize(
    ("alone", "words"),
    [
        (Alone("speed", 0.0, _up_to(5.1), "mps"), "Speed, alone: up to 9 kt."),  # 9.91 kt, rounded down
        (Alone("speed", 0.0, _up_to(None, "any in the range"), "mps"), "Speed, alone: any up to 40 kt."),
        (Alone("speed", 0.0, _up_to(None, "none of these"), "mps"), "Speed, alone: none fits."),
        (
            Alone("tailwind", 0.0, _up_to(-1.1), "mps", 5.1444445),  # 2.14 kt, rounded up
            "Tailwind, alone: none; it takes 3 kt of headwind (aircraft file: at most 10 kt).",
        ),
        (
            Alone("mass", 60_000.0, _up_to(65_980.0), "kg", 66_000.0),
            "Mass, alone: up to 65.9 t (aircraft file: at most 66.0 t).",
        ),
        (Alone("mass", 60_000.0, _up_to(None, "any in the range", 78_000.0), "kg"), "Mass, alone: any up to 78.0 t."),
    ],
)
def test_print_break_points__how_far_one_input_may_go(alone: Alone, words: str) -> None:
    """Greatest values are rounded down, least ones up: what is printed still fits."""
    assert words in _flat(_printed(print_break_points, _a_decision(alone), full=True))


def test_print_break_points__latest_touchdown_and_code() -> None:
    text = _flat(_printed(print_break_points, _a_decision(), full=True))
    assert "Latest touchdown, planned means, with the margin: 812 m." in text
    assert "Latest touchdown, planned means, without it: anywhere up to 2500 m." in text
    assert "Latest touchdown, full pedal, full reverse, with the margin: nowhere." in text
    assert "Surface alone: fits down to code 3 all over the runway." in text
    assert "Surface alone: none fits." in _flat(_printed(print_break_points, _a_decision(worst=None), full=True))


@pytest.mark.parametrize(
    ("cost", "words"),
    [
        (Cost("one code worse", 2_000.0, 310.2, True, True), "One code worse costs 310 m and still fits."),
        (
            Cost("all reverse lost", 2_400.0, 700.0, False, True),
            "All reverse lost costs 700 m and no longer fits: it still stops on the runway.",
        ),
        (
            Cost("one brake lost", 3_400.0, 1_700.0, False, False),
            "One brake lost costs 1700 m and no longer fits: it does NOT STOP on the runway.",
        ),
        (Cost("spoilers lost", 2_000.0, 0.4, True, True), "Spoilers lost costs nothing and still fits."),
        (Cost("spoilers lost", 2_000.0, 26.4, True, True), "Spoilers lost costs 26 m and still fits."),
        (Cost("pedals instead", 1_500.0, -537.0, True, True), "Pedals instead saves 537 m and still fits."),
        (Cost("one code worse", None, None, False, False), "One code worse: does NOT stop."),
    ],
)
def test_print_break_points__what_a_change_costs(cost: Cost, words: str) -> None:
    assert words in _flat(_printed(print_break_points, _a_decision(costs=(cost,)), full=False))


def test_print_break_points__the_short_list_is_short() -> None:
    costs = tuple(Cost(f"change {number}", 2_000.0, 100.0 - number, True, True) for number in range(9))
    short = _printed(print_break_points, _a_decision(costs=costs), full=False)
    whole = _printed(print_break_points, _a_decision(costs=costs), full=True)
    assert (short.count("Change "), whole.count("Change ")) == (SHORT_LIST, 9)


@pytest.mark.parametrize(
    ("display", "words"),
    [
        ({"speed": "m/s", "length": "ft", "mass": "lb"}, ("up to 5.1 m/s", "up to 145461 lb", "the margin: 2666 ft")),
        ({"speed": "km/h", "mass": "kg"}, ("up to 18 km/h", "up to 65980 kg", "the margin: 812 m")),
    ],
)
def test_print_break_points__in_the_units_of_the_case(display: dict[str, Any], words: tuple[str, ...]) -> None:
    """By hand, rounded down: 5.17 m/s are 18.6 km/h, 65 980.4 kg are 145 461.9 lb, 812.9 m are 2666.99 ft."""
    alone = (Alone("speed", 0.0, _up_to(5.17), "mps"), Alone("mass", 6e4, _up_to(65_980.4), "kg"))
    text = _flat(_printed(print_break_points, _a_decision(*alone, **display), full=True))
    for each in words:
        assert each in text


def test_lines__go_on_further_in_and_no_number_is_parted_from_its_unit() -> None:
    cost = Cost("ten knots fast at the threshold with a touchdown three hundred metres on", 2.4e3, 700.0, False, True)
    for width in range(60, 110):
        lines = _printed(print_break_points, _a_decision(costs=(cost,)), full=True, width=width).splitlines()
        assert all(len(line) <= width for line in lines)
        assert not any(re.search(r"\d$", line) for line in lines if not line.endswith("code 3"))
        assert all(line.startswith("  ") for line in lines[1:])


def test_print_gates__limits_beside_the_plan() -> None:
    """Any, none, and a value rounded down; the action in full."""
    found = decided(standard_case(available=2_000.0, direction={"exits": (an_exit("R", 1_800.0, 8.0),)}))
    gate = found.gates[0]
    text = _printed(print_gates, replace(found, gates=(gate,)))
    assert "fast at the gate: do this" in text
    assert gate.same_means.value is not None
    assert f"{math.floor(gate.same_means.value / (1852.0 / 3600.0))} kt" in text
    any_speed = replace(gate, same_means=_up_to(None, "any in the range"), everything=_up_to(None, "none of these"))
    row = _printed(print_gates, replace(found, gates=(any_speed,)))
    assert re.search(r" any +none ", row)
    assert "full pedal and full reverse, 2 s later, stop within the runway" in _flat(text)
    assert _printed(print_gates, replace(found, gates=())) == ""


def test_print_gates__a_plan_to_stop_says_stop_and_no_reverse_is_promised() -> None:
    stop = decided(standard_case(direction={"exits": ()}, failures={"reversers_inoperative": 2}))
    text = _flat(_printed(print_gates, stop))
    assert "from which the stop still works" in text
    assert "from which full pedal, 2 s later, stop" in text
    assert "reverse" not in text


def test_print__names_with_brackets_are_printed_as_they_are() -> None:
    """A name from a user's file is no markup."""
    exits = (an_exit("[bold]B[/]", 1_300.0, 30.0), an_exit("[red]R", 1_800.0, 22.0, 30.0))
    found = decided(with_choice(standard_case(direction={"exits": exits}), exit="[red]R"))
    text = _printed(print_approaches, found) + _printed(print_gates, found)
    assert "Exit [red]R at 1800 m" in text
    assert "Exit [red]R: needs" in text
    assert "abeam [bold]B[/]" in text


def test_print_high_setting__signed_percent_or_nothing() -> None:
    found = decided(example("wet-gusty-arrival"))
    assert found.high_setting is not None
    one = replace(found.high_setting, brake_energy_change=-0.204, brake_wear_change=0.051)
    assert _printed(print_high_setting, replace(found, high_setting=one)) == (
        "Against setting strong held to the same speed: brake energy -20 %, brake wear +5 %.\n"
    )
    none = replace(one, brake_wear_change=None)
    assert _printed(print_high_setting, replace(found, high_setting=none)).endswith("brake energy -20 %.\n")
    assert _printed(print_high_setting, replace(found, high_setting=None)) == ""


def test_print_approaches__needed_in_words() -> None:
    exits = (an_exit("N", 485.0, 10.0), an_exit("Q", 1_900.0, 59.0), an_exit("R", 1_500.0, 22.0, 30.0))
    found = decided(standard_case(direction={"exits": exits}, landing={"approach_speed": 69.5}))
    text = _flat(_printed(print_approaches, found))
    assert "Exit N: before the brakes act." in text
    assert re.search(r"Exit R: needs \d\.\d\d m/s2 from brakes-on, closest setting \w+; latest start of braking", text)
    slow = decided(standard_case(direction={"exits": exits[1:2]}, landing={"approach_speed": 60.0}))
    assert "Exit Q: no braking is needed." in _flat(_printed(print_approaches, slow))


@pytest.mark.parametrize("name", EXAMPLES)
def test_land_json__an_exit_is_usable_where_the_option_can_be_brought_to_it(name: str) -> None:
    """The list of exits of an option and its approaches say the same; an exit nobody can come to is not usable."""
    found = decided(example(name))
    answer = land_json(found.plan, found)
    made = {(one["brake"], one["reverse"], one["exit"]): one["usable"] for one in answer["decision"]["approaches"]}
    for one in answer["options"]:
        for way_out in one["exits"]:
            assert way_out["usable"] is made.get((one["brake"], one["reverse"], way_out["name"]), False)


def test_costs__steps_are_said_in_the_users_units() -> None:
    """10 kt are 18.52 km/h, 300 m are 984 ft."""
    both = Cost("10 kt fast with touchdown 300 m later", 1_800.0, 304.8, True, True)
    found = _a_decision(costs=(both,), speed="km/h", length="ft")
    text = _flat(_printed(print_break_points, found, full=True))
    assert "19 km/h fast with touchdown 984 ft later costs 1000 ft and still fits." in text


def test_fuel__is_in_pounds_where_masses_are() -> None:
    """100 lb are 45.359237 kg."""
    assert Wording(Display(mass="lb")).fuel(45.359237) == "100"
    assert Wording(Display(mass="lb")).fuel_unit == "lb"
    assert Wording(Display(mass="t")).fuel(45.359237) == "45"
    assert Wording(Display(mass="t")).fuel_unit == "kg"
