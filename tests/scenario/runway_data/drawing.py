"""An invented aerodrome drawn with geodesics, written in the published element names of each open data format.

Runway 10/28 of QDRW: 2 800 m by 45 m, true bearing 98.5 deg; the threshold of 28 is displaced by 200 m. What a reader
has to find is what was drawn here, point by point from the start of the runway, with `pyproj.Geod` and plane circles:

========  =======  =====  ======  =====  =================================================
taxiway   station  angle  radius  side   drawn as
========  =======  =====  ======  =====  =================================================
B         1200 m   30     550 m   right  painted curve for landings on 10, straight after
C         1900 m   90     60 m    left   painted curves for both directions
D         2500 m   90     -       left   straight across, meeting the centre line
E         1500 m   30     550 m   left   painted curve for landings on 28 (starts at 1500)
========  =======  =====  ======  =====  =================================================
"""

from __future__ import annotations

import json
import math
import sys
from pathlib import Path

import pyproj

GEOD = pyproj.Geod(ellps="WGS84")
START = (-38.4, -21.7)
"""Latitude and longitude of the start of runway 10; in the open sea."""
BEARING = 98.5
LENGTH = 2_800.0
WIDTH = 45.0
DISPLACED_28 = 200.0
ELEVATION_10 = 120.0
ELEVATION_28 = 127.8
FIXTURES = Path(__file__).parent / "fixtures"

Plane = list[tuple[float, float]]
Place = tuple[float, float]


def place(along: float, left: float = 0.0) -> Place:
    """Return latitude and longitude of a point along the runway and to the left of it."""
    longitude, latitude, azimuth = GEOD.fwd(START[1], START[0], BEARING, along)
    longitude, latitude, _ = GEOD.fwd(longitude, latitude, azimuth + 180.0 - 90.0, left)
    return round(latitude, 8), round(longitude, 8)


def curve(station: float, angle: float, radius: float, side: str, *, back: bool = False, run_in: float = 60.0) -> Plane:
    """Return a painted exit line: along the centre line, round a circle, then 80 m straight."""
    turn = math.radians(angle)
    points = [(-run_in, 0.0)] if run_in else []
    count = max(8, math.ceil(radius * turn / 6.0))
    for number in range(count + 1):
        part = turn * number / count
        points.append((radius * math.sin(part), radius * (1.0 - math.cos(part))))
    points.append((points[-1][0] + 80.0 * math.cos(turn), points[-1][1] + 80.0 * math.sin(turn)))
    across, along = (1.0 if side == "left" else -1.0), (-1.0 if back else 1.0)
    return [(station + along * x, across * y) for x, y in points]


def lines() -> list[tuple[str, str, Plane]]:
    """Return taxiway, its type and a line of it; the side is seen from landings on 10."""
    return [
        ("B", "FASTEXIT", curve(1_200.0, 30.0, 550.0, "right")),
        ("C", "EXIT", curve(1_900.0, 90.0, 60.0, "left")),
        ("C", "EXIT", curve(2_020.0, 90.0, 60.0, "left", back=True)),
        ("D", "EXIT", [(2_500.0, 0.0), (2_500.0, 60.0), (2_500.0, 180.0)]),
        ("E", "FASTEXIT", curve(1_500.0, 30.0, 550.0, "left", back=True)),
        ("", "", [(0.0, 0.0), (1_400.0, 0.0), (2_800.0, 0.0)]),
        ("P", "PARALLEL", [(0.0, 180.0), (2_800.0, 180.0)]),
    ]


HOLDING = [(1_960.0, 90.0), (2_500.0, 75.0)]
"""Holding positions of C and D, along and to the left."""

# --------------------------------------------------------------------------------------------------------------- AIXM

NAMESPACES = (
    'xmlns:message="http://www.aixm.aero/schema/5.1.1/message" xmlns:aixm="http://www.aixm.aero/schema/5.1.1" '
    'xmlns:gml="http://www.opengis.net/gml/3.2" xmlns:xlink="http://www.w3.org/1999/xlink"'
)


def uuid(kind: int, number: int) -> str:
    """Return an identifier; the first part tells the kind of feature."""
    return f"{kind:08x}-0000-4000-8000-{number:012x}"


def feature(name: str, identifier: str, body: str, *, sequence: int = 1, interpretation: str = "BASELINE") -> str:
    """Return one member of an AIXM message."""
    return (
        f'<message:hasMember><aixm:{name} gml:id="uuid.{identifier}"><gml:identifier codeSpace="urn:uuid:">{identifier}'
        f"</gml:identifier><aixm:timeSlice><aixm:{name}TimeSlice><gml:validTime/>"
        f"<aixm:interpretation>{interpretation}</aixm:interpretation><aixm:sequenceNumber>{sequence}"
        f"</aixm:sequenceNumber><aixm:correctionNumber>0</aixm:correctionNumber>{body}</aixm:{name}TimeSlice>"
        f"</aixm:timeSlice></aixm:{name}></message:hasMember>\n"
    )


def link(name: str, identifier: str, title: str = "") -> str:
    """Return a property that points to another feature."""
    extra = f' xlink:title="{title}"' if title else ""
    return f'<aixm:{name} xlink:href="urn:uuid:{identifier}"{extra}/>'


def message(*members: str) -> bytes:
    """Return a whole AIXM file."""
    content = "".join(members)
    root = "message:AIXMBasicMessage"
    return f'<?xml version="1.0" encoding="UTF-8"?>\n<{root} {NAMESPACES}>\n{content}</{root}>\n'.encode()


def elevated_point(where: Place, elevation: float) -> str:
    """Return the location of a point."""
    return (
        '<aixm:location><aixm:ElevatedPoint srsName="urn:ogc:def:crs:EPSG::4326">'
        f'<gml:pos>{where[0]} {where[1]}</gml:pos><aixm:elevation uom="M">{elevation}</aixm:elevation>'
        "</aixm:ElevatedPoint></aixm:location>"
    )


def declared(**distances: float) -> str:
    """Return declared distances of a centre-line point."""
    return "".join(
        f"<aixm:associatedDeclaredDistance><aixm:RunwayDeclaredDistance><aixm:type>{name}</aixm:type><aixm:declaredValue>"
        f'<aixm:RunwayDeclaredDistanceValue><aixm:distance uom="M">{value:g}</aixm:distance>'
        "</aixm:RunwayDeclaredDistanceValue></aixm:declaredValue></aixm:RunwayDeclaredDistance>"
        "</aixm:associatedDeclaredDistance>"
        for name, value in distances.items()
    )


def aixm_files() -> dict[str, bytes]:
    """Return the aerodrome as AIXM 5.1.1, one file a feature type."""
    airport, runway, ten, twenty_eight = uuid(1, 1), uuid(2, 1), uuid(3, 10), uuid(3, 28)
    taxiways = {name: uuid(4, number) for number, name in enumerate(("B", "C", "D", "E", "P"))}
    kinds = {name: kind for name, kind, _ in lines() if name}
    points = [
        ("THR", ten, place(0.0), ELEVATION_10, declared(TORA=2_800, TODA=2_900, ASDA=2_800, LDA=2_800)),
        ("START", twenty_eight, place(LENGTH), 128.4, declared(TORA=2_800, TODA=2_800, ASDA=2_860)),
        ("DISTHR", twenty_eight, place(LENGTH - DISPLACED_28), ELEVATION_28, declared(LDA=2_600, DTHR=200)),
        ("START_RUN", ten, place(400.0), 121.0, declared(TORA=2_400, TODA=2_500, ASDA=2_400)),
    ]
    guidance = []
    for number, (name, _, plane) in enumerate(lines()):
        where = " ".join(f"{latitude} {longitude}" for latitude, longitude in (place(*point) for point in plane))
        guidance.append(
            feature(
                "GuidanceLine",
                uuid(5, number),
                f"<aixm:designator>L{number}</aixm:designator><aixm:type>{'RWY' if name != 'P' else 'TWY'}</aixm:type>"
                + (link("connectedTaxiway", taxiways[name]) if name else "")
                + '<aixm:extent><aixm:ElevatedCurve srsName="urn:ogc:def:crs:EPSG::4326"><gml:segments>'
                f"<gml:GeodesicString><gml:posList>{where}</gml:posList></gml:GeodesicString></gml:segments>"
                "</aixm:ElevatedCurve></aixm:extent>",
            )
        )
    return {
        "QDRW_AirportHeliport.xml": message(
            feature(
                "AirportHeliport",
                airport,
                "<aixm:designator>QDRW</aixm:designator><aixm:name>Drawn Aerodrome</aixm:name>"
                "<aixm:locationIndicatorICAO>QDRW</aixm:locationIndicatorICAO>"
                "<aixm:magneticVariation>2.5</aixm:magneticVariation>",
            )
        ),
        "QDRW_Runway.xml": message(
            feature(
                "Runway",
                runway,
                "<aixm:designator>10/28</aixm:designator><aixm:type>RWY</aixm:type>"
                '<aixm:nominalLength uom="M">2800</aixm:nominalLength><aixm:nominalWidth uom="M">45</aixm:nominalWidth>'
                "<aixm:surfaceProperties><aixm:SurfaceCharacteristics><aixm:composition>ASPH</aixm:composition>"
                "<aixm:preparation>GROOVED</aixm:preparation></aixm:SurfaceCharacteristics></aixm:surfaceProperties>"
                + link("associatedAirportHeliport", airport, "QDRW"),
            )
        ),
        "QDRW_RunwayDirection.xml": message(
            *(
                feature(
                    "RunwayDirection",
                    identifier,
                    f"<aixm:designator>{name}</aixm:designator><aixm:trueBearing>{true}</aixm:trueBearing>"
                    f"<aixm:magneticBearing>{true - 2.5}</aixm:magneticBearing><aixm:slopeTDZ>{slope}</aixm:slopeTDZ>"
                    + link("usedRunway", runway),
                )
                for name, identifier, true, slope in (("10", ten, 98.5, 0.3), ("28", twenty_eight, 278.52, -0.3))
            )
        ),
        "QDRW_RunwayCentrelinePoint.xml": message(
            *(
                feature(
                    "RunwayCentrelinePoint",
                    uuid(6, number),
                    f"<aixm:role>{role}</aixm:role>{elevated_point(where, elevation)}"
                    f"{link('onRunway', direction)}{distances}",
                )
                for number, (role, direction, where, elevation, distances) in enumerate(points)
            )
        ),
        "QDRW_RunwayProtectArea.xml": message(
            feature(
                "RunwayProtectArea",
                uuid(7, 1),
                '<aixm:width uom="M">150</aixm:width><aixm:length uom="M">100</aixm:length><aixm:type>CWY</aixm:type>'
                + link("protectedRunwayDirection", ten),
            ),
            feature(
                "RunwayProtectArea",
                uuid(7, 2),
                '<aixm:width uom="M">45</aixm:width><aixm:length uom="M">60</aixm:length><aixm:type>STOPWAY</aixm:type>'
                + link("protectedRunwayDirection", twenty_eight),
            ),
        ),
        "QDRW_Taxiway.xml": message(
            *(
                feature(
                    "Taxiway",
                    identifier,
                    f"<aixm:designator>{name}</aixm:designator><aixm:type>{kinds[name]}</aixm:type>"
                    + link("associatedAirportHeliport", airport, "QDRW"),
                )
                for name, identifier in taxiways.items()
            )
        ),
        "QDRW_TaxiHoldingPosition.xml": message(
            *(
                feature("TaxiHoldingPosition", uuid(8, number), elevated_point(place(*where), 121.0))
                for number, where in enumerate(HOLDING)
            )
        ),
        "QDRW_GuidanceLine.xml": message(*guidance),
    }


# ------------------------------------------------------------------------------------------------------- OpenStreetMap


def map_objects() -> list[tuple[dict[str, str], list[Place]]]:
    """Return tags and points of the objects of a map extract: the runway in two ways, taxiways, points."""
    runway = {"aeroway": "runway", "ref": "10/28", "width": "45", "surface": "asphalt"}
    split = LENGTH - DISPLACED_28
    found: list[tuple[dict[str, str], list[Place]]] = [
        ({"aeroway": "aerodrome", "icao": "QDRW", "name": "Drawn Aerodrome", "ele": "124"}, [place(1_400.0, 300.0)]),
        (runway, [place(split), place(2_500.0), place(1_200.0), place(0.0)]),
        ({**runway, "runway": "displaced_threshold"}, [place(split), place(LENGTH)]),
        ({"aeroway": "stopway"}, [place(LENGTH), place(LENGTH + 60.0)]),
    ]
    for name, _, plane in lines():
        if name:
            found.append(({"aeroway": "taxiway", "ref": name}, [place(*point) for point in plane]))
    found += [({"aeroway": "holding_position"}, [place(*where)]) for where in HOLDING]
    return found


def geojson() -> bytes:
    """Return the map extract as GeoJSON."""
    features = []
    for number, (tags, points) in enumerate(map_objects()):
        places = [[longitude, latitude] for latitude, longitude in points]
        geometry = {
            "type": "Point" if len(places) == 1 else "LineString",
            "coordinates": places[0] if len(places) == 1 else places,
        }
        features.append({"type": "Feature", "id": f"way/{number}", "properties": tags, "geometry": geometry})
    return (json.dumps({"type": "FeatureCollection", "features": features}, indent=1) + "\n").encode()


def overpass(*, with_geometry: bool = True) -> bytes:
    """Return the map extract as the Overpass interface gives it, with the geometry in each way or with nodes."""
    elements: list[dict[str, object]] = []
    numbers: dict[Place, int] = {}
    for number, (tags, points) in enumerate(map_objects()):
        if len(points) == 1:
            latitude, longitude = points[0]
            elements.append({"type": "node", "id": 9_000 + number, "lat": latitude, "lon": longitude, "tags": tags})
            continue
        way: dict[str, object] = {"type": "way", "id": number, "tags": tags}
        way["nodes"] = [numbers.setdefault(point, 1 + len(numbers)) for point in points]
        if with_geometry:
            way["geometry"] = [{"lat": latitude, "lon": longitude} for latitude, longitude in points]
        elements.append(way)
    if not with_geometry:
        elements += [{"type": "node", "id": one, "lat": point[0], "lon": point[1]} for point, one in numbers.items()]
    return (json.dumps({"version": 0.6, "elements": elements}, indent=1) + "\n").encode()


# --------------------------------------------------------------------------------------------------------- OurAirports


def table() -> bytes:
    """Return a runway table with three rows of invented aerodromes, one of them the drawn one."""
    start, end = place(0.0), place(LENGTH)
    header = (
        '"id","airport_ref","airport_ident","length_ft","width_ft","surface","lighted","closed","le_ident",'
        '"le_latitude_deg","le_longitude_deg","le_elevation_ft","le_heading_degT","le_displaced_threshold_ft",'
        '"he_ident","he_latitude_deg","he_longitude_deg","he_elevation_ft","he_heading_degT","he_displaced_threshold_ft"'
    )
    drawn = (
        f'1,11,"QDRW",9186,148,"ASPH-G",1,0,"10",{start[0]:.4f},{start[1]:.4f},394,98.5,,'
        f'"28",{end[0]:.4f},{end[1]:.4f},421,278.5,656'
    )
    others = [
        '2,12,"QTWO",5000,100,"CON",1,0,"04L",,,100,45,,"22R",,,,,',
        '3,12,"QTWO",4000,75,"GRS",0,1,"H1",,,,,,,,,,,',
    ]
    return "\n".join([header, drawn, *others, ""]).encode()


def fixtures() -> dict[str, bytes]:
    """Return every fixture file by name."""
    return {**aixm_files(), "QDRW.geojson": geojson(), "QDRW_overpass.json": overpass(), "runways.csv": table()}


if __name__ == "__main__":
    FIXTURES.mkdir(exist_ok=True)
    for name, content in fixtures().items():
        (FIXTURES / name).write_bytes(content)
        sys.stdout.write(f"{name} {len(content)} bytes\n")
