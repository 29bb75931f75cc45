"""The workbook into which filled data sheets are typed: a page a run, laid out as on paper."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from coldbench.errors import Fault, UserError
from coldbench.sheets.hand.form import (
    LOADS,
    MANY,
    MARKS,
    NOTE,
    READINGS,
    RUN,
    TIME,
    DataSheet,
    Field,
    choices_above,
    rows_above,
    with_unit,
)
from coldbench.sheets.run import MARKS as EVENTS
from coldbench.sheets.workbook.pages import REMARK
from coldbench.sheets.workbook.style import formats_of, offer, printed

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

PAIRS = 3  # label and value, side by side in the block Run
SPARE_READINGS, MARK_ROWS = 12, 12
WIDTH, FIRST_WIDTH, GAP = 17, 17, 3
HOW = (f"{REMARK} Type in what stands on the paper; a number without a unit has that of its head. "
       "Delete a printed time, or write the true one. Leave blank what was not read.")


def write_pages(sheets: Sequence[DataSheet], path: Path) -> Path:
    """Write blank data sheets as a workbook.

    Parameters
    ----------
    sheets : sequence of DataSheet
        Each becomes a page named by its run.
    path : Path
        An xlsx file; replaced if it exists. In a campaign's folder ``runs/`` it is read with it.

    Returns
    -------
    Path
        The workbook.

    Raises
    ------
    UserError
        Two sheets of one run, or a place in which nothing can be written.
    """
    import xlsxwriter
    from xlsxwriter.exceptions import FileCreateError

    from coldbench.sheets.workbook.writing import WRITTEN

    runs = [sheet.run.casefold() for sheet in sheets]
    if len(set(runs)) < len(runs):
        raise UserError(Fault("two data sheets have the same run", found=", ".join(runs),
                              do="give each run an id of its own"))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        book = xlsxwriter.Workbook(str(path),
                                   {"strings_to_formulas": False, "strings_to_urls": False})
        book.set_properties({"created": WRITTEN})
        for sheet in sheets:
            _draw(book, formats_of(book), sheet)
        book.close()
    except (OSError, FileCreateError) as error:
        raise UserError(Fault("the workbook cannot be written", found=f"{path}: {error}",
                              do="close it in the spreadsheet program; name a place in which "
                                 "you may write")) from None
    return path


def _draw(book: Workbook, formats: dict[str, Format], sheet: DataSheet) -> None:
    page = book.add_worksheet(sheet.run)
    columns = len(sheet.roles) + 6
    page.set_column(0, columns, WIDTH)
    page.set_column(0, 0, FIRST_WIDTH)
    page.set_column(len(sheet.roles) + 2, len(sheet.roles) + 2, GAP)
    page.hide_gridlines(2)
    head = [f"{REMARK} Data sheet: {', '.join(sheet.kind)}", sheet.banner, sheet.title,
            sheet.group and f"group {sheet.group}", *sheet.notes]
    page.write_string(0, 0, " · ".join(filter(None, head)), formats["title"])
    page.write_string(1, 0, HOW, formats["table"])
    row = _run(page, formats, 3, sheet.fields)
    if sheet.loads:
        row = _loads(page, formats, row + 1, sheet)
    last = max(_readings(page, formats, row + 1, sheet),
               _marks(page, formats, row + 1, len(sheet.roles) + 3, sheet.unit))
    page.ignore_errors({"number_stored_as_text": f"A1:Z{last + 1}"})
    printed(page, last, columns)
    if len(sheet.roles) <= MANY:
        page.set_portrait()
    page.fit_to_pages(1, 1)


def _run(page: Worksheet, formats: dict[str, Format], row: int, fields: Sequence[Field]) -> int:
    _band(page, formats, row, 0, RUN, 2 * PAIRS)
    for number, one in enumerate(fields):
        down, across = divmod(number, PAIRS)
        page.write_string(row + 1 + down, 2 * across, one.head, formats["key"])
        _entry(page, formats, row + 1 + down, 2 * across + 1, one)
    return row + 2 + (len(fields) - 1) // PAIRS


def _loads(page: Worksheet, formats: dict[str, Format], row: int, sheet: DataSheet) -> int:
    _band(page, formats, row, 0, LOADS, len(sheet.loads[0]))
    for across, one in enumerate(sheet.loads[0]):
        page.write_string(row + 1, across, one.head, formats["head"])
    for down, load in enumerate(sheet.loads):
        for across, one in enumerate(load):
            _entry(page, formats, row + 2 + down, across, one)
    return row + 2 + len(sheet.loads)


def _readings(page: Worksheet, formats: dict[str, Format], row: int, sheet: DataSheet) -> int:
    heads = [with_unit(TIME, sheet.unit), *map(sheet.head_of, sheet.roles), NOTE]
    _band(page, formats, row, 0, READINGS, len(heads))
    for across, head in enumerate(heads):
        page.write_string(row + 1, across, head, formats["head"])
    above = rows_above(sheet)
    texts = [*above, *sheet.times, *[""] * SPARE_READINGS]
    for down, text in enumerate(texts, row + 2):
        page.write_string(down, 0, text, formats["key" if text in above else "text"])
        for across in range(1, len(heads)):
            page.write_blank(down, across, None, formats["text"])
    for across, role in enumerate(sheet.roles, 1):
        for name, choices in choices_above(role).items():
            cell = (row + 2 + above.index(name), across)
            page.data_validation(*cell, *cell, {"validate": "list", "source": list(choices)})
    return row + 2 + len(texts)


def _marks(page: Worksheet, formats: dict[str, Format], row: int, column: int, unit: str) -> int:
    heads = [with_unit("at", unit), "what", NOTE]
    _band(page, formats, row, column, MARKS, len(heads))
    for across, head in enumerate(heads, column):
        page.write_string(row + 1, across, head, formats["head"])
        for down in range(row + 2, row + 2 + MARK_ROWS):
            page.write_blank(down, across, None, formats["text"])
    page.data_validation(row + 2, column + 1, row + 1 + MARK_ROWS, column + 1,
                         {"validate": "list", "source": list(EVENTS)})
    return row + 2 + MARK_ROWS


def _band(page: Worksheet, formats: dict[str, Format], row: int, column: int, name: str,
          wide: int) -> None:
    for across in range(column, column + wide):
        page.write_string(row, across, name if across == column else "", formats["band"])


def _entry(page: Worksheet, formats: dict[str, Format], row: int, column: int,
           one: Field) -> None:
    page.write_string(row, column, one.given, formats["text"])
    strict = one.key.strict and not one.key.many
    offer(page, (row, column, row, column), one.key, list(one.key.choices) if strict else "",
          strict)
