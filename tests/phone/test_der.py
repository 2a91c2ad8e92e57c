"""Keys and signatures as openssl reads them, made by the phone, held against the cryptography library."""

from __future__ import annotations

import base64
import json

from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature

from tests.phone.test_modules import run

# Of 32 bytes with the first bit set, without it, with leading zeros before either, of one byte, and zero bytes at the end.
NUMBERS = [1, 127, 128, 255, 256, 2**255, 2**255 - 1, 2**247 + 5, 2**248 - 1, 2**256 - 1, 0x80 << 240, 0xABCD << 200]


def base64url(number: int) -> str:
    return base64.urlsafe_b64encode(number.to_bytes(32, "big")).decode().rstrip("=")


def test_a_signature_is_written_as_the_library_writes_it_whatever_its_first_bits_are() -> None:
    pairs = [(r, s) for r in NUMBERS for s in NUMBERS]
    given = [f"{r:064x}{s:064x}" for r, s in pairs]
    made = run("der.js", f"{json.dumps(given)}.map((text) => [...m.derOf(text)])")
    assert [bytes(one) for one in made] == [encode_dss_signature(r, s) for r, s in pairs]


def test_a_public_key_is_written_as_the_library_writes_it() -> None:
    keys = [ec.derive_private_key(secret, ec.SECP256R1()).public_key() for secret in (1, 2, 7, 12345, 2**255)]
    given = [{"x": base64url(key.public_numbers().x), "y": base64url(key.public_numbers().y)} for key in keys]
    made = run("der.js", f"{json.dumps(given)}.map(m.pemOf)")
    wanted = serialization.PublicFormat.SubjectPublicKeyInfo
    assert made == [key.public_bytes(serialization.Encoding.PEM, wanted).decode() for key in keys]
