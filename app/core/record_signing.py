"""Record sections on who answers for it: verdict, deviations, cautions, signatures, and what they cover."""

from . import pictures, sign_off_items
from .checks.base import MEMORY_LEGEND, MEMORY_MARK, memory_mark
from .kinds import FIBRE
from .record_blocks import rows, section, table, text
from .record_words import NONE, verdict_word, when

_HOW = (
    "SHA-256 over one line an entry (its id, a blank, the SHA-256 of its text as first written), sorted by id, then one line a photo "
    "(the word photo, a blank, its SHA-256), sorted; each line ends with a line feed."
)


def verdict_section(link: dict, checks: list, summary: dict, made_at: str) -> dict:
    """The cover's verdict: the link's, its counts, who signed or that nobody did."""
    pairs = [["Verdict", verdict_words(summary)], ["Checks", _counts(summary)]]
    pairs += [["Open", _open(checks)]] if _open(checks) else []
    pairs += [["Signed", _signed(link)]]
    if link["seals"] and (link["seals"][-1]["after"] or not link["seals"][-1]["sound"]):
        pairs.append(["After signing", _after(link["seals"][-1])])
    return section("verdict", "Verdict", [rows(pairs + [["Record made", when(made_at)]])])


def verdict_words(summary: dict) -> str:
    """'Passes', 'Passes with 2 deviations', 'Fails', 'Not measured in full'."""
    if summary["pass"] + summary["fail"] + summary["not_measured"] == 0:
        return "Nothing judged yet"
    if summary["verdict"] == "not_measured":
        return "Not measured in full"
    words = verdict_word(summary["verdict"])
    if summary["deviations"]:
        words += " with " + _count(summary["deviations"], "deviation", "deviations")
    return words


def _count(number: int, one: str, more: str) -> str:
    return str(number) + " " + (one if number == 1 else more)


def _counts(summary: dict) -> str:
    total = summary["pass"] + summary["fail"] + summary["not_measured"]
    parts = [str(summary["pass"]) + " of " + _count(total, "required check", "required checks") + " pass"]
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


def _signed(link: dict) -> str:
    if not link["seals"]:
        return "Not signed. Nobody has put their name to this record yet."
    seal = link["seals"][-1]
    people = [_person(signed) for signed in seal["signatures"]]
    return "Revision " + str(seal["revision"]) + ", " + when(seal["at"]) + ", by " + "; ".join(people)


def _person(signed: dict) -> str:
    return str(signed["name"]) + (" (" + str(signed["role"]) + ")" if signed.get("role") else "")


def _after(seal: dict) -> str:
    parts = []
    if seal["after"]:
        parts.append(
            _count(len(seal["after"]), "entry", "entries") + " came after signing and are not covered by the signatures."
        )
    if seal.get("differs"):
        parts.append(_count(len(seal["differs"]), "covered entry", "covered entries") + " differ from what was signed.")
    elif not seal["sound"]:
        parts.append("The signed digest does not match the list it was made from.")
    return " ".join(parts)


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


def signatures_section(link: dict) -> dict:
    """Drawn signatures of the newest seal, and earlier revisions in a row each."""
    if not link["seals"]:
        return section("signatures", "Signatures", [text(["Not signed."])])
    seal = link["seals"][-1]
    items = []
    for signed in seal["signatures"]:
        items.append(
            {
                "name": str(signed["name"]),
                "role": str(signed.get("role") or NONE),
                "at": when(signed.get("at") or seal["at"]),
                "svg": pictures.signature(signed),
            }
        )
    earlier = []
    for held in link["seals"][:-1]:
        earlier.append(
            [
                str(held["revision"]),
                when(held["at"]),
                "; ".join([_person(signed) for signed in held["signatures"]]),
                held["digest"][:16],
            ]
        )
    before = table(["Earlier revision", "At", "Signed by", "Digest begins"], "llll", earlier)
    return section(
        "signatures", "Signatures, revision " + str(seal["revision"]), [{"form": "signatures", "items": items}, before]
    )


def covered_section(book: dict, link: dict, cover: dict) -> dict:
    """What the signatures cover, how to check it, and what came later."""
    seal = link["seals"][-1] if link["seals"] else None
    pairs = []
    if seal:
        pairs += [
            ["Signed entries", str(seal["entries"])],
            ["Signed photos", str(seal["photos"])],
            ["Signed digest", seal["digest"]],
        ]
        pairs.append(["Entries after signing", str(len(seal["after"]))])
        pairs.append(["Signed entries missing here", str(len(seal["missing"]))])
        pairs.append(["Signed entries that differ", str(len(seal["differs"]))])
    pairs += [
        ["Entries now", str(len(cover["entries"]))],
        ["Photos now", str(len(cover["photos"]))],
        ["Digest now", cover["digest"]],
    ]
    pairs.append(["How it is worked out", _HOW])
    blocks = [rows(pairs), _unsettled(link)]
    return section("covered", "What this record covers", blocks)


def _unsettled(link: dict) -> dict | None:
    if not link["conflicts"]:
        return None
    number = _count(len(link["conflicts"]), "field has", "fields have")
    return text([number + " two values that nobody has settled; both are shown where they stand."])


def footer(name: str, link: dict, cover: dict) -> list:
    """[left, right] of every page's foot: the link; revision and the digest's first sixteen digits."""
    if link["seals"]:
        seal = link["seals"][-1]
        mark = "Revision " + str(seal["revision"]) + ", digest " + seal["digest"][:16]
        return [name, mark + (", changed after signing" if seal["after"] else "")]
    return [name, "Not signed, digest " + cover["digest"][:16]]
