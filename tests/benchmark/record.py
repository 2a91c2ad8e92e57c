"""``python -m tests.benchmark.record``: a record with 40 photos against Typst compiling the same pictures alone. Prints; asserts nothing."""

from __future__ import annotations

import argparse
import io
import os
import platform
import random
import resource
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import typst
from PIL import Image, ImageFilter

from app import engine, record
from app.record import faces, photos
from tests.made_links import FibreLink, photo_sha256

AT = "2026-03-20T10:00:00.000+01:00"
ALONE = """#set document(title: "Pictures")
#set page(paper: "a4", margin: 15mm)
#grid(columns: (1fr, 1fr), gutter: 6mm, ..json("names.json").map(name => image(name, width: 100%, alt: "A picture")))"""


def photo(number: int) -> bytes:
    """A picture as a phone sends it: 2048 x 1536, about as hard to compress as a trench."""
    rough = Image.frombytes("RGB", (512, 384), random.Random(number).randbytes(512 * 384 * 3))
    out = io.BytesIO()
    rough.resize((2048, 1536)).filter(ImageFilter.GaussianBlur(2)).save(out, "JPEG", quality=80)
    return out.getvalue()


def model_of(made: FibreLink) -> dict[str, Any]:
    engine.call("open", book=made.story.book, entries=made.story.texts)
    model: dict[str, Any] = engine.call("record", book=made.story.book, link=made.link, made_at=AT)
    return model


def milliseconds(work: Callable[[], object], runs: int) -> tuple[float, float]:
    """(the first run, the median of the later ones)."""
    times = []
    for _ in range(runs + 1):
        start = time.perf_counter()
        work()
        times.append((time.perf_counter() - start) * 1000)
    return times[0], statistics.median(times[1:])


def alone(folder: Path, names: list[str]) -> bytes:
    """The pictures alone, with the record's standards."""
    (folder / "names.json").write_text("[" + ", ".join(f'"{name}"' for name in names) + "]", encoding="utf-8")
    (folder / "alone.typ").write_text(ALONE, encoding="utf-8")
    made: bytes = typst.compile(
        str(folder / "alone.typ"), root=str(folder), font_paths=faces.fonts(), format="pdf", pdf_standards=record.STANDARDS
    )
    return made


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmark.record", description=__doc__)
    parser.add_argument("--photos", type=int, default=40, help="how many (default 40)")
    parser.add_argument("--runs", type=int, default=5, help="how often, after a first one (default 5)")
    asked = parser.parse_args()
    made = FibreLink(photos=asked.photos, signed=True)
    held = {photo_sha256(number): photo(number) for number in range(asked.photos)}
    bare = FibreLink(photos=0, signed=True)
    size_mb = sum(map(len, held.values())) / 1e6
    print(f"{asked.photos} photos of 2048 x 1536, {size_mb:.1f} MB; {os.cpu_count()} cores, CPython {platform.python_version()}")
    with tempfile.TemporaryDirectory() as name:
        folder, model = Path(name), model_of(made)
        prepared = photos.prepare(model, held.get, folder, lambda *_: None)
        small = [str(one["file"]) for one in prepared.values()]
        rows: list[tuple[str, Callable[[], object]]] = [
            ("core makes the record's model", lambda: model_of(made)),
            ("photos made small", lambda: photos.prepare(model, held.get, folder, lambda *_: None)),
            ("Typst, these pictures alone", lambda: alone(folder, small)),
            ("the record without photos", lambda: record.pdf(model_of(bare), held.get)),
            ("the record with all photos", lambda: record.pdf(model, held.get)),
        ]
        print(f"{'ms':34}{'first':>9}{'median':>9}")
        for words, work in rows:
            first, later = milliseconds(work, asked.runs)
            print(f"{words:34}{first:9.0f}{later:9.0f}", flush=True)
    print(f"most memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB, load {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
