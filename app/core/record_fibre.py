"""Record sections on fibre: every strand with both directions, events along the fibre, what modules say of themselves."""

from . import kinds, module_trend, picture_budget, pictures
from .checks import base, fibre_loss, fibre_strands
from .checks.fibre_events import KIND_WORDS, event_check_id, two_way_loss
from .checks.fibre_places import whereabouts
from .checks.fibre_traces import strand_order, traces
from .fibre import METHOD_WORDS
from .numbers import parse_decimal, text
from .record_blocks import drawing, filled_table, section, table
from .record_blocks import text as lines
from .record_words import NONE, measure, verdict_word

MOST_PICTURES = 12
_GRAVEST = [base.FAIL, base.FAIL_WITHIN, base.NOT_MEASURED, base.PASS_WITHIN, base.PASS]


def strands_section(link: dict, checks: list, names: object) -> dict | None:
    """Loss of every strand, used and spare, at each wavelength in both directions; None for a link that is no fibre."""
    rows = [check for check in checks if check["rule"] == "fibre_loss" and check["form"]]
    if link["medium"] != kinds.FIBRE or not rows:
        return None
    held = {}
    for check in rows:
        held.setdefault((check["form"]["strand"], check["form"]["wavelength"]), []).append(check)
    losses = {}
    for row in fibre_loss.loss_rows(link):
        marks = row["keys"]
        losses[(marks["strand"], marks["wavelength"], marks["direction"])] = base.reading_number(row["reading"], "dB")
    used = fibre_strands.in_use(link)
    body = [_strand(marks, names, held[marks], losses, used) for marks in sorted(held, key=strand_order)]
    said = [check["sentence"] for check in checks if check["rule"] == "strands_measured"]
    return section("strands", "Strands", [lines(said), filled_table(_HEAD, "llllrrrrrrl", body, (0, 3, 4))])


_HEAD = [
    "Strand",
    "Identifier",
    "Use",
    "Wavelength",
    "Near to far",
    "Far to near",
    "Average",
    "Difference",
    "Limit",
    "Smallest margin",
    "Verdict",
]


def _strand(marks: tuple, names: object, rows: list, losses: dict, used: list | None) -> list:
    there, back = [losses.get((marks[0], marks[1], way)) for way in fibre_loss.DIRECTIONS]
    both = there is not None and back is not None
    limits = []
    for check in rows:
        if check["limit"] and check["limit"]["text"] not in limits:
            limits.append(check["limit"]["text"])
    return [
        marks[0],
        names.identifier("strand:" + marks[0]),
        "" if used is None else "in use" if marks[0] in used else "spare",
        marks[1] + " nm",
        _db(there) or NONE,
        _db(back),
        _db((there + back) / 2.0) if both else "",
        _db(abs(there - back)) if both else "",
        " or ".join(limits) + " dB" if limits else "",
        _smallest(rows),
        verdict_word(_gravest(rows)),
    ]


def _db(loss: float | None) -> str:
    return "" if loss is None else text(loss, 2) + " dB"


def _smallest(rows: list) -> str:
    margins = [check["margin"] for check in rows if check["margin"]]
    if not margins:
        return ""
    least = margins[0]
    for margin in margins:
        least = margin if parse_decimal(margin["text"]) < parse_decimal(least["text"]) else least
    return measure(least)


def _gravest(rows: list) -> str:
    found = [check["verdict"] for check in rows]
    return next(verdict for verdict in _GRAVEST if verdict in found)


_BUDGET_HEAD = ["Wavelength", "Reference method", "Glass", "Connections", "Splices", "Limit", "Measured"]


def budget_section(link: dict) -> dict | None:
    """What the limit of the loss is made of, beside what was measured; None for a link that is no fibre, or where nothing is known of either."""
    held = picture_budget.budgets(link) if link["medium"] == kinds.FIBRE else []
    if not [one for one in held if one["losses"] or one["limit_db"] is not None]:
        return None
    words = [one["wavelength"] + " nm: " + picture_budget.limit_words(one) + ". " + picture_budget.measured_words(one) for one in held]
    alternative = "Loss budget on one scale. " + ". ".join(words) + "."
    body = filled_table(_BUDGET_HEAD, "llrrrrl", [_budget(one) for one in held], (0, 1, 5, 6))
    return section("budget", "Loss budget", [body, drawing(pictures.budget(link), alternative)])


def _budget(held: dict) -> list:
    parts = {name: text(loss, 2) + " dB" for name, loss in held["parts"]}
    limit = NONE if held["limit_db"] is None else text(held["limit_db"], 2) + " dB"
    cells = [held["wavelength"] + " nm", METHOD_WORDS.get(held["method"], held["method"])]
    cells += [parts.get(name, "") for name in ("glass", "connections", "splices")]
    return cells + [limit, picture_budget.measured_words(held)]


def events_section(link: dict, checks: list) -> dict | None:
    """Events along each strand with both directions, average and verdict, and pictures of the loss; None where none were typed."""
    held = traces(link) if link["medium"] == kinds.FIBRE else []
    if not held:
        return None
    by_id = {check["id"]: check for check in checks}
    body = []
    for trace in held:
        body.extend([_event(link, trace, place, by_id) for place in trace["places"]])
    blocks = [filled_table(_EVENT_HEAD, "llllrrrrlr", body, (0, 1, 2, 3))]
    for trace in held[:MOST_PICTURES]:
        words = "Loss along strand " + trace["strand"] + " at " + trace["wavelength"] + " nm"
        blocks.append(lines([words + ":"]))
        picture = pictures.loss_along(link, trace["strand"], trace["wavelength"])
        blocks.append(drawing(picture, words + "; its events are in the table above."))
    if len(held) > MOST_PICTURES:
        blocks.append(
            lines(["Pictures of the first " + str(MOST_PICTURES) + " of " + str(len(held)) + "; all events are in the table."])
        )
    return section("events", "Events along the fibre, by OTDR", blocks)


_EVENT_HEAD = [
    "Strand",
    "Wavelength",
    "Where",
    "What",
    "Near to far",
    "Far to near",
    "Average",
    "Limit",
    "Verdict",
    "Reflectance",
]


def _event(link: dict, trace: dict, place: dict, by_id: dict) -> list:
    check = by_id.get(event_check_id(trace, place))
    where = whereabouts(link, place["m"], trace["length_m"])["words"]
    averaged = two_way_loss(place)
    return [
        trace["strand"],
        trace["wavelength"] + " nm",
        place["where"] + (", " + where if where else ""),
        KIND_WORDS[place["kind"]],
        _shown(place["there"], "loss"),
        _shown(place["back"], "loss"),
        "" if averaged is None else text(averaged, 2) + " dB",
        measure(check["limit"]) if check and check["limit"] else "",
        _event_verdict(check, averaged),
        " and ".join([shown for shown in (_shown(place["there"], "reflectance"), _shown(place["back"], "reflectance")) if shown]),
    ]


def _event_verdict(check: dict | None, averaged: float | None) -> str:
    if check is None:
        return ""
    return verdict_word(check["verdict"]) if averaged is not None else "one direction, indicative"


def _shown(event: dict | None, name: str) -> str:
    if not event or event[name] is None:
        return ""
    return (
        text(event[name], 2 if name == "loss" else 1) + " dB" + (" clipped" if name == "reflectance" and event["clipped"] else "")
    )


def modules_section(link: dict) -> dict | None:
    """What the transceivers said of themselves, first and latest, and the loss between them; None where none was read."""
    found = module_trend.trend(link) if link["medium"] == kinds.FIBRE else {"modules": []}
    if not found["modules"]:
        return None
    body, notes = [], []
    for module in found["modules"]:
        for row in module["rows"]:
            latest, first = [row[name] + (", " + row[name + "_at"] if row[name] else "") for name in ("latest", "first")]
            body.append([module["title"], row["label"], first, latest, row["change"], row["word"], row["accuracy"]])
        notes += [module["title"] + ": " + note for note in module["notes"]]
    between = [[loss["title"], loss["text"], "\n".join(loss["notes"])] for loss in found["losses"]]
    blocks = [lines([found["caption"]]), filled_table(_MODULE_HEAD, "llllrll", body, (0, 1, 3)), lines(notes)]
    blocks.append(table(["Between the modules", "Loss", "Beside it"], "lrl", between))
    return section("modules", "Module readings (trend, \u00b13 dB, not acceptance)", blocks)


_MODULE_HEAD = ["Module", "Reading", "First", "Latest", "Change", "Calls for", "May be off by"]
