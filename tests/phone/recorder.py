"""Writes down what the tests ask of core's door in CPython, so that the last test can ask MicroPython the same.

A pytest plugin (see pyproject.toml). Answers must be equal byte for byte: what the phone shows is what the server prints.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from app.core import door

MOST_CALLS = 8000
MOST_BYTES = 80_000_000

LEANS_ON_NOTHING = ('{"op": "calc"', '{"op": "calculators"', '{"op": "convert"', '{"op": "describe"')

calls: list[tuple[str, str]] = []
_asked_before: set[tuple[str, str]] = set()
_held = 0
_paused = False
_plain_call = door.call


def _recording_call(text: str) -> str:
    global _held
    answer = _plain_call(text)
    # Later requests lean on earlier ones (an opened book), so the record is a prefix of all that was asked, never a choice from it.
    if text.startswith(LEANS_ON_NOTHING):
        if (text, answer) in _asked_before:
            return answer  # the command line asks for all descriptions at every call
        _asked_before.add((text, answer))
    if not _paused and len(calls) < MOST_CALLS and _held < MOST_BYTES:
        calls.append((text, answer))
        _held += len(text) + len(answer)
    return answer


door.call = _recording_call


@pytest.fixture
def unrecorded() -> Iterator[None]:
    """For tests that ask hundreds of drawn questions: they would fill the record. A fixed one of each kind is asked by a test beside them.

    What such a test opens at the door must be its own: no recorded test may lean on it.
    """
    global _paused
    from app import engine

    engine.call("describe")  # configured in the record too
    _paused = True
    yield
    _paused = False


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The replay runs last, when there is something to replay."""
    items.sort(key=lambda item: item.get_closest_marker("last") is not None)


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "last: runs after all other tests")
