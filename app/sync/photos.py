"""Photos by their SHA-256: ask, send, fetch. Sending twice does no harm."""

from __future__ import annotations

from flask import Blueprint, Response, request, send_file

from app.store.images import ENDINGS, JPEG, NotShown, rendition
from app.store.photos import Photo, PhotoRefused, is_sha256
from app.sync import context
from app.sync.errors import ApiError

blueprint = Blueprint("photos", __name__, url_prefix="/api/photos")

_STATUS = {"size": 413, "kind": 415, "hash": 400}
_LONG_EDGE_PX = 2048


def _found(sha256: str) -> Photo:
    photo = context.photo_folder().find(context.database(), sha256)
    if photo is None:
        raise ApiError(404, "missing", "This photo isn't here yet. It may still be on the phone that took it.")
    return photo


@blueprint.get("/<sha256>")
def get(sha256: str) -> Response:
    """The photo as it came (HEAD: only whether it is here); with `?as=jpeg` as an upright JPEG that every browser shows."""
    photo = _found(sha256)
    if request.method == "GET" and request.args.get("as") == "jpeg":
        return as_jpeg(photo, _LONG_EDGE_PX)
    response = send_file(photo.path, mimetype=photo.type, etag=sha256, conditional=True)
    response.headers["Content-Disposition"] = f'inline; filename="{sha256}.{ENDINGS[photo.type]}"'
    return _kept_by_browser(response)


def as_jpeg(photo: Photo, long_edge_px: int) -> Response:
    """A photo's JPEG rendition as an answer; ApiError 415 when it can't be shown."""
    try:
        return _kept_by_browser(Response(rendition(photo.path, long_edge_px), mimetype=JPEG))
    except NotShown as error:
        raise ApiError(415, "not_shown", str(error)) from error


def _kept_by_browser(response: Response) -> Response:
    # Its name is its hash, so it never changes; private, since it takes a sign-in.
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return response


@blueprint.put("/<sha256>")
def put(sha256: str) -> tuple[dict[str, object], int]:
    """Keep a photo: 201 when stored now, 200 when it was here before."""
    if not is_sha256(sha256):
        raise ApiError(400, "hash", "A photo's name is its SHA-256: 64 lower-case hexadecimal digits.")
    if context.photo_folder().find(context.database(), sha256):
        return {"sha256": sha256, "stored": True}, 200
    try:
        context.photo_folder().keep(context.database(), sha256, request.stream)
    except PhotoRefused as refused:
        raise ApiError(_STATUS[refused.code], {"size": "too_large"}.get(refused.code, refused.code), str(refused)) from refused
    return {"sha256": sha256, "stored": True}, 201
