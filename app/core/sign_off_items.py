"""Items of the sign-off list that no check makes: what has to stand in the book about the cable, its ends and the instruments."""

from . import kinds
from .checks.base import field
from .kinds import METAL_MEDIA
from .quantities import QUANTITIES

GROUP = "written"
GROUP_WORDS = "Written down"
BURIED = ("duct", "direct")
_NAMED = "item:"

TITLES = {
    "cable": "Cable, as printed on the jacket",
    "metal_known": "What metal the cable has",
    "laying": "How the cable is laid",
    "services": "Services of others on the route",
    "near_termination": "Termination at the near end",
    "far_termination": "Termination at the far end",
    "near_equipment": "Equipment at the near end",
    "far_equipment": "Equipment at the far end",
    "screen_bonds": "Screen bonded at each building",
    "instruments_named": "Instruments, by name and serial",
}
# Equipment that speaks of itself: no instrument measures there.
_NO_INSTRUMENT = ["negotiated_rate"] + [about["name"] for about in QUANTITIES if about.get("trend")]


def title_of(check_id: str) -> str | None:
    """The title of an item that a deviation names as 'item:<id>'; None for a check."""
    return TITLES.get(check_id[len(_NAMED) :]) if check_id.startswith(_NAMED) else None


def is_buried(link: dict) -> bool:
    """In the ground, or nobody has said how it is laid."""
    return field(link, "laying") in BURIED + (None,)


def written(link: dict) -> list:
    """Items on what has to stand in the book, each done, missing or accepted."""
    metal = "screened" if link["medium"] in METAL_MEDIA else "cable_metal"
    items = [_of_link(link, "cable", "cable"), _of_link(link, "metal_known", metal), _of_link(link, "laying", "laying")]
    items += [_services(link)] if is_buried(link) else []
    items += [_termination(link, side) for side, _ in kinds.SIDES]
    items += [_equipment(link, side) for side, _ in kinds.SIDES]
    items += [_screen_bonds(link)] if metal == "screened" and field(link, metal) == "yes" else []
    return items + [_instruments(link)]


def words_of(kind: str, thing: dict, name: str) -> str:
    """What a field says, in words; '' where it is not set."""
    value = field(thing, name)
    if value in (None, ""):
        return ""
    about = next(held for held in kinds.THINGS[kind] if held["name"] == name)
    return next((pair[1] for pair in about.get("words") or [] if pair[0] == value), str(value))


def _of_link(link: dict, item_id: str, name: str) -> dict:
    words = words_of("link", link, name)
    if name == "screened" and words:
        words = {"yes": "Screened", "no": "Not screened"}.get(field(link, name), words)
    return _item(link, item_id, words, [] if words else ["not written down"], ["link", link["subject"], name])


def _services(link: dict) -> dict:
    said, reference = words_of("link", link, "services_located"), words_of("link", link, "services_reference")
    lacking = [] if said else ["it is not written down whether they were located"]
    if field(link, "services_located") == "yes" and not reference:
        lacking = ["located, yet not by whom nor under what reference"]
    name = "services_reference" if said and lacking else "services_located"
    return _item(link, "services", _joined([said, reference]), lacking, ["link", link["subject"], name])


def _termination(link: dict, side: str) -> dict:
    end = link["ends"][side]
    panel, port, connector = [words_of("end", end, name) for name in ("panel", "port", "connector")]
    lacking = [] if panel or port else ["socket or panel, and port"]
    lacking += [] if connector else ["connector"]
    words = _joined([panel, "port " + port if port else "", connector])
    name = "connector" if panel or port else "panel"
    lacking = ["not written down: " + ", ".join(lacking)] if lacking else []
    return _item(link, side + "_termination", words, lacking, ["end", end["subject"], name])


def _equipment(link: dict, side: str) -> dict:
    end = link["ends"][side]
    words = words_of("end", end, "equipment")
    return _item(link, side + "_equipment", words, [] if words else ["not written down"], ["end", end["subject"], "equipment"])


def _screen_bonds(link: dict) -> dict:
    bare = unbonded(link)
    lacking = ["no bond is recorded at the " + " end and the ".join(bare) + " end"] if bare else []
    item = _item(link, "screen_bonds", "A bond is recorded at both ends", lacking, None)
    item["edit"] = new_at("bond", bare)
    return item


def unbonded(link: dict) -> list:
    """Sides at which no bond is recorded."""
    return sides_without(link["bonds"])


def sides_without(things: list) -> list:
    """Sides at which none of these things is recorded."""
    held = [field(thing, "side") for thing in things]
    return [side for side, _ in kinds.SIDES if side not in held]


def new_at(kind: str, sides: list) -> dict | None:
    """The form of a new thing at the first of these sides; None where there is none."""
    return {"kind": kind, "subject": "new", "field": "name", "side": sides[0]} if sides else None


def _instruments(link: dict) -> dict:
    taken = [held["body"] for held in link["readings"] if not held["voided"] and _is_measured(held["body"])]
    bare = [body for body in taken if not _names(body.get("instrument") or {})]
    lacking = ["not given with " + str(len(bare)) + " of " + str(len(taken)) + " readings"] if bare else []
    words = "Named with each of " + str(len(taken)) + " readings" if taken else "No reading by an instrument"
    return _item(link, "instruments_named", words, lacking, None)


def _is_measured(body: dict) -> bool:
    return bool(body.get("value") or body.get("table")) and body["quantity"] not in _NO_INSTRUMENT


def _names(instrument: dict) -> bool:
    return bool((instrument.get("name") or "").strip(" ") and (instrument.get("serial") or "").strip(" "))


def _joined(parts: list) -> str:
    return ", ".join([part for part in parts if part])


def _item(link: dict, item_id: str, words: str, lacking: list, where: list | None) -> dict:
    named = _NAMED + item_id
    accepted = [held for held in link["deviations"] if held["check"] == named] if lacking else []
    state = "done" if not lacking else "accepted" if accepted else "missing"
    detail = ", ".join(lacking) or words
    return {
        "id": item_id,
        "title": TITLES[item_id],
        "group": GROUP,
        "group_words": GROUP_WORDS,
        "state": state,
        "detail": detail[:1].upper() + detail[1:],
        "checks": [],
        "form": None,
        "edit": {"kind": where[0], "subject": where[1], "field": where[2]} if where else None,
        "accept": [named] if state == "missing" else [],
        "deviation": accepted[-1] if accepted else None,
    }
