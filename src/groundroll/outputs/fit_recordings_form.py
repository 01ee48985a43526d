"""A fit to recorded landings in words, as JSON, and as the content of the new aircraft file."""

from __future__ import annotations

import copy
import math
from typing import Any, Literal

from groundroll.constants import KNOT
from groundroll.outputs.caution import cautions
from groundroll.outputs.fit_form import parameter_json, put_fitted, quantity_text
from groundroll.outputs.json_form import source_entry
from groundroll.physics.sources import source
from groundroll.planning.landing_roll import MANUAL, REVERSES
from groundroll.review.fit_recordings import Found, RecordingsFit

SOURCES = ("fit-recordings-spread", "fit-recordings-limits")
"""What a fit to recordings rests on beyond the physics of a roll and the review."""
MOST_NAMED = 20
"""Recordings that do not count, named in the text; the JSON form has all of them."""


def interval_text(one: Found) -> str:
    """Return both ends of the 95 % interval with their unit."""
    unit = "times the start" if one.parameter.scale else one.parameter.unit
    return f"{one.low:.4g} to {one.high:.4g} {unit}".strip()


def verdict(fit: RecordingsFit) -> str:
    """Return the answer in one sentence."""
    if fit.refusals:
        return f"Refused: no file may be written from the recordings in {fit.folder}."
    count = sum(one.fitted for one in fit.parameters)
    return f"Fitted to {len(fit.witnesses)} landings of {fit.folder}: {count} of {len(fit.parameters)} parameters."


def parameter_text(one: Found) -> str:
    """Return what the recordings say of a parameter, and what that rests on."""
    parameter = one.parameter
    start = "1" if parameter.scale else quantity_text(parameter, parameter.start)
    if not one.fitted:
        return f"left at {start}: {one.words}; {interval_text(one)} was assumed before"
    spread = "" if math.isnan(one.spread) else f", between landings {one.spread:.2f} {_spread_unit(one)}"
    return (
        f"{quantity_text(parameter, one.value)}, {interval_text(one)} (start {start}); {one.landings} landings"
        f"{f', {one.seconds:.0f} s' if one.seconds else ''}{spread}; {one.words}"
    )


def _spread_unit(one: Found) -> str:
    return "s" if one.parameter.unit == "s" else "m/s2"


def validity_lines(fit: RecordingsFit) -> list[str]:
    """Return for which landings the recordings speak."""
    if not fit.witnesses:
        return ["nothing: no landing counts."]
    seen = _seen(fit)
    masses = [one.mass / 1_000.0 for one in fit.witnesses]
    speeds = [one.touchdown_speed / KNOT for one in fit.witnesses]
    return [
        f"mass {min(masses):.1f} to {max(masses):.1f} t; ground speed at touchdown {min(speeds):.0f} to "
        f"{max(speeds):.0f} kt; codes {', '.join(str(one) for one in seen['codes'])}; flap {', '.join(seen['flaps'])}; "
        f"brakes {', '.join(seen['brakes']) or 'not known'}; reverse {', '.join(seen['reverses'])}."
    ]


def recordings_text(fit: RecordingsFit) -> str:
    """Return the fit in words: the verdict first, then parameters, validity and what did not count."""
    lines = [verdict(fit), *(f"  {one}" for one in fit.refusals)]
    lines += ["", "Parameters (95 % interval)"]
    lines += [f"  {one.parameter.key}: {parameter_text(one)}" for one in fit.parameters]
    lines += ["", "Holds for", *(f"  {one}" for one in validity_lines(fit))]
    if fit.left_out:
        lines += ["", f"Not counted: {len(fit.left_out)}"]
        lines += [f"  {file}: {reason}" for file, reason in fit.left_out[:MOST_NAMED]]
        more = len(fit.left_out) - MOST_NAMED
        lines += [f"  ... and {more} more (--json lists them)"] if more > 0 else []
    if fit.start.fit is not None:
        lines += ["", f"The section [fit] of {fit.start.name} is left out: what it said of its table no longer holds."]
    return "\n".join([*lines, "", *cautions(invented=fit.start.invented)])


def recordings_json(fit: RecordingsFit) -> dict[str, Any]:
    """Return the fit as plain values, SI."""
    return {
        "format": 1,
        "kind": "fit-recordings",
        "folder": fit.folder,
        "digest": fit.digest,
        "accepted": not fit.refusals,
        "refusals": list(fit.refusals),
        "landings": len(fit.witnesses),
        "parameters": [
            {
                **parameter_json(one.parameter, fitted=one.fitted, value=one.value, low=one.low, high=one.high),
                "landings": one.landings,
                "seconds": one.seconds,
                "between_landings": None if math.isnan(one.spread) else one.spread,
                "between_landings_unit": _spread_unit(one),
                "words": one.words,
            }
            for one in fit.parameters
        ],
        "validity": validity_lines(fit),
        "not_counted": [{"file": file, "reason": reason} for file, reason in fit.left_out],
        "sources": [source_entry(key, source(key)) for key in SOURCES],
        "cautions": cautions(invented=fit.start.invented),
    }


def recordings_aircraft(
    fit: RecordingsFit, start: dict[str, Any], outside: Literal["warn", "refuse"]
) -> dict[str, Any]:
    """Return the content of the new aircraft file: that of the start with fitted values, provenance and validity."""
    content = copy.deepcopy(start)
    content.pop("fit", None)  # its interval was that of other numbers
    sources = content.setdefault("sources", {})
    for one in fit.parameters:
        if not one.fitted:
            continue
        put_fitted(content, fit.aircraft, one.parameter)
        sources[one.parameter.key] = (
            f"fitted to {one.landings} recorded landings of {fit.folder}, 95 % interval {interval_text(one)}"
        )
    content["source"] = (
        f"Fitted to {len(fit.witnesses)} recorded landings of {fit.folder}; what they do not determine is from "
        f"{fit.start.name}."
    )
    masses = [one.mass for one in fit.witnesses]
    speeds = [one.touchdown_speed for one in fit.witnesses]
    content["fit_recordings"] = {
        "folder": fit.folder[:80],
        "digest": fit.digest,
        "start": fit.start.name,
        "landings": len(fit.witnesses),
        "fitted": [one.parameter.key for one in fit.parameters if one.fitted],
        "left": [one.parameter.key for one in fit.parameters if not one.fitted],
        "outside": outside,
        "masses": [f"{min(masses):.1f} kg", f"{max(masses):.1f} kg"],
        "touchdown_speeds": [f"{min(speeds):.3f} m/s", f"{max(speeds):.3f} m/s"],
        **_seen(fit),
    }
    return content


def _seen(fit: RecordingsFit) -> dict[str, list[Any]]:
    """Return codes, flaps, settings and uses of reverse of the landings."""
    automatic = fit.start.automatic_brakes
    settings = [*(() if automatic is None else automatic.settings), MANUAL]
    return {
        "codes": sorted({code for one in fit.witnesses for code in one.codes if code > 0}, reverse=True),
        "flaps": sorted({one.flap for one in fit.witnesses}),
        "brakes": [name for name in settings if any(one.setting == name for one in fit.witnesses)],
        "reverses": [name for name in REVERSES if any(one.reverse == name for one in fit.witnesses)],
    }
