"""Values against frequency: the points of a trace, the limit at each, the worst of them. Worked out once for a reading, since a phone asks often.

A link may hold thirty traces of five hundred points, and each keypress of a further one asks all rules that look at sweeps.
"""

import math

from ..copper_limits import limit_at
from ..crosstalk import power_sum_db
from ..numbers import decimals_of
from ..quantities import quantity
from ..tables import column_numbers

_MOST_CURVES = 200
_MOST_LIMITS = 20000
_MOST_FINDINGS = 8
_curves = {}  # reading id -> [the table it was made from, curve]
_sums = {}  # ids -> [the curves it was made from, curve]
_limits = {}  # row's place -> [row, {frequency: (limit, whole steps)}]


class Curve:
    """Values in dB at rising frequencies in MHz. `judged` keeps what was worked out of it: {key: [what it leans on, finding]}."""

    def __init__(self, frequencies: list, values: list):
        self.frequencies = frequencies
        self.values = values
        self.judged = {}


def curve_of(reading: dict) -> Curve:
    """The points of a sweep reading. Kept by the reading's id as long as its table is the same."""
    table = reading["body"]["table"]
    held = _curves.get(reading["id"])
    if held and (held[0] is table or held[0] == table):
        return held[1]
    about = quantity("sweep")
    curve = Curve(column_numbers(about, table, "frequency"), column_numbers(about, table, "value"))
    _keep(_curves, reading["id"], [table, curve])
    return curve


def power_sum_of(ids: tuple, curves: list) -> Curve | None:
    """The power sum of traces at the same frequencies, point by point; None where their frequencies differ."""
    held = _sums.get(ids)
    if held and all([one is other for one, other in zip(held[0], curves)]):
        return held[1]
    first = curves[0].frequencies
    for curve in curves:
        if curve.frequencies != first:
            return None
    columns = [curve.values for curve in curves]
    total = Curve(first, [power_sum_db([column[place] for column in columns]) for place in range(len(first))])
    _keep(_sums, ids, [curves, total])
    return total


def _keep(kept: dict, key: object, what: list) -> None:
    if len(kept) >= _MOST_CURVES:
        kept.clear()
    kept[key] = what


def values_at(curve: Curve, frequencies: list, below: bool) -> list:
    """A trace read at other rising frequencies, in a straight line against the root of frequency; None where the trace does not reach.

    below: under its lowest frequency take its first value, which loss of a cable stays under there.
    """
    if curve.frequencies == frequencies:
        return curve.values
    own, values, place, found = curve.frequencies, curve.values, 0, []
    for frequency in frequencies:
        while place < len(own) and own[place] < frequency:
            place += 1
        if place == len(own):
            found.append(None)
        elif own[place] == frequency:
            found.append(values[place])
        elif place == 0:
            found.append(values[0] if below else None)
        else:
            found.append(_between(own, values, place, frequency))
    return found


def _between(own: list, values: list, place: int, frequency: float) -> float:
    low, high = math.sqrt(own[place - 1]), math.sqrt(own[place])
    share = (math.sqrt(frequency) - low) / (high - low)
    return values[place - 1] + (values[place] - values[place - 1]) * share


def limits_of(file_id: str, row: dict) -> dict:
    """The limits of a row that were asked for so far: {frequency: (limit, whole steps)}; filled by `assess`."""
    key = (file_id, row["id"])
    held = _limits.get(key)
    if held is None or held[0] is not row or len(held[1]) > _MOST_LIMITS:
        held = [row, {}]
        _limits[key] = held
    return held[1]


def assess(curve: Curve, file_id: str, row: dict, informative: list | None, leans_on: tuple) -> dict:
    """The trace against its limit row, point by point, in whole steps of the row: what is printed is what is judged.

    informative: a flag a point, True where it is for information only; leans_on: the curves that the flags were made from.
    Gives {"inside", "outside" (the row's frequencies), "informative", "judged" (counts), "worst" (place of the worst margin), "extreme" (place of
    the worst value), "limit", "extreme_limit"}; of equal margins the lowest frequency counts.
    """
    key = (file_id, row["id"], tuple([id(one) for one in leans_on]))
    held = curve.judged.get(key)
    if held and held[0] is row and len(held[1]) == len(leans_on) and all([a is b for a, b in zip(held[1], leans_on)]):
        return held[2]
    found = _assessed(curve, limits_of(file_id, row), row, informative)
    if len(curve.judged) > _MOST_FINDINGS:
        curve.judged.clear()
    curve.judged[key] = [row, leans_on, found]
    return found


def _assessed(curve: Curve, known: dict, row: dict, informative: list | None) -> dict:
    low, high = float(row["from_mhz"]), float(row["to_mhz"])
    factor, largest = 10 ** decimals_of(row["step"]), row["sense"] == "max"
    found = {"inside": 0, "outside": 0, "informative": 0, "judged": 0, "worst": None, "extreme": None}
    least, farthest = None, None
    for place, frequency in enumerate(curve.frequencies):
        if not low <= frequency <= high:
            found["outside"] += 1
            continue
        found["inside"] += 1
        if informative and informative[place]:
            found["informative"] += 1
            continue
        value = curve.values[place]
        limit = known.get(frequency)
        if limit is None:
            exact = limit_at(row, frequency)
            limit = known[frequency] = (exact, _steps(exact, factor))
        steps = _steps(value, factor)
        margin = limit[1] - steps if largest else steps - limit[1]
        if least is None or margin < least:
            least, found["worst"], found["limit"] = margin, place, limit[0]
        if farthest is None or (value > farthest if largest else value < farthest):
            farthest, found["extreme"], found["extreme_limit"] = value, place, limit[0]
    found["judged"] = found["inside"] - found["informative"]
    return found


def _steps(number: float, factor: int) -> int:
    """Whole steps, half away from zero, as `numbers.to_steps` gives them, without its long integers: this runs for every point."""
    scaled = abs(number) * factor + 0.5 + 5e-10 * factor
    return int(scaled) if number >= 0 else -int(scaled)
