"""The client's page: one signed record behind a link that the office made and can revoke, read-only, and nothing else."""

from __future__ import annotations

from flask import Blueprint

blueprint = Blueprint("client", __name__, url_prefix="/c", template_folder="templates")

from app.client import pages  # noqa: E402, F401  (its views register on the blueprint)
