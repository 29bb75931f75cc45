"""Read a page with keys down and things across."""

from __future__ import annotations

from coldbench.errors import Fault, nearest
from coldbench.sheets.raw import ID, safe
from coldbench.sheets.workbook.book import Grid
from coldbench.sheets.workbook.cells import MADE_TIME, is_blank, is_time, text_of
from coldbench.sheets.workbook.entry import Entry
from coldbench.sheets.workbook.keys import Key
from coldbench.sheets.workbook.pages import CAMPAIGN, KEY, REMARK, TABLE, VALUE, Across


def read_across(page: Across, grid: Grid, faults: list[Fault]) -> dict[str, Entry]:
    """Things of a page.

    Parameters
    ----------
    page : Across
        What the page may hold.
    grid : Grid
        Its cells.
    faults : list of Fault
        What does not belong there is told here.

    Returns
    -------
    dict of str to Entry
        By the head of their column.
    """
    rows = list(grid.filled())
    number, heads = rows[0] if rows else (0, [])
    places = {text_of(head): column for column, head in reversed(list(enumerate(heads)))}
    missing = [name for name in (TABLE, KEY) if name not in places]
    if missing:
        faults.append(Fault(f"the page has no column “{missing[0]}”", grid.where(number, 0),
                            found=", ".join(filter(None, map(text_of, heads))) or "nothing",
                            do="take the first line from a new workbook: coldbench new"))
        return {}
    columns = _columns(page, grid, number, heads, faults)
    found = {name: Entry(grid.where(number, column)) for name, column in columns.items()}
    met: set[Key] = set()
    stray: dict[int, Fault] = {}
    for row, cells in rows[1:]:
        key = _key(page, grid, row, cells, places, faults)
        if key is None:
            continue
        if key in met and not key.many:
            faults.append(Fault(f"the key {key.path[-1]} stands in two rows",
                                grid.where(row, places[KEY]), do="remove one of them"))
        met.add(key)
        for name, column in columns.items():
            found[name].put(key, cells[column], grid.where(row, column))
        _outside(grid, row, cells, heads, stray)
    faults += stray.values()
    for entry in found.values():
        entry.complete(page.model)
    return found


def _columns(
    page: Across, grid: Grid, row: int, heads: list[object], faults: list[Fault]
) -> dict[str, int]:
    """Columns of the things, by their heads."""
    found: dict[str, int] = {}
    for column, head in enumerate(heads):
        name, where = text_of(head), grid.where(row, column)
        if name in ("", TABLE, KEY) or name.startswith(REMARK):
            continue
        if page.name == CAMPAIGN:
            if name != VALUE:
                faults.append(Fault(f"unknown heading {name!r}", where, name, f"{KEY}, {VALUE}",
                                    do=f"write {VALUE}, or # in front of a remark"))
                continue
        elif is_time(head):
            faults.append(Fault("this head is no id", where, name, do=MADE_TIME))
            continue
        elif not ID.fullmatch(name):
            faults.append(Fault(
                "the head of a column is the id, and has to be safe in every file name", where,
                name, "letters A to Z, digits, - and _, no spaces", do=f"write {safe(name)}"))
        if name.casefold() in map(str.casefold, found):
            faults.append(Fault(f"two columns have the head {name}", where, name,
                                do="give each an id of its own"))
            continue
        found[name] = column
    if page.name == CAMPAIGN and VALUE not in found:
        faults.append(Fault(f"the page has no column “{VALUE}”", grid.where(row, 0),
                            do=f"write {VALUE} above the column that is filled in"))
    elif not found:
        free = 1 + max(column for column, head in enumerate(heads) if not is_blank(head))
        faults.append(Fault(f"the campaign has no {page.name.lower()}", grid.where(row, free),
                            do="write an id at the head of a column, and fill in what is known"))
    return found


def _key(
    page: Across, grid: Grid, row: int, cells: list[object], places: dict[str, int],
    faults: list[Fault],
) -> Key | None:
    """The key of a row; a row without one only heads the next ones."""
    table, name = (text_of(cells[places[head]]) for head in (TABLE, KEY))
    if not name:
        stray = [column for column, cell in enumerate(cells)
                 if column != places[TABLE] and not is_blank(cell)
                 and not text_of(grid.rows[0][column]).startswith(REMARK)]
        if stray:
            faults.append(Fault("a value stands in a row without a key",
                                grid.where(row, stray[0]), text_of(cells[stray[0]]),
                                do="move it to the row of its key"))
        return None
    here = {key.path[-1]: key for key in page.keys if page.table_of(key) == table}
    if name in here:
        return here[name]
    if not here:
        tables = list(dict.fromkeys(map(page.table_of, page.keys)))
        near = nearest(table, tables)
        faults.append(Fault(f"unknown table {table!r}", grid.where(row, places[TABLE]), table,
                            ", ".join(tables), do=f"write {near}" if near else ""))
        return None
    near = nearest(name, here)
    faults.append(Fault(f"unknown key {name!r} in {table}", grid.where(row, places[KEY]), name,
                        ", ".join(here), do=f"write {near}" if near else
                        "remove the row, or write # in front of a remark"))
    return None


def _outside(
    grid: Grid, row: int, cells: list[object], heads: list[object], stray: dict[int, Fault]
) -> None:
    """Values below no head belong to nothing; the first of a column is told."""
    for column, cell in enumerate(cells):
        if not is_blank(cell) and is_blank(heads[column]):
            stray.setdefault(column, Fault(
                "a value stands in a column without an id", grid.where(row, column),
                text_of(cell), do="write an id at the head of the column"))
