"""What has to be there before a link is signed: by its kind and its metal, item by item, each done, failing, missing or accepted."""

from . import sign_off_items, sign_off_stops, sign_off_tests, views
from .acceptance import GROUP_WORDS
from .checks.base import FAILING, NOT_MEASURED, PASSING

OPEN = ("failing", "missing")


def sign_off(book: object, link_id: str) -> dict:
    """The sign-off list of a link: {"items", "stops", "counts", "ready"} (shapes in the README beside this file).

    Errors: Refused("unknown") for a link that the book has not.
    """
    key = "sign_off:" + link_id
    if key not in book.kept:
        book.kept[key] = _made(views.link_view(book, link_id), views.judged_link(book, link_id)["checks"])
    return book.kept[key]


def _made(link: dict, checks: list) -> dict:
    items = [_item(link, item, held) for item, held in sign_off_tests.gathered(checks)] + sign_off_items.written(link)
    states = [item["state"] for item in items]
    return {
        "items": items,
        "stops": sign_off_stops.applying(link),
        "counts": {state: states.count(state) for state in ("done", "failing", "missing", "accepted")},
        "ready": not [state for state in states if state in OPEN],
    }


def _item(link: dict, item_id: str, checks: list) -> dict:
    """One kind of test, over all of its required checks."""
    failing = [check for check in checks if check["verdict"] in FAILING and not check["deviation"]]
    missing = [check for check in checks if check["verdict"] == NOT_MEASURED and not check["deviation"]]
    accepted = [check for check in checks if check["deviation"]]
    waiting, group = failing + missing, checks[0]["group"]
    forms = [check["form"] for check in waiting if check["form"]]
    return {
        "id": item_id,
        "title": sign_off_tests.title_of(item_id, group),
        "group": group,
        "group_words": GROUP_WORDS[group],
        "state": "failing" if failing else "missing" if missing else "accepted" if accepted else "done",
        "detail": _detail(checks, failing, missing, accepted),
        "checks": [check["id"] for check in waiting + accepted],
        "form": forms[0] if forms else None,
        "edit": None if forms else sign_off_tests.edit_of(missing, link),
        "accept": [check["id"] for check in waiting],
        "deviation": accepted[0]["deviation"] if accepted and not waiting else None,
    }


def _detail(checks: list, failing: list, missing: list, accepted: list) -> str:
    if len(checks) == 1 and (failing or missing):
        return checks[0]["sentence"].split(". ")[0].rstrip(".")
    passing = len([check for check in checks if check["verdict"] in PASSING])
    parts = [str(passing) + " of " + str(len(checks)) + (" passes" if len(checks) == 1 else " pass")]
    parts += [str(len(failing)) + (" fails" if len(failing) == 1 else " fail")] if failing else []
    parts += [str(len(missing)) + " not measured"] if missing else []
    parts += [str(len(accepted)) + " accepted as deviation"] if accepted else []
    return ", ".join(parts)
