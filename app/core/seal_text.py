"""The text that is signed: made once, of what is here at this moment; refused while anything is open."""

from . import seal_changes, seal_form, sign_off, views
from .errors import Refused
from .record_signing import verdict_words
from .sealing import cover, limit_files
from .textform import dumps


def seal_text(book: object, request: dict) -> dict:
    """What a seal on this link would sign, as {"text"}.

    request: link; seal (id of the entry to be), at, by, device as its header will say; key (JWK); signatures; stops [{id, name, at}].
    Errors: Refused("open") while the sign-off list has something open, a stop is not acknowledged, or no installer signs.
    """
    link_id = request["link"]
    link, judged = views.link_view(book, link_id), views.judged_link(book, link_id)
    off = sign_off.sign_off(book, link_id)
    signatures = request.get("signatures") or []
    _refuse_open(off, signatures)
    covers = cover(book, link_id, limit_files(judged["checks"]))
    held = {
        "form": seal_form.FORM,
        "seal": request["seal"],
        "book": book.book,
        "link": link_id,
        "name": str((link["fields"].get("name") or {}).get("value") or ""),
        "revision": _next_revision(link["seals"]),
        "previous": _previous(book, link["seals"]),
        "at": request["at"],
        "by": request["by"],
        "device": request["device"],
        "key": seal_form.thumbprint(request.get("key")),
        "entries": covers["entries"],
        "photos": covers["photos"],
        "limits": covers["limits"],
        "digest": covers["digest"],
        "summary": _summary(judged["summary"]),
        "verdicts": [_verdict(check) for check in judged["checks"]],
        "list": [[item["id"], item["title"], item["state"], item["detail"]] for item in off["items"]],
        "stops": _stops(off["stops"], request.get("stops") or []),
        "changes": seal_changes.since_last(book, link_id),
        "signatures": signatures,
    }
    text = dumps(held)
    seal_form.read_signed(text)
    return {"text": text}


def _refuse_open(off: dict, signatures: list) -> None:
    if not off["ready"]:
        found = [item["title"] for item in off["items"] if item["state"] in ("failing", "missing")]
        raise Refused("open", "list", "; ".join(found), "nothing failing or missing", "Measure it, or accept it with a reason.")
    seal_form.check_signatures(signatures)
    if not [signature for signature in signatures if signature.get("role") == "installer"]:
        raise Refused("open", "signatures", "", "the installer's signature", "The installer signs first.")


def _stops(applying: list, acknowledged: list) -> list:
    """[id, words, name, at] of each stop that applies; its words are core's, whatever the caller showed."""
    held = {one.get("id"): one for one in acknowledged}
    found = []
    for stop in applying:
        one = held.get(stop["id"])
        if not one or not one.get("name") or not one.get("at"):
            raise Refused("open", "stops", stop["title"], "every caution acknowledged", "Read it and acknowledge it.")
        found.append([stop["id"], stop["words"] + " " + stop["why"], one["name"], one["at"]])
    return found


def _next_revision(seals: list) -> int:
    return max([0] + [seal["revision"] for seal in seals]) + 1


def _previous(book: object, seals: list) -> list | None:
    return [seals[-1]["id"], book.sha256(seals[-1]["id"])] if seals else None


def _summary(summary: dict) -> dict:
    kept = {name: summary[name] for name in ("verdict", "pass", "fail", "not_measured", "deviations")}
    kept["words"] = verdict_words(summary)
    return kept


def _verdict(check: dict) -> list:
    figures = [_shown(check[part]) for part in ("measured", "limit", "margin")]
    return [check["id"], check["title"], check["verdict"]] + figures


def _shown(held: dict | None) -> str:
    return (held["text"] + " " + held["unit"]).strip(" ") if held else ""


def seals_in(texts: list) -> list:
    """The version 2 seals among entry texts that are well made, for whoever checks the device keys' signatures. Other texts are passed over."""
    found = []
    for text in texts:
        entry = seal_form.entry_of(text)
        if entry and seal_form.is_seal(entry):
            body = entry["body"]
            found.append(
                {
                    "id": entry["id"],
                    "book": entry["book"],
                    "link": body["link"],
                    "text": body["signed"],
                    "key": body["key"],
                    "signature": body["signature"],
                    "thumbprint": seal_form.thumbprint(body["key"]),
                }
            )
    return found

