"""Time per day of sectors: the chain of temperatures alone, the whole answer, and many cooling samples at once.

    python -m benchmarks.turn

The day is `examples/day/day.toml`, four sectors. SciPy's Radau integrates the same landing beside ours in the same run.
Timings are noisy: read the ratios.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

from scipy.integrate import solve_ivp

from groundroll.physics.brake_cooling import (
    STEFAN_BOLTZMANN,
    BrakeTemperatures,
    CoolingPhase,
    brake_temperatures,
    convection_coefficient,
    final_temperatures,
)
from groundroll.physics.brake_heat import specific_heat
from groundroll.planning.brake_outcome import heat_model_of
from groundroll.planning.day_chain import phases_of, setup_of
from groundroll.planning.turnaround import chain_temperatures, plan_day
from groundroll.scenario.day import read_day

DAY = Path(__file__).parents[1] / "examples" / "day" / "day.toml"
COLD = BrakeTemperatures(293.15, 293.15, 293.15)
LANDING = (CoolingPhase(25.0, 293.15, 33.0, power=1.2e6), CoolingPhase(7_200.0, 293.15, 2.0))
SAMPLES = 20_000


def best(function: Callable[[], object], times: int = 5) -> float:
    """Return the shortest time of several calls. [s]"""
    shortest = float("inf")
    for _ in range(times):
        begin = time.perf_counter()
        function()
        shortest = min(shortest, time.perf_counter() - begin)
    return shortest


def main() -> int:
    """Measure and print."""
    day = read_day(DAY)
    model = heat_model_of(day.aircraft)

    def scipy_landing() -> None:
        state = [293.15, 293.15, 293.15]
        for phase in LANDING:
            coefficient = float(
                convection_coefficient(phase.air_speed, model.still_air_coefficient, model.forced_air_coefficient)
            )

            def rates(_: float, y: list[float], phase: CoolingPhase = phase, h: float = coefficient) -> list[float]:
                flow = model.coupling * (y[0] - y[1])
                excess = y[0] ** 4 - phase.air_temperature**4
                lost = model.heat_sink_area * (
                    h * (y[0] - phase.air_temperature) + model.emissivity * STEFAN_BOLTZMANN * excess
                )
                capacity = model.heat_sink_mass * float(specific_heat(y[0], model.material))
                felt = model.sensor_share * y[0] + (1.0 - model.sensor_share) * y[1]
                return [
                    (phase.power - flow - lost) / capacity,
                    (flow - model.wheel_area * h * (y[1] - phase.air_temperature)) / model.wheel_heat_capacity,
                    (felt - y[2]) / model.sensor_lag,
                ]

            solution = solve_ivp(rates, (0.0, phase.duration), state, method="Radau", rtol=1e-7, atol=1e-4)
            state = list(solution.y[:, -1])

    phases = phases_of(setup_of(day), plan_day(day).stages, 0)
    final_temperatures(model, [COLD], [LANDING])
    alone = best(lambda: brake_temperatures(model, COLD, phases, history_step=60.0))
    chain = best(lambda: chain_temperatures(day))
    whole = best(lambda: plan_day(day))
    ours = best(lambda: brake_temperatures(model, COLD, LANDING))
    scipy = best(scipy_landing, 3)
    many = best(lambda: final_temperatures(model, [COLD] * SAMPLES, [LANDING] * SAMPLES), 2) / SAMPLES
    print(f"{'one day of four sectors, temperatures alone':52}{1e3 * alone:10.2f} ms")
    print(f"{'the same with the plans of its four landings':52}{1e3 * chain:10.2f} ms")
    print(f"{'the same with limits, least ground times, changes':52}{1e3 * whole:10.2f} ms")
    print(f"{'one landing and two hours, with history':52}{1e3 * ours:10.3f} ms")
    print(f"{'the same by SciPy Radau':52}{1e3 * scipy:10.3f} ms, {scipy / ours:.0f} times as long")
    print(f"{'the same without history, one of many samples':52}{1e3 * many:10.4f} ms")
    return 0


if __name__ == "__main__":
    sys.exit(main())
