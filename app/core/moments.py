"""Times as written in entries (ISO 8601 with zone) to whole milliseconds since 1970, so that phones in two zones sort alike."""

from .errors import Refused

_ALLOWED = "a time such as 2026-03-14T10:22:05.123+01:00"


def day_number(text: str, field: str = "date") -> int:
    """A date '2026-03-14' (a longer time text is cut) -> days since 1970-01-01. Refused when it is no real date."""
    try:
        year, month, day = int(text[0:4]), int(text[5:7]), int(text[8:10])
    except (ValueError, TypeError):
        raise Refused("date", field, text, "a date such as 2026-03-14")
    shape = len(text) >= 10 and text[4] == "-" and text[7] == "-"
    if not shape or not 1 <= month <= 12 or not 1 <= day <= _days_in(year, month):
        raise Refused("date", field, text, "a date such as 2026-03-14")
    return _days_from_civil(year, month, day)


def _days_in(year: int, month: int) -> int:
    if month == 2:
        leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
        return 29 if leap else 28
    return 30 if month in (4, 6, 9, 11) else 31


def _days_from_civil(year: int, month: int, day: int) -> int:
    """Proleptic Gregorian date -> days since 1970-01-01, by counting years from March."""
    if month <= 2:
        year -= 1
        month += 12
    return 365 * year + year // 4 - year // 100 + year // 400 + (153 * (month - 3) + 2) // 5 + day - 719469


def date_text(days: int) -> str:
    """Days since 1970-01-01 -> '2026-03-14', by counting days in years from March."""
    days += 719468
    era = days // 146097
    day_of_era = days - era * 146097
    year_of_era = (day_of_era - day_of_era // 1460 + day_of_era // 36524 - day_of_era // 146096) // 365
    day_of_year = day_of_era - (365 * year_of_era + year_of_era // 4 - year_of_era // 100)
    month = (5 * day_of_year + 2) // 153
    day = day_of_year - (153 * month + 2) // 5 + 1
    year = year_of_era + era * 400 + (1 if month >= 10 else 0)
    return str(year) + "-" + _two(month + 3 if month < 10 else month - 9) + "-" + _two(day)


def _two(number: int) -> str:
    return ("0" if number < 10 else "") + str(number)


_known = {}
_MOST_KEPT = 4000


def milliseconds(text: str, field: str = "at") -> int:
    """A time with zone -> whole milliseconds since 1970-01-01 UTC. Seconds and their fraction may be missing; the zone may be Z."""
    if isinstance(text, str) and text in _known:
        return _known[text]
    found = _worked_out(text, field)
    if len(_known) >= _MOST_KEPT:
        _known.clear()
    _known[text] = found
    return found


def _worked_out(text: str, field: str) -> int:
    if not isinstance(text, str) or len(text) < 17 or text[10] not in "T ":
        raise Refused("time", field, text, _ALLOWED)
    days = day_number(text, field)
    clock, zone_minutes = _split_zone(text[11:], text, field)
    pieces = clock.split(":")
    try:
        hour, minute = int(pieces[0]), int(pieces[1])
        second_text = pieces[2] if len(pieces) > 2 else "0"
        whole, _, fraction = second_text.partition(".")
        second, thousandth = int(whole), int((fraction + "000")[:3])
    except (ValueError, IndexError):
        raise Refused("time", field, text, _ALLOWED)
    if not 0 <= hour <= 23 or not 0 <= minute <= 59 or not 0 <= second <= 60 or len(pieces) > 3:
        raise Refused("time", field, text, _ALLOWED)
    minutes = days * 1440 + hour * 60 + minute - zone_minutes
    return (minutes * 60 + second) * 1000 + thousandth


def _split_zone(clock: str, text: str, field: str) -> tuple:
    if clock[-1:] in ("Z", "z"):
        return clock[:-1], 0
    sign = clock[-6:-5]
    if sign not in ("+", "-") or clock[-3:-2] != ":":
        raise Refused("time", field, text, _ALLOWED, "Name the zone, for example +00:00.")
    try:
        minutes = int(clock[-5:-3]) * 60 + int(clock[-2:])
    except ValueError:
        raise Refused("time", field, text, _ALLOWED)
    return clock[:-6], minutes if sign == "+" else -minutes


def shown(text: str) -> str:
    """A time as people read it, in the zone it was taken in: '2026-03-14 10:22 (+01:00)'."""
    if not isinstance(text, str) or len(text) < 17:
        return ""
    zone = "Z" if text[-1:] in ("Z", "z") else text[-6:]
    return text[:10] + " " + text[11:16] + " (" + ("UTC" if zone == "Z" else zone) + ")"
