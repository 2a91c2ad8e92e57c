"""Labels to print: core draws each; here the code is made, and Typst sets labels on sheets or each on a page of its own size."""

from __future__ import annotations

import io
import json
import re
import tempfile
import zipfile
from pathlib import Path
from typing import Any

import segno
import typst

from app import engine
from app.record import faces, fitting

TEMPLATE = Path(__file__).with_name("labels.typ")
# What a QR holds in its compact form: nothing else may stand in an address on a label.
_ADDRESS = re.compile(r"HTTPS?://[A-Z0-9.\-:]{1,200}")
_ZIP_TIME = (1980, 1, 1, 0, 0, 0)


class LabelRefused(ValueError):
    """A label that can't be made; the message says why and what to do."""


def address(base: str, link_code: str) -> str:
    """What the code on a label says: `base` is the server's public address (https://name), without path. LabelRefused for any other form."""
    shown = base.strip().rstrip("/").upper()
    if not _ADDRESS.fullmatch(shown):
        raise LabelRefused(
            f"'{base[:80]}' is no address that a label can carry. Type it like https://book.example.org, "
            "with plain letters, digits, hyphens and points and nothing after the name but a port."
        )
    return f"{shown}/L/{link_code}"


def matrix(text: str) -> list[str]:
    """A QR of error level M or better, as rows of 0 and 1 without its quiet zone."""
    return ["".join("1" if module else "0" for module in row) for row in segno.make_qr(text, error="m").matrix]


def draw(texts: list[str], rows: list[str] | None, stock: str, around: dict[str, str] | None = None) -> dict[str, Any]:
    """One label as core draws it, its text written with what the printed face can show."""
    fitted: list[str] = [fitting.in_drawing(text) for text in texts]
    drawn: dict[str, Any] = engine.call("label", texts=fitted, matrix=rows, stock=stock, around=around)
    return {**drawn, "alt": fitted[0]}


def pdf(labels: list[dict[str, Any]], stock: str, start: int = 1, title: str = "Labels") -> bytes:
    """Labels (as `draw` gives them) as PDF: on sheets from the first free label on, or each on a page of its own size. Same input, same bytes."""
    held = next(one for one in engine.call("label_stocks") if one["id"] == stock)
    places = engine.call("label_places", stock=stock, start=start, count=len(labels))
    pages: dict[int, list[dict[str, Any]]] = {}
    for label, (page, x, y) in zip(labels, places, strict=True):
        pages.setdefault(page, []).append({**label, "x": x, "y": y})
    model = {"title": title, "pages": [{"paper": held.get("paper"), "labels": pages[page]} for page in sorted(pages)]}
    with tempfile.TemporaryDirectory(prefix="spanbook-labels-") as name:
        folder = Path(name)
        (folder / "labels.typ").write_bytes(TEMPLATE.read_bytes())
        (folder / "model.json").write_text(json.dumps(model, ensure_ascii=False), encoding="utf-8")
        made: bytes = typst.compile(
            str(folder / "labels.typ"),
            root=str(folder),
            font_paths=faces.fonts(),
            ignore_system_fonts=True,
            format="pdf",
            timestamp=0,
        )
    return made


def svg_zip(labels: list[tuple[str, dict[str, Any]]]) -> bytes:
    """(identifier, label) pairs as a zip of SVG files, named by number and identifier. Same input, same bytes."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as folder:
        for number, (identifier, label) in enumerate(labels, 1):
            info = zipfile.ZipInfo(f"{number:03d}-{plain(identifier) or 'label'}.svg", _ZIP_TIME)
            info.compress_type = zipfile.ZIP_DEFLATED
            folder.writestr(info, label["svg"])
    return held.getvalue()


def plain(text: str) -> str:
    """Text as a part of a file's name."""
    return re.sub(r"[^A-Za-z0-9]+", "-", text).strip("-")[:60]
