"""Loss of each strand: against the allowance, against what glass can do, and between wavelengths and directions."""

import math

from .. import fibre, limits, moments
from ..errors import Refused
from ..numbers import parse_decimal, short_text, text, to_steps
from . import base, lengths

GROUP = "fibre"
REQUIRED = {"SM": ["1310", "1550"], "MM": ["850", "1300"]}
MOST_STRANDS = 288
DIRECTION_WORDS = {"near_to_far": "near to far", "far_to_near": "far to near", "": "direction not stated"}


def mode(link: dict) -> str | None:
    """ "SM" or "MM" by the link's fibre, None when it is not chosen."""
    kind = base.field(link, "fibre")
    return None if kind is None else fibre.mode_of(kind)


def loss_rows(link: dict) -> list:
    """Newest loss of each strand, wavelength and direction: rows {"keys", "reading", "others"}."""
    return base.latest(link, "optical_loss", ["strand", "wavelength", "direction"])


def strands(link: dict) -> list:
    """Strands to be tested, as texts: 1 to the number stated, and any other that was measured."""
    stated = base.decimal(link, "strands")
    names = [str(number) for number in range(1, min(int(stated or 0), MOST_STRANDS) + 1)]
    for row in loss_rows(link):
        if row["keys"]["strand"] not in names:
            names.append(row["keys"]["strand"])
    return names or ["1"]


def limit_set(link: dict) -> str | None:
    """The limit set that the link is judged by: the chosen one, else the default; None when this version does not hold the chosen one."""
    known = [pair[0] for pair in limits.sets("fibre")]
    chosen = base.field(link, "limit_set") or fibre.DEFAULT_SET
    return chosen if chosen in known else None


def loss_limit(link: dict, wavelength: str, method: str) -> dict:
    """Limit of the loss -> {"db", "source", "working", "notes"}, or {"missing": words} when something is lacking."""
    own_db = base.number(link, "project_loss_limit", "dB")
    if own_db is not None:
        written = base.field(link, "project_limit_source") or "Project's own loss limit"
        return {
            "db": own_db,
            "source": base.typed_source(written),
            "working": ["limit = project's own, " + text(own_db, 2) + " dB"],
            "notes": [],
        }
    chosen, kind, length = limit_set(link), base.field(link, "fibre"), lengths.known(link)
    if chosen is None:
        return {"missing": "this version does not hold the chosen limit set"}
    if kind is None:
        return {"missing": "choose the fibre"}
    if length is None:
        return {"missing": "needs the length, from sheath marks or an instrument"}
    return _allowance(link, kind, wavelength, length, method, chosen)


def _allowance(link: dict, kind: str, wavelength: str, length: dict, method: str, chosen: str) -> dict:
    connections, splices = base.decimal(link, "connections"), base.decimal(link, "splices")
    notes = []
    if connections is None:
        notes.append("Connections not recorded: only the two ends are counted.")
    if splices is None:
        notes.append("Splices not recorded: none is counted.")
    try:
        found = fibre.allowance(
            kind, wavelength, length["m"], int(2 if connections is None else connections), int(splices or 0), method, chosen
        )
    except Refused as refusal:
        return {"missing": "no limit for " + refusal.given + ", there is one for " + refusal.allowed}
    row = limits.row(chosen, "allowance")
    source = limits.source(chosen, row)
    source["seen"] = _least_seen([source] + found["sources"])
    return {
        "db": found["allowance_db"],
        "source": source,
        "working": length["working"] + found["working"],
        "notes": notes + found["notes"] + length["notes"],
    }


def _least_seen(sources: list) -> str:
    """A limit made of several values is only as well known as the least known of them."""
    for word in ("memory", "practice", "1"):
        if word in [source["seen"] for source in sources]:
            return word
    return "2+"


def fibre_loss(link: dict, book: dict) -> list:
    """Loss per strand, wavelength and direction; one direction is required, the other is judged if taken."""
    rows = loss_rows(link)
    kind = mode(link)
    wanted = REQUIRED[kind] if kind else []
    checks = []
    for strand in strands(link):
        taken = [row for row in rows if row["keys"]["strand"] == strand]
        others = [row["keys"]["wavelength"] for row in taken if row["keys"]["wavelength"] not in wanted]
        for wavelength in wanted + sorted(set(others)):
            here = [row for row in taken if row["keys"]["wavelength"] == wavelength]
            checks.extend([_judged(link, row) for row in here] or [_wanted(link, strand, wavelength)])
    return checks or [base.not_measured("fibre_loss", [], GROUP, "Loss", missing="choose the fibre")]


def _keys(strand: str, wavelength: str, direction: str) -> list:
    return [["strand", strand], ["wavelength", wavelength], ["direction", direction]]


def _title(what: str, strand: str, wavelength: str, direction: str) -> str:
    return what + ", strand " + strand + ", " + wavelength + " nm, " + DIRECTION_WORDS.get(direction, direction)


def _wanted(link: dict, strand: str, wavelength: str) -> dict:
    keys, title = _keys(strand, wavelength, "near_to_far"), _title("Loss", strand, wavelength, "near_to_far")
    form = {
        "quantity": "optical_loss",
        "strand": strand,
        "wavelength": wavelength,
        "direction": "near_to_far",
        "method": "one_cord",
    }
    limit = loss_limit(link, wavelength, "one_cord")
    if "missing" in limit:
        return base.not_measured("fibre_loss", keys, GROUP, title, form, missing=limit["missing"])
    return base.not_measured(
        "fibre_loss", keys, GROUP, title, form, text(limit["db"], 2), "dB", "max", limit["source"], limit["notes"]
    )


def _judged(link: dict, row: dict) -> dict:
    reading, marks = row["reading"], row["keys"]
    keys = _keys(marks["strand"], marks["wavelength"], marks["direction"])
    title = _title("Loss", marks["strand"], marks["wavelength"], marks["direction"])
    method = reading["body"].get("method")
    form = {
        "quantity": "optical_loss",
        "strand": marks["strand"],
        "wavelength": marks["wavelength"],
        "direction": marks["direction"] or "near_to_far",
    }
    form["method"] = method or "one_cord"
    if not method:
        return base.not_measured(
            "fibre_loss", keys, GROUP, title, form, missing="the reading does not say how its reference was taken"
        )
    loss_db = base.reading_number(reading, "dB")
    fault = _fault(link, loss_db, marks["wavelength"], method)
    if fault:
        return _bad_reference(keys, title, loss_db, fault, reading, form)
    limit = loss_limit(link, marks["wavelength"], method)
    if "missing" in limit:
        required = marks["wavelength"] in REQUIRED.get(mode(link) or "", [])
        check = base.not_measured("fibre_loss", keys, GROUP, title, required=required, missing=limit["missing"])
        check["readings"] = [reading["id"]]
        return check
    return base.judge(
        "fibre_loss",
        keys,
        GROUP,
        title,
        loss_db,
        limit["db"],
        "dB",
        2,
        "max",
        limit["source"],
        limit["working"],
        [reading],
        base.field(link, "decision_rule") or "simple",
        base.reading_uncertainty(reading, "dB"),
        limit["notes"] + _loss_notes(loss_db, row),
        form=form,
    )


def _loss_notes(loss_db: float, row: dict) -> list:
    notes = []
    if to_steps(loss_db, 2) < 0:
        notes.append("Below zero but within uncertainty: take the reference again.")
    if row["others"]:
        notes.append("The newest of " + str(len(row["others"]) + 1) + " readings; the older ones are kept.")
    return notes


def _fault(link: dict, loss_db: float, wavelength: str, method: str) -> dict | None:
    length = lengths.known(link)
    return fibre.loss_fault(loss_db, length["m"] if length else None, wavelength, method)


def _bad_reference(keys: list, title: str, loss_db: float, fault: dict, reading: dict, form: dict) -> dict:
    row = fault["row"]
    source = limits.source("lengths", row)
    check = base.judge(
        "fibre_loss", keys, GROUP, title, loss_db, fault["least_db"], "dB", 2, "min", source, [], [reading], form=form
    )
    check["verdict"] = base.FAIL
    check["sentence"] = "Fails: " + fault["reason"] + ". Take the reference again and measure again."
    check["notes"] = ["Nothing can be signed on this reading. Void it with the reason once it is measured anew."]
    return check


def reference_times(link: dict, book: dict) -> list:
    """A reading cannot be older than the reference that it is measured against."""
    taken = [row["reading"] for row in loss_rows(link)]
    dated = [reading for reading in taken if reading["body"].get("reference_at")]
    if not taken:
        return []
    if not dated:
        return [
            base.not_measured(
                "reference_times", [], GROUP, _REFERENCES, required=False, missing="no reading says when its reference was taken"
            )
        ]
    late = [
        reading
        for reading in dated
        if moments.milliseconds(reading["body"]["reference_at"]) > moments.milliseconds(reading["at"])
    ]
    if late:
        shown = ", ".join(
            [
                moments.shown(reading["body"]["reference_at"]) + " for a reading at " + moments.shown(reading["at"])
                for reading in late[:3]
            ]
        )
        words = str(len(late)) + " after the reading: " + shown
    else:
        words = (
            "the stated reference comes first" if len(dated) == 1 else "all " + str(len(dated)) + " stated references come first"
        )
    wanted = "each reference before its reading"
    return [
        base.statement(
            "reference_times",
            [],
            GROUP,
            _REFERENCES,
            not late,
            words,
            wanted,
            base.practice_source("reference first, reading after"),
            [],
            late or dated,
        )
    ]


_REFERENCES = "References taken before the readings"


def _by_place(link: dict) -> dict:
    """{(strand, direction): {wavelength: row}} of what was measured."""
    found = {}
    for row in loss_rows(link):
        found.setdefault((row["keys"]["strand"], row["keys"]["direction"]), {})[row["keys"]["wavelength"]] = row
    return found


def bend_sign(link: dict, book: dict) -> list:
    """Single-mode: a loss at 1550 nm clearly over that at 1310 nm points to a tight bend or a pinched cord."""
    return [
        _bend_sign(place, held["1310"], held["1550"])
        for place, held in _sorted(_by_place(link))
        if "1310" in held and "1550" in held
    ]


def _sorted(found: dict) -> list:
    return [[place, found[place]] for place in sorted(found, key=_strand_order)]


def _strand_order(place: tuple) -> tuple:
    """Strand 2 comes before strand 10."""
    return (len(place[0]), place[0], len(place[1]), place[1])


def _bend_sign(place: tuple, low: dict, high: dict) -> dict:
    low_db, high_db = base.reading_number(low["reading"], "dB"), base.reading_number(high["reading"], "dB")
    suspect, certain = limits.row("lengths", "bend:suspect"), limits.row("lengths", "bend:certain")
    more_db = high_db - low_db
    notes = []
    if to_steps(more_db, 2) > to_steps(float(suspect["value"]), 2):
        sure = to_steps(more_db, 2) > to_steps(float(certain["value"]), 2)
        notes = [
            "Near certain: a tight bend or pinched cord." if sure else "Suspected: a tight bend or pinched cord.",
            "Look at loops, ties, trays and entries.",
        ]
    return base.judge(
        "bend_sign",
        [["strand", place[0]], ["direction", place[1]]],
        GROUP,
        "Sign of a bend, strand " + place[0] + ", " + DIRECTION_WORDS.get(place[1], place[1]),
        more_db,
        float(suspect["value"]),
        "dB",
        2,
        "max",
        limits.source("lengths", suspect),
        ["loss at 1550 nm - loss at 1310 nm = " + text(high_db, 2) + " - " + text(low_db, 2) + " = " + text(more_db, 2) + " dB"],
        [low["reading"], high["reading"]],
        notes=notes,
    )


def wavelength_order(link: dict, book: dict) -> list:
    """Multimode: a loss at 850 nm below that at 1300 nm by more than the uncertainty is not possible; the wavelengths were swapped."""
    return [
        _order(place, held["850"], held["1300"]) for place, held in _sorted(_by_place(link)) if "850" in held and "1300" in held
    ]


def _order(place: tuple, short: dict, long: dict) -> dict:
    short_db, long_db = base.reading_number(short["reading"], "dB"), base.reading_number(long["reading"], "dB")
    usual = float(limits.row("lengths", "uncertainty:MM")["value"])
    guards = [base.reading_uncertainty(row["reading"], "dB") or usual for row in (short, long)]
    guard_db = math.sqrt(guards[0] * guards[0] + guards[1] * guards[1])
    working = [
        "loss at 850 nm - loss at 1300 nm = "
        + text(short_db, 2)
        + " - "
        + text(long_db, 2)
        + " = "
        + text(short_db - long_db, 2)
        + " dB",
        "least = 0 - uncertainty of the difference, sqrt("
        + short_text(guards[0])
        + "^2 + "
        + short_text(guards[1])
        + "^2) = -"
        + text(guard_db, 2)
        + " dB",
    ]
    check = base.judge(
        "wavelength_order",
        [["strand", place[0]], ["direction", place[1]]],
        GROUP,
        "850 nm not below 1300 nm, strand " + place[0] + ", " + DIRECTION_WORDS.get(place[1], place[1]),
        short_db - long_db,
        -guard_db,
        "dB",
        2,
        "min",
        base.practice_source("more loss at 850 nm than at 1300 nm"),
        working,
        [short["reading"], long["reading"]],
    )
    if check["verdict"] == base.FAIL:
        check["notes"] = ["The two wavelengths were swapped, or one reference is bad."]
    return check


def two_directions(link: dict, book: dict) -> list:
    """Where both directions were measured, how far they differ: unlike fibres or a dirty end. A flag, not a limit of any standard."""
    kind, held, checks = mode(link), {}, []
    for row in loss_rows(link):
        held.setdefault((row["keys"]["strand"], row["keys"]["wavelength"]), {})[row["keys"]["direction"]] = row
    for place, both in _sorted(held):
        if kind and "near_to_far" in both and "far_to_near" in both:
            checks.append(_difference(kind, place, both["near_to_far"], both["far_to_near"]))
    return checks


def _difference(kind: str, place: tuple, there: dict, back: dict) -> dict:
    there_db, back_db = base.reading_number(there["reading"], "dB"), base.reading_number(back["reading"], "dB")
    row = limits.row("lengths", "directions:" + kind)
    working = [
        "average = (" + text(there_db, 2) + " + " + text(back_db, 2) + ") / 2 = " + text((there_db + back_db) / 2.0, 2) + " dB",
        "difference = " + text(abs(there_db - back_db), 2) + " dB",
    ]
    check = base.judge(
        "two_directions",
        [["strand", place[0]], ["wavelength", place[1]]],
        GROUP,
        "Two directions agree, strand " + place[0] + ", " + place[1] + " nm",
        abs(there_db - back_db),
        parse_decimal(row["value"]),
        "dB",
        2,
        "max",
        limits.source("lengths", row),
        working,
        [there["reading"], back["reading"]],
        required=False,
    )
    if check["verdict"] == base.FAIL:
        check["notes"] = ["Unlike fibres were joined, or an end is dirty."]
    return check


RULES = [fibre_loss, reference_times, bend_sign, wavelength_order, two_directions]
