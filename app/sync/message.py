"""Reading what a phone sent: device, cursor, entry texts. Whatever is torn is refused whole."""

from __future__ import annotations

import json
from dataclasses import dataclass

from app.sync.errors import ApiError

_DEVICE_LONGEST = 200
_ENTRIES_MOST = 5000
_CURSOR_MOST = 2**53


@dataclass(frozen=True)
class Message:
    """One exchange as the phone asks for it."""

    device: str
    cursor: int
    entries: list[object]


def _bad(message: str) -> ApiError:
    return ApiError(400, "torn", message + " Nothing was stored; send it again.")


def read(body: bytes) -> Message:
    """A request's body as a Message; ApiError 400 when it is torn or not in the agreed form."""
    try:
        sent = json.loads(body.decode("utf-8"))
    except (ValueError, RecursionError) as error:
        raise _bad("The message is torn or no JSON.") from error
    if not isinstance(sent, dict):
        raise _bad("The message must be an object with device, cursor and entries.")
    device, cursor, entries = sent.get("device"), sent.get("cursor", 0), sent.get("entries", [])
    if not isinstance(device, str) or not 1 <= len(device) <= _DEVICE_LONGEST:
        raise _bad(f"'device' must be text of 1 to {_DEVICE_LONGEST} characters.")
    if type(cursor) is not int or not 0 <= cursor <= _CURSOR_MOST:
        raise _bad("'cursor' must be a whole number from 0.")
    if not isinstance(entries, list) or len(entries) > _ENTRIES_MOST:
        raise _bad(f"'entries' must be a list of up to {_ENTRIES_MOST} texts.")
    return Message(device, cursor, entries)
