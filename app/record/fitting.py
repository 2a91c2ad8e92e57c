"""Text that the page's fonts can show: what no font has is written out by its code point, since PDF/A forbids empty boxes."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import typst

from app.paths import NODE_MODULES

_FACES = ("400Regular", "600SemiBold", "700Bold")
# What the main face lacks, in this order; the same list stands in record.typ. Chinese, Japanese and Korean faces weigh ten megabytes each.
_MORE_FACES = (
    ("noto-sans-hebrew", ("400Regular", "700Bold")),
    ("noto-sans-arabic", ("400Regular", "700Bold")),
    ("noto-emoji", ("400Regular", "700Bold")),
)
_LONGEST_WORD = 22
_PROBE = """#set document(title: "probe")
#set text(font: if sys.inputs.fallback == "yes" { FAMILIES } else { "Source Sans 3" }, fallback: sys.inputs.fallback == "yes", lang: "en")
#("a" + sys.inputs.character + "a")
#image(bytes(sys.inputs.drawing), format: "svg", alt: "probe")"""


FAMILIES = ("Source Sans 3", "Noto Sans Hebrew", "Noto Sans Arabic", "Noto Emoji")


def font_folder(name: str = "source-sans-3") -> Path:
    """Where the faces of a family are. Errors: FileNotFoundError when the installation has not fetched them."""
    folder = NODE_MODULES / "@expo-google-fonts" / name
    if not folder.is_dir():
        raise FileNotFoundError("The record's font is missing. Install Spanbook again: pip install -e .")
    return folder


@cache
def fonts() -> typst.Fonts:
    """The record's face in three weights, and Typst's own faces as fallback; never the machine's, so that pages are the same everywhere."""
    paths = [font_folder() / face for face in _FACES] + [font_folder(name) / face for name, faces in _MORE_FACES for face in faces]
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(path) for path in paths])


@cache
def _shows(character: str, fallback: bool) -> bool:
    """Ask Typst itself, once a character, whether it can set it."""
    words = "".join(["a", character, "a"])
    drawing = f'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" font-family="\'Source Sans 3\'"><text y="9">{words}</text></svg>'
    inputs = {"character": character, "drawing": drawing, "fallback": "yes" if fallback else "no"}
    try:
        typst.compile(
            _PROBE.replace("FAMILIES", str(FAMILIES).replace("'", '"')).encode(),
            font_paths=fonts(),
            ignore_system_fonts=True,
            sys_inputs=inputs,
            pdf_standards=["a-2a", "ua-1"],
            format="pdf",
        )
    except typst.TypstError:
        return False
    return True


def fits_with_fallback(character: str) -> bool:
    """Can any of the record's fonts show it?"""
    return character.isascii() or _shows(character, True)


def fits_main_face(character: str) -> bool:
    """Can the record's main face show it?"""
    return character.isascii() or _shows(character, False)


def fits_anywhere(character: str) -> bool:
    """Is it a plain character that no font lacks?"""
    return character.isascii()


def fit(value: Any, fits: Callable[[str], bool]) -> Any:
    """The whole model with every character that `fits` refuses written as [U+1F600], and places to break in very long words."""
    if isinstance(value, str):
        return "".join(character if fits(character) else f"[U+{ord(character):04X}]" for character in value)
    if isinstance(value, list):
        return [fit(item, fits) for item in value]
    if isinstance(value, dict):
        return {key: fit(item, fits) for key, item in value.items()}
    return value


def breakable(text: str) -> str:
    """Text with a zero-width space in every word longer than a column, so that it wraps instead of running off the page."""
    return " ".join(_broken(word) for word in text.split(" "))


def _broken(word: str) -> str:
    if len(word) <= _LONGEST_WORD:
        return word
    return "\u200b".join(word[start : start + 12] for start in range(0, len(word), 12))
