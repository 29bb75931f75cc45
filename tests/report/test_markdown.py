"""Markdown cells in both reports."""

from __future__ import annotations

import pytest
from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st

from coldbench.report import assets
from coldbench.report.markdown import Outline, to_html, to_typst
from coldbench.report.markup import markdown_text, one_line
from coldbench.report.page_typst import compile_pdf


def test_the_first_title_is_taken_out_and_levels_never_skip():
    outline = Outline()
    html = to_html("# Title\n\n## One\n\n#### Deep\n\n# Late\n\n## One", outline)
    assert outline.title == "Title"
    assert [entry[:2] for entry in outline.entries] == [
        (1, "one"), (2, "deep"), (1, "late"), (1, "one-2"),
    ]
    assert "Title" not in html and '<h3 id="deep">' in html


def test_both_renderers_make_the_same_outline():
    source = "# T\n\n## A *b* `c`\n\n### [d](x)\n\ntext\n\n## A b c"
    first, second = Outline(), Outline()
    to_html(source, first)
    to_typst(source, second)
    assert first == second


def test_dollars_are_prices():
    assert "$5 and $6" in to_html("$5 and $6", Outline())
    assert '#"$5 and $6";' in to_typst("$5 and $6", Outline())


def test_raw_html_is_shown_comments_and_pictures_are_not():
    source = "a <script>x</script> <!-- hid -->\n\n![alt](https://example.org/a.png)"
    html = to_html(source, Outline())
    soup = BeautifulSoup(html, "html.parser")
    assert not soup("script") and not soup("img")
    text = soup.get_text()
    assert "<script>" in text and "hid" not in text and "alt" in text


def test_a_link_is_written_out_on_paper():
    typst = to_typst("[text](https://example.org/a)", Outline())
    assert '#link("https://example.org/a")' in typst and '(#"https://example.org/a";)' in typst


@given(st.text(min_size=1))
def test_escaped_text_survives_markdown(text):
    soup = BeautifulSoup(to_html(f"x {markdown_text(text)} x", Outline()), "html.parser")
    assert one_line(soup.get_text()) == one_line(f"x {one_line(text)} x")


WRITTEN = st.lists(
    st.sampled_from([
        "# a\n", "### b\n", "text ", "*i*", "**b**", "`c`", "> quote\n", "- item\n", "  - deep\n",
        "3. n\n", "\n\n", "```\nx\n```\n", "| a | b |\n|---|--:|\n| 1 | 2 |\n", "[l](#a)",
        "[l](#zz)", "[u](https://example.org/?a=1&b)", "![p](x.png)", "<b>", "<!-- c -->", "---\n",
        "~~s~~", "  \n", "\\", "$", "#", "*", "_", "]", '"', "//", "@x", "<y>", "&amp;",
    ]),
    max_size=25,
)


@pytest.mark.pdf
def test_any_markdown_can_be_set():
    sources = []

    @given(WRITTEN)
    def collect(parts):
        sources.append("".join(parts))

    collect()
    outline = Outline(title="taken")
    body = "\n\n".join(to_typst(source, outline) for source in sources)
    start = '#show: report.with(title: "t");\n'
    assert compile_pdf(f"{assets.read('report.typ')}\n{start}{body}").startswith(b"%PDF")
