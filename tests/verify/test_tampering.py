"""Taking away, adding, exchanging and re-using what was signed, by somebody who makes every checksum right again but has not the key."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app import engine, signing, verify
from tests.handover.sealed import raw_signature
from tests.sealing import Device
from tests.verify.signed import (
    PICTURES,
    Files,
    SignedLink,
    book_files,
    listed_anew,
    pdf_with,
    words,
    write_bag,
    write_zip,
)

Asked = Callable[..., dict[str, Any]]


@pytest.fixture
def of_book(link: SignedLink, tmp_path: Path) -> Asked:
    """The report on a book's zip with other texts or photos."""

    def asked(texts: list[str] | None = None, photos: Files | None = None) -> dict[str, Any]:
        files = book_files(link.book, link.texts if texts is None else texts, PICTURES if photos is None else photos)
        return verify.report(write_zip(tmp_path / "book.zip", files))

    return asked


def seals(report: dict[str, Any]) -> list[dict[str, Any]]:
    return [seal for link in report["links"] for seal in link["seals"]]


def rewritten(text: str, change: Callable[[dict[str, Any]], None], resign: Device | None = None) -> str:
    """A seal's entry with its signed text changed and written as core writes it; signed anew by another key when there is one."""
    entry = json.loads(text)
    signed = json.loads(entry["body"]["signed"])
    change(signed)
    rows = [f"{one} {other}\n" for one, other in signed["entries"]] + [f"photo {photo}\n" for photo in signed["photos"]]
    rows += [f"limits {one} {other}\n" for one, other in signed["limits"]]
    signed["digest"] = hashlib.sha256("".join(rows).encode()).hexdigest()
    if resign:
        entry["body"]["key"] = resign.jwk
        signed["key"] = signing.thumbprint(resign.jwk)
    was = json.loads(text)["body"]["signed"]
    signed_text = json.dumps(signed, ensure_ascii=False, separators=(",", ":"), sort_keys=was.startswith('{"at"'))
    entry["body"]["signed"] = signed_text
    if resign:
        entry["body"]["signature"] = resign.sign(signed_text)
    return json.dumps(entry, ensure_ascii=False, separators=(",", ":"))


def put(texts: list[str], old: str, new: str) -> list[str]:
    assert old in texts and old != new
    return [new if text == old else text for text in texts]


def test_an_entry_taken_away_is_missing_by_name(link: SignedLink, of_book: Asked) -> None:
    for entry, _ in link.signed(link.second)["entries"]:
        report = of_book([text for text in link.texts if text != link.text_of(entry)])
        assert (report["intact"], seals(report)[-1]["state"]) == (False, "incomplete")
        assert any(entry in line for line in seals(report)[-1]["missing"])


def test_a_photo_taken_away_is_missing_by_name(link: SignedLink, of_book: Asked) -> None:
    for name in PICTURES:
        report = of_book(photos={other: held for other, held in PICTURES.items() if other != name})
        assert (report["intact"], seals(report)[-1]["state"]) == (False, "incomplete")
        assert any(name in line for line in seals(report)[-1]["missing"])


def test_two_photos_exchanged_are_both_named(of_book: Asked) -> None:
    one, other, *_ = PICTURES
    report = of_book(photos={**PICTURES, one: PICTURES[other], other: PICTURES[one]})
    assert not report["intact"]
    assert one in words(report) and other in words(report)


def test_an_entry_added_is_said_to_be_covered_by_no_seal(link: SignedLink, of_book: Asked) -> None:
    entry = json.loads(link.text_of(link.between)) | {"id": "01990000-0000-7000-8000-00000000ffff"}
    entry["body"] = {"link": link.link, "text": "Slipped in"}
    report = of_book([*link.texts, json.dumps(entry)])
    assert report["intact"]
    assert any("Slipped in" in line for line in report["uncovered"])


def test_a_second_text_with_the_id_of_a_signed_entry_is_found(link: SignedLink, of_book: Asked) -> None:
    text = link.text_of(link.between)
    for texts in ([*link.texts, text.replace("replaced", "removed")], [text.replace("replaced", "removed"), *link.texts]):
        report = of_book(texts)
        assert not report["intact"]
        assert link.between in words(report)


def test_two_entries_that_exchanged_their_ids_are_both_named(link: SignedLink, of_book: Asked) -> None:
    one, other = (entry for entry, _ in link.signed(link.second)["entries"][-2:])
    first, second = link.text_of(one), link.text_of(other)
    texts = put(put(link.texts, first, first.replace(one, other)), second, second.replace(other, one))
    report = of_book(texts)
    assert not report["intact"]
    assert one in words(report) and other in words(report)


def test_the_order_of_entries_is_nothing_that_was_signed(link: SignedLink, of_book: Asked) -> None:
    assert of_book(link.texts[::-1])["intact"]


def test_in_a_package_two_entries_that_exchanged_their_files_are_found(link: SignedLink, package: Files, tmp_path: Path) -> None:
    one, other = (f"data/entries/{entry}.json" for entry, _ in link.signed(link.second)["entries"][:2])
    changed = listed_anew({**package, one: package[other], other: package[one]})
    report = verify.report(write_bag(tmp_path / "package.zip", changed))
    assert not report["intact"]
    assert one in words(report) and other in words(report)


def _other_link(signed: dict[str, Any]) -> None:
    signed["link"] = "01990000-0000-7000-8000-00000000eeee"


def test_a_seal_moved_to_another_link_is_altered(link: SignedLink, of_book: Asked) -> None:
    text = link.text_of(link.second)
    for moved in (
        text.replace(f'"body":{{"link":"{link.link}"', '"body":{"link":"01990000-0000-7000-8000-00000000eeee"'),
        rewritten(text, _other_link),
        rewritten(text, _other_link).replace(
            f'"body":{{"link":"{link.link}"', '"body":{"link":"01990000-0000-7000-8000-00000000eeee"'
        ),
    ):
        report = of_book(put(link.texts, text, moved))
        assert not report["intact"]
        assert report["headline"].startswith("Altered")


CHANGES: dict[str, Callable[[dict[str, Any]], Any]] = {
    "a name": lambda signed: signed["signatures"][1].update(name="Somebody Else"),
    "a role": lambda signed: signed["signatures"][1].update(role="witness"),
    "a stroke": lambda signed: signed["signatures"][0]["strokes"][0][0].__setitem__(0, 999),
    "a signer taken away": lambda signed: signed["signatures"].pop(),
    "a verdict": lambda signed: signed["verdicts"][0].__setitem__(2, "fail"),
    "the summary": lambda signed: signed["summary"].update(words="Fails"),
    "an entry taken off the list": lambda signed: signed["entries"].pop(),
    "a photo taken off the list": lambda signed: signed["photos"].pop(),
    "a limit set taken off the list": lambda signed: signed["limits"].pop(),
    "a caution": lambda signed: signed["stops"].clear(),
    "what changed": lambda signed: signed["changes"].append("Nothing at all"),
    "the sign-off list": lambda signed: signed["list"].pop(),
    "the revision": lambda signed: signed.update(revision=7),
    "the chain": lambda signed: signed["previous"].__setitem__(1, "0" * 64),
    "the name of the link": lambda signed: signed.update(name="Another link"),
}


@pytest.mark.parametrize("what", CHANGES)
def test_a_signed_text_written_anew_with_a_right_digest_is_altered(link: SignedLink, of_book: Asked, what: str) -> None:
    text = link.text_of(link.second)
    changed = rewritten(text, CHANGES[what])
    assert engine.call("check_entry", text=changed)["kind"] == "seal"
    report = of_book(put(link.texts, text, changed))
    assert not report["intact"]
    assert report["headline"].startswith("Altered")
    assert "signature does not fit" in words(report)


def test_a_seal_signed_anew_by_another_key_shows_that_key_and_no_known_name(link: SignedLink, of_book: Asked) -> None:
    text, stranger = link.text_of(link.second), Device(99)
    report = of_book(put(link.texts, text, rewritten(text, CHANGES["a name"], stranger)))
    newest = seals(report)[-1]
    assert newest["key"] == signing.thumbprint(stranger.jwk)
    assert newest["key"] != seals(of_book())[-1]["key"]
    assert "Not known here" in dict(newest["lines"])["Whose key"]


def test_another_text_s_signature_by_the_same_key_does_not_fit(link: SignedLink, of_book: Asked) -> None:
    text, other = link.text_of(link.second), raw_signature("another text")
    changed = text.replace(json.loads(text)["body"]["signature"], other)
    report = of_book(put(link.texts, text, changed))
    assert report["headline"].startswith("Altered")


def test_an_older_seal_can_not_pass_for_the_newest(link: SignedLink, of_book: Asked) -> None:
    text = link.text_of(link.first)
    for changed in (
        rewritten(text, lambda signed: signed.update(revision=3, previous=[link.second, "0" * 64])),
        text.replace('"at":"2026-03-14T16:03', '"at":"2026-03-15T16:03'),
        text.replace(link.first, "01990000-0000-7000-8000-00000000dddd"),
    ):
        report = of_book(put(link.texts, text, changed))
        assert not report["intact"]
        assert report["headline"].startswith("Altered")


def test_where_the_newest_seal_was_taken_away_the_older_says_what_came_after_it(
    link: SignedLink, of_book: Asked, package: Files, tmp_path: Path
) -> None:
    report = of_book([text for text in link.texts if text != link.text_of(link.second)])
    assert [seal["revision"] for seal in seals(report)] == [1]
    assert any("came after signing" in line and "Lid of H1 replaced" in line for line in report["uncovered"])
    kept = listed_anew({name: held for name, held in package.items() if link.second not in name and name != "data/record.pdf"})
    report = verify.report(write_bag(tmp_path / "package.zip", kept))
    assert not report["intact"]
    assert any("data/seals/revision-2.json" in problem for problem in report["problems"])


def test_where_the_older_seal_was_taken_away_the_newest_misses_it(link: SignedLink, of_book: Asked) -> None:
    report = of_book([text for text in link.texts if text != link.text_of(link.first)])
    assert (report["intact"], seals(report)[-1]["state"]) == (False, "incomplete")
    assert link.first in words(report)


def test_a_limit_set_taken_out_of_a_package_is_missing_by_name(link: SignedLink, package: Files, tmp_path: Path) -> None:
    for name, _ in link.signed(link.second)["limits"]:
        kept = listed_anew({inner: held for inner, held in package.items() if name not in inner})
        report = verify.report(write_bag(tmp_path / "package.zip", kept))
        assert not report["intact"]
        assert name in words(report)
    kept = listed_anew({inner: held for inner, held in package.items() if "/limits/" not in inner})
    assert not verify.report(write_bag(tmp_path / "package.zip", kept))["intact"]


@pytest.mark.parametrize("lost", ["bagit.txt", "manifest-sha256.txt", "tagmanifest-sha256.txt", "data/VERIFY.txt"])
def test_a_file_of_a_package_that_is_gone_is_named(package: Files, tmp_path: Path, lost: str) -> None:
    kept = {name: held for name, held in package.items() if name != lost}
    report = verify.report(write_bag(tmp_path / "package.zip", kept))
    assert not report["intact"]
    assert any(lost in problem for problem in report["problems"])


def test_a_file_put_into_a_package_is_named(package: Files, tmp_path: Path) -> None:
    report = verify.report(write_bag(tmp_path / "package.zip", {**package, "data/more.txt": b"x"}))
    assert not report["intact"]
    assert any("data/more.txt" in problem for problem in report["problems"])


def test_a_record_with_no_entries_in_it_can_not_be_read_and_says_what_to_do(tmp_path: Path) -> None:
    (tmp_path / "record.pdf").write_bytes(pdf_with(None))
    with pytest.raises(verify.NotReadable, match=r"no book\.json attached.*ask for the handover package"):
        verify.report(tmp_path / "record.pdf")


def test_an_export_that_names_another_book_or_form_is_told(link: SignedLink, tmp_path: Path) -> None:
    files = book_files("01990000-0000-7000-8000-00000000cccc", link.texts, PICTURES)
    assert any("does not name the book" in line for line in verify.report(write_zip(tmp_path / "a.zip", files))["problems"])
    files = {**book_files(link.book, link.texts, PICTURES)}
    files["book.json"] = files["book.json"].replace(b'"spanbook": 1', b'"spanbook": 2')
    assert any("form 1" in line for line in verify.report(write_zip(tmp_path / "b.zip", files))["problems"])
