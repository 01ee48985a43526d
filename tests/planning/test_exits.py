"""Arriving at an exit: by hand for the plain aeroplane, as laws for the demonstration aeroplanes."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundroll.constants import KNOT
from groundroll.physics.exits import exit_use_share
from groundroll.physics.rollout import BrakeStage, Control, Trigger, continue_from, simulate
from groundroll.planning.exits import Approach, ExitSearch
from groundroll.planning.landing import LandingPlan, plan_landing
from groundroll.planning.landing_roll import MANUAL, landing_roll
from tests.planning.cases import (
    DRY,
    ICE,
    MEDIUM,
    NAMES,
    SLUSH,
    SNOW,
    WET,
    aircraft,
    changed,
    example,
    option,
    standard_case,
)
from tests.planning.decisions import (
    FULL_PEDAL,
    TOUCHDOWN,
    an_exit,
    approach,
    plain_aircraft,
    plain_case,
)
from tests.reference_roll import reference_roll

HALF_KNOT = 0.5 * KNOT
SURFACES = {"dry": DRY, "wet": WET, "snow": SNOW, "slippery wet": MEDIUM, "ice": ICE}


def _again(plan: LandingPlan, one: Approach, tolerance: float = 1e-10) -> float | None:
    """Return the arrival speed of an approach simulated afresh from its program; None where it stops short."""
    roll = landing_roll(plan.case.aircraft, plan.conditions, one.brake, one.reverse)
    roll = replace(roll, brake_program=one.brake_program, limit_distance=one.exit_distance, tolerance=tolerance)
    result = simulate(roll)
    return None if result.stopped else result.ground_speed


# -------------------------------------------------------------------------------------------------- worked by hand


def test_approach__hand_over_by_hand() -> None:
    """Nothing slows it once released: let go where the speed is the allowed one.

    Setting steady, 1.8 m/s2, to 20 m/s: 480.2 + (67.2^2 - 20^2) / 3.6 = 1623.489 m, and 20 m/s on to the exit at
    1700 m. In the air 7 s, braking 47.2 / 1.8 = 26.222 s, rolling 76.511 / 20 = 3.826 s, and 90 m across the runway at
    20 m/s 4.5 s: 41.548 s. By the planning formula 2.8/0.762 + 3 + 47.2/1.524 + 10 = 47.646 s.
    """
    plan = plan_landing(plain_case(an_exit("R", 1_700.0, 20.0)))
    one = approach(plan, "steady", "R")
    assert one.means == "hand-over"
    assert one.usable
    assert one.held_arrival_speed == pytest.approx(math.sqrt(67.2**2 - 3.6 * (1_700.0 - TOUCHDOWN)), abs=1e-3)
    assert one.release_distance == pytest.approx(1_623.489, abs=0.05)
    assert one.release_speed == pytest.approx(20.0, abs=0.01)
    assert one.arrival_speed == pytest.approx(20.0, abs=0.01)
    assert one.runway_time == pytest.approx(41.548, abs=0.02)
    assert one.planned_runway_time == pytest.approx(47.646, abs=0.02)
    assert one.peak_deceleration == pytest.approx(1.8, abs=1e-3)
    energy = 0.5 * 60_000.0 * (67.2**2 - 20.0**2) / plan.case.aircraft.brakes.count
    assert one.brake_energy_per_wheel == pytest.approx(energy, rel=1e-3)


def test_approach__more_brake_by_hand() -> None:
    """Setting gentle, 1.2 m/s2, is too weak for 20 m/s at 1500 m: 45.5 m/s there.

    Full pedal, 3 m/s2, from x: 67.2^2 - 2.4 (x - 480.2) - 6 (1500 - x) = 400, so x = (9000 - 1152.48 - 4115.84) / 3.6
    = 1036.578 m, where it rolls at 56.396 m/s. From brakes-on (4515.84 - 400) / (2 * 1019.8) = 2.01797 m/s2, 67.27 %
    of full pedal.
    """
    plan = plan_landing(plain_case(an_exit("R", 1_500.0, 20.0)))
    one = approach(plan, "gentle", "R")
    assert one.means == "more brake needed"
    assert not one.usable
    assert one.arrival_speed == pytest.approx(math.sqrt(67.2**2 - 2.4 * 1_019.8), abs=1e-3)
    assert one.pedal_start_distance == pytest.approx(1_036.578, abs=0.05)
    assert one.pedal_start_speed == pytest.approx(56.396, abs=0.01)
    assert one.pedal_share == pytest.approx(0.67266, abs=5e-4)
    assert one.release_distance is None


def test_approach__brakes_let_go_within_the_release_time_of_the_aircraft_file() -> None:
    """The place found counts on the force that is left while they let go: released at once it would come too fast."""
    plan = plan_landing(standard_case(direction={"exits": (an_exit("R", 1_600.0, 25.0, 30.0),)}))
    automatic = plan.case.aircraft.automatic_brakes
    assert automatic is not None
    assert automatic.release_time > 0.0
    one = approach(plan, "strong", "R")
    release = one.brake_program[-1]
    assert release.control == Control.OFF
    assert release.rate == pytest.approx(1.0 / automatic.release_time)
    at_once = replace(one, brake_program=(one.brake_program[0], replace(release, rate=math.inf)))
    arrival = _again(plan, at_once)
    assert arrival is not None
    assert arrival > one.allowed_speed + 0.05


@pytest.mark.parametrize("brake", ["gentle", "steady"])
def test_approach__more_brake_arrives_at_the_allowed_speed_with_the_pedal_ramp(brake: str) -> None:
    """The pedals written out again: full ones from the last place, or the share at once, each within its ramp."""
    plan = plan_landing(standard_case(direction={"exits": (an_exit("R", 1_500.0, 20.0, 30.0),)}))
    one = approach(plan, brake, "R")
    assert one.means == "more brake needed"
    assert one.pedal_start_distance is not None
    assert one.pedal_share is not None
    ramp = plan.case.aircraft.brakes.pedal_ramp
    assert ramp > 0.2
    roll = landing_roll(plan.case.aircraft, plan.conditions, brake, "none")
    onset = simulate(roll).brakes_on_distance
    for place, share in ((one.pedal_start_distance, 1.0), (onset + 1e-6, one.pedal_share)):
        pedal = BrakeStage(Trigger.DISTANCE, place, Control.PEDAL, share, share / ramp)
        program = (*roll.brake_program, pedal)
        end = simulate(replace(roll, brake_program=program, limit_distance=1_500.0))
        assert end.ground_speed == pytest.approx(one.allowed_speed, abs=0.02)


@pytest.mark.parametrize(
    ("exit_distance", "speed", "brake", "means"),
    [
        (1_000.0, 10.0, "strong", "not possible"),  # 67.2^2 - 2 * 3.0 * 519.8 = 37.4 m/s at the least
        (1_100.0, 10.0, MANUAL, "not possible"),
        (1_900.0, 59.0, "firm", "no wheel braking"),
    ],
)
def test_approach__means_at_the_ends(exit_distance: float, speed: float, brake: str, means: str) -> None:
    """By hand; the plain aeroplane rolls on for ever when nothing brakes."""
    landing = {"approach_speed": 60.0} if means == "no wheel braking" else {}
    one = approach(plan_landing(plain_case(an_exit("R", exit_distance, speed), landing=landing)), brake, "R")
    assert one.means == means
    assert one.usable is (means != "not possible")
    if one.usable:
        assert one.brake_energy_per_wheel < 1e3
        assert one.arrival_speed == pytest.approx(57.6, abs=1e-3)


def test_approach__jerk_over_one_second_by_hand() -> None:
    """The setting builds up at 0.5 m/s3 and is held to the exit: 0.5 m/s2 more in any second of the build-up."""
    plane = changed(plain_aircraft(), automatic_brakes__ramp_rate=0.5)
    arrival = approach(plan_landing(plain_case(an_exit("R", 1_500.0, 20.0), plane=plane)), "steady", "R")
    assert arrival.held_arrival_speed is not None
    exits = (an_exit("R", 1_500.0, arrival.held_arrival_speed + 0.1),)
    one = approach(plan_landing(plain_case(*exits, plane=plane)), "steady", "R")
    assert one.means == "held"
    assert one.greatest_jerk == pytest.approx(0.5, abs=0.01)
    assert one.peak_deceleration == pytest.approx(1.8, abs=1e-3)


def test_approach__half_pedal_may_be_pressed_further() -> None:
    """Manual braking planned with half pedal, 1.5 m/s2, misses an exit that full pedal makes; nothing follows full."""
    exits = (an_exit("R", 1_500.0, 20.0),)
    half = approach(plan_landing(plain_case(*exits, landing={"pedal": 0.5})), MANUAL, "R")
    assert half.means == "more brake needed"
    assert half.arrival_speed == pytest.approx(math.sqrt(67.2**2 - 3.0 * 1_019.8), abs=1e-3)
    assert half.pedal_share == pytest.approx(0.67266, abs=5e-4)
    assert approach(plan_landing(plain_case(*exits)), MANUAL, "R").means == "hand-over"


def test_approach__before_the_brakes_act() -> None:
    """Touchdown at 411.6 m with 57.6 m/s; spin-up and delay take a second: 20 m on nothing can be done any more."""
    exits = (an_exit("N", 431.0, 10.0), an_exit("Q", 431.0, 59.0))
    case = standard_case(direction={"exits": exits}, thirds=(DRY, DRY, DRY), landing={"approach_speed": 60.0})
    plan = plan_landing(case)
    assert approach(plan, "strong", "N").means == "not possible"
    quick = approach(plan, "strong", "Q")
    assert (quick.means, quick.usable, quick.brake_energy_per_wheel) == ("held", True, 0.0)


def test_approach__exit_speed_kept_where_idle_thrust_would_drive_it_on() -> None:
    """The stop lies 600 m before a slow exit, and idle thrust alone settles well above its 4 m/s.

    It is slowed to 4 m/s and kept there: constant speed to the exit, so that the time is known by hand.
    """
    case = standard_case(direction={"exits": (an_exit("S", 2_600.0, 4.0),)}, thirds=(WET, WET, WET))
    plan = plan_landing(case)
    one = approach(plan, "firm", "S")
    assert one.means == "exit speed kept"
    assert one.usable
    assert one.release_speed == pytest.approx(4.0, abs=1e-6)
    assert one.arrival_speed == pytest.approx(4.0, abs=1e-6)
    assert _again(plan, one) == pytest.approx(4.0, abs=1e-6)
    held = option(plan, "firm")
    assert one.release_distance is not None
    assert held.stop_distance is not None
    assert held.stop_distance - 10.0 < one.release_distance < held.stop_distance
    assert one.runway_time is not None
    roll = landing_roll(plan.case.aircraft, plan.conditions, "firm", "none")
    slowed = simulate(replace(roll, end_speed=4.0))
    along = (2_600.0 - slowed.distance) / 4.0
    assert one.runway_time == pytest.approx(7.0 + slowed.time + along + 90.0 / 4.0, abs=0.02)
    # Light braking takes up the thrust on the way: more brake energy than the stop itself, less what 4 m/s still hold.
    assert one.brake_energy_per_wheel > slowed.brake_work / plan.case.aircraft.brakes.count


# ---------------------------------------------------------------------------------------------- the inverse question


def test_needed__constant_deceleration_closed_form() -> None:
    """From 67.2 m/s at 480.2 m to 20 m/s at 1700 m: (67.2^2 - 400) / (2 * 1219.8) = 1.68710 m/s2, closest steady (1.8).

    Latest start at a deceleration a: 1700 - 4115.84 / (2 a): steady 556.711 m, firm (2.6) 908.492 m, strong (torque
    holds it to 3.0) 1014.027 m; gentle (1.2) is too weak.
    """
    plan = plan_landing(plain_case(an_exit("R", 1_700.0, 20.0)))
    settings_of = plan.case.aircraft.automatic_brakes
    assert settings_of is not None
    assert settings_of.settings == {"gentle": 1.2, "steady": 1.8, "firm": 2.6, "strong": settings_of.settings["strong"]}
    assert settings_of.settings["strong"] > FULL_PEDAL
    found = ExitSearch(plan).needed(plan.case.direction_data.exits[0])
    assert found.deceleration == pytest.approx(1.68710, abs=1e-5)
    assert found.closest_setting == "steady"
    assert found.latest_start["gentle"] is None
    for name, place in {"steady": 556.711, "firm": 908.492, "strong": 1_014.027}.items():
        assert found.latest_start[name] == pytest.approx(place, abs=0.05)


def test_needed__before_the_brakes_and_where_none_is_needed() -> None:
    exits = (an_exit("N", 412.0, 10.0), an_exit("Q", 1_500.0, 59.0))
    plan = plan_landing(plain_case(*exits, landing={"approach_speed": 60.0}))
    near, quick = (ExitSearch(plan).needed(one) for one in plan.case.direction_data.exits)
    assert (near.deceleration, near.closest_setting, near.latest_start) == (None, None, {})
    assert quick.deceleration == 0.0
    assert quick.closest_setting == "gentle"
    assert set(quick.latest_start.values()) == {None}


# --------------------------------------------------------------------------------------------------------------- laws


@pytest.mark.parametrize("name", NAMES)
def test_examples__usable_approaches_arrive_as_said_when_simulated_again(name: str) -> None:
    """Within half a knot of the allowed speed for a hand-over, never more than a quarter m/s above it for any."""
    plan = plan_landing(example(name))
    search = ExitSearch(plan)
    usable = 0
    for one in plan.case.direction_data.exits:
        if not plan.air_segment.distance < one.distance <= plan.conditions.landing_distance_available:
            continue
        for each in plan.options:
            found = search.approach(each, one)
            if not found.usable:
                continue
            usable += 1
            arrival = _again(plan, found)
            assert arrival is not None
            assert found.arrival_speed is not None
            assert arrival == pytest.approx(found.arrival_speed, abs=0.01)
            assert arrival <= found.allowed_speed + 0.25
            if found.means in ("hand-over", "exit speed kept"):
                assert abs(arrival - found.allowed_speed) <= HALF_KNOT
            assert found.runway_time is not None
            assert found.runway_time > plan.air_segment.time
    assert usable or name == "nothing-fits"


@settings(max_examples=40)
@given(
    distance=st.floats(900.0, 2_900.0),
    speed=st.floats(3.0, 26.0),
    brake=st.sampled_from(["gentle", "steady", "firm", "strong", MANUAL]),
    reverse=st.sampled_from(["none", "idle", "full"]),
    surface=st.sampled_from(sorted(SURFACES)),
)
def test_approach__hand_over_lands_within_half_a_knot(
    distance: float, speed: float, brake: str, reverse: str, surface: str
) -> None:
    """Simulated again at a tight tolerance: a hand-over arrives within 0.5 kt of the allowed speed, never stops."""
    third = SURFACES[surface]
    exits = (an_exit("R", distance, speed),)
    plan = plan_landing(standard_case(direction={"exits": exits}, thirds=(third, third, third)))
    one = approach(plan, brake, "R", reverse)
    arrival = _again(plan, one)
    if one.means in ("hand-over", "exit speed kept"):
        assert arrival is not None
        assert abs(arrival - one.allowed_speed) <= HALF_KNOT
    elif one.usable:
        assert arrival is not None
        assert arrival <= one.allowed_speed + 0.25
    elif one.means == "more brake needed" and one.pedal_start_distance is not None:
        assert arrival is not None
        assert arrival > one.allowed_speed


@pytest.mark.parametrize("brake", ["firm", "strong", MANUAL])
def test_approach__hand_over_agrees_with_the_slow_reference(brake: str) -> None:
    """SciPy's integration of the same program passes the allowed speed at the exit, within 1 m.

    Released at a rapid exit it still slows by some 0.3 m/s2 at 25 m/s: half a knot is then about 20 m.
    """
    plan = plan_landing(standard_case(direction={"exits": (an_exit("R", 1_600.0, 25.0, 30.0),)}))
    one = approach(plan, brake, "R")
    assert one.means == "hand-over"
    roll = landing_roll(plan.case.aircraft, plan.conditions, brake, "none")
    reference = reference_roll(replace(roll, brake_program=one.brake_program, end_speed=one.allowed_speed))
    assert reference.distance == pytest.approx(1_600.0, abs=1.0)
    braked = reference.brake_energy / plan.case.aircraft.brakes.count
    assert one.brake_energy_per_wheel == pytest.approx(braked, rel=1e-3)


@settings(max_examples=25)
@given(length=st.floats(1_800.0, 3_000.0), longer=st.floats(0.0, 2_000.0), surface=st.sampled_from(sorted(SURFACES)))
def test_approach__a_longer_runway_never_removes_a_usable_exit(length: float, longer: float, surface: str) -> None:
    """On one surface all along: the roll does not know how long the runway is."""
    third = SURFACES[surface]
    exits = (an_exit("R", 1_300.0, 20.0, 30.0), an_exit("S", 1_750.0, 6.0))

    def usable(available: float) -> set[tuple[str, str, str]]:
        case = standard_case(length=available, direction={"exits": exits}, thirds=(third, third, third))
        plan = plan_landing(case)
        search = ExitSearch(plan)
        found = [search.approach(one, each) for each in exits for one in plan.options]
        return {(one.brake, one.reverse, one.exit) for one in found if one.usable}

    assert usable(length) <= usable(length + longer)


@settings(max_examples=30)
@given(
    share=st.floats(0.3, 1.0),
    more=st.floats(0.0, 0.5),
    distance=st.floats(700.0, 1_800.0),
    reverse=st.sampled_from(["none", "full"]),
    mass=st.floats(45_000.0, 66_000.0),
)
def test_approach__more_friction_never_raises_an_arrival_speed_under_pedal_braking(
    share: float, more: float, distance: float, reverse: str, mass: float
) -> None:
    """Braking coefficient by ``dry_share`` of the certified one."""
    speeds = []
    for dry_share in (share, min(share + more, 1.0)):
        landing = {"dry_share": dry_share, "mass": mass}
        exits = (an_exit("R", distance, 10.0),)
        case = standard_case(direction={"exits": exits}, thirds=(DRY, DRY, DRY), landing=landing)
        speeds.append(approach(plan_landing(case), MANUAL, "R", reverse).held_arrival_speed or 0.0)
    assert speeds[1] <= speeds[0] + 1e-5


@pytest.mark.parametrize("brake", ["steady", MANUAL])
@pytest.mark.parametrize("third", [DRY, WET, SLUSH], ids=lambda one: one.descriptor)
@pytest.mark.parametrize("share", [0.3, 0.6, 0.9])
def test_continue_from__an_unchanged_speed_gives_the_same_stop_and_the_same_work(
    brake: str, third: object, share: float
) -> None:
    """Cut at a moment after the ramps: both parts together are the whole roll."""
    plan = plan_landing(standard_case(thirds=(third, third, third)))  # type: ignore[arg-type]
    roll = landing_roll(plan.case.aircraft, plan.conditions, brake, "full")
    whole = simulate(roll)
    place = whole.brakes_on_distance + share * (whole.distance - whole.brakes_on_distance)
    result = simulate(roll, stations=[place])
    passage = result.passages[0]
    first = simulate(replace(roll, limit_distance=place))
    rest = simulate(continue_from(roll, result, passage.time, place, passage.ground_speed))
    assert rest.distance == pytest.approx(whole.distance, abs=0.1)
    assert passage.time + rest.time == pytest.approx(whole.time, abs=0.02)
    assert first.brake_work + rest.brake_work == pytest.approx(whole.brake_work, rel=5e-4)
    assert first.reverse_fuel + rest.reverse_fuel == pytest.approx(whole.reverse_fuel, abs=0.05)


# ------------------------------------------------------------------------------------------- a plausible population


def _population(name: str, exit_speed: float, distances: tuple[float, ...]) -> list[float]:
    """Return the share that is slow enough at each distance: masses, touchdown points and settings mixed."""
    plane = aircraft(name)
    limits = plane.mass
    flap = plane.flaps["full"]
    slow_enough, count = [0] * len(distances), 0
    for part in (0.75, 0.85, 0.95):
        mass = part * limits.maximum_landing
        speed = flap.reference_speed * math.sqrt(mass / flap.reference_mass) + 5.0 * KNOT
        for touchdown in (350.0, 450.0, 550.0):
            exits = tuple(an_exit(f"X{place:.0f}", place, exit_speed) for place in distances)
            case = standard_case(
                plane=plane,
                length=4_500.0,
                thirds=(DRY, DRY, DRY),
                direction={"exits": exits},
                landing={"mass": mass, "approach_speed": speed, "touchdown_distance": touchdown},
            )
            plan = plan_landing(case)
            for brake in ("gentle", "steady", "firm"):
                for reverse in ("idle", "full"):
                    count += 1
                    for number, passed in enumerate(option(plan, brake, reverse).exits):
                        arrival = passed.arrival_speed
                        slow_enough[number] += passed.usable if arrival is None else arrival <= exit_speed
    return [number / count for number in slow_enough]


@pytest.mark.parametrize(("name", "aeroplane_class"), [("demo-narrowbody", "C"), ("demo-widebody", "D")])
@pytest.mark.parametrize(("surface", "miles_an_hour"), [("dry-rapid", 60.0), ("dry-regular", 15.0)])
def test_population__exit_use_is_plausible_beside_table_6_25(
    name: str, aeroplane_class: str, surface: str, miles_an_hour: float
) -> None:
    """Horonjeff, table 6-25: nobody has left by 3000 ft, everybody by 9000 ft, and half within 2000 ft of the table's.

    The population is ours (equal parts of settings, masses, touchdown points): only the order of size is asked.
    """
    distances = tuple(1_000.0 * feet * 0.3048 for feet in range(3, 10))
    ours = _population(name, miles_an_hour * 5_280.0 * 0.3048 / 3_600.0, distances)
    table = [exit_use_share(place, aeroplane_class, surface) for place in distances]
    assert ours == sorted(ours)
    assert ours[0] == table[0] == 0.0
    assert ours[-1] == table[-1] == 1.0

    def half(shares: list[float]) -> float:
        return next(place for place, share in zip(distances, shares, strict=True) if share >= 0.5)

    assert abs(half(ours) - half(table)) <= 2_000.0 * 0.3048
