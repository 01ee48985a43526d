"""Edges of the roll: the border of two thirds, its end, brakes with nothing to do, the end of the thrust tables."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from groundroll.physics.braking import BrakingCurve
from groundroll.physics.rollout import (
    BrakeStage,
    Control,
    Roll,
    RunwayThird,
    ThrustStage,
    ThrustTables,
    Trigger,
    simulate,
)
from tests.rolls import constant_curve, plain_roll

pytestmark = pytest.mark.plain
G = 9.80665  # m/s2, standard gravity (CGPM 1901)


def test_rollout__a_third_entered_above_its_hydroplaning_speed_has_its_peak_of_drag_still_ahead() -> None:
    """No brakes, 500 m without drag; K 30 from 70 m/s, V_P 50: the peak is at 50 m/s and nowhere else.

    Without a fall-off (exponent 0) x = (m / K) ln(v0 / v1), m 60 t: 2000 ln(70 / 45).
    """
    bare, slush = RunwayThird(constant_curve(0.0)), RunwayThird(constant_curve(0.0), 30.0, 0.0, 50.0)
    roll = plain_roll(thirds=(bare, slush, slush), third_ends=(500.0, 9_000.0), brake_program=(), end_speed=45.0)
    result = simulate(roll)
    assert result.distance == pytest.approx(500.0 + 2_000.0 * math.log(70.0 / 45.0), rel=1e-8)
    peaks = [event.ground_speed for event in result.events if event.name == "contaminant drag at its peak"]
    assert peaks == [pytest.approx(50.0, abs=1e-6)]


def test_rollout__a_third_entered_above_its_switch_speed_begins_on_the_hydroplaning_branch() -> None:
    """Friction 0.1 for 500 m: v^2 = 4900 - 100 g; then 0.05 down to 50 m/s, then 0.2."""
    curve = BrakingCurve((0.2, 0.0, 0.0, 0.0, 0.0, 0.0), 0.2, 50.0, 0.05, ())
    first, second = RunwayThird(constant_curve(0.1)), RunwayThird(curve)
    result = simulate(plain_roll(thirds=(first, second, second), third_ends=(500.0, 9_000.0)))
    entry = 70.0**2 - 0.2 * G * 500.0
    expected = 500.0 + (entry - 50.0**2) / (0.1 * G) + 50.0**2 / (0.4 * G)
    assert result.distance == pytest.approx(expected, rel=1e-9)
    names = [event.name for event in result.events]
    assert "on the hydroplaning branch of braking" not in names
    assert names.count("below the hydroplaning branch of braking") == 1


def test_rollout__peak_deceleration_may_come_at_the_very_end() -> None:
    """Friction 0.40 - 0.002 V rises while the speed falls: greatest at the stop, g 0.40; 70 m/s start with g 0.26."""
    curve = BrakingCurve((0.4, -0.002, 0.0, 0.0, 0.0, 0.0), 0.4, 1e9, 0.0, ())
    third = RunwayThird(curve)
    result = simulate(plain_roll(thirds=(third, third, third)))
    assert result.peak_deceleration == pytest.approx(0.4 * G, rel=1e-6)
    assert 0.26 * G < result.mean_deceleration < 0.4 * G


def test_rollout__peak_deceleration_may_come_at_the_very_start() -> None:
    """Drag falls with the speed: greatest at touchdown, g 0.2 and 1/2 1.225 70^2 120 0.1 N (36 015 N) on 60 t."""
    result = simulate(plain_roll(0.2, drag_coefficient_stowed=0.1, drag_coefficient_deployed=0.1))
    assert result.peak_deceleration == pytest.approx(0.2 * G + 36_015.0 / 60_000.0, rel=1e-9)


def test_rollout__shortfall_is_the_most_by_which_a_target_is_missed() -> None:
    """Target 4 m/s2, friction g 0.2 all along: missed by 4 - 0.2 g. Target 1.5 m/s2: never missed.

    Friction 0.1 + 0.003 V gives more than 2 m/s2 at 70 m/s, and g 0.1 at the stop: missed by 2 - 0.1 g in the end,
    to 0.001 m/s2 because the deceleration is taken as linear in the step that ends in the stop.
    """

    def shortfall(roll: Roll, target: float) -> float:
        brakes = (BrakeStage(Trigger.TIME, 0.0, Control.AUTOMATIC, target),)
        return simulate(replace(roll, brake_program=brakes)).shortfall

    assert shortfall(plain_roll(0.2), 4.0) == pytest.approx(4.0 - 0.2 * G, abs=1e-9)
    assert shortfall(plain_roll(0.2), 1.5) == pytest.approx(0.0, abs=1e-6)
    third = RunwayThird(BrakingCurve((0.1, 0.003, 0.0, 0.0, 0.0, 0.0), 0.4, math.inf, 0.0, ()))
    assert shortfall(plain_roll(thirds=(third, third, third)), 2.0) == pytest.approx(2.0 - 0.1 * G, abs=1e-3)


def test_rollout__fuel_follows_the_ramp_of_the_reversers() -> None:
    """0.5 kg/s more at full reverse, reached in 4 s: 0.5 (T - 2) kg in a stop of T = 70 / (0.4 g) seconds."""
    stage = ThrustStage(Trigger.TIME, 0.0, 4.0, reverse_full=1.0)
    result = simulate(plain_roll(0.4, thrust_program=(stage,), fuel_reverse_full=0.5))
    assert result.reverse_fuel == pytest.approx(0.5 * (70.0 / (0.4 * G) - 2.0), rel=1e-9)


def test_rollout__demand_rules_where_the_other_forces_alone_give_the_target() -> None:
    """Reverse of 120 kN on 60 t gives 2 m/s2 against a target of 1.5: the crew's setting decides, not the surface."""
    tables = ThrustTables([0.0, 200.0], [0.0] * 2, [0.0] * 2, [120_000.0] * 2, [0.0] * 2)
    result = simulate(
        plain_roll(
            thrust_tables=tables,
            thrust_program=(ThrustStage(Trigger.TIME, 0.0, reverse_full=1.0),),
            brake_program=(BrakeStage(Trigger.TIME, 0.0, Control.AUTOMATIC, 1.5),),
        )
    )
    assert result.ruled_distance[0] == pytest.approx(1225.0)
    assert result.limited_by == {"demand": 1.0, "friction": 0.0, "torque": 0.0}


def test_simulate__headwind_counts_towards_the_end_of_the_thrust_tables() -> None:
    """60 m/s over the ground and 5 m/s from ahead are 65 m/s through the air; the tables end at 62."""
    tables = ThrustTables([0.0, 62.0], [0.0] * 2, [0.0] * 2, [0.0] * 2, [0.0] * 2)
    assert simulate(plain_roll(start_speed=60.0, thrust_tables=tables)).stopped
    with pytest.raises(ValueError, match=r"true airspeed 65\.0 m/s at the start is above the last one"):
        simulate(plain_roll(start_speed=60.0, headwind=5.0, thrust_tables=tables))
    assert simulate(plain_roll(start_speed=60.0, headwind=-5.0, thrust_tables=tables)).stopped
