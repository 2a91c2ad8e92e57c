"""Signatures of device keys (ECDSA on P-256 with SHA-256), checked by the cryptography library; keys and signatures as openssl reads them."""

from __future__ import annotations

import base64
from collections.abc import Iterable
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature

from app.core import seal_form
from app.core.errors import Refused

_SIGNATURE_DIGITS = 128


class KeyRefused(ValueError):
    """A public key or signature that is not one; its text says what is wrong."""


def thumbprint(jwk: Any) -> str:
    """The SHA-256 thumbprint (RFC 7638) of a P-256 public key, in hexadecimal. Errors: KeyRefused, also for a point that is not on the curve."""
    try:
        found = seal_form.thumbprint(jwk)
    except Refused as refused:
        raise KeyRefused(refused.sentence()) from refused
    _public_key(jwk)
    return found


def _public_key(jwk: dict[str, str]) -> ec.EllipticCurvePublicKey:
    x, y = (int.from_bytes(base64.urlsafe_b64decode(jwk[name] + "=")) for name in ("x", "y"))
    try:
        return ec.EllipticCurvePublicNumbers(x, y, ec.SECP256R1()).public_key()
    except ValueError as error:
        raise KeyRefused("key: the point given is not on the curve P-256") from error


def is_good(jwk: Any, signature: Any, text: Any) -> bool:
    """Did the holder of this key sign exactly this text? signature: r, then s, as 128 lower-case hexadecimal digits."""
    try:
        thumbprint(jwk)
        _public_key(jwk).verify(der(signature), text.encode(), ec.ECDSA(hashes.SHA256()))
    except (KeyRefused, InvalidSignature, UnicodeEncodeError, AttributeError):
        return False
    return True


def checked(seals: Iterable[dict[str, Any]]) -> dict[str, str]:
    """What core's `seals` gave -> {seal id: "good" | "bad"}. Two seals of one id are good only when both are."""
    found: dict[str, str] = {}
    for seal in seals:
        good = is_good(seal["key"], seal["signature"], seal["text"])
        found[seal["id"]] = "good" if good and found.get(seal["id"], "good") == "good" else "bad"
    return found


def der(signature: Any) -> bytes:
    """A signature as DER (RFC 3279), as openssl reads it. Errors: KeyRefused when it is no 128 lower-case hexadecimal digits."""
    if not seal_form.is_hex(signature, _SIGNATURE_DIGITS):
        raise KeyRefused("signature: 128 hexadecimal digits in lower case are allowed")
    half = _SIGNATURE_DIGITS // 2
    return encode_dss_signature(int(signature[:half], 16), int(signature[half:], 16))


def pem(jwk: Any) -> bytes:
    """A public key as PEM (SubjectPublicKeyInfo), as openssl reads it. Errors: KeyRefused."""
    thumbprint(jwk)
    return _public_key(jwk).public_bytes(serialization.Encoding.PEM, serialization.PublicFormat.SubjectPublicKeyInfo)


def jwk_of(key: ec.EllipticCurvePublicKey) -> dict[str, str]:
    """A P-256 public key as a JWK of just kty, crv, x and y (RFC 7518)."""
    numbers = key.public_numbers()
    x, y = (base64.urlsafe_b64encode(held.to_bytes(32)).rstrip(b"=").decode() for held in (numbers.x, numbers.y))
    return {"kty": "EC", "crv": "P-256", "x": x, "y": y}
