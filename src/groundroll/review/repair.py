"""What recorders and receivers do to data: found, mended where that is honest, refused with the reason where not."""

from __future__ import annotations

import itertools
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

PLAIN_GRIDS: Final = (0.5 * KNOT, 0.5)
"""Steps, whole ones among them, on which computed values lie by chance only. [m/s]"""

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

LEAST_EXACT_TIME: Final = 2.5
"""Shortest time that a run of computed values between the steps of their recording lasts. [s] Four of them in a row are
no chance, however short. Assumption of this project."""

LEAST_EVEN_TIME: Final = 4.5
"""Shortest time that positions at one pace last. [s]"""

LEAST_COVERED: Final = 0.5
"""Share of a span of filled positions that a straight speed must cover, and of its speeds that come with a position.
Assumption of this project."""

MOST_TRIMMED: Final = 3
"""Samples taken off the ends of a run at most."""

LEAST_BULGE: Final = 2.0
"""By how much more than rounding true positions must bulge from positions at one pace, for these to count as filled in.
[m] Assumption of this project."""

UNEVEN: Final = 0.02
"""Spread of the time between samples, over its mean, from which lines over the number of the row are looked for too:
who fills gaps often counts rows and not seconds. Assumption of this project."""

SURFACE_STEPS: Final = ((100.0, 5.0), (70.0, 2.0), (15.0, 1.0), (2.0, 0.5))
"""Ground speeds of surface position messages: from the first number on they come in steps of the second, the number
sent being the lower end of its step. [kt] Surface movement field of the 1090 MHz extended squitter (from memory)."""

CHANCE_ON_STEPS: Final = 0.005
"""Highest probability with which whole knots that were not coded so would lie on these steps. Assumption of this
project."""

STALE_RATE: Final = 2.8
STALE_RATE_FINE: Final = 1.3
STALE_RATE_ONCE: Final = 4.5
"""Deceleration beyond which a jump says that the values before it were held over: repeated ones, repeated ones that are
no round numbers (two alike are no chance there), and a single one. [m/s2] Assumptions of this project: few landings
reach the first, none within a sample of not slowing down at all."""

LEAST_COARSE_TIME: Final = 12.0
LEAST_COARSE_SLOPE: Final = 1.5
"""Recorded in coarse steps an honest deceleration may look straight for a while: there a run must last this long [s]
and fall by this many steps a sample. Assumptions of this project."""

FINE_RESOLUTION: Final = 0.25 * KNOT
"""Recorded in finer steps than this, a speed shows the noise of its source. [m/s] Assumption of this project."""

_LEAST_STEP: Final = 0.15
"""Change of speed along a straight line below which it is a steady speed, not a filled gap. [m/s2]"""

Span = tuple[float, float, int]
"""First and last time, and how many samples lie between."""


@dataclass(frozen=True)
class Window:
    """The part of a recording that holds the landing."""

    first: float
    last: float
    halfway: float
    """When the speed falls through `KNEE`. [s]"""


TAXI: Final = 30.0 * KNOT
"""Below it repeated values are no wonder. [m/s]"""

TREMBLING: Final = 0.03
"""Deviation of a recorded acceleration from a line that shows wheels on the ground. [m/s2] Assumption of this project:
steps of 0.004 g leave 0.011."""

LEAST_TREMBLES: Final = 8
"""Samples of it that are enough. [-] Assumption of this project."""

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
    stands = bool(np.all(speed.value[-LEAST_EXACT:] == speed.value[-1]))
    if stands and by_place is not None and _landing_in(by_place) is not None:
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
        share = float((speed.value[crossing] - KNEE) / (speed.value[crossing] - speed.value[crossing + 1]))
        middle = float(speed.time[crossing] + share * (speed.time[crossing + 1] - speed.time[crossing]))
        before = speed.between(middle - 60.0, middle)
        after = speed.between(middle, middle + 60.0)
        if before.size and after.size and before.value.max() >= LEAST_FAST and after.value.min() < SLOW:
            later = speed.between(middle, middle + AFTER)
            slow = np.flatnonzero(later.value < SLOW)[0]
            away = np.flatnonzero(later.value[slow:] > KNEE)  # it takes off again
            last = middle + AFTER
            if away.size:
                last = float(later.time[slow + int(np.argmin(later.value[slow : slow + away[0]]))])
            return Window(max(middle - BEFORE, float(speed.time[0])), last, middle)
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


def straight_runs(
    series: Series,
    resolution: float,
    least_slope: float,
    least_time: float = LEAST_RUN_TIME,
    rows: FloatArray | None = None,
) -> Mask:
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
    rows
        Times of all rows of the recording; None where the samples are all there are. [s]
    """
    count = series.size
    found = np.zeros(count, dtype=bool)
    allowed = max(0.51 * resolution, 1e-5 * max(1.0, float(np.max(np.abs(series.value))) if count else 1.0))
    for over in _abscissae(series.time, rows):
        for first, last in _straight(over, (series.value,), allowed, LEAST_RUN):
            numbers, lasting = series.value[first : last + 1], float(series.time[last] - series.time[first])
            if lasting < least_time:
                continue
            slope, off = _line(over[first : last + 1], numbers)
            if off <= 1.2 * allowed and abs(slope) * float(over[last] - over[first]) / lasting >= least_slope:
                found[first + 1 : last] = True
    return found


def _line(over: FloatArray, values: FloatArray) -> tuple[float, float]:
    """Return the slope of the line through values, and how far the furthest lies from it."""
    shifted, mean = over - over.mean(), float(values.mean())
    slope = float(np.sum(shifted * (values - mean)) / np.sum(shifted**2))
    return slope, float(np.max(np.abs(mean + slope * shifted - values)))


def _straight(over: FloatArray, values: tuple[FloatArray, ...], allowed: float, least: int) -> list[tuple[int, int]]:
    """Return the runs of at least ``least`` samples in which all values lie near a line each: first and last index.

    Slopes of lines through the first sample, give or take rounding, that pass every sample so far; from either end, so
    that a run which swallows the beginning of another one does not hide it.
    """
    size = over.size
    runs = _straight_onwards(over, values, allowed, least)
    back = _straight_onwards(-over[::-1], tuple(one[::-1] for one in values), allowed, least)
    return sorted({*runs, *((size - 1 - last, size - 1 - first) for first, last in back)})


def _straight_onwards(
    over: FloatArray, values: tuple[FloatArray, ...], allowed: float, least: int
) -> list[tuple[int, int]]:
    first, last = np.zeros(over.size, dtype=np.int64), np.zeros(over.size, dtype=np.int64)
    table = np.ascontiguousarray(np.vstack(values), dtype=np.float64)
    found = straight_stretches(np.ascontiguousarray(over, dtype=np.float64), table, allowed, least, first, last)
    return list(zip(first[:found].tolist(), last[:found].tolist(), strict=True))


def _abscissae(time: FloatArray, rows: FloatArray | None) -> list[FloatArray]:
    """Return what gaps are filled over: time, and the number of the row where that differs.

    ``rows`` are the times of all rows of the recording; None where the samples are all there are.
    """
    steps = np.diff(time)
    if steps.size < LEAST_EXACT or float(np.std(steps)) <= UNEVEN * float(np.mean(steps)):
        return [time]
    return [time, np.searchsorted(time if rows is None else rows, time).astype(np.float64)]


def grid_of(values: FloatArray) -> float:
    """Return the coarsest step on which `LEAST_ON_GRID` of the values lie, 0 where there is none. [m/s]"""
    for step in GRIDS:
        if values.size and float(np.mean(_on_grid(values, step))) >= LEAST_ON_GRID:
            return step
    return 0.0


def _on_grid(values: FloatArray, step: float) -> Mask:
    multiples = values / step
    return np.asarray(np.abs(multiples - np.round(multiples)) < 0.02)


def computed_runs(speed: Series, rows: FloatArray | None = None) -> Mask:
    """Return which samples lie on an exact line and between the steps of the recording: computed, not measured."""
    found = np.zeros(speed.size, dtype=bool)
    grid = grid_of(speed.value)
    # Where the airborne part has no steps (two whole numbers, squared, summed, rooted), that on the ground may have.
    between = ~np.any([_on_grid(speed.value, one) for one in ((grid,) if grid > 0.0 else PLAIN_GRIDS)], axis=0)
    allowed = min(EXACT, 0.06 * grid) if grid > 0.0 else 1e-6 * max(1.0, float(np.max(speed.value, initial=0.0)))
    for over in _abscissae(speed.time, rows):
        for first, last in _straight(over, (speed.value,), 0.5 * allowed, LEAST_EXACT):
            slope = (speed.value[last] - speed.value[first]) / (speed.time[last] - speed.time[first])
            inside = between[first + 1 : last]
            if (
                abs(slope) >= _LEAST_STEP
                and speed.time[last] - speed.time[first] >= LEAST_EXACT_TIME
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


def _rows(series: dict[str, Series]) -> FloatArray:
    """Return the times of all rows of a track."""
    return np.unique(np.concatenate([one.time for key, one in series.items() if key in _OF_TRACKS]))


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
    held = held_over(speed)
    if np.any(held):
        remarks.append(f"ground speed: {int(held.sum())} values held over while nothing was received were left out")
        speed = speed.without(held)
    rows = _rows(series)
    filled = computed_runs(speed, rows) | straight_speed(speed, _places(series), rows)
    filled |= _filled_with(speed, spans, rows)
    filled &= ~_felt(speed, filled, series.get("longitudinal_acceleration"))
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
        series["ground_speed"] = between_steps(speed, remarks)
    else:
        del series["ground_speed"]


def _felt(speed: Series, chosen: Mask, felt: Series | None) -> Mask:
    """Return the chosen samples beside which an accelerometer went on trembling: nobody filled a gap there.

    Where rows were filled in, its values too lie on a line, but for their steps.
    """
    found = np.zeros(speed.size, dtype=bool)
    if felt is None:
        return found
    edges = np.flatnonzero(np.diff(np.concatenate([[0], chosen.astype(int), [0]])))
    for first, end in zip(edges[::2], edges[1::2], strict=True):
        inside = felt.between(float(speed.time[first]), float(speed.time[end - 1]))
        if inside.size < LEAST_TREMBLES:
            continue
        line = np.polyval(np.polyfit(inside.time - inside.time[0], inside.value, 1), inside.time - inside.time[0])
        found[first:end] = float(np.std(inside.value - line)) > TREMBLING
    return found


def held_over(speed: Series) -> Mask:
    """Return the values before a jump that no aeroplane makes, held over while nothing was received.

    Of repeated values the first may have been received, and without the others the jump takes longer.
    """
    found = np.zeros(speed.size, dtype=bool)
    starts = np.flatnonzero(np.diff(speed.value, prepend=np.nan) != 0.0)
    plain = np.any([_on_grid(speed.value, one) for one in PLAIN_GRIDS], axis=0)
    for start, after in itertools.pairwise(starts.tolist()):
        if speed.value[start] < TAXI or after == 1:
            continue
        fall = float(speed.value[start] - speed.value[after])
        lasting = float(speed.time[after] - speed.time[after - 1])
        step = _surface_step(float(speed.value[start]))
        if after - start == 1:
            found[start] = lasting >= 0.9 and fall - step > STALE_RATE_ONCE * lasting
        elif plain[start]:
            found[start + 1 : after] = fall - step > STALE_RATE * lasting
        else:
            found[start + 1 : after] = fall > STALE_RATE_FINE * lasting + KNOT
    return found


def _surface_step(speed: float) -> float:
    """Return the step in which a surface message sends a speed, 1 kt where none is told. [m/s]"""
    return KNOT * max(next((step for least, step in SURFACE_STEPS if speed >= (least - 0.01) * KNOT), 1.0), 1.0)


def between_steps(speed: Series, remarks: list[str]) -> Series:
    """Return a speed moved to the middle of the steps in which surface messages send it.

    From 100 kt on such a message says 105 for anything from 105 to 110. Which samples came so is seen from the values
    around the middle of the roll: none lies off the steps, and there are enough of them above 70 kt.
    """
    below = np.flatnonzero((speed.value[:-1] >= KNEE) & (speed.value[1:] < KNEE))
    if not below.size:
        return speed
    knots = speed.value / KNOT
    steps = np.select([knots > least - 0.01 for least, _ in SURFACE_STEPS], [step for _, step in SURFACE_STEPS], 0.0)
    fits = (steps > 0.0) & (np.abs(knots / np.maximum(steps, 0.1) - np.round(knots / np.maximum(steps, 0.1))) < 2e-3)
    fits &= knots < 175.5
    first = last = int(below[-1])
    while first > 0 and fits[first - 1]:
        first -= 1
    while last + 1 < speed.size and fits[last + 1]:
        last += 1
    coded = np.zeros(speed.size, dtype=bool)
    coded[first : last + 1] = fits[first : last + 1]
    chance = 0.2 ** int(np.sum(steps[coded] == 5.0)) * 0.5 ** int(np.sum(steps[coded] == 2.0))
    if chance > CHANCE_ON_STEPS or last < int(below[-1]) + 2:
        return speed
    remarks.append(
        "ground speed: on the ground it comes in the coarse steps of surface messages (5 kt from 100 kt on, 2 kt from "
        "70 kt on), each number being the lower end of its step; the middle of the step is taken"
    )
    half = np.where(coded, 0.5 * steps * KNOT, 0.0)
    return replace(speed, value=speed.value + half, spread=half / math.sqrt(3.0))


def _filled_with(speed: Series, spans: list[Span], rows: FloatArray) -> Mask:
    """Return the samples of a speed that is straight, as far as its steps show, where positions were filled in.

    The steps are those of the samples in question: filled values are often rounded otherwise than received ones.
    """
    found = np.zeros(speed.size, dtype=bool)
    for first, last, count in spans:
        inside = np.flatnonzero((speed.time > first) & (speed.time < last))
        # Who fills rows fills them all: positions that came more seldom than speeds lie evenly by chance.
        if inside.size < 2 or count < LEAST_COVERED * inside.size:
            continue
        numbers = speed.value[inside]
        step = next((one for one in GRIDS if bool(np.all(_on_grid(numbers, one)))), 0.0)
        # The ends may have been rounded as well; of few samples that would let too many pass.
        tight = (0.55 if inside.size < LEAST_EXACT else 1.05) * step + 0.05 * KNOT
        ends = [max(int(inside[0]) - 1, 0), min(int(inside[-1]) + 1, speed.size - 1)]
        for over in _abscissae(speed.time, rows):
            # The ends were measured: a filled speed runs straight from one to the other.
            line = np.interp(over[inside], over[ends], speed.value[ends])
            if float(np.max(np.abs(numbers - line))) <= tight:
                found[inside] = True
                continue
            # Speed and positions may come and go at different times: most of the span will do.
            usual = 0.55 * max(grid_of(numbers), 0.1 * KNOT)
            for begin, end in _straight(over[inside], (numbers,), usual, LEAST_EXACT):
                lasting = float(speed.time[inside[end]] - speed.time[inside[begin]])
                straight = _line(over[inside[begin : end + 1]], numbers[begin : end + 1])[1] <= 1.3 * usual
                if straight and lasting >= LEAST_COVERED * (last - first):
                    found[inside[begin : end + 1]] = True
    return found


def straight_speed(speed: Series, places: tuple[Series, Series] | None = None, rows: FloatArray | None = None) -> Mask:
    """Return which samples of a ground speed lie on lines too straight to have been measured.

    An honest deceleration can look straight: in coarse steps by chance, and held by automatic brakes. Positions tell:
    where the aeroplane slowed down they bulge (``places``: latitude and longitude, where any are left).
    """
    coarse = _on_grid(speed.value, 0.5 * KNOT) | (speed.resolution > FINE_RESOLUTION)
    fine = straight_runs(speed, min(speed.resolution, FINE_RESOLUTION), _LEAST_STEP, rows=rows)
    steep = max(_LEAST_STEP, LEAST_COARSE_SLOPE * max(speed.resolution, 0.5 * KNOT) / max(speed.interval, 1e-3))
    long = straight_runs(speed, 0.0, steep, LEAST_COARSE_TIME, rows)
    found = (fine & ~coarse) | (long & coarse)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], found.astype(int), [0]])))
    for first, end in zip(edges[::2], edges[1::2], strict=True):
        begin, stop = max(int(first) - 1, 0), min(int(end), speed.size - 1)
        if places is not None and _bulges(speed.without(~_between(begin, stop, speed.size)), *places):
            found[first:end] = False
    return found


def _between(first: int, last: int, size: int) -> Mask:
    return (np.arange(size) >= first) & (np.arange(size) <= last)


def _bulges(speed: Series, latitude: Series, longitude: Series) -> bool:
    """Return whether positions follow a falling speed, and not a pace that stands still."""
    place = latitude.between(float(speed.time[0]), float(speed.time[-1]))
    other = longitude.between(float(speed.time[0]), float(speed.time[-1]))
    if place.size < 5 or other.size != place.size:
        return False
    north = place.value * EARTH_RADIUS
    east = other.value * EARTH_RADIUS * math.cos(float(place.value[0]))
    flown = np.interp(place.time, speed.time, _travelled(speed.time, speed.value))
    return _share_of_bulge(place.time, flown, east, north) > 0.5


def _share_of_bulge(over: FloatArray, flown: FloatArray, east: FloatArray, north: FloatArray) -> float:
    """Return how much of the distance that a falling speed adds to an even pace is seen in positions.

    Distance is offset + pace x abscissa + share x bulge: the share is 1 where it was flown, 0 where positions were
    filled in.
    """
    length = math.hypot(float(north[-1] - north[0]), float(east[-1] - east[0]))
    if length < 1.0:
        return 0.0
    along = ((north - north[0]) * (north[-1] - north[0]) + (east - east[0]) * (east[-1] - east[0])) / length
    terms = np.column_stack([np.ones(over.size), over - over.mean()])
    bulge = flown - terms @ np.linalg.lstsq(terms, flown, rcond=None)[0]
    seen = along - terms @ np.linalg.lstsq(terms, along, rcond=None)[0]
    square = float(np.sum(bulge**2))
    return float(np.sum(bulge * seen)) / square if square >= 1.0 else 0.0


def _stuck(speed: Series, series: dict[str, Series]) -> Mask:
    """Return the samples of runs of one value that belie the positions and end with a jump, or with an impossible one.

    A steady approach repeats its speed too: a run alone is no fault. Neither is one that positions belie, where the
    speed goes on from its value: then the positions are old.
    """
    other = _speed_by_place(series)
    frozen = frozen_runs(speed) & (speed.value > 25.0)
    result = np.zeros(speed.size, dtype=bool)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], frozen.astype(int), [0]])))
    for first, end in zip(edges[::2], edges[1::2], strict=True):
        rate = math.inf
        if end < speed.size:
            rate = abs(speed.value[end] - speed.value[end - 1]) / (speed.time[end] - speed.time[end - 1])
        if other is not None and other.size > 3:
            late = speed.time[max(end - 2, first) : end]
            belied = float(np.min(np.abs(other.at(late) - speed.value[end - 1]))) > 4.0
            result[first:end] = belied and rate > STALE_RATE
        else:
            result[first:end] = rate > 6.0
    return result


def _places(series: dict[str, Series]) -> tuple[Series, Series] | None:
    return (series["latitude"], series["longitude"]) if {"latitude", "longitude"} <= set(series) else None


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
    filled, spans = filled_positions(latitude, longitude, series.get("ground_speed"), _rows(series))
    if np.any(filled):
        remarks.append(f"positions: {int(filled.sum())} lie on a straight line at one pace, as filled in; left out")
        latitude, longitude = latitude.without(filled), longitude.without(filled)
    if latitude.size < 5:
        series.pop("latitude")
        series.pop("longitude")
        return spans
    series["latitude"], series["longitude"] = latitude, longitude
    return spans


def filled_positions(
    latitude: Series, longitude: Series, speed: Series | None, rows: FloatArray | None = None
) -> tuple[Mask, list[Span]]:
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
    for over in _abscissae(latitude.time, rows):
        for run in _straight(over, (east, north), allowed, LEAST_EXACT):
            # Both ends and the sample itself are rounded.
            first, last = _trimmed(over, (east, north), 2.0 * allowed, run)
            start, end = float(latitude.time[first]), float(latitude.time[last])
            if last - first + 1 < LEAST_EXACT or end - start < LEAST_EVEN_TIME:
                continue
            share = (over[first : last + 1] - over[first]) / (over[last] - over[first])
            bulge = 0.0
            part = slice(first, last + 1)
            if speed is not None and speed.size > 5:
                flown = _flown(speed, latitude.time[part])
                if _share_of_bulge(over[part], flown, east[part], north[part]) < 0.5:
                    bulge = float(np.max(np.abs(flown - flown[-1] * share)))
            else:
                before = by_place.between(start - 8.0, start - 0.5 * BASE)
                after = by_place.between(end + 0.5 * BASE, end + 8.0)
                if before.size and after.size:
                    bulge = abs(float(np.median(before.value)) - float(np.median(after.value))) * (end - start) / 8.0
            if bulge > 3.0 * allowed + LEAST_BULGE:
                found[first + 1 : last] = True
                spans.append((start, end, last - first - 1))
    return found, spans


def _trimmed(over: FloatArray, values: tuple[FloatArray, ...], allowed: float, run: tuple[int, int]) -> tuple[int, int]:
    """Return a run less the samples at its ends, a few at most, without which it lies near its chord.

    A measured sample beside a filled gap may still lie near enough to be taken for a part of it.
    """

    def off(first: int, last: int) -> float:
        share = (over[first : last + 1] - over[first]) / (over[last] - over[first])
        return max(
            float(np.max(np.abs(one[first : last + 1] - one[first] - share * (one[last] - one[first]))))
            for one in values
        )

    first, last = run
    for _ in range(MOST_TRIMMED):
        if off(first, last) <= allowed:
            return first, last
        if last - first < LEAST_EXACT:
            break
        if off(first + 1, last) < off(first, last - 1):
            first += 1
        else:
            last -= 1
    return (first, last) if off(first, last) <= allowed else (first, first)


def _flown(speed: Series, moments: FloatArray) -> FloatArray:
    """Return the distance travelled at a recorded speed from the first of some moments to each. [m]"""
    inside = speed.time[(speed.time > moments[0]) & (speed.time < moments[-1])]
    grid = np.unique(np.concatenate([moments, inside]))
    return np.interp(moments, grid, _travelled(grid, speed.at(grid)))


def _travelled(time: FloatArray, speed: FloatArray) -> FloatArray:
    """Return the distance travelled since the first moment. [m]"""
    return np.concatenate([[0.0], np.cumsum(np.diff(time) * 0.5 * (speed[1:] + speed[:-1]))])


_OF_TRACKS: Final = ("ground_speed", "latitude", "longitude", "on_ground", "altitude")
_MOVES: Final = ("ground_speed", "latitude", "distance")


def _gaps(series: dict[str, Series], name: str, remarks: list[str]) -> None:
    """Refuse a roll with too long a gap in everything that tells its speed; say the shorter ones."""
    times = np.unique(np.concatenate([one.time for key, one in series.items() if key in _MOVES]))
    best = _worst_gap(times, any_speed(Recording(name, series)))
    usual = min((one.interval for key, one in series.items() if key in _MOVES), default=1.0)
    longest = min(max(LONGEST_GAP, (MISSED_ROWS + 1.2) * usual), LONGEST_SELDOM_GAP)
    if best > longest:
        raise DataError(
            f"{name}: has a gap of {math.ceil(best)} s between {FAST / KNOT:.0f} and {SLOW / KNOT:.0f} kt; "
            f"at most {longest:.0f} s are bridged. Nothing is invented for what nobody recorded."
        )
    if best > 3.0:
        remarks.append(f"longest gap in the braked part: {best:.0f} s, bridged by the smoother with its uncertainty")


def _worst_gap(times: FloatArray, speed: Series) -> float:
    first, last = _braked_span(speed)
    inside = times[(times > first) & (times < last)]
    return float(np.max(np.diff(np.concatenate([[first], inside, [last]]))))


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
