"""Entries to state: the fold. The same state from any order of arrival and any repetition.

A thing (site, link, station ...) is a set of fields. Each entry of the thing sets some of them and names in `replaces` the entries it saw.
A field's value is what the last entries that set it say; two that did not see each other both stand, until an entry that saw both settles it.
"""

from . import entries, kinds, moments
from .ordering import in_order
from .textform import dumps


class Book:
    """All entries of one book and what they add up to. `take` new texts, then read `things`, `events`, `unknown`."""

    def __init__(self, book: str):
        self.book = book
        self.entries = {}  # id -> entry with "text" and "ms"
        self.things = {}  # kind -> {subject: thing}
        self.events = {}  # kind -> [entries in time order]
        self.unknown = []  # entries of a kind or version that this core doesn't know
        self.changed = 0  # grows with each take that brought something new
        self.kept = {}  # what views computed, until the next change

    def take(self, texts: list) -> int:
        """Add entries by their texts; what is there already does no harm. Gives how many were new. A malformed one is refused before any is added."""
        fresh = []
        for text in texts:
            entry = entries.read_kept(text)
            if entry["book"] == self.book and entry["id"] not in self.entries:
                entry["text"] = text
                entry["ms"] = moments.milliseconds(entry["at"])
                fresh.append(entry)
        for entry in fresh:
            self.entries[entry["id"]] = entry
        if fresh:
            self._fold()
        return len(fresh)

    def _fold(self) -> None:
        by_subject = {kind: {} for kind in kinds.THING_NAMES}
        self.events = {kind: [] for kind in kinds.EVENT_NAMES}
        self.unknown = []
        for entry in in_time_order(self.entries.values()):
            if not entries.is_known(entry):
                self.unknown.append(entry)
            elif entry["kind"] in by_subject:
                by_subject[entry["kind"]].setdefault(str(entry["body"].get("subject")), []).append(entry)
            else:
                self.events[entry["kind"]].append(entry)
        self.things = {}
        for kind in kinds.THING_NAMES:
            self.things[kind] = {subject: fold_thing(kind, subject, group) for subject, group in by_subject[kind].items()}
        self.changed += 1
        self.kept = {}

    def sha256(self, entry_id: str) -> str:
        """SHA-256 of an entry's text, worked out once."""
        entry = self.entries[entry_id]
        if "sha256" not in entry:
            entry["sha256"] = entries.sha256_hex(entry["text"])
        return entry["sha256"]


def in_time_order(group: object) -> list:
    """Entries sorted by device time, then by id, so that equal times never depend on arrival."""
    return in_order(group, _when)


def _when(entry: dict) -> tuple:
    return (entry["ms"], entry["id"])


def fold_thing(kind: str, subject: str, group: list) -> dict:
    """Entries of one subject, in time order -> the thing: {kind, subject, link, fields, heads, created, withdrawn}."""
    held = {entry["id"]: entry for entry in group}
    after = _live_settings(group, held)
    heads = _heads(group)
    settings = _merge([after[head] for head in heads], held)
    fields = {}
    for name in settings:
        shown = _shown(settings[name], name, held)
        if shown is not None:
            fields[name] = shown
    withdrawn = fields.pop("withdrawn", None)
    first = group[0]
    return {
        "kind": kind,
        "subject": subject,
        "link": first["body"].get("link"),
        "side": first["body"].get("side") if kind == "end" else None,
        "fields": fields,
        "heads": sorted(heads),
        "created": {"at": first["at"], "by": first["by"], "id": first["id"]},
        "withdrawn": withdrawn["value"] if withdrawn else None,
        "entries": [entry["id"] for entry in group],
    }


def _live_settings(group: list, held: dict) -> dict:
    """For each entry: which entries' settings stand for each field right after it. Parents are taken before children."""
    after = {}
    waiting = list(group)
    while waiting:
        later = []
        for entry in waiting:
            parents = [parent for parent in entry["replaces"] if parent in held]
            if all([parent in after for parent in parents]):
                settings = _merge([after[parent] for parent in parents], held)
                for name in entry["body"]:
                    if name not in ("subject", "link"):
                        settings[name] = [entry["id"]]
                after[entry["id"]] = settings
            else:
                later.append(entry)
        if len(later) == len(waiting):  # a ring of replacements, which no phone makes: each then stands alone
            for entry in later:
                after[entry["id"]] = {name: [entry["id"]] for name in entry["body"] if name not in ("subject", "link")}
            later = []
        waiting = later
    return after


def _heads(group: list) -> list:
    replaced = set()
    for entry in group:
        for parent in entry["replaces"]:
            replaced.add(parent)
    heads = [entry["id"] for entry in group if entry["id"] not in replaced]
    return heads or [group[-1]["id"]]


def _merge(settings: list, held: dict) -> dict:
    """Join what stands on several lines of history: per field the setters that no other of them has seen."""
    if len(settings) == 1:
        return dict(settings[0])
    merged = {}
    for one in settings:
        for name in one:
            there = merged.get(name, [])
            merged[name] = there + [setter for setter in one[name] if setter not in there]
    for name in merged:
        if len(merged[name]) > 1:
            merged[name] = _unseen(merged[name], held)
    return merged


def _unseen(setters: list, held: dict) -> list:
    """Drop each setter that another of them has among its ancestors."""
    seen = set()
    for setter in setters:
        walk = list(held[setter]["replaces"])
        visited = set()
        while walk:
            parent = walk.pop()
            if parent in visited or parent not in held or parent == setter:
                continue
            visited.add(parent)
            walk.extend(held[parent]["replaces"])
        seen = seen | visited
    return [setter for setter in setters if setter not in seen] or setters


def _shown(setters: list, name: str, held: dict) -> dict | None:
    """A field as views show it: the newest setting, and beside it those that are not settled yet. None when it is cleared."""
    candidates = in_time_order([held[setter] for setter in setters])
    newest = candidates[-1]
    value = newest["body"][name]
    also = []
    texts = {dumps(value)}
    for entry in candidates[:-1]:
        other = entry["body"][name]
        if dumps(other) not in texts:
            texts.add(dumps(other))
            also.append({"value": other, "entry": entry["id"], "at": entry["at"], "by": entry["by"]})
    if value is None and not also:
        return None
    return {"value": value, "entry": newest["id"], "at": newest["at"], "by": newest["by"], "also": also}
