"""Light that arrives at each end, as read: within what the receiver there takes, and near what sender and loss let expect."""

from ..numbers import text, to_steps
from . import base, fibre_light, judging

GROUP = "fibre"
_SIDES = [["near", "far"], ["far", "near"]]
_BOUNDS = [["least", "receive_min", "min"], ["most", "receive_max", "max"]]
_DISPLAY = "Taken as read with a meter. A transceiver's own display is within 3 dB only: enter it as what the module says, for trend, not acceptance."


def light_received(link: dict, book: dict) -> list:
    """Each reading of received light against least and most receive power of that end; none is asked for."""
    checks, losses = [], fibre_light.channel_losses(link)
    rows = base.latest(link, "receive_power", ["side", "strand", "wavelength"])
    for side, sender in _SIDES:
        here = [row for row in rows if row["keys"]["side"] == side]
        if not here:
            checks.append(_none_read(side))
            continue
        path = fibre_light.path_loss(link, link["ends"][sender], losses)
        for row in here:
            checks.extend([_bound(link, row, bound, path, sender) for bound in _BOUNDS])
    return checks


def _none_read(side: str) -> dict:
    keys, form = [["side", side]], {"quantity": "receive_power", "side": side}
    title = "Light received, " + side + " end"
    return base.not_measured("light_received", keys, GROUP, title, form, required=False, missing="not read at this end")


def _bound(link: dict, row: dict, bound: list, path: dict, sender: str) -> dict:
    word, name, sense = bound
    marks, reading = row["keys"], row["reading"]
    end = link["ends"][marks["side"]]
    keys = [[mark, marks[mark]] for mark in ("side", "strand", "wavelength") if marks[mark]] + [["bound", word]]
    title = _title(marks, word)
    limit = fibre_light.power(end, name)
    if limit is None:
        missing = "needs " + fibre_light.FIGURE_WORDS[name] + " at the " + marks["side"] + " end"
        check = base.not_measured("light_received", keys, GROUP, title, missing=missing)
        check["readings"] = [reading["id"]]
        return check
    measured = base.reading_number(reading, "dBm")
    notes = judging.older_notes(row["others"]) + _expected(link["ends"][sender], path, measured) + [_DISPLAY]
    source = fibre_light.figures_source((end,))
    return base.judge(
        "light_received",
        keys,
        GROUP,
        title,
        measured,
        limit,
        "dBm",
        2,
        sense,
        source,
        readings=[reading],
        uncertainty=base.reading_uncertainty(reading, "dBm"),
        notes=notes,
    )


def _title(marks: dict, word: str) -> str:
    title = "Light received, " + marks["side"] + " end"
    title += ", strand " + marks["strand"] if marks["strand"] else ""
    title += ", " + marks["wavelength"] + " nm" if marks["wavelength"] else ""
    return title + ": " + ("enough" if word == "least" else "not too much")


def _expected(sender: dict, path: dict, measured: float) -> list:
    """What should arrive by the other end's figures and the measured loss, where both are known."""
    least, most = fibre_light.power(sender, "transmit_min"), fibre_light.power(sender, "transmit_max")
    if least is None or most is None or "missing" in path:
        return []
    low, high = least - path["high"], most - path["low"]
    note = "Expected by the other end's figures and the measured loss: " + text(low, 2) + " to " + text(high, 2) + " dBm."
    if to_steps(measured, 2) < to_steps(low, 2):
        return [note + " Less arrives: look at cords, connectors and the transceiver there."]
    return [note + (" More arrives: see the figures and the reading." if to_steps(measured, 2) > to_steps(high, 2) else "")]


RULES = [light_received]
