"""The marks of a reading: what tells one from another (pair, side, strand, ...), and for a sweep which of them its parameter has."""

from . import kinds
from .errors import Refused
from .numbers import parse_decimal
from .shapes import RETYPE

_WORDS = {
    "side": kinds.SIDES,
    "direction": kinds.DIRECTIONS,
    "method": kinds.METHODS,
    "pair": kinds.PAIRS,
    "pair2": kinds.PAIRS,
    "parameter": kinds.PARAMETERS,
}
_ORDER = ("parameter", "side", "direction", "pair", "pair2", "method", "strand", "wavelength", "of")
TITLES = {pair[0]: pair[1] for pair in kinds.PARAMETERS}
_SAID = {"pair2": "the second pair", "side": "the end it was taken at", "pair": "the pair"}


def check_marks(body: dict, about: dict) -> None:
    """Refuse marks that are no word of their list, that are missing, or that the parameter of a sweep doesn't have."""
    for name in _WORDS:
        value = body.get(name)
        words = [word[0] for word in _WORDS[name]]
        if value not in (None, "") and value not in words:
            raise Refused("word", name, value, "one of " + ", ".join(words), "Choose it again.")
    for name in _ORDER:
        if name in about["per"] and name in about.get("must", ()) and body.get(name) in (None, ""):
            raise Refused("missing", name, "", "a choice of " + name, "Choose it before saving.")
    for name in ("strand", "wavelength"):
        _check_count(body, name)
    if about.get("marks"):
        _check_parameter(body, about["marks"])


def _check_count(body: dict, name: str) -> None:
    value = body.get(name)
    if value in (None, ""):
        return
    number = parse_decimal(value, name)
    if number != int(number) or not 1 <= number <= 100000:
        raise Refused("number", name, value, "a whole number from 1", RETYPE)


def _check_parameter(body: dict, marks: dict) -> None:
    """What a trace must say of itself depends on what was measured."""
    title = parameter_title(body["parameter"])
    for name in ("pair", "pair2", "side"):
        given = body.get(name)
        if name in marks[body["parameter"]]:
            if given in (None, ""):
                raise Refused("missing", name, "", _SAID[name] + " of the " + title + " trace", "Choose it before saving.")
        elif given not in (None, ""):
            raise Refused("word", name, given, "nothing, since a trace of " + title + " has no such mark", "Leave it out.")
    if body.get("pair2") and body["pair2"] == body["pair"]:
        raise Refused("word", "pair2", body["pair2"], "another pair than the first", "Choose the other pair of the combination.")


def parameter_title(parameter: str) -> str:
    """What a parameter of a sweep is called within a sentence: 'NEXT', 'insertion loss'."""
    title = TITLES[parameter]
    return title[:1].lower() + title[1:] if title[1:2].islower() else title


def pair_words(parameter: str | None, keys: dict) -> list:
    """Pairs and end of a trace or reading: ['pairs 1-2 and 3-6', 'near end'], ['pair 1-2 into 3-6'] for ACR-F; what is not said is left out."""
    words = []
    if keys.get("pair2"):
        into = parameter == "acrf"
        words.append(("pair " if into else "pairs ") + str(keys.get("pair")) + (" into " if into else " and ") + keys["pair2"])
    elif keys.get("pair"):
        words.append("pair " + keys["pair"])
    if keys.get("side"):
        words.append(keys["side"] + " end")
    return words


def trace_words(body: dict) -> str:
    """What a trace of a sweep says of itself: 'NEXT, pairs 1-2 and 3-6, near end'; what it doesn't say is left out."""
    parameter = body.get("parameter")
    return ", ".join(([TITLES[parameter]] if parameter else []) + pair_words(parameter, body))
