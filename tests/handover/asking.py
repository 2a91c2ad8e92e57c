"""Asking core for a package, and reading what it gives."""

from __future__ import annotations

import csv
import io
from typing import Any

from app import engine
from tests.making import Story

MADE_AT = "2026-03-15T10:00:00.000+01:00"


def package(story: Story, link: str, **more: Any) -> dict[str, Any]:
    """Core's answer for a link."""
    with engine.opened(story.book, story.texts) as core:
        return dict(core("handover", link=link, made_at=MADE_AT, **more))


def file_of(answer: dict[str, Any], name: str) -> str:
    return str(dict(answer["files"])[f"data/{name}"])


def rows_of(answer: dict[str, Any], name: str) -> list[dict[str, str]]:
    """A CSV file by its head, read as a spreadsheet reads it."""
    text = file_of(answer, name)
    assert text.startswith("\ufeff")
    return list(csv.DictReader(io.StringIO(text[1:], newline=""), strict=True))
