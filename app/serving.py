"""The built-in server: plain http on this machine, or https for phones on the same network."""

from __future__ import annotations

import errno
import signal
import socket
import ssl
from pathlib import Path

from cheroot.ssl.builtin import BuiltinSSLAdapter
from cheroot.wsgi import Server
from flask import Flask

_THREADS = 12
# A phone on the edge of signal may pause this long in the middle of a photo.
_PAUSE_SECONDS = 60


class CannotServe(Exception):
    """Address taken or certificate unusable; its text says which and what to do."""


def make_server(app: Flask, host: str, port: int, certificate: Path | None = None, key: Path | None = None) -> Server:
    """A server bound to its address (port 0 = any free one; the true one is in `bind_addr`). CannotServe when it can't be."""
    server = Server((host, port), app, numthreads=_THREADS, timeout=_PAUSE_SECONDS, request_queue_size=64)
    if certificate and key:
        server.ssl_adapter = _tls(certificate, key)
    try:
        server.prepare()
    except OSError as error:
        raise CannotServe(_why(error, host, port)) from error
    return server


def _tls(certificate: Path, key: Path) -> BuiltinSSLAdapter:
    try:
        return BuiltinSSLAdapter(str(certificate), str(key))
    except (OSError, ssl.SSLError) as error:
        raise CannotServe(f"Certificate {certificate} and key {key} can't be used together: {error}.") from error


def _why(error: OSError, host: str, port: int) -> str:
    text = str(error)
    if error.errno == errno.EADDRINUSE or "in use" in text:
        return f"Port {port} on {host} is taken. Choose another with --port."
    return f"Can't serve on {host} port {port}: {text}."


def address_of(server: Server, shown_host: str | None = None) -> str:
    """The address to open, as text."""
    host, port = server.bind_addr[:2]
    scheme = "https" if server.ssl_adapter else "http"
    host = shown_host or (network_address() if host in ("0.0.0.0", "::", "") else host)
    shown = f"[{host}]" if ":" in host else host
    return f"{scheme}://{shown}" if port == {"http": 80, "https": 443}[scheme] else f"{scheme}://{shown}:{port}"


def network_address() -> str:
    """This machine's address on its network, as other machines see it; no packet is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"


def _end(*_: object) -> None:
    raise SystemExit(0)


def run(server: Server) -> None:
    """Serve until interrupted or told to end, tidied up either way."""
    signal.signal(signal.SIGTERM, _end)
    try:
        server.serve()
    except (KeyboardInterrupt, SystemExit):
        pass
    finally:
        server.stop()
