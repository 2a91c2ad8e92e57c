"""An electrode's reading, whatever method it was taken by."""

from . import base, earth_tests

SIDES = ["near", "far"]


def electrodes_read(link: dict) -> dict:
    """The newest electrode reading of each side, typed as one figure or as a fall of potential: {side: {"reading", "others"}}."""
    single = {row["keys"]["side"]: row for row in base.latest(link, "electrode_resistance", ["side"])}
    tests = earth_tests.newest_at(link)
    found = {}
    for side in SIDES:
        newest = earth_tests.newer(single.get(side), tests.get(side))
        if newest:
            found[side] = newest
    return found


def electrode_ohm(reading: dict) -> dict:
    """What a reading of an electrode comes to: {"ohm"} with "working" and "notes", or {"why"} it comes to nothing."""
    if reading["body"]["quantity"] != earth_tests.QUANTITY:
        return {"ohm": base.reading_number(reading, "ohm"), "working": [], "notes": []}
    found = earth_tests.examined(reading)
    if "why" in found or found["ohm"] is not None:
        return found
    return {"why": "no plateau around 62 %, and the slope method does not hold: move the current stake further out and repeat"}
