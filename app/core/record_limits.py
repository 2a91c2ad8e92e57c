"""Record section on the limits of the project's or a maker's own that decided here."""

from . import kinds, own_limits
from .record_blocks import section, table
from .record_words import NONE, described, shown, value_of

_SENSE = {"max": "\u2264 ", "min": "\u2265 "}
_HEAD = ["Limit of", "Limit", "Where it is written", "Published limit", "Against it"]


def own_limits_section(link: dict, checks: list, names: object) -> dict | None:
    """Limits typed for this link, each beside the published one that it stands in for; None without any."""
    body = [_row(limit, checks, names) for limit in link["limits"]]
    found = table(_HEAD, "lrlll", body) if body else None
    return section("own-limits", "Limits typed for this link", [found]) if found else None


def _row(limit: dict, checks: list, names: object) -> list:
    about = own_limits.about(value_of(limit, "what")) or {"label": str(value_of(limit, "what")), "rules": [], "sense": ""}
    words = [shown(limit, described(kinds.LIMIT, name), names) for name in ("value", "source", "note")]
    source = words[1] + ("\n" + words[2] if words[2] else "")
    published = [check["published"] for check in checks if check["rule"] in about["rules"] and check.get("published")]
    beside, how = _published(published)
    return [about["label"], _SENSE.get(about["sense"], "") + words[0], source or NONE, beside, how]


def _published(found: list) -> list:
    """[figures with their sources, how the own one lies to them], each once."""
    figures, ways = [], []
    for held in found:
        figure = _SENSE.get(held["sense"], "") + (held["text"] + " " + held["unit"]).strip(" ") + ", " + held["source"]
        if figure not in figures:
            figures.append(figure)
        if held["how"] not in ways:
            ways.append(held["how"])
    own_ways = [way.replace(" than", "").replace("the same as", "the same") for way in ways]
    return ["\n".join(figures) or NONE, ", ".join(own_ways) or NONE]
