"""Limit sets as a person reads them: what each row is a limit of, how much, where it stands and how it was seen.

Command line, phone and office show these texts as they are.
"""

from . import kinds, limits
from .checks.base import SEEN_WORDS, source_text
from .errors import Refused
from .limit_curves import formula_text, value_table
from .units_words import unit_word

_UNIT_WORDS = {"MHz*km": "MHz\u00b7km", "N/mm2": "N/mm\u00b2", "d": "days", "month": "months"}
_SENSE = {"max": "at most ", "min": "at least "}
_FOR_CHOICE = {
    "limit_set": "Chosen on a link: limits by",
    "burial_rule": "Chosen on a link: depth judged by",
    "electrode_reference": "Chosen on a link: earth electrode judged by",
    "application": "Chosen on a link: must carry",
}
_WHAT = {
    "delay": "Propagation delay",
    "skew": "Delay skew",
    "loop_resistance": "Pair loop resistance",
    "unbalance_within": "Resistance unbalance within a pair",
    "unbalance_between": "Resistance unbalance between pairs",
    "length": "Length",
    "conductor": "Conductor resistance, each 100 m at 20 \u00b0C",
    "length_at_temperature": "Length of cable by its temperature",
    "return_loss_exempt_below": "Return loss counts where insertion loss is",
    "next_exempt_below": "NEXT counts where insertion loss is",
    "psnext_exempt_below": "PSNEXT counts where insertion loss is",
    "acrf_exempt_above": "ACR-F counts where FEXT is",
    "psacrf_exempt_above": "PSACR-F counts where power-sum FEXT is",
    "class_power": "Power of the source",
    "load_voltage": "Voltage at the load",
    "pair_set_current": "Current in a pair set",
    "pair_set_resistance": "Channel resistance of a pair set",
    "bond_total": "Two-point bond resistance",
    "lead_length": "Earth lead of a surge protector, wanted",
    "lead_length_most": "Earth lead of a surge protector, most",
    "danger": "Voltage that is not dangerous to touch",
    "electrode": "Earth electrode resistance",
    "port_withstand": "Surge that a port stands",
    "slope_coefficient": "Slope coefficient",
    "clamp_loop": "Clamp-on reading that is soil",
    "mating": "Mated pair of connectors",
    "splice": "Splice",
    "end_mating": "First and last mating, reference cord to link",
    "allowance": "Loss of the whole link",
    "length_cap": "Longest link that the table is for",
    "reference_cord": "Reference cord to reference cord",
    "connector": "Return loss of a mated connection",
    "link": "Return loss of the link",
    "accuracy": "Accuracy of a module's reading",
}
_MODES = {"MM": "multimode", "SM": "single-mode", "SM:PC": "single-mode, flat polish", "SM:APC": "single-mode, angled"}
_TABLES = {"SM_PC": "Single-mode, flat polish", "SM_APC": "Single-mode, angled polish", "MM_PC": "Multimode"}


def listed() -> list:
    """All limit sets in short, in the order of their titles: [{"id", "title", "document", "edition", "media", "rows", "use"}]."""
    found = [_head(file_id) for file_id in limits.file_ids()]
    return sorted(found, key=lambda head: (head["title"], head["id"]))


def _head(file_id: str) -> dict:
    about = limits.document(file_id)
    about["media_words"] = ", ".join([label for word, label in kinds.MEDIA if word in about["media"]])
    about["rows"] = len(_readable(file_id))
    about["use"] = _FOR_CHOICE.get(limits.chooses(file_id), "")
    about["from_memory"] = len([1 for row in _readable(file_id) if row["seen"] == "memory"])
    return about


def _readable(file_id: str) -> list:
    """Rows that hold a limit; the others only name an application or a zone."""
    return [row for row in limits.rows(file_id) if row.get("kind") not in ("application", "zone")]


def described(file_id: str) -> dict:
    """One limit set with its rows in groups: its head, "difference" and "groups" [{"title", "rows"}]. Errors: Refused("unknown")."""
    if file_id not in limits.file_ids():
        allowed = "one of " + ", ".join(limits.file_ids())
        raise Refused("unknown", "limits", file_id, allowed, "List them with: spanbook limits")
    held, groups, places = _head(file_id), [], {}
    for row in _readable(file_id):
        title = group_of(file_id, row)
        if title not in places:
            places[title] = len(groups)
            groups.append({"title": title, "rows": []})
        groups[places[title]]["rows"].append(readable(file_id, row))
    held["groups"] = groups
    return held


def readable(file_id: str, row: dict) -> dict:
    """One row in words: {"id", "what", "value", "formula", "table", "clause", "seen", "seen_words", "note"}; what there is not is ''."""
    source = limits.source(file_id, row)
    seen = SEEN_WORDS[row["seen"]]
    return {
        "id": row["id"],
        "what": _upper(what_of(row)),
        "value": value_of(row),
        "formula": formula_text(row),
        "table": _table(row),
        "clause": _where(source),
        "seen": row["seen"],
        "seen_words": _upper(seen),
        "note": row.get("note", ""),
    }


def _where(source: dict) -> str:
    if source["seen"] == "practice":
        return ""
    text = source_text(source)
    return text[: text.rindex(" (")] if " (" in text else text


def what_of(row: dict) -> str:
    """What a row is a limit of."""
    if "what" in row:
        return row["what"]
    if "label" in row:
        return row["label"]
    kind, quantity = row.get("kind"), row.get("quantity")
    if kind == "attenuation":
        return "Attenuation of " + row["fibre"] + " at " + row["wavelength"] + " nm"
    if kind == "fit":
        way = {"down": ", downstream", "up": ", upstream"}.get(row.get("direction"), "")
        return row["application"] + " over " + row["fibre"] + way
    if kind == "count":
        return row["meaning"]
    for word, label in kinds.PARAMETERS:
        if word == quantity:
            return label
    if not row.get("clause") and row.get("document"):
        return row["document"]
    named = _WHAT.get(quantity or kind, row.get("clause") or row["id"])
    marks = [_MODES.get(row.get("mode") or row.get("of"), ""), row.get("application", "") if kind == "link" else ""]
    marks.append({"yes": "screened", "no": "unscreened"}.get(row.get("screened"), ""))
    marks.append(row.get("module", ""))
    if quantity in ("danger", "port_withstand", "slope_coefficient"):
        marks.append(row["clause"])
    return ", ".join([part for part in [named] + marks if part])


def value_of(row: dict) -> str:
    """How much: 'at most 25 ohm', '3 % of the pair, but 200 mohm at the least', or words."""
    if "text" in row:
        return row["text"]
    if row.get("kind") == "fit":
        return _fit(row)
    if "percent" in row:
        return "at most the greater of " + row["percent"] + " % and " + row["floor"] + " " + _unit(row)
    if "factor" in row and "joint" in row:
        added = " (" + row["joint"] + " " + _unit(row) + " a joint added) + "
        return "at most " + row["factor"] + " \u00d7 the conductor's own" + added + row["allowance"] + " " + _unit(row)
    if row.get("kind") == "allowance":
        return "attenuation \u00d7 length + end matings + other matings + splices"
    if row.get("value") is None:
        return "by frequency" if "formula" in row or "from_mhz" in row else "by the table"
    value = _SENSE.get(row.get("sense"), "") + (row["value"] + " " + _unit(row)).strip(" ")
    if "load_power" in row:
        return value + ", for a load to " + row["load_power"] + " W from " + row["source_voltage_min"] + " V"
    if "area_mm2" in row:
        return value + ", " + row["area_mm2"] + " mm\u00b2"
    return value + (", and " + row["factor"] + " times its largest dimension" if "factor" in row else "")


def _fit(row: dict) -> str:
    parts = ["no loss limit known" if row["value"] is None else "loss at most " + row["value"] + " dB"]
    if row.get("loss_min"):
        parts.append("at least " + row["loss_min"] + " dB")
    parts.append("no reach" if row.get("reach") is None else "reach " + row["reach"] + " " + row["reach_unit"])
    if row.get("reach") is not None and row.get("reach_seen") != row["seen"]:
        parts[-1] += " (" + SEEN_WORDS[row["reach_seen"]] + ")"
    return ", ".join(parts)


def _unit(row: dict) -> str:
    unit = row.get("unit", "")
    return _UNIT_WORDS.get(unit, unit_word(unit))


def _table(row: dict) -> dict | None:
    if "sizes" in row:
        return {"head": [row["head"][0] + ", " + row["unit"], row["head"][1]], "rows": row["sizes"]}
    if row.get("quantity") == "length_at_temperature":
        return {"head": ["\u00b0C", "m"], "rows": row["table"]}
    return value_table(row)


def group_of(file_id: str, row: dict) -> str:
    """The heading that a row stands under; '' for a set that needs none."""
    if "category" in row and "setup" in row:
        return "Category " + row["category"] + " / class " + row["class"] + ", " + _setup(row["setup"])
    if "setup" in row:
        return _upper(_setup(row["setup"]))
    if "zone" in row and "table" in row:
        return _TABLES.get(row["table"], row["table"]) + ", zone " + row["zone"]
    if row.get("type"):
        return "Type " + row["type"]
    if row.get("class"):
        return "Class " + row["class"]
    if "application" in row:
        return row["application"]
    if row.get("kind") in ("reference_cord", "connector") and "limit_set" in row:
        return limits.document(row["limit_set"])["title"]
    if row.get("material"):
        return "Bore of " + row["material"]
    return _before_comma(file_id, row)


def _before_comma(file_id: str, row: dict) -> str:
    """Light sent and received stands under its application: the words of the row up to what it is a figure of."""
    if file_id != "ieee-802.3-optical-power" or ":" not in row["id"]:
        return ""
    return row["what"].partition(", light")[0].partition(", power")[0].partition(", penalties")[0]


def _setup(word: str) -> str:
    return word.replace("_", " ")


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]
