"""Signing a link: signatures drawn as smooth curves, and the seal that core words, signed by a demo phone's key."""

from __future__ import annotations

import hashlib
import math
from typing import Any

from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature

from app import engine, signing
from seed_data.writer import Writer

_WIDTH, _HEIGHT = 343, 160
# Order of the curve P-256 (SEC 2, version 2, 2.4.2).
_ORDER = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551


def strokes(name: str) -> list[list[list[int]]]:
    """Loops and an underline that look like a hand's, decided by the name: [[[x, y], ...], ...] in pixels of the pad."""
    parts = name.split(" ")
    across = (_WIDTH - 60) / len(parts)
    drawn = [_word(part, 30 + across * index, across * 0.86) for index, part in enumerate(parts)]
    sweep = [[int(40 + 26 * step), int(128 - 9 * math.sin(step / 3.1))] for step in range(11)]
    return [*drawn, sweep]


def _word(word: str, left: float, width: float) -> list[list[int]]:
    digest = hashlib.sha256(word.encode()).digest()
    letters = len(word)
    points = []
    for step in range(letters * 7 + 1):
        share = step / (letters * 7)
        letter = min(letters - 1, int(share * letters))
        tall = (46 if letter == 0 else 14 + digest[letter] % 16) * (1 - 0.35 * share)
        turn = share * letters * 2 * math.pi
        x = left + width * share + (5 + digest[letter + 8] % 5) * math.cos(turn)
        y = 84 - tall * math.sin(turn) - 8 * share
        points.append([int(x), int(y)])
    return points


def seal(writer: Writer, link: str, people: list[tuple[str, str]]) -> str:
    """Sign a link as it stands, every caution acknowledged by who signs first. people: (name, role) in the order in which they sign."""
    signatures: list[dict[str, Any]] = [
        {"name": name, "role": role, "at": writer.at(), "strokes": strokes(name), "width": _WIDTH, "height": _HEIGHT}
        for name, role in people
    ]
    acknowledged = {"name": people[0][0], "at": writer.at()}
    seal_id, key = writer.coming(), demo_key()
    asked = {"seal": seal_id, "at": writer.at(), "by": writer.by, "device": writer.device, "signatures": signatures}
    asked["key"] = signing.jwk_of(key.public_key())
    with engine.opened(writer.book, writer.texts) as core:
        stops = [{"id": stop["id"], **acknowledged} for stop in core("sign_off", link=link)["stops"]]
        text = core("seal_text", link=link, stops=stops, **asked)["text"]
    body = {"link": link, "signed": text, "key": asked["key"], "signature": _signed(key, text)}
    writer.keep(seal_id, "seal", body, [], version=2)
    return seal_id


def demo_key() -> ec.EllipticCurvePrivateKey:
    """The key of the phone that signs in the story. Anyone can make it from this line, so nothing signed by it is proof of anything."""
    number = int.from_bytes(hashlib.sha256(b"Three Lanterns: a key that is no secret").digest()) % (_ORDER - 1) + 1
    return ec.derive_private_key(number, ec.SECP256R1())


def _signed(key: ec.EllipticCurvePrivateKey, text: str) -> str:
    """r then s in hexadecimal, by RFC 6979: the same at every making."""
    made = key.sign(text.encode(), ec.ECDSA(hashes.SHA256(), deterministic_signing=True))
    return "".join(f"{part:064x}" for part in decode_dss_signature(made))
