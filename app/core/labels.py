"""Labels as SVG: an identifier in print, beside it a code that opens the link. The code's modules are given, as rows of "0" and "1"."""

from . import draw, label_stock, label_text, numbers, units
from .errors import Refused
from .numbers import pieces

QUIET_MODULES = 4  # ISO/IEC 18004
_GAP_MM = 1.2
_MOST_MODULES = 177
_FEED_MM = 2.0
_PI = 3.141592653589793


def label(texts: object, matrix: object, stock_name: object, around: object = None) -> dict:
    """One label.

    texts: the identifier, then what stands smaller beneath it; matrix: the modules of the code without quiet zone, or None for text only;
    stock_name: see label_stock; around: on a tape the diameter of the cable ({value, unit}) that the label is folded around as a flag, so that
    it shows the same from both sides. Result: {svg, width_mm, height_mm, module_mm}. Errors: Refused for what does not fit.
    """
    stock, words, rows = label_stock.stock(stock_name), _checked(texts), _matrix(matrix)
    module = module_mm(len(rows), stock) if rows else 0.0
    if stock["form"] == "single":
        width, drawn = stock["width_mm"], _stacked(words, rows, module, stock)
    elif stock["form"] == "sheet":
        width, drawn = stock["width_mm"], _beside(words, rows, module, stock)
    else:
        width, drawn = _on_tape(words, rows, module, stock, around)
    svg = draw.picture(width, stock["height_mm"], words[0], drawn)
    return {"svg": svg, "width_mm": width, "height_mm": stock["height_mm"], "module_mm": module}


def module_mm(count: int, stock: dict) -> float:
    """The side of a module: the largest of whole printer's dots with which the code is printable and its quiet zone on the label."""
    quiet = count + 2 * QUIET_MODULES
    room = stock["width_mm"] if stock["form"] == "single" else stock["height_mm"]
    printable = min(stock["printable_mm"], room)
    sides = [dots * label_stock.DOT_180_MM for dots in range(9, 1, -1)] + [label_stock.LEAST_MODULE_MM]
    # On a sheet the text needs its half of the label.
    most = stock["width_mm"] / 2 if stock["form"] == "sheet" else room
    for side in sides:
        if count * side <= printable and quiet * side <= min(room, max(most, quiet * label_stock.LEAST_MODULE_MM)):
            return side
    raise Refused(
        "range",
        "matrix",
        str(count) + " modules",
        "modules of at least " + draw.length(label_stock.LEAST_MODULE_MM) + " mm, which is what a tape printer prints",
        "Take a wider label, a shorter address of the server, or labels without a code.",
    )


def _checked(texts: object) -> list:
    if not isinstance(texts, list) or not 1 <= len(texts) <= 4 or not all([isinstance(text, str) for text in texts]):
        raise Refused("shape", "texts", "", "one to four texts, the identifier first")
    words = [draw.clean(" ".join(pieces(text[:2000]))) for text in texts]
    if not words[0]:
        raise Refused("missing", "texts", "", "an identifier", "Type it.")
    return [words[0]] + [text for text in words[1:] if text]


def _matrix(matrix: object) -> list:
    if matrix is None:
        return []
    good = isinstance(matrix, list) and 21 <= len(matrix) <= _MOST_MODULES
    if not good or not all([isinstance(row, str) and len(row) == len(matrix) and _is_row(row) for row in matrix]):
        raise Refused("shape", "matrix", "", "21 to 177 rows of as many 0 and 1")
    return matrix


def _is_row(row: str) -> bool:
    return row.count("0") + row.count("1") == len(row)


def code(rows: list, x: float, y: float, module: float) -> str:
    """The code's dark modules as one path in whole modules, scaled once, so that no module is a bit wider than the next."""
    moves = []
    for down in range(len(rows)):
        across = 0
        while across < len(rows):
            run = 0
            while across + run < len(rows) and rows[down][across + run] == "1":
                run += 1
            if run:
                moves.append("M" + str(across) + " " + str(down) + "h" + str(run) + "v1h-" + str(run) + "z")
            across += run + 1
    moved = "translate(" + numbers.text(x, 4) + " " + numbers.text(y, 4) + ") scale(" + numbers.text(module, 6) + ")"
    return draw.element(
        "path", [["d", "".join(moves)], ["fill", "#000000"], ["shape-rendering", "crispEdges"], ["transform", moved]]
    )


def _text(lines: list, x: float, top: float, anchor: str = "start") -> list:
    drawn = []
    for words, size, is_identifier in lines:
        drawn.append(draw.text(x, top + size * 0.93, words, size, anchor, "#000000", "700" if is_identifier else "500"))
        top += size * label_text.LINE
    return drawn


def _code_side(rows: list, module: float) -> float:
    return len(rows) * module


def _beside(words: list, rows: list, module: float, stock: dict) -> list:
    """On a sheet: the code at the left, its quiet zone around it, the text in what is left."""
    side, quiet = _code_side(rows, module), QUIET_MODULES * module
    edge = stock["height_mm"] - stock["printable_mm"]
    left = max(quiet, edge) + side + max(quiet, _GAP_MM) if rows else edge
    room, height = stock["width_mm"] - left - edge, stock["printable_mm"]
    lines = label_text.set_in(words, room, height, height * 0.4, label_stock.LEAST_TEXT_MM)
    if lines is None:
        raise label_text.too_long(words, "this label")
    top = (stock["height_mm"] - label_text.height_of(lines)) / 2
    drawn = [code(rows, max(quiet, edge), (stock["height_mm"] - side) / 2, module)] if rows else []
    return drawn + _text(lines, left, top)


def _stacked(words: list, rows: list, module: float, stock: dict) -> list:
    """On a single label: the code above, the text in the middle beneath it."""
    side, quiet = _code_side(rows, module), QUIET_MODULES * module
    top = side + 2 * quiet if rows else 2.0
    room = stock["width_mm"] - 4.0
    height = stock["height_mm"] - top - 1.0
    lines = label_text.set_in(words, room, height, 7.0, label_stock.LEAST_TEXT_MM)
    if lines is None:
        raise label_text.too_long(words, "this label")
    drawn = [code(rows, (stock["width_mm"] - side) / 2, quiet, module)] if rows else []
    return drawn + _text(lines, stock["width_mm"] / 2, top, "middle")


def _on_tape(words: list, rows: list, module: float, stock: dict, around: object) -> tuple:
    """(length, what is drawn): code and text; as a flag twice, with the way around the cable between them."""
    lines = label_text.set_on_tape(words, stock["printable_mm"], label_stock.LEAST_TEXT_MM)
    widest = max([label_text.width_em(line[0]) * line[1] for line in lines])
    side, quiet = _code_side(rows, module), QUIET_MODULES * module
    left = quiet + side + max(quiet, _GAP_MM) if rows else _FEED_MM
    length = left + widest + _FEED_MM
    drawn = _panel(lines, rows, module, stock, 0.0, left)
    if around is None:
        return length, drawn
    wrap = _PI * _around_mm(around) + _FEED_MM
    middle = length + wrap / 2
    fold = [draw.line(middle, end, middle, end + 1.5, "#000000", 0.2) for end in (0.3, stock["height_mm"] - 1.8)]
    # Not turned: who looks at the folded label from behind sees the second half upright, since the fold stands upright too.
    return 2 * length + wrap, drawn + fold + _panel(lines, rows, module, stock, length + wrap, left)


def _panel(lines: list, rows: list, module: float, stock: dict, x: float, left: float) -> list:
    height = stock["height_mm"]
    drawn = [code(rows, x + QUIET_MODULES * module, (height - len(rows) * module) / 2, module)] if rows else []
    return drawn + _text(lines, x + left, (height - label_text.height_of(lines)) / 2)


def _around_mm(around: object) -> float:
    diameter = units.typed(around, "mm", "around")
    if not 1 <= diameter <= 100:
        raise Refused("range", "around", around["value"], "a cable's diameter from 1 to 100 mm", "Check the number and its unit.")
    return diameter
