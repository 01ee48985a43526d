"""What one landing does to the brakes, and what it costs."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.errors import ScenarioError
from groundroll.physics.brake_heat import temperature_after
from groundroll.planning.brake_costs import cost_of_landing, wear_of_landing
from groundroll.planning.brake_outcome import BrakeOutcome, brake_energies, landing_brake_outcome
from groundroll.planning.landing import plan_landing
from groundroll.scenario.read import read_aircraft, read_case

EXAMPLES = Path(__file__).parents[2] / "examples"
NARROWBODY = read_aircraft(EXAMPLES / "aircraft" / "demo-narrowbody.toml")
REGIONAL = read_aircraft(EXAMPLES / "aircraft" / "demo-regional.toml")
CASE = EXAMPLES / "wet-gusty-arrival" / "case.toml"

energies = st.floats(1e6, 60e6)
airs = st.floats(235.0, 320.0)
winds = st.floats(0.0, 25.0)


def outcome(
    energy: float, air: float = 293.15, wind: float = 3.0, *, fans: bool = False, start: float | None = None
) -> BrakeOutcome:
    return landing_brake_outcome(
        NARROWBODY,
        energy,
        initial_temperature=air if start is None else start,
        air_temperature=air,
        wind_speed=wind,
        roll_time=28.0,
        touchdown_speed=68.0,
        fans=fans,
    )


@given(energy=energies, air=airs, wind=winds)
def test_landing_brake_outcome__fans_never_lengthen_cooling(energy: float, air: float, wind: float) -> None:
    without, with_fans = outcome(energy, air, wind), outcome(energy, air, wind, fans=True)
    assert without.cooling_time is not None
    assert with_fans.cooling_time is not None
    assert with_fans.cooling_time <= without.cooling_time + 0.01
    assert with_fans.peak_wheel_temperature <= without.peak_wheel_temperature + 1e-3


@given(energy=energies, air=airs, colder=st.floats(0.0, 20.0), wind=winds)
def test_landing_brake_outcome__colder_air_never_lengthens_cooling(
    energy: float, air: float, colder: float, wind: float
) -> None:
    """From the same temperature of the brakes."""
    warm, cold = outcome(energy, air, wind, start=320.0), outcome(energy, air - colder, wind, start=320.0)
    assert (cold.cooling_time or 0.0) <= (warm.cooling_time or 0.0) + 0.01


@given(energy=energies, harder=st.floats(0.0, 20e6), air=airs, wind=winds)
def test_landing_brake_outcome__harder_landing_never_shortens_the_wait(
    energy: float, harder: float, air: float, wind: float
) -> None:
    gentle, firm = outcome(energy, air, wind), outcome(energy + harder, air, wind)
    assert (firm.cooling_time or 0.0) >= (gentle.cooling_time or 0.0) - 0.01
    assert firm.peak_wheel_temperature >= gentle.peak_wheel_temperature - 1e-3
    assert firm.peak_heat_sink_temperature >= gentle.peak_heat_sink_temperature - 1e-3


def test_landing_brake_outcome__wheel_peaks_many_minutes_after_the_stop() -> None:
    """10 to 15 min, some brakes 20 to 30 min (from memory); the demonstration aeroplane is among the slow ones."""
    found = outcome(30e6)
    assert 10.0 * 60.0 < found.peak_wheel_time < 40.0 * 60.0
    assert found.peak_indicated_time < found.peak_wheel_time
    assert found.peak_wheel_temperature < found.peak_indicated_temperature < found.peak_heat_sink_temperature


def test_landing_brake_outcome__air_at_the_limit_never_cools() -> None:
    warm = NARROWBODY.brake_cooling
    assert warm is not None
    limited = NARROWBODY.model_copy(update={"brake_cooling": warm.model_copy(update={"take_off_limit": 325.0})})
    found = landing_brake_outcome(
        limited, 20e6, initial_temperature=330.0, air_temperature=330.0, roll_time=28.0, touchdown_speed=68.0
    )
    assert found.cooling_time is None


def test_landing_brake_outcome__unequal_shares_heat_the_hottest_brake() -> None:
    cooling = NARROWBODY.brake_cooling
    assert cooling is not None
    shares = {"shares": [1.0, 1.2, 0.8, 1.0]}
    uneven = NARROWBODY.model_copy(update={"brake_cooling": cooling.model_copy(update=shares)})
    hot = landing_brake_outcome(
        uneven, 20e6, initial_temperature=293.15, air_temperature=293.15, roll_time=28.0, touchdown_speed=68.0
    )
    even = landing_brake_outcome(
        NARROWBODY, 24e6, initial_temperature=293.15, air_temperature=293.15, roll_time=28.0, touchdown_speed=68.0
    )
    assert hot.peak_heat_sink_temperature == pytest.approx(even.peak_heat_sink_temperature, abs=1e-6)
    assert brake_energies(uneven, 80e6) == pytest.approx((20e6, 24e6, 16e6, 20e6))


def test_landing_brake_outcome__needs_the_section() -> None:
    bare = NARROWBODY.model_copy(update={"brake_cooling": None})
    with pytest.raises(ScenarioError, match=r"no section \[brake_cooling\]. Add it"):
        landing_brake_outcome(
            bare, 20e6, initial_temperature=293.15, air_temperature=293.15, roll_time=28.0, touchdown_speed=68.0
        )


def test_plan_landing__uses_the_same_peak_and_cooling_time() -> None:
    case = read_case(CASE)
    plan = plan_landing(case)
    for option in plan.options:
        assert option.stop_time is not None
        found = landing_brake_outcome(
            case.aircraft,
            option.brake_energy_per_wheel,
            initial_temperature=case.weather.temperature,
            air_temperature=case.weather.temperature,
            wind_speed=case.weather.wind_speed,
            roll_time=option.stop_time - plan.air_segment.time,
            touchdown_speed=plan.air_segment.touchdown_ground_speed,
        )
        assert option.peak_brake_temperature == pytest.approx(found.peak_heat_sink_temperature)
        assert option.cooling_time == pytest.approx(found.cooling_time, abs=1e-6)


def test_cost_of_landing__worked_by_hand() -> None:
    """Reference stop of the demonstration narrow-body: 4 brakes x 30000 / 1800 stops = 66.67; 4 tyres x 1500 / 280
    landings = 21.43; 10 kg x 0.9 = 9; half a minute x 40 = 20. In credits."""
    wear = wear_of_landing(NARROWBODY, 20e6, 330.0 + 273.15)
    assert wear is not None
    cost = cost_of_landing(
        NARROWBODY, wear, energy_per_brake=20e6, reverse_fuel=10.0, runway_time=30.0, working_brakes=4
    )
    assert cost is not None
    assert cost.brakes == pytest.approx(66.67, abs=0.005)
    assert cost.tyres == pytest.approx(21.43, abs=0.005)
    assert cost.reverse_fuel == pytest.approx(9.0)
    assert cost.runway_time == pytest.approx(20.0)
    assert cost.total == pytest.approx(117.10, abs=0.01)
    assert cost.least == pytest.approx(cost.total - 0.4 * 66.67, abs=0.01)


def test_cost_of_landing__only_what_has_a_price() -> None:
    prices = NARROWBODY.prices
    assert prices is not None
    only_fuel = prices.model_copy(
        update={"brake": None, "brake_life": None, "tyre": None, "tyre_life": None, "runway_minute": None}
    )
    aircraft = NARROWBODY.model_copy(update={"prices": only_fuel})
    cost = cost_of_landing(aircraft, None, energy_per_brake=2e7, reverse_fuel=10.0, runway_time=None, working_brakes=4)
    assert cost is not None
    assert (cost.brakes, cost.tyres, cost.runway_time, cost.total) == (None, None, None, pytest.approx(9.0))
    bare = NARROWBODY.model_copy(update={"prices": None, "brake_wear": None})
    assert wear_of_landing(bare, 2e7, 500.0) is None
    assert (
        cost_of_landing(bare, None, energy_per_brake=2e7, reverse_fuel=0.0, runway_time=30.0, working_brakes=4) is None
    )


def test_wear__steel_of_the_regional_goes_with_energy() -> None:
    one, two = (wear_of_landing(REGIONAL, energy, 550.0) for energy in (4e6, 8e6))
    assert one is not None
    assert two is not None
    assert two.relative == pytest.approx(2.0 * one.relative)


def test_plan_landing__without_the_section_gives_the_heat_sink_that_loses_nothing() -> None:
    """The adiabatic temperature of `physics.brake_heat`; it is above the peak with cooling, and no time is given."""
    case = read_case(CASE)
    bare = plan_landing(replace(case, aircraft=case.aircraft.model_copy(update={"brake_cooling": None})))
    for without, option in zip(bare.options, plan_landing(case).options, strict=True):
        brakes = case.aircraft.brakes
        adiabatic = temperature_after(
            without.brake_energy_per_wheel, case.weather.temperature, brakes.heat_sink_mass, brakes.heat_sink
        )
        assert without.peak_brake_temperature == pytest.approx(float(adiabatic))
        assert without.cooling_time is None
        assert option.peak_brake_temperature is not None
        assert 0.0 < float(adiabatic) - option.peak_brake_temperature < 25.0
    assert "adiabatic-heat-sink" in bare.source_keys
