"""Commands over books: evaluate, export, import, check-db."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from app import exchange
from app.cli_common import DATA_OPTION, say_missing, stop, store, take_in
from app.core.errors import Refused
from app.parcel import ParcelRefused
from app.store import check as store_check
from app.store import entries


@click.command()
@click.argument("file", metavar="BOOK.json", type=click.Path(path_type=Path))
def evaluate(file: Path) -> None:
    """Print the checks of every link of an exported book (book.json or the whole zip) as JSON."""
    try:
        judged = exchange.evaluate(file)
    except (ParcelRefused, OSError, Refused) as error:
        stop(f"{file}: {error.sentence() if isinstance(error, Refused) else error}")
    click.echo(json.dumps(judged, ensure_ascii=False, indent=2))


@click.command("export")
@click.argument("book", metavar="BOOK_ID")
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@DATA_OPTION
def export_command(book: str, file: Path, data: str | None) -> None:
    """Write a book with its photos to a zip. Without a known BOOK_ID, the books are listed."""
    with store(data) as (db, photos):
        try:
            moved = exchange.export_book(db, photos, book, file)
        except exchange.NoSuchBook:
            stop(f"there is no book {book}. Books here: {', '.join(entries.books(db)) or 'none'}.")
        except OSError as error:
            stop(f"{file} can't be written: {error.strerror}.")
    click.echo(f"{file}: {moved.entries} entries, {moved.photos} photos.")
    say_missing(moved)


@click.command("import")
@click.argument("file", type=click.Path(exists=True, path_type=Path))
@DATA_OPTION
def import_command(file: Path, data: str | None) -> None:
    """Take in an exported book, a handover package, or what a phone exported. All of it, or nothing when anything is wrong with it."""
    with store(data) as (db, photos):
        take_in(db, photos, file)


@click.command("check-db")
@DATA_OPTION
def check_db(data: str | None) -> None:
    """Check the database, every entry's hash and every photo's. Exit 1 when something is damaged."""
    with store(data) as (db, photos):
        report = store_check.check(db, photos)
    for line in report.damage:
        click.echo(line, err=True)
    click.echo(
        f"{report.entries} entries, {report.photos} photos checked; {report.waiting} photos not sent yet; {len(report.damage)} damaged."
    )
    sys.exit(1 if report.damage else 0)
