"""Where the things of a link lie on the plan's plane: metres east and north of the first known place.

A station's place comes from taped ties where both corners have positions (better than satellite), else from its own position, else it is set
along the route between its neighbours and drawn hollow.
"""

from . import geometry, units
from .errors import Refused
from .numbers import parse_decimal
from .picture_strip import filled_chainages
from .ties import place_by_ties


class Ground:
    """The plane of a site: its origin, its buildings and corners, and the route of each link asked for."""

    def __init__(self, book: dict, links: list):
        self.origin = _origin(book, links)
        self.buildings = [self._building(thing) for thing in book["buildings"]]
        self.corners = {thing["subject"]: self.place(_value(thing, "position")) for thing in book["corners"]}
        self.routes = [Route(self, link) for link in links]

    def place(self, position: dict | None) -> list | None:
        """A position as typed -> [east, north] in metres, or None."""
        degrees = _degrees(position)
        if degrees is None or self.origin is None:
            return None
        east, north = geometry.to_plane(degrees[0], degrees[1], self.origin[0], self.origin[1])
        return [east, north]

    def _building(self, thing: dict) -> dict:
        return {
            "subject": thing["subject"],
            "name": _value(thing, "name") or "",
            "at": self.place(_value(thing, "position")),
            "width": _metres(_value(thing, "width")),
            "depth": _metres(_value(thing, "depth")),
        }


class Route:
    """One link on the ground: a row for each station, with where it lies and how that is known."""

    def __init__(self, ground: Ground, link: dict):
        self.link = link
        self.ground = ground
        self.stations = [self._station(station) for station in link["stations"]]
        self._fill(link)

    def building(self, field: str) -> dict | None:
        """The building that a field of the link names, or None."""
        for building in self.ground.buildings:
            if building["subject"] == _value(self.link, field):
                return building
        return None

    def _station(self, station: dict) -> dict:
        ties, lines = self._tied(station)
        position = _value(station, "position")
        at = ties or self.ground.place(position)
        accuracy = None
        if at and not ties and position.get("accuracy") not in (None, ""):
            accuracy = parse_decimal(position["accuracy"], "accuracy")
        return {"at": at, "known": at is not None, "ties": lines, "accuracy": accuracy}

    def _tied(self, station: dict) -> tuple:
        """([east, north], corners used) from two or more taped ties, or (None, [])."""
        corners, distances = [], []
        for tie in _value(station, "ties") or []:
            corner = self.ground.corners.get(tie.get("corner"))
            distance_m = _metres(tie.get("distance"))
            if corner is not None and distance_m is not None:
                corners.append(corner)
                distances.append(distance_m)
        side = _value(station, "tie_side")
        if len(corners) < 2 or side is None:
            return None, []
        try:
            found = place_by_ties(corners, distances, side)
        except Refused:
            return None, []
        if not found["valid"]:
            return None, []  # the tapes do not meet: its own position, or its neighbours, must do
        return [found["x"], found["y"]], corners

    def _fill(self, link: dict) -> None:
        """Set stations without a place between their neighbours by chainage, or by order where chainages are missing."""
        chainages = filled_chainages(link["stations"])
        marks = [index for index in range(len(self.stations)) if self.stations[index]["known"]]
        for index in range(len(self.stations)):
            if not self.stations[index]["known"]:
                self.stations[index]["at"] = self._between(index, marks, chainages)

    def _between(self, index: int, marks: list, chainages: list | None) -> list | None:
        before = [mark for mark in marks if mark < index]
        after = [mark for mark in marks if mark > index]
        low = [before[-1], self.stations[before[-1]]["at"]] if before else [0, self._centre("near_building")]
        far = self._centre("far_building") if self._arrived() else None
        high = [after[0], self.stations[after[0]]["at"]] if after else [len(self.stations) - 1, far]
        if low[1] is None or high[1] is None:
            return None
        share = _share(index, low[0], high[0], chainages)
        return [low[1][axis] + (high[1][axis] - low[1][axis]) * share for axis in (0, 1)]

    def _arrived(self) -> bool:
        """Has the route reached a building entry after its first station? A half-pulled cable must not be drawn as arrived."""
        return any([station["type"] == "building_entry" for station in self.link["stations"][1:]])

    def _centre(self, field: str) -> list | None:
        building = self.building(field)
        return building["at"] if building else None


def _share(index: int, low: int, high: int, chainages: list | None) -> float:
    """How far along from `low` to `high`, 0 to 1."""
    if high == low:
        return 0.0
    if chainages and chainages[high][0] > chainages[low][0]:
        share = (chainages[index][0] - chainages[low][0]) / (chainages[high][0] - chainages[low][0])
        return max(0.0, min(1.0, share))
    return (index - low) / (high - low)


def _value(thing: dict, name: str) -> object:
    held = thing["fields"].get(name)
    return held["value"] if held else None


def _metres(value: dict | None) -> float | None:
    try:
        return units.typed(value, "m") if value else None
    except Refused:
        return None


def _degrees(position: dict | None) -> list | None:
    try:
        return [parse_decimal(position["lat"], "lat"), parse_decimal(position["lon"], "lon")] if position else None
    except (Refused, KeyError):
        return None


def _origin(book: dict, links: list) -> list | None:
    """Middle of all places that these links can use, in degrees: the plane touches the earth there."""
    found = []
    for thing in _placed_things(book, links):
        degrees = _degrees(_value(thing, "position"))
        if degrees is not None:
            found.append(degrees)
    if not found:
        return None
    return [(min([pair[axis] for pair in found]) + max([pair[axis] for pair in found])) / 2.0 for axis in (0, 1)]


def _placed_things(book: dict, links: list) -> list:
    things = list(book["corners"])
    wanted = []
    for link in links:
        things += link["stations"]
        wanted += [_value(link, "near_building"), _value(link, "far_building")]
    return things + [thing for thing in book["buildings"] if thing["subject"] in wanted or not links]
