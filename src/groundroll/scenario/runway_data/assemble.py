"""From what the data say to the values of a runway file: what is missing is worked out or asked for, oddities are said.

Every value keeps its remark. Nothing that a landing depends on is made up: an elevation that nobody gives is asked for.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from groundroll.errors import DataError, ScenarioError
from groundroll.scenario.check_runway import difference
from groundroll.scenario.messages import nearest
from groundroll.scenario.quantity import ANGLE, LENGTH, read_quantity, shown
from groundroll.scenario.runway_data.exits import (
    RAPID_GREATEST_ANGLE,
    RAPID_LEAST_ANGLE,
    RAPID_LEAST_RADIUS,
    FoundExit,
    Track,
    find_exits,
)
from groundroll.scenario.runway_data.frame import Frame, distance_and_bearing
from groundroll.scenario.runway_data.strip import End, Position, Stated, Strip, Warnings, plain

GIVEN: Final = ("elevation", "magnetic_variation", "name", "surface", "width")
"""What the user may give where the data lack it, or instead of it."""

USUAL_WIDTH: Final = 45.0
"""Where no width is known. [m] Assumption of this project: the usual width of runways of transport aeroplanes; it
decides only where an exit counts as leaving the runway."""

MOST_EXITS: Final = 60
"""Exits a runway file takes for one direction."""


@dataclass
class DraftExit:
    """One exit as it will be written; the remark says what was worked out, and from what."""

    name: str
    distance: float
    angle: float
    side: str
    remark: str
    radius: float | None = None
    rapid: bool | None = None
    rapid_remark: str = ""
    holding_distance: float | None = None


@dataclass
class DraftDirection:
    """One landing direction as it will be written."""

    designator: str
    bearing: Stated
    elevation: Stated
    displaced: Stated
    available: Stated
    slope: Stated | None = None
    take_off_run: float | None = None
    take_off_distance: float | None = None
    accelerate_stop_distance: float | None = None
    notes: list[str] = field(default_factory=list)
    exits: list[DraftExit] = field(default_factory=list)


@dataclass
class Draft:
    """A runway file to be written."""

    origin: str
    aerodrome: str
    name: str | None
    length: Stated
    width: Stated
    surface: str
    surface_remark: str
    variation: Stated
    directions: tuple[DraftDirection, DraftDirection]


@dataclass
class Layout:
    """Where things lie along the runway: stations from the start of the pavement at the lower designator. [m]"""

    frame: Frame
    origin: float
    """Station of the first point of the frame."""
    thresholds: tuple[float, float]
    end: float
    """Station of the far end of the pavement."""


def _given(given: Mapping[str, str]) -> dict[str, str]:
    for key in given:
        if key not in GIVEN:
            raise ScenarioError(f"--set {shown(key)}: cannot be set for a runway file. {nearest(key, GIVEN)}")
    return dict(given)


def assemble(strip: Strip, aerodrome: str | None, given: Mapping[str, str], warnings: Warnings) -> Draft:
    """Return the values of a runway file.

    Parameters
    ----------
    strip
        What the data say.
    aerodrome
        Location indicator given by the user; it goes before that of the data.
    given
        Texts of `GIVEN` that the user gives, such as `{"elevation": "24 ft"}`.
    warnings
        Where to say what is odd.

    Raises
    ------
    DataError
        If something a runway file needs is missing; the message says how to give it.
    ScenarioError
        If a given text is no such quantity.
    """
    texts = _given(given)
    missing: list[str] = []
    indicator = aerodrome or strip.aerodrome
    if indicator is None:
        missing.append("the location indicator: --aerodrome QABC")
    elif strip.aerodrome not in (None, indicator):
        warnings.add(f"The data are of {shown(strip.aerodrome)}, not of {indicator}, which is written.")
    if indicator is not None and not (len(indicator) == 4 and indicator.isascii() and indicator.isalpha()):
        raise DataError(f"The location indicator {shown(indicator)} is not four letters. Give one: --aerodrome QABC")
    elevations = _elevations(strip, texts, missing, warnings)
    layout = _layout(strip, warnings)
    if layout is None and strip.length is None:
        raise DataError(f"Neither a length nor the positions of both ends of {_names(strip)} are in the data.")
    if missing:
        raise DataError(f"The data lack {' and '.join(missing)}.")
    assert indicator is not None  # else it would be missing
    length = _length(strip, layout, warnings)
    width = _width(strip, texts, warnings)
    variation, bearings = _bearings(strip, layout, texts, warnings)
    directions = []
    for number, end in enumerate(strip.ends):
        displaced = _displaced(end, warnings)
        direction = DraftDirection(
            end.designator,
            bearings[number],
            elevations[number],
            displaced,
            _available(end, length.value, displaced.value, strip, warnings),
        )
        _check_declared(end, length.value, strip, direction, warnings)
        directions.append(direction)
    _slopes(strip, directions, warnings)
    draft = Draft(
        strip.origin,
        indicator,
        plain(texts["name"], 80) if "name" in texts else strip.name,
        length,
        width,
        *_surface(strip, texts),
        variation,
        (directions[0], directions[1]),
    )
    if layout is not None and strip.lines:
        _add_exits(draft, strip, layout, warnings)
    elif strip.lines:
        warnings.add("Without the positions of both thresholds no exit can be worked out.")
    elif not strip.has_lines:
        warnings.add("The table knows no exits; add them by hand, with their distances from the landing threshold.")
    return draft


def _names(strip: Strip) -> str:
    return "/".join(one.designator for one in strip.ends)


# ------------------------------------------------------------------------------------------------ values of the runway


def _elevations(strip: Strip, texts: dict[str, str], missing: list[str], warnings: Warnings) -> tuple[Stated, Stated]:
    if "elevation" in texts:
        value = Stated(read_quantity(texts["elevation"], LENGTH), "given by the user, for both thresholds")
        return value, value
    first, second = strip.ends[0].elevation, strip.ends[1].elevation
    if first is None and second is None:
        missing.append('the elevation of the thresholds: --set elevation="24 ft"')
        return Stated(0.0), Stated(0.0)
    if first is None or second is None:
        without, other = (strip.ends[0], strip.ends[1]) if first is None else (strip.ends[1], strip.ends[0])
        warnings.add(f"The elevation of {without.designator} is not known; that of {other.designator} is written.")
        known = first or second
        assert known is not None  # one of them is there
        copied = Stated(known.value, f"derived: that of {other.designator}")
        return (copied, known) if first is None else (known, copied)
    for end in strip.ends:
        if end.elevation is not None and end.elevation.remark.startswith("derived"):
            warnings.add(f"Elevation of {end.designator}: {end.elevation.remark.removeprefix('derived: ')}.")
    return first, second


def _layout(strip: Strip, warnings: Warnings) -> Layout | None:
    """Return where thresholds and ends lie, None where a position of one end is missing."""
    points: list[tuple[Position, float]] = []
    for end in strip.ends:
        displaced = end.displaced.value if end.displaced is not None else 0.0
        if end.start is not None:
            points.append((end.start, 0.0))
        elif end.threshold is not None:
            points.append((end.threshold, displaced))
        else:
            return None
    frame = Frame(points[0][0], points[1][0])
    span, _ = distance_and_bearing(points[0][0], points[1][0])
    origin = points[0][1]
    far = origin + span + points[1][1]
    stations = []
    for number, end in enumerate(strip.ends):
        published = end.displaced.value if end.displaced is not None else None
        if end.threshold is None or end.start is None:
            inward = published or 0.0
        else:
            along, across = frame.along_and_across([end.threshold])[0]
            inward = float(along) if number == 0 else span - float(along)
            if abs(across) > 20.0:
                warnings.add(f"The threshold of {end.designator} lies {abs(across):.0f} m beside the runway axis.")
            if inward < -5.0:
                warnings.add(f"The threshold of {end.designator} lies {-inward:.0f} m before the start of the runway.")
            if published is not None and abs(inward - published) > 5.0:
                warnings.add(
                    f"The threshold of {end.designator} lies {inward:.0f} m from the start of the runway, but is "
                    f"published as displaced by {published:.0f} m."
                )
            if published is None and inward > 1.0:
                end.displaced = Stated(inward, "derived from the positions of threshold and runway start")
        stations.append(inward if number == 0 else far - inward)
    return Layout(frame, origin, (stations[0], stations[1]), far)


def _length(strip: Strip, layout: Layout | None, warnings: Warnings) -> Stated:
    if strip.length is None:
        assert layout is not None  # checked before
        return Stated(round(layout.end), "derived from the positions of both ends")
    if layout is not None and abs(layout.end - strip.length.value) > strip.length_tolerance:
        if strip.has_lines and not strip.declares_distances:
            shorter = math.floor(min(layout.end, strip.length.value))
            warnings.add(
                f"The length of {strip.length.value:.0f} m does not fit the map, in which the ends are "
                f"{layout.end:.0f} m apart; the shorter is written."
            )
            return Stated(shorter, "derived: the shorter of the stated length and that in the map")
        warnings.add(
            f"The length of {strip.length.value:.0f} m does not fit the positions of both ends, which give "
            f"{layout.end:.0f} m; the stated length is written."
        )
    return strip.length


def _width(strip: Strip, texts: dict[str, str], warnings: Warnings) -> Stated:
    if "width" in texts:
        return Stated(read_quantity(texts["width"], LENGTH), "given by the user")
    if strip.width is not None:
        return strip.width
    warnings.add(f'The width is not known; {USUAL_WIDTH:.0f} m is assumed. To give it: --set width="45 m"')
    return Stated(USUAL_WIDTH, "assumed: the data give none")


def _surface(strip: Strip, texts: dict[str, str]) -> tuple[str, str]:
    said = f' (the data say "{strip.surface_words}")' if strip.surface_words else ""
    if "surface" in texts:
        return texts["surface"], "given by the user"
    if strip.surface is not None:
        return strip.surface, f"from the data{said}"
    return "smooth", f"assumed, the safe reading: the data do not say that it is grooved{said}"


def _bearings(
    strip: Strip, layout: Layout | None, texts: dict[str, str], warnings: Warnings
) -> tuple[Stated, tuple[Stated, Stated]]:
    """Return variation and both true bearings."""
    measured = _measured_bearings(strip) if layout is not None else None
    variation = _variation(strip, texts, warnings)
    found: list[Stated] = []
    for number, end in enumerate(strip.ends):
        if end.bearing is not None:
            bearing = end.bearing
        elif measured is not None:
            bearing = Stated(measured[number], "derived from the positions of both ends")
        elif end.magnetic_bearing is not None and variation is not None:
            value = (end.magnetic_bearing + variation.value) % (2.0 * math.pi)
            bearing = Stated(value, "derived from the magnetic bearing and the variation")
        else:
            bearing = Stated(math.nan)
        if measured is not None and difference(bearing.value, measured[number]) > math.radians(1.0):
            warnings.add(
                f"True bearing {math.degrees(bearing.value):.1f} deg of {end.designator} does not fit the positions of "
                f"both ends, which give {math.degrees(measured[number]):.1f} deg."
            )
        found.append(bearing)
    found = _both_bearings(found, strip, measured, variation, warnings)
    if variation is None:
        variation = _variation_from_designator(strip, found, warnings)
    for end, bearing in zip(strip.ends, found, strict=True):
        magnetic = (bearing.value - variation.value) % (2.0 * math.pi)
        apart = difference(magnetic, math.radians(10.0 * int(end.designator[:2])))
        if apart > math.radians(10.0):
            warnings.add(
                f"Designator {end.designator} is {math.degrees(apart):.0f} deg away from the magnetic bearing, "
                f"{math.degrees(magnetic):.0f} deg."
            )
    return variation, (found[0], found[1])


def _measured_bearings(strip: Strip) -> tuple[float, float]:
    first, second = (one.start or one.threshold for one in strip.ends)
    assert first is not None  # there is a layout
    assert second is not None
    return distance_and_bearing(first, second)[1], distance_and_bearing(second, first)[1]


def _both_bearings(
    found: list[Stated],
    strip: Strip,
    measured: tuple[float, float] | None,
    variation: Stated | None,
    warnings: Warnings,
) -> list[Stated]:
    """Return both bearings, each the reverse of the other where the data leave one out or contradict themselves."""
    for number in (0, 1):
        other = found[1 - number]
        if math.isnan(found[number].value) and not math.isnan(other.value):
            reverse = (other.value + math.pi) % (2.0 * math.pi)
            found[number] = Stated(reverse, f"derived: the reverse of {strip.ends[1 - number].designator}")
    if math.isnan(found[0].value):
        warnings.add(
            "Neither a bearing nor positions are in the data: the bearing is that of the painted numbers, to 10 deg."
        )
        turn = variation.value if variation is not None else 0.0
        remark = "derived from the painted number, which is magnetic and rounded to 10 deg: replace it"
        return [
            Stated((math.radians(10.0 * int(one.designator[:2])) + turn) % (2.0 * math.pi), remark)
            for one in strip.ends
        ]
    if difference(found[0].value, found[1].value + math.pi) > math.radians(1.9):
        warnings.add(
            f"The bearings {math.degrees(found[0].value):.1f} and {math.degrees(found[1].value):.1f} deg are not "
            f"opposite; {'those between the positions' if measured else 'the first and its reverse'} are written."
        )
        if measured is not None:
            return [Stated(one, "derived from the positions of both ends") for one in measured]
        found[1] = Stated((found[0].value + math.pi) % (2.0 * math.pi), "derived: the reverse of the other")
    return found


def _variation(strip: Strip, texts: dict[str, str], warnings: Warnings) -> Stated | None:
    if "magnetic_variation" in texts:
        return Stated(read_quantity(texts["magnetic_variation"], ANGLE), "given by the user")
    between = [
        (one.bearing.value - one.magnetic_bearing + math.pi) % (2.0 * math.pi) - math.pi
        for one in strip.ends
        if one.bearing is not None and one.magnetic_bearing is not None
    ]
    if len(between) == 2 and abs(between[0] - between[1]) > math.radians(0.5):
        warnings.add(
            f"True less magnetic bearing is {math.degrees(between[0]):.1f} deg in one direction and "
            f"{math.degrees(between[1]):.1f} deg in the other."
        )
    if strip.variation is not None:
        if between and abs(between[0] - strip.variation.value) > math.radians(1.0):
            warnings.add(
                f"The variation of the aerodrome, {math.degrees(strip.variation.value):.1f} deg, does not fit true "
                f"less magnetic bearing, {math.degrees(between[0]):.1f} deg."
            )
        return strip.variation
    return Stated(between[0], "derived: true less magnetic bearing") if between else None


def _variation_from_designator(strip: Strip, bearings: list[Stated], warnings: Warnings) -> Stated:
    painted = math.radians(10.0 * int(strip.ends[0].designator[:2]))
    value = (bearings[0].value - painted + math.pi) % (2.0 * math.pi) - math.pi
    warnings.add(
        f"The magnetic variation is not in the data; the painted number gives {math.degrees(value):.0f} deg, to 5 deg "
        'at best. It turns magnetic winds of a tower. To give it: --set magnetic_variation="3 deg"'
    )
    return Stated(value, "derived from the painted number, to 5 deg at best: replace it")


# --------------------------------------------------------------------------------------------- values of one direction


def _displaced(end: End, warnings: Warnings) -> Stated:
    run, landing = end.declared.get("TORA", []), end.declared.get("LDA", [])
    if end.displaced is None:
        return Stated(0.0)
    if end.displaced.value < 0.0:
        warnings.add(f"The threshold of {end.designator} is displaced by {end.displaced.value:.0f} m; 0 m is written.")
        return Stated(0.0)
    if run and landing and abs(min(run) - min(landing) - end.displaced.value) > 5.0:
        warnings.add(
            f"{end.designator}: TORA {min(run):.0f} m less LDA {min(landing):.0f} m is not the displacement of the "
            f"threshold, {end.displaced.value:.0f} m."
        )
    if end.displaced.value > 0.0:
        warnings.add(
            f"{end.designator} has a threshold displaced by {end.displaced.value:.0f} m: thirds of a condition report "
            "are of the whole runway, so the landing distance begins inside the first of them."
        )
    return end.displaced


def _available(end: End, length: float, displaced: float, strip: Strip, warnings: Warnings) -> Stated:
    """Return the landing distance available, never more than the runway behind the threshold."""
    usable = length - displaced
    landing, run = end.declared.get("LDA", []), end.declared.get("TORA", [])
    if landing:
        if max(landing) - min(landing) > 0.5:
            listed = ", ".join(f"{one:.0f}" for one in sorted(set(landing))[:5])
            warnings.add(f"{end.designator} has several LDA: {listed} m; the least is written.")
        found = Stated(min(landing), "declared")
    elif run and strip.declares_distances:
        warnings.add(f"{end.designator} has no declared LDA; TORA less the displacement is written.")
        found = Stated(math.floor(min(*run, length) - displaced), "derived: TORA less displaced threshold")
    else:
        warnings.add(
            f"The data declare no landing distance for {end.designator}; the paved length behind the threshold is "
            "written. The declared one may be shorter."
        )
        found = Stated(math.floor(usable + 1e-6), "derived: paved length less displaced threshold, NOT declared")
    if found.value > usable + 1.0:
        warnings.add(
            f"{end.designator}: the LDA of {found.value:.0f} m is more than the runway behind the threshold, "
            f"{usable:.0f} m, which is written instead."
        )
        return Stated(
            math.floor(usable + 1e-6), f"derived: paved length less displaced threshold; LDA {found.value:.0f} m"
        )
    return found


def _check_declared(end: End, length: float, strip: Strip, direction: DraftDirection, warnings: Warnings) -> None:
    """Compare the declared distances with each other, with clearway, stopway and length."""
    if not strip.declares_distances:
        return
    lacking = [one for one in ("TORA", "TODA", "ASDA", "LDA") if not end.declared.get(one)]
    if lacking:
        warnings.add(f"{end.designator}: not declared in the data: {', '.join(lacking)}.")
    several = [one for one in ("TORA", "TODA", "ASDA") if len(set(end.declared.get(one, []))) > 1]
    if several:
        warnings.add(f"{end.designator} has several values of {', '.join(several)}; the least is written.")
    run, take_off, stop = (min(end.declared.get(one, [math.nan])) for one in ("TORA", "TODA", "ASDA"))
    if run > length + 1.0:
        warnings.add(f"{end.designator}: TORA {run:.0f} m is more than the length, {length:.0f} m; it is not written.")
    elif not math.isnan(run):
        direction.take_off_run = run
        for name, value in (("TODA", take_off), ("ASDA", stop)):
            if value < run:
                warnings.add(
                    f"{end.designator}: {name} {value:.0f} m is less than TORA {run:.0f} m; it is not written."
                )
        direction.take_off_distance = take_off if take_off >= run else None
        direction.accelerate_stop_distance = stop if stop >= run else None
    for name, declared, area, value in (
        ("clearway", "TODA", end.clearway, take_off - run),
        ("stopway", "ASDA", end.stopway, stop - run),
    ):
        if math.isnan(value):
            continue
        if abs((area or 0.0) - value) > 1.0:
            stated = f"a {name} of {area:.0f} m" if area is not None else f"no {name}"
            warnings.add(f"{end.designator}: the data state {stated}, but {declared} less TORA is {value:.0f} m.")


def _slopes(strip: Strip, directions: list[DraftDirection], warnings: Warnings) -> None:
    """Say what is odd about the slopes, and write one only where the elevations give none."""
    first, second = strip.ends[0].slope, strip.ends[1].slope
    for end, direction in zip(strip.ends, directions, strict=True):
        if end.slope is not None:
            direction.notes.append(f"Published slope of the touchdown zone: {100.0 * end.slope:.2f} %.")
    if first is not None and second is not None:
        if first * second > 0.0:
            warnings.add(
                f"Both directions have a published slope of the same sign ({100.0 * first:+.2f} and "
                f"{100.0 * second:+.2f} %); neither is used."
            )
        elif abs(first + second) > 0.002:
            warnings.add(
                f"The published slopes {100.0 * first:+.2f} and {100.0 * second:+.2f} % are not opposite; neither "
                "is used."
            )
    usable = directions[0].available.value
    rise = (directions[1].elevation.value - directions[0].elevation.value) / max(usable, 1.0)
    known = all(one.elevation is not None and not one.elevation.remark for one in strip.ends)
    consistent = first is not None and (second is None or abs(first + second) <= 0.002)
    if known and consistent and first is not None and abs(rise - first) > 0.005:
        warnings.add(
            f"The elevations of both thresholds give a slope of {100.0 * rise:+.2f} % for {directions[0].designator}, "
            f"the published one is {100.0 * first:+.2f} %; the elevations are used."
        )
    if not known and consistent and first is not None and abs(first) <= 0.05:
        directions[0].slope = Stated(first, "published for the touchdown zone, taken for the whole runway")
        directions[1].slope = Stated(-first, "the reverse of the other direction")


# --------------------------------------------------------------------------------------------------------------- exits


def _add_exits(draft: Draft, strip: Strip, layout: Layout, warnings: Warnings) -> None:
    offset = np.array([layout.origin, 0.0])
    tracks = []
    for line in strip.lines:
        points = [one for one in line.points if layout.frame.near(one)]
        if len(points) > 1:
            tracks.append(Track(line.name, layout.frame.along_and_across(points) + offset, line.rapid))
    holds = [one for one in strip.holding_positions if layout.frame.near(one)]
    holding = layout.frame.along_and_across(holds) + offset if holds else np.zeros((0, 2))
    found = find_exits(tracks, (0.0, layout.end), 0.5 * draft.width.value, holding)
    for one in found:
        direction = draft.directions[0 if one.forward else 1]
        threshold = layout.thresholds[0 if one.forward else 1]
        distance = (one.station - threshold) * (1.0 if one.forward else -1.0)
        usable = draft.length.value - direction.displaced.value
        if distance < 0.0:
            continue  # behind the landing threshold
        if distance > usable:
            warnings.add(
                f"{direction.designator}: exit {one.name or 'without name'} starts {distance:.0f} m from the "
                f"threshold, beyond the end of the runway at {usable:.0f} m; it is left out."
            )
            continue
        direction.exits.append(_draft_exit(one, distance, direction, strip, warnings))
    for direction in draft.directions:
        if len(direction.exits) > MOST_EXITS:
            warnings.add(
                f"{direction.designator} has {len(direction.exits)} exits; the first {MOST_EXITS} are written."
            )
            del direction.exits[MOST_EXITS:]
        if not direction.exits:
            warnings.add(f"No line in the data makes an exit for landings on {direction.designator}.")
        _own_names(direction, warnings)


def _draft_exit(
    one: FoundExit, distance: float, direction: DraftDirection, strip: Strip, warnings: Warnings
) -> DraftExit:
    name = one.name or f"exit at {distance:.0f} m"
    remarks = [
        "start of the painted curve" if one.curved else "where both centre lines meet; the turn starts before it"
    ]
    if one.short:
        remarks.append(f"the line ends {one.short:.0f} m short of the centre line")
        warnings.add(
            f"The line of {name} ends {one.short:.0f} m short of the runway centre line; it is carried on to it."
        )
    made = DraftExit(
        name,
        float(round(distance)),
        one.angle,
        "left" if one.left else "right",
        "; ".join(remarks),
    )
    if one.radius is not None and 5.0 <= one.radius <= 2_000.0:
        made.radius = one.radius
    if one.holding_distance is not None and 20.0 <= one.holding_distance <= 500.0:
        made.holding_distance = one.holding_distance
    by_angle = RAPID_LEAST_ANGLE - 0.01 <= one.angle <= RAPID_GREATEST_ANGLE + 0.01
    if one.rapid_stated and one.angle <= 0.25 * math.pi + 0.2:
        made.rapid, made.rapid_remark = True, "the data call the taxiway a rapid exit"
        if not by_angle:
            warnings.add(
                f"{direction.designator}, exit {name}: called a rapid exit, but leaves at {math.degrees(one.angle):.0f}"
                " deg; 25 to 45 deg are usual."
            )
    elif one.rapid_stated:
        warnings.add(
            f"{direction.designator}, exit {name}: the taxiway is called a rapid exit, but leaves at "
            f"{math.degrees(one.angle):.0f} deg in this direction; it is not written as one."
        )
    elif by_angle:
        made.rapid, made.rapid_remark = True, "derived from the angle alone"
    if made.rapid and made.radius is not None and made.radius < RAPID_LEAST_RADIUS:
        warnings.add(
            f"{direction.designator}, exit {name}: a rapid exit by its {'label' if one.rapid_stated else 'angle'}, "
            f"but its line has a radius of about {made.radius:.0f} m; the standard asks for at least "
            f"{RAPID_LEAST_RADIUS:.0f} m. The speed from the radius is lower than the word suggests."
        )
    return made


def _own_names(direction: DraftDirection, warnings: Warnings) -> None:
    """Give exits of one name names of their own: by side where that tells them apart, else by number."""
    for name in {one.name for one in direction.exits}:
        alike = [one for one in direction.exits if one.name == name]
        if len(alike) < 2:
            continue
        sides = {one.side for one in alike}
        for number, one in enumerate(alike, start=1):
            one.name = f"{name} {one.side}" if len(sides) == len(alike) else f"{name} ({number})"
        warnings.add(f"{direction.designator}: {len(alike)} exits are called {name}; they are told apart in the file.")
