"""The form in which quantities are described; the reading form on the phone is made from it.

A quantity: name, title, units (first is the default), media it is taken on, per (what tells one reading from another: side, of,
strand, wavelength, direction, pair, pair2, frequency, method, parameter), low and high (outside is impossible and refused, with `why`),
likely_low and likely_high (outside is asked back). Bounds are in the first unit. Bounds are common practice unless `why` says physics.
`must` are the marks it cannot be saved without. `extra` are the further fields that go with it, `extra_labels` what they are called here,
`extra_words` the words of those that are chosen from a list.
`caution` names a caution of the phone, or several.

Instead of a value some quantities have (key `form`) an answer (words), a map (wire map), counts (end face) or a table. A table has
`columns`: each with name, label and either units (first is the default; [""] for a bare number) or words ([value, label] pairs), low and
high, and optional=True where a cell may stay empty; `least` and `most` rows; `rising` names a column whose numbers must rise from row to row;
`uncertain` names the column that a stated uncertainty belongs to; `marks` are those of `per` that each parameter of a sweep has.
`hint` is said over the input. `folds=True`: each row of the table is judged by itself, so what passes is folded while it is typed. `trend=True`:
what equipment says of itself, shown as a trend and never judged; `dark=True`: zero means that no light was there.
"""

from .kinds import COPPER, EXTENDED, FIBRE

EVERY = [COPPER, EXTENDED, FIBRE]
NOT_BELOW_ZERO = "cannot be below zero"


def described(name: str, title: str, units: list, media: list, per: list, **more: object) -> dict:
    """One quantity's description."""
    more["name"] = name
    more["title"] = title
    more["units"] = units
    more["media"] = media
    more["per"] = per
    return more


def column(name: str, label: str, units: list, **more: object) -> dict:
    """One column of a table whose cells are numbers."""
    more["name"] = name
    more["label"] = label
    more["units"] = units
    return more


def choice(name: str, label: str, words: list, **more: object) -> dict:
    """One column of a table whose cells are words of a list."""
    more["name"] = name
    more["label"] = label
    more["words"] = words
    return more
