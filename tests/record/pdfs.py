"""Reading a record's PDF back, by libraries that know nothing of how it was made."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

import pikepdf
import pypdfium2
from PIL import Image


def opened(pdf: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(pdf))


def no_photo(_: str) -> bytes | None:
    return None


def picture(width: int = 640, height: int = 480, kind: str = "JPEG", **more: Any) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (width, height), (90, 120, 90)).save(out, kind, **more)
    return out.getvalue()


def squeezed(text: str) -> str:
    """Text without blanks, breaks and break marks: a column may wrap a cell anywhere."""
    return "".join(text.replace("\u200b", "").replace("\u00ad", "").replace("\ufffe", "").split())


def text_of(pdf: bytes, first_page: int = 0) -> str:
    """All text from a page on, in the order in which the pages draw it."""
    pages = list(pypdfium2.PdfDocument(pdf))[first_page:]
    return squeezed("\n".join(page.get_textpage().get_text_bounded() for page in pages))


def boxes_of(pdf: bytes, letter: str) -> list[tuple[float, float]]:
    """(left, right) of every such letter, in points from the left edge of its page."""
    found = []
    for page in pypdfium2.PdfDocument(pdf):
        held = page.get_textpage()
        for place, character in enumerate(held.get_text_range()):
            if character == letter:
                left, _, right, _ = held.get_charbox(place)
                found.append((left, right))
    return found


def dictionaries(pdf: pikepdf.Pdf) -> Iterator[Any]:
    """Every dictionary of the file, those of streams too."""
    return (one for one in pdf.objects if isinstance(one, (pikepdf.Dictionary, pikepdf.Stream)))


def elements(pdf: pikepdf.Pdf) -> Iterator[Any]:
    """Every element of the tag tree, in reading order."""
    yield from below(pdf.Root.StructTreeRoot)


def below(node: Any) -> Iterator[Any]:
    """The elements below a node of the tag tree, in reading order."""
    if isinstance(node, pikepdf.Array):
        for kid in node:
            yield from below(kid)
    elif isinstance(node, pikepdf.Dictionary):
        if "/S" in node:
            yield node
        if "/K" in node:
            yield from below(node.K)


def bookmarks(items: Any) -> list[Any]:
    """Every item of an outline, each before those below it."""
    return [found for item in items for found in [item, *bookmarks(item.children)]]


def tagged(pdf: pikepdf.Pdf, kind: str) -> list[Any]:
    return [element for element in elements(pdf) if "/" + kind == element.S]


def fonts(pdf: pikepdf.Pdf) -> dict[str, Any]:
    """{name: font descriptor} of every font of every page and of what is drawn on them."""
    found: dict[str, Any] = {}
    for one in pdf.objects:
        if isinstance(one, pikepdf.Dictionary) and one.get("/Type") == "/Font" and "/FontDescriptor" in one:
            found[str(one.FontDescriptor.FontName)] = one.FontDescriptor
    return found


def all_texts(model: dict[str, Any]) -> list[str]:
    """Every text of a record model in the order in which it has to be read."""
    verdict, *others = model["sections"]
    found = [model["kind"], model["name"], *texts_of(verdict), *(text for pair in model["identity"] for text in pair)]
    return found + [text for section in others for text in texts_of(section)]


def texts_of(section: dict[str, Any]) -> list[str]:
    """Every text of a section, row by row."""
    return [section["title"], *(text for block in section["blocks"] for text in _block(block))]


def _block(block: dict[str, Any]) -> list[str]:
    if block["form"] in ("rows", "table"):
        return [*block.get("head", []), *(text for row in block["rows"] for text in row)]
    if block["form"] == "photos":
        return [item["caption"] for item in block["items"]]
    if block["form"] == "signatures":
        return [item[name] for item in block["items"] for name in ("name", "role", "at")]
    return list(block.get("lines", []))
