"""Positions to metres along and across the runway."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from groundroll.physics.arguments import FloatArray
from groundroll.review.reading import Series

EARTH_RADIUS: Final = 6_371_008.8
"""Mean radius, for speeds from positions. [m] Source: WGS-84, (2a + b)/3 (derived)."""

SEMI_MAJOR: Final = 6_378_137.0
FLATTENING: Final = 1.0 / 298.257223563
"""The ellipsoid. Source: WGS-84 (from memory)."""


NEAR_LINE: Final = 60.0
NEAR_MIDDLE: Final = 15.0
"""Beside the line of the runway so much counts as following it, before and after the aeroplane has slowed down. [m]
Assumptions of this project: an approach wanders, and 15 m aside the turn into an exit has begun."""


@dataclass(frozen=True)
class Frame:
    """A plane along a runway: its origin, and the direction of landing."""

    latitude: float
    longitude: float
    bearing: float
    """From true north. [rad]"""

    def along_and_across(self, latitude: FloatArray, longitude: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return metres along the landing direction and across it, right positive.

        The plane touches the ellipsoid at the origin; within 10 km the error stays below a metre.
        """
        square = FLATTENING * (2.0 - FLATTENING)
        sine = math.sin(self.latitude)
        prime = SEMI_MAJOR / math.sqrt(1.0 - square * sine * sine)
        meridian = prime * (1.0 - square) / (1.0 - square * sine * sine)
        north = (latitude - self.latitude) * meridian
        # The parallel halfway: its radius changes by 1 in 1000 over 6 km at middle latitudes.
        middle = 0.5 * (latitude + self.latitude)
        east = (longitude - self.longitude) * prime * np.cos(middle)
        along = north * math.cos(self.bearing) + east * math.sin(self.bearing)
        across = east * math.cos(self.bearing) - north * math.sin(self.bearing)
        return along, across


def straight_part(along: Series, across: Series, middle: float) -> Series:
    """Return the distances of the time around ``middle`` in which the track follows the line of the runway.

    Off it, in the turn of the approach or on a taxiway, distance along the line is not distance travelled.
    """
    near = across.between(middle - 20.0, middle + 3.0).value
    usual = float(np.median(near)) if near.size else 0.0
    aside = np.abs(across.value - usual)
    off = aside > np.where(along.time < middle, NEAR_LINE, NEAR_MIDDLE)
    before, after = along.time[off & (along.time < middle)], along.time[off & (along.time >= middle)]
    first = float(before[-1]) + 0.01 if before.size else -math.inf
    last = float(after[0]) - 0.01 if after.size else math.inf
    return along.between(first, last)


def track_frame(latitude: Series, longitude: Series, first: float, last: float) -> Frame:
    """Return a frame along the track itself between two times, with its origin at the first position then."""
    inside = (latitude.time >= first) & (latitude.time <= last)
    lat, lon = latitude.value[inside], longitude.value[inside]
    origin = Frame(float(lat[0]), float(lon[0]), 0.0)
    north, east = origin.along_and_across(lat, lon)
    # Principal direction of the track: it does not depend on which samples are noisy.
    spread = np.cov(np.vstack([north - north.mean(), east - east.mean()]))
    values, vectors = np.linalg.eigh(spread)
    direction = vectors[:, int(np.argmax(values))]
    if direction[0] * (north[-1] - north[0]) + direction[1] * (east[-1] - east[0]) < 0.0:
        direction = -direction
    return Frame(float(lat[0]), float(lon[0]), math.atan2(direction[1], direction[0]) % (2.0 * math.pi))
