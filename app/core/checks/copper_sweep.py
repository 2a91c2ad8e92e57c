"""Rules for what a certifier gives against frequency: insertion loss, NEXT and return loss, each typed as the worst margin with its frequency."""

from .. import limits
from ..copper_limits import limit_at
from ..errors import Refused
from ..kinds import COPPER
from ..numbers import short_text, signed_text, text, to_steps
from ..units import typed
from . import base, judging

GROUP = "copper"
_TITLES = {"insertion_loss": "Insertion loss", "next": "NEXT", "return_loss": "Return loss"}
_MARKS = {"insertion_loss": ["pair"], "next": ["pair", "pair2", "side"], "return_loss": ["pair", "side"]}


def insertion_loss(link: dict, site: dict) -> list:
    """Insertion loss at its worst margin."""
    return _sweep(link, "insertion_loss")


def near_end_crosstalk(link: dict, site: dict) -> list:
    """NEXT at its worst margin, from both ends."""
    return _sweep(link, "next")


def return_loss(link: dict, site: dict) -> list:
    """Return loss at its worst margin, from both ends."""
    return _sweep(link, "return_loss")


RULES = [insertion_loss, near_end_crosstalk, return_loss]


def _sweep(link: dict, quantity: str) -> list:
    category = base.field(link, "category")
    if link["medium"] != COPPER or not category:
        return []
    file_id = judging.copper_file(link)
    row = limits.row(file_id, quantity + ":" + category + ":" + judging.setup_of(link))
    held = []
    for one in base.latest(link, quantity, _MARKS[quantity]):
        held.extend(_by_frequency(one))
    checks = [_judged(link, quantity, one, file_id, row) for one in held]
    _count_pairs(quantity, held, checks)
    return checks + _lacking(quantity, held, file_id, row)


_COMBINATIONS = {"next": [6, "pair combinations"], "return_loss": [4, "pairs"]}


def _count_pairs(quantity: str, held: list, checks: list) -> None:
    """On the first row of each end: how many of the pairs were typed, where it is not all of them."""
    typed_pairs, first = {}, {}
    for one, check in zip(held, checks):
        side = one["keys"].get("side", "")
        names = tuple(sorted([one["keys"]["pair"], one["keys"].get("pair2", "")]))
        typed_pairs.setdefault(side, set()).add(names)
        first.setdefault(side, check)
    if quantity not in _COMBINATIONS:
        return
    number, words = _COMBINATIONS[quantity]
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
    return [[mark, keys[mark]] for mark in _MARKS[quantity] + ["frequency"] if keys.get(mark)]


def _lacking(quantity: str, held: list, file_id: str, row: dict) -> list:
    """Rows for what has not been read: everything, or one of the two ends."""
    source = base.source_of(file_id, row)
    title = _TITLES[quantity] + ", worst margin"
    if "side" not in _MARKS[quantity]:
        return (
            [] if held else [base.not_measured(quantity, [], GROUP, title, {"quantity": quantity, "pair": "1-2"}, source=source)]
        )
    ends = [one["keys"]["side"] for one in held]
    checks = []
    for side in ("near", "far"):
        if side not in ends and "" not in ends:
            form = {"quantity": quantity, "pair": "1-2", "side": side}
            if quantity == "next":
                form["pair2"] = "3-6"
            checks.append(base.not_measured(quantity, [["side", side]], GROUP, title + ", " + side + " end", form, source=source))
    return checks


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
    more = judging.of_reading(link, one["reading"], "dB", one["others"])
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
    _compare_margin(check, body)
    return _exempted(link, quantity, one, frequency, file_id, check)


def _title(quantity: str, keys: dict) -> str:
    words = [_TITLES[quantity]]
    if keys.get("pair2"):
        words.append("pairs " + keys["pair"] + " and " + keys["pair2"])
    elif keys.get("pair"):
        words.append("pair " + keys["pair"])
    if keys.get("side"):
        words.append(keys["side"] + " end")
    if keys.get("frequency"):
        words.append(keys["frequency"] + " MHz")
    return ", ".join(words)


def _form(quantity: str, one: dict) -> dict:
    form = {"quantity": quantity}
    form.update({mark: one["keys"][mark] for mark in _MARKS[quantity] if one["keys"][mark]})
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
    """A failing row that is for information only because the insertion loss there is low (short links)."""
    if check["verdict"] in base.PASSING or quantity == "insertion_loss":
        return check
    row = limits.row(file_id, "exempt:" + quantity)
    low = _low_loss(link, one["keys"], frequency, float(row["value"]))
    if low is None:
        return check
    reading, loss = low
    line = "insertion loss there is at most " + text(loss, 1) + " dB, below " + row["value"] + " dB: for information only"
    return base.statement(
        check["rule"],
        _marks(quantity, one["keys"]),
        GROUP,
        check["title"],
        True,
        check["measured"]["text"] + " dB, for information",
        "judged only where insertion loss is " + row["value"] + " dB or more",
        base.source_of(file_id, row),
        check["working"] + [line],
        [one["reading"], reading],
        check["notes"],
    )


def _low_loss(link: dict, keys: dict, frequency: float, below: float) -> tuple | None:
    """An insertion loss reading of one of the pairs, at this frequency or above, below the bound: loss falls towards lower frequencies."""
    pairs = [keys.get("pair"), keys.get("pair2")]
    found = []
    for one in base.latest(link, "insertion_loss", ["pair"]):
        found.extend(_by_frequency(one))
    for held in found:
        body = held["reading"]["body"]
        if held["keys"]["pair"] not in pairs or not body.get("frequency"):
            continue
        loss = base.reading_number(held["reading"], "dB")
        if typed(body["frequency"], "MHz", "frequency") >= frequency and to_steps(loss, 1) < to_steps(below, 1):
            return held["reading"], loss
    return None
