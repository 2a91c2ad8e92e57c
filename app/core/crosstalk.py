"""Crosstalk of pairs put together: power sums, and what is left above the loss of the disturbed pair."""

import math

from .errors import Refused
from .numbers import short_text, text


def power_sum_db(losses_db: list) -> float:
    """Losses towards several disturbing pairs, dB -> their power sum, dB: -10 lg(sum of 10^(-x/10)).

    Errors: Refused for an empty list. Source: definition, ISO/IEC 11801-1 and ANSI/TIA-568.2-D (seen in two or more public places).
    """
    if not losses_db:
        raise Refused("missing", "losses", None, "one loss or more", "Give the crosstalk loss of each disturbing pair.")
    powers = 0.0
    for loss in losses_db:
        powers += 10.0 ** (-loss / 10.0)
    return -10.0 * math.log10(powers)


def above_loss_db(crosstalk_db: float, insertion_loss_db: float) -> float:
    """NEXT - insertion loss = ACR-N; FEXT - insertion loss of the disturbed pair = ACR-F; dB, either may be a power sum.

    Source: definition, ISO/IEC 11801-1 and ANSI/TIA-568.2-D (seen in two or more public places).
    """
    return crosstalk_db - insertion_loss_db


def power_sum(losses_db: list, insertion_loss_db: float | None = None) -> dict:
    """Crosstalk into one pair from all the others together, and what is left above the pair's own loss.

    power sum = -10 * log10(sum of 10^(-loss / 10)); left over = power sum - insertion loss

    Inputs:
        losses (list of dB, 0 to 150): NEXT or FEXT from each other pair, three for a cable of four pairs
        insertion_loss (dB, 0 to 100, optional): loss of the disturbed pair at the same frequency
    Result:
        power_sum (dB): PSNEXT or PSFEXT
        left_over (dB): PSACR-N from NEXT, PSACR-F from FEXT
    Errors: Refused outside the ranges.
    Holds: all values at one frequency and one end.
    Source:
        ANSI/TIA-568.2-D | 2018 | definition of power sum and attenuation to crosstalk ratio | 2+
        ISO/IEC 11801-1 | 2017 | definition of power sum and attenuation to crosstalk ratio | 2+
    Example: power_sum([44.0, 44.0, 44.0], 20.0) gives power_sum 39.23 dB, left_over 19.23 dB
    """
    total = power_sum_db(losses_db)
    listed = ", ".join([short_text(loss) for loss in losses_db])
    results, working = {"power_sum": total}, ["power sum of " + listed + " dB = " + text(total, 2) + " dB"]
    if insertion_loss_db is not None:
        results["left_over"] = above_loss_db(total, insertion_loss_db)
        line = text(total, 2) + " - " + short_text(insertion_loss_db) + " = " + text(results["left_over"], 2) + " dB"
        working.append("left over = " + line)
    return {"results": results, "working": working, "notes": []}
