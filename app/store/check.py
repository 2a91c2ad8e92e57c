"""Is everything that is kept still what was kept?"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from pathlib import Path

from sqlite_utils import Database

from app.store.photos import PhotoFolder


@dataclass
class Report:
    """How much was checked, photos that entries name but nobody sent yet, and a line for each damage."""

    entries: int = 0
    photos: int = 0
    waiting: int = 0
    damage: list[str] = field(default_factory=list)


def check(db: Database, folder: PhotoFolder) -> Report:
    """Check the database's structure and references, every entry's hash, every photo's file and hash. Changes nothing."""
    report = Report()
    for (line,) in db.execute("PRAGMA integrity_check"):
        if line != "ok":
            report.damage.append(f"database: {line}")
    for row in db.execute("PRAGMA foreign_key_check"):
        report.damage.append(f"database: row {row[1]} of {row[0]} refers to nothing in {row[2]}")
    for id, text, sha256 in db.execute("SELECT id, text, sha256 FROM entries ORDER BY seq"):
        report.entries += 1
        if hashlib.sha256(text.encode()).hexdigest() != sha256:
            report.damage.append(f"entry {id}: its text has been altered")
    _check_photos(db, folder, report)
    return report


def _check_photos(db: Database, folder: PhotoFolder, report: Report) -> None:
    for sha256, size in db.execute("SELECT sha256, size FROM photos ORDER BY sha256"):
        report.photos += 1
        path = folder.path(sha256)
        if not path.is_file():
            report.damage.append(f"photo {sha256}: its file is gone")
        elif path.stat().st_size != size or _sha256_of(path) != sha256:
            report.damage.append(f"photo {sha256}: its file has been altered")
    named = "SELECT count(DISTINCT photo) FROM entries WHERE photo IS NOT NULL AND photo NOT IN (SELECT sha256 FROM photos)"
    report.waiting = int(db.execute(named).fetchone()[0])


def _sha256_of(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
