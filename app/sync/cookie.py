"""The session cookie: Secure whenever the request came over https, so that one server works both ways."""

from __future__ import annotations

from flask import Flask, request
from flask.sessions import SecureCookieSessionInterface


class SessionCookie(SecureCookieSessionInterface):
    """Flask's signed cookie with `Secure` set by how the request came."""

    def get_cookie_secure(self, app: Flask) -> bool:
        """True on https."""
        return request.is_secure
