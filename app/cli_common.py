"""What the commands share: the data folder, the store, and how a command says that it can't go on."""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NoReturn

import click
from sqlite_utils import Database

from app import exchange, paths
from app.parcel import ParcelRefused
from app.store.database import connect, prepare
from app.store.photos import PhotoFolder

DATA_OPTION = click.option(
    "--data",
    metavar="FOLDER",
    help="Where database and photos are kept. Default: $SPANBOOK_DATA, or .spanbook in the home folder.",
)


def stop(message: str) -> NoReturn:
    """One line, exit 2: the input can't be used."""
    click.echo(f"spanbook: {message}", err=True)
    sys.exit(2)


@contextmanager
def store(data: str | None) -> Iterator[tuple[Database, PhotoFolder]]:
    """Database and photos of a data folder, made or brought up to date first."""
    folder = paths.data_folder(data)
    try:
        prepare(folder / "spanbook.db")
    except (OSError, sqlite3.Error) as error:
        stop(f"the data folder {folder} can't be used: {error}. Choose another with --data, or mend its rights.")
    db = connect(folder / "spanbook.db")
    try:
        yield db, PhotoFolder(folder / "photos")
    finally:
        db.close()


def take_in(db: Database, photos: PhotoFolder, path: Path) -> list[str]:
    """Import a file and say what came, or stop with what is wrong with it. Gives the ids of its books."""
    try:
        moved = exchange.import_file(db, photos, path)
    except (ParcelRefused, OSError) as error:
        stop(f"{path.name}: {error} Nothing was taken in.")
    click.echo(f"{path.name}: {moved.entries} new entries, {moved.photos} new photos, book {', '.join(moved.books)}.")
    say_missing(moved)
    return moved.books


def say_missing(moved: exchange.Moved) -> None:
    """Say how many photos are named but not here."""
    if moved.missing:
        click.echo(f"{len(moved.missing)} photos that entries name are not here; they may still be on a phone.")
