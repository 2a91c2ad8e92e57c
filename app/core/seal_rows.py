"""Checks, sign-off list and summary as rows of texts, as a seal holds them."""

from .record_signing import verdict_words


def of_check(check: dict) -> list:
    """[check id, title, verdict, measured, limit, margin], each figure with its unit, '' where there is none."""
    figures = [_shown(check[part]) for part in ("measured", "limit", "margin")]
    return [check["id"], check["title"], check["verdict"]] + figures


def _shown(held: dict | None) -> str:
    return (held["text"] + " " + held["unit"]).strip(" ") if held else ""


def of_list(off: dict) -> list:
    """[item id, title, state, detail] of each item of a sign-off list."""
    return [[item["id"], item["title"], item["state"], item["detail"]] for item in off["items"]]


def of_summary(summary: dict) -> dict:
    """The link's verdict with its counts and its words."""
    kept = {name: summary[name] for name in ("verdict", "pass", "fail", "not_measured", "deviations")}
    kept["words"] = verdict_words(summary)
    return kept
