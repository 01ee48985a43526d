"""What stands in a brief: one typed content, gathered from a decision or from a rejected take-off.

Every coat of the brief (PDF, HTML, text, JSON) shows this and nothing else. Nothing is computed here beyond the
difference of two results and the sum of a time and a duration.
"""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any, Final, Literal, TypeAlias

from groundroll import __version__
from groundroll.outputs.caution import cautions
from groundroll.physics.brake_limits import FusePlugState
from groundroll.planning.brake_outcome import BrakeOutcome
from groundroll.planning.landing import Limit
from groundroll.planning.wording import Wording, percent
from groundroll.reports.describe import describe_condition, describe_weather
from groundroll.reports.model import ConditionReport
from groundroll.reports.recognise import read_report
from groundroll.scenario.model import Failures
from groundroll.scenario.resolved import ResolvedCondition, ResolvedWeather, SurfaceThird

PieceKind: TypeAlias = Literal["air", "rolling", "braking", "added", "left", "short"]
"""How a stretch of a track is drawn; "left" is runway to spare, "short" what is missing, "added" a margin on top."""

KEY: Final = {
    "landing": "Dotted: in the air; thin: rolling; thick: braking; hatched bar: margin; arrows: what is left. "
    "The denser the hatch of the runway, the worse the braking. Length to scale, width not.",
    "take-off": "Thick: to a stop; thin: to go; arrows: what is left. "
    "The denser the hatch of the runway, the worse the braking. Length to scale, width not.",
}
"""How the strip is read."""

STATUSES: Final = (
    "confirmed",
    "second-hand",
    "from memory",
    "derived",
    "common practice, no source",
    "assumption of this project",
    "the user's file",
)
"""Order in which sources are listed."""

PLUGS: Final[dict[FusePlugState, str]] = {
    "none": "stay shut",
    "near": "come near to opening",
    "released": "OPEN",
}


@dataclass(frozen=True)
class Fact:
    """One number worth large type."""

    value: str
    meaning: str


@dataclass(frozen=True)
class StripThird:
    """One third of the runway, as reported."""

    begin: float
    end: float
    code: int
    words: str


@dataclass(frozen=True)
class StripExit:
    """One exit."""

    name: str
    distance: float
    side: Literal["left", "right"]
    speed: str
    """Allowed there, in words; empty where it does not matter."""
    chosen: bool


@dataclass(frozen=True)
class StripGate:
    """One gate, by its number in the table."""

    number: int
    distance: float


@dataclass(frozen=True)
class Piece:
    """A stretch of a track."""

    begin: float
    end: float
    kind: PieceKind


@dataclass(frozen=True)
class Track:
    """One way along the runway, below it."""

    name: str
    pieces: tuple[Piece, ...]
    end: float
    """Where it ends: the exit or the stop. [m]"""
    end_label: str
    limit: float | None = None
    """What there is for it. [m]"""
    span_label: str = ""
    """What is left or missing, in words."""


@dataclass(frozen=True)
class Strip:
    """The runway to scale; distances from the landing threshold or from brake release. [m]"""

    paved_begin: float
    paved_end: float
    origin: str
    """What stands at zero, with its article."""
    available: float
    thirds: tuple[StripThird, ...]
    touchdown_zone: float | None
    exits: tuple[StripExit, ...]
    gates: tuple[StripGate, ...]
    tracks: tuple[Track, ...]
    unit: Literal["m", "ft"]


@dataclass(frozen=True)
class SpeedMark:
    """A speed on the scale of decision speeds."""

    speed: float
    """[m/s]"""
    value: str
    words: str
    chosen: bool = False


@dataclass(frozen=True)
class SpeedWindow:
    """The window of decision speeds on a scale."""

    low: float | None
    high: float | None
    marks: tuple[SpeedMark, ...]


@dataclass(frozen=True)
class GateRow:
    """One gate in words."""

    number: int
    name: str
    at: str
    planned: str
    faster_than: str
    then: str
    runway_up_to: str


@dataclass(frozen=True)
class BreakLine:
    """One thing that would, or would not, break the plan."""

    text: str
    breaks: bool


@dataclass(frozen=True)
class Report:
    """A report as it came and as it was understood."""

    kind: str
    received: str
    understood: str


@dataclass(frozen=True)
class SourceGroup:
    """Sources of one status."""

    status: str
    documents: tuple[str, ...]


@dataclass(frozen=True)
class Brief:
    """One page."""

    kind: Literal["landing", "take-off"]
    title: str
    place: str
    """Aerodrome and runway."""
    aeroplane: str
    runway: str
    weather: str
    fits: bool
    headline: str
    why: tuple[str, ...]
    facts: tuple[Fact, ...]
    margin: str
    """The margin in words."""
    strip: Strip
    key: str
    """How the strip is read."""
    window: SpeedWindow | None
    gates: tuple[GateRow, ...]
    gates_note: str
    breaks: tuple[BreakLine, ...]
    heat: tuple[str, ...]
    """The earliest next departure first."""
    reports: tuple[Report, ...]
    cautions: tuple[str, ...]
    limits: str
    sources: tuple[SourceGroup, ...]
    standing: tuple[str, ...]
    """Cautions of every output."""
    computed: str
    version: str
    digest: str
    left_out: tuple[str, ...] = ()

    @property
    def aloud(self) -> tuple[str, ...]:
        """Return what is read aloud, in order: what is set large on the page; the small type is there to look up."""
        gates = [
            f"Gate {one.number}, {one.name}: {one.planned} planned; if faster than {one.faster_than}, {one.then}."
            for one in self.gates
        ]
        broken = [one.text for one in self.breaks if one.breaks][:1]
        said = (f"{self.headline}.", *self.why, self.margin, *gates, *broken, *self.heat[:1])
        return tuple(one for one in said if one)


def digest_of(inputs: dict[str, Any]) -> str:
    """Return a digest of the resolved inputs: the same for the same answer's inputs, whatever the comments in a file.

    The first 16 hexadecimal digits of SHA-256 over the inputs as JSON with sorted keys.
    """
    text = json.dumps(inputs, sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:16]


def moment_in_words(moment: datetime) -> str:
    """Return a moment as date and time of day, UTC.

    Examples
    --------
    >>> moment_in_words(datetime(2026, 2, 17, 6, 5, tzinfo=UTC))
    '2026-02-17 06:05 UTC'
    """
    return f"{moment.astimezone(UTC):%Y-%m-%d %H:%M} UTC"


def third_in_words(third: SurfaceThird) -> str:
    """Return descriptor and depth of a third, lower case; an empty text where only the code is known."""
    words = (third.descriptor or "").lower()
    deep = f"{1000.0 * third.depth:.0f} mm" if third.depth else ""
    return " ".join(part for part in (words, deep) if part)


def surface_in_words(condition: ResolvedCondition) -> str:
    """Return the three thirds in words."""
    return ", ".join(f"{one.code} {third_in_words(one)}".strip() for one in condition.thirds)


def headwind_in_words(headwind: float, wording: Wording) -> str:
    """Return a wind along the runway in words."""
    return f"{wording.speed(abs(headwind))} {'head' if headwind >= 0.0 else 'tail'}"


def failures_in_words(failures: Failures, wording: Wording) -> str:
    """Return what does not work or is assumed to be worse, to be put behind other words; empty without any."""
    parts = []
    for count, one, many in (
        (failures.reversers_inoperative, "reverser", "reversers"),
        (failures.brakes_released, "brake", "brakes"),
    ):
        if count:
            parts.append(f"{count} {one if count == 1 else many} out of use")
    if failures.anti_skid_inoperative:
        parts.append("anti-skid out of use")
    if failures.automatic_brakes_inoperative:
        parts.append("automatic brakes out of use")
    if failures.spoilers_share < 1.0:
        parts.append(f"spoilers {percent(failures.spoilers_share)}")
    if failures.threshold_speed_excess:
        parts.append(f"{wording.speed(failures.threshold_speed_excess)} fast assumed")
    if failures.additional_tailwind:
        parts.append(f"{wording.speed(failures.additional_tailwind)} more tailwind assumed")
    if failures.friction_share < 1.0:
        parts.append(f"braking {percent(failures.friction_share)} of the reported codes assumed")
    return f"; {', '.join(parts)}" if parts else ""


def reports_of(weather: ResolvedWeather, condition: ResolvedCondition) -> tuple[Report, ...]:
    """Return the reports as received and as understood."""
    found = []
    for kind, raw in (("Weather", weather.raw), ("Runway condition", condition.raw)):
        if not raw:
            continue
        report = read_report(raw)
        lines = describe_condition(report) if isinstance(report, ConditionReport) else describe_weather(report)
        understood = " ".join(
            line.strip() if line.rstrip().endswith((".", ":")) else f"{line.strip()};" for line in lines
        )
        found.append(
            Report(kind, " ".join(raw.split()), understood.rstrip(";") + ("." if understood.endswith(";") else ""))
        )
    return tuple(found)


def source_groups(sources: list[dict[str, str]]) -> tuple[SourceGroup, ...]:
    """Return the sources by how far each has been checked."""
    statuses = dict.fromkeys((*STATUSES, *(one["status"] for one in sources)))
    groups = []
    for status in statuses:
        documents = tuple(
            f"{one['document']}, {one['paragraph']}".rstrip(".") for one in sources if one["status"] == status
        )
        if documents:
            groups.append(SourceGroup(status, documents))
    return tuple(groups)


def limits_in_words(limits: tuple[Limit, ...], wording: Wording) -> str:
    """Return the limits of the aircraft file against the day."""
    parts = [
        f"{one.name.replace('_', ' ')} {wording.speed(one.value)} of {wording.speed(one.limit)}"
        + ("" if one.within else " EXCEEDED")
        for one in limits
    ]
    return f"Limits of the aircraft file: {', '.join(parts)}."


def minutes_in_words(seconds: float | None) -> str:
    """Return a wait in whole minutes, rounded up: never shorter than it is.

    Examples
    --------
    >>> minutes_in_words(61.0), minutes_in_words(7260.0), minutes_in_words(None)
    ('2 min', '2 h 01 min', 'more than two days')
    """
    if seconds is None:
        return "more than two days"
    minutes = math.ceil(seconds / 60.0 - 1e-9)
    return f"{minutes} min" if minutes < 120 else f"{minutes // 60} h {minutes % 60:02d} min"


def wheel_in_words(outcome: BrakeOutcome, wording: Wording) -> str:
    """Return what becomes of the wheel and its fuse plugs."""
    return (
        f"Wheel up to {wording.temperature(outcome.peak_wheel_temperature)} "
        f"{minutes_in_words(outcome.peak_wheel_time)} after the stop; the fuse plugs {PLUGS[outcome.fuse_plugs]}."
    )


def earliest_departure(at: datetime | None, roll: float | None, outcome: BrakeOutcome) -> tuple[str, str]:
    """Return the earliest next departure by the brakes: the time of day or the wait, and what it counts from.

    Parameters
    ----------
    at
        Time of the landing or of the reject, where the case gives it.
    roll
        From then until the stop. [s]
    outcome
        What the stop does to the brakes.
    """
    wait = outcome.cooling_time
    if wait is None:
        return "not in two days", "is any departure allowed by the brakes, parked without fans"
    if wait == 0.0:
        return "no wait", "for the brakes before the next departure"
    if at is None or roll is None:
        return minutes_in_words(wait), "from the stop to the earliest next departure, by the brakes"
    earliest = at.astimezone(UTC) + timedelta(seconds=roll + wait)
    if earliest.second or earliest.microsecond:  # up to the next whole minute
        earliest = earliest.replace(second=0, microsecond=0) + timedelta(minutes=1)
    days = (earliest.date() - at.astimezone(UTC).date()).days
    later = "" if days == 0 else " next day" if days == 1 else f" {days} days later"
    return (
        f"{earliest:%H:%M} UTC{later}",
        f"earliest next departure by the brakes, {minutes_in_words(wait)} after the stop",
    )


def departure_in_words(at: datetime | None, roll: float | None, outcome: BrakeOutcome) -> str:
    """Return the earliest next departure in a sentence; the arguments are those of `earliest_departure`."""
    wait = outcome.cooling_time
    if wait is None:
        return "No departure within two days by the brakes, parked without fans."
    if wait == 0.0:
        return "The brakes need no wait before the next departure."
    when, _ = earliest_departure(at, roll, outcome)
    after = "" if at is None or roll is None else f", {minutes_in_words(wait)}"
    return f"Earliest next departure by the brakes: {when}{after} after the stop, parked without fans."


def last_words(invented: bool, computed: datetime, inputs: dict[str, Any]) -> dict[str, Any]:
    """Return the fields that every brief ends with."""
    return {
        "standing": tuple(reversed(cautions(invented=invented))),
        "computed": moment_in_words(computed),
        "version": __version__,
        "digest": digest_of(inputs),
    }
