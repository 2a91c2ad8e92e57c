"""The rules, one module a subject. A rule takes the link view and the site view and gives check rows (see the README beside core)."""

from . import copper, earthing, fibre, instruments, power, route, traffic

RULES = fibre.RULES + copper.RULES + power.RULES + traffic.RULES + route.RULES + earthing.RULES + instruments.RULES
