"""Writes down what the tests ask of core's door in CPython, so that the last test can ask MicroPython the same.

A pytest plugin (see pyproject.toml). Answers must be equal byte for byte: what the phone shows is what the server prints.
"""

from __future__ import annotations

import pytest

from app.core import door

MOST_CALLS = 8000
MOST_BYTES = 80_000_000

calls: list[tuple[str, str]] = []
_held = 0
_plain_call = door.call


def _recording_call(text: str) -> str:
    global _held
    answer = _plain_call(text)
    # Later requests lean on earlier ones (an opened book), so the record is a prefix of all that was asked, never a choice from it.
    if len(calls) < MOST_CALLS and _held < MOST_BYTES:
        calls.append((text, answer))
        _held += len(text) + len(answer)
    return answer


door.call = _recording_call


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The replay runs last, when there is something to replay."""
    items.sort(key=lambda item: item.get_closest_marker("last") is not None)


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "last: runs after all other tests")
