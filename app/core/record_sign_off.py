"""Record sections on what was required before signing, and what was acknowledged one by one."""

from .record_blocks import section, table, text
from .record_words import when

STATES = {"done": "Done", "failing": "Fails", "missing": "Missing", "accepted": "Accepted as deviation"}


def list_section(link: dict, off: dict) -> dict | None:
    """The sign-off list as the newest seal signed it; as it stands now where nothing, or only a seal of the first version, is signed.

    off: what `sign_off` gave. None for a link that nothing is asked of.
    """
    seal = link["seals"][-1] if link["seals"] else None
    signed = seal["list"] if seal else []
    now = [[item["id"], item["title"], item["state"], item["detail"]] for item in off["items"]]
    rows = [[row[1], STATES.get(row[2], str(row[2])), row[3]] for row in signed or now]
    found = table(["Required", "State", "What there is"], "lll", rows)
    title = "Sign-off list, as signed in revision " + str(seal["revision"]) if signed else "Sign-off list, as it stands"
    later = _later(off) if signed and seal["after"] else None
    return section("sign_off", title, [found, later]) if found else None


def _later(off: dict) -> dict:
    opened = [item["title"] + ": " + item["detail"] for item in off["items"] if item["state"] in ("failing", "missing")]
    if not opened:
        return text(["With what came after signing nothing on the list is open."])
    return text(["With what came after signing this is open: " + "; ".join(opened) + "."])


def stops_section(link: dict, off: dict) -> dict | None:
    """What was acknowledged one by one with the newest seal; what has to be where none was. None where there is nothing."""
    seal = link["seals"][-1] if link["seals"] else None
    if seal and seal["stops"]:
        rows = [[row[1], row[2], when(row[3])] for row in seal["stops"]]
        title = "Acknowledged before signing, revision " + str(seal["revision"])
        return section("stops", title, [table(["What", "Acknowledged by", "At"], "lll", rows)])
    rows = [[stop["title"], stop["words"] + " " + stop["why"]] for stop in off["stops"]]
    found = table(["What", "To be acknowledged"], "ll", rows)
    return section("stops", "Not acknowledged yet", [found]) if found else None
