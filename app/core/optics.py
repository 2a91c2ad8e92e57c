"""Transceivers and Ethernet over fibre: power budget, overload, and which applications a measured link supports."""

from . import limits
from .errors import Refused
from .fibre import DEFAULT_SET, mode_of
from .numbers import short_text, text, to_steps
from .units import convert

ETHERNET = "ieee-802.3-optical"
SUPPORTED, NO, NOT_PROVEN = "supported", "no", "not_proven"
STOCK_PADS_DB = [1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 15.0, 20.0]


def transceiver_budget(
    transmit_min_dbm: float,
    transmit_max_dbm: float,
    receive_min_dbm: float,
    receive_max_dbm: float,
    loss_db: float,
    loss_min_db: float | None = None,
    penalties_db: float = 0.0,
) -> dict:
    """Room at the low and at the overload side of a pair of transceivers over a link.

    margin low = transmit min - loss - penalties - receive min; margin high = receive max - (transmit max - least loss)

    Inputs:
        transmit_min (dBm, -60 to 30): least power sent
        transmit_max (dBm, -60 to 30): most power sent
        receive_min (dBm, -60 to 30): least power that the receiver needs
        receive_max (dBm, -60 to 30): most power that the receiver takes
        loss (dB, 0 to 80): highest loss of the link
        loss_min (dB, 0 to 80, optional): lowest loss of the link, the same as loss when left out
        penalties (dB, 0 to 20, 0): to take off where the data sheet gives sensitivity
    Result:
        budget (dB): transmit min - receive min
        margin_low (dB): room before the receiver gets too little
        margin_high (dB): room before the receiver gets too much
        attenuator (dB): attenuation needed at the receiver, 0 when none
        attenuator_stock (dB): the next usual attenuator, 0 when none
        margin_low_attenuated (dB): room at the low side with that attenuator
    Errors: least above most.
    Holds: for average powers from the same data sheet at both ends.
    Source:
        IEEE 802.3 | | clauses 38, 52, 58, 59: power budgets | 1
    Example: transmit_min=-4.7 transmit_max=4 receive_min=-15.8 receive_max=-1 loss=0.9 gives attenuator 4.1 dB
    """
    least_loss_db = loss_db if loss_min_db is None else loss_min_db
    _refuse_order("transmit_min", transmit_min_dbm, transmit_max_dbm, "transmit_max")
    _refuse_order("receive_min", receive_min_dbm, receive_max_dbm, "receive_max")
    _refuse_order("loss_min", least_loss_db, loss_db, "loss")
    found = budget(transmit_min_dbm, transmit_max_dbm, receive_min_dbm, receive_max_dbm, loss_db, least_loss_db, penalties_db)
    notes = []
    if found["attenuator_db"] > 0:
        notes.append(
            "The receiver is overloaded: put an attenuator of at least "
            + text(found["attenuator_db"], 2)
            + " dB at each receiver."
        )
    if found["margin_low_db"] < 0:
        notes.append("The receiver gets too little light.")
    keys = ["budget", "margin_low", "margin_high", "attenuator", "attenuator_stock", "margin_low_attenuated"]
    return {
        "results": {key: found[key + "_db"] for key in keys},
        "working": found["working_low"] + found["working_high"],
        "notes": notes,
    }


def _refuse_order(name: str, low: float, high: float, other: str) -> None:
    if low > high + 1e-9:
        raise Refused("range", name, short_text(low), "not above " + other + ", " + short_text(high), "Check which is which.")


def budget(
    transmit_min: float,
    transmit_max: float,
    receive_min: float,
    receive_max: float,
    loss: float,
    loss_min: float,
    penalties: float,
) -> dict:
    """As `transceiver_budget`, all in dBm and dB, for the checks."""
    low = transmit_min - loss - penalties - receive_min
    high = receive_max - (transmit_max - loss_min)
    pad = max(0.0, -high)
    stock = stock_pad(pad)
    less = " - " + short_text(penalties) if penalties else ""
    return {
        "budget_db": transmit_min - receive_min,
        "margin_low_db": low,
        "margin_high_db": high,
        "attenuator_db": pad,
        "attenuator_stock_db": stock,
        "margin_low_attenuated_db": low - stock,
        "working_low": [
            "least received = "
            + short_text(transmit_min)
            + " - "
            + short_text(loss)
            + less
            + " = "
            + text(low + receive_min, 2)
            + " dBm",
            "margin low = " + text(low + receive_min, 2) + " - (" + short_text(receive_min) + ") = " + text(low, 2) + " dB",
        ],
        "working_high": [
            "most received = "
            + short_text(transmit_max)
            + " - "
            + short_text(loss_min)
            + " = "
            + text(transmit_max - loss_min, 2)
            + " dBm",
            "margin high = "
            + short_text(receive_max)
            + " - ("
            + text(transmit_max - loss_min, 2)
            + ") = "
            + text(high, 2)
            + " dB",
        ],
    }


def stock_pad(needed_db: float) -> float:
    """The next usual attenuator, dB; 0 when none is needed; what is needed itself beyond the largest."""
    if to_steps(needed_db, 2) <= 0:
        return 0.0
    for pad in STOCK_PADS_DB:
        if to_steps(pad, 2) >= to_steps(needed_db, 2):
            return pad
    return needed_db


def optical_power(power_dbm: float) -> dict:
    """Optical power in dBm and in microwatt.

    dBm = 10 * log10(microwatt / 1000)

    Inputs:
        power (dBm, -90 to 40): power in dBm, uW or mW
    Result:
        dbm (dBm): power
        microwatt (uW): the same power
    Errors: no light has no dBm.
    Holds: exactly.
    Source:
        Definition | | dB relative to 1 mW | 2+
    Example: power=-10dBm gives 100 uW
    """
    microwatt = convert(power_dbm, "dBm", "uW", "power")
    line = text(power_dbm, 2) + " dBm = 1000 uW x 10^(" + short_text(power_dbm) + " / 10) = " + short_text(microwatt, 5) + " uW"
    return {"results": {"dbm": power_dbm, "microwatt": microwatt}, "working": [line], "notes": []}


def ethernet_support(
    fibre: str,
    length_m: float,
    loss_850_db: float | None = None,
    loss_1300_db: float | None = None,
    loss_1310_db: float | None = None,
    loss_1550_db: float | None = None,
) -> dict:
    """Which Ethernet applications a measured fibre link supports: fibre, length and loss each on its own.

    supported = fibre allowed, and length within reach, and loss at the application's wavelength not above its channel insertion loss

    Inputs:
        fibre (word: OM1 OM2 OM3 OM4 OM5 OS1 OS1a OS2): cabled fibre category
        length (m, 0 to 100000): length of the channel, cords included
        loss_850 (dB, 0 to 60, optional): loss measured at 850 nm
        loss_1300 (dB, 0 to 60, optional): loss measured at 1300 nm
        loss_1310 (dB, 0 to 60, optional): loss measured at 1310 nm
        loss_1550 (dB, 0 to 60, optional): loss measured at 1550 nm
    Result:
        application (word): one key each, supported, no, or not_proven, with the reason as a note
    Errors: none but out of range.
    Holds: for a loss with both end matings in it (one-cord reference).
    Source:
        IEEE 802.3 | | clauses 26, 38, 52, 58, 59, 68, 112, 114, 158 | 1
    Example: fibre=OM3 length=320 loss_850=1.2 gives 1000BASE-SX supported, 10GBASE-SR no
    """
    given = [["850", loss_850_db], ["1300", loss_1300_db], ["1310", loss_1310_db], ["1550", loss_1550_db]]
    losses = {name: [loss, loss] for name, loss in given if loss is not None}
    results, notes = {}, []
    for name, _ in limits.applications():
        found = support(name, fibre, length_m, losses)
        results[name] = found["verdict"]
        notes.append(name + ": " + found["verdict"].replace("_", " ") + ", " + found["reason"])
    working = [wavelength + " nm: " + short_text(losses[wavelength][1]) + " dB" for wavelength in sorted(losses)]
    return {"results": results, "working": ["length " + short_text(length_m, 6) + " m of " + fibre] + working, "notes": notes}


def support(application: str, fibre: str, length_m: float | None, losses: dict) -> dict:
    """One application over a measured channel -> {"verdict": supported | no | not_proven, "reason", "rows"}.

    length_m: None when not known; losses: {wavelength: [lowest dB, highest dB]} of those measured.
    """
    rows = limits.rows(ETHERNET, kind="fit", application=application, fibre=fibre)
    if not rows:
        return {"verdict": NO, "reason": "not made for " + fibre, "rows": []}
    found = [_fit(row, length_m, losses) for row in rows]
    for verdict in (NO, NOT_PROVEN, SUPPORTED):
        reasons = [reason for word, reason in found if word == verdict]
        if reasons:
            reasons = reasons[:1] if verdict == SUPPORTED else _once(reasons)
            return {"verdict": verdict, "reason": "; ".join(reasons), "rows": rows}
    raise Refused("unknown", "application", application, "an application with limits")


def _once(texts: list) -> list:
    kept = []
    for entry in texts:
        if entry not in kept:
            kept.append(entry)
    return kept


def _fit(row: dict, length_m: float | None, losses: dict) -> tuple:
    """One row of reach and loss: faults first, then what is not known, then support."""
    length = _length_fit(row, length_m)
    loss = _loss_fit(row, losses)
    for verdict in (NO, NOT_PROVEN):
        reasons = [reason for word, reason in (length, loss) if word == verdict]
        if reasons:
            return verdict, ", ".join(reasons)
    return SUPPORTED, length[1] + ", " + loss[1]


def _length_fit(row: dict, length_m: float | None) -> tuple:
    reach = row.get("reach")
    if reach is None:
        return NOT_PROVEN, row["note"].rstrip(".")
    if length_m is None:
        return NOT_PROVEN, "length not known"
    length = short_text(length_m, 5) + " m"
    if to_steps(length_m, 1) > to_steps(float(reach), 1):
        return NO, length + " is over its reach of " + reach + " m on " + row["fibre"]
    if to_steps(length_m, 1) < to_steps(float(row["length_min"]), 1):
        return NO, length + " is under its least length of " + row["length_min"] + " m"
    return SUPPORTED, length + " is within " + reach + " m"


def _loss_fit(row: dict, losses: dict) -> tuple:
    allowed = row.get("value")
    if allowed is None:
        return NOT_PROVEN, "its loss limit is not known here, take the module's data sheet"
    missing = [wavelength for wavelength in row["wavelengths"] if wavelength not in losses]
    known = [wavelength for wavelength in row["wavelengths"] if wavelength in losses]
    for wavelength in known:
        if to_steps(losses[wavelength][1], 2) > to_steps(float(allowed), 2):
            return NO, text(losses[wavelength][1], 2) + " dB at " + wavelength + " nm is over its " + allowed + " dB"
    if missing:
        return NOT_PROVEN, "loss at " + " and ".join(missing) + " nm not measured"
    least = min([losses[wavelength][0] for wavelength in known])
    if row.get("loss_min") and to_steps(least, 2) < to_steps(float(row["loss_min"]), 2):
        return NO, "only with an attenuator of " + text(
            float(row["loss_min"]) - least, 2
        ) + " dB at each receiver, it needs " + row["loss_min"] + " dB"
    highest = max([losses[wavelength][1] for wavelength in known])
    return SUPPORTED, text(highest, 2) + " dB is within " + allowed + " dB"


def channel_extra(method: str, fibre: str) -> float:
    """dB to add to a loss so that both end matings are in it: none for one-cord, one mating for two-cord, two for three-cord."""
    missing = {"one_cord": 0, "two_cord": 1, "three_cord": 2}[method]
    return missing * float(limits.row(DEFAULT_SET, "mating")["value"])


def nearest_wavelength(fibre: str, wavelength_nm: float) -> list:
    """The measured wavelengths that stand for a transceiver's wavelength, most fitting first: 1270 -> 1310; 1490 -> 1310 and 1550 (the worse)."""
    if mode_of(fibre) == "MM":
        return ["850"] if wavelength_nm < 1075 else ["1300"]
    if wavelength_nm < 1400:
        return ["1310"]
    return ["1310", "1550"] if wavelength_nm < 1520 else ["1550"]
