"""The record model as the template takes it: column widths, breakable words, drawings with their size, photos with their file."""

from __future__ import annotations

from typing import Any

from app.record import columns, drawings
from app.record.fitting import breakable, breakable_in_rows


def arrange(record: dict[str, Any], pictures: dict[str, dict[str, Any]], paper: str, lang: str) -> dict[str, Any]:
    """A record model -> what record.typ reads. pictures: SHA-256 -> {"file" or None, "note", "wide"}."""
    return {
        "title": record["title"],
        "kind": record["kind"],
        "name": breakable(record["name"]),
        "paper": paper,
        "lang": lang,
        "made_at": record["made_at"],
        "footer": [breakable(text) for text in record["footer"]],
        "identity": [[label, breakable(text)] for label, text in record["identity"]],
        "sections": [_section(section, pictures) for section in record["sections"]],
    }


def _section(section: dict[str, Any], pictures: dict[str, dict[str, Any]]) -> dict[str, Any]:
    blocks = [_block(block, pictures) for block in section["blocks"]]
    _align_tables([block for block in blocks if block["form"] == "table"])
    return {"id": section["id"], "title": breakable(section["title"]), "blocks": blocks}


def _align_tables(tables: list[dict[str, Any]]) -> None:
    """Tables of one section that have the same columns but for the first head get the same widths, so that their numbers stand in line."""
    for table in tables:
        alike = [other for other in tables if other["head"][1:] == table["head"][1:]]
        if len(alike) > 1:
            heads, rows = [other["head"] for other in alike], [row for other in alike for row in other["rows"]]
            table["widths"] = columns.widths_mm(heads, rows)


def _block(block: dict[str, Any], pictures: dict[str, dict[str, Any]]) -> dict[str, Any]:
    form = block["form"]
    if form == "rows":
        return {"form": form, "rows": [[breakable(label), breakable_in_rows(text)] for label, text in block["rows"]]}
    if form == "table":
        rows = [[breakable(text) for text in row] for row in block["rows"]]
        return {
            "form": form,
            "head": block["head"],
            "align": block["align"],
            "rows": rows,
            "widths": columns.widths_mm([block["head"]], rows),
        }
    if form == "svg":
        return {"form": form, "alt": block["alt"], **drawings.parted(block["text"])}
    if form == "photos":
        items = [
            {"caption": breakable(item["caption"]), "sha256": item["sha256"], **pictures[item["sha256"]]}
            for item in block["items"]
        ]
        return {"form": form, "items": items}
    if form == "signatures":
        return {
            "form": form,
            "items": [{**item, "name": breakable(item["name"]), "role": breakable(item["role"])} for item in block["items"]],
        }
    # A command is copied, so that nothing may stand in it that it doesn't hold.
    return {"form": form, "lines": block["lines"] if form == "code" else [breakable(line) for line in block["lines"]]}
