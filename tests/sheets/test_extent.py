"""How far out cells stand is seen without laying out a page."""

from __future__ import annotations

import io
import sys
import zipfile
from pathlib import Path

import pytest
import xlsxwriter

from coldbench.sheets.extent import too_far_out

sys.path.insert(0, str(Path(__file__).parent))
from books import write_ods


def xlsx(*cells: tuple[int, int]) -> bytes:
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    sheet = book.add_worksheet()
    for row, column in cells:
        sheet.write(row, column, 1)
    book.close()
    return out.getvalue()


@pytest.mark.parametrize(("cells", "found"), [
    ([(0, 0), (9, 9)], ""),
    ([(0, 0), (10, 9)], "a page of 11 rows and 10 columns"),
    ([(0, 0), (1048575, 16383)], "a page of 1048576 rows and 16384 columns"),
    ([(0, 16383), (50, 0)], "a page of 51 rows and 16384 columns"),
])
def test_of_xlsx(cells, found):
    assert too_far_out(xlsx(*cells), most=100) == found


@pytest.mark.parametrize(("rows", "times", "found"), [
    ([["a", "b"], [""]], 1_000_000, ""),  # blank ends are laid out by no reader
    ([["a", "b"], [""], ["c"]], 48, ""),
    ([["a", "b"], [""], ["c"]], 49, "a page of 51 rows and 2 columns"),
    ([[*[""] * 100, "x"]], 1, "a page of 1 rows and 101 columns"),
])
def test_of_ods(tmp_path, rows, times, found):
    write_ods({"one": [["a"]], "two": rows}, tmp_path / "x.ods", blank_rows=times)
    assert too_far_out((tmp_path / "x.ods").read_bytes(), most=100) == found


@pytest.mark.parametrize("data", [b"", b"text", xlsx((0, 0))[:200]])
def test_what_is_broken_is_left_to_its_reader(data):
    assert too_far_out(data) == ""


def test_a_part_that_unpacks_to_very_much(monkeypatch):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", b"0" * 3_000_000)
    monkeypatch.setattr("coldbench.sheets.extent.MOST_BYTES", 2_000_000)
    assert too_far_out(out.getvalue()) == "more than 2 MB when unpacked"
