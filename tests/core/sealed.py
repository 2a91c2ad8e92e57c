"""A small signed link for tests of seals: everything open accepted, signed by a real key, as often as is asked."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from app import engine, signing
from tests import sealing
from tests.making import Story, new_id, value

PHOTO = "c0ffee" * 10 + "0a11"


class SignedLink:
    """A fibre link with two stations, one reading, one photo, and a seal for each call of `sign`."""

    def __init__(self) -> None:
        story = self.story = Story()
        self.link = story.link("fibre", fibre="OS2", strands="1", connections="2", splices="0", limit_set="iso-14763-3-2024")
        self.station = story.thing(
            "station", link=self.link, type="handhole", name="H1", order="1", mark="10", depth=value("620", "mm")
        )
        story.thing("station", link=self.link, type="handhole", name="H2", order="2", mark="60")
        marks = {"strand": "1", "wavelength": "1310", "direction": "near_to_far", "method": "one_cord"}
        self.marks = marks
        self.reading = story.reading(self.link, "optical_loss", "0.42", "dB", **marks)
        self.photo = story.add(
            "photo", {"link": self.link, "of": self.station, "sha256": PHOTO, "type": "image/jpeg", "caption": "Open trench"}
        )
        self.seals: list[str] = []

    def sign(self, **more: Any) -> dict[str, Any]:
        """Put a seal over what is there; its text, read."""
        number = len(self.seals)
        at = f"2026-03-2{number}T15:00:00.000+01:00"
        text, accepted = sealing.seal_text(self.story.book, self.story.texts, self.link, new_id(), at=at, accept=True, **more)
        self.story.texts += [*accepted, text]
        self.seals.append(text)
        return signed_text(text)

    def view(self, texts: list[str] | None = None) -> dict[str, Any]:
        with engine.opened(self.story.book, self.story.texts if texts is None else texts) as core:
            found: dict[str, Any] = core("link", link=self.link)
            return found


def signed_text(seal: str) -> dict[str, Any]:
    held: dict[str, Any] = json.loads(json.loads(seal)["body"]["signed"])
    return held


def sha256(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def signed_again(seal: str, **changed: Any) -> str:
    """The same seal over other contents, by the same key: what somebody who holds the phone could make."""
    entry = json.loads(seal)
    held = {**json.loads(entry["body"]["signed"]), **changed}
    text = json.dumps(held, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    entry["body"] |= {"signed": text, "signature": sealing.DEVICE.sign(text)}
    return json.dumps(entry, ensure_ascii=False, separators=(",", ":"))


def verified(texts: list[str], **more: Any) -> dict[str, Any]:
    """Core's report on texts, with the device keys' signatures checked by the cryptography library. more: photos, limits, keys..."""
    asked = {"photos": {PHOTO: {"sha256": PHOTO, "where": "photos/trench.jpg"}}, **more}
    if "signatures" not in asked:
        asked["signatures"] = signing.checked(engine.call("seals", texts=texts))
    places = [[text, f"entry {place + 1}"] for place, text in enumerate(texts)]
    found: dict[str, Any] = engine.call("verify", texts=places, **asked)
    return found
