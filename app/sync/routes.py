"""The addresses under /api for session and exchange."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, jsonify, request
from flask_wtf.csrf import generate_csrf  # type: ignore[import-untyped]

from app.store import keys
from app.store.database import now
from app.sync import context, message, signing_in
from app.sync.errors import ApiError
from app.sync.exchange import exchange

blueprint = Blueprint("sync", __name__, url_prefix="/api")


def _session() -> Response:
    person = context.person()
    return jsonify(
        {
            "signed_in": person is not None,
            "name": person.name if person else None,
            "role": person.role if person else None,
            "csrf": generate_csrf(),
            "now": now(),
        }
    )


@blueprint.get("/session")
def session() -> Response:
    """Who is signed in, a fresh write token, and the server's time."""
    return _session()


@blueprint.post("/sign-in")
@signing_in.limited
def sign_in() -> Response:
    """Name and password as JSON; the session, or 401."""
    sent: Any = request.get_json(silent=True)
    name, password = (sent.get("name"), sent.get("password")) if isinstance(sent, dict) else (None, None)
    if not isinstance(name, str) or not isinstance(password, str):
        raise ApiError(400, "shape", "Send name and password as text.")
    if signing_in.sign_in(name, password) is None:
        raise ApiError(401, "wrong", signing_in.WRONG)
    return _session()


@blueprint.post("/sign-out")
def sign_out() -> Response:
    """End the session on this device."""
    signing_in.sign_out()
    return _session()


@blueprint.post("/device-key")
def device_key() -> Response:
    """Take note that who is signed in signs with this phone's key; once more does no harm."""
    person = context.person()
    assert person is not None
    sent: Any = request.get_json(silent=True)
    try:
        device, key = (sent.get("device"), sent.get("key")) if isinstance(sent, dict) else (None, None)
        thumbprint = keys.register(context.database(), person, device, key)
    except keys.RegistrationRefused as refused:
        raise ApiError(400, "key", str(refused)) from refused
    return jsonify({"thumbprint": thumbprint})


@blueprint.post("/sync")
def sync() -> Response:
    """The one exchange with a phone."""
    person = context.person()
    assert person is not None
    return jsonify(exchange(context.database(), message.read(request.get_data(cache=False)), person.id))
