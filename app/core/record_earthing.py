"""Record section on earths: bonds, protectors, earth tests with every place that was read, expected surges."""

from . import kinds, storms
from .checks import earth_soil, earth_tests
from .checks.storms import as_built, exposure_inputs
from .numbers import short_text
from .numbers import text as digits
from .record_blocks import filled_table, section, table, text
from .record_words import NONE, described, figures, shown, side_word, value_of, when


def earthing_section(link: dict, site: dict, names: object) -> dict:
    """Bonds with what was measured on them, protectors, electrodes and their tests, expected surges."""
    blocks = [_bonds(link, names), _protectors(link, names), _earth_readings(link, names)]
    blocks += _falls(link) + [_soils(link)] + _storms(link, site)
    if not any(blocks):
        blocks = [text(["No bond, protector or earth reading was recorded."])]
    return section("earthing", "Bonds, earth electrodes, surge protectors", blocks)


def _bonds(link: dict, names: object) -> dict | None:
    body = []
    for bond in link["bonds"]:
        words = {description["name"]: shown(bond, description, names) for description in kinds.BOND}
        measured = [
            reading["text"]
            for reading in link["readings"]
            if reading["body"].get("of") == bond["subject"] and not reading["voided"]
        ]
        body.append(
            [
                names.labelled(words["name"], "bond:" + bond["subject"]),
                words["side"],
                words["from_point"],
                words["to_point"],
                words["size"],
                words["length"],
                words["joints"],
                ", ".join(measured),
                words["note"],
            ]
        )
    return filled_table(["Bond", "At the", "From", "To", "Conductor", "Length", "Joints", "Measured", "Notes"], "llllrrrrl", body)


def _protectors(link: dict, names: object) -> dict | None:
    body = []
    for protector in link["protectors"]:
        words = {description["name"]: shown(protector, description, names) for description in kinds.PROTECTOR}
        order = ("name", "side", "category", "lead_length", "earthed_to", "protection_level", "rated_current", "note")
        body.append([names.labelled(words["name"], "protector:" + protector["subject"])] + [words[name] for name in order[1:]])
    head = [
        "Surge protector",
        "At the",
        "Test category",
        "Earth lead",
        "Earthed to",
        "Protection level",
        "Rated current",
        "Notes",
    ]
    return filled_table(head, "lllrlrrl", body)


def _earth_readings(link: dict, names: object) -> dict | None:
    titles = {
        "electrode_resistance": "Earth electrode resistance",
        "clamp_resistance": "Earth loop by clamp",
        "earth_difference_ac": "Between the two earths, AC",
        "earth_difference_dc": "Between the two earths, DC",
    }
    body = []
    for reading in link["readings"]:
        held = reading["body"]
        if held["quantity"] in titles and not reading["voided"]:
            side = side_word(held["side"]) if held.get("side") else "both ends"
            body.append([titles[held["quantity"]], side, reading["text"], str(held.get("conditions") or ""), when(reading["at"])])
    return filled_table(["Earth reading", "At the", "Value", "Conditions", "Taken"], "llrll", body)


# ---- tests that are a table


def _counting(link: dict, quantity: str) -> list:
    return [reading for reading in link["readings"] if reading["body"]["quantity"] == quantity and not reading["voided"]]


def _falls(link: dict) -> list:
    """Each fall of potential: how it was done and what came of it, then every place with its reading."""
    blocks = []
    for reading in _counting(link, earth_tests.QUANTITY):
        body = reading["body"]
        lines = ["Fall of potential, " + side_word(body["side"]).lower() + ", " + when(reading["at"]) + _how(body) + "."]
        found = earth_tests.examined(reading)
        lines.append(_came_of_it(found))
        stake = found.get("stake_m")
        unit, places = body["table"]["units"][0], []
        for row, metres in zip(earth_tests.rows_as_typed(reading), earth_tests.places_m(reading)):
            share = digits(100.0 * metres / stake, 0) + " %" if stake else NONE
            places.append([row[0] + " " + unit, share, row[1] + " \u03a9"])
        blocks += [text(lines), table(["Potential stake at", "Of the distance", "Reading"], "rrr", places)]
    return blocks


def _how(body: dict) -> str:
    conditions = [str(body["conditions"])] if body.get("conditions") else []
    return "".join([", " + part for part in figures(body) + conditions])


def _came_of_it(found: dict) -> str:
    if "why" in found:
        return "It settles nothing: " + found["why"] + "."
    if found["ohm"] is None:
        return "It settles nothing: no plateau around 62 %, and the slope method does not hold."
    method = "on the plateau at 62 %" if found["by"] == "plateau" else "by the slope method, since there is no plateau"
    return "Result " + method + ": " + digits(found["ohm"], 1) + " \u03a9."


def _soils(link: dict) -> dict | None:
    body = []
    for reading in _counting(link, earth_soil.SOIL):
        held, units = reading["body"]["table"], reading["body"]["table"]["units"]
        for row, made in zip(held["rows"], earth_soil.resistivities(reading)):
            depth = row[2] + " " + units[2] if row[2] else ""
            cells = [side_word(reading["body"]["side"]), row[0] + " " + units[0], row[1] + " \u03a9", depth]
            body.append(cells + [short_text(made[1], 3) + " \u03a9m", when(reading["at"])])
    return filled_table(
        ["Soil by four stakes, at the", "Stake to stake", "Reading", "Stake depth", "Resistivity", "Taken"], "lrrrrl", body
    )


# ---- storms


def _storms(link: dict, site: dict) -> list:
    """Expected surges as built beside what else the link could be; nothing where what it takes is not recorded."""
    held, built = exposure_inputs(link, site), as_built(link)
    if "missing" in held or built["medium"] is None:
        return []
    body = []
    for medium, protectors, title, results in storms.exposures(held["inputs"]):
        here = medium == built["medium"] and (protectors == built["protectors"] or medium != "copper")
        surges = results["surges"]
        body.append([title + (", as built" if here else ""), storms.surges_text(surges), storms.between_text(surges)])
    density = shown(site["site"], described(kinds.SITE, "flash_density"), None)
    origin = str(value_of(site["site"], "flash_density_source") or "source not written down")
    lines = [
        "Expected surges into the ports: IEC 62305-2 " + storms.LABEL + ", one figure only; its probabilities are from memory.",
        density + " flashes to ground a year on a square kilometre (" + origin + ").",
    ]
    return [text(lines + held["notes"]), table(["The link as", "Surges a year", "Years between"], "lrr", body)]
