"""Made once: the signed link, and its real package."""

from __future__ import annotations

import pytest

from tests.verify.signed import Files, SignedLink, read_zip


@pytest.fixture(scope="package")
def link() -> SignedLink:
    return SignedLink()


@pytest.fixture(scope="package")
def package(link: SignedLink, tmp_path_factory: pytest.TempPathFactory) -> Files:
    """The files of the package, by their path in it."""
    return read_zip(link.packed(tmp_path_factory.mktemp("made") / "store"))
