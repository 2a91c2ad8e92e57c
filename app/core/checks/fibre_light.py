"""Transceivers over the measured link: enough light, not too much, wavelengths that meet, and which Ethernet applications it supports."""

from .. import limits, optics
from ..numbers import text, to_steps
from . import base, fibre_loss, judging, lengths

GROUP = "fibre"
WAYS = [["near_to_far", "near", "far"], ["far_to_near", "far", "near"]]
_ONE_FIBRE_TOLERANCE_NM = 15.0
_TWO_FIBRE_TOLERANCE_NM = 60.0


def channel_losses(link: dict) -> dict:
    """Losses that stand for the channel: end matings missing by the method are added.

    Gives {wavelength: [lowest dB, highest dB, [readings], where the lowest was read, where the highest was, widest uncertainty or None]}.
    """
    return base.once(link, "channel_losses", lambda: _channel_losses(link))


def _channel_losses(link: dict) -> dict:
    kind = base.field(link, "fibre") or "OS2"
    by_wavelength = {}
    for part in base.each(link, "channel_loss", "optical_loss", fibre_loss.LOSS_KEYS, lambda row: _channel_loss(row, kind)):
        by_wavelength.setdefault(part[0], []).append(part)
    return {wavelength: _extremes(by_wavelength[wavelength]) for wavelength in by_wavelength}


def _extremes(parts: list) -> list:
    """What `channel_losses` says of one wavelength. By the interpreter's own min and max: each keypress asks for it anew."""
    losses_db, guards_db = [part[1] for part in parts], [part[4] for part in parts]
    low_db, high_db = min(losses_db), max(losses_db)
    low_place, high_place = parts[losses_db.index(low_db)][3], parts[losses_db.index(high_db)][3]
    widest_db = None if None in guards_db else max(guards_db)
    return [low_db, high_db, [part[2] for part in parts], low_place, high_place, widest_db]


def _wider(one_db: float | None, other_db: float | None) -> float | None:
    """The larger uncertainty; None where one of them is not stated."""
    if one_db is None or other_db is None:
        return None
    return one_db if one_db > other_db else other_db


def _channel_loss(row: dict, kind: str) -> tuple:
    added_db = optics.channel_extra(row["reading"]["body"].get("method") or "one_cord", kind)
    loss_db = base.reading_number(row["reading"], "dB") + added_db
    guard_db = base.reading_uncertainty(row["reading"], "dB")
    return row["keys"]["wavelength"], loss_db, row["reading"], _place(row["keys"], added_db), guard_db


def _place(keys: dict, added_db: float) -> str:
    way = fibre_loss.DIRECTION_WORDS.get(keys["direction"], keys["direction"])
    words = "strand " + keys["strand"] + ", " + keys["wavelength"] + " nm, " + way
    return words + (", with " + text(added_db, 2) + " dB for the end matings" if to_steps(added_db, 2) else "")


def transceiver_budget(link: dict, book: dict) -> list:
    """Each way: the least that arrives against what the receiver needs, and the most that arrives against what it takes."""
    checks, losses = [], channel_losses(link)
    for way, sender, receiver in WAYS:
        ends = (link["ends"][sender], link["ends"][receiver])
        path = path_loss(link, ends[0], losses)
        checks.append(_low(way, sender, ends, path))
        checks.append(_high(way, sender, ends, path))
    return checks


def path_loss(link: dict, sender: dict, losses: dict) -> dict:
    """Loss at the sender's wavelength -> {"low", "high", "low_place", "high_place", "readings"} or {"missing", "form"}."""
    sent_nm = base.number(sender, "transmit_wavelength", "nm")
    kind = base.field(link, "fibre")
    if kind is None:
        return {"missing": "choose the fibre", "form": None}
    wanted = optics.nearest_wavelength(kind, sent_nm) if sent_nm is not None else sorted(losses)
    missing = [wavelength for wavelength in wanted if wavelength not in losses] or (
        [] if wanted else fibre_loss.REQUIRED[fibre_loss.mode(link)][:1]
    )
    if missing:
        form = {
            "quantity": "optical_loss",
            "strand": "1",
            "wavelength": missing[0],
            "direction": "near_to_far",
            "method": "one_cord",
        }
        return {"missing": "needs the loss at " + " and ".join(missing) + " nm", "form": form}
    readings, low, high, guard_db = [], wanted[0], wanted[0], losses[wanted[0]][5]
    for wavelength in wanted:
        readings.extend(losses[wavelength][2])
        low = wavelength if losses[wavelength][0] < losses[low][0] else low
        high = wavelength if losses[wavelength][1] > losses[high][1] else high
        guard_db = _wider(guard_db, losses[wavelength][5])
    unsure = "" if sent_nm is not None else "; transmit wavelength not stated"
    return {
        "low": losses[low][0],
        "high": losses[high][1],
        "low_place": losses[low][3] + unsure,
        "high_place": losses[high][4] + unsure,
        "readings": readings,
        "uncertainty": guard_db,
    }


def power(end: dict, name: str) -> float | None:
    """A power figure of the transceiver at this end in dBm, or None."""
    return base.number(end, name, "dBm")


def _title(what: str, sender: str) -> str:
    return what + ", " + ("near to far" if sender == "near" else "far to near")


def _lacking(rule: str, way: str, title: str, ends: tuple, names: tuple, path: dict) -> dict | None:
    """A row that waits when a transceiver figure or the loss is lacking."""
    words = []
    for end, name in zip(ends, names):
        if power(end, name) is None:
            words.append(FIGURE_WORDS[name] + " at the " + ("near end" if end["subject"].endswith(":near") else "far end"))
    if words:
        return base.not_measured(rule, [["direction", way]], GROUP, title, missing=judging.needs(words))
    if "missing" in path:
        return base.not_measured(rule, [["direction", way]], GROUP, title, path["form"], missing=path["missing"])
    return None


FIGURE_WORDS = {
    "transmit_min": "least transmit power",
    "transmit_max": "most transmit power",
    "receive_min": "least receive power",
    "receive_max": "most receive power",
}


def figures_source(ends: tuple) -> dict:
    """Where the figures of these transceivers are written, as typed."""
    written = []
    for end in ends:
        source = base.field(end, "transceiver_source")
        if source and source not in written:
            written.append(source)
    return base.typed_source("; ".join(written) or "Transceiver figures as typed")


def _low(way: str, sender: str, ends: tuple, path: dict) -> dict:
    title = _title("Enough light", sender)
    lacking = _lacking("light_low", way, title, ends, ("transmit_min", "receive_min"), path)
    if lacking:
        return lacking
    sent, needed = power(ends[0], "transmit_min"), power(ends[1], "receive_min")
    penalties = base.number(ends[1], "penalties", "dB") or 0.0
    arrives = sent - path["high"] - penalties
    line = (
        "least received = " + text(sent, 2) + " dBm - " + text(path["high"], 2) + " dB (highest loss: " + path["high_place"] + ")"
    )
    line += (" - " + text(penalties, 2) + " dB penalties" if penalties else "") + " = " + text(arrives, 2) + " dBm"
    reserve = float(limits.row("lengths", "reserve")["value"])
    notes = []
    if 0 <= to_steps(arrives - needed, 2) < to_steps(reserve, 2):
        notes.append("Less than the " + text(reserve, 0) + " dB that is usually kept for ageing and repair.")
    return base.judge(
        "light_low",
        [["direction", way]],
        GROUP,
        title,
        arrives,
        needed,
        "dBm",
        2,
        "min",
        figures_source(ends),
        [line],
        path["readings"],
        uncertainty=path["uncertainty"],
        notes=notes,
    )


def _high(way: str, sender: str, ends: tuple, path: dict) -> dict:
    title = _title("Not too much light", sender)
    lacking = _lacking("light_high", way, title, ends, ("transmit_max", "receive_max"), path)
    if lacking:
        return lacking
    sent, taken = power(ends[0], "transmit_max"), power(ends[1], "receive_max")
    arrives = sent - path["low"]
    line = (
        "most received = "
        + text(sent, 2)
        + " dBm - "
        + text(path["low"], 2)
        + " dB (lowest loss: "
        + path["low_place"]
        + ") = "
        + text(arrives, 2)
        + " dBm"
    )
    notes = []
    if to_steps(arrives - taken, 2) > 0:
        pad = optics.stock_pad(arrives - taken)
        notes.append(
            "Overloaded: an attenuator of at least "
            + text(arrives - taken, 2)
            + " dB at this receiver, the next usual one is "
            + text(pad, 0)
            + " dB."
        )
    return base.judge(
        "light_high",
        [["direction", way]],
        GROUP,
        title,
        arrives,
        taken,
        "dBm",
        2,
        "max",
        figures_source(ends),
        [line],
        path["readings"],
        uncertainty=path["uncertainty"],
        notes=notes,
    )


def wavelengths_meet(link: dict, book: dict) -> list:
    """What each end sends is what the other receives; over one fibre that takes one transceiver of each direction."""
    near, far = link["ends"]["near"], link["ends"]["far"]
    used = [base.field(end, "fibres_used") for end in (near, far)]
    sent = [base.number(end, "transmit_wavelength", "nm") for end in (near, far)]
    heard = [base.number(end, "receive_wavelength", "nm") for end in (near, far)]
    if used == [None, None] and sent == [None, None]:
        return []
    one = "one" in used
    if one and "two" in used:
        return [_meet(False, "one end works over one fibre, the other over two", [])]
    heard = heard if one else [heard[side] if heard[side] is not None else sent[side] for side in (0, 1)]
    if None in sent or None in heard:
        missing = "needs transmit and receive wavelength of both ends" if one else "needs the transmit wavelength of both ends"
        return [base.not_measured("wavelengths_meet", [], GROUP, _MEET, missing=missing)]
    return [_meeting(sent, heard, _ONE_FIBRE_TOLERANCE_NM if one else _TWO_FIBRE_TOLERANCE_NM, one)]


_MEET = "Transceivers suit each other"


def _meet(ok: bool, words: str, working: list) -> dict:
    wanted = "each receives what the other sends"
    source = base.practice_source("a receiver made for the wavelength that is sent to it")
    return base.statement("wavelengths_meet", [], GROUP, _MEET, ok, words, wanted, source, working)


def _meeting(sent: list, heard: list, tolerance_nm: float, one: bool) -> dict:
    working = [
        "near sends " + text(sent[0], 0) + " nm, far receives " + text(heard[1], 0) + " nm",
        "far sends " + text(sent[1], 0) + " nm, near receives " + text(heard[0], 0) + " nm",
        "allowed apart: " + text(tolerance_nm, 0) + " nm",
    ]
    if one and abs(sent[0] - sent[1]) <= tolerance_nm:
        return _meet(False, "both send at " + text(sent[0], 0) + " nm over one fibre: exchange one for its counterpart", working)
    ok = abs(sent[0] - heard[1]) <= tolerance_nm and abs(sent[1] - heard[0]) <= tolerance_nm
    words = "near " + text(sent[0], 0) + " nm to far, far " + text(sent[1], 0) + " nm to near"
    return _meet(ok, words if ok else "they do not: " + "; ".join(working[:2]), working)


def applications(link: dict, book: dict) -> list:
    """Which Ethernet applications the measured link supports: [{"application", "label", "verdict": supported | no | not_proven, "reason"}...]."""
    kind = base.field(link, "fibre")
    if kind is None:
        return []
    length, losses = lengths.known(link), channel_losses(link)
    found = []
    for name, label in limits.applications():
        fit = optics.support(name, kind, length["m"] if length else None, losses)
        found.append({"application": name, "label": label, "verdict": fit["verdict"], "reason": fit["reason"]})
    return found


def application(link: dict, book: dict) -> list:
    """The application that the link must carry is supported by fibre, length and measured loss."""
    wanted, kind = base.field(link, "application"), base.field(link, "fibre")
    if wanted is None or kind is None:
        return []
    if wanted not in [pair[0] for pair in limits.applications()]:
        return [base.not_measured("application", [], GROUP, "Carries " + wanted, missing="this version does not know " + wanted)]
    length, losses = lengths.known(link), channel_losses(link)
    fit = optics.support(wanted, kind, length["m"] if length else None, losses)
    source = limits.source(optics.ETHERNET, fit["rows"][0]) if fit["rows"] else None
    notes = [row["note"] for row in fit["rows"][:1] if row.get("note")] + ["Patch cords at the equipment are not in it."]
    notes += length["notes"] if length else []
    if fit["verdict"] == optics.NOT_PROVEN:
        form = _missing_form(fit["rows"], losses)
        return [
            base.not_measured(
                "application",
                [],
                GROUP,
                "Carries " + wanted,
                form,
                source=source,
                notes=notes,
                missing="not proven, " + fit["reason"],
            )
        ]
    ok = fit["verdict"] == optics.SUPPORTED
    readings = []
    for wavelength in fit["rows"][0]["wavelengths"] if fit["rows"] else []:
        readings.extend(losses[wavelength][2] if wavelength in losses else [])
    return [
        base.statement(
            "application",
            [],
            GROUP,
            "Carries " + wanted,
            ok,
            fit["reason"],
            "fibre, length and loss within " + wanted,
            source,
            [],
            readings,
            notes,
        )
    ]


def _missing_form(rows: list, losses: dict) -> dict | None:
    for row in rows:
        for wavelength in row["wavelengths"]:
            if wavelength not in losses:
                return {
                    "quantity": "optical_loss",
                    "strand": "1",
                    "wavelength": wavelength,
                    "direction": "near_to_far",
                    "method": "one_cord",
                }
    return None


RULES = [transceiver_budget, wavelengths_meet, application]
