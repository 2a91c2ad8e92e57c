"""The command line: what a person types and what comes back."""

from __future__ import annotations

import hashlib
import json
import os
import re
import socket
import ssl
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from app import engine, paths, serving, signing
from app.cli import main
from app.store import database, keys
from seed_data import make
from seed_data.signing import demo_key
from tests.conftest import PASSWORD, picture
from tests.made_links import FibreLink
from tests.making import BOOK, Story, entry


def run(*arguments: str | Path, **more: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments], catch_exceptions=False, **more)  # type: ignore[arg-type]


@pytest.fixture
def book_file(tmp_path: Path) -> Path:
    path = tmp_path / "BOOK.json"
    held = {"spanbook": 1, "book": BOOK, "entries": FibreLink(photos=0).story.texts}
    path.write_text(json.dumps(held), encoding="utf-8")
    return path


def test_every_command_has_a_line_of_help() -> None:
    shown = run("--help").output
    for name in ("serve", "demo", "user", "calc", "evaluate", "export", "import", "check-db"):
        assert re.search(rf"^  {name} +\S", shown, re.MULTILINE)
        assert run(name, "--help").exit_code == 0


def test_serve_help_tells_how_a_phone_reaches_it() -> None:
    shown = run("serve", "--help").output
    assert "--certificate" in shown and "--behind-proxy" in shown and "https" in shown


def test_evaluate_prints_core_s_own_checks(book_file: Path) -> None:
    printed = json.loads(run("evaluate", book_file).output)
    assert printed["book"] == BOOK
    with engine.opened(BOOK, json.loads(book_file.read_text())["entries"]) as core:
        for link in printed["links"]:
            judged = core("checks", link=link["link"])
            assert (link["checks"], link["summary"]) == (judged["checks"], judged["summary"])
    assert [link["name"] for link in printed["links"]] == ["Office to slip shed"]


@pytest.mark.parametrize(
    ("held", "says"), [(b"{", "isn't whole JSON"), (b"[]", "no exported book"), (b"PK\x03\x04", "torn"), (None, "no file")]
)
def test_evaluate_refuses_a_bad_file_in_one_line(tmp_path: Path, held: bytes | None, says: str) -> None:
    path = tmp_path / "bad.json"
    if held is not None:
        path.write_bytes(held)
    result = run("evaluate", path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert len(result.stderr.splitlines()) == 1 and says in result.stderr


def test_a_book_is_imported_exported_and_evaluated_from_the_zip(tmp_path: Path, book_file: Path) -> None:
    data = tmp_path / "data"
    assert "new entries" in run("import", book_file, "--data", data).output
    assert run("export", BOOK, tmp_path / "out.zip", "--data", data).exit_code == 0
    assert run("evaluate", tmp_path / "out.zip").output == run("evaluate", book_file).output


def test_exporting_an_unknown_book_names_the_known_ones(tmp_path: Path, book_file: Path) -> None:
    run("import", book_file, "--data", tmp_path)
    result = run("export", "nothing", tmp_path / "out.zip", "--data", tmp_path)
    assert result.exit_code == 2 and BOOK in result.stderr
    assert not (tmp_path / "out.zip").exists()


def test_a_bad_import_is_one_line_and_takes_in_nothing(tmp_path: Path) -> None:
    (tmp_path / "bad.zip").write_bytes(b"PK\x03\x04 torn")
    result = run("import", tmp_path / "bad.zip", "--data", tmp_path)
    assert result.exit_code == 2
    assert "Nothing was taken in." in result.stderr and len(result.stderr.splitlines()) == 1


def test_a_data_folder_that_cannot_be_used_is_told_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "spanbook.db").write_bytes(b"this is no database, but long enough to look like one" * 20)
    for command in (("user", "list"), ("serve", "--port", "0"), ("check-db",)):
        result = run(*command, "--data", tmp_path)
        assert result.exit_code == 2
        assert len(result.stderr.splitlines()) == 1 and "can't be used" in result.stderr
    assert (tmp_path / "spanbook.db").read_bytes().startswith(b"this is no database")


def test_people_are_added_listed_and_given_passwords(tmp_path: Path) -> None:
    data = ("--data", tmp_path)
    assert run("user", "add", "Ada", "--role", "office", "--password", PASSWORD, *data).exit_code == 0
    again = run("user", "add", "ada", "--password", PASSWORD, *data)
    assert again.exit_code == 2 and "already a person" in again.stderr
    assert run("user", "add", "Ben", *data, input=f"{PASSWORD}\n{PASSWORD}\n").exit_code == 0
    assert run("user", "list", *data).output == "Ada\toffice\tmay sign in\nBen\tinstaller\tmay sign in\n"
    assert run("user", "password", "Ben", "--password", "another long one", *data).exit_code == 0
    assert run("user", "password", "Cay", "--password", PASSWORD, *data).exit_code == 2
    assert run("user", "add", "Dee", "--password", "short", *data).exit_code == 2


def test_check_db_finds_a_photo_that_was_altered_or_lost(tmp_path: Path) -> None:
    held = [picture(shade=shade) for shade in (10, 200)]
    names = [hashlib.sha256(one).hexdigest() for one in held]
    story = Story()
    for name in names:
        story.add("photo", {"link": None, "of": BOOK, "sha256": name})
    folder = tmp_path / "book"
    (folder / "photos").mkdir(parents=True)
    (folder / "book.json").write_text(json.dumps({"spanbook": 1, "book": BOOK, "entries": story.texts}))
    for name, one in zip(names, held, strict=True):
        (folder / "photos" / f"{name}.jpg").write_bytes(one)
    data = tmp_path / "data"
    run("import", folder, "--data", data)
    good = run("check-db", "--data", data)
    assert (good.exit_code, good.output) == (0, "2 entries, 2 photos checked; 0 photos not sent yet; 0 damaged.\n")
    files = {path.name: path for path in (data / "photos").rglob("*") if path.is_file()}
    files[names[0]].write_bytes(held[0][:-1] + b"x")
    files[names[1]].unlink()
    bad = run("check-db", "--data", data)
    assert bad.exit_code == 1
    assert f"photo {names[0]}: its file has been altered" in bad.stderr
    assert f"photo {names[1]}: its file is gone" in bad.stderr


def test_the_demo_s_books_are_whole(tmp_path: Path) -> None:
    result = run("demo", "--check", "--data", tmp_path)
    assert result.exit_code == 0, result.stderr
    assert "new entries" in result.output
    assert run("check-db", "--data", tmp_path).exit_code == 0


def test_the_demo_knows_whose_phone_signed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    make.write(tmp_path / "books" / "vineyard")
    monkeypatch.setattr(paths, "SEED_DATA", tmp_path / "books")
    for _ in range(2):
        assert run("demo", "--check", "--data", tmp_path / "data").exit_code == 0
    db = database.connect(tmp_path / "data" / "spanbook.db")
    (key,) = keys.listed(db)
    db.close()
    assert (key.thumbprint, key.person) == (signing.thumbprint(signing.jwk_of(demo_key().public_key())), "Ines Quarrel")


class Running:
    """A `spanbook` process that serves."""

    def __init__(self, *arguments: str | Path) -> None:
        command = [sys.executable, "-m", "app", *map(str, arguments)]
        environment = os.environ | {"PYTHONUNBUFFERED": "1"}
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment)
        assert self.process.stdout
        self.line = ""
        found = None
        while found is None:
            self.line = self.process.stdout.readline()
            assert self.line, self.process.communicate()[1]
            found = re.search(r"https?://[^\s/]+", self.line)
        self.address = found[0]

    def stop(self) -> None:
        self.process.terminate()
        self.process.communicate(timeout=20)


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Running]:
    running = Running("serve", "--port", "0", "--data", tmp_path / "data")
    yield running
    running.stop()


def test_serve_answers_at_the_address_it_prints(served: Running) -> None:
    with urllib.request.urlopen(f"{served.address}/api/session", timeout=10) as answer:
        assert json.load(answer)["signed_in"] is False


def raw_request(address: str, head: str) -> str:
    host, port = address.removeprefix("http://").split(":")
    with socket.create_connection((host, int(port)), timeout=10) as connection:
        connection.sendall(head.replace("\n", "\r\n").encode() + b"\r\n\r\n")
        return b"".join(iter(lambda: connection.recv(65536), b"")).decode()


def test_the_real_server_refuses_ten_gigabytes_at_once(served: Running) -> None:
    head = f"PUT /api/photos/{'0' * 64} HTTP/1.1\nHost: x\nContent-Length: 10737418240"
    answer = raw_request(served.address, head)
    assert answer.startswith("HTTP/1.1 413") and "too_large" in answer


def test_a_photo_whose_sender_goes_away_leaves_nothing(served: Running, tmp_path: Path) -> None:
    host, port = served.address.removeprefix("http://").split(":")
    with socket.create_connection((host, int(port)), timeout=10) as connection:
        connection.sendall(f"PUT /api/photos/{'0' * 64} HTTP/1.1\r\nHost: x\r\nContent-Length: 100000\r\n\r\nhalf".encode())
    with urllib.request.urlopen(f"{served.address}/api/session", timeout=10) as answer:
        assert answer.status == 200
    assert [path for path in (tmp_path / "data" / "photos").rglob("*") if path.is_file()] == []


@pytest.fixture
def certificate(tmp_path: Path) -> tuple[Path, Path]:
    """A certificate of our own for localhost."""
    certificate, key = tmp_path / "site.pem", tmp_path / "site.key"
    subject = ["-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"]
    command = [
        "openssl",
        "req",
        "-x509",
        "-newkey",
        "rsa:2048",
        "-nodes",
        "-days",
        "2",
        "-keyout",
        key,
        "-out",
        certificate,
        *subject,
    ]
    try:
        subprocess.run(command, check=True, capture_output=True)
    except FileNotFoundError:
        pytest.skip("openssl isn't installed here")
    return certificate, key


def test_serve_speaks_https_with_a_given_certificate(tmp_path: Path, certificate: tuple[Path, Path]) -> None:
    options = ("--certificate", certificate[0], "--key", certificate[1], "--name", "localhost")
    running = Running("serve", "--port", "0", "--data", tmp_path / "data", *options)
    try:
        assert running.address.startswith("https://localhost:")
        trusting = ssl.create_default_context(cafile=str(certificate[0]))
        with urllib.request.urlopen(f"{running.address}/api/session", timeout=10, context=trusting) as answer:
            assert "Secure" in answer.headers["Set-Cookie"]
    finally:
        running.stop()


def test_a_certificate_without_its_key_is_refused(tmp_path: Path, certificate: tuple[Path, Path]) -> None:
    assert run("serve", "--certificate", certificate[0], "--data", tmp_path).exit_code == 2
    wrong = run("serve", "--certificate", certificate[0], "--key", certificate[0], "--port", "0", "--data", tmp_path)
    assert wrong.exit_code == 2 and "can't be used together" in wrong.stderr


def test_a_taken_port_stops_serve_with_a_sentence_and_sends_the_demo_to_a_free_one(served: Running, tmp_path: Path) -> None:
    port = served.address.rsplit(":", 1)[1]
    result = run("serve", "--port", port, "--data", tmp_path / "other")
    assert result.exit_code == 2 and f"Port {port} on 127.0.0.1 is taken" in result.stderr
    demo = Running("demo", "--port", port, "--data", tmp_path / "demo")
    try:
        assert demo.address.startswith("http://127.0.0.1:") and demo.address != served.address
        assert re.search(r"sign in as Demo with password \S+", demo.line)
    finally:
        demo.stop()


def test_an_address_is_printed_as_a_browser_takes_it() -> None:
    class Bound:
        ssl_adapter = None
        bind_addr = ("::1", 8420)

    assert serving.address_of(Bound()) == "http://[::1]:8420"  # type: ignore[arg-type]
    Bound.bind_addr = ("127.0.0.1", 80)
    assert serving.address_of(Bound()) == "http://127.0.0.1"  # type: ignore[arg-type]


def test_an_entry_of_a_newer_version_survives_import_and_export(tmp_path: Path) -> None:
    odd = entry("hologram", {"newer": True}, v=7)
    (tmp_path / "book.json").write_text(json.dumps({"spanbook": 1, "book": BOOK, "entries": [odd]}))
    run("import", tmp_path / "book.json", "--data", tmp_path / "data")
    run("export", BOOK, tmp_path / "out.zip", "--data", tmp_path / "data")
    printed = json.loads(run("evaluate", tmp_path / "out.zip").output)
    assert printed == {"book": BOOK, "links": []}
