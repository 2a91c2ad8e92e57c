"""What every rule builds on: reach a field or a reading, compare in whole steps, word the verdict."""

import math

from .. import limits, units
from ..numbers import parse_decimal, short_text, steps_text, to_steps
from ..units_words import unit_word
from . import own
from .readings import apart_by as apart_by  # rules reach all they need by way of this module
from .readings import counting_readings as counting_readings
from .readings import draft_and_alike as draft_and_alike
from .readings import each as each
from .readings import latest as latest
from .readings import mark_of as mark_of
from .readings import newest as newest
from .readings import on_trial as on_trial
from .readings import once as once
from .readings import when as when

PASS = "pass"
PASS_WITHIN = "pass_within_uncertainty"
FAIL_WITHIN = "fail_within_uncertainty"
FAIL = "fail"
NOT_MEASURED = "not_measured"
PASSING = (PASS, PASS_WITHIN)
FAILING = (FAIL, FAIL_WITHIN)

VERDICT_WORDS = {
    PASS: "Passes",
    PASS_WITHIN: "Passes within uncertainty",
    FAIL_WITHIN: "Fails within uncertainty",
    FAIL: "Fails",
    NOT_MEASURED: "Not measured",
}
SEEN_WORDS = {
    "2+": "seen in two or more public places",
    "1": "seen in one public place",
    "memory": "from memory, check your edition",
    "practice": "common practice",
    "typed": "typed in for this link",
}
MEMORY_MARK = "\u2020"
MEMORY_LEGEND = MEMORY_MARK + " limit from memory, check your edition"


def memory_mark(check: dict) -> str:
    """A mark to follow a verdict where there is no room for the source of its limit, when that is from memory; else ''."""
    return " " + MEMORY_MARK if check["source"] and check["source"]["seen"] == "memory" else ""


# ---- reaching fields and readings


def field(thing: dict, name: str) -> object:
    """The value of a thing's field, or None when it is not set."""
    held = thing["fields"].get(name)
    return held["value"] if held else None


def number(thing: dict, name: str, unit: str) -> float | None:
    """A quantity field as a float in that unit, or None when it is not set."""
    value = field(thing, name)
    return None if value is None else units.typed(value, unit, name)


def decimal(thing: dict, name: str) -> float | None:
    """A decimal or count field as a float, or None when it is not set."""
    value = field(thing, name)
    return None if value in (None, "") else parse_decimal(value, name)


def reading_number(reading: dict, unit: str) -> float:
    """The value of a reading in that unit."""
    return units.typed(reading["body"]["value"], unit, reading["body"]["quantity"])


def reading_uncertainty(reading: dict, unit: str) -> float | None:
    """The uncertainty stated with a reading (k = 2), in that unit, or None. That of an optical power in dBm is in dB."""
    stated = reading["body"].get("uncertainty")
    return None if not stated else abs(units.typed(stated, "dB" if unit == "dBm" else unit, "uncertainty"))


def combined_uncertainty(readings: list, unit: str, share: float = 1.0) -> float | None:
    """Uncertainty of a sum or difference of readings, each times a share: root of the sum of squares (ISO/IEC Guide 98-3).

    None unless every reading states its own: a guard band of a part of them would be too narrow.
    """
    total = 0.0
    for reading in readings:
        stated = reading_uncertainty(reading, unit)
        if stated is None:
            return None
        total += stated * share * stated * share
    return math.sqrt(total)


# ---- where a limit comes from


def source_of(file_id: str, row: dict) -> dict:
    """The source of a limit row: document, edition, clause, and how it was seen."""
    return limits.source(file_id, row)


def typed_source(text: str) -> dict:
    """The source of a limit that the installer typed in."""
    return {"document": text, "edition": "", "clause": "", "seen": "typed"}


def practice_source(what: str) -> dict:
    """The source of a rule that is custom, with no published place."""
    return {"document": what, "edition": "", "clause": "", "seen": "practice"}


def source_text(source: dict | None) -> str:
    """A source in one line: document, edition, clause, and how it was seen; 'common practice: what' where nothing is published."""
    if not source:
        return ""
    asked = (source["document"], source["edition"], source["clause"], source["seen"])
    if asked not in _worded:
        if len(_worded) >= _MOST_WORDED:
            _worded.clear()
        _worded[asked] = _source_text(source)
    return _worded[asked]


_worded = {}  # hundreds of rows lean on a handful of sources
_MOST_WORDED = 500


def _source_text(source: dict) -> str:
    name = source["document"]
    if source["edition"] and source["edition"] not in name:
        dated = source["edition"].isdigit() and not name.endswith(")")
        name += (":" if dated else " ") + source["edition"]
    if source["clause"]:
        name += ", " + source["clause"]
    words = SEEN_WORDS[source["seen"]]
    if source["seen"] == "practice":
        return words + (": " + name if name else "")
    return name + " (" + words + ")" if name else words


# ---- building check rows


def check_id(rule: str, keys: list) -> str:
    """Stable id of a check: the rule and its marks, such as fibre_loss:strand=1:wavelength=1310. keys: [name, value] pairs in order."""
    return ":".join([rule] + [key + "=" + str(value) for key, value in keys])


def _row(rule: str, keys: list, group: str, title: str, verdict: str) -> dict:
    return {
        "id": check_id(rule, keys),
        "rule": rule,
        "group": group,
        "title": title,
        "required": True,
        "verdict": verdict,
        "measured": None,
        "limit": None,
        "margin": None,
        "uncertainty": None,
        "sentence": "",
        "source": None,
        "working": [],
        "notes": [],
        "readings": [],
        "form": None,
        "deviation": None,
        "bar": None,
        "published": None,
        "decision": "",
    }


def judge(
    rule: str,
    keys: list,
    group: str,
    title: str,
    measured: float,
    limit: float,
    unit: str,
    decimals: int,
    sense: str,
    source: dict,
    working: list | None = None,
    readings: list | None = None,
    decision: str | None = None,
    uncertainty: float | None = None,
    notes: list | None = None,
    required: bool = True,
    form: dict | None = None,
    equal_passes: bool = True,
    published: dict | None = None,
) -> dict:
    """A measured number against a limit -> check row.

    measured, limit, uncertainty: floats in `unit`; decimals: the limit's resolution, in whose whole steps the verdict is taken; sense: "max" or
    "min"; decision: "simple" or "guarded" (then a stated uncertainty makes the two verdicts between), the link's own where None; readings: the
    readings used. Where a limit was typed for the link (own.py) it decides, and the one given here is shown beside it as the published one; a
    rule that takes the project's own limit itself says what it stands in for: published {"limit", "source"}.
    """
    taken = own.for_rule(rule, unit, sense, decimals)
    if taken:
        published = None if limit is None else {"limit": limit, "source": source}
        limit, decimals, source, equal_passes = taken["limit"], taken["decimals"], taken["source"], True
    decision = decision or own.decision_rule()
    measured_steps, limit_steps = to_steps(measured, decimals), to_steps(limit, decimals)
    margin_steps = limit_steps - measured_steps if sense == "max" else measured_steps - limit_steps
    guard_steps = to_steps(uncertainty, decimals) if uncertainty else 0
    verdict = _verdict(margin_steps, guard_steps if decision == "guarded" else 0, equal_passes)
    row = _row(rule, keys, group, title, verdict)
    word = unit_word(unit)
    row["measured"] = {"text": steps_text(measured_steps, decimals), "unit": word}
    row["limit"] = {"text": steps_text(limit_steps, decimals), "unit": word, "sense": sense}
    apart = "dB" if unit == "dBm" else word  # two levels lie decibels apart
    row["margin"] = {"text": steps_text(margin_steps, decimals), "unit": apart}
    if guard_steps:
        row["uncertainty"] = {"text": steps_text(guard_steps, decimals), "unit": apart}
    row["bar"] = _bar(measured_steps, limit_steps, guard_steps)
    _fill(row, source, working, readings, notes, required, form)
    row["decision"] = _decision_words(row, decision)
    row["working"].append(_comparison(row, sense, equal_passes))
    row["sentence"] = _sentence(row)
    if published:
        _beside_published(row, limit, published, unit, sense)
        by_published = to_steps(published["limit"], decimals)
        margin_steps = by_published - measured_steps if sense == "max" else measured_steps - by_published
        other = _verdict(margin_steps, guard_steps if decision == "guarded" else 0, True)
        row["notes"].append("By that limit: " + VERDICT_WORDS[other].lower() + ".")
    return row


def _beside_published(row: dict, limit: float, published: dict, unit: str, sense: str) -> None:
    """A limit of the project's or a maker's own never hides the published one: both figures, and which way they differ."""
    shown = (short_text(published["limit"], 6) + " " + unit_word(unit)).strip(" ")
    how = own.against(limit, published["limit"], sense)
    source = published["source"]
    row["published"] = {"text": short_text(published["limit"], 6), "unit": unit_word(unit), "sense": sense, "how": how}
    row["published"]["source"], row["published"]["set"] = source_text(source), source.get("set", "")
    whose = "the one set on the link, " if source["seen"] == "typed" else "the published "
    row["sentence"] += " " + how[:1].upper() + how[1:] + " " + whose + shown + "."
    row["notes"].append(how[:1].upper() + how[1:] + " " + source_text(source) + ": " + shown + ".")


def _verdict(margin: int, guard: int, equal_passes: bool) -> str:
    if margin > 0 or (margin == 0 and equal_passes):
        return PASS if margin >= guard else PASS_WITHIN
    return FAIL_WITHIN if guard and margin >= -guard else FAIL


def statement(
    rule: str,
    keys: list,
    group: str,
    title: str,
    ok: bool,
    measured_text: str,
    limit_text: str,
    source: dict | None,
    working: list | None = None,
    readings: list | None = None,
    notes: list | None = None,
    required: bool = True,
    form: dict | None = None,
) -> dict:
    """A yes/no finding -> check row: what was found, what is wanted, and the verdict pass or fail."""
    row = _row(rule, keys, group, title, PASS if ok else FAIL)
    row["measured"] = {"text": measured_text, "unit": ""}
    if limit_text:
        row["limit"] = {"text": limit_text, "unit": "", "sense": "is"}
    _fill(row, source, working, readings, notes, required, form)
    row["sentence"] = VERDICT_WORDS[row["verdict"]] + ": " + measured_text + "." + _wanted(limit_text, source)
    return row


def not_measured(
    rule: str,
    keys: list,
    group: str,
    title: str,
    form: dict | None = None,
    limit_text: str = "",
    unit: str = "",
    sense: str = "max",
    source: dict | None = None,
    notes: list | None = None,
    required: bool = True,
    missing: str = "",
) -> dict:
    """A check that waits: `form` says which reading settles it, `missing` says in words what is lacking."""
    row = _row(rule, keys, group, title, NOT_MEASURED)
    taken = own.for_rule(rule, unit, sense, 0) if unit else None
    published = None
    if taken:
        published = {"limit": parse_decimal(limit_text), "source": source} if limit_text else None
        limit_text, source = short_text(taken["limit"], 6), taken["source"]
    if limit_text:
        row["limit"] = {"text": limit_text, "unit": unit_word(unit), "sense": sense}
    _fill(row, source, None, None, notes, required, form)
    row["sentence"] = "Not measured" + (": " + missing if missing else "") + "."
    if limit_text:
        limit = (limit_text + " " + unit_word(unit)).strip(" ")
        row["sentence"] += _wanted(limit, source) if sense == "is" else " Limit " + limit + _from(source)
    if published:
        _beside_published(row, taken["limit"], published, unit, sense)
    return row


def _fill(
    row: dict,
    source: dict | None,
    working: list | None,
    readings: list | None,
    notes: list | None,
    required: bool,
    form: dict | None,
) -> None:
    if source:  # with its line of text, so that no screen or page words it again
        row["source"] = {name: source[name] for name in ("document", "edition", "clause", "seen")}
        row["source"]["text"] = source_text(source)
        row["source"]["set"] = source.get("set", "")  # the limit set that it can be read in
    row["working"] = list(working or [])
    row["readings"] = [reading["id"] for reading in readings or []]
    row["notes"] = list(notes or [])
    row["required"] = required
    row["form"] = form


def _decision_words(row: dict, decision: str) -> str:
    """By which rule it was decided; without a stated uncertainty nothing can be guarded."""
    if decision != "guarded":
        return "simple acceptance"
    if row["uncertainty"]:
        return "guarded by the stated uncertainty of " + row["uncertainty"]["text"] + " " + row["uncertainty"]["unit"]
    return "simple acceptance, since no uncertainty is stated"


def _comparison(row: dict, sense: str, equal_passes: bool) -> str:
    measured, limit, margin = row["measured"]["text"], row["limit"]["text"], row["margin"]["text"]
    parts = (limit + " - " + measured) if sense == "max" else (measured + " - " + limit)
    line = "margin = " + parts + " = " + margin + " " + row["margin"]["unit"]
    return line.strip(" ") + "; " + row["decision"].strip(" ") + ("" if equal_passes else ", equal does not pass")


def _sentence(row: dict) -> str:
    margin = row["margin"]["text"]
    amount = (margin.lstrip("-") + " " + row["margin"]["unit"]).strip(" ")
    word = VERDICT_WORDS[row["verdict"]]
    tail = ", " + amount + " to spare" if row["verdict"] in PASSING else " by " + amount
    limit = (row["limit"]["text"] + " " + row["limit"]["unit"]).strip(" ")
    return word + tail + ". Limit " + limit + _from(row["source"])


def _wanted(what: str, source: dict | None) -> str:
    if not what:
        return ""
    return " Wanted: " + what + "." + (" Source: " + source_text(source) + "." if source else "")


def _from(source: dict | None) -> str:
    text = source_text(source)
    if not text:
        return "."
    return (", " if source["seen"] == "practice" else " from ") + text + "."


def _bar(measured: int, limit: int, guard: int) -> dict:
    """Where measured and limit lie on a bar of 1000, which starts at zero when both are above it."""
    low = min(0, measured - guard, limit)
    high = max(measured + guard, limit, 0)
    span = max(high - low, 1)
    if low < 0:
        low -= span // 10
    high += span // 4
    span = max(high - low, 1)

    def place(steps: int) -> int:
        return max(0, min(1000, (steps - low) * 1000 // span))

    band = [place(measured - guard), place(measured + guard)] if guard else None
    return {"position": place(measured), "limit": place(limit), "band": band}
