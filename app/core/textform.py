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
    if not value:
        pieces.append("{}")
        return
    shape = tuple(value)
    if shape not in _shapes:
        _keep(_shapes, shape, _openings(shape))
    for key, opening in _shapes[shape]:
        pieces.append(opening)
        _write(value[key], pieces)
    pieces.append("}")


def _openings(keys: tuple) -> list:
    """The keys in order, each with the text that leads to its value."""
    found = []
    for key in sorted(keys):
        found.append((key, ("," if found else "{") + _quoted(key) + ":"))
    return found


def _write_list(value: object, pieces: list) -> None:
    mark = "["
    for item in value:
        pieces.append(mark)
        _write(item, pieces)
        mark = ","
    pieces.append("[]" if mark == "[" else "]")


# The phone's interpreter takes about 4 us to make a text, however short: what comes again and again is made once. This and the openings
# brought the checks of a link with 1,900 rows from 1.2 s to 0.4 s.
_shapes = {}
_short = {}
_SHORT = 60
_MOST_KEPT = 4000
# It also copies a text that it writes every few bytes: 2.7 MB of drawing took 13 s in one piece, against 0.3 s in as many as it has tags.
_LONG = 2000


def _keep(held: dict, name: object, value: object) -> None:
    if len(held) >= _MOST_KEPT:
        held.clear()
    held[name] = value


def _quoted(text: str) -> str:
    """A text in quotes."""
    if len(text) > _SHORT:
        return _quote(text)
    if text not in _short:
        _keep(_short, text, _quote(text))
    return _short[text]


def _quote(text: str) -> str:
    if len(text) > _LONG:
        return '"' + "<".join([_quote_piece(piece) for piece in text.split("<")]) + '"'
    return '"' + _quote_piece(text) + '"' if "\b" in text or "\f" in text else _plain_quote(text)


def _quote_piece(text: str) -> str:
    """A text as it stands between quotes. The interpreters' own writers agree on all but backspace and form feed."""
    if "\b" in text or "\f" in text:
        return "".join([_apart.get(character) or _plain_quote(character)[1:-1] for character in text])
    return _plain_quote(text)[1:-1]


_apart = {"\b": "\\u0008", "\f": "\\u000c"}


def _plain_quote(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


_CONTROLS = "".join([chr(number) for number in range(32)])


def _phone_quote(text: str) -> str:
    """MicroPython's writer takes no such word and writes UTF-8 as it is. On the 260 kB of a seal's text it takes 0.2 s, replacing 0.04 s."""
    if len(text) <= _LONG or [sign for sign in _CONTROLS if sign in text]:
        return json.dumps(text)
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


try:
    _plain_quote("")
except TypeError:
    _plain_quote = _phone_quote
