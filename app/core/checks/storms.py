"""How often lightning sends a surge into this link as it is built. For information; never more than an order of magnitude."""

from .. import storms
from ..kinds import FIBRE, METAL_MEDIA
from ..lightning import lightning_exposure
from ..numbers import short_text
from . import base, judging, lengths, surges

GROUP = "earthing"
_ROUTING = {"duct": "buried", "direct": "buried", "aerial": "aerial", "surface": "aerial"}
_METAL = {"none": "fibre_dielectric", "bonded": "fibre_metal", "interrupted": "fibre_metal", "open": "fibre_metal"}


def as_built(link: dict) -> dict:
    """{"medium", "protectors"} in the words of the calculation; medium is None where it is not said."""
    if link["medium"] == FIBRE:
        return {"medium": _METAL.get(base.field(link, "cable_metal") or ""), "protectors": "none"}
    sides = [base.field(one, "side") for one in link["protectors"]]
    ends = len([side for side in ("near", "far") if side in sides])
    return {"medium": "copper", "protectors": ["none", "one_end", "both_ends"][ends]}


def exposure_inputs(link: dict, site: dict) -> dict:
    """What the calculation takes: {"missing"}, or {"inputs", "working", "notes"}."""
    density, length = base.decimal(site["site"], "flash_density"), lengths.known(link)
    laying = base.field(link, "laying")
    missing = [] if density is not None else ["the flashes to ground a year, on the site"]
    missing += [] if laying else ["how the cable is laid"]
    missing += [] if length and length["m"] > 0 else ["the length of the cable"]
    if missing:
        return {"missing": missing}
    notes, port = [], surges.withstand(link)
    surroundings = base.field(site["site"], "surroundings")
    if not surroundings:
        notes.append("What stands around the cables is not said on the site: taken as open country, the worst.")
    inputs = {
        "length_m": length["m"],
        "flash_density": density,
        "routing": _ROUTING[laying],
        "surroundings": surroundings or "rural",
        "withstand_kv": min(6.0, max(1.0, port["v"] / 1000.0)),
    }
    for side in ("near", "far"):
        held = _building(link, site, side)
        inputs[side + "_building"], inputs[side + "_setting"] = held["size"], held["setting"]
        notes += held["notes"]
    return {
        "inputs": inputs,
        "working": length["working"][:1],
        "notes": notes + (port["notes"] if link["medium"] in METAL_MEDIA else []),
    }


def _building(link: dict, site: dict, side: str) -> dict:
    found = [one for one in site["buildings"] if one["subject"] == base.field(link, side + "_building")]
    if not found:
        return {"size": "", "setting": "isolated", "notes": ["The " + side + " building is not in the book: not counted."]}
    building, name = found[0], base.field(found[0], "name") or side + " building"
    sizes = [base.number(building, what, "m") for what in ("width", "depth", "height")]
    setting = base.field(building, "setting")
    if not all(sizes):
        return {
            "size": "",
            "setting": "isolated",
            "notes": [name + " has no width, depth and height: flashes on it are not counted."],
        }
    notes = [] if setting else ["What stands around " + name + " is not said: taken as standing alone."]
    size = "x".join([short_text(min(1000.0, max(0.1, one)), 9) for one in sizes])
    return {"size": size, "setting": setting or "isolated", "notes": notes}


def storm_exposure(link: dict, site: dict) -> list:
    """Expected surges a year into the ports, as built, against the least that this kind of link can be brought to."""
    rule, title = "storm_exposure", "Expected surges a year, as built (" + storms.LABEL + ")"
    if link["medium"] == FIBRE and base.decimal(site["site"], "flash_density") is None:
        return []
    built, held = as_built(link), exposure_inputs(link, site)
    missing = held.get("missing", []) + ([] if built["medium"] else ["what metal the cable has, on the link"])
    if missing:
        return [base.not_measured(rule, [], GROUP, title, required=False, source=_SOURCE, missing=judging.needs(missing))]
    made = lightning_exposure(protectors=built["protectors"], medium=built["medium"], **held["inputs"])
    count, words = made["results"]["surges"], _case_words(made["results"]["surges"])
    best = lightning_exposure(protectors="both_ends", medium=built["medium"], **held["inputs"])["results"]["surges"]
    wanted = "no surge into a port" if best <= 0 else "about " + storms.surges_text(best) + ", with surge protectors at both ends"
    found = words if count <= 0 else "about " + words
    beside = [row[2] + ": " + _case_words(row[3]["surges"]) for row in storms.exposures(held["inputs"])]
    working = held["working"] + made["working"] + ["for comparison:"] + beside
    more = {"working": working, "notes": made["notes"] + held["notes"], "required": False}
    ok = built["medium"] != "copper" or built["protectors"] == "both_ends"
    return [base.statement(rule, [], GROUP, title, ok, found, wanted, _SOURCE, **more)]


def _case_words(count: float) -> str:
    return "none into a port" if count <= 0 else storms.surges_text(count) + ", " + storms.between_text(count)


_SOURCE = {
    "document": "IEC 62305-2",
    "edition": "2010",
    "clause": "annexes A and B, composed for one link with its two buildings",
    "seen": "memory",
}

RULES = [storm_exposure]
