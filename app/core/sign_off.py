"""What has to be there before a link is signed: by its kind and its metal, item by item, each done, failing, missing or accepted."""

from . import sign_off_items, sign_off_stops, views
from .acceptance import GROUP_WORDS, GROUPS
from .checks.base import FAILING, NOT_MEASURED, PASSING

OPEN = ("failing", "missing")


def sign_off(book: object, link_id: str) -> dict:
    """The sign-off list of a link: {"items", "stops", "counts", "ready"} (shapes in the README beside this file).

    Errors: Refused("unknown") for a link that the book has not.
    """
    key = "sign_off:" + link_id
    if key not in book.kept:
        link, site = views.link_view(book, link_id), views.site_view(book)
        checks = views.judged_link(book, link_id)["checks"]
        book.kept[key] = _made(link, site, checks)
    return book.kept[key]


def _made(link: dict, site: dict, checks: list) -> dict:
    items = _measured(checks) + sign_off_items.written(link, site)
    items = [item for group in GROUPS + [sign_off_items.GROUP] for item in items if item["group"] == group]
    states = [item["state"] for item in items]
    counts = {state: states.count(state) for state in ("done", "failing", "missing", "accepted")}
    return {
        "items": items,
        "stops": sign_off_stops.applying(link, site),
        "counts": counts,
        "ready": not [state for state in states if state in OPEN],
    }


def _measured(checks: list) -> list:
    """An item for each kind of test that this link needs, over all of its required checks."""
    order, held = [], {}
    for check in checks:
        if check["required"]:
            item_id = sign_off_items.item_of(check)
            if item_id not in held:
                order.append(item_id)
            held.setdefault(item_id, []).append(check)
    return [_item(item_id, held[item_id]) for item_id in order]


def _item(item_id: str, checks: list) -> dict:
    failing = [check for check in checks if check["verdict"] in FAILING and not check["deviation"]]
    missing = [check for check in checks if check["verdict"] == NOT_MEASURED and not check["deviation"]]
    accepted = [check for check in checks if check["deviation"]]
    waiting = failing + missing
    forms = [check["form"] for check in waiting if check["form"]]
    group = checks[0]["group"]
    return {
        "id": item_id,
        "title": sign_off_items.TITLES.get(item_id) or GROUP_WORDS[group],
        "group": group,
        "group_words": GROUP_WORDS[group],
        "state": "failing" if failing else "missing" if missing else "accepted" if accepted else "done",
        "detail": _detail(checks, failing, missing, accepted),
        "checks": [check["id"] for check in waiting + accepted],
        "form": forms[0] if forms else None,
        "edit": None,
        "accept": [check["id"] for check in waiting],
        "deviation": accepted[0]["deviation"] if accepted and not waiting else None,
    }


def _detail(checks: list, failing: list, missing: list, accepted: list) -> str:
    passing = len([check for check in checks if check["verdict"] in PASSING])
    parts = [str(passing) + " of " + str(len(checks)) + (" passes" if len(checks) == 1 else " pass")]
    parts += [str(len(failing)) + (" fails" if len(failing) == 1 else " fail")] if failing else []
    parts += [str(len(missing)) + " not measured"] if missing else []
    parts += [str(len(accepted)) + " accepted as deviation"] if accepted else []
    return ", ".join(parts)
