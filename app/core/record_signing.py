"""Record sections on who answers for it: verdict, deviations, cautions."""

from . import sign_off_items
from .checks.base import MEMORY_LEGEND, MEMORY_MARK, memory_mark
from .kinds import FIBRE
from .record_blocks import rows, section, table, text
from .record_seal import count, cover_rows
from .record_words import verdict_word, when


def verdict_section(link: dict, checks: list, summary: dict, made_at: str, signatures: dict | None = None) -> dict:
    """The cover's verdict: the link's, its counts, who signed or that nobody did."""
    pairs = [["Verdict", verdict_words(summary)], ["Checks", _counts(summary)]]
    pairs += [["Open", _open(checks)]] if _open(checks) else []
    pairs += cover_rows(link, signatures or {})
    return section("verdict", "Verdict", [rows(pairs + [["Record made", when(made_at)]])])


def verdict_words(summary: dict) -> str:
    """'Passes', 'Passes with 2 deviations', 'Fails', 'Not measured in full'."""
    if summary["pass"] + summary["fail"] + summary["not_measured"] == 0:
        return "Nothing judged yet"
    if summary["verdict"] == "not_measured":
        return "Not measured in full"
    words = verdict_word(summary["verdict"])
    if summary["deviations"]:
        words += " with " + count(summary["deviations"], "deviation", "deviations")
    return words


def _counts(summary: dict) -> str:
    total = summary["pass"] + summary["fail"] + summary["not_measured"]
    parts = [str(summary["pass"]) + " of " + count(total, "required check", "required checks") + " pass"]
    parts.append(str(summary["fail"]) + (" fails" if summary["fail"] == 1 else " fail"))
    return ", ".join(parts) + ", " + str(summary["not_measured"]) + " not measured"


def _open(checks: list) -> str:
    """Titles of required checks that neither pass nor are accepted, failing ones first."""
    failing, waiting = [], []
    for check in checks:
        if check["required"] and not check["deviation"]:
            if check["verdict"] in ("fail", "fail_within_uncertainty"):
                failing.append("fails: " + check["title"] + memory_mark(check))
            elif check["verdict"] == "not_measured":
                waiting.append("not measured: " + check["title"])
    found = failing + waiting
    rest = len(found) - 8
    legend = "\n" + MEMORY_LEGEND if [words for words in found[:8] if words.endswith(MEMORY_MARK)] else ""
    return "\n".join(found[:8]) + ("\nand " + str(rest) + " more, see Margins" if rest > 0 else "") + legend


def deviations_section(link: dict, checks: list) -> dict:
    """What was accepted although it fails, was not measured or is not written down; the newest word on each counts."""
    found = {check["id"]: check for check in checks}
    items = {"item:" + item["id"]: item for item in sign_off_items.written(link)}
    body, marked = [], False
    for deviation in link["deviations"]:
        about = found.get(deviation["check"]) or items.get(deviation["check"])
        marked = marked or bool(about and "verdict" in about and memory_mark(about))
        body.append(_deviation_row(deviation, about))
    shown = table(["Check", "Verdict", "Accepted because", "Accepted by", "At"], "lllll", body)
    legend = text([MEMORY_LEGEND]) if marked else None
    return section("deviations", "Deviations accepted", [shown or text(["None."]), legend])


def _deviation_row(deviation: dict, about: dict | None) -> list:
    """about: the check or the item of the sign-off list that it names, if there is one still."""
    state = "no longer applies"
    if about:
        state = verdict_word(about["verdict"]) + memory_mark(about) if "verdict" in about else _written_word(about)
    if not (about and about["deviation"] and about["deviation"]["entry"] == deviation["entry"]):
        state += ", no longer needed or replaced"
    title = about["title"] if about else sign_off_items.title_of(deviation["check"]) or deviation["check"]
    return [title, state, deviation["reason"], deviation["name"], when(deviation["at"])]


def _written_word(item: dict) -> str:
    return "Written down" if item["state"] == "done" else "Not written down"


def cautions(link: dict) -> list:
    """What whoever works here next must heed. Own words; local code and licensed practice govern."""
    lines = [
        "Before digging: have other services located and marked, and dig by hand near the line. A position is as good as stated beside it.",
        "An earth conductor that is opened can take a dangerous voltage. Only those licensed for it open it, with the supply made safe.",
        "The two buildings may have different earth potentials. Measure between them before touching both, and before joining metal from both.",
        "Do not work on this cable or its protectors when a thunderstorm is near.",
    ]
    if link["medium"] == FIBRE:
        lines.append(
            "Fibre carries light that the eye does not see and that can harm it. Switch off both ends or cap them before looking at an end face."
        )
    else:
        lines.append("The pairs may carry power. Switch off the source before opening, testing or re-terminating the cable.")
        lines.append("After a surge, test the protectors and their earth leads before trusting the link.")
    return lines + ["Local code and licensed practice govern all work; this record replaces neither."]


def cautions_section(link: dict) -> dict:
    """The cautions as a section of the record."""
    return section("cautions", "Cautions for whoever works on it next", [text(cautions(link))])
