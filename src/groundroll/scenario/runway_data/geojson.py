"""OpenStreetMap extracts of `aeroway` objects: GeoJSON, or the JSON of the Overpass interface.

Read are ways tagged `aeroway` = runway, taxiway, taxilane and nodes tagged threshold, holding_position; of an
`aerodrome` its indicator, name and elevation. The runway way runs from edge to edge, displaced parts included, stopways
and blast pads not. Source: OpenStreetMap wiki, Tag:aeroway=runway, Tag:runway=displaced_threshold,
Tag:aeroway=threshold [confirmed].
"""

from __future__ import annotations

import json
import math
import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from groundroll.constants import FOOT
from groundroll.errors import DataError
from groundroll.scenario.quantity import shown
from groundroll.scenario.runway_data.frame import Frame, distance_and_bearing, moved
from groundroll.scenario.runway_data.strip import (
    End,
    Line,
    Position,
    Stated,
    Strip,
    Warnings,
    both_designators,
    choose,
    limit_lines,
    plain,
    position,
)

STRAIGHT: Final = 5.0
"""Greatest distance of a point of a runway way from the line between its ends. [m] Assumption of this project."""

NEAR: Final = 8_000.0
"""What is farther away belongs to another aerodrome. [m] Assumption of this project."""

_LENGTH: Final = re.compile(r"([0-9]{1,6}(?:\.[0-9]{1,6})?) ?(m|ft|'|)", re.ASCII)
_SIGNED: Final = re.compile(r"([+-]?[0-9]{1,6}(?:\.[0-9]{1,6})?) ?(m|ft|'|)", re.ASCII)
_OTHER_TAG: Final = re.compile(r'"([^"]{1,100})"=>"([^"]{0,500})"')
_PAVED: Final = ("asphalt", "concrete", "paved", "tarmac", "bitumen", "grooved", "chipseal")

Tags = dict[str, str]


@dataclass
class Thing:
    """One object of the extract: its tags, and its points in order."""

    tags: Tags
    points: list[Position]
    closed: bool = False
    """True for an area."""

    @property
    def kind(self) -> str:
        """Value of the tag `aeroway`."""
        return self.tags.get("aeroway", "")


# ------------------------------------------------------------------------------------------------------------- reading


def _load(content: bytes, name: str) -> Any:
    try:
        return json.loads(content.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise DataError(f"{name} is not text in UTF-8.") from error
    except RecursionError as error:
        raise DataError(f"{name}: brackets are nested too deeply.") from error
    except ValueError as error:
        raise DataError(f"{name} is not valid JSON: {plain(str(error), 120)}.") from error


def _tags(value: Any) -> Tags:
    if not isinstance(value, dict):
        return {}
    inner = value.get("tags")
    source = {**value, **inner} if isinstance(inner, dict) else value
    others = value.get("other_tags")
    if isinstance(others, str):  # as conversion programs write the tags they have no column for
        source = {**dict(_OTHER_TAG.findall(others[:10_000])), **{key: one for key, one in source.items() if one}}
    return {str(key): str(one)[:500] for key, one in source.items() if isinstance(one, str | int | float)}


def _number(value: Any) -> float:
    return (
        float(value)
        if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e9
        else math.nan
    )


def _pair(value: Any) -> Position | None:
    """Return the position in `[longitude, latitude, ...]`."""
    if not isinstance(value, list) or len(value) < 2:
        return None
    return position(_number(value[1]), _number(value[0]))


def _mapping(value: Any) -> Position | None:
    """Return the position in `{"lat": ..., "lon": ...}`."""
    return position(_number(value.get("lat")), _number(value.get("lon"))) if isinstance(value, dict) else None


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def _geometries(geometry: Any) -> Iterator[tuple[list[Position], bool]]:
    """Yield the points of a GeoJSON geometry, and whether they bound an area."""
    if not isinstance(geometry, dict):
        return
    kind, coordinates = geometry.get("type"), geometry.get("coordinates")
    if kind == "Point":
        point = _pair(coordinates)
        if point is not None:
            yield [point], False
    elif kind == "LineString":
        yield [one for value in _list(coordinates) if (one := _pair(value)) is not None], False
    elif kind in ("MultiLineString", "Polygon"):
        for part in _list(coordinates)[: 1 if kind == "Polygon" else None]:
            yield [one for value in _list(part) if (one := _pair(value)) is not None], kind == "Polygon"
    elif kind == "MultiPolygon":
        for polygon in _list(coordinates):
            yield from _geometries({"type": "Polygon", "coordinates": polygon})


def _from_geojson(data: dict[str, Any]) -> Iterator[Thing]:
    features = _list(data.get("features")) if data.get("type") == "FeatureCollection" else [data]
    for feature in features:
        if isinstance(feature, dict):
            tags = _tags(feature.get("properties"))
            for points, closed in _geometries(feature.get("geometry")):
                yield Thing(tags, points, closed or _is_area(tags, points))


def _from_overpass(data: dict[str, Any]) -> Iterator[Thing]:
    elements = [one for one in _list(data.get("elements")) if isinstance(one, dict)]
    nodes = {
        one["id"]: _mapping(one) for one in elements if one.get("type") == "node" and isinstance(one.get("id"), int)
    }
    for one in elements:
        tags, points = _tags(one.get("tags")), []
        if one.get("type") == "node":
            points = [_mapping(one)]
        elif one.get("type") == "way" and isinstance(one.get("geometry"), list):
            points = [_mapping(value) for value in one["geometry"]]
        elif one.get("type") == "way":
            points = [nodes.get(value) for value in _list(one.get("nodes")) if isinstance(value, int)]
        elif "aeroway" in tags:
            points = [_mapping(one.get("center"))]
        found = [point for point in points if point is not None]
        yield Thing(tags, found, _is_area(tags, found))


def _is_area(tags: Tags, points: list[Position]) -> bool:
    closed = len(points) > 3 and points[0] == points[-1]
    return closed and (tags.get("area") == "yes" or tags.get("aeroway") in ("runway", "aerodrome"))


def _things(files: list[tuple[str, bytes]]) -> list[Thing]:
    found: list[Thing] = []
    for name, content in files:
        data = _load(content, name)
        if isinstance(data, list):
            data = {"elements": data}
        if not isinstance(data, dict) or not ({"features", "elements", "geometry"} & set(data)):
            raise DataError(f'{name} is neither GeoJSON (no "features") nor an Overpass result (no "elements").')
        found += _from_overpass(data) if "elements" in data else _from_geojson(data)
    things = [one for one in found if one.kind and one.points]
    if not things:
        raise DataError("The extract holds no object with the tag aeroway.")
    return things


def _length(tags: Tags, key: str, warnings: Warnings, *, signed: bool = False) -> float | None:
    text = tags.get(key, "").strip()
    if not text:
        return None
    match = (_SIGNED if signed else _LENGTH).fullmatch(text)
    if match is None:
        warnings.add(f"{key}={shown(text)} is not a length; it is left out.")
        return None
    return float(match.group(1)) * (FOOT if match.group(2) in ("ft", "'") else 1.0)


# -------------------------------------------------------------------------------------------------------------- runway


def read_geojson(
    files: list[tuple[str, bytes]], aerodrome: str | None, wanted: str | None, warnings: Warnings
) -> Strip:
    """Return one runway of an extract of OpenStreetMap.

    Parameters
    ----------
    files
        Name and content of each.
    aerodrome
        Location indicator wanted; of use where the extract holds several aerodromes.
    wanted
        Designator of the runway; needed where there are several.
    warnings
        Where to say what is odd.

    Raises
    ------
    DataError
        If a file is no such extract, or the runway is not in it.
    """
    things = _around(_things(files), aerodrome)
    ways: dict[tuple[str, str], list[Thing]] = defaultdict(list)
    for one in things:
        if one.kind == "runway" and len(one.points) > 1:
            pair = both_designators(one.tags.get("ref", ""))
            if pair is not None:
                ways[pair].append(one)
            elif one.tags.get("runway") != "displaced_threshold":
                warnings.add(
                    f"A runway with ref={shown(one.tags.get('ref', ''))} has no designators; it is passed over."
                )
    pair = choose(ways, wanted)
    main = [one for one in ways[pair] if one.tags.get("runway") != "displaced_threshold"] or ways[pair]
    tags = _merged_tags(main)
    first, second = _axis(ways[pair], things, warnings)
    first, second = _lower_end_first(pair, first, second, warnings)
    ends = (End(pair[0], start=first), End(pair[1], start=second))
    frame = Frame(first, second)
    _read_thresholds(frame, ends, things, warnings)
    strip = Strip("an extract of OpenStreetMap", ends, declares_distances=False)
    length = _length(tags, "length", warnings)
    strip.length = None if length is None else Stated(length)
    width = _length(tags, "width", warnings)
    strip.width = None if width is None else Stated(width)
    surface = tags.get("surface", "").lower()
    strip.surface, strip.surface_words = "grooved" if "groov" in surface else None, plain(surface, 40)
    if surface and not any(word in surface for word in _PAVED):
        warnings.add(f"surface={shown(surface)}: the braking rules used here are for paved runways.")
    if tags.get("surface") is None and len(main) > 1:
        strip.surface_words = ""
    _read_aerodrome(things, aerodrome, strip, frame, warnings)
    _read_elevations(tags, strip, warnings)
    for one in things:
        near = [point for point in one.points if frame.near(point)]
        if one.kind in ("taxiway", "taxilane") and len(near) > 1:
            strip.lines.append(Line(plain(one.tags.get("ref", "") or one.tags.get("name", ""), 60), near))
        elif one.kind == "holding_position" and near:
            strip.holding_positions.append(near[0] if len(near) == 1 else _middle(near))
    limit_lines(strip.lines)
    if not strip.lines:
        warnings.add("The extract holds no taxiway: no exit can be worked out.")
    return strip


def _around(things: list[Thing], aerodrome: str | None) -> list[Thing]:
    """Return the objects near the aerodrome wanted, all of them where the extract does not show it."""
    wanted = [one for one in things if one.kind == "aerodrome" and one.tags.get("icao", "").upper() == aerodrome]
    if aerodrome is None or not wanted:
        return things
    middle = _middle(wanted[0].points)
    return [
        one
        for one in things
        if one is wanted[0]
        or any(distance_and_bearing(middle, point)[0] <= NEAR for point in (one.points[0], one.points[-1]))
    ]


def _merged_tags(ways: list[Thing]) -> Tags:
    tags: Tags = {}
    for one in sorted(ways, key=lambda one: -len(one.points)):
        tags = {**one.tags, **tags}
    return tags


def _middle(points: list[Position]) -> Position:
    """Return the middle of points, such as a holding position drawn as a line across the taxiway."""
    count = len(points)
    return Position(sum(one.latitude for one in points) / count, sum(one.longitude for one in points) / count)


def _axis(ways: list[Thing], things: list[Thing], warnings: Warnings) -> tuple[Position, Position]:
    """Return both ends of the paved runway: the two points of its ways that are farthest apart."""
    lines = [one for one in ways if not one.closed]
    if not lines:
        warnings.add("The runway is drawn as an area; its axis is worked out from the outline.")
        return _axis_of_area(max(ways, key=lambda one: len(one.points)))
    ends = [point for one in lines for point in (one.points[0], one.points[-1])]
    touching = [
        one
        for one in things
        if one.kind == "runway" and one.tags.get("runway") == "displaced_threshold" and one not in ways
    ]
    for one in touching:  # displaced parts are drawn as ways of their own, often without the designators
        if one.points[0] in ends or one.points[-1] in ends:
            lines.append(one)
            ends += [one.points[0], one.points[-1]]
    if len(ends) > 200:
        raise DataError(f"The runway is drawn in {len(lines)} pieces; at most 100 are read.")
    length, first, second = max(
        ((distance_and_bearing(one, two)[0], one, two) for one in ends for two in ends), key=lambda one: one[0]
    )
    drawn = sum(
        distance_and_bearing(here, there)[0]
        for one in lines
        for here, there in zip(one.points, one.points[1:], strict=False)
    )
    if abs(drawn - length) > max(10.0, 0.01 * length):
        warnings.add(
            f"The pieces of the runway add up to {drawn:.0f} m, but its ends are {length:.0f} m apart: is a piece "
            "missing or drawn twice?"
        )
    frame = Frame(first, second)
    aside = max(abs(float(across)) for one in lines for across in frame.along_and_across(one.points)[:, 1])
    if aside > STRAIGHT:
        warnings.add(f"A point of the runway lies {aside:.0f} m beside the line between its ends.")
    return first, second


def _axis_of_area(area: Thing) -> tuple[Position, Position]:
    import shapely

    far = max(area.points, key=lambda one: distance_and_bearing(area.points[0], one)[0])
    frame = Frame(area.points[0], far)
    box = shapely.minimum_rotated_rectangle(shapely.MultiPoint(frame.along_and_across(area.points)))
    if not isinstance(box, shapely.Polygon):
        return area.points[0], far
    corners = list(box.exterior.coords)[:4]
    sides = [math.dist(corners[one], corners[(one + 1) % 4]) for one in range(4)]
    short = 0 if sides[0] <= sides[1] else 1
    middles = [
        [0.5 * (corners[one][axis] + corners[(one + 1) % 4][axis]) for axis in (0, 1)] for one in (short, short + 2)
    ]
    _, bearing = distance_and_bearing(area.points[0], far)
    found = []
    for along, left in middles:
        on_axis = moved(area.points[0], bearing, along)
        found.append(moved(on_axis, bearing - 0.5 * math.pi, left))
    return found[0], found[1]


def _lower_end_first(
    pair: tuple[str, str], first: Position, second: Position, warnings: Warnings
) -> tuple[Position, Position]:
    _, bearing = distance_and_bearing(first, second)
    painted = math.radians(10.0 * int(pair[0][:2]))
    apart = abs((bearing - painted + math.pi) % (2.0 * math.pi) - math.pi)
    if 0.5 * math.pi - 0.5 < apart < 0.5 * math.pi + 0.5:
        warnings.add(
            f"The runway runs in {math.degrees(bearing):.0f} deg, across what {'/'.join(pair)} means: which end is "
            "which cannot be told for sure."
        )
    return (first, second) if apart <= 0.5 * math.pi else (second, first)


def _read_thresholds(frame: Frame, ends: tuple[End, End], things: list[Thing], warnings: Warnings) -> None:
    """Find displaced thresholds: nodes tagged threshold, or pieces of runway tagged as displaced."""
    assert ends[0].start is not None  # the axis was just worked out from the ways
    assert ends[1].start is not None
    length, _ = distance_and_bearing(ends[0].start, ends[1].start)
    displaced: tuple[list[float], list[float]] = ([], [])
    for one in things:
        near = [point for point in one.points if frame.near(point)]
        if not near:
            continue
        places = frame.along_and_across(near)
        if abs(places[:, 1]).max() > 40.0 or places[:, 0].min() < -20.0 or places[:, 0].max() > length + 20.0:
            continue
        if one.kind == "threshold":
            along = float(places[0, 0])
            side = 0 if along < 0.5 * length else 1
            displaced[side].append(along if side == 0 else length - along)
        elif one.kind == "runway" and one.tags.get("runway") == "displaced_threshold":
            near_start = float(places[:, 0].min()) < 20.0
            displaced[0 if near_start else 1].append(
                float(places[:, 0].max()) if near_start else length - float(places[:, 0].min())
            )
    for end, found in zip(ends, displaced, strict=True):
        if found and max(found) - min(found) > 10.0:
            warnings.add(
                f"The threshold of {end.designator} is drawn at {min(found):.0f} and at {max(found):.0f} m from the "
                "start; the greater is used."
            )
        if found and max(found) > 5.0:
            end.displaced = Stated(max(found), "derived from the place of the threshold in the map")


def _read_aerodrome(things: list[Thing], aerodrome: str | None, strip: Strip, frame: Frame, warnings: Warnings) -> None:
    found = [one for one in things if one.kind == "aerodrome" and any(frame.near(point) for point in one.points)]
    named = [one for one in found if aerodrome is not None and one.tags.get("icao", "").upper() == aerodrome]
    if named or len({one.tags.get("icao", "") for one in found}) == 1:
        tags = (named or found)[0].tags
        strip.aerodrome = tags.get("icao", "").strip().upper() or None
        strip.name = plain(tags.get("name", ""), 80) or None
        elevation = _length(tags, "ele", warnings, signed=True)
        if elevation is not None:
            for end in strip.ends:
                end.elevation = Stated(elevation, "derived: elevation of the aerodrome, not of the threshold")
    elif len(found) > 1:
        warnings.add(f"The extract holds {len(found)} aerodromes near the runway; none of them is used.")


def _read_elevations(tags: Tags, strip: Strip, warnings: Warnings) -> None:
    elevation = _length(tags, "ele", warnings, signed=True)
    if elevation is not None:
        for end in strip.ends:
            end.elevation = Stated(elevation, "derived: elevation of the runway as a whole")
    incline = re.fullmatch(r"([+-]?[0-9]{1,2}(?:\.[0-9]{1,3})?) ?%", tags.get("incline", "").strip(), re.ASCII)
    if incline is not None:
        warnings.add(f"incline={shown(tags['incline'])} is in the direction in which the way is drawn; it is not used.")
