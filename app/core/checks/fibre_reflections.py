"""What comes back at each connector and splice, by its reflectance in an OTDR."""

from .. import limits
from ..fibre import DEFAULT_SET
from ..numbers import short_text
from . import base, fibre_loss, judging
from .fibre_events import marks_of_event, measure_form, title_of_event
from .fibre_places import whereabouts
from .fibre_traces import readings_of, traces

GROUP = "fibre"
FILE = "fibre-return-loss"
_AIR_GAP_DB = -20.0  # well over what any clean mating sends back; an open flat end of glass sends back -14.4 dB


def reflectances(link: dict, book: dict) -> list:
    """A row for each connector whose reflectance was typed, the worse of both directions; a splice should send back nothing."""
    checks = []
    for trace in traces(link):
        for place in trace["places"]:
            if place["kind"] in ("connector", "splice") and _worst(place) is not None:
                checks.append(_reflectance(link, trace, place))
    return checks


def _worst(place: dict) -> dict | None:
    """The event of the direction that shows more coming back, or None without a reflectance."""
    shown = [event for event in (place["there"], place["back"]) if event and event["reflectance"] is not None]
    return None if not shown else shown[-1] if shown[-1]["reflectance"] > shown[0]["reflectance"] else shown[0]


def _clipped(place: dict) -> bool:
    return bool([1 for event in (place["there"], place["back"]) if event and event["clipped"]])


def _reflectance(link: dict, trace: dict, place: dict) -> dict:
    where, worst = whereabouts(link, place["m"], trace["length_m"]), _worst(place)
    keys, title = marks_of_event(trace, place) + [["kind", place["kind"]]], title_of_event(trace, place, where) + ": return loss"
    limit = _limit(link, place, where)
    if limit is None:
        missing = "needs the fibre, and on single-mode the polish" + (" at the " + where["words"] if where["end"] else "")
        check = base.not_measured("reflectance", keys, GROUP, title, required=False, missing=missing)
        check["readings"] = [reading["id"] for reading in readings_of(trace)]
        return check
    check = judging.by_row(
        "reflectance", keys, GROUP, title, -worst["reflectance"], limit["file"], limit["row"],
        working=["return loss = -(" + short_text(worst["reflectance"]) + ") dB, the worse of what was typed"],
        readings=readings_of(trace), notes=_notes(limit, worst, place), required=place["kind"] == "connector", form=measure_form(trace),
    )  # fmt: skip
    return _unproven(check) if _clipped(place) and check["verdict"] in base.PASSING else check


def _unproven(check: dict) -> dict:
    """A clipped peak was higher than shown: what passes by it is not proven."""
    check["verdict"], check["margin"], check["bar"], check["required"] = base.NOT_MEASURED, None, None, False
    check["sentence"] = (
        "Not measured: the peak was clipped, so that more comes back than is shown. Take it with less pulse or more attenuation."
    )
    return check


def _limit(link: dict, place: dict, where: dict) -> dict | None:
    """{"file", "row", "notes"} by limit set, kind of fibre and polish; None where these are not known."""
    if place["kind"] == "splice":
        return {"file": "fibre-practice", "row": limits.row("fibre-practice", "splice_return_loss"), "notes": []}
    mode = fibre_loss.mode(link)
    ends = [base.field(link["ends"][side], "polish") for side in ("near", "far")]
    polish = ends[0 if where["end"] == "near" else 1] if where["end"] else _both_alike(ends)
    if mode is None or (mode == "SM" and polish is None):
        return None
    of = "MM" if mode == "MM" else "SM:APC" if polish == "APC" else "SM:PC"
    row = limits.row(FILE, "reflectance:" + (fibre_loss.limit_set(link) or DEFAULT_SET) + ":" + of)
    notes = [] if where["end"] or mode == "MM" else ["Polish taken as at the ends: " + polish + "."]
    return {"file": FILE, "row": row, "notes": notes + ([row["note"]] if row.get("note") else [])}


def _both_alike(ends: list) -> str | None:
    """Polish of connectors between the ends: angled only where both ends are."""
    flat = [polish for polish in ends if polish and polish != "APC"]
    if flat:
        return flat[0]
    return "APC" if ends == ["APC", "APC"] else None


def _notes(limit: dict, worst: dict, place: dict) -> list:
    notes = list(limit["notes"])
    if _clipped(place):
        notes.append("The peak was clipped: more comes back than is shown.")
    if worst["reflectance"] >= _AIR_GAP_DB:
        notes.append(
            "So much comes back only from glass against air: an open connector, dirt, or an angled end mated to a flat one."
        )
    return notes


RULES = base.apart_by(fibre_loss.of_strand, [reflectances])
