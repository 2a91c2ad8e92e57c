"""Colours of fibres and tubes by number, for the labels at a panel."""

from .ranges import between

COLOURS = ["blue", "orange", "green", "brown", "slate", "white", "red", "black", "yellow", "violet", "rose", "aqua"]
IN_A_TUBE = 12


def colour(number: int) -> str:
    """Fibre or tube number -> its colour: twelve in order, then again with one black tracer more a dozen (yellow on black).

    Source: ANSI/TIA-598 (seen in two or more public places).
    """
    plain = COLOURS[(number - 1) % 12]
    tracers = (number - 1) // 12
    if tracers == 0:
        return plain
    return (
        plain + ", " + str(tracers) + (" yellow" if plain == "black" else " black") + (" tracer" if tracers == 1 else " tracers")
    )


def strand_colour(number: int, tube_size: int = 12) -> dict:
    """Colours of a fibre and of the tube that it lies in.

    tube = (number - 1) / fibres in a tube + 1, cut off; fibre in the tube = what is left, from 1

    Inputs:
        number (count, 1 to 864): number of the fibre in the cable
        tube_size (count, 1 to 48, 12): fibres in a tube
    Result:
        fibre (word): colour of the fibre
        tube (word): colour of its tube
        tube_number (count): number of its tube
    Errors: none but out of range.
    Holds: for cable coloured by this standard; other orders are in use in other countries.
    Source:
        ANSI/TIA-598 | | colour sequence | 2+
    Example: number=20 tube_size=24 gives fibre black, 1 yellow tracer
    """
    between(number, 1, 864, "number")
    between(tube_size, 1, 48, "tube_size")
    tube, place = (number - 1) // tube_size + 1, (number - 1) % tube_size + 1
    results = {"fibre": colour(place), "tube": colour(tube), "tube_number": tube}
    line = "fibre " + str(number) + " is number " + str(place) + " of tube " + str(tube)
    return {"results": results, "working": [line], "notes": ["Check one fibre against the cable's data sheet: orders differ."]}
