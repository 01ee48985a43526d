"""AIXM 5.1.1 data: runway, directions, centre-line points with declared distances, guidance lines, taxiways.

Element names are those of the AIXM 5.1.1 schema (and of 5.1, which differs in nothing read here); positions are
GML 3.2, latitude before longitude unless the reference system is CRS84. The XML is parsed without entities, document
types, network or huge trees.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, TypeAlias

from groundroll.constants import FOOT
from groundroll.errors import DataError
from groundroll.scenario.quantity import shown
from groundroll.scenario.runway_data.strip import (
    End,
    Line,
    Position,
    Stated,
    Strip,
    Warnings,
    both_designators,
    choose,
    designator,
    limit_lines,
    plain,
    position,
)

if TYPE_CHECKING:
    from lxml import etree

    Element: TypeAlias = etree._Element

FEATURES: Final = (
    "AirportHeliport",
    "Runway",
    "RunwayDirection",
    "RunwayCentrelinePoint",
    "RunwayProtectArea",
    "Taxiway",
    "TaxiHoldingPosition",
    "GuidanceLine",
    "GuidanceLineMarking",
)
"""Feature types that are read; all others are passed over."""

LENGTH_UNITS: Final = {"M": 1.0, "KM": 1000.0, "FT": FOOT, "NM": 1852.0, "CM": 0.01}
"""Metres in the units of the schema's distance types."""

_UUID: Final = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}", re.IGNORECASE | re.ASCII)
_NUMBER: Final = re.compile(r"[+-]?[0-9]{1,9}(\.[0-9]{0,15})?", re.ASCII)
_PREPARATIONS: Final = {"GROOVED": "grooved", "PFC": "porous-friction-course"}
_PAVED: Final = ("ASPH", "CONC", "ASPH_CONC", "CONC_ASPH", "BITUM", "MACADAM", "OTHER")
_RANK: Final = {"BASELINE": 2, "SNAPSHOT": 1, "PERMDELTA": 0}


@dataclass(frozen=True)
class Feature:
    """One feature with the time slice that counts."""

    kind: str
    identifier: str
    slice: Element


def _local(element: Element) -> str:
    tag = element.tag
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""


def _children(element: Element, name: str) -> list[Element]:
    return [one for one in element if _local(one) == name]


def _text(element: Element, *path: str) -> str:
    """Return the text under a path of child elements, empty where there is none."""
    for name in path:
        found = _children(element, name)
        if not found:
            return ""
        element = found[0]
    return (element.text or "").strip()


def _number(text: str) -> float | None:
    """Return a number as the schema writes it; neither exponents nor NaN are among them."""
    return float(text) if _NUMBER.fullmatch(text) else None


def _length(element: Element, name: str, warnings: Warnings) -> float | None:
    """Return a length in metres, None where there is none."""
    found = _children(element, name)
    text = (found[0].text or "").strip() if found else ""
    if not text:
        return None
    number, unit = _number(text), found[0].get("uom", "M").strip().upper()
    if number is None or unit not in LENGTH_UNITS:
        warnings.add(f"{name} {shown(f'{text} {unit}')} of a {_local(element)} is not a length; it is left out.")
        return None
    return number * LENGTH_UNITS[unit]


def _degrees(element: Element, name: str) -> float | None:
    number = _number(_text(element, name))
    return None if number is None or abs(number) > 360.0 else math.radians(number)


def _identifier(text: str) -> str:
    """Return what a feature is known by: the UUID in an identifier or a link, or its last part."""
    found = _UUID.search(text)
    return found.group().lower() if found else text.strip().rpartition("#")[2].rpartition(":")[2].removeprefix("uuid.")


def _links(element: Element, name: str) -> list[str]:
    """Return the identifiers that the properties of a name point to."""
    found = []
    for one in _children(element, name):
        for key, value in one.attrib.items():
            if str(key).rpartition("}")[2] == "href":
                found.append(_identifier(str(value)))
    return found


def _link(element: Element, name: str) -> str:
    found = _links(element, name)
    return found[0] if found else ""


# ------------------------------------------------------------------------------------------------------------ features


def _parse(content: bytes, name: str) -> Element:
    from lxml import etree

    if b"<!DOCTYPE" in content or b"<!ENTITY" in content:
        raise DataError(f"{name}: a document type or an entity has no place in AIXM data; the file is not read.")
    parser = etree.XMLParser(
        resolve_entities=False,
        no_network=True,
        load_dtd=False,
        dtd_validation=False,
        attribute_defaults=False,
        huge_tree=False,
        remove_comments=True,
        remove_pis=True,
    )
    try:
        root = etree.fromstring(content, parser)
    except (etree.XMLSyntaxError, ValueError, LookupError) as error:
        raise DataError(f"{name} is not well-formed XML: {plain(str(error), 160).rstrip('.')}.") from error
    if root.getroottree().docinfo.internalDTD is not None:
        raise DataError(f"{name}: a document type has no place in AIXM data; the file is not read.")
    return root


def _features(files: list[tuple[str, bytes]], warnings: Warnings) -> dict[str, list[Feature]]:
    """Return the features of all files by kind; the same feature in two files counts once."""
    found: dict[str, dict[str, Feature]] = {kind: {} for kind in FEATURES}
    for name, content in files:
        for element in _parse(content, name).iter("{*}*"):
            kind = _local(element)
            if kind not in found or not _children(element, "timeSlice"):
                continue
            identifier = _text(element, "identifier") or next(
                (str(value) for key, value in element.attrib.items() if str(key).rpartition("}")[2] == "id"), ""
            )
            known = _identifier(identifier) or f"{kind} {len(found[kind])}"
            chosen = _time_slice(element, kind, warnings)
            if chosen is not None and known not in found[kind]:
                found[kind][known] = Feature(kind, known, chosen)
    if not any(found.values()):
        raise DataError(
            "The XML holds no AIXM 5.1.1 feature that a runway file is made of: Runway, RunwayDirection, "
            "RunwayCentrelinePoint, Taxiway, GuidanceLine."
        )
    return {kind: list(ones.values()) for kind, ones in found.items()}


def _time_slice(feature: Element, kind: str, warnings: Warnings) -> Element | None:
    """Return the lasting state of a feature: the baseline of the highest sequence and correction number."""
    best: tuple[tuple[float, float, float], Element] | None = None
    for property_ in _children(feature, "timeSlice"):
        for one in property_:
            if _local(one) != f"{kind}TimeSlice":
                continue
            interpretation = _text(one, "interpretation") or "BASELINE"
            if interpretation not in _RANK:
                warnings.add(f"A {kind} has a temporary change (time slice {interpretation}); it is not applied.")
                continue
            order = (
                float(_RANK[interpretation]),
                _number(_text(one, "sequenceNumber")) or 0.0,
                _number(_text(one, "correctionNumber")) or 0.0,
            )
            if best is not None and best[0] != order:
                warnings.add(
                    f"A {kind} has several time slices; the latest baseline is used. Check that it is in force."
                )
            if best is None or order > best[0]:
                best = (order, one)
    return None if best is None else best[1]


# ------------------------------------------------------------------------------------------------------------ geometry


def _latitude_first(element: Element) -> bool:
    """Return the order of coordinates by the nearest reference system named around an element."""
    return "CRS84" not in (_nearest(element, "srsName") or "").upper()


def _nearest(element: Element, attribute: str) -> str | None:
    """Return an attribute of an element or of the nearest one around it that has it."""
    found: Element | None = element
    while found is not None:
        value = found.get(attribute)
        if value is not None:
            return value
        found = found.getparent()
    return None


def _positions(element: Element) -> list[Position]:
    """Return the positions in a `pos` or `posList`; what is no latitude and longitude is left out."""
    text = (element.text or "").split()
    numbers = [_number(one) for one in text[:200_000]]
    step = 3 if _nearest(element, "srsDimension") == "3" else 2
    first = _latitude_first(element)
    found = []
    for start in range(0, len(numbers) - 1, step):
        one, two = numbers[start], numbers[start + 1]
        if one is None or two is None:
            continue
        point = position(one, two) if first else position(two, one)
        if point is not None:
            found.append(point)
    return found


def _point(element: Element) -> tuple[Position | None, Element | None]:
    """Return the position of a feature and the element that holds it, with its elevation."""
    for property_ in _children(element, "location"):
        for one in property_.iter("{*}ElevatedPoint", "{*}Point"):
            for pos in one.iter("{*}pos"):
                found = _positions(pos)
                if found:
                    return found[0], one
    return None, None


def _arc(element: Element, warnings: Warnings) -> list[Position]:
    """Return points on an arc given by centre, radius and bearings."""
    from groundroll.scenario.runway_data.frame import moved

    centre = next((found[0] for one in element.iter("{*}pos") if (found := _positions(one))), None)
    radius = _length(_uppercase_unit(element), "radius", warnings)
    start, end = _number(_text(element, "startAngle")), _number(_text(element, "endAngle"))
    if centre is None or radius is None or start is None or end is None or not 0.0 < radius < 5_000.0:
        warnings.add("An arc of a guidance line cannot be read; it is replaced by a straight line.")
        return []
    if abs(end - start) > 360.0:
        end = start + math.fmod(end - start, 360.0)
    count = max(2, math.ceil(abs(end - start) / 3.0) + 1)
    angles = [math.radians(start + (end - start) * one / (count - 1)) for one in range(count)]
    return [moved(centre, angle, radius) for angle in angles]


def _uppercase_unit(element: Element) -> Element:
    """Return an arc with its unit of radius as the schema of AIXM writes it: GML has "[nmi_i]" and "m"."""
    for one in _children(element, "radius"):
        unit = one.get("uom", "M").strip().upper()
        one.set("uom", {"[NMI_I]": "NM", "[FT_I]": "FT"}.get(unit, unit))
    return element


def _curve(element: Element, warnings: Warnings) -> Iterator[list[Position]]:
    """Yield the lines under an element, one for each curve."""
    for curve in element.iter("{*}ElevatedCurve", "{*}Curve", "{*}LineString"):
        points: list[Position] = []
        inside_arc: Element | None = None
        for one in curve.iter("{*}*"):
            if inside_arc is not None and inside_arc in one.iterancestors():
                continue
            inside_arc = None
            kind = _local(one)
            if kind == "ArcByCenterPoint":
                inside_arc = one
                points += _arc(one, warnings)
            elif kind in ("pos", "posList"):
                points += _positions(one)
        if len(points) > 1:
            yield points


# -------------------------------------------------------------------------------------------------------------- runway


def read_aixm(files: list[tuple[str, bytes]], aerodrome: str | None, wanted: str | None, warnings: Warnings) -> Strip:
    """Return one runway of AIXM 5.1.1 data, which may be spread over several files.

    Parameters
    ----------
    files
        Name and content of each.
    aerodrome
        Location indicator wanted, where the data hold several aerodromes.
    wanted
        Designator of the runway, or of one of its directions; needed where there are several.
    warnings
        Where to say what is odd.

    Raises
    ------
    DataError
        If a file is not well-formed, has a document type, or the runway is not in the data.
    """
    features = _features(files, warnings)
    airport = _airport(features, aerodrome)
    names = _runways(features, airport)
    pair = choose(names.values(), wanted)
    identifier = next(key for key, value in names.items() if value == pair)
    runway = next((one.slice for one in features["Runway"] if one.identifier == identifier), None)
    ends = (End(pair[0]), End(pair[1]))
    by_direction: dict[str, End] = {}
    for feature in features["RunwayDirection"]:
        name = designator(_text(feature.slice, "designator"))
        if name in pair and _link(feature.slice, "usedRunway") in (identifier, ""):
            end = ends[pair.index(name)]
            _read_direction(feature.slice, end, warnings)
            by_direction[feature.identifier] = end
    for end in ends:
        if end not in by_direction.values():
            warnings.add(f"The data hold no RunwayDirection {end.designator}.")
    _read_points(features["RunwayCentrelinePoint"], by_direction, warnings)
    _read_areas(features["RunwayProtectArea"], by_direction, warnings)
    strip = Strip("AIXM 5.1.1 data", ends, aerodrome=airport[1] if airport else None)
    if airport is not None:
        strip.name = plain(_text(airport[2], "name"), 80) or None
        variation = _degrees(airport[2], "magneticVariation")
        strip.variation = None if variation is None else Stated(variation, "as published for the aerodrome")
    if runway is None:
        warnings.add(f"The data hold no Runway {'/'.join(pair)}; its length and width are not known.")
    else:
        _read_runway(runway, strip, warnings)
        if strip.aerodrome is None:
            strip.aerodrome = _titled(runway)
    _read_lines(features, strip, warnings)
    return strip


def _titled(runway: Element) -> str | None:
    """Return the location indicator that the link from a runway to its aerodrome bears as a title."""
    for one in _children(runway, "associatedAirportHeliport"):
        for key, value in one.attrib.items():
            if str(key).rpartition("}")[2] == "title":
                found = re.match(r"[A-Z]{4}(?![A-Za-z])", str(value).strip())
                if found:
                    return found.group()
    return None


def _airport(features: dict[str, list[Feature]], aerodrome: str | None) -> tuple[str, str | None, Element] | None:
    """Return identifier, location indicator and data of the aerodrome, None where the data hold none."""
    found: dict[str, tuple[str, str | None, Element]] = {}
    for feature in features["AirportHeliport"]:
        indicator = _text(feature.slice, "locationIndicatorICAO") or _text(feature.slice, "designator")
        found[indicator.upper() or feature.identifier] = (feature.identifier, indicator.upper() or None, feature.slice)
    if aerodrome is not None and aerodrome in found:
        return found[aerodrome]
    if len(found) > 1:
        there = ", ".join(sorted(found)[:20])
        if aerodrome is not None:
            raise DataError(f"Aerodrome {aerodrome} is not in the data; they hold {there}.")
        raise DataError(f"The data hold {len(found)} aerodromes: {there}. Name one: --aerodrome {sorted(found)[0]}")
    only = next(iter(found.values()), None)
    return only


def _runways(
    features: dict[str, list[Feature]], airport: tuple[str, str | None, Element] | None
) -> dict[str, tuple[str, str]]:
    """Return both designators of every runway by its identifier."""
    names: dict[str, tuple[str, str]] = {}
    elsewhere: set[str] = set()
    for feature in features["Runway"]:
        linked = _link(feature.slice, "associatedAirportHeliport")
        if _text(feature.slice, "type") == "FATO" or (airport and linked and linked != airport[0]):
            elsewhere.add(feature.identifier)
            continue
        pair = both_designators(_text(feature.slice, "designator"))
        if pair is not None:
            names[feature.identifier] = pair
    for feature in features["RunwayDirection"]:
        used = _link(feature.slice, "usedRunway")
        pair = both_designators(_text(feature.slice, "designator"))
        if pair is not None and used not in elsewhere and pair not in names.values():
            names.setdefault(used or feature.identifier, pair)
    return names


def _read_runway(runway: Element, strip: Strip, warnings: Warnings) -> None:
    length, width = _length(runway, "nominalLength", warnings), _length(runway, "nominalWidth", warnings)
    strip.length = None if length is None else Stated(length)
    strip.width = None if width is None else Stated(width)
    for property_ in _children(runway, "surfaceProperties"):
        for one in property_:
            composition, preparation = _text(one, "composition"), _text(one, "preparation")
            strip.surface_words = plain(f"{composition} {preparation}".strip(), 40)
            if preparation:
                strip.surface = _PREPARATIONS.get(preparation.removeprefix("OTHER:"), "smooth")
            if composition and composition not in _PAVED:
                warnings.add(f"Composition {shown(composition)}: the braking rules used here are for paved runways.")


def _read_direction(direction: Element, end: End, warnings: Warnings) -> None:
    bearing = _degrees(direction, "trueBearing")
    end.bearing = None if bearing is None else Stated(bearing)
    end.magnetic_bearing = _degrees(direction, "magneticBearing")
    slope = _number(_text(direction, "slopeTDZ"))
    end.slope = None if slope is None else slope / 100.0
    elevation = _length(direction, "elevationTDZ", warnings)
    if elevation is not None:
        end.elevation = Stated(elevation, "derived: highest elevation of the touchdown zone, the threshold has none")


def _read_points(features: list[Feature], by_direction: dict[str, End], warnings: Warnings) -> None:
    best_role: dict[str, bool] = {}
    for feature in features:
        end = by_direction.get(_link(feature.slice, "onRunway"))
        if end is None:
            continue
        role = _text(feature.slice, "role")
        point, holder = _point(feature.slice)
        if role in ("THR", "DISTHR") and point is not None and holder is not None:
            if end.designator in best_role and best_role[end.designator] != (role == "DISTHR"):
                warnings.add(
                    f"Direction {end.designator} has a point THR and a point DISTHR; DISTHR is the landing threshold."
                )
            if role == "DISTHR" or not best_role.get(end.designator, False):
                best_role[end.designator] = role == "DISTHR"
                end.start = end.threshold if role == "DISTHR" and end.start is None else end.start
                end.threshold = point
                elevation = _length(holder, "elevation", warnings)
                end.elevation = end.elevation if elevation is None else Stated(elevation)
            else:
                end.start = end.start or point
        elif role == "START" and point is not None:
            end.start = point
        if role != "START_RUN":
            _read_distances(feature.slice, end, warnings)
    for end in by_direction.values():
        if end.threshold is None:
            warnings.add(f"Direction {end.designator} has no centre-line point THR or DISTHR with a position.")
        elif not best_role[end.designator]:
            end.start = None  # the threshold is at the start of the runway
        elif end.start is None and end.displaced is None:
            run, landing = end.declared.get("TORA", []), end.declared.get("LDA", [])
            if run and landing and max(run) > min(landing):
                end.displaced = Stated(max(run) - min(landing), "derived: TORA less LDA")
            else:
                warnings.add(f"How far the threshold of {end.designator} is displaced is not in the data.")


def _read_distances(point: Element, end: End, warnings: Warnings) -> None:
    for property_ in _children(point, "associatedDeclaredDistance"):
        for declared in property_:
            kind = _text(declared, "type").upper()
            for value in (one for two in _children(declared, "declaredValue") for one in two):
                distance = _length(value, "distance", warnings)
                if distance is None:
                    continue
                if kind == "DTHR":
                    end.displaced = Stated(distance)
                else:
                    end.declared.setdefault(kind, []).append(distance)
                if _children(value, "timeInterval") or _children(value, "annotation"):
                    warnings.add(
                        f"The {kind} of {end.designator} has a schedule or a note in the data; check when it applies."
                    )


def _read_areas(features: list[Feature], by_direction: dict[str, End], warnings: Warnings) -> None:
    for feature in features:
        end = by_direction.get(_link(feature.slice, "protectedRunwayDirection"))
        kind = _text(feature.slice, "type")
        if end is None or kind not in ("CWY", "STOPWAY"):
            continue
        length = _length(feature.slice, "length", warnings)
        if length is not None and kind == "CWY":
            end.clearway = length
        elif length is not None:
            end.stopway = length


def _read_lines(features: dict[str, list[Feature]], strip: Strip, warnings: Warnings) -> None:
    taxiways = {one.identifier: one.slice for one in features["Taxiway"]}
    markings: dict[str, list[Element]] = {}
    for one in features["GuidanceLineMarking"]:
        for linked in _links(one.slice, "markedGuidanceLine"):
            markings.setdefault(linked, []).append(one.slice)
    for feature in features["GuidanceLine"]:
        if "AIR" in _text(feature.slice, "type"):  # air taxi lanes of helicopters
            continue
        own = _text(feature.slice, "designator")
        linked_taxiways = [taxiways[one] for one in _links(feature.slice, "connectedTaxiway") if one in taxiways]
        linked_taxiways = linked_taxiways or [
            one for one in taxiways.values() if own and _text(one, "designator") == own
        ]
        kinds = [_text(one, "type") for one in linked_taxiways]
        name = next((found for one in linked_taxiways if (found := _text(one, "designator"))), "")
        if not name and both_designators(own) is None:  # a line may bear the name of the runway it belongs to
            name = own
        name = plain(name, 60)
        if "TURN_AROUND" in kinds:
            warnings.add(f"Taxiway {name} is a turn pad; it is not written as an exit.")
            continue
        curves = [one for property_ in _children(feature.slice, "extent") for one in _curve(property_, warnings)]
        for marking in markings.get(feature.identifier, []) if not curves else []:
            curves += list(_curve(marking, warnings))
        strip.lines += [Line(name, points, rapid="FASTEXIT" in kinds) for points in curves]
    limit_lines(strip.lines)
    if not features["GuidanceLine"]:
        warnings.add("The data hold no GuidanceLine: no exit can be worked out.")
    for feature in features["TaxiHoldingPosition"]:
        point, _ = _point(feature.slice)
        if point is not None:
            strip.holding_positions.append(point)
