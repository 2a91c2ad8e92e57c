"""A flipped bit in any entry, photo, signature, key, stroke, name or limit set is found and named, also where whoever did it made the container's
own checksums right again."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from app import engine, signing, verify
from app.verify.evidence import Evidence
from tests.verify.signed import (
    PICTURES,
    Files,
    SignedLink,
    book_files,
    flipped,
    listed_anew,
    pdf_with,
    phone_export,
    words,
    write_bag,
    write_zip,
)

pytestmark = pytest.mark.usefixtures("unrecorded")
WITHOUT_RECORD = "data/record.pdf"


def held(link: SignedLink, changed: dict[str, bytes]) -> Evidence:
    """What a reader gathers when some entries have other bytes."""
    evidence = Evidence("test")
    for text in link.texts:
        name = json.loads(text)["id"]
        evidence.add_entry(changed.get(name, text.encode()), f"entries/{name}.json")
    for sha256 in PICTURES:
        evidence.add_photo(sha256, sha256, f"photos/{sha256}.jpg")
    return evidence


def found(link: SignedLink, entry: str, data: bytes) -> dict[str, Any]:
    return verify.judged(held(link, {entry: data}))


def covered(link: SignedLink) -> list[str]:
    return [name for name, _ in link.signed(link.second)["entries"]]


def spread(size: int, count: int) -> Iterator[int]:
    """So many bits of so many bytes, in turn the lowest to the highest of a byte."""
    for number in range(count):
        yield (number * size // count) * 8 + number % 8


def test_in_every_entry_flipped_bits_are_found_and_the_entry_named(link: SignedLink) -> None:
    for entry in covered(link):
        data = link.text_of(entry).encode()
        for bit in spread(len(data), 8):
            report = found(link, entry, flipped(data, bit))
            assert not report["intact"], (entry, bit)
            assert entry in words(report), (entry, bit)


def test_every_byte_of_one_entry_is_covered(link: SignedLink) -> None:
    data = link.text_of(link.between).encode()
    for bit in spread(len(data), len(data)):
        assert not found(link, link.between, flipped(data, bit))["intact"], bit


def proves(data: bytes) -> bool:
    """Is it a well made seal with a good signature. What is not, `verify` counts as altered: shown by a test below."""
    try:
        seals = engine.call("seals", texts=[data.decode()])
    except UnicodeDecodeError:
        return False
    return "good" in signing.checked(seals).values()


def parts_of_seal(link: SignedLink) -> dict[str, tuple[int, int]]:
    """Where in the seal's entry what lies: {part: (first byte, byte after the last)}."""
    text = link.text_of(link.second)
    body = json.loads(text)["body"]
    inside = json.dumps(body["signed"], ensure_ascii=False)[1:-1]
    marks = {"signature": body["signature"], "x": body["key"]["x"], "y": body["key"]["y"]}
    for name in ("strokes", "name", "limits", "stops", "previous", "verdicts"):
        quoted = json.dumps(json.dumps({name: 0})[1:-3])[1:-1]
        start = inside.index(quoted)
        marks[name] = inside[start : start + 60]
    places = {name: len(text[: text.index(mark)].encode()) for name, mark in marks.items()}
    return {name: (start, start + len(marks[name].encode())) for name, start in places.items()}


@pytest.mark.parametrize("part", ["signature", "x", "y", "strokes", "name", "limits", "stops", "previous", "verdicts"])
def test_every_bit_of_each_part_of_a_seal_is_covered(link: SignedLink, part: str) -> None:
    data = link.text_of(link.second).encode()
    start, end = parts_of_seal(link)[part]
    assert proves(data)
    assert [bit for bit in range(start * 8, end * 8) if proves(flipped(data, bit))] == []


def test_every_byte_of_a_seal_is_covered(link: SignedLink) -> None:
    data = link.text_of(link.second).encode()
    assert [bit for bit in spread(len(data), len(data) // 8) if proves(flipped(data, bit))] == []


def test_a_seal_that_proves_nothing_any_more_is_told_as_altered(link: SignedLink) -> None:
    data = link.text_of(link.second).encode()
    places = [start + number for start, end in parts_of_seal(link).values() for number in (1, (end - start) // 2)]
    for number, place in enumerate(places):
        report = found(link, link.second, flipped(data, place * 8 + number % 7))
        assert not report["intact"], place
        assert "altered" in report["headline"].lower() or "damaged" in report["headline"].lower()
        assert link.second in words(report) or "signature does not fit" in words(report), place


def test_a_changed_older_seal_breaks_the_chain_of_the_newest(link: SignedLink) -> None:
    data = link.text_of(link.first).encode()
    for bit in spread(len(data), 32):
        report = found(link, link.first, flipped(data, bit))
        assert not report["intact"], bit


@pytest.mark.parametrize("place", [0, 3, 40, 100, -1])
@pytest.mark.parametrize("number", range(len(PICTURES)))
def test_in_every_photo_a_flipped_bit_is_found_and_the_photo_named(
    link: SignedLink, package: Files, tmp_path: Path, number: int, place: int
) -> None:
    name = sorted(PICTURES)[number]
    data = PICTURES[name]
    other = {**PICTURES, name: flipped(data, (place % len(data)) * 8 + number)}
    paths = [write_zip(tmp_path / "book.zip", book_files(link.book, link.texts, other)), tmp_path / "phone.json"]
    paths[1].write_bytes(phone_export(link.texts, other))
    inside = next(inner for inner in package if name in inner)
    paths.append(write_bag(tmp_path / "package.zip", listed_anew({**without(package), inside: other[name]})))
    for path in paths:
        report = verify.report(path)
        assert not report["intact"]
        assert report["headline"].startswith("Altered")
        assert name in words(report)


def without(package: Files) -> Files:
    return {name: data for name, data in package.items() if name != WITHOUT_RECORD}


def test_in_a_package_each_file_is_held_against_its_list_of_hashes(link: SignedLink, package: Files, tmp_path: Path) -> None:
    for number, name in enumerate(without(package)):
        data = package[name]
        changed = {**without(package), name: flipped(data, number * 37 % (len(data) * 8))}
        report = verify.report(write_bag(tmp_path / f"{number}.zip", changed))
        assert not report["intact"], name
        named = name if "manifest" not in name else name.split("-")[0]
        assert named in "\n".join(report["problems"]), name


def test_in_a_package_whose_lists_were_made_anew_the_seal_itself_finds_every_entry_and_limit_set(
    link: SignedLink, package: Files, tmp_path: Path
) -> None:
    signed = link.signed(link.second)
    names = {f"data/entries/{name}.json": name for name, _ in signed["entries"]}
    names |= {f"data/limits/{name}.json": name for name, _ in signed["limits"]}
    assert set(names) <= set(package)
    for number, name in enumerate(names):
        data = package[name]
        changed = listed_anew({**without(package), name: flipped(data, number * 53 % (len(data) * 8))})
        report = verify.report(write_bag(tmp_path / f"{number}.zip", changed))
        assert not report["intact"], name
        assert names[name] in words(report), name


@pytest.mark.parametrize("ending", ["json", "sig", "pem"])
def test_in_a_package_whose_lists_were_made_anew_other_copies_of_a_seal_are_found(
    package: Files, tmp_path: Path, ending: str
) -> None:
    name = f"data/seals/revision-2.{ending}"
    changed = listed_anew({**without(package), name: flipped(package[name], 300)})
    report = verify.report(write_bag(tmp_path / "package.zip", changed))
    assert not report["intact"]
    assert any(name in problem for problem in report["problems"])


def test_in_a_record_each_altered_entry_is_found(link: SignedLink, package: Files, tmp_path: Path) -> None:
    for number, entry in enumerate(covered(link)[:6]):
        text = link.text_of(entry)
        other = [text.replace('"by":"A. Installer"', '"by":"B. Installer"') if one == text else one for one in link.texts]
        path = tmp_path / f"{number}.pdf"
        path.write_bytes(pdf_with(book_files(link.book, other, {})["book.json"], package["data/record.pdf"]))
        report = verify.report(path)
        assert report["headline"].startswith("Altered")
        assert entry in words(report)


def test_the_record_in_a_package_has_to_hold_the_same_entries(link: SignedLink, package: Files, tmp_path: Path) -> None:
    text = link.text_of(link.between)
    other = [text.replace("replaced", "removed") if one == text else one for one in link.texts]
    record = pdf_with(book_files(link.book, other, {})["book.json"], package["data/record.pdf"])
    report = verify.report(write_bag(tmp_path / "package.zip", listed_anew({**package, "data/record.pdf": record})))
    assert not report["intact"]
    assert any(link.between in problem and "record.pdf" in problem for problem in report["problems"])
