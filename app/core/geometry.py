"""Places on the ground: WGS84 distances, the local plane that plans are drawn on, taped ties, and points along the route."""

import math

from .errors import Refused
from .geodesic import inverse
from .numbers import parse_decimal, short_text, text, to_steps, trimmed
from .ties import place_by_ties

WGS84_A_M = 6378137.0
WGS84_F = 1.0 / 298.257223563
_E2 = WGS84_F * (2.0 - WGS84_F)


def radii(lat_deg: float) -> tuple:
    """Radii of curvature at a latitude on WGS84 -> (M along the meridian, N across it), m. Source: WGS84 (seen in two public places)."""
    sine = math.sin(math.radians(lat_deg))
    w = 1.0 - _E2 * sine * sine
    root = math.sqrt(w)
    return WGS84_A_M * (1.0 - _E2) / (w * root), WGS84_A_M / root


def _longitude_difference(lon_deg: float, origin_deg: float) -> float:
    difference = lon_deg - origin_deg
    while difference > 180.0:
        difference -= 360.0
    while difference <= -180.0:
        difference += 360.0
    return difference


def to_plane(lat_deg: float, lon_deg: float, origin_lat_deg: float, origin_lon_deg: float) -> tuple:
    """A place -> (east m, north m) from an origin, with M and N at the middle latitude; good to 1 mm over 5 km up to 60 degrees."""
    middle_deg = (lat_deg + origin_lat_deg) / 2.0
    along_m, across_m = radii(middle_deg)
    east_m = across_m * math.cos(math.radians(middle_deg)) * math.radians(_longitude_difference(lon_deg, origin_lon_deg))
    return east_m, along_m * math.radians(lat_deg - origin_lat_deg)


def from_plane(east_m: float, north_m: float, origin_lat_deg: float, origin_lon_deg: float) -> tuple:
    """(east m, north m) from an origin -> (lat deg, lon deg): `to_plane` turned round, by three steps towards the middle latitude."""
    lat_deg = origin_lat_deg
    for _ in range(4):
        along_m = radii((lat_deg + origin_lat_deg) / 2.0)[0]
        lat_deg = origin_lat_deg + math.degrees(north_m / along_m)
    middle_deg = (lat_deg + origin_lat_deg) / 2.0
    across_m = radii(middle_deg)[1] * math.cos(math.radians(middle_deg))
    return lat_deg, origin_lon_deg + math.degrees(east_m / across_m)


def plane_bearing(east_m: float, north_m: float) -> float:
    """Direction of a plane vector, degrees clockwise from north, 0 to below 360."""
    bearing_deg = math.degrees(math.atan2(east_m, north_m))
    return bearing_deg + 360.0 if bearing_deg < 0 else bearing_deg


def place(typed: str, field: str) -> tuple:
    """'51.5,-0.12' -> (lat, lon). Errors: Refused("shape" or "range")."""
    pieces = typed.split(";" if ";" in typed else ",")
    if len(pieces) != 2:
        raise Refused(
            "shape", field, typed, "latitude and longitude in degrees, such as 51.5,-0.12", "Write points, not decimal commas."
        )
    lat_deg, lon_deg = parse_decimal(pieces[0], field), parse_decimal(pieces[1], field)
    if not -90.0 <= lat_deg <= 90.0 or not -360.0 <= lon_deg <= 360.0:
        raise Refused(
            "range", field, typed, "a latitude from -90 to 90 and a longitude from -360 to 360", "Latitude comes first."
        )
    return lat_deg, lon_deg


def ground_distance(from_: str, to: str) -> dict:
    """Distance over the ground and bearing from one place to another, on the WGS84 ellipsoid.

    inverse geodesic by Vincenty's series

    Inputs:
        from (text): latitude,longitude in degrees, such as 51.5,-0.12
        to (text): latitude,longitude in degrees, such as 51.5045,-0.11
    Result:
        distance (m): shortest way over the ellipsoid
        bearing (deg): direction at the start, clockwise from north
    Errors: a latitude out of -90 to 90; two places nearly opposite on the globe.
    Holds: everywhere but nearly opposite places, to 0.1 mm.
    Source:
        WGS84 | | semi-axis 6378137 m, flattening 1/298.257223563 | 2+
    Example: from=51.5,-0.12 to=51.5045,-0.11 gives 856.0443 m at 54.2035 deg
    """
    first, second = place(from_, "from"), place(to, "to")
    distance_m, bearing_deg = inverse(first, second)
    # Whole micrometres and microdegrees: below them the sines of two interpreters differ.
    distance_m, bearing_deg = to_steps(distance_m, 6) / 1e6, to_steps(bearing_deg, 6) / 1e6
    line = (
        "from "
        + short_text(first[0], 9)
        + ","
        + short_text(first[1], 9)
        + " to "
        + short_text(second[0], 9)
        + ","
        + short_text(second[1], 9)
    )
    return {
        "results": {"distance": distance_m, "bearing": bearing_deg},
        "working": [line + ": " + text(distance_m, 3) + " m"],
        "notes": [],
    }


def tie_position(corners: str, ties_m: list, side: str = "left") -> dict:
    """Place of a point from taped distances to fixed corners.

    two circles meet in two points; the side seen from corner 1 to corner 2 says which; more ties by least squares

    Inputs:
        corners (text): x:y pairs in m with commas between, such as 0:0, 8:0
        ties (list of m, above 0 to 10000): taped distance from each corner
        side (word: left right, left): where the point lies, seen from corner 1 to corner 2
    Result:
        x (m): place, same axes as the corners
        y (m): place
        residual (m): how far the ties miss each other there
        valid (word): false when the ties do not meet
    Errors: fewer than two corners, or not as many ties as corners.
    Holds: for level tapes; ties that cross at 30 to 150 degrees.
    Source:
        Plane geometry | | intersection of circles | practice
    Example: corners=0:0,8:0 ties=5,5 side=left gives x 4, y 3
    """
    points = []
    for piece in corners.split(","):
        x, colon, y = piece.partition(":")
        if not colon:
            raise Refused("shape", "corners", trimmed(piece), "x:y pairs such as 0:0, 8:0", "Put a colon between x and y.")
        points.append((parse_decimal(x, "corners"), parse_decimal(y, "corners")))
    found = place_by_ties(points, ties_m, side)
    results = {"x": found["x"], "y": found["y"], "residual": found["residual"], "valid": found["valid"]}
    return {"results": results, "working": found["working"], "notes": found["notes"]}


def along(line: list, chainages_m: list, wanted_m: float) -> tuple | None:
    """Point of a route at a chainage: line [(x, y)...] with the chainage of each -> (x, y), or None beyond its ends."""
    for index in range(1, len(line)):
        low, high = chainages_m[index - 1], chainages_m[index]
        if low <= wanted_m <= high:
            share = (wanted_m - low) / (high - low) if high > low else 0.0
            first, last = line[index - 1], line[index]
            return first[0] + share * (last[0] - first[0]), first[1] + share * (last[1] - first[1])
    return None


def spread(points: list, chainages_m: list) -> list:
    """Stations for the plan: known plane points and None where there is none, with chainages -> points for all that lie between known ones.

    A station without a place of its own is put between its known neighbours by chainage; one outside all known places stays None.
    """
    known = [index for index in range(len(points)) if points[index] is not None and chainages_m[index] is not None]
    line, marks = [points[index] for index in known], [chainages_m[index] for index in known]
    placed = []
    for index in range(len(points)):
        if points[index] is not None or chainages_m[index] is None:
            placed.append(points[index])
        else:
            placed.append(along(line, marks, chainages_m[index]))
    return placed


def from_ties(first: tuple, first_m: float, second: tuple, second_m: float, side: str) -> tuple:
    """Plane point from two corners and the taped distance from each, on the side seen from the first to the second.

    Errors: Refused when the tapes do not meet.
    """
    found = place_by_ties([first, second], [first_m, second_m], side)
    if not found["valid"]:
        raise Refused("range", "ties", short_text(first_m) + ", " + short_text(second_m), "distances that meet", "Tape again.")
    return found["x"], found["y"]
