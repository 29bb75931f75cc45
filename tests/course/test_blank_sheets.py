"""Printed data sheets: one page a run, rows high enough for a pen, greys only, all fields there."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from itertools import pairwise

import pypdf
import pytest

from coldbench import cli
from coldbench.course.blank_sheets import LOWEST, most_rows, sheets_pdf, write_sheets
from coldbench.course.cards import NAMES
from coldbench.course.sheet_orders import sheet_of_card, sheets_of_kinds
from coldbench.errors import UserError
from coldbench.sheets.hand.form import PLANS, data_sheet

MM = 72 / 25.4  # points
SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


def pages(sheets, paper="a4"):
    return pypdf.PdfReader(io.BytesIO(sheets_pdf(sheets, paper))).pages


def heights(page, texts) -> list[float]:
    """Distances between the lines on which texts stand in the first column. [mm]"""
    found = {}

    def visit(text, page_at, text_at, *__):
        (a, b, c, d, e, f), (*_, along, up) = page_at, text_at
        x, y = along * a + up * c + e, along * b + up * d + f
        if text.strip() in texts and x < 40 * MM:
            found.setdefault(text.strip(), y / MM)

    page.extract_text(visitor_text=visit)
    return [abs(found[above] - found[below]) for above, below in pairwise(texts)]


@pytest.mark.parametrize("paper", SIZES)
def test_every_kind_is_one_page_of_the_paper(paper):
    sheets = sheets_of_kinds()
    found = pages(sheets, paper)
    assert len(found) == len(sheets) == len(PLANS)
    for page in found:
        size = (float(page.mediabox.width) / MM, float(page.mediabox.height) / MM)
        assert size == pytest.approx(SIZES[paper], abs=0.1)


HEADS = {
    "bare": {},
    "class": {"title": "Refrigeration basics, afternoon 3 · Heat leak by warming up", "group": "g1",
              "notes": ("load 1.25 kg", "target 8 °C")},
    "full": {"title": "Refrigeration basics, afternoon 3", "banner": "SYNTHETIC", "group": "g1",
             "notes": ("load 1.25 kg", "target 8 °C", "current 2.5 A", "bottle 500 mL",
                       "refrigerant R600a", "ambient offset 2 K", "heat leak 0.45 W/K")},
}


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("head", HEADS)
@pytest.mark.parametrize("kind", PLANS)
def test_as_many_rows_as_are_allowed_fit_and_no_more(kind, head, paper):
    """The last row that is allowed keeps its height, and nothing runs to a second page."""
    most = most_rows(data_sheet(kind, step="1 min", length="10 min", **HEADS[head]), paper)
    full = data_sheet(kind, step="1 min", length=f"{most - 1} min", **HEADS[head])
    (page,) = pages([full], paper)
    rows = heights(page, full.times[10:])
    assert len(rows) == most - 11 and min(rows) >= LOWEST
    with pytest.raises(UserError, match="more readings than a page holds"):
        sheets_pdf([data_sheet(kind, step="1 min", length=f"{most} min", **HEADS[head])], paper)


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("card", NAMES)
def test_the_sheet_of_every_card_fits_as_it_is_handed_out(card, paper):
    sheet = replace(sheet_of_card(card, "Refrigeration basics"), **HEADS["full"])
    assert len(pages([sheet], paper)) == 1


def test_the_page_names_all_that_the_importer_reads():
    sheet = data_sheet("pull-down", "g1-pull-down", group="g1", title="Refrigeration basics",
                       given={"cooler": "box", "setting": "coldest"}, notes=("load 1.5 kg",))
    text = re.sub(r"\s+", " ", pages([sheet])[0].extract_text())
    wanted = [field.label for field in sheet.fields if field.label != "kind"]
    wanted += [field.label for field in sheet.loads[0]] + list(sheet.roles) + list(sheet.times)
    wanted += ["instrument", "error", "resolution", "checked", "metered at", "sketch", "read by",
               "checked by", "at", "what", "note", "g1-pull-down", "Refrigeration basics", "box",
               "load 1.5 kg", "power on", "lid opened"]
    assert [word for word in wanted if word not in text] == []


def test_the_page_is_grey():
    content = b"".join(page.get_contents().get_data() for page in pages(sheets_of_kinds()))
    colours = re.findall(rb"((?:[\d.]+ ){3})(?:rg|RG|scn|SCN)\b", content)
    assert content and all(len(set(colour.split())) == 1 for colour in colours)


def test_a_card_with_gauges_asks_what_they_count_from():
    text = pages([sheet_of_card("cycle_on_ph", "Refrigeration basics")])[0].extract_text()
    assert "absolute" in text and "gauge" in text and "Refrigeration basics" in text


def test_more_columns_than_a_page_holds_are_refused():
    with pytest.raises(UserError, match="more columns than a page holds"):
        sheets_pdf([data_sheet("steady", roles=[f"load_{n}" for n in range(1, 11)])])


def test_words_of_a_user_stay_words():
    sheet = data_sheet("sound", title='#panic("x") "quoted" \\ [a]', given={"cooler": "#x"})
    text = pages([sheet])[0].extract_text()
    assert '#panic("x") "quoted" \\ [a]' in text and "#x" in text


def test_the_same_sheets_give_the_same_bytes(tmp_path):
    ways = [write_sheets(sheets_of_kinds(["warm-up"]), tmp_path / name / "a.pdf", workbook=True)
            for name in ("first", "second")]
    for one, other in zip(*ways, strict=True):
        assert one.read_bytes() == other.read_bytes()


def test_the_command_writes_pdf_and_workbook(tmp_path, capsys):
    out = tmp_path / "new" / "sheets.pdf"
    asked = ["sheets", "--kind", "warm-up", "--kind", "heater", "--cooler", "box", "--copies", "2",
             "--paper", "letter", "--workbook", "--out", str(out)]
    assert cli.main(asked) == 0
    assert capsys.readouterr().out.splitlines() == [str(out.with_suffix(".xlsx")), str(out)]
    assert len(pypdf.PdfReader(out).pages) == 4


@pytest.mark.parametrize(("asked", "told"), [
    (["--kind", "warmup"], "write warm-up"),
    (["--kind", "warm-up", "--step", "1 min"], "more readings than a page holds"),
    (["--card", "heat_leak"], "no lab card"),
    (["--card", "heat_leak_heater", "--run", "x"], "--run"),
])
def test_a_slip_is_told_without_a_traceback(asked, told, tmp_path, capsys):
    assert cli.main(["sheets", *asked, "--out", str(tmp_path / "a.pdf")]) == 1
    assert told in capsys.readouterr().err
    assert not (tmp_path / "a.pdf").exists()
