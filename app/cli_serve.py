"""`spanbook serve` and `spanbook demo`."""

from __future__ import annotations

import json
import secrets
import sys
import tempfile
from pathlib import Path

import click
from cheroot.wsgi import Server
from flask import Flask
from sqlite_utils import Database

from app import create_app, engine, paths, serving
from app.cli_common import DATA_OPTION, stop, store, take_in
from app.store import entries, keys, people
from app.store.people import Person
from app.store.photos import PhotoFolder

DEMO_NAME = "Demo"


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on; 0.0.0.0 for all of this machine's.")
@click.option("--port", default=8420, show_default=True, type=click.IntRange(0, 65535), help="0 takes any free one.")
@click.option(
    "--certificate", type=click.Path(exists=True, dir_okay=False, path_type=Path), help="PEM file; with --key, serves https."
)
@click.option("--key", type=click.Path(exists=True, dir_okay=False, path_type=Path), help="PEM file of the certificate's key.")
@click.option("--name", metavar="HOST", help="The host name in the certificate, for the address that is printed.")
@click.option("--behind-proxy", is_flag=True, help="Believe a proxy's X-Forwarded-For and -Proto (only when there is one).")
@DATA_OPTION
def serve(
    host: str, port: int, certificate: Path | None, key: Path | None, name: str | None, behind_proxy: bool, data: str | None
) -> None:
    """Serve the office pages and the phones.

    \b
    A phone works without signal only over https with a certificate it trusts:
      1. Hosted: run this on a server behind a proxy with a real name and certificate
         (spanbook serve --behind-proxy); phones need nothing else. Best choice.
      2. Your own network: spanbook serve --host 0.0.0.0 --certificate site.pem --key site.key
         --name <host name in the certificate>; every phone must trust the certificate's issuer.
      3. This machine only: http://127.0.0.1 needs no certificate.
    Choose name and port once: what a phone has not sent yet stays with the address it was recorded under.
    """
    if (certificate is None) != (key is None):
        stop("--certificate and --key go together.")
    with store(data) as (db, photos):
        photos.clear_incoming()
        anyone = bool(people.everyone(db))
    app = create_app(data)
    if behind_proxy:
        from werkzeug.middleware.proxy_fix import ProxyFix

        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=1, x_proto=1, x_host=1)  # type: ignore[method-assign]
    server = _server(app, host, port, certificate, key)
    address = serving.address_of(server, name)
    click.echo(f"Spanbook serves on {address} (office pages: {address}/office/). Stop with Ctrl+C.")
    if address.startswith("http://") and host != "127.0.0.1" and not behind_proxy:
        click.echo("Without https, phones can read the office pages but can't record offline: see spanbook serve --help.")
    _show_code(address)
    if not anyone:
        click.echo("Nobody can sign in yet: spanbook user add NAME --role office")
    serving.run(server)


def _server(app: Flask, host: str, port: int, certificate: Path | None = None, key: Path | None = None) -> Server:
    try:
        return serving.make_server(app, host, port, certificate, key)
    except serving.CannotServe as error:
        stop(str(error))


def _show_code(address: str) -> None:
    """The address as a code to point a phone at, when a person is looking."""
    if sys.stdout.isatty() and address.startswith("https://"):
        import segno

        segno.make(address).terminal(compact=True)


@click.command()
@click.option("--data", metavar="FOLDER", help="Keep the demo here. Default: a temporary folder, gone at the end.")
@click.option(
    "--port", default=8420, show_default=True, type=click.IntRange(0, 65535), help="If it is taken, a free one is used."
)
@click.option("--check", is_flag=True, help="Import the demo's books, say what came, and end.")
def demo(data: str | None, port: int, check: bool) -> None:
    """Serve the demo's books on this machine, with a person to sign in."""
    with tempfile.TemporaryDirectory(prefix="spanbook-demo-", ignore_cleanup_errors=True) as temporary:
        folder = data or temporary
        with store(folder) as (db, photos):
            _import_seed_data(db, photos)
            password = _demo_person(db)
        if check:
            return
        app = create_app(folder)
        try:
            server = serving.make_server(app, "127.0.0.1", port)
        except serving.CannotServe:
            server = _server(app, "127.0.0.1", 0)
        click.echo(f"Open {serving.address_of(server)} and sign in as {DEMO_NAME} with password {password}")
        click.echo(f"Office pages: {serving.address_of(server)}/office/ . Stop with Ctrl+C.")
        serving.run(server)


def _seed_books() -> list[Path]:
    found = [path for path in sorted(paths.SEED_DATA.iterdir()) if path.suffix == ".zip" or (path / "book.json").is_file()]
    return [paths.SEED_DATA] if not found and (paths.SEED_DATA / "book.json").is_file() else found


def _import_seed_data(db: Database, photos: PhotoFolder) -> None:
    books = _seed_books()
    if not books:
        stop(f"there is no demo book in {paths.SEED_DATA}; install Spanbook again.")
    for path in books:
        for book in take_in(db, photos, path):
            _demo_keys(db, book)


def _demo_keys(db: Database, book: str) -> None:
    """Register the phones that signed in the story for whoever signed on them, as their own sign-in would have done."""
    texts = entries.texts_of(db, book)
    for seal in engine.call("seals", texts=texts):
        signed = json.loads(seal["text"])
        keys.register(db, _demo_installer(db, signed["by"]), signed["device"], seal["key"])


def _demo_installer(db: Database, name: str) -> Person:
    """Nobody knows this password: the person stands in the list, and the office can set one."""
    return people.by_name(db, name) or people.add(db, name, secrets.token_hex(16), "installer")


def _demo_person(db: Database) -> str:
    """A fresh password each time: a demo on a shared machine must not have a known one."""
    password = "-".join(secrets.token_hex(2) for _ in range(3))
    person = people.by_name(db, DEMO_NAME)
    if person:
        people.set_password(db, person, password)
    else:
        people.add(db, DEMO_NAME, password, "office")
    return password
