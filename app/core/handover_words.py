"""What a handover package says of itself in plain words: VERIFY.txt and the tags of the bag."""

from .checks.base import field
from .handover_plan import left_out_words
from .handover_text import one_line
from .numbers import pieces
from .record_signing import cautions, verdict_words
from .record_words import when

_WIDE = 92
_MOST_NAMED = 20
# For whoever has Python but not Spanbook. The first names each file that is not the one the seal lists; the second says whether the key in
# the .pem is the one whose thumbprint the text names, since a forger would bring a key of their own. No double quotes: shells differ on them.
_COMPARE = (
    "import hashlib,json,pathlib;"
    "s=json.load(open('data/seals/FILE.json',encoding='utf-8'));"
    "n={h:p for h,p in (l.rstrip('\\n').split('  ',1) for l in open('manifest-sha256.txt',encoding='utf-8'))};"
    "f=[('data/entries/'+i+'.json',h) for i,h in s['entries']]+[(n.get(h,'photo '+h),h) for h in s['photos']]"
    "+[('data/limits/'+i+'.json',h) for i,h in s['limits']];"
    "print([p for p,h in f if not pathlib.Path(p).is_file() or hashlib.sha256(pathlib.Path(p).read_bytes()).hexdigest()!=h])"
)
_KEY = (
    "import base64,hashlib,json;s=json.load(open('data/seals/FILE.json',encoding='utf-8'));"
    "k=base64.b64decode(''.join(open('data/seals/FILE.pem').read().split('\\n')[1:-2]))[-64:];"
    "u=lambda b:base64.urlsafe_b64encode(b).decode().rstrip('=');"
    "t='{~crv~:~P-256~,~kty~:~EC~,~x~:~'+u(k[:32])+'~,~y~:~'+u(k[32:])+'~}';"
    "print(hashlib.sha256(t.replace('~',chr(34)).encode()).hexdigest()==s['key'])"
)


def info(held: dict) -> list:
    """[[tag, value]...] for bag-info.txt."""
    site, link = held["site"]["site"], held["link"]
    found = [
        ["Bagging-Date", held["made_at"][:10]],
        ["Bag-Software-Agent", "Spanbook"],
        ["External-Description", "Commissioning record of the data link " + held["name"] + _revision(link)],
        ["External-Identifier", link["id"]],
    ]
    for name, tag in (("installer", "Source-Organization"), ("client", "Client"), ("name", "Site"), ("job", "Job")):
        if field(site, name):
            found.append([tag, one_line(field(site, name))])
    found += [["Spanbook-Made-At", held["made_at"]], ["Spanbook-Book", held["site"]["book"]]]
    found.append(["Spanbook-Photos-Missing", str(len(held["photos_missing"]))])
    return found + [["Spanbook-Photo-Missing", sha256] for sha256 in held["photos_missing"]]


def _revision(link: dict) -> str:
    return ", revision " + str(link["seals"][-1]["revision"]) if link["seals"] else ", not signed"


def verify_text(held: dict) -> str:
    """VERIFY.txt. held: what `handover.build` gathered."""
    parts = [_head(held), _contents(held), _damage(), _seals(held), _covers(held), _by_spanbook(), _cautions(held["link"])]
    return "\n".join(["\n".join(part) + "\n" for part in parts])


def _head(held: dict) -> list:
    title = "HANDOVER PACKAGE: " + held["name"] + _revision(held["link"])
    site = held["site"]["site"]
    lines = [title, "=" * min(len(title), _WIDE), ""]
    for name, label in (("name", "Site"), ("client", "Client"), ("place", "Place"), ("installer", "Installer"), ("job", "Job")):
        if field(site, name):
            lines.append(label + ": " + one_line(field(site, name)))
    return lines + ["Verdict: " + verdict_words(held["summary"]), "Package made: " + when(held["made_at"])]


def _contents(held: dict) -> list:
    lines = ["1  WHAT IS IN HERE", ""]
    lines += _item(
        "data/entries", _count(len(held["entries"]), "entry", "entries") + ": what was written down on site, byte for byte."
    )
    lines += _item("data/photos", _count(len(held["photos"]), "photo", "photos") + ", named by SHA-256.")
    if _signed_files(held):
        lines += _item("data/seals", "The signed texts, with the signatures of the device and its public keys.")
    if held["limits"]:
        lines += _item("data/limits", "The limit sets that the verdicts rest on.")
    lines += _item(
        "data/record.pdf", "The commissioning record. Only in a package that the office made, not in one from a phone."
    )
    lines += _item("data/plan.*", "The route for maps, WGS84 (GeoJSON, KML, GPX): " + left_out_words(held["places"]))
    tables = ["stations.csv", "readings.csv"] + held["tables"] + ["checks.csv"]
    lines += _item("data/*.csv", ", ".join(tables) + ": tables for a spreadsheet. " + _CSV)
    if held["photos_missing"]:
        lines += [""] + _wrapped(
            "NOT IN HERE: " + _count(len(held["photos_missing"]), "photo", "photos") + " that entries name. Made without them, "
            "since whoever made the package did not have them:"
        )
        lines += _named(held["photos_missing"])
    return lines


_CSV = (
    "Commas, UTF-8 with a byte order mark so that a spreadsheet shows every letter. Where a text begins as a formula does, an apostrophe "
    "stands before it; the entries hold it as it was written."
)


def _damage() -> list:
    return (
        ["2  IS ANYTHING DAMAGED", ""]
        + _wrapped("Unpack the zip, go to the folder that holds bagit.txt, and run:")
        + [
            "",
            "  Linux    sha256sum -c manifest-sha256.txt",
            "           sha256sum -c tagmanifest-sha256.txt",
            "  macOS    shasum -a 256 -c manifest-sha256.txt",
            "  Windows  Get-Content manifest-sha256.txt | ForEach-Object { $h, $f = $_ -split '  ', 2;",
            '             if ((Get-FileHash $f).Hash -ne $h) { "DIFFERS: $f" } }      (in PowerShell)',
            "",
        ]
        + _wrapped(
            "Any validator of BagIt (RFC 8493) takes the folder too. This finds damage. It does not find somebody who changed a file and "
            "made the lists anew; the seal does."
        )
    )


def _seals(held: dict) -> list:
    lines = ["3  IS THE SEAL GENUINE", ""]
    if not held["seals"]:
        return lines + _wrapped("Nobody has signed this link: there is no seal, and nothing here is more than a draft.")
    by_id = {seal["id"]: seal for seal in held["link"]["seals"]}
    for seal in held["seals"]:
        lines += _seal(seal, by_id[seal["id"]], held)
    files = _signed_files(held)
    if not files:
        return lines
    lines += _wrapped(
        "The answer has to be: Verified OK. That shows that the text is the one that the holder of the key signed. The text lists the "
        "SHA-256 of every entry, photo and limit set, and the thumbprint of the key. To hold the files here against the newest, with nothing "
        "but Python 3 (an empty pair of brackets means that all are as signed):"
    )
    lines += ["", '  python3 -c "' + _COMPARE.replace("FILE", files[-1]) + '"', ""]
    lines += _wrapped("And whether the key here is the one that the text names (True):")
    lines += ["", '  python3 -c "' + _KEY.replace("FILE", files[-1]) + '"', ""]
    return lines + _wrapped(
        "Whose key it is, this package can't prove by itself. Ask the installing firm for the thumbprint by another way, such as the "
        "telephone, and compare."
    )


def _signed_files(held: dict) -> list:
    return [seal["file"] for seal in held["seals"] if seal["signed"]]


def _seal(seal: dict, shown: dict, held: dict) -> list:
    people = [one_line(signed["name"]) + " (" + one_line(signed.get("role") or "no role") + ")" for signed in shown["signatures"]]
    lines = _wrapped("Revision " + str(shown["revision"]) + ", " + when(shown["at"]) + ", signed by " + "; ".join(people) + ".")
    if not seal["signed"]:
        return (
            lines
            + _wrapped(
                "  This seal is of an older form, without a device's key. Its entry, data/entries/"
                + seal["id"]
                + ".json, lists the SHA-256 of "
                "what it covers."
            )
            + [""]
        )
    file = "data/seals/" + seal["file"]
    lines += ["", "  openssl dgst -sha256 -verify " + file + ".pem -signature " + file + ".sig " + file + ".json", ""]
    lines.append("  Key thumbprint (RFC 7638): " + one_line(shown.get("key") or ""))
    words = held["keys"].get(shown.get("key"))
    if words:
        lines.append("  The office knows this key: " + one_line(words) + ".")
    state = held["signatures"].get(seal["id"])
    if state:
        lines.append(
            "  When the package was made the signature was " + ("good." if state == "good" else "NOT GOOD: do not rely on it.")
        )
    return lines + [""]


def _covers(held: dict) -> list:
    lines = ["4  WHAT THE SEAL COVERS, AND WHAT NOT", ""]
    if not held["seals"]:
        return lines + _wrapped("There is no seal.")
    seal, newest = held["seals"][-1], held["link"]["seals"][-1]
    covered = [_count(len(seal["entries"]), "entry", "entries"), _count(len(seal["photos"]), "photo", "photos")]
    if seal["signed"]:
        covered += [
            _count(len(seal["limits"]), "limit set", "limit sets"),
            "the verdicts",
            "the list before signing and what was acknowledged",
        ]
    lines += _wrapped(
        "Revision " + str(newest["revision"]) + " covers " + ", ".join(covered) + ", and the names and roles of who signed."
    )
    lines += [""] + _wrapped(
        "It does not cover record.pdf, the plans, the tables and this text: they were made from the entries and can be made from them again. "
        "It does not say that what was written was true, nor that a name or a phone's clock was right; it shows that nothing was changed "
        "after signing."
    )
    for words, ids in (
        ("After signing, not covered: ", newest["after"]),
        ("Covered, but not in here: ", newest["missing"]),
        ("Covered, but not as signed: ", newest["differs"]),
    ):
        if ids:
            lines += ["", words + _count(len(ids), "entry", "entries")] + _named(ids)
    return lines


def _by_spanbook() -> list:
    return ["5  THE SAME WITH SPANBOOK", "", "  spanbook verify FILE.zip", ""] + _wrapped(
        "or the page for it in the app. Both work without a server and without us, and say which files differ and who signed what, when."
    )


def _cautions(link: dict) -> list:
    lines = ["6  CAUTIONS FOR WHOEVER WORKS ON THIS LINK NEXT", ""]
    for caution in cautions(link):
        lines += _item("-", caution, 2)
    return lines


def _count(number: int, one: str, more: str) -> str:
    return str(number) + " " + (one if number == 1 else more)


def _named(ids: list) -> list:
    found = ["  " + one_line(one) for one in ids[:_MOST_NAMED]]
    rest = len(ids) - len(found)
    return found + (["  and " + str(rest) + " more"] if rest > 0 else [])


def _item(label: str, words: str, wide: int = 17) -> list:
    """A label and its words beside it, over as many lines as they take."""
    lines = _wrapped(words, _WIDE - wide)
    blank = " " * wide
    return [(label + blank)[: max(wide, len(label) + 1)] + lines[0]] + [blank + line for line in lines[1:]]


def _wrapped(words: str, wide: int = _WIDE) -> list:
    lines = [""]
    for piece in pieces(words):
        if lines[-1] and len(lines[-1]) + 1 + len(piece) > wide:
            lines.append("")
        lines[-1] += (" " if lines[-1] else "") + piece
    return lines
