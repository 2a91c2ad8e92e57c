"""Check rows of swept results: one a trace, with its worst margin and its worst value and where each lies."""

from .. import limits
from ..copper_limits import limit_at
from ..marks import TITLES, pair_words
from ..numbers import short_text, signed_text, text, to_steps
from . import base, judging, sweep_exempt, sweep_points, sweep_traces
from .readings import DRAFT

GROUP = "copper"
_INFORMATIVE = "From an S-parameter file: informative, not a certification."


def of_link(link: dict, parameter: str, file_id: str, row: dict) -> list:
    """The rows of all traces of a parameter, and of those that are worked out from others; with a draft only those that it takes part in."""
    read = [[_read, trace] for trace in sweep_traces.of(link, parameter)]
    every = read + [[_summed, one] for one in sweep_traces.summed(link, parameter)]
    counts = _counts(parameter, every)
    draft = _draft_of(link)
    found = []
    for place, (make, one) in enumerate(every):
        if draft is None or _touches(parameter, one["keys"], draft):
            check = make(link, parameter, one, file_id, row)
            check["notes"] += [words for first, words in counts if first == place]
            found.append(check)
    return found


def _draft_of(link: dict) -> dict | None:
    """The body of the reading on trial, if there is one: it is the last, and has no id of an entry."""
    last = link["readings"][-1] if link["readings"] else None
    return last["body"] if last and last["id"] == DRAFT else None


def _touches(parameter: str, keys: dict, draft: dict) -> bool:
    """Can the row of a trace lean on the draft: it is the draft's own, is for information by its loss, or is summed from it."""
    own, of_loss = [keys["pair"], keys["pair2"]], draft.get("parameter", draft["quantity"]) == "insertion_loss"
    if of_loss or draft.get("parameter") == sweep_traces.SUMS.get(parameter, ""):
        return draft.get("pair") in own or draft.get("pair2") in own
    return draft.get("parameter") == parameter and draft.get("pair") in own and (draft.get("side") or "") == keys["side"]


def _read(link: dict, parameter: str, trace: dict, file_id: str, row: dict) -> dict:
    reading, keys = trace["reading"], trace["keys"]
    more = judging.of_reading(reading, "dB", trace["others"])
    if keys["origin"]:
        more["required"] = False
        more["notes"] = [_INFORMATIVE] + more["notes"]
    level = reading["body"].get("accuracy_level")
    if level:
        more["notes"] = more["notes"] + ["Accuracy level of the instrument as stated: " + level + "."]
    return _judged(link, parameter, keys, "", sweep_points.curve_of(reading), file_id, row, more)


def _summed(link: dict, parameter: str, one: dict, file_id: str, row: dict) -> dict:
    """The sum is as uncertain as the most uncertain of its parts: were all three off by as much, so were their sum."""
    stated = [base.reading_uncertainty(reading, "dB") or 0.0 for reading in one["readings"]]
    more = {
        "readings": one["readings"],
        "uncertainty": max(stated) or None,
        "notes": ["Worked out as the power sum of three " + TITLES[sweep_traces.SUMS[parameter]] + " traces, not read itself."],
    }
    return _judged(link, parameter, one["keys"], sweep_traces.SUMS[parameter], one["curve"], file_id, row, more)


def _marks(keys: dict, origin: str) -> list:
    marks = [[name, keys[name]] for name in ("pair", "pair2", "side", "origin") if keys[name]]
    return marks + ([["from", origin]] if origin else [])


def _title(parameter: str, keys: dict, origin: str) -> str:
    what = TITLES[parameter] + (" from " + TITLES[origin] if origin else "") + " over frequency"
    return ", ".join([what] + pair_words(parameter, keys)) + (", from S-parameters" if keys["origin"] else "")


def _judged(link: dict, parameter: str, keys: dict, origin: str, curve: object, file_id: str, row: dict, more: dict) -> dict:
    rule, marks, title = parameter + "_sweep", _marks(keys, origin), _title(parameter, keys, origin)
    exempt = sweep_exempt.of_curve(link, parameter, keys, file_id, curve)
    flags, leans_on = (exempt["flags"], exempt["leans_on"]) if exempt else (None, ())
    found = sweep_points.assess(curve, file_id, row, flags, leans_on)
    if found["informative"]:
        more["readings"] = more["readings"] + [one for one in exempt["readings"] if one not in more["readings"]]
    more["notes"] = more["notes"] + judging.setup_notes(link) + ([row["note"]] if "note" in row else [])
    more["working"] = _counts_lines(curve, found, row, exempt)
    if not found["inside"]:
        missing = "no point of the sweep lies from " + row["from_mhz"] + " to " + row["to_mhz"] + " MHz"
        check = base.not_measured(
            rule, marks, GROUP, title, _form(parameter, keys), source=base.source_of(file_id, row), missing=missing
        )
        check["readings"] = [reading["id"] for reading in more["readings"]]
    elif not found["judged"]:
        check = _informative(rule, marks, title, curve, file_id, exempt, more)
    else:
        check = _by_worst(rule, marks, title, curve, found, file_id, row, more)
    check["sweep"] = {"parameter": parameter, "from": origin}
    check["sweep"].update(keys)
    return check


def _counts_lines(curve: object, found: dict, row: dict, exempt: dict | None) -> list:
    count = str(len(curve.frequencies))
    lines = [count + " points from " + _mhz(curve.frequencies[0]) + " to " + _mhz(curve.frequencies[-1])]
    if found["outside"]:
        inside = row["from_mhz"] + " to " + row["to_mhz"] + " MHz"
        lines.append(str(found["outside"]) + " of them left out: this category is specified from " + inside)
    if found["informative"]:
        lines.append(str(found["informative"]) + " of them for information only" + exempt["line"])
    return lines


def _mhz(frequency: float) -> str:
    return short_text(frequency, 6) + " MHz"


def _form(parameter: str, keys: dict) -> dict:
    form = {"quantity": "sweep", "parameter": parameter}
    form.update({name: keys[name] for name in ("pair", "pair2", "side") if keys[name]})
    return form


def _informative(rule: str, marks: list, title: str, curve: object, file_id: str, exempt: dict, more: dict) -> dict:
    row = exempt["row"]
    points = str(len(curve.frequencies)) + " points, for information"
    required = more.get("required", True)
    source = base.source_of(file_id, row)
    return base.statement(
        rule,
        marks,
        GROUP,
        title,
        True,
        points,
        sweep_exempt.wanted(row),
        source,
        more["working"],
        more["readings"],
        more["notes"],
        required,
    )


def _by_worst(rule: str, marks: list, title: str, curve: object, found: dict, file_id: str, row: dict, more: dict) -> dict:
    place = found["worst"]
    at = _mhz(curve.frequencies[place])
    setup = row["setup"].replace("_", " ")
    line = "limit for category " + row["category"] + ", " + setup + ", at " + at + " = " + text(found["limit"], 2) + " dB"
    more["working"] = more["working"] + ["worst margin at " + at, line]
    more["notes"] = [_worst_value(curve, found, row)] + more["notes"]
    check = judging.by_row(rule, marks, GROUP, title, curve.values[place], file_id, row, limit=found["limit"], **more)
    check["sentence"] = check["sentence"].replace(". Limit ", " at " + at + ". Limit ", 1)
    mark_within_accuracy(check)
    return check


def _worst_value(curve: object, found: dict, row: dict) -> str:
    """The worst value may lie elsewhere than the worst margin."""
    place = found["extreme"]
    value, limit = to_steps(curve.values[place], 1), to_steps(found["extreme_limit"], 1)
    spare = (limit - value if row["sense"] == "max" else value - limit) / 10.0
    words = "Worst value " + text(curve.values[place], 1) + " dB at " + _mhz(curve.frequencies[place])
    return words + ", margin there " + signed_text(spare, 1) + " dB."


def mark_within_accuracy(check: dict) -> None:
    """Mark a result that lies nearer to its limit than the instrument is accurate (ANSI/TIA-1152-A, from memory; the figure is the person's)."""
    if not check["uncertainty"] or not check["margin"]:
        return
    margin, accuracy = abs(float(check["margin"]["text"])), check["uncertainty"]["text"]
    check["within_accuracy"] = to_steps(margin, 3) < to_steps(float(accuracy), 3)
    if check["within_accuracy"]:
        check["notes"].insert(
            0, "Within the instrument's accuracy of " + accuracy + " dB: it could lie on the other side of the limit."
        )


def _counts(parameter: str, every: list) -> list:
    """[place, words]: for the first row of each end how many combinations there are, where it is not all of them."""
    whole, found = len(sweep_traces.combinations(parameter)), []
    words = sweep_traces.combination_words(parameter)
    for side in sweep_traces.sides(parameter):
        own = [place for place, held in enumerate(every) if held[1]["keys"]["side"] == side and not held[1]["keys"]["origin"]]
        if own and len(own) < whole:
            where = " at the " + side + " end" if side else ""
            found.append([own[0], str(len(own)) + " of " + str(whole) + " " + words + " have a trace" + where + "."])
    return found


def drawn(link: dict, check: dict) -> dict | None:
    """What a picture of a swept check shows: {"frequencies", "values", "limits", "flags", "worst"} of the points that have a limit, or None.

    limits: dB a point; flags: True where it is for information only; worst: the place of the worst margin, or None.
    """
    parameter, origin = check["sweep"]["parameter"], check["sweep"]["from"]
    traces = sweep_traces.summed(link, parameter) if origin else sweep_traces.of(link, parameter)
    own = [one for one in traces if all([one["keys"][name] == check["sweep"][name] for name in one["keys"]])]
    category, file_id = base.field(link, "category"), judging.copper_file(link)
    if not own or not category:
        return None
    row = limits.row(file_id, parameter + ":" + category + ":" + judging.setup_of(link))
    curve = own[0]["curve"] if origin else sweep_points.curve_of(own[0]["reading"])
    exempt = sweep_exempt.of_curve(link, parameter, own[0]["keys"], file_id, curve)
    flags, leans_on = (exempt["flags"], exempt["leans_on"]) if exempt else (None, ())
    found = sweep_points.assess(curve, file_id, row, flags, leans_on)
    low, high = float(row["from_mhz"]), float(row["to_mhz"])
    inside = [place for place, frequency in enumerate(curve.frequencies) if low <= frequency <= high]
    known = sweep_points.limits_of(file_id, row)
    return {
        "frequencies": [curve.frequencies[place] for place in inside],
        "values": [curve.values[place] for place in inside],
        "limits": [_limit(known, row, curve.frequencies[place]) for place in inside],
        "flags": [bool(flags and flags[place]) for place in inside],
        "worst": inside.index(found["worst"]) if found["worst"] is not None else None,
        "sense": row["sense"],
    }


def _limit(known: dict, row: dict, frequency: float) -> float:
    held = known.get(frequency)
    return held[0] if held else limit_at(row, frequency)
