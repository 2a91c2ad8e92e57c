"""What the newest seal of a link covers, read from the store's texts."""

from __future__ import annotations

import hashlib

import pytest

from app.record import covered
from app.store.entries import KeptText
from tests.core.sealed import SignedLink
from tests.making import id_of
from tests.sealing import seal_text


@pytest.mark.parametrize("at", ["2026-03-20T15:00:60.000+01:00", "2026-03-20 15:00z", "2026-03-20T15:00:00.123456789+01:00"])
def test_every_time_that_an_entry_may_have_is_one_that_a_seal_may_have(at: str) -> None:
    """A leap second, a short time, more digits than a clock has: core takes them all, so the client's page must too."""
    made = SignedLink()
    text, accepted = seal_text(
        made.story.book, made.story.texts, made.link, "01990000-0000-7000-8000-0000000000aa", at, accept=True
    )
    texts = [*made.story.texts, *accepted, text]
    kept = [KeptText("seal" if one == text else "other", one, hashlib.sha256(one.encode()).hexdigest()) for one in texts]
    found = covered.newest(kept, made.link)
    assert found is not None
    assert (found.at, found.revision, found.texts[-1], found.missing, found.altered) == (at, 1, text, [], [])
    assert {id_of(one) for one in found.texts} == {id_of(one) for one in texts}
