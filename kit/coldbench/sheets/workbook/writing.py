"""Write a campaign's workbook: blank, or with the sheets of a campaign in it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

from coldbench.errors import Fault, UserError
from coldbench.sheets.raw import Raw
from coldbench.sheets.workbook.drawing import (
    Desk,
    draw_across,
    draw_rows,
    ids_across,
    ids_down,
)
from coldbench.sheets.workbook.filling import across_filled, rows_filled
from coldbench.sheets.workbook.pages import REMARK, across_pages, row_pages
from coldbench.sheets.workbook.style import formats_of, printed

if TYPE_CHECKING:
    from xlsxwriter import Workbook

    from coldbench.sheets.reading import Campaign

README = (
    "Fill in the framed white cells. Grey text says what a key means and shows an example; it is "
    "not read, nor is any page, row or column whose name begins with #: use that for remarks.",
    "Needed keys are bold. Leave blank what you do not know: it is said to be missing, never "
    "guessed.",
    "Write every quantity with its unit, with a decimal point: 5 °C, 330 mL, 0.32 EUR/kWh, 12 h. "
    "It may state its own limit of error: 6.2 W ± 0.1 W. A hint with the units shows when a cell "
    "is chosen.",
    "Dates are written 2031-06-14, times 2031-06-14 09:00:00, on the wall clock of the bench; "
    "times since a run's start as 30 min or 3 h.",
    "A key that stands in several rows or columns, such as kind, takes one value in each. Insert "
    "more of them where they do not suffice. Pairs are written 4 °C to 8 °C.",
    "Begin with Campaign. Then Coolers: one column a cooler, with an id of your own at its head. "
    "Instruments: what measured, and how far it may be off.",
    "Runs: one column for each test of a cooler. Loads: what was put in. Logs: the files, which "
    "lie in the folder logs beside this workbook. Columns: what each column of a log measures. "
    "Readings and Marks: what was read by eye, and what happened when.",
    "Save the workbook in its own format or as ods, and see what was understood: coldbench check "
    "FOLDER. Every fault is named with its page and cell. Then write the report: coldbench report "
    "FOLDER.",
)
# The same campaign gives the same bytes.
WRITTEN = dt.datetime(2031, 1, 1)


def workbook_from(campaign: Campaign, path: Path) -> Path:
    """Write a campaign's sheets into a workbook.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read; whatever they were read from.
    path : Path
        The workbook, ``campaign.xlsx`` in a campaign's folder. Logs are not copied.

    Returns
    -------
    Path
        The workbook. It reads back to the same sheets; a table without keys is left out.

    Raises
    ------
    UserError
        It cannot be written.
    """
    return write_workbook(path, campaign.raw)


def write_workbook(path: Path, raw: Raw | None = None) -> Path:
    """Write a workbook, blank or with sheets in it.

    Parameters
    ----------
    path : Path
        Replaced if it exists.
    raw : Raw, optional
        Sheets as they were written.

    Returns
    -------
    Path
        The workbook.

    Raises
    ------
    UserError
        It cannot be written.
    """
    import xlsxwriter
    from xlsxwriter.exceptions import FileCreateError

    raw = raw or Raw("")
    book = xlsxwriter.Workbook(str(path), {"strings_to_formulas": False, "strings_to_urls": False})
    book.set_properties({"created": WRITTEN})
    try:
        _draw(book, raw)
        book.close()
    except FileCreateError as error:
        raise UserError(Fault("the workbook cannot be written", found=f"{path}: {error}",
                              do="close it in the spreadsheet program; name a place in which "
                                 "you may write")) from None
    return path


def _draw(book: Workbook, raw: Raw) -> None:
    across = {page: across_filled(page, raw) for page in across_pages()}
    down = {page.name: (page, rows_filled(page, raw)) for page in row_pages()}
    ranges = {page.name: ids_across(page, len(filled)) for page, filled in across.items()}
    ranges |= {name: ids_down(page, len(filled)) for name, (page, filled) in down.items()}
    desk = Desk(book, formats_of(book), ranges)
    _draw_readme(desk)
    for page, filled in across.items():
        draw_across(desk, page, filled)
    for page, filled in down.values():
        draw_rows(desk, page, filled)
    lists = book.add_worksheet(f"{REMARK} Lists")
    for column, choices in enumerate(desk.lists):
        lists.write_column(0, column, choices)
    lists.hide()


def _draw_readme(desk: Desk) -> None:
    sheet = desk.book.add_worksheet(f"{REMARK} Read me")
    sheet.set_column(0, 0, 96)
    sheet.hide_gridlines(2)
    sheet.write_string(0, 0, "A campaign, to fill in", desk.formats["title"])
    for row, text in enumerate(README, 2):
        sheet.write_string(row, 0, text, desk.formats["prose"])
        sheet.set_row(row, 15 * (1 + len(text) // 85) + 6)
    printed(sheet, len(README) + 2, 1)
