"""Where a short link's readings are for information only: insertion loss too low to judge by, or far-end crosstalk that hardly exists.

Return loss where insertion loss is below 3.0 dB; NEXT and PSNEXT where it is below 4.0 dB; ACR-F where FEXT is above 70 dB, PSACR-F where its power
sum is above 67 dB, in the editions whose limit file says so. FEXT = ACR-F + insertion loss of the disturbed pair.
"""

from .. import limits
from ..numbers import short_text, to_steps
from ..units import typed
from . import base, sweep_points, sweep_traces


def of_curve(link: dict, parameter: str, keys: dict, file_id: str, curve: object) -> dict | None:
    """Which points of a trace are for information only.

    Gives {"flags": [True or False a point], "row": the limit row of the exemption, "line": a working line, "readings", "leans_on"}, or None
    where the edition has no such rule or no insertion loss is known.
    """
    rows = limits.rows(file_id, id="exempt:" + parameter)
    if not rows:
        return None
    return (_low_loss if rows[0]["sense"] == "min" else _high_crosstalk)(link, parameter, keys, curve, rows[0])


def wanted(row: dict) -> str:
    """Where readings are judged by, in words."""
    if row["sense"] == "min":
        return "judged only where insertion loss is " + row["value"] + " dB or more"
    return "judged only where far-end crosstalk is " + row["value"] + " dB or less"


def _low_loss(link: dict, parameter: str, keys: dict, curve: object, row: dict) -> dict | None:
    pairs = [keys[name] for name in ("pair", "pair2") if keys.get(name)]
    readings = _loss_readings(link, pairs, keys)
    if not readings:
        return _by_single_readings(link, pairs, curve, row)
    curves = [sweep_points.curve_of(reading) for reading in readings]
    columns = [sweep_points.values_at(loss, curve.frequencies, True) for loss in curves]
    bound = float(row["value"]) - 0.05 - 5e-10  # the last value that still reads as less in whole tenths
    flags = [_all_below([column[place] for column in columns], bound) for place in range(len(curve.frequencies))]
    said = ", where insertion loss is below " + row["value"] + " dB (" + _of_pairs(readings) + ")"
    return {"flags": flags, "row": row, "line": said, "readings": readings, "leans_on": tuple(curves)}


def _all_below(losses: list, bound: float) -> bool:
    """Is the worst of both pairs below it, where it is known at all."""
    for loss in losses:
        if loss is None or loss >= bound:
            return False
    return True


def _of_pairs(readings: list) -> str:
    pairs = [reading["body"]["pair"] for reading in readings]
    return "sweep of pair " + pairs[0] if len(pairs) == 1 else "sweeps of pairs " + " and ".join(pairs)


def _loss_readings(link: dict, pairs: list, keys: dict) -> list:
    """The insertion loss sweeps of these pairs; of the same origin if there are such, since an instrument's own belong together."""
    found = []
    for pair in pairs:
        own = [trace for trace in sweep_traces.of(link, "insertion_loss") if trace["keys"]["pair"] == pair]
        alike = [trace for trace in own if trace["keys"]["origin"] == keys.get("origin", "")]
        chosen = alike or [trace for trace in own if not trace["keys"]["origin"]]
        if chosen:
            found.append(chosen[0]["reading"])
    return found


def _by_single_readings(link: dict, pairs: list, curve: object, row: dict) -> dict | None:
    """Without a sweep: one insertion loss below the bound speaks for its frequency and all below it, since loss falls towards lower ones."""
    below, best = float(row["value"]), None
    for reading in single_losses(link, pairs):
        frequency = typed(reading["body"]["frequency"], "MHz", "frequency")
        low = to_steps(base.reading_number(reading, "dB"), 1) < to_steps(below, 1)
        if low and (best is None or frequency > best[0]):
            best = (frequency, reading)
    if best is None:
        return None
    flags = [frequency <= best[0] for frequency in curve.frequencies]
    said = (
        ", where insertion loss is below "
        + row["value"]
        + " dB (read at "
        + short_text(best[0])
        + " MHz, and less at lower frequencies)"
    )
    return {"flags": flags, "row": row, "line": said, "readings": [best[1]], "leans_on": (best[1],)}


def single_losses(link: dict, pairs: list) -> list:
    """Insertion loss readings of these pairs that name their frequency: of each pair and frequency the newest."""
    found = []
    for one in base.latest(link, "insertion_loss", ["pair"]):
        newest = {}
        for reading in one["others"] + [one["reading"]]:
            if reading["body"].get("frequency"):
                newest[typed(reading["body"]["frequency"], "MHz", "frequency")] = reading
        if one["keys"]["pair"] in pairs:
            found.extend([newest[frequency] for frequency in sorted(newest)])
    return found


def _high_crosstalk(link: dict, parameter: str, keys: dict, curve: object, row: dict) -> dict | None:
    disturbed = keys.get("pair2") or keys["pair"]
    readings = _loss_readings(link, [disturbed], keys)
    if not readings:
        return None
    loss = sweep_points.curve_of(readings[0])
    losses = sweep_points.values_at(loss, curve.frequencies, False)
    bound = float(row["value"]) + 0.05 - 5e-10
    flags = [losses[place] is not None and value + losses[place] >= bound for place, value in enumerate(curve.values)]
    name = "FEXT" if parameter == "acrf" else "power-sum FEXT"
    said = ", where " + name + " is above " + row["value"] + " dB (with the insertion loss of pair " + disturbed + ")"
    return {"flags": flags, "row": row, "line": said, "readings": readings, "leans_on": (loss,)}
