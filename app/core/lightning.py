"""How often lightning sends a surge into a link: the method of IEC 62305-2 edition 2, composed for one link with a building at each end."""

import math

from .errors import Refused
from .numbers import is_blank, parse_decimal, short_text, trimmed
from .ranges import between, one_of

# IEC 62305-2:2010 annex A, factors of installation, environment and location; seen in two or more public places
ROUTING = {"aerial": 1.0, "buried": 0.5}
SURROUNDINGS = {"rural": 1.0, "suburban": 0.5, "urban": 0.1, "urban_tall": 0.01}
SETTING = {"higher_around": 0.25, "same_around": 0.5, "isolated": 1.0, "hilltop": 2.0}
# IEC 62305-2:2010 annex B, from memory: protectors of the two lower levels; a telecom line's share of nearby flashes that do harm, by withstand in kV
PROTECTORS = {"none": 1.0, "one_end": 1.0, "both_ends": 0.05}
NEARBY_HARM = [[6.0, 0.04], [4.0, 0.08], [2.5, 0.2], [1.5, 0.5], [1.0, 1.0]]
LINE_M2_PER_M = 40.0
NEARBY_M2_PER_M = 4000.0
LONGEST_M = 1000.0
_PER_KM2 = 1e-6


def collection_area_m2(length_m: float, width_m: float, height_m: float) -> float:
    """The ground around a building from which it draws lightning: L W + 6 H (L + W) + 9 pi H^2."""
    return length_m * width_m + 6.0 * height_m * (length_m + width_m) + 9.0 * math.pi * height_m * height_m


def flashes_per_year(area_m2: float, flash_density: float, factor: float) -> float:
    """Flashes a year on an area: density * area * factor, density in flashes per square kilometre and year."""
    return flash_density * area_m2 * factor * _PER_KM2


def flash_density(thunder_days: float) -> dict:
    """Ground flashes a year on a square kilometre from the number of days with thunder, where nothing better is known.

    density = 0.1 * thunder days

    Inputs:
        thunder_days (ratio, 0 to 300): days a year on which thunder is heard
    Result:
        density (1/km2/yr): ground flash density
    Errors: Refused outside the range.
    Holds: as a last resort; take the figure of a lightning location network where there is one.
    Source: IEC 62305-2 | 2010 | annex A, thunderstorm days | memory
    Example: flash_density(25.0) gives density 2.5 a square kilometre and year
    """
    between(thunder_days, 0, 300, "thunder_days")
    density = 0.1 * thunder_days
    return {
        "results": {"density": density},
        "working": ["0.1 * " + short_text(thunder_days) + " = " + short_text(density)],
        "notes": ["A location network's figure is better by far."],
    }


def lightning_exposure(
    length_m: float,
    flash_density: float,
    routing: str,
    surroundings: str,
    withstand_kv: float = 1.5,
    near_building: str = "",
    far_building: str = "",
    near_setting: str = "isolated",
    far_setting: str = "isolated",
    protectors: str = "none",
    medium: str = "copper",
) -> dict:
    """How often, in the order of magnitude, lightning sends a harmful surge into a link between two buildings.

    line = Ng * 40 L * CI * CE; nearby = Ng * 4000 L * CI * CE; building = Ng * (L W + 6 H (L + W) + 9 pi H^2) * CD, all * 1e-6
    surges = (line + buildings) * P_SPD + nearby * P_LI * P_SPD; years between = 1 / surges

    Inputs:
        length (m, above 0 to 100000): length of the line; beyond 1000 m it counts as 1000 m
        flash_density (1/km2/yr, 0 to 100): ground flashes a year on a square kilometre, from local data
        routing (word: aerial buried): how the line runs
        surroundings (word: rural suburban urban urban_tall): what stands around the line; urban_tall with buildings above 20 m
        withstand (kV, 1 to 6, 1.5): impulse that the ports withstand
        near_building (text, optional): near building as length x width x height in m, such as 12x10x6
        far_building (text, optional): far building likewise
        near_setting (word: higher_around same_around isolated hilltop, isolated): what stands around the near building
        far_setting (word: higher_around same_around isolated hilltop, isolated): what stands around the far building
        protectors (word: none one_end both_ends, none): coordinated surge protectors
        medium (word: copper fibre_metal fibre_dielectric, copper): what the line is made of
    Result:
        direct (1/yr): flashes on the line and on the buildings given
        nearby (1/yr): flashes near the line
        surges (1/yr): harmful surges into the ports
        years_between (yr): years between two of them; none for a line that carries no surge into a port
    Errors: Refused outside the ranges, for words not listed, and for a building that is not three numbers.
    Holds: order of magnitude. Edition 2 of the method, unshielded line, one line and both its buildings; edition 3 uses strike-point density.
    Source:
        IEC 62305-2 | 2010 | annex A, collection areas and factors | 2+
        IEC 62305-2 | 2010 | annex B, probabilities | memory
    Example: lightning_exposure(80.0, 4.0, "aerial", "rural", 1.5, "12x10x6", "30x15x8", "same_around", "isolated") gives surges 0.67 per year
    """
    between(length_m, 0, 100000, "length", "m")
    between(flash_density, 0, 100, "flash_density", "1/km2/yr")
    between(withstand_kv, 1, 6, "withstand", "kV")
    counted = min(length_m, LONGEST_M)
    factor = (
        ROUTING[one_of(routing, sorted(ROUTING), "routing")]
        * SURROUNDINGS[one_of(surroundings, sorted(SURROUNDINGS), "surroundings")]
    )
    line = flashes_per_year(LINE_M2_PER_M * counted, flash_density, factor)
    nearby = flashes_per_year(NEARBY_M2_PER_M * counted, flash_density, factor)
    near = _on_building(near_building, near_setting, flash_density, "near")
    far = _on_building(far_building, far_setting, flash_density, "far")
    share = PROTECTORS[one_of(protectors, sorted(PROTECTORS), "protectors")]
    harm = nearby_harm(withstand_kv)
    carries = one_of(medium, ["copper", "fibre_metal", "fibre_dielectric"], "medium") == "copper"
    surges = (line + near + far + nearby * harm) * share if carries else 0.0
    results = {
        "direct": line + near + far,
        "nearby": nearby,
        "surges": surges,
        "years_between": 1.0 / surges if surges > 0 else None,
    }
    working = [
        "line = "
        + short_text(flash_density)
        + " * 40 * "
        + short_text(counted)
        + " * "
        + short_text(factor)
        + " * 1e-6 = "
        + short_text(line),
        "nearby = "
        + short_text(flash_density)
        + " * 4000 * "
        + short_text(counted)
        + " * "
        + short_text(factor)
        + " * 1e-6 = "
        + short_text(nearby),
        "buildings = " + short_text(near) + " + " + short_text(far) + " a year",
    ]
    if carries:
        working.append(
            "surges = (" + short_text(line + near + far) + " + " + short_text(nearby) + " * " + short_text(harm) + ") * " + short_text(share)
            + " = " + short_text(surges) + " a year"
        )  # fmt: skip
    return {"results": results, "working": working, "notes": _notes(length_m, protectors, medium)}


def nearby_harm(withstand_kv: float) -> float:
    """Share of nearby flashes that harm a telecom port: the printed row at or below its withstand, which errs on the safe side."""
    for row in NEARBY_HARM:
        if withstand_kv >= row[0] - 1e-9:
            return row[1]
    return 1.0


def _on_building(size: str, setting: str, flash_density: float, side: str) -> float:
    factor = SETTING[one_of(setting, sorted(SETTING), side + "_setting")]
    if not size or is_blank(size):
        return 0.0
    length, width, height = building_size(size, side + "_building")
    return flashes_per_year(collection_area_m2(length, width, height), flash_density, factor)


def building_size(text: str, field: str) -> tuple:
    """'12x10x6', '12 x 10 x 6 m' -> (12.0, 10.0, 6.0) in metres. Errors: Refused for anything else."""
    plain = trimmed(text).lower().replace("\u00d7", "x").replace("*", "x")
    if plain.endswith("m"):
        plain = plain[:-1]
    pieces = plain.split("x")
    if len(pieces) != 3:
        raise Refused("shape", field, text, "length x width x height in m, such as 12x10x6", "Give three numbers with x between.")
    return tuple([between(parse_decimal(piece, field), 0.1, 1000, field, "m") for piece in pieces])


def _notes(length_m: float, protectors: str, medium: str) -> list:
    notes = [
        "An order of magnitude: read one figure of it. Method of edition 2; the probabilities are from memory, check your edition."
    ]
    if length_m > LONGEST_M:
        notes.append("A line counts for at most 1000 m.")
    if medium == "fibre_dielectric":
        notes.append("No metal from building to building: the line brings no surge into a port.")
    if medium == "fibre_metal":
        notes.append(
            "No surge into a port, but the cable's metal still leads current into the building: bond or interrupt it at entry."
        )
    if protectors == "one_end":
        notes.append("A protector at one end alone does not count: the surge enters at the other.")
    return notes
