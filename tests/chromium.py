"""Where a Chromium is, for the test command and for the browser tests. Needs nothing but Python itself."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
_ASK_PLAYWRIGHT = "from playwright.sync_api import sync_playwright as s\nwith s() as p: print(p.chromium.executable_path)"


def find(python: str | Path) -> str | None:
    """Path of a Chromium, or None. Looked for in CHROMIUM, on the PATH, and among those of the Playwright that `python` has."""
    named = os.environ.get("CHROMIUM")
    if named:
        return named
    for name in NAMES:
        found = shutil.which(name)
        if found:
            return found
    asked = subprocess.run([str(python), "-c", _ASK_PLAYWRIGHT], capture_output=True, text=True, check=False)
    own = asked.stdout.strip()
    return own if own and Path(own).exists() else None
