"""Drawings as the page takes them: words that can't be drawn inside an SVG are taken out, to be set as text over it.

For what the main face lacks a drawing takes any other face, in an order of its own, and it can't say which characters joined letters (Arabic),
marks and emoji sequences come from, which PDF/A asks for. Running text does both right.
"""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from typing import Any

from app.record import faces, fitting

_SPACE = "{http://www.w3.org/2000/svg}"
ElementTree.register_namespace("", _SPACE.strip("{}"))


def width_mm(svg: str) -> float:
    """The width a drawing says it has, so that it is placed at its own scale."""
    return float(ElementTree.fromstring(svg).attrib["width"].removesuffix("mm"))


def parted(svg: str) -> dict[str, Any]:
    """A drawing -> {"text": the SVG without the words that can't stand in it, "words": those, "width": mm, "height": mm}.

    A word list's item: {"x", "y", "size" in mm, "anchor", "weight", "turn" in degrees, "fill", "text"}.
    """
    root = ElementTree.fromstring(svg)
    size = {name: float(root.attrib[name].removesuffix("mm")) for name in ("width", "height")}
    if _can_be_drawn(svg):
        return {"text": svg, "words": [], **size}
    words = [_taken(root, element) for element in list(root.iter(_SPACE + "text")) if not _can_be_drawn(element.text or "")]
    kept = fitting.in_drawing(ElementTree.tostring(root, encoding="unicode"))
    return {"text": kept, "words": [word for word in words if word], **size}


def _taken(root: ElementTree.Element, element: ElementTree.Element) -> dict[str, Any] | None:
    """The words of a text element, which is empty from now on; None for the white edge behind words, which is drawn with them."""
    text, element.text = element.text or "", ""
    if element.get("aria-hidden"):
        return None
    turn = (element.get("transform") or "rotate(0").removeprefix("rotate(").split(" ")[0]
    numbers = {name: float(element.attrib[name]) for name in ("x", "y")}
    return {
        **numbers,
        "size": float(element.attrib["font-size"]),
        "anchor": element.get("text-anchor", "start"),
        "weight": int(element.get("font-weight", "400")),
        "turn": float(turn),
        "fill": element.get("fill", "#000000"),
        "text": text,
    }


def _can_be_drawn(text: str) -> bool:
    """Are all its characters in the main face, and none a mark that the drawing would lose?"""
    return text.isascii() or (
        all(ord(character) in faces.in_main_face() for character in text) and fitting.in_drawing(text) == text
    )
