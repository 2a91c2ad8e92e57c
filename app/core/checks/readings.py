"""The readings of a link as rules ask for them: grouped once and not once for each rule, and with one more reading on trial.

On a link of 144 strands and 1,500 readings each keypress of a reading asks a dozen rules. In the phone's interpreter that took 2 s while each rule
walked all readings; now only what the reading on trial can change is worked out again.
"""

from .. import moments
from ..ordering import ascending, in_order

EVERY = "every quantity"
DRAFT = "draft"  # the id of a reading on trial


def trial_reading(link: dict, body: dict, at: str | None = None, by: str = "", trial_id: str = DRAFT) -> dict:
    """One more reading of a link view as if it had been saved; without a time of its own it is as new as the newest."""
    newest = link["readings"][-1]["at"] if link["readings"] else link["created"]["at"]
    return {"id": trial_id, "body": body, "at": at or newest, "by": by, "voided": None, "text": ""}


def when(reading: dict) -> tuple:
    """By what readings follow each other: their time, and of equal times the id."""
    return (moments.milliseconds(reading["at"]), reading["id"])


class Readings:
    """The readings of one link view that count, by quantity and by what tells them apart."""

    def __init__(self, link: dict):
        self.counting = [reading for reading in link["readings"] if not reading["voided"]]
        self._by_quantity = {}
        for reading in self.counting:
            self._by_quantity.setdefault(reading["body"]["quantity"], []).append(reading)
        self._grouped = {}
        self._alike = {}
        self._each = {}
        self.noted = {}
        self.alone = None

    def of(self, quantity: str) -> list:
        """The readings of a quantity, or of EVERY."""
        return self.counting if quantity == EVERY else self._by_quantity.get(quantity, [])

    def grouped(self, quantity: str, keys: tuple) -> list:
        """[marks in ascending order, the row of each]; see `latest`."""
        if (quantity, keys) not in self._grouped:
            self._grouped[(quantity, keys)] = _grouped(self.of(quantity), keys)
        return self._grouped[(quantity, keys)]

    def each(self, name: str, quantity: str, keys: tuple, work: object) -> list:
        """What `work(row)` gives for each row; see `each`."""
        if name not in self._each:
            self._each[name] = [work(row) for row in self.grouped(quantity, keys)[1]]
        return self._each[name]

    def alike(self, quantity: str, mark: object, value: object) -> list:
        """Those readings of a quantity, or of EVERY, for whose body `mark` gives that value."""
        if (quantity, mark) not in self._alike:
            found = {}
            for reading in self.of(quantity):
                found.setdefault(mark(reading["body"]), []).append(reading)
            self._alike[(quantity, mark)] = found
        return self._alike[(quantity, mark)].get(value, [])

    def note(self, name: object) -> object:
        """What `once` worked out under that name, or None."""
        return self.noted.get(name)


class Trial:
    """The same with one more reading. With a mark: of its quantity only those readings that are alike by it."""

    def __init__(self, below: Readings, draft: dict, mark: object = None):
        self._below = below
        self._draft = draft
        self._mark = mark
        self._quantity = draft["body"]["quantity"]
        self.alone = None if mark is None else mark(draft["body"])
        self._grouped = {}
        self.noted = {}

    def of(self, quantity: str) -> list:
        if quantity not in (self._quantity, EVERY):
            return self._below.of(quantity)
        if self._mark is None:
            return self._below.of(quantity) + [self._draft]
        return self._below.alike(quantity, self._mark, self.alone) + [self._draft]

    def grouped(self, quantity: str, keys: tuple) -> list:
        if quantity != self._quantity:
            return self._below.grouped(quantity, keys)
        if keys not in self._grouped:
            if self._mark is None:
                self._grouped[keys] = _with_one_more(self._below.grouped(quantity, keys), self._draft, keys)
            else:
                self._grouped[keys] = _grouped(self.of(quantity), keys)
        return self._grouped[keys]

    def each(self, name: str, quantity: str, keys: tuple, work: object) -> list:
        if quantity != self._quantity:
            return self._below.each(name, quantity, keys, work)
        marks, rows = self.grouped(quantity, keys)
        if self._mark is not None:
            return [work(row) for row in rows]
        found, place = list(self._below.each(name, quantity, keys, work)), _place(marks, _marks_of(self._draft, keys))
        if len(found) < len(rows):
            found.insert(place, None)
        found[place] = work(rows[place])
        return found

    def with_fewer(self, name: str, fewer: object) -> list:
        """See `draft_and_alike`."""
        noted, asked_for = self._below.noted, (name, self.alone)
        if asked_for not in noted:
            noted[asked_for] = (fewer(self._below.alike(EVERY, self._mark, self.alone)), [EVERY])
        return noted[asked_for][0] + [self._draft]

    def note(self, name: object) -> object:
        found = self.noted.get(name) or self._below.note(name)
        return None if found and (self._quantity in found[1] or EVERY in found[1]) and name not in self.noted else found


def _marks_of(reading: dict, keys: tuple) -> tuple:
    body = reading["body"]
    return tuple([str(body.get(key) or "") for key in keys])


def _grouped(readings: list, keys: tuple) -> list:
    groups = {}
    for reading in readings:
        groups.setdefault(_marks_of(reading, keys), []).append(reading)
    marks = ascending(groups)
    return [marks, [_row(keys, held, groups[held]) for held in marks]]


def _row(keys: tuple, marks: tuple, members: list) -> dict:
    if len(members) > 1:
        members = in_order(members, when)
    return {"keys": dict(zip(keys, marks)), "reading": members[-1], "others": members[:-1]}


def _with_one_more(held: list, draft: dict, keys: tuple) -> list:
    own, marks, rows = _marks_of(draft, keys), list(held[0]), list(held[1])
    place = _place(marks, own)
    if place < len(marks) and marks[place] == own:
        rows[place] = _row(keys, own, rows[place]["others"] + [rows[place]["reading"], draft])
        return [marks, rows]
    marks.insert(place, own)
    rows.insert(place, _row(keys, own, [draft]))
    return [marks, rows]


def _place(marks: list, own: tuple) -> int:
    """Where marks stand, or belong, among others that rise: found by halving."""
    low, high = 0, len(marks)
    while low < high:
        middle = (low + high) // 2
        if marks[middle] < own:
            low = middle + 1
        else:
            high = middle
    return low


# ---- what rules call

_asked = set()
_at_hand = {}
_marks = {}  # rule -> the mark by which its rows stand apart


def use(link: dict | None, readings: object = None) -> None:
    """These are the readings of that link view, until the next call."""
    _at_hand["link"] = link
    _at_hand["readings"] = readings


def _of(link: dict) -> object:
    return _at_hand["readings"] if _at_hand.get("link") is link else Readings(link)


def draft_and_alike(link: dict, name: str, fewer: object) -> list | None:
    """In a rule that stands apart by a mark, on trial: the draft and, of the readings of every quantity alike to it, what `fewer(readings)` keeps.

    fewer: of a list of readings those that can make a difference to the rule, worked out once for all keypresses. None when nothing is on trial.
    """
    _asked.add(EVERY)
    held = _of(link)
    return None if held.alone is None else held.with_fewer(name, fewer)


def asked() -> set:
    """The quantities that were asked for since the last call, EVERY when all readings were; clears the note.

    A rule that never asked for a quantity would judge the same with one more reading of it: that is what makes the draft's margin quick.
    """
    found = set(_asked)
    _asked.clear()
    return found


def counting_readings(link: dict) -> list:
    """All readings that are not voided, whatever they measure."""
    _asked.add(EVERY)
    return _of(link).of(EVERY)


def latest(link: dict, quantity: str, keys: list) -> list:
    """Readings of a quantity that are not voided, grouped by what tells them apart.

    Gives rows {"keys": {name: value or ""}, "reading": the newest, "others": older ones}, sorted by the keys. The newest counts;
    an unwanted one has to be voided with a reason, so nothing can be replaced quietly.
    """
    _asked.add(quantity)
    return list(_of(link).grouped(quantity, tuple(keys))[1])


def newest(link: dict, quantity: str) -> dict | None:
    """The newest reading of a quantity that is taken once per link, or None."""
    rows = latest(link, quantity, [])
    return rows[0]["reading"] if rows else None


def once(link: dict, name: object, work: object) -> object:
    """What `work()` gives, worked out once for a link view and anew on trial only when it asked for the quantity on trial.

    name: a text or tuple of its own; work: takes nothing, reads only the link view; what it gives must not be changed.
    """
    held = _of(link)
    found = held.note(name)
    if found is None:
        outer = asked()
        value = work()
        found = (value, asked())
        _asked.update(outer)
        held.noted[name] = found
    _asked.update(found[1])
    return found[0]


def on_trial(link: dict) -> object:
    """In a rule that stands apart by a mark, while one more reading is on trial: that reading's mark. None otherwise."""
    return _of(link).alone


def each(link: dict, name: str, quantity: str, keys: list, work: object) -> list:
    """What `work(row)` gives for each row of `latest`, worked out once for a link view: on trial only for the draft's.

    name: a text of its own; work: reads only the row and the link's fields; neither the list nor what is in it may be changed.
    """
    _asked.add(quantity)
    return _of(link).each(name, quantity, tuple(keys), work)


def apart_by(mark: object, rules: list) -> list:
    """Say of rules that a row which uses a reading leans, of that reading's quantity, only on readings alike by a mark; gives the rules.

    mark: a function of a reading's body, such as its strand. On trial such a rule sees of the draft's quantity only the readings alike to the draft.
    """
    for rule in rules:
        _marks[rule] = mark
    return rules


def mark_of(rule: object) -> object:
    """The mark by which a rule's rows stand apart, or None."""
    return _marks.get(rule)
