"""The plan: the link's route drawn to scale, north up, with buildings, stations, ties, scale bar and north arrow."""

from . import draw, picture_strip
from .picture_places import Ground
from .picture_strip import station_words, symbol

WIDTH, HEIGHT = 180.0, 120.0
_LEFT, _TOP, _RIGHT, _BOTTOM = 6.0, 11.0, 174.0, 106.0
SCALES = [100, 200, 250, 500, 1000, 1250, 2000, 2500, 5000, 10000, 20000, 50000]
_FIELDS_M = {
    100: 1,
    200: 2,
    250: 2,
    500: 5,
    1000: 10,
    1250: 10,
    2000: 20,
    2500: 20,
    5000: 50,
    10000: 100,
    20000: 200,
    50000: 500,
}  # length of one field of the scale bar
_BUILDING_M = 6.0  # side of the square for a building whose size is not known
_TEXT = 2.9


def plan(book: dict, link: dict) -> str:
    """Plan of a link as SVG; the straight unrolled plan when fewer than two places are known or they lie too far apart for any scale."""
    ground = Ground(book, [link])
    bounds = _bounds(ground)
    scale = _scale(bounds) if bounds else None
    if scale is None:
        return _unrolled(
            link, "Positions lie too far apart to draw: check them." if bounds else "Fewer than two positions known."
        )
    name = _name(link)
    return _Sheet(ground, bounds, scale).drawing(name, True)


def site_plan(book: dict, links: list) -> str:
    """Plan of a site as SVG: its buildings and the routes of all its links, named; a sentence when fewer than two places are known."""
    ground = Ground(book, links)
    held = book["site"]["fields"].get("name")
    name = str(held["value"]) if held else "Site"
    bounds = _bounds(ground)
    scale = _scale(bounds) if bounds else None
    if scale is None:
        why = (
            "Positions lie too far apart to draw: check them."
            if bounds
            else "No plan yet: give two buildings or stations a position."
        )
        return draw.picture(WIDTH, 20.0, "Plan of " + name, [draw.text(WIDTH / 2, 12, why, 3.6, "middle", draw.QUIET)])
    return _Sheet(ground, bounds, scale).drawing(name, False)


def _name(link: dict) -> str:
    held = link["fields"].get("name")
    return str(held["value"]) if held else "Link"


def _bounds(ground: Ground) -> list | None:
    """[west, south, east, north] of what must be on the sheet, or None when fewer than two places are known."""
    points, known = [], 0
    for route in ground.routes:
        for row in route.stations:
            if row["at"] is not None:
                points.append(row["at"])
                points += row["ties"]
            known += 1 if row["known"] else 0
    for building in _wanted_buildings(ground):
        if building["at"]:
            known += 1
            points += _corners_of(building)
    if known < 2:
        return None
    east, north = [point[0] for point in points], [point[1] for point in points]
    return [min(east), min(north), max(east), max(north)]


def _wanted_buildings(ground: Ground) -> list:
    """The buildings that the routes join; all of them when there is no route."""
    wanted = []
    for route in ground.routes:
        wanted += [route.building(field)["subject"] for field in ("near_building", "far_building") if route.building(field)]
    return [building for building in ground.buildings if building["subject"] in wanted or not ground.routes]


def _corners_of(building: dict) -> list:
    half_width, half_depth = (building["width"] or _BUILDING_M) / 2.0, (building["depth"] or _BUILDING_M) / 2.0
    x, y = building["at"]
    return [[x - half_width, y - half_depth], [x + half_width, y + half_depth]]


def _scale(bounds: list) -> int | None:
    """The largest scale at which the bounds fit into the drawing."""
    for scale in SCALES:
        if (bounds[2] - bounds[0]) * 1000.0 / scale <= _RIGHT - _LEFT - 12 and (
            bounds[3] - bounds[1]
        ) * 1000.0 / scale <= _BOTTOM - _TOP - 10:
            return scale
    return None


class _Sheet:
    """One drawing: the scale, what is already covered by words, and the pieces."""

    def __init__(self, ground: Ground, bounds: list, scale: int):
        self.ground = ground
        self.scale = scale
        self.middle = [(bounds[0] + bounds[2]) / 2.0, (bounds[1] + bounds[3]) / 2.0]
        self.covered = [[_RIGHT - 14, _TOP, _RIGHT, _TOP + 17]]  # boxes that words keep off; the first is the north arrow's
        self.dots = []  # {index, station, row, point} of every station that has a place
        self.lines = []  # [link, points] of every route
        for route in ground.routes:
            self._lay(route)

    def _lay(self, route: object) -> None:
        points = []
        for index in range(len(route.stations)):
            row = route.stations[index]
            if row["at"]:
                points.append(self.at(row["at"]))
                self.dots.append({"index": index, "station": route.link["stations"][index], "row": row, "point": points[-1]})
        if not route.stations:
            ends = [route.building(field) for field in ("near_building", "far_building")]
            points = [self.at(building["at"]) for building in ends if building and building["at"]]
        self.lines.append([route.link, points])

    def at(self, place: list) -> list:
        """A place in metres -> millimetres on the sheet, north up."""
        factor = 1000.0 / self.scale
        x = (_LEFT + _RIGHT) / 2.0 + (place[0] - self.middle[0]) * factor
        return [x, (_TOP + _BOTTOM) / 2.0 - (place[1] - self.middle[1]) * factor]

    def drawing(self, name: str, name_stations: bool) -> str:
        """The whole sheet under its name; words stand at the stations, or at the routes."""
        pieces = self._buildings() + self._ties() + self._accuracies() + self._routes()
        for dot in self.dots:
            x, y = dot["point"]
            pieces.append(symbol(dot["station"]["type"], x, y, dot["row"]["known"]))
            self.covered.append([x - 1.8, y - 1.8, x + 1.8, y + 1.8])
        pieces += self._building_names()
        pieces += self._station_names() if name_stations else self._route_names()
        return draw.picture(WIDTH, HEIGHT, "Plan of " + name + " at 1:" + str(self.scale), pieces + self._frame(name))

    def _routes(self) -> list:
        """The cables; a link with no station yet is a dashed line from building to building."""
        pieces = []
        for link, points in self.lines:
            if len(points) > 1:
                pieces.append(
                    draw.cable(points) if link["stations"] else draw.path(points, draw.INK, 0.5, "none", False, "2 1.5")
                )
        return pieces

    def _route_names(self) -> list:
        pieces = []
        for link, points in self.lines:
            if points:
                x, y = _halfway(points)
                words = draw.shorten(_name(link), _TEXT, 60)
                left, base, _ = self._beside(x, y, words, 1000)
                pieces.append(draw.text(left, base, words, _TEXT, "start", draw.INK, "600", 0, True))
        return pieces

    # ---- buildings

    def _shown_buildings(self) -> list:
        shown = []
        for building in self.ground.buildings:
            if building["at"]:
                x, y = self.at(building["at"])
                half_width = (building["width"] or _BUILDING_M) * 500.0 / self.scale
                half_depth = (building["depth"] or _BUILDING_M) * 500.0 / self.scale
                inside = (
                    x - half_width >= _LEFT and x + half_width <= _RIGHT and y - half_depth >= _TOP and y + half_depth <= _BOTTOM
                )
                if inside:
                    shown.append([building, x, y, half_width, half_depth])
        return shown

    def _buildings(self) -> list:
        pieces = []
        for building, x, y, half_width, half_depth in self._shown_buildings():
            dash = None if building["width"] and building["depth"] else "1.5 1"
            pieces.append(
                draw.rectangle(x - half_width, y - half_depth, half_width * 2, half_depth * 2, draw.PALE, draw.INK, 0.4, dash)
            )
        return pieces

    def _building_names(self) -> list:
        pieces = []
        for building, x, y, half_width, half_depth in self._shown_buildings():
            words = draw.shorten(building["name"], 3.3, 50)
            width = draw.width_of(words, 3.3)
            tries = [
                [x - width / 2, y + 1.1],
                [x - width / 2, y - half_depth - 1.3],
                [x - width / 2, y + half_depth + 3.6],
                [x + half_width + 1.5, y + 1.1],
                [x - half_width - 1.5 - width, y + 1.1],
            ]
            if width > half_width * 2 - 1 or half_depth < 2.4:
                tries = tries[1:]
            left, base = self._free(tries, width, 3.3)
            pieces.append(draw.text(left, base, words, 3.3, "start", draw.INK, "600", 0, True))
        return pieces

    # ---- stations

    def _ties(self) -> list:
        pieces = []
        for dot in self.dots:
            for corner in dot["row"]["ties"]:
                x, y = self.at(corner)
                pieces.append(draw.line(x, y, dot["point"][0], dot["point"][1], draw.QUIET, 0.25, "1 1"))
                pieces.append(draw.line(x - 0.7, y, x + 0.7, y, draw.INK, 0.3) + draw.line(x, y - 0.7, x, y + 0.7, draw.INK, 0.3))
        return pieces

    def _accuracies(self) -> list:
        """The circle that a satellite position is good to, where it is big enough to be seen."""
        pieces = []
        for dot in self.dots:
            accuracy = dot["row"]["accuracy"]
            radius = accuracy * 1000.0 / self.scale if accuracy else 0.0
            if 2.0 <= radius <= 30.0:
                pieces.append(draw.circle(dot["point"][0], dot["point"][1], radius, "none", draw.QUIET, 0.18, "0.4 1"))
        return pieces

    def _station_names(self) -> list:
        """Each station's words beside it where there is room, else its number alone; the table of stations tells the rest."""
        pieces = []
        for dot in self.dots:
            x, y = dot["point"]
            words = draw.shorten(station_words(dot["index"] + 1, dot["station"]), _TEXT, 46)
            found = self._beside(x, y, words, 14)
            if found is None:
                words = str(dot["index"] + 1)
                found = self._beside(x, y, words, 1000)
            left, base, far = found
            if far:
                pieces.append(draw.line(x, y, left + draw.width_of(words, _TEXT) / 2, base - 1, draw.QUIET, 0.18))
            pieces.append(draw.text(left, base, words, _TEXT, "start", draw.INK, None, 0, True))
        return pieces

    def _beside(self, x: float, y: float, words: str, most: int) -> list | None:
        """[left, baseline, far] of the least crowded spot around a point, or None when all are more crowded than `most`."""
        width = draw.width_of(words, _TEXT)
        near, far = [], []
        for away, spots in ((2.4, near), (6.5, far)):
            spots += [
                [x + away, y - away + 0.6],
                [x + away, y + away + 1.6],
                [x - away - width, y - away + 0.6],
                [x - away - width, y + away + 1.6],
            ]
            spots += [
                [x + away + 0.3, y + 1],
                [x - away - 0.3 - width, y + 1],
                [x - width / 2, y - away - 0.4],
                [x - width / 2, y + away + 2.4],
            ]
        best, best_cost = None, most + 1
        for order in range(16):
            left, base = (near + far)[order]
            box = [left, base - _TEXT * 0.8, left + width, base + _TEXT * 0.25]
            cost = self._crowding(box) + self._strangers(box, x, y) + (1 if order >= 8 else 0)
            if cost < best_cost:
                best, best_cost = [left, base, order >= 8, box], cost
        if best is None:
            return None if most < 1000 else [x + 2.4, y - 2, False]
        self.covered.append(best[3])
        return best[:3]

    def _strangers(self, box: list, x: float, y: float) -> int:
        """How many other stations are so near the words that a reader might take them for theirs."""
        wide = [box[0] - 2.2, box[1] - 2.2, box[2] + 2.2, box[3] + 2.2]
        cost = 0
        for dot in self.dots:
            px, py = dot["point"]
            if abs(px - x) + abs(py - y) > 0.01 and wide[0] < px < wide[2] and wide[1] < py < wide[3]:
                cost += 3
        return cost

    def _free(self, tries: list, width: float, size: float) -> list:
        best, best_cost = tries[0], 10000
        for left, base in tries:
            cost = self._crowding([left, base - size * 0.8, left + width, base + size * 0.25])
            if cost < best_cost:
                best, best_cost = [left, base], cost
        self.covered.append([best[0], best[1] - size * 0.8, best[0] + width, best[1] + size * 0.25])
        return best

    def _crowding(self, box: list) -> int:
        """How bad words in this box are: off the sheet, over other words and signs, over the cable."""
        cost = 0
        if box[0] < _LEFT + 0.5 or box[2] > _RIGHT - 0.5 or box[1] < _TOP + 0.5 or box[3] > _BOTTOM - 0.5:
            cost += 500
        for other in self.covered:
            if _overlap(box, other):
                cost += 20
        for building in self._shown_buildings():
            if _overlap(
                box, [building[1] - building[3], building[2] - building[4], building[1] + building[3], building[2] + building[4]]
            ):
                cost += 5
        for _, points in self.lines:
            for place in range(len(points) - 1):
                if _crosses(points[place], points[place + 1], box):
                    cost += 4
        return cost

    # ---- around it

    def _frame(self, name: str) -> list:
        pieces = [
            draw.rectangle(_LEFT, _TOP, _RIGHT - _LEFT, _BOTTOM - _TOP, "none", draw.LINE, 0.25),
            draw.text(_LEFT, _TOP - 3.4, draw.shorten(name, 4.2, 120), 4.2, "start", draw.INK, "600"),
            draw.text(_RIGHT, _TOP - 3.4, "Scale 1:" + str(self.scale) + " when printed full size", 3.2, "end", draw.INK),
        ]
        pieces += _north(_RIGHT - 7, _TOP + 9) + self._scale_bar(_LEFT, _BOTTOM + 6)
        y = _BOTTOM + 4.4
        for words in self._legend():
            pieces.append(draw.text(_RIGHT, y, words, 2.6, "end", draw.QUIET))
            y += 3.4
        return pieces

    def _legend(self) -> list:
        lines = ["WGS84, north up. Filled sign: place recorded; hollow: set between its neighbours."]
        circles = [dot for dot in self.dots if dot["row"]["accuracy"]]
        ties = [dot for dot in self.dots if dot["row"]["ties"]]
        more = ("Dotted circle: how far a satellite position may be out. " if circles else "") + (
            "Dashed line: taped tie." if ties else ""
        )
        if more:
            lines.append(more.strip(" "))
        missing = []
        for route in self.ground.routes:
            missing += [str(index + 1) for index in range(len(route.stations)) if route.stations[index]["at"] is None]
        if missing:
            lines.append(draw.shorten("Not on this plan, no place known: stations " + ", ".join(missing), 2.6, 100))
        return lines

    def _scale_bar(self, x: float, y: float) -> list:
        """Four black and white fields, each a round number of metres, 40 to 60 mm together at the usual scales."""
        field_m = _FIELDS_M[self.scale]
        field = field_m * 1000.0 / self.scale
        pieces = []
        for place in range(4):
            fill = draw.INK if place % 2 == 0 else draw.PAPER
            pieces.append(draw.rectangle(x + place * field, y, field, 1.6, fill, draw.INK, 0.25))
        for place in (0, 2, 4):
            words = str(place * field_m) + (" m" if place == 4 else "")
            pieces.append(draw.text(x + place * field, y + 5, words, 2.9, "start" if place == 0 else "middle"))
        return pieces


def _north(x: float, y: float) -> list:
    arrow = draw.path([[x, y - 6], [x - 2.2, y + 3], [x, y + 1.4], [x + 2.2, y + 3]], draw.INK, 0.4, draw.PAPER, True)
    half = draw.path([[x, y - 6], [x, y + 1.4], [x + 2.2, y + 3]], draw.INK, 0.3, draw.INK, True)
    return [arrow, half, draw.text(x, y + 6.4, "N", 3.2, "middle", draw.INK, "600")]


def _halfway(points: list) -> list:
    middle = len(points) // 2
    if len(points) == 1:
        return points[0]
    return [(points[middle - 1][axis] + points[middle][axis]) / 2.0 for axis in (0, 1)]


def _overlap(box: list, other: list) -> bool:
    return box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3]


def _crosses(start: list, end: list, box: list) -> bool:
    """Does a straight piece touch a box: clipped side by side."""
    low, high = 0.0, 1.0
    for axis in (0, 1):
        step = end[axis] - start[axis]
        if abs(step) < 0.000001:
            if start[axis] < box[axis] or start[axis] > box[axis + 2]:
                return False
            continue
        one, other = (box[axis] - start[axis]) / step, (box[axis + 2] - start[axis]) / step
        low, high = max(low, min(one, other)), min(high, max(one, other))
    return low <= high


def _unrolled(link: dict, why: str) -> str:
    """The straight plan by chainage, for a link whose places are not known."""
    note = draw.text(WIDTH / 2, 8, "Unrolled, not a map. " + why, 3.6, "middle", draw.INK, "600")
    inner = picture_strip.pieces(link, 0, picture_strip.MOST_STATIONS)
    moved = draw.element("g", [["transform", "translate(0 14)"]], "".join(inner))
    return draw.picture(WIDTH, HEIGHT, "Unrolled plan, not a map", [note, moved])
