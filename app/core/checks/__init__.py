"""The rules, one module a subject. A rule takes the link view and the site view and gives check rows (README beside core)."""

from . import consistency, copper, earthing, fibre, instruments, power, pulling, route, standing, traffic

RULES = (
    fibre.RULES
    + copper.RULES
    + power.RULES
    + traffic.RULES
    + standing.RULES
    + route.RULES
    + pulling.RULES
    + earthing.RULES
    + consistency.RULES
    + instruments.RULES
)
