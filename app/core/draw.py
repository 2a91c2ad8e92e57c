"""SVG pieces. Lengths are millimetres on paper; only attributes are used (no style, class or script), so that a browser under a strict
content policy and a typesetter draw the same. Every coordinate is written by `numbers`, so both interpreters give the same bytes.
"""

from . import numbers

INK = "#14181b"
PAPER = "#ffffff"
QUIET = "#4a5258"
PALE = "#e9edf0"
LINE = "#c8ced2"
ACCENT = "#ff8200"
GOOD = "#0b5d2a"
BAD = "#9b1115"
CAUTION = "#6b4e00"
FONT = "'Source Sans 3', sans-serif"  # quoted, since an unquoted name may not hold a lone digit

_NARROW = "ijlftrI.,:;'|!()[]/ -"
_WIDE = "mwMWABCDGHKNOQRUVXY@%&+=<>0123456789_~"


def length(number: float) -> str:
    """A length in mm -> text in hundredths, without trailing zeros."""
    if number not in _lengths:
        digits = numbers.text(number, 2).rstrip("0").rstrip(".")
        _keep(_lengths, number, "0" if digits in ("-0", "") else digits)
    return _lengths[number]


# Drawings say the same few lengths and words over and over, and making a text is what the phone's interpreter is slow at.
_lengths = {}
_escaped = {}
_SHORT = 60
_MOST_KEPT = 4000


def _keep(held: dict, name: object, value: object) -> None:
    if len(held) >= _MOST_KEPT:
        held.clear()
    held[name] = value


def clean(words: str) -> str:
    """Text that XML and a page can carry: what XML forbids and what reverses the writing of its surroundings becomes a replacement mark."""
    if is_plain(words):
        return words
    pieces = []
    for character in words:
        pieces.append("\ufffd" if _is_forbidden(ord(character)) else character)
    return "".join(pieces)


def is_plain(words: str) -> bool:
    """Nothing but printable ASCII. Nearly every text is; bytes are looked through ten times as fast as characters on a phone."""
    try:
        held = words.encode()
    except ValueError:  # half a character
        return False
    return len(held) == 0 or (min(held) >= 32 and max(held) <= 126)


def _is_forbidden(code: int) -> bool:
    if code < 32:
        return code not in (9, 10, 13)
    return (
        0x7F <= code <= 0x9F
        or 0xD800 <= code <= 0xDFFF
        or 0x202A <= code <= 0x202E
        or 0x2066 <= code <= 0x2069
        or code & 0xFFFE == 0xFFFE
    )


def escape(words: str) -> str:
    """Text -> XML text, harmless inside an element and inside a quoted attribute."""
    if len(words) > _SHORT:
        return _escape(words)
    if words not in _escaped:
        _keep(_escaped, words, _escape(words))
    return _escaped[words]


def _escape(words: str) -> str:
    for blank in ("\n", "\r", "\t", "\u2028", "\u2029"):
        words = words.replace(blank, " ")
    words = clean(words).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return words.replace('"', "&quot;").replace("'", "&#39;")


def element(name: str, pairs: list, content: str = "") -> str:
    """An element from [attribute, value] pairs: text is escaped, numbers are lengths, None is left out. `content` is ready SVG."""
    pieces = ["<", name]
    for key, value in pairs:
        if value is not None:
            pieces.append(" " + key + '="' + (escape(value) if isinstance(value, str) else length(value)) + '"')
    pieces.append(">" + content + "</" + name + ">" if content else "/>")
    return "".join(pieces)


def picture(width_mm: float, height_mm: float, title: str, pieces: list) -> str:
    """A whole drawing, `width_mm` by `height_mm`, with its name for those who can't see it."""
    pairs = [
        ["xmlns", "http://www.w3.org/2000/svg"],
        ["width", length(width_mm) + "mm"],
        ["height", length(height_mm) + "mm"],
        ["viewBox", "0 0 " + length(width_mm) + " " + length(height_mm)],
        ["font-family", FONT],
        ["role", "img"],
    ]
    ground = rectangle(0, 0, width_mm, height_mm, PAPER, None)
    return element("svg", pairs, element("title", [], escape(title) or "Drawing") + ground + "".join(pieces))


def rectangle(
    x: float,
    y: float,
    width: float,
    height: float,
    fill: str,
    stroke: str | None,
    thickness: float = 0.3,
    dash: str | None = None,
) -> str:
    """A rectangle from its upper left corner."""
    pairs = [["x", x], ["y", y], ["width", width], ["height", height], ["fill", fill], ["stroke", stroke]]
    return element("rect", pairs + [["stroke-width", thickness if stroke else None], ["stroke-dasharray", dash]])


def circle(
    x: float, y: float, radius: float, fill: str, stroke: str | None, thickness: float = 0.3, dash: str | None = None
) -> str:
    """A circle."""
    pairs = [["cx", x], ["cy", y], ["r", radius], ["fill", fill], ["stroke", stroke]]
    return element("circle", pairs + [["stroke-width", thickness if stroke else None], ["stroke-dasharray", dash]])


def line(x1: float, y1: float, x2: float, y2: float, stroke: str = INK, thickness: float = 0.3, dash: str | None = None) -> str:
    """A straight line."""
    pairs = [["x1", x1], ["y1", y1], ["x2", x2], ["y2", y2], ["stroke", stroke], ["stroke-width", thickness]]
    return element("line", pairs + [["stroke-dasharray", dash], ["stroke-linecap", "round"]])


def path(points: list, stroke: str, thickness: float, fill: str = "none", close: bool = False, dash: str | None = None) -> str:
    """Straight pieces through [x, y] points."""
    pieces = []
    for x, y in points:
        pieces.append(("L" if pieces else "M") + length(x) + " " + length(y))
    if close:
        pieces.append("Z")
    pairs = [["d", " ".join(pieces)], ["fill", fill], ["stroke", stroke], ["stroke-width", thickness], ["stroke-dasharray", dash]]
    return element("path", pairs + [["stroke-linecap", "round"], ["stroke-linejoin", "round"]])


def strokes(x: float, y: float, moves: str, stroke: str, thickness: float) -> str:
    """Strokes from a point on, by moves relative to one another as SVG writes them (l draws, m does not)."""
    pairs = [["d", "M" + length(x) + " " + length(y) + moves], ["fill", "none"], ["stroke", stroke], ["stroke-width", thickness]]
    return element("path", pairs + [["stroke-linecap", "round"]])


def cable(points: list) -> str:
    """The cable: orange, the trade's colour for communications, with a near-black edge so that it shows without colour too."""
    return path(points, INK, 1.5) + path(points, ACCENT, 0.9)


def text(
    x: float,
    y: float,
    words: str,
    size: float = 3.0,
    anchor: str = "start",
    fill: str = INK,
    weight: str | None = None,
    turn: int = 0,
    halo: bool = False,
) -> str:
    """Words on a baseline; `turn` in degrees about their start; `halo` draws white behind them, for words that lie on lines."""
    if words.strip(" \n\r\t") == "":
        return ""
    pairs = [
        ["x", x],
        ["y", y],
        ["font-size", size],
        ["text-anchor", anchor if anchor != "start" else None],
        ["font-weight", weight],
    ]
    if turn:
        pairs.append(["transform", "rotate(" + str(turn) + " " + length(x) + " " + length(y) + ")"])
    written = element("text", pairs + [["fill", fill]], escape(words))
    if halo:
        behind = pairs + [
            ["fill", PAPER],
            ["stroke", PAPER],
            ["stroke-width", 0.9],
            ["stroke-linejoin", "round"],
            ["aria-hidden", "true"],
        ]
        return element("text", behind, escape(words)) + written
    return written


def width_of(words: str, size: float) -> float:
    """About how wide the words are set, mm: enough to place labels, never less than what they take in most writing."""
    hundredths = 0
    for character in words:
        if character in _NARROW:
            hundredths += 30
        elif character in _WIDE:
            hundredths += 62
        elif ord(character) < 0x250:
            hundredths += 50
        else:
            hundredths += 100
    return hundredths * size / 100.0


def shorten(words: str, size: float, room: float) -> str:
    """The words, or as many of them as fit into `room` mm with an ellipsis."""
    words = words.replace("\n", " ").replace("\r", " ").replace("\t", " ")
    if len(words) > 400:
        words = words[:400] + "\u2026"
    if width_of(words, size) <= room:
        return words
    while words and width_of(words, size) + size * 0.7 > room:
        words = words[:-1]
    return words.rstrip(" ") + "\u2026"
