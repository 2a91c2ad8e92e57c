"""Signing a link in tests as a phone does: the open items accepted, the cautions acknowledged, the text by core, the signature by a device's key."""

from __future__ import annotations

import base64
from typing import Any

from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature

from app import engine
from tests.made_links import STROKES
from tests.making import Story, new_id

AT = "2026-03-14T16:03:00.000+01:00"
KEY = ec.derive_private_key(20260314, ec.SECP256R1())


def jwk(key: ec.EllipticCurvePrivateKey = KEY) -> dict[str, str]:
    """The public half, as a browser exports it."""
    numbers = key.public_key().public_numbers()
    return {"kty": "EC", "crv": "P-256", "x": _base64url(numbers.x), "y": _base64url(numbers.y)}


def _base64url(number: int) -> str:
    return base64.urlsafe_b64encode(number.to_bytes(32, "big")).decode().rstrip("=")


def raw_signature(text: str, key: ec.EllipticCurvePrivateKey = KEY) -> str:
    """r then s, in hexadecimal."""
    r, s = decode_dss_signature(key.sign(text.encode(), ec.ECDSA(hashes.SHA256(), deterministic_signing=True)))
    return f"{r:064x}{s:064x}"


def seal(story: Story, link: str, name: str = "A. Installer") -> str:
    """Accept what is open, acknowledge what stops, sign. Gives the seal's id."""
    with engine.opened(story.book, story.texts) as core:
        listed = core("sign_off", link=link)
    for item in listed["items"]:
        for accepted in item["accept"] if item["state"] in ("failing", "missing") else []:
            story.add("deviation", {"link": link, "check": accepted, "reason": "Agreed", "name": "C. Client"})
    asked: dict[str, Any] = {"seal": new_id(), "at": AT, "by": name, "device": "phone-1", "key": jwk()}
    asked["stops"] = [{"id": stop["id"], "name": name, "at": AT} for stop in listed["stops"]]
    drawn = {"at": AT, "strokes": STROKES, "width": 300, "height": 120}
    asked["signatures"] = [{"name": name, "role": "installer", **drawn}, {"name": "C. Client", "role": "client", **drawn}]
    with engine.opened(story.book, story.texts) as core:
        text = core("seal_text", link=link, **asked)["text"]
    body = {"link": link, "signed": text, "key": jwk(), "signature": raw_signature(text)}
    return story.add("seal", body, id=asked["seal"], v=2, at=AT, by=name)
