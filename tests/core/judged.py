"""What tests of rules share: a link's checks by their ids, made through core's door."""

from __future__ import annotations

from typing import Any

from app import engine
from tests.making import Story


def checks(story: Story, link: str) -> dict[str, dict[str, Any]]:
    """All check rows of a link, by id."""
    with engine.opened(story.book, story.texts) as core:
        return {check["id"]: check for check in core("checks", link=link)["checks"]}


def verdict(story: Story, link: str, check: str) -> str:
    return str(checks(story, link)[check]["verdict"])


def near_and_far_marks(story: Story, link: str, first: str, last: str) -> None:
    """Two building entries with their sheath marks."""
    for order, mark in (("1", first), ("2", last)):
        story.thing("station", link=link, type="building_entry", order=order, mark=mark)
