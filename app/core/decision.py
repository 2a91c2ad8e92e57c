"""Is it within the limit, and is a change real: the two decisions that carry an uncertainty."""

import math

from .numbers import billionths, short_text


def decision(measured: float, limit: float, uncertainty: float, sense: str = "max") -> dict:
    """Verdict of a measured value against a limit with a guard band as wide as the uncertainty.

    margin = limit - measured (max) or measured - limit (min); pass from +uncertainty, within uncertainty to -uncertainty, fail below

    Inputs:
        measured (ratio, any): measured value
        limit (ratio, any): limit, in the same unit
        uncertainty (ratio, 0 or more): expanded uncertainty, k = 2, in the same unit
        sense (word: max min, max): whether the limit is the most or the least allowed
    Result:
        verdict (word): pass, pass_within_uncertainty, fail_within_uncertainty or fail
        margin (ratio): room to the limit, negative beyond it
    Errors: none but out of range.
    Holds: for a rule agreed before the test; a boundary value goes to the better class.
    Source:
        ILAC-G8 | 09/2019 | 4.2.3 | 2+
    Example: measured=2.0 limit=2.0 uncertainty=0.2 gives pass_within_uncertainty
    """
    margin = limit - measured if sense == "max" else measured - limit
    steps, guard = billionths(margin), billionths(uncertainty)
    if steps >= guard:
        verdict = "pass"
    elif steps >= 0:
        verdict = "pass_within_uncertainty"
    else:
        verdict = "fail_within_uncertainty" if steps >= -guard else "fail"
    line = "margin = " + short_text(margin, 6) + ", guard band = " + short_text(uncertainty, 6)
    notes = [] if guard else ["No uncertainty: simple acceptance."]
    return {"results": {"verdict": verdict, "margin": margin}, "working": [line], "notes": notes}


def change(before: float, after: float, before_uncertainty: float, after_uncertainty: float) -> dict:
    """Is a change against the baseline larger than both uncertainties together?

    real when |after - before| > sqrt(before uncertainty^2 + after uncertainty^2)

    Inputs:
        before (ratio, any): value of the baseline
        after (ratio, any): value now, in the same unit
        before_uncertainty (ratio, 0 or more): expanded uncertainty of the baseline, k = 2
        after_uncertainty (ratio, 0 or more): expanded uncertainty now, k = 2
    Result:
        difference (ratio): after - before
        threshold (ratio): what the difference has to exceed
        real (word): true or false
    Errors: none but out of range.
    Holds: for the same method, wavelength, direction and cords.
    Source:
        ISO/IEC Guide 98-3 | 2008 | root sum of squares of independent uncertainties | 2+
    Example: before=1.0 after=1.25 before_uncertainty=0.2 after_uncertainty=0.2 gives real false
    """
    difference = after - before
    threshold = math.sqrt(before_uncertainty * before_uncertainty + after_uncertainty * after_uncertainty)
    real = billionths(abs(difference)) > billionths(threshold)
    line = (
        "|"
        + short_text(after, 6)
        + " - "
        + short_text(before, 6)
        + "| = "
        + short_text(abs(difference), 6)
        + " against "
        + short_text(threshold, 6)
    )
    return {
        "results": {"difference": difference, "threshold": threshold, "real": real},
        "working": [line],
        "notes": [] if real else ["Not distinguishable from no change."],
    }
