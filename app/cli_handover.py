"""The command that makes a handover package."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from app.cli_common import DATA_OPTION, stop, store


@click.command()
@click.argument("book", metavar="BOOK_ID")
@click.argument("link", metavar="LINK")
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="Paper of the record in it.")
@DATA_OPTION
def handover(book: str, link: str, file: Path, paper: str, data: str | None) -> None:
    """Write the handover package of a link (its id, or its name): a zip that is a BagIt bag, with record, entries, photos, plans, tables."""
    from app import record
    from app.handover import making

    with store(data) as (db, photos):
        try:
            asked = making.make(db, photos, book, link, file, paper, _show if sys.stderr.isatty() else None)
        except making.NoSuchLink as error:
            stop(str(error))
        except record.RecordError as error:
            stop(f"the record could not be made. {error}")
        except OSError as error:
            stop(f"{file} can't be written: {error.strerror or error}.")
    answer = asked.answer
    click.echo(f"{file}: {len(answer['entries'])} entries, {len(answer['photos'])} photos; {_seals(len(answer['seals']))}.")
    for sha256 in asked.missing:
        why = "is damaged in the store" if sha256 in asked.damaged else "is not here; it may still be on a phone"
        click.echo(f"Photo {sha256} {why}. The package names it as missing.", err=True)


def _seals(number: int) -> str:
    return "not signed by a device's key" if number == 0 else f"{number} seal{'' if number == 1 else 's'} with a device's key"


def _show(done: int, total: int, words: str) -> None:
    click.echo(f"\r{words:<40}", err=True, nl=done == total)
