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
