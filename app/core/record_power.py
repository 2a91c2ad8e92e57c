"""Record section on power over the cable: how it is fed, what it feeds, what the cable allows."""

from . import kinds
from .record_blocks import filled_table, rows, section, table
from .record_words import NONE, field_rows, measure, shown, verdict_word

POWER_FIELDS = (
    "power_pairs",
    "feeding",
    "source_voltage",
    "source_power",
    "load_power",
    "load_voltage_min",
    "load_source",
    "cable_temperature",
)
_CASES = ("far_voltage", "far_voltage_calculated", "least_source", "supply_power", "pair_set_current")
_ROOM = ("most_drawn", "power_reach")


def power_section(link: dict, names: object, checks: list) -> dict | None:
    """What the cable carries besides data; None for a link without anything of it."""
    wanted = [description for description in kinds.LINK if description["name"] in POWER_FIELDS]
    found = [rows(field_rows(link, wanted, names)), _loads(link, names, checks), _cases(checks), _room(checks)]
    return section("power", "Power over the cable", found) if any(found) else None


def _loads(link: dict, names: object, checks: list) -> dict | None:
    fed = {check["id"].rpartition("=")[2]: verdict_word(check["verdict"]) for check in checks if check["rule"] == "load_fed"}
    body = []
    for load in link["loads"]:
        words = {description["name"]: shown(load, description, names) for description in kinds.LOAD}
        cells = [words[name] for name in ("name", "power", "voltage_min", "port", "source", "note")]
        body.append(cells[:3] + [fed.get(load["subject"], NONE)] + cells[3:])
    head = [
        "Load at the far end",
        "Power at most",
        "Lowest voltage",
        "Gets it, all in full",
        "Fed through",
        "Figures from",
        "Notes",
    ]
    return filled_table(head, "lrrllll", body)


def _cases(checks: list) -> dict | None:
    """Each case beside the others, in the order of the rules."""
    body = []
    for check in checks:
        if check["rule"] in _CASES and check["measured"]:
            body.append([check["title"], measure(check["measured"]), measure(check["limit"]), verdict_word(check["verdict"])])
    return table(["Case", "Comes to", "Limit", "Verdict"], "lrrl", body)


def _room(checks: list) -> dict | None:
    body = []
    for check in checks:
        if check["rule"] in _ROOM and check["limit"]:
            body.append([check["title"], measure(check["limit"]), measure(check["measured"]), (check["notes"] or [NONE])[0]])
    return table(["What the cable allows", "At most", "Here", "Why"], "lrrl", body)
