"""The text that is signed: made once, of what is here at this moment; refused while anything is open."""

from . import entries, identifiers, seal_changes, seal_form, seal_rows, seal_signed, sign_off, views
from .errors import Refused
from .ordering import ascending
from .sealing import cover, limit_files
from .textform import dumps

# A seal's text stands in one entry, in quotes, which makes each of its own quotes two signs.
_LONGEST = 1400000
_AS_WRITTEN = '"kind":"seal","v":2,'


def seal_text(book: object, request: dict) -> dict:
    """What a seal on this link would sign, as {"text"}.

    request: link; seal (id of the entry to be), at, by, device as its header will say; key (JWK); signatures; stops [{id, name, at}].
    Errors: Refused("open") while the sign-off list has something open, a stop is not acknowledged, or no installer signs; Refused for an id that
    the book has already, and for anything malformed.
    """
    link_id = request["link"]
    link, judged = views.link_view(book, link_id), views.judged_link(book, link_id)
    off = sign_off.sign_off(book, link_id)
    signatures = request.get("signatures")
    _refuse_open(off, signatures)
    if request.get("seal") in book.entries:
        raise Refused("shape", "seal", request["seal"], "the id of a new entry", "Sign again.")
    held = {"form": seal_form.FORM, "book": book.book, "link": link_id, "signatures": signatures}
    for name in ("seal", "at", "by", "device"):
        held[name] = request.get(name)
    held["name"] = str((link["fields"].get("name") or {}).get("value") or "")
    held["key"] = seal_form.thumbprint(request.get("key"))
    held["revision"] = _next_revision(link["seals"])
    held["previous"] = _previous(book, link["seals"])
    held.update(cover(book, link_id, limit_files(judged["checks"])))
    held["summary"] = seal_rows.of_summary(judged["summary"])
    held["verdicts"] = [seal_rows.of_check(check) for check in judged["checks"]]
    held["list"] = seal_rows.of_list(off)
    held["identifiers"] = _identifiers(book, link_id)
    held["stops"] = _stops(off["stops"], request.get("stops"))
    held["changes"] = seal_changes.since_last(book, link_id)
    text = dumps(held)
    seal_signed.read_signed(text)
    if len(text) > _LONGEST:
        raise Refused("range", "signed", str(len(text)) + " characters", "up to " + str(_LONGEST) + " characters in a seal")
    return {"text": text}


def _refuse_open(off: dict, signatures: object) -> None:
    if not off["ready"]:
        found = [item["title"] for item in off["items"] if item["state"] in sign_off.OPEN]
        raise Refused("open", "list", "; ".join(found), "nothing failing or missing", "Measure it, or accept it with a reason.")
    seal_signed.check_signatures(signatures)
    if not [signature for signature in signatures if signature["role"] == "installer"]:
        raise Refused("open", "signatures", "", "the installer's signature", "The installer signs first.")


def _stops(applying: list, acknowledged: object) -> list:
    """[id, words, name, at] of each stop that applies; its words are core's, whatever the caller showed."""
    held = {one.get("id"): one for one in acknowledged or [] if isinstance(one, dict)}
    found = []
    for stop in applying:
        one = held.get(stop["id"])
        if not one or not one.get("name") or not one.get("at"):
            raise Refused("open", "stops", stop["title"], "every caution acknowledged", "Read it and acknowledge it.")
        found.append([stop["id"], stop["words"] + " " + stop["why"], one["name"], one["at"]])
    return found


def _identifiers(book: object, link_id: str) -> list:
    """[what, text] of each identifier as it stands. Signed with the rest, since some are counted over all links and buildings of the site,
    which the entries under the seal do not tell."""
    held = identifiers.as_they_stand(book, link_id)
    return [[what, held[what]] for what in ascending(held)]


def _next_revision(seals: list) -> int:
    return max([0] + [seal["revision"] for seal in seals]) + 1


def _previous(book: object, seals: list) -> list | None:
    return [seals[-1]["id"], book.sha256(seals[-1]["id"])] if seals else None


def seals_in(texts: list) -> list:
    """The version 2 seals among entry texts that are well made, for whoever checks the device keys' signatures. Other texts are passed over."""
    # A well made seal's text holds these signs and no others there, so that the thousands of other texts need not be read.
    found = [_read(text) for text in texts if isinstance(text, str) and _AS_WRITTEN in text]
    return [seal for seal in found if seal]


def _read(text: str) -> dict | None:
    try:
        entry = entries.read_checked(text)
    except (Refused, ValueError):
        return None
    if entry["kind"] != "seal" or entry["v"] != 2:
        return None
    body = entry["body"]
    seal = {"id": entry["id"], "book": entry["book"], "text": body["signed"], "thumbprint": seal_form.thumbprint(body["key"])}
    for name in ("link", "key", "signature"):
        seal[name] = body[name]
    return seal
