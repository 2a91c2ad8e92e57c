"""Labels of a link to print: choose what is printed on, from which label on, and which identifiers; as PDF or as SVG files."""

from __future__ import annotations

from typing import Any

from flask import Response, abort, make_response, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from app import engine, labels
from app.core.errors import Refused
from app.office import blueprint, words
from app.store import entries
from app.sync import context

_OF_A_CABLE = ("cable", "strand", "pair")
_ONLY_HERE = ("127.0.0.1", "localhost", "[::1]")


@blueprint.route("/links/<book>/<link>/labels", methods=["GET", "POST"])
def link_labels(book: str, link: str) -> str | AnyResponse | tuple[str, int]:
    """The page, or what was asked of it: a PDF, or SVG files in a zip."""
    found, view, site = _known(book, link)
    asked = _Asked(found, view)
    if request.method == "GET":
        return _page(book, site, found, asked)
    try:
        return _file(asked, found)
    except (Refused, labels.LabelRefused) as refused:
        message = refused.as_dict()["message"] if isinstance(refused, Refused) else str(refused)
        return _page(book, site, found, asked, message), 400


def _known(book: str, link: str) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    texts = entries.texts_of(context.database(), book) or abort(404)
    try:
        with engine.opened(book, texts) as core:
            return core("identifiers", link=link), core("link", link=link), core("site")["site"]
    except Refused:
        abort(404)


class _Asked:
    """What stands in the form: as sent, or as the page offers it first."""

    def __init__(self, found: dict[str, Any], view: dict[str, Any]) -> None:
        sent = request.form
        fresh = request.method == "GET"
        self.stock = sent.get("stock", "a4-21")
        self.start = sent.get("start", "1")
        self.address = sent.get("address", request.url_root.rstrip("/"))
        self.with_code = fresh or "code" in sent
        self.as_flag = "flag" in sent
        self.form = sent.get("form", "pdf")
        usual = {row["what"] for row in found["rows"] if row["group"] != "strands"}
        self.chosen = usual if fresh else set(sent.getlist("what"))
        self.diameter = (view["fields"].get("outside_diameter") or {}).get("value")

    @property
    def only_here(self) -> bool:
        """Does the address lead to this machine alone?"""
        return request.host.rsplit(":", 1)[0] in _ONLY_HERE and request.host in self.address


def _page(book: str, site: dict[str, Any], found: dict[str, Any], asked: _Asked, wrong: str = "") -> str:
    groups = [(group, title, [row for row in found["rows"] if row["group"] == group]) for group, title in found["groups"]]
    return render_template(
        "office/labels.html",
        book=book,
        site=site,
        found=found,
        groups=groups,
        asked=asked,
        wrong=wrong,
        stocks=engine.call("label_stocks"),
    )


def _file(asked: _Asked, found: dict[str, Any]) -> Response:
    made = _drawn(asked, found)
    name = f"labels-{labels.plain(found['name']) or 'link'}-{asked.stock}"
    if asked.form == "svg":
        return _sent(labels.svg_zip(made), "application/zip", f"{name}.zip")
    title = f"Labels of {words.field_value(found['name']) or 'a link'}"
    return _sent(labels.pdf([label for _, label in made], asked.stock, _start(asked), title), "application/pdf", f"{name}.pdf")


def _drawn(asked: _Asked, found: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    chosen = [row for row in found["rows"] if row["what"] in asked.chosen]
    if not chosen:
        raise labels.LabelRefused("No label is chosen. Mark at least one identifier.")
    rows = labels.matrix(labels.address(asked.address, found["link_code"])) if asked.with_code else None
    return [(row["value"], _label(row, rows, asked)) for row in chosen]


def _label(row: dict[str, Any], rows: list[str] | None, asked: _Asked) -> dict[str, Any]:
    is_flag = asked.as_flag and asked.stock.startswith("tape") and row["what"].split(":")[0] in _OF_A_CABLE
    if is_flag and not asked.diameter:
        raise labels.LabelRefused(
            "A flag is as long as the cable is thick: record the cable's outside diameter on the link, or print it flat."
        )
    return labels.draw(row["lines"], rows, asked.stock, asked.diameter if is_flag else None)


def _start(asked: _Asked) -> int:
    if not asked.start.strip().isdecimal():
        raise labels.LabelRefused(f"'{asked.start[:20]}' is no place on a sheet. Count the first free label by rows, from 1.")
    return int(asked.start)


def _sent(data: bytes, type: str, name: str) -> Response:
    response = make_response(data)
    response.mimetype = type
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
