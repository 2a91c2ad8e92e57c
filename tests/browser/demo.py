"""The demo book's names and ids, as its file gives them."""

from __future__ import annotations

import json

from app import paths

HELD = json.loads((paths.SEED_DATA / "vineyard" / "book.json").read_text(encoding="utf-8"))
BOOK: str = HELD["book"]
_ENTRIES = [json.loads(text) for text in HELD["entries"]]
LINKS: dict[str, str] = {
    entry["body"]["name"]: entry["body"]["subject"] for entry in _ENTRIES if entry["kind"] == "link" and "name" in entry["body"]
}
FIBRE, BEGUN = LINKS["Office to press house"], LINKS["Office to cellar, fibre"]
EXTENDED, COPPER = LINKS["Office to cellar, gate camera"], LINKS["Press house to cellar"]


def link_path(link: str, screen: str = "") -> str:
    """The address after # of a link's strip map, or of one of its screens."""
    return f"/book/{BOOK}/link/{link}" + (f"/{screen}" if screen else "")


def first(kind: str, link: str = "") -> str:
    """The subject of the first thing of a kind (on a link)."""
    return next(entry["body"]["subject"] for entry in _ENTRIES if entry["kind"] == kind and link in ("", entry["body"].get("link")))
