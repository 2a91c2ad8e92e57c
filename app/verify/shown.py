"""A verification's report as lines for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Any

_LABEL_WIDTH = 32


def lines(name: str, report: dict[str, Any], width: int) -> Iterator[str]:
    """The report line by line, none wider than `width` characters where a blank allows it. name: of the file."""
    yield from _wrapped(report["headline"], 0, width)
    yield from _wrapped(f"{name} ({report['what']})", 0, width)
    yield from _list("What is wrong with the file", report["problems"], width)
    for link in report["links"]:
        yield ""
        yield from _wrapped(link["name"] or f"Link {link['link']}", 0, width)
        # The newest says what counts, so it stands first.
        for seal in reversed(link["seals"]):
            yield from _seal(seal, width)
    yield from _list("What no seal covers", report["uncovered"], width)


def _seal(seal: dict[str, Any], width: int) -> Iterator[str]:
    title = f"Revision {seal['revision']}" if seal["revision"] else f"Seal {seal['id']}"
    yield from _wrapped(f"{title}: {seal['headline']}", 2, width)
    # What is wrong stands first: what a seal says can fill a screen.
    for label, sentences in (("Differs", seal["differs"]), ("Missing", seal["missing"]), ("Signed by", seal["who"])):
        for sentence in sentences:
            yield from _row(label, sentence, width)
    for label, text in seal["lines"]:
        yield from _row(label, text, width)


def _row(label: str, text: str, width: int) -> Iterator[str]:
    first, *more = text.split("\n")
    yield from _wrapped(first, 4, width, f"{label}: ".ljust(_LABEL_WIDTH))
    for line in more:
        yield from _wrapped(line, 4, width, " " * _LABEL_WIDTH)


def _list(title: str, sentences: list[str], width: int) -> Iterator[str]:
    if sentences:
        yield ""
        yield title
    for sentence in sentences:
        yield from _wrapped(sentence, 2, width, "- ")


def _wrapped(text: str, indent: int, width: int, before: str = "") -> list[str]:
    """A file's words can hold anything, and a terminal acts on control characters: only what can be printed is."""
    plain = "".join(character if character.isprintable() else "\ufffd" for character in text)
    first, later = " " * indent + before, " " * (indent + len(before))
    return textwrap.wrap(plain, max(width, 60), initial_indent=first, subsequent_indent=later, break_long_words=False) or [first]
