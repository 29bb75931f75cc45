"""Find the blocks of a typed data sheet: where each begins, its heads, and its rows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from coldbench.sheets.hand.form import LOADS, MARKS, READINGS, RUN
from coldbench.sheets.workbook.book import Grid
from coldbench.sheets.workbook.cells import is_blank, text_of
from coldbench.sheets.workbook.pages import REMARK

NAMES = (RUN, LOADS, READINGS, MARKS)


@dataclass(frozen=True)
class Block:
    """One block of a page.

    Parameters
    ----------
    grid : Grid
        Cells of the page.
    row, column : int
        Where its name stands.
    last_row, last_column : int
        Just past its cells.
    """

    grid: Grid
    row: int
    column: int
    last_row: int
    last_column: int

    def rows(self) -> Iterator[tuple[int, list[object]]]:
        """Rows below its name in which something stands: number, cells."""
        for number in range(self.row + 1, self.last_row):
            cells = self.grid.rows[number][self.column : self.last_column]
            remark = text_of(self.grid.rows[number][0]).startswith(REMARK)
            if not remark and not all(map(is_blank, cells)):
                yield number, cells

    def where(self, row: int, across: int = 0) -> str:
        """Place of a cell, counted from the block's first column."""
        return self.grid.where(row, self.column + across)


def blocks_of(grid: Grid) -> dict[str, Block]:
    """Blocks of a page by name.

    A block's name stands in the first column, or farther right in a row in whose first column
    another one's stands. It goes on to the next of them to its right and below it.

    Parameters
    ----------
    grid : Grid
        Cells of the page.
    """
    bands = {number: [(column, text_of(cell)) for column, cell in enumerate(cells)
                      if text_of(cell) in NAMES]
             for number, cells in enumerate(grid.rows) if cells and text_of(cells[0]) in NAMES}
    width = max(map(len, grid.rows), default=0)
    found: dict[str, Block] = {}
    for row, end in pairwise([*bands, len(grid.rows)]):
        names = dict(bands[row])
        for column, edge in pairwise([*names, width]):
            found.setdefault(names[column], Block(grid, row, column, end, edge))
    return found
