"""Record sections on what was measured: readings with instruments, margins, applications, the working."""

from . import acceptance, pictures
from .numbers import clean_decimal
from .picture_bars import MOST_ROWS
from .quantities import quantity
from .record_blocks import drawing, filled_table, section, table, text
from .record_words import (
    NONE,
    figures,
    measure,
    reading_title,
    reading_value,
    seen_rows,
    source_words,
    typed_text,
    verdict_word,
    when,
)

_METHODS = {"one_cord": "one-cord method", "two_cord": "two-cord method", "three_cord": "three-cord method"}


def readings_section(link: dict, names: object) -> dict:
    """Every reading as typed, with its instrument; those that do not count, with the reason; the instruments."""
    if not link["readings"]:
        return section("readings", "Readings", [text(["No reading was taken."])])
    counting = [reading for reading in link["readings"] if not reading["voided"]]
    voided = [reading for reading in link["readings"] if reading["voided"]]
    instruments = _instruments(link)
    values = [reading for reading in counting if reading["body"].get("value")]
    found = [reading for reading in counting if not reading["body"].get("value")]
    blocks = [_readings("Value", "r", values, names, instruments), _readings("Found", "l", found, names, instruments)]
    return section("readings", "Readings", blocks + [_instrument_table(instruments), _voided(voided, names)])


def _readings(head: str, side: str, readings: list, names: object, instruments: list) -> dict | None:
    body = []
    for reading in readings:
        number = _instrument_number(reading, instruments)
        body.append(
            [
                reading_title(reading["body"], names),
                reading_value(reading),
                _how(reading["body"]),
                "I" + str(number) if number else "not named",
                when(reading["at"]),
                reading["by"],
            ]
        )
    return filled_table(["Reading", head, "How it was taken", "Instrument", "Taken", "By"], "l" + side + "llll", body)


def _how(body: dict) -> str:
    parts = []
    if body.get("method"):
        parts.append(_METHODS.get(body["method"], str(body["method"])))
    parts += _chosen(body)
    if body.get("reference_value") or body.get("reference_at"):
        reference = "reference"
        if body.get("reference_value"):
            reference += " " + typed_text(body["reference_value"])
        if body.get("reference_at"):
            reference += " at " + when(body["reference_at"])
        parts.append(reference)
    parts += _figures(body)
    if body.get("module"):
        parts.append("module " + str(body["module"]))
    if body.get("conditions"):
        parts.append(str(body["conditions"]))
    if body.get("visit") == "service":
        parts.append("service visit")
    if body.get("note"):
        parts.append(str(body["note"]))
    return "; ".join(parts)


def _chosen(body: dict) -> list:
    """Extras that are words of a list, such as the launch of a loss on multimode."""
    held = (quantity(body["quantity"]) or {}).get("extra_words") or {}
    return [
        name + ": " + label[:1].lower() + label[1:]
        for name in sorted(held)
        for word, label in held[name]
        if body.get(name) == word
    ]


def _figures(body: dict) -> list:
    parts = figures(body)
    stated = body.get("uncertainty")
    if stated:
        parts.append("uncertainty " + (typed_text(stated) if isinstance(stated, dict) else clean_decimal(stated)))
    return parts


def _instruments(link: dict) -> list:
    """[name, serial, calibrated, due] of every instrument used, once, in the order of first use."""
    found = []
    for reading in link["readings"]:
        row = _instrument_row(reading)
        if row and row not in found:
            found.append(row)
    return found


def _instrument_row(reading: dict) -> list | None:
    held = reading["body"].get("instrument") or {}
    row = [str(held.get(name) or "") for name in ("name", "serial", "calibrated", "due")]
    return row if any(row) else None


def _instrument_number(reading: dict, instruments: list) -> int:
    row = _instrument_row(reading)
    for index in range(len(instruments)):
        if row == instruments[index]:
            return index + 1
    return 0


def _instrument_table(instruments: list) -> dict | None:
    body = []
    for index in range(len(instruments)):
        body.append(["I" + str(index + 1)] + [part or NONE for part in instruments[index]])
    return table(["No.", "Instrument", "Serial", "Calibrated", "Calibration due"], "lllll", body) if body else None


def _voided(readings: list, names: object) -> dict | None:
    body = []
    for reading in readings:
        void = reading["voided"]
        body.append([reading_title(reading["body"], names), reading_value(reading), void["reason"], void["by"], when(void["at"])])
    return table(["Reading that does not count", "Value", "Reason", "Voided by", "At"], "lrlll", body) if body else None


def checks_section(checks: list) -> dict:
    """The margin table, a part for each group of checks, and the margin bars."""
    if not checks:
        return section("margins", "Margins", [text(["No check applies to this link yet."])])
    sources = _sources(checks)
    blocks = [text([_rule_line(checks), _LEGEND])]
    for group in acceptance.GROUPS:
        own = [check for check in checks if check["group"] == group]
        blocks.append(_margin_table(acceptance.GROUP_WORDS[group], own, sources))
    return section("margins", "Margins", blocks + _bars(checks))


_SIMPLE = "simple acceptance"


def _rule_line(checks: list) -> str:
    """By which decision rule the numbers were judged."""
    rules = [check.get("decision") or "" for check in checks if check.get("decision")]
    if not [rule for rule in rules if rule != _SIMPLE]:
        return "Decision rule: simple acceptance. What is measured is compared with the limit as it is; uncertainty moves no verdict."
    line = "Decision rule: guarded by the stated uncertainty (\u00b1, k = 2). Inside it a verdict says so."
    bare = [rule for rule in rules if not rule.startswith("guarded")]
    return line + (" Where no \u00b1 stands beside a measured figure, simple acceptance." if bare else "")


_LEGEND = (
    "S1, S2 ...: sources of the limits, listed further on. Once: seen in one public place. Memory: from memory, check your edition. "
    "Practice: no published source. Typed: typed in for this link."
)
# Beside a source's number, so that nobody has to turn the page to see what a verdict rests on.
_SEEN_SHORT = {"2+": "", "1": ", once", "memory": ", memory", "practice": ", practice", "typed": ", typed"}


def _sources(checks: list) -> list:
    """The words of every source of a limit, once, in the order of their numbers."""
    return sorted({source_words(check["source"]) for check in checks if check["source"]})


def _source_number(check: dict, sources: list) -> str:
    if not check["source"]:
        return NONE
    return "S" + str(sources.index(source_words(check["source"])) + 1) + _SEEN_SHORT[check["source"]["seen"]]


def _margin_table(group: str, checks: list, sources: list) -> dict | None:
    body = []
    for check in checks:
        title = check["title"] + ("" if check["required"] else " (for information)")
        verdict = verdict_word(check["verdict"]) + (", deviation accepted" if check["deviation"] else "")
        body.append([title, _measured(check), _limit(check), measure(check["margin"]), verdict, _source_number(check, sources)])
    return table([group, "Measured", "Limit", "Margin", "Verdict", "Source"], "lrrrll", body)


def _measured(check: dict) -> str:
    words = measure(check["measured"])
    return words + " \u00b1 " + check["uncertainty"]["text"] if check["uncertainty"] and check["measured"] else words


def _limit(check: dict) -> str:
    if not check["limit"]:
        return NONE
    return {"max": "\u2264 ", "min": "\u2265 "}.get(check["limit"].get("sense"), "") + measure(check["limit"])


def _bars(checks: list) -> list:
    drawn = [check for check in checks if check["bar"] and check["limit"]]
    blocks = []
    for first in range(0, len(drawn), MOST_ROWS):
        part = drawn[first : first + MOST_ROWS]
        alternative = "Margin bars of " + str(len(part)) + " checks; the numbers are those of the table of margins."
        blocks.append(drawing(pictures.bars(part), alternative))
    return blocks


CARRIES_WORDS = {"supported": "Yes", "no": "No", "not_proven": "Not proven"}


def applications_section(applications: list) -> dict | None:
    """What the measured link carries; None where the question does not arise."""
    body = [[row["label"], CARRIES_WORDS.get(row["verdict"], row["verdict"]), row["reason"]] for row in applications]
    found = filled_table(["Application", "Carried", "Why"], "lll", body)
    return section("applications", "Applications that the measured link carries", [found]) if found else None


def working_section(checks: list) -> dict | None:
    """How each verdict was reached, with this link's numbers; None when there is nothing to show."""
    body, before = [], []
    for check in checks:
        lines = list(check["working"]) + list(check["notes"])
        if lines and check["measured"]:
            body.append([check["title"], "\n".join(_after_the_same(lines, before))])
            before = lines
    found = table(["Check", "Working"], "ll", body)
    return section("working", "Annex: how each verdict was reached", [found]) if found else None


def _after_the_same(lines: list, before: list) -> list:
    """The lines without those that begin the row above alike, where that spares three or more."""
    alike = 0
    while alike < min(len(lines), len(before)) - 1 and lines[alike] == before[alike]:
        alike += 1
    return ["As above to: " + lines[alike - 1]] + lines[alike:] if alike >= 3 else lines


def sources_section(checks: list) -> dict | None:
    """Every source of a limit once, by its number, and what the words about how it was seen mean; None where nothing has a source."""
    found = _sources(checks)
    if not found:
        return None
    body = [["S" + str(place + 1), found[place]] for place in range(len(found))]
    meaning = table(["Seen", "Meaning"], "ll", seen_rows([check["source"]["seen"] for check in checks if check["source"]]))
    return section("sources", "Sources of the limits", [table(["No.", "Source, and how it was seen"], "ll", body), meaning])
