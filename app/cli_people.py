"""`spanbook user`: the people who may sign in."""

from __future__ import annotations

import click
from sqlite_utils import Database

from app.cli_common import DATA_OPTION, stop, store
from app.store import people
from app.store.people import Person, PersonRefused

_PASSWORD_OPTION = click.option(
    "--password", prompt=True, hide_input=True, confirmation_prompt=True, help="Asked for when not given."
)


@click.group()
def user() -> None:
    """The people who may sign in."""


@user.command("add")
@click.argument("name")
@click.option(
    "--role", type=click.Choice(people.ROLES), default="installer", show_default=True, help="office may also add people."
)
@_PASSWORD_OPTION
@DATA_OPTION
def user_add(name: str, role: str, password: str, data: str | None) -> None:
    """Add a person."""
    with store(data) as (db, _):
        try:
            added = people.add(db, name, password, role)
        except PersonRefused as refused:
            stop(str(refused))
        click.echo(f"{added.name} ({added.role}) may sign in.")


@user.command("password")
@click.argument("name")
@_PASSWORD_OPTION
@DATA_OPTION
def user_password(name: str, password: str, data: str | None) -> None:
    """Change a person's password; their old sessions end."""
    with store(data) as (db, _):
        person = _known(db, name)
        try:
            people.set_password(db, person, password)
        except PersonRefused as refused:
            stop(str(refused))
        click.echo(f"{person.name} has a new password.")


def _known(db: Database, name: str) -> Person:
    person = people.by_name(db, name)
    if person is None:
        stop(f"there is nobody named {name}; see spanbook user list.")
    return person


@user.command("list")
@DATA_OPTION
def user_list(data: str | None) -> None:
    """List the people."""
    with store(data) as (db, _):
        for person in people.everyone(db):
            click.echo(f"{person.name}\t{person.role}\t{'may sign in' if person.active else 'access stopped'}")
