"""How the workbook looks: few formats, quiet colours, cells to fill in white."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from coldbench.quantities import Quantity
from coldbench.sheets.workbook.keys import Key

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

INK, MUTED, HAIR, TINT, ACCENT = "#1c2326", "#566268", "#b9c3c5", "#eef3f3", "#0b5a66"
A4 = 9
LONGEST_TITLE, LONGEST_MESSAGE = 32, 255  # of a hint, in the file format

LOOKS: dict[str, dict[str, Any]] = {
    "title": {"bold": True, "font_size": 16, "font_color": ACCENT},
    "prose": {"text_wrap": True, "valign": "top", "font_color": INK},
    "head": {"bold": True, "font_color": "#ffffff", "bg_color": ACCENT, "valign": "vcenter"},
    "band": {"bold": True, "font_color": ACCENT, "bg_color": TINT},
    "table": {"font_color": MUTED, "valign": "top"},
    "key": {"valign": "top"},
    "needed": {"valign": "top", "bold": True},
    "hint": {"italic": True, "font_color": MUTED, "valign": "top", "text_wrap": True},
    "bare": {"num_format": "@"},
    "text": {"num_format": "@", "border": 1, "border_color": HAIR, "valign": "top"},
    "plain": {"border": 1, "border_color": HAIR, "valign": "top", "align": "left"},
    "day": {"num_format": "yyyy-mm-dd", "border": 1, "border_color": HAIR, "align": "left"},
    "time": {"num_format": "yyyy-mm-dd hh:mm:ss", "border": 1, "border_color": HAIR,
             "align": "left"},
    "id": {"num_format": "@", "bold": True, "font_color": ACCENT, "bg_color": TINT, "bottom": 2,
           "left": 1, "right": 1, "border_color": ACCENT, "valign": "vcenter"},
}


def formats_of(book: Workbook) -> dict[str, Format]:
    """All formats of a workbook by name."""
    return {name: book.add_format({"font_name": "Arial", "font_size": 10, **look})
            for name, look in LOOKS.items()}


def format_of(key: Key) -> str:
    """Name of the format of a key's cells.

    Text format keeps a spreadsheet program from making a date of “9.10”; a plain number, truth
    value or date needs none.
    """
    if key.types & {str, Quantity} or not key.types:
        return "text"
    if dt.datetime in key.types:
        return "time"
    if dt.date in key.types:
        return "day"
    return "plain" if key.types <= {int, float, bool} else "text"


def offer(sheet: Worksheet, area: tuple[int, int, int, int], key: Key, source: str | list[str],
          strict: bool) -> None:
    """A drop-down list where there is one, and a hint that shows once a cell is chosen.

    Parameters
    ----------
    sheet : Worksheet
        The page.
    area : tuple of int
        First row, first column, last row, last column.
    key : Key
        What is filled in there.
    source : str or list of str
        Choices, or the range that holds them; empty for none.
    strict : bool
        Whether nothing else may be typed.
    """
    told = " ".join(dict.fromkeys(filter(None, (key.words, key.hint))))
    rule: dict[str, Any] = {
        "validate": "list" if source else "any",
        "input_title": _cut(key.name, LONGEST_TITLE), "input_message": _cut(told, LONGEST_MESSAGE),
    }
    if source:
        rule |= {"source": source, "error_type": "stop" if strict else "warning",
                 "error_title": _cut(key.name, LONGEST_TITLE),
                 "error_message": "Choose from the list." if strict else
                 "This is not in the list. It may still be right; coldbench check tells."}
    sheet.data_validation(*area, rule)


def printed(sheet: Worksheet, rows: int, columns: int) -> None:
    """One page wide, lying, heads on every page, its name and number at the foot."""
    sheet.set_landscape()
    sheet.set_paper(A4)
    sheet.set_margins(left=0.4, right=0.4, top=0.5, bottom=0.6)
    sheet.fit_to_pages(1, 0)
    sheet.print_area(0, 0, rows - 1, columns - 1)
    sheet.set_footer("&L&F&C&A&R&P / &N")


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1]}…"
