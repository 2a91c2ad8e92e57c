"""Limits as data: look-up of what the files under ``limits/`` hold.

A file is one standard and edition (or one custom): ``{"id", "title", "document", "edition", "media": [...], "rows": [...]}`` and, where a link
chooses by it, ``"chooses": "limit_set" | "burial_rule" | "electrode_reference" | "application"`` with ``"order": "10"`` (decimal text; the lowest
order of a limit set is the default). With "limit_set" the file is the choice; with the others each row that has a ``label`` is one.

A file may say in ``"difference"`` what tells it apart from the other sets of its kind.

A row: ``{"id", "what": what it is a limit of (where its keys don't tell), "value": decimal text (or text keys and lists of its own), "unit",
"sense": "max" | "min", "step": "0.01" (the resolution a verdict is judged in), "equal_passes": true, "clause", "seen": "2+" | "1" | "memory" |
"practice"}`` and the keys it is chosen by, as text. A row that is a rule in words has ``"text"`` in place of a value. A row may carry its own
``document`` and ``edition`` where a file gathers several.
"""

from .errors import Refused
from .hashes import sha256_hex
from .textform import loads

_FILES = {}
_TEXTS = {}
_ROWS = {}
_HASHES = {}
_FOUND = {}  # what `rows` gave, since the same is asked for each strand and pair


def configure(texts: dict) -> int:
    """Take the limit files: {file id: JSON text}. Result: how many. Errors: Refused("shape") for a text that is no limit file."""
    files, found, written = {}, {}, {}
    for name in sorted(texts):
        held = _read(name, texts[name])
        files[held["id"]] = held
        written[held["id"]] = texts[name]
        found[held["id"]] = {row["id"]: row for row in held["rows"]}
    _FILES.clear()
    _FILES.update(files)
    _TEXTS.clear()
    _TEXTS.update(written)
    _HASHES.clear()
    _ROWS.clear()
    _FOUND.clear()
    _ROWS.update(found)
    return len(files)


def _read(name: str, text: str) -> dict:
    try:
        held = loads(text)
    except ValueError:
        held = None
    if not isinstance(held, dict) or not isinstance(held.get("rows"), list) or not held.get("id"):
        raise Refused("shape", name, "", "a limit file with id and rows", "Load the program again.")
    return held


def file_ids() -> list:
    """Ids of all limit files, sorted."""
    return sorted(_FILES)


def sha256(file_id: str) -> str:
    """SHA-256 of a limit file's text as it was configured, in hexadecimal. Errors: Refused("unknown")."""
    _file(file_id)
    if file_id not in _HASHES:
        _HASHES[file_id] = sha256_hex(_TEXTS[file_id])
    return _HASHES[file_id]


def _file(file_id: str) -> dict:
    if file_id not in _FILES:
        raise Refused(
            "unknown", "limits", file_id, "one of " + ", ".join(sorted(_FILES)), "Choose a limit set that this program holds."
        )
    return _FILES[file_id]


def row(file_id: str, row_id: str) -> dict:
    """One row by its id. Errors: Refused("unknown")."""
    _file(file_id)
    if row_id not in _ROWS[file_id]:
        raise Refused(
            "unknown", file_id, row_id, "one of " + ", ".join(sorted(_ROWS[file_id])), "Choose a limit that this file holds."
        )
    return _ROWS[file_id][row_id]


def rows(file_id: str, **keys: str) -> list:
    """The rows whose keys have these values, in the file's order."""
    asked = (file_id, tuple([(key, keys[key]) for key in sorted(keys)]))
    if asked not in _FOUND:
        _FOUND[asked] = [held for held in _file(file_id)["rows"] if all([held.get(key) == keys[key] for key in keys])]
    return _FOUND[asked]


def document(file_id: str) -> dict:
    """What a file is: {"id", "title", "document", "edition", "media", "difference"} (from other sets of its kind; "" where nothing is said)."""
    held = _file(file_id)
    return {key: held.get(key, "") for key in ("id", "title", "document", "edition", "media", "difference")}


def chooses(file_id: str) -> str:
    """What a link chooses by this file, or ''."""
    return _file(file_id).get("chooses", "")


def source(file_id: str, held: dict) -> dict:
    """Where a row comes from: {"set": the file, "document", "edition", "clause", "seen"}."""
    of = _file(file_id)
    return {
        "set": file_id,
        "document": held.get("document", of["document"]),
        "edition": held.get("edition", of["edition"]),
        "clause": held.get("clause", ""),
        "seen": held.get("seen", "memory"),
    }


def choice_files() -> dict:
    """Which file holds the choices of a field whose choices are rows: {"burial_rules": file id, ...}."""
    found = {}
    for what in ("burial_rule", "electrode_reference", "application"):
        for held in _choosing(what)[:1]:
            found[what + "s"] = held["id"]
    return found


def _choosing(what: str) -> list:
    found = [held for held in _FILES.values() if held.get("chooses") == what]
    return sorted(found, key=lambda held: (float(held.get("order", "1000")), held["id"]))


def sets(medium: str) -> list:
    """What a link of this medium may choose as `limit_set`: [[file id, label]...], the default first."""
    return [[held["id"], held["title"]] for held in _choosing("limit_set") if medium in held["media"]]


def _labelled(what: str) -> list:
    found = []
    for held in _choosing(what):
        for entry in held["rows"]:
            if "label" in entry:
                found.append([entry["id"], entry["label"]])
    return found


def burial_rules() -> list:
    """What a link may choose as `burial_rule`: [[row id, label]...]."""
    return _labelled("burial_rule")


def electrode_references() -> list:
    """What a link may choose as `electrode_reference`: [[row id, label]...]."""
    return _labelled("electrode_reference")


def applications() -> list:
    """What a fibre link may have to carry, field `application`: [[name, label]...]."""
    return _labelled("application")


def chosen(what: str, row_id: str) -> list:
    """[file id, row] of a labelled row, whichever file holds it. Errors: Refused("unknown")."""
    for held in _choosing(what):
        if row_id in _ROWS[held["id"]]:
            return [held["id"], _ROWS[held["id"]][row_id]]
    raise Refused("unknown", what, row_id, "one of " + ", ".join(pair[0] for pair in _labelled(what)), "Choose again.")


END_FACES = "iec-61300-3-35-ed2"


def end_face_table(fibre: str | None, polish: str | None) -> str | None:
    """Which table of end-face counts applies: "MM_PC", "SM_PC" or "SM_APC"; None when the fibre, or a single-mode polish, is not known."""
    if fibre is None:
        return None
    if fibre.startswith("OM"):
        return "MM_PC"
    return {"PC": "SM_PC", "UPC": "SM_PC", "APC": "SM_APC"}.get(polish or "")


def end_face_forms() -> dict:
    """What to count, by table: {table: [{"zone", "name", "diameter", "fields": [{"name", "label", "max"}...]}...]}; for the form on the phone."""
    forms = {}
    for zone in rows(END_FACES, kind="zone"):
        fields = rows(END_FACES, kind="count", table=zone["table"], zone=zone["zone"])
        listed = [{"name": held["name"], "label": held["meaning"], "max": held["value"]} for held in fields]
        entry = {"zone": zone["zone"], "name": zone["name"], "diameter": zone["diameter"] + " \u00b5m", "fields": listed}
        forms.setdefault(zone["table"], []).append(entry)
    return forms
