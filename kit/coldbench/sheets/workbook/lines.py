"""Read a page with one row a thing."""

from __future__ import annotations

from dataclasses import dataclass

from coldbench.errors import Fault, nearest
from coldbench.sheets.workbook.book import Grid
from coldbench.sheets.workbook.cells import MADE_TIME, is_blank, is_time, text_of
from coldbench.sheets.workbook.entry import Entry
from coldbench.sheets.workbook.keys import Key
from coldbench.sheets.workbook.pages import REMARK, Rows


@dataclass
class Line:
    """One row.

    Parameters
    ----------
    entry : Entry
        What it says.
    owners : dict of str to str
        What it belongs to, by heading.
    where : dict of str to str
        Places of those.
    """

    entry: Entry
    owners: dict[str, str]
    where: dict[str, str]


def read_lines(page: Rows, grid: Grid, faults: list[Fault]) -> list[Line]:
    """Rows of a page.

    Parameters
    ----------
    page : Rows
        What the page may hold.
    grid : Grid
        Its cells.
    faults : list of Fault
        Unknown headings, and rows that do not say what they belong to, are told here.

    Returns
    -------
    list of Line
        In their order.
    """
    rows = list(grid.filled())
    if not rows:
        return []
    number, heads = rows[0]
    keys, owners = _headings(page, grid, number, heads, faults)
    lost = [name for name in page.owners if name not in owners]
    if lost:
        faults.append(Fault(f"the page has no column “{lost[0]}”", grid.where(number, 0),
                            allowed=page.owners[lost[0]], do=f"write {lost[0]} above its column"))
        return []
    found = []
    for row, cells in rows[1:]:
        entry = Entry(grid.where(row, 0))
        for column, key in keys.items():
            entry.put(key, cells[column], grid.where(row, column))
        for column, cell in enumerate(cells):
            if not is_blank(cell) and is_blank(heads[column]):
                faults.append(Fault("a value stands in a column without a heading",
                                    grid.where(row, column), text_of(cell),
                                    do="write its heading; # in front of a remark"))
        told = {name: text_of(cells[column]) for name, column in owners.items()}
        faults += [Fault(f"this is no {name}", grid.where(row, column), told[name], do=MADE_TIME)
                   for name, column in owners.items() if is_time(cells[column])]
        where = {name: grid.where(row, column) for name, column in owners.items()}
        entry.complete(page.model)
        found.append(Line(entry, told, where))
    return [line for line in found if not _lacks(page, line, faults)]


def _lacks(page: Rows, line: Line, faults: list[Fault]) -> bool:
    for name, told in line.owners.items():
        if not told:
            faults.append(Fault(f"the row has no {name}", line.where[name],
                                allowed=page.owners[name], do=f"fill in {name}"))
            return True
    return False


def _headings(
    page: Rows, grid: Grid, row: int, heads: list[object], faults: list[Fault]
) -> tuple[dict[int, Key], dict[str, int]]:
    """Keys by column, and columns of what rows belong to."""
    keys: dict[int, Key] = {}
    owners: dict[str, int] = {}
    known = [*page.owners, *(key.name for key in page.keys)]
    for column, head in enumerate(heads):
        name, where = text_of(head), grid.where(row, column)
        if not name or name.startswith(REMARK):
            continue
        key = page.key_of(name)
        twice = name in owners or (key in keys.values() and key is not None and not key.many)
        if twice:
            faults.append(Fault(f"two columns have the heading {name}", where, name,
                                do="remove one of them"))
        elif name in page.owners:
            owners[name] = column
        elif key is None:
            near = nearest(name, known)
            faults.append(Fault(f"unknown heading {name!r}", where, name, ", ".join(known),
                                do=f"write {near}" if near else
                                "remove it, or write # in front of it: it is then not read"))
        else:
            keys[column] = key
    return keys, owners
