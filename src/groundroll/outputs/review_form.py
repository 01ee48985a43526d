"""The review of one landing as text and JSON, in words that look for causes, not for blame."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Any, Final

from groundroll.outputs.caution import CAUTION, INVENTED
from groundroll.outputs.ledger_form import SHARES_NOTE, ledger_json, ledger_lines, signed_length
from groundroll.physics.sources import source
from groundroll.planning.wording import Wording
from groundroll.review.events import Event
from groundroll.review.forces import NORMAL_90, Finding
from groundroll.review.landing import MeanDeceleration, Review
from groundroll.review.ledger import ReviewLedger
from groundroll.review.setting import Setting
from groundroll.scenario.model import Display

REVIEW_FORMAT: Final = 1
"""Format number of the JSON of a review."""

SPIRIT: Final = (
    "For learning, not for blame: it says where distance went, not who should have done what. Ask the crew before "
    "drawing conclusions."
)

SOURCES: Final = (
    "cfr-121-appendix-m",
    "rauch-tung-striebel",
    "astm-e3266",
    "shapley-value",
    "review-deviations",
    "surveillance-flag",
)
"""Keys of what every review rests on."""

MEASURED_NOTE: Final = "Only pieces where friction ruled measure the surface; all others give a lower bound."


def display_of(setting: Setting) -> Display:
    """Return the units of outputs: those of the plan, else knots and metres."""
    return Display() if setting.case is None else setting.case.display


def cautions_of(review: Review) -> list[str]:
    """Return what stands on every form of a review."""
    return [CAUTION, *([INVENTED] if review.setting.aircraft.invented else []), SPIRIT]


def confidence_words(confidence: float) -> str:
    """Return a probability in whole percent, never 100."""
    return "over 99 %" if confidence > 0.99 else f"{100.0 * confidence:.0f} %"


def finding_words(finding: Finding) -> str:
    """Return the finding about the surface as a sentence."""
    codes = "/".join(str(one) for one in finding.reported)
    if finding.code is None:
        return f"Surface: nothing can be said; too little braking (reported {codes})."
    if finding.measured:
        return (
            f"Surface: braking action {finding.word}, confidence {confidence_words(finding.confidence)}, measured over "
            f"{finding.metres:.0f} m where friction ruled (reported {codes})."
        )
    return (
        f"Surface: at least {finding.word}, confidence {confidence_words(finding.confidence)}; friction was not "
        f"seen to rule, so the surface may be better (reported {codes})."
    )


def review_lines(review: Review, *, anonymous: bool = False) -> list[str]:
    """Return the review as lines of text."""
    wording = Wording(display_of(review.setting))
    conditions = review.setting.conditions
    title = "One landing" if anonymous else review.setting.title or review.recording.name
    aeroplane = "One aeroplane" if anonymous else review.setting.aircraft.name
    lines = [
        f"Review: {title}",
        f"{aeroplane}, {wording.mass(conditions.mass)}, flap {conditions.flap}; "
        f"{'headwind' if conditions.headwind >= 0.0 else 'tailwind'} {wording.speed(abs(conditions.headwind))}",
        "",
        finding_words(review.forces.finding),
        mean_line(review.mean_deceleration, wording),
        energy_line(review),
        "",
        f"Events ({'from the threshold' if review.located else 'from touchdown'}; 90 % intervals)",
    ]
    landed = review.event("touchdown")
    zero = landed.time if landed is not None else 0.0
    lines += event_lines(review.events, zero, wording)
    stride = max(len(review.forces.bins) // 16, 1)
    shown = "" if stride == 1 else f" One piece of every {stride} is shown; --json gives all."
    lines += ["", f"Braking along the runway. {MEASURED_NOTE}{shown}"]
    lines.append("    from      to    speed  achieved  +-90 %  reported code gives  ruled by")
    for piece in review.forces.bins[::stride]:
        expected = "-" if piece.expected is None else f"{piece.expected:.3f} ({piece.reported_code})"
        lines.append(
            f"{wording.length(piece.start):>8}{wording.length(piece.end):>8}{wording.speed(piece.ground_speed):>9}"
            f"{piece.coefficient:>10.3f}{NORMAL_90 * piece.deviation:>8.3f}{expected:>21}  {piece.ruled}"
        )
    if review.ledger is not None:
        lines += ["", *review_ledger_lines(review.ledger, wording)]
    lines += said_of_recording(review.remarks, anonymous=anonymous)
    return [*lines, "", *cautions_of(review)]


def energy_line(review: Review) -> str:
    """Return the energy into the brakes as a sentence."""
    least, most = review.forces.brake_energy_interval
    return (
        f"Energy into the brakes: {review.forces.brake_energy / 1e6:.0f} MJ (90 %: {least / 1e6:.0f} to "
        f"{most / 1e6:.0f} MJ)."
    )


def mean_line(mean: MeanDeceleration, wording: Wording) -> str:
    """Return the mean deceleration as a sentence."""
    low, high = mean.interval
    if not math.isfinite(mean.value):
        return "Mean deceleration: the speeds are not both in the recording."
    return (
        f"Mean deceleration from {wording.speed(mean.fast)} to {wording.speed(mean.slow)}: {mean.value:.2f} m/s2 "
        f"(90 %: {low:.2f} to {high:.2f})."
    )


def event_lines(events: Sequence[Event], zero: float, wording: Wording) -> list[str]:
    """Return a line for each event, with times since ``zero``."""
    return [
        f"  {one.name:38}{one.time - zero:+7.1f} s +-{NORMAL_90 * one.time_deviation:4.1f}"
        f"{wording.length(one.distance):>9} +-{NORMAL_90 * one.distance_deviation:4.0f} m"
        f"{wording.speed(one.ground_speed):>8}  {one.found_by}"
        for one in events
    ]


def said_of_recording(remarks: Sequence[str], *, anonymous: bool, bare: bool = False) -> list[str]:
    """Return the remarks about a recording, less what tells a place or a name where it is to be anonymous."""
    shown = [_nameless(one) for one in remarks if not _names_place(one)] if anonymous else list(remarks)
    if bare:
        return shown
    return ["", "About the recording", *(f"  - {one}" for one in shown)] if shown else []


def _names_place(remark: str) -> bool:
    return "deg true" in remark or "columns not used" in remark


def _nameless(remark: str) -> str:
    """Return a remark without what it quotes: names of columns may name a flight."""
    return re.sub(r'"[^"]*"', '"..."', remark)


def review_ledger_lines(review: ReviewLedger, wording: Wording) -> list[str]:
    """Return the ledger from plan to what happened."""
    lines = [
        f"Where the runway went: {wording.length(review.planned_distance)} planned, "
        f"{wording.length(review.recorded_distance)} recorded, threshold to {wording.speed(review.end_speed)}",
        *ledger_lines(review.ledger, wording)[:-1],
        f"  {'not explained':26}{signed_length(review.not_explained, wording):>12}",
        f"  {'together':26}{signed_length(review.difference, wording):>12}",
        f"  {SHARES_NOTE}",
    ]
    if review.from_touchdown:
        lines.append("  The threshold is not located: the way to touchdown counts as planned, its speed as recorded.")
    return lines


def review_text(review: Review, *, anonymous: bool = False) -> str:
    """Return the review as text."""
    return "\n".join(review_lines(review, anonymous=anonymous)) + "\n"


def review_json(review: Review, *, anonymous: bool = False) -> dict[str, Any]:
    """Return the review as JSON-ready values; anonymous leaves out names, places and times of day."""
    landed = review.event("touchdown")
    zero = landed.time if landed is not None else 0.0
    finding, ledger = review.forces.finding, review.ledger
    conditions = review.setting.conditions
    answer: dict[str, Any] = {
        "format": REVIEW_FORMAT,
        "kind": "review",
        "recording": None if anonymous else review.recording.name,
        "title": None if anonymous else review.setting.title,
        "origin": "threshold" if review.located else "touchdown",
        "track_alone": None,
        "mean_deceleration": mean_json(review.mean_deceleration),
        "finding": {
            "measured": finding.measured,
            "code": finding.code,
            "word": finding.word,
            "level": finding.level,
            "level_deviation": finding.level_deviation,
            "confidence": finding.confidence,
            "length_m": finding.metres,
            "reported_codes": list(finding.reported),
        },
        "brake_energy_j": review.forces.brake_energy,
        "brake_energy_deviation_j": review.forces.brake_energy_deviation,
        "brake_energy_interval_90_j": list(review.forces.brake_energy_interval),
        "events": events_json(review.events, zero),
        "bins": [
            {
                "start_m": one.start,
                "end_m": one.end,
                "ground_speed_mps": one.ground_speed,
                "braking_coefficient": one.coefficient,
                "aeroplane_braking_coefficient": one.aeroplane_coefficient,
                "deviation": one.deviation,
                "ruled_by": one.ruled,
                "lower_bound": one.ruled != "friction",
                "reported_code": one.reported_code,
                "expected": one.expected,
            }
            for one in review.forces.bins
        ],
        "ledger": None
        if ledger is None
        else {
            "planned_distance_m": ledger.planned_distance,
            "recorded_distance_m": ledger.recorded_distance,
            "difference_m": ledger.difference,
            "end_speed_mps": ledger.end_speed,
            "hand_over_m": ledger.hand_over,
            "not_explained_m": ledger.not_explained,
            "air_part_as_planned": ledger.from_touchdown,
            "until_release": {
                **ledger_json(ledger.ledger),
                "entries": [one for one in ledger_json(ledger.ledger)["entries"] if one["cause"] != "hand-over"],
            },
        },
        "accelerometer_datum_mps2": review.motion.datum,
        "inputs": {
            "aircraft": None if anonymous else review.setting.aircraft.name,
            "mass_kg": conditions.mass,
            "flap": conditions.flap,
            "headwind_mps": conditions.headwind,
            "temperature_k": conditions.temperature,
            "pressure_pa": conditions.pressure,
            "slope": conditions.slope,
            "given": sorted(review.setting.known),
        },
        "remarks": said_of_recording(review.remarks, anonymous=anonymous, bare=True),
        "cautions": cautions_of(review),
        "sources": sources_json(SOURCES),
    }
    answered: dict[str, Any] = finite(answer)
    return answered


def mean_json(mean: MeanDeceleration) -> dict[str, Any]:
    """Return the mean deceleration as JSON-ready values."""
    return {
        "from_mps": mean.fast,
        "to_mps": mean.slow,
        "value_mps2": mean.value,
        "interval_90_mps2": list(mean.interval),
    }


def events_json(events: Sequence[Event], zero: float) -> list[dict[str, Any]]:
    """Return the events as JSON-ready values, with times since ``zero``."""
    return [
        {
            "name": one.name,
            "time_after_touchdown_s": one.time - zero,
            "time_deviation_s": one.time_deviation,
            "distance_m": one.distance,
            "distance_deviation_m": one.distance_deviation,
            "ground_speed_mps": one.ground_speed,
            "found_by": one.found_by,
        }
        for one in events
    ]


def sources_json(keys: Sequence[str]) -> list[dict[str, Any]]:
    """Return what an answer rests on."""
    return [
        {"key": key, "document": one.document, "paragraph": one.paragraph, "status": one.status}
        for key in keys
        for one in [source(key)]
    ]


def finite(value: Any) -> Any:
    """Return JSON-ready values with null in place of what is not finite."""
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, dict):
        return {key: finite(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [finite(one) for one in value]
    return value
