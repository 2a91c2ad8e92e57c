"""The one shape of an error under /api: {"error": {"code", "message"}}."""

from __future__ import annotations

from collections.abc import Callable

from flask import Flask, Response, jsonify, render_template, request
from flask_wtf.csrf import CSRFError  # type: ignore[import-untyped]
from werkzeug.exceptions import HTTPException

_CODES = {401: "signed_out", 403: "forbidden", 404: "missing", 405: "method", 413: "too_large", 429: "too_often"}
_SENTENCES = {
    404: "There is nothing at this address.",
    405: "This address doesn't take that kind of request.",
    413: "This is larger than the server takes.",
    429: "Too many failed sign-ins. Wait five minutes, then try again.",
    500: "The server has a fault. What you recorded is still on the phone; try again later.",
}


class ApiError(Exception):
    """A request that can't be served: HTTP status, a code for programs, a sentence for people."""

    def __init__(self, status: int, code: str, message: str):
        super().__init__(message)
        self.status = status
        self.code = code


def error_response(status: int, code: str, message: str) -> Response:
    """An error as JSON."""
    response = jsonify({"error": {"code": code, "message": message}})
    response.status_code = status
    return response


def _for_api() -> bool:
    return request.path.startswith("/api/")


_own_pages: dict[str, Callable[[int], Response]] = {}


def word_pages(start: str, page: Callable[[int], Response]) -> None:
    """Let a part of the server word every error under its addresses by one page of its own, given the status."""
    _own_pages[start] = page


def _own_page() -> Callable[[int], Response] | None:
    starts = [start for start in _own_pages if request.path == start or request.path.startswith(f"{start}/")]
    return _own_pages[starts[0]] if starts else None


def _page(status: int, message: str) -> Response:
    own = _own_page()
    if own:
        return own(status)
    return Response(render_template("error.html", message=message), status=status)


def _on_api_error(error: ApiError) -> Response:
    own = _own_page()
    return own(error.status) if own else error_response(error.status, error.code, str(error))


def _on_csrf(error: CSRFError) -> Response:
    if _for_api():
        return error_response(403, "csrf", "The write token is missing or old. Fetch /api/session and send again.")
    return _page(403, "This page was opened too long ago, or in another sign-in. Go back, load it again, and send it once more.")


def _on_http(error: HTTPException) -> Response:
    status = error.code or 500
    if status < 400:
        return Response(error.get_response().get_data(), status=status, headers=dict(error.get_response().headers))
    message = _SENTENCES.get(status, "The request can't be read. Load the page again and try once more.")
    if _for_api():
        return error_response(status, _CODES.get(status, "fault" if status >= 500 else "bad"), message)
    return _page(status, message)


def register(app: Flask) -> None:
    """Word every error at the edge: JSON under /api, a plain page elsewhere."""
    app.register_error_handler(ApiError, _on_api_error)
    app.register_error_handler(CSRFError, _on_csrf)
    app.register_error_handler(HTTPException, _on_http)
