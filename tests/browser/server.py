"""A real server of the tests' own: `spanbook serve` as its own process, so that it can be stopped, killed and started again."""

from __future__ import annotations

import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable
from pathlib import Path

from app import exchange, paths
from app.store import database, people
from app.store.photos import PhotoFolder

NAME = "Ida Fieldman"
PASSWORD = "copper and glass"
STARTS_WITHIN_S = 30


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Server:
    """One data folder served on one port; the port stays the same when it is started again."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.port = free_port()
        self.base = f"http://127.0.0.1:{self.port}"
        self.process: subprocess.Popen[bytes] | None = None
        self.change(lambda db, _: people.by_name(db, NAME) or people.add(db, NAME, PASSWORD, "office"))

    def change(self, work: Callable[[database.Database, PhotoFolder], object]) -> None:
        """Do something to the store behind the phone's back."""
        database.prepare(self.folder / "spanbook.db")
        db = database.connect(self.folder / "spanbook.db")
        try:
            work(db, PhotoFolder(self.folder / "photos"))
        finally:
            db.close()

    def import_demo(self) -> None:
        self.change(lambda db, photos: exchange.import_file(db, photos, paths.SEED_DATA / "vineyard"))

    def end_sessions(self) -> None:
        """Whoever was signed in must sign in again, as after a changed password."""

        def renew(db: database.Database, _: PhotoFolder) -> None:
            person = people.by_name(db, NAME)
            assert person
            people.set_password(db, person, PASSWORD)

        self.change(renew)

    def start(self) -> None:
        command = [sys.executable, "-m", "app", "serve", "--port", str(self.port), "--data", str(self.folder)]
        log = (self.folder / "server.log").open("ab")
        self.process = subprocess.Popen(command, stdout=log, stderr=log)
        log.close()
        self._wait()

    def _wait(self) -> None:
        """Until it answers; a server that has ended says why in its log."""
        until = time.monotonic() + STARTS_WITHIN_S
        while time.monotonic() < until:
            assert self.process and self.process.poll() is None, (self.folder / "server.log").read_text()
            try:
                urllib.request.urlopen(f"{self.base}/api/session", timeout=5).close()
                return
            except OSError:
                time.sleep(0.05)
        raise AssertionError(f"No answer on port {self.port} within {STARTS_WITHIN_S} s.")

    def stop(self) -> None:
        """As a power cut would: nothing is tidied up."""
        if self.process:
            self.process.kill()
            self.process.wait()
            self.process = None
