"""Swept results from text: a table with a heading line in plain trade words, or a Touchstone file, to traces that can be kept as readings.

A heading names the frequency first and then either one column a trace, "frequency MHz; 1-2; 3-6" or "frequency MHz; NEXT 1-2/3-6 near dB", or one
row a point, "frequency MHz; value; pair; pair2; end; parameter". Tabs, semicolons or commas part the cells; with commas the decimal sign is a point.
"""

from . import sweep_heading as heading
from . import sweep_ports, touchstone
from .errors import Refused
from .numbers import clean_decimal, short_text, trimmed
from .tables import quick_number

_MOST_CHARACTERS = 4000000
_MOST_POINTS = sweep_ports.MOST_POINTS
_MOST_TRACES = 80


def read(given: object, name: str = "", ports: str | None = None, known: dict | None = None) -> dict:
    """Text of a table or a Touchstone file -> {"traces", "notes", "form": "table" | "s_parameters"}.

    known: marks that the text may leave out: parameter, pair, pair2, side. ports: how four ports were connected (touchstone.PORT_ORDERS).
    A trace is a reading's body without its link: {"parameter", "pair", "pair2", "side" (each where known), "table"; "origin" of an S-parameter file}.
    Errors: Refused with the line, what was there and what is expected.
    """
    content = _checked(given)
    known = known or {}
    if touchstone.looks_like(content) or name.lower()[-4:] in (".s2p", ".s4p"):
        return sweep_ports.read(content, name, ports, known)
    lines = [(place + 1, line) for place, line in enumerate(content.split("\n")) if line.strip(" \t")]
    separator = _separator(lines[0][1])
    first = _cells(lines[0][1], separator)
    if not _has_letter(first[0]):
        columns, unit, notes = [{}], "MHz", ["No heading line: taken as frequency in MHz and one value."]
        found = _wide(lines, separator, columns)
    else:
        unit, notes = heading.frequency_unit(first[0])
        found = (
            _long(first, lines[1:], separator) if heading.is_long(first) else _wide(lines[1:], separator, heading.columns(first))
        )
    return {"form": "table", "traces": [_trace(one, unit, known, notes) for one in found], "notes": notes}


def _checked(given: object) -> str:
    if not isinstance(given, str) or not trimmed(given):
        raise Refused("missing", "text", "", "a table or a Touchstone file as text", "Paste it or choose a file.")
    if len(given) > _MOST_CHARACTERS:
        raise Refused("range", "text", str(len(given)) + " characters", "up to four million characters", "Take it in parts.")
    for sign in ("\x00", "\ufffd"):
        if sign in given:
            line = str(given[: given.index(sign)].count("\n") + 1)
            raise Refused(
                "shape",
                "line " + line,
                "signs that are no text",
                "text in UTF-8",
                "Save it as CSV in UTF-8, then choose it again.",
            )
    return given.replace("\ufeff", "").replace("\u00a0", " ").replace("\r\n", "\n").replace("\r", "\n")


# ---- cells


def _separator(line: str) -> str:
    for sign in ("\t", ";", ","):
        if sign in line:
            return sign
    raise Refused("shape", "line 1", line, "two cells or more, parted by tabs, semicolons or commas", heading.REMEDY)


def _cells(line: str, separator: str) -> list:
    if '"' in line:
        line = _unquoted(line, separator)
        return [trimmed(cell) for cell in line.split("\x1f")]
    return [cell.strip(" \t") for cell in line.split(separator)]


def _unquoted(line: str, separator: str) -> str:
    """The cells of a line with quotes, parted by a sign that no text has."""
    pieces, inside = [], False
    for sign in line:
        if sign == '"':
            inside = not inside
        else:
            pieces.append("\x1f" if sign == separator and not inside else sign)
    return "".join(pieces)


def _has_letter(cell: str) -> bool:
    return cell.lower() != cell.upper()


def _number(cell: str, line: int) -> str:
    """A cell as plain decimal text."""
    if quick_number(cell[1:] if cell[:1] == "-" else cell) is not None:
        return cell
    plain = cell.replace(",", ".")
    if "e" in plain.lower() and not [sign for sign in plain if sign not in touchstone.NUMBER_SIGNS]:
        return short_text(touchstone.number(plain, line), 9)
    return clean_decimal(cell, "line " + str(line))


# ---- rows


def _wide(lines: list, separator: str, columns: list) -> list:
    """One column a trace: [[marks, rows, line of the first]...]."""
    if len(columns) > _MOST_TRACES:
        raise Refused(
            "range", "line 1", str(len(columns)) + " traces", "up to " + str(_MOST_TRACES) + " traces", "Take them in parts."
        )
    found = [[marks, []] for marks in columns]
    for line, words in lines:
        cells = _cells(words, separator)
        _check_width(cells, len(columns) + 1, line, separator)
        frequency = _number(cells[0], line)
        for place, held in enumerate(found):
            if place + 1 < len(cells) and cells[place + 1]:
                held[1].append([frequency, _number(cells[place + 1], line), line])
    return [held for held in found if held[1]] or _no_rows()


def _check_width(cells: list, wanted: int, line: int, separator: str) -> None:
    while len(cells) > wanted and cells[-1] == "":
        cells.pop()
    if len(cells) > wanted:
        remedy = "With decimal commas, part the cells by semicolons or tabs." if separator == "," else "See that line."
        raise Refused("shape", "line " + str(line), str(len(cells)) + " cells", str(wanted) + " cells, as in the heading", remedy)


def _no_rows() -> list:
    raise Refused("missing", "text", "", "a line of numbers below the heading", "Copy the whole table.")


def _long(first: list, lines: list, separator: str) -> list:
    """One row a point, its marks beside it."""
    names = ["frequency"] + [heading.column_name(cell) for cell in first[1:]]
    for place, name in enumerate(names):
        if not name or names.count(name) > 1:
            wanted = "value, pair, pair2, end or parameter, each once"
            raise Refused("word", "line 1, column " + str(place + 1), first[place], wanted, heading.REMEDY)
    groups, order = {}, []
    for line, words in lines:
        cells = _cells(words, separator)
        _check_width(cells, len(names), line, separator)
        row = dict(zip(names, cells))
        said = " ".join([row.get(name, "") for name in ("parameter", "pair", "pair2", "side")])
        if said not in groups:
            groups[said] = [heading.marks(said, names.index("value") + 1) if trimmed(said) else {}, []]
            order.append(said)
        groups[said][1].append([_number(row["frequency"], line), _number(row.get("value", ""), line), line])
    if len(order) > _MOST_TRACES:
        raise Refused(
            "range", "text", str(len(order)) + " traces", "up to " + str(_MOST_TRACES) + " traces", "Take them in parts."
        )
    return [groups[said] for said in order] or _no_rows()


# ---- traces


def _trace(held: list, unit: str, known: dict, notes: list) -> dict:
    marks, points = held
    if len(points) > _MOST_POINTS:
        remedy = "Leave out some, for example every second line."
        raise Refused("range", _said(marks), str(len(points)) + " points", "up to 2000 points a trace", remedy)
    numbers = [float(point[0].replace(",", ".").replace(" ", "")) for point in points]
    for place in range(1, len(points)):
        if numbers[place] <= numbers[place - 1]:
            line = "line " + str(points[place][2])
            raise Refused("order", line, points[place][0], "a frequency above that of the line before", "Put the lines in order.")
    values = [point[1] for point in points]
    if not [value for value in values if value[:1] != "-"]:
        values = [value[1:] for value in values]
        notes.append("All values of " + _said(marks) + " are below zero: taken as levels, and kept as losses above zero.")
    table = {"units": [unit, "dB"], "rows": [[point[0], value] for point, value in zip(points, values)]}
    return heading.body(marks, known, table)


def _said(marks: dict) -> str:
    words = [marks[name] for name in ("parameter", "pair", "pair2", "side") if marks.get(name)]
    return " ".join(words).replace("_", " ") or "the trace"
