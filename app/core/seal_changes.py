"""What changed on a link since its last seal, in short sentences that stand in the next one."""

from . import limits, sign_off_items, views
from .acceptance import GROUP_WORDS
from .checks.base import VERDICT_WORDS
from .record_words import Names, reading_title, reading_value
from .seal_change_things import thing_words
from .sealing import limit_files, parts_of, seals_in_order

_MOST_OF_A_KIND = 12
_LONGEST_QUOTE = 120


def since_last(book: object, link_id: str) -> list:
    """Sentences on what differs from the newest seal: entries, verdicts, limit sets. [] when there is no seal before.

    More than a dozen of one kind are counted: "And 14 more readings."
    """
    seals = seals_in_order(book, link_id)
    if not seals:
        return []
    said, view = parts_of(book, seals[-1]), views.link_view(book, link_id)["seals"][-1]
    checks = views.judged_link(book, link_id)["checks"]
    found = entry_words(book, link_id, view["after"])
    for what, ids in (("was signed and is not here", view["missing"]), ("is not the one that was signed", view["differs"])):
        found += folded(["Entry " + entry_id + " " + what + "." for entry_id in ids], "entry", "entries")
    found += verdict_words(said["verdicts"], checks)
    return found + (limit_words(said["limits"], limit_files(checks)) if said["v"] == 2 else [])


def folded(sentences: list, one: str, more: str) -> list:
    """The first dozen, then how many more there are of what."""
    rest = len(sentences) - _MOST_OF_A_KIND
    if rest <= 0:
        return sentences
    return sentences[:_MOST_OF_A_KIND] + ["And " + str(rest) + " more " + (one if rest == 1 else more) + "."]


def entry_words(book: object, link_id: str, ids: list) -> list:
    """What these entries of a link changed: a sentence for each thing and each event, in time order."""
    link, wanted = views.link_view(book, link_id), set(ids)
    names = Names(views.site_view(book), link)
    found = folded(thing_words(book, names, wanted), "change", "changes")
    for kind, words, one, more in _EVENTS:
        own = [entry for entry in book.events.get(kind, []) if entry["id"] in wanted]
        found += folded([words(book, link_id, entry, names) for entry in own], one, more)
    return found


def _reading(book: object, link_id: str, entry: dict, names: Names) -> str:
    return "Reading added: " + _read(entry, names) + "."


def _read(entry: dict, names: Names) -> str:
    shown = {"body": entry["body"], "text": views.reading_text(entry["body"])}
    return reading_title(entry["body"], names) + ": " + reading_value(shown)


def _void(book: object, link_id: str, entry: dict, names: Names) -> str:
    voided = book.entries.get(entry["body"]["reading"])
    title = _read(voided, names) if voided and voided["kind"] == "reading" else "one that is not here"
    return "Reading voided: " + title + ", since: " + quoted(entry["body"]["reason"])


def _photo(book: object, link_id: str, entry: dict, names: Names) -> str:
    return "Photo added" + _of(entry, names) + (": " + quoted(entry["body"]["caption"]) if entry["body"].get("caption") else ".")


def _note(book: object, link_id: str, entry: dict, names: Names) -> str:
    return "Note added" + _of(entry, names) + ": " + quoted(entry["body"]["text"])


def _of(entry: dict, names: Names) -> str:
    return ", " + names.of(entry["body"]["of"]) if entry["body"].get("of") else ""


def _deviation(book: object, link_id: str, entry: dict, names: Names) -> str:
    body = entry["body"]
    return "Deviation accepted by " + body["name"] + ", " + _about(book, link_id, body["check"]) + ": " + quoted(body["reason"])


def _about(book: object, link_id: str, check_id: str) -> str:
    """The title of a check or of an item of the sign-off list; the group and id of a check that is no more."""
    titles = {check["id"]: check["title"] for check in views.judged_link(book, link_id)["checks"]}
    return titles.get(check_id) or sign_off_items.title_of(check_id) or GROUP_WORDS.get(check_id) or check_id


_EVENTS = (
    ("reading", _reading, "reading", "readings"),
    ("void", _void, "voided reading", "voided readings"),
    ("photo", _photo, "photo", "photos"),
    ("note", _note, "note", "notes"),
    ("deviation", _deviation, "deviation", "deviations"),
)


def quoted(text: object) -> str:
    """What somebody typed, on one line, cut where it is long, ended by a full stop."""
    text = " ".join([piece for piece in str(text).replace("\r", "\n").replace("\t", " ").replace("\n", " ").split(" ") if piece])
    if len(text) > _LONGEST_QUOTE:
        return text[:_LONGEST_QUOTE].rstrip(" ") + "..."
    return text if text[-1:] in (".", "!", "?") else text + "."


def verdict_words(before: list, checks: list) -> list:
    """'Loss, strand 2: not measured is now passes.' for each verdict that differs from the one signed; checks that are new or gone too."""
    held = {row["check"]: row for row in before}
    changed, added = [], []
    for check in checks:
        row = held.pop(check["id"], None)
        if row is None:
            added.append("New check, " + check["title"] + ": " + _word(check["verdict"]) + ".")
        elif row["verdict"] != check["verdict"]:
            changed.append(check["title"] + ": " + _word(row["verdict"]) + " is now " + _word(check["verdict"]) + ".")
    gone = ["No longer checked: " + row["title"] + "." for row in before if row["check"] in held]
    found = folded(changed, "verdict that changed", "verdicts that changed") + folded(added, "new check", "new checks")
    return found + folded(gone, "check that is gone", "checks that are gone")


def _word(verdict: str) -> str:
    return VERDICT_WORDS.get(verdict, verdict).lower()


def limit_words(before: list, now: list) -> list:
    """before: [[id, SHA-256]] as signed; now: ids of the limit sets that the checks name."""
    held = {row[0]: row[1] for row in before}
    found = []
    for file_id in now:
        signed = held.pop(file_id, None)
        if signed is None:
            found.append("Now also judged by: " + _title(file_id) + ".")
        elif signed != limits.sha256(file_id):
            found.append("The limit set " + _title(file_id) + " is not the one that was signed with before.")
    return found + ["No longer judged by: " + _title(row[0]) + "." for row in before if row[0] in held]


def _title(file_id: str) -> str:
    return limits.document(file_id)["title"] if file_id in limits.file_ids() else file_id
