"""Rules for surge protectors on copper between buildings, and for metal in a fibre cable."""

from .. import limits
from ..earthing import lead_voltage_v
from ..kinds import FIBRE, METAL_MEDIA
from ..numbers import short_text, text
from . import base, judging, power_case

GROUP = "earthing"
FILE = "earthing"
_SIDES = ["near", "far"]


def protectors(link: dict, site: dict) -> list:
    """A surge protector at each end of copper between buildings, and the earth lead of each one recorded."""
    checks = [_protector_at(link, side) for side in _SIDES] if link["medium"] in METAL_MEDIA else []
    for protector in link["protectors"]:
        checks.append(_lead(protector))
        checks += _level(link, protector)
    return checks


def _protector_at(link: dict, side: str) -> dict:
    row, keys = limits.row(FILE, "protector_each_end"), [["side", side]]
    title, source = "Surge protector, " + side + " end", base.source_of(FILE, row)
    held = [base.field(one, "name") or "protector" for one in link["protectors"] if base.field(one, "side") == side]
    wanted = "one at each end"
    if not held:
        missing = "none is recorded at the " + side + " end"
        return base.not_measured("protector", keys, GROUP, title, limit_text=wanted, sense="is", source=source, missing=missing)
    notes = ["A protector limits surges; it does not take away a standing potential between the earths."]
    return base.statement("protector", keys, GROUP, title, True, ", ".join(sorted(held)), wanted, source, notes=notes)


def _lead(protector: dict) -> dict:
    row, keys = limits.row(FILE, "lead_length_most"), [["of", protector["subject"]]]
    title = "Earth lead of " + (base.field(protector, "name") or "surge protector")
    length = base.number(protector, "lead_length", "m")
    if length is None:
        return judging.waiting("protector_lead", keys, GROUP, title, FILE, row, missing="needs the length of its earth lead")
    wanted = limits.row(FILE, "lead_length")["value"]
    notes = ["Longer than the " + wanted + " m to aim for: shorten it where it can be."] if length > float(wanted) else []
    return judging.by_row(
        "protector_lead", keys, GROUP, title, length, FILE, row, working=_lead_lines(protector, length), notes=notes
    )


def _lead_lines(protector: dict, length: float) -> list:
    surge = limits.row(FILE, "lead_current")
    added = lead_voltage_v(float(surge["current"]), float(surge["rise_time"]), length)
    lines = [
        "a surge of " + surge["current"] + " A rising in " + surge["rise_time"] + " us adds 1 uH/m * " + short_text(length) + " m * "
        + surge["current"] + " A / " + surge["rise_time"] + " us = " + text(added, 0) + " V along the lead"
    ]  # fmt: skip
    level = base.number(protector, "protection_level", "V")
    if level is not None:
        lines.append(
            "with the protector's level of " + short_text(level) + " V the equipment sees " + text(level + added, 0) + " V"
        )
    return lines


def withstand(link: dict) -> dict:
    """The surge that the ports withstand: {"v", "source", "notes"}; as typed on the link, else a figure from memory that says so."""
    stated = base.number(link, "port_withstand", "V")
    if stated:
        source = base.typed_source(base.field(link, "port_withstand_source") or "What the ports withstand, as typed on the link")
        return {"v": stated, "source": source, "notes": []}
    row = limits.row(FILE, "port_withstand")
    notes = ["What the ports withstand is not typed on the link: taken as " + row["value"] + " " + row["unit"] + ", from memory."]
    return {"v": float(row["value"]) * 1000.0, "source": base.source_of(FILE, row), "notes": notes}


def _level(link: dict, protector: dict) -> list:
    """Protection level and the voltage along the lead together, against what the port withstands with a fifth in hand."""
    level, length = base.number(protector, "protection_level", "V"), base.number(protector, "lead_length", "m")
    if link["medium"] not in METAL_MEDIA or level is None or length is None:
        return []
    port, share = withstand(link), limits.row(FILE, "port_margin")
    surge = limits.row(FILE, "lead_current")
    added = lead_voltage_v(float(surge["current"]), float(surge["rise_time"]), length)
    limit = port["v"] * float(share["value"]) / 100.0
    working = _lead_lines(protector, length) + [
        "the port withstands " + short_text(port["v"]) + " V; " + share["value"] + " % of it, " + share["document"] + " (common practice) = "
        + text(limit, 0) + " V"
    ]  # fmt: skip
    notes = port["notes"] + (["Shorten the lead, or use a protector with a lower level."] if level + added > limit else [])
    title = "Surge at the port behind " + (base.field(protector, "name") or "surge protector")
    keys, more = [["of", protector["subject"]]], {"working": working, "notes": notes}
    return [base.judge("protector_level", keys, GROUP, title, level + added, limit, "V", 0, "max", port["source"], **more)]


def rated_currents(link: dict, site: dict) -> list:
    """The rated line current of each protector, where it is recorded, against what the load draws through a pair set."""
    if link["medium"] not in METAL_MEDIA or not judging.carries_power(link):
        return []
    rated = [[one, base.number(one, "rated_current", "A")] for one in link["protectors"]]
    rated = [pair for pair in rated if pair[1] is not None]
    drawn = power_case.drawn_current(link) if rated else {}
    return [_rated_current(protector, most, drawn) for protector, most in rated]


def _rated_current(protector: dict, most: float, drawn: dict) -> dict:
    rule, keys, name = "protector_current", [["of", protector["subject"]]], base.field(protector, "name") or "surge protector"
    title, source = "Current of the load through " + name, base.typed_source("Rated line current of the protector")
    if "missing" in drawn:
        missing = judging.needs(drawn["missing"])
        return base.not_measured(rule, keys, GROUP, title, None, short_text(most), "A", "max", source, missing=missing)
    more = {"working": drawn["working"], "readings": drawn["readings"], "notes": drawn["notes"]}
    return base.judge(rule, keys, GROUP, title, drawn["a"], most, "A", 3, "max", source, **more)


def cable_metal(link: dict, site: dict) -> list:
    """Metal in a fibre cable is bonded at each building or interrupted at entry, never left open."""
    if link["medium"] != FIBRE:
        return []
    row, title = limits.row(FILE, "cable_metal"), "Metal in the cable"
    source, wanted = base.source_of(FILE, row), "none, interrupted at entry, or bonded at each building"
    state = base.field(link, "cable_metal")
    if not state:
        missing = "say on the link what metal the cable has"
        return [base.not_measured("cable_metal", [], GROUP, title, source=source, required=False, missing=missing)]
    lacking = [side for side in _SIDES if state == "bonded" and side not in [base.field(bond, "side") for bond in link["bonds"]]]
    if lacking:
        missing = "no bond is recorded at the " + " and the ".join(lacking) + " end"
        return [base.not_measured("cable_metal", [], GROUP, title, limit_text=wanted, sense="is", source=source, missing=missing)]
    words = {
        "none": "no metal",
        "bonded": "bonded at each building",
        "interrupted": "interrupted at entry",
        "open": "neither bonded nor interrupted",
    }
    return [base.statement("cable_metal", [], GROUP, title, state != "open", words[state], wanted, source)]


RULES = [protectors, rated_currents, cable_metal]
