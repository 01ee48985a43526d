"""Cooling of a brake: closed forms, an independent integration, limits, and the balance of heat."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from groundroll.physics.brake_cooling import (
    BrakeHeatModel,
    BrakeTemperatures,
    CoolingPhase,
    Node,
    brake_temperatures,
    convection_coefficient,
    cooling_rate_from_readings,
    final_temperatures,
    radiated_power,
    time_to_temperature,
)
from groundroll.physics.brake_heat import heat_content, specific_heat

CARBON = BrakeHeatModel(
    material="carbon",
    heat_sink_mass=64.0,
    wheel_heat_capacity=50e3,
    coupling=26.0,
    heat_sink_area=0.6,
    wheel_area=1.0,
    emissivity=0.8,
    still_air_coefficient=9.0,
    forced_air_coefficient=28.0,
    fan_coefficient=40.0,
    sensor_lag=90.0,
    sensor_share=0.6,
)
STEEL = replace(CARBON, material="steel", heat_sink_mass=46.0, wheel_heat_capacity=26e3, coupling=14.0)
INSULATED = replace(CARBON, still_air_coefficient=0.0, forced_air_coefficient=0.0, fan_coefficient=0.0, emissivity=0.0)
COLD = BrakeTemperatures(293.15, 293.15, 293.15)
HOT = BrakeTemperatures(773.15, 320.0, 500.0)
LANDING = (
    CoolingPhase(25.0, 293.15, 33.0, power=30e6 / 25.0),
    CoolingPhase(420.0, 293.15, 8.0, power=2e3),
    CoolingPhase(900.0, 293.15, 2.0),
    CoolingPhase(5_400.0, 293.15, 2.0, fans=True),
)
NODES: tuple[Node, ...] = ("heat_sink", "wheel", "indicated")


def reference(
    model: BrakeHeatModel, start: BrakeTemperatures, phases: Sequence[CoolingPhase], method: str
) -> np.ndarray:
    """Return the last temperatures by SciPy: the equations written anew, with temperature as the state."""
    state = np.array([start.heat_sink, start.wheel, start.indicated])
    for phase in phases:
        fan = model.fan_coefficient if phase.fans else 0.0
        still = model.still_air_coefficient + model.forced_air_coefficient * (phase.air_speed / 10.0) ** 0.8

        def rates(_: float, y: np.ndarray, phase: CoolingPhase = phase, fan: float = fan, still: float = still):  # type: ignore[no-untyped-def]
            one, two, three = y
            flow = model.coupling * (one - two)
            radiated = 5.670374419e-8 * model.emissivity * model.heat_sink_area * (one**4 - phase.air_temperature**4)
            lost = model.heat_sink_area * (still + fan) * (one - phase.air_temperature) + radiated
            capacity = model.heat_sink_mass * float(specific_heat(one, model.material))
            felt = model.sensor_share * one + (1.0 - model.sensor_share) * two
            return [
                (phase.power - flow - lost) / capacity,
                (flow - model.wheel_area * still * (two - phase.air_temperature)) / model.wheel_heat_capacity,
                (felt - three) / model.sensor_lag,
            ]

        solution = solve_ivp(rates, (0.0, phase.duration), state, method=method, rtol=1e-10, atol=1e-8)
        assert solution.success
        state = solution.y[:, -1]
    return state


@pytest.mark.plain
@pytest.mark.parametrize("method", ["Radau", "DOP853"])
@pytest.mark.parametrize("model", [CARBON, STEEL], ids=["carbon", "steel"])
def test_brake_temperatures__independent_integration_by_other_methods(model: BrakeHeatModel, method: str) -> None:
    """SciPy's Radau and DOP853 at a relative tolerance of 1e-10."""
    phases = [replace(one, power=one.power * (0.5 if model.material == "steel" else 1.0)) for one in LANDING]
    end = brake_temperatures(model, COLD, phases).end
    expected = reference(model, COLD, phases, method)
    assert [end.heat_sink, end.wheel, end.indicated] == pytest.approx(list(expected), abs=0.002)


@pytest.mark.parametrize(
    "stiff",
    [
        replace(CARBON, sensor_lag=0.05),
        replace(CARBON, coupling=9_000.0, wheel_heat_capacity=500.0),
        replace(CARBON, wheel_heat_capacity=200.0, wheel_area=10.0, forced_air_coefficient=400.0, sensor_lag=0.02),
    ],
    ids=["quick sensor", "tight coupling", "light wheel"],
)
def test_brake_temperatures__stiff_cases_against_radau(stiff: BrakeHeatModel) -> None:
    """Time constants down to hundredths of a second beside hours; the work stays small."""
    history = brake_temperatures(stiff, COLD, LANDING)
    expected = reference(stiff, COLD, LANDING, "Radau")
    end = history.end
    assert [end.heat_sink, end.wheel, end.indicated] == pytest.approx(list(expected), abs=0.002)
    assert len(history.time) < 2_000


def test_brake_temperatures__hot_steel_passes_its_change_of_phase() -> None:
    """The specific heat of steel peaks at 735 degC and jumps at 600, 735 and 900 degC; LSODA in short steps."""
    phases = [CoolingPhase(25.0, 293.15, 33.0, power=34e6 / 25.0), CoolingPhase(3_600.0, 293.15, 2.0)]
    history = brake_temperatures(STEEL, COLD, phases)
    assert history.peak("heat_sink").temperature > 1_050.0
    expected = reference(STEEL, COLD, phases, "LSODA")
    end = history.end
    assert [end.heat_sink, end.wheel, end.indicated] == pytest.approx(list(expected), abs=0.05)
    assert abs(history.balance.residual) < 1e-9 * history.balance.heat_in


@given(
    heat=st.floats(1e5, 60e6),
    coupling=st.floats(0.0, 500.0),
    emissivity=st.floats(0.0, 1.0),
    wind=st.floats(0.0, 30.0),
    air=st.floats(230.0, 325.0),
    fans=st.booleans(),
)
def test_brake_temperatures__heat_is_conserved(
    heat: float, coupling: float, emissivity: float, wind: float, air: float, fans: bool
) -> None:
    """Heat given equals heat lost and stored to 1e-6, the store counted anew from the temperatures."""
    model = replace(CARBON, coupling=coupling, emissivity=emissivity)
    phases = [CoolingPhase(20.0, air, 30.0, power=heat / 20.0), CoolingPhase(7_200.0, air, wind, fans=fans)]
    history = brake_temperatures(model, COLD, phases, history_step=300.0)
    end, balance = history.end, history.balance
    content = float(heat_content(end.heat_sink, "carbon")) - float(heat_content(293.15, "carbon"))
    stored = model.heat_sink_mass * content + model.wheel_heat_capacity * (end.wheel - 293.15)
    lost = balance.lost_to_air_by_heat_sink + balance.lost_by_radiation + balance.lost_to_air_by_wheel
    assert balance.heat_in == pytest.approx(heat, rel=1e-12)
    assert lost + stored == pytest.approx(heat, abs=1e-6 * heat)


def test_brake_temperatures__no_cooling_keeps_all_heat() -> None:
    """Nothing leaves; heat sink and wheel end at one temperature with all the heat in them."""
    heat = 20e6
    history = brake_temperatures(
        INSULATED, COLD, [CoolingPhase(20.0, 293.15, power=heat / 20.0), CoolingPhase(172_000.0, 293.15)]
    )
    end = history.end
    assert end.heat_sink == pytest.approx(end.wheel, abs=0.05)
    content = float(heat_content(end.heat_sink, "carbon"))
    assert 64.0 * content + 50e3 * (end.wheel - 293.15) == pytest.approx(heat, rel=1e-9)
    assert history.balance.lost_by_radiation == 0.0


def test_brake_temperatures__no_coupling_leaves_the_nodes_independent() -> None:
    """The wheel cools by itself: an exponential, worked by hand; the heat sink does not know the wheel."""
    model = replace(CARBON, coupling=0.0)
    history = brake_temperatures(model, BrakeTemperatures(800.0, 400.0, 300.0), [CoolingPhase(3_000.0, 290.0)])
    # T2 = Ta + (T0 - Ta) exp(-h A t / C) with h A = 9 W/(m2 K) * 1 m2, C = 50 kJ/K
    assert history.end.wheel == pytest.approx(290.0 + 110.0 * math.exp(-9.0 * 3_000.0 / 50e3), abs=1e-4)
    other = brake_temperatures(
        replace(model, wheel_heat_capacity=9e3), BrakeTemperatures(800.0, 300.0, 300.0), [CoolingPhase(3_000.0, 290.0)]
    )
    assert other.end.heat_sink == pytest.approx(history.end.heat_sink, abs=1e-6)


@given(
    coupling=st.floats(5.0, 80.0),
    capacity=st.floats(10e3, 100e3),
    first_area=st.floats(0.2, 1.5),
    second_area=st.floats(0.2, 1.5),
)
def test_peak__linear_two_node_peak_time_matches_closed_form(
    coupling: float, capacity: float, first_area: float, second_area: float
) -> None:
    """t* = ln(l1/l2)/(l1 - l2), l1 > l2 the decay rates: elementary. Steel below 20 degC has a constant specific heat
    (assumption of this project), so without radiation the pair is linear."""
    model = replace(
        STEEL,
        coupling=coupling,
        wheel_heat_capacity=capacity,
        heat_sink_area=first_area,
        wheel_area=second_area,
        emissivity=0.0,
    )
    air = 218.15
    capacity1 = 46.0 * float(specific_heat(250.0, "steel"))
    matrix = np.array(
        [
            [-(coupling + 9.0 * first_area) / capacity1, coupling / capacity1],
            [coupling / capacity, -(coupling + 9.0 * second_area) / capacity],
        ]
    )
    slow, fast = sorted(-np.linalg.eigvals(matrix).real)
    expected = math.log(fast / slow) / (fast - slow)
    history = brake_temperatures(
        model, BrakeTemperatures(290.0, air, air), [CoolingPhase(6.0 * 3_600.0, air)], history_step=30.0
    )
    assert history.peak("wheel").time == pytest.approx(expected, abs=0.1)


def test_indicated__follows_a_constant_temperature_as_a_first_order_lag() -> None:
    """1 - exp(-t/tau) of the step: elementary. An insulated pair at one temperature stays there."""
    history = brake_temperatures(INSULATED, BrakeTemperatures(500.0, 500.0, 300.0), [CoolingPhase(400.0, 293.15)])
    for moment in (10.0, 90.0, 250.0, 400.0):
        assert float(history.at(moment, "indicated")) == pytest.approx(
            500.0 - 200.0 * math.exp(-moment / 90.0), abs=1e-3
        )


def test_landing__published_temperatures_against_heat_of_the_reference() -> None:
    """Landing temperatures 427 to 527 degC (ASME HT2003, p. 847, abstract) are 480 to 635 kJ/kg of carbon from 20 degC
    (derived with the specific heat of Butland and Maddison, from memory): half a degree of a rounded heat."""
    for heat, printed in ((480e3, 427.0), (635e3, 527.0)):
        model = replace(INSULATED, coupling=0.0)
        phases = [CoolingPhase(20.0, 293.15, power=64.0 * heat / 20.0)]
        peak = brake_temperatures(model, COLD, phases).peak("heat_sink")
        # The heats are printed to 5 kJ/kg, which is 3 degC.
        assert peak.temperature - 273.15 == pytest.approx(printed, abs=3.0)


def test_radiated_power__half_a_square_metre_at_500_degc() -> None:
    """0.5 * 5.670e-8 * 773^4 = 10.1 kW (derived from the Stefan-Boltzmann law)."""
    assert float(radiated_power(773.0, 0.5, 1.0)) == pytest.approx(10.1e3, abs=50.0)


def test_time_to_temperature__two_readings_worked_by_hand() -> None:
    """EP 3048018: alpha = ln((T1 - Ta)/(T2 - Ta))/(t2 - t1). From 420 K to 360 K over 300 K air the excess falls from
    120 to 60 in 600 s: it halves. From 360 K to 315 K it falls to a quarter: 1200 s more."""
    rate = cooling_rate_from_readings(420.0, 360.0, 600.0, 300.0)
    assert rate == pytest.approx(math.log(2.0) / 600.0)
    assert time_to_temperature(360.0, 315.0, rate, 300.0) == pytest.approx(1_200.0)
    assert time_to_temperature(310.0, 315.0, rate, 300.0) == 0.0


def test_two_readings__recover_the_cooling_of_the_model_wheel() -> None:
    """Without coupling the wheel of the model is one exponential; two of its readings give its decay rate."""
    model = replace(CARBON, coupling=0.0)
    history = brake_temperatures(model, BrakeTemperatures(300.0, 450.0, 300.0), [CoolingPhase(4_000.0, 280.0)])
    first, second = (float(history.at(moment, "wheel")) for moment in (500.0, 1_500.0))
    rate = cooling_rate_from_readings(first, second, 1_000.0, 280.0)
    assert rate == pytest.approx(9.0 / 50e3, rel=1e-6)
    left = time_to_temperature(second, 400.0, rate, 280.0)
    assert history.last_above(400.0, "wheel") == pytest.approx(1_500.0 + left, abs=0.1)


def test_convection_coefficient__still_air_and_reference_speed() -> None:
    """By its definition: h0 at rest, h0 + h10 at 10 m/s, and 2^0.8 times the forced part at 20 m/s."""
    assert float(convection_coefficient(0.0, 9.0, 28.0)) == 9.0
    assert float(convection_coefficient(10.0, 9.0, 28.0)) == pytest.approx(37.0)
    assert float(convection_coefficient(20.0, 9.0, 28.0)) == pytest.approx(9.0 + 28.0 * 2.0**0.8)


@pytest.mark.plain
def test_final_temperatures__equal_the_ends_of_single_runs() -> None:
    starts = [COLD, HOT, BrakeTemperatures(600.0, 400.0, 550.0)]
    ends = final_temperatures(CARBON, starts, [LANDING] * 3)
    for start, end in zip(starts, ends, strict=True):
        single = brake_temperatures(CARBON, start, LANDING, history_step=20.0).end
        assert [end.heat_sink, end.wheel, end.indicated] == pytest.approx(
            [single.heat_sink, single.wheel, single.indicated], abs=2e-3
        )
    assert final_temperatures(CARBON, [], []) == []


def test_brake_temperatures__a_run_in_two_parts_equals_the_whole() -> None:
    whole = brake_temperatures(CARBON, COLD, LANDING)
    first = brake_temperatures(CARBON, COLD, LANDING[:2])
    second = brake_temperatures(CARBON, first.end, LANDING[2:])
    assert second.end.heat_sink == pytest.approx(whole.end.heat_sink, abs=1e-4)
    assert whole.at_start_of(2).wheel == pytest.approx(first.end.wheel, abs=1e-9)


def test_brake_temperatures__tight_tolerance_changes_hardly_anything() -> None:
    """More rows than were made room for at first are made room for."""
    usual, tight = brake_temperatures(CARBON, COLD, LANDING), brake_temperatures(CARBON, COLD, LANDING, tolerance=1e-9)
    assert len(tight.time) > len(usual.time)
    assert tight.end.heat_sink == pytest.approx(usual.end.heat_sink, abs=1e-4)
    assert tight.peak("wheel").temperature == pytest.approx(usual.peak("wheel").temperature, abs=1e-3)


def test_peak__of_each_place_lies_where_no_row_is_hotter() -> None:
    history = brake_temperatures(CARBON, COLD, LANDING)
    for node in NODES:
        peak = history.peak(node)
        values, _ = history._node(node)
        assert peak.temperature >= float(np.max(values)) - 1e-9
        assert float(history.at(peak.time, node)) == pytest.approx(peak.temperature, abs=1e-6)
    assert history.peak("heat_sink").time == pytest.approx(25.0)
    assert history.peak("wheel").time > history.peak("indicated").time > 25.0
    assert history.peak("wheel", first_phase=0, last_phase=0).time == pytest.approx(25.0)


def test_last_above__ends_of_the_history() -> None:
    history = brake_temperatures(CARBON, HOT, [CoolingPhase(600.0, 293.15)])
    assert history.last_above(2_000.0, "heat_sink") == 0.0
    assert history.last_above(200.0, "heat_sink") == 600.0
    moment = history.last_above(700.0, "heat_sink")
    assert float(history.at(moment, "heat_sink")) == pytest.approx(700.0, abs=1e-6)


def test_stop_below__ends_early_and_only_when_every_place_is_cool() -> None:
    phases = [CoolingPhase(20.0, 293.15, power=1e6), CoolingPhase(100_000.0, 293.15)]
    history = brake_temperatures(CARBON, COLD, phases, stop_below=400.0)
    assert history.time[-1] < 50_000.0
    assert max(history.end.heat_sink, history.end.wheel, history.end.indicated) <= 400.0


@given(st.lists(st.floats(0.0, 3_000.0), min_size=2, max_size=5))
def test_history__time_never_runs_back(durations: list[float]) -> None:
    history = brake_temperatures(CARBON, HOT, [CoolingPhase(one, 288.0) for one in durations])
    assert all(b >= a for a, b in pairwise(history.time))
    assert float(history.time[-1]) == pytest.approx(sum(durations))


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: brake_temperatures(CARBON, COLD, []), "phases is empty"),
        (lambda: brake_temperatures(CARBON, COLD, [CoolingPhase(-1.0, 290.0)]), "duration -1 s is outside"),
        (lambda: brake_temperatures(CARBON, COLD, [CoolingPhase(1.0, 20.0)]), "air_temperature 20 K is outside"),
        (lambda: brake_temperatures(CARBON, COLD, [CoolingPhase(1.0, 290.0, 200.0)]), "air_speed 200 m/s is outside"),
        (lambda: brake_temperatures(replace(CARBON, sensor_lag=0.0), COLD, LANDING), "sensor_lag 0 s is outside"),
        (lambda: brake_temperatures(STEEL, COLD, [CoolingPhase(20.0, 290.0, power=3e6)]), "range of the steel formula"),
        (lambda: brake_temperatures(CARBON, HOT, [CoolingPhase(1.0, 290.0)]).at(2.0, "wheel"), "time 2 s is outside"),
        (lambda: cooling_rate_from_readings(300.0, 290.0, 60.0, 295.0), "second_reading 290 K must be above the air"),
        (lambda: cooling_rate_from_readings(300.0, 310.0, 60.0, 290.0), "still warms"),
        (lambda: time_to_temperature(400.0, 290.0, 1e-3, 295.0), "it is never reached"),
        (lambda: final_temperatures(CARBON, [COLD], []), "1 samples, phases 0"),
        (lambda: radiated_power(-1.0, 1.0, 1.0), "temperature -1 K is outside"),
    ],
)
def test_refusals__say_value_range_and_unit(call, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=message):
        call()
