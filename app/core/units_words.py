"""How a unit's name in core is printed."""

WORDS = {
    "ohm": "\u03a9",
    "mohm": "m\u03a9",
    "kohm": "k\u03a9",
    "percent": "%",
    "degC": "\u00b0C",
    "degF": "\u00b0F",
    "um": "\u00b5m",
    "uW": "\u00b5W",
    "us": "\u00b5s",
    "mm2": "mm\u00b2",
    "1": "",
    "deg": "\u00b0",
    "ohm*m": "\u03a9m",
    "1/km2/yr": "/km\u00b2/yr",
}


def unit_word(unit: str) -> str:
    """A unit's name in core -> how it is printed."""
    return WORDS.get(unit, unit)
