"""All rules of optical fibre links, and which applications a measured link supports."""

from ..kinds import FIBRE
from . import (
    base,
    fibre_compared,
    fibre_ends,
    fibre_events,
    fibre_lengths,
    fibre_light,
    fibre_loss,
    fibre_received,
    fibre_reference,
    fibre_reflections,
    fibre_return_loss,
    fibre_sections,
    fibre_strands,
)


def _of_fibre(rule: object) -> object:
    """A rule that has nothing to say of copper links."""

    def rows(link: dict, book: dict) -> list:
        return rule(link, book) if link["medium"] == FIBRE else []

    base.apart_by(base.mark_of(rule), [rows])
    return rows


_MODULES = [
    fibre_loss,
    fibre_strands,
    fibre_reference,
    fibre_compared,
    fibre_events,
    fibre_reflections,
    fibre_return_loss,
    fibre_sections,
    fibre_lengths,
    fibre_light,
    fibre_received,
    fibre_ends,
]
RULES = [_of_fibre(rule) for module in _MODULES for rule in module.RULES]


def applications(link: dict, book: dict) -> list:
    """Ethernet applications over the measured link: [{"application", "label", "verdict": supported | no | not_proven, "reason"}...]."""
    return fibre_light.applications(link, book)
