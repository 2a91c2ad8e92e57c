"""The typefaces of printed pages: which there are, in which order one stands in for another, and which characters they hold."""

from __future__ import annotations

import struct
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import typst

from app.paths import NODE_MODULES


@dataclass(frozen=True)
class Family:
    """A family of faces: its name, its folder below the installed parts, the weights that are used."""

    name: str
    folder: str
    weights: tuple[str, ...]


# What one lacks the next may have; the same list stands in record.typ. Chinese, Japanese and Korean faces weigh ten megabytes each.
FAMILIES = (
    Family("Source Sans 3", "source-sans-3", ("400Regular", "600SemiBold", "700Bold")),
    Family("Noto Sans Hebrew", "noto-sans-hebrew", ("400Regular", "700Bold")),
    Family("Noto Sans Arabic", "noto-sans-arabic", ("400Regular", "700Bold")),
    Family("Noto Emoji", "noto-emoji", ("400Regular", "700Bold")),
)


def font_folder(name: str = FAMILIES[0].folder) -> Path:
    """Where the faces of a family are. Errors: FileNotFoundError when the installation has not fetched them."""
    folder = NODE_MODULES / "@expo-google-fonts" / name
    if not folder.is_dir():
        raise FileNotFoundError("The record's font is missing. Install Spanbook again: pip install -e .")
    return folder


@cache
def fonts() -> typst.Fonts:
    """The faces, read once, with Typst's own for commands; never the machine's, so that pages are the same everywhere."""
    paths = [str(font_folder(family.folder) / weight) for family in FAMILIES for weight in family.weights]
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=paths)


@cache
def covered() -> frozenset[int]:
    """The code points that any of the families holds."""
    return frozenset().union(*(_held(family) for family in FAMILIES))


@cache
def in_main_face() -> frozenset[int]:
    """The code points that the first family holds."""
    return _held(FAMILIES[0])


@cache
def _held(family: Family) -> frozenset[int]:
    files = sorted((font_folder(family.folder) / "400Regular").glob("*.ttf"))
    return frozenset().union(*(code_points(file.read_bytes()) for file in files))


def code_points(font: bytes) -> set[int]:
    """The code points of a TrueType font that have a glyph, by its character map (ISO/IEC 14496-22, table cmap, formats 4 and 12)."""
    start = _table(font, b"cmap")
    found: set[int] = set()
    for record in range(struct.unpack_from(">H", font, start + 2)[0]):
        at = start + struct.unpack_from(">I", font, start + 4 + 8 * record + 4)[0]
        form = struct.unpack_from(">H", font, at)[0]
        found |= _segments(font, at) if form == 4 else _groups(font, at) if form == 12 else set()
    return found


def _table(font: bytes, tag: bytes) -> int:
    for record in range(struct.unpack_from(">H", font, 4)[0]):
        name, _, offset, _ = struct.unpack_from(">4sIII", font, 12 + 16 * record)
        if name == tag:
            return int(offset)
    raise ValueError(f"This font has no table {tag.decode()}.")


def _segments(font: bytes, at: int) -> set[int]:
    """Format 4: segments of the first 65,536 code points. A segment's glyphs are its code points plus a delta, or stand in a list."""
    count = struct.unpack_from(">H", font, at + 6)[0] // 2
    ends = struct.unpack_from(f">{count}H", font, at + 14)
    starts = struct.unpack_from(f">{count}H", font, at + 16 + 2 * count)
    deltas = struct.unpack_from(f">{count}H", font, at + 16 + 4 * count)
    offsets = struct.unpack_from(f">{count}H", font, at + 16 + 6 * count)
    found: set[int] = set()
    for place in range(count):
        for code in range(starts[place], min(ends[place], 0xFFFE) + 1):
            if offsets[place]:
                here = at + 16 + 6 * count + 2 * place + offsets[place] + 2 * (code - starts[place])
                glyph = struct.unpack_from(">H", font, here)[0]
            else:
                glyph = (code + deltas[place]) & 0xFFFF
            if glyph:
                found.add(code)
    return found


def _groups(font: bytes, at: int) -> set[int]:
    """Format 12: groups of code points from first to last, with the glyph of the first."""
    found: set[int] = set()
    for place in range(struct.unpack_from(">I", font, at + 12)[0]):
        first, last, glyph = struct.unpack_from(">III", font, at + 16 + 12 * place)
        found.update(range(first if glyph else first + 1, last + 1))
    return found
