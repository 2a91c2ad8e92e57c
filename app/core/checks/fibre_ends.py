"""Fibre ends: polish, end faces by zone counts, polarity."""

from .. import limits
from ..numbers import parse_decimal, text
from . import base, fibre_loss

GROUP = "fibre"
SIDES = ["near", "far"]


def polish(link: dict, book: dict) -> list:
    """Angled and flat ends must not be mated: both ends of the link have the same kind."""
    near, far = [base.field(link["ends"][side], "polish") for side in SIDES]
    title = "Connector polish, both ends"
    if near is None or far is None:
        single_mode = fibre_loss.mode(link) == "SM"
        missing = "needs the polish at the " + " and the ".join(
            [side + " end" for side, word in zip(SIDES, (near, far)) if word is None]
        )
        return [base.not_measured("polish", [], GROUP, title, required=single_mode, missing=missing)]
    ok = (near == "APC") == (far == "APC")
    notes = [] if ok else ["An angled end mated to a flat one leaves an air gap: high loss, and both faces may be damaged."]
    source = base.practice_source("angled ends mate with angled ends only")
    return [
        base.statement(
            "polish",
            [],
            GROUP,
            title,
            ok,
            near + " near, " + far + " far",
            "angled at both ends or at neither",
            source,
            notes=notes,
        )
    ]


def end_faces(link: dict, book: dict) -> list:
    """Scratches and defects by zone against the table for fibre and polish: a row a face inspected, at least one at each end."""
    rows = base.latest(link, "end_face", ["side", "strand"])
    checks = [_end_face(link, row) for row in rows]
    for side in SIDES:
        if side not in [row["keys"]["side"] for row in rows]:
            form = {"quantity": "end_face", "side": side, "strand": "1"}
            title = "End faces, " + side + " end"
            checks.append(base.not_measured("end_face", [["side", side]], GROUP, title, form, missing="none inspected yet"))
    return checks


def _end_face(link: dict, row: dict) -> dict:
    side, strand = row["keys"]["side"], row["keys"]["strand"]
    keys, title = [["side", side], ["strand", strand]], "End face, " + side + " end, strand " + strand
    form = {"quantity": "end_face", "side": side, "strand": strand}
    table = limits.end_face_table(base.field(link, "fibre"), base.field(link["ends"].get(side) or link["ends"]["near"], "polish"))
    if table is None:
        return base.not_measured(
            "end_face", keys, GROUP, title, form, missing="needs the fibre, and on single-mode the polish at this end"
        )
    over, blank, working = _counted(table, row["reading"]["body"].get("counts") or {})
    source = limits.source(limits.END_FACES, limits.rows(limits.END_FACES, kind="count", table=table)[0])
    if over:
        words = "; ".join(over)
    elif blank:
        check = base.not_measured("end_face", keys, GROUP, title, form, source=source, missing="not counted: " + "; ".join(blank))
        check["readings"] = [row["reading"]["id"]]
        return check
    else:
        words = "all zones within their counts"
    notes = ["Clean and inspect again, up to three times, then replace."] if over else []
    wanted = "no zone over its count"
    return base.statement(
        "end_face", keys, GROUP, title, not over, words, wanted, source, working, [row["reading"]], notes, form=form
    )


def _counted(table: str, counts: dict) -> tuple:
    """(what is over, what was not counted, a line for each count)."""
    over, blank, working = [], [], []
    for limit in limits.rows(limits.END_FACES, kind="count", table=table):
        name = "zone " + limit["zone"] + ", " + limit["meaning"][:1].lower() + limit["meaning"][1:]
        typed = (counts.get(limit["zone"]) or {}).get(limit["name"])
        if typed in (None, ""):
            blank.append(name)
            continue
        number = text(parse_decimal(typed, limit["name"]), 0)
        working.append(name + ": " + number + ", allowed " + limit["value"])
        if int(number) > int(limit["value"]):
            over.append(name + ": " + number + ", allowed " + limit["value"])
    return over, blank, working


def polarity(link: dict, book: dict) -> list:
    """Over two fibres, light sent in at position A of one end leaves at position B of the other, so that a sender meets a receiver."""
    used = [base.field(link["ends"][side], "fibres_used") for side in SIDES]
    if "one" in used or base.decimal(link, "strands") == 1:
        return []
    rows = base.latest(link, "polarity", ["strand"])
    if not rows:
        missing = "send light in at near position A, see that it leaves at far position B"
        return [base.not_measured("polarity", [], GROUP, "Polarity", {"quantity": "polarity", "strand": "1"}, missing=missing)]
    return [_polarity(row) for row in rows]


def _polarity(row: dict) -> dict:
    strand, right = row["keys"]["strand"], row["reading"]["body"].get("answer") == "right"
    words = "A at the near end is B at the far end" if right else "A at the near end is not B at the far end"
    source = base.practice_source("fibres crossed an odd number of times")
    notes = [] if right else ["Turn the two fibres round at one end of the link."]
    keys, title = [["strand", strand]], "Polarity, strand " + strand
    return base.statement("polarity", keys, GROUP, title, right, words, "crossed once", source, [], [row["reading"]], notes)


RULES = [polish] + base.apart_by(fibre_loss.of_strand, [end_faces, polarity])
