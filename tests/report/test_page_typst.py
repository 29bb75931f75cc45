"""The PDF report as a whole."""

from __future__ import annotations

import io
import logging
import time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coldbench.report.display import Figure, ReportHead, Table, Text
from coldbench.report.page_typst import compile_pdf, pdf_report, typst_report

pytestmark = pytest.mark.pdf
HEAD = ReportHead(
    "Cool boxes", author="Bench", date="2031-06-14", banner="Invented data", report_id="r-1"
)
FEW = settings(
    max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.fixture
def report(make_notebook, plain_svg) -> dict:
    sections = [f"## Section {i}\n\n### Part {i}\n\ntext" for i in range(6)]
    table = Table(["a", "b"], [[f"r{i}", i] for i in range(80)], "t")
    figure = Figure(plain_svg, "c", "a line falls")
    return make_notebook("# Not printed", HEAD, *sections, figure, table)


def reader(pdf: bytes):
    pypdf = pytest.importorskip("pypdf")
    return pypdf.PdfReader(io.BytesIO(pdf))


def test_it_claims_and_passes_the_accessible_standard(report):
    pdf = reader(pdf_report(report))
    assert pdf.metadata.title == "Cool boxes"
    root = pdf.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert b"pdfuaid:part" in root["/Metadata"].get_data()


def test_every_page_has_banner_number_and_identity(report, read_pages):
    pages = read_pages(pdf_report(report))
    assert len(pages) >= 3
    for number, page in enumerate(pages, start=1):
        assert "Invented data" in page
        assert f"{number} of {len(pages)}" in page
        assert "r-1" in page


def test_it_has_bookmarks_and_contents(report, read_pages):
    pdf = pdf_report(report)
    names = [entry.title for entry in reader(pdf).outline if not isinstance(entry, list)]
    assert names == [f"Section {i}" for i in range(6)]
    assert any("Contents" in page and "Section 5" in page for page in read_pages(pdf))
    assert "Not printed" not in "".join(read_pages(pdf))


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_both_papers(report, paper, size):
    box = reader(pdf_report(report, paper)).pages[0].mediabox
    assert (round(box.width), round(box.height)) == size


def test_the_notebook_may_choose_its_paper(make_notebook):
    assert 'paper: "us-letter"' in typst_report(make_notebook(ReportHead("T", paper="letter")))


def test_the_same_notebook_gives_the_same_bytes_a_second_later(report):
    first = pdf_report(report)
    time.sleep(1.1)  # dates in a PDF count seconds
    assert pdf_report(report) == first


def test_a_sign_no_font_has_does_not_stop_the_report(make_notebook, read_pages):
    text = "before \u65e5 \U0001f9ca after"
    pdf = pdf_report(make_notebook(ReportHead("T"), Text(text)))
    assert text in "".join(read_pages(pdf))
    assert b"pdfuaid:part" in reader(pdf).trailer["/Root"]["/Metadata"].get_data()


def test_what_the_standard_refuses_is_still_tagged():
    source = '#set document(title: "t")\n= T\n#image(bytes("<svg/>"), format: "svg")'
    pdf = compile_pdf(source.replace("<svg/>", "<svg xmlns='http://www.w3.org/2000/svg' "
                                     "width='9' height='9'><rect width='9' height='9'/></svg>"))
    root = reader(pdf).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert b"pdfuaid:part" not in root["/Metadata"].get_data()


def test_a_fault_of_ours_is_not_hidden():
    typst = pytest.importorskip("typst")
    with pytest.raises(typst.TypstError):
        compile_pdf("#nonsense-function()")


def test_no_warning_is_left(report, caplog):
    with caplog.at_level(logging.WARNING, logger="coldbench"):
        pdf_report(report)
    assert caplog.messages == []


def test_odd_facts_do_not_stop_it(make_notebook):
    odd = ReportHead(" ", author="\\", date="not a date", lang="en-GB-oxendict", paper="papyrus")
    assert pdf_report(make_notebook(odd)).startswith(b"%PDF")


# Letters, figures and signs that the report's own fonts have, so that reading back is exact.
PRINTABLE = st.text(
    st.sampled_from([chr(c) for c in (*range(0x21, 0x7F), *range(0xA1, 0xAD), *range(0xAE, 0x100),
                                      *range(0x3B1, 0x3CA), 0x2212, 0x2264, 0x2265, 0x20AC)]),
    min_size=1, max_size=24,
)


@FEW
@given(st.lists(PRINTABLE, min_size=1, max_size=30))
def test_text_comes_out_of_the_pdf_as_it_went_in(make_notebook, read_pages, squeeze, texts):
    notebook = make_notebook(HEAD, *(Text(f"((({text})))") for text in texts))
    printed = squeeze("".join(read_pages(pdf_report(notebook))))
    for text in texts:
        assert f"((({text})))" in printed


@FEW
@given(st.lists(st.text(max_size=60), max_size=20))
def test_any_text_at_all_can_be_set(make_notebook, texts):
    table = Table(["text", "again"], [[text, text] for text in texts])
    assert pdf_report(make_notebook(HEAD, *map(Text, texts), table)).startswith(b"%PDF")
