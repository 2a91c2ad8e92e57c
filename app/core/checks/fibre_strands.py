"""The strands of a cable: which are in use, which are spare, and whether each was measured at both wavelengths."""

from ..ordering import ascending
from . import base, fibre_loss

GROUP = "fibre"


def in_use(link: dict) -> list | None:
    """Strands in use as texts, by the link's field such as "1-2, 5"; None where the field is blank or can't be read."""
    typed = base.field(link, "strands_used")
    return None if typed in (None, "") else _listed(typed)


def _listed(typed: str) -> list | None:
    found = {}
    for sign in (";", " and ", " ", "\n"):
        typed = typed.replace(sign, ",")
    for part in typed.replace("\u2013", "-").split(","):
        ends = [_strand(end) for end in part.split("-")] if part else []
        if len(ends) > 2 or 0 in ends or (ends and ends[0] > ends[-1]):
            return None
        for number in range(ends[0], ends[-1] + 1) if ends else []:
            found[number] = True
    return [str(number) for number in ascending(found)] or None


def _strand(typed: str) -> int:
    """A strand's number, 0 for what is none."""
    for character in typed:
        if character not in "0123456789":
            return 0
    return int(typed) if 0 < len(typed) < 5 else 0


def strands_measured(link: dict, book: dict) -> list:
    """How many of the cable's strands were measured at both wavelengths; asks for their number, and for those that have no row of their own."""
    kind, stated = fibre_loss.mode(link), base.decimal(link, "strands")
    if kind is None or base.on_trial(link) is not None:  # it names no reading, so no draft takes part in it
        return []
    if stated is None:
        missing = "state how many strands the cable has, used and spare"
        return [base.not_measured("strands_measured", [], GROUP, _TITLE, missing=missing)]
    taken = _taken(link, fibre_loss.REQUIRED[kind])
    names = [str(number) for number in range(1, int(stated) + 1)]
    lacking = [name for name in names if name not in taken]
    found = str(len(names) - len(lacking)) + " of " + str(len(names)) + " strands measured" + _use_words(link, names)
    fault = _use_fault(link, names)
    if lacking or fault:
        missing = found + ("; still missing: " + ranges_text(lacking) if lacking else "") + ("; " + fault if fault else "")
        many = len(names) > fibre_loss.MOST_STRANDS
        return [base.not_measured("strands_measured", [], GROUP, _TITLE, required=bool(many or fault), missing=missing)]
    source = base.practice_source("every strand tested, used and spare, at both wavelengths")
    return [
        base.statement(
            "strands_measured", [], GROUP, _TITLE, True, found, "every strand at both wavelengths", source, required=False
        )
    ]


_TITLE = "Every strand measured"


def _taken(link: dict, wanted: list) -> dict:
    """The strands that have a loss at each wavelength wanted."""
    seen = {}
    for row in fibre_loss.loss_rows(link):
        seen.setdefault(row["keys"]["strand"], []).append(row["keys"]["wavelength"])
    return {strand: True for strand in seen if all([wavelength in seen[strand] for wavelength in wanted])}


def _use_words(link: dict, names: list) -> str:
    used = in_use(link)
    if used is None:
        return ""
    count = len([name for name in names if name in used])
    return ", " + str(count) + " in use, " + str(len(names) - count) + " spare"


def _use_fault(link: dict, names: list) -> str:
    typed, used = base.field(link, "strands_used"), in_use(link)
    if typed in (None, ""):
        return ""
    if used is None:
        return "strands in use are written as '" + str(typed) + "', wanted such as 1-2, 5"
    beyond = [name for name in used if name not in names]
    return "in use but not in the cable: " + ranges_text(beyond) if beyond else ""


def ranges_text(names: list) -> str:
    """Strand numbers, rising, as ranges: 1-4, 7."""
    parts, first, last = [], None, None
    for number in [int(name) for name in names] + [None]:
        if last is not None and number == last + 1:
            last = number
            continue
        if last is not None:
            parts.append(str(first) if first == last else str(first) + "-" + str(last))
        first = last = number
    return ", ".join(parts)


RULES = base.apart_by(fibre_loss.of_strand, [strands_measured])
