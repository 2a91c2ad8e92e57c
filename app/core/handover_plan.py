"""The plan for maps: GeoJSON (RFC 7946), KML (OGC 2.2), GPX 1.1. All in WGS84 with seven decimals at most."""

from .handover_places import lines
from .handover_text import XML_HEAD, one_line, tag, words
from .numbers import full_text, text
from .textform import dumps

_CABLE = "ff0082ff"  # KML writes alpha, blue, green, red: the orange of communications


def geojson(name: str, held: dict) -> str:
    """Places (`handover_places.places`) -> a FeatureCollection: the route as a line, then a point for each place. A feature a line of text."""
    features = [_route(name, held)] if len(held["stations"]) > 1 else []
    features += [_point(place) for place in held["stations"] + held["others"]]
    head = '{"type":"FeatureCollection","name":' + dumps(one_line(name))
    head += ',"stations_without_position":' + str(held["left_out"]) + ',"features":[\n'
    return head + ",\n".join([dumps(feature) for feature in features]) + "\n]}\n"


def _route(name: str, held: dict) -> dict:
    cut = [[[lon, lat] for lon, lat in line] for line in lines(held["stations"])]
    shape = {"type": "LineString", "coordinates": cut[0]}
    if len(cut) > 1:
        shape = {"type": "MultiLineString", "coordinates": cut}
    about = {"kind": "route", "name": one_line(name), "stations": len(held["stations"])}
    about["stations_without_position"] = held["left_out"]
    return {"type": "Feature", "geometry": shape, "properties": about}


def _point(place: dict) -> dict:
    about = {"kind": place["kind"], "name": one_line(place["name"])}
    for key, value in place["properties"]:
        about[key] = one_line(value) if isinstance(value, str) else value
    shape = {"type": "Point", "coordinates": [place["lon"], place["lat"]]}
    return {"type": "Feature", "id": place["subject"], "geometry": shape, "properties": about}


def kml(name: str, held: dict) -> str:
    """Places -> a KML document: a placemark for the route and for each place, what is known of it as extended data."""
    cable = tag("LineStyle", tag("color", _CABLE) + tag("width", "4"))
    inside = words("name", name) + words("description", left_out_words(held)) + tag("Style", cable, [["id", "cable"]])
    if len(held["stations"]) > 1:
        inside += tag("Placemark", words("name", "Route of " + one_line(name)) + tag("styleUrl", "#cable") + _line(held))
    for place in held["stations"] + held["others"]:
        inside += "\n" + tag("Placemark", words("name", place["name"]) + _data(place) + _kml_point(place))
    return XML_HEAD + tag("kml", tag("Document", inside + "\n"), [["xmlns", "http://www.opengis.net/kml/2.2"]]) + "\n"


def _line(held: dict) -> str:
    cut = []
    for line in lines(held["stations"]):
        pairs = " ".join([_degrees(lon) + "," + _degrees(lat) for lon, lat in line])
        cut.append(tag("LineString", tag("tessellate", "1") + tag("coordinates", pairs)))
    return cut[0] if len(cut) == 1 else tag("MultiGeometry", "".join(cut))


def _kml_point(place: dict) -> str:
    return tag("Point", tag("coordinates", _degrees(place["lon"]) + "," + _degrees(place["lat"])))


def _data(place: dict) -> str:
    held = [["kind", place["kind"]]] + place["properties"]
    return tag("ExtendedData", "".join([_datum(key, value) for key, value in held]))


def _datum(key: str, value: object) -> str:
    return tag("Data", words("value", _said(value)) or tag("value", ""), [["name", key]])


def gpx(name: str, held: dict) -> str:
    """Places -> GPX: a waypoint for each place, the stations in order as a route."""
    inside = tag("metadata", words("name", name) + words("desc", left_out_words(held)))
    for place in held["stations"] + held["others"]:
        inside += "\n" + _gpx_point("wpt", place)
    if held["stations"]:
        inside += "\n" + tag("rte", words("name", name) + "".join([_gpx_point("rtept", place) for place in held["stations"]]))
    about = [["version", "1.1"], ["creator", "Spanbook"], ["xmlns", "http://www.topografix.com/GPX/1/1"]]
    return XML_HEAD + tag("gpx", inside + "\n", about) + "\n"


def _gpx_point(name: str, place: dict) -> str:
    lon = -180.0 if place["lon"] == 180.0 else place["lon"]  # GPX longitudes stay below 180
    said = ", ".join([key + " " + _said(value) for key, value in place["properties"]])
    inside = words("name", place["name"]) + words("desc", said) + words("type", place["kind"])
    return tag(name, inside, [["lat", _degrees(place["lat"])], ["lon", _degrees(lon)]])


def _said(value: object) -> str:
    return full_text(value) if isinstance(value, float) else str(value)


def _degrees(number: float) -> str:
    return text(number, 7)


def left_out_words(held: dict) -> str:
    """How many stations are on the map, and how many are not."""
    words_of = str(len(held["stations"])) + (" station" if len(held["stations"]) == 1 else " stations") + " with a position"
    return words_of + (", " + str(held["left_out"]) + " without one left out" if held["left_out"] else "") + "."
