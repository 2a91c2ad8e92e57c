"""What entries exist and what fields they have, as data; forms on the phone are made from it.

A field: name, label, type and, where they apply, units (first is the default; units_from: they depend on another field), words
([value, label] pairs), keys (all words as keys, however many), media (kinds of link it is asked for; absent = all), hint, required,
low and high. Types: text, lines, word, quantity, decimal, count, date, position, ties, reference.
"""

COPPER = "copper"
EXTENDED = "extended"
FIBRE = "fibre"

MEDIA = [
    [COPPER, "Balanced copper, to 100 m"],
    [EXTENDED, "Extended-reach copper with power"],
    [FIBRE, "Optical fibre"],
]
METAL_MEDIA = [COPPER, EXTENDED]
LENGTH_UNITS = ["m", "ft"]
SMALL_UNITS = ["mm", "in"]
YES_NO = [["yes", "Yes"], ["no", "No"]]


def _f(name: str, label: str, type: str, **more: object) -> dict:
    more["name"] = name
    more["label"] = label
    more["type"] = type
    return more


SURROUNDINGS = [
    ["rural", "Open country"],
    ["suburban", "Suburb"],
    ["urban", "Town"],
    ["urban_tall", "Town with buildings above 20 m"],
]
SETTINGS = [
    ["higher_around", "Among higher buildings or trees"],
    ["same_around", "Among others as high"],
    ["isolated", "Alone, nothing near it"],
    ["hilltop", "Alone on a hilltop"],
]
ROD_COUNTS = [[count, count] for count in ("1", "2", "3", "4", "8", "12", "16", "20", "24")]

SITE = [
    _f("name", "Site", "text", required=True),
    _f("client", "Client", "text"),
    _f("place", "Place", "text", hint="Town or district"),
    _f("address", "Address", "lines"),
    _f("job", "Job number", "text"),
    _f("installer", "Installing firm", "text"),
    _f(
        "flash_density",
        "Lightning flashes to ground a year on a square kilometre",
        "decimal",
        hint="From a lightning location network or the national map",
        low="0",
        high="100",
    ),
    _f("flash_density_source", "Where that figure is written", "text"),
    _f("surroundings", "What stands around the cables", "word", words=SURROUNDINGS),
    _f("note", "Note", "lines"),
]

BUILDING = [
    _f("name", "Building", "text", required=True),
    _f("code", "Short code on labels", "text", hint="For example B1; where none is given, one is counted"),
    _f("use", "Used as", "text"),
    _f("position", "Position", "position"),
    _f("width", "Width", "quantity", units=LENGTH_UNITS, hint="East to west, for the plan"),
    _f("depth", "Depth", "quantity", units=LENGTH_UNITS, hint="North to south, for the plan"),
    _f("height", "Height", "quantity", units=LENGTH_UNITS, hint="To the ridge; for the lightning it draws"),
    _f("setting", "It stands", "word", words=SETTINGS),
    _f("earthing", "How its supply is earthed", "text", hint="As marked at the service, for example TN-S or TT"),
    _f("note", "Note", "lines"),
]

CORNER = [
    _f("building", "Building", "reference", of="building", required=True),
    _f("name", "Corner", "text", required=True, hint="For example north-east corner of the stonework"),
    _f("position", "Position", "position"),
    _f("note", "Note", "lines"),
]

COPPER_CATEGORIES = [["5e", "5e / class D"], ["6", "6 / class E"], ["6A", "6A / class EA"]]
SETUPS = [["channel", "Channel: with its cords"], ["permanent_link", "Permanent link: socket to socket"]]
FIBRES = [
    ["OS2", "OS2 single-mode, outdoor"],
    ["OS1a", "OS1a single-mode, indoor"],
    ["OS1", "OS1 single-mode, older"],
    ["OM5", "OM5"],
    ["OM4", "OM4"],
    ["OM3", "OM3"],
    ["OM2", "OM2"],
    ["OM1", "OM1"],
]
GAUGES = [["22", "22 AWG"], ["23", "23 AWG"], ["24", "24 AWG"], ["26", "26 AWG"]]
CABLE_METAL = [
    ["none", "No metal at all"],
    ["bonded", "Metal, bonded at each building"],
    ["interrupted", "Metal, interrupted at entry"],
    ["open", "Metal, neither bonded nor interrupted"],
]
LAYING = [["duct", "In duct"], ["direct", "Direct in the ground"], ["aerial", "Aerial"], ["surface", "On a surface"]]
LOCATED = [["yes", "Located and marked"], ["no", "Not located"], ["nothing_near", "Nothing of others is near"]]
RULES = [["simple", "Simple acceptance"], ["guarded", "Guarded by the stated uncertainty"]]
METHODS = [["one_cord", "One-cord"], ["two_cord", "Two-cord"], ["three_cord", "Three-cord"]]
DIRECTIONS = [["near_to_far", "Near to far"], ["far_to_near", "Far to near"]]
LOSS_DIRECTIONS = [["one", "In one direction"], ["both", "In both directions"]]
SIDES = [["near", "Near end"], ["far", "Far end"]]
PAIRS = [["1-2", "1-2"], ["3-6", "3-6"], ["4-5", "4-5"], ["7-8", "7-8"]]
PARAMETERS = [
    ["insertion_loss", "Insertion loss"],
    ["next", "NEXT"],
    ["psnext", "PSNEXT"],
    ["acrf", "ACR-F"],
    ["psacrf", "PSACR-F"],
    ["return_loss", "Return loss"],
]
WAVELENGTHS = [["850", "850 nm"], ["1300", "1300 nm"], ["1310", "1310 nm"], ["1490", "1490 nm"], ["1550", "1550 nm"]]
POWER_PAIRS = [["2", "Two pairs"], ["4", "Four pairs"]]
FEEDINGS = [["ieee", "Detected and classified (IEEE 802.3)"], ["passive", "Always on, not detected"]]

LINK = [
    _f("name", "Link", "text", required=True),
    _f("medium", "Kind", "word", words=MEDIA, required=True),
    _f("near_building", "Near end building", "reference", of="building", required=True),
    _f("far_building", "Far end building", "reference", of="building", required=True),
    _f("category", "Category", "word", words=COPPER_CATEGORIES, media=METAL_MEDIA),
    _f("setup", "What is tested", "word", words=SETUPS, media=[COPPER]),
    _f("fibre", "Fibre", "word", words=FIBRES, media=[FIBRE]),
    _f("strands", "Strands to be tested", "count", media=[FIBRE], hint="Used and spare"),
    _f("strands_used", "Strands in use", "text", media=[FIBRE], hint="For example 1-2, 5; the others are spare"),
    _f("loss_directions", "Loss is measured", "word", words=LOSS_DIRECTIONS, media=[FIBRE]),
    _f("connections", "Mated connections", "count", media=[FIBRE], hint="Both ends included"),
    _f("splices", "Splices", "count", media=[FIBRE]),
    _f("limit_set", "Limits by", "word", words_from="limit_sets", hint="An edition is never changed under an old verdict"),
    _f("project_loss_limit", "Project's own loss limit", "quantity", units=["dB"], media=[FIBRE]),
    _f("project_limit_source", "Where that limit is written", "text", media=[FIBRE]),
    _f("application", "Must carry", "word", words_from="applications", media=[FIBRE]),
    _f("rate", "Must run at", "quantity", units=["Mbit/s", "Gbit/s"]),
    _f("cable", "Cable, as printed on the jacket", "text"),
    _f("reel", "Reel number", "text"),
    _f("gauge", "Conductor", "word", words=GAUGES, media=METAL_MEDIA),
    _f("outside_diameter", "Cable outside diameter", "quantity", units=SMALL_UNITS),
    _f("mark_unit", "Sheath marks count", "word", words=[["m", "Metres"], ["ft", "Feet"]]),
    _f("cable_metal", "Metal in the cable", "word", words=CABLE_METAL, media=[FIBRE]),
    _f("screened", "Screened cable", "word", words=YES_NO, media=METAL_MEDIA),
    _f("velocity", "Velocity factor (NVP)", "decimal", media=METAL_MEDIA, hint="For example 0.69", low="0.4", high="1"),
    _f(
        "group_index",
        "Group index",
        "decimal",
        media=[FIBRE],
        hint="From the cable's data sheet, for example 1.4677",
        low="1.3",
        high="1.6",
    ),
    _f("laying", "Laid", "word", words=LAYING),
    _f("services_located", "Other services on the route", "word", words=LOCATED, hint="Cables and pipes of others, before digging"),
    _f("services_reference", "Who located them, and reference", "text", hint="Ticket number, date, what was marked"),
    _f("burial_rule", "Depth judged by", "word", words_from="burial_rules"),
    _f("project_depth", "Project's own least depth", "quantity", units=["mm", "m", "in"]),
    _f("project_depth_source", "Where that depth is written", "text"),
    _f("electrode_reference", "Earth electrode judged by", "word", words_from="electrode_references"),
    _f("reach", "Maker's stated reach", "quantity", units=LENGTH_UNITS, media=[EXTENDED]),
    _f("reach_source", "Where the maker states it", "text", media=[EXTENDED], hint="Data sheet, revision, page"),
    _f("loop_limit", "Maker's largest pair loop resistance", "quantity", units=["ohm"], media=[EXTENDED]),
    _f("port_withstand", "Surge that the ports withstand", "quantity", units=["kV", "V"], media=METAL_MEDIA, hint="From the data sheet"),
    _f("port_withstand_source", "Where that is written", "text", media=METAL_MEDIA),
    _f("power_pairs", "Power over", "word", words=POWER_PAIRS, media=METAL_MEDIA),
    _f("feeding", "How it is fed", "word", words=FEEDINGS, media=METAL_MEDIA),
    _f("source_voltage", "Supply voltage", "quantity", units=["V"], media=METAL_MEDIA, hint="At the source, under load"),
    _f("source_power", "Most that the source may give", "quantity", units=["W"], media=METAL_MEDIA),
    _f("load_power", "Load at the far end", "quantity", units=["W"], media=METAL_MEDIA, hint="The most the device draws"),
    _f("load_voltage_min", "Lowest voltage the load accepts", "quantity", units=["V"], media=METAL_MEDIA),
    _f("load_source", "Where the load's figures are written", "text", media=METAL_MEDIA),
    _f("cable_temperature", "Hottest cable temperature", "quantity", units=["degC", "degF"], media=METAL_MEDIA),
    _f("decision_rule", "Verdict by", "word", words=RULES),
    _f("label", "Identifier on the labels", "text"),
    _f("note", "Note", "lines"),
]

END = [
    _f("space", "Room or space", "text", hint="Floor and letter, for example 1A; it stands in the identifiers"),
    _f("panel", "Socket or panel", "text"),
    _f("port", "Port", "text"),
    _f("equipment", "Converter or switch", "text"),
    _f("equipment_port", "Its port", "text"),
    _f(
        "connector",
        "Connector",
        "word",
        words=[["LC", "LC"], ["SC", "SC"], ["ST", "ST"], ["RJ45", "8-pin modular"], ["other", "Other"]],
    ),
    _f("polish", "Connector polish", "word", words=[["PC", "PC"], ["UPC", "UPC"], ["APC", "APC, angled"]], media=[FIBRE]),
    _f("transceiver", "Transceiver", "text", media=[FIBRE], hint="Type and serial, as printed"),
    _f("fibres_used", "Works over", "word", words=[["two", "Two fibres"], ["one", "One fibre, both ways"]], media=[FIBRE]),
    _f("transmit_wavelength", "Transmits at", "quantity", units=["nm"], media=[FIBRE]),
    _f("receive_wavelength", "Receives at", "quantity", units=["nm"], media=[FIBRE]),
    _f("transmit_min", "Transmit power, least", "quantity", units=["dBm", "mW", "uW"], media=[FIBRE], hint="From its data sheet"),
    _f("transmit_max", "Transmit power, most", "quantity", units=["dBm", "mW", "uW"], media=[FIBRE]),
    _f("receive_min", "Receive power, least", "quantity", units=["dBm", "mW", "uW"], media=[FIBRE]),
    _f("receive_max", "Receive power, most", "quantity", units=["dBm", "mW", "uW"], media=[FIBRE]),
    _f(
        "penalties",
        "Penalties to take off",
        "quantity",
        units=["dB"],
        media=[FIBRE],
        hint="Where the data sheet gives sensitivity",
    ),
    _f("transceiver_source", "Where its figures are written", "text", media=[FIBRE]),
    _f("power_source", "Fed with power here by", "text", media=METAL_MEDIA),
    _f("rod_length", "Earth rod, driven length", "quantity", units=LENGTH_UNITS, hint="Of one rod"),
    _f("rod_diameter", "Earth rod, diameter", "quantity", units=SMALL_UNITS),
    _f("rods", "Earth rods, joined", "word", words=ROD_COUNTS, hint="One rod length apart"),
    _f("note", "Note", "lines"),
]

STATION_TYPES = [
    ["building_entry", "Building entry"],
    ["handhole", "Handhole"],
    ["bend", "Bend"],
    ["slack_loop", "Slack loop"],
    ["closure", "Closure"],
    ["marker", "Marker"],
    ["bond", "Bond"],
    ["other", "Other"],
]

STATION = [
    _f("type", "What is here", "word", words=STATION_TYPES, required=True, keys=True),
    _f("name", "Name", "text"),
    _f("order", "Order along the route", "decimal", hidden=True),
    _f("mark", "Sheath mark", "decimal", hint="As printed; of a loop the mark where the cable goes in", low="0", high="999999"),
    _f("mark_out", "Sheath mark going out", "decimal", low="0", high="999999", types=["slack_loop", "handhole", "closure"]),
    _f("chainage", "Distance along the route", "quantity", units=LENGTH_UNITS, hint="From the near end, if taped or wheeled"),
    _f("depth", "Depth of cover", "quantity", units=["mm", "m", "in"]),
    _f("depth_method", "How the depth was taken", "text"),
    _f("duct", "Duct", "text", hint="Material and size, as printed"),
    _f(
        "bend_radius",
        "Bend radius",
        "quantity",
        units=["mm", "m", "in"],
        types=["bend", "slack_loop", "handhole", "closure", "building_entry", "other"],
    ),
    _f(
        "bend_state",
        "The bend is",
        "word",
        words=[["rest", "At rest"], ["load", "Under pulling load"]],
        types=["bend", "slack_loop", "handhole", "closure", "building_entry", "other"],
    ),
    _f("ties", "Taped ties", "ties", hint="Distances from two fixed corners"),
    _f("tie_side", "Seen from the first corner to the second it lies", "word", words=[["left", "Left"], ["right", "Right"]]),
    _f("position", "Position", "position"),
    _f("note", "Note", "lines"),
]

BOND_SIZES = [
    [size, size.replace("AWG", " AWG").replace("mm2", " mm\u00b2")]
    for size in (
        "14AWG",
        "12AWG",
        "10AWG",
        "8AWG",
        "6AWG",
        "4AWG",
        "2AWG",
        "1AWG",
        "1/0AWG",
        "2/0AWG",
        "3/0AWG",
        "4/0AWG",
        "1.5mm2",
        "2.5mm2",
        "4mm2",
        "6mm2",
        "10mm2",
        "16mm2",
        "25mm2",
        "35mm2",
        "50mm2",
        "70mm2",
        "95mm2",
    )
]

BOND = [
    _f("side", "At the", "word", words=SIDES, required=True),
    _f("name", "Bond", "text", required=True, hint="For example cabinet to main earth bar"),
    _f("from_point", "From", "text"),
    _f("to_point", "To", "text"),
    _f("size", "Conductor", "word", words=BOND_SIZES),
    _f("length", "Length", "quantity", units=LENGTH_UNITS),
    _f("joints", "Joints", "count", hint="Lugs and clamps in the measured path"),
    _f("note", "Note", "lines"),
]

PROTECTOR = [
    _f("side", "At the", "word", words=SIDES, required=True),
    _f("name", "Surge protector", "text", required=True, hint="Type and serial, as printed"),
    _f("category", "Test category", "text", hint="As marked, for example C2 or D1"),
    _f("lead_length", "Earth lead length", "quantity", units=["m", "mm", "ft", "in"]),
    _f("earthed_to", "Earthed to", "text"),
    _f("protection_level", "Protection level", "quantity", units=["V", "kV"]),
    _f("rated_current", "Rated line current", "quantity", units=["A", "mA"]),
    _f("note", "Note", "lines"),
]

LIMIT = [
    _f("what", "Limit of", "word", words_from="own_limits", required=True, hidden=True),
    _f("value", "Limit", "quantity", units_from="own_limits", required=True),
    _f("source", "Where it is written", "text", required=True, hint="Specification or data sheet, revision, page"),
    _f("note", "Note", "lines"),
]

LOAD = [
    _f("name", "Load", "text", required=True, hint="For example yard camera, or radio on the mast"),
    _f("power", "Power it draws at most", "quantity", units=["W"]),
    _f("voltage_min", "Lowest voltage it accepts", "quantity", units=["V"]),
    _f("port", "Fed through", "text", hint="For example port 3 of the yard switch"),
    _f("source", "Where its figures are written", "text", hint="Label or data sheet, page"),
    _f("note", "Note", "lines"),
]

# What an identifier is of stands in its subject, `<link>:identifier:<what>` (see identifier_kinds.py); without a value the default stands.
IDENTIFIER = [
    _f("what", "Identifier of", "text", required=True, hidden=True),
    _f("value", "Identifier", "text"),
]

THINGS = {
    "site": SITE,
    "building": BUILDING,
    "corner": CORNER,
    "link": LINK,
    "end": END,
    "station": STATION,
    "bond": BOND,
    "protector": PROTECTOR,
    "load": LOAD,
    "limit": LIMIT,
    "identifier": IDENTIFIER,
}
THING_NAMES = ["site", "building", "corner", "link", "end", "station", "bond", "protector", "load", "limit", "identifier"]
EVENT_NAMES = ["reading", "void", "photo", "note", "deviation", "seal"]
BELONGS_TO_LINK = ["end", "station", "bond", "protector", "load", "limit", "identifier", "reading", "void", "deviation", "seal"]
VERSION = 1
VERSIONS = {"seal": 2}  # kinds that have a newer form; their first one is read too


def newest_version(kind: str) -> int:
    """The newest form of a kind's entries that this core writes and reads."""
    return VERSIONS.get(kind, VERSION)
