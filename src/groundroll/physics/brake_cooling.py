"""Temperatures of a brake over time: heat sink, wheel with tyre bead, and the indication that lags behind.

The equations stand in `groundroll.kernels.brake_cooling`; here they get names, ranges and answers: temperatures at
every moment, peaks, and the time until a limit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from groundroll.kernels import brake_cooling as kernel
from groundroll.physics.arguments import FloatArray, check_range
from groundroll.physics.brake_heat import TEMPERATURE_RANGE, HeatSinkMaterial, kernel_material

STEFAN_BOLTZMANN: Final = 5.670374419e-8
"""[W/(m2 K4)] Exact by the SI of 2019; CODATA 2018 (from memory)."""

FORCED_EXPONENT: Final = 0.8
"""Power of air speed in turbulent forced convection. [-] Heat-transfer textbooks (from memory)."""

FORCED_REFERENCE_SPEED: Final = 10.0
"""Air speed at which a file gives its forced coefficient. [m/s] Assumption of this project."""

LONGEST_RUN: Final = 48.0 * 3600.0
"""Cooling is looked at no further than this. [s] Assumption of this project."""

_MOST_ROWS: Final = 500_000
"""Of a history."""

Node: TypeAlias = Literal["heat_sink", "wheel", "indicated"]


@dataclass(frozen=True)
class BrakeHeatModel:
    """One brake as a heat balance; SI."""

    material: HeatSinkMaterial
    heat_sink_mass: float
    """[kg]"""
    wheel_heat_capacity: float
    """Of wheel and tyre bead. [J/K]"""
    coupling: float
    """Heat flow from heat sink to wheel for each kelvin between them. [W/K]"""
    heat_sink_area: float
    """Area that gives heat to the air and radiates. [m2]"""
    wheel_area: float
    """Area of the wheel that gives heat to the air. [m2]"""
    emissivity: float
    """[-]"""
    still_air_coefficient: float
    """Free convection. [W/(m2 K)]"""
    forced_air_coefficient: float
    """Added by an air speed of 10 m/s. [W/(m2 K)]"""
    fan_coefficient: float
    """Added at the heat sink by a running brake fan. [W/(m2 K)]"""
    sensor_lag: float
    """Time constant of the indication. [s]"""
    sensor_share: float
    """Share of the heat-sink temperature in what the sensor feels; the rest is the wheel's. [-]"""


@dataclass(frozen=True)
class CoolingPhase:
    """A time with the same heat and the same air."""

    duration: float
    """[s]"""
    air_temperature: float
    """Of the air around the brake, and of what it radiates to. [K]"""
    air_speed: float = 0.0
    """At the brake. [m/s]"""
    power: float = 0.0
    """Heat into the heat sink of this brake. [W]"""
    fans: bool = False


@dataclass(frozen=True)
class BrakeTemperatures:
    """Temperatures of the three places at one moment."""

    heat_sink: float
    """[K]"""
    wheel: float
    """[K]"""
    indicated: float
    """[K]"""


@dataclass(frozen=True)
class Peak:
    """The highest temperature of one place and when it is reached."""

    temperature: float
    """[K]"""
    time: float
    """From the start of the first phase. [s]"""


@dataclass(frozen=True)
class HeatBalance:
    """Where the heat went."""

    heat_in: float
    """[J]"""
    lost_to_air_by_heat_sink: float
    """[J]"""
    lost_by_radiation: float
    """[J]"""
    lost_to_air_by_wheel: float
    """[J]"""
    stored: float
    """More heat in heat sink and wheel than at the start. [J]"""

    @property
    def residual(self) -> float:
        """Return heat that the balance misses; zero but for rounding. [J]"""
        return (
            self.heat_in
            - self.lost_to_air_by_heat_sink
            - self.lost_by_radiation
            - self.lost_to_air_by_wheel
            - self.stored
        )


@dataclass(frozen=True)
class CoolingHistory:
    """Temperatures against time; between rows a cubic through values and slopes."""

    time: FloatArray
    heat_sink: FloatArray
    wheel: FloatArray
    indicated: FloatArray
    heat_sink_rate: FloatArray
    wheel_rate: FloatArray
    indicated_rate: FloatArray
    phase: FloatArray
    """Number of the phase of each row, from 0."""
    balance: HeatBalance

    def _node(self, node: Node) -> tuple[FloatArray, FloatArray]:
        if node == "heat_sink":
            return self.heat_sink, self.heat_sink_rate
        return (self.wheel, self.wheel_rate) if node == "wheel" else (self.indicated, self.indicated_rate)

    def at(self, time: ArrayLike, node: Node) -> FloatArray:
        """Return the temperature of a place at times within the history. [K]

        Raises
        ------
        ValueError
            If a time lies outside the history.
        """
        moments = np.asarray(time, dtype=np.float64)
        check_range("time", moments, float(self.time[0]), float(self.time[-1]), "s")
        values, rates = self._node(node)
        row = np.clip(np.searchsorted(self.time, moments, side="right") - 1, 0, len(self.time) - 2)
        return _cubic(self.time, values, rates, row, moments)

    @property
    def end(self) -> BrakeTemperatures:
        """Return the last temperatures."""
        return BrakeTemperatures(float(self.heat_sink[-1]), float(self.wheel[-1]), float(self.indicated[-1]))

    def at_start_of(self, phase: int) -> BrakeTemperatures:
        """Return the temperatures at the start of a phase, counted from 0."""
        row = int(np.searchsorted(self.phase, phase, side="left"))
        return BrakeTemperatures(float(self.heat_sink[row]), float(self.wheel[row]), float(self.indicated[row]))

    def peak(self, node: Node, *, first_phase: int = 0, last_phase: int | None = None) -> Peak:
        """Return the highest temperature of a place within some phases, and when."""
        inside = self.phase >= first_phase
        if last_phase is not None:
            inside &= self.phase <= last_phase
        rows = np.nonzero(inside)[0]
        values, rates = self._node(node)
        best = int(rows[int(np.argmax(values[rows]))])
        peak = Peak(float(values[best]), float(self.time[best]))
        for row in (best - 1, best):
            if row < rows[0] or row + 1 > rows[-1] or self.time[row + 1] <= self.time[row]:
                continue
            if rates[row] > 0.0 > rates[row + 1]:
                peak = max(peak, _top(self.time, values, rates, row), key=lambda one: one.temperature)
        return peak

    def last_above(self, limit: float, node: Node) -> float:
        """Return the last moment at which a place is hotter than ``limit``; the first moment where it never is. [s]"""
        values, rates = self._node(node)
        above = np.nonzero(values > limit)[0]
        if len(above) == 0:
            return float(self.time[0])
        row = int(above[-1])
        if row == len(values) - 1:
            return float(self.time[-1])
        a, b, c, d = _step(self.time, values, rates, row)
        low, high = 0.0, 1.0
        for _ in range(60):
            middle = 0.5 * (low + high)
            if ((a * middle + b) * middle + c) * middle + d > limit:
                low = middle
            else:
                high = middle
        return float(self.time[row] + high * (self.time[row + 1] - self.time[row]))


def _cubic(time: FloatArray, values: FloatArray, rates: FloatArray, row: ArrayLike, at: FloatArray) -> FloatArray:
    """Return the cubic through values and slopes at both ends of each row's step."""
    first = np.asarray(row)
    width = time[first + 1] - time[first]
    width = np.where(width > 0.0, width, 1.0)
    s = (at - time[first]) / width
    return np.asarray(
        (1.0 + 2.0 * s) * (1.0 - s) ** 2 * values[first]
        + s * (1.0 - s) ** 2 * width * rates[first]
        + s**2 * (3.0 - 2.0 * s) * values[first + 1]
        + s**2 * (s - 1.0) * width * rates[first + 1]
    )


def _step(time: FloatArray, values: FloatArray, rates: FloatArray, row: int) -> tuple[float, float, float, float]:
    """Return the cubic a s^3 + b s^2 + c s + d of the step that begins at a row, s from 0 to 1."""
    width = float(time[row + 1] - time[row])
    first, second = float(values[row]), float(values[row + 1])
    c, last = width * float(rates[row]), width * float(rates[row + 1])
    return 2.0 * (first - second) + c + last, 3.0 * (second - first) - 2.0 * c - last, c, first


def _top(time: FloatArray, values: FloatArray, rates: FloatArray, row: int) -> Peak:
    """Return the top of the cubic within a step at whose start it rises and at whose end it falls."""
    a, b, c, d = _step(time, values, rates, row)
    # 3 a s^2 + 2 b s + c = 0 with c > 0 and a negative value at 1: one root between 0 and 1, in the form without
    # cancellation.
    s = c / (math.sqrt(max(b * b - 3.0 * a * c, 0.0)) - b)
    s = min(max(s, 0.0), 1.0)
    moment = float(time[row]) + s * float(time[row + 1] - time[row])
    return Peak(((a * s + b) * s + c) * s + d, moment)


def convection_coefficient(
    air_speed: ArrayLike, still_air_coefficient: float, forced_air_coefficient: float
) -> FloatArray:
    """Return the convection coefficient of a surface in moving air.

    Parameters
    ----------
    air_speed : shape (n,) or scalar
        At the surface, 0 to 150 m/s. [m/s]
    still_air_coefficient : scalar
        Free convection, 0 to 50. [W/(m2 K)]
    forced_air_coefficient : scalar
        Added by 10 m/s, 0 to 500. [W/(m2 K)]

    Returns
    -------
    shape of ``air_speed``
        [W/(m2 K)]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Notes
    -----
    Free convection plus forced convection with the 0.8th power of air speed, as behind a turbulent boundary layer [1]_.
    Textbook ranges of the coefficients: free 2 to 25, forced 25 to 250 W/(m2 K) (from memory).

    References
    ----------
    .. [1] Heat-transfer textbooks, turbulent flow along a plate (from memory).
    """
    speed = np.asarray(air_speed, dtype=np.float64)
    check_range("air_speed", speed, 0.0, 150.0, "m/s")
    check_range("still_air_coefficient", still_air_coefficient, 0.0, 50.0, "W/(m2 K)")
    check_range("forced_air_coefficient", forced_air_coefficient, 0.0, 500.0, "W/(m2 K)")
    forced = forced_air_coefficient * (speed / FORCED_REFERENCE_SPEED) ** FORCED_EXPONENT
    return np.asarray(still_air_coefficient + forced)


def radiated_power(temperature: ArrayLike, area: float, emissivity: float, air_temperature: float = 0.0) -> FloatArray:
    """Return the heat that a grey surface radiates to its surroundings.

    Parameters
    ----------
    temperature : shape (n,) or scalar
        Of the surface, 0 to 4000 K. [K]
    area : scalar
        0 to 100. [m2]
    emissivity : scalar
        0 to 1. [-]
    air_temperature : scalar
        Of what it radiates to, 0 to 1000 K; 0 for emission alone. [K]

    Returns
    -------
    shape of ``temperature``
        [W]

    Raises
    ------
    ValueError
        If an argument lies outside its range.

    Examples
    --------
    >>> round(float(radiated_power(773.15, 0.5, 1.0)) / 1000.0, 1)
    10.1

    References
    ----------
    .. [1] Stefan-Boltzmann law, heat-transfer textbooks.
    """
    values = np.asarray(temperature, dtype=np.float64)
    check_range("temperature", values, 0.0, 4_000.0, "K")
    check_range("area", area, 0.0, 100.0, "m2")
    check_range("emissivity", emissivity, 0.0, 1.0, "")
    check_range("air_temperature", air_temperature, 0.0, 1_000.0, "K")
    return np.asarray(emissivity * STEFAN_BOLTZMANN * area * (values**4 - air_temperature**4))


def _brake_row(model: BrakeHeatModel) -> FloatArray:
    check_range("heat_sink_mass", model.heat_sink_mass, 2.0, 500.0, "kg")
    check_range("wheel_heat_capacity", model.wheel_heat_capacity, 100.0, 1e6, "J/K")
    check_range("coupling", model.coupling, 0.0, 10_000.0, "W/K")
    check_range("heat_sink_area", model.heat_sink_area, 0.0, 20.0, "m2")
    check_range("wheel_area", model.wheel_area, 0.0, 20.0, "m2")
    check_range("emissivity", model.emissivity, 0.0, 1.0, "")
    check_range("fan_coefficient", model.fan_coefficient, 0.0, 1_000.0, "W/(m2 K)")
    check_range("sensor_lag", model.sensor_lag, 0.01, 3_600.0, "s")
    check_range("sensor_share", model.sensor_share, 0.0, 1.0, "")
    row = np.zeros(kernel.BRAKE_SIZE)
    row[kernel.MATERIAL] = kernel_material(model.material)
    row[kernel.HEAT_SINK_MASS] = model.heat_sink_mass
    row[kernel.WHEEL_CAPACITY] = model.wheel_heat_capacity
    row[kernel.COUPLING] = model.coupling
    row[kernel.RADIATION] = model.emissivity * STEFAN_BOLTZMANN * model.heat_sink_area
    row[kernel.SENSOR_LAG] = model.sensor_lag
    row[kernel.SENSOR_SHARE] = model.sensor_share
    return row


def _phase_rows(model: BrakeHeatModel, phases: Sequence[CoolingPhase]) -> FloatArray:
    if not phases:
        raise ValueError("phases is empty; give at least one")
    durations = [phase.duration for phase in phases]
    check_range("duration", durations, 0.0, LONGEST_RUN, "s")
    check_range("power", [phase.power for phase in phases], 0.0, 100e6, "W")
    check_range("air_temperature", [phase.air_temperature for phase in phases], 213.15, 373.15, "K")
    rows = np.zeros((len(phases), kernel.PHASE_SIZE))
    speeds = np.array([phase.air_speed for phase in phases])
    coefficient = convection_coefficient(speeds, model.still_air_coefficient, model.forced_air_coefficient)
    fans = np.array([model.fan_coefficient if phase.fans else 0.0 for phase in phases])
    rows[:, kernel.DURATION] = durations
    rows[:, kernel.POWER] = [phase.power for phase in phases]
    rows[:, kernel.HEAT_SINK_CONDUCTANCE] = model.heat_sink_area * (coefficient + fans)
    rows[:, kernel.WHEEL_CONDUCTANCE] = model.wheel_area * coefficient
    rows[:, kernel.AIR_TEMPERATURE] = [phase.air_temperature for phase in phases]
    return rows


def _start_row(model: BrakeHeatModel, start: BrakeTemperatures) -> FloatArray:
    lower, upper = TEMPERATURE_RANGE[model.material]
    check_range("start.heat_sink", start.heat_sink, lower, upper, "K")
    check_range("start.wheel", start.wheel, 200.0, 2_000.0, "K")
    check_range("start.indicated", start.indicated, 200.0, 3_500.0, "K")
    return np.array([start.heat_sink, start.wheel, start.indicated])


def _refuse(model: BrakeHeatModel, result: FloatArray) -> None:
    """Raise where a run did not reach its end."""
    status = result[kernel.STATUS]
    moment, temperature = float(result[kernel.END_TIME]), float(result[kernel.END_HEAT_SINK])
    if status == kernel.STATUS_RANGE:
        lower, upper = TEMPERATURE_RANGE[model.material]
        raise ValueError(
            f"the heat sink leaves the range of the {model.material} formula, {lower:.6g} to {upper:.6g} K, after "
            f"{moment:.1f} s at {temperature:.6g} K"
        )
    if status in (kernel.STATUS_STEPS, kernel.STATUS_ROWS):
        raise RuntimeError(
            f"the cooling did not end within its steps: after {moment:.1f} s the heat sink is at {temperature:.2f} K"
        )


def brake_temperatures(
    model: BrakeHeatModel,
    start: BrakeTemperatures,
    phases: Sequence[CoolingPhase],
    *,
    stop_below: float | None = None,
    history_step: float = 30.0,
    tolerance: float = 1e-5,
) -> CoolingHistory:
    """Return the temperatures of one brake through phases of heating and cooling.

    Parameters
    ----------
    model
        The brake.
    start
        Temperatures before the first phase.
    phases
        In order.
    stop_below
        Ends the last phase as soon as heat sink, wheel and indication are at or below this; None to run it out. [K]
    history_step
        Longest time between rows, 0.1 to 3600 s. [s]
    tolerance
        Error of one step, 1e-9 to 1 K. [K]

    Returns
    -------
    CoolingHistory
        With the balance of heat.

    Raises
    ------
    ValueError
        If an argument lies outside its range, or the heat sink leaves the range of its specific-heat formula.
    RuntimeError
        If the integration does not come to its end; the message says how far it came.

    Notes
    -----
    One temperature for the whole heat sink, one for the wheel; fans cool the heat sink only. The balance of heat closes
    to rounding. Against reference integrations with other methods the temperatures agree within 0.002 K, and within
    0.05 K where steel passes its change of phase.
    """
    check_range("history_step", history_step, 0.1, 3_600.0, "s")
    check_range("tolerance", tolerance, 1e-9, 1.0, "K")
    rows = _phase_rows(model, phases)
    brake, begun = _brake_row(model), _start_row(model, start)
    below = 0.0 if stop_below is None else stop_below
    room = int(np.sum(np.ceil(rows[:, kernel.DURATION] / history_step))) + 200 * len(phases) + 200
    result = np.zeros(kernel.RESULT_SIZE)
    history = np.zeros((room, kernel.HISTORY_SIZE))
    kernel.cool(brake, rows, begun, tolerance, history_step, below, history, result)
    while result[kernel.STATUS] == kernel.STATUS_ROWS and room < _MOST_ROWS:
        room *= 4  # a small tolerance takes short steps
        history = np.zeros((room, kernel.HISTORY_SIZE))
        kernel.cool(brake, rows, begun, tolerance, history_step, below, history, result)
    _refuse(model, result)
    used = history[: int(result[kernel.ROWS])]
    return CoolingHistory(
        time=used[:, kernel.TIME],
        heat_sink=used[:, kernel.HEAT_SINK],
        wheel=used[:, kernel.WHEEL],
        indicated=used[:, kernel.INDICATED],
        heat_sink_rate=used[:, kernel.HEAT_SINK_RATE],
        wheel_rate=used[:, kernel.WHEEL_RATE],
        indicated_rate=used[:, kernel.INDICATED_RATE],
        phase=used[:, kernel.PHASE],
        balance=HeatBalance(*(float(one) for one in result[kernel.HEAT_IN : kernel.STORED + 1])),
    )


def final_temperatures(
    model: BrakeHeatModel,
    starts: Sequence[BrakeTemperatures],
    phases: Sequence[Sequence[CoolingPhase]],
    *,
    tolerance: float = 1e-5,
) -> list[BrakeTemperatures]:
    """Return the last temperatures of many samples of one kind of brake, without their histories.

    Parameters
    ----------
    model
        The brake.
    starts : shape (n,)
        Temperatures before the first phase of each sample.
    phases : shape (n, m)
        Phases of each sample; all have the same number.
    tolerance
        Error of one step. [K]

    Raises
    ------
    ValueError
        As `brake_temperatures`.
    """
    if len(starts) != len(phases):
        raise ValueError(f"starts has {len(starts)} samples, phases {len(phases)}")
    if not starts:
        return []
    known: dict[int, FloatArray] = {
        id(one): _phase_rows(model, one) for one in {id(one): one for one in phases}.values()
    }
    rows = np.array([known[id(one)] for one in phases])
    brakes = np.repeat(_brake_row(model)[np.newaxis, :], len(starts), axis=0)
    results = np.zeros((len(starts), kernel.RESULT_SIZE))
    begun = np.array([_start_row(model, one) for one in starts])
    kernel.cool_many(brakes, rows, begun, tolerance, 0.0, results)
    for result in results:
        _refuse(model, result)
    return [BrakeTemperatures(float(one[0]), float(one[1]), float(one[2])) for one in results]


def cooling_rate_from_readings(
    first_reading: float, second_reading: float, time_between: float, air_temperature: float
) -> float:
    """Return the decay rate of a brake from two readings of its temperature, for one exponential.

    Parameters
    ----------
    first_reading, second_reading : scalar
        Temperatures, both above the air, the second not above the first. [K]
    time_between : scalar
        Above 0. [s]
    air_temperature : scalar
        [K]

    Returns
    -------
    float
        alpha = ln((T1 - Ta) / (T2 - Ta)) / (t2 - t1). [1/s]

    Raises
    ------
    ValueError
        If a reading is not above the air, the second is hotter than the first, or the time is not positive.

    References
    ----------
    .. [1] EP 3048018, summary: decay coefficient from two readings a fixed interval apart.
    """
    check_range("time_between", time_between, 1e-3, LONGEST_RUN, "s")
    for name, reading in (("first_reading", first_reading), ("second_reading", second_reading)):
        if not reading > air_temperature:
            raise ValueError(f"{name} {reading:.6g} K must be above the air, {air_temperature:.6g} K")
    if second_reading > first_reading:
        raise ValueError(
            f"second_reading {second_reading:.6g} K is above first_reading {first_reading:.6g} K: the brake still warms"
        )
    return math.log((first_reading - air_temperature) / (second_reading - air_temperature)) / time_between


def time_to_temperature(reading: float, limit: float, cooling_rate: float, air_temperature: float) -> float:
    """Return the time until a brake has cooled to a limit, for one exponential.

    Parameters
    ----------
    reading : scalar
        Temperature now. [K]
    limit : scalar
        Above the air. [K]
    cooling_rate : scalar
        Decay rate, above 0. [1/s]
    air_temperature : scalar
        [K]

    Returns
    -------
    float
        ln((T0 - Ta) / (Tt - Ta)) / alpha, 0 where the limit is met already. [s]

    Raises
    ------
    ValueError
        If the limit is not above the air, or the rate is not positive.

    Notes
    -----
    A single exponential knows nothing of the wheel that still warms; it holds for readings well after the stop.

    References
    ----------
    .. [1] EP 3048018, summary; the formula follows from the exponential.
    """
    if not limit > air_temperature:
        raise ValueError(f"limit {limit:.6g} K must be above the air, {air_temperature:.6g} K: it is never reached")
    check_range("cooling_rate", cooling_rate, 1e-9, 10.0, "1/s")
    if reading <= limit:
        return 0.0
    return math.log((reading - air_temperature) / (limit - air_temperature)) / cooling_rate
