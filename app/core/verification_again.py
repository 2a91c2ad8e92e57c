"""The verdicts and the sign-off list of a seal worked out once more from exactly the entries that it covers."""

from . import seal_rows, views
from .errors import Refused
from .ledger import Book


def worked_out_again(said: dict, held: dict, entry: dict) -> dict:
    """What this program makes of the covered entries, beside what was signed: {"verdicts", "list": {"all", "other": [titles]}, "summary": bool};
    or {"fault": words} where it can't judge them.

    said: what the seal says; held: {id: [{"sha256", "text"}...]}, with every covered entry in it as it was signed; entry: the seal's own.
    """
    link_id = entry["body"]["link"]
    try:
        book = Book(entry["book"])
        book.take(_covered_texts(said, held))
        judged = views.judged_link(book, link_id)
        found = {"verdicts": _verdicts(said, judged["checks"]), "summary": True, "list": None}
        if said["v"] == 2:
            from . import sign_off

            found["list"] = _list(said["list"], seal_rows.of_list(sign_off.sign_off(book, link_id)))
            found["summary"] = seal_rows.of_summary(judged["summary"]) == said["summary"]
        return found
    except Refused as refused:
        return {"fault": refused.sentence()}
    except Exception:  # entries that were signed by a program which judges what this one can't
        return {"fault": "this version of Spanbook can't judge these entries"}


def _covered_texts(said: dict, held: dict) -> list:
    wanted = {row[0]: row[1] for row in said["entries"]}
    return [one["text"] for entry_id in wanted for one in held[entry_id] if one["sha256"] == wanted[entry_id]]


def _verdicts(said: dict, checks: list) -> dict:
    """A version 1 seal holds no titles: there the checks' own are told."""
    titles = {check["id"]: check["title"] for check in checks}
    now = {row[0]: row[2:] for row in [seal_rows.of_check(check) for check in checks]}
    other = []
    for row in said["verdicts"]:
        signed = [row["verdict"], row["measured"], row["limit"], row["margin"]]
        if now.pop(row["check"], None) != signed:
            other.append(titles.get(row["check"]) or row["title"])
    other += [titles[check["id"]] for check in checks if check["id"] in now]
    return {"all": len(said["verdicts"]), "other": other}


def _list(signed: list, now: list) -> dict:
    held = {row[0]: row for row in now}
    other = [row[1] for row in signed if held.pop(row[0], None) != row]
    return {"all": len(signed), "other": other + [row[1] for row in now if row[0] in held]}
