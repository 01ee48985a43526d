"""The rejected take-off: closed forms, the rules, an independent integration, and what must never go the wrong way."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.planning.reject import RejectPlan, plan_reject
from groundroll.planning.reject_distances import RuleDistances, root
from groundroll.planning.reject_roll import StopChoice, TakeOffConditions, TakeOffRun, take_off_conditions
from groundroll.planning.reject_window import window_of
from groundroll.scenario.model import RejectActions
from groundroll.scenario.read import read_aircraft
from groundroll.scenario.resolved import SurfaceThird
from groundroll.scenario.take_off import TakeOffCase, read_take_off_case
from tests.reference_reject import Day, Reference

ROOT = Path(__file__).parents[2]
CLOSED = ROOT / "tests" / "data" / "closed-form" / "case.toml"
DEMO = ROOT / "examples" / "departure-wet" / "case.toml"
KNOT = 1852.0 / 3600.0
G = 9.80665
FT = 0.3048


def _actions(**times: float) -> RejectActions:
    """Return actions with times in seconds; a file would give each a unit."""
    return RejectActions().model_copy(update=times)


INSTANT = _actions(
    brakes=0.0, brakes_ramp=0.0, thrust=0.0, thrust_ramp=0.0, spoilers=0.0, spoilers_ramp=0.0, reverse=0.0
)


@cache
def _case(path: Path = CLOSED, *changes: str) -> TakeOffCase:
    return read_take_off_case(path, changes)


@cache
def _plan(path: Path = CLOSED, *changes: str) -> RejectPlan:
    return plan_reject(_case(path, *changes))


def _run(case: TakeOffCase, **changes: Any) -> TakeOffRun:
    return TakeOffRun(case.aircraft, case.data, replace(take_off_conditions(case, factored=True), **changes))


# ------------------------------------------------------------------------------------------------- closed forms

MASS, AREA, RHO = 50_000.0, 100.0, 1.225
ROLLING, BRAKING = 0.02, 0.35


def _accelerated(thrust: float, low: float, high: float) -> float:
    """Distance from one speed to another: m / (2 k) ln((T' - k V1^2) / (T' - k V2^2)), T' = T - mu m g."""
    k = 0.5 * RHO * AREA * (0.05 - ROLLING * 0.3)
    net = thrust - ROLLING * MASS * G
    return MASS / (2.0 * k) * math.log((net - k * low**2) / (net - k * high**2))


def _stopped(speed: float, braking: float = BRAKING) -> float:
    """Distance to a stop: m / (2 k) ln(1 + k V^2 / (mu m g)), mu of brakes and rolling, k = rho S (CD - mu CL) / 2."""
    mu = braking + ROLLING
    k = 0.5 * RHO * AREA * (0.12 - mu * 0.05)
    return MASS / (2.0 * k) * math.log(1.0 + k * speed**2 / (mu * MASS * G))


@pytest.mark.parametrize("knots", [60.0, 100.0, 130.0, 140.0])
def test_accelerate_stop__closed_form_with_quadratic_drag(knots: float) -> None:
    """Constant thrust and coefficients, instant actions, no idle thrust; plus 2 s at V1. Within 1 cm."""
    speed = knots * KNOT
    stop = _plan(CLOSED, f"take_off.decision_speed={knots:.0f} kt").stop
    by_hand = _accelerated(150_000.0, 0.0, speed) + _stopped(speed) + 2.0 * speed
    assert stop.all_engines == pytest.approx(by_hand, abs=0.01)
    assert stop.engine_failure == pytest.approx(by_hand, abs=0.01)


def test_accelerate_go__closed_form_with_quadratic_drag() -> None:
    """Two engines to V1, one from there to rotation, instant rotation, then the height from the excess thrust."""
    speed, rotation = 130.0 * KNOT, 140.0 * KNOT
    ground = _accelerated(150_000.0, 0.0, speed) + _accelerated(75_000.0, speed, rotation)
    lift = MASS * G / (0.5 * RHO * rotation**2 * AREA)
    excess = 75_000.0 / (MASS * G) - (0.03 + 0.04 * lift**2) / lift
    arc = math.sqrt(2.0 * rotation**2 / (G * 0.2) * 35.0 * FT - (35.0 * FT) ** 2)
    by_hand = ground + max(35.0 * FT / excess, arc)
    go = _plan().go
    assert go.engine_failure == pytest.approx(by_hand, abs=0.01)
    every = 150_000.0 / (MASS * G) - (0.03 + 0.04 * lift**2) / lift
    all_engines = _accelerated(150_000.0, 0.0, rotation) + max(35.0 * FT / every, arc)
    assert go.all_engines == pytest.approx(all_engines, abs=0.01)
    assert go.distance == pytest.approx(max(by_hand, 1.15 * all_engines), abs=0.01)


def test_balanced_speed__closed_form() -> None:
    """Where accelerate-stop and accelerate-go are equal, found here by halving the closed forms."""
    rotation = 140.0 * KNOT
    lift = MASS * G / (0.5 * RHO * rotation**2 * AREA)
    excess = 75_000.0 / (MASS * G) - (0.03 + 0.04 * lift**2) / lift
    air = max(35.0 * FT / excess, math.sqrt(2.0 * rotation**2 / (G * 0.2) * 35.0 * FT - (35.0 * FT) ** 2))
    low, high = 50.0 * KNOT, rotation
    for _ in range(60):
        middle = 0.5 * (low + high)
        stop = _stopped(middle) + 2.0 * middle
        go = _accelerated(75_000.0, middle, rotation) + air
        low, high = (middle, high) if stop < go else (low, middle)
    assert _plan().window.balanced == pytest.approx(low, abs=1e-3)


def test_stop_up_to__closed_form() -> None:
    """The runway is cut so that the speed of the closed form is 110 kt."""
    speed = 110.0 * KNOT
    needed = _accelerated(150_000.0, 0.0, speed) + _stopped(speed) + 2.0 * speed
    changed = (f"runway.take_off_run_available={needed - 100.0:.4f} m",)  # 100 m of stopway come on top
    assert _plan(CLOSED, *changed).window.stop_up_to == pytest.approx(speed, abs=1e-3)


def test_brake_energy_limit__closed_form() -> None:
    """Work of the brakes is mu_b integral of (m g - q S C_L) ds, in closed form; the limit is 40 MJ for each brake."""
    mu = BRAKING + ROLLING
    lift, drag = 0.5 * RHO * AREA * 0.05, 0.5 * RHO * AREA * 0.12
    k = drag - mu * lift

    def work(speed: float) -> float:
        distance = _stopped(speed)
        # integral of V^2 ds = (m V^2 / 2 - mu m g s) / k
        squared = (0.5 * MASS * speed**2 - mu * MASS * G * distance) / k
        return BRAKING * (MASS * G * distance - lift * squared)

    limit = _plan().window.brake_energy_limit
    assert limit is not None
    assert work(limit) / 4.0 == pytest.approx(40e6, rel=1e-5)


def test_example_6_6__ground_roll_of_the_textbook() -> None:
    """J. D. Anderson, Aircraft Performance and Design, Example 6.6: 2 242 ft from rest to 205.1 ft/s.

    K_T = T/W - mu = 0.301, mu 0.04, K_A = -4.525e-7 1/(ft/s)^2, g = 32.2 ft/s^2; the file's thrust and drag are set so
    that every force over mass is the book's although standard gravity is 9.80665 m/s^2.
    """
    pound_force, gravity = 4.4482216152605, 32.2 * FT
    mass = 73_000.0 * pound_force / gravity
    drag = 4.525e-7 / FT**2 * gravity * mass / (0.5 * RHO * AREA)
    thrust = (0.301 * gravity + 0.04 * G) * mass
    case = _case(
        CLOSED,
        "aircraft.brakes.rolling_resistance=0.04",
        f'aircraft.engines.thrust.take_off=["{0.5 * thrust:.6f} N", "{0.5 * thrust:.6f} N"]',
        "aircraft.take_off.flaps.only.lift_coefficient_stowed=0",
        f"aircraft.take_off.flaps.only.drag_coefficient_stowed={drag:.12f}",
        f"take_off.mass={mass:.6f} kg",
        "take_off.decision_speed=100 kt",
    )
    assert _run(case).with_all_engines(205.1 * FT).rolled / FT == pytest.approx(2_241.75, abs=0.5)


# ---------------------------------------------------------------------------------------------------- the rules


@pytest.mark.parametrize(("knots", "metres"), [(120.0, 123.5), (140.0, 144.0), (160.0, 164.6)])
def test_increment__two_seconds_at_v1(knots: float, metres: float) -> None:
    """14 CFR 25.109(a): the distance of 2 s at V1, worked out in the reference: 123.5, 144.0 and 164.6 m."""
    distances = RuleDistances(_run(_case()), "none")
    assert distances.increment(knots * KNOT) == pytest.approx(metres, abs=0.05)
    assert distances.increment(knots * KNOT) == 2.0 * knots * KNOT


def test_increment__further_actions_lengthen_by_seconds_at_v1() -> None:
    """CS-25 AMC 25.101(h)(3): one action beyond the third 1 s, one by command 2 s, all at V1 and not accelerating."""
    plain = _plan().stop.distance
    more = _plan(CLOSED, "aircraft.take_off.reject.further_actions=1").stop.distance
    most = _plan(
        CLOSED, "aircraft.take_off.reject.further_actions=1", "aircraft.take_off.reject.further_commands=1"
    ).stop.distance
    speed = 130.0 * KNOT
    assert more - plain == pytest.approx(1.0 * speed, abs=1e-6)
    assert most - plain == pytest.approx(3.0 * speed, abs=1e-6)


def test_anti_skid__ratio_of_on_off_to_fully_modulating() -> None:
    """14 CFR 25.109(c)(2): 0.30 over 0.80 = 0.375, on a wet runway, in the braking that the stop uses."""
    wet = 'condition.report="wet 5/5/5"'
    on_off = _run(_case(DEMO, wet, "aircraft.brakes.anti_skid=on-off")).base.thirds[0].braking
    full = _run(_case(DEMO, wet)).base.thirds[0].braking
    assert float(on_off.coefficient(50.0)) / float(full.coefficient(50.0)) == pytest.approx(0.375, rel=1e-9)


def test_reverse__no_credit_dry_and_credit_wet() -> None:
    """14 CFR 25.109(f)."""
    dry = ("condition.codes=[6, 6, 6]", "take_off.decision_speed=135 kt")
    assert _plan(DEMO, *dry).stop == _plan(DEMO, *dry, "take_off.reverse=none").stop
    at = ("take_off.decision_speed=135 kt",)
    credited = _plan(DEMO, *at).stop
    refused = _plan(DEMO, *at, "take_off.wet_reverse_credit=false").stop
    assert refused.engine_failure > credited.engine_failure + 10.0
    assert refused.dry == credited.dry


@given(st.floats(0.36, 1.0), st.sampled_from([6, 5, 4, 3]))
def test_wet_is_never_below_dry(share: float, code: int) -> None:
    """14 CFR 25.109(b), 25.113(b): stop and go on any surface are at least those on a dry runway."""
    case = _case(DEMO)
    thirds = (SurfaceThird(code, None, None, None),) * 3
    dry = (SurfaceThird(6, "DRY", None, None),) * 3
    speed = share * case.take_off.rotation_speed
    wet_distances = RuleDistances(_run(case, thirds=thirds), "full")
    dry_distances = RuleDistances(_run(case, thirds=dry), "none")
    assert wet_distances.stop(speed).distance >= dry_distances.stop(speed).distance
    dry_speed = max(speed, wet_distances.dry_decision_speed)
    assert wet_distances.go(speed).distance >= dry_distances.go(dry_speed).distance - 1e-6


def test_take_off_distance__is_at_least_115_percent_of_all_engines() -> None:
    """14 CFR 25.113(a)(2)."""
    go = _plan(DEMO).go
    assert go.distance >= 1.15 * go.all_engines - 1e-9


def test_minimum_control__the_engine_fails_at_the_limit() -> None:
    """14 CFR 25.107(a): V_EF >= V_MCG. V1 is that speed plus what one engine gains in the recognition time."""
    plan = _plan(DEMO)
    at = _plan(DEMO, f"take_off.decision_speed={plan.window.minimum_control / KNOT:.6f} kt")
    assert at.engine_failure_speed == pytest.approx(106.0 * KNOT, abs=1e-3)


def test_energy_ratio__speed_ten_percent_higher() -> None:
    """(1.1)^2 = 1.21 without aerodynamics; mass 10 % higher gives 10 % (Airplane Flying Handbook)."""
    bare = [
        f"aircraft.take_off.flaps.only.{key}_coefficient_{state}=0"
        for key in ("lift", "drag")
        for state in ("stowed", "deployed")
    ]

    def energy(knots: float, mass: float) -> float:
        changes = (*bare, f"take_off.decision_speed={knots} kt", f"take_off.mass={mass} t")
        return _plan(CLOSED, *changes).stop.brake_energy

    assert energy(121.0, 50.0) / energy(110.0, 50.0) == pytest.approx(1.21, rel=1e-6)
    assert energy(110.0, 55.0) / energy(110.0, 50.0) == pytest.approx(1.10, rel=1e-6)


# ---------------------------------------------------------------------------------------- automatic reject mode


def _stop_from(knots: float, choice: StopChoice, **changes: Any) -> Any:
    case = _case(DEMO)
    run = _run(case, headwind=0.0, **changes)
    point = run.with_all_engines(knots * KNOT)
    return point, run.stop(point, choice)


def test_automatic_mode__acts_above_its_speed_and_not_below() -> None:
    """Set to 85 kt of ground speed in the file: armed, 90 kt is braked at once; 80 kt only when the crew does it."""
    armed = StopChoice(INSTANT, braking="automatic", unexpected_delay=3.0)
    left_alone = replace(armed, armed=False)
    for knots, acts in ((90.0, True), (80.0, False)):
        _, with_mode = _stop_from(knots, armed)
        _, without = _stop_from(knots, left_alone)
        if acts:
            assert with_mode.rolled < without.rolled - 50.0
        else:
            assert with_mode.rolled == pytest.approx(without.rolled, abs=1e-9)


def test_pedals__before_the_mode_they_brake_and_after_it_they_end_it() -> None:
    """Above the speed of the mode: at once is best; half a pedal ends full braking, the later the less is lost."""
    late = StopChoice(_actions(thrust=0.5, thrust_ramp=1.0, reverse=2.0), braking="automatic", unexpected_delay=3.0)

    def length(**changes: Any) -> float:
        _, end = _stop_from(120.0, replace(late, **changes))
        return float(end.rolled)

    alone = length()
    assert length(pedals_after=0.0) < alone - 10.0
    assert length(pedals_after=5.0) == pytest.approx(alone, abs=0.01)  # full pedal on full braking changes nothing
    losses = [length(pedals_after=one, pedal=0.3) - alone for one in (2.0, 4.0, 8.0)]
    assert losses[0] > losses[1] > losses[2] > 1.0
    assert length(pedals_after=0.0, pedal=0.3) == pytest.approx(length(armed=False, pedals_after=0.0, pedal=0.3))


def test_pedals__below_the_speed_of_the_mode_they_bring_what_it_does_not_give() -> None:
    left_alone = StopChoice(INSTANT, braking="automatic", unexpected_delay=3.0)
    _, waited = _stop_from(80.0, left_alone)
    _, pressed = _stop_from(80.0, replace(left_alone, pedals_after=0.5))
    _, too_late = _stop_from(80.0, replace(left_alone, pedals_after=6.0))
    assert pressed.rolled < waited.rolled - 50.0
    assert too_late.rolled == pytest.approx(waited.rolled, abs=1e-9)  # the surprise comes first


def test_pedals__that_take_over_against_scipy_for_60_random_take_offs() -> None:
    """Mode, then pedals at any moment and share, against `tests.reference_reject` (DOP853 at 1e-9) within 0.1 m."""
    random = np.random.default_rng(20260301)
    taken_over = worst = 0.0
    for run, reference, speed, failed in _random_take_offs(60, 20260218):
        automatic, reject = run.aircraft.automatic_brakes, run.data.reject
        if automatic is None or automatic.reject is None:
            continue
        actions = reject.demonstrated
        onset = actions.thrust + reject.automatic_delay
        after, pedal = float(random.uniform(0.0, 12.0)), float(random.uniform(0.1, 1.0))
        gain = math.inf if actions.brakes_ramp == 0.0 else pedal / actions.brakes_ramp
        stages = [(onset, 1.0, 1.0 / reject.automatic_ramp), (after, pedal, gain)][0 if after > onset else 1 :]
        first_action, distance = reference.accelerate_stop(speed, failed=failed, brakes=stages)
        if first_action < automatic.reject.minimum_ground_speed + 8.0:
            continue  # near its speed, whether the mode acts hangs on the closing of the levers
        choice = StopChoice(actions, braking="automatic", pedal=pedal, pedals_after=after, unexpected_delay=3.0)
        end = run.stop(run.at_first_action(first_action, failed=failed), choice)
        assert end is not None
        worst = max(worst, abs(end.rolled - distance))
        taken_over += after > onset
    assert taken_over > 10
    assert worst < 0.1, f"{worst:.4f} m"


def test_pedals__with_manual_braking_are_refused_in_words() -> None:
    with pytest.raises(ScenarioError, match="pedals_after counts with braking"):
        read_take_off_case(DEMO, ("take_off.braking=manual", "take_off.pedals_after=1 s"))


def test_automatic_mode__needs_the_system_and_its_anti_skid() -> None:
    choice = StopChoice(INSTANT, braking="automatic", unexpected_delay=3.0)
    case = _case(DEMO)
    assert _run(case).automatic_braking(choice)
    assert not _run(case, automatic_brakes_operative=False).automatic_braking(choice)
    assert not _run(case, anti_skid_operative=False).automatic_braking(choice)


def test_failed_engine__gives_no_reverse() -> None:
    run = _run(_case(DEMO))
    assert run.working_reversers(failed=False) == 2
    assert run.working_reversers(failed=True) == 1


# ------------------------------------------------------------------------------------------ never the wrong way


def _base(**changes: Any) -> TakeOffRun:
    return _run(_case(DEMO), **changes)


CHOICE = StopChoice(RejectActions(), reverse="none")


def _stop_length(run: TakeOffRun, speed: float, *, failed: bool = False, late: float = 0.0) -> float:
    end = run.stop(run.at_first_action(speed, failed=failed, late=late), CHOICE)
    assert end is not None
    return end.rolled


@given(st.floats(30.0, 65.0), st.floats(0.0, 3.0), st.floats(0.05, 2.0), st.booleans())
def test_stop__later_never_shortens(speed: float, late: float, more: float, failed: bool) -> None:
    run = _base()
    assert _stop_length(run, speed, failed=failed, late=late + more) > _stop_length(
        run, speed, failed=failed, late=late
    )


@given(st.floats(20.0, 70.0), st.floats(30.0, 58.0), st.floats(0.2, 2.0), st.booleans())
def test_stop__heavier_never_shortens(speed: float, tonnes: float, more: float, failed: bool) -> None:
    """At the same decision speed, instant actions, no idle thrust.

    Slow levers and idle thrust push a light aeroplane further: at low speed they can turn this round by centimetres.
    """
    lengths = []
    for mass in (tonnes, tonnes + more):
        run = _run(_case(), mass=1e3 * mass)
        end = run.stop(run.at_first_action(speed, failed=failed), StopChoice(INSTANT))
        assert end is not None
        lengths.append(end.rolled)
    assert lengths[1] > lengths[0]


@given(st.floats(55.0, 70.0), st.floats(60.0, 75.0), st.floats(0.2, 3.0), st.booleans())
def test_stop__heavier_never_shortens_at_operating_masses(
    speed: float, tonnes: float, more: float, failed: bool
) -> None:
    """The demonstration aeroplane as it is."""
    light, heavy = _base(mass=1e3 * tonnes), _base(mass=1e3 * (tonnes + more))
    assert _stop_length(heavy, speed, failed=failed) > _stop_length(light, speed, failed=failed)


@given(st.floats(30.0, 75.0), st.floats(240.0, 315.0), st.floats(0.5, 8.0))
def test_stop__warmer_never_shortens(calibrated: float, temperature: float, more: float) -> None:
    """At the same calibrated decision speed: thinner air, faster over the ground, no more thrust."""

    def length(kelvin: float) -> float:
        run = _base(temperature=kelvin)
        return _stop_length(run, run.conditions.ground_speed(calibrated))

    assert length(temperature + more) >= length(temperature) - 0.01


@given(st.floats(40.0, 70.0), st.floats(-0.015, 0.012), st.floats(0.0005, 0.005))
def test_slope__uphill_lengthens_the_go_and_shortens_the_braked_part(speed: float, slope: float, more: float) -> None:
    """The accelerate-stop distance itself may go either way: uphill the run is longer and the stop shorter."""
    down, up = _base(slope=slope), _base(slope=slope + more)
    assert up.with_all_engines(speed).rolled > down.with_all_engines(speed).rolled
    for run in (down, up):
        assert run.go(run.begin, 10.668) is not None
    assert up.go(up.begin, 10.668).distance > down.go(down.begin, 10.668).distance  # type: ignore[union-attr]
    lengths = []
    for run in (down, up):
        point = run.with_all_engines(speed)
        end = run.stop(replace(point, rolled=0.0), CHOICE)
        assert end is not None
        lengths.append(end.rolled)
    assert lengths[1] < lengths[0]


@given(st.floats(46.0, 70.0), st.floats(0.1, 5.0))
def test_go__later_failure_never_lengthens(speed: float, more: float) -> None:
    run = _base()
    first = run.go(run.after_engine_failure(speed), 10.668)
    second = run.go(run.after_engine_failure(speed + more), 10.668)
    assert first is not None
    assert second is not None
    assert second.distance <= first.distance + 1e-3


@given(st.floats(25.0, 72.0), st.booleans(), st.sampled_from(["none", "idle", "full"]), st.floats(-0.01, 0.01))
def test_work__all_forces_together_take_out_what_thrust_puts_in(
    speed: float, failed: bool, reverse: Any, slope: float
) -> None:
    """From rest to rest the work of all forces is nil, to 1e-6 of the kinetic energy at the first action."""
    run = _base(slope=slope)
    point = run.at_first_action(speed, failed=failed)
    end = run.stop(point, replace(CHOICE, reverse=reverse))
    assert end is not None
    assert abs(end.work.taken) < 1e-6 * 0.5 * run.conditions.mass * point.ground_speed**2


def test_engine_failure__speed_of_the_first_action_is_met() -> None:
    run = _base()
    for speed in (40.0, 55.0, 70.0):
        point = run.after_engine_failure(speed)
        assert point.ground_speed == pytest.approx(speed, abs=1e-6)
        assert point.failure_speed is not None
        assert point.failure_speed < speed


def test_rolling_start__needs_more_than_a_standing_one_with_slow_engines() -> None:
    standing = _base()
    rolling = _base(rolling_start=True, start_speed=0.0)
    assert rolling.with_all_engines(60.0).rolled > standing.with_all_engines(60.0).rolled
    fast = _base(rolling_start=True, start_speed=20.0)
    assert fast.with_all_engines(60.0).rolled < rolling.with_all_engines(60.0).rolled


def test_standing_thrust__that_does_not_move_the_aeroplane_is_said() -> None:
    run = _base(slope=0.05, rating_share=0.12)
    with pytest.raises(ScenarioError, match=r"does not reach 60\.0 m/s on this runway with this thrust"):
        run.with_all_engines(60.0)


# -------------------------------------------------------------------------------------- independent integration


def _random_take_offs(count: int, seed: int) -> list[tuple[TakeOffRun, Reference, float, bool]]:
    random = np.random.default_rng(seed)
    folder = ROOT / "examples" / "aircraft"
    fleet = [read_aircraft(folder / f"demo-{name}.toml") for name in ("narrowbody", "widebody", "regional")]
    found = []
    for _ in range(count):
        aircraft = fleet[random.integers(len(fleet))]
        data = aircraft.take_off
        assert data is not None
        times = random.uniform(0.0, 2.0, 6)
        actions = _actions(
            brakes=times[0],
            brakes_ramp=times[1],
            thrust=times[2],
            thrust_ramp=times[3],
            spoilers=times[4],
            spoilers_ramp=times[5],
            reverse=2.0 + times[2],
        )
        reject = data.reject.model_copy(
            update={"recognition": float(random.choice([0.0, 1.0, random.uniform(0.2, 2.5)])), "demonstrated": actions}
        )
        failure = data.engine_failure.model_copy(update={"decay_time": random.uniform(0.0, 3.0)})
        data = data.model_copy(update={"reject": reject, "engine_failure": failure})
        aircraft = aircraft.model_copy(update={"take_off": data})
        flap = list(data.flaps.values())[random.integers(len(data.flaps))]
        codes = tuple(int(one) for one in random.choice([6, 5, 4, 3], 3))
        if random.random() < 0.6:
            codes = (codes[0],) * 3
        slush = [0.0, 0.0, 0.0]
        if random.random() < 0.25:
            codes, slush = (2, 2, 2), list(random.uniform(0.0, 0.015, 3))
        day = Day(
            slush=tuple(slush),  # type: ignore[arg-type]
            mass=random.uniform(aircraft.mass.minimum, aircraft.mass.maximum_take_off),
            flap=flap,
            rating_share=random.uniform(0.85, 1.0),
            pressure=random.uniform(80_000.0, 104_000.0),
            temperature=random.uniform(245.0, 318.0),
            headwind=random.uniform(-5.0, 12.0),
            slope=random.uniform(-0.015, 0.015),
            codes=codes,  # type: ignore[arg-type]
            runway_length=random.uniform(1_500.0, 3_600.0),
            start=random.uniform(0.0, 60.0),
        )
        first, second, third = (
            SurfaceThird(code, "SLUSH" if depth > 0.0 else None, depth, None)
            for code, depth in zip(day.codes, day.slush, strict=True)
        )
        conditions = TakeOffConditions(
            mass=day.mass,
            flap=flap,
            rotation_speed=80.0,
            safety_speed=82.0,
            rating_share=day.rating_share,
            assumed_temperature=None,
            pressure=day.pressure,
            temperature=day.temperature,
            headwind=day.headwind,
            slope=day.slope,
            runway_length=day.runway_length,
            surface="smooth",
            thirds=(first, second, third),
            take_off_run_available=4e3,
            take_off_distance_available=4e3,
            accelerate_stop_available=4e3,
            line_up_allowance=day.start,
        )
        speed = random.uniform(20.0, 72.0)
        run = TakeOffRun(aircraft, data, conditions)
        found.append((run, Reference(aircraft, day), speed, bool(random.random() < 0.6)))
    return found


def test_accelerate_stop__500_random_take_offs_within_a_decimetre_of_scipy() -> None:
    """Stop distance against `tests.reference_reject`: equations written out again, DOP853 at 1e-9."""
    worst = 0.0
    for run, reference, speed, failed in _random_take_offs(500, 20260217):
        first_action, distance = reference.accelerate_stop(speed, failed=failed)
        point = run.at_first_action(first_action, failed=failed)
        end = run.stop(point, StopChoice(run.data.reject.demonstrated))
        assert end is not None
        worst = max(worst, abs(end.rolled - distance))
    assert worst < 0.1, f"{worst:.4f} m"


# ------------------------------------------------------------------------------------------------- the whole plan


def test_plan__window_of_the_demo_departure_is_open_and_holds_the_decision_speed() -> None:
    plan = _plan(DEMO)
    window = plan.window
    assert plan.fits
    assert not window.empty
    assert window.low is not None
    assert window.high is not None
    assert window.low <= plan.decision_speed <= window.high <= window.rotation
    assert plan.stop.distance <= plan.rule_run.stop_available
    assert plan.go.distance <= plan.rule_run.go_available


def test_plan__at_both_ends_of_the_window_the_distance_is_what_there_is() -> None:
    plan = _plan(DEMO)
    distances = RuleDistances(plan.rule_run, "full")
    assert plan.window.stop_up_to is not None
    assert plan.window.go_from is not None
    assert distances.stop(plan.window.stop_up_to).distance == pytest.approx(plan.rule_run.stop_available, abs=0.01)
    go = distances.go(plan.window.go_from)
    spare = min(plan.rule_run.go_available - go.distance, plan.rule_run.run_available - go.run)
    assert spare == pytest.approx(0.0, abs=0.01)


def test_plan__empty_window_names_what_opens_it_and_each_does() -> None:
    path = ROOT / "examples" / "departure-nothing-works" / "case.toml"
    plan = _plan(path)
    assert plan.window.empty
    assert not plan.fits
    assert plan.reasons[0].startswith("NO decision speed works")
    words = " ".join(plan.openers)
    assert "t or less" in words
    assert "more runway" in words
    mass = plan.openers[0].split()[2]
    assert not _plan(path, f"take_off.mass={mass} t").window.empty


def test_plan__stop_beyond_the_runway_tells_the_speed_over_its_end() -> None:
    short = _plan(DEMO, "runway.take_off_run_available=1 900 m", "take_off.decision_speed=140 kt")
    planned = short.cases[0]
    assert not planned.fits
    assert planned.runway_end_speed is not None
    assert planned.runway_end_speed > 10.0
    # What the brakes and drag take out beyond the end agrees with the deceleration: v^2 = 2 a s, a below 5 m/s2.
    assert planned.margin is not None
    assert planned.runway_end_speed**2 / (2.0 * -planned.margin) < 5.0


def test_plan__cases_cover_what_can_go_wrong() -> None:
    keys = {one.key for one in _plan(DEMO).cases}
    assert keys >= {
        "planned", "late-1-s", "late-2-s", "late-3-s", "half-pedal", "no-spoilers", "no-reverse", "not-armed",
        "one-brake-out", "code-6", "code-4", "code-3", "code-2", "code-1", "above-5-kt", "above-10-kt", "above-20-kt",
        "below-arming", "pedals-first", "half-pedal-takes-over",
    }  # fmt: skip


def test_plan__every_weak_action_costs() -> None:
    """A second of delay at V1 costs more than a second at V1 in distance."""
    plan = _plan(DEMO)
    by_key = {one.key: one for one in plan.cases}
    weak = ("late-1-s", "late-2-s", "late-3-s", "half-pedal", "no-spoilers", "no-reverse", "not-armed")
    for key in (*weak, "half-pedal-takes-over"):
        assert by_key[key].added is not None
        assert by_key[key].added > 0.0, key  # type: ignore[operator]
    assert by_key["pedals-first"].added < 0.0  # type: ignore[operator]
    ground_speed = plan.flown_run.conditions.ground_speed(plan.decision_speed)
    assert by_key["late-1-s"].added > ground_speed  # type: ignore[operator]


def test_plan__hot_brakes_lower_the_energy_limit() -> None:
    cold = _plan(CLOSED).window.brake_energy_limit
    hot = _plan(CLOSED, "take_off.initial_brake_temperature=250 degC").window.brake_energy_limit
    assert cold is not None
    assert hot is not None
    assert hot < cold


def test_plan__assumed_temperature_beyond_a_quarter_is_refused() -> None:
    with pytest.raises(ScenarioError, match=r"reduces thrust by 41 %; at most 25 % is allowed"):
        _plan(DEMO, "take_off.assumed_temperature=80 degC")


def test_plan__derate_and_assumed_temperature_reduce_thrust() -> None:
    full = _plan(DEMO).rule_run.thrust_share
    assert _plan(DEMO, "take_off.rating=reduced").rule_run.thrust_share == pytest.approx(0.9 * full, rel=1e-12)
    assert _plan(DEMO, "take_off.assumed_temperature=45 degC").rule_run.thrust_share < full


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ("weather.temperature=55 degC", r"temperature 55 degC is outside -40 degC to 50 degC"),
        ("weather.qnh=850 hPa", None),
        ("condition.codes=[0, 5, 5]", "code 0: no take-off is planned"),
    ],
)
def test_plan__refuses_what_lies_outside_the_data(change: str, message: str | None) -> None:
    if message is None:
        assert _plan(DEMO, change) is not None  # low pressure alone is within 9 200 ft
        return
    with pytest.raises(ScenarioError, match=message):
        _plan(DEMO, change)


def test_root__finds_a_change_of_sign_and_refuses_none() -> None:
    assert root(lambda x: x**3 - 2.0, 0.0, 2.0) == pytest.approx(2.0 ** (1.0 / 3.0), abs=1e-5)
    assert root(lambda x: math.inf if x < 1.0 else 1.5 - x, 0.0, 3.0) == pytest.approx(1.5, abs=1e-5)
    with pytest.raises(ValueError, match="no change of sign"):
        root(lambda x: 1.0, 0.0, 1.0)


def test_window__a_longer_runway_never_narrows_it() -> None:
    short = window_of(RuleDistances(_run(_case(DEMO)), "full"), None)
    long = window_of(
        RuleDistances(
            _run(
                _case(DEMO),
                accelerate_stop_available=2_900.0,
                take_off_distance_available=3_000.0,
                take_off_run_available=2_900.0,
            ),
            "full",
        ),
        None,
    )
    assert short.low is not None
    assert long.low is not None
    assert long.low <= short.low
    assert (long.high or 0.0) >= (short.high or 0.0)
