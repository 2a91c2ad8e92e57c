"""What has to be acknowledged one by one before anyone signs. Own words; local code and licensed practice govern, always."""

from . import limits, sign_off_items
from .checks.base import field, newest, reading_number
from .kinds import FIBRE, METAL_MEDIA, SIDES
from .numbers import short_text, to_steps

_DEFER = " Local code and licensed practice govern."
_DECIMALS = 6  # of a volt: what was typed as 1000 mV is not above 1 V


def applying(link: dict) -> list:
    """The stops that this link calls for: [{"id", "title", "words", "why"}]: `words` are what is acknowledged, `why` what calls for it."""
    return [stop for stop in (_storm(), _services(link), _difference(link), _protector(link), _metal(link)) if stop]


def _stop(name: str, title: str, words: str, why: str) -> dict:
    return {"id": name, "title": title, "words": words + _DEFER, "why": why}


def _storm() -> dict:
    words = (
        "Nobody works on this cable, its earths or its protectors while a thunderstorm is near; "
        "whoever uses and serves the link is told so."
    )
    return _stop("storm", "Storm", words, "It holds for every link between two buildings.")


def _services(link: dict) -> dict | None:
    located = field(link, "services_located")
    if not sign_off_items.is_buried(link) or located in ("yes", "nothing_near"):
        return None
    why = "The book does not say that other services on the route were located."
    if located == "no":
        why = "The book says that other services on the route were not located."
    if field(link, "laying") is None:
        why += " It does not say how the cable is laid either."
    words = (
        "Cables and pipes of others may lie on this route, unmarked. "
        "Nobody digs here before they are located and marked by those who do that."
    )
    return _stop("services", "Services not located", words, why)


def _joins(link: dict) -> bool:
    """Does metal run from building to building."""
    return link["medium"] in METAL_MEDIA or (link["medium"] == FIBRE and field(link, "cable_metal") in ("bonded", "open"))


def _difference(link: dict) -> dict | None:
    found, unread, most = [], [], limits.row("earthing", "earth_difference_ac")["value"]
    for kind in ("ac", "dc"):
        reading = newest(link, "earth_difference_" + kind)
        if reading is None:
            unread.append(kind.upper())
        elif _is_above(reading, limits.row("earthing", "earth_difference_" + kind)["value"]):
            found.append(_read(reading, kind))
    if unread and _joins(link):
        found.append("No reading of " + " and ".join(unread) + " between the two earths, and metal joins the buildings.")
    words = (
        "A potential above "
        + most
        + " V between the two earths that nobody has explained can hurt and drives current through the cable. "
        "The two earths are not bridged, nor touched at once, until someone licensed for it has found out why."
    )
    return _stop("difference", "Potential between the earths", words, " ".join(found)) if found else None


def _is_above(reading: dict, most: str) -> bool:
    return to_steps(abs(reading_number(reading, "V")), _DECIMALS) > to_steps(float(most), _DECIMALS)


def _read(reading: dict, kind: str) -> str:
    volts, danger = abs(reading_number(reading, "V")), limits.row("earthing", "danger_" + kind)
    found = short_text(volts) + " V " + kind.upper() + " was read between the two earths on " + reading["at"][:10] + "."
    return found + (" Dangerous: do not touch, call an electrician." if volts >= float(danger["near"]) else "")


def _protector(link: dict) -> dict | None:
    held = [field(one, "side") for one in link["protectors"]]
    bare = [side for side, _ in SIDES if side not in held]
    if link["medium"] not in METAL_MEDIA or not bare:
        return None
    words = (
        "Copper between buildings without a surge protector at each end lets a surge into the building and its equipment. "
        "Whether the link may be used like this is decided by those who are licensed for it."
    )
    why = "No protector is recorded at the " + " end and the ".join(bare) + " end."
    return _stop("protector", "No surge protector", words, why)


def _metal(link: dict) -> dict | None:
    why = _loose(link)
    words = (
        "Metal in the cable that is neither bonded nor interrupted where it enters can bring a surge or another building's potential inside. "
        "Nobody touches it together with local earth until it is bonded or interrupted by someone licensed for it."
    )
    return _stop("metal", "Metal neither bonded nor interrupted", words, why) if why else None


def _loose(link: dict) -> str:
    """What the book says of metal that is left open at an end; '' where there is none."""
    bare = " end and the ".join(sign_off_items.unbonded(link))
    if link["medium"] in METAL_MEDIA:
        screened = field(link, "screened") == "yes" and bare
        return "The cable is screened, and no bond is recorded at the " + bare + " end." if screened else ""
    state = field(link, "cable_metal")
    if state == "open":
        return "The book says so of this cable."
    if state is None:
        return "The book does not say what metal the cable has."
    return "Its metal is to be bonded, and no bond is recorded at the " + bare + " end." if state == "bonded" and bare else ""
