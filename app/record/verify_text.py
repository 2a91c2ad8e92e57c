"""VERIFY.txt: what lies inside a record's PDF and how anyone holds it against the signatures, without us."""

from __future__ import annotations

_HEAD = """COMMISSIONING RECORD: {name}

This file lies inside the PDF together with book.json.

1  WHAT book.json IS

"""
_SIGNED = """The {entries} that revision {revision} covers, then every seal of the link: each text exactly as it was first written, in "entries"
of one JSON object. A seal of version 2 holds in "signed" the text that was signed. That text lists the SHA-256 of every entry, photo and
limit set, the verdicts, and who signed; "key" is the public key of the device, "signature" its signature (ECDSA P-256, SHA-256; r, then s,
in hexadecimal) over the UTF-8 bytes of "signed".
{lacking}"""
_UNSIGNED = """The entries of the link as they stood when this record was made, each text exactly as it was first written, in "entries" of one
JSON object. Nobody has signed this link: nothing proves that they are what was measured.
"""
# For whoever has Python but not Spanbook: names each entry that is not the one which the newest seal lists.
_COMPARE = (
    "import hashlib,json;e=json.load(open('book.json',encoding='utf-8'))['entries'];"
    "b={json.loads(t)['id']:t for t in e};s=json.loads(json.loads(e[-1])['body']['signed']);"
    "print([i for i,h in s['entries'] if hashlib.sha256(b.get(i,'').encode()).hexdigest()!=h])"
)
_CHECK = """
2  IS IT AS IT WAS SIGNED

With Spanbook, without a server:

  spanbook verify FILE.pdf

or the page for it in the app."""
_BY_HAND = """ With Python 3 alone, book.json saved beside it (an empty pair of brackets means that every
entry is here as it was signed):

  python3 -c "COMPARE"

Whether the list of entries is itself the one that was signed, the device's signature shows: spanbook verify checks it, and so does any
program for ECDSA. Whose key it is, this file can't prove by itself: ask the installing firm for its thumbprint by another way, such as the
telephone."""
_LIMITS = """

3  WHAT IT DOES NOT SHOW

Photos are in the record as pictures made smaller; their own bytes, which the seal names by SHA-256, are in the handover package. A seal does
not say that what was written was true, nor that a name or a phone's clock was right; it shows that nothing was changed after signing.
"""


def text(name: str, signed: tuple[int, int, int] | None, has_key: bool) -> str:
    """The text. name: the link's; signed: (revision, entries covered, of these not here as signed), or None for an unsigned link.

    has_key: is the newest seal signed by a device's key?
    """
    head = _HEAD.format(name=" ".join(name.split()))
    if signed is None:
        return head + _UNSIGNED
    return head + _signed(*signed) + _CHECK + (_BY_HAND.replace("COMPARE", _COMPARE) if has_key else "") + _LIMITS


def _signed(revision: int, entries: int, lacking: int) -> str:
    words = f"\n{lacking} of them could not be put in as they were signed, since they are missing or altered in the store.\n"
    return _SIGNED.format(entries=_count(entries), revision=revision, lacking=words if lacking else "")


def _count(entries: int) -> str:
    return f"{entries} {'entry' if entries == 1 else 'entries'}"
