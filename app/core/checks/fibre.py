"""All rules of optical fibre links, and which applications a measured link supports."""

from . import fibre_ends, fibre_light, fibre_loss

RULES = fibre_loss.RULES + fibre_light.RULES + fibre_ends.RULES


def applications(link: dict, book: dict) -> list:
    """Ethernet applications over the measured link: [{"application", "label", "verdict": supported | no | not_proven, "reason"}...]."""
    return fibre_light.applications(link, book)
