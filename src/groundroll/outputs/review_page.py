"""The review of one landing on one page: recorded and simulated speed over the runway, braking, and the words."""

from __future__ import annotations

import contextlib
import os
import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final

from groundroll.constants import KNOT
from groundroll.errors import GroundrollError
from groundroll.outputs.review_form import (
    cautions_of,
    display_of,
    energy_line,
    finding_words,
    mean_line,
    review_ledger_lines,
    said_of_recording,
)
from groundroll.physics.arguments import FloatArray
from groundroll.physics.rollout import RollResult
from groundroll.planning.ledger import LandingSide
from groundroll.planning.wording import Wording
from groundroll.review.events import Event
from groundroll.review.forces import NORMAL_90
from groundroll.review.landing import Review
from groundroll.review.smoother import Motion

SUFFIXES: Final = (".pdf", ".svg", ".png")
"""Kinds of page files."""

RECORDED: Final = "#0072b2"
PLANNED: Final = "#d55e00"
CODE: Final = "#555555"
"""Colours that stay apart with every kind of colour vision; markers and dashes differ as well."""

NAME_LINES: Final = 7
"""Lines for the names of events below the chart of the speed. [-]"""

LETTERS: Final = 150.0
"""Letters of a name of an event that find room side by side. [-]"""

COLUMN: Final = 70
"""Letters of a column of words. [-]"""


def check_page_name(path: Path) -> None:
    """Refuse a page whose kind is not known, before anything is computed.

    Raises
    ------
    GroundrollError
        If the name ends with none of `SUFFIXES`.
    """
    if path.suffix.lower() not in SUFFIXES:
        raise GroundrollError(f"{path}: a page is written as {', '.join(SUFFIXES)}; end the name with one of them.")


def write_review_page(
    review: Review, path: Path, planned: tuple[LandingSide, RollResult] | None, *, anonymous: bool
) -> None:
    """Write the page.

    Raises
    ------
    GroundrollError
        If the kind of file is not known, or it cannot be written.
    """
    title = "One landing" if anonymous else review.setting.title or review.recording.name
    with page(path, f"Review: {title}", cautions_of(review)) as figure:
        speed, names, braking, words = figure.subplots(4, 1, height_ratios=[2.7, 1.1, 1.7, 3.9])
        _speed(speed, review, planned)
        if review.located and not anonymous:  # lengths and places of exits would tell which runway it is
            _show_to_end(speed, review)
        draw_names(names, speed, review.events)
        if review.located and not anonymous:
            _runway(names, review)
        _braking(braking, review)
        braking.set_xlim(speed.get_xlim())
        _words(words, review, anonymous=anonymous)


@contextlib.contextmanager
def page(path: Path, title: str, cautions: Sequence[str]) -> Iterator[Any]:
    """Give a figure of one page to draw on, and write it.

    Raises
    ------
    GroundrollError
        If the kind of file is not known, or it cannot be written.
    """
    check_page_name(path)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context({"font.size": 8.5, "svg.hashsalt": "groundroll", "svg.fonttype": "none"}):
        figure = Figure(figsize=(8.27, 11.69), layout="constrained")
        yield figure
        figure.suptitle(title, fontsize=12.0)
        figure.supxlabel("\n".join(cautions), fontsize=6.0, wrap=True)
        metadata: dict[str, Any] = {"Title": title}
        if path.suffix.lower() == ".pdf":
            metadata["CreationDate"] = None
        elif path.suffix.lower() == ".svg":
            metadata["Date"] = None
        part = path.with_name(f".{path.name}.{os.getpid()}.tmp")
        try:
            figure.savefig(part, dpi=150, metadata=metadata, format=path.suffix.lower()[1:])
            part.replace(path)
        except OSError as error:
            part.unlink(missing_ok=True)
            raise GroundrollError(f"{path} cannot be written: {error.strerror or error}.") from error


def _speed(axes: Any, review: Review, planned: tuple[LandingSide, RollResult] | None) -> None:
    draw_speed(axes, review.motion, review.events, review.track, "the threshold" if review.located else "touchdown")
    if planned is not None and planned[1].history is not None:
        history = planned[1].history
        landed = review.event("touchdown")
        shift = 0.0 if review.located or landed is None else float(history.distance[0])
        axes.plot(
            history.distance - shift,
            history.ground_speed / KNOT,
            color=PLANNED,
            dashes=(5, 2),
            label="planned, simulated",
        )
        axes.legend(fontsize="small")


def _show_to_end(axes: Any, review: Review) -> None:
    """Show the whole runway, so that what was left of it is seen."""
    end = review.setting.conditions.landing_distance_available
    axes.set_xlim(right=max(end + 100.0, axes.get_xlim()[1]))


def draw_speed(
    axes: Any, motion: Motion, events: Sequence[Event], track: tuple[FloatArray, FloatArray] | None, origin: str
) -> None:
    """Draw ground speed over distance, as recorded and as smoothed, with the events."""
    spread = NORMAL_90 * motion.speed_deviation / KNOT
    speed = motion.ground_speed / KNOT
    if track is not None:
        distance, recorded = track
        axes.plot(distance, recorded / KNOT, ".", markersize=3.0, color=CODE, label="recorded")
    axes.plot(motion.distance, speed, color=RECORDED, linewidth=1.6, label="smoothed")
    axes.fill_between(motion.distance, speed - spread, speed + spread, color=RECORDED, alpha=0.25, label="90 %")
    for one in events:
        axes.axvline(one.distance, color="black", linewidth=0.5, alpha=0.5)
    axes.set_xlim(-300.0, float(motion.distance[-1]) + 50.0)
    axes.set_ylim(0.0, None)
    axes.set_xlabel(f"distance from {origin} [m]")
    axes.set_ylabel("ground speed [kt]")
    axes.grid(visible=True, alpha=0.3)
    axes.legend(fontsize="small")


def draw_names(axes: Any, speed: Any, events: Sequence[Event]) -> None:
    """Write the names of the events below the chart of the speed, each on the first line that has room for it."""
    left, right = speed.get_xlim()
    axes.set_xlim(left, right)
    letter = (right - left) / LETTERS
    ends = [left] * NAME_LINES
    for one in sorted(events, key=lambda event: event.distance):
        wide = letter * (len(one.name) + 2)
        turned = one.distance + wide > right
        begin = one.distance - wide if turned else one.distance
        free = [number for number, end in enumerate(ends) if begin >= end]
        line = free[0] if free else min(range(NAME_LINES), key=lambda number: ends[number])
        ends[line] = begin + wide
        height = NAME_LINES - line
        axes.plot([one.distance, one.distance], [height, NAME_LINES + 2.0], color="black", linewidth=0.5, alpha=0.5)
        axes.annotate(
            f"{one.name} " if turned else f" {one.name}",
            (one.distance, height),
            fontsize=6.0,
            va="center",
            ha="right" if turned else "left",
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.2},
        )
    axes.set_ylim(0.0, NAME_LINES + 2.0)
    axes.axis("off")


def _runway(axes: Any, review: Review) -> None:
    """Draw the runway as a bar above the names, with its exits and its end."""
    end = review.setting.conditions.landing_distance_available
    height = NAME_LINES + 1.3
    axes.plot([0.0, end], [height, height], color=CODE, linewidth=5.0, alpha=0.35, solid_capstyle="butt", zorder=0.0)
    axes.annotate(" end", (end, height), fontsize=6.0, va="center", ha="left", annotation_clip=True)
    for one in review.setting.exits:
        axes.annotate(one.name, (one.distance, height), fontsize=6.0, va="center", ha="center", annotation_clip=True)


def _braking(axes: Any, review: Review) -> None:
    for ruled, marker, label in (
        ("friction", "o", "measured: friction ruled"),
        ("demand", "^", "lower bound: demand ruled"),
        ("not known", "v", "lower bound: not known what ruled"),
    ):
        pieces = [one for one in review.forces.bins if one.ruled == ruled]
        if pieces:
            axes.errorbar(
                [0.5 * (one.start + one.end) for one in pieces],
                [one.coefficient for one in pieces],
                yerr=[NORMAL_90 * one.deviation for one in pieces],
                fmt=marker,
                markersize=4.0,
                color=RECORDED if ruled == "friction" else CODE,
                markerfacecolor=RECORDED if ruled == "friction" else "none",
                linewidth=0.8,
                label=label,
            )
    expected = [one for one in review.forces.bins if one.expected is not None]
    axes.plot(
        [0.5 * (one.start + one.end) for one in expected],
        [one.expected for one in expected],
        color=PLANNED,
        dashes=(3, 2),
        label="reported code at this speed",
    )
    axes.set_xlabel(f"distance from {'the threshold' if review.located else 'touchdown'} [m]")
    axes.set_ylabel("braking coefficient [-]")
    axes.set_ylim(bottom=0.0)
    axes.grid(visible=True, alpha=0.3)
    axes.legend(fontsize="small")


def _words(axes: Any, review: Review, *, anonymous: bool) -> None:
    """Write what the text of the review says: finding and ledger on the left, events on the right, remarks below."""
    wording = Wording(display_of(review.setting))
    landed = review.event("touchdown")
    zero = 0.0 if landed is None else landed.time
    top = [
        finding_words(review.forces.finding),
        mean_line(review.mean_deceleration, wording),
        energy_line(review),
        "",
    ]
    ledger = [] if review.ledger is None else review_ledger_lines(review.ledger, wording)
    left = [part for one in ledger for part in textwrap.wrap(one, COLUMN - 2, subsequent_indent="    ")]
    right = [
        "Events: time from touchdown, place; 90 % intervals",
        *(
            f"{one.name:30}{one.time - zero:+7.1f} s +-{NORMAL_90 * one.time_deviation:4.1f}"
            f"{wording.length(one.distance):>9} +-{NORMAL_90 * one.distance_deviation:4.0f} m"
            for one in review.events
        ),
    ]
    below = [
        part
        for one in said_of_recording(review.remarks, anonymous=anonymous)
        for part in (textwrap.wrap(one, 2 * COLUMN, subsequent_indent="    ") or [""])
    ]
    middle = max(len(left), len(right))
    lines = len(top) + middle + len(below)
    size = min(6.4, 440.0 / max(lines, 1))
    left += [""] * (middle - len(left)) if left else []
    right += [""] * (middle - len(right))
    body = [f"{one:{COLUMN}}{other}" for one, other in zip(left, right, strict=True)] if left else right
    axes.axis("off")
    axes.text(
        0.0,
        1.0,
        "\n".join([*top, *body, *below]),
        va="top",
        family="monospace",
        fontsize=size,
        transform=axes.transAxes,
    )
