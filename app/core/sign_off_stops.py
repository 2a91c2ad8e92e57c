"""What has to be acknowledged one by one before anyone signs. Own words; local code and licensed practice govern, always."""

from . import limits
from .checks.base import field, newest, reading_number
from .kinds import FIBRE, METAL_MEDIA
from .numbers import short_text

_SIDES = ("near", "far")
_BURIED = ("duct", "direct")
_DEFER = " Local code and licensed practice govern."


def applying(link: dict, site: dict) -> list:
    """The stops that this link calls for: [{"id", "title", "words", "why"}]: `words` are what is acknowledged, `why` what calls for it."""
    return [stop for stop in (_storm(link), _services(link), _difference(link), _protector(link), _metal(link)) if stop]


def _stop(name: str, title: str, words: str, why: str) -> dict:
    return {"id": name, "title": title, "words": words + _DEFER, "why": why}


def _storm(link: dict) -> dict:
    words = (
        "Nobody works on this cable, its earths or its protectors while a thunderstorm is near; whoever uses and serves the link is told so."
    )
    return _stop("storm", "Storm", words, "It holds for every link between two buildings.")


def _services(link: dict) -> dict | None:
    laying, located = field(link, "laying"), field(link, "services_located")
    if (laying is not None and laying not in _BURIED) or located in ("yes", "nothing_near"):
        return None
    why = "The book does not say that other services on the route were located."
    if located == "no":
        why = "The book says that other services on the route were not located."
    if laying is None:
        why += " It does not say how the cable is laid either."
    words = (
        "Cables and pipes of others may lie on this route, unmarked. Nobody digs here before they are located and marked by those who do that."
    )
    return _stop("services", "Services not located", words, why)


def _joins(link: dict) -> bool:
    """Does metal run from building to building."""
    if link["medium"] == FIBRE:
        return field(link, "cable_metal") in ("bonded", "open")
    return link["medium"] in METAL_MEDIA


def _difference(link: dict) -> dict | None:
    found, unread = [], []
    for kind in ("ac", "dc"):
        rule = "earth_difference_" + kind
        reading, most = newest(link, rule), float(limits.row("earthing", rule)["value"])
        if reading is None:
            unread.append(kind.upper())
        elif abs(reading_number(reading, "V")) > most:
            size = short_text(abs(reading_number(reading, "V")))
            found.append(size + " V " + kind.upper() + " was read between the two earths on " + reading["at"][:10] + ".")
    if not found and (not unread or not _joins(link)):
        return None
    if unread and _joins(link):
        found.append("No reading of " + " and ".join(unread) + " between the two earths, and metal joins the buildings.")
    words = (
        "A potential above 1 V between the two earths that nobody has explained can shock, and drives current through the cable. "
        "The two earths are not bridged or touched together until a licensed electrician has found out why."
    )
    return _stop("difference", "Potential between the earths", words, " ".join(found))


def _protector(link: dict) -> dict | None:
    if link["medium"] not in METAL_MEDIA:
        return None
    held = [field(one, "side") for one in link["protectors"]]
    bare = [side for side in _SIDES if side not in held]
    if not bare:
        return None
    words = (
        "Copper between buildings without a surge protector at each end lets a surge into the building and its equipment. "
        "Whether the link may be used like this is decided by those who are licensed for it."
    )
    why = "No protector is recorded at the " + " end and the ".join(bare) + " end."
    return _stop("protector", "No surge protector", words, why)


def _metal(link: dict) -> dict | None:
    if link["medium"] != FIBRE or field(link, "cable_metal") != "open":
        return None
    words = (
        "Metal in the cable that is neither bonded nor interrupted where it enters can bring a surge or another building's potential inside. "
        "Nobody touches it together with local earth until it is bonded or interrupted."
    )
    return _stop("metal", "Metal neither bonded nor interrupted", words, "The book says so of this cable.")
