"""What recorders and receivers do to data: found, mended where that is honest, refused with the reason where not."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from groundroll.constants import KNOT
from groundroll.errors import DataError
from groundroll.kernels.straight import straight_stretches
from groundroll.physics.arguments import FloatArray
from groundroll.review.place import EARTH_RADIUS
from groundroll.review.reading import Recording, Series

Mask = np.ndarray[Any, np.dtype[np.bool_]]

FAST: Final = 120.0 * KNOT
SLOW: Final = 60.0 * KNOT
"""Between these the deceleration of a landing is judged. [m/s] Assumption of this project, as is common."""

MOST_FILLED_SHARE: Final = 0.25
"""Share of the time between `FAST` and `SLOW` that may be without honest samples. Assumption of this project."""

LONGEST_GAP: Final = 8.0
"""Longest gap in the roll that the smoother bridges. [s] Assumption of this project."""

MISSED_ROWS: Final = 2
"""Where samples come seldom so many may be missing in a row, up to `LONGEST_SELDOM_GAP`. Assumption of this project."""

LONGEST_SELDOM_GAP: Final = 12.5

GRIDS: Final = (1.0 * KNOT, 0.5 * KNOT, 1.0, 0.1 * KNOT, 0.1, 0.01 * KNOT, 0.01)
"""Steps in which ground speeds come. [m/s]"""

LEAST_ON_GRID: Final = 0.65
"""Share of the samples that must lie on a grid for it to be that of the recording. Assumption of this project."""

EXACT: Final = 0.006 * KNOT
"""Distance from a line, within which values between the steps of their recording count as computed. [m/s]"""

LEAST_EXACT: Final = 4
"""Samples on one exact line, the ones between the steps of the recording, that nobody measured."""

LEAST_RUN: Final = 8
"""Samples on one straight line, as fine as the data are recorded, that nobody measured. Assumption of this project."""

LEAST_RUN_TIME: Final = 6.0
"""Shortest time that such a run lasts. [s]"""

LEAST_COARSE_TIME: Final = 12.0
LEAST_COARSE_SLOPE: Final = 1.5
"""Recorded in coarse steps an honest deceleration may look straight for a while: there a run must last this long [s]
and fall by this many steps a sample. Assumptions of this project."""

FINE_RESOLUTION: Final = 0.25 * KNOT
"""Recorded in finer steps than this, a speed shows the noise of its source. [m/s] Assumption of this project."""

_LEAST_STEP: Final = 0.15
"""Change of speed along a straight line below which it is a steady speed, not a filled gap. [m/s2]"""

Span = tuple[float, float]


@dataclass(frozen=True)
class Window:
    """The part of a recording that holds the landing."""

    first: float
    last: float
    halfway: float
    """When the speed falls through `KNEE`. [s]"""


KNEE: Final = 75.0 * KNOT
LEAST_FAST: Final = 90.0 * KNOT
"""A landing is a fall of speed from above `LEAST_FAST` through `KNEE` to below `SLOW`. Assumption of this project."""

BEFORE: Final = 75.0
AFTER: Final = 90.0
"""Time kept before and after the speed falls through `KNEE`. [s]"""


BASE: Final = 3.0
"""Time between the two positions of which a speed is made, at least. [s] A position rounded by 11 m (four decimals of a
degree) then gives a speed within some 4 m/s."""


def speed_from_positions(latitude: Series, longitude: Series) -> Series:
    """Return ground speed from differences of positions at least `BASE` apart, at the middle of each pair."""
    time = latitude.time
    apart = 1 if latitude.size < 8 else min(max(math.ceil(BASE / max(latitude.interval, 1e-3)), 1), latitude.size // 4)
    east = longitude.at(time) * EARTH_RADIUS * np.cos(latitude.value)
    north = latitude.value * EARTH_RADIUS
    steps = time[apart:] - time[:-apart]
    speed = np.hypot(east[apart:] - east[:-apart], north[apart:] - north[:-apart]) / steps
    return Series(time[:-apart] + 0.5 * steps, speed)


def any_speed(recording: Recording) -> Series:
    """Return the recorded ground speed, else that from positions or distances."""
    speed = recording.get("ground_speed")
    if speed is not None and speed.size > 5:
        return speed
    distance = recording.get("distance")
    if distance is not None:
        steps = np.diff(distance.time)
        return Series(distance.time[:-1] + 0.5 * steps, np.diff(distance.value) / steps)
    return speed_from_positions(recording.series["latitude"], recording.series["longitude"])


def find_landing(recording: Recording) -> Window:
    """Return where the last landing of a recording lies.

    Raises
    ------
    DataError
        If no speed falls from above 90 kt to below 60 kt.
    """
    speed = any_speed(recording)
    found = _landing_in(speed)
    if found is not None:
        return found
    by_place = _speed_by_place(recording.series) if speed is recording.get("ground_speed") else None
    if by_place is not None and _landing_in(by_place) is not None:
        frozen = float(speed.value[-1]) / KNOT
        raise DataError(
            f"{recording.name}: the ground speed does not follow the aeroplane: its last value is {frozen:.0f} kt, "
            "while the positions slow down to a taxi speed. It is frozen. To review the landing by its positions "
            "alone, name the column of the ground speed under ignore in a mapping file."
        )
    least = float(speed.value.min()) / KNOT
    most = float(speed.value.max()) / KNOT
    raise DataError(
        f"{recording.name}: holds no landing: the ground speed, {least:.0f} to {most:.0f} kt, never falls from above "
        "90 kt to below 60 kt within a minute each. A track that ends before 60 kt cannot be reviewed."
    )


def _landing_in(speed: Series) -> Window | None:
    crossings = np.flatnonzero((speed.value[:-1] >= KNEE) & (speed.value[1:] < KNEE))
    for crossing in crossings[::-1]:
        middle = float(speed.time[crossing + 1])
        before = speed.between(middle - 60.0, middle)
        after = speed.between(middle, middle + 60.0)
        if before.size and after.size and before.value.max() >= LEAST_FAST and after.value.min() < SLOW:
            return Window(max(middle - BEFORE, float(speed.time[0])), middle + AFTER, middle)
    return None


def repaired(recording: Recording) -> tuple[Recording, Window]:
    """Return the landing in a recording with what can be mended mended, and everything found said.

    Raises
    ------
    DataError
        If what is left does not allow a review, with the reason: no landing, frozen speed, gaps filled by straight
        lines, a gap in the middle of the roll.
    """
    window = find_landing(recording)
    remarks = list(recording.remarks)
    series = {
        key: one.between(window.first, window.last)
        for key, one in recording.series.items()
        if one.between(window.first, window.last).size > 1
    }
    filled = _positions(series, remarks)
    _speed(series, remarks, recording.name, filled)
    if "ground_speed" not in series and "latitude" not in series and "distance" not in series:
        raise DataError(
            f"{recording.name}: nothing honest is left of its speed and positions: {'; '.join(remarks[-2:])}."
        )
    _gaps(series, recording.name, remarks)
    _acceleration(series, remarks)
    _discretes(series, window, remarks)
    mended = replace(recording, series=series, remarks=tuple(dict.fromkeys(remarks)))
    return mended, window


# ---- speed and positions --------------------------------------------------------------------------------------------


def straight_runs(series: Series, resolution: float, least_slope: float, least_time: float = LEAST_RUN_TIME) -> Mask:
    """Return which samples lie on straight lines too straight to have been measured.

    A run of at least `LEAST_RUN` samples whose distance from one line, not level, is nowhere more than rounding.

    Parameters
    ----------
    series
        As recorded.
    resolution
        Step of the values; 0 where none is visible.
    least_slope
        Level runs, below this change a second, are no filled gaps.
    least_time
        Shortest run. [s]
    """
    count = series.size
    found = np.zeros(count, dtype=bool)
    allowed = max(0.51 * resolution, 1e-5 * max(1.0, float(np.max(np.abs(series.value))) if count else 1.0))
    for first, last in _straight(series.time, (series.value,), allowed, LEAST_RUN):
        moments, numbers = series.time[first : last + 1] - series.time[first], series.value[first : last + 1]
        if moments[-1] < least_time:
            continue
        middle, mean = moments.mean(), numbers.mean()
        slope = float(np.sum((moments - middle) * (numbers - mean)) / np.sum((moments - middle) ** 2))
        straight = np.max(np.abs(mean + slope * (moments - middle) - numbers)) <= 1.2 * allowed
        if straight and abs(slope) >= least_slope:
            found[first + 1 : last] = True
    return found


def _straight(time: FloatArray, values: tuple[FloatArray, ...], allowed: float, least: int) -> list[tuple[int, int]]:
    """Return the runs of at least ``least`` samples in which all values lie near a line each: first and last index.

    Slopes of lines through the first sample, give or take rounding, that pass every sample so far.
    """
    first, last = np.zeros(time.size, dtype=np.int64), np.zeros(time.size, dtype=np.int64)
    table = np.ascontiguousarray(np.vstack(values), dtype=np.float64)
    found = straight_stretches(np.ascontiguousarray(time, dtype=np.float64), table, allowed, least, first, last)
    return list(zip(first[:found].tolist(), last[:found].tolist(), strict=True))


def grid_of(values: FloatArray) -> float:
    """Return the coarsest step on which `LEAST_ON_GRID` of the values lie, 0 where there is none. [m/s]"""
    for step in GRIDS:
        if values.size and float(np.mean(_on_grid(values, step))) >= LEAST_ON_GRID:
            return step
    return 0.0


def _on_grid(values: FloatArray, step: float) -> Mask:
    multiples = values / step
    return np.asarray(np.abs(multiples - np.round(multiples)) < 0.02)


def computed_runs(speed: Series) -> Mask:
    """Return which samples lie on an exact line and between the steps of the recording: computed, not measured."""
    found = np.zeros(speed.size, dtype=bool)
    grid = grid_of(speed.value)
    between = ~_on_grid(speed.value, grid) if grid > 0.0 else np.ones(speed.size, dtype=bool)
    allowed = min(EXACT, 0.06 * grid) if grid > 0.0 else 1e-6 * max(1.0, float(np.max(speed.value, initial=0.0)))
    for first, last in _straight(speed.time, (speed.value,), 0.5 * allowed, LEAST_EXACT):
        slope = (speed.value[last] - speed.value[first]) / (speed.time[last] - speed.time[first])
        inside = between[first + 1 : last]
        if (
            abs(slope) >= _LEAST_STEP
            and speed.time[last] - speed.time[first] >= LEAST_RUN_TIME
            and float(np.mean(inside)) >= 0.5
        ):
            found[first + 1 : last] = True
    return found


def frozen_runs(series: Series, least_time: float = 4.0, least_run: int = 5) -> Mask:
    """Return which samples repeat the value before them for at least ``least_time`` seconds."""
    found = np.zeros(series.size, dtype=bool)
    starts = np.flatnonzero(np.diff(series.value, prepend=np.nan) != 0.0)
    ends = np.append(starts[1:], series.size)
    for start, end in zip(starts, ends, strict=True):
        if end - start >= least_run and series.time[end - 1] - series.time[start] >= least_time:
            found[start + 1 : end] = True
    return found


def _speed(series: dict[str, Series], remarks: list[str], name: str, spans: list[Span]) -> None:
    speed = series.get("ground_speed")
    if speed is None:
        return
    negative = speed.value < -1.0
    if np.any(negative):
        remarks.append(f"ground speed: {int(negative.sum())} negative values were left out")
        speed = speed.without(negative)
    frozen = _stuck(speed, series)
    if np.any(frozen):
        remarks.append(
            f"ground speed: frozen for {_duration(speed, frozen):.0f} s while the aeroplane slowed down; "
            "these samples were left out"
        )
        speed = speed.without(frozen)
    filled = computed_runs(speed) | straight_speed(speed, _speed_by_place(series)) | _filled_with(speed, spans)
    if np.any(filled):
        inside = speed.between(*_braked_span(speed))
        lost = np.isin(inside.time, speed.time[filled])
        share = _duration(inside, lost) / max(float(inside.time[-1] - inside.time[0]), 1e-9) if inside.size > 1 else 1.0
        remarks.append(
            f"ground speed: {int(filled.sum())} samples lie on straight lines, as a gap that somebody filled; "
            "they were left out"
        )
        if share > MOST_FILLED_SHARE:
            raise DataError(
                f"{name}: {100.0 * share:.0f} % of the ground speed between {FAST / KNOT:.0f} and {SLOW / KNOT:.0f} kt "
                "lies on straight lines: gaps filled by interpolation look like a perfectly held deceleration and say "
                "nothing about the landing. Use the track before gaps were filled."
            )
        speed = speed.without(filled)
    if speed.size > 5:
        series["ground_speed"] = speed
    else:
        del series["ground_speed"]


def _filled_with(speed: Series, spans: list[Span]) -> Mask:
    """Return the samples of a speed that is straight, as far as its steps show, where positions were filled in."""
    found = np.zeros(speed.size, dtype=bool)
    allowed = 0.55 * max(grid_of(speed.value), 0.1 * KNOT)
    for first, last in spans:
        inside = (speed.time >= first) & (speed.time <= last)
        if inside.sum() < 3:
            continue
        moments, numbers = speed.time[inside], speed.value[inside]
        # The ends were measured: a filled speed runs straight from one to the other.
        line = np.interp(moments, [moments[0], moments[-1]], [numbers[0], numbers[-1]])
        if float(np.max(np.abs(numbers - line))) <= 2.0 * allowed:
            found |= (speed.time > first) & (speed.time < last)
    return found


def straight_speed(speed: Series, by_place: Series | None = None) -> Mask:
    """Return which samples of a ground speed lie on lines too straight to have been measured.

    Recorded in coarse steps, an honest deceleration can look straight; where positions tell the same speed at the same
    time (``by_place``), it is believed.
    """
    if speed.resolution <= FINE_RESOLUTION:
        return straight_runs(speed, speed.resolution, _LEAST_STEP)
    steep = max(_LEAST_STEP, LEAST_COARSE_SLOPE * speed.resolution / max(speed.interval, 1e-3))
    found = straight_runs(speed, 0.0, steep, LEAST_COARSE_TIME)
    if by_place is None or not np.any(found):
        return found
    edges = np.flatnonzero(np.diff(np.concatenate([[0], found.astype(int), [0]])))
    for first, end in zip(edges[::2], edges[1::2], strict=True):
        there = by_place.between(float(speed.time[first]), float(speed.time[end - 1]))
        enough = there.size >= 0.5 * (speed.time[end - 1] - speed.time[first]) / max(by_place.interval, 1e-3)
        if enough and float(np.percentile(np.abs(there.value - speed.at(there.time)), 90)) < 4.0:
            found[first:end] = False
    return found


def _stuck(speed: Series, series: dict[str, Series]) -> Mask:
    """Return the samples of runs of one value that belie the positions, or end with a jump no aeroplane makes.

    A steady approach repeats its speed too: a run alone is no fault.
    """
    other = _speed_by_place(series)
    frozen = frozen_runs(speed) & (speed.value > 25.0)
    result = np.zeros(speed.size, dtype=bool)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], frozen.astype(int), [0]])))
    for first, end in zip(edges[::2], edges[1::2], strict=True):
        if other is not None and other.size > 3:
            late = speed.time[max(end - 2, first) : end]
            result[first:end] = float(np.min(np.abs(other.at(late) - speed.value[end - 1]))) > 4.0
        elif end >= speed.size:
            result[first:end] = True
        else:
            rate = abs(speed.value[end] - speed.value[end - 1]) / (speed.time[end] - speed.time[end - 1])
            result[first:end] = rate > 6.0
    return result


def _speed_by_place(series: dict[str, Series]) -> Series | None:
    if "latitude" in series and "longitude" in series and series["latitude"].size > 4:
        return speed_from_positions(series["latitude"], series["longitude"])
    distance = series.get("distance")
    if distance is None or distance.size < 5:
        return None
    steps = np.diff(distance.time)
    return Series(distance.time[:-1] + 0.5 * steps, np.diff(distance.value) / steps)


def _duration(series: Series, chosen: Mask) -> float:
    """Return the time covered by some samples, each standing for the interval before it."""
    steps = np.diff(series.time, prepend=series.time[0] if series.size else 0.0)
    return float(np.sum(steps[chosen]))


def _braked_span(speed: Series) -> tuple[float, float]:
    """Return when the speed was last above `FAST` and first below `SLOW` after it."""
    fast = np.flatnonzero(speed.value >= min(FAST, 0.95 * float(speed.value.max())))
    first = float(speed.time[fast[-1]])
    slow = np.flatnonzero((speed.value <= SLOW) & (speed.time > first))
    return first, float(speed.time[slow[0]]) if slow.size else float(speed.time[-1])


def _positions(series: dict[str, Series], remarks: list[str]) -> list[Span]:
    """Leave out positions that nobody measured; return the spans of time in which they were filled in."""
    if "latitude" not in series or "longitude" not in series:
        series.pop("latitude", None)
        series.pop("longitude", None)
        return []
    latitude = series["latitude"]
    longitude = Series(latitude.time, series["longitude"].at(latitude.time), series["longitude"].resolution)
    still = (np.diff(latitude.value, prepend=np.nan) == 0.0) & (np.diff(longitude.value, prepend=np.nan) == 0.0)
    moving = (
        any_speed(Recording("", {"ground_speed": series["ground_speed"]})).at(latitude.time) > 10.0
        if ("ground_speed" in series and series["ground_speed"].size > 5)
        else np.ones(latitude.size, dtype=bool)
    )
    repeated = still & moving
    if np.any(repeated):
        remarks.append(f"positions: {int(repeated.sum())} repeated while moving were left out")
        latitude, longitude = latitude.without(repeated), longitude.without(repeated)
    filled, spans = filled_positions(latitude, longitude, series.get("ground_speed"))
    if np.any(filled):
        remarks.append(f"positions: {int(filled.sum())} lie on a straight line at one pace, as filled in; left out")
        latitude, longitude = latitude.without(filled), longitude.without(filled)
    if latitude.size < 5:
        series.pop("latitude")
        series.pop("longitude")
        return spans
    series["latitude"], series["longitude"] = latitude, longitude
    return spans


def filled_positions(latitude: Series, longitude: Series, speed: Series | None) -> tuple[Mask, list[Span]]:
    """Return which positions were filled in at one pace while the aeroplane slowed down, and when.

    Places evenly spaced in time say that the speed stood still. Where the speed before and after says otherwise, by
    more than rounding can hide, nobody measured them. Between speeds V and V - D, T apart, true places bulge from the
    even ones by D T / 8.
    """
    found = np.zeros(latitude.size, dtype=bool)
    spans: list[Span] = []
    if latitude.size < 6:
        return found, spans
    east = (longitude.value - longitude.value[0]) * EARTH_RADIUS * math.cos(float(latitude.value[0]))
    north = (latitude.value - latitude.value[0]) * EARTH_RADIUS
    rounding = min(min(latitude.resolution, longitude.resolution) * EARTH_RADIUS, 30.0)
    allowed = 0.51 * rounding + 0.02
    by_place = speed_from_positions(latitude, longitude)
    for first, last in _straight(latitude.time, (east, north), allowed, LEAST_EXACT):
        start, end = float(latitude.time[first]), float(latitude.time[last])
        if end - start < LEAST_RUN_TIME:
            continue
        share = (latitude.time[first : last + 1] - start) / (end - start)
        chord = [
            np.max(np.abs(one[first : last + 1] - one[first] - share * (one[last] - one[first])))
            for one in (east, north)
        ]
        if max(chord) > 2.0 * allowed:  # both ends and the sample itself are rounded
            continue
        before = by_place.between(start - 8.0, start - 0.5 * BASE)
        after = by_place.between(end + 0.5 * BASE, end + 8.0)
        change = 0.0
        if speed is not None and speed.size > 5:
            change = abs(float(speed.at(start)) - float(speed.at(end)))
        elif before.size and after.size:
            change = abs(float(np.median(before.value)) - float(np.median(after.value)))
        if change * (end - start) / 8.0 > 3.0 * allowed + 4.0:
            found[first + 1 : last] = True
            spans.append((start, end))
    return found, spans


_MOVES: Final = ("ground_speed", "latitude", "distance")


def _gaps(series: dict[str, Series], name: str, remarks: list[str]) -> None:
    """Refuse a roll with too long a gap in everything that tells its speed; say the shorter ones."""
    best = min(
        (
            _worst_gap(one, speed)
            for speed in [any_speed(Recording(name, series))]
            for key, one in series.items()
            if key in _MOVES
        ),
    )
    usual = min((one.interval for key, one in series.items() if key in _MOVES), default=1.0)
    longest = min(max(LONGEST_GAP, (MISSED_ROWS + 1.2) * usual), LONGEST_SELDOM_GAP)
    if best > longest:
        raise DataError(
            f"{name}: has a gap of {math.ceil(best)} s between {FAST / KNOT:.0f} and {SLOW / KNOT:.0f} kt; "
            f"at most {longest:.0f} s are bridged. Nothing is invented for what nobody recorded."
        )
    if best > 3.0:
        remarks.append(f"longest gap in the braked part: {best:.0f} s, bridged by the smoother with its uncertainty")


def _worst_gap(one: Series, speed: Series) -> float:
    first, last = _braked_span(speed)
    times = one.time[(one.time > first) & (one.time < last)]
    return float(np.max(np.diff(np.concatenate([[first], times, [last]]))))


# ---- accelerometer and discretes ------------------------------------------------------------------------------------


def _acceleration(series: dict[str, Series], remarks: list[str]) -> None:
    """Turn an accelerometer of the wrong sign round; leave out one that does not follow the speed at all."""
    acceleration = series.get("longitudinal_acceleration")
    speed = series.get("ground_speed")
    if acceleration is None or speed is None or speed.size < 10:
        return
    grid = np.arange(float(speed.time[0]), float(speed.time[-1]), 1.0)
    if grid.size < 15:
        return
    smooth = np.convolve(speed.at(grid), np.ones(5) / 5.0, mode="valid")
    rate = np.gradient(smooth)
    felt = np.convolve(acceleration.at(grid), np.ones(5) / 5.0, mode="valid")
    if np.std(felt) < 0.05 or np.std(rate) < 0.05:
        remarks.append("longitudinal acceleration: hardly changes through the landing; not used")
        del series["longitudinal_acceleration"]
        return
    correlation = float(np.corrcoef(rate, felt)[0, 1])
    if correlation < -0.5:
        remarks.append("longitudinal acceleration: falls where the speed rises; its sign was turned round")
        series["longitudinal_acceleration"] = replace(acceleration, value=-acceleration.value)
    elif correlation < 0.5:
        remarks.append(
            f"longitudinal acceleration: does not follow the speed (correlation {correlation:.2f}); not used"
        )
        del series["longitudinal_acceleration"]


_EXPECTED: Final = {"on_ground": 1.0, "main_gear_on_ground": 1.0, "nose_gear_on_ground": 1.0}
"""Value of a discrete at the end of the roll, where it must differ from that before touchdown."""


def _discretes(series: dict[str, Series], window: Window, remarks: list[str]) -> None:
    """Settle the polarity of discretes from the data: they must say air first and ground last, stowed before."""
    for name, at_end in _EXPECTED.items():
        one = series.get(name)
        if one is None:
            continue
        words = name.replace("_", " ")
        first, last = one.value[0], one.value[-1]
        if first == last and np.all(one.value == first):
            remarks.append(f"{words}: never changes; not used")
            del series[name]
        elif last != at_end and first == at_end:
            remarks.append(f"{words}: says ground in the air; its polarity was turned round")
            series[name] = replace(one, value=1.0 - one.value)
    for name in ("reverser_deployed", "reverse_selected"):
        one = series.get(name)
        if one is None:
            continue
        words = name.replace("_", " ")
        before = one.between(window.first, window.halfway - 30.0)
        if before.size and np.mean(before.value) > 0.9 and np.min(one.value) == 0.0:
            remarks.append(f"{words}: says deployed in the air; its polarity was turned round")
            series[name] = replace(one, value=1.0 - one.value)
        elif np.all(one.value == 1.0):
            selected = series.get("reverse_selected")
            if name == "reverser_deployed" and selected is not None and np.all(selected.value == 0.0):
                remarks.append(
                    f"{words}: says deployed in the air and ever after, with reverse never selected; its polarity was "
                    "turned round"
                )
                series[name] = replace(one, value=1.0 - one.value)
            else:
                remarks.append(f"{words}: never changes; not used")
                del series[name]
