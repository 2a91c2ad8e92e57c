"""Fall of potential: what several readings between an electrode and a current stake say of the electrode.

A place is a share of the current stake's distance, 0 at the electrode and 1 at the stake. Points are [place, ohm] with rising places.
"""

from .slope import offset_of, potential_ratio, slope_holds, true_resistance

AT = 0.62
BESIDE = (0.52, 0.72)
SLOPE_AT = (0.2, 0.4, 0.6)
NEAR = 0.01  # a stake set within a hundredth of the distance counts as set there
WIDEST_GAP = 0.21  # readings further apart than this say nothing certain of what lies between


def read_near(points: list, place: float) -> float | None:
    """The reading taken nearest to a place, not further than a hundredth of the distance from it; None without one."""
    best = None
    for point in points:
        off = abs(point[0] - place)
        if off <= NEAR + 1e-9 and (best is None or off < best[0]):
            best = [off, point[1]]
    return None if best is None else best[1]


def reading_at(points: list, place: float) -> float | None:
    """The resistance at a place: as read there, else straight between the readings on both sides of it. None beyond the readings."""
    taken = read_near(points, place)
    if taken is not None:
        return taken
    for index in range(1, len(points)):
        low, high = points[index - 1], points[index]
        if low[0] < place < high[0] and high[0] - low[0] <= WIDEST_GAP + 1e-9:
            return low[1] + (high[1] - low[1]) * (place - low[0]) / (high[0] - low[0])
    return None


def plateau(points: list) -> dict | None:
    """{"ohm" at 62 %, "beside": [at 52 %, at 72 %], "percent": the larger difference from 62 %}; None where readings do not reach these places.

    Source: IEEE 81, fall of potential, 62 % rule with the stake moved a tenth each way (two or more public places).
    """
    middle = reading_at(points, AT)
    beside = [reading_at(points, place) for place in BESIDE]
    if middle is None or middle <= 0 or beside[0] is None or beside[1] is None:
        return None
    worst = max(abs(beside[0] - middle), abs(beside[1] - middle))
    return {"ohm": middle, "beside": beside, "percent": 100.0 * worst / middle}


def slope(points: list) -> dict | None:
    """The slope method from readings at 20, 40 and 60 %: {"readings", "mu" or None, "valid", "ratio", "ohm"}; None where one was not taken.

    Valid for a slope coefficient of 0.40 to 1.59, never beyond. Source: IEEE 81, slope method (two or more public places).
    """
    taken = [read_near(points, place) for place in SLOPE_AT]
    if [one for one in taken if one is None]:
        return None
    r20, r40, r60 = taken
    if r40 <= r20 or r60 < r40:
        return {"readings": taken, "mu": None, "valid": False}
    mu = (r60 - r40) / (r40 - r20)
    if not slope_holds(mu):
        return {"readings": taken, "mu": mu, "valid": False}
    offset = offset_of(mu)
    return {
        "readings": taken,
        "mu": mu,
        "valid": True,
        "ratio": potential_ratio(offset),
        "ohm": true_resistance(r20, r40, offset),
    }
