"""The roll once more, slow and obvious: SciPy's integrator at a tight tolerance, for comparison only.

Nothing of the product is used but the description of the roll. Forces are written out again from the equations of
docs/model.md, the brakes take the plain minimum of the three limits, and every switch is an event of `solve_ivp` after
which the integration starts afresh.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp

from groundroll.physics.rollout import BrakeStage, Control, Roll, ThrustStage, Trigger

G = 9.80665


@dataclass
class Reference:
    """What the reference integration gives."""

    distance: float
    time: float
    brake_energy: float
    evaluations: int


@dataclass
class _Now:
    """What is under way: last started stages and the branch of each switch."""

    third: int
    hydroplaning: bool
    past_peak: bool
    engines_from: tuple[float, ...]
    engines_to: tuple[float, ...]
    thrust_start: float
    thrust_ramp: float
    control: Control
    command_from: float
    command_to: float
    brake_start: float
    brake_ramp: float
    next_thrust: int
    next_brake: int


def _ramp(t: float, start: float, duration: float, side: float) -> float:
    """Share of a ramp; ``side`` decides at a jump: just after (+) or just before (-)."""
    if duration <= 0.0:
        return 1.0 if t > start or (t == start and side > 0) else 0.0
    return min(1.0, max(0.0, (t - start) / duration))


class _Model:
    def __init__(self, roll: Roll) -> None:
        self.roll = roll
        angle = math.atan(roll.slope)
        self.sin, self.cos = math.sin(angle), math.cos(angle)
        self.torque = min(roll.maximum_brake_force, 100.0 * roll.mass)
        tables = roll.thrust_tables
        self.speeds = [float(speed) for speed in tables.true_airspeed]
        self.tables = [
            [float(one) for one in tables.idle],
            [-float(one) for one in tables.reverse_idle],
            [-float(one) for one in tables.reverse_full],
            [float(one) for one in tables.take_off],
        ]

    def forces(self, middle: float, t: float, v: float, now: _Now) -> tuple[float, float, float]:
        """Return other retarding force, brake force, acceleration; ``middle`` tells the side at jumps by time."""
        r = self.roll
        spoilers = _ramp(t, r.spoilers_start, r.spoilers_ramp, middle - r.spoilers_start) * r.spoilers_share
        nose = _ramp(t, r.nose_start, r.nose_ramp, middle - r.nose_start)
        u = v + r.headwind
        q_s = 0.5 * r.density * u * u * r.wing_area
        c_l = r.lift_coefficient_stowed + spoilers * (r.lift_coefficient_deployed - r.lift_coefficient_stowed)
        c_d = r.drag_coefficient_stowed + spoilers * (r.drag_coefficient_deployed - r.drag_coefficient_stowed)
        c_l += (1 - nose) * r.nose_up_lift_increment
        c_d += (1 - nose) * r.nose_up_drag_increment
        n = max(0.0, r.mass * G * self.cos - q_s * c_l)
        drag = math.copysign(q_s * c_d, u) if c_d >= 0 else q_s * c_d
        share = _ramp(t, now.thrust_start, now.thrust_ramp, middle - now.thrust_start)
        place = min(max(bisect_right(self.speeds, u) - 1, 0), len(self.speeds) - 2)
        width = self.speeds[place + 1] - self.speeds[place]
        between = min(max((u - self.speeds[place]) / width, 0.0), 1.0)
        thrust = 0.0
        for begin, wanted, table in zip(now.engines_from, now.engines_to, self.tables, strict=True):
            engines = begin + share * (wanted - begin)
            if engines:
                thrust += engines * (table[place] + between * (table[place + 1] - table[place]))
        thrust *= r.density_ratio
        third = r.thirds[now.third]
        contaminant = (third.drag_factor_main + nose * third.drag_factor_nose) * v * v
        if now.past_peak:
            contaminant *= (third.hydroplaning_speed / v) ** r.fall_off_exponent
        if now.hydroplaning:
            mu = third.braking.above_switch
        else:
            mu = 0.0
            for coefficient in reversed(third.braking.coefficients):
                mu = mu * v + coefficient
            mu = min(third.braking.cap, mu)
        rolling = r.rolling_resistance * n
        others = drag - thrust + rolling + contaminant + r.mass * G * self.sin
        # F = mu k N_main and N_main = N - n (a N + h/b (F + R)), solved for F by two steps of the fixed point's line:
        # the map is linear, so the intersection with the identity is exact.
        ground = rolling + contaminant

        def grip(force: float) -> float:
            nose_load = nose * (r.nose_share * n + r.height_ratio * (force + ground))
            return mu * r.braked_share * (n - nose_load)

        at_0, at_1 = grip(0.0), grip(1.0)
        friction = max(0.0, at_0 / (1.0 - (at_1 - at_0)))
        if now.control == Control.OFF:
            brake = 0.0
        else:
            command = now.command_from + _ramp(t, now.brake_start, now.brake_ramp, middle - now.brake_start) * (
                now.command_to - now.command_from
            )
            demand = r.mass * command - others if now.control == Control.AUTOMATIC else command * self.torque
            brake = min(max(0.0, demand), friction, self.torque)
        return others, brake, -(others + brake) / r.mass


def _due(stage: ThrustStage | BrakeStage | None, last: float) -> float:
    if stage is None:
        return math.inf
    if stage.trigger == Trigger.TIME:
        return stage.value
    if stage.trigger == Trigger.TIME_AFTER:
        return last + stage.value
    return math.inf


def _watch(kind: str, limit: float) -> Callable[[float, np.ndarray], float]:
    """Return an event of `solve_ivp` that ends the piece when distance passes, or speed falls to, ``limit``."""

    def distance(_time: float, y: np.ndarray) -> float:
        return float(y[0] - limit)

    def speed(_time: float, y: np.ndarray) -> float:
        return float(limit - y[1])

    function = distance if kind in ("third", "thrust by distance", "brakes by distance") else speed
    function.terminal = True  # type: ignore[attr-defined]
    function.direction = 1.0  # type: ignore[attr-defined]
    return function


class _Run:
    """One reference roll under way."""

    def __init__(self, roll: Roll) -> None:
        self.roll = roll
        self.model = _Model(roll)
        self.now = _Now(0, False, False, (0.0,) * 4, (0.0,) * 4, -1.0, 0.0, Control.OFF, 0.0, 0.0, -1.0, 0.0, 0, 0)
        self.t = 0.0
        self.y = np.array([roll.start_distance, roll.start_speed, 0.0])
        while self.now.third < 2 and self.y[0] >= roll.third_ends[self.now.third]:
            self.now.third += 1
        self.enter_branches()
        self.finished = False
        self.evaluations = 0

    def enter_branches(self) -> None:
        third = self.roll.thirds[self.now.third]
        self.now.hydroplaning = bool(self.y[1] >= third.braking.switch_speed)
        self.now.past_peak = bool(self.y[1] > third.hydroplaning_speed)

    def thrust_stage(self) -> ThrustStage | None:
        program = self.roll.thrust_program
        return program[self.now.next_thrust] if self.now.next_thrust < len(program) else None

    def brake_stage(self) -> BrakeStage | None:
        program = self.roll.brake_program
        return program[self.now.next_brake] if self.now.next_brake < len(program) else None

    def start_thrust(self) -> None:
        stage, now = self.thrust_stage(), self.now
        assert stage is not None
        share = _ramp(self.t, now.thrust_start, now.thrust_ramp, 1.0)
        now.engines_from = tuple(a + share * (b - a) for a, b in zip(now.engines_from, now.engines_to, strict=True))
        now.engines_to = (stage.idle, stage.reverse_idle, stage.reverse_full, stage.take_off)
        now.thrust_start, now.thrust_ramp = self.t, stage.ramp
        now.next_thrust += 1

    def start_brakes(self) -> None:
        stage, now = self.brake_stage(), self.now
        assert stage is not None
        _, brake, acceleration = self.model.forces(self.t + 1e-9, self.t, self.y[1], now)
        if stage.control == Control.AUTOMATIC:
            now.command_from = min(max(-acceleration, 0.0), stage.target)
        else:
            now.command_from = brake / self.model.torque if self.model.torque > 0 else 0.0
        now.control = Control.PEDAL if stage.control == Control.OFF else stage.control
        now.command_to = 0.0 if stage.control == Control.OFF else stage.target
        now.brake_start = self.t
        change = abs(now.command_to - now.command_from)
        now.brake_ramp = 0.0 if not 0.0 < stage.rate < math.inf else change / stage.rate
        now.next_brake += 1

    def start_what_is_due(self) -> None:
        while True:
            thrust, brakes = self.thrust_stage(), self.brake_stage()
            if self.due(thrust, self.now.thrust_start):
                self.start_thrust()
            elif self.due(brakes, self.now.brake_start):
                self.start_brakes()
            else:
                return

    def due(self, stage: ThrustStage | BrakeStage | None, last: float) -> bool:
        if stage is None:
            return False
        if stage.trigger == Trigger.SPEED_BELOW:
            return bool(self.y[1] <= stage.value)
        if stage.trigger == Trigger.DISTANCE:
            return bool(self.y[0] >= stage.value)
        return _due(stage, last) <= self.t + 1e-12

    def watched(self) -> list[tuple[str, float]]:
        roll, now = self.roll, self.now
        third = roll.thirds[now.third]
        found = [("stop", roll.end_speed)]
        if now.third < 2:
            found.append(("third", roll.third_ends[now.third]))
        if now.hydroplaning:
            found.append(("hydroplaning", third.braking.switch_speed))
        if now.past_peak:
            found.append(("peak", third.hydroplaning_speed))
        for name, stage in (("thrust", self.thrust_stage()), ("brakes", self.brake_stage())):
            if stage is not None and stage.trigger == Trigger.SPEED_BELOW:
                found.append((f"{name} by speed", stage.value))
            elif stage is not None and stage.trigger == Trigger.DISTANCE:
                found.append((f"{name} by distance", stage.value))
        return found

    def act(self, kind: str) -> None:
        if kind == "stop":
            self.finished = True
        elif kind == "third":
            self.now.third += 1
            self.enter_branches()
        elif kind == "hydroplaning":
            self.now.hydroplaning = False
        elif kind == "peak":
            self.now.past_peak = False
        elif kind.startswith("thrust"):
            self.start_thrust()
        else:
            self.start_brakes()

    def next_moment(self) -> float:
        roll, now = self.roll, self.now
        moments = [
            roll.spoilers_start,
            roll.spoilers_start + roll.spoilers_ramp,
            roll.nose_start,
            roll.nose_start + roll.nose_ramp,
            now.thrust_start + now.thrust_ramp,
            now.brake_start + now.brake_ramp,
            _due(self.thrust_stage(), now.thrust_start),
            _due(self.brake_stage(), now.brake_start),
            self.t + 40.0,
        ]
        return min(moment for moment in moments if moment > self.t + 1e-12)

    def piece(self, rtol: float, method: str, max_step: float) -> None:
        self.start_what_is_due()
        end = self.next_moment()
        middle = 0.5 * (self.t + end)
        watched = self.watched()
        model, now = self.model, self.now

        def rates(time: float, y: np.ndarray) -> list[float]:
            speed = float(y[1])
            _, brake, acceleration = model.forces(middle, time, speed, now)
            return [speed, acceleration, brake * speed]

        scale = rtol / 1e-10
        solution = solve_ivp(
            rates,
            (self.t, end),
            self.y,
            method=method,
            rtol=rtol,
            atol=[1e-7 * scale, 1e-9 * scale, 1e-2 * scale],
            events=[_watch(kind, limit) for kind, limit in watched],
            max_step=max_step,
        )
        assert solution.status >= 0, solution.message
        self.evaluations += solution.nfev
        self.t, self.y = float(solution.t[-1]), solution.y[:, -1].copy()
        for (kind, _), times in zip(watched, solution.t_events, strict=True):
            if len(times):
                self.act(kind)


def reference_roll(roll: Roll, *, rtol: float = 1e-10, method: str = "DOP853", max_step: float = 0.5) -> Reference:
    """Integrate ``roll`` to its end speed with SciPy; every switch is an event, every event a fresh start."""
    run = _Run(roll)
    for _ in range(400):
        run.piece(rtol, method, max_step)
        if run.finished:
            return Reference(float(run.y[0]), run.t, float(run.y[2]), run.evaluations)
        if run.y[0] > roll.limit_distance:
            raise RuntimeError("the reference roll does not stop")
    raise RuntimeError("the reference roll has too many pieces")
