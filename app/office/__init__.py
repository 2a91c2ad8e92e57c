"""Pages for the office: sign in, links, search, site, link with its record, limits, people."""

from __future__ import annotations

from flask import Blueprint

blueprint = Blueprint("office", __name__, url_prefix="/office", template_folder="templates")

from app.office import labels, limits, link, making, pages, people, session, sharing  # noqa: E402, F401  (their views register)
