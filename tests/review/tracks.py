"""Surveillance tracks as receivers write them, made from kinematics alone: no physics of this project is in them.

A speed falls by a constant or waving deceleration; what a receiver does to it follows. The mean deceleration is known
from the two times at which the true speed passes two values.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

KNOT = 1852.0 / 3600.0
FOOT = 0.3048
NAMES = ("t_s", "lat", "lon", "gs_kt", "on_ground_flag", "alt_ft")


@dataclass(frozen=True)
class Track:
    """How a track is flown and received."""

    seed: int = 0
    interval: float = 1.0
    jitter: float = 0.0
    """Of the time between samples, as a share of it."""
    missing: float = 0.0
    """Share of rows lost at random."""
    doubled: float = 0.0
    """Share of rows that come twice."""
    stale: float = 0.0
    """Share of rows whose position is that of the row before."""
    deceleration: float = 1.6
    wave: float = 0.25
    approach_speed: float = 138.0
    latitude: float = 47.0
    longitude: float = 8.0
    bearing: float = 140.0
    digits: int = 6
    """Of positions in degrees."""
    speed_step: float = 1.0
    """Of the speed. [kt]"""
    surface_steps: bool = False
    """On the ground the speed comes in steps of 1, 2 and 5 kt below 70, 100 and 175 kt, as surface messages do."""
    flag_delay: float = 8.0
    altitude: Literal["all", "air", "none"] = "all"
    clock: Literal["seconds", "offset", "epoch", "iso", "iso with space"] = "seconds"
    fill: tuple[float, float] | None = None
    """Speeds between which nothing was received and both speed and position were filled by straight lines. [kt]"""
    fill_rounded: bool = False
    """Whether filled speeds were rounded as the others, filled positions always are."""
    fill_by: Literal["time", "row"] = "time"
    """What the straight lines run over."""
    fill_speed: bool = True
    fill_position: bool = True
    freeze: float | None = None
    """Speed from which on the reported speed stands still. [kt]"""
    hole: tuple[float, float] | None = None
    """Speeds between which no row exists. [kt]"""
    held: tuple[float, float] | None = None
    """Speeds between which nothing was received and the last row was written again. [kt]"""
    age: float = 0.0
    """Values are up to so old when they are written down, speed and position each by itself. [s]"""
    exit_speed: float | None = None
    """Speed at which the track begins to turn off by 80 deg. [kt]"""
    again: bool = False
    """Whether it takes off again after half a minute."""
    names: tuple[str, ...] = NAMES
    taxi_speed: float = 16.0
    extra: tuple[str, ...] = field(default=())


@dataclass(frozen=True)
class Made:
    """A track and its truth."""

    lines: list[str]
    rows: Array
    """Times of the rows. [s]"""
    time: Array
    speed: Array
    """True. [kt]"""
    touchdown_time: float
    """Since the first row. [s]"""

    def mean_deceleration(self, fast: float = 120.0, slow: float = 60.0) -> float:
        """Return the true mean deceleration between two speeds in knots. [m/s2]"""
        first = self.time[np.argmax((self.speed < fast) & (self.time > self.time[0] + 30.0))]
        last = self.time[np.argmax((self.speed < slow) & (self.time > first))]
        return float((fast - slow) * KNOT / (last - first))

    def write(self, path: Path) -> Path:
        """Write it as CSV."""
        path.write_text("\n".join(self.lines) + "\n", encoding="utf-8")
        return path


def _surface(speed: Array) -> Array:
    steps = np.where(speed >= 100.0, 5.0, np.where(speed >= 70.0, 2.0, 1.0))
    return np.asarray(np.floor(speed / steps) * steps)


def make(track: Track) -> Made:
    """Return the track."""
    generator = np.random.default_rng(track.seed)
    step = 0.02
    time = np.arange(0.0, 240.0, step)
    touchdown = 45.0
    phase, period = generator.uniform(0.0, 6.28), generator.uniform(5.0, 12.0)
    braked = track.deceleration + track.wave * np.sin(6.2832 * time / period + phase)
    rate = np.where(time < touchdown - 6.0, 0.0, 0.5)
    rise = np.clip((time - touchdown - 0.5) / 2.5, 0.0, 1.0)
    rate = rate + rise * (braked - 0.5)
    speed = track.approach_speed - np.cumsum(np.maximum(rate, 0.0)) * step / KNOT
    speed = np.maximum(speed, track.taxi_speed)
    stopped = time[np.argmax(speed <= track.taxi_speed)]
    end = stopped + 15.0
    if track.again:
        away = np.minimum(track.taxi_speed + 3.5 * (time - stopped - 30.0), track.approach_speed + 60.0)
        speed = np.maximum(speed, away)
        end = stopped + 75.0
    turned = np.zeros(time.size)
    if track.exit_speed is not None:
        turned = np.radians(np.clip(5.0 * (time - time[np.argmax(speed <= track.exit_speed)]), 0.0, 80.0))
    along = np.cumsum(speed * KNOT * np.cos(turned)) * step
    aside = np.cumsum(speed * KNOT * np.sin(turned)) * step

    rows = np.arange(generator.uniform(0.0, track.interval), end, track.interval)
    rows = rows + generator.uniform(-0.5, 0.5, rows.size) * track.jitter * track.interval
    rows = np.sort(rows[(rows > 0.0) & (generator.random(rows.size) >= track.missing)])
    if track.hole is not None:
        there = np.interp(rows, time, speed)
        rows = rows[(there > track.hole[0]) | (there < track.hole[1])]
    wander = np.interp(rows, np.arange(0.0, 260.0, 5.0), generator.normal(0.0, 0.3, 52))
    ages = generator.uniform(0.0, track.age, (2, rows.size)) if track.age > 0.0 else np.zeros((2, rows.size))
    true = np.interp(rows - ages[0], time, speed)
    seen = true + wander + generator.normal(0.0, 0.2, rows.size)
    flag = rows >= touchdown + track.flag_delay
    if track.speed_step > 0.0:
        seen = np.round(seen / track.speed_step) * track.speed_step
    if track.surface_steps:
        seen = np.where(flag, _surface(true), seen)
    if track.freeze is not None:
        seen = np.where(true < track.freeze, seen[np.argmax(true < track.freeze)], seen)
    drift = np.interp(rows, np.arange(0.0, 270.0, 15.0), generator.normal(0.0, 2.0, 18))
    place = np.interp(rows - ages[1], time, along) + drift + generator.normal(0.0, 1.0, rows.size)
    place = np.where((generator.random(rows.size) < track.stale) & (np.arange(rows.size) > 0), np.roll(place, 1), place)
    if track.fill is not None:
        lost = (true < track.fill[0]) & (true > track.fill[1])
        over = rows if track.fill_by == "time" else np.arange(rows.size, dtype=float)
        if track.fill_speed:
            seen = np.where(lost, np.interp(over, over[~lost], seen[~lost]), seen)
            if track.fill_rounded:
                seen = np.round(seen)
        if track.fill_position:
            place = np.where(lost, np.interp(over, over[~lost], place[~lost]), place)
    if track.held is not None:
        lost = (true < track.held[0]) & (true > track.held[1])
        last = np.argmax(lost) - 1
        seen, place = np.where(lost, seen[last], seen), np.where(lost, place[last], place)
    bearing = math.radians(track.bearing)
    beside = np.interp(rows - ages[1], time, aside)
    north = place * math.cos(bearing) - beside * math.sin(bearing)
    east = place * math.sin(bearing) + beside * math.cos(bearing)
    latitude = track.latitude + north / 111_200.0
    longitude = track.longitude + east / 111_200.0 / math.cos(math.radians(track.latitude))
    height = np.maximum(touchdown - rows, 0.0) * 3.6 / FOOT + 1375.0
    lines = [",".join((*track.names, *track.extra))]
    start = {"seconds": 0.0, "offset": 4711.37, "epoch": 1_700_000_000.0}.get(track.clock, 1_700_000_000.0)
    for index, moment in enumerate(rows):
        clock = f"{start + moment - rows[0]:.3f}"
        if track.clock.startswith("iso"):
            stamp = np.datetime64(int(1000.0 * (start + moment - rows[0])), "ms")
            clock = str(stamp).replace("T", " ") + "+00:00" if track.clock == "iso with space" else f"{stamp}Z"
        altitude = f"{25.0 * round(height[index] / 25.0):.0f}"
        if track.altitude == "none" or (track.altitude == "air" and flag[index]):
            altitude = ""
        values = {
            "t": clock,
            "lat": f"{latitude[index]:.{track.digits}f}",
            "lon": f"{longitude[index]:.{track.digits}f}",
            "gs": f"{seen[index]:g}" if track.fill_rounded or track.fill is None else repr(float(seen[index])),
            "flag": str(int(flag[index])),
            "alt": altitude,
        }
        line = ",".join((*values.values(), *("x" for _ in track.extra)))
        lines += [line] * (2 if generator.random() < track.doubled else 1)
    return Made(lines, rows, time, speed, float(touchdown - rows[0]))
