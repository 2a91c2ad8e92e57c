"""``spanbook calc``: one formula of core by its name, one JSON object on standard output."""

from __future__ import annotations

import json
from typing import Any

import click

from app import engine
from app.core import calculator_inputs
from app.core.calculators import GROUPS
from app.core.errors import Refused
from app.quantities_typed import input_value

_SETTINGS = {"ignore_unknown_options": True, "help_option_names": []}


@click.command(context_settings=_SETTINGS)
@click.argument("name", required=False)
@click.argument("inputs", nargs=-1)
def calc(name: str | None, inputs: tuple[str, ...]) -> None:
    """Work out one formula: spanbook calc NAME key=value ...

    Without a name all calculators are listed; with --help after the name, its inputs.
    """
    known = {about["name"]: about for about in engine.call("calculators")}
    if name is None or name in ("--help", "-h"):
        click.echo(_listing(known))
        return
    if name not in known:
        _fail(f"calculator: '{name}' was given; allowed is one of {', '.join(known)}. List them with: spanbook calc")
    if "--help" in inputs or "-h" in inputs:
        click.echo(_about(known[name]))
        return
    texts = _pairs(inputs)
    try:
        click.echo(json.dumps(_run(known[name], texts), ensure_ascii=False))
    except Refused as refused:
        refused.given = texts.get(refused.field, refused.given)[:80]
        _fail(refused.sentence())


def _run(about: dict[str, Any], texts: dict[str, str]) -> dict[str, Any]:
    entries = {entry["name"]: entry for entry in about["inputs"]}
    values = {key: _handed(entries[key], text) if key in entries and text.strip() else text for key, text in texts.items()}
    answer: dict[str, Any] = engine.call("calc", name=about["name"], inputs=values)
    order = [result["key"] for result in about["results"]]
    results = answer["results"]
    answer["results"] = {
        key: results[key] for key in sorted(results, key=lambda key: (order.index(key) if key in order else len(order), key))
    }
    return {key: answer[key] for key in ("calculator", "results", "working", "source", "notes")}


def _handed(entry: dict[str, Any], text: str) -> str | float | list[float]:
    """What core is given for one input. pint parses it, and refuses what does not fit; a unit that core's table knows (its factors are
    pint's) is then left to core, so that phone and command line convert by the same line of code and share every bit."""
    value = input_value(entry, text)
    return text if calculator_inputs.knows_units(entry, text) else value


def _pairs(inputs: tuple[str, ...]) -> dict[str, str]:
    texts: dict[str, str] = {}
    for typed in inputs:
        key, equals, text = typed.partition("=")
        if not equals or not key:
            _fail(
                f"inputs: '{typed}' was given; allowed is key=value, such as length=410ft. Write each input with an equals sign"
            )
        if key in texts:
            _fail(f"{key}: given twice, '{texts[key]}' and '{text}'; allowed is once")
        texts[key] = text
    return texts


def _fail(line: str) -> None:
    click.echo(" ".join(line.split()), err=True)
    raise SystemExit(2)


def _listing(known: dict[str, Any]) -> str:
    width = max(len(name) for name in known) + 2
    lines = ["spanbook calc NAME key=value ...   (spanbook calc NAME --help shows its inputs)"]
    for group, title in GROUPS:
        lines += ["", title]
        lines += [f"  {name.ljust(width)}{about['what']}" for name, about in known.items() if about["group"] == group]
    return "\n".join(lines)


def _about(about: dict[str, Any]) -> str:
    lines = [f"spanbook calc {about['name']} key=value ...", "", f"{about['title']} ({about['group_title'].lower()})"]
    lines += [about["what"], *about["formula"], "", "Inputs:"]
    lines += [f"  {entry['name']}: {entry['meaning']} ({_takes(entry)})" for entry in about["inputs"]]
    lines += ["", "Result:"] + [
        f"  {entry['key']}{' (' + entry['unit'] + ')' if entry['unit'] else ''}: {entry['meaning']}" for entry in about["results"]
    ]
    for head in ("errors", "holds", "example"):
        if about[head]:
            lines += ["", f"{head.capitalize()}: {' '.join(about[head])}"]
    lines += ["", "Source:"] + [f"  {text}" for text in about["source_text"]]
    return "\n".join(lines)


def _takes(entry: dict[str, Any]) -> str:
    words = "text" if entry["type"] == "text" else calculator_inputs.allowed(entry)
    if entry.get("optional"):
        return f"{words}; may be left out"
    return f"{words}; {entry['default']} when left out" if "default" in entry else words
