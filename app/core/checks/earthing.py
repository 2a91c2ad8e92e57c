"""Rules for earths and bonds at each end of a link."""

from .. import conductors, limits
from ..errors import Refused
from ..kinds import METAL_MEDIA
from ..numbers import short_text, text
from ..units import typed
from . import base, earth_soil, earth_tests, judging, own, storms, surges
from .earth_electrode import electrode_ohm, electrodes_read

GROUP = "earthing"
FILE = "earthing"
_SIDES = ["near", "far"]
_DANGER = "Dangerous: do not touch, do not bridge the earths, call an electrician."


def bonds(link: dict, site: dict) -> list:
    """Each bond recorded: against its own conductor, and against 0.1 ohm."""
    readings = {held["keys"]["of"]: held for held in base.latest(link, "bond_resistance", ["of"])}
    checks = []
    for bond in link["bonds"]:
        held = readings.get(bond["subject"])
        checks.append(_against_conductor(bond, held))
        checks.append(_against_total(bond, held))
    return checks


def _bond_name(bond: dict) -> str:
    side = base.field(bond, "side")
    return (base.field(bond, "name") or "bond") + (", " + side + " end" if side else "")


def _against_total(bond: dict, held: dict | None) -> dict:
    row, keys = limits.row(FILE, "bond_total"), [["of", bond["subject"]]]
    title = "Bond " + _bond_name(bond) + ": resistance"
    if held is None:
        form = {"quantity": "bond_resistance", "of": bond["subject"]}
        return judging.waiting("bond_total", keys, GROUP, title, FILE, row, form=form)
    more = judging.of_reading(held["reading"], "mohm", held["others"])
    return judging.by_row("bond_total", keys, GROUP, title, base.reading_number(held["reading"], "mohm"), FILE, row, **more)


def _against_conductor(bond: dict, held: dict | None) -> dict:
    row, keys = limits.row(FILE, "bond_expected"), [["of", bond["subject"]]]
    title = "Bond " + _bond_name(bond) + ": against its conductor"
    size, length = base.field(bond, "size"), base.number(bond, "length", "m")
    missing = [] if held else ["the bond resistance"]
    missing += [] if size else ["the conductor size"]
    missing += [] if length is not None else ["the conductor length"]
    form = None if held else {"quantity": "bond_resistance", "of": bond["subject"]}
    source = base.source_of(FILE, row)
    if missing:
        return base.not_measured("bond_conductor", keys, GROUP, title, form, source=source, missing=judging.needs(missing))
    degrees = _temperature(held["reading"])
    try:
        per_m = conductors.ohm_per_m(size, degrees) * 1000.0
    except Refused as refusal:
        return base.not_measured("bond_conductor", keys, GROUP, title, form, source=source, missing=refusal.sentence())
    joints = base.decimal(bond, "joints") or 0.0
    expected = per_m * length + joints * float(row["joint"])
    limit = float(row["factor"]) * expected + float(row["allowance"])
    measured = base.reading_number(held["reading"], "mohm")
    more = judging.of_reading(held["reading"], "mohm", held["others"])
    more["working"] = _bond_lines(size, degrees, per_m, length, joints, expected, limit, row)
    if measured < float(row["low_factor"]) * expected:
        more["notes"].append(
            "Suspiciously low, under "
            + row["low_factor"]
            + " of what the conductor alone has: a parallel path, another size or length, or leads not nulled."
        )
    return judging.by_row("bond_conductor", keys, GROUP, title, measured, FILE, row, limit=limit, **more)


def _temperature(reading: dict) -> float:
    """Of the conductor when it was read; 20 degC where it is not noted."""
    stated = reading["body"].get("temperature")
    return typed(stated, "degC", "temperature") if stated else 20.0


def _bond_lines(
    size: str, degrees: float, per_m: float, length: float, joints: float, expected: float, limit: float, row: dict
) -> list:
    conductor = short_text(per_m) + " mohm/m * " + short_text(length) + " m"
    return [
        size
        + " copper at "
        + short_text(degrees)
        + " degC: "
        + conductor
        + " + "
        + short_text(joints)
        + " joints * "
        + row["joint"]
        + " mohm = "
        + text(expected, 2)
        + " mohm",
        "limit = " + row["factor"] + " * " + text(expected, 2) + " + " + row["allowance"] + " = " + text(limit, 2) + " mohm",
    ]


def _metal_path(link: dict) -> bool:
    """Does anything that conducts run from building to building: copper always, fibre when its metal is bonded or left open."""
    return link["medium"] in METAL_MEDIA or base.field(link, "cable_metal") in ("bonded", "open")


def electrodes(link: dict, site: dict) -> list:
    """Earth electrode resistance at each end, by the newest reading whatever its method, against the reference chosen on the link."""
    chosen = base.field(link, "electrode_reference")
    held = electrodes_read(link)
    return [row for row in [_electrode(link, side, chosen, held.get(side)) for side in _SIDES] if row]


def _electrode(link: dict, side: str, chosen: str | None, held: dict | None) -> dict | None:
    title, keys, rule = "Earth electrode, " + side + " end", [["side", side]], "electrode"
    form = None if held else {"quantity": "electrode_resistance", "side": side}
    if not chosen and own.held_for(rule):
        return _by_own(rule, keys, title, form, held)
    if not chosen:
        if held is None and not _metal_path(link):
            return None
        return _without_reference(rule, keys, title, form, held)
    try:
        file_id, row = limits.chosen("electrode_reference", chosen)
    except Refused as refusal:
        return base.not_measured(rule, keys, GROUP, title, form, missing=refusal.sentence())
    if held is None:
        return judging.waiting(rule, keys, GROUP, title, file_id, row, form=form)
    found = electrode_ohm(held["reading"])
    if "why" in found:
        check = judging.waiting(rule, keys, GROUP, title, file_id, row, form=_again(held), missing=found["why"])
        check["readings"] = [held["reading"]["id"]]
        return check
    return judging.by_row(rule, keys, GROUP, title, found["ohm"], file_id, row, **_of_electrode(held, found))


def _again(held: dict) -> dict:
    """The form of a test that came to nothing, to take it once more."""
    body = held["reading"]["body"]
    return {"quantity": body["quantity"], "side": body["side"]}


def _of_electrode(held: dict, found: dict) -> dict:
    more = judging.of_reading(held["reading"], "ohm", held["others"])
    more["working"] = found["working"]
    more["notes"] += found["notes"]
    if not held["reading"]["body"].get("conditions"):
        more["notes"].append("Soil and weather are not noted with the reading: wet soil reads low.")
    return more


def _by_own(rule: str, keys: list, title: str, form: dict | None, held: dict | None) -> dict:
    """Judged by a limit typed for this link alone."""
    found = electrode_ohm(held["reading"]) if held else {}
    if "why" in found:
        return judging.by_own(rule, keys, GROUP, title, None, "ohm", 1, "max", form=_again(held), missing=found["why"])
    more = _of_electrode(held, found) if held else {"form": form}
    return judging.by_own(rule, keys, GROUP, title, found.get("ohm"), "ohm", 1, "max", **more)


def _without_reference(rule: str, keys: list, title: str, form: dict | None, held: dict | None) -> dict:
    """An electrode that nothing is chosen to judge by: what was read stands in the notes."""
    missing = "choose on the link what the earth electrode is judged by"
    found = electrode_ohm(held["reading"]) if held else {}
    notes = ["It reads " + text(found["ohm"], 1) + " \u03a9."] + found["notes"] if found.get("ohm") is not None else []
    notes += [found["why"][:1].upper() + found["why"][1:] + "."] if "why" in found else []
    check = base.not_measured(rule, keys, GROUP, title, form, required=False, missing=missing, notes=notes)
    check["working"] = found.get("working", [])
    check["readings"] = [held["reading"]["id"]] if held else []
    return check


def earth_difference(link: dict, site: dict) -> list:
    """Potential between the earths of the two ends, AC and DC, before anything conducting joins them."""
    return [row for row in [_difference(link, kind) for kind in ("ac", "dc")] if row]


def _screen_notes(link: dict, row: dict) -> list:
    """A screen bonded at both ends carries whatever stands between the two earths."""
    sides = [base.field(bond, "side") for bond in link["bonds"]]
    if base.field(link, "screened") != "yes" or [side for side in _SIDES if side not in sides]:
        return []
    return ["Screened and bonded at both ends: read this before joining the screens, at most " + row["value"] + " V."]


def _difference(link: dict, kind: str) -> dict | None:
    rule = "earth_difference_" + kind
    row, danger = limits.row(FILE, rule), limits.row(FILE, "danger_" + kind)
    title, reading = "Potential between the two earths, " + kind.upper(), base.newest(link, rule)
    if reading is None:
        if not _metal_path(link):
            return None
        return judging.waiting(rule, [], GROUP, title, FILE, row, form={"quantity": rule}, notes=_screen_notes(link, row))
    measured = base.reading_number(reading, "V")
    more = judging.of_reading(reading, "V")
    more["notes"] += _screen_notes(link, row)
    if measured < 0:
        more["working"] = ["judged by its size: |" + short_text(measured) + "| V"]
    dangerous = abs(measured) >= float(danger["near"])
    if dangerous:
        more["notes"].append(
            _DANGER + " " + danger["value"] + " V " + kind.upper() + " is the limit of " + danger["document"] + "."
        )
    elif abs(measured) > float(row["value"]):
        more["notes"].append("Find out why before joining copper or a screen between the buildings, or use fibre without metal.")
    check = judging.by_row(rule, [], GROUP, title, abs(measured), FILE, row, required=_metal_path(link), **more)
    if dangerous:
        check["sentence"] += " " + _DANGER
    return check


RULES = [bonds, electrodes] + earth_tests.RULES + earth_soil.RULES + [earth_difference] + surges.RULES + storms.RULES
