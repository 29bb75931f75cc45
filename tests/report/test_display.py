"""Display objects: the same text in every form."""

from __future__ import annotations

import pytest
from bs4 import BeautifulSoup

from coldbench.report import display as show
from coldbench.report.page_html import html_report
from coldbench.report.page_typst import pdf_report


def everything(text: str) -> list[object]:
    """One of each object, with the text in every place that takes one."""
    mark = show.Mark("s", "#c8641b")
    rows = [show.KeyRow(text, text, text, "pass"), show.KeyRow("b", "1", status="not tested")]
    card = show.Card(text, rows, mark, text, text, text)
    return [
        show.Heading(2, text),
        show.Text(text, [text, show.Cell(text, "strong", mark)], style="lead"),
        show.Bullets([text, [text, show.Cell(text, "muted")]]),
        show.KeyValue([(text, text), ("x", None), ("y", show.Cell(text, "bad"))]),
        show.KeyNumbers([card], text),
        show.KeyNumbers([card, card, card, card, card], text),
        show.NoticeBox("doubt", text, [text, text]),
        show.Caution(text, text),
        show.Table([text, "n"], [[text, 1]], text, note=text),
    ]


def test_every_object_has_a_form_for_every_reader():
    for thing in (*everything("t"), show.PageBreak(), show.Prose("*t*"), show.ReportHead("t")):
        bundle = thing._repr_mimebundle_()
        assert "text/plain" in bundle
        assert len(bundle) > 1
        assert all(isinstance(form, str | dict) for form in bundle.values())


def test_hostile_text_is_text_in_html(make_notebook, hostile):
    for text in hostile:
        page = html_report(make_notebook(show.ReportHead(text, question=text), *everything(text)))
        soup = BeautifulSoup(page, "html.parser")
        assert not soup("script")
        assert soup.h1.get_text() == text
        assert soup.h2.get_text() == text
        assert soup.title.get_text() == text
        assert soup.find("aside").find_all("p")[1].get_text() == text
        assert soup.caption.get_text().endswith(text)


@pytest.mark.pdf
def test_hostile_text_is_text_in_pdf(make_notebook, read_pages, squeeze, hostile):
    objects = [thing for text in hostile for thing in everything(text)]
    head = show.ReportHead(" ".join(hostile), "s", "a", "2031-06-14", "q", banner="b")
    printed = squeeze("".join(read_pages(pdf_report(make_notebook(head, *objects)))))
    for text in hostile:
        # Headings, paragraphs, cells, boxes, tiles, five cards: many more than ten places.
        assert printed.count(squeeze(text)) > 10, text


def test_a_missing_statement_says_so():
    assert "not stated" in show.KeyValue([("Paid by", "")]).html()
    assert "not stated" in show.KeyValue([("Paid by", None)]).typst()


def test_five_cards_make_two_bands_and_a_label_without_row_a_dash():
    cards = [show.Card(f"c{i}", [show.KeyRow(f"l{i % 2}", "7")]) for i in range(5)]
    numbers = show.KeyNumbers(cards)
    assert numbers.typst().count("#key-table(") == 2
    assert numbers.labels == ["l0", "l1"]
    assert numbers.html().count("<b>–</b>") == 5


def test_a_number_stays_on_a_line_with_its_unit():
    row = show.KeyRow("Daily energy", "412 ± 18 Wh/d", "ambient 24.6 °C, inside 3.9 °C")
    text = show.KeyNumbers([show.Card("a", [row])]).html()
    assert "412\u00a0±\u00a018\u00a0Wh/d" in text
    assert "24.6\u00a0°C, inside 3.9\u00a0°C" in text


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: show.NoticeBox("loud", "t", "t"),
        lambda: show.Text("t", style="huge"),
        lambda: show.KeyRow("l", "v", status="great"),
        lambda: show.KeyNumbers([]),
    ],
)
def test_unknown_kinds_are_refused(wrong):
    with pytest.raises(ValueError):
        wrong()


def test_a_status_is_a_word_too():
    html = show.KeyNumbers([show.Card("a", [show.KeyRow("l", "v", status="limited")])]).html()
    assert ">limited</span>" in html
