"""Laws that any landing roll must keep, whatever its numbers."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.physics.rollout import Roll, simulate
from groundroll.planning.landing_roll import LandingConditions, landing_roll
from groundroll.scenario.resolved import SurfaceThird
from tests.random_landings import aircraft_files

FLEET = aircraft_files()
BRAKES = st.sampled_from(["manual", "first", "last"])
REVERSES = st.sampled_from(["none", "idle", "full"])
SURFACES = [
    SurfaceThird(6, "DRY", None, None),
    SurfaceThird(5, "WET", None, None),
    SurfaceThird(4, "COMPACTED SNOW", None, None),
    SurfaceThird(3, "WET SNOW", 0.01, None),
    SurfaceThird(2, "SLUSH", 0.006, None),
    SurfaceThird(1, "ICE", None, None),
]
SLACK = 0.01
"""What the integration's own error may turn round. [m]"""


def _roll(aircraft: int, brake: str, reverse: str, **changes: object) -> Roll:
    chosen = FLEET[aircraft]
    middle = 0.5 * (chosen.mass.minimum + chosen.mass.maximum_landing)
    values: dict[str, object] = {
        "mass": middle,
        "flap": next(iter(chosen.flaps)),
        "approach_speed": 65.0,
        "pressure": 100_000.0,
        "temperature": 288.0,
        "headwind": 0.0,
        "slope": 0.0,
        "runway_length": 3_000.0,
        "displaced_threshold": 0.0,
        "landing_distance_available": 3_000.0,
        "surface": "smooth",
        "thirds": (SURFACES[1],) * 3,
    }
    settings = list(chosen.automatic_brakes.settings) if chosen.automatic_brakes else []
    name = "manual" if brake == "manual" or not settings else settings[0] if brake == "first" else settings[-1]
    conditions = LandingConditions(**(values | changes))  # type: ignore[arg-type]
    used = reverse if chosen.reverse is not None else "none"
    return landing_roll(chosen, conditions, name, used)  # type: ignore[arg-type]


def _stop(roll: Roll) -> float:
    result = simulate(replace(roll, limit_distance=60_000.0, limit_time=3_000.0))
    assert result.stopped
    return result.distance


AEROPLANES = st.integers(0, len(FLEET) - 1)
CODES = st.integers(0, 4)  # index into SURFACES, ice left out: with idle thrust it may not stop


@given(AEROPLANES, BRAKES, REVERSES, CODES, st.floats(55.0, 70.0), st.floats(0.1, 8.0))
def test_stop__faster_never_shortens(
    aircraft: int, brake: str, reverse: str, surface: int, speed: float, more: float
) -> None:
    """A higher approach speed never gives a shorter stop."""
    thirds = (SURFACES[surface],) * 3
    slow = _stop(_roll(aircraft, brake, reverse, approach_speed=speed, thirds=thirds, touchdown_distance=450.0))
    fast = _stop(_roll(aircraft, brake, reverse, approach_speed=speed + more, thirds=thirds, touchdown_distance=450.0))
    assert fast >= slow - SLACK


@given(AEROPLANES, BRAKES, REVERSES, CODES, st.floats(0.0, 0.98), st.floats(0.001, 0.1))
def test_stop__heavier_never_shortens(
    aircraft: int, brake: str, reverse: str, surface: int, place: float, more: float
) -> None:
    """At the same approach speed, which leaves out that a heavier aeroplane is flown faster as well."""
    limits = FLEET[aircraft].mass
    width = limits.maximum_landing - limits.minimum
    light = limits.minimum + place * width
    heavy = min(light + more * width, limits.maximum_landing)
    thirds = (SURFACES[surface],) * 3
    assert (
        _stop(_roll(aircraft, brake, reverse, mass=heavy, thirds=thirds))
        >= _stop(_roll(aircraft, brake, reverse, mass=light, thirds=thirds)) - SLACK
    )


@given(AEROPLANES, BRAKES, REVERSES, st.floats(0.05, 0.5), st.floats(0.0, 0.2))
def test_stop__more_friction_never_lengthens(
    aircraft: int, brake: str, reverse: str, friction: float, more: float
) -> None:
    """The braking coefficient raised by the same amount everywhere."""
    from groundroll.physics.rollout import RunwayThird
    from tests.rolls import constant_curve

    roll = _roll(aircraft, brake, reverse)
    low, high = (RunwayThird(constant_curve(mu)) for mu in (friction, friction + more))
    assert _stop(replace(roll, thirds=(high,) * 3)) <= _stop(replace(roll, thirds=(low,) * 3)) + SLACK


@given(AEROPLANES, BRAKES, REVERSES, CODES, st.floats(-8.0, 12.0), st.floats(0.1, 5.0))
def test_stop__more_headwind_never_lengthens(
    aircraft: int, brake: str, reverse: str, surface: int, wind: float, more: float
) -> None:
    """Headwind lowers the ground speed and raises the drag."""
    thirds = (SURFACES[surface],) * 3
    assert (
        _stop(_roll(aircraft, brake, reverse, headwind=wind + more, thirds=thirds))
        <= _stop(_roll(aircraft, brake, reverse, headwind=wind, thirds=thirds)) + SLACK
    )


@given(AEROPLANES, BRAKES, CODES)
def test_stop__more_reverse_never_lengthens(aircraft: int, brake: str, surface: int) -> None:
    """None, idle, full: each gives at least the retarding force of the one before."""
    if FLEET[aircraft].reverse is None:
        return
    thirds = (SURFACES[surface],) * 3
    stops = [_stop(_roll(aircraft, brake, reverse, thirds=thirds)) for reverse in ("none", "idle", "full")]
    assert stops[2] <= stops[1] + SLACK
    assert stops[1] <= stops[0] + SLACK


@given(AEROPLANES, BRAKES, REVERSES, CODES, st.floats(-0.015, 0.014), st.floats(0.0005, 0.01))
def test_stop__more_upslope_never_lengthens(
    aircraft: int, brake: str, reverse: str, surface: int, slope: float, more: float
) -> None:
    """Gravity helps uphill."""
    thirds = (SURFACES[surface],) * 3
    assert (
        _stop(_roll(aircraft, brake, reverse, slope=slope + more, thirds=thirds))
        <= _stop(_roll(aircraft, brake, reverse, slope=slope, thirds=thirds)) + SLACK
    )


@given(AEROPLANES, BRAKES, REVERSES, st.integers(0, 5), st.integers(0, 5), st.integers(0, 5))
def test_roll__work_of_all_forces_is_the_kinetic_energy_lost(
    aircraft: int, brake: str, reverse: str, first: int, second: int, third: int
) -> None:
    """Energy balance to 1e-6 over any mixture of surfaces; downhill, so that the slope does work."""
    thirds = (SURFACES[first], SURFACES[second], SURFACES[third])
    result = simulate(replace(_roll(aircraft, brake, reverse, thirds=thirds, slope=-0.004), limit_distance=9_000.0))
    assert abs(result.energy_residual) < 1e-6


@given(AEROPLANES, st.floats(0.5, 3.0))
def test_stop__held_target_does_not_depend_on_reverse(aircraft: int, factor: float) -> None:
    """Automatic brakes hold a total deceleration: where both hold it throughout, idle reverse changes energy only.

    Scale law: a held target gives the same stop at any mass.
    """
    chosen = FLEET[aircraft]
    if chosen.automatic_brakes is None or chosen.reverse is None:
        return
    name = list(chosen.automatic_brakes.settings)[1]
    stops, energies = [], []
    for reverse in ("none", "idle"):
        values = {"thirds": (SURFACES[0],) * 3, "mass": chosen.mass.minimum * (1.0 + 0.05 * factor)}
        roll = _roll(aircraft, "last", reverse, **values)
        target = chosen.automatic_brakes.settings[name]
        stage = replace(roll.brake_program[0], target=target)
        result = simulate(replace(roll, brake_program=(stage,)))
        assert result.shortfall < 0.02
        stops.append(result.distance)
        energies.append(result.brake_work)
    assert stops[1] == pytest.approx(stops[0], abs=2.0)
    assert energies[1] < energies[0]
