"""Loss of each strand: against the allowance, and against what glass can do."""

from .. import fibre, limits
from ..errors import Refused
from ..numbers import text, to_steps
from . import base, lengths

GROUP = "fibre"
REQUIRED = {"SM": ["1310", "1550"], "MM": ["850", "1300"]}
MOST_STRANDS = 288
LOSS_KEYS = ["strand", "wavelength", "direction"]
DIRECTIONS = ["near_to_far", "far_to_near"]
DIRECTION_WORDS = {"near_to_far": "near to far", "far_to_near": "far to near", "": "direction not stated"}


def mode(link: dict) -> str | None:
    """ "SM" or "MM" by the link's fibre, None when it is not chosen."""
    kind = base.field(link, "fibre")
    return None if kind is None else fibre.mode_of(kind)


def loss_rows(link: dict) -> list:
    """Newest loss of each strand, wavelength and direction: rows {"keys", "reading", "others"}."""
    return base.latest(link, "optical_loss", LOSS_KEYS)


def strands(link: dict) -> list:
    """Strands to be judged, as texts: 1 to the number stated, and any other that was measured; on trial the draft's alone."""
    alone = base.on_trial(link)
    if alone is not None:
        return [alone]
    stated = base.decimal(link, "strands")
    names = [str(number) for number in range(1, min(int(stated or 0), MOST_STRANDS) + 1)]
    known = {name: True for name in names}
    for row in loss_rows(link):
        if row["keys"]["strand"] not in known:
            known[row["keys"]["strand"]] = True
            names.append(row["keys"]["strand"])
    return names or ["1"]


def limit_set(link: dict) -> str | None:
    """The limit set that the link is judged by: the chosen one, else the default; None when this version does not hold the chosen one."""
    known = [pair[0] for pair in limits.sets("fibre")]
    chosen = base.field(link, "limit_set") or fibre.DEFAULT_SET
    return chosen if chosen in known else None


def loss_limit(link: dict, wavelength: str, method: str) -> dict:
    """Limit of the loss -> {"db", "source", "working", "notes"}, with "parts" or, beside a project's own, "published".

    {"missing": words} without one.
    """
    return base.once(link, ("loss_limit", wavelength, method), lambda: _loss_limit(link, wavelength, method))


def _loss_limit(link: dict, wavelength: str, method: str) -> dict:
    own_db = base.number(link, "project_loss_limit", "dB")
    if own_db is None:
        return _published_limit(link, wavelength, method)
    written = base.field(link, "project_limit_source") or "Project's own loss limit"
    beside = _published_limit(link, wavelength, method)
    return {
        "db": own_db,
        "source": base.typed_source(written),
        "working": ["limit = project's own, " + text(own_db, 2) + " dB"],
        "notes": [],
        "published": None if "missing" in beside else {"limit": beside["db"], "source": beside["source"]},
    }


def _published_limit(link: dict, wavelength: str, method: str) -> dict:
    """The allowance of the link's limit set, or {"missing": words}."""
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
        "parts": found["parts"],
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
    """Loss per strand, wavelength and direction; one direction is required, the other is judged if taken or if the link asks for both."""
    rows = loss_rows(link)
    method = usual_method(rows)
    kind = mode(link)
    wanted = REQUIRED[kind] if kind else []
    checks = []
    for strand in strands(link):
        taken = [row for row in rows if row["keys"]["strand"] == strand]
        others = [row["keys"]["wavelength"] for row in taken if row["keys"]["wavelength"] not in wanted]
        for wavelength in wanted + sorted(set(others)):
            here = [row for row in taken if row["keys"]["wavelength"] == wavelength]
            checks.extend([_judged(link, row) for row in here])
            checks.extend([_wanted(link, strand, wavelength, way, method) for way in _ways_missing(link, here)])
    return checks or [base.not_measured("fibre_loss", [], GROUP, "Loss", missing="choose the fibre")]


def _keys(strand: str, wavelength: str, direction: str) -> list:
    return [["strand", strand], ["wavelength", wavelength], ["direction", direction]]


def _title(what: str, strand: str, wavelength: str, direction: str) -> str:
    return what + ", strand " + strand + ", " + wavelength + " nm, " + DIRECTION_WORDS.get(direction, direction)


def _ways_missing(link: dict, here: list) -> list:
    """The directions that still have to be measured, by the rows of one strand and wavelength."""
    taken = [row["keys"]["direction"] for row in here]
    if base.field(link, "loss_directions") == "both":
        return [way for way in DIRECTIONS if way not in taken]
    return [] if taken else DIRECTIONS[:1]


def usual_method(rows: list) -> str:
    """The reference method of the newest loss reading, which the next one most likely has too; one-cord before there is any."""
    newest = None
    for row in rows:
        when = base.when(row["reading"])
        if row["reading"]["body"].get("method") and (newest is None or when > newest[0]):
            newest = (when, row["reading"]["body"]["method"])
    return newest[1] if newest else "one_cord"


def _wanted(link: dict, strand: str, wavelength: str, way: str, method: str) -> dict:
    keys, title = _keys(strand, wavelength, way), _title("Loss", strand, wavelength, way)
    form = {"quantity": "optical_loss", "strand": strand, "wavelength": wavelength, "direction": way, "method": method}
    limit = loss_limit(link, wavelength, method)
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
        uncertainty=base.reading_uncertainty(reading, "dB"),
        notes=limit["notes"] + _loss_notes(loss_db, row),
        form=form,
        published=limit.get("published"),
    )


def _loss_notes(loss_db: float, row: dict) -> list:
    notes = []
    if to_steps(loss_db, 2) < 0:
        notes.append("Below zero but within uncertainty: take the reference again.")
    if row["reading"]["body"].get("launch") == "open":
        notes.append("Launch not controlled: an LED that overfills the core reads high, a laser reads low.")
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


def of_strand(body: dict) -> str:
    """The mark by which rules of single strands stand apart."""
    return str(body.get("strand") or "")


RULES = base.apart_by(of_strand, [fibre_loss])
