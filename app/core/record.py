"""The commissioning record of a link as sections and rows: every text final, so that the phone's print page and the PDF show the same."""

from . import (
    record_earthing,
    record_fibre,
    record_limits,
    record_link,
    record_power,
    record_seal,
    record_sign_off,
    record_signing,
    record_sweep,
    record_tests,
)
from .record_words import Names, cleaned, value_of


def build(
    book_view: dict, link_view: dict, checks: list, summary: dict, applications: list, cover: dict, made_at: str, more: dict | None = None
) -> dict:
    """A link's record.

    Inputs: site view, link view, check rows, summary, applications and cover as the door gives them; made_at: time with zone; more: what is
    known beside them, {"sign_off", "after" [what came after the newest seal, in words], "signatures" {seal id: "good" | "bad"}, "keys"
    {thumbprint: words}, "identifiers" {what: text}, "photos" and "notes" of the site, "working": False leaves the annex out}.
    Result: {"title", "kind", "name", "verdict", "identity", "sections", "footer", "made_at", "lang"} (shapes in the README beside this file).
    """
    more = more or {}
    names = Names(book_view, link_view, more.get("identifiers"))
    signatures = more.get("signatures") or {}
    sections = [record_signing.verdict_section(link_view, checks, summary, made_at, signatures)]
    sections += _built(book_view, link_view, checks, names) + _measured(link_view, checks, applications, names)
    sections += [
        record_power.power_section(link_view, names, checks),
        record_earthing.earthing_section(link_view, book_view, names),
        record_link.photos_section(link_view, names),
        record_link.notes_section(link_view, names),
        record_link.site_section(more.get("photos") or [], more.get("notes") or [], names),
    ]
    sections += _answered(link_view, checks, cover, more)
    name = str(value_of(link_view, "name") or "unnamed link")
    model = {
        "title": "Commissioning record: " + name,
        "kind": "Commissioning record",
        "name": name,
        "verdict": summary["verdict"],
        "identity": record_link.identity(book_view, link_view, names),
        "sections": [section for section in sections if section],
        "footer": record_seal.footer(name, link_view, cover),
        "made_at": made_at,
        "lang": "en",
    }
    return cleaned(model)


def _built(book: dict, link: dict, checks: list, names: Names) -> list:
    return [
        record_link.plan_section(book, link),
        record_link.stations_section(link, names),
        record_link.link_section(link, names),
        record_link.ends_section(link, names),
        record_fibre.strands_section(link, checks, names),
    ]


def _measured(link: dict, checks: list, applications: list, names: Names) -> list:
    return [
        record_tests.readings_section(link, names),
        record_tests.checks_section(checks),
        record_limits.own_limits_section(link, checks, names),
        record_sweep.sweeps_section(link, checks),
        record_fibre.budget_section(link),
        record_fibre.events_section(link, checks),
        record_fibre.modules_section(link),
        record_tests.applications_section(applications),
    ]


def _answered(link: dict, checks: list, cover: dict, more: dict) -> list:
    """Who answers for what, and how anyone can hold it against the signatures."""
    off = more.get("sign_off")
    return [
        record_signing.deviations_section(link, checks),
        record_sign_off.list_section(link, off) if off else None,
        record_sign_off.stops_section(link, off) if off else None,
        record_signing.cautions_section(link),
        record_seal.signatures_section(link),
        record_seal.changes_section(link),
        record_seal.after_section(link, more.get("after") or []),
        record_seal.covered_section(link, cover, more.get("signatures") or {}, more.get("keys") or {}),
        record_seal.verify_section(link),
        record_tests.sources_section(checks),
        record_tests.working_section(checks) if more.get("working", True) else None,
    ]
