"""What no seal covers, in sentences that count: what came after signing, other links, the site, kinds that are not known."""

from . import kinds
from .verification_words import entry_words

_MOST_NAMED = 6
_REASONS = (
    ("after", "came after signing"),
    ("other", "of other links, or of a link that nobody has signed"),
    ("site", "of the site that belong to no signed link, such as its own photos and notes"),
    ("unknown", "of a kind or version that this program does not know, not looked at"),
)


def sentences(entries: list, seals: list) -> list:
    """entries: all that were read; seals: each with `link` and `covered`. A sentence for each reason, with what the first few are."""
    covered, links = set(), set()
    for seal in seals:
        covered.update(seal["covered"])
        links.add(seal["link"])
    subjects = {str(entry["body"].get("subject")) for entry in entries if entry["id"] in covered}
    groups = {reason: [] for reason, _ in _REASONS}
    for entry in entries:
        if entry["id"] not in covered and not _is_a_seal(entry):
            groups[_reason(entry, links, subjects)].append(entry)
    return [_sentence(groups[reason], words) for reason, words in _REASONS if groups[reason]]


def _is_a_seal(entry: dict) -> bool:
    return entry["kind"] == "seal" or "signed" in entry["body"] or "covers" in entry["body"]


def _reason(entry: dict, links: set, subjects: set) -> str:
    kind, body = entry["kind"], entry["body"]
    if kind not in kinds.THING_NAMES + kinds.EVENT_NAMES or entry["v"] > kinds.newest_version(kind):
        return "unknown"
    if [str(body[name]) for name in ("link", "subject") if body.get(name) and str(body[name]) in links]:
        return "after"
    if body.get("subject") and str(body["subject"]) in subjects:
        return "after"
    return "other" if body.get("link") or kind == "link" else "site"


def _sentence(entries: list, words: str) -> str:
    count = str(len(entries)) + (" entry " if len(entries) == 1 else " entries ")
    if words.startswith("came"):
        words = "that " + words
    elif len(entries) == 1:
        words = words.replace("that belong to", "that belongs to")
    more = "; and " + str(len(entries) - _MOST_NAMED) + " more" if len(entries) > _MOST_NAMED else ""
    return count + words + ": " + "; ".join([entry_words(entry) for entry in entries[:_MOST_NAMED]]) + more + "."
