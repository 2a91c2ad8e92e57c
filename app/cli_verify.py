"""The command that proves, without server and store, that a file holds what was signed."""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path

import click

from app.cli_common import stop


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the report as JSON.")
def verify(file: Path, as_json: bool) -> None:
    """Say whether a record PDF, a handover package or an exported book holds what was signed: who signed what when with which key, which
    bytes differ or are missing, and what no seal covers. Exit 0: intact; 1: altered, incomplete or not signed; 2: not readable.
    """
    from app import verify as verifying
    from app.verify import shown

    try:
        report = verifying.report(file)
    except verifying.NotReadable as error:
        stop(str(error) if str(error).startswith(file.name) else f"{file}: {error}")
    if as_json:
        click.echo(json.dumps({"file": file.name, **report}, indent=2))
    else:
        width = min(shutil.get_terminal_size().columns, 120)
        for line in shown.lines(file.name, report, width):
            click.echo(line)
    sys.exit(0 if report["intact"] else 1)
