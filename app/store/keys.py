"""Public keys of the phones, registered by whoever was signed in on them. A key is never taken away: old seals name it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from sqlite_utils import Database

from app import signing
from app.store.database import now, writing
from app.store.people import Person

_MOST_OF_A_PERSON = 100
_DEVICE_LONGEST = 200


class RegistrationRefused(ValueError):
    """A key or device that can't be registered; its text says why."""


@dataclass(frozen=True)
class DeviceKey:
    """A phone's key: its thumbprint, who registered it from which phone when, and since when it counts as lost, if it does."""

    thumbprint: str
    person: str
    device: str
    registered_at: str
    lost_at: str | None


def register(db: Database, person: Person, device: Any, jwk: Any) -> str:
    """Keep that this person signs with this key; once more does no harm. Result: the key's thumbprint. Errors: RegistrationRefused."""
    if not isinstance(device, str) or not 1 <= len(device) <= _DEVICE_LONGEST or not device.isprintable():
        raise RegistrationRefused(
            f"device: text of 1 to {_DEVICE_LONGEST} characters names a phone. Reload the app on the phone."
        )
    try:
        thumbprint = signing.thumbprint(jwk)
    except signing.KeyRefused as refused:
        raise RegistrationRefused(f"{refused}. Reload the app on the phone.") from refused
    with writing(db):
        count = db.execute("SELECT count(*) FROM device_keys WHERE person = ? AND thumbprint <> ?", [person.id, thumbprint])
        if count.fetchone()[0] >= _MOST_OF_A_PERSON:
            raise RegistrationRefused(f"{person.name} has {_MOST_OF_A_PERSON} keys already; no more are taken. Ask the office.")
        db.execute(
            "INSERT OR IGNORE INTO device_keys (thumbprint, person, device, jwk, registered_at) VALUES (?, ?, ?, ?, ?)",
            [thumbprint, person.id, device, json.dumps(jwk, sort_keys=True), now()],
        )
    return thumbprint


def listed(db: Database) -> list[DeviceKey]:
    """All registered keys, by person and time."""
    rows = db.execute(
        "SELECT thumbprint, name, device, registered_at, lost_at FROM device_keys JOIN people ON people.id = person"
        " ORDER BY name COLLATE NOCASE, registered_at, thumbprint"
    )
    return [DeviceKey(*row) for row in rows.fetchall()]


def report_lost(db: Database, thumbprint: str) -> bool:
    """The phone of this key is lost: said beside every seal by it from now on, whoever registered it. False when there is no such key."""
    with writing(db):
        db.execute("UPDATE device_keys SET lost_at = ? WHERE thumbprint = ? AND lost_at IS NULL", [now(), thumbprint])
        found = db.execute("SELECT 1 FROM device_keys WHERE thumbprint = ?", [thumbprint]).fetchone()
        return found is not None


def words(db: Database) -> dict[str, str]:
    """{thumbprint: "registered by Ana Field on 2026-03-01, reported lost on 2026-04-02"} of every registered key."""
    found: dict[str, str] = {}
    for key in listed(db):
        said = f"registered by {key.person} on {key.registered_at[:10]}"
        before = found.get(key.thumbprint)
        found[key.thumbprint] = f"{before}; {said}" if before else said
    for key in listed(db):
        lost = f", reported lost on {key.lost_at[:10]}" if key.lost_at else ""
        if lost and lost not in found[key.thumbprint]:
            found[key.thumbprint] += lost
    return found
