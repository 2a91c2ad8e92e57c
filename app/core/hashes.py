"""SHA-256 of texts, the same on both interpreters (MicroPython's hash objects have no hexdigest)."""

import binascii
import hashlib


def sha256_hex(text: str) -> str:
    """SHA-256 of a text's UTF-8 bytes, in hexadecimal."""
    return binascii.hexlify(hashlib.sha256(text.encode()).digest()).decode()
