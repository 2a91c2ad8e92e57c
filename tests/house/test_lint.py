"""Lint, types and the direction of imports, so that the one test command holds them too."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
BIN = Path(sys.executable).parent


@pytest.mark.parametrize(
    "command",
    [["ruff", "check", "app", "tests", "seed_data"], ["mypy"], ["lint-imports"]],
    ids=["ruff", "mypy", "import-linter"],
)
def test_the_tree_is_clean(command: list[str]) -> None:
    done = subprocess.run([str(BIN / command[0]), *command[1:]], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_top_level_holds_what_the_layout_says() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split()
    top = {name.split("/")[0] for name in listed if not name.startswith(".")}
    assert top == {"README.md", "DEVELOPERS.md", "pyproject.toml", "app", "static", "tests", "seed_data"}
