"""The record model as the template takes it: column widths, breakable words, drawings with their size, photos with their file."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from typing import Any

from app.record.fitting import breakable

_FIXED = 12  # characters up to which a column is as wide as what stands in it


def arrange(record: dict[str, Any], pictures: dict[str, dict[str, Any]], paper: str, lang: str) -> dict[str, Any]:
    """A record model -> what record.typ reads. pictures: SHA-256 -> {"file" or None, "note", "wide"}."""
    return {
        "title": record["title"],
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
            longest = _longest([line for other in alike for line in [other["head"], *other["rows"]]])
            most = [56] + [22 if side == "r" else 30 for side in table["align"][1:]]
            table["widths"] = [min(max(length, 16), cap) for length, cap in zip(longest, most, strict=True)]


def _longest(rows: list[list[str]]) -> list[int]:
    """The longest line of each column, in characters."""
    return [max(len(line) for row in rows for line in row[column].split("\n")) for column in range(len(rows[0]))]


def _block(block: dict[str, Any], pictures: dict[str, dict[str, Any]]) -> dict[str, Any]:
    form = block["form"]
    if form == "rows":
        return {"form": form, "rows": [[breakable(label), breakable(text)] for label, text in block["rows"]]}
    if form == "table":
        rows = [[breakable(text) for text in row] for row in block["rows"]]
        return {
            "form": form,
            "head": block["head"],
            "align": block["align"],
            "rows": rows,
            "widths": widths(block["head"], block["rows"]),
        }
    if form == "svg":
        return {"form": form, "text": block["text"], "alt": block["alt"], "width": svg_width_mm(block["text"])}
    if form == "photos":
        items = [
            {"caption": breakable(item["caption"]), "sha256": item["sha256"], **pictures[item["sha256"]]}
            for item in block["items"]
        ]
        return {"form": form, "items": items}
    if form == "signatures":
        return {"form": form, "items": [{**item, "width": svg_width_mm(item["svg"])} for item in block["items"]]}
    return {"form": form, "lines": [breakable(line) for line in block["lines"]]}


def widths(head: list[str], rows: list[list[str]]) -> list[int]:
    """For each column: 0 when it is as wide as what stands in it, else its share of the rest. One column always takes the rest."""
    longest = _longest([head, *rows])
    shares = [0 if length <= _FIXED else min(max(length, 16), 60) for length in longest]
    if not any(shares):
        shares[longest.index(max(longest))] = 1
    return shares


def svg_width_mm(svg: str) -> float:
    """The width a drawing says it has, so that it is placed at its own scale."""
    return float(ElementTree.fromstring(svg).attrib["width"].removesuffix("mm"))
