"""The commissioning record as PDF: the record model of core, set by Typst as PDF/A-3a with PDF/UA-1 tags, its entries attached.

The model's texts are final; nothing here adds to a number or rounds one. Text reaches Typst only as data in a JSON file of a temporary
folder that is also the only folder Typst may read. The same model and photos give the same bytes.
"""

from __future__ import annotations

import json
import logging
import shutil
import tempfile
from collections.abc import Callable, Sequence
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import typst

from app.record import faces, fitting, layout, photos

TEMPLATE = Path(__file__).with_name("record.typ")
STANDARDS = ["a-3a", "ua-1"]
PAPERS = {"a4": "a4", "letter": "us-letter"}

Attachment = tuple[str, bytes, str, str]
Progress = Callable[[int, int, str], None]

_log = logging.getLogger(__name__)


class RecordError(Exception):
    """The record could not be set; the message says what Typst made of it."""


def pdf(
    record: dict[str, Any],
    photos_by_hash: Callable[[str], bytes | None],
    paper: str = "a4",
    lang: str = "en",
    attachments: Sequence[Attachment] = (),
    progress: Progress | None = None,
) -> bytes:
    """A record model -> PDF.

    photos_by_hash: SHA-256 -> the photo's bytes, or None when it has not arrived; paper: "a4" or "letter"; lang: language of the text, for
    screen readers; attachments: [(file name, bytes, media type, description)]; progress: told (done, of how many, words).
    Errors: ValueError for an unknown paper, RecordError when the page can't be set.
    """
    if paper not in PAPERS:
        raise ValueError(f"paper: '{paper}' was given; allowed is {' or '.join(sorted(PAPERS))}")
    told = progress or (lambda done, total, words: None)
    with tempfile.TemporaryDirectory(prefix="spanbook-record-") as name:
        folder = Path(name)
        shutil.copyfile(TEMPLATE, folder / "record.typ")
        pictures = photos.prepare(record, photos_by_hash, folder, told)
        told(0, 0, "Setting the pages")
        arranged = layout.arrange(record, pictures, PAPERS[paper], lang)
        arranged["attachments"] = [_attached(folder, number, *one) for number, one in enumerate(attachments)]
        # The later two are for what Typst refuses although each word alone can be set.
        for shown in (fitting.on_page, fitting.in_drawing, fitting.in_ascii):
            made = _set(arranged, folder, shown)
            if made is not None:
                return made
    raise RecordError("The record could not be set as PDF. The book is not harmed; report what this link holds.")


def _attached(folder: Path, number: int, name: str, data: bytes, mime: str, description: str) -> dict[str, str]:
    """Kept under a name of ours, since Typst reads it from the folder; `name` is what the PDF calls it."""
    file = f"attached-{number}"
    (folder / file).write_bytes(data)
    return {"name": name, "file": file, "mime": mime, "description": description}


def _set(model: dict[str, Any], folder: Path, shown: Callable[[str], str]) -> bytes | None:
    """The PDF, or None when Typst refuses the text. Errors: RecordError for a warning, since a page set in the wrong face is no record."""
    fitted = fitting.fit(model, shown)
    (folder / "model.json").write_text(json.dumps(fitted, ensure_ascii=False), encoding="utf-8")
    try:
        made, warnings = typst.compile_with_warnings(
            str(folder / "record.typ"),
            root=str(folder),
            font_paths=faces.fonts(),
            ignore_system_fonts=True,
            format="pdf",
            pdf_standards=STANDARDS,
            timestamp=_moment(model["made_at"]),
        )
    except typst.TypstError as fault:
        _log.warning("typst refused a record: %s", fault.message)
        return None
    if warnings:
        raise RecordError("The record was set with a warning: " + "; ".join(warning.message for warning in warnings))
    return made


@cache
def _moment(made_at: str) -> int:
    """The model's own time as whole seconds, so that a record made again is the same file."""
    return int(datetime.fromisoformat(made_at).timestamp())
