"""Links, search, sites, photos: what the office reads. Nothing here writes."""

from __future__ import annotations

from typing import Any

from flask import Response, abort, render_template, request

from app.config import LINKS_PER_PAGE, ROWS_PER_PAGE
from app.office import blueprint
from app.office.asking import asked, page_number
from app.store import index
from app.sync import context
from app.sync.photos import as_jpeg

_THUMBNAIL_PX = 480


@blueprint.get("/")
def links() -> str:
    """All links, or those that match the typed words, by client and site."""
    typed = request.args.get("q", "")[:200]
    page = page_number()
    total, found = index.find(context.database(), typed, (page - 1) * LINKS_PER_PAGE, LINKS_PER_PAGE)
    pages = max(1, -(-total // LINKS_PER_PAGE))
    return render_template("office/links.html", links=found, total=total, typed=typed, page=page, pages=pages)


@blueprint.get("/sites/<book>")
def site(book: str) -> str:
    """One site: buildings, links, photos, what needs someone's eye."""
    view, seen = asked(book, lambda core: _site_parts(core))
    page = page_number()
    shown = seen[(page - 1) * ROWS_PER_PAGE : page * ROWS_PER_PAGE]
    here = {photo["sha256"] for photo in shown if context.photo_folder().find(context.database(), photo["sha256"])}
    pages = max(1, -(-len(seen) // ROWS_PER_PAGE))
    return render_template("office/site.html", view=view, photos=shown, here=here, book=book, page=page, pages=pages)


def _site_parts(core: Any) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    view = core("book")
    photos = [photo | {"where": "Site"} for photo in view["photos"]]
    for link in view["links"]:
        photos += [photo | {"where": link["name"] or "Link"} for photo in core("link", link=link["id"])["photos"]]
    return view, photos


@blueprint.get("/sites/<book>/plan.svg")
def site_plan(book: str) -> Response:
    """The plan as core draws it."""
    drawn = asked(book, lambda core: core("picture", which="site"))
    return Response(drawn["svg"], mimetype="image/svg+xml")


@blueprint.get("/photos/<sha256>")
def photo(sha256: str) -> Response:
    """A small JPEG of a photo for the pages; the photo itself is at /api/photos."""
    found = context.photo_folder().find(context.database(), sha256) or abort(404)
    return as_jpeg(found, _THUMBNAIL_PX)
