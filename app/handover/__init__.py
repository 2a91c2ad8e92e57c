"""The handover package of a link: asked of core, completed with the kept bytes, written as a bag.

Core makes every text in it (`app/core/handover.py`); here the entries, photos, limit sets, signatures and the record as PDF are added.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from app import engine, signing
from app.handover import bag
from app.handover.bag import Part
from app.store.images import ENDINGS
from app.store.photos import Photo

FindPhoto = Callable[[str], Photo | None]
PhotoState = Callable[[str], str]
Progress = Callable[[int, int, str], None]


@dataclass(frozen=True)
class Asked:
    """What core says of a package, with the texts that it names, and photos that the store has but that are damaged there."""

    answer: dict[str, Any]
    texts: dict[str, str]
    damaged: list[str]
    signatures: dict[str, str]

    @property
    def name(self) -> str:
        """Name of the folder in the package, and of the file before its ending."""
        return str(self.answer["name"])

    @property
    def missing(self) -> list[str]:
        """SHA-256 of the photos that entries name but that can't be handed over."""
        return list(self.answer["photos_missing"])


def asked(core: Any, texts: list[str], link: str, made_at: str, state: PhotoState, keys: dict[str, str] | None = None) -> Asked:
    """Ask an opened core (`engine.opened`) for the package of a link.

    texts: the entries that it was opened with; state: of a photo by its SHA-256 (`store.photos.checked_photo`); keys: {thumbprint: words} of
    known keys. Errors: Refused("unknown") when the book has no such link.
    """
    states = {sha256: state(sha256) for sha256, _ in core("handover_photos", link=link)["photos"]}
    here = [sha256 for sha256 in states if states[sha256] == "here"]
    # Handed over, an altered one would make the whole package invalid.
    damaged = [sha256 for sha256 in states if states[sha256] == "altered"]
    signatures = signing.checked(core("seals", texts=texts))
    answer = core("handover", link=link, made_at=made_at, signatures=signatures, keys=keys or {}, photos_here=here)
    wanted = set(answer["entries"])
    held = {name: text for text in texts if (name := json.loads(text)["id"]) in wanted}
    return Asked(answer, held, damaged, signatures)


def write(path: Path, asked: Asked, photos: FindPhoto, pdf: bytes | None = None, progress: Progress | None = None) -> None:
    """Write the package to a zip, which appears whole or not at all.

    pdf: the record, where it is made; progress: called with photos done, photos in all, and words for a person.
    """
    bag.write(path, asked.name, _parts(asked, photos, pdf, progress or _quiet), asked.answer["info"])


def _quiet(done: int, total: int, words: str) -> None:
    pass


def _parts(asked: Asked, photos: FindPhoto, pdf: bytes | None, progress: Progress) -> Iterator[Part]:
    answer = asked.answer
    for name in answer["entries"]:
        yield f"data/entries/{name}.json", asked.texts[name].encode()
    for name in answer["limits"]:
        yield f"data/limits/{name}.json", engine.limit_texts()[name].encode()
    for seal in answer["seals"]:
        yield f"data/seals/{seal['file']}.sig", signing.der(seal["signature"])
        # A point that is not on the curve is no key: the signature counts as bad, and nothing can be written that openssl would read.
        with suppress(signing.KeyRefused):
            yield f"data/seals/{seal['file']}.pem", signing.pem(seal["jwk"])
    yield from ((name, text.encode()) for name, text in answer["files"])
    if pdf is not None:
        yield "data/record.pdf", pdf
    yield from _photo_parts(answer["photos"], photos, progress)


def _photo_parts(named: list[list[str]], photos: FindPhoto, progress: Progress) -> Iterator[Part]:
    for place, (sha256, _) in enumerate(named):
        progress(place, len(named), f"Photo {place + 1} of {len(named)}")
        photo = photos(sha256)
        if photo is None:
            raise FileNotFoundError(f"The photo {sha256} went away while the package was made. Make it again.")
        yield f"data/photos/{sha256}.{ENDINGS[photo.type]}", lambda path=photo.path: path.open("rb")
    progress(len(named), len(named), "Photos packed")
