"""Small refusals that fields and events share: text, references, bounds, ids."""

import binascii

from .errors import Refused
from .numbers import is_blank

HEX = "0123456789abcdef"
LONGEST_TEXT = 4000
RETYPE = "Type it again."


def is_id(text: object) -> bool:
    """Is it a UUID in lower-case hexadecimal with hyphens."""
    if not isinstance(text, str) or len(text) != 36 or text != text.lower():
        return False
    if text[8] + text[13] + text[18] + text[23] != "----":
        return False
    try:
        return len(binascii.unhexlify(text.replace("-", ""))) == 16
    except ValueError:
        return False


def check_text(value: object, name: str, longest: int) -> None:
    if not isinstance(value, str):
        raise Refused("shape", name, value, "text")
    if len(value) > longest:
        raise Refused("range", name, value[:40], "up to " + str(longest) + " characters", "Shorten it.")


def check_filled(value: object, name: str, remedy: str) -> None:
    if not isinstance(value, str) or is_blank(value):
        raise Refused("missing", name, value if isinstance(value, str) else None, "at least one letter", remedy)
    check_text(value, name, LONGEST_TEXT)


def check_reference(value: object, name: str) -> None:
    if not is_id(value):
        raise Refused("shape", name, value, "the id of an entry or thing")


def check_bounds(name: str, number: float, given: object, low: str | None, high: str | None, unit: str, why: str) -> None:
    if (low is None or number >= float(low)) and (high is None or number <= float(high)):
        return
    allowed = "from " + str(low) + " to " + str(high) + (" " + unit if unit else "")
    raise Refused(
        "range",
        name,
        given,
        allowed + (", since it " + why if why.startswith("cannot") and number < 0 else ""),
        "Check the number and its unit.",
    )
