"""The text of a runway file, with a comment behind each value that was worked out."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Final

from groundroll.scenario.runway_data.assemble import Draft, DraftDirection, DraftExit
from groundroll.scenario.runway_data.strip import plain

COLUMN: Final = 42
"""Where comments start, where the value leaves room. [characters]"""


def _text(value: str) -> str:
    return json.dumps(plain(value, 80), ensure_ascii=False)


def _line(key: str, value: str, remark: str = "") -> str:
    line = f"{key} = {value}"
    return f"{line:<{COLUMN - 2}}  # {plain(remark, 200)}" if remark else line


def _length(value: float) -> str:
    text = f"{value:.1f}".removesuffix(".0")
    return f'"{"0" if text == "-0" else text} m"'


def _angle(value: float, decimals: int = 2) -> str:
    text = f"{math.degrees(value):.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f'"{"0" if text == "-0" else text} deg"'


def runway_text(draft: Draft, warnings: Sequence[str]) -> str:
    """Return the text of a runway file, format 1.

    Parameters
    ----------
    draft
        The values.
    warnings
        What is odd about the data; it stands at the head of the file.
    """
    names = "/".join(one.designator for one in draft.directions)
    lines = [
        f"# Runway {names} of {draft.aerodrome}, made from {draft.origin}.",
        "# Check every value against the aeronautical information publication before use. A comment behind a value",
        '# says how it came about: "derived" is worked out here, not published.',
    ]
    if warnings:
        lines += ["#", "# Odd in the data:", *(f"# - {plain(one, 400)}" for one in warnings)]
    lines += ["", "format = 1", f"aerodrome = {_text(draft.aerodrome)}"]
    if draft.name:
        lines.append(f"name = {_text(draft.name)}")
    lines += [
        _line("length", _length(draft.length.value), draft.length.remark or "paved, end to end"),
        _line("width", _length(draft.width.value), draft.width.remark),
        _line("surface", _text(draft.surface), draft.surface_remark),
        _line("magnetic_variation", _angle(draft.variation.value), draft.variation.remark or "east positive"),
    ]
    for direction in draft.directions:
        lines += ["", *_direction(direction)]
    return "\n".join(lines) + "\n"


def _direction(direction: DraftDirection) -> list[str]:
    bearing = direction.bearing.value % (2.0 * math.pi)
    lines = [
        f"[directions.{direction.designator}]",
        _line("true_bearing", _angle(bearing), direction.bearing.remark),
        _line("threshold_elevation", _length(direction.elevation.value), direction.elevation.remark),
    ]
    if direction.slope is not None:
        value = f"{100.0 * direction.slope.value:.2f}"
        lines.append(_line("slope", f'"{"0.00" if value == "-0.00" else value} %"', direction.slope.remark))
    if direction.displaced.value > 0.0:
        lines.append(_line("displaced_threshold", _length(direction.displaced.value), direction.displaced.remark))
    lines.append(_line("landing_distance_available", _length(direction.available.value), direction.available.remark))
    for key, distance in (
        ("take_off_run_available", direction.take_off_run),
        ("take_off_distance_available", direction.take_off_distance),
        ("accelerate_stop_distance_available", direction.accelerate_stop_distance),
    ):
        if distance is not None:
            lines.append(_line(key, _length(distance), "declared"))
    lines += [f"# {plain(one, 200)}" for one in direction.notes]
    for one in direction.exits:
        lines += ["", f"[[directions.{direction.designator}.exits]]", *_exit(one)]
    return lines


def _exit(one: DraftExit) -> list[str]:
    lines = [
        _line("name", _text(one.name)),
        _line("distance", _length(one.distance), f"derived from the map: {one.remark}"),
        _line("angle", _angle(one.angle, 0), "derived from the line"),
    ]
    if one.radius is not None:
        lines.append(
            _line("radius", _length(float(round(one.radius))), "derived from the line: mean radius of its curve")
        )
    lines.append(_line("side", _text(one.side), "derived from the line"))
    if one.rapid is not None:
        lines.append(_line("rapid", "true" if one.rapid else "false", one.rapid_remark))
    if one.holding_distance is not None:
        remark = "derived from the position of the holding point"
        lines.append(_line("holding_distance", _length(float(round(one.holding_distance))), remark))
    lines.append("derived = true")
    return lines
