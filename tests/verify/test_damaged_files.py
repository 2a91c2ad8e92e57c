"""Torn, truncated, huge, hostile and senseless files: what is left is judged, the rest is said, and nothing of it is ever written."""

from __future__ import annotations

import json
import os
import zipfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app import verify
from app.verify import containers, reading
from app.verify.evidence import Evidence
from tests.verify.signed import (
    PICTURES,
    Files,
    SignedLink,
    book_files,
    book_json,
    flipped,
    pdf_with,
    phone_export,
    write_bag,
    write_files,
    write_zip,
)

pytestmark = pytest.mark.usefixtures("unrecorded")
QUICK = settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])


def outcome(path: Path) -> dict[str, Any] | str:
    """The report, or the words of a file that can't be read; any other error is a fault of ours."""
    try:
        return verify.report(path)
    except verify.NotReadable as error:
        return str(error)


def is_found(found: dict[str, Any] | str) -> bool:
    return isinstance(found, str) or not found["intact"]


def same(found: Evidence, untouched: Evidence, link: SignedLink) -> bool:
    """Is everything that was signed still there; the note that came after signing may be another."""
    signed = {text for text, _ in untouched.texts} - {link.text_of(link.after)}
    hashes = [{name: photo["sha256"] for name, photo in evidence.photos.items()} for evidence in (found, untouched)]
    return signed <= {text for text, _ in found.texts} and hashes[0] == hashes[1] and found.limits == untouched.limits


@pytest.fixture(scope="module")
def whole(link: SignedLink, package: Files, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("whole")
    (folder / "phone.json").write_bytes(phone_export(link.texts, PICTURES))
    (folder / "record.pdf").write_bytes(package["data/record.pdf"])
    kept = {name: held for name, held in package.items() if name != "data/record.pdf"}
    return {
        "book": write_zip(folder / "book.zip", book_files(link.book, link.texts, PICTURES)),
        "package": write_bag(folder / "package.zip", kept),
        "phone": folder / "phone.json",
        "record": folder / "record.pdf",
    }


@pytest.mark.parametrize("kind", ["book", "package", "phone", "record"])
@given(share=st.floats(0, 1, exclude_max=True), bit=st.integers(0, 7))
@QUICK
def test_a_bit_flipped_anywhere_in_a_file_is_found_or_changes_nothing_that_was_signed(
    link: SignedLink, whole: dict[str, Path], tmp_path: Path, kind: str, share: float, bit: int
) -> None:
    held = whole[kind].read_bytes()
    path = tmp_path / whole[kind].name
    path.write_bytes(flipped(held, int(share * len(held)) * 8 + bit))
    found = outcome(path)
    assert is_found(found) or same(reading.gathered(path), reading.gathered(whole[kind]), link)


@pytest.mark.parametrize("kind", ["book", "package", "phone", "record"])
@given(share=st.floats(0, 1, exclude_max=True))
@QUICK
def test_a_file_cut_anywhere_is_never_intact(whole: dict[str, Path], tmp_path: Path, kind: str, share: float) -> None:
    held = whole[kind].read_bytes()
    path = tmp_path / whole[kind].name
    # A PDF's last line end may go; what stands before it may not.
    path.write_bytes(held[: int(share * (len(held) - 8))])
    assert is_found(outcome(path))


def test_a_damaged_photo_in_a_zip_is_named_though_its_checksum_differs(whole: dict[str, Path], tmp_path: Path) -> None:
    name, picture = next(iter(PICTURES.items()))
    with zipfile.ZipFile(tmp_path / "book.zip", "w") as archive:
        for inner, held in zip_files(whole["book"]).items():
            archive.writestr(inner, held)
    held = (tmp_path / "book.zip").read_bytes()
    (tmp_path / "book.zip").write_bytes(held.replace(picture, flipped(picture, 240), 1))
    report = verify.report(tmp_path / "book.zip")
    assert any(name in problem and "checksum" in problem for problem in report["problems"])
    assert any(name in line and "here" in line for line in report["links"][0]["seals"][-1]["differs"])


def zip_files(path: Path) -> Files:
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_a_file_that_is_in_a_zip_twice_is_told(link: SignedLink, package: Files, tmp_path: Path) -> None:
    entry = f"data/entries/{link.between}.json"
    with (
        pytest.warns(UserWarning, match="Duplicate name"),
        zipfile.ZipFile(write_bag(tmp_path / "p.zip", package), "a") as archive,
    ):
        archive.writestr(f"package/{entry}", package[entry].replace(b"replaced", b"removed"))
    report = verify.report(tmp_path / "p.zip")
    assert not report["intact"]
    assert any("2 times" in problem for problem in report["problems"])
    assert any(link.between in line for line in report["problems"])


def test_a_locked_zip_is_told(whole: dict[str, Path], tmp_path: Path) -> None:
    held = bytearray(whole["book"].read_bytes())
    for mark, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        place = held.find(mark)
        while place >= 0:
            held[place + offset] |= 1
            place = held.find(mark, place + 4)
    (tmp_path / "book.zip").write_bytes(held)
    report = verify.report(tmp_path / "book.zip")
    assert "book.json is torn or locked." in report["problems"]
    assert "no seal" in report["headline"]


GARBAGE = [
    b"",
    b"  \n",
    b"\x00" * 4096,
    b"PK\x03\x04 and no more",
    b"PK\x05\x06" + b"\x00" * 18,
    b"%PDF-1.7\n",
    b"%PDF-",
    b"[" * 100_000,
]
GARBAGE += [b"null", b"[]", b"{}", b'{"entries": 5}', b'{"entries": {"a": 1}}', b"9" * 5000, b"\xff\xfe{\x00}\x00", b'"\\ud800"']


@pytest.mark.parametrize("held", GARBAGE, ids=range(len(GARBAGE)))
def test_what_is_no_file_of_ours_is_refused_in_a_sentence(tmp_path: Path, held: bytes) -> None:
    (tmp_path / "given").write_bytes(held)
    found = outcome(tmp_path / "given")
    assert isinstance(found, str) and found.endswith(".") and len(found) < 400


def test_a_file_or_a_book_that_is_not_there_is_said(tmp_path: Path) -> None:
    assert "There is no such file" in str(outcome(tmp_path / "nothing"))
    assert "no book.json" in str(outcome(tmp_path))
    assert "no book.json" in str(outcome(write_zip(tmp_path / "other.zip", {"a.txt": b"x"})))


@given(st.binary(max_size=400))
@QUICK
def test_any_bytes_are_refused_or_reported(tmp_path: Path, held: bytes) -> None:
    for name, data in (("any", held), ("any.pdf", b"%PDF-1.7\n" + held), ("any.zip", b"PK\x03\x04" + held)):
        (tmp_path / name).write_bytes(data)
        assert is_found(outcome(tmp_path / name))


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=8), lambda inner: st.lists(inner, max_size=3), max_leaves=6
)


@given(entries=st.lists(VALUES, max_size=5), photos=VALUES, form=st.sampled_from(["spanbook-phone-export", "x"]))
@QUICK
def test_any_list_of_entries_is_reported(tmp_path: Path, entries: list[Any], photos: Any, form: str) -> None:
    held = json.dumps({"format": form, "entries": entries, "photos": photos})
    (tmp_path / "any.json").write_text(held, encoding="utf-8")
    assert is_found(outcome(tmp_path / "any.json"))
    (tmp_path / "any.pdf").write_bytes(pdf_with(held.encode()))
    assert is_found(outcome(tmp_path / "any.pdf"))


BODIES = st.dictionaries(
    st.sampled_from(["link", "signed", "key", "signature", "covers", "signatures", "sha256", "subject"]), VALUES, max_size=8
)


@given(kind=st.sampled_from(["seal", "photo", "note", "link", "?"]), version=VALUES, body=BODIES)
@QUICK
def test_any_entry_beside_signed_ones_is_reported(link: SignedLink, kind: str, version: Any, body: dict[str, Any]) -> None:
    entry = json.loads(link.text_of(link.after)) | {
        "id": "01990000-0000-7000-8000-00000000bbbb",
        "kind": kind,
        "v": version,
        "body": body,
    }
    evidence = Evidence("test", texts=[[text, "here"] for text in [*link.texts, json.dumps(entry)]])
    for name in PICTURES:
        evidence.add_photo(name, name, "here")
    report = verify.judged(evidence)
    assert [seal["state"] for found in report["links"] for seal in found["seals"] if seal["id"] == link.second] == ["intact"]


@given(
    names=st.lists(
        st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), min_size=1, max_size=20), max_size=5
    ),
    held=st.binary(max_size=60),
)
@QUICK
def test_a_zip_with_any_names_is_refused_or_reported_and_nothing_is_written(
    tmp_path: Path, names: list[str], held: bytes
) -> None:
    files = dict.fromkeys(["data/entries/x.json", "book.json", *names], held)
    inner = tmp_path / "in"
    inner.mkdir(exist_ok=True)
    assert is_found(outcome(write_zip(inner / "any.zip", files)))
    assert [path.name for path in tmp_path.rglob("*")] == ["in", "any.zip"]


def bomb(path: Path, name: str, size: int) -> Path:
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as archive, archive.open(name, "w") as file:
        for _ in range(size // 1_000_000):
            file.write(bytes(1_000_000))
    return path


def test_a_photo_or_an_entry_that_unpacks_to_more_than_one_can_have_is_not_read_on(
    whole: dict[str, Path], tmp_path: Path
) -> None:
    name = "0" * 64
    path = tmp_path / "book.zip"
    path.write_bytes(whole["book"].read_bytes())
    report = verify.report(bomb(path, f"photos/{name}.jpg", 41_000_000))
    assert any("larger than 40 MB" in problem for problem in report["problems"])
    path = tmp_path / "package.zip"
    path.write_bytes(whole["package"].read_bytes())
    report = verify.report(bomb(path, "package/data/entries/big.json", 9_000_000))
    assert any("larger than 8 MB" in problem for problem in report["problems"])


def test_what_unpacks_to_more_than_any_book_has_is_refused(
    whole: dict[str, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(containers.Budget.__init__, "__defaults__", (20_000,))
    assert "unpacks to more" in str(outcome(whole["package"]))
    monkeypatch.setattr(containers, "_MOST_FILES", 3)
    assert "more than 3 files" in str(outcome(whole["package"]))
    assert "more than 3 files" in str(outcome(write_files(tmp_path / "many", zip_files(whole["package"]))))


def test_a_json_larger_than_any_book_is_refused(link: SignedLink, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "TEXT_LIMIT_BYTES", 1_000_000)
    (tmp_path / "book.json").write_bytes(book_json(link.book, [*link.texts, " " * 1_000_000]))
    assert "larger than 1 MB" in str(outcome(tmp_path / "book.json"))


@pytest.mark.skipif(os.name == "nt", reason="making a link asks for rights there")
def test_a_link_that_leads_out_of_a_folder_is_not_followed(link: SignedLink, tmp_path: Path) -> None:
    folder = write_files(tmp_path / "book", book_files(link.book, link.texts, {}))
    (tmp_path / "elsewhere").mkdir()
    for inner, held in book_files(link.book, link.texts, PICTURES).items():
        if inner != "book.json":
            target = tmp_path / "elsewhere" / Path(inner).name
            target.write_bytes(held)
            (folder / "photos").mkdir(exist_ok=True)
            (folder / inner).symlink_to(target)
    os.mkfifo(folder / "pipe")
    report = verify.report(folder)
    assert len(report["links"][0]["seals"][-1]["missing"]) == len(PICTURES)
