"""Readings that are a table: points of a sweep, events along a fibre, places of a stake.

In a body: ``"table": {"units": ["MHz", "dB"], "rows": [["1", "2.1"], ["4", "4.0"]]}``: units by column (empty text for a column of words), and
cells as they were typed, empty text where nothing was. Cells keep their text, so nothing is rounded between an instrument and the record.
"""

from . import units
from .errors import Refused
from .numbers import is_blank, parse_decimal
from .shapes import RETYPE, check_bounds, check_text

MOST_ROWS = 2000
_LONGEST_CELL = 200


def check_table(about: dict, table: object) -> None:
    """Refuse a table that its quantity's description doesn't allow; the message names the row and the column."""
    columns = about["columns"]
    if not isinstance(table, dict) or not isinstance(table.get("rows"), list) or not isinstance(table.get("units"), list):
        raise Refused("missing", "table", "", "rows of " + _labels(columns), "Type or paste at least one row.")
    _check_units(columns, table["units"])
    least, most = int(about.get("least", "1")), int(about.get("most", str(MOST_ROWS)))
    if not least <= len(table["rows"]) <= most:
        raise Refused("range", "table", str(len(table["rows"])) + " rows", "from " + str(least) + " to " + str(most) + " rows")
    if not _is_plain(columns, table["units"], table["rows"]):
        for place, row in enumerate(table["rows"]):
            _check_row(columns, table["units"], row, place + 1)
    if about.get("rising"):
        _check_rising(about, table)


def _is_plain(columns: list, given_units: list, rows: list) -> bool:
    """Is every cell a plain number within its bounds or a word of its list. Sweeps have thousands of cells, and a phone waits for each keypress."""
    for row in rows:
        if not isinstance(row, list) or len(row) != len(columns):
            return False
    for place, column in enumerate(columns):
        if "words" in column:
            return False  # such tables are short
        unit, base = given_units[place], column["units"][0]
        low, high = float(column.get("low", "-1e300")), float(column.get("high", "1e300"))
        for row in rows:
            number = quick_number(row[place])
            if number is None:
                return False
            if unit != base:
                number = units.convert(number, unit, base, column["name"])
            if not low <= number <= high:
                return False
    return True


def quick_number(text: object) -> float | None:
    """A plain decimal text -> the float that `numbers.parse_decimal` gives, or None where that has to look closer."""
    if not isinstance(text, str):
        return None
    body = text.replace(",", ".")
    digits = body.replace(".", "")
    if digits.isdigit() and len(digits) <= 18 and len(body) - len(digits) < 2 and len(text.encode()) == len(text):
        return float(body)
    return None


def _labels(columns: list) -> str:
    return ", ".join([column["label"].lower() for column in columns])


def _check_units(columns: list, given: list) -> None:
    if len(given) != len(columns):
        raise Refused("shape", "units", given, "one unit a column: " + _labels(columns))
    for column, unit in zip(columns, given):
        if "words" in column:
            if unit != "":
                raise Refused("unit", column["name"], unit, "no unit, since its cells are words")
        elif column["units"][0] != "" or unit != "":
            units.convert(1.0, unit, column["units"][0], column["name"])


def _check_row(columns: list, given_units: list, row: object, number: int) -> None:
    if not isinstance(row, list) or len(row) != len(columns):
        raise Refused("shape", "row " + str(number), row, "one cell a column: " + _labels(columns), RETYPE)
    for column, unit, cell in zip(columns, given_units, row):
        check_text(cell, _place(column, number), _LONGEST_CELL)
        if is_blank(cell):
            if not column.get("optional"):
                raise Refused("missing", _place(column, number), "", "a value in each row", "Fill it in, or take the row out.")
        elif "words" in column:
            _check_word(column, cell, number)
        else:
            _check_number(column, unit, cell, number)


def _place(column: dict, number: int) -> str:
    return column["label"].lower() + " in row " + str(number)


def _check_word(column: dict, cell: str, number: int) -> None:
    words = [word[0] for word in column["words"]]
    if cell not in words:
        raise Refused("word", _place(column, number), cell, "one of " + ", ".join(words), "Choose it again.")


def _check_number(column: dict, unit: str, cell: str, number: int) -> None:
    value = _cell_number(column, unit, cell, _place(column, number))
    check_bounds(_place(column, number), value, cell, column.get("low"), column.get("high"), column["units"][0], "")


def _cell_number(column: dict, unit: str, cell: str, name: str) -> float:
    number = quick_number(cell)
    if number is None:
        number = parse_decimal(cell, name)
    return number if unit == column["units"][0] else units.convert(number, unit, column["units"][0], name)


def _check_rising(about: dict, table: dict) -> None:
    numbers = column_numbers(about, table, about["rising"])
    label = about["columns"][_index(about, about["rising"])]["label"].lower()
    for place in range(1, len(numbers)):
        if numbers[place] <= numbers[place - 1]:
            given = table["rows"][place][_index(about, about["rising"])]
            raise Refused(
                "order", label + " in row " + str(place + 1), given, "above that of the row before", "Put the rows in order."
            )


def _index(about: dict, name: str) -> int:
    return [column["name"] for column in about["columns"]].index(name)


def column_numbers(about: dict, table: dict, name: str) -> list:
    """A column of numbers in the first unit of its description; None where a cell is empty. The table has passed `check_table`."""
    place = _index(about, name)
    column, unit = about["columns"][place], table["units"][place]
    base, found = column["units"][0], []
    for row in table["rows"]:
        number = quick_number(row[place]) if unit == base else None
        if number is None and not is_blank(row[place]):
            number = _cell_number(column, unit, row[place], name)
        found.append(number)
    return found


def column_words(about: dict, table: dict, name: str) -> list:
    """A column of words as they stand, empty text where nothing was chosen."""
    place = _index(about, name)
    return [row[place] for row in table["rows"]]
