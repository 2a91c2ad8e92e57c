"""Rules for the resistance of pairs: loops, and unbalance within and between pairs."""

from .. import limits, pairs
from ..kinds import COPPER, EXTENDED, METAL_MEDIA
from ..numbers import short_text
from . import base, judging, own

GROUP = "copper"


def loop_resistance(link: dict, site: dict) -> list:
    """Pair loop resistance of the four pairs: by the edition for copper to 100 m, by the maker for extended reach."""
    if link["medium"] == COPPER:
        file_id = judging.copper_file(link)
        row = limits.row(file_id, "loop_resistance:" + judging.setup_of(link))
        return [_loop_row(link, pair, float(row["value"]), base.source_of(file_id, row)) for pair in pairs.PAIRS]
    if link["medium"] != EXTENDED:
        return []
    most = base.number(link, "loop_limit", "ohm")
    held = [pair for pair in pairs.PAIRS if pair in judging.loops(link)] or ["1-2"]
    if most is None and not own.held_for("loop_resistance"):
        missing = "needs the maker's largest pair loop resistance on the link"
        return [base.not_measured("loop_resistance", [], GROUP, "Pair loop resistance", missing=missing, required=False)]
    source = base.typed_source(base.field(link, "reach_source") or "Maker's figure as typed on the link")
    return [_loop_row(link, pair, most, source) for pair in held]


def _loop_row(link: dict, pair: str, limit: float | None, source: dict) -> dict:
    """`limit` None: only the limit typed for the link decides."""
    title, keys = "Pair loop resistance, pair " + pair, [["pair", pair]]
    held = judging.loops(link).get(pair)
    if held is None:
        form = {"quantity": "loop_resistance", "pair": pair}
        return base.not_measured("loop_resistance", keys, GROUP, title, form, _shown(limit), "ohm", "max", source)
    more = judging.of_reading(held["reading"], "ohm", held["others"])
    if link["medium"] == COPPER:
        more["notes"] += judging.setup_notes(link)
    return base.judge("loop_resistance", keys, GROUP, title, held["ohm"], limit, "ohm", 2, "max", source, **more)


def _shown(limit: float | None) -> str:
    return "" if limit is None else short_text(limit)


def unbalance_within(link: dict, site: dict) -> list:
    """Resistance unbalance of the two conductors of each pair: the greater of a share of the loop and a floor."""
    if link["medium"] not in METAL_MEDIA:
        return []
    file_id = judging.copper_file(link)
    row = limits.row(file_id, "unbalance_within:" + judging.setup_of(link))
    readings = {held["keys"]["pair"]: held for held in base.latest(link, "unbalance_within", ["pair"])}
    return [_within_row(link, pair, readings.get(pair), file_id, row) for pair in pairs.PAIRS]


def _maker_notes(link: dict) -> list:
    """No standard sets the unbalance of extended reach: the figures for cable to 100 m stand in."""
    if link["medium"] != EXTENDED:
        return []
    return ["Judged by the limits for cable to 100 m; where the maker states a figure, that one governs."]


def _within_row(link: dict, pair: str, held: dict | None, file_id: str, row: dict) -> dict:
    title, keys, rule = "Unbalance within pair " + pair, [["pair", pair]], "unbalance_within"
    if held is None:
        form = {"quantity": rule, "pair": pair}
        required, notes = judging.carries_power(link), _maker_notes(link)
        return judging.waiting(rule, keys, GROUP, title, file_id, row, form=form, required=required, notes=notes)
    loop = judging.loops(link).get(pair)
    floor, percent = float(row["floor"]), float(row["percent"])
    limit = pairs.unbalance_limit_mohm(percent, floor, loop["ohm"] if loop else 0.0)
    more = judging.of_reading(held["reading"], "mohm", held["others"])
    more["working"] = [
        "limit = the greater of "
        + row["percent"]
        + " % of the pair's loop and "
        + row["floor"]
        + " mohm = "
        + short_text(limit)
        + " mohm"
    ]
    if loop:
        more["readings"] = [held["reading"], loop["reading"]]
    else:
        more["notes"].append("No loop resistance of this pair: judged by the floor alone.")
    more["notes"] += _maker_notes(link)
    measured = base.reading_number(held["reading"], "mohm")
    return judging.by_row(
        rule, keys, GROUP, title, measured, file_id, row, limit=limit, required=judging.carries_power(link), **more
    )


def unbalance_between(link: dict, site: dict) -> list:
    """Resistance unbalance between pairs: as read, or the worst of the combinations of the loops."""
    if link["medium"] not in METAL_MEDIA:
        return []
    file_id = judging.copper_file(link)
    row = limits.row(file_id, "unbalance_between:" + judging.setup_of(link))
    held = judging.loops(link)
    direct = base.latest(link, "unbalance_between", ["pair", "pair2"])
    if direct:
        return [_between_read(link, one, held, file_id, row) for one in direct]
    title, required = "Unbalance between pairs, worst of the combinations", judging.carries_power(link)
    if len(held) < 2:
        missing = "needs two pair loop resistances or more, or the unbalance itself"
        form = {"quantity": "unbalance_between", "pair": "1-2", "pair2": "3-6"}
        notes = _maker_notes(link)
        return [base.not_measured("unbalance_between", [], GROUP, title, form, missing=missing, required=required, notes=notes)]
    check = _between_worked_out(held, file_id, row, title, required)
    check["notes"] += _maker_notes(link)
    return [check]


def _between_read(link: dict, one: dict, held: dict, file_id: str, row: dict) -> dict:
    first, second = one["keys"]["pair"], one["keys"]["pair2"]
    known = first in held and second in held
    total = pairs.parallel_ohm(held[first]["ohm"]) + pairs.parallel_ohm(held[second]["ohm"]) if known else 0.0
    limit = pairs.unbalance_limit_mohm(float(row["percent"]), float(row["floor"]), total)
    more = judging.of_reading(one["reading"], "mohm", one["others"])
    more["working"] = [_between_limit_line(row, limit)]
    if not known:
        more["notes"].append("The loops of these pairs are not both read: judged by the floor alone.")
    more["notes"] += _maker_notes(link)
    keys = [["pair", first], ["pair2", second]]
    title = "Unbalance between pairs " + first + " and " + second
    measured = base.reading_number(one["reading"], "mohm")
    return judging.by_row(
        "unbalance_between", keys, GROUP, title, measured, file_id, row, limit=limit, required=judging.carries_power(link), **more
    )


def _between_limit_line(row: dict, limit: float) -> str:
    return (
        "limit = the greater of "
        + row["percent"]
        + " % of the sum and "
        + row["floor"]
        + " mohm = "
        + short_text(limit)
        + " mohm"
    )


def _between_worked_out(held: dict, file_id: str, row: dict, title: str, required: bool) -> dict:
    worst = worst_combination({pair: held[pair]["ohm"] for pair in held}, float(row["percent"]), float(row["floor"]))
    resistances = [short_text(pairs.parallel_ohm(held[pair]["ohm"])) for pair in worst["pairs"]]
    working = [
        "each pair's two conductors in parallel = loop / 4",
        "worst: "
        + " against ".join(worst["pairs"])
        + ", "
        + " - ".join(resistances)
        + " ohm = "
        + short_text(worst["mohm"])
        + " mohm",
        _between_limit_line(row, worst["limit"]),
    ]
    readings = [held[pair]["reading"] for pair in sorted(held)]
    notes = ["Worked out from the pair loops; a direct reading counts before it."]
    if len(held) < 4:
        notes.append("Only " + str(len(held)) + " of 4 pairs have a loop reading.")
    return judging.by_row(
        "unbalance_between",
        [],
        GROUP,
        title,
        worst["mohm"],
        file_id,
        row,
        limit=worst["limit"],
        working=working,
        readings=readings,
        uncertainty=base.combined_uncertainty([held[pair]["reading"] for pair in worst["pairs"]], "mohm", 0.25),
        notes=notes,
        required=required,
    )


def worst_combination(loops_ohm: dict, percent: float, floor_mohm: float) -> dict:
    """Of all pairs two by two, the one with the least room: {"pairs", "mohm", "limit"}. Pairs of equal room: the first by name."""
    names = sorted(loops_ohm)
    worst = None
    for index in range(len(names)):
        for other in names[index + 1 :]:
            first, second = pairs.parallel_ohm(loops_ohm[names[index]]), pairs.parallel_ohm(loops_ohm[other])
            difference = abs(first - second) * 1000.0
            limit = pairs.unbalance_limit_mohm(percent, floor_mohm, first + second)
            if worst is None or limit - difference < worst["limit"] - worst["mohm"]:
                worst = {"pairs": [names[index], other], "mohm": difference, "limit": limit}
    return worst


RULES = [loop_resistance, unbalance_within, unbalance_between]
