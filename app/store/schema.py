"""The tables, as migrations. Each runs in one transaction together with its mark; a migration once released is never edited."""

from __future__ import annotations

from sqlite_utils import Database, Migrations

migrations = Migrations("spanbook")

_FIRST = (
    """
    CREATE TABLE people (
        id INTEGER PRIMARY KEY,
        name TEXT NOT NULL UNIQUE COLLATE NOCASE,
        password TEXT NOT NULL,
        role TEXT NOT NULL CHECK (role IN ('office', 'installer')),
        active INTEGER NOT NULL DEFAULT 1 CHECK (active IN (0, 1)),
        mark TEXT NOT NULL,
        added_at TEXT NOT NULL
    ) STRICT
    """,
    """
    CREATE TABLE entries (
        seq INTEGER PRIMARY KEY AUTOINCREMENT,
        id TEXT NOT NULL UNIQUE,
        book TEXT NOT NULL,
        kind TEXT NOT NULL,
        text TEXT NOT NULL,
        sha256 TEXT NOT NULL,
        photo TEXT,
        received_at TEXT NOT NULL,
        person INTEGER REFERENCES people (id),
        device TEXT NOT NULL
    ) STRICT
    """,
    "CREATE INDEX entries_book ON entries (book, seq)",
    "CREATE INDEX entries_photo ON entries (photo) WHERE photo IS NOT NULL",
    # What "never changed, never deleted" means, held by the database itself.
    """
    CREATE TRIGGER entries_never_change BEFORE UPDATE ON entries
    BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END
    """,
    """
    CREATE TRIGGER entries_never_go BEFORE DELETE ON entries
    BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END
    """,
    """
    CREATE TABLE photos (
        sha256 TEXT PRIMARY KEY,
        type TEXT NOT NULL,
        size INTEGER NOT NULL,
        received_at TEXT NOT NULL
    ) STRICT
    """,
    """
    CREATE TABLE links (
        number INTEGER PRIMARY KEY,
        book TEXT NOT NULL,
        link TEXT NOT NULL,
        site TEXT NOT NULL,
        client TEXT NOT NULL,
        place TEXT NOT NULL,
        name TEXT NOT NULL,
        medium TEXT NOT NULL,
        state TEXT NOT NULL,
        passes INTEGER NOT NULL,
        fails INTEGER NOT NULL,
        not_measured INTEGER NOT NULL,
        deviations INTEGER NOT NULL,
        UNIQUE (book, link)
    ) STRICT
    """,
    "CREATE INDEX links_order ON links (client COLLATE NOCASE, site COLLATE NOCASE, name COLLATE NOCASE, number)",
    "CREATE VIRTUAL TABLE search USING fts5 (client, place, site, name, tokenize = 'unicode61 remove_diacritics 2')",
    "CREATE TABLE settings (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT",
)


@migrations()
def m001_first(db: Database) -> None:
    for statement in _FIRST:
        db.execute(statement)


_DEVICE_KEYS = """
    CREATE TABLE device_keys (
        thumbprint TEXT NOT NULL,
        person INTEGER NOT NULL REFERENCES people (id),
        device TEXT NOT NULL,
        jwk TEXT NOT NULL,
        registered_at TEXT NOT NULL,
        lost_at TEXT,
        PRIMARY KEY (thumbprint, person)
    ) STRICT
    """


@migrations()
def m002_device_keys(db: Database) -> None:
    db.execute(_DEVICE_KEYS)


_SHARES = (
    """
    CREATE TABLE shares (
        number INTEGER PRIMARY KEY,
        token_sha256 TEXT NOT NULL UNIQUE,
        book TEXT NOT NULL,
        link TEXT NOT NULL,
        person INTEGER NOT NULL REFERENCES people (id),
        made_at TEXT NOT NULL,
        for_whom TEXT NOT NULL,
        last_day TEXT,
        revoked_at TEXT,
        revoked_by INTEGER REFERENCES people (id)
    ) STRICT
    """,
    "CREATE INDEX shares_link ON shares (book, link)",
)


@migrations()
def m003_shares(db: Database) -> None:
    for statement in _SHARES:
        db.execute(statement)
