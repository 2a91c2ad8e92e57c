"""The `spanbook` command: each command lives in a file of its own and is mounted here."""

from __future__ import annotations

import click

from app.cli_books import check_db, evaluate, export_command, import_command
from app.cli_calc import calc
from app.cli_handover import handover
from app.cli_limits import limits
from app.cli_people import user
from app.cli_serve import demo, serve
from app.cli_verify import verify


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="spanbook")
def main() -> None:
    """Spanbook: the field book of a data link between two buildings."""


for _command in (serve, demo, user, calc, limits, evaluate, verify, handover, export_command, import_command, check_db):
    main.add_command(_command)
