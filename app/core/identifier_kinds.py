"""What an identifier can be of, and how it is named: `<link>:identifier:<what>`.

`what` is panel, port or bar of an end (`panel:near`), `pathway`, a fibre or pair by its number (`strand:3`), or a thing by its id
(`station:<id>`, `bond:<id>`, `protector:<id>`). Building, space and cable have no identifier of this kind: theirs stand in a field of the
building (`code`), of the end (`space`) and of the link (`label`), since links share buildings and rooms.
"""

from .errors import Refused
from .numbers import is_blank, pieces
from .shapes import check_text, is_id

OF_AN_END = {"panel": "panel", "port": "port", "bar": "bonding bar"}
COUNTED = {"strand": "strand", "pair": "pair"}
OF_A_THING = {"station": "station", "bond": "bond", "protector": "surge protector"}
SIDES = ("near", "far")
# More characters can be told apart by nobody who stands in front of a label.
LONGEST = 300
_ALLOWED = "panel, port or bar of near or far, pathway, strand or pair by number, station, bond or protector by id"


def subject_of(link_id: object, what: object) -> str:
    """How an identifier is known."""
    return str(link_id) + ":identifier:" + str(what)


def is_what(what: object) -> bool:
    """Can an identifier be of this?"""
    if not isinstance(what, str):
        return False
    kind, _, which = what.partition(":")
    if kind in OF_AN_END:
        return which in SIDES
    if kind in COUNTED:
        return 1 <= len(which) <= 6 and which[0] != "0" and all([digit in "0123456789" for digit in which])
    return what == "pathway" or (kind in OF_A_THING and is_id(which))


def words_of(subject: str) -> str:
    """What the identifier of that subject is of, in words for a title: 'the near end's port'."""
    kind, _, which = subject.partition(":identifier:")[2].partition(":")
    if kind in OF_AN_END:
        return "the " + which + " end's " + OF_AN_END[kind]
    if kind in COUNTED:
        return COUNTED[kind] + " " + which
    return "a " + OF_A_THING[kind] if kind in OF_A_THING else "the " + kind


def check(body: dict, entry: dict) -> None:
    """Refuse an identifier whose subject and `what` don't belong together, or that holds no letter."""
    what = body.get("what")
    if not is_what(what):
        raise Refused("word", "what", what, _ALLOWED, "Choose it again.")
    if body.get("subject") != subject_of(body.get("link"), what):
        raise Refused("shape", "subject", body.get("subject"), "the link's id, ':identifier:' and what it is of, to match")
    value = body.get("value")
    if value is None:
        if not entry["replaces"]:
            raise Refused("missing", "value", "", "an identifier", "Type it; without one the default stands.")
        return
    check_text(value, "value", LONGEST)
    if is_blank(value):
        raise Refused("missing", "value", value, "at least one letter", "Type it, or go back to the default.")


def folded(words: str) -> str:
    """For comparing: identifiers that differ in capitals or blanks only are the same to whoever reads a label."""
    return "".join([_CAPITALS.get(character, character) for character in " ".join(pieces(words))])


_CAPITALS = {"abcdefghijklmnopqrstuvwxyz"[place]: "ABCDEFGHIJKLMNOPQRSTUVWXYZ"[place] for place in range(26)}
