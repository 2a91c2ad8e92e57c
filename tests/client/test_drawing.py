"""Drawings on the client's page: core's come as they are, anything that could act is left out."""

from __future__ import annotations

import pytest

from app.client import drawing

OPEN = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" width="90mm">'


def test_a_drawing_keeps_its_size_its_lines_and_its_words() -> None:
    shown = drawing.inline(f'{OPEN}<g transform="scale(2)"><text x="1" y="2">3 &lt; 4 &amp; 5</text></g></svg>', 'Plan of "it"')
    assert 'viewBox="0 0 9 9" width="90mm"' in shown and 'aria-label="Plan of &#34;it&#34;"' in shown
    assert '<g transform="scale(2)"><text x="1" y="2">3 &lt; 4 &amp; 5</text></g>' in shown


@pytest.mark.parametrize(
    "inside",
    [
        "<script>alert(1)</script>",
        '<a href="http://elsewhere.example"><text>go</text></a>',
        '<image href="http://elsewhere.example/x.png"/>',
        '<use href="#x"/>',
        "<style>text{fill:url(http://elsewhere.example)}</style>",
        "<foreignObject><p>x</p></foreignObject>",
        '<animate attributeName="href"/>',
        '<h:script xmlns:h="http://www.w3.org/1999/xhtml">alert(1)</h:script>',
    ],
)
def test_an_element_that_could_act_is_left_out(inside: str) -> None:
    shown = drawing.inline(f"{OPEN}{inside}<line x1='1'/></svg>", "x")
    assert '<line x1="1"></line>' in shown
    for trace in ("script", "href", "elsewhere", "foreign", "animate", "style"):
        assert trace not in shown


@pytest.mark.parametrize(
    "attribute", ['onload="alert(1)"', 'style="fill:red"', 'fill="url(http://elsewhere.example)"', 'id="main"']
)
def test_an_attribute_that_could_act_is_left_out(attribute: str) -> None:
    assert drawing.inline(f"{OPEN}<rect {attribute}/></svg>", "x").endswith("<rect></rect></svg>")


@pytest.mark.parametrize(
    "text", ["", "<svg", "<p>x</p>", '<!DOCTYPE svg [<!ENTITY a "b">]><svg>&a;</svg>', "<svg>no namespace</svg>"]
)
def test_what_is_no_drawing_is_said(text: str) -> None:
    assert drawing.inline(text, "x") == "This drawing can&#39;t be shown."
