"""What is odd is said, and a runway file is made all the same; what cannot be used is refused in one line."""

from __future__ import annotations

import json
import math
import re

import pytest

from groundroll.errors import DataError, ScenarioError
from groundroll.scenario.runway_data import Source, guess_source

from . import drawing
from .conftest import Make

Files = dict[str, bytes]


def changed(name: str, old: str, new: str, count: int = 1) -> Files:
    """Return the AIXM files with a text replaced in one of them."""
    files = drawing.aixm_files()
    content = files[f"QDRW_{name}.xml"].decode()
    assert old in content, old
    files[f"QDRW_{name}.xml"] = content.replace(old, new, count).encode()
    return files


def without(*names: str) -> Files:
    return {key: value for key, value in drawing.aixm_files().items() if key.split("_")[1][:-4] not in names}


@pytest.mark.parametrize(
    ("files", "warning"),
    [
        (
            changed("RunwayProtectArea", '<aixm:length uom="M">100<', '<aixm:length uom="M">400<'),
            "10: the data state a clearway of 400 m, but TODA less TORA is 100 m",
        ),
        (
            changed("RunwayProtectArea", '<aixm:length uom="M">60<', '<aixm:length uom="FT">600<'),
            "28: the data state a stopway of 183 m, but ASDA less TORA is 60 m",
        ),
        (
            changed("RunwayDirection", "<aixm:slopeTDZ>-0.3<", "<aixm:slopeTDZ>0.3<"),
            "published slope of the same sign",
        ),
        (changed("RunwayDirection", "<aixm:slopeTDZ>-0.3<", "<aixm:slopeTDZ>-1<"), "are not opposite; neither"),
        (
            changed("RunwayCentrelinePoint", '<aixm:distance uom="M">2600<', '<aixm:distance uom="M">2750<'),
            "28: the LDA of 2750 m is more than the runway behind the threshold, 2600 m",
        ),
        (
            changed("RunwayCentrelinePoint", "<aixm:type>LDA<", "<aixm:type>LDAH<"),
            "10 has no declared LDA; TORA less the displacement is written",
        ),
        (
            changed("RunwayCentrelinePoint", "<aixm:type>TODA<", "<aixm:type>OTHER<"),
            "10: not declared in the data: TODA",
        ),
        (
            changed(
                "RunwayCentrelinePoint",
                drawing.declared(LDA=2_800),
                drawing.declared(LDA=2_800) + drawing.declared(LDA=2_500),
            ),
            "10 has several LDA: 2500, 2800 m; the least is written",
        ),
        (
            changed("RunwayCentrelinePoint", '<aixm:distance uom="M">200<', '<aixm:distance uom="M">300<'),
            "lies 200 m from the start of the runway, but is published as displaced by 300 m",
        ),
        (changed("Runway", '<aixm:nominalLength uom="M">2800<', '<aixm:nominalLength uom="M">2850<'), "does not fit"),
        (changed("Runway", '<aixm:nominalWidth uom="M">45<', '<aixm:nominalWidth uom="M">nil<'), "is not a length"),
        (changed("Runway", "<aixm:composition>ASPH<", "<aixm:composition>GRASS<"), "are for paved runways"),
        (
            changed("RunwayDirection", "<aixm:trueBearing>98.5<", "<aixm:trueBearing>97.0<"),
            "does not fit the positions",
        ),
        (changed("AirportHeliport", "<aixm:magneticVariation>2.5<", "<aixm:magneticVariation>13.9<"), "15 deg away"),
        (without("RunwayDirection", "RunwayCentrelinePoint"), ""),
        (without("Taxiway"), "by its angle"),
        (without("GuidanceLine"), "no GuidanceLine"),
        (without("Runway"), "The data hold no Runway 10/28"),
    ],
)
def test_odd_data__are_said_and_a_file_is_made(files: Files, warning: str, make: Make) -> None:
    given = {} if warning else {"elevation": "120 m"}
    made = make(files, aerodrome="QDRW", given=given)
    if warning != "by its angle":
        assert warning in " | ".join(made.warnings)
    assert set(made.runway.directions) == {"10", "28"}


def test_radius__too_small_for_the_label_of_a_rapid_exit(make: Make) -> None:
    """A 30 degree turn of 180 m radius under the label FASTEXIT; the standard asks for 275 m at least."""
    where = " ".join(f"{a} {b}" for a, b in (drawing.place(*one) for one in drawing.curve(700.0, 30.0, 180.0, "left")))
    line = drawing.feature(
        "GuidanceLine",
        drawing.uuid(5, 99),
        "<aixm:type>RWY</aixm:type>"
        + drawing.link("connectedTaxiway", drawing.uuid(4, 3))
        + f"<aixm:extent><aixm:ElevatedCurve><gml:posList>{where}</gml:posList></aixm:ElevatedCurve></aixm:extent>",
    )
    made = make({**drawing.aixm_files(), "more.xml": drawing.message(line)})
    found = made.runway.directions["10"].exits[0]
    assert (found.name, found.distance) == ("E", pytest.approx(700.0, abs=4.0))
    assert found.radius == pytest.approx(180.0, rel=0.05)
    assert any(
        "10, exit E: a rapid exit by its label, but its line has a radius of about" in one for one in made.warnings
    )


def test_time_slices__the_latest_baseline_counts(make: Make) -> None:
    files = changed("Runway", "<aixm:timeSlice>", "<aixm:timeSlice>")
    text = files["QDRW_Runway.xml"].decode()
    start, end = text.index("<aixm:timeSlice>"), text.index("</aixm:Runway>")
    later = text[start:end].replace("sequenceNumber>1<", "sequenceNumber>2<").replace('"M">45<', '"M">60<')
    temporary = text[start:end].replace("BASELINE", "TEMPDELTA").replace('"M">45<', '"M">30<')
    files["QDRW_Runway.xml"] = (text[:start] + later + text[start:end] + temporary + text[end:]).encode()
    made = make(files)
    assert made.runway.width == 60.0
    assert any("several time slices" in one for one in made.warnings)
    assert any("TEMPDELTA" in one for one in made.warnings)


def test_arc_by_centre_point__is_followed(make: Make) -> None:
    """A quarter circle of 60 m from the centre line of 10 to the left, given by centre, radius and bearings."""
    centre = drawing.place(1_000.0, 60.0)
    far = drawing.place(1_060.0, 160.0)
    extent = (
        "<aixm:extent><aixm:ElevatedCurve><gml:segments><gml:ArcByCenterPoint><gml:pos>"
        f'{centre[0]} {centre[1]}</gml:pos><gml:radius uom="m">60</gml:radius>'
        '<gml:startAngle uom="deg">188.5</gml:startAngle>'
        '<gml:endAngle uom="deg">98.5</gml:endAngle></gml:ArcByCenterPoint><gml:GeodesicString>'
        f"<gml:pos>{far[0]} {far[1]}</gml:pos></gml:GeodesicString></gml:segments></aixm:ElevatedCurve></aixm:extent>"
    )
    line = drawing.feature("GuidanceLine", drawing.uuid(5, 98), "<aixm:designator>Z</aixm:designator>" + extent)
    made = make({**drawing.aixm_files(), "more.xml": drawing.message(line)})
    found = next(one for one in made.runway.directions["10"].exits if one.name == "Z")
    assert found.distance == pytest.approx(1_000.0, abs=4.0)
    assert found.radius == pytest.approx(60.0, rel=0.05)


@pytest.mark.parametrize(
    ("content", "options", "message"),
    [
        (b'<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>', {}, "a document type or an entity has no place"),
        (
            '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE a [<!ENTITY b "c">]><a/>'.encode("utf-16"),
            {},
            "document type",
        ),
        (b"<a><b></a>", {}, "is not well-formed XML"),
        (b"<a/>", {}, "no AIXM 5.1.1 feature"),
        (b"{", {}, "is not valid JSON"),
        (b'{"features": []}', {}, "no object with the tag aeroway"),
        (b'{"a": 1}', {}, "neither GeoJSON"),
        (b"[" * 100_000, {}, "nested too deeply"),
        (b"hello", {}, "is not the runway table"),
        (b"\xff\xfe\xff", {"source": "csv"}, "neither XML, JSON nor text"),
        (b"   ", {}, "is empty"),
        (drawing.table(), {}, "Name one: --aerodrome"),
        (drawing.table(), {"aerodrome": "QXXX"}, "has no runway of QXXX"),
        (
            drawing.table(),
            {"aerodrome": "QDRW", "designator": "09"},
            "Runway 09/27 is not in the data; they hold 10/28",
        ),
        (drawing.table(), {"aerodrome": "QDRW", "designator": "x"}, '"x" is not a runway'),
        (drawing.table(), {"aerodrome": "QDRW", "source": "pdf"}, '"pdf" is not known'),
        (b"id,airport_ident\n1,QDRW\n", {}, "lacks length_ft, le_ident, he_ident"),
    ],
)
def test_unusable_data__are_refused_in_one_line(
    content: bytes, options: dict[str, str], message: str, make: Make
) -> None:
    with pytest.raises(DataError) as caught:
        make(content, **options)
    assert message in str(caught.value)
    assert len(str(caught.value).splitlines()) == 1


def test_missing_elevation__is_asked_for_and_can_be_given(make: Make) -> None:
    data = drawing.geojson().replace(b'"ele"', b'"old_ele"')
    with pytest.raises(DataError, match=r'lack the elevation of the thresholds: --set elevation="24 ft"'):
        make(data)
    made = make(data, given={"elevation": "400 ft"})
    assert made.runway.directions["10"].threshold_elevation == pytest.approx(121.9)  # 400 ft
    assert "given by the user" in made.text
    with pytest.raises(ScenarioError, match="colour"):
        make(data, given={"colour": "red"})


def test_files_of_two_kinds__are_refused(make: Make) -> None:
    with pytest.raises(DataError, match="different kinds"):
        make({"a.xml": drawing.aixm_files()["QDRW_Runway.xml"], "b.json": drawing.geojson()})


def test_several_runways__one_has_to_be_named(make: Make) -> None:
    data = drawing.geojson()
    more = data.replace(b'"10/28"', b'"10L/28R"')
    with pytest.raises(DataError, match=r"hold 2 runways: 10/28, 10L/28R\. Name one: --designator 10"):
        make({"a.json": data, "b.json": more})
    assert set(make({"a.json": data, "b.json": more}, designator="28R").runway.directions) == {"10L", "28R"}


def test_taxiway_across_the_runway__makes_an_exit_to_each_side(make: Make) -> None:
    """A straight taxiway at 60 degrees to the runway, without a name for the part on the left."""
    across = [drawing.place(1_000.0 + step / math.tan(math.radians(60.0)), step) for step in (-150.0, 150.0)]
    feature = (
        b'{"type": "Feature", "properties": {"aeroway": "taxiway", "ref": "X"}, "geometry": {"type": "LineString", '
        b'"coordinates": [[%.8f, %.8f], [%.8f, %.8f]]}},' % (across[0][1], across[0][0], across[1][1], across[1][0])
    )
    made = make(drawing.geojson().replace(b'"features": [', b'"features": [' + feature))
    found = {one.name: one for one in made.runway.directions["10"].exits if one.name.startswith("X")}
    assert set(found) == {"X left", "X right"}
    assert math.degrees(found["X left"].angle) == pytest.approx(60.0, abs=0.6)
    assert math.degrees(found["X right"].angle) == pytest.approx(120.0, abs=0.6)
    assert found["X left"].distance == found["X right"].distance == pytest.approx(1_000.0, abs=1.0)


def test_taxiway_in_two_pieces__keeps_its_name(make: Make) -> None:
    """The first 15 m from the centre line are a way without a name, as maps often have it."""
    places = [drawing.place(800.0, one) for one in (0.0, 15.0, 150.0)]
    features = b"".join(
        b'{"type": "Feature", "properties": {"aeroway": "taxiway"%s}, "geometry": {"type": "LineString", '
        b'"coordinates": [[%.8f, %.8f], [%.8f, %.8f]]}},' % (tag, one[1], one[0], two[1], two[0])
        for tag, one, two in ((b"", places[0], places[1]), (b', "ref": "Y"', places[1], places[2]))
    )
    made = make(drawing.geojson().replace(b'"features": [', b'"features": [' + features))
    found = [one for one in made.runway.directions["10"].exits if one.name == "Y"]
    assert [one.distance for one in found] == [pytest.approx(800.0, abs=1.0)]


def test_line_without_a_name__takes_that_of_the_line_it_ends_on(make: Make) -> None:
    """A guidance line that bears the name of the runway, and ends in the middle of that of taxiway P."""
    where = " ".join(f"{a} {b}" for a, b in (drawing.place(600.0, one) for one in (0.0, 90.0, 180.0)))
    line = drawing.feature(
        "GuidanceLine",
        drawing.uuid(5, 97),
        "<aixm:designator>10/28</aixm:designator><aixm:extent><aixm:ElevatedCurve>"
        f"<gml:posList>{where}</gml:posList></aixm:ElevatedCurve></aixm:extent>",
    )
    made = make({**drawing.aixm_files(), "more.xml": drawing.message(line)})
    assert made.runway.directions["10"].exits[0].name == "P"
    assert made.runway.directions["10"].exits[0].distance == pytest.approx(600.0, abs=1.0)


def test_heights_in_a_list_of_positions__are_passed_over(make: Make) -> None:
    files = drawing.aixm_files()
    text = files["QDRW_GuidanceLine.xml"].decode()
    lists = re.sub(
        r"<gml:posList>([^<]*)<",
        lambda found: "<gml:posList>" + " ".join(f"{one} 120" for one in re.findall(r"\S+ \S+", found.group(1))) + "<",
        text,
    ).replace("<gml:GeodesicString>", '<gml:GeodesicString srsDimension="3">')
    assert make({**files, "QDRW_GuidanceLine.xml": lists.encode()}).runway == make(files).runway


def test_longitude_first__where_the_reference_system_says_so(make: Make) -> None:
    files = drawing.aixm_files()
    text = files["QDRW_GuidanceLine.xml"].decode()
    swapped = re.sub(
        r"<gml:posList>([^<]*)<",
        lambda found: (
            "<gml:posList>" + " ".join(f"{b} {a}" for a, b in re.findall(r"(\S+) (\S+)", found.group(1))) + "<"
        ),
        text,
    ).replace("urn:ogc:def:crs:EPSG::4326", "urn:ogc:def:crs:OGC:1.3:CRS84")
    assert make({**files, "QDRW_GuidanceLine.xml": swapped.encode()}).runway == make(files).runway


def test_other_aerodrome_than_in_the_data__is_said(make: Make) -> None:
    made = make(drawing.geojson(), aerodrome="QXYZ")
    assert made.runway.aerodrome == "QXYZ"
    assert any('The data are of "QDRW", not of QXYZ' in one for one in made.warnings)


def test_tags_without_columns_of_their_own__are_read(make: Make) -> None:
    other = drawing.geojson().replace(b'"ref": "10/28"', b'"other_tags": "\\"ref\\"=>\\"10/28\\""')
    assert make(other).runway == make(drawing.geojson()).runway


def test_runway_drawn_as_an_area__gives_its_axis(make: Make) -> None:
    corners = [
        drawing.place(*one) for one in ((0.0, 22.5), (2_800.0, 22.5), (2_800.0, -22.5), (0.0, -22.5), (0.0, 22.5))
    ]
    area = {
        "type": "Feature",
        "properties": {"aeroway": "runway", "ref": "10/28"},
        "geometry": {"type": "Polygon", "coordinates": [[[b, a] for a, b in corners]]},
    }
    data = json.loads(drawing.geojson())
    data["features"] = [area, *(one for one in data["features"] if one["properties"]["aeroway"] != "runway")]
    made = make(json.dumps(data).encode())
    assert made.runway.length == pytest.approx(2_800.0, abs=1.0)
    assert math.degrees(made.runway.directions["10"].true_bearing) == pytest.approx(98.5, abs=0.1)
    assert made.runway.directions["10"].exits[1].distance == pytest.approx(1_900.0, abs=4.0)
    assert any("drawn as an area" in one for one in made.warnings)


def test_stated_length_longer_than_the_map__gives_way(make: Make) -> None:
    made = make(drawing.geojson().replace(b'"width": "45"', b'"width": "45", "length": "3000"'))
    assert made.runway.length == pytest.approx(2_800.0, abs=1.0)
    assert any("the shorter is written" in one for one in made.warnings)


@pytest.mark.parametrize(("content", "kind"), [(b"\xef\xbb\xbf<a/>", "aixm"), (b"\n[1]", "geojson"), (b"a,b", "csv")])
def test_guess_source__by_the_first_character(content: bytes, kind: Source) -> None:
    assert guess_source(content) == kind
