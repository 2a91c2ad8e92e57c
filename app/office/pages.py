"""Links, sites, records: what the office reads. Nothing here writes."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import groupby
from typing import Any

from flask import Response, abort, make_response, render_template, request

from app import engine
from app.config import LINKS_PER_PAGE, ROWS_PER_PAGE
from app.core.errors import Refused
from app.office import blueprint, words
from app.store import entries, index
from app.store.database import now
from app.store.images import NotShown, rendition
from app.sync import context
from app.sync.photos import as_jpeg

_THUMBNAIL_PX = 480
_RECORD_PHOTO_PX = 1600


def _page_number() -> int:
    return min(max(request.args.get("page", 1, type=int), 1), 1_000_000)


@blueprint.get("/")
def links() -> str:
    """All links, or those that match the typed words, by client and site."""
    typed = request.args.get("q", "")[:200]
    page = _page_number()
    total, found = index.find(context.database(), typed, (page - 1) * LINKS_PER_PAGE, LINKS_PER_PAGE)
    pages = max(1, -(-total // LINKS_PER_PAGE))
    return render_template("office/links.html", links=found, total=total, typed=typed, page=page, pages=pages)


def _texts(book: str) -> list[str]:
    return entries.texts_of(context.database(), book) or abort(404)


def _asked(book: str, ask: Callable[[Any], Any]) -> Any:
    """What core answers about a stored book; a page that isn't there when it doesn't know the thing."""
    try:
        with engine.opened(book, _texts(book)) as core:
            return ask(core)
    except Refused:
        abort(404)


@blueprint.get("/sites/<book>")
def site(book: str) -> str:
    """One site: buildings, links, photos, what needs someone's eye."""
    view, seen = _asked(book, lambda core: _site_parts(core))
    page = _page_number()
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
    drawn = _asked(book, lambda core: core("picture", which="site"))
    return Response(drawn["svg"], mimetype="image/svg+xml")


@blueprint.get("/links/<book>/<link>")
def link_page(book: str, link: str) -> str:
    """One link: every check with measured, limit, margin, verdict, source; readings; seals."""

    def parts(core: Any) -> tuple[Any, Any, Any]:
        return core("book"), core("link", link=link), core("checks", link=link)

    whole, view, judged = _asked(book, parts)
    groups = [(name, list(rows)) for name, rows in groupby(judged["checks"], key=lambda check: check["group"])]
    page = _page_number()
    pages = max(1, -(-len(view["readings"]) // ROWS_PER_PAGE))
    readings = view["readings"][(page - 1) * ROWS_PER_PAGE : page * ROWS_PER_PAGE]
    about = {"book": book, "site": whole["site"], "link": view, "summary": judged["summary"]}
    return render_template("office/link.html", **about, groups=groups, readings=readings, page=page, pages=pages)


@blueprint.get("/links/<book>/<link>/record.pdf")
def record_pdf(book: str, link: str) -> Response:
    """The commissioning record as PDF; `?paper=letter` for that size."""
    from app import record

    paper = request.args.get("paper", "a4")
    if paper not in ("a4", "letter"):
        abort(404)
    name, model = _asked(book, lambda core: (core("link", link=link)["fields"], core("record", link=link, made_at=now())))
    response = make_response(record.pdf(model, _record_photo, paper))
    response.mimetype = "application/pdf"
    response.headers["Content-Disposition"] = f'inline; filename="{_file_name(name)}"'
    return response


def _file_name(fields: dict[str, Any]) -> str:
    """A link's name as a file name: plain letters only, since headers carry no others."""
    plain = re.sub(r"[^A-Za-z0-9]+", "-", words.field_value(fields.get("name"))).strip("-")
    return f"record-{plain}.pdf" if plain else "record.pdf"


def _record_photo(sha256: str) -> bytes | None:
    """A photo for the record as JPEG; None when it isn't here or can't be shown."""
    photo = context.photo_folder().find(context.database(), sha256)
    try:
        return rendition(photo.path, _RECORD_PHOTO_PX) if photo else None
    except NotShown:
        return None


@blueprint.get("/photos/<sha256>")
def photo(sha256: str) -> Response:
    """A small JPEG of a photo for the pages; the photo itself is at /api/photos."""
    found = context.photo_folder().find(context.database(), sha256) or abort(404)
    return as_jpeg(found, _THUMBNAIL_PX)
