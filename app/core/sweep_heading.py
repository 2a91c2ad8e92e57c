"""The heading line of swept results: words of the trade to what a column or a row says of its trace."""

from . import kinds
from .errors import Refused
from .numbers import pieces, trimmed
from .quantities_copper import SWEEP_MARKS

_PAIRS = [pair[0] for pair in kinds.PAIRS]
_UNITS = {"hz": "Hz", "khz": "kHz", "mhz": "MHz", "ghz": "GHz"}
_PARAMETERS = {"insertionloss": "insertion_loss", "il": "insertion_loss", "attenuation": "insertion_loss"}
_PARAMETERS.update({"next": "next", "psnext": "psnext", "acrf": "acrf", "elfext": "acrf"})
_PARAMETERS.update({"psacrf": "psacrf", "pselfext": "psacrf", "returnloss": "return_loss", "rl": "return_loss"})
_COLUMNS = {"value": "value", "pair": "pair", "pair2": "pair2", "secondpair": "pair2", "end": "side", "side": "side"}
_COLUMNS.update({"parameter": "parameter"})
_ALLOWED = "a pair (1-2, 3-6, 4-5, 7-8) or two (1-2/3-6), and if you like what it is (NEXT, return loss, ...) and near or far"
REMEDY = "Put a heading line first, such as: frequency MHz; 1-2; 3-6; 4-5; 7-8"


def _words(cell: str) -> list:
    lower = cell.lower()
    for sign in ("[", "]", "(", ")", "/", ">", "&", ":", "_", "\u2192", "+"):
        lower = lower.replace(sign, " ")
    return pieces(lower.replace("\u2013", "-"))


def frequency_unit(cell: str) -> tuple:
    """The unit of the first column, and a note where it has to be taken for granted."""
    words = _words(cell)
    units = [_UNITS[word] for word in words if word in _UNITS]
    others = [word for word in words if word not in _UNITS and word not in ("frequency", "freq", "f", "in")]
    if others or len(units) > 1:
        raise Refused("word", "line 1, column 1", cell, "the frequency with its unit, such as frequency MHz", REMEDY)
    return (units[0], []) if units else ("MHz", ["The heading names no unit of frequency: taken as MHz."])


def is_long(cells: list) -> bool:
    """Does a heading name one row a point."""
    return "value" in [column_name(cell) for cell in cells]


def column_name(cell: str) -> str:
    """What a column of one row a point holds: value, pair, pair2, side or parameter; empty for a word not known."""
    words = [word for word in _words(cell) if word != "db"]
    return _COLUMNS.get("".join(words), "")


def columns(cells: list) -> list:
    """What each column but the first says of its trace."""
    return [marks(cell, place + 2) for place, cell in enumerate(cells[1:])]


def marks(cell: str, column: int) -> dict:
    """What a column of a heading says of its trace."""
    marks, rest = {}, []
    for word in _words(cell):
        if word in _PAIRS and "pair2" not in marks:
            marks["pair2" if "pair" in marks else "pair"] = word
        elif word in ("near", "far"):
            marks["side"] = word
        elif word not in ("db", "end", "pair", "pairs", "and", "into", "to", "from"):
            rest.append(word)
    if rest:
        marks["parameter"] = _PARAMETERS.get("".join(rest).replace("-", ""))
    if not trimmed(cell) or (rest and not marks["parameter"]):
        raise Refused("word", "line 1, column " + str(column), cell, _ALLOWED, REMEDY)
    return marks


def body(marks: dict, known: dict, table: dict) -> dict:
    """The trace with what is known of it; a mark that its parameter doesn't have is left out."""
    body = {"table": table, "quantity": "sweep"}
    for name in ("parameter", "pair", "pair2", "side"):
        value = marks.get(name) or ("" if name == "pair2" and marks.get("pair") else known.get(name))
        if value:
            body[name] = value
    own = SWEEP_MARKS.get(body.get("parameter"), ("pair", "pair2", "side"))
    if marks.get("pair2") and "pair2" not in own:
        said = marks["pair"] + "/" + marks["pair2"]
        raise Refused(
            "word", "parameter", said, "one pair a trace of this; NEXT and ACR-F are between two", "Choose what was measured."
        )
    for name in ("pair", "pair2", "side"):
        if name not in own:
            body.pop(name, None)
    return body
