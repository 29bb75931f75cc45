"""Text made safe."""

from __future__ import annotations

import html

from hypothesis import given
from hypothesis import strategies as st

from coldbench.report import markup


@given(st.text())
def test_html_parses_back_to_the_text(text):
    assert html.unescape(markup.html_text(text)) == markup.one_line(text)


@given(st.text())
def test_html_holds_no_sign_that_opens_anything(text):
    assert not set("<>\"'") & set(markup.html_text(text))


@given(st.text())
def test_a_typst_string_ends_where_it_should(text):
    inside = markup.typst_string(text, lines=True)[1:-1]
    without_pairs = inside.replace("\\\\", "").replace('\\"', "")
    assert '"' not in without_pairs
    assert "\n" not in inside


@given(st.text())
def test_a_css_string_cannot_be_left(text):
    assert not set("\"'<>{};\n") & set(markup.css_text(text)[1:-1])


def test_unprintable_signs_are_shown_as_such():
    assert markup.clean("a\x00b\x1bc\ud800d\ufffee") == "a\ufffdb\ufffdc\ufffdd\ufffde"


def test_terminal_colours_go():
    assert markup.without_colours("\x1b[31mred\x1b[0m") == "red"
