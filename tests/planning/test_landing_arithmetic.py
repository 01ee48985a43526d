"""The landing plan against what can be worked by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from groundroll.errors import ScenarioError
from groundroll.planning.landing import plan_landing
from groundroll.planning.landing_roll import conditions_of, headwind_used, landing_roll
from groundroll.scenario.model import Aircraft, Exit
from tests.planning.cases import (
    DRY,
    ICE,
    MEDIUM,
    SLUSH,
    SNOW,
    WET,
    aircraft,
    changed,
    instant_brakes,
    option,
    standard_case,
)

KNOT = 1852.0 / 3600.0


def _exit(distance: float, **changes: Any) -> Exit:
    values = {"name": f"X{distance:.0f}", "distance": distance, "angle": math.radians(90.0), **changes}
    return Exit.model_construct(
        radius=changes.get("radius"), allowed_speed=changes.get("allowed_speed"), side=None
    ).model_copy(update=values)


def bare_aeroplane() -> Aircraft:
    """Return an aeroplane without lift, drag, thrust and rolling resistance: what is left can be done by hand."""
    plane = aircraft("demo-narrowbody")
    flap = {key: 0.0 for key in type(plane.flaps["full"]).model_fields if "coefficient" in key or "increment" in key}
    return changed(
        plane,
        flaps={"full": changed(plane.flaps["full"], **flap)},
        engines__thrust__idle=[0.0] * len(plane.engines.thrust.airspeed),
        brakes__rolling_resistance=0.0,
    )


# ------------------------------------------------------------------------------------------- constant deceleration


def test_plan__held_target_by_hand() -> None:
    """70 m/s over the threshold, 7 s at the mean of 70 and 67.2: 480.2 m. Then 1.8 m/s2 from touchdown on.

    67.2^2 / 3.6 = 1254.4 m, stop 1734.6 m, with 15 % 1994.79 m; 67.2 / 1.8 = 37.333 s after the 7 s. The 7 s and the
    4 % are those of AC 25-32 and AMC 25.1592 (from memory), the 15 % that of CAT.OP.MPA.303(a) (confirmed).
    """
    plan = plan_landing(standard_case(plane=instant_brakes(), thirds=(DRY, DRY, DRY)))
    one = option(plan, "steady")
    assert plan.threshold_ground_speed == pytest.approx(70.0, abs=1e-9)
    assert plan.air_segment.touchdown_ground_speed == pytest.approx(67.2)
    assert one.air_distance == pytest.approx(480.2)
    assert one.transition_distance == pytest.approx(0.0, abs=1e-9)
    assert one.braked_distance == pytest.approx(1254.4, abs=1e-3)
    assert one.stop_distance == pytest.approx(1734.6, abs=1e-3)
    assert one.factored_distance == pytest.approx(1994.79, abs=2e-3)
    assert one.margin == pytest.approx(3000.0 - 1994.79, abs=2e-3)
    assert one.reserve == pytest.approx(3000.0 - 1734.6, abs=2e-3)
    assert one.stop_time == pytest.approx(7.0 + 67.2 / 1.8, abs=1e-4)
    assert one.mean_deceleration == pytest.approx(1.8, rel=1e-6)
    assert one.target_deceleration == 1.8
    assert one.target_held
    assert one.fits
    assert not one.margin_carried_by_manual
    assert one.runway_end_speed is None


def test_plan__margin_of_the_case_is_used() -> None:
    """1734.6 m of the case above with 40 %: 2428.44 m."""
    case = standard_case(plane=instant_brakes(), thirds=(DRY, DRY, DRY), landing={"margin": 0.4})
    assert option(plan_landing(case), "steady").factored_distance == pytest.approx(2428.44, abs=3e-3)


def test_plan__given_touchdown_point_and_speed_loss() -> None:
    """Touchdown at 600 m with 10 % lost: 63 m/s, 600 / 66.5 s in the air; 63^2 / 3.6 = 1102.5 m more."""
    landing = {"touchdown_distance": 600.0, "touchdown_speed_loss": 0.10}
    plan = plan_landing(standard_case(plane=instant_brakes(), thirds=(DRY, DRY, DRY), landing=landing))
    one = option(plan, "steady")
    assert one.air_distance == 600.0
    assert one.stop_distance == pytest.approx(1702.5, abs=1e-3)
    assert one.stop_time == pytest.approx(600.0 / 66.5 + 35.0, abs=1e-4)
    assert not any("7 s" in caution for caution in plan.cautions)
    assert "air-segment-given-point" in plan.source_keys


def test_plan__speed_lost_without_a_touchdown_point_goes_with_the_seven_seconds() -> None:
    """10 % lost in 7 s: 7 * 66.5 = 465.5 m, then 63^2 / 3.6 = 1102.5 m."""
    case = standard_case(plane=instant_brakes(), thirds=(DRY, DRY, DRY), landing={"touchdown_speed_loss": 0.10})
    one = option(plan_landing(case), "steady")
    assert one.air_distance == pytest.approx(465.5)
    assert one.stop_distance == pytest.approx(1568.0, abs=1e-3)


def test_plan__no_loss_of_speed_is_not_taken_for_no_value() -> None:
    """A given loss of zero: touchdown at 70 m/s after 490 m, 70^2 / 3.6 = 1361.11 m more."""
    case = standard_case(plane=instant_brakes(), thirds=(DRY, DRY, DRY), landing={"touchdown_speed_loss": 0.0})
    assert option(plan_landing(case), "steady").stop_distance == pytest.approx(490.0 + 4900.0 / 3.6, abs=1e-3)


def test_plan__automatic_brakes_wait_for_spin_up_and_delay_and_ramp_their_command() -> None:
    """No drag, lift, thrust or rolling: 67.2 m/s for 0.4 + 0.6 s, then from 0 to 1.6 m/s2 at 1.6 m/s3 in 1 s.

    By hand: 67.2 m; ramp 67.2 - 1.6/6 = 66.9333 m to 66.4 m/s; 66.4^2 / 3.2 = 1377.8 m; 1 + 1 + 41.5 s.
    """
    plane = changed(
        bare_aeroplane(),
        automatic_brakes__settings={"only": 1.6},
    )
    one = option(plan_landing(standard_case(plane=plane, thirds=(DRY, DRY, DRY))), "only")
    assert one.transition_distance == pytest.approx(67.2, abs=1e-6)
    assert one.braked_distance == pytest.approx(67.2 - 1.6 / 6.0 + 66.4**2 / 3.2, abs=1e-3)
    assert one.stop_time == pytest.approx(7.0 + 1.0 + 1.0 + 66.4 / 1.6, abs=1e-4)
    assert one.peak_deceleration == pytest.approx(1.6, abs=1e-6)
    energy = 0.5 * 60_000.0 * 67.2**2 / 4.0  # nothing else takes energy out; four brakes
    assert one.brake_energy_per_wheel == pytest.approx(energy, rel=1e-6)
    assert one.limited_by == {"demand": 1.0, "friction": 0.0, "torque": 0.0}


@pytest.mark.parametrize("share", [1.0, 0.8, 0.5, 0.25])
def test_plan__braked_distance_goes_with_one_over_the_share_of_friction(share: float) -> None:
    """The same bare aeroplane, weight over the axles, code 4: v^2 / (2 s mu g k), k the braked share."""
    plane = changed(
        bare_aeroplane(),
        brakes__pedal_ramp=0.0,
        geometry__centre_of_gravity_height=0.0,
        geometry__main_gear_to_centre_of_gravity=0.0,
    )
    case = standard_case(plane=plane, thirds=(SNOW, SNOW, SNOW), failures={"friction_share": share}, length=20_000.0)
    one = option(plan_landing(case), "manual")
    braked = plane.brakes.count / plane.tyres.main.count
    assert one.braked_distance == pytest.approx(67.2**2 / (2.0 * share * 0.20 * 9.80665 * braked), rel=1e-6)
    assert one.limited_by["friction"] == pytest.approx(1.0)


def test_plan__pedals_wait_and_ramp_to_their_share() -> None:
    """The same bare aeroplane, half pedal of 4 x 35 kN m / 0.53 m = 264.151 kN: 132.075 kN on 60 t, 2.20126 m/s2.

    Touchdown 67.2 m/s; 2 s free = 134.4 m; ramp over 1 s: v falls by a/2, x = 67.2 - a/6; then v^2 / 2a.
    """
    plane = bare_aeroplane()
    case = standard_case(plane=plane, thirds=(DRY, DRY, DRY), landing={"pedal": 0.5})
    one = option(plan_landing(case), "manual")
    braking = 0.5 * 4.0 * 35_000.0 / 0.53 / 60_000.0
    left = 67.2 - braking / 2.0
    assert one.transition_distance == pytest.approx(134.4, abs=1e-6)
    assert one.braked_distance == pytest.approx(67.2 - braking / 6.0 + left**2 / (2.0 * braking), abs=1e-3)
    assert one.target_deceleration is None
    assert not one.target_held
    # One brake of four released: three quarters of the force, and a third more energy into each that is left.
    worse = option(
        plan_landing(
            standard_case(plane=plane, thirds=(DRY, DRY, DRY), landing={"pedal": 0.5}, failures={"brakes_released": 1})
        ),
        "manual",
    )
    assert worse.peak_deceleration == pytest.approx(0.75 * braking, rel=1e-6)
    assert worse.brake_energy_per_wheel == pytest.approx(one.brake_energy_per_wheel * 4.0 / 3.0, rel=1e-6)


# ------------------------------------------------------------------------------------------------------------ exits


def test_exits__arrival_on_constant_deceleration_by_hand() -> None:
    """1.8 m/s2 from 67.2 m/s at 480.2 m. At 1200 m: v^2 = 67.2^2 - 3.6 * 719.8 = 1924.56, v = 43.870 m/s.

    Its time is 7 s + (67.2 - 43.870) / 1.8 = 19.961 s. An exit before touchdown is of no use, one behind the stop at
    1734.6 m is reached at taxiing speed.
    """
    exits = (
        _exit(1_200.0, allowed_speed=45.0),
        _exit(400.0, allowed_speed=45.0),
        _exit(1_700.0, allowed_speed=5.0),
        _exit(1_800.0, allowed_speed=5.0),
    )
    case = standard_case(plane=instant_brakes(), thirds=(DRY, DRY, DRY), direction={"exits": exits})
    first, before, late, behind = option(plan_landing(case), "steady").exits
    speed = math.sqrt(67.2**2 - 3.6 * (1_200.0 - 480.2))
    assert first.name == "X1200"
    assert first.arrival_speed == pytest.approx(speed, abs=1e-4)
    assert first.time == pytest.approx(7.0 + (67.2 - speed) / 1.8, abs=1e-4)
    assert first.usable
    assert (before.arrival_speed, before.time, before.usable) == (None, None, False)
    assert late.arrival_speed == pytest.approx(math.sqrt(3.6 * 34.6), abs=1e-3)
    assert not late.usable
    assert (behind.arrival_speed, behind.usable) == (None, True)


def test_exits__allowed_speed_from_file_radius_or_practice() -> None:
    """R = V^2 / (127.133 f), f 0.133 on a dry runway, km/h (Horonjeff, from memory): 550 m gives 26.79 m/s.

    Without either: 10 kt at a right angle, 40 kt up to 45 degrees (common practice, no source).
    """
    exits = (
        _exit(1_000.0, allowed_speed=20.0, radius=550.0),
        _exit(1_100.0, radius=550.0),
        _exit(1_200.0),
        _exit(1_300.0, angle=math.radians(30.0)),
    )
    case = standard_case(thirds=(DRY, DRY, DRY), direction={"exits": exits})
    given, turned, right, rapid = option(plan_landing(case), "manual").exits
    assert given.allowed_speed == 20.0
    assert turned.allowed_speed == pytest.approx(26.79, abs=0.01)
    assert right.allowed_speed == pytest.approx(10.0 * KNOT)
    assert rapid.allowed_speed == pytest.approx(40.0 * KNOT)
    assert "file" in given.allowed_from
    assert "550 m" in turned.allowed_from


def test_runway_end_speed__where_the_stop_lies_beyond() -> None:
    """1.8 m/s2 to 1734.6 m; at 1500 m v = sqrt(3.6 * 234.6) = 29.061 m/s."""
    case = standard_case(plane=instant_brakes(), thirds=(DRY, DRY, DRY), available=1_500.0)
    one = option(plan_landing(case), "steady")
    assert one.runway_end_speed == pytest.approx(29.061, abs=1e-3)
    assert one.reserve == pytest.approx(-234.6, abs=1e-3)
    assert not one.fits


# ------------------------------------------------------------------------------------------------------------- wind


@pytest.mark.parametrize(
    ("direction", "factors", "used"),
    [
        (0.0, "regulatory", 5.0),  # half of 10 m/s from ahead
        (math.pi, "regulatory", -15.0),  # one and a half of 10 m/s from behind
        (math.pi / 3.0, "regulatory", 2.5),  # half of 10 cos 60
        (0.0, "none", 10.0),
        (math.pi, "none", -10.0),
        (math.pi / 2.0, "regulatory", 0.0),
    ],
)
def test_headwind__factors_by_hand(direction: float, factors: str, used: float) -> None:
    """At most 50 % of a headwind, at least 150 % of a tailwind: 14 CFR 25.105(d), CAT.POL.A.330(c)(2) (confirmed)."""
    weather = {"wind_direction": direction, "wind_speed": 10.0, "wind_factors": factors}
    case = standard_case(weather=weather, plane=changed(aircraft("demo-narrowbody"), limits__maximum_tailwind=20.0))
    assert headwind_used(case) == pytest.approx(used, abs=1e-9)
    plan = plan_landing(case)
    assert plan.threshold_ground_speed == pytest.approx(70.0 - used)
    assert plan.air_segment.distance == pytest.approx(7.0 * 0.98 * (70.0 - used))
    assert ("cfr-25-105-d" in plan.source_keys) is (factors == "regulatory")


def test_headwind__further_tailwind_comes_off_before_the_factors() -> None:
    """4 m/s from ahead less 10 m/s: 6 m/s from behind, counted as 9."""
    case = standard_case(weather={"wind_direction": 0.0, "wind_speed": 4.0}, failures={"additional_tailwind": 10.0})
    assert headwind_used(case) == pytest.approx(-9.0)
    tailwind = plan_landing(case).limits[0]
    assert (tailwind.name, tailwind.value, tailwind.within) == ("tailwind", pytest.approx(6.0), False)


def test_limits__crosswind_takes_the_gust_and_the_worst_of_the_arc() -> None:
    """Wind 10 gusting 20 m/s from 30 degrees, varying 0 to 90: 20 m/s across, nothing from ahead for sure."""
    weather = {
        "wind_direction": math.radians(30.0),
        "wind_speed": 10.0,
        "gust_speed": 20.0,
        "arc_from": 0.0,
        "arc_to": math.radians(90.0),
    }
    plan = plan_landing(standard_case(weather=weather))
    crosswind = next(one for one in plan.limits if one.name == "crosswind")
    assert crosswind.value == pytest.approx(20.0)
    assert not crosswind.within  # 33 kt are 17 m/s
    assert plan.conditions.headwind == pytest.approx(0.0, abs=1e-9)


# ----------------------------------------------------------------------------------------------- surface and thirds


def test_thirds__of_the_paved_length_counted_from_the_displaced_threshold() -> None:
    """3000 m paved, threshold displaced by 300 m: thirds end 1000 - 300 and 2000 - 300 m behind it."""
    case = standard_case(thirds=(DRY, WET, MEDIUM), direction={"displaced_threshold": 300.0})
    roll = landing_roll(case.aircraft, conditions_of(case), "manual", "none")
    assert roll.third_ends == pytest.approx((700.0, 1_700.0))
    events = {one.name: one.distance for one in option(plan_landing(case), "manual").events}
    assert events["second third entered"] == pytest.approx(700.0, abs=1e-6)


def test_thirds__of_a_reduced_runway() -> None:
    """3000 m paved, 2400 m usable as reported, threshold displaced by 300 m: thirds of 800 m, 2100 m to land on."""
    case = standard_case(reduced=2_400.0, direction={"displaced_threshold": 300.0}, available=2_700.0)
    conditions = conditions_of(case)
    roll = landing_roll(case.aircraft, conditions, "manual", "none")
    assert roll.third_ends == pytest.approx((500.0, 1_300.0))
    assert conditions.landing_distance_available == pytest.approx(2_100.0)
    # A "reduced" length above the paved one changes nothing, and a declared distance below both stands.
    assert conditions_of(standard_case(reduced=9_000.0)).runway_length == 3_000.0
    assert conditions_of(standard_case(reduced=2_400.0, available=1_800.0)).landing_distance_available == 1_800.0


@pytest.mark.parametrize("reduced", [200.0, 300.0])
def test_conditions__a_reduced_length_that_ends_before_the_threshold_is_refused(reduced: float) -> None:
    """Threshold displaced by 300 m: nothing is left of 200 m, nor of 300 m."""
    case = standard_case(reduced=reduced, direction={"displaced_threshold": 300.0}, available=2_700.0)
    with pytest.raises(
        ScenarioError, match=rf"{reduced:.0f} m, ends before its threshold, displaced by 300 m: nothing"
    ):
        plan_landing(case)


@pytest.mark.parametrize(
    ("third", "coefficient", "status"),
    [
        (DRY, 0.90 * 0.40, "second-hand: 90 % of the certified 0.40 of the file"),
        (SNOW, 0.20, "from memory"),
        (MEDIUM, 0.16, "from memory"),
        (ICE, 0.07, "from memory"),
    ],
)
def test_friction__constant_coefficients_reach_the_wheels(third: Any, coefficient: float, status: str) -> None:
    """AC 25-32 and AMC 25.1592: braking force over load on braked wheels. No aerodynamics, no thrust, no rolling.

    a = g mu (1 - n) / (1 + mu h), n = 0.95 / 12.8 on the nose, h = 3.1 / 12.8: moments about the main wheels.
    """
    plane = changed(
        bare_aeroplane(),
        brakes__pedal_delay=0.0,
        brakes__pedal_ramp=0.0,
        brakes__maximum_torque=1e6,
        nose_lowering__start=0.0,
        nose_lowering__ramp=0.0,
    )
    one = option(plan_landing(standard_case(plane=plane, thirds=(third, third, third))), "manual")
    nose, height = 0.95 / 12.8, 3.1 / 12.8
    expected = 9.80665 * coefficient * (1.0 - nose) / (1.0 + coefficient * height)
    assert one.mean_deceleration == pytest.approx(expected, rel=1e-6), status
    assert one.limited_by["friction"] == 1.0
    assert one.transition_distance == pytest.approx(0.0, abs=1e-9)


def test_friction__released_brakes_take_their_share_of_the_load_away() -> None:
    """Two of four braked wheels: half the braked share, half the torque."""
    case = standard_case(failures={"brakes_released": 2})
    roll = landing_roll(case.aircraft, conditions_of(case), "manual", "none")
    assert roll.braked_share == 0.5
    assert roll.maximum_brake_force == pytest.approx(2.0 * 35_000.0 / 0.53)


def test_contaminant__drag_factors_by_hand() -> None:
    """AMC 25.1591 (from memory): b = 2 W sqrt(r - r^2), r = (deflection + depth) / W; k = sum of rho C_D b d / 2.

    Slush 0.85, 6 mm; main: W 0.41, r = 0.071 / 0.41; nose: W 0.22, r = 0.041 / 0.22. Displacement C_D 0.75; spray of
    each nose tyre C_D = 8 * 0.0025 * 14 m in feet. Hydroplaning 9 sqrt(p / G), p = 13.8 bar = 200.15 psi.
    """
    case = standard_case(thirds=(SLUSH, WET, SLUSH))
    roll = landing_roll(case.aircraft, conditions_of(case), "manual", "none")

    def width(tyre: float, deflection: float) -> float:
        ratio = (deflection + 0.006) / tyre
        return 2.0 * tyre * math.sqrt(ratio - ratio**2)

    main = 0.5 * 850.0 * 0.75 * width(0.41, 0.065) * 0.006 * 4
    nose = 0.5 * 850.0 * (0.75 + 8.0 * 0.0025 * 14.0 / 0.3048) * width(0.22, 0.035) * 0.006 * 2
    for third in (roll.thirds[0], roll.thirds[2]):
        assert third.drag_factor_main == pytest.approx(main, rel=1e-9)
        assert third.drag_factor_nose == pytest.approx(nose, rel=1e-9)
        assert third.hydroplaning_speed == pytest.approx(9.0 * math.sqrt(13.8e5 / 6894.757 / 0.85) * KNOT, rel=1e-6)
    assert roll.thirds[1].drag_factor_main == 0.0


@pytest.mark.parametrize("depth", [None, 0.0, 0.003])
def test_contaminant__three_millimetres_and_less_do_not_drag(depth: float | None) -> None:
    """AMC 25.1591, 2 (confirmed): loose contaminants count above 3 mm; ice and wet never do."""
    from dataclasses import replace

    thin = replace(SLUSH, depth=depth)
    case = standard_case(thirds=(thin, replace(WET, depth=0.02), replace(ICE, depth=0.02)))
    roll = landing_roll(case.aircraft, conditions_of(case), "manual", "none")
    assert [third.drag_factor_main for third in roll.thirds] == [0.0, 0.0, 0.0]


# --------------------------------------------------------------------------------------------------------- reverse


def test_reverse__program_by_hand() -> None:
    """Times of the aircraft file: selected 1.0 s, deployed 2.0 s later, spooled up 3.0 s after that.

    Cut-back at 70 kt and stowing at 40 kt of airspeed; with 5 m/s counted from ahead, that much less over the ground.
    """
    case = standard_case(weather={"wind_direction": 0.0, "wind_speed": 10.0}, failures={"reversers_inoperative": 1})
    roll = landing_roll(case.aircraft, conditions_of(case), "steady", "full")
    closed, deployed, full, cut_back, stowed = roll.thrust_program
    assert (closed.idle, deployed.idle, full.idle, cut_back.idle, stowed.idle) == (2, 1, 1, 1, 2)
    assert (deployed.value, deployed.ramp, deployed.reverse_idle) == (1.0, 2.0, 1)
    assert (full.value, full.ramp, full.reverse_full) == (2.0, 3.0, 1)
    assert (cut_back.value, cut_back.ramp) == (pytest.approx(70.0 * KNOT - 5.0, abs=1e-6), 3.0)
    assert (stowed.value, stowed.ramp) == (pytest.approx(40.0 * KNOT - 5.0, abs=1e-6), 3.0)
    assert landing_roll(case.aircraft, conditions_of(case), "steady", "idle").thrust_program == (
        closed,
        deployed,
        stowed,
    )
    assert landing_roll(case.aircraft, conditions_of(case), "steady", "none").thrust_program == (closed,)


def test_reverse__fuel_is_what_reverse_burns_above_idle() -> None:
    """Full reverse 1900 kg/h less 380 kg/h idle, two engines: 0.8444 kg/s; it bounds the fuel of the whole roll."""
    plan = plan_landing(standard_case())
    one = option(plan, "gentle", "full")
    assert one.stop_time is not None
    assert 0.0 < one.reverse_fuel < 2.0 * 1520.0 / 3600.0 * one.stop_time
    assert option(plan, "gentle", "none").reverse_fuel == 0.0
    roll = landing_roll(plan.case.aircraft, plan.conditions, "gentle", "full")
    assert roll.fuel_reverse_full == pytest.approx(1520.0 / 3600.0)
    assert roll.fuel_reverse_idle == pytest.approx(40.0 / 3600.0)


def test_reverse__idle_fuel_by_hand() -> None:
    """1.8 m/s2 from 67.2 m/s reaches 40 kt = 20.578 m/s after 25.901 s, where the reversers begin to stow.

    Each engine: half of the 2 s of deploying, the time from 3 s to 25.901 s, half of the 3 s of stowing: 25.401 s of
    40 kg/h above forward idle; two engines 0.5645 kg.
    """
    one = option(plan_landing(standard_case(plane=instant_brakes(), thirds=(DRY, DRY, DRY))), "steady", "idle")
    seconds = 1.0 + (67.2 - 40.0 * KNOT) / 1.8 - 3.0 + 1.5
    assert one.reverse_fuel == pytest.approx(2.0 * seconds * 40.0 / 3600.0, rel=1e-6)


# ------------------------------------------------------------------------------------------- what reaches the roll


def test_landing_roll__air_wind_and_slope_reach_the_roll() -> None:
    """30 degC, 1013.25 hPa at sea level: 101 325 / (287.05287 x 303.15) = 1.16439 kg/m3, 0.95052 of 1.225."""
    weather = {"temperature": 303.15, "wind_direction": 0.0, "wind_speed": 10.0}
    case = standard_case(weather=weather, direction={"slope": 0.01})
    conditions = conditions_of(case)
    roll = landing_roll(case.aircraft, conditions, "manual", "none")
    assert roll.density == pytest.approx(1.16439, abs=1e-5)
    assert roll.density_ratio == pytest.approx(0.95052, abs=1e-5)
    assert (roll.headwind, roll.slope) == (5.0, 0.01)
    # Calibrated is equivalent airspeed at sea level: true airspeed is greater by the root of the density ratio.
    true = 70.0 / math.sqrt(1.16439 / 1.225)
    assert roll.start_speed == pytest.approx(0.96 * (true - 5.0), rel=1e-4)
    assert roll.start_distance == pytest.approx(7.0 * 0.98 * (true - 5.0), rel=1e-4)


def test_landing_roll__elevation_thins_the_air() -> None:
    """2000 ft in the standard atmosphere: 94 212.9 Pa (ICAO Doc 7488, from memory); 15 degC there."""
    case = standard_case(direction={"threshold_elevation": 609.6})
    roll = landing_roll(case.aircraft, conditions_of(case), "manual", "none")
    assert roll.density == pytest.approx(94_212.9 / (287.05287 * 288.15), rel=1e-5)


def test_landing_roll__numbers_of_the_aircraft_file_reach_the_roll() -> None:
    """Each key of the file against the roll; shares and ratios by hand. Half of the spoilers work."""
    case = standard_case(failures={"spoilers_share": 0.5}, landing={"dry_share": 0.8}, thirds=(DRY, DRY, DRY))
    plane = case.aircraft
    roll = landing_roll(plane, conditions_of(case), "firm", "none")
    flap = plane.flaps["full"]
    assert (roll.mass, roll.wing_area, roll.spoilers_share) == (60_000.0, 124.0, 0.5)
    assert (roll.lift_coefficient_stowed, roll.lift_coefficient_deployed) == (0.38, 0.05)
    assert (roll.drag_coefficient_stowed, roll.drag_coefficient_deployed) == (0.105, 0.175)
    assert (roll.nose_up_lift_increment, roll.nose_up_drag_increment) == (0.40, 0.020)
    assert flap.lift_coefficient_stowed == 0.38
    assert (roll.spoilers_start, roll.spoilers_ramp, roll.nose_start, roll.nose_ramp) == (0.5, 1.0, 1.5, 3.0)
    assert roll.nose_share == pytest.approx(0.95 / 12.8)
    assert roll.height_ratio == pytest.approx(3.1 / 12.8)
    assert (roll.braked_share, roll.rolling_resistance) == (1.0, 0.015)
    assert roll.maximum_brake_force == pytest.approx(4.0 * 35_000.0 / 0.53)
    assert roll.thirds[0].braking.cap == pytest.approx(0.8 * 0.40)
    (stage,) = roll.brake_program
    assert (stage.value, stage.target, stage.rate) == (pytest.approx(1.0), 2.6, 1.6)
    (pedals,) = landing_roll(plane, conditions_of(case), "manual", "none").brake_program
    assert (pedals.value, pedals.target, pedals.rate) == (2.0, 1.0, 1.0)


# --------------------------------------------------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("weather", "direction", "message"),
    [
        ({"temperature": 273.15 + 51.0}, {}, "temperature 51 degC is outside -40 degC to 50 degC"),
        ({"temperature": 273.15 - 41.0}, {}, "temperature -41 degC is outside"),
        ({}, {"threshold_elevation": 2_900.0}, "pressure altitude 9514 ft is above 9200 ft"),
        ({"pressure_setting": 85_000.0}, {"threshold_elevation": 2_000.0}, "pressure altitude"),
    ],
)
def test_plan__outside_the_data_of_the_aeroplane_is_refused(
    weather: dict[str, Any], direction: dict[str, Any], message: str
) -> None:
    """Limits of the aircraft file: -40 to 50 degC, 9200 ft; 2900 m are 9514 ft. Nothing is extrapolated."""
    with pytest.raises(ScenarioError, match=message):
        plan_landing(standard_case(weather=weather, direction=direction))


def test_plan__at_the_edge_of_the_data_it_is_computed() -> None:
    """Fifty degrees are inside, 50.01 are not."""
    assert plan_landing(standard_case(weather={"temperature": 273.15 + 50.0})).options
    with pytest.raises(ScenarioError):
        plan_landing(standard_case(weather={"temperature": 273.15 + 50.01}))


def test_plan__beyond_the_range_of_the_physics_is_refused_with_the_title() -> None:
    """Braking curves are used up to 200 kt over the ground."""
    case = standard_case(landing={"approach_speed": 108.0, "touchdown_speed_loss": 0.0})
    with pytest.raises(ScenarioError, match=r"One reverser.*start_speed 108.*No plan is computed beyond that range"):
        plan_landing(case)


def test_landing_roll__choices_the_aeroplane_does_not_have_are_refused() -> None:
    """Setting and reverse by name."""
    case = standard_case(failures={"reversers_inoperative": 2})
    conditions = conditions_of(case)
    with pytest.raises(ValueError, match='reverse "full" was asked for, but no reverser works'):
        landing_roll(case.aircraft, conditions, "manual", "full")
    with pytest.raises(ValueError, match='brake setting "huge" is not one of gentle, steady, firm, strong, manual'):
        landing_roll(case.aircraft, conditions, "huge", "none")
