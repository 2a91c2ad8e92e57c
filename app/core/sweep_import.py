"""Swept results that somebody brings: what traces a text holds, and how each would stand, before any of it is kept."""

from . import acceptance, marks, quantities, sweep_text, tables
from .checks import copper_sweep, readings
from .errors import Refused


def read_sweep(text: object, name: str, ports: str | None, known: dict, link: dict | None, site: dict | None) -> dict:
    """Text -> {"traces": [{"body", "lacks": [marks still to be chosen], "title", "points", "check" or None}...], "notes", "form"}.

    link, site: the views of the link that they are read for; without them nothing is judged. All traces are judged together, as if all were kept.
    Errors: Refused as `sweep_text.read` and `tables.check_table` say.
    """
    found = sweep_text.read(text, name, ports, known)
    traces = [_described(body, link) for body in found["traces"]]
    checks = _judged(traces, link, site) if link else {}
    for place, trace in enumerate(traces):
        trace["check"] = checks.get(_trial_id(place))
    return {"traces": traces, "notes": found["notes"], "form": found["form"]}


def _described(body: dict, link: dict | None) -> dict:
    about = quantities.quantity("sweep")
    if link:
        body["link"] = link["id"]
    try:
        tables.check_table(about, body["table"])
    except Refused as refused:
        said = marks.trace_words(body) + ": " + refused.field if len(marks.trace_words(body)) else refused.field
        raise Refused(refused.code, said, refused.given, refused.allowed, refused.remedy)
    return {"body": body, "lacks": _lacks(body), "title": marks.trace_words(body), "points": len(body["table"]["rows"])}


def _lacks(body: dict) -> list:
    """The marks that still have to be chosen; the same pair twice counts as the second one not chosen."""
    if not body.get("parameter"):
        return ["parameter"]
    own = quantities.quantity("sweep")["marks"][body["parameter"]]
    return [name for name in own if not body.get(name) or (name == "pair2" and body["pair2"] == body.get("pair"))]


def _trial_id(place: int) -> str:
    return readings.DRAFT + ":" + str(place)


def _judged(traces: list, link: dict, site: dict) -> dict:
    """How each whole trace would stand: {trial id: {"verdict", "margin", "sentence"}}."""
    trial = dict(link)
    trial["readings"] = link["readings"] + [
        readings.trial_reading(link, trace["body"], trial_id=_trial_id(place))
        for place, trace in enumerate(traces)
        if not trace["lacks"]
    ]
    held = readings.Readings(trial)
    found = {}
    for check in acceptance.run_rules(copper_sweep.RULES, trial, site, [], lambda rule: held):
        if check.get("sweep") and not check["sweep"]["from"]:
            found[check["readings"][0]] = {name: check[name] for name in ("verdict", "margin", "sentence")}
    return found
