"""Where our own files lie: beside `app` in a checkout, inside it in an installed wheel."""

from __future__ import annotations

import os
from pathlib import Path

_APP = Path(__file__).resolve().parent


def _packed_or_beside(packed: str, beside: str) -> Path:
    inside = _APP / packed
    return inside if inside.is_dir() else _APP.parent / beside


STATIC = _packed_or_beside("_static", "static")
NODE_MODULES = STATIC / "node_modules"
SEED_DATA = _packed_or_beside("_seed_data", "seed_data")


def data_folder(given: str | os.PathLike[str] | None = None) -> Path:
    """The folder that holds database and photos: the one given, else SPANBOOK_DATA, else `.spanbook` in the home folder."""
    chosen = given or os.environ.get("SPANBOOK_DATA")
    return Path(chosen).expanduser().resolve() if chosen else Path.home() / ".spanbook"
