"""A metric frame along the runway: x from one end to the other, y to the left, in metres.

Positions are projected with the azimuthal equidistant projection about the middle of the runway; over the extent of an
aerodrome its scale differs from one by less than 1e-7, and the height above the ellipsoid (0.016 % for 1000 m) is
neglected.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from groundroll.errors import DataError
from groundroll.scenario.runway_data.strip import Position

if TYPE_CHECKING:
    from numpy.typing import NDArray


@cache
def _geod() -> Any:
    import pyproj

    return pyproj.Geod(ellps="WGS84")


def distance_and_bearing(here: Position, there: Position) -> tuple[float, float]:
    """Return length [m] and true bearing at its start [rad] of the geodesic on the WGS 84 ellipsoid.

    Examples
    --------
    A minute of latitude at the equator is 1842.9 m on this ellipsoid.

    >>> length, bearing = distance_and_bearing(Position(0.0, 0.0), Position(1.0 / 60.0, 0.0))
    >>> round(length, 1), bearing
    (1842.9, 0.0)
    """
    azimuth, _, length = _geod().inv(here.longitude, here.latitude, there.longitude, there.latitude)
    return float(length), math.radians(azimuth) % (2.0 * math.pi)


def moved(here: Position, bearing: float, length: float) -> Position:
    """Return the position at a length along a true bearing."""
    longitude, latitude, _ = _geod().fwd(here.longitude, here.latitude, math.degrees(bearing), length)
    return Position(float(latitude), float(longitude))


class Frame:
    """Turns positions into metres along and across the line from one point to another."""

    def __init__(self, first: Position, second: Position) -> None:
        import pyproj

        length, bearing = distance_and_bearing(first, second)
        if not 100.0 <= length <= 10_000.0:
            raise DataError(f"The ends of the runway are {length:.0f} m apart; 100 to 10000 m are read.")
        self.middle = moved(first, bearing, 0.5 * length)
        self._projection = pyproj.Transformer.from_pipeline(
            "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad "
            f"+step +proj=aeqd +ellps=WGS84 +lat_0={self.middle.latitude:.9f} +lon_0={self.middle.longitude:.9f}"
        )
        start, end = self._project([first, second])
        self._start = start
        self._along = (end - start) / float(np.hypot(*(end - start)))

    def _project(self, points: Sequence[Position]) -> NDArray[np.float64]:
        east, north = self._projection.transform([one.longitude for one in points], [one.latitude for one in points])
        return np.column_stack([np.asarray(east, dtype=np.float64), np.asarray(north, dtype=np.float64)])

    def near(self, point: Position, degrees: float = 0.2) -> bool:
        """Return whether a point is at the aerodrome at all: latitudes within 22 km."""
        across = abs((point.longitude - self.middle.longitude + 180.0) % 360.0 - 180.0)
        return (
            abs(point.latitude - self.middle.latitude) <= degrees
            and across * math.cos(math.radians(self.middle.latitude)) <= degrees
        )

    def along_and_across(self, points: Sequence[Position]) -> NDArray[np.float64]:
        """Return x along and y to the left, shape (n, 2). [m]"""
        offset = self._project(points) - self._start
        along, left = offset @ self._along, offset @ np.array([-self._along[1], self._along[0]])
        return np.column_stack([along, left])
