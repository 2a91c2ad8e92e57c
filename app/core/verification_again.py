"""The verdicts of a seal worked out once more from exactly the entries that it covers."""

from . import views
from .errors import Refused
from .ledger import Book

_PARTS = ("measured", "limit", "margin")


def verdicts_again(said: dict, held: dict, entry: dict) -> dict:
    """{"same": count, "other": [titles]} of the signed verdicts, or {"fault": words} when this program can't judge these entries.

    said: what the seal says; held: {id: [{"sha256", "text"}...]}; entry: the seal's own.
    """
    wanted = {row[0]: row[1] for row in said["entries"]}
    texts = [one["text"] for entry_id in wanted for one in held[entry_id] if one["sha256"] == wanted[entry_id]]
    try:
        book = Book(entry["book"])
        book.take(texts)
        checks = views.judged_link(book, entry["body"]["link"])["checks"]
    except Refused as refused:
        return {"fault": refused.sentence()}
    except Exception:  # entries that were signed by a program which judges what this one can't
        return {"fault": "this version of Spanbook can't judge these entries"}
    return _compared(said, checks)


def _compared(said: dict, checks: list) -> dict:
    now = {check["id"]: _figures(check, said["v"]) for check in checks}
    other = []
    for row in said["verdicts"]:
        figures = [row["verdict"]] + [row[part] for part in _PARTS]
        if now.pop(row["check"], None) != figures:
            other.append(row["title"])
    titles = {check["id"]: check["title"] for check in checks}
    other += [titles[check["id"]] for check in checks if check["id"] in now]
    return {"same": len(said["verdicts"]) - len([row for row in said["verdicts"] if row["title"] in other]), "other": other}


def _figures(check: dict, version: int) -> list:
    shown = [(check[part]["text"] + " " + check[part]["unit"]).strip(" ") if check[part] else "" for part in _PARTS]
    return [check["verdict"]] + shown
