"""What the rules for copper, power, traffic and earthing share: a limit row to a verdict, the link's limit set, the length of its cable."""

from .. import limits
from ..kinds import COPPER, EXTENDED
from ..numbers import decimals_of, short_text
from . import base, lengths

DEFAULT_SETUP = "channel"


def by_row(rule: str, keys: list, group: str, title: str, measured: float, file_id: str, row: dict, **more: object) -> dict:
    """A measured number, in the row's unit, against a limit row -> check row.

    more: limit (float, where the row's own value is not the limit), and what `base.judge` takes: working, readings, notes, required,
    decision, uncertainty.
    """
    limit = more.pop("limit", None)
    return base.judge(
        rule,
        keys,
        group,
        title,
        measured,
        float(row["value"]) if limit is None else limit,
        row["unit"],
        decimals_of(row["step"]),
        row["sense"],
        base.source_of(file_id, row),
        equal_passes=row["equal_passes"],
        **more,
    )


def by_own(
    rule: str, keys: list, group: str, title: str, measured: float | None, unit: str, decimals: int, sense: str, **more: object
) -> dict:
    """A rule that has no published limit here but one typed for the link -> check row; it waits when nothing is measured.

    decimals: the resolution that the rule judges in where it has a published limit.
    more: what `base.judge`, or `base.not_measured` for what waits, takes. Ask `own.held_for` first.
    """
    if measured is None:
        return base.not_measured(rule, keys, group, title, unit=unit, sense=sense, **more)
    return base.judge(rule, keys, group, title, measured, None, unit, decimals, sense, None, **more)


def waiting(rule: str, keys: list, group: str, title: str, file_id: str, row: dict, **more: object) -> dict:
    """A check that waits for a reading, with the limit of its row shown where the row has one."""
    return base.not_measured(
        rule,
        keys,
        group,
        title,
        limit_text=row.get("value", ""),
        unit=row["unit"],
        sense=row["sense"],
        source=base.source_of(file_id, row),
        **more,
    )


def of_reading(reading: dict, unit: str, older: list | None = None) -> dict:
    """What `base.judge` takes from a reading: the reading itself and its uncertainty; and a note on older readings."""
    return {
        "readings": [reading],
        "uncertainty": base.reading_uncertainty(reading, unit),
        "notes": older_notes(older),
    }


def needs(things: list) -> str:
    """What a check waits for, in words: 'needs a, b and c'."""
    return "needs " + ", ".join(things[:-1]) + (" and " if len(things) > 1 else "") + things[-1]


def older_notes(older: list | None) -> list:
    """A note where older readings of the same stand behind the one that counts."""
    if not older:
        return []
    return [str(len(older)) + " older of the same kept; the newest counts. Void what should not count."]


def setup_of(link: dict) -> str:
    """What is tested: channel or permanent_link; a channel where it is not said."""
    return base.field(link, "setup") or DEFAULT_SETUP


def setup_notes(link: dict) -> list:
    """A note where what is tested was not said."""
    return [] if base.field(link, "setup") else ["What is tested is not set on the link: judged as a channel."]


def copper_file(link: dict) -> str:
    """The copper limit set of a link: the one chosen, else the default."""
    offered = [pair[0] for pair in limits.sets("copper")]
    chosen = base.field(link, "limit_set")
    return chosen if chosen in offered else offered[0]


def cable_length(link: dict) -> dict | None:
    """Length of the cable: from its sheath marks, else the longest that the instrument shows. None without either.

    Gives {"m", "line" (a working line), "readings", "notes"}.
    """
    sheath = lengths.sheath(link)
    if sheath is not None and sheath["m"] > 0:
        return {"m": sheath["m"], "line": sheath["working"][0], "readings": [], "notes": sheath["notes"]}
    longest = None
    for row in lengths.instrument_rows(link):
        length = base.reading_number(row["reading"], "m")
        if length > 0 and (longest is None or length > longest["m"]):
            line = "no sheath marks; length by the instrument = " + short_text(length, 5) + " m"
            longest = {"m": length, "line": line, "readings": [row["reading"]], "notes": []}
    return longest


def loops(link: dict) -> dict:
    """The newest loop reading of each pair: {pair: {"reading", "others", "ohm"}}."""
    found = {}
    for row in base.latest(link, "loop_resistance", ["pair"]):
        found[row["keys"]["pair"]] = {
            "reading": row["reading"],
            "others": row["others"],
            "ohm": base.reading_number(row["reading"], "ohm"),
        }
    return found


def carries_power(link: dict) -> bool:
    """Does the link feed power: always for extended reach; for copper when anything about a supply or load is recorded."""
    if link["medium"] == EXTENDED:
        return True
    fields = ("load_power", "source_voltage", "load_voltage_min", "power_pairs", "source_power")
    if link["loads"]:
        return True
    if link["medium"] == COPPER and [name for name in fields if base.field(link, name) is not None]:
        return True
    return bool([1 for quantity in ("source_voltage", "far_voltage", "far_power") if base.newest(link, quantity)])
