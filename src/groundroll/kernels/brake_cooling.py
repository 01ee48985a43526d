"""Compiled heat balance of one brake: heat sink, wheel with tyre bead, and the indication that lags behind.

    dH1/dt = P - k (T1 - T2) - g1 (T1 - Ta) - r (T1^4 - Ta^4)      heat sink, H1 = m h(T1)
    dH2/dt = k (T1 - T2) - g2 (T2 - Ta)                            wheel and tyre bead, H2 = C2 (T2 - 20 degC)
    dTi/dt = (w T1 + (1 - w) T2 - Ti) / tau                        indication; it carries no heat

The state is heat, not temperature, so that no heat is lost at the kinks of the specific heat; heat given and lost is
summed with the same steps. One step is the linearly implicit Euler rule in 1, 2, 3 and 4 parts, extrapolated to the
fourth order (Hairer and Wanner, Solving Ordinary Differential Equations II, IV.9, from memory): stable for stiff cases,
and every linear balance of the equations holds to rounding. The difference to the third order controls the step.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from groundroll.kernels.heat_sink import REFERENCE, heat_content, specific_heat, temperature_of
from groundroll.kernels.jit import compiled

# Row of a brake.
MATERIAL, HEAT_SINK_MASS, WHEEL_CAPACITY, COUPLING, RADIATION, SENSOR_LAG, SENSOR_SHARE = range(7)
BRAKE_SIZE = 7

# Row of a phase. Conductances already hold area and coefficient.
DURATION, POWER, HEAT_SINK_CONDUCTANCE, WHEEL_CONDUCTANCE, AIR_TEMPERATURE = range(5)
PHASE_SIZE = 5

# Row of the history.
TIME, HEAT_SINK, WHEEL, INDICATED, HEAT_SINK_RATE, WHEEL_RATE, INDICATED_RATE, PHASE = range(8)
HISTORY_SIZE = 8

# Result row: last temperatures, then heat given and lost, then the change of heat in store.
END_HEAT_SINK, END_WHEEL, END_INDICATED, HEAT_IN, LOST_AIR_HEAT_SINK, LOST_RADIATION, LOST_AIR_WHEEL, STORED = range(8)
STATUS, ROWS, STEPS, END_TIME = range(8, 12)
RESULT_SIZE = 12

STATUS_DONE, STATUS_RANGE, STATUS_STEPS, STATUS_ROWS, STATUS_COLD = 0.0, 1.0, 2.0, 3.0, 4.0

_STATES = 7  # H1, H2, Ti, heat in, lost to air by the heat sink, lost by radiation, lost to air by the wheel
_ORDER = 4
_FEWEST_SECONDS = 1e-7
_MOST_STEPS = 500_000


@compiled
def _parts(
    brake: NDArray[np.float64],
    phase: NDArray[np.float64],
    state: NDArray[np.float64],
    guess: float,
    length: float,
    count: int,
    result: NDArray[np.float64],
) -> float:
    """Fill ``result`` with the state after ``count`` parts of a step; return the heat-sink temperature or NaN."""
    material, mass, capacity = int(brake[MATERIAL]), brake[HEAT_SINK_MASS], brake[WHEEL_CAPACITY]
    k, radiation, lag, share = brake[COUPLING], brake[RADIATION], brake[SENSOR_LAG], brake[SENSOR_SHARE]
    power, g1, g2, air = phase[POWER], phase[HEAT_SINK_CONDUCTANCE], phase[WHEEL_CONDUCTANCE], phase[AIR_TEMPERATURE]
    for index in range(_STATES):
        result[index] = state[index]
    h = length / count
    first = guess
    for _ in range(count):
        first = temperature_of(result[0] / mass, material, first)
        if math.isnan(first):
            return math.nan
        second = REFERENCE + result[1] / capacity
        slope1 = 1.0 / (mass * specific_heat(first, material))  # dT1/dH1
        slope2 = 1.0 / capacity
        flow = k * (first - second)
        air1 = g1 * (first - air)
        radiated = radiation * (first**4 - air**4)
        air2 = g2 * (second - air)
        steep = 4.0 * radiation * first**3
        # (1 - h J) d = h f for the two heats; the rest follows from them line by line.
        a11 = 1.0 + h * (k + g1 + steep) * slope1
        a12 = -h * k * slope2
        a21 = -h * k * slope1
        a22 = 1.0 + h * (k + g2) * slope2
        b1 = h * (power - flow - air1 - radiated)
        b2 = h * (flow - air2)
        determinant = a11 * a22 - a12 * a21
        d1 = (b1 * a22 - a12 * b2) / determinant
        d2 = (a11 * b2 - a21 * b1) / determinant
        followed = share * (first + slope1 * d1) + (1.0 - share) * (second + slope2 * d2)
        result[0] += d1
        result[1] += d2
        result[2] += h * (followed - result[2]) / (lag + h)
        result[3] += h * power
        result[4] += h * (air1 + g1 * slope1 * d1)
        result[5] += h * (radiated + steep * slope1 * d1)
        result[6] += h * (air2 + g2 * slope2 * d2)
    return first


@compiled
def _record(
    brake: NDArray[np.float64],
    phase: NDArray[np.float64],
    number: int,
    time: float,
    state: NDArray[np.float64],
    temperature: float,
    row: NDArray[np.float64],
) -> None:
    second = REFERENCE + state[1] / brake[WHEEL_CAPACITY]
    flow = brake[COUPLING] * (temperature - second)
    air = phase[AIR_TEMPERATURE]
    lost = phase[HEAT_SINK_CONDUCTANCE] * (temperature - air) + brake[RADIATION] * (temperature**4 - air**4)
    capacity = brake[HEAT_SINK_MASS] * specific_heat(temperature, int(brake[MATERIAL]))
    followed = brake[SENSOR_SHARE] * temperature + (1.0 - brake[SENSOR_SHARE]) * second
    row[TIME] = time
    row[HEAT_SINK] = temperature
    row[WHEEL] = second
    row[INDICATED] = state[2]
    row[HEAT_SINK_RATE] = (phase[POWER] - flow - lost) / capacity
    row[WHEEL_RATE] = (flow - phase[WHEEL_CONDUCTANCE] * (second - air)) / brake[WHEEL_CAPACITY]
    row[INDICATED_RATE] = (followed - state[2]) / brake[SENSOR_LAG]
    row[PHASE] = number


@compiled
def cool(
    brake: NDArray[np.float64],
    phases: NDArray[np.float64],
    start: NDArray[np.float64],
    tolerance: float,
    maximum_step: float,
    stop_below: float,
    history: NDArray[np.float64],
    result: NDArray[np.float64],
) -> None:
    """Run one brake through its phases.

    ``start`` holds the temperatures of heat sink, wheel and indication; ``tolerance`` is the error of one step in K.
    With ``stop_below`` above zero the run ends early once all three are at or below it in the last phase. ``history``
    takes a row at each end of a step and at each start of a phase; none where it has no rows.
    """
    material = int(brake[MATERIAL])
    mass, capacity = brake[HEAT_SINK_MASS], brake[WHEEL_CAPACITY]
    table = np.zeros((_ORDER, _ORDER, _STATES))
    state = np.zeros(_STATES)
    state[0] = mass * heat_content(start[0], material)
    state[1] = capacity * (start[1] - REFERENCE)
    state[2] = start[2]
    stored = state[0] + state[1]
    temperature = start[0]
    time = 0.0
    rows = 0
    steps = 0
    status = STATUS_DONE
    wished = 1.0
    for number in range(phases.shape[0]):
        phase = phases[number]
        last = number == phases.shape[0] - 1
        end = time + phase[DURATION]
        if history.shape[0] > 0:
            if rows >= history.shape[0]:
                status = STATUS_ROWS
                break
            _record(brake, phase, number, time, state, temperature, history[rows])
            rows += 1
        wished = min(wished, 1.0)
        while end - time > 1e-9 * max(1.0, end):
            second = REFERENCE + state[1] / capacity
            if last and stop_below > 0.0 and max(temperature, second, state[2]) <= stop_below:
                status = STATUS_COLD
                break
            steps += 1
            if steps > _MOST_STEPS or wished < _FEWEST_SECONDS:
                status = STATUS_STEPS
                break
            # The rest of a phase is cut into equal steps, so that no tiny one is left over.
            length = (end - time) / math.ceil((end - time) / min(wished, maximum_step) - 1e-9)
            valid = True
            for j in range(_ORDER):
                if math.isnan(_parts(brake, phase, state, temperature, length, j + 1, table[j, 0])):
                    valid = False
                    break
                for k in range(1, j + 1):
                    ratio = (j + 1) / (j + 1 - k)
                    for index in range(_STATES):
                        change = table[j, k - 1, index] - table[j - 1, k - 1, index]
                        table[j, k, index] = table[j, k - 1, index] + change / (ratio - 1.0)
            reached = math.nan
            if valid:
                reached = temperature_of(table[_ORDER - 1, _ORDER - 1, 0] / mass, material, temperature)
            if math.isnan(reached):
                if length <= 1e-3:
                    status = STATUS_RANGE
                    break
                wished = 0.25 * length
                continue
            best, other = table[_ORDER - 1, _ORDER - 1], table[_ORDER - 1, _ORDER - 2]
            error = abs(best[0] - other[0]) / (mass * specific_heat(reached, material))
            error = max(error, abs(best[1] - other[1]) / capacity, abs(best[2] - other[2])) / tolerance
            factor = 4.0 if error <= 1e-4 else min(4.0, max(0.2, 0.9 * error**-0.25))
            if error > 1.0:
                wished = length * factor
                continue
            time = end if length >= (end - time) * (1.0 - 1e-12) else time + length
            for index in range(_STATES):
                state[index] = best[index]
            temperature = reached
            wished = max(wished, length * factor) if length < wished else length * factor
            if history.shape[0] > 0:
                if rows >= history.shape[0]:
                    status = STATUS_ROWS
                    break
                _record(brake, phase, number, time, state, temperature, history[rows])
                rows += 1
        if status != STATUS_DONE:
            break
    result[END_HEAT_SINK] = temperature
    result[END_WHEEL] = REFERENCE + state[1] / capacity
    result[END_INDICATED] = state[2]
    result[HEAT_IN] = state[3]
    result[LOST_AIR_HEAT_SINK] = state[4]
    result[LOST_RADIATION] = state[5]
    result[LOST_AIR_WHEEL] = state[6]
    result[STORED] = state[0] + state[1] - stored
    result[STATUS] = status
    result[ROWS] = rows
    result[STEPS] = steps
    result[END_TIME] = time


@compiled
def cool_many(
    brakes: NDArray[np.float64],
    phases: NDArray[np.float64],
    starts: NDArray[np.float64],
    tolerance: float,
    stop_below: float,
    results: NDArray[np.float64],
) -> None:
    """Run many samples, each with its own brake, phases and start; no history."""
    history = np.zeros((0, HISTORY_SIZE))
    for index in range(brakes.shape[0]):
        cool(brakes[index], phases[index], starts[index], tolerance, math.inf, stop_below, history, results[index])
