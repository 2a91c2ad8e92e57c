"""Reads the formulas' docstrings into descriptions, from which the command line and the phone's bench make their forms.

House form of a docstring: what it does; a line with the formula; then the sections ``Inputs:``, ``Result:``, ``Errors:``, ``Holds:``,
``Source:``, ``Example:``. An input is ``name (unit, range[, default]): meaning``. Range: ``0 to 100``, ``above 0``, ``above 0 to 100``,
``0 or more``, ``any``. A third part is the default, or ``optional``. ``count`` and ``ratio`` stand in the unit's place for a whole number and
a bare ratio; ``word: a b c`` for words; ``list of mm`` for a list; ``text`` for free text. A result is ``key (unit): meaning``; a source
``document | edition | clause | seen``.
"""

from __future__ import annotations

import ast
import inspect
import json
import re
from collections.abc import Callable
from functools import cache
from typing import Any

from .core import calculators

SECTIONS = ("Inputs:", "Result:", "Errors:", "Holds:", "Source:", "Example:")
SEEN = ("2+", "1", "memory", "practice")


class DocstringFault(ValueError):
    """A formula's docstring is not in the house form."""


def _ending(unit: str) -> str:
    """The ending that a unit gives to a parameter's name: 'MHz' -> '_mhz', 'ohm*m' -> '_ohm_m'."""
    return "_" + unit.lower().replace("/", "_").replace("*", "_")


def _sections(doc: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {"": []}
    name = ""
    for line in inspect.cleandoc(doc).splitlines():
        head = next((section for section in SECTIONS if line.startswith(section)), None)
        if head:
            name = head[:-1]
            found[name] = [line[len(head) :].strip()] if line[len(head) :].strip() else []
        elif line.strip():
            found[name].append(line if name == "" else line.strip())
    return found


def _entries(lines: list[str]) -> list[tuple[str, str, str]]:
    """Lines 'name (detail): meaning' -> [(name, detail, meaning)]; a line of another shape continues the one before."""
    entries: list[tuple[str, str, str]] = []
    for line in lines:
        head, found, meaning = line.partition("):")
        name, opened, detail = head.partition(" (")
        if found and opened and name.isidentifier():
            entries.append((name, detail, meaning.strip()))
        elif entries:
            name, detail, meaning = entries[-1]
            entries[-1] = (name, detail, f"{meaning} {line}")
        else:
            raise DocstringFault(f"not of the form 'name (unit, range): meaning': {line}")
    return entries


def _range(text: str, where: str) -> dict[str, str]:
    words = text.split()
    if text in ("", "any"):
        return {}
    if len(words) == 3 and words[1] == "to":
        return {"low": words[0], "high": words[2]}
    if len(words) == 3 and words[1:] == ["or", "more"]:
        return {"low": words[0]}
    if words[0] == "above" and len(words) == 2:
        return {"above": words[1]}
    if words[0] == "above" and len(words) == 4 and words[2] == "to":
        return {"above": words[1], "high": words[3]}
    raise DocstringFault(f"{where}: range '{text}' is not 'a to b', 'above a', 'above a to b', 'a or more' or 'any'")


def _input(name: str, detail: str, meaning: str, parameters: dict[str, inspect.Parameter]) -> dict[str, Any]:
    head, *rest = [part.strip() for part in detail.split(",")]
    entry: dict[str, Any] = {"name": name, "meaning": meaning, "unit": "", "type": "number"}
    if head.startswith("word:"):
        entry.update(type="word", words=head[5:].split())
    elif head == "text":
        entry["type"] = "text"
    else:
        kind, _, unit = head.rpartition(" of ")
        entry["type"] = "list" if kind == "list" else "count" if head == "count" else "number"
        entry["unit"] = "" if unit in ("count", "ratio", "1") else unit
        entry.update(_range(rest.pop(0) if rest else "", name))
    default = rest[0] if rest else None
    if default == "optional":
        entry["optional"] = True
    elif default is not None:
        entry["default"] = default.removeprefix("default ")
    wanted = [name, name + _ending(entry["unit"]), name + "_"]
    entry["parameter"] = next((choice for choice in wanted if choice in parameters), "")
    if not entry["parameter"]:
        raise DocstringFault(f"{name}: the function has none of the parameters {', '.join(wanted)}")
    return entry


def _source(line: str) -> dict[str, str]:
    parts = [part.strip() for part in line.split("|")]
    if len(parts) != 4 or parts[3] not in SEEN:
        raise DocstringFault(f"source is not 'document | edition | clause | seen': {line}")
    return dict(zip(("document", "edition", "clause", "seen"), parts, strict=True))


def describe(name: str, function: Callable[..., Any]) -> dict[str, Any]:
    """One formula -> its description. Errors: DocstringFault that names what is out of form."""
    found = _sections(function.__doc__ or "")
    try:
        parameters = dict(inspect.signature(function).parameters)
        inputs = [_input(*entry, parameters) for entry in _entries(found.get("Inputs", []))]
        left = set(parameters) - {entry["parameter"] for entry in inputs}
        if left:
            raise DocstringFault(f"no input describes {', '.join(sorted(left))}")
        results = [
            {"key": key, "unit": "" if unit in ("ratio", "count", "word", "text") else unit, "meaning": meaning}
            for key, unit, meaning in _entries(found.get("Result", []))
        ]
        sources = [_source(line) for line in found.get("Source", [])]
    except DocstringFault as fault:
        raise DocstringFault(f"{name}: {fault}") from None
    what, *formula = found[""] or [""]
    if not (what and inputs and results and sources):
        raise DocstringFault(f"{name}: what it does, Inputs, Result and Source are all needed")
    return {
        "name": name,
        "what": what.strip(),
        "formula": [line.strip() for line in formula],
        "inputs": inputs,
        "results": results,
        "errors": found.get("Errors", []),
        "holds": found.get("Holds", []),
        "source": sources,
        "example": found.get("Example", []),
        "example_inputs": example_inputs(name, " ".join(found.get("Example", [])), inputs, list(parameters)),
    }


def example_inputs(name: str, example: str, inputs: list[dict[str, Any]], parameters: list[str]) -> dict[str, str]:
    """What an example gives to each input, as it would be typed: from 'length=410ft pairs=2 gives ...' or 'formula(125.0, "2") gives ...'."""
    asked = example.partition(" gives ")[0]
    if not asked.startswith(f"{name}("):
        parts = re.split(r"(?:^|\s)(\w+)=", asked)
        return {key: typed.strip() for key, typed in zip(parts[1::2], parts[2::2], strict=True)}
    call = ast.parse(asked, mode="eval").body
    assert isinstance(call, ast.Call)
    given = dict(zip(parameters, call.args, strict=False)) | {str(word.arg): word.value for word in call.keywords}
    name_of = {entry["parameter"]: entry["name"] for entry in inputs}
    return {name_of[parameter]: _as_typed(ast.literal_eval(value)) for parameter, value in given.items()}


def _as_typed(value: Any) -> str:
    if isinstance(value, list):
        return ",".join(_as_typed(each) for each in value)
    if isinstance(value, bool):
        return str(value).lower()
    return repr(value).removesuffix(".0") if isinstance(value, float) else str(value)


@cache
def descriptions_text() -> str:
    """JSON text {name: description} of all calculators: what core is configured with."""
    return json.dumps(
        {name: describe(name, function) for name, *_, function in calculators.FUNCTIONS}, ensure_ascii=False, sort_keys=True
    )
