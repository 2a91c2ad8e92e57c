"""Names and notes that try to become markup, a formula, a path or a command."""

from __future__ import annotations

from tests.made_links import position
from tests.making import Story

HOSTILE = [
    "<script>alert(1)</script> & \"quotes\" 'too' ]]>",
    '=HYPERLINK("http://example.test","press")',
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "-2+3+cmd|' /C calc'!A0",
    "harmless;=1+1",
    'a;"=1+1"',
    "line one\n=1+1\r\n+2",
    "\u202egnp.exe",
    "control \u0001\u0007 and \ufffe",
    "emoji \U0001f9f0 and \u05d0\u05d1 and \u0627\u0644",
    "../../etc/passwd",
    "..\\..\\con:nul|aux?.txt ",
    "n" * 300,
]


def hostile_link(words: str) -> tuple[Story, str]:
    """A copper link in which every free text is this one: names, notes, reasons, marks of an instrument."""
    story = Story()
    story.thing("site", name=words[:200], client=words[:200], installer=words[:200], job=words[:200], place=words[:200])
    near = story.thing("building", name=words[:200], position=position("10.0", "20.0"))
    far = story.thing("building", name=words[:200], position=position("10.001", "20.001"))
    link = story.thing("link", name=words[:200], medium="copper", near_building=near, far_building=far, note=words)
    places = [position("10.0001", "20.0001"), position("10.0009", "20.0009"), None]
    for order, place in enumerate(places):
        more = {"position": place} if place else {}
        story.thing("station", link=link, type="other", order=str(order), name=words[:200], duct=words[:200], note=words, **more)
    instrument = {"name": words[:200], "serial": words[:200]}
    marks = {"pair": "1-2", "instrument": instrument, "conditions": words, "note": words}
    reading = story.reading(link, "loop_resistance", "9.4", "ohm", **marks)
    story.add("void", {"link": link, "reading": reading, "reason": words})
    story.add("note", {"link": link, "of": link, "text": words})
    story.add("deviation", {"link": link, "check": "wire_map", "reason": words, "name": words[:200]})
    return story, link
