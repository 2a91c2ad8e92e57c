"""All rules of optical fibre links, and which applications a measured link supports."""

from ..kinds import FIBRE
from . import fibre_ends, fibre_light, fibre_loss, fibre_received


def _of_fibre(rule: object) -> object:
    """A rule that has nothing to say of copper links."""

    def rows(link: dict, book: dict) -> list:
        return rule(link, book) if link["medium"] == FIBRE else []

    return rows


RULES = [_of_fibre(rule) for rule in fibre_loss.RULES + fibre_light.RULES + fibre_received.RULES + fibre_ends.RULES]


def applications(link: dict, book: dict) -> list:
    """Ethernet applications over the measured link: [{"application", "label", "verdict": supported | no | not_proven, "reason"}...]."""
    return fibre_light.applications(link, book)
