"""The HTML report as a whole."""

from __future__ import annotations

import re

import pytest
from bs4 import BeautifulSoup

from coldbench.report.display import (
    Card,
    Figure,
    KeyNumbers,
    KeyRow,
    Mark,
    ReportHead,
    Table,
    Text,
)
from coldbench.report.page_html import html_report


@pytest.fixture
def page(make_notebook, plain_svg) -> str:
    head = ReportHead("Cool boxes", "On one bench", "Bench", "2031-06-14", "Which?",
                      banner="Invented data", report_id="r-1")
    numbers = KeyNumbers([Card("A", [KeyRow("l", "1 W")], Mark("o", "#1b6ca8"))] * 2)
    sections = [f"## Section {i}\n\ntext" for i in range(5)]
    return html_report(make_notebook(
        head, numbers, Figure(plain_svg, "c", "a line falls"), Table(["a"], [["x"]], "t"), *sections
    ))


def test_it_fetches_nothing_and_runs_nothing(page):
    assert "http://" not in page and "https://" not in page
    soup = BeautifulSoup(page, "html.parser")
    assert not soup(["script", "link", "iframe", "object", "embed"])
    assert all(tag["src"].startswith("data:") for tag in soup(src=True))
    assert all(url.startswith("data:") for url in re.findall(r"url\(([^)]*)\)", page))
    assert not [name for tag in soup(True) for name in tag.attrs if name.startswith("on")]


def test_it_says_what_it_is(page):
    soup = BeautifulSoup(page, "html.parser")
    assert soup.html["lang"] == "en"
    assert soup.find("meta", charset="utf-8") and soup.find("meta", {"name": "viewport"})
    assert soup.h1.get_text() == "Cool boxes"
    assert soup.find(class_="banner").get_text().strip() == "Invented data"
    for text in ("On one bench", "Which?", "2031-06-14", "r-1"):
        assert text in soup.header.get_text()


def test_every_image_has_an_alt_text(page):
    images = BeautifulSoup(page, "html.parser")("img")
    assert images and all(image["alt"].strip() for image in images)


def test_contents_lead_to_headings_that_exist(page):
    soup = BeautifulSoup(page, "html.parser")
    targets = [a["href"][1:] for a in soup.nav("a")]
    assert len(targets) == 5
    assert all(soup.find(id=target) for target in targets)


def test_heading_levels_never_skip(page):
    soup = BeautifulSoup(page, "html.parser")
    levels = [int(tag.name[1]) for tag in soup(re.compile("^h[1-6]$"))]
    assert levels[0] == 1
    assert all(b - a <= 1 for a, b in zip(levels, levels[1:], strict=False))


def test_a_short_report_has_no_contents(make_notebook):
    assert "<nav" not in html_report(make_notebook("## One", "## Two"))


def test_print_css_carries_paper_and_banner(make_notebook):
    page = html_report(make_notebook(ReportHead("T", banner='In"vented}')), "letter")
    assert "size:letter" in page
    assert "In\\000022vented\\00007d" in page


def test_a_notebook_without_head_takes_its_first_title(make_notebook):
    soup = BeautifulSoup(html_report(make_notebook("# Mine\n\nhello", Text("x"))), "html.parser")
    assert soup.h1.get_text() == "Mine" and soup.main.h1 is None
