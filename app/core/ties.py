"""A point from taped distances to fixed corners, on the local plane."""

import math

from .errors import Refused
from .numbers import short_text, text

_SLACK_M = 0.05
_SLACK_SHARE = 0.005


def place_by_ties(points: list, ties_m: list, side: str) -> dict:
    """Corners [(x, y)...] and a taped distance from each -> {"x", "y", "residual", "valid", "working", "notes"}; x and y are None when invalid.

    side: "left" or "right", seen from the first corner to the second. Errors: Refused for fewer than two corners or unequal counts.
    """
    if len(points) < 2:
        raise Refused("shape", "corners", len(points), "two corners or more", "Tape to a second corner.")
    if len(points) != len(ties_m):
        raise Refused(
            "shape",
            "ties",
            len(ties_m),
            "one tie for each of the " + str(len(points)) + " corners",
            "Give as many ties as corners.",
        )
    base_m = _distance(points[0], points[1])
    if base_m == 0:
        raise Refused("range", "corners", "two equal corners", "two corners apart from each other", "Choose another corner.")
    miss_m = max(base_m - ties_m[0] - ties_m[1], abs(ties_m[0] - ties_m[1]) - base_m, 0.0)
    if miss_m > _SLACK_M + _SLACK_SHARE * base_m:
        note = "The first two ties do not meet: they miss each other by " + text(miss_m, 2) + " m. Tape again."
        return {
            "x": None,
            "y": None,
            "residual": miss_m,
            "valid": False,
            "working": [_base_line(base_m, ties_m)],
            "notes": [note],
        }
    x, y = _meeting(points, ties_m, base_m, side)
    if len(points) > 2:
        x, y = _refined(points, ties_m, x, y)
    residual_m = _residual(points, ties_m, x, y)
    return {
        "x": x,
        "y": y,
        "residual": residual_m,
        "valid": True,
        "working": [_base_line(base_m, ties_m), "x = " + text(x, 2) + " m, y = " + text(y, 2) + " m"],
        "notes": _angle_notes(points, ties_m, x, y),
    }


def _base_line(base_m: float, ties_m: list) -> str:
    return "corners 1 and 2 are " + text(base_m, 2) + " m apart; ties " + ", ".join([short_text(tie, 6) for tie in ties_m]) + " m"


def _distance(first: tuple, second: tuple) -> float:
    x, y = second[0] - first[0], second[1] - first[1]
    return math.sqrt(x * x + y * y)


def _meeting(points: list, ties_m: list, base_m: float, side: str) -> tuple:
    """Where the first two circles meet on the chosen side; on the line between where they just miss."""
    (x1, y1), (x2, y2) = points[0], points[1]
    forward = (base_m * base_m + ties_m[0] * ties_m[0] - ties_m[1] * ties_m[1]) / (2.0 * base_m)
    aside = math.sqrt(max(0.0, ties_m[0] * ties_m[0] - forward * forward))
    aside = aside if side == "left" else -aside
    along_x, along_y = (x2 - x1) / base_m, (y2 - y1) / base_m
    return x1 + forward * along_x - aside * along_y, y1 + forward * along_y + aside * along_x


def _refined(points: list, ties_m: list, x: float, y: float) -> tuple:
    """Least squares over all ties from a first place, by Gauss-Newton steps."""
    for _ in range(30):
        xx = xy = yy = gx = gy = 0.0
        for (corner_x, corner_y), tie in zip(points, ties_m):
            far = max(_distance((corner_x, corner_y), (x, y)), 1e-9)
            dx, dy, miss = (x - corner_x) / far, (y - corner_y) / far, tie - far
            xx, xy, yy = xx + dx * dx, xy + dx * dy, yy + dy * dy
            gx, gy = gx + dx * miss, gy + dy * miss
        size = xx * yy - xy * xy
        if size < 1e-12:
            break
        step_x, step_y = (yy * gx - xy * gy) / size, (xx * gy - xy * gx) / size
        x, y = x + step_x, y + step_y
        if abs(step_x) + abs(step_y) < 1e-10:
            break
    return x, y


def _residual(points: list, ties_m: list, x: float, y: float) -> float:
    """Root mean square of taped minus computed distance, m."""
    squares = 0.0
    for corner, tie in zip(points, ties_m):
        miss = tie - _distance(corner, (x, y))
        squares += miss * miss
    return math.sqrt(squares / len(points))


def _angle_notes(points: list, ties_m: list, x: float, y: float) -> list:
    first, second = (points[0][0] - x, points[0][1] - y), (points[1][0] - x, points[1][1] - y)
    cross, dot = first[0] * second[1] - first[1] * second[0], first[0] * second[0] + first[1] * second[1]
    angle_deg = abs(math.degrees(math.atan2(cross, dot)))
    if 30.0 <= angle_deg <= 150.0:
        return []
    return ["The ties cross at " + text(angle_deg, 0) + " degrees: a flat crossing, the place is weak along one direction."]
