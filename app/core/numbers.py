"""Typed text to numbers, numbers to whole steps, steps to text. Nothing else in core rounds or prints a number.

Two interpreters must print the same digits, so a float is first brought to whole billionths (which absorbs the last-bit differences
of log and exp), then rounded half away from zero in integers, and the digits are built from the integer.
"""

from .errors import Refused

_BILLION = 1000000000
# Blanks are named one by one: what strip() takes for a blank differs between the interpreters.
_BLANKS = (" ", "\u00a0", "\u202f", "\u2009", "\t", "\n", "\r")
_MINUS = ("\u2212", "\u2013")
_DIGITS = "0123456789"


def clean_decimal(text: str, field: str = "value") -> str:
    """Decimal text as typed -> canonical text with a point.

    Takes comma or point as the decimal sign, blanks as grouping, and the true minus. Refuses anything else, also a
    text that holds both comma and point, since one of them would have to be guessed.
    """
    raw = text
    if not isinstance(text, str):
        raise Refused("number", field, text, "a number written as text, such as 0.42", "Type the number again.")
    for blank in _BLANKS:
        text = text.replace(blank, "")
    for minus in _MINUS:
        text = text.replace(minus, "-")
    sign = ""
    if text[:1] in ("-", "+"):
        sign = "-" if text[0] == "-" else ""
        text = text[1:]
    marks = text.count(".") + text.count(",")
    body = text.replace(",", ".")
    digits = body.replace(".", "")
    if marks > 1 or digits == "" or len(digits) > 18 or not _all_digits(digits):
        raise Refused(
            "number", field, raw, "one number such as 0.42 or 0,42", "Type digits with one decimal sign and no letters."
        )
    whole, _, fraction = body.partition(".")
    whole = whole.lstrip("0") or "0"
    clean = whole + ("." + fraction if fraction else "")
    if sign and not _is_zero(clean):
        clean = sign + clean
    return clean


def is_blank(text: str) -> bool:
    """Does a text hold nothing but blanks."""
    for character in text:
        if character not in _BLANKS:
            return False
    return True


def pieces(text: str) -> list:
    """A text cut at its blanks, the same on both interpreters; `str.split` takes other blanks on the phone."""
    for blank in _BLANKS:
        text = text.replace(blank, " ")
    return [piece for piece in text.split(" ") if piece]


def trimmed(text: str) -> str:
    """A text without blanks at its ends."""
    if text and text[0] not in _BLANKS and text[-1] not in _BLANKS:
        return text
    start, end = 0, len(text)
    while start < end and text[start] in _BLANKS:
        start += 1
    while end > start and text[end - 1] in _BLANKS:
        end -= 1
    return text[start:end]


def _all_digits(text: str) -> bool:
    for character in text:
        if character not in _DIGITS:
            return False
    return True


def _is_zero(text: str) -> bool:
    for character in text:
        if character not in "0.":
            return False
    return True


_parsed = {}
_MOST_KEPT = 4000


def parse_decimal(text: str, field: str = "value") -> float:
    """Decimal text as typed -> float. Parsing is exact and equal on both interpreters; the same text is worked out once."""
    if isinstance(text, str) and text in _parsed:
        return _parsed[text]
    number = float(clean_decimal(text, field))
    if len(_parsed) >= _MOST_KEPT:
        _parsed.clear()
    _parsed[text] = number
    return number


def decimals_of(text: str) -> int:
    """How many decimals the person typed: '0.420' -> 3."""
    return len(clean_decimal(text).partition(".")[2])


def billionths(number: float) -> int:
    """A float -> whole billionths, half away from zero. Range: below 9e6 it is exact to the last step, beyond only as good as the float."""
    if number != number or number in (float("inf"), float("-inf")):
        raise Refused("range", "value", number, "a finite number")
    whole = int(number)  # truncates towards zero
    rest = (number - whole) * 1e9
    return whole * _BILLION + int(rest + (0.5 if rest >= 0 else -0.5))


def to_steps(number: float, decimals: int) -> int:
    """A float -> whole steps of 10**-decimals (0 to 9), half away from zero."""
    size = 10 ** (9 - decimals)
    count = billionths(number)
    sign = -1 if count < 0 else 1
    return sign * ((abs(count) * 2 + size) // (2 * size))


def steps_text(steps: int, decimals: int) -> str:
    """Whole steps of 10**-decimals -> text: (-5, 2) -> '-0.05'. The same steps are written once: it takes 30 us on a phone, and they recur."""
    asked = (steps, decimals)
    if asked not in _written:
        if len(_written) >= _MOST_KEPT:
            _written.clear()
        _written[asked] = _steps_text(steps, decimals)
    return _written[asked]


_written = {}


def _steps_text(steps: int, decimals: int) -> str:
    sign = "-" if steps < 0 else ""
    digits = str(abs(steps))
    if decimals == 0:
        return sign + digits
    digits = "0" * (decimals + 1 - len(digits)) + digits
    cut = len(digits) - decimals
    return sign + digits[:cut] + "." + digits[cut:]


def text(number: float, decimals: int) -> str:
    """A float -> text with that many decimals (0 to 9), half away from zero."""
    return steps_text(to_steps(number, decimals), decimals)


def signed_text(number: float, decimals: int) -> str:
    """As `text`, with a plus before what is above zero."""
    steps = to_steps(number, decimals)
    return ("+" if steps > 0 else "") + steps_text(steps, decimals)


def short_text(number: float, significant: int = 4) -> str:
    """A float -> plain decimal text with about that many significant digits and no trailing zeros, for working lines."""
    return _trim(_significant(number, significant))


def full_text(number: float) -> str:
    """A float -> the shortest plain text of its first 12 significant digits: what JSON results hold on both interpreters."""
    return _trim(_significant(number, 12))


def _trim(digits: str) -> str:
    if "." in digits and "e" not in digits:
        digits = digits.rstrip("0").rstrip(".")
    return "0" if digits in ("-0", "") else digits


def _significant(number: float, count: int) -> str:
    if number == 0:
        return "0"
    if number != number or number in (float("inf"), float("-inf")):
        raise Refused("range", "value", number, "a finite number")
    size = abs(number)
    exponent = 0  # of the leading digit
    while size >= float(10 ** (exponent + 1)):
        exponent += 1
    while exponent > -30 and _below(size, exponent):
        exponent -= 1
    # By way of 12 digits, which absorb the last-bit differences of two interpreters where fewer digits would meet a tie.
    spare = 10 ** max(0, 12 - count)
    steps = (_scaled(size, max(count, 12) - 1 - exponent) * 2 + spare) // (2 * spare)
    if steps >= 10**count:
        steps = (steps + 5) // 10
        exponent += 1
    decimals = count - 1 - exponent
    if decimals <= 0:
        digits = str(steps * 10 ** (-decimals))
    else:
        digits = steps_text(steps, decimals)
    return "-" + digits if number < 0 else digits


def _below(size: float, exponent: int) -> bool:
    """Is size < 10**exponent, decided without a negative power."""
    if exponent > 0:
        return size < float(10**exponent)
    return size * float(10 ** (-exponent)) < 1.0


def _scaled(size: float, power: int) -> int:
    if power >= 0:
        scaled = size * float(10**power) if power <= 22 else size * 1e22 * float(10 ** (power - 22))
    else:
        scaled = size / float(10 ** (-power))
    return int(scaled + 0.5)
