"""The test command: makes the environment, finds or installs a Chromium, runs the tests.

    python3 tests/run.py [pytest arguments]

Nothing else is needed on the machine than Python 3.11 or newer. A Chromium that is there already (CHROMIUM, or one on the PATH, or Playwright's)
is used; otherwise Playwright's own is fetched, and where that cannot be had, the system's package is installed.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from chromium import find

ROOT = Path(__file__).resolve().parents[1]
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")


def run(*command: str | Path, check: bool = True, quiet: bool = False) -> int:
    print("+", *command, flush=True)
    output = subprocess.DEVNULL if quiet else None
    code = subprocess.run([str(part) for part in command], cwd=ROOT, check=False, stdout=output).returncode
    if check and code != 0:
        sys.exit(f"'{' '.join(str(part) for part in command)}' ended with {code}: see its message above.")
    return code


def environment() -> Path:
    """The project's virtual environment with all that the tests need; made or brought up to date."""
    python = BIN / "python"
    if not python.exists():
        run(sys.executable, "-m", "venv", VENV)
    run(python, "-m", "pip", "install", "--quiet", "--editable", ".[test]")
    return python


def install_chromium(python: Path) -> str:
    """Fetch a Chromium: Playwright's own first, then the system's package (needs the rights to install it)."""
    run(python, "-m", "playwright", "install", "chromium", check=False)
    found = find(python)
    if found is None and shutil.which("apt-get"):
        sudo = [] if os.geteuid() == 0 else ["sudo", "-n"]
        run(*sudo, "apt-get", "update", "-qq", check=False, quiet=True)
        run(*sudo, "apt-get", "install", "-y", "-qq", "chromium", check=False, quiet=True)
        found = find(python)
    if found is None:
        sys.exit("No Chromium could be installed. Install Chromium or Chrome and run again, or set CHROMIUM to its path.")
    return found


def main() -> None:
    python = environment()
    os.environ["CHROMIUM"] = find(python) or install_chromium(python)
    print("Chromium:", os.environ["CHROMIUM"], flush=True)
    sys.exit(run(python, "-m", "pytest", *sys.argv[1:], check=False))


if __name__ == "__main__":
    main()
