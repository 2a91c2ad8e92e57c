"""The limit sets, as core words them: what each holds, and its rows."""

from __future__ import annotations

from flask import abort, render_template

from app import engine
from app.core.errors import Refused
from app.office import blueprint


@blueprint.get("/limits")
def limit_sets() -> str:
    """All limit sets: document, edition, kinds of link, how many rows and how many of them from memory."""
    return render_template("office/limits.html", sets=engine.call("limits"))


@blueprint.get("/limits/<set_id>")
def limit_set(set_id: str) -> str:
    """One limit set, row by row."""
    try:
        held = engine.call("limits", id=set_id)
    except Refused:
        abort(404)
    return render_template("office/limit_set.html", held=held)
