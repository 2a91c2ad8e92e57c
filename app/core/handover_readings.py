"""Readings as tables for a spreadsheet: a row a reading as it was typed, and a file for the rows of each quantity that is a table itself."""

from .handover_tables import pair_of
from .handover_text import csv
from .numbers import clean_decimal
from .quantities import EXTRA_UNITS, quantity
from .record_words import reading_title, reading_value
from .textform import dumps

_MARKS = ("side", "strand", "pair", "pair2", "parameter", "wavelength", "direction")
_TYPED = ["frequency"] + [name for name in sorted(EXTRA_UNITS) if name != "frequency"]
_WORDS = ("method", "reference_at", "launch", "accuracy_level", "module", "conditions", "origin", "split", "visit", "note")
_INSTRUMENT = ("name", "serial", "calibrated", "due")
_ELSEWHERE = ("link", "quantity", "value", "answer", "map", "counts", "table", "of", "uncertainty", "instrument")


def readings_csv(link: dict, names: object) -> str:
    """Every reading of a link, oldest first, those that do not count too. names: what things are called."""
    return csv(_head(), [_row(reading, names) for reading in link["readings"]])


def _head() -> list:
    head = ["taken", "by", "quantity", "reading", "found", "value", "unit", "value_as_typed", "uncertainty", "uncertainty_unit"]
    head += list(_MARKS) + ["of"]
    for name in _TYPED:
        head += [name, name + "_unit"]
    head += list(_WORDS) + ["instrument"] + ["instrument_" + name for name in _INSTRUMENT[1:]]
    return head + ["further", "voided", "voided_because", "voided_by", "voided_at", "id"]


def _row(reading: dict, names: object) -> list:
    body, value = reading["body"], reading["body"].get("value")
    row = [reading["at"], reading["by"], body["quantity"], reading_title(body, names)]
    row += [None if value else reading_value(reading)] + pair_of(value) + [value["value"] if value else None]
    row += pair_of(body.get("uncertainty")) + [_text(body.get(name)) for name in _MARKS]
    row.append(names.of(body["of"]) if body.get("of") else None)
    for name in _TYPED:
        row += pair_of(body.get(name))
    instrument = body.get("instrument") or {}
    row += [_text(body.get(name)) for name in _WORDS] + [_text(instrument.get(name)) for name in _INSTRUMENT]
    void = reading["voided"] or {}
    row += [_further(body), "yes" if void else "no", void.get("reason"), void.get("by"), void.get("at")]
    return row + [reading["id"]]


def _text(value: object) -> object:
    return value if value is None or isinstance(value, str) else dumps(value)


def _further(body: dict) -> str | None:
    """What a reading holds beside these columns, as JSON; a later version may write more than this one knows."""
    known = _MARKS + _WORDS + _ELSEWHERE
    held = {name: body[name] for name in body if name not in known and name not in _TYPED and body[name] is not None}
    return dumps(held) if held else None


def table_files(link: dict, names: object) -> list:
    """[[file name, CSV]...]: for each quantity of the link whose readings are tables, every row of every such reading."""
    found = []
    for name in sorted({reading["body"]["quantity"] for reading in link["readings"] if reading["body"].get("table")}):
        about = quantity(name)
        if about and about.get("columns"):
            found.append(["readings-" + name + ".csv", _table_csv(about, link["readings"], names)])
    return found


def _table_csv(about: dict, readings: list, names: object) -> str:
    head = ["reading", "row"]
    for column in about["columns"]:
        head += [column["name"]] + ([column["name"] + "_unit"] if _has_unit(column) else [])
    rows = []
    for reading in readings:
        if reading["body"]["quantity"] == about["name"] and reading["body"].get("table"):
            rows += _table_rows(about["columns"], reading, names)
    return csv(head + ["voided", "id"], rows)


def _has_unit(column: dict) -> bool:
    return "words" not in column and column["units"][0] != ""


def _table_rows(columns: list, reading: dict, names: object) -> list:
    table, title = reading["body"]["table"], reading_title(reading["body"], names)
    last = ["yes" if reading["voided"] else "no", reading["id"]]
    found = []
    for index in range(len(table["rows"])):
        row = [title, index + 1]
        for place in range(len(columns)):
            typed = table["rows"][index][place]
            number = "words" not in columns[place] and typed != ""
            row.append(clean_decimal(typed) if number else typed)
            if _has_unit(columns[place]):
                row.append(table["units"][place])
        found.append(row + last)
    return found
