"""What every request passes before its view: size, sign-in, write token; and the headers every answer carries."""

from __future__ import annotations

from flask import Flask, Response, redirect, request, url_for
from flask_wtf import CSRFProtect  # type: ignore[import-untyped]
from werkzeug.wrappers import Response as AnyResponse

from app.config import MEGABYTE, OTHER_LIMIT_BYTES, PHOTO_LIMIT_BYTES, SYNC_LIMIT_BYTES
from app.sync import context
from app.sync.errors import ApiError

csrf = CSRFProtect()

_OPEN_API = ("/api/session", "/api/sign-in")
_OPEN_OFFICE = ("/office/sign-in",)

_FIXED_HEADERS = {
    "X-Content-Type-Options": "nosniff",
    # Not no-referrer: the write token's check on https needs the referrer of our own pages.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(self), microphone=(), payment=(), usb=()",
    "X-Frame-Options": "DENY",
}


def _limit_bytes() -> int:
    if request.path.startswith("/api/photos/"):
        return PHOTO_LIMIT_BYTES
    return SYNC_LIMIT_BYTES if request.path == "/api/sync" else OTHER_LIMIT_BYTES


def check_size() -> None:
    """Refuse by the announced size before a byte is read; the stream itself is held to the same limit."""
    if "chunked" in request.headers.get("Transfer-Encoding", "").lower():
        # Unread chunks would be taken for the next request on the same connection; 413 makes the server close it.
        raise ApiError(413, "too_large", "A body must come with its length. Nothing was stored.")
    limit = _limit_bytes()
    request.max_content_length = limit
    if (request.content_length or 0) > limit:
        message = f"This is larger than the {limit // MEGABYTE} MB that the server takes here. Nothing was stored."
        raise ApiError(413, "too_large", message)


def check_signed_in() -> AnyResponse | None:
    """Signed out: 401 for the phone, the sign-in page for the office. Before the write token, so that an expired session says so."""
    path = request.path
    if path.startswith("/api/") and path not in _OPEN_API and context.person() is None:
        raise ApiError(401, "signed_out", "Sign in to send. What you recorded stays on the phone until then.")
    if path.startswith("/office") and path not in _OPEN_OFFICE and context.person() is None:
        return redirect(url_for("office.sign_in", next=path))
    return None


def _check_write_token() -> None:
    csrf.protect()


def _add_headers(response: Response) -> Response:
    for name, value in _FIXED_HEADERS.items():
        response.headers.setdefault(name, value)
    if request.path.startswith(("/api/", "/office")):
        # Kept by the person's own browser at most for photos, which say so themselves.
        response.headers.setdefault("Cache-Control", "no-store")
    return response


def register(app: Flask, content_security_policy: str) -> None:
    """Put the checks before every view and the headers on every answer."""
    csrf.init_app(app)
    app.before_request(check_size)
    app.before_request(check_signed_in)
    app.before_request(_check_write_token)
    app.after_request(_add_headers)

    @app.after_request
    def _add_policy(response: Response) -> Response:
        response.headers.setdefault("Content-Security-Policy", content_security_policy)
        return response
