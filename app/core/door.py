"""The only way in: `call(json_text) -> json_text`, the same on the server and in the phone's worker.

Books that were opened stay here until they are opened anew, so that one more entry costs one fold and not one transfer of everything.
"""

from . import acceptance, entries, kinds, limit_choices, limit_rows, limits, own_limits, quantities, sealing, views
from .errors import Refused, require
from .ledger import Book
from .numbers import text as number_text
from .textform import dumps, loads
from .units import convert, typed
from .units_words import WORDS, unit_word

_BOOKS = {}


def call(request_text: str) -> str:
    """One request {"op": name, ...} -> {"ok": true, "result": ...} or {"ok": false, "error": {...}}. Never raises."""
    op = ""
    try:
        request = loads(request_text)
        op = request.get("op")
        if op not in _OPERATIONS:
            raise Refused("unknown", "op", op, "one of " + ", ".join(sorted(_OPERATIONS)))
        return dumps({"ok": True, "result": _OPERATIONS[op](request)})
    except Refused as refused:
        return dumps({"ok": False, "error": refused.as_dict()})
    except Exception as fault:  # the interpreter's own wording never reaches a person; its kind helps whoever mends it
        return dumps({"ok": False, "error": _internal(op, fault)})


def _internal(op: str, fault: object) -> dict:
    return {
        "code": "internal",
        "field": str(op),
        "given": fault.__class__.__name__,
        "allowed": "",
        "remedy": "",
        "message": "Spanbook could not work this out ("
        + str(op)
        + ", "
        + fault.__class__.__name__
        + "). What is saved stays saved.",
        "detail": str(fault)[:200],
    }


def _configure(request: dict) -> dict:
    held = {"limits": limits.configure(request["limits"])}
    if request.get("calculators"):
        from . import calculators

        calculators.configure(request["calculators"])
    _BOOKS.clear()
    return held


def _describe(request: dict) -> dict:
    return {
        "things": kinds.THINGS,
        "thing_names": kinds.THING_NAMES,
        "quantities": quantities.QUANTITIES,
        "words": {
            "media": kinds.MEDIA,
            "sides": kinds.SIDES,
            "directions": kinds.DIRECTIONS,
            "methods": kinds.METHODS,
            "pairs": kinds.PAIRS,
            "parameters": kinds.PARAMETERS,
            "wavelengths": kinds.WAVELENGTHS,
            "station_types": kinds.STATION_TYPES,
            "limit_sets": {medium: limits.sets(medium) for medium in (kinds.COPPER, kinds.EXTENDED, kinds.FIBRE)},
            "burial_rules": limits.burial_rules(),
            "electrode_references": limits.electrode_references(),
            "applications": limits.applications(),
            "own_limits": own_limits.OWN_LIMITS,
            "groups": [[group, acceptance.GROUP_WORDS[group]] for group in acceptance.GROUPS],
        },
        "extra_units": quantities.EXTRA_UNITS,
        "zones": quantities.ZONES,
        "end_faces": limits.end_face_forms() if limits.END_FACES in limits.file_ids() else {},
        "unit_words": WORDS,
    }


def _limits(request: dict) -> object:
    if request.get("id") is None:
        return limit_rows.listed()
    return limit_rows.described(str(request["id"]))


def _limit_choices(request: dict) -> dict:
    return {"differences": limit_choices.differences(), "files": limits.choice_files()}


def _check_entry(request: dict) -> dict:
    return entries.check(request["text"])


def _open(request: dict) -> dict:
    book = Book(request["book"])
    book.take(request["entries"])
    _BOOKS[request["book"]] = book
    return {"book": book.book, "entries": len(book.entries)}


def _add(request: dict) -> dict:
    book = _book(request)
    fresh = book.take(request["entries"])
    return {"book": book.book, "entries": len(book.entries), "new": fresh}


def _close(request: dict) -> dict:
    return {"closed": _BOOKS.pop(request["book"], None) is not None}


def _book(request: dict) -> Book:
    return require(_BOOKS.get(request.get("book")), "book", request.get("book"))


def _site(request: dict) -> dict:
    book = _book(request)
    view = views.site_view(book)
    view["entries"] = len(book.entries)
    return view


def _checks(request: dict) -> dict:
    book = _book(request)
    draft = request.get("draft")
    if draft is None:
        return views.judged_link(book, request["link"])
    entries.check_body({"kind": "reading", "body": draft})
    checks = views.with_draft(book, request["link"], draft, request.get("at"), request.get("by") or "")
    return {"checks": checks, "warnings": _unlikely(draft)}


def _trend(request: dict) -> dict:
    """What the transceivers of a link said of themselves; with a draft as if it had been saved."""
    from . import module_trend

    link = views.link_view(_book(request), request["link"])
    draft = request.get("draft")
    if draft is not None:
        entries.check_body({"kind": "reading", "body": draft})
        link = module_trend.with_reading(link, draft, request.get("at"))
    return module_trend.trend(link)


def _unlikely(draft: dict) -> list:
    """A sentence for a value that is possible but unusual, so that the form can ask back."""
    about = quantities.quantity(draft["quantity"])
    if not draft.get("value") or about.get("likely_low") is None:
        return []
    unit = about["units"][0]
    number = typed(draft["value"], unit, "value")
    if float(about["likely_low"]) <= number <= float(about["likely_high"]):
        return []
    word = (" " + unit_word(unit)).rstrip(" ")
    return [
        number_text(number, 3).rstrip("0").rstrip(".")
        + word
        + " is unusual here (usual is "
        + about["likely_low"]
        + " to "
        + about["likely_high"]
        + word
        + ")."
    ]


def _cover(request: dict) -> dict:
    book = _book(request)
    checks = views.judged_link(book, request["link"])["checks"]
    return sealing.cover_now(book, request["link"], checks)


def _seal_text(request: dict) -> dict:
    from . import seal_text

    return seal_text.seal_text(_book(request), request)


def _sign_off(request: dict) -> dict:
    from . import sign_off

    return sign_off.sign_off(_book(request), request["link"])


def _verify(request: dict) -> dict:
    from . import verification

    return verification.verify(request)


def _seals(request: dict) -> list:
    from . import seal_text

    return seal_text.seals_in(request["texts"])


def _record(request: dict) -> dict:
    from . import identifiers, record, seal_changes, sign_off

    book, link_id = _book(request), request["link"]
    judged, link = views.judged_link(book, link_id), views.link_view(book, link_id)
    after = link["seals"][-1]["after"] if link["seals"] else []
    more = {name: request.get(name) for name in ("signatures", "keys")}
    more["working"] = request.get("working", True)
    more["identifiers"] = identifiers.shown(book, link_id)
    more["sign_off"] = sign_off.sign_off(book, link_id)
    more["photos"], more["notes"] = views.photos_of_site(book), views.notes_of_site(book)
    more["after"] = seal_changes.entry_words(book, link_id, after) if after else []
    return record.build(
        views.site_view(book),
        link,
        judged["checks"],
        judged["summary"],
        judged["applications"],
        sealing.cover_now(book, link_id, judged["checks"]),
        request["made_at"],
        more,
    )


def _handover(request: dict) -> dict:
    from . import handover

    more = (request.get("signatures"), request.get("keys"), request.get("photos_here"))
    return handover.build(_book(request), request["link"], request["made_at"], more[0], more[1], more[2])


def _handover_photos(request: dict) -> list:
    from . import handover

    return handover.photos(_book(request), request["link"])


def _handover_tags(request: dict) -> list:
    from . import handover

    return handover.tags(request["payload"], request["info"])


def _since_signing(request: dict) -> dict:
    """What came after the newest seal of a link, and verdicts that it signed and that differ now, a sentence each."""
    from . import seal_changes

    book, link_id = _book(request), request["link"]
    seals = views.link_view(book, link_id)["seals"]
    if not seals:
        return {"entries": [], "verdicts": []}
    verdicts = seal_changes.verdict_words(seals[-1]["verdicts"], views.judged_link(book, link_id)["checks"])
    return {"entries": seal_changes.entry_words(book, link_id, seals[-1]["after"]), "verdicts": verdicts}


def _picture(request: dict) -> dict:
    from . import pictures

    book = _book(request)
    which = request.get("which")
    site = views.site_view(book)
    if which == "site":
        return {"svg": pictures.site_plan(site, [views.link_view(book, link["id"]) for link in views.book_view(book)["links"]])}
    link = views.link_view(book, request["link"])
    if which == "plan":
        return {"svg": pictures.plan(site, link)}
    if which == "loss":
        narrow = request.get("width") == "narrow"
        return {"svg": pictures.loss_along(link, str(request.get("strand")), str(request.get("wavelength")), narrow)}
    if which == "strip":
        return {"svg": pictures.strip(link)}
    if which == "sweep":
        checks = views.judged_link(book, request["link"])["checks"]
        swept = [check for check in checks if check["id"] == request.get("check") and check.get("sweep")]
        return {"svg": pictures.sweep(link, require(swept[0] if swept else None, "check", request.get("check")))}
    if which == "bars":
        return {"svg": pictures.bars(views.judged_link(book, request["link"])["checks"])}
    raise Refused("word", "which", which, "site, plan, strip, loss, sweep or bars")


def _read_sweep(request: dict) -> dict:
    """What traces a pasted text or chosen file holds; with a link, how each would stand."""
    from . import sweep_import

    known = {name: request.get(name) for name in ("parameter", "pair", "pair2", "side")}
    link = site = None
    if request.get("book"):
        book = _book(request)
        link, site = views.link_view(book, request["link"]), views.site_view(book)
    return sweep_import.read_sweep(request.get("text"), str(request.get("name") or ""), request.get("ports"), known, link, site)


def _identifiers(request: dict) -> dict:
    from . import identifiers

    return identifiers.describe(_book(request), request["link"])


def _label(request: dict) -> dict:
    from . import labels

    return labels.label(request.get("texts"), request.get("matrix"), request.get("stock"), request.get("around"))


def _label_stocks(request: dict) -> list:
    from . import label_stock

    return label_stock.STOCKS


def _label_places(request: dict) -> list:
    from . import label_stock

    return label_stock.places(request.get("stock"), request.get("start"), request["count"])


def _calculators(request: dict) -> list:
    from . import calculators

    return calculators.describe()


def _calc(request: dict) -> dict:
    from . import calculators

    return calculators.run(request["name"], request["inputs"])


def _convert(request: dict) -> dict:
    from .numbers import full_text, parse_decimal

    return {"text": full_text(convert(parse_decimal(request["value"]), request["unit"], request["to"]))}


_OPERATIONS = {
    "configure": _configure,
    "describe": _describe,
    "limits": _limits,
    "limit_choices": _limit_choices,
    "check_entry": _check_entry,
    "open": _open,
    "add": _add,
    "close": _close,
    "book": lambda request: views.book_view(_book(request)),
    "site": _site,
    "link": lambda request: views.link_view(_book(request), request["link"]),
    "checks": _checks,
    "trend": _trend,
    "cover": _cover,
    "seal_text": _seal_text,
    "sign_off": _sign_off,
    "seals": _seals,
    "verify": _verify,
    "since_signing": _since_signing,
    "record": _record,
    "handover": _handover,
    "handover_photos": _handover_photos,
    "handover_tags": _handover_tags,
    "picture": _picture,
    "read_sweep": _read_sweep,
    "identifiers": _identifiers,
    "label": _label,
    "label_stocks": _label_stocks,
    "label_places": _label_places,
    "calculators": _calculators,
    "calc": _calc,
    "convert": _convert,
}
