"""Record section on swept results: of each parameter the trace with the least margin drawn; the margins of all stand in the table of margins."""

from . import kinds, pictures
from .picture_sweep import alternative
from .record_blocks import drawing, section, text


def sweeps_section(link: dict, checks: list) -> dict | None:
    """One picture a parameter; None for a link without traces."""
    blocks = []
    for parameter in [pair[0] for pair in kinds.PARAMETERS]:
        own = [check for check in checks if check.get("sweep") and check["sweep"]["parameter"] == parameter and check["margin"]]
        if own:
            worst = _worst(own)
            blocks += [text([_words(worst, len(own))]), drawing(pictures.sweep(link, worst), alternative(worst))]
    return section("sweeps", "Value and limit over frequency", blocks) if blocks else None


def _worst(checks: list) -> dict:
    """The first of those with the least margin, an instrument's own before an informative one."""
    found = checks[0]
    for check in checks:
        if _place(check) < _place(found):
            found = check
    return found


def _place(check: dict) -> tuple:
    return (not check["required"], float(check["margin"]["text"]))


def _words(check: dict, count: int) -> str:
    if count == 1:
        return check["title"] + ": the only trace. " + check["sentence"]
    return check["title"] + ": the least margin of " + str(count) + " traces. " + check["sentence"]
