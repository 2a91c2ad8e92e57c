"""Is an event's body well made: reading, void, photo, note, deviation, seal."""

from . import moments, units
from .errors import Refused
from .fields import check_field
from .marks import check_marks
from .numbers import parse_decimal
from .quantities import EXTRA_UNITS, ZONES, quantity
from .seal_form import check_seal
from .shapes import HEX, LONGEST_TEXT, RETYPE, check_bounds, check_filled, check_reference, check_text
from .tables import check_table


def check_event(kind: str, body: dict) -> None:
    """Refuse the body of an event that its kind doesn't allow."""
    _EVENT_CHECKS[kind](body)


def _check_reading(body: dict) -> None:
    check_reference(body.get("link"), "link")
    about = quantity(body.get("quantity"))
    if about is None:
        raise Refused("unknown", "quantity", body.get("quantity"), "a quantity that this version knows", "Update the app.")
    form = about.get("form", "value")
    if form == "value":
        check_value(about, body.get("value"))
    elif form == "answer":
        words = [answer[0] for answer in about["answers"]]
        if body.get("answer") not in words:
            raise Refused("word", "answer", body.get("answer"), "one of " + ", ".join(words), "Choose it again.")
    elif form == "map":
        _check_map(body)
    elif form == "table":
        check_table(about, body.get("table"))
    else:
        _check_counts(body.get("counts"))
    check_marks(body, about)
    _check_extras(body, about)


def check_value(about: dict, value: object) -> None:
    """Refuse a reading that is impossible: wrong unit, no number, or outside the quantity's hard bounds."""
    name, unit = about["name"], about["units"][0]
    if not isinstance(value, dict) or value.get("value") in (None, ""):
        raise Refused("missing", "value", "", "a number with its unit", "Type what the instrument shows.")
    if about.get("dark") and value.get("unit") != unit and parse_decimal(value["value"], "value") == 0:
        units.convert(1.0, value.get("unit"), unit, "value")
        return  # a module's way of saying that it gets no light
    number = units.typed(value, unit, "value")
    check_bounds(
        "value",
        number,
        value["value"],
        about.get("low"),
        about.get("high"),
        unit,
        about.get("why") or about["title"] + " (" + name + ") outside this is impossible",
    )


def _check_map(body: dict) -> None:
    pins = body.get("map")
    if not isinstance(pins, str) or len(pins) != 8:
        raise Refused("shape", "map", pins, "eight signs, one a near pin: the far pin 1 to 8, or - for open", "Type all eight.")
    for pin in pins:
        if pin not in "12345678-":
            raise Refused("shape", "map", pins, "digits 1 to 8, or - for open", RETYPE)
    if body.get("split") not in (None, "yes", "no", "not_tested"):
        raise Refused("word", "split", body.get("split"), "yes, no or not_tested")


def _check_counts(counts: object) -> None:
    if not isinstance(counts, dict) or not counts:
        raise Refused("missing", "counts", "", "counts by zone", "Enter what is seen in each zone, zero where nothing is.")
    for zone in counts:
        if zone not in ZONES or not isinstance(counts[zone], dict):
            raise Refused("word", "zone", zone, "one of " + ", ".join(ZONES))
        for name in counts[zone]:
            if counts[zone][name] in (None, ""):
                continue
            number = parse_decimal(counts[zone][name], name)
            if number != int(number) or not 0 <= number <= 1000:
                raise Refused("number", name, counts[zone][name], "a whole number from 0 to 1000", RETYPE)


_ABOVE_ZERO = ("frequency", "duration", "current_stake", "electrodes", "launch_cord", "tail_cord", "pulse_width")
_NOT_BELOW_ZERO = ("electrode_size", "stray_voltage")


def _check_extras(body: dict, about: dict) -> None:
    for name in EXTRA_UNITS:
        value = body.get(name)
        if value is not None:
            number = units.typed(value, EXTRA_UNITS[name][0], name)
            if name in _ABOVE_ZERO and number <= 0:
                raise Refused("range", name, value["value"], "a number above zero", RETYPE)
            if name == "set_index" and not 1.3 <= number <= 1.6:
                raise Refused("range", name, value["value"], "a group index from 1.3 to 1.6", RETYPE)
            if name in _NOT_BELOW_ZERO and number < 0:
                raise Refused("range", name, value["value"], "a number from zero up", RETYPE)
    for name, words in (about.get("extra_words") or {}).items():
        if body.get(name) not in [None, ""] + [word[0] for word in words]:
            raise Refused("word", name, body[name], "one of " + ", ".join([word[0] for word in words]), "Choose it again.")
    _check_uncertainty(body, about)
    if body.get("reference_at"):
        moments.milliseconds(body["reference_at"], "reference_at")
    _check_instrument(body.get("instrument"))
    if body.get("visit") not in (None, "install", "service"):
        raise Refused("word", "visit", body.get("visit"), "install or service")
    if body.get("origin") not in (None, "s_parameters"):
        raise Refused("word", "origin", body["origin"], "s_parameters, or left out for what an instrument gave")
    for name in ("note", "conditions", "accuracy_level", "module"):
        if body.get(name) is not None:
            check_text(body[name], name, LONGEST_TEXT)


def _check_uncertainty(body: dict, about: dict) -> None:
    """It is stated in the unit of the value; for a table in that of the column it belongs to."""
    stated = body.get("uncertainty")
    if stated is None:
        return
    if not isinstance(stated, dict) or "unit" not in stated:
        raise Refused("shape", "uncertainty", stated, "a number with its unit", RETYPE)
    if parse_decimal(stated.get("value"), "uncertainty") < 0:
        raise Refused("range", "uncertainty", stated["value"], "a number from zero up", RETYPE)
    if body.get("value"):  # that of an optical power is a number of decibels, in whatever unit the power is
        optical = about["units"][:1] == ["dBm"]
        units.convert(1.0, stated["unit"], "dB" if optical else body["value"]["unit"], "uncertainty")
    if about.get("uncertain"):
        belongs = next(column for column in about["columns"] if column["name"] == about["uncertain"])
        units.convert(1.0, stated["unit"], belongs["units"][0], "uncertainty")


def _check_instrument(instrument: object) -> None:
    if instrument is None:
        return
    if not isinstance(instrument, dict):
        raise Refused("shape", "instrument", instrument, "name, serial and calibration date")
    for name in ("name", "serial"):
        if instrument.get(name) is not None:
            check_text(instrument[name], name, 200)
    for name in ("calibrated", "due"):
        if instrument.get(name):
            moments.day_number(instrument[name], name)


def _check_void(body: dict) -> None:
    check_reference(body.get("link"), "link")
    check_reference(body.get("reading"), "reading")
    check_filled(body.get("reason"), "reason", "Say why the reading doesn't count.")


def _check_photo(body: dict) -> None:
    sha256 = body.get("sha256")
    if not isinstance(sha256, str) or len(sha256) != 64 or [c for c in sha256 if c not in HEX]:
        raise Refused("shape", "sha256", sha256, "64 hexadecimal digits")
    if body.get("link") is not None:
        check_reference(body["link"], "link")
    check_text(body.get("caption") or "", "caption", LONGEST_TEXT)
    if body.get("position") is not None:
        check_field({"name": "position", "type": "position"}, body["position"])


def _check_note(body: dict) -> None:
    if body.get("link") is not None:
        check_reference(body["link"], "link")
    check_filled(body.get("text"), "text", "Write the note.")


def _check_deviation(body: dict) -> None:
    check_reference(body.get("link"), "link")
    check_filled(body.get("check"), "check", "Name the check.")
    check_filled(body.get("reason"), "reason", "Say why it is accepted as it is.")
    check_filled(body.get("name"), "name", "Say who accepts it.")


_EVENT_CHECKS = {
    "reading": _check_reading,
    "void": _check_void,
    "photo": _check_photo,
    "note": _check_note,
    "deviation": _check_deviation,
    "seal": check_seal,
}
