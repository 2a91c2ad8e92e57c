"""What the phone's page for verifying takes from a file, held against what the command takes from the same file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from app import engine, signing
from app.verify import reading
from tests.phone.test_modules import run
from tests.verify.signed import PICTURES, SignedLink, book_files, flipped, phone_export, write_zip


def gathered(path: Path) -> dict[str, Any]:
    held = f"(await import('node:fs')).readFileSync({json.dumps(str(path))})"
    found: dict[str, Any] = run("verify/evidence.js", f"await m.gather(new File([{held}], {json.dumps(path.name)}))")
    return found


@pytest.fixture(scope="module")
def link() -> SignedLink:
    return SignedLink()


@pytest.mark.parametrize("first", [True, False])
def test_a_good_copy_of_a_photo_hides_no_altered_one_of_the_same_name(link: SignedLink, tmp_path: Path, first: bool) -> None:
    name, whole = next(iter(PICTURES.items()))
    copies = [(f"photos/{name}.jpg", flipped(whole, 99)), (f"photos/{name}.png", whole)]
    files = book_files(link.book, link.texts, {}) | dict(copies if first else copies[::-1])
    path = write_zip(tmp_path / "book.zip", files)
    assert gathered(path)["photos"] == reading.gathered(path).photos
    assert gathered(path)["photos"][name]["sha256"] != name


def test_in_a_phone_s_export_too(link: SignedLink, tmp_path: Path) -> None:
    name, whole = next(iter(PICTURES.items()))
    held = json.loads(phone_export(link.texts, {name: whole}))
    [good], [bad] = held["photos"], json.loads(phone_export([], {name: flipped(whole, 99)}))["photos"]
    path = tmp_path / "phone.json"
    for photos in ([good, bad], [bad, good]):
        path.write_text(json.dumps(held | {"photos": photos}))
        assert gathered(path)["photos"][name]["sha256"] != name
        assert gathered(path)["photos"] == reading.gathered(path).photos


def test_a_whole_book_is_taken_as_the_command_takes_it(link: SignedLink, tmp_path: Path) -> None:
    path = write_zip(tmp_path / "book.zip", book_files(link.book, link.texts, PICTURES))
    found, expected = gathered(path), reading.gathered(path)
    assert found["photos"] == expected.photos
    assert [text for text, _ in found["texts"]] == [text for text, _ in expected.texts]
    assert (found["limits"], found["problems"], found["photos_expected"]) == (None, [], True)


@pytest.mark.parametrize("first", [True, False])
def test_two_seals_of_one_id_are_good_only_when_both_are(link: SignedLink, first: bool) -> None:
    [good] = engine.call("seals", texts=[link.text_of(link.first)])
    bad = good | {"text": good["text"].replace("C. Client", "D. Client")}
    assert bad != good
    seals = [bad, good] if first else [good, bad]
    assert run("key.js", f"await m.checked({json.dumps(seals)})") == signing.checked(seals) == {link.first: "bad"}
    assert run("key.js", f"await m.checked({json.dumps([good])})") == {link.first: "good"}
