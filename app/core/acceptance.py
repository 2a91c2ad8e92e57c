"""All checks of a link, what is missing, and what one more reading would do."""

from . import sign_off_items
from .checks import RULES, base, own, readings
from .ordering import in_order

GROUPS = ["fibre", "copper", "power", "traffic", "route", "earthing", "instruments"]
GROUP_WORDS = {
    "fibre": "Fibre",
    "copper": "Copper",
    "power": "Power",
    "traffic": "Traffic",
    "route": "Cable and route",
    "earthing": "Earthing and surges",
    "instruments": "Instruments",
}


def evaluate(link: dict, site: dict) -> dict:
    """A link view and its site view -> {"judged": {"checks", "summary", "applications"}, and for `with_draft` "asked", "readings"}."""
    held, asked = readings.Readings(link), []
    checks = run_rules(RULES, link, site, asked, lambda rule: held)
    _attach_deviations(checks, link["deviations"])
    readings.use(link, held)
    judged = {
        "checks": checks,
        "summary": summarise(checks, link, sign_off_items.written(link)),
        "applications": _applications(link, site),
    }
    readings.use(None)
    return {"judged": judged, "asked": asked, "readings": held}


def run_rules(rules: list, link: dict, site: dict, asked: list, readings_for: object) -> list:
    """The check rows of these rules, in the order of groups and rules. `asked` is filled with [rule, quantities it asked for]."""
    checks = []
    readings.asked()
    own.using(link)
    for rule in rules:
        readings.use(link, readings_for(rule))
        checks.extend(rule(link, site))
        asked.append([rule, readings.asked()])
    own.using(None)
    readings.use(None)
    placed = [(GROUPS.index(check["group"]), place, check) for place, check in enumerate(checks)]
    return [row[2] for row in in_order(placed, _place)]


def _place(row: tuple) -> tuple:
    return (row[0], row[1])


def _applications(link: dict, site: dict) -> list:
    from .checks import fibre

    return fibre.applications(link, site) if link["medium"] == "fibre" else []


def _attach_deviations(checks: list, deviations: list) -> None:
    accepted = {deviation["check"]: deviation for deviation in deviations}  # the last one given counts
    for check in checks:
        held = accepted.get(check["id"])
        if held and check["verdict"] not in base.PASSING:
            check["deviation"] = held


def summarise(checks: list, link: dict, items: list | tuple = ()) -> dict:
    """Counts, the link's verdict and its state in words. Only what is required counts towards the verdict.

    items: those of the sign-off list that no check makes; open ones keep a link from being ready to sign, accepted ones are deviations too.
    """
    required = [check for check in checks if check["required"]]
    failing = [check for check in required if check["verdict"] in base.FAILING]
    waiting = [check for check in required if check["verdict"] == base.NOT_MEASURED]
    open_failing = [check for check in failing if not check["deviation"]]
    open_waiting = [check for check in waiting if not check["deviation"]]
    accepted = [item for item in items if item["state"] == "accepted"]
    summary = {
        "pass": len([check for check in required if check["verdict"] in base.PASSING]),
        "fail": len(failing),
        "not_measured": len(waiting),
        "deviations": len(failing) + len(waiting) - len(open_failing) - len(open_waiting) + len(accepted),
        "open": len(open_failing) + len(open_waiting),
        "verdict": base.FAIL if open_failing else base.NOT_MEASURED if open_waiting else base.PASS,
    }
    unwritten = [item for item in items if item["state"] == "missing"]
    summary["state"] = _state(link, open_failing, bool(open_waiting or unwritten))
    return summary


def _state(link: dict, open_failing: list, waits: bool) -> str:
    if link["seals"]:
        return "changed after signing" if link["seals"][-1]["after"] else "signed"
    if open_failing:
        return "failing"
    if not link["stations"] and not link["readings"]:
        return "empty"
    return "part recorded" if waits else "ready to sign"


def with_draft(link: dict, site: dict, evaluated: dict, body: dict, at: str | None, by: str) -> list:
    """Only the checks that one more reading would take part in, as if it had been saved; their "readings" name only that one.

    evaluated: what `evaluate` gave; a rule that did not ask for the draft's quantity is not run again, and one whose rows stand apart by a mark
    sees only what is alike to the draft. body: a checked reading body; at: its time, if it has one.
    """
    rules = [pair[0] for pair in evaluated["asked"] if body["quantity"] in pair[1] or readings.EVERY in pair[1]]
    draft = readings.trial_reading(link, body, at, by)
    trial = dict(link)
    trial["readings"] = link["readings"] + [draft]
    trials = {}

    def readings_for(rule: object) -> object:
        mark = readings.mark_of(rule)
        if mark not in trials:
            trials[mark] = readings.Trial(evaluated["readings"], draft, mark)
        return trials[mark]

    checks = [check for check in run_rules(rules, trial, site, [], readings_for) if readings.DRAFT in check["readings"]]
    _attach_deviations(checks, link["deviations"])
    for check in checks:
        check["readings"] = [readings.DRAFT]  # up to 700 ids a row, on a link of 144 strands: half of the time of the answer
    return checks
