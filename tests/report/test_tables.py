"""Tables in both reports."""

from __future__ import annotations

import pytest
from bs4 import BeautifulSoup

from coldbench.report.display import Cell, Mark, ReportHead, Table
from coldbench.report.page_typst import pdf_report, typst_report


def parsed(table: Table) -> BeautifulSoup:
    return BeautifulSoup(table.html(), "html.parser")


def test_any_cell_comes_out_as_it_went_in(hostile):
    soup = parsed(Table(["text"], [[text] for text in hostile]))
    assert [cell.get_text() for cell in soup.tbody("td") or soup.tbody("th")] == list(hostile)


def test_heads_and_row_names_are_marked_for_screen_readers():
    soup = parsed(Table(["Cooler", "Mass [kg]"], [["A", 9.5]], "Masses"))
    assert [th["scope"] for th in soup.thead("th")] == ["col", "col"]
    assert soup.tbody.th["scope"] == "row"
    region = soup.find(role="region")
    assert region["aria-label"] == "Masses" and region["tabindex"] == "0"


def test_numbers_go_right_and_nothing_prints_as_a_dash():
    soup = parsed(Table(["a", "b"], [["x", 1.5], ["y", None]]))
    assert [td.get_text() for td in soup.tbody("td")] == ["1.5", "–"]
    assert all("r" in td["class"] for td in soup.tbody("td"))


def test_a_second_head_line_is_the_first_row():
    soup = parsed(Table(["one", ""], [["p", "q"], ["1", "2"]], header_rows=2))
    assert len(soup.thead("tr")) == 2 and len(soup.tbody("tr")) == 1


def test_a_mark_is_drawn_in_both_forms():
    table = Table(["Cooler"], [[Cell("A", "strong", Mark("D", "#1b6ca8"))]])
    assert parsed(table).tbody.polygon["fill"] == "#1b6ca8"
    assert 'rgb("#1b6ca8")' in table.typst()


@pytest.mark.parametrize(
    "wrong",
    [
        {"columns": ["a", "b"], "rows": [["1"]]},
        {"columns": ["a"], "rows": [["1"]], "align": "lr"},
        {"columns": ["a"], "rows": [["1"]], "align": "x"},
        {"columns": ["a"], "rows": [["1"]], "widths": [1, 2]},
    ],
)
def test_what_does_not_fit_is_refused(wrong):
    with pytest.raises(ValueError):
        Table(**wrong)


def test_unknown_style_shape_and_colour_are_refused():
    for wrong in ((Cell, "a", "loud"), (Mark, "?", "#000000"), (Mark, "o", "red")):
        with pytest.raises(ValueError):
            wrong[0](*wrong[1:])


@pytest.mark.pdf
def test_heads_repeat_and_no_row_is_cut(make_notebook, read_pages, squeeze):
    rows = [[f"row{i}", "word " * 150 + f"end{i}", i] for i in range(90)]
    notebook = make_notebook(ReportHead("T"), Table(["Name", "Story", "Count [-]"], rows, "Long"))
    pages = [squeeze(page) for page in read_pages(pdf_report(notebook))]
    assert len(pages) > 2
    for page in pages:
        assert "Count[-]" in page
    for i in range(90):
        (home,) = [n for n, page in enumerate(pages) if f"row{i}word" in page]
        assert f"end{i}" in pages[home]


@pytest.mark.pdf
def test_a_short_table_is_moved_rather_than_cut(make_notebook, read_pages):
    short = Table(["Short"], [[f"short {i}"] for i in range(10)], "Kept whole")
    moved = 0
    for filled in range(30, 46, 3):
        filler = Table(["n"], [[f"filler {i}"] for i in range(filled)])
        pages = read_pages(pdf_report(make_notebook(ReportHead("T"), filler, short)))
        (holding,) = [n for n, page in enumerate(pages) if "short " in page]
        assert "Kept whole" in pages[holding]
        moved += holding > 0 and f"filler {filled - 1}" not in pages[holding]
    assert moved


def test_paper_holds_200_rows_and_says_so(make_notebook):
    table = Table(["n"], [[f"r{i}"] for i in range(500)], note="Own note.")
    typst = typst_report(make_notebook(table))
    assert '"r199"' in typst and '"r200"' not in typst
    assert "Own note. The first 200 of 500 rows; the HTML report has all." in typst
    assert len(parsed(table).tbody("tr")) == 500


@pytest.mark.pdf
def test_a_very_wide_table_keeps_every_cell(make_notebook, read_pages, squeeze):
    heads = [f"Quantity{i}[kWh/d]" for i in range(30)]
    row = [f"{1000 + i}.5±12.3" for i in range(30)]
    notebook = make_notebook(ReportHead("T"), Table(["Cooler", *heads], [["A", *row]], "Wide"))
    text = squeeze("".join(read_pages(pdf_report(notebook))))
    for cell in (*heads, *row):
        assert cell in text
    assert text.count("Table1") == 1 and "Table2" not in text


@pytest.mark.pdf
def test_a_checksum_breaks_inside_its_cell_and_stays_copyable(make_notebook, read_pages, squeeze):
    checksum = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855" * 3
    notebook = make_notebook(ReportHead("T"), Table(["File", "Sum"], [["a.csv", checksum]]))
    assert checksum in squeeze("".join(read_pages(pdf_report(notebook))))
