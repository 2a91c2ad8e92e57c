"""What an Ethernet application itself asks of a copper link, beside the limits of the cabling's category."""

from . import limits
from .copper_limits import limit_at
from .errors import Refused
from .numbers import short_text, text
from .ranges import one_of

SEGMENT_FILE = "ieee-802.3-copper"


def link_segment_limit(application: str, quantity: str, frequency_mhz: float | None = None) -> dict:
    """The limit that an Ethernet application sets for its copper link at one frequency: a second look beside the category.

    1000BASE-T: 2.1 f^0.529 + 0.4 / f; NEXT 27.1 - 16.8 lg(f / 100). 10BASE-T1L: 10 (1.23 sqrt f + 0.01 f + 0.2 / sqrt f) + 0.2 sqrt f

    Inputs:
        application (word: 1000BASE-T 10BASE-T1L): what runs over the link
        quantity (word: insertion_loss next return_loss delay skew): what is measured; next and skew not for a single pair
        frequency (MHz, 0.1 to 100, optional): frequency, 1 to 100 for 1000BASE-T, 0.1 to 20 for 10BASE-T1L; not needed for delay and skew
    Result:
        limit (dB): the limit, in dB; in ns for delay and skew
    Errors: Refused for a quantity that the application sets no limit for, a missing frequency, and one outside its range.
    Holds: for the whole link from port to port.
    Source:
        IEEE 802.3 | 2022 | clauses 40.7 and 146.7, link segments | memory
    Example: link_segment_limit("1000BASE-T", "insertion_loss", 100.0) gives limit 24.0 dB
    """
    one_of(application, ["1000BASE-T", "10BASE-T1L"], "application")
    rows = limits.rows(SEGMENT_FILE, application=application)
    row = limits.row(SEGMENT_FILE, one_of(quantity, [held["quantity"] for held in rows], "quantity") + ":" + application)
    if frequency_mhz is None:
        if "value" not in row:
            raise Refused("missing", "frequency", None, "a frequency in MHz", "Give the frequency that the limit is wanted at.")
        limit = float(row["value"])
    else:
        limit = limit_at(row, frequency_mhz)
    at = "" if frequency_mhz is None else ", at " + short_text(frequency_mhz) + " MHz"
    line = application + ", " + quantity.replace("_", " ") + at + ": limit " + text(limit, 2) + " " + row["unit"]
    return {
        "results": {"limit": limit},
        "units": {"limit": row["unit"]},
        "working": [line],
        "notes": [],
        "source": [limits.source(SEGMENT_FILE, row)],
    }
