"""Open a workbook and hand out its pages cell by cell; nothing is understood here."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from coldbench.errors import Fault, UserError
from coldbench.sheets.extent import too_far_out
from coldbench.sheets.workbook.cells import cell_name, is_blank, text_of
from coldbench.sheets.workbook.pages import REMARK

LARGEST_BOOK = 20_000_000  # bytes
MOST_CELLS = 2_000_000  # of one page


@dataclass(frozen=True)
class Grid:
    """Cells of one page.

    Parameters
    ----------
    file : str
        The workbook.
    page : str
        Its page.
    rows : list of list
        From cell A1 on.
    """

    file: str
    page: str
    rows: list[list[object]]

    def where(self, row: int, column: int) -> str:
        """Place of a cell: ``campaign.xlsx: Coolers!C7``."""
        return f"{self.file}: {self.page}!{cell_name(row, column)}"

    def filled(self) -> Iterator[tuple[int, list[object]]]:
        """Rows in which something stands, without remarks."""
        for number, row in enumerate(self.rows):
            if not all(map(is_blank, row)) and not text_of(row[0]).startswith(REMARK):
                yield number, row


def grids_of(path: Path, faults: list[Fault], name: str = "") -> dict[str, Grid]:
    """Pages of a workbook that are not remarks.

    Parameters
    ----------
    path : Path
        An xlsx or ods file.
    faults : list of Fault
        A page that cannot be read is told here.
    name : str
        What the file is called in places; by default its own name.

    Returns
    -------
    dict of str to Grid
        By the page's name.

    Raises
    ------
    UserError
        The file cannot be opened, or is no workbook.
    """
    from python_calamine import CalamineWorkbook

    name = name or path.name
    try:
        if path.stat().st_size > LARGEST_BOOK:
            raise UserError(Fault(
                "this is too large for the sheets of a campaign", name,
                found=f"{path.stat().st_size} bytes", allowed=f"{LARGEST_BOOK} bytes",
                do="keep data in logs/"))
        data = path.read_bytes()
    except OSError as error:
        raise UserError(Fault("the workbook cannot be opened", name,
                              found=error.strerror or "",
                              do="close it in the spreadsheet program")) from None
    if far := too_far_out(data, MOST_CELLS):
        raise UserError(Fault("something stands too far out to be read", name, far,
                              do="delete what lies far below or beside the rest, and save again"))
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
    except Exception as error:  # a broken archive fails in many ways, and all mean this
        raise UserError(Fault("this is no workbook that can be read", name, _first(error),
                              do="save it again as xlsx or ods, without a password")) from None
    found = {}
    for page in book.sheet_names:
        if not page.startswith(REMARK):
            try:
                rows = book.get_sheet_by_name(page).to_python(skip_empty_area=False)
            except Exception as error:  # as above
                faults.append(Fault("the page cannot be read", f"{name}: {page}",
                                    _first(error), do="save the workbook again"))
                continue
            found[page.strip()] = Grid(name, page.strip(), rows)
    return found


def _first(error: Exception) -> str:
    return (str(error) or type(error).__name__).splitlines()[0][:100]
