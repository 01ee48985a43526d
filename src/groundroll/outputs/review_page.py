"""The review of one landing on one page: recorded and simulated speed over the runway, braking, and the words."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final

from groundroll.constants import KNOT
from groundroll.errors import GroundrollError
from groundroll.outputs.review_form import cautions_of, display_of, finding_words, review_ledger_lines
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
        speed, braking, words = figure.subplots(3, 1, height_ratios=[3.0, 2.0, 2.6])
        _speed(speed, review, planned)
        _braking(braking, review)
        _words(words, review)


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
    for number, one in enumerate(events):
        axes.axvline(one.distance, color="black", linewidth=0.5, alpha=0.5)
        axes.annotate(
            one.name, (one.distance, 2.0 + 8.0 * (number % 9)), fontsize=5.5, rotation=30.0, annotation_clip=True
        )
    axes.set_xlim(-300.0, float(motion.distance[-1]) + 50.0)
    axes.set_ylim(0.0, None)
    axes.set_xlabel(f"distance from {origin} [m]")
    axes.set_ylabel("ground speed [kt]")
    axes.grid(visible=True, alpha=0.3)
    axes.legend(fontsize="small")


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


def _words(axes: Any, review: Review) -> None:
    wording = Wording(display_of(review.setting))
    mean = review.mean_deceleration
    lines = [finding_words(review.forces.finding), f"Mean deceleration {mean.value:.2f} m/s2."]
    if review.ledger is not None:
        lines += ["", *review_ledger_lines(review.ledger, wording)]
    axes.axis("off")
    axes.text(0.0, 1.0, "\n".join(lines), va="top", family="monospace", fontsize=6.8, transform=axes.transAxes)
