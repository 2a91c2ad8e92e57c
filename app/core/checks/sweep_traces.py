"""The traces of a link: which sweeps count, which combinations there are, and what can be worked out from others."""

from .. import kinds
from ..ordering import in_order
from ..quantities_copper import SWEEP_MARKS
from . import base, sweep_points

PAIRS = [pair[0] for pair in kinds.PAIRS]
SUMS = {"psnext": "next", "psacrf": "acrf"}


def of(link: dict, parameter: str) -> list:
    """The traces of a parameter that count, the newest of the same marks, ordered by their marks.

    Each is {"keys": {"pair", "pair2", "side", "origin"}, "reading", "others"}. NEXT between two pairs is the same from either; ACR-F is not.
    """
    return base.once(link, "sweep traces", lambda: _gathered(link)).get(parameter, [])


def _gathered(link: dict) -> dict:
    groups = {}
    for row in base.latest(link, "sweep", ["parameter", "pair", "pair2", "side", "origin"]):
        keys = row["keys"]
        if keys["parameter"] == "next" and PAIRS.index(keys["pair2"]) < PAIRS.index(keys["pair"]):
            keys = dict(keys)
            keys["pair"], keys["pair2"] = keys["pair2"], keys["pair"]
        marks = tuple([keys[name] for name in ("parameter", "side", "pair", "pair2", "origin")])
        held = groups.setdefault(marks, [keys, []])
        held[1].extend(row["others"] + [row["reading"]])
    found = {}
    for marks in sorted(groups, key=_far_last):
        keys, members = groups[marks]
        members = in_order(members, base.when)
        trace = {"keys": keys, "reading": members[-1], "others": members[:-1]}
        found.setdefault(marks[0], []).append(trace)
    return found


def _far_last(marks: tuple) -> tuple:
    return (marks[0], marks[1] == "far") + marks[2:]


def combinations(parameter: str) -> list:
    """What a whole set of traces of a parameter at one end is: (pair, pair2 or "") in order."""
    if "pair2" not in SWEEP_MARKS[parameter]:
        return [(pair, "") for pair in PAIRS]
    found = []
    for place, pair in enumerate(PAIRS):
        others = PAIRS if parameter == "acrf" else PAIRS[place + 1 :]
        found.extend([(pair, other) for other in others if other != pair])
    return found


def combination_words(parameter: str) -> str:
    """What the combinations of a parameter are called."""
    return "pair combinations" if "pair2" in SWEEP_MARKS[parameter] else "pairs"


def sides(parameter: str) -> list:
    """The ends that a parameter is swept at; one without a name where it has no end."""
    return ["near", "far"] if "side" in SWEEP_MARKS[parameter] else [""]


def missing(link: dict, parameter: str, side: str) -> list:
    """Combinations without a trace of an instrument at that end."""
    there = [(one["keys"]["pair"], one["keys"]["pair2"]) for one in of(link, parameter) if _counts(one, side)]
    return [one for one in combinations(parameter) if one not in there]


def _counts(trace: dict, side: str) -> bool:
    return trace["keys"]["side"] == side and not trace["keys"]["origin"]


def summed(link: dict, parameter: str) -> list:
    """PSNEXT from three NEXT traces, PSACR-F from three ACR-F traces at the same frequencies, where no trace of it was read itself.

    Each is {"keys", "readings", "curve"}: the power sum into one pair from the three others.
    """
    if parameter not in SUMS:
        return []
    found = []
    for side in sides(parameter):
        for pair in PAIRS:
            read = [one for one in of(link, parameter) if _counts(one, side) and one["keys"]["pair"] == pair]
            parts = _parts(link, SUMS[parameter], side, pair)
            if read or len(parts) != len(PAIRS) - 1:
                continue
            curves = [sweep_points.curve_of(reading) for reading in parts]
            curve = sweep_points.power_sum_of((pair,) + tuple([reading["id"] for reading in parts]), curves)
            if curve is not None:
                keys = {"pair": pair, "pair2": "", "side": side, "origin": ""}
                found.append({"keys": keys, "readings": parts, "curve": curve})
    return found


def _parts(link: dict, parameter: str, side: str, pair: str) -> list:
    """The readings of the three traces into this pair."""
    found = []
    for one in of(link, parameter):
        keys = one["keys"]
        into = keys["pair2"] == pair or (parameter == "next" and keys["pair"] == pair)
        if into and _counts(one, side):
            found.append(one["reading"])
    return found
