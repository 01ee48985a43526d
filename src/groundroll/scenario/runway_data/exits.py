"""Exits of a runway, worked out from the lines that lead off it.

A line is followed from the runway centre line outwards. Everything here is plane geometry in the frame of the runway:
x along it, y to the left. [m]
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

GREATEST_TURN: Final = math.radians(135.0)
"""A greater change of direction is no exit for that landing direction. [rad] Assumption of this project."""

RAPID_LEAST_ANGLE: Final = math.radians(25.0)
"""Rapid exits leave at 25 to 45 degrees. [rad] Source: ICAO Annex 14 Volume I, as repeated in national aerodrome
standards, paragraph 3.8.17 [second-hand]."""

RAPID_GREATEST_ANGLE: Final = math.radians(45.0)
"""See `RAPID_LEAST_ANGLE`. [rad]"""

RAPID_LEAST_RADIUS: Final = 275.0
"""Least radius of a rapid exit, for short runways (code number 1 or 2). [m] Source: the same, 3.8.15 to 3.8.18."""

REACH: Final = 10.0
"""How far beyond the runway edge a line must go to be a way out. [m] Assumption of this project."""

FOLLOWED: Final = 250.0
"""How far beyond the runway edge a line is followed. [m] Assumption of this project: holding positions are nearer."""

ANGLE_MEASURED_TO: Final = 70.0
"""How far beyond the runway edge the angle is looked for. [m] Assumption of this project: the curve of a 30 degree
exit with 550 m radius ends 74 m beside the centre line, 52 m beyond the edge of a 45 m runway."""

TANGENT: Final = math.radians(20.0)
"""A line that leaves the centre line at a smaller angle is a painted curve. [rad] Assumption of this project."""

ALONG: Final = math.radians(1.0)
"""A piece of line that differs less from the runway still runs along it. [rad] Assumption of this project: a position
rounded to 0.1 m over 5 m; on a 550 m curve this is 10 m of length."""

STEP: Final = 2.0
"""Spacing at which headings are looked at. [m]"""

CHORD: Final = 10.0
"""A heading is that of the chord this far to both sides. [m]"""


@dataclass(frozen=True)
class Track:
    """A line in the frame of the runway."""

    name: str
    points: NDArray[np.float64]
    """Shape (n, 2). [m]"""
    rapid: bool


@dataclass(frozen=True)
class FoundExit:
    """An exit for one landing direction, in the frame of the runway."""

    name: str
    forward: bool
    """True for landings along x, False against it."""
    station: float
    """Where the turn starts, or where the centre lines meet. [m]"""
    angle: float
    """Change of direction. [rad]"""
    left: bool
    """Side in landing direction."""
    radius: float | None
    """Mean radius of the painted curve. [m]"""
    curved: bool
    """True where the line leaves the centre line as a curve; False where both meet at an angle."""
    rapid_stated: bool
    short: float
    """How far before the centre line the line ends; 0 where it reaches it. [m]"""
    holding_distance: float | None
    """Centre line to the holding position. [m]"""
    path: NDArray[np.float64]


def _lengths(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the length along a path up to each of its points. [m]"""
    steps = np.hypot(*np.diff(points, axis=0).T)
    return np.concatenate([[0.0], np.cumsum(steps)])


def _without_repeats(points: NDArray[np.float64]) -> NDArray[np.float64]:
    keep = np.concatenate([[True], np.hypot(*np.diff(points, axis=0).T) > 1e-3])
    return np.asarray(points[keep])


def _inside_pieces(points: NDArray[np.float64], edge: float) -> list[tuple[int, float]]:
    """Return, for each piece of a path between the runway edges, segment and share of it nearest the centre line."""
    found: list[tuple[int, float]] = []
    best: tuple[float, int, float] | None = None
    for number in range(len(points) - 1):
        across, next_across = float(points[number, 1]), float(points[number + 1, 1])
        if across * next_across <= 0.0 and across != next_across:
            share = across / (across - next_across)
        else:
            share = 0.0 if abs(across) <= abs(next_across) else 1.0
        nearest = abs(across + share * (next_across - across))
        if nearest <= edge and (best is None or nearest < best[0]):
            best = (nearest, number, share)
        if abs(next_across) > edge and best is not None:
            found.append((best[1], best[2]))
            best = None
    if best is not None:
        found.append((best[1], best[2]))
    return found


def _ends(tracks: Sequence[Track]) -> dict[tuple[int, int], list[tuple[int, bool]]]:
    """Return which tracks start or end at a point, to a tenth of a metre."""
    joints: dict[tuple[int, int], list[tuple[int, bool]]] = defaultdict(list)
    for number, track in enumerate(tracks):
        joints[_joint(track.points[0])].append((number, True))
        joints[_joint(track.points[-1])].append((number, False))
    return joints


def _joint(point: NDArray[np.float64]) -> tuple[int, int]:
    return round(10.0 * float(point[0])), round(10.0 * float(point[1]))


def _outward(points: NDArray[np.float64], half_width: float) -> NDArray[np.float64]:
    """Return a path from the centre line as far as it leads away from the runway."""
    across = np.abs(points[:, 1])
    highest = np.maximum.accumulate(across)
    turned_back = np.flatnonzero((across < highest - 5.0) & (highest > half_width))
    beyond = np.flatnonzero(across > half_width + FOLLOWED)
    last = len(points) - 1
    if len(turned_back):
        last = int(np.argmax(across[: turned_back[0] + 1]))
    if len(beyond):
        last = min(last, int(beyond[0]))
    return points[: last + 1]


def _continued(
    number: int,
    path: NDArray[np.float64],
    tracks: Sequence[Track],
    joints: dict[tuple[int, int], list[tuple[int, bool]]],
    half_width: float,
) -> tuple[str, bool, NDArray[np.float64]]:
    """Return a path continued over lines that start where it ends, while it is still near the runway."""
    name, rapid, used = tracks[number].name, tracks[number].rapid, {number}
    for _ in range(8):
        if abs(path[-1, 1]) > half_width + (90.0 if name else FOLLOWED):
            break
        ahead = path[-1] - path[-2]
        best: tuple[float, int, NDArray[np.float64]] | None = None
        for other, at_start in joints.get(_joint(path[-1]), []):
            if other in used:
                continue
            points = tracks[other].points if at_start else tracks[other].points[::-1]
            onward = points[1] - points[0]
            bend = abs(math.atan2(float(ahead[0] * onward[1] - ahead[1] * onward[0]), float(ahead @ onward)))
            # A line of the same name is followed before a straighter one of another name.
            bend += 0.0 if tracks[other].name == name or not name or not tracks[other].name else math.radians(30.0)
            if bend <= math.radians(60.0) and (best is None or bend < best[0]):
                best = (bend, other, points)
        if best is None:
            break
        used.add(best[1])
        name, rapid = name or tracks[best[1]].name, rapid or tracks[best[1]].rapid
        path = np.concatenate([path, best[2][1:]])
    return name or _name_at(path[-1], tracks), rapid, path


def _name_at(point: NDArray[np.float64], tracks: Sequence[Track]) -> str:
    """Return the name of a line on which a point lies, empty where there is none: lines end in the middle of others."""
    import shapely

    named = [one for one in tracks if one.name]
    if not named:
        return ""
    far = shapely.distance([shapely.LineString(one.points) for one in named], shapely.Point(*point))
    nearest = int(np.argmin(far))
    return named[nearest].name if far[nearest] < 2.0 else ""


def _start_of_turn(path: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return a path without the part that still runs along the centre line."""
    first = 0
    while first < len(path) - 2:
        along, across = path[first + 1] - path[first]
        if abs(math.atan2(float(across), abs(float(along)))) > ALONG or abs(path[first + 1, 1]) > 2.0:
            break
        first += 1
    return path[first:]


def _at(path: NDArray[np.float64], lengths: NDArray[np.float64], where: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.column_stack([np.interp(where, lengths, path[:, 0]), np.interp(where, lengths, path[:, 1])])


def _headings(path: NDArray[np.float64], left: bool) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return y and the angle between x and the path going out, 0 to pi, at equal steps along it."""
    lengths = _lengths(path)
    where = np.arange(0.0, lengths[-1] + 0.5 * STEP, STEP)
    before = _at(path, lengths, np.maximum(where - CHORD, 0.0))
    after = _at(path, lengths, np.minimum(where + CHORD, lengths[-1]))
    step = after - before
    sideways = step[:, 1] if left else -step[:, 1]
    return np.abs(_at(path, lengths, where)[:, 1]), np.arctan2(np.maximum(sideways, 0.0), step[:, 0])


def _radius(path: NDArray[np.float64], forward: bool, turn: float) -> float | None:
    """Return the mean radius of the curve, length over change of direction between a tenth and nine tenths of it."""
    steps = np.diff(path, axis=0)
    lengths = _lengths(path)
    middles = 0.5 * (lengths[1:] + lengths[:-1])
    heading = np.arctan2(np.abs(steps[:, 1]), steps[:, 0] if forward else -steps[:, 0])
    risen = np.maximum.accumulate(heading)
    if risen[0] > 0.5 * turn or risen[-1] < 0.9 * turn:
        return None
    low = max(0.1 * turn, float(risen[0]))
    ends = []
    for level in (low, 0.9 * turn):
        after = int(np.argmax(risen >= level - 1e-9))
        if after == 0:
            ends.append(float(middles[0]))
        else:
            span = float(risen[after] - risen[after - 1])
            share = (level - float(risen[after - 1])) / span if span > 0.0 else 1.0
            ends.append(float(middles[after - 1] + share * (middles[after] - middles[after - 1])))
    turning = int(np.count_nonzero((risen >= low - 1e-9) & (risen <= 0.9 * turn + 1e-9)))
    if turning < 3 or 0.9 * turn <= low:
        return None  # too few points to see a curve in
    return (ends[1] - ends[0]) / (0.9 * turn - low)


def _tangent_point(path: NDArray[np.float64], forward: bool, radius: float, station: float) -> float:
    """Return where a circle of the radius through the beginning of the curve touches the centre line.

    Close to the tangent point the line is as good as straight, so the point where it starts to bend is seen late; the
    first point 1 m aside tells better. Never after ``station`` and never before what the line itself shows by 60 m.
    """
    beside = np.abs(path[:, 1] - path[0, 1])
    number = int(np.argmax(beside >= 1.0))
    aside = float(beside[number])
    if not 0.0 < aside < radius:
        return station
    before = math.sqrt(aside * (2.0 * radius - aside))
    along = float(path[number, 0]) - (before if forward else -before)
    return min(station, max(along, station - 60.0)) if forward else max(station, min(along, station + 60.0))


def _holding_distance(
    path: NDArray[np.float64], holding_positions: NDArray[np.float64], half_width: float
) -> float | None:
    """Return how far from the centre line the first holding position on a path lies."""
    import shapely

    if not len(holding_positions):
        return None
    far = shapely.distance(shapely.LineString(path), shapely.points(holding_positions))
    across = np.abs(holding_positions[:, 1])
    fitting = across[(far < 8.0) & (across > half_width)]
    return float(fitting.min()) if len(fitting) else None


def _exits_of(
    number: int,
    tracks: Sequence[Track],
    joints: dict[tuple[int, int], list[tuple[int, bool]]],
    ends: tuple[float, float],
    half_width: float,
    holding_positions: NDArray[np.float64],
) -> list[FoundExit]:
    found: list[FoundExit] = []
    points = tracks[number].points
    for segment, share in _inside_pieces(points, half_width + 5.0):
        contact = points[segment] + share * (points[segment + 1] - points[segment])
        if not ends[0] - 1.0 <= contact[0] <= ends[1] + 1.0:
            continue
        for onward in (points[segment + 1 :], points[: segment + 1][::-1]):
            path = _without_repeats(np.concatenate([contact[None, :], onward]))
            if len(path) < 2:
                continue
            name, rapid, path = _continued(number, path, tracks, joints, half_width)
            path = _start_of_turn(_outward(path, half_width)) if len(path) > 1 else path
            if len(path) < 2 or abs(path[-1, 1]) < half_width + REACH:
                continue
            found += _both_directions(name, rapid, path, half_width, holding_positions)
    return found


def _both_directions(
    name: str, rapid: bool, path: NDArray[np.float64], half_width: float, holding_positions: NDArray[np.float64]
) -> list[FoundExit]:
    """Return the exit that a path makes for landings along x, against it, or both."""
    left = bool(path[-1, 1] > 0.0)
    across, heading = _headings(path, left)
    limit = min(half_width + ANGLE_MEASURED_TO, max(0.8 * float(across[-1]), half_width + REACH))
    outside = (across >= half_width) & (across <= limit)
    if not outside.any():
        return []
    lengths = _lengths(path)
    first = _at(path, lengths, np.array([min(20.0, float(lengths[-1]))]))[0] - path[0]
    initial = math.atan2(abs(float(first[1])), float(first[0]))
    short = abs(float(path[0, 1])) if abs(path[0, 1]) > 5.0 else 0.0
    holding = _holding_distance(path, holding_positions, half_width)
    found = []
    for forward in (True, False):
        begin = initial if forward else math.pi - initial
        turn = float(heading[outside].max()) if forward else math.pi - float(heading[outside].min())
        if max(begin, turn) > GREATEST_TURN or turn < math.radians(5.0):
            continue
        station = float(path[0, 0])
        curved = begin <= TANGENT and turn > begin
        if short and begin > TANGENT:  # carried straight on to the centre line
            step = short / math.tan(begin) if abs(begin - 0.5 * math.pi) > 1e-3 else 0.0
            station -= step if forward else -step
        radius = _radius(path, forward, turn) if curved else None
        if radius is not None:
            station = _tangent_point(path, forward, radius, station)
        on_left = left if forward else not left
        found.append(FoundExit(name, forward, station, turn, on_left, radius, curved, rapid, short, holding, path))
    return found


def _choose(found: list[FoundExit]) -> list[FoundExit]:
    """Return the exits without those that are another drawing of the same way out.

    Where a painted curve and a straight line across serve one taxiway, the curve is kept; of two curves or two straight
    lines close together, the one met first.
    """
    kept: list[FoundExit] = []
    for one in sorted(found, key=lambda one: (not one.curved, one.station if one.forward else -one.station)):
        for other in kept:
            same_name = one.name == other.name or not one.name or not other.name
            if one.forward != other.forward or one.left != other.left or not same_name:
                continue
            after = (one.station - other.station) * (1.0 if one.forward else -1.0)
            reach = 150.0 if one.curved or other.curved else 50.0
            if other.curved and not one.curved and other.radius is not None:
                reach = other.radius * math.tan(0.5 * other.angle) + 50.0
            if -20.0 <= after <= reach:
                break
        else:
            kept.append(one)
    return kept


def find_exits(
    tracks: Sequence[Track], ends: tuple[float, float], half_width: float, holding_positions: NDArray[np.float64]
) -> list[FoundExit]:
    """Return the exits of a runway for both landing directions, in the order in which a landing meets them.

    Parameters
    ----------
    tracks
        Lines that may lead off the runway, and others.
    ends
        Stations of both ends of the pavement. [m]
    half_width : scalar
        [m]
    holding_positions : shape (n, 2)
        In the frame of the runway. [m]

    Returns
    -------
    list of FoundExit
        Each for one direction; a right-angle taxiway is an exit in both.
    """
    cleaned = [replace(one, points=_without_repeats(one.points)) for one in tracks if len(one.points) > 1]
    cleaned = [one for one in cleaned if len(one.points) > 1]
    joints = _ends(cleaned)
    near = half_width + 5.0
    found: list[FoundExit] = []
    for number, track in enumerate(cleaned):
        y = track.points[:, 1]
        if y.min() <= near and y.max() >= -near:
            found += _exits_of(number, cleaned, joints, ends, half_width, holding_positions)
    return sorted(_choose(found), key=lambda one: (not one.forward, one.station if one.forward else -one.station))
