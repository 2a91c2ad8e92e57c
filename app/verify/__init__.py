"""Proof years later: what lies in a file held against the seals in it, without server and store.

The readers here are as lenient as `app.parcel` is strict: whatever can still be read is handed to core's `verify`, and whatever can't is said.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from app import engine, signing
from app.verify import reading
from app.verify.evidence import Evidence, NotReadable

__all__ = ["Evidence", "NotReadable", "gathered", "report"]

gathered = reading.gathered


def report(path: Path, keys: dict[str, str] | None = None) -> dict[str, Any]:
    """What core's `verify` says of a record PDF, a handover package, an exported book, or an unpacked one of these; with "what" it is.

    keys: {thumbprint: words} of device keys whose owner is known. Errors: NotReadable when nothing in it could hold a seal.
    """
    return judged(gathered(path), keys)


def judged(evidence: Evidence, keys: dict[str, str] | None = None) -> dict[str, Any]:
    """Evidence -> the report of core's `verify`, device signatures checked by the cryptography library."""
    seals = engine.call("seals", texts=[text for text, _ in evidence.texts])
    asked: dict[str, Any] = {
        "texts": evidence.texts,
        "photos": evidence.photos,
        "problems": evidence.problems,
        "notes": evidence.notes,
        "photos_expected": evidence.photos_expected,
        "signatures": signing.checked(seals),
        "keys": keys or {},
    }
    if evidence.limits is not None:
        asked["limits"] = evidence.limits
    return {"what": evidence.what, **engine.call("verify", **asked)}
