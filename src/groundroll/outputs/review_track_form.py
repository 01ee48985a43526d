"""The review of a track by itself as text, JSON and one page: no forces, no finding, no ledger, and why not."""

from __future__ import annotations

import math
import textwrap
from pathlib import Path
from typing import Any

from groundroll.outputs.caution import CAUTION
from groundroll.outputs.review_form import (
    REVIEW_FORMAT,
    SPIRIT,
    event_lines,
    events_json,
    finite,
    mean_json,
    mean_line,
    said_of_recording,
    sources_json,
)
from groundroll.planning.wording import Wording
from groundroll.review.track import TrackReview
from groundroll.scenario.model import Display

TRACK_SOURCES = ("rauch-tung-striebel", "review-deviations", "surveillance-flag")


def no_forces(review: TrackReview, *, anonymous: bool = False) -> str:
    """Return why the review stops where it does; anonymous without the direction, which tells the runway."""
    reason = (
        "it runs along no direction of the given runway" if anonymous and " deg " in review.reason else review.reason
    )
    return (
        f"The track alone: {reason}. So there are no forces, no finding about the surface and no comparison "
        "with a plan."
    )


def track_text(review: TrackReview, *, anonymous: bool = False) -> str:
    """Return the review as text."""
    wording = Wording(Display())
    landed = review.event("touchdown")
    lines = [
        f"Review: {'One landing' if anonymous else review.recording.name}",
        no_forces(review, anonymous=anonymous),
        "",
        mean_line(review.mean_deceleration, wording),
        "",
        "Events (from touchdown; 90 % intervals)",
        *event_lines(review.events, 0.0 if landed is None else landed.time, wording),
        *said_of_recording(review.remarks, anonymous=anonymous),
        "",
        CAUTION,
        SPIRIT,
    ]
    return "\n".join(lines) + "\n"


def track_json(review: TrackReview, *, anonymous: bool = False) -> dict[str, Any]:
    """Return the review as JSON-ready values: the names of a full review, null where nothing can be said."""
    landed = review.event("touchdown")
    answer: dict[str, Any] = {
        "format": REVIEW_FORMAT,
        "kind": "review",
        "recording": None if anonymous else review.recording.name,
        "title": None,
        "track_alone": no_forces(review, anonymous=anonymous),
        "origin": "touchdown",
        "bearing_deg": None if anonymous or review.bearing is None else math.degrees(review.bearing),
        "mean_deceleration": mean_json(review.mean_deceleration),
        "finding": None,
        "brake_energy_j": None,
        "brake_energy_deviation_j": None,
        "brake_energy_interval_90_j": None,
        "events": events_json(review.events, 0.0 if landed is None else landed.time),
        "bins": [],
        "ledger": None,
        "accelerometer_datum_mps2": review.motion.datum,
        "inputs": None,
        "remarks": said_of_recording(review.remarks, anonymous=anonymous, bare=True),
        "cautions": [CAUTION, SPIRIT],
        "sources": sources_json(TRACK_SOURCES),
    }
    answered: dict[str, Any] = finite(answer)
    return answered


def write_track_page(review: TrackReview, path: Path, *, anonymous: bool) -> None:
    """Write the page: speed over distance, and the words.

    Raises
    ------
    GroundrollError
        If the kind of file is not known, or it cannot be written.
    """
    from groundroll.outputs.review_page import draw_names, draw_speed, page

    with page(path, f"Review: {'One landing' if anonymous else review.recording.name}", [CAUTION, SPIRIT]) as figure:
        speed, names, words = figure.subplots(3, 1, height_ratios=[3.2, 0.5, 2.0])
        draw_speed(speed, review.motion, review.events, review.track, "touchdown")
        draw_names(names, speed, review.events)
        words.axis("off")
        lines = track_text(review, anonymous=anonymous).splitlines()[1:-2]
        lines = [part for one in lines for part in (textwrap.wrap(one, 130, subsequent_indent="    ") or [""])]
        words.text(0.0, 1.0, "\n".join(lines), va="top", family="monospace", fontsize=6.2, transform=words.transAxes)
