"""MicroPython, started once for all tests here."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.phone.micropython import MicroPython


@pytest.fixture(scope="session")
def micropython(tmp_path_factory: pytest.TempPathFactory) -> Iterator[MicroPython]:
    interpreter = MicroPython(tmp_path_factory.mktemp("core"))
    yield interpreter
    interpreter.close()
