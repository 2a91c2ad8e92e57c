"""What a link sets for all its rules: the limits typed for it, how each lies to the published one, and its decision rule.

Whoever runs the rules says of which link (`using`); `base.judge` and `base.not_measured` then ask here, so that every rule honours them.
"""

from .. import own_limits, units
from ..numbers import to_steps

FINEST = 6
SIMPLE = "simple"
_held = {}
_rule = [None]


def using(link: dict | None) -> None:
    """Take the limits typed for a link and its decision rule, until the next call; None for none."""
    _held.clear()
    _rule[0] = _value(link, "decision_rule") if link else None
    for thing in (link or {}).get("limits", []):
        what, value, source = [_value(thing, name) for name in ("what", "value", "source")]
        if value is not None and source and own_limits.about(what):
            _held[what] = {"value": value, "source": source, "subject": thing["subject"]}


def _value(thing: dict, name: str) -> object:
    shown = thing["fields"].get(name)
    return shown["value"] if shown else None


def decision_rule() -> str:
    """By which rule a reading is accepted on the link that the rules run for: "simple" or "guarded"; simple where none is chosen."""
    return _rule[0] or SIMPLE


def held_for(rule: str) -> bool:
    """Is there a limit typed for the link that decides this rule?"""
    about = own_limits.of_rule(rule)
    return about is not None and about["what"] in _held


def for_rule(rule: str, unit: str, sense: str, decimals: int) -> dict | None:
    """The limit typed for the link that decides a rule -> {"limit" in that unit, "decimals", "source"}, or None.

    decimals: the resolution that the rule judges in; it is made finer where what was typed is finer.
    """
    about = own_limits.of_rule(rule)
    held = _held.get(about["what"]) if about else None
    if held is None or sense != about["sense"]:
        return None
    limit = units.typed(held["value"], unit, "value")
    source = {"document": held["source"], "edition": "", "clause": "", "seen": "typed"}
    return {"limit": limit, "decimals": _resolution(limit, decimals), "source": source}


def _resolution(limit: float, decimals: int) -> int:
    while decimals < FINEST and to_steps(limit, decimals) * 10 ** (FINEST - decimals) != to_steps(limit, FINEST):
        decimals += 1
    return decimals


def against(own: float, published: float, sense: str) -> str:
    """How an own limit lies to the published one: 'weaker than', 'stricter than' or 'the same as'."""
    own_steps, published_steps = to_steps(own, FINEST), to_steps(published, FINEST)
    if own_steps == published_steps:
        return "the same as"
    return "weaker than" if (own_steps > published_steps) == (sense == "max") else "stricter than"
