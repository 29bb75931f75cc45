"""Figures, photos and key numbers."""

from __future__ import annotations

import io
from base64 import b64decode

import pytest
from bs4 import BeautifulSoup

from coldbench.errors import UserError
from coldbench.report.display import Figure, Pair, ReportHead, Text, photo
from coldbench.report.figure import aspect, from_raster
from coldbench.report.page_html import html_report
from coldbench.report.page_typst import pdf_report


def test_caption_alt_and_data_file_are_there(plain_svg, hostile):
    caption, alt = " ".join(hostile), " ".join(reversed(hostile))
    soup = BeautifulSoup(Figure(plain_svg, caption, alt, "x", csv="figures/x.csv").html(),
                         "html.parser")
    assert soup.img["alt"] == alt
    assert caption in soup.figcaption.get_text()
    assert "Data: figures/x.csv" in soup.figcaption.get_text()
    assert b64decode(soup.img["src"].partition(",")[2]).decode() == plain_svg


@pytest.mark.parametrize(
    "wrong", [("<p>", "c", "a"), ("<svg/>", "c", " "), ("<svg/>", "c", "a", "", "x")]
)
def test_a_figure_without_svg_or_alt_is_refused(wrong):
    with pytest.raises(ValueError):
        Figure(*wrong)


@pytest.mark.parametrize(
    ("svg", "ratio"),
    [
        ('<svg width="200pt" height="50pt">', 0.25),
        ("<svg viewBox='0 0 10 20'>", 2.0),
        ("<svg>", 0.62),
        ('<svg width="0" height="5">', 0.62),
    ],
)
def test_the_shape_of_a_drawing_is_read(svg, ratio):
    assert aspect(svg) == pytest.approx(ratio)


def test_a_tall_drawing_still_fits_the_page():
    tall = Figure('<svg viewBox="0 0 10 40"></svg>', "c", "a")
    assert "width: 51.25mm" in tall.typst()


def test_figures_are_numbered_in_order(make_notebook, plain_svg):
    one, two = Figure(plain_svg, "one", "a"), Figure(plain_svg, "two", "b", width="half")
    page = html_report(make_notebook(one, Pair(two, two)))
    counts = [tag.get_text() for tag in BeautifulSoup(page, "html.parser")(class_="count")]
    assert counts == ["Figure 1", "Figure 2", "Figure 3"]


@pytest.mark.pdf
def test_no_figure_is_cut(make_notebook, read_pages, plain_svg):
    parts = []
    for i in range(4):
        figure = Figure(plain_svg, f"Caption {i}.", "a", csv=f"figures/{i}.csv")
        parts += [Text(f"text {i}"), figure]
    pages = read_pages(pdf_report(make_notebook(ReportHead("T"), *parts)))
    for i in range(4):
        (page,) = [page for page in pages if f"Caption {i}." in page]
        assert f"figures/{i}.csv" in page
    # 85 mm high each: two fit a page below the other text, none is squeezed to fit.
    assert len(pages) in (2, 3)


def test_a_photo_loses_what_the_camera_wrote(tmp_path):
    image = pytest.importorskip("PIL.Image")
    picture = image.new("RGB", (40, 20), "#334455")
    exif = picture.getexif()
    exif[0x010E] = "SECRET PLACE"
    picture.save(tmp_path / "p.jpg", exif=exif, comment=b"SECRET OWNER")
    written = (tmp_path / "p.jpg").read_bytes()
    assert b"SECRET PLACE" in written and b"SECRET OWNER" in written
    shown = photo(tmp_path / "p.jpg", "The bench", "A bench")
    inside = shown.svg.partition("base64,")[2].partition('"')[0]
    assert b"SECRET" not in b64decode(inside)
    assert image.open(io.BytesIO(b64decode(inside))).size == (40, 20)


def test_a_missing_or_broken_photo_is_the_users_fault(tmp_path):
    (tmp_path / "no.png").write_bytes(b"no picture")
    for name in ("none.png", "no.png"):
        with pytest.raises(UserError, match=name):
            photo(tmp_path / name, "c", "a")


def test_a_small_picture_is_not_blown_up():
    image = pytest.importorskip("PIL.Image")
    for wide, width in ((300, "half"), (1200, "full")):
        file = io.BytesIO()
        image.new("RGB", (wide, 100)).save(file, "PNG")
        assert from_raster(file.getvalue(), "c", "a").width == width
