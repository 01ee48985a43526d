"""A day of sectors: one chain of heat, least ground times, what breaks first and what mends it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.physics.brake_cooling import BrakeTemperatures, brake_temperatures
from groundroll.planning.brake_outcome import heat_model_of
from groundroll.planning.day_chain import phases_of, setup_of
from groundroll.planning.turnaround import (
    AFTER_HIGH_ENERGY,
    DayResult,
    chain_temperatures,
    plan_day,
)
from groundroll.scenario.day import read_day

DAY = Path(__file__).parents[2] / "examples" / "day" / "day.toml"


def day_with(*changes: str) -> DayResult:
    return plan_day(read_day(DAY, changes))


@pytest.fixture(scope="module")
def result() -> DayResult:
    return plan_day(read_day(DAY))


def test_plan_day__heat_of_the_day_is_conserved(result: DayResult) -> None:
    """All work of landings and taxiing goes into the brakes, and comes out again or stays: to 1e-6."""
    given_heat = sum(stage.energy for stage in result.stages)
    assert sum(len(run.numbers) * run.history.balance.heat_in for run in result.brakes) == pytest.approx(given_heat)
    for run in result.brakes:
        assert abs(run.history.balance.residual) <= 1e-6 * run.history.balance.heat_in


def test_plan_day__stages_fill_the_day(result: DayResult) -> None:
    total = sum(stage.duration for stage in result.stages)
    assert float(result.brakes[0].history.time[-1]) == pytest.approx(total, rel=1e-6)
    names = [stage.name for stage in result.stages if stage.sector == 0]
    assert names == [
        "taxi out",
        "take-off roll",
        "gear down after take-off",
        "gear in the bay",
        "gear down for landing",
        "landing roll",
        "taxi in",
        "parked",
    ]


def test_plan_day__chain_equals_stage_after_stage(result: DayResult) -> None:
    """The whole chain in one run, and each stage by itself from the end of the one before."""
    setup = setup_of(result.day)
    model = heat_model_of(result.day.aircraft)
    state = BrakeTemperatures(303.15, 303.15, 303.15)
    for stage in result.stages:
        state = brake_temperatures(model, state, phases_of(setup, [stage], 0)).end
    end = result.brakes[0].history.end
    assert [state.heat_sink, state.wheel, state.indicated] == pytest.approx(
        [end.heat_sink, end.wheel, end.indicated], abs=0.01
    )


def test_plan_day__demo_breaks_at_the_third_departure_and_the_delay_mends_it(result: DayResult) -> None:
    first, mend = result.breaches[0], result.mend
    assert (first.sector, first.kind) == (2, "take_off_temperature")
    assert mend is not None
    assert mend.delay is not None
    planned = 30.0 * 60.0
    assert day_with(f"sectors.2.ground.time={planned + mend.delay:.1f} s").fits
    short = day_with(f"sectors.2.ground.time={planned + mend.delay - 5.0:.1f} s")
    assert short.breaches[0].sector == 2


def test_plan_day__each_named_change_mends_it(result: DayResult) -> None:
    assert result.mend is not None
    assert result.mend.changes == (
        "landing with setting gentle, full reverse, after plain to coast",
        "brake fans on as soon as parked, after plain to coast",
        "landing with setting firm, full reverse, after plain to coast",
    )
    assert day_with("sectors.2.ground.fans=true").fits
    assert day_with("sectors.2.landing.reverse=full").fits
    assert day_with("sectors.2.landing.brake=gentle", "sectors.2.landing.reverse=full").fits


def test_minimum_ground_time__is_the_least_that_keeps_the_limits(result: DayResult) -> None:
    for number, sector in enumerate(result.sectors[:-1]):
        least = sector.minimum_ground_time
        assert least is not None
        kept = day_with(f"sectors.{number + 1}.ground.time={least:.2f} s")
        assert not [one for one in kept.breaches if one.sector == number + 1]
        if least > 60.0:
            broken = day_with(f"sectors.{number + 1}.ground.time={least - 5.0:.2f} s")
            assert [one for one in broken.breaches if one.sector == number + 1]


def test_changes__each_shortens_and_the_shortest_comes_first(result: DayResult) -> None:
    for sector in result.sectors:
        times = [one.minimum_ground_time for one in sector.changes]
        assert all(one is not None and one < (sector.minimum_ground_time or 0.0) for one in times)
        assert times == sorted(times, key=lambda one: one or 0.0)


@settings(max_examples=8)
@given(air=st.integers(0, 40), colder=st.integers(0, 20), wind=st.integers(0, 20))
def test_minimum_ground_time__colder_air_and_fans_never_lengthen_it(air: int, colder: int, wind: int) -> None:
    """Only the air where the aeroplane parks changes."""

    def least(temperature: int, fans: bool) -> float:
        changes = [
            f"sectors.2.ground.air_temperature={temperature} degC",
            f"sectors.2.ground.wind_speed={wind} kt",
            f"sectors.2.ground.fans={'true' if fans else 'false'}",
        ]
        found = day_with(*changes).sectors[1].minimum_ground_time
        assert found is not None
        return found

    plain = least(air, False)
    assert least(air, True) <= plain + 1.5
    assert least(air - colder, False) <= plain + 1.5


def test_plan_day__reject_energy_breaks_and_waiting_mends_it(result: DayResult) -> None:
    """A limit so low that hot brakes cannot take a rejected take-off; the temperature limit is out of the way."""
    changes = ("aircraft.brake_cooling.take_off_limit=600 degC", "aircraft.brake_cooling.reject_energy_limit=63 MJ")
    found = day_with(*changes)
    first = found.breaches[0]
    assert first.kind == "reject_energy"
    assert first.value > first.limit
    assert found.mend is not None
    assert found.mend.delay is not None
    planned = result.sectors[first.sector - 1].planned_ground_time
    longer = f"sectors.{first.sector}.ground.time={planned + found.mend.delay:.1f} s"
    assert first.sector not in [one.sector for one in day_with(*changes, longer).breaches]


def test_plan_day__reject_energy_beyond_the_limit_of_cold_brakes_cannot_be_mended() -> None:
    found = day_with("aircraft.brake_cooling.reject_energy_limit=20 MJ")
    assert (found.breaches[0].sector, found.breaches[0].kind) == (0, "reject_energy")
    assert found.mend is not None
    assert found.mend.delay is None


def test_plan_day__first_departure_waits_for_hot_brakes() -> None:
    found = day_with("start.brake_temperature=300 degC")
    assert (found.breaches[0].sector, found.breaches[0].kind) == (0, "take_off_temperature")
    assert found.mend is not None
    assert found.mend.delay is not None
    assert found.mend.delay > 600.0


def test_plan_day__reject_energy_is_the_kinetic_energy_shared() -> None:
    """At a pressure altitude of 0 and 15 degC calibrated and true airspeed are one: 141 kt less 5 kt headwind with
    69 t on four brakes: 0.5 * 69000 * (136 * 0.514444)^2 / 4 = 42.2 MJ."""
    found = day_with("start.air_temperature=15 degC").sectors[0].departure
    assert found.decision_ground_speed == pytest.approx(136.0 * 1852.0 / 3600.0, rel=1e-6)
    assert found.reject_energy / 1e6 == pytest.approx(42.2, abs=0.05)
    given_energy = day_with("sectors.1.take_off.reject_energy=50 MJ").sectors[0].departure
    assert given_energy.reject_energy == pytest.approx(50e6)


def test_plan_day__landing_energy_limit_is_not_mended_by_waiting() -> None:
    found = day_with("aircraft.brakes.energy_limit=25 MJ", "aircraft.brake_cooling.take_off_limit=600 degC")
    first = found.breaches[0]
    assert (first.sector, first.kind) == (1, "landing_energy")
    assert found.mend is not None
    assert found.mend.delay is None
    assert found.mend.changes
    assert found.sectors[1].arrival.high_energy
    assert set(AFTER_HIGH_ENERGY) <= set(found.cautions)
    assert "cfr-25-735-g" in found.source_keys


def test_plan_day__fuse_plugs_open_and_a_gentler_landing_keeps_them() -> None:
    changes = ("aircraft.brake_cooling.fuse_plug_release=150 degC", "aircraft.brake_cooling.fuse_plug_near=140 degC")
    found = day_with(*changes, "aircraft.brake_cooling.take_off_limit=600 degC")
    first = found.breaches[0]
    assert (first.sector, first.kind) == (1, "fuse_plugs")
    assert found.sectors[1].arrival.fuse_plugs == "released"
    assert found.mend is not None
    assert found.mend.changes
    assert any("fuse plugs open" in one for one in found.cautions)


def test_quick_turnaround_mass__leaves_the_wheel_short_of_the_plugs(result: DayResult) -> None:
    mass = result.sectors[1].arrival.quick_turnaround_mass
    assert mass is not None
    assert 41_000.0 < mass < 66_000.0
    limit = result.day.aircraft.brake_cooling
    assert limit is not None
    lighter = day_with(f'sectors.2.landing.changes=["landing.mass={(mass - 50.0) / 1000.0:.3f} t"]')
    # The same landing, parked after a taxi in: a little cooler than on the spot, never hotter than the plugs near.
    assert lighter.sectors[1].arrival.wheel.temperature < limit.fuse_plug_near + 1.0
    hotter = day_with("sectors.2.ground.air_temperature=45 degC").sectors[1].arrival.quick_turnaround_mass
    assert hotter is not None
    assert hotter <= mass


def test_released_brake__stays_cool_and_the_others_work_harder(result: DayResult) -> None:
    found = day_with("released_brakes=[2]")
    cold, hot = sorted(found.brakes, key=lambda one: one.history.peak("heat_sink").temperature)
    assert cold.numbers == (1,)
    assert hot.numbers == (0, 2, 3)
    assert cold.history.peak("heat_sink").temperature < 330.0
    assert found.sectors[0].arrival.brake_energy > 1.2 * result.sectors[0].arrival.brake_energy
    assert found.sectors[0].departure.reject_energy == pytest.approx(
        result.sectors[0].departure.reject_energy * 4.0 / 3.0
    )


def test_unequal_shares__each_group_has_its_own_history() -> None:
    found = day_with("aircraft.brake_cooling.shares=[1.0, 1.2, 0.8, 1.2]")
    assert [run.numbers for run in found.brakes] == [(0,), (1, 3), (2,)]
    peaks = [run.history.peak("heat_sink").temperature for run in found.brakes]
    assert peaks[1] > peaks[0] > peaks[2]
    assert found.hottest.numbers == (1, 3)


def test_plan_day__gear_left_down_longer_cools() -> None:
    short, long = day_with(), day_with("sectors.2.flight.gear_up_after=10 min")
    assert long.sectors[1].arrival.touchdown_temperature < short.sectors[1].arrival.touchdown_temperature


def test_chain_temperatures__equals_the_plan(result: DayResult) -> None:
    stages, runs = chain_temperatures(read_day(DAY))
    assert stages == result.stages
    assert runs[0].history.end == result.brakes[0].history.end


def test_plan_day__no_landing_to_recommend_or_no_such_choice_is_refused() -> None:
    with pytest.raises(ScenarioError, match="no landing can be recommended"):
        day_with('sectors.4.landing.changes=["landing.touchdown_distance=2400 m"]')
    with pytest.raises(ScenarioError, match='brake "hard" with reverse "none" is not a choice'):
        day_with("sectors.2.landing.brake=hard")


def test_plan_day__beyond_the_physics_is_refused() -> None:
    with pytest.raises(ScenarioError, match="No day is computed beyond that range"):
        day_with("aircraft.brakes.heat_sink=steel", "aircraft.brakes.heat_sink_mass=3 kg")


def test_plan_day__plugs_open_once_and_belong_to_the_landing_that_heated_them() -> None:
    """One brake released: the second landing opens the plugs, the heat is still there in the taxi out after it."""
    found = day_with("released_brakes=[1]")
    opened = [one for one in found.breaches if one.kind == "fuse_plugs"]
    assert [one.sector for one in opened] == [1]
    assert all(one.kind != "heat_sink_temperature" for one in found.breaches)
