"""The review of a track by itself: touchdown, deceleration and taxi speed, without aeroplane, runway or forces."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from groundroll.physics.arguments import FloatArray
from groundroll.review.events import Event, leaving, touchdown
from groundroll.review.landing import MeanDeceleration, mean_deceleration, motion_of, recorded_track
from groundroll.review.place import straight_part, track_frame
from groundroll.review.reading import Recording, Series
from groundroll.review.repair import Window, repaired
from groundroll.review.smoother import Motion

HALF_WIDTH: Final = 22.5
"""Of a runway that is not known. [m] Assumption of this project: half of the usual 45 m."""


@dataclass(frozen=True)
class TrackReview:
    """What a track tells by itself."""

    recording: Recording
    motion: Motion
    """Distances count from touchdown."""
    events: tuple[Event, ...]
    mean_deceleration: MeanDeceleration
    bearing: float | None
    """Of the roll, where positions tell it. [rad]"""
    reason: str
    """Why there are no forces, in words."""
    remarks: tuple[str, ...]
    track: tuple[FloatArray, FloatArray] | None = None
    """Recorded ground speed over distance, for charts. [m], [m/s]"""

    def event(self, name: str) -> Event | None:
        """Return an event by name, None where it was not found."""
        return next((one for one in self.events if one.name == name), None)


def review_track(recording: Recording, reason: str = "no aeroplane and runway are given") -> TrackReview:
    """Return the review of a track by itself.

    Parameters
    ----------
    recording
        As read.
    reason
        Why there are no forces.

    Raises
    ------
    DataError
        If the recording does not hold a landing that can be reviewed, with the reason.
    """
    recording, window = repaired(recording)
    remarks = list(recording.remarks)
    along, across, bearing = _along(recording, window)
    motion = motion_of(recording, along, remarks)
    landed = touchdown(recording, motion, remarks)
    motion = replace(motion, distance=motion.distance - landed.distance)
    landed = replace(landed, distance=0.0)
    events = [landed, *leaving(recording, motion, bearing or 0.0, landed, HALF_WIDTH, across)]
    events.sort(key=lambda one: one.time)
    return TrackReview(
        recording=recording,
        motion=motion,
        events=tuple(events),
        mean_deceleration=mean_deceleration(motion, landed, window.halfway),
        bearing=bearing,
        reason=reason,
        remarks=tuple(dict.fromkeys(remarks)),
        track=recorded_track(recording, motion),
    )


def _along(recording: Recording, window: Window) -> tuple[Series | None, Series | None, float | None]:
    given = recording.get("distance")
    if given is not None:
        return given, None, None
    latitude, longitude = recording.get("latitude"), recording.get("longitude")
    if latitude is None or longitude is None:
        return None, None, None
    # Who leaves at speed may turn soon after: the direction is that of the time before, where that has positions.
    first, last = window.halfway - 30.0, window.halfway + 2.0
    if latitude.between(first, last).size < 4:
        last = window.halfway + 8.0
        if latitude.between(first, last).size < 4:
            return None, None, None
    frame = track_frame(latitude, longitude, first, last)
    along, across = (Series(latitude.time, one) for one in frame.along_and_across(latitude.value, longitude.value))
    part = straight_part(along, across, window.halfway)
    return part if part.size > 3 else None, across, frame.bearing % (2.0 * math.pi)
