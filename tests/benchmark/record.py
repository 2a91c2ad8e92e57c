"""``python -m tests.benchmark.record``: a record with 40 photos against Typst compiling the same pictures alone. Prints; asserts nothing."""

from __future__ import annotations

import argparse
import io
import json
import os
import platform
import random
import resource
import statistics
import tempfile
import time
from collections.abc import Callable
from multiprocessing import get_context
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


def alone(folder: Path, names: list[str]) -> bytes:
    """The pictures alone, with the record's standards."""
    (folder / "names.json").write_text(json.dumps(names), encoding="utf-8")
    (folder / "alone.typ").write_text(ALONE, encoding="utf-8")
    made: bytes = typst.compile(
        str(folder / "alone.typ"), root=str(folder), font_paths=faces.fonts(), format="pdf", pdf_standards=record.STANDARDS
    )
    return made


def once(row: str, folder: Path, count: int) -> tuple[float, float]:
    """(milliseconds, most memory in MB) of one row, in a process of its own: Typst keeps what it has set, and would be measured remembering."""
    made, bare = FibreLink(photos=count, signed=True), FibreLink(photos=0, signed=True)
    kept = {photo_sha256(number): folder / f"{number}.jpg" for number in range(count)}
    small = folder / "small"
    work: dict[str, Callable[[], object]] = {
        "core makes the record's model": lambda: model_of(made),
        "photos made small": lambda: photos.prepare(model, bytes_of, small, lambda *_: None),
        "Typst, the same pictures alone": lambda: alone(small, sorted(file.name for file in small.glob("*.jpg"))),
        "the record without photos": lambda: record.pdf(without, bytes_of),
        "the record with all photos": lambda: record.pdf(model, bytes_of),
    }

    def bytes_of(sha256: str) -> bytes:
        return kept[sha256].read_bytes()

    model, without = model_of(made), model_of(bare)
    faces.fonts()
    start = time.perf_counter()
    work[row]()
    return (time.perf_counter() - start) * 1000, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


ROWS = (
    "core makes the record's model",
    "photos made small",
    "Typst, the same pictures alone",
    "the record without photos",
    "the record with all photos",
)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmark.record", description=__doc__)
    parser.add_argument("--photos", type=int, default=40, help="how many (default 40)")
    parser.add_argument("--runs", type=int, default=5, help="how often (default 5)")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "small").mkdir()
        for number in range(asked.photos):
            (folder / f"{number}.jpg").write_bytes(photo(number))
        size_mb = sum(file.stat().st_size for file in folder.glob("*.jpg")) / 1e6
        print(f"{asked.photos} photos of 2048 x 1536, {size_mb:.1f} MB; {os.cpu_count()} cores, CPython {platform.python_version()}")
        print(f"{'':34}{'least ms':>9}{'median ms':>11}{'MB':>6}")
        for row in ROWS:
            with get_context("spawn").Pool(1, maxtasksperchild=1) as pool:
                found = [pool.apply(once, (row, folder, asked.photos)) for _ in range(asked.runs)]
            took, held = [one[0] for one in found], max(one[1] for one in found)
            print(f"{row:34}{min(took):9.0f}{statistics.median(took):11.0f}{held:6.0f}", flush=True)
    print(f"load {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
