"""The client's page: one signed record behind a link that the office made and can revoke, read-only, and nothing else."""

from __future__ import annotations

import logging
import re

from flask import Blueprint
from flask.blueprints import BlueprintSetupState

blueprint = Blueprint("client", __name__, url_prefix="/c", template_folder="templates")

_AFTER_PREFIX = re.compile(r"(/c/)[^/\s]+")


@blueprint.record
def _hide_tokens(state: BlueprintSetupState) -> None:
    """The server's log names the address of a page that fails; whoever reads the log may not open a client's record with it."""
    state.app.logger.addFilter(_without_token)


def _without_token(line: logging.LogRecord) -> bool:
    line.msg = _AFTER_PREFIX.sub(r"\1...", str(line.msg))
    return True


from app.client import pages  # noqa: E402, F401  (its views register on the blueprint)
