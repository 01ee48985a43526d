"""The rejected take-off once more, slow and obvious: SciPy at a tight tolerance, for comparison only.

Nothing of the product's physics or planning is used: the files' data come in, and the equations of docs/model.md are
written out again. Every moment at which a force has a kink is the end of a piece of integration; the ends of thirds and
speeds are events.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp

from groundroll.scenario.model import Aircraft, TakeOffFlap

G = 9.80665
R = 287.05287
KNOT = 1852.0 / 3600.0
PSI = 6894.757293168

WET = {  # 14 CFR 25.109(c)(1), smooth wet, from memory: coefficients of (V / 100 kt), highest power first
    50: (-0.0350, 0.306, -0.851, 0.883),
    100: (-0.0437, 0.320, -0.805, 0.804),
    200: (-0.0331, 0.252, -0.658, 0.692),
    300: (-0.0401, 0.263, -0.611, 0.614),
}
EFFICIENCY = {"fully-modulating": 0.80, "quasi-modulating": 0.50, "on-off": 0.30}


@dataclass
class Day:
    """Everything of one random take-off that is not in the aircraft file."""

    mass: float
    flap: TakeOffFlap
    rating_share: float
    pressure: float
    temperature: float
    headwind: float
    slope: float
    codes: tuple[int, int, int]
    runway_length: float
    start: float
    """Line-up allowance: where the roll begins. [m]"""
    slush: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Depth of slush on each third. [m]"""


class Reference:
    """One aeroplane on one day."""

    def __init__(self, aircraft: Aircraft, day: Day) -> None:
        data = aircraft.take_off
        assert data is not None
        self.aircraft, self.data, self.day = aircraft, data, day
        self.rho = day.pressure / (R * day.temperature)
        self.sigma = self.rho / 1.225
        altitude = 288.15 / 0.0065 * (1.0 - (day.pressure / 101_325.0) ** (0.0065 * R / G))
        flat = data.thrust.flat_rating_temperature - 0.0065 * altitude
        loss = data.thrust.fall_per_kelvin * max(0.0, day.temperature - flat)
        self.setting = day.rating_share * (day.pressure / 101_325.0) ** data.thrust.pressure_exponent * (1.0 - loss)
        table = aircraft.engines.thrust
        self.speeds = list(table.airspeed)
        self.take_off = list(table.take_off or ())
        self.idle = list(table.idle)
        angle = math.atan(day.slope)
        self.sine, self.cosine = math.sin(angle), math.cos(angle)
        self.slush = [self.slush_factor(depth) for depth in day.slush]
        # 9 sqrt(p / G) knots, p in psi: NASA TM-85652; G = 0.85 for slush, 1 in the rule of code 2.
        self.hydroplaning = 9.0 * math.sqrt(aircraft.tyres.main.pressure / PSI) * KNOT
        self.torque = aircraft.brakes.count * aircraft.brakes.maximum_torque / aircraft.brakes.rolling_radius

    def slush_factor(self, depth: float) -> float:
        """Return drag over speed squared of tyres and spray, AMC 25.1591 from memory; slush deeper than 3 mm."""
        if depth <= 0.003:
            return 0.0
        tyres = self.aircraft.tyres
        total = 0.0
        for one, spray in (
            (tyres.main, 0.0),
            (tyres.nose, 0.02 * self.aircraft.geometry.wetted_fuselage_length / 0.3048),
        ):
            share = (one.deflection + depth) / one.width
            width = 2.0 * one.width * math.sqrt(share - share * share) if share <= 0.5 else one.width
            total += one.count * (0.75 + spray) * 0.5 * 850.0 * width * depth
        return total

    def thrust(self, values: list[float], airspeed: float) -> float:
        place = min(max(bisect_right(self.speeds, airspeed) - 1, 0), len(self.speeds) - 2)
        low, high = self.speeds[place], self.speeds[place + 1]
        share = min(max((airspeed - low) / (high - low), 0.0), 1.0)
        return values[place] * (1.0 - share) + values[place + 1] * share

    def friction(self, code: int, v: float) -> float:
        brakes = self.aircraft.brakes
        efficiency = EFFICIENCY[brakes.anti_skid]
        dry = brakes.certified_dry_coefficient
        if code == 6:
            return dry
        if code in (4, 3):
            return (0.20 if code == 4 else 0.16) * efficiency / 0.80
        if code == 2 and v >= 0.85 * self.hydroplaning:
            return 0.05 * efficiency / 0.80
        psi = self.aircraft.tyres.main.pressure / PSI
        listed = sorted(WET)
        upper = next(one for one in listed if one >= psi - 1e-9)
        lower = max((one for one in listed if one <= psi + 1e-9), default=upper)
        share = 0.0 if upper == lower else (psi - lower) / (upper - lower)
        x = v / KNOT / 100.0
        values = [float(np.polyval(WET[one], x)) for one in (lower, upper)]
        wet = efficiency * ((1.0 - share) * values[0] + share * values[1])
        return min(0.5 * wet, 0.16 * efficiency / 0.80) if code == 2 else min(dry, wet)

    def acceleration(
        self, third: int, v: float, engines: float, idle: float, spoilers: float, pedal: float, more_drag: float
    ) -> float:
        day, flap, aircraft = self.day, self.day.flap, self.aircraft
        u = v + day.headwind
        q_s = 0.5 * self.rho * u * u * aircraft.geometry.wing_area
        drag = flap.drag_coefficient_stowed * (1.0 - spoilers) + flap.drag_coefficient_deployed * spoilers + more_drag
        _, rolling = self.on_the_wheels(third, v, spoilers)
        thrust = engines * self.thrust(self.take_off, u) * self.setting
        thrust += idle * self.thrust(self.idle, u) * self.sigma
        brake = self.applied(third, v, spoilers, pedal) * self.torque
        force = thrust - math.copysign(q_s * drag, u) - rolling - brake - day.mass * G * self.sine
        return force / day.mass

    def applied(self, third: int, v: float, spoilers: float, pedal: float) -> float:
        """Return the share of full brake force that ``pedal`` brings at this place and speed."""
        brake = 0.0
        if pedal > 0.0:
            load, rolling = self.on_the_wheels(third, v, spoilers)
            # F = mu k (N - a N - h (F + rolling)), slush in it: moments about the main wheels, solved for F.
            aircraft = self.aircraft
            geometry = aircraft.geometry
            a = geometry.main_gear_to_centre_of_gravity / geometry.wheelbase
            h = geometry.centre_of_gravity_height / geometry.wheelbase
            grip = self.friction(self.day.codes[third], v) * aircraft.brakes.count / aircraft.tyres.main.count
            friction = max(grip * (load * (1.0 - a) - h * rolling) / (1.0 + grip * h), 0.0)
            brake = min(friction, self.torque, pedal * self.torque)
        return brake / self.torque

    def on_the_wheels(self, third: int, v: float, spoilers: float) -> tuple[float, float]:
        """Return the load on the wheels and their resistance to rolling, slush in it. [N]"""
        day, flap = self.day, self.day.flap
        u = v + day.headwind
        lift = flap.lift_coefficient_stowed * (1.0 - spoilers) + flap.lift_coefficient_deployed * spoilers
        load = max(day.mass * G * self.cosine - 0.5 * self.rho * u * u * self.aircraft.geometry.wing_area * lift, 0.0)
        highest = self.hydroplaning / math.sqrt(0.85)
        rolling = self.aircraft.brakes.rolling_resistance * load
        return load, rolling + self.slush[third] * v * v * (1.0 if v <= highest else (highest / v) ** 4)

    def integrate(
        self,
        y: np.ndarray,
        moments: list[float],
        programme,
        *,
        until: float | None,
        first: float = 0.0,
        last: float = 500.0,
    ) -> tuple[float, np.ndarray]:  # type: ignore[no-untyped-def]
        """Integrate piece by piece over ``moments``; stop at speed ``until`` rising, at rest or at ``last``."""
        time = first
        ends = [self.day.runway_length / 3.0, self.day.runway_length * 2.0 / 3.0]
        for end in [*sorted(one for one in moments if first < one < last), last]:
            while time < end - 1e-12:
                middle = 0.5 * (time + end)
                third = sum(y[0] >= one - 1e-9 for one in ends)

                def rates(t: float, state: np.ndarray, third: int = third, middle: float = middle) -> list[float]:
                    return [state[1], self.acceleration(third, state[1], *programme(t, middle))]

                def edge(_t: float, state: np.ndarray, third: int = third) -> float:
                    return float(state[0] - (ends[third] if third < 2 else 1e9))

                def speed(_t: float, state: np.ndarray) -> float:
                    return float(-state[1] if until is None else state[1] - until)

                for event in (edge, speed):
                    event.terminal, event.direction = True, 1.0  # type: ignore[attr-defined]
                found = solve_ivp(
                    rates, (time, end), y, method="DOP853", rtol=1e-9, atol=1e-9, max_step=4.0, events=[edge, speed]
                )
                time, y = float(found.t[-1]), found.y[:, -1].copy()
                if len(found.t_events[1]):
                    return time, y
        return time, y

    def accelerate_stop(
        self, failure_speed: float, *, failed: bool, brakes: list[tuple[float, float, float]] | None = None
    ) -> tuple[float, float]:
        """Return ground speed at the first action and the distance to the stop, nothing added.

        ``brakes`` are one or two of (time, share of full braking, change a second): the second goes from the share of
        full brake force that is applied then. Left out, the pedals of the file.

        An engine fails at ``failure_speed`` and the first action follows after the recognition time; with all engines
        the first action comes at ``failure_speed`` itself.
        """
        data, every = self.data, float(self.aircraft.engines.count)
        actions, failure = data.reject.demonstrated, data.engine_failure
        y = np.array([self.day.start, 0.0])
        _, y = self.integrate(y, [], lambda _t, _m: (every, 0.0, 0.0, 0.0, 0.0), until=failure_speed)
        left, drag = 0.0, 0.0
        if failed:
            decay = failure.decay_time
            drag = failure.windmilling_drag_coefficient
            recognition = data.reject.recognition

            def failing(t: float, _m: float) -> tuple[float, ...]:
                lost = 1.0 if decay <= 0.0 else min(t / decay, 1.0)
                return every - lost, 0.0, 0.0, 0.0, drag + failure.yaw_drag_coefficient

            if recognition > 0.0:
                y = self._for(recognition, decay, y, failing)
            left = max(decay - recognition, 0.0)
        first_action = float(y[1])
        live = every - (1.0 if failed else 0.0)

        def running(t: float, before: bool) -> float:
            """Engines at take-off thrust before the levers close."""
            lost = 1.0 - (left - t) / failure.decay_time if left > 0.0 and t < left else 1.0
            return every - lost if failed else every

        at_closing = running(actions.thrust, True)

        given = brakes or [(actions.brakes, 1.0, math.inf if actions.brakes_ramp <= 0.0 else 1.0 / actions.brakes_ramp)]

        def stopping(t: float, middle: float, begun: float = 0.0, stage: int = 0) -> tuple[float, ...]:
            if middle < actions.thrust:
                engines, idle = running(t, True), 0.0
            else:
                done = 1.0 if actions.thrust_ramp <= 0.0 else min((t - actions.thrust) / actions.thrust_ramp, 1.0)
                engines, idle = at_closing * (1.0 - done), live * done
            return (
                engines,
                idle,
                _ramp(t, middle, actions.spoilers, actions.spoilers_ramp),
                _share(t, middle, begun, *given[stage]),
                drag,
            )

        moments = [left, actions.thrust, actions.thrust + actions.thrust_ramp, actions.spoilers, actions.brakes]
        start, share, change = given[0]
        moments += [actions.spoilers + actions.spoilers_ramp, start, start + share / change]
        over = given[1][0] if len(given) > 1 else 500.0
        _, y = self.integrate(y, moments, stopping, until=None, last=over)
        if len(given) > 1 and y[1] > 1e-3:
            _, _, spoilers, pedal, _ = stopping(over, over - 1e-9)
            third = sum(y[0] >= one for one in (self.day.runway_length / 3.0, self.day.runway_length * 2.0 / 3.0))
            begun = self.applied(third, float(y[1]), spoilers, pedal)
            moments.append(over + abs(given[1][1] - begun) / given[1][2])
            _, y = self.integrate(y, moments, lambda t, middle: stopping(t, middle, begun, 1), until=None, first=over)
        return first_action, float(y[0]) - self.day.start

    def _for(self, duration: float, kink: float, y: np.ndarray, programme) -> np.ndarray:  # type: ignore[no-untyped-def]
        """Integrate for a given time; the third is that of the start, its edge is met by short steps."""
        ends = [self.day.runway_length / 3.0, self.day.runway_length * 2.0 / 3.0]

        def rates(t: float, state: np.ndarray) -> list[float]:
            third = sum(state[0] >= one for one in ends)
            return [state[1], self.acceleration(third, state[1], *programme(t, t))]

        time = 0.0
        for end in sorted({min(kink, duration), duration} - {0.0}):
            found = solve_ivp(rates, (time, end), y, method="DOP853", rtol=1e-10, atol=1e-10)
            time, y = end, found.y[:, -1].copy()
        return y


def _ramp(t: float, middle: float, start: float, duration: float) -> float:
    if middle < start:
        return 0.0
    return 1.0 if duration <= 0.0 else min(max((t - start) / duration, 0.0), 1.0)


def _share(t: float, middle: float, begun: float, start: float, wanted: float, change: float) -> float:
    """Return the share of full braking that is asked for: from ``begun`` towards ``wanted``, so much a second."""
    if middle < start:
        return 0.0
    most = math.inf if change == math.inf else max(t - start, 0.0) * change
    return begun + math.copysign(min(abs(wanted - begun), most), wanted - begun)
