"""Text on a label: as large as it goes, broken where it has to be, never cut."""

from .errors import Refused
from .numbers import trimmed

# Where a line may be broken, from what reads best to what reads worst: nowhere, between parts, at any joint, between letters. Beside it, down
# to which share of the largest size that is tried before the next.
_WAYS = [("", 0.55), (" /", 0.45), (" /-._,;:", 0.3), (None, 0.0)]
_NARROW = "ijlftrI.,:;'|!()[]/ -"
_WIDE = "mwMW@%"
_JOINED = ("\u200d", "\ufe0e", "\ufe0f")
# Other faces than ours, where ours is not installed, are wider.
_RESERVE = 1.12
LINE = 1.16
_STEP = 0.93
_COMFORTABLE_MM = 2.4
_TAPE_ROOMS_MM = (30.0, 45.0, 70.0, 100.0, 150.0, 250.0, 500.0, 1000.0)


def width_em(words: str) -> float:
    """About how wide words are set in bold, in their own size, with some reserve."""
    hundredths = 0
    for character in words:
        hundredths += _hundredths(character)
    return hundredths * _RESERVE / 100.0


def _hundredths(character: str) -> int:
    code = ord(character)
    if character in _NARROW:
        return 34
    if character in _WIDE or code >= 0x250:
        return 135 if code >= 0x2600 else 95
    return 66 if code < 0x60 else 58


def broken(words: str, room_em: float, after: str | None) -> list | None:
    """Words in lines no wider than the room, broken after these characters (None: also between letters); None when they don't fit so."""
    lines, line = [], ""
    for piece in _pieces(words, _WAYS[2][0] if after is None else after):
        if line and width_em(line + _bare(piece)) > room_em:
            lines.append(line)
            line = ""
        line = line + piece
        while width_em(_bare(line)) > room_em:
            count = _fitting(line, room_em) if after is None else 0
            if count == 0:
                return None
            lines.append(line[:count])
            line = line[count:]
    lines.append(line)
    return [trimmed(line) for line in lines if trimmed(line)]


def _bare(words: str) -> str:
    return words.rstrip(" ")


def _pieces(words: str, after: str) -> list:
    found, piece = [], ""
    for character in words:
        piece = piece + character
        if character in after:
            found.append(piece)
            piece = ""
    return found + ([piece] if piece else [])


def _fitting(words: str, room_em: float) -> int:
    """How many of the first characters fit, without parting what is written as one sign."""
    count, left = 0, room_em * 100.0 / _RESERVE
    while count < len(words) and _hundredths(words[count]) <= left:
        left -= _hundredths(words[count])
        count += 1
    while 0 < count < len(words) and _belongs(words, count):
        count -= 1
    return count


def _belongs(words: str, place: int) -> bool:
    """Is the character at a place a part of the sign before it: an accent, a joiner, a skin tone."""
    code = ord(words[place])
    joined = words[place] in _JOINED or words[place - 1] == "\u200d"
    return joined or 0x300 <= code <= 0x36F or 0x1F3FB <= code <= 0x1F3FF


def set_in(texts: list, room_mm: float, height_mm: float, largest_mm: float, least_mm: float) -> list | None:
    """[[line, size in mm, whether it is the identifier]...] as large as they go into a room; None when they don't go at `least_mm`.

    The first text is the identifier, the others stand smaller beneath it.
    """
    widths = [width_em(text) for text in texts]
    for after, share in _WAYS:
        size, floor = largest_mm, max(largest_mm * share, least_mm)
        while size >= floor:
            # Most sizes of a long text can't do, however it is broken: those are not tried.
            hopeless = widths[0] * size * size / room_mm * LINE > height_mm
            lines = None if hopeless else _lines(texts, room_mm, size, least_mm, after)
            if lines is not None and height_of(lines) <= height_mm:
                return lines
            size = size * _STEP if size * _STEP >= floor or size == floor else floor
    return None


def height_of(lines: list) -> float:
    """The height of lines that stand beneath one another, mm."""
    height = 0.0
    for line in lines:
        height += line[1] * LINE
    return height


def _lines(texts: list, room_mm: float, size_mm: float, least_mm: float, after: str | None) -> list | None:
    found = []
    for place in range(len(texts)):
        size = size_mm if place == 0 else max(size_mm * 0.6, least_mm)
        parts = broken(texts[place], room_mm / size, after)
        if parts is None:
            return None
        found.extend([[part, size, place == 0] for part in parts])
    return found


def set_on_tape(texts: list, height_mm: float, least_mm: float) -> list:
    """The same on a tape, which is as long as it has to be: rather longer than hard to read."""
    for least in (max(_COMFORTABLE_MM, least_mm), least_mm):
        for room in _TAPE_ROOMS_MM:
            lines = set_in(texts, room, height_mm, height_mm * 0.45, least)
            if lines is not None:
                return lines
    raise too_long(texts, "a tape of one metre")


def too_long(texts: list, place: str) -> Refused:
    """What is said when a text does not go onto a label."""
    return Refused(
        "range",
        "texts",
        texts[0][:60],
        "what fits " + place + " in letters that can be read",
        "Shorten it, or choose a larger label.",
    )
