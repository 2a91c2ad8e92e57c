"""Return loss of the whole link, measured and worked out from its reflectances, against what its application stands."""

from .. import limits
from ..fibre import return_loss_total
from ..numbers import text, to_steps
from . import base, fibre_loss, judging, own
from .fibre_events import two_way_loss
from .fibre_traces import THERE, traces

GROUP = "fibre"
FILE = "fibre-return-loss"
QUANTITY = "link_return_loss"


def link_return_loss(link: dict, book: dict) -> list:
    """Return loss of the link as measured, and as its reflectances make it, against what the application's sender stands."""
    row, sums, checks = _application_row(link), _sums(link), []
    for held in base.latest(link, QUANTITY, ["strand", "wavelength", "direction"]):
        marks = tuple([held["keys"][name] for name in ("strand", "wavelength", "direction")])
        checks.append(_measured(link, held, row, sums.pop(marks, None)))
    for marks in sorted(sums):
        checks.append(_worked_out(link, marks, row, sums[marks]))
    return checks


def _application_row(link: dict) -> dict | None:
    found = limits.rows(FILE, kind="link", application=base.field(link, "application") or "")
    return found[0] if found else None


def _sums(link: dict) -> dict:
    """{(strand, wavelength, direction): what `return_loss_total` gives} for each direction with a reflectance; losses before by the events alone."""
    found = {}
    for trace in traces(link):
        for way in trace["ways"]:
            reflected, before, gone = [], [], 0.0
            for event, loss in _in_order_of(trace, way):
                if event["reflectance"] is not None:
                    reflected.append(event["reflectance"])
                    before.append(max(gone, 0.0))
                gone += loss
            if reflected:
                found[(trace["strand"], trace["wavelength"], way)] = return_loss_total(reflected, before)
    return found


def _in_order_of(trace: dict, way: str) -> list:
    """[event, its loss in dB] of one direction, from its own end: the average of both directions where there is one."""
    name, averaged = ("there" if way == THERE else "back"), []
    for place in trace["places"]:
        if place[name]:
            averaged.append([place[name]["m"], two_way_loss(place)])
    known = {event_m: loss for event_m, loss in averaged if loss is not None}
    return [[event, known.get(event["m"], event["loss"] or 0.0)] for event in trace["ways"][way]["events"]]


def _keys(marks: tuple) -> list:
    return [["strand", marks[0]], ["wavelength", marks[1]], ["direction", marks[2]]]


def _title(what: str, marks: tuple) -> str:
    return what + ", strand " + marks[0] + ", " + marks[1] + " nm, from the " + ("near" if marks[2] == THERE else "far") + " end"


def _measured(link: dict, held: dict, row: dict | None, total: dict | None) -> dict:
    marks = tuple([held["keys"][name] for name in ("strand", "wavelength", "direction")])
    title, value = _title("Return loss of the link", marks), base.reading_number(held["reading"], "dB")
    form = {"quantity": QUANTITY, "strand": marks[0], "wavelength": marks[1], "direction": marks[2]}
    more = judging.of_reading(held["reading"], "dB", held["others"])
    more["notes"] += _beside(value, total) + ([row["note"]] if row and row.get("note") else [])
    more["form"] = form
    if row:
        return judging.by_row("link_return_loss", _keys(marks), GROUP, title, value, FILE, row, **more)
    if own.held_for("link_return_loss"):
        return judging.by_own("link_return_loss", _keys(marks), GROUP, title, value, "dB", 1, "min", **more)
    return _without_limit(link, marks, title, value, more)


def _without_limit(link: dict, marks: tuple, title: str, value: float, more: dict) -> dict:
    wanted = base.field(link, "application")
    missing = "no figure is known here for " + wanted if wanted else "choose what the link must carry"
    missing += ", or type the project's own limit; kept as measured, " + text(value, 1) + " dB"
    check = base.not_measured(
        "link_return_loss", _keys(marks), GROUP, title, more["form"], notes=more["notes"], required=False, missing=missing
    )
    check["readings"] = [reading["id"] for reading in more["readings"]]
    check["measured"] = {"text": text(value, 1), "unit": "dB"}
    return check


def _beside(value: float, total: dict | None) -> list:
    if total is None:
        return []
    summed = total["results"]["return_loss"]
    note = "The reflectances typed for this direction add up to " + text(summed, 1) + " dB."
    if to_steps(summed - value, 1) > 30:
        note += " More comes back than from these: a reflection is not among them, or the fibre's own backscatter shows."
    return [note]


def _worked_out(link: dict, marks: tuple, row: dict | None, total: dict) -> dict:
    title = _title("Return loss worked out from the events", marks)
    form = {"quantity": QUANTITY, "strand": marks[0], "wavelength": marks[1], "direction": marks[2]}
    readings = [
        trace["ways"][marks[2]]["reading"] for trace in traces(link) if (trace["strand"], trace["wavelength"]) == marks[:2]
    ]
    notes = total["notes"] + ["Losses before each are those of the events; the fibre's own would let less come back."]
    value = total["results"]["return_loss"]
    if row:
        return judging.by_row(
            "return_loss_events", _keys(marks), GROUP, title, value, FILE, row, working=total["working"], readings=readings,
            notes=notes, required=False, form=form,
        )  # fmt: skip
    missing = "choose what the link must carry; worked out, " + text(value, 1) + " dB"
    check = base.not_measured(
        "return_loss_events", _keys(marks), GROUP, title, form, notes=notes, required=False, missing=missing
    )
    check["readings"], check["working"] = [reading["id"] for reading in readings], total["working"]
    check["measured"] = {"text": text(value, 1), "unit": "dB"}
    return check


RULES = base.apart_by(fibre_loss.of_strand, [link_return_loss])
