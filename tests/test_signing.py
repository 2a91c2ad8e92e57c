"""Device signatures are checked as openssl checks them, and each has one writing only."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

import pytest

from app import signing
from tests.sealing import DEVICE, Device

TEXT = "Loss 0.72 dB, Müller's hut \N{OHM SIGN}\n"
GOOD = DEVICE.sign(TEXT)
_ORDER = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551  # SEC 2, version 2, 2.4.2

# RFC 6979, A.2.5: the key, and its signature with SHA-256 of "sample".
RFC_KEY = {
    "kty": "EC",
    "crv": "P-256",
    "x": "YP7UuiVanTHJYet0xjVtaMBJuJI7Yfps5mliLmDyn7Y",
    "y": "eQP-EAi4vJmkGunpVii8ZPLxsgwtfp9Rd6PClNRGIpk",
}
RFC_SIGNATURE = (
    "efd48b2aacb6a8fd1140dd9cd45e81d69d2c877b56aaf991c34d0ea84eaf3716"  # r
    "f7cb1c942d657c41d436c7a1b6e29f65f3e900dbb9aff4064dc4ab2f843acda8"  # s
)


def test_the_published_signature_of_rfc_6979_is_good() -> None:
    assert signing.is_good(RFC_KEY, RFC_SIGNATURE, "sample")
    assert not signing.is_good(RFC_KEY, RFC_SIGNATURE, "test")


def test_openssl_agrees_on_key_and_signature_as_they_are_handed_over(tmp_path: Path) -> None:
    for name, held in (("key.pem", signing.pem(DEVICE.jwk)), ("text.sig", signing.der(GOOD)), ("text", TEXT.encode())):
        (tmp_path / name).write_bytes(held)
    command = ["openssl", "dgst", "-sha256", "-verify", "key.pem", "-signature", "text.sig", "text"]
    assert subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=True).stdout.strip() == "Verified OK"
    (tmp_path / "text").write_bytes(TEXT.encode() + b" ")
    assert subprocess.run(command, cwd=tmp_path, capture_output=True, check=False).returncode != 0


def test_every_flipped_bit_of_signature_and_key_is_found() -> None:
    held = bytes.fromhex(GOOD)
    for place in range(len(held) * 8):
        flipped = bytearray(held)
        flipped[place // 8] ^= 1 << place % 8
        assert not signing.is_good(DEVICE.jwk, flipped.hex(), TEXT)
    for name in ("x", "y"):
        for place, letter in enumerate(DEVICE.jwk[name]):
            for bit in range(8):
                other = DEVICE.jwk[name][:place] + chr(ord(letter) ^ 1 << bit) + DEVICE.jwk[name][place + 1 :]
                assert not signing.is_good(DEVICE.jwk | {name: other}, GOOD, TEXT)


@pytest.mark.parametrize(
    "signature",
    [
        None,
        5,
        "",
        GOOD.upper(),
        GOOD[:-1],
        GOOD + "0",
        " " + GOOD[1:],
        "0" * 128,
        GOOD[:64] + "0" * 64,
        "f" * 128,
        f"{_ORDER:064x}{GOOD[64:]}",
        f"{GOOD[:64]}{_ORDER:064x}",
    ],
)
def test_a_signature_that_is_none_is_never_good(signature: Any) -> None:
    assert not signing.is_good(DEVICE.jwk, signature, TEXT)


@pytest.mark.parametrize("text", [None, 5, b"bytes", "half \ud800", ""])
def test_a_text_that_was_not_signed_is_never_good(text: Any) -> None:
    assert not signing.is_good(DEVICE.jwk, GOOD, text)


def test_two_seals_of_one_id_are_good_only_when_both_are() -> None:
    good = {"id": "a", "key": DEVICE.jwk, "signature": GOOD, "text": TEXT}
    bad = good | {"key": Device(8).jwk}
    assert signing.checked([good, bad]) == signing.checked([bad, good]) == {"a": "bad"}
    assert signing.checked([good, good]) == {"a": "good"}


def test_a_point_off_the_curve_has_neither_thumbprint_nor_pem() -> None:
    off = DEVICE.jwk | {"y": "A" * 43}
    for asked in (signing.thumbprint, signing.pem):
        with pytest.raises(signing.KeyRefused, match="not on the curve"):
            asked(off)
    with pytest.raises(signing.KeyRefused, match="128 hexadecimal digits"):
        signing.der("ab")
