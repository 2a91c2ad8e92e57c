"""What the events of an OTDR say of the whole link: its length, how many connectors and splices there are, what they lose together."""

from .. import limits
from ..numbers import parse_decimal, text
from . import base, fibre_loss, judging, lengths
from .fibre_events import measure_form, two_way_loss
from .fibre_traces import BACK, THERE, readings_of, traces

GROUP = "fibre"
FILE = "fibre-practice"


def _keys(trace: dict) -> list:
    return [["strand", trace["strand"]], ["wavelength", trace["wavelength"]]]


def _title(what: str, trace: dict) -> str:
    return what + ", strand " + trace["strand"] + ", " + trace["wavelength"] + " nm"


def event_length(link: dict, book: dict) -> list:
    """Length of the fibre by its events against the sheath: outside -0.5 to +6 percent a mark, the index, or slack is wrong."""
    sheath = lengths.sheath(link)
    if sheath is None or sheath["m"] == 0:
        return []
    found = [trace for trace in traces(link) if [way for way in trace["ways"] if trace["ways"][way]["length_m"]]]
    return [_excess(sheath, trace) for trace in found]


def _excess(sheath: dict, trace: dict) -> dict:
    percent = (trace["length_m"] / sheath["m"] - 1.0) * 100.0
    row = lengths.excess_row(percent)
    line = (
        "fibre over sheath = "
        + text(trace["length_m"], 1)
        + " / "
        + text(sheath["m"], 1)
        + " - 1 = "
        + text(percent, 1)
        + " percent"
    )
    working = [line for way in trace["ways"] for line in trace["ways"][way]["working"]] + sheath["working"] + [line]
    check = judging.by_row(
        "event_length", _keys(trace), GROUP, _title("Fibre by OTDR against its sheath", trace), percent, "lengths", row,
        working=working, readings=readings_of(trace), notes=list(sheath["notes"]), required=False, form=measure_form(trace),
    )  # fmt: skip
    if check["verdict"] == base.FAIL:
        check["notes"].append("A wrong mark, a wrong group index, or slack that is not recorded.")
    return check


def event_closure(link: dict, book: dict) -> list:
    """Length as both directions show it: 2 m or 1 percent apart at most, or one of them ended at the wrong event."""
    return [_closure(trace) for trace in traces(link) if len([1 for way in trace["ways"] if trace["ways"][way]["length_m"]]) == 2]


def _closure(trace: dict) -> dict:
    there_m, back_m = trace["ways"][THERE]["length_m"], trace["ways"][BACK]["length_m"]
    least, share = limits.row(FILE, "length_closure:least"), limits.row(FILE, "length_closure:share")
    allowed_m = max(float(least["value"]), trace["length_m"] * float(share["value"]) / 100.0)
    line = "|" + text(there_m, 1) + " - " + text(back_m, 1) + "| = " + text(abs(there_m - back_m), 1) + " m"
    check = judging.by_row(
        "event_closure", _keys(trace), GROUP, _title("Length alike from both ends", trace), abs(there_m - back_m), FILE, least,
        limit=allowed_m, working=[line], readings=readings_of(trace), required=False, form=measure_form(trace),
    )  # fmt: skip
    if check["verdict"] == base.FAIL:
        check["notes"] = [
            "One direction ends at another event, or was taken with another group index. Its events may be paired wrongly."
        ]
    return check


def event_counts(link: dict, book: dict) -> list:
    """Connectors and splices seen against those recorded, since the loss limit counts the recorded ones."""
    stated = [base.decimal(link, "connections"), base.decimal(link, "splices")]
    return [] if stated == [None, None] else [_counts(trace, stated) for trace in traces(link)]


def _counts(trace: dict, stated: list) -> dict:
    seen = [_seen(trace, kind) for kind in ("connector", "splice")]
    over = [
        name for name, count, allowed in zip(("connectors", "splices"), seen, stated) if allowed is not None and count > allowed
    ]
    fewer = [
        name for name, count, allowed in zip(("connectors", "splices"), seen, stated) if allowed is not None and count < allowed
    ]
    found = _counted(seen[0], "connector") + " and " + _counted(seen[1], "splice") + " seen, "
    found += " and ".join(["none" if count is None else text(count, 0) for count in stated]) + " recorded"
    notes = ["Correct the link: its loss limit counts what is recorded."] if over else []
    if fewer:
        notes.append(
            "Fewer "
            + " and ".join(fewer)
            + " seen than recorded: a good splice may not show, and two connectors close by show as one."
        )
    source = base.practice_source("no more events than the link records")
    return base.statement(
        "event_counts", _keys(trace), GROUP, _title("Events against what is recorded", trace), not over, found,
        "no more than recorded", source, [], readings_of(trace), notes, required=False, form=measure_form(trace),
    )  # fmt: skip


def _seen(trace: dict, kind: str) -> int:
    """How many of a kind there are; while two directions cannot be paired, as many as the one shows that shows more."""
    shown = [trace["places"]] if trace["length_m"] else [trace["ways"][way]["events"] for way in trace["ways"]]
    return max([len([1 for event in events if event["kind"] == kind]) for events in shown])


def _counted(number: int, word: str) -> str:
    return str(number) + " " + word + ("" if number == 1 else "s")


def events_against_loss(link: dict, book: dict) -> list:
    """Losses of the events added up, and the glass at its least, against the loss by light source and meter."""
    checks, loss_rows = [], fibre_loss.loss_rows(link)
    for trace in traces(link):
        held = [
            row["reading"] for row in loss_rows
            if row["keys"]["strand"] == trace["strand"] and row["keys"]["wavelength"] == trace["wavelength"]
            and row["reading"]["body"].get("method") == "one_cord"
        ]  # fmt: skip
        losses = [two_way_loss(place) for place in trace["places"]]
        if held and trace["length_m"] and [loss for loss in losses if loss is not None]:
            checks.append(_against(trace, held, [loss for loss in losses if loss is not None]))
    return checks


def _against(trace: dict, held: list, losses: list) -> dict:
    events_db, metered_db = 0.0, 0.0
    for loss in losses:
        events_db += loss
    for reading in held:
        metered_db += base.reading_number(reading, "dB") / len(held)
    glass_db = _glass_db(trace)
    row = limits.row(FILE, "events_over_loss")
    line = text(events_db, 2) + " dB of events + " + text(glass_db, 2) + " dB of glass - " + text(metered_db, 2) + " dB by meter"
    check = judging.by_row(
        "events_against_loss", _keys(trace), GROUP, _title("Events against the loss by meter", trace),
        events_db + glass_db - metered_db, FILE, row, working=[line], readings=readings_of(trace) + held, required=False,
    )  # fmt: skip
    if check["verdict"] == base.FAIL:
        check["notes"] = ["More is lost at the events than in the whole link: an event or the reference of the loss is wrong."]
    return check


def _glass_db(trace: dict) -> float:
    rows = limits.rows("lengths", wavelength=trace["wavelength"])
    return parse_decimal(rows[0]["value"]) * trace["length_m"] / 1000.0 if rows else 0.0


RULES = base.apart_by(fibre_loss.of_strand, [event_length, event_closure, event_counts, events_against_loss])
