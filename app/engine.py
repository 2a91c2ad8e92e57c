"""Core's door for CPython: reads the limit files, configures core, calls it; and makes the bundle that the phone runs.

Core keeps opened books in module state, so calls are made one at a time under a lock.
"""

from __future__ import annotations

import json
import threading
from functools import cache
from pathlib import Path
from typing import Any

from app.core import door
from app.core.errors import Refused

CORE = Path(__file__).parent / "core"
_lock = threading.RLock()


class CoreFault(Exception):
    """Core failed in a way that it should not; the message is fit for a person, the detail for whoever mends it."""


@cache
def limit_texts() -> dict[str, str]:
    """The limit files as written: {file id: JSON text}."""
    return {path.stem: path.read_text(encoding="utf-8") for path in sorted((CORE / "limits").glob("*.json"))}


@cache
def calculator_text() -> str:
    """Descriptions of the calculators, read from their docstrings (which the phone's interpreter drops)."""
    from app.calculators import descriptions_text

    return descriptions_text()


@cache
def _configured() -> bool:
    _exchange({"op": "configure", "limits": limit_texts(), "calculators": calculator_text()})
    return True


def _exchange(request: dict[str, Any]) -> Any:
    answer = json.loads(door.call(json.dumps(request, ensure_ascii=False)))
    if answer["ok"]:
        return answer["result"]
    error = answer["error"]
    if error["code"] == "internal":
        raise CoreFault(f"{error['message']} {error['detail']}")
    raise Refused(error["code"], error["field"], error["given"], error["allowed"], error["remedy"])


def call(op: str, **payload: Any) -> Any:
    """One operation of core's door. Raises Refused for input that core does not take, CoreFault for a fault of ours."""
    with _lock:
        _configured()
        return _exchange({"op": op, **payload})


class opened:
    """``with opened(book, texts) as core:`` holds core for one book: ``core("link", link=...)``; the book is closed at the end."""

    def __init__(self, book: str, texts: list[str]) -> None:
        self.book, self.texts = book, texts

    def __enter__(self) -> Any:
        _lock.acquire()
        try:
            call("open", book=self.book, entries=self.texts)
        except BaseException:
            _lock.release()
            raise
        return lambda op, **payload: call(op, book=self.book, **payload)

    def __exit__(self, *_: object) -> None:
        call("close", book=self.book)
        _lock.release()


@cache
def bundle() -> bytes:
    """What the phone runs, as JSON: {"modules": {"core/door.py": text...}, "limits": {id: text}, "calculators": text}."""
    modules = {
        f"core/{path.relative_to(CORE).as_posix()}": path.read_text(encoding="utf-8") for path in sorted(CORE.rglob("*.py"))
    }
    held = {"modules": modules, "limits": limit_texts(), "calculators": calculator_text()}
    return json.dumps(held, ensure_ascii=False, sort_keys=True).encode()
