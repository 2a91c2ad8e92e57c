"""What the phone is given before it signs in: start page, service worker with its list, files. Public, without user data."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import re
from functools import cache, lru_cache
from pathlib import Path

from flask import Blueprint, Response, abort, render_template, request

from app import engine
from app.paths import NODE_MODULES, STATIC

blueprint = Blueprint("shell", __name__)

_MICROPYTHON = "@micropython/micropython-webassembly-pyscript"
_FONTS = "@expo-google-fonts/source-sans-3"
IMPORTS = {
    "lit-html": "/parts/lit-html/lit-html.js",
    "lit-html/": "/parts/lit-html/",
    "idb": "/parts/idb/build/index.js",
    "fflate": "/parts/fflate/esm/browser.js",
    "signature_pad": "/parts/signature_pad/dist/signature_pad.js",
    "uqr": "/parts/uqr/dist/index.mjs",
    "micropython": f"/parts/{_MICROPYTHON}/micropython.mjs",
}
# Exactly the text between the tags: the browser hashes it against the policy.
IMPORT_MAP = json.dumps({"imports": IMPORTS}, separators=(",", ":"))

# Third-party files that may be served. The phone's list takes all but the lit-html ones, of which it takes what is imported.
_PARTS = (
    "idb/build/index.js",
    "fflate/esm/browser.js",
    "signature_pad/dist/signature_pad.js",
    "uqr/dist/index.mjs",
    f"{_MICROPYTHON}/micropython.mjs",
    f"{_MICROPYTHON}/micropython.wasm",
    f"{_FONTS}/500Medium/SourceSans3_500Medium.ttf",
    f"{_FONTS}/700Bold/SourceSans3_700Bold.ttf",
)
_LIT_FILE = re.compile(r"lit-html/(?:directives/)?[a-z-]+\.js")
_LIT_IN_OUR_FILES = re.compile(r"""["'](lit-html(?:/[\w./-]+)?)["']""")
_LINK_CODE = re.compile(r"[0-9A-Fa-f]{12}")
_IMPORTED = re.compile(r"""(?:from|import)\s*["'](\.{1,2}/[\w./-]+\.js)["']""")

_STATIC_FOLDERS = ("js", "css", "icons")
_MANIFEST = "manifest.webmanifest"
# Ours, but not the phone's.
_NOT_FOR_PHONE = ("/static/js/sw.template.js", "/static/js/office/", "/static/css/office.css", "/static/css/client.css")
_TYPES = {
    ".js": "text/javascript",
    ".mjs": "text/javascript",
    ".wasm": "application/wasm",
    ".css": "text/css",
    ".ttf": "font/ttf",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".ico": "image/x-icon",
    ".webmanifest": "application/manifest+json",
}


@cache
def content_security_policy() -> str:
    """The one policy of every answer, worker scripts included (a worker goes by the policy it came with)."""
    digest = base64.b64encode(hashlib.sha256(IMPORT_MAP.encode()).digest()).decode()
    return "; ".join(
        (
            "default-src 'self'",
            f"script-src 'self' 'wasm-unsafe-eval' 'sha256-{digest}'",
            "worker-src 'self'",
            "connect-src 'self'",
            "img-src 'self' blob: data:",
            "style-src 'self'",
            "object-src 'none'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
            "form-action 'self'",
        )
    )


def _file(path: Path) -> Response:
    type = _TYPES.get(path.suffix)
    if type is None or not path.is_file():
        abort(404)
    return _checked_each_time(path.read_bytes(), type, _file_sha256(path))


def _checked_each_time(data: bytes, type: str, sha256: str) -> Response:
    """Kept by the browser, but asked for anew by its hash: the service worker is what makes it fast.

    Sent packed where the browser takes it: on a weak signal the first visit is a third as long.
    """
    packed = "gzip" in request.accept_encodings and type != "image/png"
    response = Response(_gzipped(sha256, data) if packed else data, content_type=type)
    if packed:
        response.headers["Content-Encoding"] = "gzip"
    response.headers["Vary"] = "Accept-Encoding"
    response.headers["Cache-Control"] = "no-cache"
    response.set_etag(sha256)
    response.make_conditional(request)
    return response


def _gzipped(sha256: str, data: bytes) -> bytes:
    if sha256 not in _packed:
        if len(_packed) > 1000:  # only while files change under a running server
            _packed.clear()
        _packed[sha256] = gzip.compress(data, 9, mtime=0)
    return _packed[sha256]


_packed: dict[str, bytes] = {}


def _file_sha256(path: Path) -> str:
    found = path.stat()
    return _sha256_of(path, found.st_mtime_ns, found.st_size)


@lru_cache(maxsize=1024)
def _sha256_of(path: Path, changed_ns: int, size: int) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _start_page() -> bytes:
    return render_template("shell.html", import_map=IMPORT_MAP).encode()


@blueprint.get("/")
def start() -> Response:
    """The start page: the same for everyone, so that it may be kept on the phone."""
    page = _start_page()
    return _checked_each_time(page, "text/html; charset=utf-8", hashlib.sha256(page).hexdigest())


@blueprint.get("/L/<code>")
def scanned(code: str) -> Response:
    """What the code on a label leads to: the start page, which finds the link among the books on the phone. Nothing is looked up here."""
    if not _LINK_CODE.fullmatch(code):
        abort(404)
    return start()


@blueprint.get("/core.json")
def core() -> Response:
    """Core as the phone runs it."""
    bundle = engine.bundle()
    return _checked_each_time(bundle, "application/json", hashlib.sha256(bundle).hexdigest())


@blueprint.get(f"/{_MANIFEST}")
def manifest() -> Response:
    """How the phone installs the app."""
    return _file(STATIC / _MANIFEST)


@blueprint.get("/static/<folder>/<path:name>")
def static_file(folder: str, name: str) -> Response:
    """Our own files of the phone and the office pages."""
    inside = (STATIC / folder).resolve()
    path = (inside / name).resolve()
    if folder not in _STATIC_FOLDERS or not path.is_relative_to(inside):
        abort(404)
    return _file(path)


@blueprint.get("/parts/<path:name>")
def part(name: str) -> Response:
    """The third-party files that the phone needs, and no other."""
    if name not in _PARTS and not _LIT_FILE.fullmatch(name):
        abort(404)
    return _file(NODE_MODULES / name)


def _own_addresses() -> list[str]:
    found = [f"/{_MANIFEST}"] if (STATIC / _MANIFEST).is_file() else []
    for folder in _STATIC_FOLDERS:
        files = (path for path in sorted((STATIC / folder).rglob("*")) if path.suffix in _TYPES)
        found += [f"/static/{path.relative_to(STATIC).as_posix()}" for path in files]
    return [address for address in found if not address.startswith(_NOT_FOR_PHONE)]


def _lit_parts() -> list[str]:
    """The lit-html files that our modules import, and those that these import."""
    waiting = {"lit-html/lit-html.js"}
    for path in (STATIC / "js").rglob("*.js"):
        imported = _LIT_IN_OUR_FILES.findall(path.read_text(encoding="utf-8"))
        waiting.update(name for name in imported if name != "lit-html")
    found: set[str] = set()
    while waiting:
        name = waiting.pop()
        found.add(name)
        path = NODE_MODULES / name
        if not path.is_file():
            raise FileNotFoundError(f"{name} is imported by a module in static/js but isn't in node_modules")
        for step in _IMPORTED.findall(path.read_text(encoding="utf-8")):
            waiting.add((path.parent / step).resolve().relative_to(NODE_MODULES.resolve()).as_posix())
        waiting -= found
    return sorted(found)


def files_for_phone() -> list[list[str]]:
    """Every file the phone must have to start without signal: [address, SHA-256 in hexadecimal]."""
    listed = [["/", hashlib.sha256(_start_page()).hexdigest()], ["/core.json", hashlib.sha256(engine.bundle()).hexdigest()]]
    for address in _own_addresses():
        listed.append([address, _file_sha256(STATIC / address.removeprefix("/static/").lstrip("/"))])
    for name in [*_PARTS, *_lit_parts()]:
        listed.append([f"/parts/{name}", _file_sha256(NODE_MODULES / name)])
    return listed


@blueprint.get("/sw.js")
def service_worker() -> Response:
    """The service worker with its build and its list; a change of any file, or of the policy, is a new build."""
    files = json.dumps(files_for_phone(), separators=(",", ":"))
    build = hashlib.sha256(f"{files}{content_security_policy()}".encode()).hexdigest()[:16]
    template = (STATIC / "js" / "sw.template.js").read_text(encoding="utf-8")
    worker = template.replace("__BUILD__", build).replace("__FILES__", files).encode()
    return _checked_each_time(worker, "text/javascript; charset=utf-8", hashlib.sha256(worker).hexdigest())
