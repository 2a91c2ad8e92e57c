"""Reading a commissioning record as evidence: the entries attached to the PDF."""

from __future__ import annotations

import io
import logging

from pypdf import PdfReader

from app.config import MEGABYTE
from app.parcel import BOOK_FILE
from app.verify import book
from app.verify.evidence import Evidence, NotReadable

_BOOK_LIMIT_BYTES = 64 * MEGABYTE
NOTES = (
    "The pages of the PDF: a seal covers the entries that are attached to it, not how its pages look.",
    "The photos in its pages are made smaller; those that were signed are in the handover package or the exported book.",
)
# The library's own warnings about a damaged file are said in our words.
logging.getLogger("pypdf").setLevel(logging.CRITICAL)


def take(evidence: Evidence, held: bytes, name: str) -> None:
    """Take the entries attached to a PDF. Errors: NotReadable when it can't be read, or has none."""
    attached = _attached(held, name)
    if not attached:
        raise NotReadable(
            f"{name} has no {BOOK_FILE} attached. It may have been printed or saved anew by another program, or is no record of Spanbook's; "
            "ask for the handover package."
        )
    for content in attached:
        book.take_json(evidence, content, f"{BOOK_FILE} attached to {name}")


def _attached(held: bytes, name: str) -> list[bytes]:
    try:
        reader = PdfReader(io.BytesIO(held))
        found = [content for content in reader.attachments.get(BOOK_FILE, []) if content is not None]
    except (
        Exception
    ) as error:  # whatever a damaged file makes the library do: it raises errors of a dozen kinds, by its own words too
        raise NotReadable(f"{name} is damaged or locked: what is attached to it can't be read. Fetch it again.") from error
    if any(len(content) > _BOOK_LIMIT_BYTES for content in found):
        raise NotReadable(
            f"What is attached to {name} is larger than {_BOOK_LIMIT_BYTES // MEGABYTE} MB, which no record's entries are."
        )
    return found
