"""The addresses under /c. Whatever isn't one open record is the same page, so that nothing can be learnt from it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from flask import Response, g, make_response, render_template, request, send_file
from flask_limiter.util import get_remote_address

from app.client import blueprint, drawing
from app.client.standing import standing
from app.config import WRONG_SHARES_PER_ADDRESS
from app.office import jobs
from app.office.making import all_jobs
from app.office.orders import PAPERS, client_record
from app.store import keys, shares
from app.store.images import JPEG, NotShown, rendition
from app.store.photos import checked_photo
from app.store.shares import Share
from app.sync import context, errors
from app.sync.signing_in import limiter

if TYPE_CHECKING:
    from app.record.made import Signed

_PHOTO_PX = 1600
_PDF_SECONDS = 300
_OPEN = ("verdict", "plan", "deviations", "stops", "signatures", "changes")
# In place of a picture that is damaged or too large to be made smaller here; its bytes are in the handover package.
_UNSHOWN = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="400" height="300" viewBox="0 0 400 300" font-family="sans-serif" font-size="20">'
    '<rect x="2" y="2" width="396" height="296" fill="#fff" stroke="#4a5258" stroke-width="4"/>'
    '<text x="24" y="140" fill="#14181b">This picture can\'t be shown here.</text>'
    '<text x="24" y="172" fill="#14181b">Its file is kept as it was signed.</text></svg>'
)
_HEADERS = {
    "Cache-Control": "no-store",
    "X-Robots-Tag": "noindex, nofollow, noarchive",
    # The address is the key: it must not be told to whoever is linked to.
    "Referrer-Policy": "no-referrer",
}
_WORDS = {
    429: "There were too many wrong addresses from your network. Wait five minutes, then open the link again.",
    500: "The server has a fault and can't show this page. Try again later.",
    503: "The server has much to do. Try again in a minute.",
}


class _Gone(Exception):
    """No open record is at this address: the token is wrong, revoked or over, or asks for something else."""


def _with_headers(response: Response) -> Response:
    response.headers.update(_HEADERS)
    return response


def nothing(status: int = 404) -> Response:
    """The one page for everything that isn't an open record; other words only for a server in need."""
    known = status if status in _WORDS else 404
    return _with_headers(make_response(render_template("client/nothing.html", words=_WORDS.get(known)), known))


errors.word_pages("/c", nothing)


def _was_wrong(_: Response) -> bool:
    return bool(g.get("wrong_share"))


def _limited(view: Callable[..., Any]) -> Callable[..., Any]:
    return limiter.shared_limit(
        WRONG_SHARES_PER_ADDRESS, scope="wrong share", key_func=get_remote_address, methods=None, deduct_when=_was_wrong
    )(view)


def _share(token: str) -> Share:
    found = shares.open_for(context.database(), token)
    if found is None:
        g.wrong_share = True
        raise _Gone
    return found


def _signed(token: str) -> Signed:
    # Loaded when the first record is made, since it brings the typesetter.
    from app.record import made

    share = _share(token)
    found = made.signed(context.database(), share.book, share.link)
    if found is None:
        raise _Gone
    return found


def _photos(signed: Signed) -> dict[str, str]:
    """How each signed photo is here: {SHA-256: "here", "missing" or "altered"}."""
    folder, db = context.photo_folder(), context.database()
    return {sha256: checked_photo(folder, db, sha256) for sha256 in signed.covered.photos}


@blueprint.errorhandler(_Gone)
def _on_gone(_: _Gone) -> Response:
    return nothing()


@blueprint.after_request
def _sealed(response: Response) -> Response:
    return _with_headers(response)


@blueprint.get("/<token>")
@_limited
def record_page(token: str) -> str:
    """The newest signed revision, from nothing but what its seal covers."""
    signed = _signed(token)
    found = _photos(signed)
    here = {sha256 for sha256, state in found.items() if state == "here"}
    counts = [list(found.values()).count(state) for state in ("missing", "altered")]
    head = standing(signed, keys.words(context.database()), *counts)
    record = signed.asked.model if signed.asked else None
    return render_template(
        "client/record.html", token=token, head=head, record=record, here=here, open=_OPEN, inline=drawing.inline
    )


@blueprint.get("/<token>/photos/<sha256>")
@_limited
def photo(token: str, sha256: str) -> Response:
    """A photo of this record as an upright JPEG without the camera's hidden data; one that was altered is not shown."""
    if sha256 not in _signed(token).covered.photos:
        raise _Gone
    folder, db = context.photo_folder(), context.database()
    found = folder.find(db, sha256)
    if found is None or checked_photo(folder, db, sha256) != "here":
        raise _Gone
    try:
        return Response(rendition(found.path, _PHOTO_PX), mimetype=JPEG)
    except NotShown:
        return Response(_UNSHOWN, mimetype="image/svg+xml")


@blueprint.get("/<token>/record.pdf")
@_limited
def record_pdf(token: str) -> Response:
    """The same record as PDF. Made once in the background, so that many who ask at once wait for one file."""
    share, signed, paper = _share(token), _signed(token), request.args.get("paper", "a4")
    if signed.asked is None or paper not in PAPERS:
        raise _Gone
    order, owner = client_record(signed, paper, _photos(signed)), f"share {share.number}"
    try:
        job = all_jobs().made_before(owner, order.key) or all_jobs().start(owner, order)
    except jobs.Busy:
        return nothing(503)
    job.ended.wait(_PDF_SECONDS)
    if job.state != jobs.DONE:
        return nothing(503 if job.is_open else 500)
    return send_file(job.path, order.media_type, download_name=order.file_name, etag=False)


@blueprint.get("/")
@blueprint.get("/<path:rest>")
@_limited
def elsewhere(rest: str = "") -> Response:
    """Nothing else is here."""
    g.wrong_share = True
    return nothing()
