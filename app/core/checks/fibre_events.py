"""Events of an OTDR against their limits: the average of both directions is judged, one direction alone is only indicative."""

from .. import limits
from ..fibre import DEFAULT_SET, two_way_event
from ..numbers import decimals_of, short_text, text, to_steps
from ..units_words import unit_word
from . import base, fibre_loss, judging
from .fibre_places import whereabouts
from .fibre_traces import BACK, QUANTITY, THERE, extra, traces

GROUP = "fibre"
FILE = "fibre-practice"
KIND_WORDS = {"connector": "Connector", "splice": "Splice", "loss_point": "Loss point", "end": "End"}
_RULES = {"connector": "connector_loss", "splice": "splice_loss", "loss_point": "loss_point"}


def event_losses(link: dict, book: dict) -> list:
    """A row for each connector, splice and loss point that was seen, at each strand and wavelength."""
    checks = []
    for trace in traces(link):
        checks.extend([_event(link, trace, place) for place in trace["places"] if place["kind"] != "end"])
    return checks


def marks_of_event(trace: dict, place: dict) -> list:
    """What tells the check of an event from others: [name, value] pairs."""
    return [["strand", trace["strand"]], ["wavelength", trace["wavelength"]], ["at", place["at"]]]


def event_check_id(trace: dict, place: dict) -> str:
    """The id of the check row of an event; no row has the id of an end."""
    return base.check_id(_RULES.get(place["kind"], "end"), marks_of_event(trace, place))


def title_of_event(trace: dict, place: dict, where: dict) -> str:
    """'Splice at 410.3 m, station 5 (closure), strand 1, 1310 nm'."""
    words = KIND_WORDS[place["kind"]] + " at " + place["where"] + (", " + where["words"] if where["words"] else "")
    return words + ", strand " + trace["strand"] + ", " + trace["wavelength"] + " nm"


def measure_form(trace: dict, way: str = THERE) -> dict:
    """The form that measures a strand's events again, from one end."""
    return {"quantity": QUANTITY, "strand": trace["strand"], "wavelength": trace["wavelength"], "direction": way}


def two_way_loss(place: dict) -> float | None:
    """Average of both directions, dB; None where one of them shows no loss."""
    losses = [event["loss"] for event in (place["there"], place["back"]) if event and event["loss"] is not None]
    return (losses[0] + losses[1]) / 2.0 if len(losses) == 2 else None


def _event(link: dict, trace: dict, place: dict) -> dict:
    where, rule = whereabouts(link, place["m"], trace["length_m"]), _RULES[place["kind"]]
    keys, title = marks_of_event(trace, place), title_of_event(trace, place, where)
    limit = _limit(link, trace, place, where)
    loss_db = two_way_loss(place)
    if loss_db is None:
        return _one_way(rule, keys, title, trace, place, limit)
    working = (
        _shown_lines(trace, place) + two_way_event(place["there"]["loss"], place["back"]["loss"])["working"] + where["working"]
    )
    return judging.by_row(
        rule,
        keys,
        GROUP,
        title,
        loss_db,
        limit["file"],
        limit["row"],
        working=working,
        notes=_notes(place, loss_db, limit, where),
        uncertainty=_uncertainty(trace, place),
        readings=_readings(trace, place),
        form=measure_form(trace),
    )


def _limit(link: dict, trace: dict, place: dict, where: dict) -> dict:
    """{"file", "row", "notes"}: splice and mating by the link's limit set, a loss point by custom."""
    if place["kind"] == "loss_point":
        return {"file": FILE, "row": limits.row(FILE, "loss_point"), "notes": []}
    chosen = fibre_loss.limit_set(link) or DEFAULT_SET
    if place["kind"] == "splice":
        return {"file": chosen, "row": limits.row(chosen, "splice"), "notes": []}
    mode = fibre_loss.mode(link)
    cords_m = _cords(trace, where["end"]) if where["end"] and mode else []
    if cords_m:
        return {"file": chosen, "row": limits.row(chosen, "end_mating:" + mode), "notes": _short_cord(min(cords_m), mode)}
    notes = ["No launch or tail cord is stated there: judged as a mating of standard grade."] if where["end"] else []
    return {"file": chosen, "row": limits.row(chosen, "mating"), "notes": notes}


def _cords(trace: dict, end: str) -> list:
    """Lengths of the cords, m, through which an end's connector was measured: the launch cord of one direction, the tail cord of the other."""
    names = {"near": ((THERE, "launch_cord"), (BACK, "tail_cord")), "far": ((BACK, "launch_cord"), (THERE, "tail_cord"))}[end]
    held = [extra(trace["ways"][way]["reading"], name, "m") for way, name in names if way in trace["ways"]]
    return [length for length in held if length is not None]


def _short_cord(length_m: float, mode: str) -> list:
    row = limits.row(FILE, "launch:" + mode)
    if length_m >= float(row["value"]):
        return []
    return [
        "A cord of "
        + short_text(length_m)
        + " m is short: common practice is "
        + row["value"]
        + " m or more, or the first connector hides."
    ]


def _readings(trace: dict, place: dict) -> list:
    return [trace["ways"][way]["reading"] for way, event in ((THERE, place["there"]), (BACK, place["back"])) if event]


def _uncertainty(trace: dict, place: dict) -> float | None:
    """The larger of what both readings state: an average of two by one instrument is not taken as better than one of them."""
    stated = [base.reading_uncertainty(reading, "dB") for reading in _readings(trace, place)]
    known = [number for number in stated if number is not None]
    return max(known) if known else None


def _shown_lines(trace: dict, place: dict) -> list:
    lines = []
    for way, event in ((THERE, place["there"]), (BACK, place["back"])):
        if event:
            loss = "no loss typed" if event["loss"] is None else short_text(event["loss"]) + " dB"
            lines.append(fibre_loss.DIRECTION_WORDS[way] + ": " + loss + " at " + text(event["m"], 1) + " m from its own end")
            lines += trace["ways"][way]["working"]
    return lines


def _notes(place: dict, loss_db: float, limit: dict, where: dict) -> list:
    notes = list(limit["notes"])
    if min(place["there"]["loss"], place["back"]["loss"]) < 0:
        notes.append("Looks like a gain from one end: fibres of unlike backscatter are joined there. The average counts.")
    target = limits.row(FILE, "splice_target")
    if place["kind"] == "splice" and to_steps(float(target["value"]), 2) < to_steps(loss_db, 2):
        notes.append("Over the " + target["value"] + " dB that many projects set as a target for a fusion splice.")
    if place["kind"] == "loss_point" and to_steps(loss_db, 2) > to_steps(float(limit["row"]["value"]), 2):
        notes.append("Look there for a tight bend, a tie pulled hard, or a splice that was not recorded.")
    if place["kind"] == "splice" and where["working"] and not where["words"]:
        notes.append("No station is recorded at that place.")
    return notes


def _one_way(rule: str, keys: list, title: str, trace: dict, place: dict, limit: dict) -> dict:
    """Seen in one direction: shown, never judged."""
    missing = BACK if place["there"] and place["there"]["loss"] is not None else THERE
    event = place["there"] if missing == BACK else place["back"]
    row = limit["row"]
    check = base.not_measured(
        rule, keys, GROUP, title, measure_form(trace, missing), row["value"], "dB", row["sense"], base.source_of(limit["file"], row),
        limit["notes"], required=False, missing=_why_one_way(trace, missing, event),
    )  # fmt: skip
    check["working"] = _shown_lines(trace, place)
    check["readings"] = [reading["id"] for reading in _readings(trace, place)]
    if event and event["loss"] is not None:
        check["measured"] = {"text": text(event["loss"], decimals_of(row["step"])), "unit": unit_word("dB")}
    return check


def _why_one_way(trace: dict, missing: str, event: dict | None) -> str:
    if event is None or event["loss"] is None:
        return "no loss was typed for it"
    words = "one direction only, indicative: " + text(event["loss"], 2) + " dB"
    if missing not in trace["ways"]:
        return words
    if trace["length_m"] is None:
        return words + ", since the end of the link is not among the events the two directions cannot be paired"
    return words + ", not seen " + fibre_loss.DIRECTION_WORDS[missing]


RULES = base.apart_by(fibre_loss.of_strand, [event_losses])
