"""Signing in and out: one function for the phone's JSON and the office's form."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from typing import Any

from flask import Response, g, request, session
from flask_limiter import Limiter
from flask_limiter.util import get_remote_address

from app.config import SIGN_IN_PER_ACCOUNT, SIGN_IN_PER_ADDRESS
from app.store import people
from app.store.people import Person
from app.sync import context

# The same words whether the name or the password was wrong.
WRONG = "Name and password don't match. Check both and try again."

limiter = Limiter(get_remote_address)


def sign_in(name: str, password: str) -> Person | None:
    """Start a session for the person whose name and password these are, dropping all of an old one; None when they don't match."""
    person = people.verify(context.database(), name, password)
    session.clear()
    # The write token of the old session must not be reused in the new one.
    g.pop("csrf_token", None)
    g.person = person
    if person:
        session.permanent = True
        session["person"] = person.id
        session["mark"] = person.mark
    return person


def sign_out() -> None:
    """End the session on this device."""
    session.clear()
    g.pop("csrf_token", None)
    g.person = None


def _account() -> str:
    sent: Any = request.get_json(silent=True) if request.is_json else request.form
    name = sent.get("name") if hasattr(sent, "get") else None
    kept = people.clean_name(name if isinstance(name, str) else "").casefold()
    return "account " + hashlib.sha256(kept.encode("utf-8", "replace")).hexdigest()


def _was_refused(response: Response) -> bool:
    return response.status_code == 401


def limited(view: Callable[..., Any]) -> Callable[..., Any]:
    """Limit refused sign-ins per account and per address, over both ways in together."""
    for scope, limit, key in (("account", SIGN_IN_PER_ACCOUNT, _account), ("address", SIGN_IN_PER_ADDRESS, get_remote_address)):
        view = limiter.shared_limit(limit, scope=scope, key_func=key, methods=["POST"], deduct_when=_was_refused)(view)
    return view
