"""`spanbook verify` as a person runs it, and the same proof by hand with the two commands of the README."""

from __future__ import annotations

import json
import re
import shlex
import shutil
import subprocess
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from app.cli import main
from tests.verify.signed import PICTURES, Files, SignedLink, book_files, book_json, flipped, write_bag, write_files, write_zip

README = Path(__file__).parents[2] / "README.md"


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, ["verify", *(str(argument) for argument in arguments)], catch_exceptions=False)


def test_what_is_intact_ends_with_0_and_says_who_signed_with_which_key(link: SignedLink, package: Files, tmp_path: Path) -> None:
    result = run(write_bag(tmp_path / "package.zip", package))
    assert (result.exit_code, result.stderr) == (0, "")
    lines = result.stdout.splitlines()
    assert lines[0].startswith("Intact")
    assert lines[1] == "package.zip (handover package)"
    flat = " ".join(result.stdout.split())
    for words in (
        "Office to slip shed",
        "A. Installer (installer)",
        "C. Client (client)",
        "Device key:",
        "What no seal covers",
        "Grass is back",
    ):
        assert words in flat
    assert flat.index("Revision 2:") < flat.index("Revision 1:")


def test_what_is_altered_ends_with_1_and_names_it(link: SignedLink, tmp_path: Path) -> None:
    name = next(iter(PICTURES))
    files = book_files(link.book, link.texts, {**PICTURES, name: flipped(PICTURES[name], 99)})
    result = run(write_zip(tmp_path / "book.zip", files))
    assert result.exit_code == 1
    assert result.stdout.startswith("Altered")
    assert name in result.stdout and "Differs" in result.stdout


def test_what_nobody_signed_ends_with_1_and_says_so(link: SignedLink, tmp_path: Path) -> None:
    (tmp_path / "book.json").write_bytes(book_json(link.book, link.texts[:5]))
    result = run(tmp_path / "book.json")
    assert result.exit_code == 1
    assert result.stdout.startswith("No seal is in it: nobody has signed anything here.")


@pytest.mark.parametrize("held", [None, b"no book", b"%PDF-1.7", b"PK\x03\x04"])
def test_what_can_not_be_read_ends_with_2_and_one_line(tmp_path: Path, held: bytes | None) -> None:
    if held is not None:
        (tmp_path / "given").write_bytes(held)
    result = run(tmp_path / "given")
    assert (result.exit_code, result.stdout) == (2, "")
    assert len(result.stderr.splitlines()) == 1 and result.stderr.startswith("spanbook: ")
    assert result.stderr.count("given") == 1


def test_as_json_it_is_the_report_with_the_file_s_name(link: SignedLink, tmp_path: Path) -> None:
    result = run("--json", write_zip(tmp_path / "book.zip", book_files(link.book, link.texts, PICTURES)))
    assert result.exit_code == 0
    report = json.loads(result.stdout)
    assert (report["file"], report["what"], report["intact"]) == ("book.zip", "exported book", True)
    assert report["links"][0]["seals"][1]["id"] == link.second


@pytest.mark.usefixtures("unrecorded")  # half a character: the interpreters write it in different ways
def test_words_of_a_file_do_nothing_to_a_terminal(link: SignedLink, tmp_path: Path) -> None:
    entry = json.loads(link.text_of(link.after))
    entry["body"]["text"] = "\x1b[2J\x1b]0;title\x07 \u202egnp half \ud800"
    texts = [*link.texts[:-1], json.dumps(entry)]
    (tmp_path / "book.json").write_bytes(json.dumps({"spanbook": 1, "book": link.book, "entries": texts}).encode())
    shown = run(tmp_path / "book.json").stdout
    assert not [character for character in shown if character != "\n" and not character.isprintable()]


def test_the_readme_s_commands_prove_an_unpacked_package_by_hand(package: Files, tmp_path: Path) -> None:
    section = README.read_text(encoding="utf-8").split("## Prove it years later", 1)[1].split("\n## ", 1)[0]
    commands = re.findall(r"^(sha256sum .+|openssl .+)$", section, re.MULTILINE)
    assert [command.split()[0] for command in commands] == ["sha256sum", "openssl"]
    folder = write_files(tmp_path / "package", package)
    if not all(shutil.which(command.split()[0]) for command in commands):
        pytest.skip("sha256sum or openssl is not on this machine")

    def proven() -> bool:
        done = [subprocess.run(shlex.split(command), cwd=folder, capture_output=True, check=False) for command in commands]
        return all(one.returncode == 0 for one in done)

    assert proven()
    seal = folder / "data/seals/revision-1.json"
    seal.write_bytes(flipped(seal.read_bytes(), 4000))
    assert not proven()
