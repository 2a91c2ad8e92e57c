"""Text that the page's faces can show: what no face has is written out by its code point, since PDF/A forbids empty boxes."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Callable, Iterable
from functools import cache, lru_cache
from typing import Any

import typst

from app.record import faces

_LONGEST_WORD = 22
_HASH = re.compile(r"[0-9a-f]{64}")
_WORD = re.compile(r"[^\s<>\"]+")
_PROBE = """#set document(title: "probe")
#set text(font: FAMILIES, fallback: false, lang: "en")
#json(bytes(sys.inputs.words)).join(parbreak())"""
# Marks join the character before them, and invisible signs join or part characters: whether a page can show them depends on their neighbours.
_JOINING = ("Mn", "Mc", "Me", "Cf")
_SKIN_TONES = range(0x1F3FB, 0x1F400)
_NO_BREAK_MARK = 0xFEFF


def fits(character: str) -> bool:
    """Has any of the faces this character, or is it an invisible sign that a page may hold?"""
    if character.isascii():
        return True
    return ord(character) in faces.covered() or (unicodedata.category(character) == "Cf" and ord(character) != _NO_BREAK_MARK)


def on_page(text: str) -> str:
    """Text as the page's running text can show it."""
    return _WORD.sub(lambda found: _word_on_page(found[0]), _unlined(text)) if not text.isascii() else text


def in_drawing(text: str) -> str:
    """Text, or a whole drawing, as its words can be drawn: without marks and invisible signs that no single character holds."""
    return _WORD.sub(lambda found: _plain_word(found[0]), _unlined(text)) if not text.isascii() else text


def in_ascii(text: str) -> str:
    """Text with every character but plain ones by its code point: what is left when all else was refused."""
    return "".join(character if character.isascii() else _code(character) for character in text)


def _unlined(text: str) -> str:
    return text.replace("\u2028", "\n").replace("\u2029", "\n")


@lru_cache(maxsize=20_000)
def _plain_word(word: str) -> str:
    if word.isascii():
        return word
    joined = unicodedata.normalize("NFC", word)
    return "".join(_shown(character) for character in joined if character == "\u200b" or not _joins(character))


@lru_cache(maxsize=20_000)
def _word_on_page(word: str) -> str:
    shown = "".join(_shown(character) for character in word)
    return shown if not any(map(_joins, shown)) or _is_set(shown) else _plain_word(word)


def _joins(character: str) -> bool:
    return (
        not character.isascii()
        and (unicodedata.category(character) in _JOINING or ord(character) in _SKIN_TONES)
        and character != "\u200b"
    )


def _shown(character: str) -> str:
    return character if fits(character) else _code(character)


def _code(character: str) -> str:
    return f"[U+{ord(character):04X}]"


@lru_cache(maxsize=20_000)
def _is_set(word: str) -> bool:
    """Ask Typst itself, once a word, whether it can set it."""
    return _are_set([word])


def _are_set(words: list[str]) -> bool:
    try:
        typst.compile(
            _probe(),
            font_paths=faces.fonts(),
            ignore_system_fonts=True,
            sys_inputs={"words": json.dumps(words)},
            pdf_standards=["a-3a", "ua-1"],
            format="pdf",
        )
    except typst.TypstError:
        return False
    return True


@cache
def _probe() -> bytes:
    return _PROBE.replace(
        "FAMILIES", json.dumps([family.name for family in faces.FAMILIES]).replace("[", "(").replace("]", ")")
    ).encode()


def fit(value: Any, shown: Callable[[str], str]) -> Any:
    """A whole model, or a list of texts, with every text as `shown` gives it; drawings, whose text is under "svg" or begins so, as drawn."""
    if isinstance(value, str):
        return in_drawing(value) if value.startswith("<svg") and shown is on_page else shown(value)
    if isinstance(value, list):
        return [fit(item, shown) for item in value]
    if isinstance(value, dict):
        return {key: fit(item, shown) for key, item in value.items()}
    return value


def breakable(text: str) -> str:
    """Text with a zero-width space in every word longer than a column, so that it wraps instead of running off the page."""
    return " ".join(_broken(word) for word in text.split(" "))


def breakable_in_rows(text: str) -> str:
    """As `breakable`, where a hash finds room: whoever copies it gets it without the marks."""
    return " ".join(word if _HASH.fullmatch(word) else _broken(word) for word in text.split(" "))


def _broken(word: str) -> str:
    if len(word) <= _LONGEST_WORD:
        return word
    return "\u200b".join(_pieces(word))


def _pieces(word: str) -> Iterable[str]:
    """A dozen characters each, never parted before a mark or around a joiner."""
    piece = ""
    for place, character in enumerate(word):
        if len(piece) >= 12 and not _joins(character) and not _joins(word[place - 1]):
            yield piece
            piece = ""
        piece += character
    yield piece
