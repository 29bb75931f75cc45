"""Workbooks as text: each sheet row becomes a line, each cell is parted by a tab.

Line numbers of faults are row numbers of the sheet, and all that follows reads it like any log.
"""

from __future__ import annotations

import datetime as dt
import io
from typing import TYPE_CHECKING

from coldbench.errors import Fault, UserError, nearest
from coldbench.sheets.extent import too_far_out

if TYPE_CHECKING:
    from python_calamine import CalamineWorkbook

ZIP, OLE = b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
MOST_CELLS = 20_000_000


def is_grid(raw: bytes) -> bool:
    """Whether bytes are a workbook: xlsx and ods are zip archives, xls an older container."""
    return raw.startswith((ZIP, OLE))


def grid_text(raw: bytes, name: str, sheet: str | None) -> tuple[bytes, str]:
    """One sheet of a workbook as tab-separated UTF-8 lines.

    Parameters
    ----------
    raw : bytes
        The file.
    name : str
        Relative to the campaign.
    sheet : str or None
        Which sheet; needed where several hold something.

    Returns
    -------
    data : bytes
        A line a row, empty rows kept, so that line numbers are row numbers.
    sheet : str
        The one that was read.

    Raises
    ------
    UserError
        No workbook after all, no such sheet, or several and none named.
    """
    # A cell far out makes the reader lay out a whole sheet of blanks.
    if far := too_far_out(raw, MOST_CELLS):
        raise UserError(Fault("the workbook is too large to be read", name, found=far,
                              do="delete what stands far out, or export the sheet as text (CSV)"))
    book = _opened(raw, name)
    used = sheet if sheet is not None else _only_sheet(book, name)
    if used not in book.sheet_names:
        near = nearest(used, book.sheet_names)
        raise UserError(Fault(
            f'the workbook has no sheet "{used}"', name, found=_listed(book.sheet_names),
            do=f'write sheet = "{near or book.sheet_names[0]}" in the [[log]] block'))
    rows = _rows(book, used, name)
    if not any(any(cell not in ("", None) for cell in row) for row in rows):
        raise UserError(Fault("the log is empty", f"{name}: {used}",
                              do="name the sheet that holds the readings"))
    lines = ["\t".join(_text(cell) for cell in row) for row in rows]
    return ("\n".join(lines) + "\n").encode("utf-8", "replace"), used


def _opened(raw: bytes, name: str) -> CalamineWorkbook:
    from python_calamine import CalamineWorkbook

    try:
        return CalamineWorkbook.from_filelike(io.BytesIO(raw))
    except Exception as error:  # a broken archive fails in many ways, and all mean this
        raise UserError(Fault(
            "this is neither text nor a workbook that can be read", name,
            found=str(error).splitlines()[0][:80] if str(error) else type(error).__name__,
            do="save it again as xlsx or ods, or export it as text (CSV)")) from None


def _rows(book: CalamineWorkbook, sheet: str, name: str) -> list[list[object]]:
    try:
        found = book.get_sheet_by_name(sheet)
        if found.total_height * found.total_width > MOST_CELLS:
            raise UserError(Fault("the sheet is too large to be read", f"{name}: {sheet}",
                                  allowed=f"{MOST_CELLS} cells", do="export it as text (CSV)"))
        return found.to_python(skip_empty_area=False)
    except UserError:
        raise
    except Exception as error:  # as above: only the archive's own reader knows what is broken
        raise UserError(Fault("a sheet of the workbook cannot be read", f"{name}: {sheet}",
                              found=str(error).splitlines()[0][:80] if str(error) else "",
                              do="save the workbook again, or export the sheet as CSV")) from None


def _only_sheet(book: CalamineWorkbook, name: str) -> str:
    filled = [sheet for sheet in book.sheet_names if _rows(book, sheet, name)]
    if len(filled) == 1:
        return filled[0]
    if not filled:
        raise UserError(Fault("the log is empty", name, found="a workbook without a filled sheet"))
    lines = "  or  ".join(f'sheet = "{sheet}"' for sheet in filled[:6])
    raise UserError(Fault("which sheet of the workbook holds the log?", name,
                          found=_listed(filled), do=f"add to the [[log]] block: {lines}"))


def _listed(names: list[str]) -> str:
    return "sheets " + ", ".join(f'"{name}"' for name in names[:12])


def _text(cell: object) -> str:
    """A cell as a log would write it: ISO times, plain numbers, one line."""
    if isinstance(cell, bool):
        return "TRUE" if cell else "FALSE"
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    if isinstance(cell, dt.datetime):
        return cell.isoformat(" ")
    if isinstance(cell, dt.timedelta):
        seconds = cell.total_seconds()
        return f"{int(seconds // 3600)}:{int(seconds // 60 % 60):02d}:{seconds % 60:02.0f}"
    return " ".join(str(cell).replace('"', "”").split()) if cell is not None else ""
