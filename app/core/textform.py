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
    if value is None:
        pieces.append("null")
    elif value is True:
        pieces.append("true")
    elif value is False:
        pieces.append("false")
    elif isinstance(value, str):
        pieces.append(_quoted(value))
    elif isinstance(value, int):
        pieces.append(str(value))
    elif isinstance(value, float):
        pieces.append(full_text(value))
    elif isinstance(value, dict):
        _write_dict(value, pieces)
    elif isinstance(value, (list, tuple)):
        _write_list(value, pieces)
    else:
        raise TypeError("core gives plain data only")


def _write_dict(value: dict, pieces: list) -> None:
    separator = "{"
    for key in sorted(value):
        pieces.append(separator)
        pieces.append(_quoted(key))
        pieces.append(":")
        _write(value[key], pieces)
        separator = ","
    pieces.append("{}" if separator == "{" else "}")


def _write_list(value: object, pieces: list) -> None:
    separator = "["
    for item in value:
        pieces.append(separator)
        _write(item, pieces)
        separator = ","
    pieces.append("[]" if separator == "[" else "]")


_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}


def _quoted(text: str) -> str:
    plain = True
    for character in text:
        if character in '"\\' or character < " ":
            plain = False
            break
    if plain:
        return '"' + text + '"'
    pieces = []
    for character in text:
        if character in _ESCAPES:
            pieces.append(_ESCAPES[character])
        elif character < " ":
            pieces.append("\\u00" + "0123456789abcdef"[ord(character) // 16] + "0123456789abcdef"[ord(character) % 16])
        else:
            pieces.append(character)
    return '"' + "".join(pieces) + '"'
