"""Text for files that other programs read: CSV that a spreadsheet can't be harmed by, XML, one-line words.

CSV is RFC 4180 in UTF-8 with a byte order mark, since spreadsheets take a file without one for their system's own character set.
A text cell that a spreadsheet would run as a formula gets an apostrophe before the sign; numbers stay as they are.
"""

from . import draw

_BYTE_ORDER_MARK = "\ufeff"
_FORMULA_SIGNS = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")
# A spreadsheet may cut cells at another sign than the comma, so what follows any of these can become a cell of its own.
_CUTS = (";", "\t", "\n", "|")
_SKIPPED = (" ", "\u00a0", '"', "'")
_NEEDS_QUOTES = (",", '"', "\n", ";", "\t")
_DIGITS = "0123456789"


def csv(head: list, rows: list) -> str:
    """A table as CSV text: `head` and each row are lists of texts, whole numbers or None (an empty cell)."""
    lines = [",".join(head)]
    for row in rows:
        lines.append(",".join([_cell(value) for value in row]))
    return _BYTE_ORDER_MARK + "".join([line + "\r\n" for line in lines])


def _cell(value: object) -> str:
    if value is None:
        return ""
    if not isinstance(value, str):
        return str(value)
    if _is_harmless(value):
        return value
    text = draw.clean(value).replace("\r\n", "\n").replace("\r", "\n")
    if not is_number(text):
        text = _defused(text)
    if any([sign in text for sign in _NEEDS_QUOTES]):
        return '"' + text.replace('"', '""') + '"'
    return text


def _is_harmless(text: str) -> bool:
    """Plain letters, digits, blanks and points that begin with a letter or digit: nearly every cell, told at once."""
    if not draw.is_plain(text):
        return False
    if text[:1] in _FORMULA_SIGNS or text[:1] in _SKIPPED:
        return False
    return not ("," in text or '"' in text or ";" in text or "|" in text)


def is_number(text: str) -> bool:
    """Is a cell one plain number: a sign, digits, one decimal sign?"""
    body = text[1:] if text[:1] in ("-", "+") else text
    digits = body.replace(",", ".").replace(".", "", 1)
    return digits != "" and all([character in _DIGITS for character in digits])


def _defused(text: str) -> str:
    """An apostrophe before each sign that could begin a formula, in whichever way the cells are cut."""
    pieces, begins = [], True
    for character in text:
        if begins and character in _FORMULA_SIGNS:
            pieces.append("'")
        begins = character in _CUTS or (begins and character in _SKIPPED)
        pieces.append(character)
    return "".join(pieces)


def one_line(text: object) -> str:
    """Words on one line, with what a page or XML can't carry replaced by a mark."""
    text = draw.clean(str(text))
    for blank in ("\r\n", "\n", "\r", "\t", "\u2028", "\u2029"):
        text = text.replace(blank, " ")
    return text.strip(" ")


def tag(name: str, content: str, pairs: list | None = None) -> str:
    """An XML element with ready content and [attribute, text] pairs."""
    return draw.element(name, pairs or [], content)


def words(name: str, text: object) -> str:
    """An XML element that holds words; "" where there are none."""
    said = one_line(text)
    return tag(name, draw.escape(said)) if said else ""


XML_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
