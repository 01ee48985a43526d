"""Limits of a brake, and its wear."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundroll.physics.brake_heat import heat_content, kinetic_energy_per_brake
from groundroll.physics.brake_limits import (
    NO_HAZARD_TIME,
    PARKING_BRAKE_TIME,
    energies_of_brakes,
    energy_left,
    fuse_plug_state,
    greatest_start_temperature,
)
from groundroll.physics.brake_wear import WearModel, relative_wear

CARBON = WearModel(
    reference_energy=20e6,
    reference_temperature=600.0,
    energy_share=0.15,
    hot_above=773.15,
    hot_rise=0.3,
    uncertainty=0.4,
)
STEEL = WearModel(
    reference_energy=8e6,
    reference_temperature=600.0,
    energy_share=1.0,
    hot_above=723.15,
    hot_rise=0.2,
    uncertainty=0.3,
)


def test_times__of_cfr_25_735_g() -> None:
    """14 CFR 25.735(g): parking brake at least 3 minutes, no hazard for at least 5 minutes."""
    assert (PARKING_BRAKE_TIME, NO_HAZARD_TIME) == (3 * 60, 5 * 60)


@pytest.mark.parametrize("release", [177.0, 192.0])
def test_fuse_plug_state__thresholds_are_inputs(release: float) -> None:
    """Plugs of two models open at about 177 and 192 degC (maintenance article of 2016)."""
    near, kelvin = release - 20.0, 273.15
    assert fuse_plug_state(kelvin + near - 0.1, kelvin + near, kelvin + release) == "none"
    assert fuse_plug_state(kelvin + near, kelvin + near, kelvin + release) == "near"
    assert fuse_plug_state(kelvin + release, kelvin + near, kelvin + release) == "released"


def test_kinetic_energy__ratios_of_the_training_text() -> None:
    """FAA Airplane Flying Handbook, rejected take-off: +10 % weight about x1.10, +10 % speed x1.21."""
    plain = kinetic_energy_per_brake(60_000.0, 70.0, 4)
    assert kinetic_energy_per_brake(66_000.0, 70.0, 4) / plain == pytest.approx(1.10)
    assert kinetic_energy_per_brake(60_000.0, 77.0, 4) / plain == pytest.approx(1.21)


def test_energy_left__is_the_limit_less_the_heat_held() -> None:
    """Heat content of carbon at 200 degC: 169 kJ/kg from 20 degC (table of the specific heat, from memory): 64 kg hold
    10.8 MJ of it, of 100 MJ 89.2 MJ are left."""
    left = energy_left(473.15, 100e6, 293.15, 64.0, "carbon")
    assert left / 1e6 == pytest.approx(100.0 - 64.0 * 0.169, abs=64.0 * 0.0005)
    assert energy_left(280.0, 100e6, 293.15, 64.0, "carbon") == 100e6


@given(energy=st.floats(1e5, 99e6))
def test_greatest_start_temperature__leaves_just_the_energy(energy: float) -> None:
    temperature = greatest_start_temperature(energy, 100e6, 293.15, 64.0, "carbon")
    assert temperature is not None
    assert energy_left(temperature, 100e6, 293.15, 64.0, "carbon") == pytest.approx(energy, rel=1e-6)
    assert greatest_start_temperature(101e6, 100e6, 293.15, 64.0, "carbon") is None


@given(
    energy=st.floats(0.0, 1e9),
    shares=st.lists(st.floats(0.5, 2.0), min_size=2, max_size=16),
    released=st.sets(st.integers(0, 15), max_size=1),
)
def test_energies_of_brakes__sum_to_the_whole(energy: float, shares: list[float], released: set[int]) -> None:
    gone = [one for one in released if one < len(shares)]
    energies = energies_of_brakes(energy, shares, gone)
    assert sum(energies) == pytest.approx(energy)
    assert all(energies[number] == 0.0 for number in gone)


def test_energies_of_brakes__all_released_is_refused() -> None:
    with pytest.raises(ValueError, match="all 2 brakes are released"):
        energies_of_brakes(1.0, [1.0, 1.0], [0, 1])
    with pytest.raises(ValueError, match="released 2"):
        energies_of_brakes(1.0, [1.0, 1.0], [2])
    with pytest.raises(ValueError, match="must be below release_temperature"):
        fuse_plug_state(300.0, 400.0, 400.0)


def test_relative_wear__reference_stop_is_one_for_both_materials() -> None:
    assert relative_wear(CARBON, 20e6, 600.0).relative == pytest.approx(1.0)
    assert relative_wear(STEEL, 8e6, 600.0).relative == pytest.approx(1.0)


def test_relative_wear__one_firm_carbon_application_wears_less_than_three_light_ones() -> None:
    """Carbon wears by the number of applications, steel by energy (several texts, second-hand)."""
    assert relative_wear(CARBON, 24e6, 600.0, 1).relative < 3.0 * relative_wear(CARBON, 8e6, 450.0, 1).relative / 2.0
    one = relative_wear(STEEL, 8e6, 600.0, 1).relative
    assert one == pytest.approx(sum(relative_wear(STEEL, 8e6 / 3.0, 500.0, 1).relative for _ in range(3)))


@given(energy=st.floats(1e4, 1e8), more=st.floats(0.0, 1e8), temperature=st.floats(300.0, 1_500.0))
def test_relative_wear__never_less_with_more_energy_or_heat(energy: float, more: float, temperature: float) -> None:
    for model in (CARBON, STEEL):
        wear = relative_wear(model, energy, temperature)
        assert wear.least <= wear.relative <= wear.greatest
        assert relative_wear(model, energy + more, temperature).relative >= wear.relative
        assert relative_wear(model, energy, temperature + 100.0).relative >= wear.relative
    assert relative_wear(CARBON, 0.0, 300.0).relative == 0.0


def test_heat_content__of_the_table_behind_energy_left() -> None:
    """200 degC: 169 kJ/kg of carbon, 88 kJ/kg of steel (computed from formulas that are from memory)."""
    assert float(heat_content(473.15, "carbon")) / 1e3 == pytest.approx(169.0, abs=0.5)
    assert float(heat_content(473.15, "steel")) / 1e3 == pytest.approx(88.0, abs=0.5)
