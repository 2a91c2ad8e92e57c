"""What a transceiver says of itself: its raw counts as quantities, loss between two of them, and modulation amplitude."""

import math

from .numbers import short_text, text
from .ranges import between

POWER_DB = 3.0  # how far the power that a module reports may be off


def temperature_degc(high_byte: int, low_byte: int) -> float:
    """Bytes 96, 97 -> degC: a signed 16-bit count of 1/256 degC. Source: SFF-8472 (seen in two or more public places)."""
    count = high_byte * 256 + low_byte
    return (count - 65536 if count >= 32768 else count) / 256.0


def supply_v(count: int) -> float:
    """Bytes 98, 99 -> V: a count of 100 uV. Source: SFF-8472 (seen in two or more public places)."""
    return count / 10000.0


def bias_ma(count: int) -> float:
    """Bytes 100, 101 -> mA: a count of 2 uA. Source: SFF-8472 (seen in two or more public places)."""
    return count / 500.0


def power_uw(count: int) -> float:
    """Bytes 102 to 105 -> microwatt: a count of 0.1 uW; 0 is no light. Source: SFF-8472 (seen in two or more public places)."""
    return count / 10.0


def diagnostics_loss(transmit_dbm: float, receive_dbm: float) -> dict:
    """Loss of a link from what the two transceivers report of themselves, with how far that may be off.

    loss = transmit - receive; worst case 2 * 3 dB, root sum of squares sqrt(2) * 3 dB

    Inputs:
        transmit (dBm, -60 to 30): power that the sending module reports
        receive (dBm, -60 to 30): power that the receiving module reports
    Result:
        loss (dB): between them
        worst (dB): how far it may be off at most
        likely (dB): how far it may be off when both errors are independent
    Errors: Refused outside the ranges.
    Holds: to watch a trend of the same two modules; never to accept a link.
    Source: SFF-8472 | | accuracy of reported power, plus or minus 3 dB | 2+
    Example: diagnostics_loss(-2.0, -5.5) gives loss 3.5 dB, worst 6 dB
    """
    between(transmit_dbm, -60, 30, "transmit", "dBm")
    between(receive_dbm, -60, 30, "receive", "dBm")
    loss = transmit_dbm - receive_dbm
    line = short_text(transmit_dbm) + " - (" + short_text(receive_dbm) + ") = " + text(loss, 2) + " dB"
    notes = ["For trends only: each module may be off by 3 dB."]
    if loss < -2.0 * POWER_DB:
        notes.append("More comes out than goes in, by more than both may be off: not one link, or a module is wrong.")
    results = {"loss": loss, "worst": 2.0 * POWER_DB, "likely": math.sqrt(2.0) * POWER_DB}
    return {"results": results, "working": ["loss = " + line], "notes": notes}


def average_power(amplitude_dbm: float, extinction_db: float | None = None) -> dict:
    """Average optical power from the modulation amplitude that a standard or a data sheet gives.

    average = amplitude * (E + 1) / (2 * (E - 1)), E the extinction ratio as a number; amplitude / 2 for an endless ratio

    Inputs:
        amplitude (dBm, -60 to 30): optical modulation amplitude
        extinction (dB, 1 to 40, optional): extinction ratio; taken as endless when left out
    Result:
        average (dBm): average power
    Errors: Refused outside the ranges.
    Holds: ones and zeros as many.
    Source: Definition of modulation amplitude and extinction ratio | | average of two levels | 1
    Example: average_power(-15.0864, 9.0) gives average -17.00 dBm
    """
    between(amplitude_dbm, -60, 30, "amplitude", "dBm")
    share = 0.5
    if extinction_db is not None:
        ratio = 10.0 ** (between(extinction_db, 1, 40, "extinction", "dB") / 10.0)
        share = (ratio + 1.0) / (2.0 * (ratio - 1.0))
    average = amplitude_dbm + 10.0 * math.log10(share)
    line = short_text(amplitude_dbm) + " dBm times " + short_text(share) + " = " + text(average, 2) + " dBm"
    return {"results": {"average": average}, "working": [line], "notes": []}
