"""The commissioning record of a link as sections and rows: every text final, so that the phone's print page and the PDF show the same."""

from . import record_earthing, record_fibre, record_limits, record_link, record_power, record_signing, record_sweep, record_tests
from .record_words import Names, cleaned, value_of


def build(book_view: dict, link_view: dict, checks: list, summary: dict, applications: list, cover: dict, made_at: str) -> dict:
    """A link's record.

    Inputs: site view, link view, check rows, summary, applications and cover as the door gives them; made_at: time with zone.
    Result: {"title", "identity", "sections", "footer", "made_at", "lang"} (shapes in the README beside this file).
    """
    names = Names(book_view, link_view)
    sections = [
        record_signing.verdict_section(link_view, checks, summary, made_at),
        record_link.plan_section(book_view, link_view),
        record_tests.checks_section(checks),
        record_sweep.sweeps_section(link_view, checks),
        record_limits.own_limits_section(link_view, checks, names),
        record_fibre.strands_section(link_view, checks),
        record_fibre.events_section(link_view, checks),
        record_tests.applications_section(applications),
        record_signing.deviations_section(link_view, checks),
        record_link.link_section(link_view, names),
        record_link.ends_section(link_view, names),
        record_power.power_section(link_view, names, checks),
        record_earthing.earthing_section(link_view, book_view, names),
        record_link.stations_section(link_view, names),
        record_tests.readings_section(link_view, names),
        record_fibre.modules_section(link_view),
        record_link.photos_section(link_view, names),
        record_link.notes_section(link_view, names),
        record_signing.cautions_section(link_view),
        record_signing.signatures_section(link_view),
        record_signing.covered_section(book_view, link_view, cover),
        record_tests.sources_section(checks),
        record_tests.working_section(checks),
    ]
    name = str(value_of(link_view, "name") or "unnamed link")
    model = {
        "title": "Commissioning record: " + name,
        "identity": record_link.identity(book_view, link_view, names),
        "sections": [section for section in sections if section],
        "footer": record_signing.footer(name, link_view, cover),
        "made_at": made_at,
        "lang": "en",
    }
    return cleaned(model)
