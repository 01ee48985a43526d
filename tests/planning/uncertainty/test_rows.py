"""Rows made all at once are the rows that the planned way makes one by one."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from groundroll.kernels import layout as at
from groundroll.physics.rollout import Roll, case_of, simulate
from groundroll.planning.landing_roll import LandingConditions, conditions_of, landing_roll
from groundroll.planning.uncertainty.inputs import Inputs, Samples
from groundroll.planning.uncertainty.rows import SampledRoll, rolled
from groundroll.scenario.model import Aircraft
from tests.planning.cases import changed, example

CHOICES = [("steady", "full"), ("firm", "idle"), ("gentle", "none"), ("manual", "full"), ("manual", "none")]


def one_by_one(
    aircraft: Aircraft, conditions: LandingConditions, brake: str, reverse: Any, samples: Samples, number: int
) -> Roll:
    """Return the roll with one sample's inputs, changed in the conditions and in the aircraft file."""
    changes: dict[str, Any] = {
        "spoilers__start": float(samples.spoilers_start[number]),
        "brakes__pedal_delay": float(samples.pedal_start[number]),
        "reverse__selected": float(samples.reverse_selected[number]),
    }
    settings = {
        name: value * float(samples.automatic_braking[number])
        for name, value in aircraft.automatic_brakes.settings.items()  # type: ignore[union-attr]
    }
    changes |= {
        "automatic_brakes__settings": settings,
        "automatic_brakes__spin_up": 0.0,
        "automatic_brakes__delay": float(samples.brakes_start[number]),
    }
    other = replace(
        conditions,
        mass=float(samples.mass[number]),
        headwind=float(samples.headwind[number]),
        touchdown_distance=float(samples.touchdown_point[number]),
    )
    roll = landing_roll(changed(aircraft, **changes), other, brake, reverse)
    thirds = []
    for third, factor in zip(roll.thirds, samples.friction[number], strict=True):
        curve = third.braking
        braking = replace(
            curve,
            coefficients=tuple(float(factor) * one for one in curve.coefficients),
            cap=float(factor) * curve.cap,
            above_switch=float(factor) * curve.above_switch,
        )
        thirds.append(replace(third, braking=braking))
    return replace(roll, thirds=tuple(thirds), start_speed=float(samples.touchdown_speed[number]))


@pytest.mark.parametrize("name", ["wet-gusty-arrival", "contaminated-arrival"])
@pytest.mark.parametrize(("brake", "reverse"), CHOICES)
def test_rows__equal_those_of_landing_roll_one_by_one(name: str, brake: str, reverse: Any) -> None:
    case = example(name)
    conditions = conditions_of(case)
    if brake not in (*case.aircraft.automatic_brakes.settings, "manual"):  # type: ignore[union-attr]
        brake = next(iter(case.aircraft.automatic_brakes.settings))  # type: ignore[union-attr]
    inputs = Inputs(case, conditions)
    samples = inputs.samples(np.random.default_rng(3).standard_normal((12, inputs.dimensions)))
    rows = SampledRoll(case.aircraft, conditions, brake, reverse).rows(samples)
    for number, row in enumerate(rows):
        expected = case_of(one_by_one(case.aircraft, conditions, brake, reverse, samples, number))
        np.testing.assert_allclose(row, expected, rtol=1e-13, atol=1e-13)


def test_rows__planned_values_give_the_planned_row() -> None:
    """With the headwind of the plan, the touchdown speed follows the plan's own rule."""
    case = example("wet-gusty-arrival")
    conditions = conditions_of(case)
    inputs = Inputs(case, conditions)
    samples = inputs.samples(np.zeros((1, inputs.dimensions)))
    planned = {one.name: one.planned for one in inputs.listed}
    still = replace(
        samples,
        headwind=np.array([conditions.headwind]),
        touchdown_speed=np.array([planned["touchdown_speed"] - 0.96 * conditions.headwind]),
    )
    row = SampledRoll(case.aircraft, conditions, "steady", "full").rows(still)[0]
    np.testing.assert_allclose(
        row, case_of(landing_roll(case.aircraft, conditions, "steady", "full")), rtol=1e-9
    )  # friction is cut off at 6 spreads


def test_rows__out_of_range_is_refused_with_the_value() -> None:
    case = example("wet-gusty-arrival")
    inputs = Inputs(case)
    samples = inputs.samples(np.zeros((1, inputs.dimensions)))
    roll = SampledRoll(case.aircraft, inputs.conditions, "steady", "full")
    with pytest.raises(ValueError, match=r"touchdown ground speed of a sample 120 m/s is outside 0 to 102\.889 m/s"):
        roll.rows(replace(samples, touchdown_speed=np.array([120.0])))
    with pytest.raises(ValueError, match=r"true airspeed of a sample 112 m/s is outside 0 to 102.*thrust tables"):
        roll.rows(replace(samples, touchdown_speed=np.array([102.0]), headwind=np.array([10.0])))


def test_rolled__speeds_at_stations_are_those_of_simulate() -> None:
    case = example("wet-gusty-arrival")
    inputs = Inputs(case)
    samples = inputs.samples(np.random.default_rng(5).standard_normal((6, inputs.dimensions)))
    rows = SampledRoll(case.aircraft, inputs.conditions, "steady", "full").rows(samples)
    stations = np.array([300.0, 900.0, 1_500.0, 5_000.0])
    results, speeds = rolled(rows, stations)
    for number in range(6):
        roll = one_by_one(case.aircraft, inputs.conditions, "steady", "full", samples, number)
        found = simulate(roll, stations=list(stations))
        assert results[number, at.END_DISTANCE] == pytest.approx(found.distance, abs=0.1)
        for place, passage in enumerate(found.passages):
            if stations[place] < roll.start_distance:
                assert np.isnan(speeds[number, place])
            elif np.isnan(passage.ground_speed):
                assert speeds[number, place] == 0.0
            else:
                assert speeds[number, place] == pytest.approx(passage.ground_speed, abs=0.02)
