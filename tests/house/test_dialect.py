"""Core is written in what CPython and MicroPython share (measured differences: see DEVELOPERS.md)."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

CORE = Path(__file__).parents[2] / "app/core"
FILES = sorted(CORE.rglob("*.py"))
ALLOWED_IMPORTS = {"math", "json", "binascii", "hashlib"}
MISSING_METHODS = {
    "removeprefix", "removesuffix", "zfill", "ljust", "rjust", "title", "capitalize", "casefold", "isalnum", "isascii", "translate",
    "hexdigest", "expandtabs", "format_map", "swapcase", "bit_length", "is_integer",
}  # fmt: skip
MISSING_BUILTINS = {"round", "sum", "vars", "format", "ascii", "open", "input", "print", "eval", "exec"}
MISSING_MATH = {"hypot", "fsum", "prod", "dist", "gcd", "comb", "log1p", "isqrt"}


def problems(tree: ast.AST) -> list[str]:
    return [f"line {node.lineno}: {text}" for node in ast.walk(tree) for text in _problem(node)]


def _problem(node: ast.AST) -> list[str]:
    match node:
        case ast.ImportFrom(level=0, module=name) if name.split(".")[0] not in ALLOWED_IMPORTS:
            return [f"imports {name}"]
        case ast.Import(names=names):
            return [f"imports {one.name}" for one in names if one.name not in ALLOWED_IMPORTS]
        case ast.Match():
            return ["match is not in MicroPython"]
        case ast.Call(func=ast.Name(id=name)) if name in MISSING_BUILTINS:
            return [f"{name}() is missing, differs or reaches outside"]
        case ast.Call(func=ast.Name(id="zip"), keywords=[_, *_]):
            return ["zip(strict=) is not in MicroPython"]
        case ast.Call(func=ast.Attribute(value=ast.Name(id="math"), attr=name)) if name in MISSING_MATH:
            return [f"math.{name} is missing"]
        case ast.Call(func=ast.Attribute(value=ast.Name(id="json"), attr="dumps")):
            return ["json.dumps writes other bytes: use textform.dumps"]
        case ast.Call(func=ast.Attribute(attr="strip" | "lstrip" | "rstrip" | "split" as name), args=[]):
            return [f".{name}() takes other blanks on the phone: name them, or use numbers.trimmed"]
        case ast.Call(func=ast.Attribute(attr=name)) if name in MISSING_METHODS:
            return [f".{name}() is missing"]
        case ast.List(elts=elements) | ast.Tuple(elts=elements, ctx=ast.Load()) | ast.Set(elts=elements):
            return ["[*a] is refused" for element in elements if isinstance(element, ast.Starred)]
        case ast.Dict(keys=keys):
            return ["{**a} is refused" for key in keys if key is None]
        case ast.FormattedValue(format_spec=ast.JoinedStr()):
            return ["a format spec rounds by itself: use numbers.text"]
        case ast.BinOp(left=ast.Constant(value=str()), op=ast.Mod()):
            return ["% on text rounds by itself: use numbers.text"]
        case ast.Slice(step=step) if step is not None:
            return ["slice steps are refused"]
        case ast.arguments(posonlyargs=[_, *_]):
            return ["positional-only / is refused"]
    return []


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(CORE).as_posix())
def test_core_keeps_to_the_shared_dialect(path: Path) -> None:
    found = problems(ast.parse(path.read_text(encoding="utf-8")))
    if path.name == "textform.py":  # the one place that makes JSON text, and evens out what the two interpreters write
        found = [problem for problem in found if "json.dumps" not in problem]
    assert found == []


@pytest.mark.parametrize(
    ("code", "finding"),
    [
        ("import re", "imports re"),
        ("x = round(1.5)", "round()"),
        ("x = [*a]", "[*a]"),
        ("x = {**a}", "{**a}"),
        ("x = f'{a:.2f}'", "format spec"),
        ("x = a[::-1]", "slice steps"),
        ("json.dumps(a)", "json.dumps"),
        ("'%.2f' % a", "% on text"),
        ("a.strip()", "other blanks"),
    ],
)
def test_the_dialect_check_finds_what_it_should(code: str, finding: str) -> None:
    found = problems(ast.parse(code))
    assert len(found) == 1
    assert finding in found[0]
