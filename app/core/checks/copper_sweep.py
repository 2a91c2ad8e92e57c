"""Rules for what a certifier gives against frequency: the worst margin typed with its frequency, or the whole trace (sweep_rows.py)."""

from .. import limits
from ..copper_limits import limit_at
from ..errors import Refused
from ..kinds import COPPER
from ..marks import TITLES, pair_words
from ..numbers import short_text, signed_text, text, to_steps
from ..quantities_copper import SWEEP_MARKS
from ..units import typed
from . import base, judging, sweep_exempt, sweep_points, sweep_rows, sweep_traces

GROUP = "copper"
_WANTED = ("insertion_loss", "next", "return_loss")  # the others are judged where they were read


def insertion_loss(link: dict, site: dict) -> list:
    """Insertion loss at its worst margin."""
    return _sweep(link, "insertion_loss")


def near_end_crosstalk(link: dict, site: dict) -> list:
    """NEXT at its worst margin, from both ends."""
    return _sweep(link, "next")


def near_end_power_sum(link: dict, site: dict) -> list:
    """PSNEXT at its worst margin, read or worked out from NEXT traces."""
    return _sweep(link, "psnext")


def far_end_crosstalk(link: dict, site: dict) -> list:
    """ACR-F at its worst margin."""
    return _sweep(link, "acrf")


def far_end_power_sum(link: dict, site: dict) -> list:
    """PSACR-F at its worst margin, read or worked out from ACR-F traces."""
    return _sweep(link, "psacrf")


def return_loss(link: dict, site: dict) -> list:
    """Return loss at its worst margin, from both ends."""
    return _sweep(link, "return_loss")


RULES = [insertion_loss, near_end_crosstalk, near_end_power_sum, far_end_crosstalk, far_end_power_sum, return_loss]


def _sweep(link: dict, quantity: str) -> list:
    category = base.field(link, "category")
    if link["medium"] != COPPER or not category:
        return []
    file_id = judging.copper_file(link)
    row = limits.row(file_id, quantity + ":" + category + ":" + judging.setup_of(link))
    held = []
    for one in base.latest(link, quantity, SWEEP_MARKS[quantity]):
        held.extend(_by_frequency(one))
    checks = [_judged(link, quantity, one, file_id, row) for one in held]
    _count_pairs(quantity, held, checks)
    checks += sweep_rows.of_link(link, quantity, file_id, row)
    return checks + (_lacking(link, quantity, held, file_id, row) if quantity in _WANTED else [])


def _count_pairs(quantity: str, held: list, checks: list) -> None:
    """On the first row of each end: how many of the pairs were typed, where it is not all of them."""
    typed_pairs, first = {}, {}
    for one, check in zip(held, checks):
        side = one["keys"].get("side", "")
        names = tuple(sorted([one["keys"]["pair"], one["keys"].get("pair2", "")]))
        typed_pairs.setdefault(side, set()).add(names)
        first.setdefault(side, check)
    if quantity not in ("next", "return_loss"):
        return
    number, words = len(sweep_traces.combinations(quantity)), sweep_traces.combination_words(quantity)
    for side in first:
        count = len(typed_pairs[side])
        if count < number:
            where = " at the " + side + " end" if side else ""
            first[side]["notes"].append(
                str(count) + " of " + str(number) + " " + words + " typed" + where + ": make sure that the worst is among them."
            )


def _by_frequency(one: dict) -> list:
    """Readings at different frequencies stand beside each other; at the same frequency the newest counts."""
    groups = {}
    for reading in one["others"] + [one["reading"]]:
        groups.setdefault(_frequency_text(reading["body"]), []).append(reading)
    rows = []
    for at in sorted(groups):
        keys = dict(one["keys"])
        keys["frequency"] = at
        rows.append({"keys": keys, "reading": groups[at][-1], "others": groups[at][:-1]})
    return rows


def _frequency_text(body: dict) -> str:
    return short_text(typed(body["frequency"], "MHz", "frequency"), 6) if body.get("frequency") else ""


def _marks(quantity: str, keys: dict) -> list:
    return [[mark, keys[mark]] for mark in SWEEP_MARKS[quantity] + ["frequency"] if keys.get(mark)]


def _lacking(link: dict, quantity: str, held: list, file_id: str, row: dict) -> list:
    """Rows for what has not been read, at each end: everything, or some traces of the sweep where no worst margin was typed."""
    source, checks = base.source_of(file_id, row), []
    ends = [one["keys"].get("side", "") for one in held]
    for side in sweep_traces.sides(quantity):
        missing = sweep_traces.missing(link, quantity, side)
        if not missing or side in ends or "" in ends:
            continue
        begun = len(missing) < len(sweep_traces.combinations(quantity))
        form = _sweep_form(quantity, missing[0], side) if begun else _single_form(quantity, side)
        words = "needs the traces of " + ", ".join([_pairs_words(one) for one in missing]) if begun else ""
        title = TITLES[quantity] + ", worst margin" + (", " + side + " end" if side else "")
        marks = [["side", side]] if side else []
        checks.append(base.not_measured(quantity, marks, GROUP, title, form, source=source, missing=words))
    return checks


def _pairs_words(combination: tuple) -> str:
    return " and ".join([pair for pair in combination if pair])


def _sweep_form(quantity: str, combination: tuple, side: str) -> dict:
    form = {"quantity": "sweep", "parameter": quantity, "pair": combination[0]}
    if combination[1]:
        form["pair2"] = combination[1]
    if side:
        form["side"] = side
    return form


def _single_form(quantity: str, side: str) -> dict:
    form = {"quantity": quantity, "pair": "1-2"}
    if side:
        form["side"] = side
    if quantity == "next":
        form["pair2"] = "3-6"
    return form


def _judged(link: dict, quantity: str, one: dict, file_id: str, row: dict) -> dict:
    body = one["reading"]["body"]
    keys = _marks(quantity, one["keys"])
    title = _title(quantity, one["keys"])
    source = base.source_of(file_id, row)
    if not body.get("frequency"):
        missing = "needs the frequency of the worst margin"
        return base.not_measured(quantity, keys, GROUP, title, _form(quantity, one), source=source, missing=missing)
    frequency = typed(body["frequency"], "MHz", "frequency")
    try:
        limit = limit_at(row, frequency)
    except Refused as refusal:
        return base.not_measured(quantity, keys, GROUP, title, _form(quantity, one), source=source, missing=refusal.sentence())
    measured = base.reading_number(one["reading"], "dB")
    more = judging.of_reading(one["reading"], "dB", one["others"])
    more["notes"] += judging.setup_notes(link) + ([row["note"]] if "note" in row else [])
    setup = row["setup"].replace("_", " ")
    more["working"] = [
        "limit for category "
        + row["category"]
        + ", "
        + setup
        + ", at "
        + short_text(frequency)
        + " MHz = "
        + text(limit, 2)
        + " dB"
    ]
    check = judging.by_row(quantity, keys, GROUP, title, measured, file_id, row, limit=limit, **more)
    sweep_rows.mark_within_accuracy(check)
    _compare_margin(check, body)
    return _exempted(link, quantity, one, frequency, file_id, check)


def _title(quantity: str, keys: dict) -> str:
    words = [TITLES[quantity]] + pair_words(quantity, keys)
    return ", ".join(words + ([keys["frequency"] + " MHz"] if keys.get("frequency") else []))


def _form(quantity: str, one: dict) -> dict:
    form = {"quantity": quantity}
    form.update({mark: one["keys"][mark] for mark in SWEEP_MARKS[quantity] if one["keys"][mark]})
    return form


def _compare_margin(check: dict, body: dict) -> None:
    """Note where the instrument's own margin is not ours: mostly another limit set chosen on it."""
    if not body.get("shown_margin"):
        return
    shown = typed(body["shown_margin"], "dB", "shown_margin")
    ours = check["margin"]["text"]
    apart = abs(to_steps(shown, 2) - to_steps(float(ours), 2))
    allowed = limits.row("copper-practice", "margin_shown")["value"]
    if apart > to_steps(float(allowed), 2):
        check["notes"].append(
            "The instrument shows a margin of " + signed_text(shown, 1) + " dB, worked out here is " + ours
            + " dB: see which limit set the instrument was on."
        )  # fmt: skip


def _exempted(link: dict, quantity: str, one: dict, frequency: float, file_id: str, check: dict) -> dict:
    """A failing row that is for information only because the insertion loss there is low, or far-end crosstalk is (short links)."""
    if check["verdict"] in base.PASSING or quantity == "insertion_loss":
        return check
    point = sweep_points.Curve([frequency], [base.reading_number(one["reading"], "dB")])
    exempt = sweep_exempt.of_curve(link, quantity, one["keys"], file_id, point)
    if exempt is None or not exempt["flags"][0]:
        return check
    row = exempt["row"]
    return base.statement(
        check["rule"],
        _marks(quantity, one["keys"]),
        GROUP,
        check["title"],
        True,
        check["measured"]["text"] + " dB, for information",
        sweep_exempt.wanted(row),
        base.source_of(file_id, row),
        check["working"] + ["for information only" + exempt["line"]],
        [one["reading"]] + exempt["readings"],
        check["notes"],
    )
