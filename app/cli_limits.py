"""``spanbook limits``: the limit sets that verdicts are taken by, and what stands in each."""

from __future__ import annotations

import json
import textwrap
from typing import Any

import click

from app import engine
from app.cli_common import stop
from app.core.errors import Refused

WIDTH = 100


@click.command()
@click.argument("set_id", metavar="[ID]", required=False)
@click.option("--json", "as_json", is_flag=True, help="One JSON object, as core gives it.")
def limits(set_id: str | None, as_json: bool) -> None:
    """List the limit sets, or read one: spanbook limits [ID].

    Each row says what it is a limit of, how much, where it stands, and how it was seen. A value "from memory" has to be checked in your
    own copy of the document.
    """
    try:
        held = engine.call("limits") if set_id is None else engine.call("limits", id=set_id)
    except Refused as refused:
        stop(f"no limit set '{set_id}'; allowed is {refused.allowed}. List them with: spanbook limits")
    if as_json:
        click.echo(json.dumps(held, ensure_ascii=False, indent=1))
    else:
        click.echo(_listing(held) if set_id is None else _set(held))


def _listing(sets: list[dict[str, Any]]) -> str:
    width = max(len(head["id"]) for head in sets) + 2
    lines = ["spanbook limits ID   (reads one; --json for programs)", ""]
    for head in sets:
        lines.append(f"{head['id'].ljust(width)}{head['title']}")
        parts = [_document(head), head["media_words"], _count(head)]
        lines.append(" " * width + "; ".join(part for part in parts if part))
        if head["use"]:
            lines.append(" " * width + head["use"])
    return "\n".join(lines)


def _document(head: dict[str, Any]) -> str:
    name = head["document"]
    return name if not head["edition"] or head["edition"] in name else f"{name}, edition {head['edition']}"


def _count(head: dict[str, Any]) -> str:
    words = f"{head['rows']} rows"
    return f"{words}, {head['from_memory']} from memory" if head["from_memory"] else words


def _set(held: dict[str, Any]) -> str:
    lines = [held["title"], f"{_document(held)}; {held['media_words']}; {_count(held)}"]
    lines += [line for line in (held["use"], held["difference"]) if line]
    for group in held["groups"]:
        lines += ["", *([group["title"]] if group["title"] else [])]
        for row in group["rows"]:
            lines += _row(row)
    return "\n".join(lines)


def _row(row: dict[str, Any]) -> list[str]:
    lines = [f"  {row['what']}: {row['value']}"]
    for text in (row["formula"], row["clause"], row["seen_words"], row["note"]):
        lines += textwrap.wrap(text, WIDTH, initial_indent="      ", subsequent_indent="        ") if text else []
    if row["table"]:
        columns = [row["table"]["head"], *row["table"]["rows"]]
        lines += ["      " + "  ".join(cell.rjust(7) for cell in line) for line in columns]
    return lines
