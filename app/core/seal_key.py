"""The device key of a seal: a P-256 public key as JWK, and its thumbprint."""

import binascii

from .errors import Refused
from .hashes import sha256_hex
from .shapes import HEX

_MEMBERS = ["crv", "kty", "x", "y"]


def is_hex(text: object, length: int) -> bool:
    """Is it that many hexadecimal digits in lower case."""
    return isinstance(text, str) and len(text) == length and text.strip(HEX) == ""


def thumbprint(key: object) -> str:
    """A P-256 public key as JWK -> its SHA-256 thumbprint by RFC 7638, in hexadecimal.

    Errors: Refused for a key with other members, or coordinates that are not canonical base64url of 32 bytes. Whether the point lies on the
    curve is not looked at here: a signature by one that doesn't is never good.
    """
    if not isinstance(key, dict) or sorted(key) != _MEMBERS or key["kty"] != "EC" or key["crv"] != "P-256":
        raise Refused("shape", "key", "", "a public key with kty EC, crv P-256, x and y, and nothing else")
    for name in ("x", "y"):
        if not _is_coordinate(key[name]):
            raise Refused("shape", "key", key[name], "32 bytes as base64url without padding")
    return sha256_hex('{"crv":"P-256","kty":"EC","x":"' + key["x"] + '","y":"' + key["y"] + '"}')


def _is_coordinate(text: object) -> bool:
    """43 signs hold 258 bits: the last two must be zero, else two texts would be one key."""
    if not isinstance(text, str) or len(text) != 43:
        return False
    try:
        held = binascii.a2b_base64((text.replace("-", "+").replace("_", "/") + "=").encode())  # the phone's takes bytes only
    except ValueError:
        return False
    again = binascii.b2a_base64(held).decode().strip("=\n").replace("+", "-").replace("/", "_")
    return len(held) == 32 and again == text
