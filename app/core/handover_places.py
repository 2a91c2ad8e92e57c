"""What of a link has a place on the ground, for maps: its stations in order along the route, its buildings, their corners.

A station's place is that of the drawn plan: from taped ties where both corners have positions, else its own position. One that is only
set between its neighbours on the drawn plan has no place here; it is counted.
"""

from . import geometry
from .checks.base import field, number
from .numbers import parse_decimal, to_steps
from .picture_places import Ground
from .picture_strip import station_words
from .record_words import position_source, typed_text

_DECIMALS = 7  # a step is 11 mm
_TAPED = "taped from corners"


def places(site: dict, link: dict) -> dict:
    """Site and link view -> {"stations", "others": [place...], "left_out": stations without a position}.

    A place: {"subject", "kind", "name", "lat", "lon" (degrees on WGS84, whole steps of 1e-7), "properties": [[name, text or number]...]}.
    """
    ground = Ground(site, [link])
    found, left_out = [], 0
    for index in range(len(link["stations"])):
        place = _station(link["stations"][index], ground.routes[0].stations[index], index + 1, ground)
        if place is None:
            left_out += 1
        else:
            found.append(place)
    return {"stations": found, "others": _others(site, link), "left_out": left_out}


def _station(station: dict, drawn: dict, number_along: int, ground: object) -> dict | None:
    if not drawn["known"]:
        return None
    position = field(station, "position")
    if drawn["ties"]:
        lat, lon = geometry.from_plane(drawn["at"][0], drawn["at"][1], ground.origin[0], ground.origin[1])
        how = [["source", _TAPED]]
    else:
        lat, lon = _degrees(position)
        how = _how_known(position)
    return {
        "subject": station["subject"],
        "kind": "station",
        "name": station_words(number_along, station),
        "lat": _stepped(lat),
        "lon": _stepped(lon),
        "properties": [["number", number_along], ["type", station["type"]]] + _along(station) + how,
    }


def _along(station: dict) -> list:
    """Chainage, mark and depth, each as a number for programs and as it was typed for people."""
    found = []
    if station["chainage"]:
        found += [["chainage_m", to_steps(station["chainage"]["m"], 3) / 1e3], ["chainage_from", station["chainage"]["from"]]]
    if station["mark"]:
        found += [["mark", station["mark"]["text"]], ["mark_unit", station["mark"]["unit"]]]
    depth_m = number(station, "depth", "m")
    if depth_m is not None:
        found += [["depth_m", to_steps(depth_m, 4) / 1e4], ["depth", typed_text(field(station, "depth"))]]
    return found


def _how_known(position: dict) -> list:
    found = []
    if position.get("accuracy") not in (None, ""):
        found.append(["accuracy_m", parse_decimal(position["accuracy"])])
    if position.get("source"):
        found.append(["source", position_source(position["source"])])
    if position.get("fixes"):
        found.append(["fixes", parse_decimal(position["fixes"])])
    return found


def _others(site: dict, link: dict) -> list:
    """The two buildings and their corners, as far as they have positions."""
    wanted = [field(link, "near_building"), field(link, "far_building")]
    found = []
    for building in site["buildings"]:
        if building["subject"] in wanted:
            found.append(_fixed("building", building, _size(building)))
    for corner in site["corners"]:
        if field(corner, "building") in wanted:
            found.append(_fixed("corner", corner, [["building", field(corner, "building")]]))
    return [place for place in found if place]


def _fixed(kind: str, thing: dict, more: list) -> dict | None:
    position = field(thing, "position")
    if not position:
        return None
    lat, lon = _degrees(position)
    return {
        "subject": thing["subject"],
        "kind": kind,
        "name": str(field(thing, "name") or "unnamed"),
        "lat": _stepped(lat),
        "lon": _stepped(lon),
        "properties": more + _how_known(position),
    }


def _size(building: dict) -> list:
    found = []
    for name in ("width", "depth", "height"):
        size_m = number(building, name, "m")
        if size_m is not None:
            found.append([name + "_m", to_steps(size_m, 3) / 1e3])
    return found


def _degrees(position: dict) -> tuple:
    return parse_decimal(position["lat"], "lat"), parse_decimal(position["lon"], "lon")


def _stepped(degrees: float) -> float:
    return to_steps(degrees, _DECIMALS) / 1e7


def lines(stations: list) -> list:
    """The route as lines of (lon, lat): one, or cut in two where it crosses the 180th meridian (RFC 7946, 3.1.9); none below two stations."""
    if len(stations) < 2:
        return []
    found = [[(stations[0]["lon"], stations[0]["lat"])]]
    for place in stations[1:]:
        before, here = found[-1][-1], (place["lon"], place["lat"])
        if abs(here[0] - before[0]) > 180.0:
            edge = 180.0 if before[0] > 0 else -180.0
            crossing = _stepped(_crossing(before, here, edge))
            found[-1].append((edge, crossing))
            found.append([(-edge, crossing)])
        found[-1].append(here)
    return found


def _crossing(before: tuple, here: tuple, edge: float) -> float:
    """Latitude where a short line meets the 180th meridian."""
    to_edge, beyond = abs(edge - before[0]), abs(-edge - here[0])
    share = to_edge / (to_edge + beyond) if to_edge + beyond > 0 else 0.0
    return before[1] + (here[1] - before[1]) * share
