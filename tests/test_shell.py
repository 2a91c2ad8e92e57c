"""What the phone is given: start page, service worker, files, and the headers that hold it all together."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from app import paths, shell
from tests.conftest import Phone

_IMPORTED = re.compile(r"""^(?:(?:import|export)\s[^"';]*\sfrom|import)\s+["']([^"']+)["'];""", re.MULTILINE)


def listed(client: FlaskClient) -> list[list[str]]:
    found = re.search(r"const FILES = (\[.*\]);", client.get("/sw.js").text)
    assert found
    files: list[list[str]] = json.loads(found[1])
    return files


def build(client: FlaskClient) -> str:
    found = re.search(r'const BUILD = "([0-9a-f]{16})";', client.get("/sw.js").text)
    assert found
    return found[1]


def test_the_service_worker_lists_every_file_with_the_hash_of_what_is_served(client: FlaskClient) -> None:
    files = listed(client)
    assert len({address for address, _ in files}) == len(files)
    for address, sha256 in files:
        answer = client.get(address)
        assert answer.status_code == 200, address
        assert hashlib.sha256(answer.data).hexdigest() == sha256, address


def test_the_list_has_the_whole_phone_and_nothing_of_the_office(client: FlaskClient) -> None:
    addresses = [address for address, _ in listed(client)]
    ours = [f"/static/{path.relative_to(paths.STATIC).as_posix()}" for path in (paths.STATIC / "js").rglob("*.js")]
    ours = [address for address in ours if not address.startswith("/static/js/office/")]
    assert set(ours) - {"/static/js/sw.template.js"} <= set(addresses)
    assert {"/", "/core.json", "/parts/idb/build/index.js", "/parts/lit-html/lit-html.js"} <= set(addresses)
    assert "/parts/@micropython/micropython-webassembly-pyscript/micropython.wasm" in addresses
    assert not [address for address in addresses if "office" in address or "sw.template" in address]


def test_every_module_that_a_listed_module_imports_is_listed(client: FlaskClient) -> None:
    addresses = {address for address, _ in listed(client)}
    imports = shell.IMPORTS
    for address in sorted(addresses):
        if not address.startswith("/static/js/"):
            continue
        for name in _IMPORTED.findall(client.get(address).text):
            if name.startswith("."):
                target = (Path(address).parent / name).as_posix()
                target = "/" + "/".join(_resolved(target.split("/")))
            elif name.startswith("/"):
                target = name
            else:
                target = imports.get(name) or imports[name.split("/")[0] + "/"] + name.split("/", 1)[1]
            assert target in addresses, f"{address} imports {name}"


def test_every_file_that_a_style_sheet_names_is_listed(client: FlaskClient) -> None:
    addresses = {address for address, _ in listed(client)}
    named = [
        name for sheet in ("app", "link") for name in re.findall(r'url\("([^"]+)"\)', client.get(f"/static/css/{sheet}.css").text)
    ]
    assert [name for name in named if name.endswith(".ttf")]
    assert {name for name in named if not name.startswith("data:")} <= addresses


def _resolved(steps: list[str]) -> list[str]:
    found: list[str] = []
    for step in steps:
        if step == "..":
            found.pop()
        elif step not in ("", "."):
            found.append(step)
    return found


def test_the_build_changes_with_a_file_and_only_then(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    first = build(client)
    assert build(client) == first
    monkeypatch.setattr("app.engine.bundle", lambda: b"{}")
    assert build(client) != first


def test_the_policy_allows_exactly_our_import_map_on_every_answer(client: FlaskClient) -> None:
    page = client.get("/")
    between = re.search(r'<script type="importmap">(.*?)</script>', page.text, re.DOTALL)
    assert between
    digest = base64.b64encode(hashlib.sha256(between[1].encode()).digest()).decode()
    assert json.loads(between[1])["imports"]["lit-html"] == "/parts/lit-html/lit-html.js"
    for address in ("/", "/sw.js", "/static/js/boot.js", "/core.json", "/api/session", "/office/sign-in", "/nothing"):
        policy = client.get(address).headers["Content-Security-Policy"]
        assert f"script-src 'self' 'wasm-unsafe-eval' 'sha256-{digest}';" in policy
        assert "unsafe-inline" not in policy and "object-src 'none'" in policy and "frame-ancestors 'none'" in policy


def test_every_answer_carries_the_safety_headers(client: FlaskClient) -> None:
    for address in ("/", "/sw.js", "/api/session", "/office/sign-in", "/nothing", "/api/nothing"):
        headers = client.get(address).headers
        assert headers["X-Content-Type-Options"] == "nosniff"
        # not no-referrer: on https the write token's check needs the referrer
        assert headers["Referrer-Policy"] == "same-origin"
        assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
        assert "camera=(self)" in headers["Permissions-Policy"] and "geolocation=(self)" in headers["Permissions-Policy"]


@pytest.mark.parametrize(
    ("address", "type"),
    [
        ("/sw.js", "text/javascript"),
        ("/static/js/boot.js", "text/javascript"),
        ("/parts/@micropython/micropython-webassembly-pyscript/micropython.mjs", "text/javascript"),
        ("/parts/@micropython/micropython-webassembly-pyscript/micropython.wasm", "application/wasm"),
        ("/parts/@expo-google-fonts/source-sans-3/700Bold/SourceSans3_700Bold.ttf", "font/ttf"),
        ("/parts/lit-html/directives/repeat.js", "text/javascript"),
        ("/static/css/office.css", "text/css"),
        ("/core.json", "application/json"),
    ],
)
def test_files_have_the_type_that_browsers_insist_on_and_are_asked_for_anew(client: FlaskClient, address: str, type: str) -> None:
    answer = client.get(address)
    assert (answer.status_code, answer.mimetype, answer.headers["Cache-Control"]) == (200, type, "no-cache")
    again = client.get(address, headers={"If-None-Match": answer.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")


@pytest.mark.parametrize(
    "address",
    [
        "/static/package.json",
        "/static/node_modules/idb/package.json",
        "/static/js/../package.json",
        "/static/js/%2e%2e/package.json",
        "/static/js/..%2fpackage.json",
        "/parts/idb/package.json",
        "/parts/lit-html/../idb/package.json",
        "/parts/lit-html/development/lit-html.js",
    ],
)
def test_no_other_file_is_served(client: FlaskClient, address: str) -> None:
    assert client.get(address).status_code == 404


def test_the_start_page_is_the_same_for_everyone(client: FlaskClient, phone: Phone) -> None:
    page = client.get("/")
    assert page.data == phone.client.get("/").data
    assert "Set-Cookie" not in page.headers
    for part in (
        '<div id="app">',
        "<noscript>",
        'src="/static/js/boot.js"',
        'rel="manifest"',
        'name="viewport"',
        "apple-touch-icon",
    ):
        assert part in page.text


def test_what_needs_a_person_is_never_kept_in_a_cache(phone: Phone) -> None:
    for address in ("/api/session", "/office/"):
        assert phone.client.get(address).headers["Cache-Control"] == "no-store"


def test_a_browser_that_takes_packed_files_gets_them_and_they_unpack_to_the_listed_bytes(client: FlaskClient) -> None:
    plain = client.get("/core.json")
    packed = client.get("/core.json", headers={"Accept-Encoding": "gzip"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.data) == plain.data
    assert len(packed.data) < len(plain.data) / 2
    assert "Content-Encoding" not in plain.headers
    assert packed.headers["Vary"] == plain.headers["Vary"] == "Accept-Encoding"
    again = client.get("/core.json", headers={"Accept-Encoding": "gzip", "If-None-Match": packed.headers["ETag"]})
    assert again.status_code == 304
