"""Gates: by hand for the plain aeroplane, monotone and consistent with the roll for the demonstration aeroplanes."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundroll.constants import FOOT
from groundroll.physics.rollout import BrakeStage, Control, ThrustStage, Trigger, continue_from, simulate
from groundroll.planning.gates import Gate, gate_places, gates, speed_at_least, speed_at_most
from groundroll.planning.landing import plan_landing
from groundroll.planning.landing_roll import MANUAL, landing_roll
from groundroll.planning.wording import Wording
from groundroll.scenario.model import Display
from tests.planning.cases import DRY, ICE, MEDIUM, NAMES, SNOW, WET, aircraft, changed, example, option, standard_case
from tests.planning.decisions import an_exit, approach, decided, plain_case, with_choice

CLOSE = 0.03
"""Speeds at gates are found to 0.01 m/s, below the true limit."""
SURFACES = {"dry": DRY, "wet": WET, "snow": SNOW, "slippery wet": MEDIUM, "ice": ICE}


def _named(found: list[Gate], name: str) -> Gate:
    return next(gate for gate in found if gate.name == name)


# -------------------------------------------------------------------------------------------------- worked by hand


def test_gates__plan_to_an_exit_by_hand() -> None:
    """2000 m available, setting steady (1.8 m/s2) to 20 m/s at 1700 m, full pedal 3 m/s2 after 2 s, no reverse.

    The zone ends at 2000/3 = 666.667 m. Planned sqrt(67.2^2 - 3.6 * 186.467) = 62.005 m/s. Held to the exit
    sqrt(400 + 3.6 * 1033.333) = 64.187 m/s. Everything: 2 s at 1.8 m/s2 to u = v - 3.6, then u^2 / 6 = 1333.333 + 3.6
    - 2 v: u^2 + 12 u - 7978.4 = 0, u = 83.523, v = 87.123 m/s.
    """
    plan = plan_landing(plain_case(an_exit("R", 1_700.0, 20.0), available=2_000.0))
    found = gates(plan, option(plan, "steady"), approach(plan, "steady", "R"))
    assert [gate.name for gate in found] == ["end of touchdown zone"]
    gate = found[0]
    assert gate.distance == pytest.approx(666.667, abs=1e-3)
    assert gate.planned_speed == pytest.approx(62.005, abs=1e-3)
    assert gate.same_means.value == pytest.approx(64.187, abs=CLOSE)
    assert gate.everything.value == pytest.approx(87.123, abs=CLOSE)
    assert gate.if_faster == "above 124 kt give up exit R: full pedal"  # 64.187 m/s are 124.77 kt; no reverser


def test_gates__after_the_hand_over_by_hand() -> None:
    """Released at 1623.489 m; abeam P, at 1650 m, it rolls at 20 m/s.

    Brakes taken again after 2 s, 1.8 m/s2: v^2 = 400 + 3.6 (50 - 2 v), so v = -3.6 + sqrt(12.96 + 580) = 20.751 m/s.
    """
    plan = plan_landing(plain_case(an_exit("P", 1_650.0, 30.0), an_exit("R", 1_700.0, 20.0)))
    found = gates(plan, option(plan, "steady"), approach(plan, "steady", "R"))
    gate = _named(found, "abeam P")
    assert gate.planned_speed == pytest.approx(20.0, abs=0.01)
    assert gate.same_means.value == pytest.approx(20.751, abs=CLOSE)
    assert gate.if_faster == "brake again, no harder than steady; above 40 kt give up exit R: full pedal"


def test_gates__plan_to_a_stop_by_hand() -> None:
    """Setting steady within 2000 m: at 666.667 m up to sqrt(3.6 * 1333.333) = 69.282 m/s."""
    plan = plan_landing(plain_case(available=2_000.0))
    gate = gates(plan, option(plan, "steady"), None)[0]
    assert gate.same_means.value == pytest.approx(69.282, abs=CLOSE)
    assert gate.if_faster == "above 134 kt give up the stop as planned: full pedal"


def test_gates__full_reverse_is_named_where_there_is_a_reverser() -> None:
    plan = plan_landing(standard_case(available=1_900.0))
    found = gates(plan, option(plan, "firm", "full"), None)
    assert all("full pedal, full reverse" in gate.if_faster for gate in found)


def test_gate_places__zone_exits_and_signs_before_the_exit_in_order() -> None:
    """By hand: zone 914.4 m; signs at 3000 m less whole thousands of feet: 9 at 256.8, 8 at 561.6, 7 at 866.4 m."""
    exits = (an_exit("P", 900.0), an_exit("R", 1_200.0), an_exit("S", 1_199.5))
    case = plain_case(*exits, direction={"distance_signs": True})
    places = gate_places(plan_landing(case), 1_200.0)
    assert [name for name, _ in places] == [
        "sign 9", "sign 8", "sign 7", "abeam P", "end of touchdown zone", "sign 6",
    ]  # fmt: skip
    assert [place for _, place in places] == pytest.approx([256.8, 561.6, 866.4, 900.0, 914.4, 1_171.2])
    assert [name for name, _ in gate_places(plan_landing(plain_case(*exits)), None)] == [
        "abeam P", "end of touchdown zone", "abeam S", "abeam R",
    ]  # fmt: skip


def test_gate_places__signs_do_not_move_when_a_report_reduces_the_length() -> None:
    """A sign shows thousands of feet of the declared distance; the zone is that of the distance left."""
    case = plain_case(direction={"distance_signs": True}, reduced=2_400.0)
    plan = plan_landing(case)
    assert plan.conditions.landing_distance_available == 2_400.0
    places = dict(gate_places(plan, None))
    assert places["sign 6"] == pytest.approx(3_000.0 - 6_000.0 * FOOT)
    assert places["end of touchdown zone"] == pytest.approx(800.0)
    assert "sign 1" not in places  # it stands beyond what is left


@pytest.mark.parametrize(
    ("unit", "speed", "most", "least"),
    [("kt", 10.0, "19 kt", "20 kt"), ("m/s", 10.06, "10.0 m/s", "10.1 m/s"), ("km/h", 10.0, "36 km/h", "36 km/h")],
)
def test_speed_at_most__is_rounded_to_the_safe_side(unit: str, speed: float, most: str, least: str) -> None:
    """10 m/s are 19.44 kt and 36 km/h."""
    wording = Wording(Display(speed=unit))  # type: ignore[arg-type]
    assert speed_at_most(speed, wording) == most
    assert speed_at_least(speed, wording) == least


# --------------------------------------------------------------------------------------------------------------- laws


def _check_gates(found: tuple[Gate, ...] | list[Gate]) -> None:
    """Check what holds for the gates of any plan that works."""
    for gate in found:
        for limit in (gate.same_means, gate.everything):
            assert limit.holds != "none of these"
            assert limit.value is None or limit.value >= gate.planned_speed - CLOSE
            assert limit.value is None or limit.lower <= limit.value <= limit.upper
        assert gate.if_faster
    assert [gate.distance for gate in found] == sorted(gate.distance for gate in found)
    for before, after in pairwise(found):
        for name in ("same_means", "everything"):
            earlier, later = getattr(before, name).value, getattr(after, name).value
            assert later is None or earlier is None or later <= earlier + CLOSE
            assert later is not None or earlier is None


@pytest.mark.parametrize("name", NAMES)
def test_examples__gates_are_monotone_and_never_below_the_plan(name: str) -> None:
    """Limits never rise along the runway, the planned speed is always within them."""
    found = decided(example(name)).gates
    assert found or name == "nothing-fits"
    _check_gates(found)


@settings(max_examples=25)
@given(
    surface=st.sampled_from(sorted(SURFACES)),
    mass=st.floats(48_000.0, 66_000.0),
    distance=st.floats(1_500.0, 2_900.0),
    speed=st.floats(5.0, 25.0),
    slope=st.floats(-0.015, 0.015),
)
def test_gates__monotone_and_consistent_on_any_day(
    surface: str, mass: float, distance: float, speed: float, slope: float
) -> None:
    third = SURFACES[surface]
    exits = (an_exit("P", 1_100.0), an_exit("Q", 1_450.0), an_exit("R", distance, speed))
    case = standard_case(
        length=3_400.0,
        thirds=(third, third, third),
        landing={"mass": mass},
        direction={"exits": exits, "slope": slope, "distance_signs": True},
    )
    _check_gates(decided(with_choice(case, exit="R")).gates)


@pytest.mark.parametrize("brake", ["steady", "firm", MANUAL])
@pytest.mark.parametrize("reverse", ["none", "full"])
def test_gates__at_the_limit_it_works_and_a_little_above_it_does_not(brake: str, reverse: str) -> None:
    """The rest of the roll, from the gate at its limit and 0.1 m/s above it, to the exit with the setting held."""
    exits = (an_exit("P", 1_100.0), an_exit("Q", 1_400.0), an_exit("R", 1_900.0, 15.0, 45.0))
    plan = plan_landing(standard_case(direction={"exits": exits}))
    found = gates(plan, option(plan, brake, reverse), approach(plan, brake, "R", reverse))
    assert found
    roll = landing_roll(plan.case.aircraft, plan.conditions, brake, reverse)  # type: ignore[arg-type]
    allowed = approach(plan, brake, "R", reverse).allowed_speed
    checked = 0
    for gate in found:
        result = simulate(roll, stations=[gate.distance])
        passage = result.passages[0]
        if gate.same_means.value is None or gate.if_faster.startswith("brake again"):
            continue
        checked += 1
        for more, works in ((0.0, True), (0.1, False)):
            rest = continue_from(roll, result, passage.time, gate.distance, gate.same_means.value + more)
            end = simulate(replace(rest, limit_distance=1_900.0))
            assert (end.stopped or end.ground_speed <= allowed) is works
    assert checked


def test_gates__everything_is_full_reverse_to_the_end() -> None:
    """Full pedal and full reverse are on already: what is left is the same with reverse kept, never cut back.

    Written out again as one stage of each; on ice reverse counts most.
    """
    exits = (an_exit("P", 850.0),)
    plan = plan_landing(standard_case(thirds=(ICE, ICE, ICE), available=2_500.0, direction={"exits": exits}))
    gate = _named(gates(plan, option(plan, MANUAL, "full"), None), "abeam P")
    roll = landing_roll(plan.case.aircraft, plan.conditions, MANUAL, "full")
    result = simulate(roll, stations=[gate.distance])
    assert gate.everything.value is not None
    for more, stops in ((0.0, True), (0.1, False)):
        speed = gate.everything.value + more
        rest = continue_from(roll, result, result.passages[0].time, gate.distance, speed)
        kept = ThrustStage(Trigger.TIME, 0.0, reverse_full=plan.case.aircraft.engines.count)
        rest = replace(rest, thrust_program=(kept,), limit_distance=2_500.0)
        assert simulate(rest).stopped is stops


def test_gates__full_reverse_waits_until_the_reversers_are_out() -> None:
    """Written out again for a gate passed before reverse is selected: out after selection and deployment, then full."""
    plane = changed(aircraft("demo-narrowbody"), reverse__selected=1.5)
    direction = {"exits": (an_exit("P", 560.0),)}
    plan = plan_landing(standard_case(plane=plane, thirds=(ICE, ICE, ICE), available=1_900.0, direction=direction))
    times, engines = plane.reverse, plane.engines.count
    assert times is not None
    gate = _named(gates(plan, option(plan, "firm", "full"), None), "abeam P")
    roll = landing_roll(plane, plan.conditions, "firm", "full")
    result = simulate(roll, stations=[gate.distance])
    moment = result.passages[0].time
    out = times.selected + times.deploy - moment
    assert times.selected > moment
    assert out > 2.0
    thrust = (
        ThrustStage(Trigger.TIME, 0.0, idle=engines),
        ThrustStage(Trigger.TIME, times.selected - moment, times.deploy, reverse_idle=engines),
        ThrustStage(Trigger.TIME, out, times.spool, reverse_full=engines),
    )
    assert gate.everything.value is not None
    for more, stops in ((0.0, True), (0.1, False)):
        rest = continue_from(roll, result, moment, gate.distance, gate.everything.value + more)
        pedal = BrakeStage(Trigger.TIME, 2.0, Control.PEDAL, 1.0, 1.0 / plane.brakes.pedal_ramp)
        rest = replace(
            rest, thrust_program=thrust, brake_program=(rest.brake_program[0], pedal), limit_distance=1_900.0
        )
        assert simulate(rest).stopped is stops


def test_gates__everything_grows_with_the_runway() -> None:
    """Ten metres of runway more raise the limit of a gate, ten metres less lower it."""
    limits = []
    for available in (2_790.0, 2_800.0, 2_810.0):
        case = standard_case(thirds=(ICE, ICE, ICE), available=available, direction={"exits": (an_exit("P", 1_600.0),)})
        plan = plan_landing(case)
        limits.append(_named(gates(plan, option(plan, MANUAL, "full"), None), "abeam P").everything.value or math.inf)
    assert limits[0] < limits[1] < limits[2]
