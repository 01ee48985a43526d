"""What would break the plan: by hand for the plain aeroplane, and asked again of the landing plan itself."""

from __future__ import annotations

import math
from typing import Any

import pytest

from groundroll.constants import KNOT
from groundroll.planning.break_points import Alone, BreakPoints, break_points
from groundroll.planning.landing import LandingPlan, plan_landing
from groundroll.planning.landing_roll import MANUAL
from groundroll.scenario.resolved import Case, SurfaceThird
from tests.planning.cases import (
    DRY,
    ICE,
    MEDIUM,
    NAMES,
    SLUSH,
    SNOW,
    WET,
    aircraft,
    example,
    option,
    standard_case,
)
from tests.planning.decisions import decided, plain_case

STILL = {"wind_factors": "none"}


def _plain(**changes: Any) -> tuple[LandingPlan, BreakPoints]:
    """Return plan and break points of setting gentle, 1.2 m/s2, on code 4, where only factored distances count."""
    plan = plan_landing(plain_case(**({"thirds": (SNOW, SNOW, SNOW), "weather": STILL} | changes)))
    return plan, break_points(plan, option(plan, "gentle"))


def _alone(found: BreakPoints, word: str) -> Alone:
    return next(one for one in found.alone if word in one.name)


# -------------------------------------------------------------------------------------------------- worked by hand


def test_latest_touchdowns__by_hand() -> None:
    """67.2^2 / 2.4 = 1881.6 m of braking. With 15 % within 3000 m: 3000/1.15 - 1881.6 = 727.096 m, without 1118.4 m."""
    _, found = _plain()
    planned = [one for one in found.latest_touchdowns if one.means == "planned means"]
    assert [(one.with_margin, one.touchdown.holds) for one in planned] == [
        (True, "up to value"),
        (False, "up to value"),
    ]
    assert [one.touchdown.value for one in planned] == [
        pytest.approx(727.096, abs=0.1),
        pytest.approx(1_118.4, abs=0.1),
    ]


def test_latest_touchdowns__full_pedal_by_hand() -> None:
    """Dry, torque rules at 3 m/s2: 752.64 m of braking; 3000/1.15 - 752.64 = 1856.056 m and 2247.36 m; no reverser."""
    _, found = _plain(thirds=(DRY, DRY, DRY))
    pedal = [one for one in found.latest_touchdowns if one.means == "full pedal, no reverse"]
    assert [one.touchdown.value for one in pedal] == [
        pytest.approx(1_856.056, abs=0.1),
        pytest.approx(2_247.36, abs=0.1),
    ]


def test_latest_touchdowns__a_setting_with_its_own_margin_is_asked_for_its_own() -> None:
    """Dry, where manual braking could carry it: 3000/1.15 - 1881.6 = 727.096 m all the same."""
    _, found = _plain(thirds=(DRY, DRY, DRY))
    assert found.latest_touchdowns[0].touchdown.value == pytest.approx(727.096, abs=0.1)


def test_latest_touchdowns__the_margin_is_carried_by_manual_where_the_plan_rests_on_that() -> None:
    """Dry, 2650 m: gentle needs 2716 m with 15 %; it stops within the runway up to 2650 - 1881.6 = 768.4 m.

    Full pedal has the margin up to 2650/1.15 - 752.64 = 1551.7 m, so that 768.4 m hold with the margin and without.
    """
    plan, found = _plain(thirds=(DRY, DRY, DRY), available=2_650.0)
    assert option(plan, "gentle").margin_carried_by_manual
    assert [one.touchdown.value for one in found.latest_touchdowns[:2]] == [pytest.approx(768.4, abs=0.1)] * 2


def test_alone__by_hand() -> None:
    """1.15 (6.86 V + 0.384 V^2) = 3000 with V the ground speed over the threshold: V = 73.973 m/s, 3.973 more than 70.

    6.86 V is 7 s at 0.98 V, 0.384 V^2 is (0.96 V)^2 / 2.4. Mass goes with the square of speed:
    60 t (73.973/70)^2 = 67.004 t.
    """
    _, found = _plain()
    assert _alone(found, "tailwind").limit.value == pytest.approx(3.973, abs=0.02)
    assert _alone(found, "speed").limit.value == pytest.approx(3.973, abs=0.02)
    assert _alone(found, "mass").limit.value == pytest.approx(67_004.0, abs=30.0)
    assert _alone(found, "mass").planned == 60_000.0
    assert _alone(found, "tailwind").planned == 0.0


def test_alone__a_tailwind_is_the_reported_one_before_its_factor() -> None:
    """14 CFR 25.105(d): a tailwind counts by half again, so that 3.973 / 1.5 = 2.649 m/s may be reported."""
    _, found = _plain(weather={"wind_factors": "regulatory"})
    assert _alone(found, "tailwind").limit.value == pytest.approx(2.649, abs=0.02)


def test_alone__a_further_tailwind_of_the_case_counts_as_wind() -> None:
    """2 m/s more from behind on a calm day are a tailwind of 2 m/s; the limit is that of the calm day."""
    _, found = _plain(failures={"additional_tailwind": 2.0})
    tailwind = _alone(found, "tailwind")
    assert tailwind.planned == pytest.approx(2.0)
    assert tailwind.limit.value == pytest.approx(3.973, abs=0.02)


def test_alone__needs_a_headwind_where_the_plan_has_one() -> None:
    """5 m/s ahead, 2790 m: 0.384 V^2 + 6.86 V = 2790 / 1.15 gives V = 71.0535 m/s over the ground.

    With 74 m/s of airspeed 2.9465 m/s from ahead are needed.
    """
    weather = STILL | {"wind_direction": 0.0, "wind_speed": 5.0}
    _, found = _plain(weather=weather, available=2_790.0, landing={"approach_speed": 74.0})
    tailwind = _alone(found, "tailwind")
    assert tailwind.planned == pytest.approx(-5.0)
    assert tailwind.limit.value == pytest.approx(-2.9465, abs=0.02)


def test_costs__by_hand() -> None:
    """Touchdown 300 m later costs 300 m; 10 kt fast 6.86 * 5.1444 + 0.384 (75.1444^2 - 70^2) = 322.02 m.

    10 kt of tailwind cost the same on a calm day. Both changes of touchdown and speed add up: 0.384 * 746.68 + 300 =
    586.73 m. Setting gentle holds its target without spoilers and with a brake less: nothing.
    """
    _, found = _plain()
    costs = {one.name: one for one in found.costs}
    assert costs["touchdown 300 m later"].costs == pytest.approx(300.0, abs=0.05)
    assert costs["10 kt fast at the threshold"].costs == pytest.approx(322.02, abs=0.1)
    assert costs["10 kt more tailwind"].costs == pytest.approx(322.02, abs=0.1)
    assert costs["10 kt fast with touchdown 300 m later"].costs == pytest.approx(586.73, abs=0.1)
    assert costs["spoilers lost"].costs == pytest.approx(0.0, abs=0.01)
    assert costs["one brake lost"].costs == pytest.approx(0.0, abs=0.01)
    assert not {"one reverser lost", "all reverse lost"} & set(costs)
    # 2361.8 m planned; with 15 % 2608.7 m are the most that fit, 3000 m the most that stop.
    late = costs["touchdown 300 m later"]
    assert (late.fits, late.stops_within) == (False, True)
    assert late.stop_distance == pytest.approx(2_661.8, abs=0.1)


def test_costs__ranked_and_no_stop_comes_first() -> None:
    """On code 1 downhill the aeroplane may not stop at all with one code worse left out: code 0 is no plan."""
    for name in NAMES:
        found = decided(example(name)).break_points
        if found is None:
            continue
        ranks = [math.inf if one.costs is None else one.costs for one in found.costs]
        assert ranks == sorted(ranks, reverse=True)
    plan = plan_landing(plain_case(thirds=(ICE, ICE, ICE)))
    names = {one.name for one in break_points(plan, option(plan, MANUAL)).costs}
    assert not any(name.startswith("one code worse") for name in names)
    assert "automatic brakes lost, pedals instead" not in names


def test_costs__a_change_after_which_it_never_stops_stands_first() -> None:
    """7 % downhill pull with 0.685 m/s2; hydroplaning on code 2 (0.05, from memory) holds with less than 0.5 m/s2."""
    case = plain_case(thirds=(MEDIUM, MEDIUM, MEDIUM), length=6_500.0, direction={"slope": -0.07})
    plan = plan_landing(case)
    costs = break_points(plan, option(plan, MANUAL)).costs
    none = [one for one in costs if one.stop_distance is None]
    assert 0 < len(none) < len(costs)
    assert list(costs[: len(none)]) == none
    assert all((one.costs, one.fits, one.stops_within) == (None, False, False) for one in none)
    assert any(one.name == "one code worse" for one in none)


def test_losses__each_means_that_is_there_in_turn() -> None:
    plan = plan_landing(standard_case())
    names = [one.name for one in break_points(plan, option(plan, "firm", "full")).costs]
    for loss in (
        "one reverser lost",
        "all reverse lost",
        "spoilers lost",
        "automatic brakes lost, pedals instead",
        "one brake lost",
    ):
        assert names.count(loss) == 1
    none = plan_landing(standard_case(failures={"spoilers_share": 0.0, "reversers_inoperative": 1}))
    left = [one.name for one in break_points(none, option(none, "firm", "full")).costs]
    assert "spoilers lost" not in left
    assert "one reverser lost" not in left
    assert "all reverse lost" in left


def test_losses__are_the_distances_of_a_plan_with_that_failure() -> None:
    """The same question put to the landing plan, through the failures of the case."""
    for brake, failures, name in (
        ("firm", {"reversers_inoperative": 1}, "one reverser lost"),
        ("firm", {"spoilers_share": 0.0}, "spoilers lost"),
        ("firm", {"brakes_released": 1}, "one brake lost"),
    ):
        plan = plan_landing(standard_case())
        found = break_points(plan, option(plan, brake, "full"))
        cost = next(one for one in found.costs if one.name == name)
        failed = option(plan_landing(standard_case(failures=failures)), brake, "full")
        assert cost.stop_distance == pytest.approx(failed.stop_distance, abs=0.01)
        assert cost.fits is failed.fits
    plan = plan_landing(standard_case())
    found = break_points(plan, option(plan, "firm", "full"))
    cost = next(one for one in found.costs if one.name == "all reverse lost")
    assert cost.stop_distance == pytest.approx(option(plan, "firm", "none").stop_distance, abs=0.01)
    cost = next(one for one in found.costs if one.name == "automatic brakes lost, pedals instead")
    assert cost.stop_distance == pytest.approx(option(plan, MANUAL, "full").stop_distance, abs=0.01)


# ------------------------------------------------------------------------------ asked again of the landing plan itself


def _fits(case: Case, brake: str, reverse: str, carried: bool) -> bool:
    """Return whether the option fits by the rule of the plan: its margin ``carried`` by manual braking, or its own."""
    one = option(plan_landing(case), brake, reverse)
    return one.fits and (carried or not one.margin_carried_by_manual)


CASES = [
    ("gentle", "full", WET, 2_650.0),
    ("steady", "none", WET, 2_300.0),
    ("firm", "idle", SNOW, 2_350.0),
    (MANUAL, "full", MEDIUM, 1_900.0),
    ("gentle", "full", DRY, 2_600.0),
]


@pytest.mark.parametrize(("brake", "reverse", "third", "available"), CASES)
def test_limits__at_the_limit_it_still_fits_and_beyond_it_does_not(
    brake: str, reverse: str, third: SurfaceThird, available: float
) -> None:
    """Touchdown point, tailwind, threshold speed and mass, each planned anew at the limit and a little beyond it."""

    def case(**changes: Any) -> Case:
        return standard_case(thirds=(third, third, third), available=available, **changes)

    plan = plan_landing(case())
    one = option(plan, brake, reverse)
    assert one.fits
    carried = one.margin_carried_by_manual
    found = break_points(plan, one)
    latest = found.latest_touchdowns[0].touchdown.value
    assert latest is not None
    assert _fits(case(landing={"touchdown_distance": latest - 0.01}), brake, reverse, carried)
    assert not _fits(case(landing={"touchdown_distance": latest + 1.0}), brake, reverse, carried)
    tail = _alone(found, "tailwind").limit.value
    assert tail is not None
    for wind, fits in ((tail, True), (tail + 0.1, False)):
        weather = {"wind_direction": math.pi, "wind_speed": wind}
        assert _fits(case(weather=weather), brake, reverse, carried) is fits
    more = _alone(found, "speed").limit.value
    assert more is not None
    for speed, fits in ((more, True), (more + 0.1, False)):
        assert _fits(case(landing={"approach_speed": 70.0 + speed}), brake, reverse, carried) is fits
    mass = _alone(found, "mass").limit
    for value, fits in ((mass.value or mass.upper, True), ((mass.value or math.inf) + 100.0, False)):
        if math.isfinite(value):
            landing = {"mass": value, "approach_speed": 70.0 * math.sqrt(value / 60_000.0)}
            assert _fits(case(landing=landing), brake, reverse, carried) is fits


@pytest.mark.parametrize(
    ("brake", "reverse", "third", "available"),
    [*CASES, (MANUAL, "full", SLUSH, 2_000.0), ("firm", "none", SLUSH, 2_450.0)],
)
def test_worst_code__it_fits_there_and_on_every_better_one_but_not_below(
    brake: str, reverse: str, third: SurfaceThird, available: float
) -> None:
    plan = plan_landing(standard_case(thirds=(third, third, third), available=available))
    one = option(plan, brake, reverse)
    found = break_points(plan, one).worst_code
    assert found is not None
    for code in range(6, 0, -1):
        bare = SurfaceThird(code, None, None, None)
        case = standard_case(thirds=(bare, bare, bare), available=available)
        fits = _fits(case, brake, reverse, one.margin_carried_by_manual)
        if code >= found:
            assert fits
        if code == found - 1:
            assert not fits


def test_worst_code__dry_only() -> None:
    """1.15 times the stop with full pedal and full reverse: about 1330 m dry, 1470 m wet; 1400 m are available."""
    plan = plan_landing(standard_case(available=1_400.0, thirds=(DRY, DRY, DRY)))
    assert break_points(plan, option(plan, MANUAL, "full")).worst_code == 6


def test_worst_code__manual_braking_carries_no_margin_below_code_5() -> None:
    """GM2 CAT.OP.MPA.303: on codes 6 and 5 only. The stop itself would still lie within the runway on code 4."""
    plan = plan_landing(standard_case(available=2_200.0))
    one = option(plan, "gentle", "full")
    assert one.margin_carried_by_manual
    found = break_points(plan, one)
    assert found.worst_code == 5
    snow = option(plan_landing(standard_case(available=2_200.0, thirds=(SNOW, SNOW, SNOW))), "gentle", "full")
    assert snow.reserve is not None
    assert snow.reserve > 0.0
    worse = next(cost for cost in found.costs if cost.name == "one code worse")
    assert (worse.fits, worse.stops_within) == (False, True)


def test_limits__none_of_these_and_any() -> None:
    """On a very long runway any input in the range fits; what does not fit as planned has no code, or none at all."""
    plan = plan_landing(standard_case(length=6_500.0, thirds=(DRY, DRY, DRY)))
    wide = break_points(plan, option(plan, "strong", "full"))
    assert wide.worst_code == 1
    assert {one.limit.holds for one in wide.alone} == {"any in the range"}
    assert all(one.limit.value is None for one in wide.alone)
    assert {one.touchdown.holds for one in wide.latest_touchdowns} == {"any in the range"}
    short = plan_landing(standard_case(available=500.0))
    narrow = break_points(short, option(short, "gentle"))
    assert narrow.worst_code is None
    assert {one.limit.holds for one in narrow.alone if "speed" in one.name} == {"none of these"}
    assert {one.touchdown.holds for one in narrow.latest_touchdowns} == {"none of these"}


def test_limits__stay_within_the_range_of_the_physics() -> None:
    """So fast that 40 kt more, or 30 kt of tailwind, would leave the thrust tables: searched up to there."""
    plan = plan_landing(standard_case(length=6_500.0, thirds=(DRY, DRY, DRY), landing={"approach_speed": 95.0}))
    found = break_points(plan, option(plan, "strong", "full"))
    last = plan.case.aircraft.engines.thrust.airspeed[-1]
    for word in ("speed above", "tailwind"):
        limit = _alone(found, word).limit
        assert limit.holds == "any in the range"
        assert 0.0 < limit.upper < 30.0 * KNOT
    assert (95.0 + _alone(found, "speed above").limit.upper) * 0.96 == pytest.approx(last, abs=0.05)


def test_limits__those_of_the_aircraft_file_stand_beside() -> None:
    plan = plan_landing(standard_case())
    found = break_points(plan, option(plan, "firm"))
    plane = aircraft("demo-narrowbody")
    assert _alone(found, "tailwind").file_limit == plane.limits.maximum_tailwind
    assert _alone(found, "mass").file_limit == plane.mass.maximum_landing
    assert _alone(found, "speed above").file_limit is None


def test_latest_touchdown__full_means_use_full_pedal_even_where_the_plan_does_not() -> None:
    """A plan with half pedal: full pedal comes later to the same end."""
    half = plan_landing(standard_case(thirds=(DRY, DRY, DRY), landing={"pedal": 0.5}))
    full = plan_landing(standard_case(thirds=(DRY, DRY, DRY)))
    found_half = break_points(half, option(half, MANUAL, "full")).latest_touchdowns
    found_full = break_points(full, option(full, MANUAL, "full")).latest_touchdowns
    assert found_half[2].touchdown == found_full[2].touchdown
    assert (found_half[0].touchdown.value or 0.0) < (found_full[0].touchdown.value or 0.0) - 50.0


def test_one_code_worse__every_third_and_no_depth() -> None:
    """2/5/3 becomes 1/4/2 without contaminant drag: the distance is that of a plan on those codes."""
    plan = plan_landing(standard_case(length=2_700.0, thirds=(SLUSH, WET, MEDIUM)))
    found = break_points(plan, option(plan, "firm", "full"))
    worse = tuple(SurfaceThird(code, None, None, None) for code in (1, 4, 2))
    anew = option(plan_landing(standard_case(length=2_700.0, thirds=worse)), "firm", "full")  # type: ignore[arg-type]
    cost = next(one for one in found.costs if one.name == "one code worse")
    assert cost.stop_distance == pytest.approx(anew.stop_distance, abs=0.01)
