"""JSON text with sorted keys and our own number text, so that both interpreters write the same bytes."""

import json

from .numbers import full_text


def dumps(value: object) -> str:
    """Plain data (dict, list, tuple, str, int, float, bool, None) -> JSON text. Keys are sorted; floats carry 12 significant digits."""
    pieces = []
    _write(value, pieces)
    return "".join(pieces)


def loads(text: str) -> object:
    """JSON text -> plain data."""
    return json.loads(text)


def _write(value: object, pieces: list) -> None:
    if isinstance(value, str):
        pieces.append(_quoted(value))
    elif isinstance(value, dict):
        _write_dict(value, pieces)
    elif value is None:
        pieces.append("null")
    elif value is True:
        pieces.append("true")
    elif value is False:
        pieces.append("false")
    elif isinstance(value, (list, tuple)):
        _write_list(value, pieces)
    elif isinstance(value, int):
        pieces.append(str(value))
    elif isinstance(value, float):
        pieces.append(full_text(value))
    else:
        raise TypeError("core gives plain data only")


def _write_dict(value: dict, pieces: list) -> None:
    mark = "{"
    for key in sorted(value):
        pieces.append(mark + _quoted(key) + ":")
        _write(value[key], pieces)
        mark = ","
    pieces.append("{}" if mark == "{" else "}")


def _write_list(value: object, pieces: list) -> None:
    mark = "["
    for item in value:
        pieces.append(mark)
        _write(item, pieces)
        mark = ","
    pieces.append("[]" if mark == "[" else "]")


def _plain_quote(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


try:
    _plain_quote("")
except TypeError:  # MicroPython's takes no such word and writes UTF-8 as it is
    _plain_quote = json.dumps


def _quoted(text: str) -> str:
    """A text in quotes. The interpreters' own writers agree on all but backspace and form feed."""
    if "\b" in text or "\f" in text:
        return '"' + "".join([_apart.get(character) or _plain_quote(character)[1:-1] for character in text]) + '"'
    return _plain_quote(text)


_apart = {"\b": "\\u0008", "\f": "\\u000c"}
