"""Rules for what the conductors are made of, and for the reach that a maker states."""

from .. import limits
from ..copper import conductor_material
from ..errors import Refused
from ..kinds import EXTENDED, METAL_MEDIA
from ..units import typed
from . import base, judging

GROUP = "copper"


def material(link: dict, site: dict) -> list:
    """Ohms per metre of each pair read, against solid copper of the gauge printed on the jacket: finds copper-clad aluminium."""
    if link["medium"] not in METAL_MEDIA:
        return []
    held = judging.loops(link)
    length, gauge = judging.cable_length(link), base.decimal(link, "gauge")
    missing = [] if held else ["a pair loop resistance"]
    missing += [] if length else ["the cable length (two sheath marks, or an instrument's)"]
    missing += [] if gauge else ["the conductor gauge"]
    if missing:
        form = (
            {"quantity": "loop_resistance", "pair": "1-2"}
            if not held
            else {"quantity": "instrument_length"}
            if not length
            else None
        )
        return [base.not_measured("material", [], GROUP, "Conductor material", form, missing=judging.needs(missing))]
    return [_material_row(pair, held[pair], length, gauge) for pair in sorted(held)]


def _material_row(pair: str, loop: dict, length: dict, gauge: float) -> dict:
    row = limits.row("copper-practice", "material_not_copper")
    title, keys = "Conductor material, pair " + pair + ": loop against copper", [["pair", pair]]
    stated = loop["reading"]["body"].get("temperature")
    temperature = typed(stated, "degC", "temperature") if stated else 20.0
    try:
        worked = conductor_material(loop["ohm"], length["m"], gauge, temperature)
    except Refused as refusal:
        return base.not_measured("material", keys, GROUP, title, missing=refusal.sentence())
    finding = worked["results"]["finding"]
    notes = ["Finding: " + finding.replace("_", " ") + "."] + worked["notes"] + length["notes"]
    if not stated:
        notes.append("No cable temperature with the reading: taken as 20 \u00b0C.")
    if finding == "not_copper":
        notes.append("Fails as material: category cable has copper conductors, whatever its other results.")
    return judging.by_row(
        "material",
        keys,
        GROUP,
        title,
        worked["results"]["ratio"],
        "copper-practice",
        row,
        working=[length["line"]] + worked["working"],
        readings=[loop["reading"]] + length["readings"],
        uncertainty=_share_unsure(loop, worked["results"]["ratio"]),
        notes=notes,
    )


def _share_unsure(loop: dict, ratio: float) -> float | None:
    """Uncertainty of the ratio by that of the loop; that of length and gauge is in the bounds themselves."""
    stated = base.reading_uncertainty(loop["reading"], "ohm")
    return None if stated is None or loop["ohm"] == 0 else ratio * stated / loop["ohm"]


def reach(link: dict, site: dict) -> list:
    """Cable length against the reach that the maker of extended-reach equipment states, with its source."""
    if link["medium"] != EXTENDED:
        return []
    title = "Cable length against the maker's reach"
    most, source, length = base.number(link, "reach", "m"), base.field(link, "reach_source"), judging.cable_length(link)
    missing = [] if most is not None else ["the maker's stated reach"]
    missing += [] if source else ["the place where the maker states it"]
    missing += [] if length else ["the cable length (two sheath marks, or an instrument's)"]
    if missing:
        form = None if length else {"quantity": "instrument_length"}
        return [base.not_measured("reach", [], GROUP, title, form, missing=judging.needs(missing))]
    notes = ["Outside every Ethernet standard's cabling clause: accepted on the maker's word and the traffic test."]
    notes += length["notes"]
    measured, where = length["m"], base.typed_source(source)
    return [
        base.judge(
            "reach",
            [],
            GROUP,
            title,
            measured,
            most,
            "m",
            1,
            "max",
            where,
            working=[length["line"]],
            readings=length["readings"],
            notes=notes,
        )
    ]


RULES = [material, reach]
