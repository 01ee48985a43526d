"""What the landing plan offers, recommends and refuses, and laws that it must keep on any day."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.planning.landing import LandingPlan, plan_landing
from groundroll.planning.landing_roll import MANUAL
from groundroll.scenario.resolved import SurfaceThird
from tests.planning.cases import (
    DRY,
    ICE,
    MEDIUM,
    NAMES,
    NIL,
    SLUSH,
    SNOW,
    WET,
    aircraft,
    changed,
    example,
    instant_brakes,
    option,
    standard_case,
)

SETTINGS = ("gentle", "steady", "firm", "strong")
REVERSES = ("none", "idle", "full")
SLACK = 0.01
"""What the integration's own error may turn round. [m]"""


def _choices(plan: LandingPlan) -> list[tuple[str, str]]:
    return [(one.brake, one.reverse) for one in plan.options]


# ---------------------------------------------------------------------------------------------------------- options


@pytest.mark.parametrize("name", NAMES)
def test_examples__each_offers_every_brake_setting_and_manual_with_every_reverse(name: str) -> None:
    """Settings in the order of the aircraft file, manual last, each with none, idle and full."""
    case = example(name)
    automatic = case.aircraft.automatic_brakes
    brakes = [*(automatic.settings if automatic else ()), MANUAL]
    assert _choices(plan_landing(case)) == [(brake, reverse) for brake in brakes for reverse in REVERSES]


@pytest.mark.parametrize(
    ("name", "fits"),
    [
        ("wet-gusty-arrival", True),
        ("dry-short", True),
        ("contaminated-arrival", True),
        ("failures-and-dispatch", True),
        ("nothing-fits", False),
    ],
)
def test_examples__fit_as_their_files_say(name: str, fits: bool) -> None:
    """The comment at the head of each case."""
    plan = plan_landing(example(name))
    assert plan.fits is fits
    assert plan.reasons
    for one in plan.options:
        assert abs(one.energy_residual) < 1e-6
        assert one.stopped


@pytest.mark.parametrize(
    ("failures", "choices"),
    [
        ({"automatic_brakes_inoperative": True}, [(MANUAL, reverse) for reverse in REVERSES]),
        ({"anti_skid_inoperative": True}, [(MANUAL, reverse) for reverse in REVERSES]),
        ({"reversers_inoperative": 2}, [(brake, "none") for brake in (*SETTINGS, MANUAL)]),
        ({"reversers_inoperative": 1}, [(brake, reverse) for brake in (*SETTINGS, MANUAL) for reverse in REVERSES]),
    ],
)
def test_options__are_those_that_the_aeroplane_has_today(
    failures: dict[str, Any], choices: list[tuple[str, str]]
) -> None:
    """Automatic brakes need the anti-skid system; without a reverser there is no choice of reverse."""
    plan = plan_landing(standard_case(failures=failures))
    assert _choices(plan) == choices
    told = " ".join(plan.reasons)
    assert ("Manual braking only" in told) is (choices[0][0] == MANUAL)
    assert ("No reverse: the aeroplane has no working reverser." in told) is (len(choices) == 5)


def test_options__an_aeroplane_without_reverse_or_automatic_brakes() -> None:
    """Both sections are left out of the aircraft file."""
    plane = changed(aircraft("demo-regional"), reverse=None)
    case = standard_case(plane=plane, landing={"mass": 19_000.0})
    assert _choices(plan_landing(case)) == [(MANUAL, "none")]


# --------------------------------------------------------------------------------------------------------- failures


@pytest.mark.parametrize("third", [DRY, WET, MEDIUM, SLUSH], ids=lambda one: one.descriptor)
@pytest.mark.parametrize(
    "failures",
    [
        {"reversers_inoperative": 1},
        {"reversers_inoperative": 2},
        {"brakes_released": 1},
        {"brakes_released": 3},
        {"anti_skid_inoperative": True},
        {"spoilers_share": 0.5},
        {"spoilers_share": 0.0},
        {"automatic_brakes_inoperative": True},
        {"threshold_speed_excess": 7.7},
        {"additional_tailwind": 3.0},
    ],
    ids=str,
)
def test_failures__each_lengthens_the_stop_or_leaves_it(failures: dict[str, Any], third: SurfaceThird) -> None:
    """A property: whatever does not work never helps. Manual braking without reverse has no target to hide behind."""
    length = {"length": 6_000.0, "thirds": (third, third, third)}
    whole = plan_landing(standard_case(**length))  # type: ignore[arg-type]
    worse = plan_landing(standard_case(**length, failures=failures))  # type: ignore[arg-type]
    for one in worse.options:
        before = option(whole, one.brake, one.reverse)
        assert one.stop_distance is not None
        assert before.stop_distance is not None
        assert one.stop_distance >= before.stop_distance - SLACK, (one.brake, one.reverse)
        assert one.stop_time is not None
    harmless = failures.keys() & {"automatic_brakes_inoperative", "reversers_inoperative"}
    # Two of four brakes can still use up less friction than there is only where torque rules: not below code 5.
    plain = option(worse, MANUAL).stop_distance or 0.0
    assert harmless or plain > (option(whole, MANUAL).stop_distance or 0.0) + 5.0


def test_failures__one_reverser_gives_less_than_two_and_more_than_none() -> None:
    """On ice, where reverse matters most."""
    stops = [
        option(plan_landing(standard_case(length=6_000.0, thirds=(ICE, ICE, ICE), failures=failed)), MANUAL, reverse)
        for failed, reverse in (
            ({}, "full"),
            ({"reversers_inoperative": 1}, "full"),
            ({"reversers_inoperative": 2}, "none"),
        )
    ]
    two, one, none = (each.stop_distance or math.inf for each in stops)
    assert two + 100.0 < one < none - 100.0


def test_failures__speed_excess_is_flown_on_top_of_the_approach_speed() -> None:
    """5 m/s more at sea level in still air: 75 m/s over the threshold, 0.98 * 7 * 75 = 514.5 m in the air."""
    plan = plan_landing(standard_case(failures={"threshold_speed_excess": 5.0}))
    assert plan.threshold_ground_speed == pytest.approx(75.0)
    assert plan.air_segment.distance == pytest.approx(514.5)


def test_failures__anti_skid_by_hand() -> None:
    """Efficiency 0.30 instead of 0.80 of 25.109(c)(2) (the use is an assumption of this project): dry 0.36 x 0.375."""
    plan = plan_landing(standard_case(thirds=(DRY, DRY, DRY), length=6_000.0, failures={"anti_skid_inoperative": True}))
    assert plan.source_keys.count("anti-skid-inoperative") == 1
    assert any("Anti-skid inoperative" in one for one in plan.cautions)
    from groundroll.planning.landing_roll import landing_roll

    roll = landing_roll(plan.case.aircraft, plan.conditions, MANUAL, "none")
    assert roll.thirds[0].braking.cap == pytest.approx(0.90 * 0.40 * 0.30 / 0.80)


# --------------------------------------------------------------------------------------------- manual carries margin


def test_margin__may_be_carried_by_manual_braking_on_codes_6_and_5() -> None:
    """GM2 CAT.OP.MPA.303 (confirmed). 1.8 m/s2 stops in 1734.6 m, with 15 % 1994.79 m, of 1800 m; manual fits."""
    case = standard_case(plane=instant_brakes(), thirds=(DRY, DRY, WET), length=1_800.0)
    plan = plan_landing(case)
    one = option(plan, "steady")
    assert option(plan, MANUAL).fits
    assert one.fits
    assert one.margin_carried_by_manual
    assert one.margin == pytest.approx(1_800.0 - 1_994.79, abs=2e-3)
    assert one.reserve == pytest.approx(65.4, abs=1e-3)
    # 1.2 m/s2 does not stop on the runway at all: nothing carries that.
    assert not option(plan, "gentle").fits
    # It is not preferred to a setting that has the margin of its own.
    assert plan.recommended is not None
    assert not plan.options[plan.recommended].margin_carried_by_manual


def test_margin__carried_by_manual_comes_behind_manual_braking_itself() -> None:
    """The only setting holds its target but has no margin of its own: manual braking, which has it, comes first."""
    plane = changed(instant_brakes(), automatic_brakes__settings={"steady": 1.8}, reverse=None)
    plan = plan_landing(standard_case(plane=plane, thirds=(DRY, DRY, DRY), length=1_800.0))
    assert [one.margin_carried_by_manual for one in plan.options] == [True, False]
    assert plan.recommended == 1


@pytest.mark.parametrize("place", [0, 1, 2])
@pytest.mark.parametrize("third", [SNOW, MEDIUM], ids=lambda one: one.descriptor)
def test_margin__is_not_carried_where_one_third_is_worse_than_5(place: int, third: SurfaceThird) -> None:
    """Codes 6 and 5 only. Even one third that the stop never reaches takes the rule away."""
    thirds = [DRY, DRY, DRY]
    thirds[place] = third
    case = standard_case(plane=instant_brakes(), thirds=(thirds[0], thirds[1], thirds[2]), length=1_800.0)
    plan = plan_landing(case)
    assert not any(one.margin_carried_by_manual for one in plan.options)
    assert all(one.fits is ((one.margin or -1.0) >= 0.0) for one in plan.options)


def test_margin__is_carried_only_with_the_same_reverse() -> None:
    """A runway 20 m too short for the margin of manual braking without reverse; a setting that stops at 95 % of it.

    480.2 m in the air and 67.2^2 / 2a: the target a follows from the distance wanted.
    """
    probe = plan_landing(standard_case(plane=instant_brakes(), length=5_000.0))
    length = (option(probe, MANUAL, "none").factored_distance or 0.0) - 20.0
    target = 67.2**2 / (2.0 * (0.95 * length - 480.2))
    plane = changed(instant_brakes(), automatic_brakes__settings={"only": target})
    plan = plan_landing(standard_case(plane=plane, length=length))
    assert [option(plan, MANUAL, reverse).fits for reverse in REVERSES] == [False, True, True]
    without, idle = option(plan, "only", "none"), option(plan, "only", "idle")
    assert (without.reserve or -1.0) > 0.0
    assert (without.fits, without.margin_carried_by_manual) == (False, False)
    assert (idle.fits, idle.margin_carried_by_manual) == (True, True)


@pytest.mark.parametrize(("length", "carried"), [(1_994.0, True), (1_995.0, False)])
def test_margin__of_its_own_begins_where_the_factored_distance_ends(length: float, carried: bool) -> None:
    """1994.79 m: of 1994 m manual braking carries the margin, of 1995 m it is there."""
    one = option(plan_landing(standard_case(plane=instant_brakes(), thirds=(DRY,) * 3, length=length)), "steady")
    assert one.fits
    assert one.margin_carried_by_manual is carried


def test_margin__manual_braking_cannot_carry_itself() -> None:
    """Nothing fits in the example of that name, on code 5 throughout, though manual braking stops on the runway."""
    plan = plan_landing(example("nothing-fits"))
    assert (option(plan, MANUAL, "full").reserve or -1.0) > 0.0
    assert not any(one.fits for one in plan.options)


# ---------------------------------------------------------------------------------------------------- recommendation


def test_recommended__holds_its_target_with_the_least_energy() -> None:
    """Of what fits and holds its target; energy of the brakes decides."""
    plan = plan_landing(standard_case())
    assert plan.recommended is not None
    chosen = plan.options[plan.recommended]
    rivals = [one for one in plan.options if one.fits and one.target_held]
    assert chosen in rivals
    assert chosen.brake_energy_per_wheel == min(one.brake_energy_per_wheel for one in rivals)
    assert f"Of {sum(one.fits for one in plan.options)} choices that fit" in plan.reasons[1]


def test_recommended__an_option_that_misses_its_target_comes_after_one_that_holds_it() -> None:
    """On code 3, 1.2 m/s2 can be held and 5 m/s2 cannot; with full reverse both fit, and so does manual braking."""
    plane = changed(aircraft("demo-narrowbody"), automatic_brakes__settings={"hard": 5.0, "soft": 1.2})
    plan = plan_landing(standard_case(plane=plane, thirds=(MEDIUM, MEDIUM, MEDIUM), length=4_000.0))
    assert plan.recommended is not None
    chosen = plan.options[plan.recommended]
    assert all(one.fits for one in plan.options if one.reverse == "full")
    assert not any(one.target_held for one in plan.options if one.brake == "hard")
    assert (chosen.brake, chosen.target_held) == ("soft", True)


@pytest.mark.parametrize(
    ("weather", "landing", "words"),
    [
        ({"wind_direction": math.pi, "wind_speed": 6.0}, {}, "tailwind 12 kt is above the limit of 10 kt"),
        ({"wind_direction": math.pi / 2.0, "wind_speed": 18.0}, {}, "crosswind 35 kt is above the limit of 33 kt"),
        ({}, {"approach_speed": 102.0}, "touchdown speed 190 kt is above the limit of 190 kt"),
    ],
)
def test_recommended__nothing_where_a_limit_is_exceeded(
    weather: dict[str, Any], landing: dict[str, Any], words: str
) -> None:
    """10, 33 and 190 kt in the aircraft file. The table is there all the same; the reason names value and limit."""
    plan = plan_landing(standard_case(length=6_000.0, weather=weather, landing=landing))
    assert plan.recommended is None
    assert not plan.fits
    assert any(one.fits for one in plan.options)
    assert any(words in reason for reason in plan.reasons)
    assert [one.within for one in plan.limits].count(False) == 1


def test_recommended__exactly_at_a_limit_is_within() -> None:
    """10 kt from behind, limit 10 kt, in m/s as the files give them."""
    knots = 10.0 * 1852.0 / 3600.0
    plane = changed(aircraft("demo-narrowbody"), limits__maximum_tailwind=knots)
    plan = plan_landing(standard_case(plane=plane, length=6_000.0, failures={"additional_tailwind": knots}))
    assert plan.limits[0].within
    assert plan.fits


def test_reasons__where_nothing_fits_say_how_much_is_missing() -> None:
    """The shortest option, what it needs, what is missing, and how it ends without the margin."""
    plan = plan_landing(standard_case(plane=instant_brakes(), length=1_000.0, thirds=(DRY, DRY, DRY)))
    best = min(plan.options, key=lambda one: one.factored_distance or math.inf)
    assert plan.recommended is None
    missing = (best.factored_distance or 0.0) - 1_000.0
    assert f"{missing:.0f} m more than is available" in plan.reasons[0]
    assert "even without the margin it leaves the runway at" in plan.reasons[0]
    assert best.runway_end_speed is not None


def test_code_0__gives_no_options_and_says_why_in_words() -> None:
    """Code 0 has no coefficient in AC 25-32 as known here (from memory): no plan, whichever third it is in."""
    plan = plan_landing(standard_case(thirds=(WET, NIL, NIL)))
    assert plan.options == ()
    assert plan.recommended is None
    assert not plan.fits
    assert "runway condition code 0 in the middle and roll-out third" in plan.reasons[0]
    assert "touchdown" not in plan.reasons[0]


def test_ice_downhill_with_idle_thrust__options_that_never_stop_are_said_to() -> None:
    """5 % downhill pushes with 29 kN, two engines with 60 kN; 0.07 of 588 kN is 41 kN: it cannot stop."""
    plane = changed(aircraft("demo-narrowbody"), engines__thrust__idle=[30_000.0] * 6)
    plan = plan_landing(standard_case(plane=plane, thirds=(ICE, ICE, ICE), direction={"slope": -0.05}))
    one = option(plan, MANUAL)
    assert not one.stopped
    assert "still at" in one.reason
    assert (one.stop_distance, one.factored_distance, one.margin, one.reserve, one.stop_time) == (None,) * 5
    assert not one.fits
    assert not one.target_held
    assert plan.recommended is None


# --------------------------------------------------------------------------------------------------------- cautions


def test_cautions__slush_at_a_speed_at_which_a_wheel_may_not_spin_up() -> None:
    """7.7 sqrt(200.15 psi) = 108.9 kt = 56.0 m/s (NASA TM-85652, second-hand); touchdown at 67.2 m/s is above."""
    fast = plan_landing(standard_case(thirds=(SLUSH, WET, WET), length=4_000.0))
    assert any("above 109 kt, at which a wheel may not spin up in slush" in one for one in fast.cautions)
    slow = plan_landing(standard_case(thirds=(SLUSH, WET, WET), landing={"approach_speed": 58.0}))
    assert not any("spin up" in one for one in slow.cautions)
    beyond = plan_landing(standard_case(thirds=(WET, SLUSH, SLUSH), length=4_000.0))
    assert not any("spin up" in one for one in beyond.cautions)
    assert any("5/2/2" in one for one in beyond.cautions)


def test_cautions__hot_brakes_are_named() -> None:
    """A heat sink of a quarter of the mass passes 650 degC with hard braking, and not with reverse and little."""
    plane = changed(aircraft("demo-narrowbody"), brakes__heat_sink_mass=20.0, brakes__energy_limit=20e6)
    plan = plan_landing(standard_case(plane=plane, thirds=(DRY, DRY, DRY)))
    hot = next(one for one in plan.cautions if "Brakes above 650 degC" in one)
    assert "manual braking with no reverse" in hot
    assert "setting gentle with full reverse" not in hot
    assert any("Energy above 20 MJ a brake" in one for one in plan.cautions)


def test_brake_temperature__begins_at_the_given_one_or_at_that_of_the_air() -> None:
    """The same energy from warmer brakes ends hotter, by less than the difference: carbon holds more when hot."""
    cold = option(plan_landing(standard_case()), MANUAL)
    warm = option(plan_landing(standard_case(landing={"initial_brake_temperature": 488.15})), MANUAL)
    assert cold.brake_energy_per_wheel == warm.brake_energy_per_wheel
    assert cold.peak_brake_temperature is not None
    assert warm.peak_brake_temperature is not None
    assert 50.0 < warm.peak_brake_temperature - cold.peak_brake_temperature < 200.0


@pytest.mark.parametrize("air", [268.15, 303.15])
def test_brake_temperature__begins_at_that_of_the_air_where_none_is_given(air: float) -> None:
    """The same as when the temperature of the air is given."""
    weather = {"temperature": air}
    plain = option(plan_landing(standard_case(weather=weather)), MANUAL)
    given = standard_case(weather=weather, landing={"initial_brake_temperature": air})
    assert plain.peak_brake_temperature == option(plan_landing(given), MANUAL).peak_brake_temperature


# -------------------------------------------------------------------------------------------------------------- laws

THIRDS = st.sampled_from([DRY, WET, SNOW, MEDIUM, SLUSH, ICE])
LENGTHS = st.floats(1_000.0, 4_000.0)


@given(LENGTHS, st.floats(0.0, 0.6), st.floats(0.0, 0.4), THIRDS, THIRDS, THIRDS)
def test_law__more_margin_never_makes_more_options_fit(
    length: float, margin: float, more: float, first: SurfaceThird, second: SurfaceThird, third: SurfaceThird
) -> None:
    """What fits with the greater margin fits with the smaller one."""
    plans = [
        plan_landing(standard_case(length=length, thirds=(first, second, third), landing={"margin": value}))
        for value in (margin, margin + more)
    ]
    little, much = ({choice for choice, one in zip(_choices(p), p.options, strict=True) if one.fits} for p in plans)
    assert much <= little


@given(LENGTHS, st.floats(0.0, 1_000.0), st.sampled_from([DRY, WET, SLUSH]))
def test_law__a_longer_runway_never_makes_fewer_options_fit(length: float, more: float, third: SurfaceThird) -> None:
    """One surface throughout: with three, a longer runway also moves the thirds."""
    plans = [plan_landing(standard_case(length=one, thirds=(third, third, third))) for one in (length, length + more)]
    short, long = ({choice for choice, one in zip(_choices(p), p.options, strict=True) if one.fits} for p in plans)
    assert short <= long


@given(LENGTHS, THIRDS, THIRDS, THIRDS, st.floats(-4.0, 12.0), st.floats(42_000.0, 66_000.0))
def test_law__the_numbers_of_an_option_agree_with_each_other(
    length: float, first: SurfaceThird, second: SurfaceThird, third: SurfaceThird, wind: float, mass: float
) -> None:
    """Sums, factors, shares, and what fits; the recommended option is one that fits."""
    weather = {"wind_direction": 0.0 if wind >= 0.0 else math.pi, "wind_speed": abs(wind)}
    case = standard_case(length=length, thirds=(first, second, third), weather=weather, landing={"mass": mass})
    plan = plan_landing(case)
    for one in plan.options:
        assert one.stop_distance is not None
        assert one.braked_distance is not None
        assert one.factored_distance is not None
        assert one.air_distance + one.transition_distance + one.braked_distance == pytest.approx(one.stop_distance)
        assert one.factored_distance == pytest.approx(1.15 * one.stop_distance)
        assert one.margin == pytest.approx(length - one.factored_distance)
        assert one.fits is (one.margin is not None and one.margin >= 0.0) or one.margin_carried_by_manual
        assert sum(one.limited_by.values()) == pytest.approx(1.0)
        assert one.peak_deceleration >= one.mean_deceleration > 0.0
        assert (one.runway_end_speed is None) is (one.stop_distance < length)
        assert one.target_deceleration is None or one.peak_brake_temperature is None or one.brake != MANUAL
    assert plan.recommended is None or plan.options[plan.recommended].fits
    assert plan.fits is any(one.fits for one in plan.options)


@given(st.sampled_from([DRY, WET, SLUSH]), st.floats(300.0, 800.0), st.floats(1.0, 200.0))
def test_law__a_later_touchdown_moves_the_stop_by_as_much_on_one_surface(
    third: SurfaceThird, touchdown: float, later: float
) -> None:
    """The roll itself does not know where it began while the surface stays the same."""
    stops = [
        option(
            plan_landing(
                standard_case(length=4_000.0, thirds=(third, third, third), landing={"touchdown_distance": one})
            ),
            "firm",
            "full",
        ).stop_distance
        for one in (touchdown, touchdown + later)
    ]
    assert (stops[1] or 0.0) - (stops[0] or 0.0) == pytest.approx(later, abs=SLACK)


def test_history__is_recorded_when_asked_for() -> None:
    """A row a step, from touchdown to the stop."""
    case = standard_case()
    assert plan_landing(case).options[0].history is None
    one = plan_landing(case, history_step=0.5).options[0]
    assert one.history is not None
    assert one.history.distance[0] == pytest.approx(one.air_distance)
    assert one.history.distance[-1] == pytest.approx(one.stop_distance)
    assert max(b - a for a, b in zip(one.history.time[:-1], one.history.time[1:], strict=True)) <= 0.5 + 1e-9


def test_plan__the_braking_table_of_the_user_is_used(tmp_path: Any) -> None:
    """Code 4 raised from 0.20 to 0.30 in the user's own file: a shorter stop."""
    from importlib.resources import files

    text = files("groundroll").joinpath("data", "braking_coefficients.toml").read_text(encoding="utf-8")
    case = standard_case(thirds=(SNOW, SNOW, SNOW))
    assert "0.20" in text
    own = tmp_path / "own.toml"
    own.write_text(text.replace("0.20", "0.30"), encoding="utf-8")
    usual = option(plan_landing(case), MANUAL).stop_distance
    better = option(plan_landing(replace(case, braking_table=own)), MANUAL).stop_distance
    assert usual is not None
    assert better is not None
    assert better < usual - 50.0


# ------------------------------------------------------------------------------------------------------------- sources


def test_sources__what_the_day_and_the_rule_rest_on_is_listed() -> None:
    """Atmosphere, altimeter and airspeed always; manual braking and hydroplaning where they are used."""
    calm = plan_landing(standard_case())
    always = {"icao-doc-7488", "altimeter-setting", "compressible-airspeed"}
    assert always <= set(calm.source_keys)
    assert "wind-geometry" not in calm.source_keys
    windy = plan_landing(standard_case(weather={"wind_direction": 0.0, "wind_speed": 5.0}))
    assert "wind-geometry" in windy.source_keys
    carried = plan_landing(standard_case(plane=instant_brakes(), thirds=(DRY, DRY, WET), length=1_800.0))
    assert any(one.margin_carried_by_manual for one in carried.options)
    assert "gm2-cat-op-mpa-303" in carried.source_keys
    alone = plan_landing(standard_case(length=9_000.0))
    assert not any(one.margin_carried_by_manual for one in alone.options)
    assert "gm2-cat-op-mpa-303" not in alone.source_keys
    deep = SurfaceThird(2, "STANDING WATER", 0.006, 1.0)
    fast = plan_landing(standard_case(thirds=(deep, WET, WET), length=5_000.0, landing={"approach_speed": 75.0}))
    assert any("may not spin up" in one for one in fast.cautions)
    assert "nasa-tm-85652" in fast.source_keys
