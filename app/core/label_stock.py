"""What labels are printed on: tapes by their width, sheets by the size of their labels, single labels. Sizes in mm.

A tape printer reaches less than the tape's width: `printable_mm` is what we take as reached by most of them [practice]. The quiet zone of a code
may lie beyond it, since nothing is printed there. Sheets are common proportions [practice]: measure your own before printing many.
"""

from .errors import Refused

# Two dots of a printer of 203 dpi. A module is never smaller; where there is room it is whole dots of a printer of 180 dpi.
LEAST_MODULE_MM = 0.25
DOT_180_MM = 25.4 / 180
LEAST_TEXT_MM = 1.5
_EDGE_MM = 1.2


def _tape(width_mm: float, printable_mm: float) -> dict:
    width, printable = str(int(width_mm)), str(int(printable_mm))
    return {
        "id": "tape-" + width,
        "form": "tape",
        "words": "Tape " + width + " mm",
        "about": "As long as its text. Printed height taken as " + printable + " mm.",
        "height_mm": width_mm,
        "printable_mm": printable_mm,
        "width_mm": 0.0,
    }


def _sheet(paper: str, across: int, down: int, size: tuple, start: tuple, gap: tuple, words: str) -> dict:
    """size, start (of the first label from the sheet's upper left corner) and gap: across, down."""
    return {
        "id": paper + "-" + str(across * down),
        "form": "sheet",
        "words": ("A4" if paper == "a4" else "US letter") + ", " + str(across * down) + " labels of " + words,
        "about": str(across) + " across, " + str(down) + " down.",
        "paper": paper,
        "across": across,
        "down": down,
        "width_mm": size[0],
        "height_mm": size[1],
        "printable_mm": size[1] - 2 * _EDGE_MM,
        "start_mm": [start[0], start[1]],
        "gap_mm": [gap[0], gap[1]],
    }


def _single(width_mm: float, height_mm: float, words: str) -> dict:
    return {
        "id": "single",
        "form": "single",
        "words": words,
        "about": "The code large, its text beneath.",
        "width_mm": width_mm,
        "height_mm": height_mm,
        "printable_mm": height_mm - 2 * _EDGE_MM,
    }


PAPERS = {"a4": [210.0, 297.0], "letter": [215.9, 279.4]}
STOCKS = [
    _tape(12.0, 9.0),
    _tape(18.0, 15.0),
    _tape(24.0, 18.0),
    _sheet("a4", 3, 8, (70.0, 36.0), (0.0, 4.5), (0.0, 0.0), "70 x 36 mm"),
    _sheet("a4", 3, 7, (63.5, 38.1), (7.25, 15.15), (2.5, 0.0), "63.5 x 38.1 mm"),
    _sheet("a4", 5, 13, (38.1, 21.2), (4.75, 10.7), (2.5, 0.0), "38.1 x 21.2 mm"),
    _sheet("letter", 2, 5, (101.6, 50.8), (3.97, 12.7), (4.76, 0.0), "4 x 2 in"),
    _sheet("letter", 3, 10, (66.68, 25.4), (4.76, 12.7), (3.17, 0.0), "2.63 x 1 in"),
    _sheet("letter", 4, 20, (44.45, 12.7), (7.62, 12.7), (7.62, 0.0), "1.75 x 0.5 in"),
    _single(50.0, 62.0, "Single label 50 x 62 mm"),
]


def stock(name: object) -> dict:
    """A stock by its id. Refused("word") for one that there is not."""
    for held in STOCKS:
        if held["id"] == name:
            return held
    raise Refused("word", "stock", name, "one of " + ", ".join([held["id"] for held in STOCKS]), "Choose it again.")


def places(name: object, start: object, count: int) -> list:
    """[sheet from 0, x_mm, y_mm] of each of `count` labels; `start` is the first free label of the first sheet, counted from 1 by rows."""
    held = stock(name)
    if held["form"] != "sheet":
        return [[place, 0.0, 0.0] for place in range(count)]
    whole = held["across"] * held["down"]
    if not isinstance(start, int) or not 1 <= start <= whole:
        raise Refused("range", "start", start, "a whole number from 1 to " + str(whole), "Count the first free label by rows.")
    found = []
    for place in range(start - 1, start - 1 + count):
        row, column = place % whole // held["across"], place % held["across"]
        x = held["start_mm"][0] + column * (held["width_mm"] + held["gap_mm"][0])
        found.append([place // whole, x, held["start_mm"][1] + row * (held["height_mm"] + held["gap_mm"][1])])
    return found
