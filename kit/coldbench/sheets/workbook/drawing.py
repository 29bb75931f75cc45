"""Draw the pages: heads, hints, and the cells to fill in."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from coldbench.errors import Fault, UserError
from coldbench.sheets.workbook.cells import SPELT, cell_name
from coldbench.sheets.workbook.examples import example_of
from coldbench.sheets.workbook.filling import Cell, Filled
from coldbench.sheets.workbook.keys import Key, words_at
from coldbench.sheets.workbook.pages import (
    CAMPAIGN,
    COOLERS,
    KEY,
    REMARK,
    RUNS,
    TABLE,
    VALUE,
    Across,
    Rows,
)
from coldbench.sheets.workbook.style import format_of, offer, printed

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

EXAMPLE, MEANING = f"{REMARK} example", f"{REMARK} what it means"
SPARE_COLUMNS, SPARE_ROWS, SPARE_VALUES = 8, 100, 3  # blank ones beside what is filled in
FIRST_ROW = 3  # of a page with one row a thing: below head, meaning and example
# Keys that hold the id of something, and the page that gives it.
REFERS = {"cooler": COOLERS, "design_of": COOLERS, "order": COOLERS, "run": RUNS,
          "repeat_of": RUNS, "instrument": "Instruments", "log": "Logs"}
LONGEST_LIST = 240  # characters of choices written into the cell's own rule
NARROWEST, WIDEST, TALL = 12, 34, 62
WIDTHS = {TABLE: 16, KEY: 21, EXAMPLE: 19, MEANING: 78, VALUE: 42}
ENTRY = 20  # width of a cooler or run


@dataclass
class Desk:
    """What is at hand while pages are drawn.

    Parameters
    ----------
    book : Workbook
        The workbook that is written.
    formats : dict of str to Format
        By name.
    ranges : dict of str to str
        By page: the cells that hold its ids.
    lists : dict
        Choices too long for a cell's own rule: the range that holds them.
    """

    book: Workbook
    formats: dict[str, Format]
    ranges: dict[str, str]
    lists: dict[tuple[str, ...], str] = field(default_factory=dict)

    def source(self, key: Key) -> str | list[str]:
        """Choices of a key, or the range that holds them."""
        if key.path[-1] in REFERS:
            return self.ranges.get(REFERS[key.path[-1]], "")
        choices = tuple(SPELT.get(word, word) for word in key.choices)
        if bool in key.types:
            return ["TRUE", "FALSE"]
        if len(",".join(choices)) < LONGEST_LIST and not any("," in word for word in choices):
            return list(choices)
        column = len(self.lists)
        letter = cell_name(0, column)[:-1]
        return self.lists.setdefault(
            choices, f"='{REMARK} Lists'!${letter}$1:${letter}${len(choices)}")


def draw_across(desk: Desk, page: Across, filled: list[Filled]) -> None:
    """A page with keys down.

    Parameters
    ----------
    desk : Desk
        The workbook.
    page : Across
        What it holds.
    filled : list of Filled
        Its columns.
    """
    sheet = desk.book.add_worksheet(page.name)
    heads, first = _heads(page, len(filled))
    names = heads[first : len(heads) - (2 if page.name == CAMPAIGN else 0)]
    _line(sheet, 0, heads, desk.formats["head"])
    if page.name != CAMPAIGN:
        for number in range(len(names)):
            ident = filled[number].owners[0] if number < len(filled) else ""
            _write(sheet, 0, first + number, ident, desk.formats["id"])
        about = Key(("id",), frozenset({str}), "An id of your own: letters, digits, - and _.")
        offer(sheet, (0, first, 0, first + len(names) - 1), about, "", False)
    row, above = 1, ""
    for key in page.keys:
        if page.table_of(key) != above:
            above = page.table_of(key)
            words = words_at(page.model, key.path[:-1]) if key.path[1:] else ""
            band = {TABLE: above, MEANING: words}
            _line(sheet, row, [band.get(head, "") for head in heads], desk.formats["band"])
            row += 1
        many = max(len(one.cells.get(key, [])) for one in [*filled, Filled((), {})])
        copies = many + SPARE_VALUES if key.many else 1
        for copy in range(copies):
            _key_row(desk, sheet, row + copy, page, key, heads, copy)
            for number in range(len(names)):
                cells = filled[number].cells.get(key, []) if number < len(filled) else []
                _write(sheet, row + copy, first + number, cells[copy] if copy < len(cells) else "",
                       desk.formats[format_of(key)])
        offer(sheet, (row, first, row + copies - 1, first + len(names) - 1), key,
              desk.source(key), key.strict or bool in key.types)
        row += copies
    for column, head in enumerate(heads):
        sheet.set_column(column, column, WIDTHS.get(head, ENTRY))
    sheet.freeze_panes(1, 2)
    sheet.repeat_rows(0)
    sheet.ignore_errors({"number_stored_as_text": f"A1:{cell_name(row, len(heads))}"})
    printed(sheet, row, len(heads))


def _heads(page: Across, filled: int) -> tuple[list[str], int]:
    """Heads of a page with keys down, and where the first thing stands."""
    if page.name == CAMPAIGN:
        return [TABLE, KEY, VALUE, EXAMPLE, MEANING], 2
    return [TABLE, KEY, EXAMPLE, MEANING, *[""] * (filled + SPARE_COLUMNS)], 4


def ids_across(page: Across, filled: int) -> str:
    """Range of the ids of a page with keys down."""
    heads, first = _heads(page, filled)
    return f"={page.name}!${_letter(first)}$1:${_letter(len(heads) - 1)}$1"


def ids_down(page: Rows, filled: int) -> str:
    """Range of what the rows of a page are named by: its ids, or its files."""
    column = 0 if "id" in page.owners else len(page.owners)
    letter, last = _letter(column), FIRST_ROW + filled + SPARE_ROWS
    return f"={page.name}!${letter}${FIRST_ROW + 1}:${letter}${last}"


def _letter(column: int) -> str:
    return cell_name(0, column)[:-1]


def _key_row(
    desk: Desk, sheet: Worksheet, row: int, page: Across, key: Key, heads: list[str], copy: int
) -> None:
    meaning = "" if copy else _meaning(key, "row")
    told = {TABLE: (page.table_of(key), "table"),
            KEY: (key.path[-1], "needed" if key.needed else "key"),
            EXAMPLE: (example_of(page, key, copy), "hint"), MEANING: (meaning, "hint")}
    for column, head in enumerate(heads):
        if head in told:
            text, look = told[head]
            sheet.write_string(row, column, text, desk.formats[look])


def draw_rows(desk: Desk, page: Rows, filled: list[Filled]) -> None:
    """A page with one row a thing.

    Parameters
    ----------
    desk : Desk
        The workbook.
    page : Rows
        What it holds.
    filled : list of Filled
        Its rows.
    """
    sheet = desk.book.add_worksheet(page.name)
    owners = [Key((name,), frozenset({str}), words, needed=True)
              for name, words in page.owners.items()]
    columns = [(key, number) for key in [*owners, *_columns(page, filled)]
               for number in range(_copies(key, filled))]
    last = FIRST_ROW + len(filled) + SPARE_ROWS
    for column, (key, number) in enumerate(columns):
        look = desk.formats[format_of(key)]
        example = "" if key in owners else example_of(page, key, number)
        cells = [*_column(key, number, owners, filled), *[""] * SPARE_ROWS]
        mark = f"{REMARK} " if column == 0 else ""
        sheet.write_string(0, column, key.name, desk.formats["head"])
        sheet.write_string(1, column, mark + _meaning(key, "column"), desk.formats["hint"])
        sheet.write_string(2, column, f"{mark and EXAMPLE} {example}".strip(), desk.formats["hint"])
        longest = max(len(str(one)) for one in [key.name, example, *cells])
        sheet.set_column(column, column, min(max(longest + 3, NARROWEST), WIDEST),
                         desk.formats["bare"] if look is desk.formats["text"] else None)
        for row, cell in enumerate(cells, FIRST_ROW):
            _write(sheet, row, column, cell, look)
        offer(sheet, (FIRST_ROW, column, last - 1, column), key, desk.source(key),
              key.strict or bool in key.types)
    sheet.set_row(1, TALL)
    sheet.freeze_panes(FIRST_ROW, max(len(owners), 1))
    sheet.repeat_rows(0, FIRST_ROW - 1)
    sheet.ignore_errors({"number_stored_as_text": f"A1:{cell_name(last, len(columns))}"})
    printed(sheet, last, len(columns))


def _columns(page: Rows, filled: list[Filled]) -> list[Key]:
    return list(dict.fromkeys([*page.keys, *(key for one in filled for key in one.cells)]))


def _copies(key: Key, filled: list[Filled]) -> int:
    most = max((len(one.cells.get(key, [])) for one in filled), default=0)
    return most + SPARE_VALUES if key.many else 1


def _column(key: Key, number: int, owners: list[Key], filled: list[Filled]) -> list[Cell]:
    if key in owners:
        return [one.owners[owners.index(key)] for one in filled]
    columns = [one.cells.get(key, []) for one in filled]
    return [cells[number] if number < len(cells) else "" for cells in columns]


def _meaning(key: Key, each: str) -> str:
    need = ("Needed. " if len(key.path) == 1 else "Needed in this table. ") if key.needed else ""
    choices = [SPELT.get(word, word) for word in key.choices] if key.strict else []
    listed = f" One of: {', '.join(choices)}." if len(choices) > 1 else ""
    return need + key.words + listed + (f" One value a {each}." if key.many else "")


def _line(sheet: Worksheet, row: int, texts: list[str], look: Format) -> None:
    for column, text in enumerate(texts):
        sheet.write_string(row, column, text, look)


def _write(sheet: Worksheet, row: int, column: int, cell: Cell, look: Format) -> None:
    """Text as text, so that nothing in it becomes a formula or a link."""
    if cell == "":
        sheet.write_blank(row, column, None, look)
    elif isinstance(cell, bool):
        sheet.write_boolean(row, column, cell, look)
    elif isinstance(cell, str):
        if sheet.write_string(row, column, cell, look):
            raise UserError(Fault("this text is too long for a cell", found=f"{cell[:60]}…",
                                  do="shorten it"))
    else:
        sheet.write_number(row, column, cell, look)
