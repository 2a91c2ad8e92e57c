"""The one error that core raises on purpose."""


class Refused(Exception):
    """Input that core does not take.

    code: short word for programs ("number", "unit", "range", "word", "missing", "unknown", "shape"); field: the name of what was wrong;
    given: what came; allowed: what is allowed; remedy: what to do about it. The outer layers word it at their edge with `sentence`.
    """

    def __init__(self, code: str, field: str, given: object, allowed: str, remedy: str = ""):
        super().__init__(code)
        self.code = code
        self.field = field
        self.given = "" if given is None else str(given)[:80]
        self.allowed = allowed
        self.remedy = remedy

    def sentence(self) -> str:
        """One line for a person: the field, what was given, what is allowed, what to do."""
        parts = [self.field + ": "]
        parts.append("nothing given" if self.given == "" else "'" + self.given + "' was given")
        parts.append("; allowed is " + self.allowed)
        if self.remedy:
            parts.append(". " + self.remedy)
        return "".join(parts)

    def as_dict(self) -> dict:
        """The same as plain data, for the door."""
        return {
            "code": self.code,
            "field": self.field,
            "given": self.given,
            "allowed": self.allowed,
            "remedy": self.remedy,
            "message": self.sentence(),
        }


def require(thing: object, what: str, given: str) -> object:
    """The thing itself, or Refused("unknown") when there is none."""
    if thing is None:
        raise Refused("unknown", what, given, "the id of a " + what + " in this book", "Open the book again.")
    return thing
