"""How stored values and verdicts read on a page. Numbers come as text from core and stay as they are."""

from __future__ import annotations

from functools import cache
from typing import Any

from app import engine
from app.office import blueprint

VERDICTS = {
    "pass": "passes",
    "pass_within_uncertainty": "passes within uncertainty",
    "fail_within_uncertainty": "fails within uncertainty",
    "fail": "fails",
    "not_measured": "not measured",
}
# A shape beside the word, so that colour is never the only sign: the field book's own, a block above its limit line, across it, or below.
SHAPES = {
    "pass": [("solid", "M6 3h12v10H6z"), ("stroke", "M1 19h22")],
    "pass_within_uncertainty": [("solid", "M6 3h12v11H6z"), ("stroke", "M7 14v7h10v-7M1 14h22")],
    "fail_within_uncertainty": [("solid", "M6 10h12v11H6z"), ("stroke", "M7 10V3h10v7M1 10h22")],
    "fail": [("solid", "M6 11h12v10H6z"), ("stroke", "M1 5h22")],
    "not_measured": [("stroke", "M6 6h12v12H6z")],
}
SEEN = {
    "2+": "seen in two or more public places",
    "1": "seen in one public place",
    "memory": "from memory, not read in the document",
    "practice": "common practice",
    "typed": "typed in for this link",
}


@cache
def _described() -> dict[str, Any]:
    described: dict[str, Any] = engine.call("describe")
    return described


@blueprint.app_template_filter("verdict_word")
def verdict_word(verdict: str) -> str:
    """The word for a verdict."""
    return VERDICTS.get(verdict, verdict)


@blueprint.app_template_filter("verdict_shape")
def verdict_shape(verdict: str) -> list[tuple[str, str]]:
    """The shape for a verdict: SVG paths with their class."""
    return SHAPES.get(verdict, SHAPES["not_measured"])


@blueprint.app_template_filter("with_unit")
def with_unit(part: dict[str, Any] | None) -> str:
    """'0.42 dB' of {text, unit}; empty for nothing."""
    return f"{part['text']} {part.get('unit') or ''}".strip() if part else ""


@blueprint.app_template_filter("limit_text")
def limit_text(limit: dict[str, Any] | None) -> str:
    """'at most 1.57 dB' of a limit."""
    sense = {"max": "at most ", "min": "at least "}.get(limit.get("sense", ""), "") if limit else ""
    return sense + with_unit(limit)


@blueprint.app_template_filter("source_text")
def source_text(source: dict[str, Any] | None) -> str:
    """Where a limit comes from and how sure that is, in core's words."""
    return str(source["text"]) if source else ""


@blueprint.app_template_filter("moment")
def moment(at: str | None) -> str:
    """'2026-03-14 10:22' of a device time with its zone."""
    return (at or "")[:16].replace("T", " ")


@blueprint.app_template_filter("field_value")
def field_value(shown: Any) -> str:
    """A field's value as typed: text, '0,42 dB', latitude and longitude."""
    value = shown.get("value") if isinstance(shown, dict) and "also" in shown else shown
    if isinstance(value, dict):
        if "lat" in value:
            return f"{value['lat']}, {value.get('lon')}"
        return f"{value.get('value', '')} {value.get('unit') or ''}".strip()
    return "" if value is None else str(value)


@blueprint.app_template_filter("medium_word")
def medium_word(medium: str) -> str:
    """The words for a kind of link."""
    return str(dict(_described()["words"]["media"]).get(medium, medium))


@blueprint.app_template_filter("field_label")
def field_label(name: str, kind: str) -> str:
    """A field's label as the phone shows it."""
    labels = {field["name"]: field["label"] for field in _described()["things"].get(kind, [])}
    return str(labels.get(name, name))


@blueprint.app_template_filter("quantity_title")
def quantity_title(name: str) -> str:
    """A quantity's title as the phone shows it."""
    titles = {quantity["name"]: quantity["title"] for quantity in _described()["quantities"]}
    return str(titles.get(name, name))


@blueprint.app_template_filter("group_word")
def group_word(name: str) -> str:
    """The words for a group of checks."""
    return str(dict(_described()["words"]["groups"]).get(name, name))


@blueprint.app_template_filter("code")
def code(address: str) -> str:
    """An address as a QR code for a phone's camera: a picture inside the page, since nothing else may know the address."""
    import segno

    picture: str = segno.make(address, error="m").svg_data_uri(border=4, scale=4)
    return picture


@blueprint.app_template_filter("grouped")
def grouped(hexadecimal: str) -> str:
    """Eight digits at a time, so that two people can read them to each other."""
    return " ".join(hexadecimal[start : start + 8] for start in range(0, len(hexadecimal), 8))
