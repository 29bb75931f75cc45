"""Workbooks for tests: a campaign's, changed cell by cell, and the same as an ods file."""

from __future__ import annotations

import datetime as dt
import zipfile
from pathlib import Path
from xml.sax.saxutils import quoteattr

import openpyxl
from openpyxl.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from coldbench.sheets import read_campaign
from coldbench.sheets.workbook.writing import workbook_from

TYPE = "application/vnd.oasis.opendocument.spreadsheet"
SPACES = " ".join(
    f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
    for short, name in (("office", "office"), ("table", "table"), ("text", "text")))


def as_workbook(folder: Path, name: str = "campaign.xlsx") -> Path:
    """Put a workbook in the place of a campaign's sheets of text."""
    book = workbook_from(read_campaign(folder), folder / "campaign.xlsx")
    for sheet in [folder / "campaign.toml", *folder.glob("coolers/*"), *folder.glob("runs/*")]:
        sheet.unlink()
    if name.endswith(".ods"):
        pages = {page.title: list(page.iter_rows(values_only=True))
                 for page in openpyxl.load_workbook(book)}
        write_ods(pages, folder / name)
        book.unlink()
    return folder / name


class Changed:
    """A workbook that a test may spoil; saved at the end of ``with``."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __enter__(self) -> Changed:
        self.book = openpyxl.load_workbook(self.path)
        return self

    def __exit__(self, *failed: object) -> None:
        self.book.save(self.path)

    def put(self, cell: str, value: object, form: str = "") -> None:
        """Write into a cell such as ``Coolers!C7``, perhaps in a number format."""
        page, name = cell.split("!")
        self.book[page][name].value = value
        if form:
            self.book[page][name].number_format = form

    def fill(self, page: str, row: tuple[str, ...], heading: str, value: object,
             form: str = "") -> None:
        """Write into the cell of a row and a heading."""
        self.put(f"{page}!{cell_at(self.book[page], row, heading).coordinate}", value, form)


def cell_at(page: Worksheet, row: tuple[str, ...], heading: str) -> Cell:
    """Cell where a row that begins with some words meets a heading."""
    rows = [[str(cell or "") for cell in cells] for cells in page.iter_rows(values_only=True)]
    number = next(n for n, cells in enumerate(rows) if tuple(cells[: len(row)]) == row)
    return page.cell(number + 1, rows[0].index(heading) + 1)


def write_ods(pages: dict[str, list], target: Path, blank_rows: int = 1) -> None:
    """Cells as the least that is an ods file; a blank row may stand for many."""
    tables = "".join(
        f"<table:table table:name={quoteattr(page)}>"
        + "".join(_ods_row(row, blank_rows) for row in rows) + "</table:table>"
        for page, rows in pages.items())
    content = (f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {SPACES} '
               f'office:version="1.2"><office:body><office:spreadsheet>{tables}'
               "</office:spreadsheet></office:body></office:document-content>")
    manifest = ('<?xml version="1.0" encoding="UTF-8"?><manifest:manifest '
                'xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
                f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{TYPE}"/>'
                '<manifest:file-entry manifest:full-path="content.xml" '
                'manifest:media-type="text/xml"/></manifest:manifest>')
    with zipfile.ZipFile(target, "w") as archive:
        archive.writestr("mimetype", TYPE)
        archive.writestr("META-INF/manifest.xml", manifest)
        archive.writestr("content.xml", content)


def _ods_row(row: list, blank_rows: int) -> str:
    many = "" if any(row) else f' table:number-rows-repeated="{blank_rows}"'
    return f"<table:table-row{many}>{''.join(map(_ods_cell, row))}</table:table-row>"


def _ods_cell(value: object) -> str:
    if value is None or value == "":
        return "<table:table-cell/>"
    if isinstance(value, bool):
        kind = f'office:value-type="boolean" office:boolean-value="{str(value).lower()}"'
    elif isinstance(value, int | float):
        kind = f'office:value-type="float" office:value="{value!r}"'
    elif isinstance(value, dt.datetime):
        kind = f'office:value-type="date" office:date-value="{value.isoformat()}"'
    else:
        kind = f'office:value-type="string" office:string-value={quoteattr(str(value))}'
    return f"<table:table-cell {kind}/>"
