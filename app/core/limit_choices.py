"""What a link may choose its limits by, and how the choices differ, in words."""

from . import kinds, limits
from .checks.base import source_text
from .limit_rows import value_of


def differences() -> dict:
    """What tells the choices of a link apart, in words: {"limit_sets": {id: text}, "burial_rules", "electrode_references", "applications"}."""
    return {
        "limit_sets": {pair[0]: _of_set(pair[0]) for medium, _ in kinds.MEDIA for pair in limits.sets(medium)},
        "burial_rules": _of_rows("burial_rule", limits.burial_rules()),
        "electrode_references": _of_rows("electrode_reference", limits.electrode_references()),
        "applications": {pair[0]: _of_application(pair[0]) for pair in limits.applications()},
    }


def _of_set(file_id: str) -> str:
    about = limits.document(file_id)
    if about["difference"]:
        return about["document"] + ":" + about["edition"] + ". " + about["difference"]
    held = {row["id"]: row for row in limits.rows(file_id)}
    if [name for name in ("end_mating:MM", "end_mating:SM", "mating", "splice") if name not in held]:
        return ""
    parts = ["First and last mating " + _both(held, "end_mating:MM", "end_mating:SM")]
    parts.append("other matings " + held["mating"]["value"] + " dB, splices " + held["splice"]["value"] + " dB")
    for fibre, wavelength in (("OM3", "850"), ("OS2", "1310")):
        row = held.get("attenuation:" + fibre + ":" + wavelength)
        if row:
            parts.append(fibre + " at " + wavelength + " nm " + row["value"] + " dB/km")
    return "; ".join(parts) + "."


def _both(held: dict, multimode: str, single_mode: str) -> str:
    return held[multimode]["value"] + " dB multimode, " + held[single_mode]["value"] + " dB single-mode"


def _of_rows(what: str, offered: list) -> dict:
    found = {}
    for row_id, _ in offered:
        file_id, row = limits.chosen(what, row_id)
        found[row_id] = _begun(value_of(row)) + ". " + _begun(source_text(limits.source(file_id, row))) + "."
    return found


def _of_application(name: str) -> str:
    file_id = limits.chosen("application", name)[0]
    ways = []
    for fit in limits.rows(file_id, kind="fit", application=name):
        reach = "no reach" if fit.get("reach") is None else fit["reach"] + " " + fit["reach_unit"]
        loss = "" if fit["value"] is None else ", loss to " + fit["value"] + " dB"
        way = {"down": " downstream", "up": " upstream"}.get(fit.get("direction"), "")
        ways.append([fit["fibre"], reach + loss + way])
    words = []
    for fibre, way in ways:
        alike = [word for word in words if word[1] == way]
        if alike and fibre not in alike[0][0]:
            alike[0][0].append(fibre)
        elif not alike:
            words.append([[fibre], way])
    return "; ".join([", ".join(word[0]) + ": " + word[1] for word in words]) + "."


def _begun(words: str) -> str:
    return words[:1].upper() + words[1:]
