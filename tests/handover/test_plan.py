"""The plan for maps, held against the rules of RFC 7946, of OGC KML 2.2 and of GPX 1.1, and against an independent geodesic library."""

from __future__ import annotations

import itertools
import json
import re
from typing import Any
from xml.etree import ElementTree

import pytest
from geographiclib.geodesic import Geodesic

from tests.handover.asking import file_of, package
from tests.made_hostile import HOSTILE, hostile_link
from tests.made_links import FibreLink, position
from tests.making import Story, value

KML = "{http://www.opengis.net/kml/2.2}"
GPX = "{http://www.topografix.com/GPX/1/1}"
# The order that the schemas ask for, as far as these files use their elements.
KML_ORDER = {
    "Document": ["name", "description", "Style", "Placemark"],
    "Placemark": ["name", "description", "styleUrl", "ExtendedData", "Point", "LineString", "MultiGeometry"],
    "LineString": ["tessellate", "coordinates"],
    "Data": ["value"],
    "LineStyle": ["color", "width"],
}
GPX_POINT = ["name", "cmt", "desc", "src", "link", "sym", "type"]
GPX_ORDER = {
    "gpx": ["metadata", "wpt", "rte"],
    "metadata": ["name", "desc"],
    "rte": ["name", "rtept"],
    "wpt": GPX_POINT,
    "rtept": GPX_POINT,
}


def geojson(answer: dict[str, Any]) -> dict[str, Any]:
    return dict(json.loads(file_of(answer, "plan.geojson")))


def hold_geojson_to_its_rules(held: dict[str, Any]) -> None:
    """RFC 7946: 3.1.1 positions, 3.1.4 lines, 3.2 features, 3.3 collections, 4 (no other system of coordinates), 3.1.9 the 180th meridian."""
    assert held["type"] == "FeatureCollection"
    assert "crs" not in held
    for feature in held["features"]:
        assert feature["type"] == "Feature"
        assert {"geometry", "properties"} <= set(feature)
        assert not {"coordinates", "geometries", "features"} & set(feature)
        shape = feature["geometry"]
        places = {"Point": lambda c: [c], "LineString": lambda c: c, "MultiLineString": lambda c: [p for line in c for p in line]}
        for place in places[shape["type"]](shape["coordinates"]):
            lon, lat = place
            assert -180 <= lon <= 180
            assert -90 <= lat <= 90
        for line in {"LineString": [shape["coordinates"]], "MultiLineString": shape["coordinates"]}.get(shape["type"], []):
            assert len(line) >= 2
            assert all(abs(here[0] - there[0]) <= 180 for here, there in itertools.pairwise(line))


def in_order(element: ElementTree.Element, orders: dict[str, list[str]]) -> None:
    for part in element.iter():
        order = orders.get(part.tag.split("}")[1])
        if order:
            places = [order.index(child.tag.split("}")[1]) for child in part]
            assert places == sorted(places), (part.tag, [child.tag for child in part])


def route_with(*places: dict[str, str] | None) -> tuple[Story, str]:
    """A fibre link with a station at each place, or without a position."""
    story = Story()
    link = story.link("fibre")
    for order, place in enumerate(places):
        more = {"position": place} if place else {}
        story.thing("station", link=link, type="marker", order=str(order), **more)
    return story, link


def test_longitude_comes_first_and_what_is_known_of_a_station_goes_with_it() -> None:
    made = FibreLink()
    held = geojson(package(made.story, made.link))
    hold_geojson_to_its_rules(held)
    bend = next(feature for feature in held["features"] if feature["properties"]["name"] == "3 Bend B1")
    assert bend["geometry"] == {"type": "Point", "coordinates": [4.10075, 51.2002]}
    about = bend["properties"]
    # Sheath marks: 1012 to 1034, then 1040 to 1071, are 22 m and 31 m.
    assert (about["chainage_m"], about["mark"], about["mark_unit"]) == (53, "1071", "m")
    assert (about["depth_m"], about["depth"], about["accuracy_m"], about["source"]) == (0.62, "620 mm", 4, "satellite")


def test_the_route_is_a_line_through_the_stations_in_order_and_those_without_a_position_are_counted() -> None:
    made = FibreLink()
    held = geojson(package(made.story, made.link))
    lines = [feature for feature in held["features"] if feature["geometry"]["type"] == "LineString"]
    numbers = [f["properties"]["number"] for f in held["features"] if f["properties"]["kind"] == "station"]
    assert numbers == [1, 2, 3, 5, 6, 8]
    points = [f["geometry"]["coordinates"] for f in held["features"] if f["properties"]["kind"] == "station"]
    assert [line["geometry"]["coordinates"] for line in lines] == [points]
    assert held["stations_without_position"] == 2
    assert [f["properties"]["name"] for f in held["features"] if f["properties"]["kind"] in ("building", "corner")] == [
        "Yard office",
        "Slip shed",
        "South-east corner",
        "North-east corner",
    ]


def test_a_station_taped_from_corners_lies_as_far_from_them_as_the_tapes_say() -> None:
    made = FibreLink()
    held = geojson(package(made.story, made.link))
    lon, lat = next(f["geometry"]["coordinates"] for f in held["features"] if f["properties"]["name"] == "2 Handhole H1")
    for corner, taped_m in (((51.199955, 4.100125), 21.40), ((51.20005, 4.100125), 19.85)):
        assert Geodesic.WGS84.Inverse(*corner, lat, lon)["s12"] == pytest.approx(taped_m, abs=0.02)


def test_distances_along_the_line_are_those_over_the_ellipsoid() -> None:
    """Five places set out by the independent library, 40 m apart at 37 degrees from north."""
    places, lat, lon = [], -33.5, 151.2
    for _ in range(5):
        places.append(position(f"{lat:.7f}", f"{lon:.7f}"))
        further = Geodesic.WGS84.Direct(lat, lon, 37, 40)
        lat, lon = further["lat2"], further["lon2"]
    line = geojson(package(*route_with(*places)))["features"][0]["geometry"]["coordinates"]
    legs = [Geodesic.WGS84.Inverse(a[1], a[0], b[1], b[0])["s12"] for a, b in itertools.pairwise(line)]
    assert legs == pytest.approx([40] * 4, abs=0.02)  # seven decimals are 11 mm


def test_seven_decimals_at_most_however_many_were_typed() -> None:
    story, link = route_with(position("51.123456789", "-4.987654321"), position("51.2", "-4.9"))
    answer = package(story, link)
    assert geojson(answer)["features"][0]["geometry"]["coordinates"] == [[-4.9876543, 51.1234568], [-4.9, 51.2]]
    assert "-4.9876543,51.1234568 -4.9000000,51.2000000" in file_of(answer, "plan.kml")
    assert 'lat="51.1234568" lon="-4.9876543"' in file_of(answer, "plan.gpx")


def test_a_route_over_the_180th_meridian_is_cut_there() -> None:
    """RFC 7946, 3.1.9. From 179.999 to -179.998 the meridian is a third of the way, so the latitude there is 10 and a third of 0.003."""
    story, link = route_with(position("10.000", "179.999"), position("10.003", "-179.998"))
    held = geojson(package(story, link))
    hold_geojson_to_its_rules(held)
    assert held["features"][0]["geometry"] == {
        "type": "MultiLineString",
        "coordinates": [[[179.999, 10], [180, 10.001]], [[-180, 10.001], [-179.998, 10.003]]],
    }
    in_order(ElementTree.fromstring(file_of(package(story, link), "plan.kml")), KML_ORDER)


@pytest.mark.parametrize("places", [[], [None, None], [position("1", "2")], [position("1", "2"), None]])
def test_without_two_places_there_is_no_line_and_the_files_are_still_right(places: list[dict[str, str] | None]) -> None:
    answer = package(*route_with(*places))
    held = geojson(answer)
    hold_geojson_to_its_rules(held)
    assert [feature["geometry"]["type"] for feature in held["features"]] == ["Point"] * sum(place is not None for place in places)
    in_order(ElementTree.fromstring(file_of(answer, "plan.kml")), KML_ORDER)
    in_order(ElementTree.fromstring(file_of(answer, "plan.gpx")), GPX_ORDER)


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_names_stay_names(words: str) -> None:
    story, link = hostile_link(words)
    answer = package(story, link)
    hold_geojson_to_its_rules(geojson(answer))
    shown = " ".join("".join(sign for sign in words[:200] if sign not in "\u0001\u0007\u202e\ufffe").split())
    for name, space, tag in (("plan.kml", KML, "Document"), ("plan.gpx", GPX, "metadata")):
        tree = ElementTree.fromstring(file_of(answer, name).encode())
        said = tree.findtext(f"{space}{tag}/{space}name") or ""
        assert " ".join(said.replace("\ufffd", "").split()) == shown
        assert {part.tag.split("}")[1] for part in tree.iter()} <= ALL_TAGS


ALL_TAGS = {
    "kml",
    "Document",
    "name",
    "description",
    "Style",
    "LineStyle",
    "color",
    "width",
    "Placemark",
    "styleUrl",
    "LineString",
}
ALL_TAGS |= {
    "tessellate",
    "coordinates",
    "ExtendedData",
    "Data",
    "value",
    "Point",
    "gpx",
    "metadata",
    "desc",
    "wpt",
    "type",
    "rte",
    "rtept",
}


def test_kml_keeps_to_the_rules_of_its_schema() -> None:
    """OGC 07-147r2: order of elements, lon,lat tuples with blanks between, a colour of eight hex digits, a style that is there."""
    made = FibreLink()
    tree = ElementTree.fromstring(file_of(package(made.story, made.link), "plan.kml").encode())
    assert tree.tag == f"{KML}kml"
    in_order(tree, KML_ORDER)
    for held in tree.iter(f"{KML}coordinates"):
        assert re.fullmatch(r"-?\d+\.\d{7},-?\d+\.\d{7}( -?\d+\.\d{7},-?\d+\.\d{7})*", held.text or "")
    assert re.fullmatch(r"[0-9a-f]{8}", tree.findtext(f".//{KML}color") or "")
    ids = [style.get("id") for style in tree.iter(f"{KML}Style")]
    assert [held.text for held in tree.iter(f"{KML}styleUrl")] == [f"#{ids[0]}"]
    line = tree.findtext(f".//{KML}LineString/{KML}coordinates") or ""
    assert line.split()[0] == "4.1001300,51.2000000"
    assert len(line.split()) == 6


def test_gpx_keeps_to_the_rules_of_its_schema() -> None:
    """GPX 1.1: version and creator, order of elements, latitude within 90, longitude from -180 to below 180."""
    made = FibreLink()
    tree = ElementTree.fromstring(file_of(package(made.story, made.link), "plan.gpx").encode())
    assert tree.tag == f"{GPX}gpx"
    assert (tree.get("version"), tree.get("creator")) == ("1.1", "Spanbook")
    in_order(tree, GPX_ORDER)
    places = [part for part in tree.iter() if part.tag in (f"{GPX}wpt", f"{GPX}rtept")]
    assert all(-90 <= float(place.attrib["lat"]) <= 90 and -180 <= float(place.attrib["lon"]) < 180 for place in places)
    route = [(point.get("lat"), point.get("lon")) for point in tree.iter(f"{GPX}rtept")]
    assert route[0] == ("51.2000000", "4.1001300")
    assert len(route) == 6


def test_a_place_on_the_180th_meridian_is_written_as_gpx_asks() -> None:
    story, link = route_with(position("10", "180"), position("10", "-179.999"))
    tree = ElementTree.fromstring(file_of(package(story, link), "plan.gpx"))
    assert [point.get("lon") for point in tree.iter(f"{GPX}rtept")] == ["-180.0000000", "-179.9990000"]


def test_a_building_of_another_link_is_not_on_the_plan() -> None:
    made = FibreLink()
    made.story.thing("building", name="Pump house", position=position("51.3", "4.3"), width=value("4", "m"))
    assert "Pump house" not in file_of(package(made.story, made.link), "plan.geojson")
