"""One link: verdicts, readings, who signed what, links for clients; its record at an address of its own."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from flask import Response, abort, make_response, render_template, request

from app.config import ROWS_PER_PAGE
from app.office import blueprint, orders, signed
from app.office.asking import asked, page_number
from app.office.forms import ShareForm
from app.store import entries, keys, shares
from app.sync import context


@blueprint.get("/links/<book>/<link>")
def link_page(book: str, link: str) -> str:
    """Every check with measured, limit, margin, verdict, source; readings; seals; what can be handed out."""
    return page(book, link, ShareForm(formdata=None))


def page(book: str, link: str, share_form: ShareForm, new_address: str = "") -> str:
    """The link's page, with the form for a client's link as it was sent, and the address of one that was just made."""
    found = asked(book, lambda core: _parts(core, book, link))
    number, readings = page_number(), found["link"]["readings"]
    shown = readings[(number - 1) * ROWS_PER_PAGE : number * ROWS_PER_PAGE]
    pages = max(1, -(-len(readings) // ROWS_PER_PAGE))
    listed = shares.of_link(context.database(), book, link)
    revisions = signed.revisions(found["link"]["seals"], found["seals"], found["since"], keys.words(context.database()))
    about = {"book": book, "papers": orders.PAPERS, "revisions": revisions, "shares": listed, "share_form": share_form}
    more = {"readings": shown, "page": number, "pages": pages, "new_address": new_address}
    return render_template("office/link.html", **found, **about, **more)


def _parts(core: Any, book: str, link: str) -> dict[str, Any]:
    judged, view = core("checks", link=link), core("link", link=link)
    return {
        "site": core("site")["site"],
        "link": view,
        "summary": judged["summary"],
        "groups": [(name, list(rows)) for name, rows in groupby(judged["checks"], key=lambda check: check["group"])],
        "seals": core("seals", texts=entries.seals_of(context.database(), book)),
        "since": core("since_signing", link=link),
        "sign_off": core("sign_off", link=link),
    }


@blueprint.get("/links/<book>/<link>/record.pdf")
def record_pdf(book: str, link: str) -> Response:
    """The commissioning record as PDF at once, for the phone's link to it; `?paper=letter` for that size."""
    from app.record import made

    paper = request.args.get("paper", "a4")
    if paper not in orders.PAPERS:
        abort(404)
    view = asked(book, lambda core: core("link", link=link))
    response = make_response(made.make(context.database(), context.photo_folder(), book, link, paper))
    response.mimetype = orders.PDF
    name = orders.file_name("record", view["fields"], orders.revision_of(view), "pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return response
