"""The roll against closed forms, against energy, and where its located points must lie."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.kernels import layout as at
from groundroll.physics.rollout import (
    BrakeStage,
    Control,
    RunwayThird,
    ThrustStage,
    ThrustTables,
    Trigger,
    case_of,
    run_cases,
    run_cases_past,
    simulate,
)
from tests.rolls import FULL_PEDAL, constant_curve, plain_roll, take_off_stage

pytestmark = pytest.mark.plain
G = 9.80665  # m/s2, standard gravity (CGPM 1901)


@given(speed=st.floats(20.0, 95.0), target=st.floats(0.5, 3.9))
def test_rollout__constant_deceleration_matches_closed_form(speed: float, target: float) -> None:
    """s = v^2 / 2a and t = v / a: elementary mechanics. The target is below what friction 0.4 gives."""
    brakes = (BrakeStage(Trigger.TIME, 0.0, Control.AUTOMATIC, target),)
    result = simulate(plain_roll(start_speed=speed, brake_program=brakes))
    assert result.distance == pytest.approx(speed**2 / (2 * target), rel=1e-9)
    assert result.time == pytest.approx(speed / target, rel=1e-9)
    assert result.limited_by == {"demand": 1.0, "friction": 0.0, "torque": 0.0}


@given(speed=st.floats(20.0, 95.0), friction=st.floats(0.03, 0.6), lift=st.floats(-0.3, 0.5), drag=st.floats(0.02, 0.3))
def test_rollout__friction_and_drag_without_control_match_logarithmic_formula(
    speed: float, friction: float, lift: float, drag: float
) -> None:
    """For a = g (mu + k v^2), s = ln(1 + k v^2 / mu) / (2 g k), the textbook form (Anderson, ch. 6).

    k = rho S (CD - mu CL) / (2 m g); no load transfer, no nose-wheel load, so that the whole weight is braked.
    """
    roll = plain_roll(
        friction,
        start_speed=speed,
        lift_coefficient_stowed=lift,
        lift_coefficient_deployed=lift,
        drag_coefficient_stowed=drag,
        drag_coefficient_deployed=drag,
    )
    k = 1.225 * 120.0 * (drag - friction * lift) / (2.0 * 60_000.0 * G)
    expected = speed**2 / (2 * G * friction) if abs(k) < 1e-12 else math.log1p(k * speed**2 / friction) / (2 * G * k)
    assert simulate(roll).distance == pytest.approx(expected, rel=1e-7)


@given(
    speed=st.floats(30.0, 90.0), share=st.floats(0.0, 0.2), height=st.floats(0.0, 0.4), friction=st.floats(0.05, 0.6)
)
def test_rollout__load_transfer_matches_closed_form(speed: float, share: float, height: float, friction: float) -> None:
    """Moments about the main wheels: a = g mu (1 - n) / (1 + mu h), n static nose share, h height over wheelbase."""
    roll = plain_roll(friction, start_speed=speed, nose_share=share, height_ratio=height)
    deceleration = G * friction * (1 - share) / (1 + friction * height)
    result = simulate(roll)
    assert result.distance == pytest.approx(speed**2 / (2 * deceleration), rel=1e-9)
    assert result.limited_by["friction"] == 1.0


@given(slope=st.floats(-0.03, 0.03), speed=st.floats(30.0, 90.0))
def test_rollout__slope_matches_closed_form(slope: float, speed: float) -> None:
    """a = g (mu cos + sin) of the slope's angle, upslope positive."""
    angle = math.atan(slope)
    deceleration = G * (0.3 * math.cos(angle) + math.sin(angle))
    assert simulate(plain_roll(0.3, start_speed=speed, slope=slope)).distance == pytest.approx(
        speed**2 / (2 * deceleration), rel=1e-9
    )


def test_rollout__jerk_limited_ramp_matches_closed_form() -> None:
    """From no deceleration, ramp j to a: v falls by a^2/2j in a/j, x = v t - j t^3/6, then v^2/2a. By hand:

    v 70, a 2, j 1: ramp 2 s, x = 140 - 8/6 = 138.6667 m, v = 68; then 68^2/4 = 1156 m; together 1294.6667 m.
    """
    brakes = (BrakeStage(Trigger.TIME, 0.0, Control.AUTOMATIC, 2.0, 1.0),)
    assert simulate(plain_roll(brake_program=brakes)).distance == pytest.approx(1294.0 + 2.0 / 3.0, abs=1e-6)


def test_rollout__torque_limit_rules_with_full_pedal() -> None:
    """120 kN on 60 t are 2 m/s2, below friction 0.4: 70^2 / 4 = 1225 m."""
    result = simulate(plain_roll(maximum_brake_force=120_000.0))
    assert result.distance == pytest.approx(1225.0, abs=1e-6)
    assert result.limited_by == {"demand": 0.0, "friction": 0.0, "torque": 1.0}


def test_rollout__half_pedal_gives_half_the_force_and_demand_rules() -> None:
    """Half of 120 kN on 60 t is 1 m/s2: 70^2 / 2 = 2450 m."""
    brakes = (BrakeStage(Trigger.TIME, 0.0, Control.PEDAL, 0.5),)
    result = simulate(plain_roll(maximum_brake_force=120_000.0, brake_program=brakes))
    assert result.distance == pytest.approx(2450.0, abs=1e-6)
    assert result.limited_by["demand"] == 1.0


def test_rollout__thirds_change_the_friction_where_they_begin() -> None:
    """v^2 falls by 2 g mu x in each third. By hand: 70^2 - 2 g (0.1 500 + 0.2 500) = 1957.99..., then over 2 g 0.4."""
    thirds = tuple(RunwayThird(constant_curve(mu)) for mu in (0.1, 0.2, 0.4))
    roll = plain_roll(thirds=thirds, third_ends=(500.0, 1000.0))
    left = 70.0**2 - 2 * G * (0.1 * 500 + 0.2 * 500)
    result = simulate(roll)
    assert result.distance == pytest.approx(1000.0 + left / (2 * G * 0.4), rel=1e-9)
    entered = {event.name: event.distance for event in result.events}
    assert entered["second third entered"] == pytest.approx(500.0, abs=1e-7)
    assert entered["last third entered"] == pytest.approx(1000.0, abs=1e-7)


def test_rollout__hydroplaning_branch_ends_exactly_at_its_speed() -> None:
    """Constant 0.05 down to 50 m/s, 0.2 below: (70^2 - 50^2) / (2 g 0.05) + 50^2 / (2 g 0.2)."""
    from groundroll.physics.braking import BrakingCurve

    curve = BrakingCurve((0.2, 0.0, 0.0, 0.0, 0.0, 0.0), 0.2, 50.0, 0.05, ())
    third = RunwayThird(curve)
    result = simulate(plain_roll(thirds=(third, third, third)))
    assert result.distance == pytest.approx((70**2 - 50**2) / (0.1 * G) + 50**2 / (0.4 * G), rel=1e-9)


def test_rollout__contaminant_drag_matches_closed_form() -> None:
    """No brakes, m dv/dt = -K v^2 below the hydroplaning speed: x = (m/K) ln(v0/v1). K 30, m 60 t, 70 to 35."""
    third = RunwayThird(constant_curve(0.0), drag_factor_main=30.0)
    roll = plain_roll(thirds=(third, third, third), brake_program=(), end_speed=35.0)
    assert simulate(roll).distance == pytest.approx(2000.0 * math.log(2.0), rel=1e-8)


def test_rollout__contaminant_drag_falls_off_above_the_hydroplaning_speed() -> None:
    """Exponent 4 above V_P: m v dv/dx = -K V_P^4 / v^2, so x = m (v0^4 - V_P^4) / (4 K V_P^4), from 70 to V_P = 50."""
    third = RunwayThird(constant_curve(0.0), drag_factor_main=30.0, hydroplaning_speed=50.0)
    roll = plain_roll(thirds=(third, third, third), brake_program=(), end_speed=50.0, fall_off_exponent=4.0)
    assert simulate(roll).distance == pytest.approx(2000.0 * (70.0**4 - 50.0**4) / (4.0 * 50.0**4), rel=1e-7)


def test_rollout__take_off_thrust_accelerates_and_ends_at_the_speed_asked_for() -> None:
    """200 kN on 50 t is 4 m/s2: 80 m/s after 800 m and 20 s."""
    tables = ThrustTables([0.0, 200.0], [0.0] * 2, [0.0] * 2, [0.0] * 2, [100_000.0] * 2)
    roll = plain_roll(
        mass=50_000.0,
        start_speed=0.0,
        end_speed_above=80.0,
        brake_program=(),
        thrust_tables=tables,
        thrust_program=take_off_stage(2.0),
    )
    result = simulate(roll)
    assert result.stopped
    assert result.distance == pytest.approx(800.0, rel=1e-9)
    assert result.time == pytest.approx(20.0, rel=1e-9)


def test_rollout__program_of_reverse_is_followed_by_time_and_speed() -> None:
    """Idle 0, reverse idle 60 kN, full 120 kN on 60 t: 1 and 2 m/s2 after 2 s and 4 s, back at 40 m/s, all instant.

    By hand from 70: 2 s at 70 = 140 m; 2 s at 1 m/s2: 138 m, v 68; to 40 at 2: (4624 - 1600)/4 = 756 m; to 0 at 1: 800.
    """
    tables = ThrustTables([0.0, 200.0], [0.0] * 2, [60_000.0] * 2, [120_000.0] * 2, [0.0] * 2)
    program = (
        ThrustStage(Trigger.TIME, 0.0, idle=1.0),
        ThrustStage(Trigger.TIME, 2.0, reverse_idle=1.0),
        ThrustStage(Trigger.TIME_AFTER, 2.0, reverse_full=1.0),
        ThrustStage(Trigger.SPEED_BELOW, 40.0, reverse_idle=1.0),
    )
    roll = plain_roll(brake_program=(), thrust_tables=tables, thrust_program=program, fuel_reverse_full=1.0)
    result = simulate(roll)
    assert result.distance == pytest.approx(140.0 + 138.0 + 756.0 + 800.0, rel=1e-9)
    assert result.reverse_fuel == pytest.approx(14.0, rel=1e-9)  # full reverse from 68 to 40 m/s at 2 m/s2: 14 s


def test_rollout__automatic_brakes_do_nothing_while_drag_alone_exceeds_the_target() -> None:
    """Thrust of -120 kN on 60 t gives 2 m/s2 by itself; a target of 1.5 needs no brake: no brake energy, 1225 m."""
    tables = ThrustTables([0.0, 200.0], [0.0] * 2, [0.0] * 2, [120_000.0] * 2, [0.0] * 2)
    program = (ThrustStage(Trigger.TIME, 0.0, reverse_full=1.0),)
    brakes = (BrakeStage(Trigger.TIME, 1.0, Control.AUTOMATIC, 1.5),)
    result = simulate(plain_roll(thrust_tables=tables, thrust_program=program, brake_program=brakes))
    assert result.brake_work == 0.0
    assert result.distance == pytest.approx(1225.0, rel=1e-9)


def test_rollout__release_and_pedal_override_start_where_they_should() -> None:
    """Target 2 m/s2 for 500 m, then released: v^2 = 4900 - 2000 until 1000 m, where full pedal (0.4 g) stops it."""
    brakes = (
        BrakeStage(Trigger.TIME, 0.0, Control.AUTOMATIC, 2.0),
        BrakeStage(Trigger.DISTANCE, 500.0, Control.OFF),
        BrakeStage(Trigger.DISTANCE, 1000.0, Control.PEDAL, 1.0),
    )
    result = simulate(plain_roll(brake_program=brakes), stations=[1000.0])
    assert result.passages[0].ground_speed == pytest.approx(math.sqrt(2900.0), rel=1e-9)
    assert result.distance == pytest.approx(1000.0 + 2900.0 / (2 * G * 0.4), rel=1e-9)


def test_rollout__stations_give_speed_and_time_in_the_order_asked() -> None:
    """2 m/s2 from 70: v at 400 m is sqrt(4900 - 1600); t = (70 - v) / 2; behind the stop there is nothing."""
    brakes = (BrakeStage(Trigger.TIME, 0.0, Control.AUTOMATIC, 2.0),)
    result = simulate(plain_roll(brake_program=brakes), stations=[2000.0, 400.0])
    assert math.isnan(result.passages[0].ground_speed)
    assert result.passages[1].ground_speed == pytest.approx(math.sqrt(3300.0), rel=1e-9)
    assert result.passages[1].time == pytest.approx((70.0 - math.sqrt(3300.0)) / 2.0, rel=1e-9)


def test_rollout__an_aeroplane_that_cannot_stop_is_said_to_go_on() -> None:
    """1 % downhill with no friction: it speeds up, and the roll is given up at the limit with its speed."""
    result = simulate(plain_roll(0.0, slope=-0.01, limit_distance=3000.0))
    assert not result.stopped
    assert result.ground_speed > 70.0
    assert "still at" in result.reason


def test_rollout__spoilers_move_weight_onto_the_wheels() -> None:
    """Lift 0.5 stowed, 0 deployed at once after 2 s: with deployed from the start the stop is shorter."""
    late = plain_roll(lift_coefficient_stowed=0.5, spoilers_start=2.0)
    early = plain_roll(lift_coefficient_stowed=0.5, spoilers_start=0.0)
    assert simulate(early).distance < simulate(late).distance


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"mass": -1.0}, "mass -1 kg"),
        ({"mass": math.nan}, "mass nan"),
        ({"start_speed": 104.0}, "start_speed 104 m/s is outside 0 to 102.889 m/s .200 kt"),
        ({"slope": 0.2}, "slope 0.2 is outside -0.1 to 0.1"),
        ({"headwind": math.inf}, "headwind inf"),
        ({"spoilers_share": 1.5}, "spoilers_share 1.5"),
        ({"maximum_brake_force": -1.0}, "maximum_brake_force -1.0 N"),
        ({"drag_coefficient_stowed": math.nan}, "drag_coefficient_stowed nan is not a finite number"),
    ],
)
def test_simulate__refuses_arguments_outside_their_range(change: dict[str, float], message: str) -> None:
    """The value, the range and the unit are in the message."""
    with pytest.raises(ValueError, match=message):
        simulate(plain_roll(**change))


def test_simulate__refuses_airspeed_beyond_the_thrust_tables() -> None:
    """Tables are not extrapolated."""
    tables = ThrustTables([0.0, 60.0], [0.0] * 2, [0.0] * 2, [0.0] * 2, [0.0] * 2)
    with pytest.raises(ValueError, match=r"true airspeed 70\.0 m/s at the start is above the last one"):
        simulate(plain_roll(thrust_tables=tables))


def test_run_cases__whatever_the_number_of_workers_the_digits_are_the_same() -> None:
    """Chunked equals whole, to the last bit."""
    cases = np.array([case_of(plain_roll(0.1 + 0.01 * i, nose_share=0.08, height_ratio=0.2)) for i in range(30)])
    one = run_cases(cases)
    two = run_cases(cases, workers=2)
    pieces = np.concatenate([run_cases(cases[:7]), run_cases(cases[7:])])
    assert np.array_equal(one, two, equal_nan=True)
    assert np.array_equal(one, pieces, equal_nan=True)


def test_run_cases__side_by_side_gives_the_digits_of_the_single_roll() -> None:
    """The lanes and the single roll are one text: every result is the same to the last bit, in any order of lanes."""
    from tests.random_landings import random_rolls

    rolls = random_rolls(150, seed=5)
    many = run_cases(np.array([case_of(roll) for roll in rolls]), as_given=True)
    for roll, row in zip(rolls, many, strict=True):
        one = simulate(roll)
        assert one.distance == row[at.END_DISTANCE]
        assert one.time == row[at.END_TIME]
        assert one.brake_work == row[at.BRAKE_WORK]
        assert one.aerodynamic_work == row[at.AERODYNAMIC_WORK]
        assert one.reverse_fuel == row[at.REVERSE_FUEL]
        assert one.peak_deceleration == row[at.PEAK_DECELERATION]
        assert one.ruled_distance == tuple(row[at.RULED_DISTANCE : at.RULED_DISTANCE + 4])


def test_run_cases_past__stations_are_those_of_the_single_roll() -> None:
    """Speed and time at stations side by side and alone are the same to the last bit; NaN behind the stop."""
    rolls = [plain_roll(0.1 + 0.005 * number) for number in range(40)]
    stations = np.tile([300.0, 700.0, 5_000.0], (40, 1))
    _, passed = run_cases_past(np.array([case_of(roll) for roll in rolls]), stations, as_given=True)
    for roll, row in zip(rolls, passed, strict=True):
        one = simulate(roll, stations=[300.0, 700.0, 5_000.0]).passages
        assert [passage.time for passage in one[:2]] == list(row[:2, 0])
        assert [passage.ground_speed for passage in one[:2]] == list(row[:2, 1])
        assert math.isnan(row[2, 0])


def test_history__begins_and_ends_with_the_roll_and_its_work_is_the_brake_work() -> None:
    """The trapezoid of force over distance meets the integrated brake work."""
    roll = plain_roll(0.3, drag_coefficient_stowed=0.1, drag_coefficient_deployed=0.1, brake_program=FULL_PEDAL)
    result = simulate(roll, history_step=0.02)
    history = result.history
    assert history is not None
    assert history.ground_speed[0] == 70.0
    assert history.ground_speed[-1] == pytest.approx(0.0, abs=1e-9)
    assert history.distance[-1] == pytest.approx(result.distance, abs=1e-9)
    assert np.trapezoid(history.brake_force, history.distance) == pytest.approx(result.brake_work, rel=1e-6)


def test_layout__blocks_do_not_overlap() -> None:
    """Each block begins where the one before ends."""
    assert at.THIRDS + 3 * at.THIRD_SIZE == at.NODE_SPEED
    assert at.SECOND_THIRD_END + 1 == at.THIRDS
    assert at.BRAKE_PROGRAM + at.BRAKE_STAGES * at.BRAKE_STAGE_SIZE == at.CASE_SIZE
