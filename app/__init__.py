"""Spanbook: the field book of a data link between two buildings."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from flask import Flask


def create_app(data: str | os.PathLike[str] | None = None, **settings: object) -> Flask:
    """The server over one data folder (made if it isn't there). `settings` override Flask's, for tests and hosting."""
    # Imported here so that `app.core` and the calculators start without the web parts.
    from flask import Flask

    from app import client, config, office, paths, shell
    from app.office.jobs import Jobs
    from app.store import database, index
    from app.store.settings import secret_key
    from app.sync import context, cookie, errors, guard, photos, routes, signing_in

    folder = paths.data_folder(data)
    database.prepare(folder / "spanbook.db")
    db = database.connect(folder / "spanbook.db")
    try:
        key = secret_key(db)
        index.refresh(db)
    finally:
        db.close()

    app = Flask(__name__, static_folder=None)
    app.config.update(config.flask_settings(key), DATABASE=str(folder / "spanbook.db"), PHOTOS=str(folder / "photos"))
    app.config.update(settings)
    app.extensions["spanbook_jobs"] = Jobs(folder / "being-made")
    app.session_interface = cookie.SessionCookie()
    context.register(app)
    errors.register(app)
    guard.register(app, shell.content_security_policy())
    signing_in.limiter.init_app(app)
    for blueprint in (shell.blueprint, routes.blueprint, photos.blueprint, office.blueprint, client.blueprint):
        app.register_blueprint(blueprint)
    return app
