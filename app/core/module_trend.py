"""What transceivers say of themselves, as a trend: first and latest reading of each module, and the loss that two of them make.

Never acceptance: a module may be off by 3 dB in the power that it reports (SFF-8472), and no check row is made of it.
"""

from . import limits
from .checks import base, fibre_light, readings
from .diagnostics import diagnostics_loss
from .kinds import FIBRE
from .moments import milliseconds, shown
from .numbers import parse_decimal, signed_text, text, to_steps
from .units_words import unit_word

FILE = "fibre-practice"
SIDES = [["near", "Near end"], ["far", "Far end"]]
# quantity, label, unit, decimals, name of its accuracy
ROWS = [
    ["module_transmit", "Light sent", "dBm", 2, "transmit"],
    ["module_receive", "Light received", "dBm", 2, "receive"],
    ["module_temperature", "Temperature", "degC", 1, "temperature"],
    ["module_supply", "Supply", "V", 2, "supply"],
    ["module_bias", "Bias current", "mA", 2, "bias"],
]
NO_LIGHT = "no light"
CAPTION = (
    "Trend, not acceptance: by SFF-8472 a module may be off by 3 dB in its power and by 3 \u00b0C (seen in two or more public places), "
    "by 3 % of supply and 10 % of bias current (seen in one)."
)


def trend(link: dict) -> dict:
    """A link view -> {"caption", "modules": [...], "losses": [...]}, both lists empty where no module was read.

    A module: {"side", "title", "rows": [{"quantity", "label", "first", "first_at", "latest", "latest_at", "change", "accuracy", "word"}], "notes"}.
    A loss: {"title", "text", "working", "notes"}. `word` is "", "notice", "service" or "fault".
    """
    if link["medium"] != FIBRE:
        return {"caption": CAPTION, "modules": [], "losses": []}
    readings.use(link, readings.Readings(link))  # grouped once for all rows
    held = _readings(link)
    modules = [_module(side, module, held[(side, module)]) for side, module in _in_order(held)]
    losses = _losses(link, held) if held else []
    readings.use(None)
    return {"caption": CAPTION, "modules": modules, "losses": losses}


def with_reading(link: dict, body: dict, at: str | None) -> dict:
    """The link view as if one more reading had been saved."""
    trial = dict(link)
    trial["readings"] = link["readings"] + [readings.trial_reading(link, body, at)]
    return trial


def _readings(link: dict) -> dict:
    """{(side, module as typed): {quantity: [first reading, latest reading]}}."""
    held = {}
    for quantity in [row[0] for row in ROWS]:
        for row in base.latest(link, quantity, ["side", "module"]):
            marks = (row["keys"]["side"], row["keys"]["module"])
            first = row["others"][0] if row["others"] else row["reading"]
            held.setdefault(marks, {})[quantity] = [first, row["reading"]]
    return held


def _in_order(held: dict) -> list:
    """Near before far; of one side the module that was read first stands first."""
    begun = []
    for marks in held:
        times = [milliseconds(pair[0]["at"]) for pair in held[marks].values()]
        begun.append((0 if marks[0] == "near" else 1, min(times), marks))
    return [marks for _, _, marks in sorted(begun)]


def is_dark(reading: dict) -> bool:
    """Does the reading mean that no light was there: 0, or below -40 dBm, the least that a module can say."""
    value = reading["body"]["value"]
    if value["unit"] != "dBm" and parse_decimal(value["value"]) == 0:
        return True
    return to_steps(base.reading_number(reading, "dBm"), 2) < to_steps(float(limits.row(FILE, "dark")["value"]), 2)


def _module(side: str, module: str, pairs: dict) -> dict:
    words = {name: label for name, label in SIDES}
    rows, notes = [], []
    for quantity, label, unit, decimals, name in ROWS:
        if quantity in pairs:
            rows.append(_row(quantity, label, unit, decimals, name, pairs[quantity], notes))
    title = words.get(side, side) + (", " + module if module else "")
    return {"side": side, "title": title, "rows": rows, "notes": notes + _temperature_notes(pairs)}


def _row(quantity: str, label: str, unit: str, decimals: int, name: str, pair: list, notes: list) -> dict:
    first, latest = pair
    row = {
        "quantity": quantity,
        "label": label,
        "accuracy": _accuracy(name),
        "change": "",
        "word": "",
        "first": "",
        "first_at": "",
    }
    row["latest"], row["latest_at"] = _shown(latest, unit, decimals), shown(latest["at"])
    if first is latest:
        return row
    row["first"], row["first_at"] = _shown(first, unit, decimals), shown(first["at"])
    if NO_LIGHT in (row["first"], row["latest"]):
        row["word"] = "fault" if row["latest"] == NO_LIGHT else ""
        return row
    before, now = base.reading_number(first, unit), base.reading_number(latest, unit)
    row["change"] = signed_text(now - before, decimals) + " " + ("dB" if unit == "dBm" else unit_word(unit))
    row["word"] = _word(quantity, before, now, notes)
    return row


def _shown(reading: dict, unit: str, decimals: int) -> str:
    if unit == "dBm" and is_dark(reading):
        return NO_LIGHT
    return text(base.reading_number(reading, unit), decimals) + " " + unit_word(unit)


def _accuracy(name: str) -> str:
    row = limits.row(FILE, "accuracy:" + name)
    return "\u00b1" + row["value"] + " " + unit_word(row["unit"])


def _word(quantity: str, before: float, now: float, notes: list) -> str:
    if quantity == "module_bias":
        most = limits.row(FILE, "module:bias")["value"]
        if before <= 0 or to_steps(now / before, 2) <= to_steps(float(most), 2):
            return ""
        notes.append(
            "The bias current is over " + most + " times its first reading: at the same temperature that means the laser ages."
        )
        return "notice"
    if quantity != "module_receive":
        return ""
    for word in ("fault", "service", "notice"):
        if to_steps(before - now, 2) >= to_steps(float(_less(word)), 2):
            less = text(before - now, 2) + " dB less light than at the first reading: " + word
            notes.append(less + ". Common practice: " + _steps_words())
            return word
    return ""


def _less(word: str) -> str:
    """How many decibels less than at first are a notice, ask for service, or are a fault."""
    return limits.row(FILE, "module:" + word)["value"]


def _steps_words() -> str:
    notice, service, fault = [_less(word) for word in ("notice", "service", "fault")]
    return notice + " dB less is a notice, " + service + " dB asks for service, " + fault + " dB is a fault."


def _temperature_notes(pairs: dict) -> list:
    """Readings compare at like temperature only."""
    if not [1 for pair in pairs.values() if pair[0] is not pair[1]]:
        return []
    held = pairs.get("module_temperature")
    apart = limits.row(FILE, "module:temperature_apart")["value"]
    if held is None or held[0] is held[1]:
        return ["Compare at like temperature: read the module's temperature each time."]
    change = base.reading_number(held[1], "degC") - base.reading_number(held[0], "degC")
    if to_steps(abs(change), 1) <= to_steps(float(apart), 1):
        return []
    return ["Temperatures lie " + text(abs(change), 1) + " \u00b0C apart: within " + apart + " \u00b0C readings can be compared."]


def _losses(link: dict, held: dict) -> list:
    """The loss that sender and receiver make of each direction by their latest readings."""
    found, metered = [], fibre_light.channel_losses(link)
    for sender, receiver, words in (("near", "far", "near to far"), ("far", "near", "far to near")):
        sent, heard = _latest(held, sender, "module_transmit"), _latest(held, receiver, "module_receive")
        if sent and heard:
            found.append(_loss(link, sent, heard, sender, "Loss by the modules, " + words, metered))
    return found


def _latest(held: dict, side: str, quantity: str) -> dict | None:
    """The latest reading of a side, whichever module it was taken from."""
    latest = None
    for marks in held:
        pair = held[marks].get(quantity) if marks[0] == side else None
        if pair and (latest is None or base.when(pair[1]) > base.when(latest)):
            latest = pair[1]
    return latest


def _loss(link: dict, sent: dict, heard: dict, sender: str, title: str, metered: dict) -> dict:
    if is_dark(sent) or is_dark(heard):
        which = "sender sends" if is_dark(sent) else "receiver gets"
        return {"title": title, "text": NO_LIGHT, "working": [], "notes": ["The " + which + " no light by its own reading."]}
    found = diagnostics_loss(base.reading_number(sent, "dBm"), base.reading_number(heard, "dBm"))
    results = found["results"]
    words = (
        text(results["loss"], 2)
        + " dB \u00b1"
        + text(results["worst"], 0)
        + " dB at worst, \u00b1"
        + text(results["likely"], 1)
        + " dB likely"
    )
    notes = [note for note in found["notes"] if not note.startswith("For trends only")] + _beside(link, sender, results, metered)
    return {"title": title, "text": words, "working": found["working"], "notes": notes}


def _beside(link: dict, sender: str, results: dict, metered: dict) -> list:
    """The loss by light source and meter, and whether the two can both be true."""
    if not metered:
        return ["No loss by light source and meter is recorded beside it."]
    path = fibre_light.path_loss(link, link["ends"][sender], metered)
    if "missing" in path:
        return ["Not held against the loss by meter: " + path["missing"] + "."]
    low, high, worst = path["low"], path["high"], results["worst"]
    note = (
        "By light source and meter: "
        + text(low, 2)
        + (" to " + text(high, 2) if to_steps(high, 2) > to_steps(low, 2) else "")
        + " dB"
    )
    if low - worst <= results["loss"] <= high + worst:
        return [note + ", which agrees within what the modules may be off."]
    return [note + ": further apart than both modules may be off. Other fibres, a dirty end, or an attenuator is between."]
