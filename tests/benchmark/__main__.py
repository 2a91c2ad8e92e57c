"""``python -m tests.benchmark``: how fast the app is on a book of 2,000 entries. Prints a table; nothing is asserted, since machines differ."""

from __future__ import annotations

import argparse
import json
import os
import platform
import statistics
import tempfile
import time
from pathlib import Path
from typing import Any

from app import engine
from app.core import door
from tests.benchmark import in_chromium
from tests.benchmark.big_book import BigBook
from tests.browser.phone import Phone

THROTTLE = 4
AT = "2026-03-20T10:00:00.000+01:00"
STEPS = [("key to question", "key", "asked"), ("core", "asked", "answered"), ("drawing", "answered", "drawn")]
STEPS += [("until the next frame", "drawn", "shown"), ("from keypress to margin", "key", "shown")]
GOALS = {1: 50, THROTTLE: 150}


def door_requests(book: BigBook) -> list[tuple[str, str, dict[str, Any]]]:
    """What is asked of core, in this order: [name, operation, what goes with it]."""
    on, drafts = {"book": book.story.book, "link": book.link}, [book.draft(f"0.{number}") for number in range(40, 51)]
    return [
        ("open the book", "open", {"book": book.story.book, "entries": book.story.texts}),
        ("the link's view, first", "link", on),
        ("the link's view, again", "link", on),
        ("all checks, judged", "checks", on),
        ("all checks, again", "checks", on),
        *[("the draft's margin", "checks", {**on, "draft": draft, "at": AT, "by": "A. Installer"}) for draft in drafts],
        ("the record", "record", {**on, "made_at": AT}),
        ("one more entry", "add", {"book": book.story.book, "entries": [book.one_more()]}),
        ("all checks after it", "checks", on),
    ]


def in_cpython(requests: list[tuple[str, str, dict[str, Any]]]) -> dict[str, float]:
    """The same at the same door in this interpreter, with the JSON both ways, in ms."""
    engine.call("describe")
    times: dict[str, list[float]] = {}
    for name, op, payload in requests:
        start = time.perf_counter()
        json.loads(door.call(json.dumps({"op": op, **payload}, ensure_ascii=False)))
        times.setdefault(name, []).append((time.perf_counter() - start) * 1000)
    return {name: statistics.median(found) for name, found in times.items()}


def percentile(values: list[float], percent: int) -> float:
    return sorted(values)[min(len(values) - 1, len(values) * percent // 100)]


def print_keypresses(throttle: int, presses: list[dict[str, float]]) -> None:
    where = "core in its worker" if throttle == 1 else "core on the main thread"
    print(f"\nReading screen, {len(presses)} keypresses, CPU at {throttle}x, {where} (goal {GOALS[throttle]} ms)")
    print(f"  {'ms':26}{'least':>9}{'median':>9}{'95 %':>9}")
    for name, start, end in STEPS:
        found = [press[end] - press[start] for press in presses]
        print(f"  {name:26}{min(found):9.1f}{statistics.median(found):9.1f}{percentile(found, 95):9.1f}", flush=True)


def print_door(columns: dict[str, dict[str, float]]) -> None:
    names = list(columns)
    print("\nCore's door, ms" + " " * 13 + "".join(f"{name:>18}" for name in names) + f"{'1x / CPython':>16}")
    for row in columns[names[0]]:
        figures = "".join(f"{columns[name][row]:18.1f}" for name in names)
        print(f"  {row:26}{figures}{columns['Chromium 1x'][row] / columns['CPython'][row]:16.1f}")


def machine(browser_version: str) -> str:
    names = [line.split(":", 1)[1].strip() for line in _lines("/proc/cpuinfo") if line.startswith("model name")]
    processor = names[0] if names else platform.processor()
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0
    python = f"CPython {platform.python_version()}"
    return f"{processor}, {os.cpu_count()} cores, {platform.system()}, Chromium {browser_version}, {python}, load {load:.1f}"


def _lines(path: str) -> list[str]:
    return Path(path).read_text(encoding="utf-8").splitlines() if Path(path).exists() else []


def measure(phone: Phone, book: BigBook, requests: list[Any], count: int) -> tuple[list[dict[str, float]], dict[str, float]]:
    presses = in_chromium.keypresses(phone, book, count)
    phone.open("/")
    return presses, in_chromium.door_times(phone, requests)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmark", description=__doc__)
    parser.add_argument("--keypresses", type=int, default=40, help="how many, at each speed (default 40)")
    count = parser.parse_args().keypresses
    book = BigBook()
    requests = door_requests(book)
    columns: dict[str, dict[str, float]] = {}
    with tempfile.TemporaryDirectory() as folder, in_chromium.served(book, Path(folder)) as server, in_chromium.launched() as browser:
        print(f"{len(book.story.texts)} entries, one fibre link of 144 strands\n{machine(browser.version)}")
        for throttle in (1, THROTTLE):
            phone = in_chromium.phone_with_book(browser, server, throttle)
            presses, columns[f"Chromium {throttle}x"] = measure(phone, book, requests, count)
            phone.context.close()
            print_keypresses(throttle, presses)
    columns["CPython"] = in_cpython(requests)
    print_door(columns)


if __name__ == "__main__":
    main()
