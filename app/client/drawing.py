"""Core's drawings inside the page, so that they use its typeface, print sharp and can be searched.

Core escapes every text in them. Still only listed elements and attributes are copied, none of which can run, load or point anywhere: a
drawing can do no more than a picture, whatever is typed into a field.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree

from markupsafe import Markup, escape

_SPACE = "{http://www.w3.org/2000/svg}"
_ELEMENTS = frozenset(
    ["svg", "g", "title", "desc", "path", "line", "rect", "circle", "ellipse", "polyline", "polygon", "text", "tspan"]
)
_PLACES = [
    "viewBox",
    "width",
    "height",
    "x",
    "y",
    "x1",
    "y1",
    "x2",
    "y2",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
    "d",
    "points",
    "transform",
]
_LOOKS = ["fill", "fill-opacity", "fill-rule", "opacity", "stroke", "stroke-width", "stroke-linecap", "stroke-linejoin"]
_MORE = ["stroke-dasharray", "stroke-opacity", "font-family", "font-size", "font-weight", "text-anchor", "dominant-baseline"]
_ATTRIBUTES = frozenset([*_PLACES, *_LOOKS, *_MORE, "aria-hidden"])
_NAMED_VALUES = re.compile(r"[^<>&\"\\]*")
_UNREADABLE = "This drawing can't be shown."


def inline(svg: str, words: str) -> Markup:
    """SVG text of core -> an element for the page, named `words` for who can't see it."""
    try:
        if "<!" in svg or "<?" in svg:
            raise ElementTree.ParseError
        root = ElementTree.fromstring(svg)
    except ElementTree.ParseError:
        return escape(_UNREADABLE)
    if root.tag != f"{_SPACE}svg":
        return escape(_UNREADABLE)
    return Markup(f'<svg role="img" aria-label="{escape(words)}"{_attributes(root)}>{_inside(root)}</svg>')


def _inside(element: ElementTree.Element) -> str:
    pieces = [str(escape(element.text or ""))]
    for child in element:
        name = child.tag.removeprefix(_SPACE) if isinstance(child.tag, str) else ""
        if name in _ELEMENTS and child.tag != name:
            pieces.append(f"<{name}{_attributes(child)}>{_inside(child)}</{name}>")
        pieces.append(str(escape(child.tail or "")))
    return "".join(pieces)


def _attributes(element: ElementTree.Element) -> str:
    held = [(name, value) for name, value in element.attrib.items() if name in _ATTRIBUTES and _is_plain(value)]
    return "".join(f' {name}="{escape(value)}"' for name, value in held)


def _is_plain(value: str) -> bool:
    """No address in it: url(...) could load something."""
    return bool(_NAMED_VALUES.fullmatch(value)) and "url" not in value.lower()
