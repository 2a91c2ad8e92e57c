"""Expected surges a year for a link: as built, and beside it what protectors or fibre would make of it. Method of IEC 62305-2 edition 2."""

from .lightning import lightning_exposure
from .numbers import short_text

CASES = [
    ["copper", "none", "Copper, no surge protector"],
    ["copper", "one_end", "Copper, a surge protector at one end"],
    ["copper", "both_ends", "Copper, surge protectors at both ends"],
    ["fibre_metal", "none", "Fibre with metal in the cable"],
    ["fibre_dielectric", "none", "Fibre without metal"],
]
LABEL = "edition 2 method, order of magnitude"


def exposures(inputs: dict) -> list:
    """[medium, protectors, title, results] of every case; inputs: those of lightning_exposure without protectors and medium."""
    found = []
    for medium, protectors, title in CASES:
        held = lightning_exposure(protectors=protectors, medium=medium, **inputs)
        found.append([medium, protectors, title, held["results"]])
    return found


def surges_text(surges: float) -> str:
    """Surges a year to one figure: '0.7 a year', 'none'."""
    return short_text(surges, 1) + " a year" if surges > 0 else "none"


def between_text(surges: float) -> str:
    """Years between two surges, to one figure: 'one in about 30 years', 'several a year', 'none'."""
    if surges <= 0:
        return "none"
    if surges >= 1.5:
        return "several a year"
    years = short_text(1.0 / surges, 1)
    return "about one a year" if years == "1" else "one in about " + years + " years"
