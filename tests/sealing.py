"""Seals of version 2 for tests, signed by a real key of a fixed number."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature

from app import engine, signing

_STROKES = [[[10, 60], [40, 20], [70, 80]], [[120, 40]]]


class Device:
    """A phone's key, the same at every run."""

    def __init__(self, number: int = 7) -> None:
        self.private = ec.derive_private_key(number, ec.SECP256R1())
        self.jwk = signing.jwk_of(self.private.public_key())

    def sign(self, text: str) -> str:
        signed = self.private.sign(text.encode(), ec.ECDSA(hashes.SHA256(), deterministic_signing=True))
        return "".join(f"{number:064x}" for number in decode_dss_signature(signed))


DEVICE = Device()


def seal_text(
    book: str,
    texts: list[str],
    link: str,
    seal: str,
    at: str = "2026-03-20T15:00:00.000+01:00",
    signers: tuple[tuple[str, str], ...] = (("Ana Field", "installer"), ("Cleo Park", "client")),
    device: Device = DEVICE,
    accept: bool = False,
) -> tuple[str, list[str]]:
    """The text of a seal entry over a link as it stands, and the texts of deviations that were accepted first when `accept` is set."""
    signatures = [
        {"name": name, "role": role, "at": at, "strokes": _STROKES, "width": 300, "height": 150} for name, role in signers
    ]
    accepted: list[str] = []
    with engine.opened(book, texts) as core:
        off = core("sign_off", link=link)
        if accept:
            accepted = [_deviation(book, link, check, at) for check in _open(off)]
            core("add", entries=accepted)
            off = core("sign_off", link=link)
        stops = [{"id": stop["id"], "name": signers[0][0], "at": at} for stop in off["stops"]]
        asked: dict[str, Any] = {"seal": seal, "at": at, "by": signers[0][0], "device": "test-phone"}
        text = core("seal_text", link=link, key=device.jwk, signatures=signatures, stops=stops, **asked)["text"]
    body = {"link": link, "signed": text, "key": device.jwk, "signature": device.sign(text)}
    entry = {
        "id": seal,
        "book": book,
        "kind": "seal",
        "v": 2,
        "body": body,
        "at": at,
        "by": signers[0][0],
        "device": "test-phone",
    }
    return json.dumps(entry | {"replaces": []}, ensure_ascii=False, separators=(",", ":")), accepted


def _open(off: dict[str, Any]) -> list[str]:
    return [check for item in off["items"] for check in item["accept"]]


def _deviation(book: str, link: str, check: str, at: str) -> str:
    number = hashlib.sha256(f"{at} {link} {check}".encode()).hexdigest()[:12]
    body = {"link": link, "check": check, "reason": "Accepted for the test", "name": "Cleo Park"}
    entry = {"id": f"019c0000-0000-7000-8000-{number}", "book": book, "kind": "deviation", "v": 1, "body": body, "at": at}
    return json.dumps(entry | {"by": "Ana Field", "device": "test-phone", "replaces": []}, separators=(",", ":"))
