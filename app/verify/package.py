"""Reading a handover package as evidence: entries, photos, limit sets and seals, and every file against the package's lists of hashes."""

from __future__ import annotations

import hashlib
from collections import Counter

from app import bags, engine, signing
from app.config import PHOTO_LIMIT_BYTES
from app.verify import record_pdf
from app.verify.book import note_others
from app.verify.containers import ENTRY_LIMIT_BYTES, TEXT_LIMIT_BYTES, Member, Torn
from app.verify.evidence import Evidence, NotReadable

_ONLY_LISTED = "Tables, plans, the record's pages and VERIFY.txt are held against the package's own list of hashes only; no seal covers them."


def take(evidence: Evidence, folder: str, members: list[Member]) -> None:
    """Take the package that lies in `folder` ("name/", or "" at the top) among these files."""
    evidence.limits = {}
    inside = [member for member in members if member.name.startswith(folder)]
    note_others(evidence, [member.name for member in members if not member.name.startswith(folder)])
    _say_twice(evidence, [member.name for member in inside])
    seals: dict[str, bytes] = {}
    hashes = {member.name[len(folder) :]: _taken(evidence, member, member.name[len(folder) :], seals) for member in inside}
    if "bagit.txt" not in hashes:
        evidence.problems.append("bagit.txt is missing: the package is not whole.")
    held = {name: member for member in inside if (name := member.name[len(folder) :]) in bags.MANIFESTS}
    for manifest in bags.MANIFESTS:
        _hold_against(evidence, manifest, held.get(manifest), hashes)
    _compare_seals(evidence, seals)
    evidence.notes.append(_ONLY_LISTED)


def _say_twice(evidence: Evidence, names: list[str]) -> None:
    evidence.problems += [f"{name} is in the zip {count} times." for name, count in Counter(names).items() if count > 1]


def _taken(evidence: Evidence, member: Member, name: str, seals: dict[str, bytes]) -> str:
    """Take one file for what it is -> its SHA-256, or "" where it can't be read."""
    photo, limit = bags.PHOTO_NAME.fullmatch(name), bags.LIMIT_NAME.fullmatch(name)
    is_text = bags.ENTRY_NAME.fullmatch(name) or bags.SEAL_NAME.fullmatch(name)
    found = ""
    try:
        if is_text or name == bags.RECORD_NAME:
            held = member.content(ENTRY_LIMIT_BYTES if is_text else TEXT_LIMIT_BYTES)
            found = hashlib.sha256(held).hexdigest()
            _take_content(evidence, name, held, seals)
        else:
            found = member.sha256(PHOTO_LIMIT_BYTES if photo else TEXT_LIMIT_BYTES)
    except Torn as torn:
        evidence.problems.append(f"{name} {torn}.")
    if photo:
        evidence.add_photo(photo[1], found, name)
    elif limit and evidence.limits is not None:
        evidence.limits[limit[1]] = found
    evidence.problems += [f"{name} {fault}." for fault in member.faults]
    return found


def _take_content(evidence: Evidence, name: str, held: bytes, seals: dict[str, bytes]) -> None:
    entry = bags.ENTRY_NAME.fullmatch(name)
    if entry:
        if evidence.add_entry(held, name) not in (entry[1], None):
            evidence.problems.append(f"{name} does not hold the entry that it is named by.")
    elif bags.SEAL_NAME.fullmatch(name):
        seals[name] = held
    else:
        try:
            record_pdf.take(evidence, held, name)
        except NotReadable as fault:
            evidence.problems.append(str(fault))


def _hold_against(evidence: Evidence, manifest: str, member: Member | None, hashes: dict[str, str]) -> None:
    """Every file against a list of hashes, and for the payload the list against the files."""
    if member is None:
        evidence.problems.append(f"{manifest} is missing: the files of the package can't be held against it.")
        return
    try:
        listed, faults = bags.listed(member.content(TEXT_LIMIT_BYTES))
    except Torn:
        return  # said when it was read as a file
    evidence.problems += [f"In {manifest} {fault}." for fault in faults]
    for name, sha256 in listed.items():
        if name not in hashes:
            evidence.problems.append(f"{name} is listed in {manifest} and not here: SHA-256 listed {sha256}.")
        elif hashes[name] != sha256:
            here = f"here {hashes[name]}" if hashes[name] else "and it can't be read here"
            evidence.problems.append(f"{name} is not the file that {manifest} lists: SHA-256 listed {sha256}, {here}.")
    if manifest == bags.MANIFESTS[0]:
        more = sorted(name for name in hashes if name.startswith(bags.PAYLOAD) and name not in listed)
        evidence.problems += [f"{name} is here and not listed in {manifest}." for name in more]


def _compare_seals(evidence: Evidence, held: dict[str, bytes]) -> None:
    """The copies by which anyone checks with openssl have to be those of the seals among the entries."""
    expected: dict[str, set[bytes]] = {"json": set(), "sig": set(), "pem": set()}
    for seal in engine.call("seals", texts=[text for text, _ in evidence.texts]):
        expected["json"].add(seal["text"].encode())
        expected["sig"].add(signing.der(seal["signature"]))
        try:
            expected["pem"].add(signing.pem(seal["key"]))
        except signing.KeyRefused:  # said as a signature that does not fit
            continue
    for name, content in held.items():
        if content not in expected[name.rsplit(".", 1)[1]]:
            evidence.problems.append(f"{name} is not what a seal among the entries says.")
