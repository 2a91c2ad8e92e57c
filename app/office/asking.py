"""Asking core about a stored book, with a page that isn't there when it doesn't know the thing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import abort, request

from app import engine
from app.core.errors import Refused
from app.store import entries
from app.sync import context


def page_number() -> int:
    """Which page of a long list is wanted."""
    return min(max(request.args.get("page", 1, type=int), 1), 1_000_000)


def texts(book: str) -> list[str]:
    """All texts of a book; 404 when there is none."""
    return entries.texts_of(context.database(), book) or abort(404)


def asked(book: str, ask: Callable[[Any], Any]) -> Any:
    """What core answers about a stored book; 404 when it doesn't know the thing."""
    try:
        with engine.opened(book, texts(book)) as core:
            return ask(core)
    except Refused:
        abort(404)
