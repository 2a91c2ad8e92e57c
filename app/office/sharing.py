"""Links for clients: made, listed and revoked on the link's page."""

from __future__ import annotations

from flask import abort, flash, redirect, url_for
from werkzeug.wrappers import Response

from app.office import blueprint
from app.office.asking import asked
from app.office.forms import ShareForm
from app.office.link import page
from app.store import shares
from app.store.people import Person
from app.store.shares import ShareRefused
from app.sync import context


def _person() -> Person:
    person = context.person()
    assert person
    return person


@blueprint.post("/links/<book>/<link>/shares")
def add_share(book: str, link: str) -> str | tuple[str, int]:
    """Make a link for a client. Its address is on this answer and nowhere else: only its hash is kept."""
    if not asked(book, lambda core: core("link", link=link)["seals"]):
        abort(404)
    form = ShareForm()
    if not form.validate_on_submit():
        return page(book, link, form), 400
    try:
        _, token = shares.make(context.database(), book, link, _person().id, form.for_whom.data or "", form.last_day.data or "")
    except ShareRefused as refused:
        field = form[refused.field]
        field.errors = [*field.errors, str(refused)]
        return page(book, link, form), 400
    return page(book, link, ShareForm(formdata=None), url_for("client.record_page", token=token, _external=True))


@blueprint.get("/links/<book>/<link>/shares")
def shares_again(book: str, link: str) -> Response:
    """Whoever opens the address of that answer again is on the link's page."""
    return redirect(url_for("office.link_page", book=book, link=link) + "#clients", 303)


@blueprint.post("/links/<book>/<link>/shares/<int:number>/revoke")
def revoke_share(book: str, link: str, number: int) -> Response:
    """End a client's link at once."""
    if not shares.revoke(context.database(), book, link, number, _person().id):
        abort(404)
    flash("The client's link is revoked: it shows nothing any more.")
    return redirect(url_for("office.link_page", book=book, link=link) + "#clients", 303)
